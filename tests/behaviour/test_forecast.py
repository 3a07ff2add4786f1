"""The freeze forecast: thresholds, kinds of day, before and after a measured state, and when there is none.

Where a number is expected it comes from outside this package: the demonstration's own description, an
independent balance of such a unit (no published measurement of a two-circuit unit at low air exists), or
hand reasoning written beside the check.
"""

from dataclasses import replace
from html import escape

import numpy as np
import pytest

from hvaccalc import analyse, load_job, units
from hvaccalc.ensemble import Band
from hvaccalc.report import html, memo
from hvaccalc.report.sections.forecast import not_this_one
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import HUMID, analysed, blocks_of, found, one

NO_SUCTION = {f"{circuit}.suction_{what}": None for circuit in "12" for what in ("pressure", "temperature")}
LOW_FAN = HUMID | {"air.airflow": None, "air.fan_frequency": "36 Hz"}


@pytest.fixture(scope="module")
def demo():
    return jobs.demo()


def width(band: Band) -> float:
    return band.high - band.low


def test_a_mild_morning_freezes_and_a_hot_afternoon_hardly(demo) -> None:
    """Low fan alone on a hot day usually does not freeze this coil; a cool return and low head do."""
    mild, hot = (one(demo, f"freeze.forecast.{day}") for day in ("mild_morning", "hot_afternoon"))
    assert mild.value >= 0.8 and mild.severity == "watch"
    assert hot.value <= 0.30 and hot.severity == "note"
    for chance in (mild, hot):
        assert 0.0 <= chance.low <= chance.value <= chance.high <= 1.0
        assert chance.unit == "1"
    assert "66 °F return at 50 %, 60 °F outdoors" in mild.statement
    assert "75 °F return at 50 %, 95 °F outdoors" in hot.statement


@pytest.mark.parametrize("criterion", ["fin", "suction"])
def test_both_criteria_have_a_threshold_with_5_and_95_percent(demo, criterion: str) -> None:
    threshold = one(demo, f"freeze.threshold_airflow.{criterion}")
    assert threshold.low < threshold.value < threshold.high
    assert threshold.unit == "m3/s" and "5 to 95 %" in threshold.statement
    assert (threshold.visit, threshold.condition) == (1, 1)


def test_refrigerant_is_colder_than_metal_so_it_freezes_at_more_air(demo) -> None:
    told = demo.forecast
    assert told.suction.before.value > told.fin.before.value
    assert told.suction.after.value > told.fin.after.value


def test_one_measured_state_narrows_the_suction_band_and_hardly_the_metal(demo) -> None:
    told = demo.forecast
    assert told.effective >= 30.0
    assert width(told.suction.after) < 0.92 * width(told.suction.before)
    assert 1.0 - width(told.fin.after) / width(told.fin.before) < 0.08
    assert "hardly narrows" in one(demo, "freeze.threshold_airflow.fin").statement
    assert "narrows it by" in one(demo, "freeze.threshold_airflow.suction").statement
    for criterion in ("fin", "suction"):
        assert "by the rating alone" in one(demo, f"freeze.threshold_airflow.{criterion}").statement


@pytest.mark.parametrize(
    ("dry_bulb", "outdoor", "low", "high"),
    [(75, 95, 140, 186), (72, 75, 181, 243), (68, 65, 230, 310)],
)
def test_thresholds_stand_where_an_independent_balance_puts_them(
    tmp_path, dry_bulb: int, outdoor: int, low: int, high: int
) -> None:
    """cfm for each ton at 32 °F metal, return at 50 %: the median within its 5 to 95 %."""
    weather = {
        "air.return_dry_bulb": f"{dry_bulb} degF",
        "air.return_wet_bulb": None,
        "air.return_relative_humidity": "50 %",
        "air.outdoor_dry_bulb": f"{outdoor} degF",
    }
    told = analysed(tmp_path, LOW_FAN | NO_SUCTION | weather).forecast
    per_ton = float(units.to(told.fin.before.value, "cfm", "airflow")) / 20.0
    assert low <= per_ton <= high


def test_full_speed_is_warmer_than_what_was_found(demo) -> None:
    """36 of 60 Hz: two thirds more air carries the same coil well above 32 °F on that morning."""
    full = one(demo, "forecast.coldest_surface_full_speed")
    metal = next(f for f in demo.findings if (f.key, f.visit, f.condition) == ("coil.coldest_surface", 1, 1))
    assert full.low > metal.value + 1.0
    assert full.low > 273.15
    assert full.value - metal.value == pytest.approx(4.0, abs=2.5)


def test_an_air_gives_off_more_water_at_a_low_fan(demo) -> None:
    """A colder coil takes more water out of each pound of air; the table stands beside the freeze."""
    now, full = demo.forecast.grams_per_kilogram
    assert now > 1.2 * full > 0.0
    assert f"{now / full:.1f} times" in one(demo, "forecast.condensate_per_air").statement


