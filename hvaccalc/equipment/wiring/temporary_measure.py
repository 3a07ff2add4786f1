"""A jumper judged before anybody lands it: refused, or allowed with what has to be done first."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum, auto

from hvaccalc.call import CALLS, Call
from hvaccalc.equipment.wiring.netlist import Circuit, Ends
from hvaccalc.equipment.wiring.usual_wiring import letter
from hvaccalc.equipment.wiring.wiring_calls import BackFeed, Mismatch, back_feeds, combinations
from hvaccalc.equipment.wiring.wiring_faults import (
    bridged_safeties,
    fed_dry_contacts,
    shown,
    speed_text,
    tied,
)
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class Refusal(StrEnum):
    """Why a temporary pair must not be landed."""

    NAMED_SAFETY = auto()
    SAFETY = auto()
    ACROSS_LOAD = auto()
    SHORT = auto()
    SHORT_AT = auto()
    TIES_SUPPLIES = auto()
    DRY_CONTACT = auto()
    BRINGS = auto()
    ENERGISES_VALVE = auto()
    DROPS_VALVE = auto()
    STARTS = auto()
    TWO_SPEEDS = auto()
    CHANGES_NOTHING = auto()


OF_A_SAFETY = (Refusal.NAMED_SAFETY, Refusal.SAFETY)


_NAMED = re.compile(r"float|freeze|smoke|safety|cut-?_?out|(low|high)[ _-]?press|limit", re.IGNORECASE)
_PRESSURE = re.compile(r"(?<![a-z])(lp|hp)(s|c|sw|co)?(?![a-z])", re.IGNORECASE)
"""Names of terminals that lead to a safety, by common practice; ``hp`` may also name a whole heat pump, so
it counts in the terminal's own name alone."""


def call_name(call: Call) -> str:
    """A call in words.

    Examples
    --------
    >>> call_name(Call.NONE), call_name(Call.COOL_1)
    ('no call', 'cool 1')
    """
    return "no call" if call is Call.NONE else call.value


@dataclass(frozen=True, slots=True)
class CallProof:
    """What has to be seen at one call, or at none, before anybody leaves."""

    call: Call
    loads: tuple[str, ...]
    speed: str

    @property
    def call_name(self) -> str:
        """The call in words."""
        return call_name(self.call)


@dataclass(frozen=True, slots=True)
class Measure:
    """Temporary pairs judged together.

    Attributes
    ----------
    jumpers : tuple of pairs
    refused : tuple of Reason
        Why it must not be landed; empty where it may be, under the conditions below.
    lifted : tuple of str
        Conductors that have to be moved off a jumped terminal, or that were.
    fed : tuple of BackFeed
        What it would start by a wrong call as things are.
    out_of_service : tuple of str
        Loads that no call reaches while it is in place, though the wiring was designed for them.
    proofs : tuple of CallProof
    """

    jumpers: tuple[Ends, ...]
    refused: tuple[Reason, ...]
    lifted: tuple[str, ...]
    fed: tuple[BackFeed, ...]
    out_of_service: tuple[str, ...]
    proofs: tuple[CallProof, ...]

    @property
    def pairs(self) -> tuple[str, ...]:
        """The jumpers in words."""
        return tuple(map(shown, self.jumpers))

    @property
    def text(self) -> str:
        """refused, or allowed with conditions."""
        return "refused" if self.refused else "allowed with conditions"

    @property
    def bridges_safety(self) -> bool:
        """Whether a safety would be bridged: nothing makes it acceptable."""
        return any(why.code in OF_A_SAFETY for why in self.refused)

    @property
    def severity(self) -> Severity:
        """A bridged safety stops the unit; a measure that is not refused is watched while it stands."""
        if self.bridges_safety:
            return Severity.STOP
        return Severity.ACT if self.refused else Severity.WATCH


