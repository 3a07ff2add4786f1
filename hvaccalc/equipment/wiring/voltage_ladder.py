"""Where a call is lost: readings between terminals against what each single broken segment would show."""

import math
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace

from hvaccalc.call import CALLS
from hvaccalc.ensemble import Band
from hvaccalc.equipment.wiring.netlist import Circuit, Ends, Netlist, Supply
from hvaccalc.equipment.wiring.wiring_faults import shown
from hvaccalc.practice.air import DEAD_VOLTAGE, LIVE_VOLTAGE, SAME_SPEED, TRANSFORMER_SPREAD


@dataclass(frozen=True, slots=True)
class Rung:
    """One reading of the ladder.

    Attributes
    ----------
    call : str
        Highest call on.
    ends : pair or None
        Terminals of a voltage.
    volts : float
        As read [V].
    input : str
        Terminal of a drive's input whose status was read, in place of a voltage.
    on : bool
        That status.
    speed : float
        Fan speed as a share of full, in place of both; NaN where not read.
    """

    call: str
    ends: Ends | None = None
    volts: float = float("nan")
    input: str = ""
    on: bool = False
    speed: float = float("nan")


@dataclass(frozen=True, slots=True)
class Segment:
    """One thing that may be broken, and the netlist with it broken."""

    name: str
    netlist: Netlist


@dataclass(frozen=True, slots=True)
class Located:
    """What the readings say.

    Attributes
    ----------
    segments : tuple of str
        Those that explain every reading; empty where none does, or none has to.
    sound : bool
        Whether the wiring as it stands explains them all.
    next : str
        The reading that would tell the segments apart, empty where there is none or no need.
    ghosts : tuple of str
        Readings that are neither full nor none.
    """

    segments: tuple[str, ...]
    sound: bool
    next: str
    ghosts: tuple[str, ...]


def predicted(circuit: Circuit, call: str, ends: Ends, weak: bool = False) -> float | None:
    """Voltage between two terminals in a call [V]; None where an end hangs free.

    Parameters
    ----------
    circuit : Circuit
    call : str
    ends : pair
    weak : bool
        Whether a fan input, which draws next to nothing, counts as holding a terminal: a meter of high
        impedance may show it so, and may as well show less.
    """
    nets = circuit.nets(call)
    levels = _levels(circuit, call, weak)
    one, other = (levels.get(nets.of(end)) for end in ends)
    if one is None or other is None:
        return 0.0 if nets.same(*ends) else None
    (supply, high), (also, low) = one, other
    if supply != also:
        return abs(high * supply.voltage - low * also.voltage) if _joined(circuit, call) else None
    return abs(high - low) * supply.voltage


def _joined(circuit: Circuit, call: str) -> bool:
    """Whether all commons are one, so that voltages of two supplies add up."""
    nets, supplies = circuit.nets(call), circuit.netlist.supplies
    return all(nets.same(s.common, supplies[0].common) for s in supplies)


def _levels(circuit: Circuit, call: str, weak: bool) -> dict[str, tuple[Supply, float]]:
    """Supply and side (1 hot, 0 common) of each net, also of those that only a load's winding holds there."""
    nets = circuit.nets(call)
    levels: dict[str, tuple[Supply, float]] = {}
    for supply in circuit.netlist.supplies:
        sound = not nets.same(supply.hot, supply.common)
        levels.setdefault(nets.of(supply.common), (supply, 0.0))
        levels.setdefault(nets.of(supply.hot), (supply, 1.0 if sound else 0.0))
    holding = [load.ends for load in circuit.netlist.loads]
    if weak:
        holding += [(fan.terminal, fan.common) for fan in circuit.netlist.inputs]
    held = [(nets.of(a), nets.of(b)) for a, b in holding]
    given = set(levels)
    while True:
        pulled: dict[str, set[tuple[Supply, float]]] = {}
        for a, b in held:
            for free, fixed in ((a, b), (b, a)):
                if free not in levels and fixed in levels:
                    pulled.setdefault(free, set()).add(levels[fixed])
        # A winding on either side leaves a terminal somewhere between: not known.
        settled = {net: next(iter(sides)) for net, sides in pulled.items() if len(sides) == 1}
        if not settled:
            return levels
        levels |= {net: level for net, level in settled.items() if net not in given}


