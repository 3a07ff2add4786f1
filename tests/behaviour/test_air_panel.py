"""The air panel without a kernel: type, slide, read the result."""

import re
from pathlib import Path

import numpy as np
import psychrolib
import pytest

from hvaccalc import analyse, load_job, units
from hvaccalc.errors import InputError
from hvaccalc.panels import AirPanel
from hvaccalc.resources import data_path
from tests.behaviour.jobs import HUMID, write_job

KEYS = {"condensate.rate": "condensate", "capacity.total": "total", "capacity.sensible": "sensible"}
PICTURE = re.compile("<svg.*</svg>", re.S)


@pytest.fixture(scope="module")
def job():
    return load_job(data_path("jobs", "library_hall.toml"))


@pytest.fixture
def panel(job) -> AirPanel:
    return AirPanel.from_job(job)


def type_into(field, text: str) -> None:
    field.box.value = text


@pytest.mark.parametrize(("visit", "condition"), [(1, 1), (1, 2), (2, 1)])
def test_untouched_it_says_what_the_findings_say(job, visit: int, condition: int) -> None:
    """The same draws: not a digit apart."""
    result = AirPanel.from_job(job, visit, condition).result
    findings = {f.key: f for f in analyse(job).findings if (f.visit, f.condition) == (visit, condition)}
    for key, name in KEYS.items():
        band, finding = getattr(result, name), findings[key]
        assert (band.value, band.low, band.high) == (finding.value, finding.low, finding.high)


@pytest.mark.parametrize(("cfm", "percent"), [(3000, 45), (6000, 60), (8000, 75)])
def test_sliders_agree_with_psychrolib(panel: AirPanel, cfm: int, percent: int) -> None:
    """Central condensate from psychrolib 2.5, which takes the same equations (ASHRAE 2017 ch. 1).

    Saturation pressures of the two agree within 1e-4; a difference of two humidities makes 1e-3 of it.
    """
    panel.flow_slider.value = float(cfm)
    panel.humidity_slider.value = float(percent)
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure = psychrolib.GetStandardAtmPressure(640 * 0.3048)
    dry, supply_dry, supply_wet = ((f - 32) / 1.8 for f in (70.2, 41.1, 40.0))
    entering = psychrolib.GetHumRatioFromRelHum(dry, percent / 100, pressure)
    leaving = psychrolib.GetHumRatioFromTWetBulb(supply_dry, supply_wet, pressure)
    volume = psychrolib.GetMoistAirVolume(dry, entering, pressure)
    expected = cfm * 0.3048**3 / 60 / volume * (entering - leaving)
    assert panel.result.condensate.value == pytest.approx(expected, rel=1e-3)


def test_more_air_means_more_water_in_proportion(panel: AirPanel) -> None:
    read = panel.result
    panel.flow_slider.value = 2.0 * panel.flow_slider.min
    first = panel.result.condensate
    panel.flow_slider.value = 4.0 * panel.flow_slider.min
    second = panel.result.condensate
    assert second.value == pytest.approx(2.0 * first.value)
    assert (second.low, second.high) == pytest.approx((2.0 * first.low, 2.0 * first.high))
    assert panel.result.varied == {"airflow"}
    assert read.varied == frozenset()


def test_humidity_keeps_the_width_of_its_band(panel: AirPanel) -> None:
    read = panel.result.states.return_air.relative_humidity
    panel.humidity_slider.value = 65.0
    varied = panel.result.states.return_air.relative_humidity
    np.testing.assert_allclose(varied - 0.65, read - read[0], atol=1e-12)


def test_each_step_draws_another_picture_and_the_button_brings_the_first_back(panel: AirPanel) -> None:
    first, result = panel.picture.value, panel.result
    for slider in (panel.flow_slider, panel.humidity_slider):
        slider.value += slider.step
        assert panel.picture.value != first
        assert panel.result is not result
    panel.back.click()
    assert panel.picture.value == first
    assert panel.result is result


def test_supply_wetter_than_return_is_said_and_gives_no_water(panel: AirPanel) -> None:
    panel.humidity_slider.value = 20.0
    assert panel.result.supply_wetter
    assert not panel.result.condensate.known
    assert not panel.result.total.known
    assert "This cannot be" in panel.words.value
    assert ">gains<" in panel.picture.value


