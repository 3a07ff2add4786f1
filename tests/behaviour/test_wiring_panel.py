"""The wiring panel without a kernel: choose a call, untick a wire, try a jumper, read the result."""

import pytest

from hvaccalc import analyse, load_job
from hvaccalc.panels import WiringPanel
from hvaccalc.resources import data_path


@pytest.fixture(scope="module")
def job():
    return load_job(data_path("jobs", "heat_pump_school.toml"))


@pytest.fixture
def panel(job):
    return WiringPanel.from_job(job, call="cool 2")


def test_untouched_it_says_what_the_findings_say(job, panel):
    calls = analyse(job).calls
    assert panel.result.now.answers() == calls.now.answers()
    assert panel.result.measure == calls.measure
    said = {f.key: f.statement for f in analyse(job).findings}
    assert said["staging.measure"] in panel.tell()


def test_without_the_jumper_the_fan_stays_low(panel):
    panel.jumper[0].value = "no jumper"
    assert panel.result.measure is None
    assert panel.result.now.answer("cool 2").speed.text == "36 Hz"
    assert "open: nothing, or a ghost of 10 to 20 V" in " ".join(panel.tell())


def test_landing_the_wire_puts_it_right(panel):
    panel.jumper[0].value = "no jumper"
    panel.landed[("relays.out", "drive.input_2")].value = True
    assert not panel.result.faults
    assert panel.result.now.answer("heat 1").speed.text == "60 Hz"


def test_lifting_the_common_takes_the_outdoor_unit_out(panel):
    panel.landed[("handler.C", "outdoor.C")].value = False
    assert "compressor 1" not in panel.result.now.answer("cool 2").loads
    assert "not landed" in panel.draw()


def test_unassigning_a_preset_takes_its_speed_away(panel):
    panel.assigned["drive.input_2"].value = False
    assert panel.result.now.answer("cool 2").speed.text == "36 Hz"
    assert "Preset not assigned" in " ".join(panel.tell())


def test_a_jumper_that_starts_a_compressor_is_refused(panel):
    panel.call.value = "fan"
    panel.jumper[1].value = "handler.Y2"
    assert panel.result.measure.refused
    assert "▸ back-feed" in panel.draw()
    ladder = {rung.terminal: (rung.designed, rung.now) for rung in panel.ladder()}
    assert ladder["handler.Y2"] == (0.0, 24.0)


def test_every_control_has_a_label_and_every_output_words(panel):
    controls = [panel.call, *panel.jumper, *panel.landed.values(), *panel.assigned.values()]
    assert all(control.description for control in controls)
    bundle = panel._repr_mimebundle_()
    assert "24.0 V (22.8 to 25.2)" in bundle["text/plain"]
    assert "<desc" in bundle["image/svg+xml"] and "hvac-caution" in bundle["text/html"]


def test_a_job_without_wiring_is_told_so_and_breaks_no_notebook():
    panel = WiringPanel.from_job(load_job(data_path("measured", "chamber.toml")), call="cool 2")
    panel.jumper[0].value = "no jumper"
    assert panel.result is None
    assert "lists no terminals" in panel._repr_mimebundle_()["text/plain"]


def test_a_call_that_the_job_does_not_have_gives_way_to_its_highest():
    assert (
        WiringPanel.from_job(load_job(data_path("jobs", "library_hall.toml")), call="heat 1").call.value
        == "cool 2"
    )
