"""What is wrong with a wiring: found against designed, each fault named with its place and effect."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from hvaccalc.call import CALLS, Call, Mode
from hvaccalc.equipment.wiring.netlist import Answer, Circuit, Ends, Load, Safety, Supply
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault.

    Attributes
    ----------
    name : str
        wire never landed, heat wire never landed, wire on the wrong terminal, wires swapped, common
        lifted, common of the drive broken, extra wire, supply shorted, supplies tied, dry contact fed,
        safety bridged, contact welded or bridged, preset not assigned, preset wrong, wrong supply.
    place : str
        Terminals.
    effect : str
        What it does to which call, empty where nothing changes.
    severity : Severity
        note, watch, act or stop.
    for_measure : bool
        Belongs to a temporary measure: a conductor moved for it, or the break that it stands in for.
    """

    name: str
    place: str
    effect: str
    severity: Severity
    for_measure: bool = False


def device_of(terminal: str) -> str:
    """Device of a terminal."""
    return terminal.partition(".")[0]


def shown(wire: Ends) -> str:
    """A wire in words."""
    return f"{wire[0]} to {wire[1]}"


def differences(designed: Circuit, found: Circuit) -> tuple[list[Ends], list[Ends]]:
    """Wires that are missing and wires that are extra."""
    wanted = {frozenset(w): w for w in designed.netlist.wires}
    there = {frozenset(w): w for w in found.netlist.wires}
    missing = [w for key, w in wanted.items() if key not in there]
    return missing, [w for key, w in there.items() if key not in wanted]


def faults(designed: Circuit, found: Circuit, jumpers: Sequence[Ends] = ()) -> tuple[Fault, ...]:
    """All faults of a wiring as found.

    Parameters
    ----------
    designed, found : Circuit
        `found` without its temporary pairs.
    jumpers : sequence of pairs
        Temporary pairs: what was moved for them is no fault of its own.
    """
    return (
        *_landings(designed, found, jumpers),
        *_presets(designed, found),
        *_supplies(designed, found),
        *_dry_contacts(found),
        *_bridges(designed, found),
        *_wrong_supply(designed, found),
    )


# --- wires ------------------------------------------------------------------------------------------------


def _landings(designed: Circuit, found: Circuit, jumpers: Sequence[Ends]) -> Iterator[Fault]:
    missing, extra = differences(designed, found)
    jumped = {end for pair in jumpers for end in pair}
    spliced = _splices(missing, extra, jumped)
    extra = [w for w in extra if w not in spliced]
    while pair := _swapped(missing, extra):
        lost, gained = pair
        missing, extra = [w for w in missing if w not in lost], [w for w in extra if w not in gained]
        yield _fault("wires swapped", f"{shown(gained[0])} and {shown(gained[1])}", designed, lost, gained)
    for wire in list(missing):
        if moved := next((x for x in extra if _neighbour(wire, x)), None):
            missing.remove(wire)
            extra.remove(moved)
            place = f"{shown(moved)} instead of {shown(wire)}"
            yield _fault("wire on the wrong terminal", place, designed, [wire], [moved])
    for wire in missing:
        name = _missing_name(wire, designed)
        yield _fault(name, shown(wire), designed, [wire], [], bool(jumped & set(wire)))
    for wire in extra:
        with_it = Circuit(designed.netlist.with_wires([wire]))
        if (effect := effects(designed, with_it)) and not _has_a_name(designed, with_it):
            yield Fault("extra wire", shown(wire), effect, Severity.ACT)


def _has_a_name(designed: Circuit, with_it: Circuit) -> bool:
    """Whether what an extra wire does (short, tie, bridge, feed) is told under a name of its own."""
    return (
        any(with_it.answer(call).shorted for call in CALLS)
        or tied(with_it) != tied(designed)
        or bridged_safeties(with_it) != bridged_safeties(designed)
        or bridged_contacts(with_it) != bridged_contacts(designed)
        or fed_dry_contacts(with_it) != fed_dry_contacts(designed)
    )


def _splices(missing: Sequence[Ends], extra: Sequence[Ends], jumped: set[str]) -> list[Ends]:
    """Extra wires that carry a call past a jumped terminal, joining what two lifted wires led to."""
    past = [
        {*a, *b} - {node}
        for node in jumped
        for a in missing
        for b in missing
        if a != b and node in a and node in b
    ]
    return [w for w in extra if set(w) in past]


