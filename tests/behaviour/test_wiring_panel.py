"""The wiring panel without a kernel: choose a call, untick a wire, try a jumper, read the result."""

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest

from hvaccalc import analyse, load_job
from hvaccalc.job.load import job_from_text
from hvaccalc.job.starter import starter_text
from hvaccalc.panels import (
    AirPanel,
    ChargePanel,
    FanPanel,
    FreezePanel,
    InventoryPanel,
    WaterPanel,
    WiringPanel,
    wiring,
)
from hvaccalc.panels.wiring import findings_told
from hvaccalc.resources import data_path
from hvaccalc.words.said import COLUMNS, wrapped


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
    allowed = "The jumper handler.G to drive.input_2 may stay for a time, tagged and dated."
    assert said["staging.measure"].startswith(allowed)
    assert any(line.startswith(allowed) for line in panel.tell())


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
    hot = next(rung for rung in panel.ladder() if rung.terminal == "handler.Y2")
    assert (hot.designed.value, hot.now.value) == (0.0, 24.0)


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


EXAMPLE = re.sub(r"(?m)^#(?! |$)", "", starter_text()).split("[wiring]")[1].split("# A visit.")[0]
STARTER = starter_text().split("[wiring]")[0] + "[wiring]" + EXAMPLE


def test_the_starters_own_wiring_example_runs_the_fan():
    """Two stages, 36 Hz with the first and 60 Hz with the second; the last wire is missing."""
    analysis = analyse(job_from_text(STARTER))
    calls = analysis.calls
    speeds = {call: calls.designed.answer(call).speed.text for call in ("fan", "cool 1", "cool 2")}
    assert speeds == {"fan": "36 Hz", "cool 1": "36 Hz", "cool 2": "60 Hz"}
    assert [fault.place for fault in calls.faults] == ["handler.Y2 to drive.input_2"]
    assert calls.measure.refused == () and not calls.combinations


def test_a_missing_speed_is_said_and_is_no_standing_fan():
    """The row of the first input left out: the fan is fed there all the same."""
    start, rest = STARTER.split("[[wiring.fan_speed]]", 1)
    analysis = analyse(job_from_text(start + rest[rest.index("[[wiring.fan_speed]]") :]))
    assert not any("without fan" in c.name for c in analysis.calls.combinations)
    told = next(f for f in analysis.findings if f.key == "staging.cool_1").statement
    assert "No speed typed for drive.input_1" in told
    panel = WiringPanel.from_job(job_from_text(start + rest[rest.index("[[wiring.fan_speed]]") :]), "cool 1")
    assert any("No speed typed for drive.input_1" in line for line in panel.tell())


def test_a_transformer_that_is_shorted_is_named_and_nothing_runs(panel):
    panel.jumper[0].value, panel.jumper[1].value = "handler.R", "handler.C"
    told = panel.tell()
    assert told[0].startswith("With cool 2 on: nothing runs; as designed: compressor 1")
    assert any("refused: it is a short circuit of the control transformer" in line for line in told)
    assert "The control transformer is short-circuited: handler.R meets handler.C" in told[1]
    assert not any("fan low" in line or "reversing valve" in line for line in told if "Wire" not in line)


def test_the_safer_choice_stands_before_the_jumper(panel):
    told = panel.tell()
    safer = next(n for n, line in enumerate(told) if line.startswith("Safer first"))
    assert "lock the second stage out" in told[safer] and "heating off" in told[safer]
    assert told[safer + 1].startswith("The jumper")
    panel.jumper[0].value = "no jumper"
    assert not any(line.startswith("Safer first") for line in panel.tell())


def test_of_two_inputs_on_the_winning_one_is_said(panel):
    told = next(line for line in panel.tell() if "sets the fan's speed" in line)
    assert told.startswith("drive.input_2 (60 Hz) sets the fan's speed over drive.input_1 (36 Hz)")
    assert "overruled" in panel.draw()
    panel.jumper[0].value = "no jumper"
    assert not any("sets the fan's speed" in line for line in panel.tell())
    assert "overruled" not in panel.draw()


def test_what_is_loose_stands_first_among_the_wires(panel):
    assert next(iter(panel.landed)) == ("relays.out", "drive.input_2")


def test_the_picture_has_letters_of_eleven_or_more(panel):
    svg = panel.draw()
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)) >= 11.0


@pytest.mark.parametrize(
    "kind", [AirPanel, ChargePanel, FanPanel, FreezePanel, InventoryPanel, WaterPanel, WiringPanel]
)
def test_every_picture_brings_its_white_ground(job, kind):
    """A page may be dark: black lines then need a ground of their own."""
    svg = kind.from_job(job).draw()
    assert svg.startswith("<svg") and "background:#fff" in svg[: svg.index(">")]


def test_findings_are_told_or_why_there_are_none(job):
    assert any(line.startswith("watch: The jumper") for line in findings_told(job))
    (why,) = findings_told(load_job(data_path("measured", "chamber.toml")))
    assert "lists no terminals" in why


def test_a_new_finding_on_the_wiring_is_told(job, monkeypatch):
    analysis = analyse(job)
    told = next(f for f in analysis.findings if f.key == "staging.measure")
    new = (replace(told, key=key) for key in ("staging.relay", "staging.cool_1", "coil.relay"))
    monkeypatch.setattr(
        wiring, "analyse", lambda _: SimpleNamespace(findings=tuple(new), calls=analysis.calls)
    )
    assert findings_told(job) == [f"{told.severity}: {told.statement}"]


def test_printed_lines_break_between_words(job):
    for line in findings_told(job):
        shown = wrapped(line).split("\n")
        assert max(map(len, shown)) <= COLUMNS
        assert " ".join(part.strip() for part in shown) == line
