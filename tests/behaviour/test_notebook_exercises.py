"""The exercises at the end of the notebooks: every answer is what the panel says, and follows by hand."""

import json

import pytest

from hvaccalc import load_job
from hvaccalc.panels import AirPanel, ChargePanel, FanPanel, InventoryPanel, WaterPanel, WiringPanel
from hvaccalc.resources import data_path
from tests.behaviour.test_notebooks import NOTEBOOKS


def answer(number: str) -> str:
    (path,) = [p for p in NOTEBOOKS if p.name.startswith(number)]
    last = "".join(json.loads(path.read_text(encoding="utf-8"))["cells"][-1]["source"])
    assert "**Exercise.**" in last
    return last.split("**Answer.**")[1]


def demo(name: str = "library_hall"):
    return load_job(data_path("jobs", f"{name}.toml"))


def test_condensate_goes_with_the_air():
    """8.5 gal/h at 4,275 cfm: 9.94 by proportion at 5,000, before rounding and draws."""
    panel = AirPanel.from_job(demo())
    panel.airflow.box.value = "5000 cfm"
    (line,) = [line for line in panel.tell() if line.startswith("Condensate: 9.8 gal/h")]
    assert "9.8 gal/h" in answer("01") and 9.8 == pytest.approx(8.5 * 5000 / 4275, rel=0.02)
    assert line


def test_airflow_goes_with_the_speed():
    """4,275 cfm over 0.6 are 7,125."""
    (line,) = [line for line in FanPanel.from_job(demo()).tell() if line.startswith("Airflow at 100 %")]
    assert f"{4275 / 0.6:,.0f} cfm" in line and "7,125 cfm" in answer("02")


def test_a_trap_holds_the_suction_and_an_inch():
    """2.09 in of suction and 1 in; half of 3.09 as seal."""
    told = " ".join(WaterPanel.from_job(demo("swim_club")).tell())
    for shown in ("3.09 in", "1.55 in"):
        assert shown in told and shown.split()[0] in answer("04")


@pytest.mark.parametrize(("typed", "verdict"), [("92 degF", "cannot tell"), ("90 degF", "high")])
def test_a_verdict_needs_its_whole_band(typed, verdict):
    panel = ChargePanel.from_job(demo(), visit=2, condition=1)
    panel.boxes["1", "liquid_temperature"].box.value = typed
    assert panel.result.charges["1"].verdict == verdict and f"*{verdict}*" in answer("05")


def test_a_pump_down_ends_where_liquid_has_swollen():
    panel = InventoryPanel.from_job(demo(), "2")
    panel.boxes["volume"].box.value = "0.70 ft3"
    for outdoors, text in ((94.0, "fits"), (95.0, "unknown")):
        panel.ambient.value = outdoors
        assert panel.result.circuits["2"].pump_down.text == text
    assert "94 °F" in answer("06")


def test_only_the_second_stage_loses_its_air():
    job = demo("heat_pump_school")
    for call, lost in (("cool 1", False), ("cool 2", True)):
        panel = WiringPanel.from_job(job, call=call)
        panel.jumper[0].value = "no jumper"
        assert any("fan low with second stage" in line for line in panel.tell()) is lost
    assert "Cool 2" in answer("07")
