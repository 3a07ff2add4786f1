"""Ways of running that a unit has, their circuits by design, and whether they run the fan slow."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hvaccalc.call import Call, Mode, highest_stage
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.service.diagnosed import Diagnosed

STAGED = (Mode.COOL, Mode.HEAT)


@dataclass(frozen=True, slots=True)
class Running:
    """One way of running.

    Attributes
    ----------
    mode : Mode
    stage : int
        Highest stage called for; 0 for a mode without stages.

    Examples
    --------
    >>> [call.value for call in Running(Mode.COOL, 2).calls], Running(Mode.COOL, 1).less, OFF.calls
    (['cool 1', 'cool 2'], None, ())
    """

    mode: Mode
    stage: int = 0

    @property
    def calls(self) -> tuple[Call, ...]:
        """The calls of it."""
        return tuple(
            call
            for call in Call
            if call is not Call.NONE and call.mode is self.mode and call.stage <= self.stage
        )

    @property
    def less(self) -> Running | None:
        """The same with one stage less; None where there is none below."""
        return Running(self.mode, self.stage - 1) if self.stage > 1 else None


OFF, FAN = Running(Mode.OFF), Running(Mode.FAN)


def running_of(calls: Iterable[Call]) -> Running:
    """The way of running of some calls.

    Examples
    --------
    >>> running_of((Call.FAN, Call.COOL_2)) == Running(Mode.COOL, 2), running_of((Call.NONE,)) == OFF
    (True, True)
    """
    calls = tuple(calls)
    modes = {call.mode for call in calls}
    first = next((mode for mode in (Mode.DEFROST, Mode.HEAT, Mode.COOL, Mode.FAN) if mode in modes), Mode.OFF)
    return Running(first, highest_stage(calls, first))


def running_in(of: Diagnosed, where: Where) -> Running | None:
    """The way of running in which a condition was read; None where nobody noted what ran."""
    calls = of.draws.condition(where).calls
    if calls is not None:
        return running_of(calls)
    stage = compressors.stage_in_use(of.draws, where)
    return Running(Mode.COOL, stage) if stage else None


def ways_of_running(of: Diagnosed) -> tuple[Running, ...]:
    """Ways of running that the unit has; heat that is no compressor's where a table or a reading knows it."""
    read = [running for result in of.conditions if (running := running_in(of, result.where)) is not None]
    wired = [running_of((call,)) for call in of.calls.calls] if of.calls is not None else []
    known = [*read, *wired]
    highest = max((of.draws.stage(name) for name in of.job.circuit), default=0)
    stages = {Mode.COOL: highest, Mode.HEAT: highest if of.job.unit.kind == HEAT_PUMP else 0}
    staged = [
        Running(mode, stage)
        for mode in STAGED
        for stage in range(1, max([stages[mode], *(r.stage for r in known if r.mode is mode)]) + 1)
    ]
    defrosts = of.job.unit.kind == HEAT_PUMP or any(running.mode is Mode.DEFROST for running in known)
    return (FAN, *staged, *((Running(Mode.DEFROST),) if defrosts else ()))


HEAT_PUMP = "heat pump"


def circuits_on(of: Diagnosed, running: Running) -> tuple[str, ...]:
    """Circuits that run by design in a way of running; heat that is no heat pump's runs none."""
    pump = of.job.unit.kind == HEAT_PUMP
    if running.mode is Mode.DEFROST:
        return tuple(of.job.circuit) if pump else ()
    if running.mode is Mode.COOL or (running.mode is Mode.HEAT and pump):
        return tuple(name for name in of.job.circuit if of.draws.stage(name) <= running.stage)
    return ()


def heats_slow(of: Diagnosed) -> bool | None:
    """Whether heating calls run the fan below its design as found; None where nothing tells."""
    if any(_reads(r, Mismatch.FAN_LOW_WHILE_HEATING) for r in of.conditions):
        return True
    calls = of.calls
    if calls is None or not any(call.mode is Mode.HEAT for call in calls.calls):
        heats = [r for r in of.conditions if compressors.heating(of.draws, r.where)]
        return False if any(r.airflow and r.airflow.speed_ratio for r in heats) else None
    return _wired_slow(calls, Mode.HEAT)


def cools_slow(of: Diagnosed) -> bool:
    """Whether cooling ran the fan below its design, as read or as wired."""
    read = any(_reads(r, Mismatch.FAN_LOW_WITH_SECOND_STAGE) for r in of.conditions)
    return read or (of.calls is not None and _wired_slow(of.calls, Mode.COOL))


def _reads(result: ConditionResult, mismatch: Mismatch) -> bool:
    return result.staging is not None and result.staging.text is mismatch


def _wired_slow(calls: CallWiring, mode: Mode) -> bool:
    those = [call for call in calls.calls if call.mode is mode]
    return any(calls.found.answer(call).share < calls.designed.answer(call).share for call in those)
