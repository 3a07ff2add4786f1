"""Job files of two visits: what was said of a repair, and what was read after it.

The first visit finds one fault: a fan that stays low with the second stage, the same on a cold coil, a
circuit short of charge, a drain that holds back. The work then says that it mends that, or says so in a note
alone, or that it does not, or was a temporary measure; later it reads right, wrong, or nothing was read.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from hvaccalc.diagnosis.unit.readings_of_state import Level
from tests.behaviour.jobs import job_text
from tests.compare.generated_jobs import RETURN_AIR, Case, entries

LATER = ("right", "wrong", "none")


@dataclass(frozen=True)
class Fault:
    """What is wrong on the first visit.

    Attributes
    ----------
    mends : str
        The cause, as a work names it.
    wrong, right : Case
        The unit with and without it.
    sees, saw_right : dict
        Signs with and without it.
    works : tuple of str
        Of `WORKS`.
    """

    mends: str
    wrong: Case
    right: Case
    sees: dict[str, object] = field(default_factory=dict)
    saw_right: dict[str, object] = field(default_factory=dict)
    works: tuple[str, ...] = ("mends", "temporary")


WORKS = {
    "mends": 'kind = "repaired"\nmends = ["{mends}"]\nnote = "Put right and tried."',
    "note_only": 'kind = "repaired"\nnote = "Put right and tried."',
    "negated_note": 'kind = "cleaned"\nnote = "Not touched, new one ordered. Floor swept."',
    "temporary": 'kind = "temporary measure"\nnote = "Made to work for now."\nexpires = 2026-07-31',
}
SOUND = Case("sound", level=Level.FULL)
COLD = replace(SOUND, outdoor=64.0, air=RETURN_AIR[2])
DRAIN = {"signs.tested_with_fan": "full", "signs.tested_with_door": "closed"}
WET = {"signs.water_on": ["cabinet floor"], "signs.drain_flow": "blocked", "signs.pan_water": "overflowing"}
FAULTS = {
    "fan": Fault("fan_stuck_low", replace(SOUND, speed=0.6), SOUND, works=tuple(WORKS)),
    "freeze": Fault("fan_stuck_low", replace(COLD, speed=0.6), COLD),
    "charge": Fault("low_charge:2", replace(SOUND, fault="low_charge"), SOUND),
    "drain": Fault(
        "drain", SOUND, SOUND, DRAIN | WET, DRAIN | {"signs.drain_flow": "free", "signs.pan_water": "film"}
    ),
}


def names() -> list[str]:
    """Each by its fault, its work and what was read later."""
    every = [(name, work) for name, fault in FAULTS.items() for work in fault.works]
    return [f"two_visits-{name}-{work}-{read}" for name, work in every for read in LATER]


def two_visit_job(name: str) -> str:
    """TOML of one by its name."""
    _, fault, work, read = name.split("-")
    one = FAULTS[fault]
    return job_text(entries(one.wrong) | one.sees, extra=_after(one, work, read))


def two_visit_jobs() -> dict[str, str]:
    """TOML of each by its name."""
    return {name: two_visit_job(name) for name in names()}


def _after(fault: Fault, work: str, read: str) -> str:
    """The work of the first visit, and the second visit."""
    text = f"[[visit.work]]\n{WORKS[work].format(mends=fault.mends)}\n[[visit]]\ndate = 2026-06-25\n"
    if read == "none":
        return text
    unit, signs = (fault.right, fault.saw_right) if read == "right" else (fault.wrong, fault.sees)
    later = job_text(entries(replace(unit, seed=3)) | signs)
    _, _, condition = later.partition("[[visit.condition]]")
    return f"{text}[[visit.condition]]{condition.replace('as found', 'return visit')}"
