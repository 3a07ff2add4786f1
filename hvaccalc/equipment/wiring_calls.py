"""What each call does: loads it never reaches, loads it must not start, stages and fan that do not fit."""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.equipment.wiring import CALLS, DANGEROUS, Circuit, Ends, Load
from hvaccalc.equipment.wiring_faults import FULL, works


@dataclass(frozen=True, slots=True)
class Unreached:
    """A load that a call should reach and does not: the last terminal reached, the first that is not."""

    call: str
    load: str
    last: str
    next: str


@dataclass(frozen=True, slots=True)
class BackFeed:
    """A compressor or heat on by calls that should not have it, and the way the voltage takes."""

    load: str
    calls: tuple[str, ...]
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Combination:
    """Stages and fan that must not be on together."""

    name: str
    call: str
    severity: str


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


def _stop(designed: Circuit, found: Circuit, call: str, name: str, ends: Ends) -> Unreached | None:
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


def _feed(circuit: Circuit, load: Load, call: str) -> tuple[str, ...]:
    for supply in circuit.netlist.supplies:
        for end in load.ends:
            if path := circuit.path(call, supply.hot, end):
                return path
    return ()


def combinations(
    circuit: Circuit, heat_pump: bool, designed: Circuit | None = None
) -> tuple[Combination, ...]:
    """Stages and fan that must not be on together, call by call.

    Parameters
    ----------
    circuit : Circuit
    heat_pump : bool
    designed : Circuit or None
        Where the second cooling call wants full speed by design, a lower one is named though its
        compressor stays off too.
    """
    loads = {load.name: load for load in circuit.netlist.loads}
    top = max((load.stage for load in loads.values() if load.kind == "compressor"), default=0)
    told = []
    for call in CALLS:
        answer = circuit.answer(call)
        on = [loads[name] for name in answer.loads]
        stages = {load.stage for load in on if load.kind == "compressor"}
        share = answer.speed.share if answer.speed else 0.0
        heating = any(load.kind == "heat" for load in on) or (
            heat_pump and call.startswith("heat") and stages
        )
        if top > 1 and 2 in stages and 1 not in stages:
            told.append(Combination("second stage without first", call, "act"))
        if not circuit.netlist.inputs:
            continue
        if share == 0.0 and (stages or heating):
            word = "heating" if heating else "cooling"
            told.append(Combination(f"{word} without fan", call, "stop"))
        elif share < FULL and heating:
            told.append(Combination("fan low while heating", call, "act"))
        elif share < FULL and call == "cool 2" and (1 < top in stages or _full(designed, call)):
            told.append(Combination("fan low with second stage", call, "act"))
    return tuple(told)


def _full(circuit: Circuit | None, call: str) -> bool:
    """Whether the fan is at full speed in a call of a fan with two speeds."""
    if circuit is None or circuit.netlist.inputs == ():
        return False
    answer = circuit.answer(call)
    return (
        answer.speed is not None
        and answer.speed.share >= FULL
        and works(answer) != works(circuit.answer("fan"))
    )