def test_supply_typed_wetter_is_flagged_as_in_the_memo(panel: AirPanel) -> None:
    type_into(panel.streams["supply"].dry_bulb, "69 degF")
    type_into(panel.streams["supply"].humidity, "68 degF")
    assert [flag.code for flag in panel.result.flags] == ["supply_more_humid"]
    assert "holds more water than return air" in panel.words.value
    assert not panel.result.condensate.known


def test_readings_that_are_no_air_are_said(panel: AirPanel) -> None:
    """40 °F wet bulb at 69 °F dry bulb is drier than air without any water."""
    type_into(panel.streams["supply"].dry_bulb, "69 degF")
    assert "readings contradict each other" in panel.tell()[3] and "supply humidity" in panel.tell()[3]
    # Nobody knows which of the two is wrong, so neither is drawn.
    assert "S supply" not in panel.draw()


def test_typed_airflow_stands_beside_the_fan_law(panel: AirPanel) -> None:
    type_into(panel.airflow, "4500 cfm")
    assert panel.result.airflow.used == ("reading", "fan_law")
    wide, narrow = (
        units.to(p, "cfm")
        for p in (4464 * 0.3, float(np.ptp(np.percentile(panel.result.airflow.flow, [2.5, 97.5]))))
    )
    assert narrow < wide


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("70.2", "a bare number"),
        ("70.2 psig", "a unit of temperature is needed"),
        ("70.2 degG", "unknown unit"),
        ("<b>hot</b>", "not a number with a unit"),
        ("-600 degF", "below absolute zero"),
    ],
)
def test_what_cannot_be_read_is_said_and_the_last_picture_stays(
    panel: AirPanel, text: str, said: str
) -> None:
    field, before, result = panel.streams["return"].dry_bulb, panel.picture.value, panel.result
    type_into(field, text)
    assert said in field.error
    assert field.message.layout.display is None and "Return dry bulb" in field.message.value
    assert "<b>hot" not in field.message.value
    assert PICTURE.search(panel.picture.value)[0] == PICTURE.search(before)[0]
    assert "hvac-stale" in panel.picture.value and "Not redrawn: Return dry bulb" in panel.picture.value
    assert panel.result is result
    type_into(field, "70.2 degF")
    assert field.error == "" and panel.picture.value == before


def test_humidity_over_a_hundred_is_refused_as_in_the_job_file(panel: AirPanel) -> None:
    stream = panel.streams["return"]
    stream.given_as.value = "relative humidity"
    type_into(stream.humidity, "140 %")
    assert "0 to 100 %" in stream.humidity.error


def test_another_way_of_giving_the_humidity_asks_for_it_anew(panel: AirPanel) -> None:
    stream = panel.streams["return"]
    stream.given_as.value = "dew point"
    assert panel.result.duty.missing == ("return humidity",)
    assert panel.humidity_slider.disabled
    assert "type return humidity" in panel.words.value
    type_into(stream.humidity, "53.4 degF")
    assert panel.result.condensate.known
    assert not panel.humidity_slider.disabled


def test_what_was_typed_one_way_is_there_again_on_the_way_back(panel: AirPanel) -> None:
    stream = panel.streams["return"]
    typed, before = stream.humidity.box.value, panel.result.duty.condensate[0]
    stream.given_as.value = "dew point"
    type_into(stream.humidity, "53.4 degF")
    stream.given_as.value = "wet bulb"
    assert stream.humidity.box.value == typed != ""
    assert panel.result.duty.condensate[0] == pytest.approx(before)
    stream.given_as.value = "dew point"
    assert stream.humidity.box.value == "53.4 degF"


def test_barometer_in_place_of_the_elevation(panel: AirPanel) -> None:
    type_into(panel.site, "25.0 inHg")
    assert panel.result.states.barometer.draws[0] == pytest.approx(25.0 * 3386.389)
    assert panel.result.states.barometer.basis == "measured"
    type_into(panel.site, "4000 ft")
    assert panel.result.states.barometer.basis == "computed"
    type_into(panel.site, "9 lb")
    assert "ft" in panel.site.error and "inHg" in panel.site.error


