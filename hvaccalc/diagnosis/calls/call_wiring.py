"""What the job's wiring does at every call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hvaccalc.call import CALLS, Call, highest
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.calls.job_netlist import netlists
from hvaccalc.diagnosis.calls.measures import ReadCall, read_calls
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.wiring.netlist import Circuit, Ends, Netlist
from hvaccalc.equipment.wiring.temporary_measure import Measure, judge
from hvaccalc.equipment.wiring.voltage_ladder import Expected, Located, Rung, expected, locate
from hvaccalc.equipment.wiring.wiring_calls import (
    BackFeed,
    Combination,
    Unreached,
    back_feeds,
    combinations,
    unreached,
)
from hvaccalc.equipment.wiring.wiring_faults import Fault, faults
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Condition
from hvaccalc.severity import Severity


@dataclass(frozen=True)
class CallWiring:
    """Who is energised by which call, and what is wrong with it.

    Attributes
    ----------
    designed, found, now : Circuit
        `now` is as found with the temporary pairs.
    heat_pump : bool
    calls : tuple of Call
        Calls that close something.
    faults : tuple of Fault
        Of the wiring as found.
    unreached : tuple of Unreached
    back_feeds : tuple of BackFeed
        As it is now.
    combinations : tuple of Combination
        As it is now.
    found_combinations : tuple of Combination
        Without the temporary pairs.
    measure : Measure or None
        The temporary pairs, judged.
    ladders : dict of Where to Ladder
        Voltage readings of a condition.
    read : tuple of ReadCall
        Calls that were read with the temporary pairs landed.
    """

    designed: Circuit
    found: Circuit
    now: Circuit
    heat_pump: bool
    calls: tuple[Call, ...]
    faults: tuple[Fault, ...]
    unreached: tuple[Unreached, ...]
    back_feeds: tuple[BackFeed, ...]
    combinations: tuple[Combination, ...]
    found_combinations: tuple[Combination, ...]
    measure: Measure | None
    ladders: dict[Where, Ladder]
    read: tuple[ReadCall, ...] = ()

    def severity(self, call: Call) -> Severity:
        """How much a call matters as the wiring is now: a mismatch's, else whether it lost anything.

        What a temporary pair that is not refused leaves off is watched.
        """
        wrong = self.combination(call)
        if wrong is not None:
            return wrong.name.severity
        was, now = self.designed.answer(call), self.now.answer(call)
        slower = (now.speed.share if now.speed else 0.0) < (was.speed.share if was.speed else 0.0)
        if not set(was.loads) ^ set(now.loads) and not slower:
            return Severity.NOTE
        held = self.measure is not None and not self.measure.refused
        return Severity.WATCH if held else Severity.ACT

    def combination(self, call: str) -> Combination | None:
        """The invalid combination of a call, None where it is sound."""
        return next((c for c in self.combinations if c.call == call), None)

    def expected(self, call: str) -> tuple[Expected, ...]:
        """What a meter should show at a call's terminals, as designed and as the wiring stands."""
        return expected(self.designed, self.now, call)


@dataclass(frozen=True, slots=True)
class Ladder:
    """Voltage readings of one condition.

    Attributes
    ----------
    rungs : tuple of Rung
    located : Located
    against : str
        State of the wiring that they fit or were held against: as found, with the temporary pair, as
        designed.
    left_out : tuple of str
        Terminals read that the table does not know.
    """

    rungs: tuple[Rung, ...]
    located: Located
    against: str
    left_out: tuple[str, ...] = ()

    @property
    def severity(self) -> Severity:
        """Readings that the wiring does not give call for action, a ghost voltage is watched."""
        if not self.located.sound:
            return Severity.ACT
        return Severity.WATCH if self.located.ghosts else Severity.NOTE


def call_wiring(draws: Draws) -> CallWiring | None:
    """The job's wiring at every call; None where the job lists no terminals."""
    job = draws.job
    if not (job.wiring.terminals or job.wiring.designed):
        return None
    designed, found, now = (Circuit(netlist) for netlist in netlists(job))
    heat_pump = job.unit.kind == "heat pump"
    jumpers = job.wiring.temporary or ()
    motor = job.unit.fan.drive == "two speed motor"
    measure = judge(designed, found, jumpers, heat_pump, motor) if jumpers else None
    return CallWiring(
        designed=designed,
        found=found,
        now=now,
        heat_pump=heat_pump,
        calls=tuple(c for c in CALLS if any(c in contact.calls for contact in designed.netlist.contacts)),
        faults=faults(designed, found, jumpers),
        unreached=unreached(designed, now),
        back_feeds=back_feeds(designed, now),
        combinations=combinations(now, heat_pump, designed),
        found_combinations=combinations(found, heat_pump, designed),
        measure=measure,
        ladders=_ladders(draws, {"as found": found, "with the temporary pair": now, "as designed": designed}),
        read=read_calls(draws, found, now, measure) if measure is not None else (),
    )