def test_a_wetter_return_does_not_lower_the_metal(tmp_path) -> None:
    """More water to condense keeps the metal warmer, so less air still freezes: a lower threshold."""
    thresholds = []
    for humidity in ("40 %", "60 %"):
        changes = {"air.return_wet_bulb": None, "air.return_relative_humidity": humidity}
        thresholds.append(analysed(tmp_path, LOW_FAN | NO_SUCTION | changes).forecast.fin.before.value)
    assert thresholds[1] <= thresholds[0]


def test_less_outdoor_heat_freezes_at_more_air(tmp_path) -> None:
    thresholds = [
        analysed(tmp_path, LOW_FAN | NO_SUCTION | {"air.outdoor_dry_bulb": out}).forecast.fin.before.value
        for out in ("60 degF", "95 degF")
    ]
    assert thresholds[0] > thresholds[1]


def test_without_a_suction_reading_the_rating_speaks_alone(tmp_path) -> None:
    analysis = analysed(tmp_path, LOW_FAN | NO_SUCTION)
    told = analysis.forecast
    assert told.effective == 0.0
    for threshold in (told.fin, told.suction):
        assert threshold.before == threshold.after
    for criterion in ("fin", "suction"):
        statement = one(analysis, f"freeze.threshold_airflow.{criterion}").statement
        assert "calibrated on its rating" in statement
        assert "narrows" not in statement


def test_unknown_circuiting_widens_the_thresholds_and_is_named(tmp_path) -> None:
    """Behind the other's rows a circuit meets colder air, so that some draws freeze at more air; the best
    case stays that of shared fins. Without a suction reading, which would tell the kinds apart."""
    known, unknown = (
        analysed(tmp_path, LOW_FAN | NO_SUCTION | {"unit.circuiting": word})
        for word in ("interlaced", "unknown")
    )
    for criterion in ("fin", "suction"):
        narrow, wide = (getattr(a.forecast, criterion).before for a in (known, unknown))
        assert width(wide) > 1.15 * width(narrow)
        assert wide.high > narrow.high
        told = one(unknown, f"freeze.threshold_airflow.{criterion}")
        assert "spans interlaced, face split and row split" in told.statement
        assert "assumed.circuiting/-/-/-" in told.inputs
        assert "spans interlaced" not in one(known, f"freeze.threshold_airflow.{criterion}").statement


def test_a_row_split_coil_freezes_at_more_air(tmp_path) -> None:
    shared, rows = (
        analysed(tmp_path, LOW_FAN | NO_SUCTION | {"unit.circuiting": word}).forecast.fin.before
        for word in ("interlaced", "row split")
    )
    assert rows.value > shared.value


def test_an_iced_coil_is_no_place_to_start_from(tmp_path) -> None:
    """Readings of a coil under ice are not those of the clean coil that the unit describes."""
    assert analysed(tmp_path, LOW_FAN).forecast is not None
    iced = analysed(tmp_path, LOW_FAN | {"condition.coil_thawed": "no"})
    assert one(iced, "coil.ice_seen")
    assert iced.forecast is None
    assert not found(iced, "freeze.threshold_airflow.fin")


@pytest.mark.parametrize(
    "changes",
    [
        {"circuit.1.refrigerant": "unknown"},
        {"air.return_wet_bulb": None},
        {"air.outdoor_dry_bulb": None},
    ],
    ids=["refrigerant", "humidity", "outdoors"],
)
def test_no_forecast_where_a_unit_cannot_be_solved(tmp_path, changes) -> None:
    analysis = analysed(tmp_path, LOW_FAN | changes)
    assert analysis.forecast is None
    assert not [f for f in analysis.findings if "forecast" in f.key or "threshold" in f.key]


def test_the_same_job_gives_the_same_forecast(demo) -> None:
    again = analyse(load_job(data_path("jobs", "library_hall.toml"))).forecast
    assert again.fin == demo.forecast.fin and again.suction == demo.forecast.suction
    assert again.weather == demo.forecast.weather


def test_the_readings_and_the_threshold_tell_one_story(demo) -> None:
    """Metal found frozen by the readings means air below the threshold, unless both stand at 32 °F."""
    metal = next(f for f in demo.findings if (f.key, f.visit, f.condition) == ("coil.coldest_surface", 1, 1))
    flow = next(f for f in demo.findings if (f.key, f.visit, f.condition) == ("airflow.reconciled", 1, 1))
    threshold = one(demo, "freeze.threshold_airflow.fin")
    frozen = metal.value < 273.15
    assert frozen == (flow.value < threshold.value) or np.isclose(flow.value, threshold.value, rtol=0.15)


