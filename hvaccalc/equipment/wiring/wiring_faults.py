"""What is wrong with a wiring: found against designed, each fault named with its place and effect."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum, auto

from hvaccalc.call import CALLS, Call, Mode
from hvaccalc.equipment.wiring.fault_kinds import FAULTS, FaultKind
from hvaccalc.equipment.wiring.netlist import Answer, Circuit, Ends, Load, Safety, Supply, device_of
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class Effect(StrEnum):
    """What a fault does."""

    CHANGES = auto()
    AT_CALLS = auto()
    STAYS_OFF = auto()
    COMES_ON = auto()
    FAN = auto()
    SHORT_ALWAYS = auto()
    SHORT_AT = auto()
    JOINED = auto()
    SEES_VOLTAGE = auto()
    STOPS_NOTHING = auto()
    STAYS_CLOSED = auto()
    STAYS_CLOSED_NO_LOAD = auto()
    FED_FROM = auto()


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault.

    Attributes
    ----------
    kind : FaultKind
    place : str
        Terminals.
    effect : Reason or None
        What it does to which call, None where nothing changes.
    calls : tuple of Call
        At which it acts.
    for_measure : bool
        Belongs to a temporary measure: a conductor moved for it, or the break that it stands in for.
    """

    kind: FaultKind
    place: str
    effect: Reason | None
    calls: tuple[Call, ...]
    for_measure: bool = False

    @property
    def severity(self) -> Severity:
        """How bad it is here."""
        row = FAULTS[self.kind]
        return row.severity if self.effect is not None else row.without_effect

    @property
    def live(self) -> bool:
        """Whether it is mended with the power on."""
        return FAULTS[self.kind].live

    @property
    def stands(self) -> bool:
        """Whether it has an effect that its own mending takes away, whatever measure is in place."""
        return self.effect is not None and (not self.for_measure or FAULTS[self.kind].stood_in)


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
        yield _fault(FaultKind.SWAPPED, f"{shown(gained[0])} and {shown(gained[1])}", designed, lost, gained)
    for wire in list(missing):
        if moved := next((x for x in extra if _neighbour(wire, x)), None):
            missing.remove(wire)
            extra.remove(moved)
            place = f"{shown(moved)} instead of {shown(wire)}"
            yield _fault(FaultKind.WRONG_TERMINAL, place, designed, [wire], [moved])
    for wire in missing:
        kind = _missing_kind(wire, designed)
        yield _fault(kind, shown(wire), designed, [wire], [], bool(jumped & set(wire)))
    for wire in extra:
        with_it = Circuit(designed.netlist.with_wires([wire]))
        changed = tuple(changed_calls(designed, with_it))
        if changed and not _has_a_name(designed, with_it):
            yield Fault(FaultKind.EXTRA_WIRE, shown(wire), effects(designed, with_it), changed)


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


def _missing_kind(wire: Ends, designed: Circuit) -> FaultKind:
    nets = designed.nets(Call.NONE)
    if any(nets.same(wire[0], s.common) for s in designed.netlist.supplies):
        drive = {device_of(i.common) for i in designed.netlist.inputs} - {
            device_of(end) for load in designed.netlist.loads for end in load.ends
        }
        at_drive = any(device_of(end) in drive for end in wire)
        return FaultKind.DRIVE_COMMON_BROKEN if at_drive else FaultKind.COMMON_LIFTED
    calls = changed_calls(designed, Circuit(designed.netlist.without(wire)))
    heating = calls and all(call.mode in (Mode.HEAT, Mode.DEFROST) for call in calls)
    return FaultKind.HEAT_NEVER_LANDED if heating else FaultKind.NEVER_LANDED


def _fault(
    kind: FaultKind,
    place: str,
    designed: Circuit,
    lost: list[Ends],
    gained: list[Ends],
    for_measure: bool = False,
) -> Fault:
    """A fault with what it alone changes in a wiring as designed."""
    netlist = designed.netlist
    for wire in lost:
        netlist = netlist.without(wire)
    after = Circuit(netlist.with_wires(gained))
    return Fault(kind, place, effects(designed, after), tuple(changed_calls(designed, after)), for_measure)


def changed_calls(before: Circuit, after: Circuit) -> list[Call]:
    """Calls whose loads or fan speed differ."""
    return [call for call in CALLS if works(before.answer(call)) != works(after.answer(call))]


def works(answer: Answer) -> tuple[tuple[str, ...], float]:
    return answer.loads, answer.speed.share if answer.speed else 0.0