def judge(
    designed: Circuit,
    found: Circuit,
    jumpers: Sequence[Ends],
    heat_pump: bool = False,
    two_speed_motor: bool = False,
) -> Measure:
    """Judge temporary pairs on a wiring as found.

    Parameters
    ----------
    designed, found : Circuit
        `found` without the pairs.
    jumpers : sequence of pairs
    heat_pump : bool
    two_speed_motor : bool
        A contactor for each speed feeds the fan's motor, and no drive picks the highest input.
    """
    after = Circuit(found.netlist.with_wires(jumpers))
    fed = back_feeds(designed, after, found)
    refused = [
        *_named_safeties(jumpers),
        *_across(found, after, jumpers),
        *_on_supplies(found, after),
        *_into_dry_contacts(found, after),
        *_new_combinations(designed, found, after, heat_pump),
        *_turning_valves(designed, found, after, heat_pump),
        *_feeding(fed),
        *(_both_speeds(found, after) if two_speed_motor else ()),
    ]
    if not refused and all(after.answer(call) == found.answer(call) for call in CALLS):
        refused.append(Reason(Refusal.CHANGES_NOTHING))
    return Measure(
        jumpers=tuple(jumpers),
        refused=tuple(dict.fromkeys(refused)),
        lifted=tuple(_conductors(designed, found, after, jumpers, fed)),
        fed=fed,
        out_of_service=_out_of_service(designed, after),
        proofs=_proofs(designed, after),
    )


def _named_safeties(jumpers: Sequence[Ends]) -> Iterator[Reason]:
    """Terminals that call themselves a safety's, whether or not the table lists it."""
    for end in dict.fromkeys(end for pair in jumpers for end in pair):
        if _NAMED.search(end) or _PRESSURE.search(end.rpartition(".")[2]):
            yield Reason(Refusal.NAMED_SAFETY, {"terminal": end})


def _across(found: Circuit, after: Circuit, jumpers: Sequence[Ends]) -> Iterator[Reason]:
    before = {safety.ends for safety in bridged_safeties(found)}
    for safety in bridged_safeties(after):
        if safety.ends not in before:
            yield Reason(Refusal.SAFETY, {"name": safety.name})
    for load in after.netlist.loads:
        if after.metal.same(*load.ends) and not found.metal.same(*load.ends):
            yield Reason(Refusal.ACROSS_LOAD, {"load": load.name})


def _on_supplies(found: Circuit, after: Circuit) -> Iterator[Reason]:
    for call in CALLS:
        for supply in after.answer(call).shorted:
            if supply not in found.answer(call).shorted:
                hot, common = supply.hot, supply.common
                if call is Call.NONE:
                    yield Reason(Refusal.SHORT, {"hot": hot, "common": common})
                else:
                    yield Reason(Refusal.SHORT_AT, {"hot": hot, "common": common, "call": call.value})
                return
    if tied(after) and not tied(found):
        yield Reason(Refusal.TIES_SUPPLIES)


def _into_dry_contacts(found: Circuit, after: Circuit) -> Iterator[Reason]:
    before = {terminal for terminal, _, _ in fed_dry_contacts(found)}
    for terminal, _, _ in fed_dry_contacts(after):
        if terminal not in before:
            yield Reason(Refusal.DRY_CONTACT, {"terminal": terminal})


def _new_combinations(designed: Circuit, found: Circuit, after: Circuit, heat_pump: bool) -> Iterator[Reason]:
    before = {(c.name, c.call) for c in combinations(found, heat_pump, designed)}
    for combination in combinations(after, heat_pump, designed):
        bad = combination.name.without_fan or combination.name is Mismatch.SECOND_STAGE_ALONE
        if bad and (combination.name, combination.call) not in before:
            at = combination.call.value
            yield Reason(Refusal.BRINGS, {"mismatch": combination.name.value, "call": at})


