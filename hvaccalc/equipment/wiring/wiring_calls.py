"""What each call does: loads it never reaches, loads it must not start, stages and fan that do not fit."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.call import CALLS, Call, Mode
from hvaccalc.equipment.wiring.netlist import DANGEROUS, Circuit, Ends, Load
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.severity import Severity


class Mismatch(StrEnum):
    """Stages and fan that must not be on together, as wired or as read."""

    SECOND_STAGE_ALONE = "second stage without first"
    HEATING_WITHOUT_FAN = "heating without fan"
    COOLING_WITHOUT_FAN = "cooling without fan"
    FAN_LOW_WHILE_HEATING = "fan low while heating"
    FAN_LOW_WITH_SECOND_STAGE = "fan low with second stage"

    @property
    def without_fan(self) -> bool:
        """Whether a compressor or heat is on and no air moves."""
        return self in (Mismatch.HEATING_WITHOUT_FAN, Mismatch.COOLING_WITHOUT_FAN)

    @property
    def severity(self) -> Severity:
        """Without air the unit has to stop."""
        return Severity.STOP if self.without_fan else Severity.ACT


@dataclass(frozen=True, slots=True)
class Unreached:
    """A load that a call should reach and does not: the last terminal reached, the first that is not."""

    call: Call
    load: str
    last: str
    next: str


@dataclass(frozen=True, slots=True)
class BackFeed:
    """A compressor or heat on by calls that should not have it, and the way the voltage takes."""

    load: str
    calls: tuple[Call, ...]
    path: tuple[str, ...]

    @property
    def severity(self) -> Severity:
        """What starts by itself calls for action."""
        return Severity.ACT


@dataclass(frozen=True, slots=True)
class Combination:
    """Stages and fan that must not be on together, and the call at which they are."""

    name: Mismatch
    call: Call


def unreached(designed: Circuit, found: Circuit) -> tuple[Unreached, ...]:
    """Loads and fan inputs that a call should reach and does not, and where its way ends."""
    told = []
    ends = {load.name: load.ends for load in designed.netlist.loads}
    ends |= {i.terminal: (i.terminal, i.common) for i in designed.netlist.inputs}
    for call in CALLS:
        wanted, there = designed.answer(call), found.answer(call)
        lost = [x for x in (*wanted.loads, *wanted.inputs) if x not in (*there.loads, *there.inputs)]
        told += [
            stop for name in dict.fromkeys(lost) if (stop := _stop(designed, found, call, name, ends[name]))
        ]
    return tuple(told)


def _stop(designed: Circuit, found: Circuit, call: Call, name: str, ends: Ends) -> Unreached | None:
    """Where the designed way to a load leaves what is reached, from the hot side, else from the common."""
    ideal, real = designed.nets(call), found.nets(call)
    for supply in designed.netlist.supplies:
        for side in (supply.hot, supply.common):
            for end in ends:
                if ideal.same(side, end) and not real.same(side, end):
                    path = designed.path(call, side, end)
                    n = next((n for n, t in enumerate(path) if not real.same(side, t)), 0)
                    if n:
                        return Unreached(call, name, path[n - 1], path[n])
    return None


def back_feeds(designed: Circuit, now: Circuit, before: Circuit | None = None) -> tuple[BackFeed, ...]:
    """Compressors and heat that are on by a call that should not have them, and were not so `before`."""
    told = []
    known = before or designed
    for load in now.netlist.loads:
        calls = [
            call
            for call in CALLS
            if load.kind in DANGEROUS
            and load.name in now.answer(call).loads
            and load.name not in designed.answer(call).loads
            and load.name not in known.answer(call).loads
        ]
        if calls:
            told.append(BackFeed(load.name, tuple(calls), _feed(now, load, calls[0])))
    return tuple(told)


def _feed(circuit: Circuit, load: Load, call: Call) -> tuple[str, ...]:
    for supply in circuit.netlist.supplies:
        for end in load.ends:
            if path := circuit.path(call, supply.hot, end):
                return path
    return ()


def combinations(circuit: Circuit, heat_pump: bool, designed: Circuit) -> tuple[Combination, ...]:
    """Stages and fan that must not be on together, call by call.

    Notes
    -----
    Heat that is no compressor's (radiators, a water coil) has a fan of its own design: it is held
    against what the design gives at the same call. Where the second cooling call wants full speed by
    design, a lower one is named though its compressor stays off too.
    """
    found = []
    for call in CALLS:
        found += [Combination(name, call) for name in _named(circuit, call, heat_pump, designed)]
    return tuple(found)


def _named(circuit: Circuit, call: Call, heat_pump: bool, designed: Circuit) -> Iterator[Mismatch]:
    loads = {load.name: load for load in circuit.netlist.loads}
    on = [loads[name] for name in circuit.answer(call).loads]
    stages = {load.stage for load in on if load.kind == "compressor"}
    if 2 in stages and 1 not in stages:
        yield Mismatch.SECOND_STAGE_ALONE
    if not circuit.netlist.inputs:
        return
    share, wanted = circuit.answer(call).share, designed.answer(call).share
    pumping = heat_pump and call.mode is Mode.HEAT and bool(stages)
    heating = pumping or any(load.kind == "heat" for load in on)
    if share == 0.0 and (pumping or (heating and wanted > 0.0)):
        yield Mismatch.HEATING_WITHOUT_FAN
    elif share == 0.0 and stages and not heating:
        yield Mismatch.COOLING_WITHOUT_FAN
    elif share < FULL_SPEED and (pumping or (heating and share < wanted)):
        yield Mismatch.FAN_LOW_WHILE_HEATING
    elif (
        0.0 < share < FULL_SPEED
        and call is Call.COOL_2
        and (2 in stages or (wanted >= FULL_SPEED and _two_speeds(designed)))
    ):
        yield Mismatch.FAN_LOW_WITH_SECOND_STAGE


def _two_speeds(circuit: Circuit) -> bool:
    """Whether the second cooling call makes the fan faster than the first."""
    return circuit.answer(Call.COOL_2).share > circuit.answer(Call.COOL_1).share
