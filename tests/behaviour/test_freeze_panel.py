"""The freeze panel without a kernel: slide, choose, read the result."""

import re
from pathlib import Path

import numpy as np
import pytest

from hvaccalc import analyse, load_job, units
from hvaccalc.diagnosis.unit import freeze_map
from hvaccalc.diagnosis.unit.freeze_map import OUTDOORS, SPEEDS
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.panels import FreezePanel
from hvaccalc.resources import data_path
from tests.behaviour.jobs import HUMID, found, write_job


@pytest.fixture(scope="module")
def job():
    return load_job(data_path("jobs", "library_hall.toml"))


@pytest.fixture(scope="module")
def one_panel(job) -> FreezePanel:
    return FreezePanel.from_job(job)


@pytest.fixture
def panel(one_panel: FreezePanel) -> FreezePanel:
    """The panel as it starts: 36 of 60 Hz, 66 °F outdoors, both stages."""
    one_panel.speed.value, one_panel.outdoor.value = 60.0, 66.0
    one_panel.stages.value, one_panel.weather.value = 2, "as read"
    return one_panel


def test_it_starts_where_the_job_stands(panel: FreezePanel, job) -> None:
    told = panel._map("as read")
    assert told.speed == pytest.approx(36 / 60)
    assert told.outdoor == pytest.approx((66 - 32) / 1.8 + 273.15)
    assert (told.stage, told.by_speed) == (2, True)
    assert ">as read<" in panel.draw()


def test_a_mild_morning_freezes_and_a_hot_afternoon_hardly(panel: FreezePanel) -> None:
    panel.weather.value, panel.outdoor.value = "mild morning", 60.0
    assert panel.result.probability >= 0.8
    panel.weather.value, panel.outdoor.value = "hot afternoon", 95.0
    assert panel.result.probability <= 0.30


def test_more_air_less_head_or_a_stage_less_is_warmer(panel: FreezePanel) -> None:
    found = panel.result
    panel.speed.value = 100.0
    assert panel.result.metal.value > found.metal.value + 2.0
    panel.speed.value, panel.outdoor.value = 60.0, 95.0
    assert panel.result.metal.value > found.metal.value + 1.0
    panel.outdoor.value, panel.stages.value = 66.0, 1
    assert panel.result.metal.value > found.metal.value + 2.0
    assert panel.result.threshold < found.threshold or np.isnan(panel.result.threshold)


def test_between_its_points_the_map_is_what_the_unit_says(panel: FreezePanel) -> None:
    """Midway of four points, solved anew: metal bends little, 0.3 °F is far below its band."""
    from hvaccalc.diagnosis.unit import unit_build

    few = panel._few
    told, draws = panel._map("as read"), few.draws
    result = next(one for one in few.conditions if one.where == panel.forecast.where)
    speed, outdoor = SPEEDS[2:4].mean(), OUTDOORS[2:4].mean()
    standing = unit_build.conditions(draws, result)
    flow = standing.dry_air_flow * draws.local_airflow * speed / (36 / 60)
    unit = unit_build.recalibrated(draws, unit_build.from_rating(draws), (result,)).unit
    states = unit.solve(
        Conditions(
            standing.return_dry_bulb,
            standing.return_humidity_ratio,
            standing.barometer,
            outdoor,
            flow,
            None,
            None,
        )
    )
    assert told.at(2, speed, outdoor)[0] == pytest.approx(states.coldest_root[0], abs=0.3 / 1.8)


@pytest.mark.parametrize(("known", "share"), [(20, 0.25), (19, np.nan)])
def test_a_share_needs_twenty_draws(known: int, share: float) -> None:
    """The central draw is not among them, an unknown one neither."""
    rows = np.r_[200.0, np.repeat([270.0, 280.0], (5, known - 5)), np.nan]
    assert freeze_map._share_frozen(rows) == pytest.approx(share, nan_ok=True)


def test_the_map_repeats_the_condition_it_was_calibrated_on(panel: FreezePanel) -> None:
    """Its words say so, and metal by the map lies within its own band of the metal by the suction as read."""
    metal = found(analyse(panel.job), "coil.coldest_surface")[0]
    assert (metal.visit, metal.condition) == (panel.forecast.where.visit, panel.forecast.where.condition)
    assert "on the readings of this condition" in panel.tell()[-1]
    assert panel.result.metal.low < metal.value < panel.result.metal.high