def _turning_valves(designed: Circuit, found: Circuit, after: Circuit, heat_pump: bool) -> Iterator[Reason]:
    """Reversing valves that stand otherwise than by design in a call, and that did not before."""
    changed: dict[tuple[Refusal, str], list[str]] = {}
    for call in CALLS:
        if after.answer(call).shorted:
            continue  # Nothing works then: the short is the reason to tell.
        wanted, was, now = (_valves_on(circuit, call, heat_pump) for circuit in (designed, found, after))
        for how, valves in (
            (Refusal.ENERGISES_VALVE, now - wanted - was),
            (Refusal.DROPS_VALVE, (wanted & was) - now),
        ):
            for valve in sorted(valves):
                changed.setdefault((how, valve), []).append(call_name(call))
    for (how, valve), calls in changed.items():
        on = how is Refusal.ENERGISES_VALVE
        yield Reason(
            Refusal.ENERGISES_VALVE if on else Refusal.DROPS_VALVE, {"valve": valve, "calls": tuple(calls)}
        )


def _valves_on(circuit: Circuit, call: Call, heat_pump: bool) -> set[str]:
    """Reversing valves that are on; where a heat pump's table lists none, its O and B terminals tell."""
    netlist, answer = circuit.netlist, circuit.answer(call)
    valves = {load.name for load in netlist.loads if load.kind == "valve"}
    if valves or not heat_pump:
        return valves & set(answer.loads)
    nets = circuit.nets(call)
    hot = {nets.of(s.hot) for s in netlist.supplies if s not in answer.shorted}
    ends = (end for wire in netlist.wires for end in wire if letter(end) in ("O", "B"))
    return {"reversing valve"} if any(nets.of(end) in hot for end in ends) else set()


def _feeding(fed: Sequence[BackFeed]) -> Iterator[Reason]:
    for one in fed:
        calls, way = tuple(map(call_name, one.calls)), " - ".join(one.path)
        yield Reason(Refusal.STARTS, {"load": one.load, "calls": calls, "way": way})


def _both_speeds(found: Circuit, after: Circuit) -> Iterator[Reason]:
    """Calls at which two speeds of one motor are energised together; common practice, no source."""
    calls = [call for call in CALLS if _speeds_on(after, call) > max(1, _speeds_on(found, call))]
    if calls:
        yield Reason(Refusal.TWO_SPEEDS, {"calls": tuple(map(call_name, calls))})


def _speeds_on(circuit: Circuit, call: Call) -> int:
    nets = circuit.nets(call)
    # Inputs whose speed nobody typed may be a board's, which takes one of them.
    typed = (fan for fan in circuit.netlist.inputs if not fan.assumed)
    live = (fan for fan in typed if circuit.live(nets, fan.terminal, fan.common))
    return len({fan.speed.text for fan in live if fan.speed is not None})


def _conductors(
    designed: Circuit, found: Circuit, after: Circuit, jumpers: Sequence[Ends], fed: Sequence[BackFeed]
) -> Iterator[str]:
    """Wires on jumped terminals that lead to a compressor or to heat: those to move, and those moved."""
    jumped = {end for pair in jumpers for end in pair}
    own = {frozenset(w) for w in found.netlist.wires}
    for one in fed:
        legs = zip(one.path, one.path[1:], strict=False)
        on_it = [leg for leg in legs if frozenset(leg) in own and set(leg) & jumped]
        yield from (shown(leg) for leg in on_it[-1:])
    for wire in designed.netlist.wires:
        if jumped & set(wire) and frozenset(wire) not in own:
            landed = Circuit(after.netlist.with_wires([wire]))
            if back_feeds(designed, landed, after):
                yield shown(wire)


def _out_of_service(designed: Circuit, after: Circuit) -> tuple[str, ...]:
    def ever(circuit: Circuit) -> set[str]:
        return {name for call in CALLS for name in circuit.answer(call).loads}

    lost = ever(designed) - ever(after)
    return tuple(load.name for load in designed.netlist.loads if load.name in lost)


def _proofs(designed: Circuit, after: Circuit) -> tuple[CallProof, ...]:
    """No call, fan alone and each stage that the wiring knows, with what must run then."""
    told = []
    for call in CALLS:
        answer = after.answer(call)
        if call is Call.NONE or answer.loads or answer.speed or designed.answer(call).loads:
            told.append(CallProof(call, after.works(call), speed_text(answer)))
    return tuple(told)