def _swapped(missing: Sequence[Ends], extra: Sequence[Ends]) -> tuple[list[Ends], list[Ends]] | None:
    """Two missing wires whose ends are found crossed over."""
    there = {frozenset(w): w for w in extra}
    for n, (a, b) in enumerate(missing):
        for other in missing[n + 1 :]:
            for c, d in (other, other[::-1]):
                one, two = there.get(frozenset((a, d))), there.get(frozenset((c, b)))
                if one and two and one != two:
                    return [(a, b), other], [one, two]
    return None


def _neighbour(wire: Ends, moved: Ends) -> bool:
    """Whether one end stayed and the other lies on the same device."""
    kept = set(wire) & set(moved)
    if len(kept) != 1:
        return False
    (old,), (new,) = set(wire) - kept, set(moved) - kept
    return device_of(old) == device_of(new)


def _missing_name(wire: Ends, designed: Circuit) -> str:
    nets = designed.nets(Call.NONE)
    if any(nets.same(wire[0], s.common) for s in designed.netlist.supplies):
        drive = {device_of(i.common) for i in designed.netlist.inputs} - {
            device_of(end) for load in designed.netlist.loads for end in load.ends
        }
        at_drive = any(device_of(end) in drive for end in wire)
        return "common of the drive broken" if at_drive else "common lifted"
    calls = changed_calls(designed, Circuit(designed.netlist.without(wire)))
    heating = calls and all(call.mode in (Mode.HEAT, Mode.DEFROST) for call in calls)
    return "heat wire never landed" if heating else "wire never landed"


def _fault(
    name: str, place: str, designed: Circuit, lost: list[Ends], gained: list[Ends], for_measure: bool = False
) -> Fault:
    """A fault with what it alone changes in a wiring as designed."""
    netlist = designed.netlist
    for wire in lost:
        netlist = netlist.without(wire)
    effect = effects(designed, Circuit(netlist.with_wires(gained)))
    return Fault(name, place, effect, Severity.ACT if effect else Severity.NOTE, for_measure)


def changed_calls(before: Circuit, after: Circuit) -> list[Call]:
    """Calls whose loads or fan speed differ."""
    return [call for call in CALLS if works(before.answer(call)) != works(after.answer(call))]


def works(answer: Answer) -> tuple[tuple[str, ...], float]:
    return answer.loads, answer.speed.share if answer.speed else 0.0


def effects(before: Circuit, after: Circuit) -> str:
    """What changes, call by call, in words."""
    told: dict[str, list[str]] = {}
    for call in changed_calls(before, after):
        told.setdefault(_change(before.answer(call), after.answer(call)), []).append(call)
    return "; ".join(f"at {', '.join(calls)}: {text}" for text, calls in told.items())


def _change(before: Answer, after: Answer) -> str:
    parts = [f"{name} stays off" for name in before.loads if name not in after.loads]
    parts += [f"{name} comes on" for name in after.loads if name not in before.loads]
    was, now = (speed_text(answer) for answer in (before, after))
    if works(before)[1] != works(after)[1]:
        parts.append(f"fan {now} instead of {was}")
    return ", ".join(parts)


def speed_text(answer: Answer) -> str:
    """Fan speed in words."""
    return answer.speed.text if answer.speed else "off"


# --- presets ----------------------------------------------------------------------------------------------


