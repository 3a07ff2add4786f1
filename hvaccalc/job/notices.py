"""What the reader of a job is told although nothing is refused.

`NOT_USED_YET` is the one list of parts that are read and checked while no calculation uses them.
Whoever makes a part count takes it off the list.
"""

from __future__ import annotations

from collections.abc import Iterator

from hvaccalc.job.cross_checks import values_of
from hvaccalc.job.fields import Quantity, Reading
from hvaccalc.job.lines import Location, key_text
from hvaccalc.job.schema import Job, Notice

NOT_USED_YET: dict[tuple[str, ...], str] = {
    ("wiring",): "the call wiring",
    ("prices",): "the price list",
    ("electricity",): "the price and hours of electricity",
    ("rules",): "the choice of rules",
    ("service",): "the service record",
    ("unit", "pan"): "the drain pan",
    ("unit", "drain"): "the drain and trap",
    ("unit", "cabinet"): "the cabinet's insulation",
    ("unit", "protection"): "switches and controls",
    ("circuit", "lines"): "the line set",
    ("circuit", "condenser"): "the condenser's volume",
    ("circuit", "leak"): "the leak found",
    ("visit", "signs"): "signs of a visit",
    ("visit", "condition", "signs"): "signs of a condition",
    ("visit", "condition", "voltage"): "voltages between terminals",
    ("visit", "work"): "work done",
    ("visit", "photo"): "photos",
}
"""Part (numbers and circuit names left out) and what it is called in the notice."""


def _part(location: Location) -> tuple[str, ...]:
    """A place without numbers and without names of circuits."""
    parts: list[str] = []
    for part in location:
        if isinstance(part, str) and not (parts and parts[-1] == "circuit" and part not in ("circuit",)):
            parts.append(part)
        elif isinstance(part, str):
            parts[-1] = "circuit."
    return tuple(part.rstrip(".") for part in parts)


def notices_of(job: Job) -> Iterator[Notice]:
    """Notices that follow from the job's keys alone."""
    unused: set[tuple[str, ...]] = set()
    bare: Location | None = None
    for location, value in values_of(job):
        part = _part(location)
        unused.update(key for key in NOT_USED_YET if part[: len(key)] == key)
        quantity = value.quantity if isinstance(value, Reading) else value
        if isinstance(quantity, Quantity) and quantity.notice:
            yield Notice("unit_taken", key_text(location), f'{quantity.notice}: "{quantity.text}"')
        if bare is None and isinstance(value, Reading) and value.instrument is None:
            bare = location
    if bare is not None:
        text = "readings without a named instrument get the default accuracy of their kind"
        yield Notice("default_accuracy", key_text(bare), text + " (common practice, no source)")
    for key, title in NOT_USED_YET.items():
        if key in unused:
            yield Notice("not_used_yet", ".".join(key), f"{title}: read and checked, not used yet")
