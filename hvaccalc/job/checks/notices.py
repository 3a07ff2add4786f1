"""What the reader of a job should know although nothing is refused: how it was taken, what is not used."""

from __future__ import annotations

from collections.abc import Iterator

from hvaccalc.job.checks.cross_checks import values_of
from hvaccalc.job.checks.unusual import unusual
from hvaccalc.job.checks.used_keys import ALL_PRINTED, ALL_USED
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job, Notice
from hvaccalc.job.text.key_lines import Location, key_text
from hvaccalc.units import Quantity

NAMED = ("circuit", "instruments")
"""Tables below which the user's own names stand."""


def _part(location: Location) -> str:
    """A key with its tables, without numbers and without the names of circuits and instruments."""
    words = [part for part in location if isinstance(part, str)]
    return ".".join(word for number, word in enumerate(words) if not (number and words[number - 1] in NAMED))


REPAIRS = ("repaired", "cleaned", "recovered refrigerant")
"""Kinds of work that put something right; a temporary measure does not."""


def _repairs_of_nothing(job: Job) -> Iterator[str]:
    """Places of repairs in a file in which no work, and no leak, says what was put right."""
    if any(circuit.leak.repaired for circuit in job.circuit.values()):
        return
    works = [(v, w, work) for v, visit in enumerate(job.visit) for w, work in enumerate(visit.work)]
    if not any(work.mends for _, _, work in works):
        yield from (f"visit[{v + 1}].work[{w + 1}]" for v, w, work in works if work.kind in REPAIRS)


def notices_of(job: Job) -> Iterator[Notice]:
    """Notices that follow from the job's keys alone."""
    typed: dict[str, None] = {}
    bare: Location | None = None
    for location, value in values_of(job):
        if not isinstance(value, dict):
            typed[_part(location)] = None
        quantity = value.quantity if isinstance(value, Reading) else value
        if isinstance(quantity, Quantity) and quantity.notice:
            yield Notice("unit_taken", key_text(location), f'{quantity.notice}: "{quantity.text}"')
        if bare is None and isinstance(value, Reading) and value.instrument is None:
            bare = location
    if bare is not None:
        text = "readings without a named instrument get the default accuracy of their kind"
        yield Notice("default_accuracy", key_text(bare), text + " (common practice, no source)")
    if job.wiring.given and not (job.wiring.terminals or job.wiring.designed):
        yield Notice("wiring_not_used", "wiring", "no terminals are listed, so no call can be followed")
    yield from unusual(job)
    if place := next(_repairs_of_nothing(job), None):
        text = "no work says what it put right (mends), so none closes a cause; a later reading can"
        yield Notice("mends_not_said", place, text)
    printed = [key for key in typed if _registered(key, ALL_PRINTED)]
    unused = [key for key in typed if not _registered(key, ALL_USED | ALL_PRINTED)]
    if printed:
        yield Notice("printed_only", ", ".join(printed), "read, checked and printed, not computed with")
    if unused:
        yield Notice("not_used_yet", ", ".join(unused), "read and checked, not used yet")


def _registered(key: str, those: frozenset[str]) -> bool:
    """Whether a key, or the key that holds it, is registered."""
    parts = key.split(".")
    return any(".".join(parts[:end]) in those for end in range(1, len(parts) + 1))
