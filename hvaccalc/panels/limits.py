"""What a box of a panel takes: readings that air, fan or site can have; common practice, no source.

A job file may hold more, with a notice or a finding; on a screen a slip of the finger would move a picture.
"""

from __future__ import annotations

from collections.abc import Callable

from hvaccalc import units
from hvaccalc.errors import OutOfRange
from hvaccalc.job.schema import Job
from hvaccalc.units import Quantity

AIR = {
    "return_dry_bulb": ("-20 degF", "130 degF"),
    "supply_dry_bulb": ("-20 degF", "200 degF"),
    "outdoor_dry_bulb": ("-60 degF", "140 degF"),
    "barometer": ("15 inHg", "32 inHg"),
    "external_static": ("0.01 inH2O", "10 inH2O"),
    "coil_pressure_drop": ("0.005 inH2O", "5 inH2O"),
    "filter_pressure_drop": ("0.005 inH2O", "5 inH2O"),
    "fan_current": ("0.05 A", "1000 A"),
    "airflow": ("1 cfm", "200,000 cfm"),
}
"""Least and most of air readings, by their keys."""

ELEVATION = ("-1500 ft", "16,500 ft")
"""From below the sea to the highest towns."""

MOST_AIR = 3.0
"""Airflow over the rated one that no fan of the unit moves."""


def within(read: Callable[[str], Quantity], kind: str, ends: tuple[str, str]) -> Callable[[str], Quantity]:
    """A reader that refuses what lies outside its ends, and says which they are."""
    low, high = (units.parse(end.replace(",", ""), kind).value for end in ends)

    def quantity(typed_text: str) -> Quantity:
        given = read(typed_text)
        if not low <= given.value <= high:
            raise OutOfRange(f"{given.text} lies outside what can be", allowed=" to ".join(ends))
        return given

    return quantity


def airflow(read: Callable[[str], Quantity], job: Job) -> Callable[[str], Quantity]:
    """A reader of an airflow that a fan of the job's unit may move."""
    most = units.value_text(MOST_AIR * job.unit.rated_airflow.value, "airflow", job.display)
    return within(read, "airflow", (AIR["airflow"][0], most))