def locate(base: Netlist, rungs: Sequence[Rung]) -> Located:
    """The single broken segment that explains all readings.

    Parameters
    ----------
    base : Netlist
        The wiring as it stands.
    rungs : sequence of Rung
    """
    ghosts = tuple(_told(rung) for rung in rungs if _ghost(base, rung))
    if _explains(base, rungs):
        return Located((), True, "", ghosts)
    good = [s for s in segments(base, rungs) if _explains(s.netlist, rungs)]
    return Located(tuple(s.name for s in good), False, _telling(base, good, rungs), ghosts)


def segments(base: Netlist, rungs: Sequence[Rung]) -> list[Segment]:
    """Everything that may be broken on its own."""
    calls = {rung.call for rung in rungs}
    found = [Segment(f"wire {shown(w)}", base.without(w)) for w in _concerned(base, rungs)]
    for n, contact in enumerate(base.contacts):
        if contact.calls & calls or contact.coil:
            rest = base.contacts[:n] + base.contacts[n + 1 :]
            found.append(Segment(f"contact {shown(contact.ends)} stays open", replace(base, contacts=rest)))
        welded = replace(base, ties=(*base.ties, contact.ends))
        found.append(Segment(f"contact {shown(contact.ends)} stays closed (welded)", welded))
    for n, safety in enumerate(base.safeties):
        rest_of = base.safeties[:n] + base.safeties[n + 1 :]
        found.append(
            Segment(f"safety {safety.name} ({shown(safety.ends)}) is open", replace(base, safeties=rest_of))
        )
    for n, supply in enumerate(base.supplies):
        dead = replace(
            base, supplies=(*base.supplies[:n], replace(supply, voltage=0.0), *base.supplies[n + 1 :])
        )
        found.append(Segment(f"supply {supply.hot} to {supply.common} is dead", dead))
    for n, fan in enumerate(base.inputs):
        if fan.speed is not None:
            lost = replace(base, inputs=(*base.inputs[:n], replace(fan, speed=None), *base.inputs[n + 1 :]))
            found.append(Segment(f"preset of {fan.terminal}", lost))
    return found


def _concerned(base: Netlist, rungs: Sequence[Rung]) -> list[Ends]:
    """Wires that touch what a reading touched: breaking any other changes no reading."""
    circuit = Circuit(base)
    touched = set()
    for rung in rungs:
        nets = circuit.nets(rung.call)
        read = [*(rung.ends or ()), rung.input] if math.isnan(rung.speed) else []
        inputs = [end for i in base.inputs for end in (i.terminal, i.common)]
        loads = [end for load in base.loads for end in load.ends]
        sides = [end for s in base.supplies for end in (s.hot, s.common)]
        touched |= {(rung.call, nets.of(end)) for end in (*(read or inputs), *loads, *sides)}
    return [w for w in base.wires if any((call, circuit.nets(call).of(w[0])) in touched for call in CALLS)]


def _explains(netlist: Netlist, rungs: Sequence[Rung]) -> bool:
    circuit = Circuit(netlist)
    return all(_fits(circuit, rung) for rung in rungs)


def _fits(circuit: Circuit, rung: Rung) -> bool:
    answer = circuit.answer(rung.call)
    if rung.ends is not None:
        return _kind(rung.volts, _nominal(circuit.netlist)) in _kinds(circuit, rung.call, rung.ends)
    if rung.input:
        return _electrically_on(circuit, rung) == rung.on
    share = answer.speed.share if answer.speed and _powered(circuit.netlist) else 0.0
    return abs(share - rung.speed) <= SAME_SPEED


def _electrically_on(circuit: Circuit, rung: Rung) -> bool:
    nets = circuit.nets(rung.call)
    common = next((i.common for i in circuit.netlist.inputs if i.terminal == rung.input), "")
    return _powered(circuit.netlist) and circuit.live(nets, rung.input, common)


def _powered(netlist: Netlist) -> bool:
    return any(s.voltage > 0.0 for s in netlist.supplies)


def _nominal(netlist: Netlist) -> float:
    return max((s.voltage for s in netlist.supplies), default=0.0) or 24.0