@pytest.mark.parametrize("reading", ["supply_dry_bulb", "return_dry_bulb", "airflow", "fan_frequency"])
def test_a_job_that_says_little_is_told_what_is_missing(tmp_path: Path, reading: str) -> None:
    panel = AirPanel.from_job(load_job(write_job(tmp_path, {f"air.{reading}": None})))
    assert "type " in panel.tell()[3]
    assert panel.result.condensate.known is False
    panel.flow_slider.value += panel.flow_slider.step
    assert "text/html" in panel._repr_mimebundle_()


def test_nothing_read_at_all(tmp_path: Path) -> None:
    nothing = {
        f"air.{key}": None for key in ("return_dry_bulb", "supply_dry_bulb", "airflow", "fan_frequency")
    }
    panel = AirPanel.from_job(load_job(write_job(tmp_path, nothing)))
    assert panel.draw() == ""
    assert "image/svg+xml" not in panel._repr_mimebundle_()


def test_metric_display(tmp_path: Path) -> None:
    panel = AirPanel.from_job(load_job(write_job(tmp_path, HUMID)).model_copy(update={"display": "si"}))
    panel.flow_slider.value += panel.flow_slider.step
    said = panel._repr_mimebundle_()["text/plain"] + panel.flow_shown.value + panel.draw()
    assert "m³/s" in said and "°C" in said
    for us in ("°F", "cfm", "gal/h", "kBtu", "gr/lb"):
        assert us not in said


def test_text_of_the_job_is_never_markup(tmp_path: Path) -> None:
    panel = AirPanel.from_job(load_job(write_job(tmp_path, {"condition.label": "<script>x</script>"})))
    assert "<script" not in panel._repr_mimebundle_()["text/html"]


def test_a_condition_that_is_not_there_is_refused(job) -> None:
    for visit, condition in ((3, 1), (1, 3), (0, 1), (1, -1)):
        with pytest.raises(InputError, match="no such condition") as refusal:
            AirPanel.from_job(job, visit, condition)
        assert "1/1, 1/2, 2/1" in refusal.value.allowed


def test_the_bundle_tells_the_picture_in_words(panel: AirPanel) -> None:
    bundle = panel._repr_mimebundle_()
    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert bundle["text/plain"].startswith("Air states, condensate and capacity\nCondensate: ")
    assert 'alt="The air on a psychrometric chart. Dry-bulb temperature' in bundle["text/html"]
    assert 'aria-labelledby="air-1-1-title air-1-1-desc"' in bundle["image/svg+xml"]
    ids = re.findall(r'\bid="([^"]+)"', bundle["image/svg+xml"])
    assert len(set(ids)) == len(ids)
    assert all(name.startswith("air-1-1-") for name in ids)


@pytest.mark.parametrize(
    ("box", "typed"),
    [
        ("return", "150 degF"),
        ("return", "999 degF"),
        ("airflow", "999999 cfm"),
        ("airflow", "0 cfm"),
        ("site", "30000 ft"),
    ],
)
def test_what_cannot_be_is_refused_below_its_box(panel, box, typed):
    """No air of a room, no fan and no town; common practice, no source."""
    field = panel.streams["return"].dry_bulb if box == "return" else getattr(panel, box)
    before = panel.result
    field.box.value = typed
    assert field.error and " to " in field.message.value
    assert panel.result is before and "hvac-stale" in panel.picture.value
    field.box.value = "640 ft" if box == "site" else ""
    assert not field.error


def test_an_upright_line_of_unknown_humidity_stays_within_the_picture(tmp_path: Path) -> None:
    """Return air of which the dry bulb alone was read: a line from edge to edge of the chart, told below."""
    path = write_job(tmp_path, {"air.return_wet_bulb": None, "air.return_relative_humidity": None})
    svg = AirPanel.from_job(load_job(path)).draw()
    height = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)[1])
    ends = [float(y) for y in re.findall(r'd="M [\d.]+ [\d.]+ V ([\d.]+)"[^>]*dasharray="5 4"', svg)]
    assert ends and all(y < height for y in ends) and "humidity not known" in svg