def _ladders(draws: Draws, states: dict[str, Circuit]) -> dict[Where, Ladder]:
    netlist = states["as found"].netlist
    found = {}
    for where, condition in draws.conditions():
        known, strange = _known(condition, netlist)
        rungs = _rungs(draws, where, condition, known)
        if any(rung.ends or rung.input for rung in rungs):
            found[where] = replace(_ladder(rungs, states), left_out=strange)
    return found


def _known(condition: Condition, netlist: Netlist) -> tuple[frozenset[str], tuple[str, ...]]:
    """Terminals of the table, and those read that it does not know."""
    known = {end for pair in (*netlist.wires, *netlist.ties) for end in pair}
    known |= {end for load in netlist.loads for end in load.ends} | {i.terminal for i in netlist.inputs}
    known |= {end for contact in netlist.contacts for end in contact.ends} | set(netlist.dry_contacts)
    read = [end for row in condition.voltage for end in (row.from_, row.to, row.input) if end]
    return frozenset(known), tuple(dict.fromkeys(end for end in read if end not in known))


def _ladder(rungs: tuple[Rung, ...], states: dict[str, Circuit]) -> Ladder:
    """Against the first state that explains all readings; else the first in which one break does."""
    tried = [Ladder(rungs, locate(circuit.netlist, rungs), name) for name, circuit in states.items()]
    sound = [ladder for ladder in tried if ladder.located.sound]
    broken = [ladder for ladder in tried if ladder.located.segments]
    return (sound or broken or tried)[0]


def _rungs(draws: Draws, where: Where, condition: Condition, known: frozenset[str]) -> tuple[Rung, ...]:
    called = highest(condition.calls or ())
    rungs = []
    for row in condition.voltage:
        call = row.call or called
        if row.value is not None and row.from_ in known and row.to in known and row.from_ and row.to:
            rungs.append(Rung(call, ends=(row.from_, row.to), volts=row.value.quantity.value))
        if row.input and row.input in known and row.input_status:
            rungs.append(Rung(call, input=row.input, on=row.input_status == "on"))
    ratio = speed_ratio(draws, where)
    if condition.calls is not None and ratio is not None and ratio.basis == "measured":
        rungs.append(Rung(called, speed=float(ratio.draws[0])))
    return tuple(rungs)


DRAWS = 8
"""Who is energised is certain: nothing of it is drawn."""


def wires_landed(job: Job) -> dict[Ends, bool]:
    """Each wire of the design and each found besides, and whether it is landed.

    Returns
    -------
    dict of pair to bool
        Loose wires first, then those that no design asks for, then the sound ones.
    """
    designed, found, _ = netlists(job)
    there = {frozenset(wire) for wire in found.wires}
    wanted = {frozenset(wire) for wire in designed.wires}
    loose = [wire for wire in designed.wires if frozenset(wire) not in there]
    extra = [wire for wire in found.wires if frozenset(wire) not in wanted]
    sound = [wire for wire in designed.wires if frozenset(wire) in there]
    return dict.fromkeys(loose, False) | dict.fromkeys((*extra, *sound), True)


def wiring_as_found(job: Job) -> CallWiring | None:
    """The wiring as the job found it; None where the job lists no terminals."""
    return call_wiring(Draws(job, DRAWS))


def wiring_trial(
    job: Job, found: Sequence[Ends], temporary: Sequence[Ends] = (), unassigned: Sequence[str] = ()
) -> CallWiring | None:
    """The wiring with other wires landed; None where the job lists no terminals.

    The job's visits are left out: what was read belongs to the wiring as it was.

    Parameters
    ----------
    job : Job
    found, temporary : sequence of pairs
        Wires landed, and temporary pairs.
    unassigned : sequence of str
        Fan inputs of the wiring table to which nothing is assigned; the others give what was designed.
    """
    rows = tuple(
        row.model_copy(
            update={"found": "not assigned" if row.input in unassigned else row.designed or row.found}
        )
        for row in job.wiring.fan_speed
    )
    table = {"found": tuple(found), "temporary": tuple(temporary), "fan_speed": rows}
    wiring = job.wiring.model_copy(update=table)
    return call_wiring(Draws(job.model_copy(update={"wiring": wiring, "visit": ()}), DRAWS))