def _kind(volts: float, nominal: float) -> str:
    share = volts / nominal
    return "live" if share >= LIVE_VOLTAGE else "dead" if share < DEAD_VOLTAGE else "ghost"


def _kinds(circuit: Circuit, call: str, ends: Ends) -> tuple[str, ...]:
    """What a meter may show."""
    volts = predicted(circuit, call, ends)
    if volts is None:
        held = predicted(circuit, call, ends, weak=True)
        through = held is not None and _kind(held, _nominal(circuit.netlist)) == "live"
        return ("dead", "ghost", "live") if through else ("dead", "ghost")
    return (_kind(volts, _nominal(circuit.netlist)),)


def _ghost(base: Netlist, rung: Rung) -> bool:
    return rung.ends is not None and _kind(rung.volts, _nominal(base)) == "ghost"


def _told(rung: Rung) -> str:
    assert rung.ends is not None
    return f"{rung.volts:.1f} V at {shown(rung.ends)}"


def _telling(base: Netlist, good: Sequence[Segment], rungs: Sequence[Rung]) -> str:
    """The reading whose answers part the segments best."""
    if len(good) < 2:
        return ""
    best, most = "", 1
    circuits = [Circuit(s.netlist) for s in good]
    suspected = " ".join(s.name for s in good).split()
    ends = dict.fromkeys(end for wire in base.wires for end in wire)
    near = sorted(ends, key=lambda end: end not in suspected)
    for call in dict.fromkeys(rung.call for rung in rungs):
        for name, answers in _candidates(base, near, circuits, call):
            parted = len(set(answers))
            if parted > most:
                best, most = name, parted
    return best


def _candidates(
    base: Netlist, ends: Sequence[str], circuits: Sequence[Circuit], call: str
) -> Iterator[tuple[str, Sequence[Hashable]]]:
    """Readings one could take, each with what every circuit would show."""
    for terminal in ends:
        own = [s.common for s in base.supplies] + [i.common for i in base.inputs]
        for common in dict.fromkeys(own):
            # A free end may show anything below full: it parts only from a full reading.
            shows = [_kinds(c, call, (terminal, common)) == ("live",) for c in circuits]
            yield f"voltage at {terminal} against {common} with {call} on", shows
    for fan in base.inputs:
        shows = [_electrically_on(c, Rung(call, input=fan.terminal)) for c in circuits]
        yield f"status that the drive shows of {fan.terminal} with {call} on", shows
    speeds = [c.answer(call).speed for c in circuits]
    yield f"fan frequency with {call} on", [s.text if s else "" for s in speeds]
    resting = [c.answer("none") for c in circuits]
    yield "loads and fan with no call", [(a.loads, a.inputs) for a in resting]


@dataclass(frozen=True, slots=True)
class Expected:
    """What a meter should show at a terminal that a call makes hot, by design or as things stand.

    Attributes
    ----------
    terminal, common : str
    designed, now : Band or None
        Voltage as designed and as the wiring stands, within the spread of transformer and meter [V]; None
        where the terminal hangs free.
    """

    terminal: str
    common: str
    designed: Band | None
    now: Band | None


def expected(designed: Circuit, now: Circuit, call: str) -> tuple[Expected, ...]:
    """The ladder of a call: its terminals from the contacts to the loads, rails left out.

    Parameters
    ----------
    designed, now : Circuit
    call : str
    """
    states, told = (designed.nets(call), now.nets(call)), []
    rails = {designed.metal.of(end) for s in designed.netlist.supplies for end in (s.hot, s.common)}
    for supply in designed.netlist.supplies:
        for terminal in dict.fromkeys(end for wire in designed.netlist.wires for end in wire):
            hot = any(nets.same(terminal, supply.hot) for nets in states)
            if hot and designed.metal.of(terminal) not in rails:
                ends = (terminal, supply.common)
                told.append(Expected(*ends, _spread(designed, call, ends), _spread(now, call, ends)))
    return tuple(told)


def _spread(circuit: Circuit, call: str, ends: Ends) -> Band | None:
    volts = predicted(circuit, call, ends)
    if volts is None:
        return None
    return Band(volts, volts * (1.0 - TRANSFORMER_SPREAD), volts * (1.0 + TRANSFORMER_SPREAD))
