"""Which compressors run in a condition, and what proves it."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.call import Call, Mode, highest_stage
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import pressures
from hvaccalc.ensemble import beyond
from hvaccalc.practice.circuits import CLEAR_RATIO, IDLE_CURRENT, LEVEL_RATIO


class RunState(StrEnum):
    """Whether a compressor runs: proved, disproved, stated and not proved, or not known."""

    YES = "running"
    NO = "stopped"
    SAID = "said"
    UNKNOWN = "unknown"


class Against(StrEnum):
    """How a compressor goes against its call."""

    IDLE = "called, not running"
    UNCALLED = "runs without a call"


@dataclass(frozen=True, slots=True)
class RunProof:
    """Whether a circuit's compressor runs.

    Attributes
    ----------
    state : RunState
    how : str
        The evidence, for a reader.
    by_current : bool
        Proved by current, power or flow, that is, independently of the pressures.
    """

    state: RunState
    how: str
    by_current: bool = False


def compressor(draws: Draws, where: Where) -> RunProof:
    """Proof that one circuit's compressor runs in a condition."""
    condition = draws.condition(where)
    listed = condition.compressors_running
    current = draws.reading(where, "compressor_current")
    if current is not None:
        if current.quantity.value > IDLE_CURRENT:
            return RunProof(RunState.YES, f"it draws {current.quantity.text}", by_current=True)
        return RunProof(RunState.NO, f"it draws {current.quantity.text}")
    for key in ("compressor_power", "refrigerant_mass_flow"):
        reading = draws.reading(where, key)
        if reading is not None and reading.quantity.value > 0.0:
            return RunProof(
                RunState.YES, f"its {key.split('_', 1)[1].replace('_', ' ')} was measured", by_current=True
            )
    if pressures_apart(draws, where):
        return RunProof(RunState.YES, "head and suction pressure stand clearly apart")
    if listed is not None:
        stated = where.circuit in listed
        how = "stated, not proved by current or pressures" if stated else "not among the compressors running"
        return RunProof(RunState.SAID if stated else RunState.NO, how)
    if condition.calls == ():
        return RunProof(RunState.NO, "no call")
    return RunProof(RunState.UNKNOWN, "no current and no pair of pressures")


def called_but_idle(draws: Draws, where: Where) -> dict[str, RunProof]:
    """Circuits whose stage is called and whose compressor stands, with the evidence."""
    calls = draws.condition(where).calls or ()
    if Call.DEFROST in calls:
        return {}
    stage = called_stage(draws, where)
    proofs = {
        name: compressor(draws, where.at(name)) for name in draws.job.circuit if draws.stage(name) <= stage
    }
    return {name: proof for name, proof in proofs.items() if proof.state == RunState.NO}


def uncalled(draws: Draws, where: Where) -> dict[str, RunProof]:
    """Circuits whose compressor runs, proved or stated, without a call for it, with the evidence.

    A stage that nobody typed is not held against a stage that was called.
    """
    calls = draws.condition(where).calls
    if calls is None or Call.DEFROST in calls:
        return {}
    called = called_stage(draws, where)
    proofs = {
        name: compressor(draws, where.at(name))
        for name, circuit in draws.job.circuit.items()
        if called == 0 or (circuit.stage is not None and circuit.stage > called)
    }
    return {name: proof for name, proof in proofs.items() if proof.state in (RunState.YES, RunState.SAID)}


def pressures_apart(draws: Draws, where: Where) -> bool:
    """Whether a liquid or discharge pressure stands clearly above suction, beyond the readings' band."""
    read = pressures(draws, where)
    suction, head = read.suction, read.outlet
    if suction is None or head is None:
        return False
    return beyond(np.where(suction > 0.0, head - CLEAR_RATIO * suction, -1.0))


def level(draws: Draws, where: Where) -> bool:
    """Whether suction and head pressure, both read, stand next to each other."""
    read = pressures(draws, where)
    suction, head = read.suction, read.outlet
    return suction is not None and head is not None and bool(head[0] < LEVEL_RATIO * suction[0])


def stands(draws: Draws, where: Where) -> bool:
    """Whether a circuit stands by all that is known: superheat and subcooling mean nothing then."""
    state = compressor(draws, where).state
    return state == RunState.NO or (state != RunState.YES and level(draws, where))


def running_circuits(draws: Draws, where: Where) -> tuple[str, ...]:
    """Circuits that run in a condition, as proved or stated; all that stage with the calls where unsaid."""
    return tuple(name for name in draws.job.circuit if runs(draws, where.at(name)))


def runs(draws: Draws, where: Where) -> bool:
    """Whether a circuit counts as running: proved or stated, else called for.

    Where the calls are not known either, a circuit that somebody read counts; where none was read, all do.
    """
    state = compressor(draws, where).state
    if state != RunState.UNKNOWN:
        return state in (RunState.YES, RunState.SAID)
    condition = draws.condition(where)
    if condition.calls is None:
        return where.circuit in condition.circuit or not condition.circuit
    return called_stage(draws, where) >= draws.stage(where.circuit)


def called_stage(draws: Draws, where: Where) -> int:
    """Highest compressor stage called for, 0 where no call runs a compressor.

    A heating call runs one in a heat pump alone: other units heat by water, gas or electricity.
    """
    by_compressor = (Mode.COOL, Mode.HEAT) if draws.job.unit.kind == "heat pump" else (Mode.COOL,)
    return highest_stage(draws.condition(where).calls or (), *by_compressor)


def heating(draws: Draws, where: Where) -> bool:
    """Whether a call heats or defrosts, so that nothing holds that is said of cooling."""
    return any(call.mode in (Mode.HEAT, Mode.DEFROST) for call in draws.condition(where).calls or ())


def heats(draws: Draws, where: Where) -> bool:
    """Whether a call heats and none defrosts."""
    calls = draws.condition(where).calls or ()
    return any(call.mode is Mode.HEAT for call in calls) and Call.DEFROST not in calls


def stage_in_use(draws: Draws, where: Where) -> int | None:
    """Highest stage called for, else the number of compressors said to run; None where nothing tells."""
    condition = draws.condition(where)
    if condition.calls is not None:
        return called_stage(draws, where)
    if condition.compressors_running is not None:
        return len(condition.compressors_running)
    return None