def test_the_line_lies_where_the_metal_is_at_freezing(panel: FreezePanel) -> None:
    panel.speed.value = float(round(100 * panel.result.threshold))
    assert float(units.to(panel.result.metal.value, "degF", "temperature")) == pytest.approx(32.0, abs=0.4)


def test_each_step_draws_another_picture_and_back_is_the_first(panel: FreezePanel) -> None:
    first = panel.picture.value
    panel.speed.value += 1.0
    assert panel.picture.value != first
    panel.speed.value -= 1.0
    assert panel.picture.value == first


def test_it_tells_before_and_after_and_what_would_change_it(panel: FreezePanel) -> None:
    said = "\n".join(panel.tell())
    assert "by the rating alone" in said and "with the suction as read" in said
    assert "The line is crossed at" in said and "With a stage less" in said
    assert re.search(r"°F \([\d.]+ to [\d.]+\)", said)


def test_the_picture_leans_on_words_and_shapes(panel: FreezePanel) -> None:
    bundle = panel._repr_mimebundle_()
    svg = bundle["image/svg+xml"]
    assert "metal below freezing" in svg and ">32 °F<" in svg and "pattern" in svg
    assert 'alt="Coldest metal over outdoor air and fan speed. Outdoors 66.0 °F' in bundle["text/html"]
    ids = re.findall(r'\bid="([^"]+)"', svg)
    assert len(set(ids)) == len(ids) and all(name.startswith("freeze-") for name in ids)


def test_metric_display(job) -> None:
    panel = FreezePanel.from_job(job.model_copy(update={"display": "si"}))
    said = panel._repr_mimebundle_()["text/plain"] + panel.draw() + panel.outdoor.description
    assert "°C" in said and "m³/s" in said and "°F" not in said and "cfm" not in said


@pytest.mark.parametrize("changes", [{"air.return_wet_bulb": None}, {"circuit.1.refrigerant": "unknown"}])
def test_without_a_unit_it_says_what_is_missing(tmp_path: Path, changes: dict) -> None:
    panel = FreezePanel.from_job(load_job(write_job(tmp_path, HUMID | changes)))
    assert panel.result is None and panel.draw() == ""
    assert panel.tell()[0].startswith("No forecast:") and "No forecast:" in panel.words.value
    assert panel.speed.disabled
    assert "text/plain" in panel._repr_mimebundle_()


def test_without_a_suction_reading_it_says_that_nothing_narrowed_it(tmp_path: Path) -> None:
    changes = HUMID | {f"{c}.suction_{what}": None for c in "12" for what in ("pressure", "temperature")}
    said = "\n".join(FreezePanel.from_job(load_job(write_job(tmp_path, changes))).tell())
    assert "no suction reading was there" in said


def test_a_unit_colder_than_its_rating_is_not_called_a_sound_one(tmp_path: Path) -> None:
    """22 °F of suction (82 psig on R-410A's card, from memory) with full, measured air over a 45 °F coil."""
    cold = {
        f"{c}.suction_{what}": v
        for c in "12"
        for what, v in (("pressure", "82 psig"), ("temperature", "52 degF"))
    }
    panel = FreezePanel.from_job(load_job(write_job(tmp_path, HUMID | cold | {"air.airflow": "7900 cfm"})))
    said = "\n".join(panel.tell())
    assert "below freezing at this airflow already" in said
    assert "no suction reading was there" not in said and "no unit of this rating shows what was read" in said


def test_a_kind_of_day_sets_return_and_outdoor_air_and_back_undoes_it(panel: FreezePanel) -> None:
    """Outdoors 60 °F on a mild morning, 95 °F on a hot afternoon, as in the findings; 66 °F as read."""
    for day, outdoors in (("hot afternoon", 95.0), ("mild morning", 60.0)):
        panel.weather.value = day
        assert panel.outdoor.value == outdoors
    panel.speed.value, panel.stages.value = 100.0, 1
    panel.back.click()
    assert (panel.speed.value, panel.outdoor.value, panel.stages.value) == (60.0, 66.0, 2)
    assert panel.weather.value == "as read"


def test_it_says_which_air_the_metal_meets_and_what_the_findings_do_otherwise(panel: FreezePanel) -> None:
    """Both the map and the threshold of the metal take the slowest air: even air is claimed nowhere."""
    told = " ".join(panel.tell())
    assert "air as even" not in told and "least air" in told
    assert "the findings count" in told