def test_the_memo_tells_thresholds_both_days_and_full_speed(demo) -> None:
    page = html.page(blocks_of(demo, "file"), "memo")
    assert "At which airflow." in page
    keys = ("freeze.threshold_airflow.fin", "freeze.threshold_airflow.suction")
    keys += ("freeze.forecast.mild_morning", "freeze.forecast.hot_afternoon")
    for key in (*keys, "forecast.coldest_surface_full_speed"):
        finding = one(demo, key)
        assert escape(finding.statement.split(". ")[0].rstrip(".")) in page


def test_the_customer_reads_both_days_in_one_sentence(demo) -> None:
    page = html.page(blocks_of(demo, "customer"), "memo")
    sentence = next(p for p in page.split("<p") if "At this airflow the chance" in p)
    assert "mild morning" in sentence and "hot afternoon" in sentence
    assert "99 %" in sentence
    assert page.count("On a mild morning (") == 0


def test_no_forecast_no_paragraph(tmp_path) -> None:
    analysis = analysed(tmp_path, LOW_FAN | {"circuit.1.refrigerant": "unknown"})
    for audience in memo.AUDIENCES:
        page = html.page(blocks_of(analysis, audience), "memo")
        assert "At which airflow" not in page and "At this airflow the chance" not in page


STARVED = LOW_FAN | {
    "air.airflow": "7900 cfm",
    "air.fan_frequency": None,
    **{f"{circuit}.suction_pressure": "82 psig" for circuit in "12"},
    **{f"{circuit}.suction_temperature": "52 degF" for circuit in "12"},
}
"""Suction of R-410A at 82 psig is 22 °F (as printed on its card, from memory) with full, measured air over a
coil rated at 45 °F: hand reasoning says no sound unit stands there."""

FORECASTS = (
    *("freeze.threshold_airflow.fin", "freeze.threshold_airflow.suction"),
    *("freeze.forecast.mild_morning", "freeze.forecast.hot_afternoon"),
)


@pytest.fixture(scope="module")
def starved(tmp_path_factory):
    return analysed(tmp_path_factory.mktemp("starved"), STARVED)


def test_a_unit_colder_than_its_rating_gets_no_comfort_from_it(starved) -> None:
    assert starved.forecast.effective == 0.0 and starved.forecast.held
    for key in FORECASTS:
        told = one(starved, key)
        assert "sound unit of this rating would" in told.statement
        assert "below freezing at this airflow already" in told.statement
        assert "something else than airflow holds its suction down" in told.statement
        assert told.severity == "watch"
    assert "reaches freezing at an airflow" not in one(starved, FORECASTS[1]).statement


def test_the_memo_does_not_comfort_either(starved) -> None:
    customer, file = (html.page(blocks_of(starved, who), "memo") for who in ("customer", "file"))
    assert "At this airflow the chance" not in customer and "under 1 %" not in customer
    assert "would bring" not in customer
    assert (
        "The coil of this unit is already below freezing where that of a sound one would not be" in customer
    )
    assert "The numbers are those of a sound unit of this rating" in file


def test_cold_refrigerant_alone_is_not_said_of_the_coil(starved) -> None:
    alone = [replace(one, freezing=one.circuit == "2") for one in starved.forecast.apart]
    text = not_this_one(replace(starved.forecast, apart=tuple(alone)))
    assert text.startswith("The refrigerant of circuit 2 is already below freezing") and "coil of" not in text


def test_without_a_measured_airflow_low_air_may_be_behind_it(tmp_path) -> None:
    """A fixed belt drive and no reading of the air: nobody knows that the air is not short."""
    changes = STARVED | {"air.airflow": None, "unit.fan.drive": "belt, fixed", "unit.fan.full_speed": None}
    told = one(analysed(tmp_path, changes), "freeze.threshold_airflow.suction").statement
    assert "less air than was taken (it was not measured), or something else" in told


def test_a_consistent_unit_is_told_as_before(demo) -> None:
    assert demo.forecast.apart == ()
    for key in FORECASTS:
        assert "sound unit" not in one(demo, key).statement


def test_a_suction_warmer_than_the_rating_is_no_forecast_for_this_unit(tmp_path) -> None:
    """150 psig is 53 °F (card, from memory) at half the air of a 45 °F coil: a worn compressor?"""
    warm = {
        f"{c}.suction_{what}": v
        for c in "12"
        for what, v in (("pressure", "150 psig"), ("temperature", "66 degF"))
    }
    analysis = analysed(tmp_path, LOW_FAN | warm)
    assert analysis.forecast.apart and not analysis.forecast.held
    told = one(analysis, "freeze.forecast.mild_morning").statement
    assert "sound unit of this rating" in told and "does not run like such a unit" in told