def _presets(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    for wanted, there in zip(designed.netlist.inputs, found.netlist.inputs, strict=True):
        if wanted.speed is None or wanted.speed == there.speed:
            continue
        only = tuple(there if i is wanted else i for i in designed.netlist.inputs)
        effect = effects(designed, Circuit(replace(designed.netlist, inputs=only)))
        if there.speed is None:
            yield Fault(
                "preset not assigned",
                f"{wanted.terminal}, meant for {wanted.speed.text}",
                effect,
                Severity.ACT,
            )
        elif abs(there.speed.share - wanted.speed.share) > 1e-3:
            place = f"{wanted.terminal}, {there.speed.text} instead of {wanted.speed.text}"
            yield Fault("preset wrong", place, effect, Severity.ACT)


# --- supplies, dry contacts, bridges ----------------------------------------------------------------------


def culprit(designed: Circuit, found: Circuit, call: str, start: str, end: str) -> str:
    """The wire on a way that does not belong there, else the whole way."""
    path = found.path(call, start, end)
    legs = list(zip(path, path[1:], strict=False))
    own = {frozenset(w) for w in designed.edges(call)}
    foreign = [leg for leg in legs if frozenset(leg) not in own]
    return ", ".join(shown(leg) for leg in foreign) or " - ".join(path)


def _supplies(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    told = set()
    for supply in found.netlist.supplies:
        calls = [c for c in CALLS if found.nets(c).same(supply.hot, supply.common)]
        if calls:
            place = culprit(designed, found, calls[0], supply.hot, supply.common)
            told.add(place)
            when = "always" if "none" in calls else f"at {', '.join(calls)}"
            yield Fault("supply shorted", place, f"{when}: {supply.hot} meets {supply.common}", Severity.ACT)
    for one, two, call in _tied(found):
        if not any(designed.nets(c).same(one, two) for c in CALLS):
            place = culprit(designed, found, call, one, two)
            if place not in told:
                told.add(place)
                effect = f"{one} and {two} of two transformers are joined"
                yield Fault("supplies tied", place, effect, Severity.ACT)


def _tied(circuit: Circuit) -> Iterator[tuple[str, str, Call]]:
    """Sides of different supplies that touch, other than two commons."""
    supplies = circuit.netlist.supplies
    for n, one in enumerate(supplies):
        for two in supplies[n + 1 :]:
            for a, b in ((one.hot, two.hot), (one.hot, two.common), (one.common, two.hot)):
                call = next((c for c in CALLS if circuit.nets(c).same(a, b)), None)
                if call is not None:
                    yield a, b, call


def tied(circuit: Circuit) -> bool:
    """Whether two supplies touch on a hot side."""
    return next(_tied(circuit), None) is not None


def fed_dry_contacts(circuit: Circuit) -> list[tuple[str, Supply, Call]]:
    """Dry contacts that see the hot side of a supply: terminal, supply, first call."""
    found = []
    for terminal in circuit.netlist.dry_contacts:
        for supply in circuit.netlist.supplies:
            call = next((c for c in CALLS if circuit.nets(c).same(terminal, supply.hot)), None)
            if call is not None:
                found.append((terminal, supply, call))
    return found


def _dry_contacts(found: Circuit) -> Iterator[Fault]:
    for terminal, supply, call in fed_dry_contacts(found):
        way = " - ".join(found.path(call, supply.hot, terminal))
        yield Fault("dry contact fed", terminal, f"it sees {supply.voltage:.0f} V by {way}", Severity.ACT)


def bridged_safeties(circuit: Circuit) -> list[Safety]:
    """Safeties whose two ends are joined by wires past them."""
    return [s for s in circuit.netlist.safeties if circuit.metal.same(*s.ends)]


def bridged_contacts(circuit: Circuit) -> list[Ends]:
    """Contacts whose two ends are joined though nothing closes them."""
    return [c.ends for c in circuit.netlist.contacts if circuit.metal.same(*c.ends)]


def _bridges(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    for safety in bridged_safeties(found):
        if not designed.metal.same(*safety.ends):
            place = f"{safety.name}, {shown(safety.ends)}"
            yield Fault("safety bridged", place, "it can no longer stop anything", Severity.STOP)
    for ends in dict.fromkeys(bridged_contacts(found)):
        if not designed.metal.same(*ends):
            effect = f"it stays closed: {effects_at_rest(designed, found) or 'no load follows'}"
            yield Fault("contact welded or bridged", shown(ends), effect, Severity.ACT)


def effects_at_rest(designed: Circuit, found: Circuit) -> str:
    """What is on with no call that should not be."""
    return _change(designed.answer("none"), found.answer("none"))


def _wrong_supply(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    """Loads between the hot side of one supply and the common of another."""
    for load in found.netlist.loads:
        for call in CALLS:
            if load.name in designed.answer(call).loads and load.name not in found.answer(call).loads:
                if hot := _foreign(found, load, call):
                    effect = f"at {call}: {load.name} is fed from {hot}, its return is another's"
                    yield Fault("wrong supply", " and ".join(load.ends), effect, Severity.ACT)
                    break


def _foreign(circuit: Circuit, load: Load, call: str) -> str:
    nets, supplies = circuit.nets(call), circuit.netlist.supplies
    for a, b in (load.ends, load.ends[::-1]):
        for s in supplies:
            if nets.same(a, s.hot) and any(nets.same(b, o.common) for o in supplies if o is not s):
                return s.hot
    return ""
