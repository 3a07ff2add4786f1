"""The fan panel without a kernel: type, slide, read the result."""

import re

import pytest

from hvaccalc import analyse, load_job, units
from hvaccalc.errors import InputError
from hvaccalc.panels import FanPanel
from hvaccalc.resources import data_path
from tests.behaviour.jobs import told as as_told


@pytest.fixture(scope="module")
def jobs():
    return {name: load_job(data_path("jobs", f"{name}.toml")) for name in ("library_hall", "print_shop")}


@pytest.fixture
def panel(jobs) -> FanPanel:
    return FanPanel.from_job(jobs["library_hall"])


@pytest.fixture
def shop(jobs) -> FanPanel:
    return FanPanel.from_job(jobs["print_shop"])


def cfm(value: float) -> float:
    return float(units.to(value, "cfm", "airflow"))


@pytest.mark.parametrize("name", ["library_hall", "print_shop"])
def test_untouched_it_says_what_the_findings_say(jobs, name):
    """The same draws: not a digit apart."""
    result = FanPanel.from_job(jobs[name]).result
    findings = {f.key: f for f in analyse(jobs[name]).findings if (f.visit, f.condition) == (1, 1)}
    finding = findings["airflow.reconciled"]
    assert (result.flow.value, result.flow.low, result.flow.high) == (
        finding.value,
        finding.low,
        finding.high,
    )
    for check in result.checks.checks:
        told = findings["fan.check." + check.name.replace(" ", "_")]
        assert (told.text, told.statement) == (check.state, as_told(check.why))


def test_the_slider_follows_the_fan_laws(panel):
    """Flow at 36 of 60 Hz, times 80 over 60; 3.2 kW at full speed, there 0.51 to 0.55 of it.

    By the fan law alone it would be 4464 cfm at 36 Hz; the refrigerant side pulls it down by a few per cent.
    """
    now = cfm(panel.result.flow.value)
    assert 0.93 * 4464 < now < 4464
    panel.speed.value = 80.0
    assert cfm(panel.result.wanted_flow.value) == pytest.approx(now * 0.8 / 0.6, rel=1e-3)
    assert 3200 * 0.8**3 < panel.result.wanted_power.value < 3200 * 0.56
    assert "to 80 % of full speed" in "\n".join(panel.tell())


def test_the_list_follows_the_slider(shop):
    """5078 cfm at 132 %: 3840 at full speed, 480 ft/min over 8 ft²; 5.6 A fall to plate and below."""
    states = {c.name: c.state for c in shop.result.checks.checks}
    assert (states["coil face velocity"], states["motor current"]) == ("fail", "fail")
    shop.speed.value = 100.0
    states = {c.name: c.state for c in shop.result.checks.checks}
    assert (states["coil face velocity"], states["motor current"]) == ("pass", "pass")


def test_a_typed_airflow_joins_the_other_ways(panel):
    panel.boxes["airflow"].box.value = "4700 cfm"
    assert [m.name for m in panel.result.airflow.methods] == ["reading", "enthalpy", "fan_law"]
    assert panel.result.airflow.used == ("reading", "fan_law")
    assert 4600 < cfm(panel.result.flow.value) < 4700


def test_a_typed_airflow_far_off_is_named(shop):
    shop.boxes["airflow"].box.value = "9000 cfm"
    assert [d.name for d in shop.result.airflow.disagreeing] == ["reading"]
    assert any("left out" in line for line in shop.tell())
    assert "reading (off)" in shop.draw()


def test_what_cannot_be_read_keeps_the_last_picture(panel):
    before = panel.result
    panel.boxes["external_static"].box.value = "1.1"
    assert panel.result is before
    assert "hvac-stale" in panel.picture.value and panel.boxes["external_static"].error


def test_without_static_no_curve_is_drawn(panel, shop):
    assert "are not drawn" in panel.draw()
    assert "are not drawn" not in shop.draw() and "fan, 132 %" in shop.draw()


def test_picture_and_words_repeat(shop, jobs):
    again = FanPanel.from_job(jobs["print_shop"])
    assert shop.draw() == again.draw() and shop.tell() == again.tell()


def test_the_picture_is_told_in_words(shop):
    said = re.search("<desc[^>]*>(.*?)</desc>", shop.draw())[1]
    assert "together 5,078 cfm (4,728 to 5,401)" in said and "external static" in said


def test_a_saved_notebook_keeps_numbers_and_cautions(shop):
    bundle = shop._repr_mimebundle_()
    assert "5,078 cfm (4,728 to 5,401)" in bundle["text/plain"]
    assert "hvac-caution" in bundle["text/html"] and "<td><b>fail</b></td>" in bundle["text/html"]


def test_no_such_condition(jobs):
    with pytest.raises(InputError, match="no such condition"):
        FanPanel.from_job(jobs["print_shop"], 3, 1)
