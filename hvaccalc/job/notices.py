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
from hvaccalc.job.signs import Signs
from hvaccalc.job.unit_tables import Coil, Protection
from hvaccalc.job.unusual import unusual

UNUSED_SIGNS = (*("fan_on_second_stage", "oil_trace", "leak_detector", "sensing_bulb", "freezestat"),)

NOT_USED_YET: dict[str, tuple[str, ...]] = {
    "prices, service record beyond the date installed": (
        *("prices", "service.subsector", "service.last_verified"),
    ),
    "slope of the pan, length of the drain": ("unit.pan.slope", "unit.drain.length"),
    "geometry of the coil beyond face, slope, fin surface and low edge": tuple(
        f"unit.coil.{key}"
        for key in Coil.model_fields
        if key not in ("face_area", "slope", "fin_surface", "low_edge_over_pan")
    ),
    "motor power, voltage and phases": ("unit.fan.motor_power", "unit.fan.voltage", "unit.fan.phases"),
    "switches and controls beyond head-pressure control, low-pressure cut-out and float switch": tuple(
        f"unit.protection.{key}"
        for key in Protection.model_fields
        if key not in ("head_control", "low_pressure_cutout", "float_switch")
    ),
    "signs beyond water, pan, drain, float switch, filters, coil face, frost and thaw": tuple(
        f"visit.{place}{key}"
        for place in ("signs.", "condition.signs.")
        for key in Signs.model_fields
        if key in UNUSED_SIGNS
    ),
    "air readings beyond states, airflow and fan": tuple(
        f"visit.condition.air.{key}"
        for key in (
            *("fan_voltage", "damper_position"),
            *("outdoor_wet_bulb", "mixed_dry_bulb"),
        )
    ),
    "pipe temperatures beyond suction, liquid, discharge and drier": tuple(
        f"visit.condition.circuit.{key}" for key in ("coldest_tube_temperature",)
    ),
    "work, photos, how and when a leak was found (printed, not computed with)": (
        *("visit.work", "visit.photo"),
        *("circuit.leak.found_by", "circuit.leak.note", "circuit.leak.date"),
    ),
}
"""What is not used yet, and its keys (numbers and circuit names left out)."""


def _part(location: Location) -> str:
    """A key with its tables, without numbers and without names of circuits."""
    parts: list[str] = []
    for part in location:
        if isinstance(part, str) and not (parts and parts[-1] == "circuit" and part not in ("circuit",)):
            parts.append(part)
        elif isinstance(part, str):
            parts[-1] = "circuit."
    return ".".join(part.rstrip(".") for part in parts)


REPAIRS = ("repaired", "cleaned", "recovered refrigerant")
"""Kinds of work that put something right; a temporary measure does not."""


def _repairs_of_nothing(job: Job) -> Iterator[str]:
    """Places of repairs in a file in which no work says what it mends."""
    works = [(v, w, work) for v, visit in enumerate(job.visit) for w, work in enumerate(visit.work)]
    if not any(work.mends for _, _, work in works):
        yield from (f"visit[{v + 1}].work[{w + 1}]" for v, w, work in works if work.kind in REPAIRS)


def notices_of(job: Job) -> Iterator[Notice]:
    """Notices that follow from the job's keys alone."""
    unused: dict[str, list[str]] = {}
    seen: set[str] = set()
    bare: Location | None = None
    for location, value in values_of(job):
        part = _part(location)
        if part not in seen:
            seen.add(part)
            for title, keys in NOT_USED_YET.items():
                unused.setdefault(title, []).extend(key for key in keys if f"{part}.".startswith(f"{key}."))
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
    for title, used in unused.items():
        if used:
            where = ", ".join(dict.fromkeys(used))
            yield Notice("not_used_yet", where, f"{title}: read and checked, not used yet")
