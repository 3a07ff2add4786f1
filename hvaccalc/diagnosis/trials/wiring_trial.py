"""A job's wiring with other wires landed, another jumper or presets without a speed."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc.diagnosis.calls.call_wiring import CallWiring, call_wiring
from hvaccalc.diagnosis.calls.job_netlist import netlists
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.equipment.wiring.netlist import Ends
from hvaccalc.job.schema import Job

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