def effects(before: Circuit, after: Circuit) -> Reason | None:
    """What changes, call by call; None where nothing does."""
    same: list[tuple[tuple[Reason, ...], list[str]]] = []
    for call in changed_calls(before, after):
        parts = _change(before.answer(call), after.answer(call))
        known = next((calls for one, calls in same if one == parts), None)
        if known is None:
            same.append((parts, [call.value]))
        else:
            known.append(call.value)
    changes = tuple(Reason(Effect.AT_CALLS, {"calls": tuple(calls), "parts": parts}) for parts, calls in same)
    return Reason(Effect.CHANGES, {"changes": changes}) if changes else None


def _change(before: Answer, after: Answer) -> tuple[Reason, ...]:
    parts = [Reason(Effect.STAYS_OFF, {"load": name}) for name in before.loads if name not in after.loads]
    parts += [Reason(Effect.COMES_ON, {"load": name}) for name in after.loads if name not in before.loads]
    was, now = (speed_text(answer) for answer in (before, after))
    if works(before)[1] != works(after)[1]:
        parts.append(Reason(Effect.FAN, {"now": now, "was": was}))
    return tuple(parts)


def speed_text(answer: Answer) -> str:
    """Fan speed in words."""
    return answer.speed.text if answer.speed else "off"


# --- presets ----------------------------------------------------------------------------------------------


def _presets(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    for wanted, there in zip(designed.netlist.inputs, found.netlist.inputs, strict=True):
        if wanted.speed is None or wanted.speed == there.speed:
            continue
        only = tuple(there if i is wanted else i for i in designed.netlist.inputs)
        after = Circuit(replace(designed.netlist, inputs=only))
        does = (effects(designed, after), tuple(changed_calls(designed, after)))
        if there.speed is None:
            place = f"{wanted.terminal}, meant for {wanted.speed.text}"
            yield Fault(FaultKind.PRESET_NOT_ASSIGNED, place, *does)
        elif abs(there.speed.share - wanted.speed.share) > 1e-3:
            place = f"{wanted.terminal}, {there.speed.text} instead of {wanted.speed.text}"
            yield Fault(FaultKind.PRESET_WRONG, place, *does)


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
            short = _short(calls, supply.hot, supply.common)
            yield Fault(FaultKind.SUPPLY_SHORTED, place, short, tuple(calls))
    for one, two, call in _tied(found):
        if not any(designed.nets(c).same(one, two) for c in CALLS):
            place = culprit(designed, found, call, one, two)
            if place not in told:
                told.add(place)
                joined = Reason(Effect.JOINED, {"one": one, "two": two})
                yield Fault(FaultKind.SUPPLIES_TIED, place, joined, (call,))


def _short(calls: Sequence[Call], hot: str, common: str) -> Reason:
    if Call.NONE in calls:
        return Reason(Effect.SHORT_ALWAYS, {"hot": hot, "common": common})
    at = tuple(call.value for call in calls)
    return Reason(Effect.SHORT_AT, {"calls": at, "hot": hot, "common": common})


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
        sees = Reason(Effect.SEES_VOLTAGE, {"voltage": supply.voltage, "way": way})
        yield Fault(FaultKind.DRY_CONTACT_FED, terminal, sees, (call,))


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
            yield Fault(FaultKind.SAFETY_BRIDGED, place, Reason(Effect.STOPS_NOTHING), ())
    for ends in dict.fromkeys(bridged_contacts(found)):
        if not designed.metal.same(*ends):
            # What is on with no call that should not be.
            parts = _change(designed.answer(Call.NONE), found.answer(Call.NONE))
            closed = Reason(Effect.STAYS_CLOSED, {"parts": parts})
            effect = closed if parts else Reason(Effect.STAYS_CLOSED_NO_LOAD)
            yield Fault(FaultKind.CONTACT_BRIDGED, shown(ends), effect, (Call.NONE,) if parts else ())


def _wrong_supply(designed: Circuit, found: Circuit) -> Iterator[Fault]:
    """Loads between the hot side of one supply and the common of another."""
    for load in found.netlist.loads:
        for call in CALLS:
            if load.name in designed.answer(call).loads and load.name not in found.answer(call).loads:
                if hot := _foreign(found, load, call):
                    fed = Reason(Effect.FED_FROM, {"call": call.value, "load": load.name, "hot": hot})
                    yield Fault(FaultKind.WRONG_SUPPLY, " and ".join(load.ends), fed, (call,))
                    break


def _foreign(circuit: Circuit, load: Load, call: str) -> str:
    nets, supplies = circuit.nets(call), circuit.netlist.supplies
    for a, b in (load.ends, load.ends[::-1]):
        for s in supplies:
            if nets.same(a, s.hot) and any(nets.same(b, o.common) for o in supplies if o is not s):
                return s.hot
    return ""
