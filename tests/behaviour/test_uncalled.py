"""A compressor without a call: act, with the fan low or off stop; a jumper that runs one comes off today.

Physics and decisions: common practice, no source.
"""

import pytest

from hvaccalc.call import Mode
from hvaccalc.job.causes import Cause
from hvaccalc.service.may_run.concern import Do
from hvaccalc.service.repair.repair_rows import Repair
from hvaccalc.service.today import Decision
from tests.behaviour.jobs import analysis_of, blocks_of, found, job_text

IDLE = {f"{name}.{key}": None for name in "12" for key in ("compressor_current", "liquid_pressure")}
FAN_ONLY = {"condition.calls": ["fan"], "air.airflow": None}

BY = {
    "stated": IDLE | {"condition.compressors_running": ["1"]},
    "by current": IDLE | {"1.compressor_current": "18 A", "condition.compressors_running": None},
    "by pressures": IDLE | {"1.liquid_pressure": "317 psig", "condition.compressors_running": None},
}


@pytest.mark.parametrize("evidence", BY)
@pytest.mark.parametrize(("fan", "severity"), [("60 Hz", "act"), ("36 Hz", "stop"), ("0 Hz", "stop")])
def test_it_is_found_by_whatever_shows_it(evidence, fan, severity) -> None:
    analysis = analysis_of(job_text(FAN_ONLY | BY[evidence] | {"air.fan_frequency": fan}))
    (finding,) = found(analysis, "circuit.compressor")
    assert (finding.circuit, finding.text, finding.severity) == ("1", "runs without a call", severity)
    assert [end.cause for end in analysis.put_right if end.open] == [Cause.BACK_FEED]
    assert Repair.FIND_WHAT_STARTS_IT in {one.repair for one in analysis.repairs.called}


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_neither_copy_says_that_nothing_is_wrong(audience) -> None:
    text = repr(blocks_of(analysis_of(job_text(FAN_ONLY | BY["stated"])), audience))
    assert "Nothing out of order" not in text and "without a call" in text or "nothing asks for" in text


@pytest.mark.parametrize(
    "changes",
    [
        {"condition.calls": ["fan"], "condition.compressors_running": [], **IDLE},
        {"condition.calls": None},
        {},
        # A stage that nobody typed is not held against one that was called.
        {"condition.calls": ["cool 1"], "circuit.1.stage": None, "circuit.2.stage": None},
    ],
)
def test_one_that_is_called_or_stands_is_not(changes) -> None:
    assert not any(r.uncalled for r in analysis_of(job_text(changes)).conditions)


def test_one_that_stands_later_with_the_unit_off_has_not_lost_its_feed() -> None:
    """It may have been switched off by hand, to read its pressure at rest."""
    rest = '\n[[visit.condition]]\nlabel = "at rest"\ncalls = []\ncompressors_running = []\n'
    off = {"condition.calls": [], "air.airflow": None, "air.fan_frequency": "0 Hz"}
    today = analysis_of(job_text(off | BY["stated"], extra=rest)).today
    assert {one.decision for one in today if one.running.mode is not Mode.FAN} == {Decision.STOP}


def test_a_second_stage_that_runs_on_a_call_of_the_first_is() -> None:
    (result,) = analysis_of(job_text({"condition.calls": ["cool 1"]})).conditions
    assert tuple(result.uncalled) == ("2",)


WIRED = {
    "wiring.terminals": [
        *("thermostat.G", "thermostat.Y1", "thermostat.Y2", "handler.G", "handler.Y1", "handler.Y2"),
        *("outdoor.Y1", "outdoor.Y2", "drive.input_1"),
    ],
    "wiring.designed": [
        *(["thermostat.G", "handler.G"], ["thermostat.Y1", "handler.Y1"], ["thermostat.Y2", "handler.Y2"]),
        *(["handler.Y1", "outdoor.Y1"], ["handler.Y2", "outdoor.Y2"], ["handler.G", "drive.input_1"]),
    ],
    "wiring.temporary": [["handler.G", "handler.Y2"]],
}


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_a_jumper_that_runs_one_is_taken_off_today(audience) -> None:
    ran = FAN_ONLY | IDLE | WIRED | {"2.compressor_current": "18 A", "condition.compressors_running": ["2"]}
    analysis = analysis_of(job_text(ran))
    assert Repair.TAKE_JUMPER_OFF in {one.repair for one in analysis.repairs.called}
    # No stage is left on by the step of a way of running that stops.
    stopped = [one for one in analysis.today if one.decision is Decision.STOP]
    assert stopped and not {Do.LOCK_OUT, Do.LOCK_OUT_UNREAD} & {
        s.what.code for one in stopped for s in one.do
    }
    text = repr(blocks_of(analysis, audience))
    assert "considered" not in text and ("taken off today" in text or "take it off today" in text)


def test_one_that_is_only_drawn_is_refused() -> None:
    analysis = analysis_of(job_text(WIRED))
    assert Repair.TAKE_JUMPER_OFF not in {one.repair for one in analysis.repairs.called}
    assert "considered and refused" in repr(blocks_of(analysis, "customer"))
