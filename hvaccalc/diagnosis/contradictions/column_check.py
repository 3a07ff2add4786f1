"""What a circuit's readings would mean otherwise: other edge of a blend, other refrigerant, swapped hoses.

Said beside the readings; nothing is repaired.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.physics.refrigerant import NAMES, Refrigerant, refrigerant

PLAUSIBLE_SUPERHEAT = (2.0 * 5 / 9, 30.0 * 5 / 9)
PLAUSIBLE_SUBCOOLING = (2.0 * 5 / 9, 25.0 * 5 / 9)
PLAUSIBLE_OVER_OUTDOOR = (8.0 * 5 / 9, 45.0 * 5 / 9)
"""Superheat, subcooling and condensing above the outdoor air of a circuit that works [K]; common practice."""

WORTH_SAYING = 1.0 * 5 / 9
"""Difference between the edges from which the wrong column matters [K]."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Superheat and subcooling that a column would give; NaN where not read [K]."""

    column: str
    superheat: float
    subcooling: float


@dataclass(frozen=True, slots=True)
class ColumnCheck:
    """Other meanings of one circuit's readings.

    Attributes
    ----------
    where : Where
    wrong_edge : Reading or None
        Of a blend with glide: superheat against bubble, subcooling against dew.
    other_refrigerants : tuple of Reading
        Columns with which readings that contradict each other would make sense.
    swapped_hoses : Reading or None
        With suction and liquid pressure exchanged, where the readings contradict.
    """

    where: Where
    wrong_edge: Reading | None
    other_refrigerants: tuple[Reading, ...]
    swapped_hoses: Reading | None


@dataclass(frozen=True, slots=True)
class _Read:
    """Central values as read [Pa, K], NaN where not read."""

    suction: float
    head: float
    gas: float
    liquid: float
    outdoor: float


def column_check(draws: Draws, where: Where) -> ColumnCheck | None:
    """Other meanings; None where there are none worth telling, or the circuit does not run."""
    fluid = draws.refrigerant(where.circuit)
    everything = draws.without(frozenset())
    if fluid is None or not compressors.runs(everything, where) or compressors.heating(draws, where):
        return None
    read = _read(everything, where)
    contradicts = any(place == where for place, _ in draws.excluded)
    edge = _wrong_edge(fluid, read) if fluid.glide and not contradicts else None
    others: tuple[Reading, ...] = ()
    swapped = None
    if contradicts and read.suction > read.head:
        turned = _Read(read.head, read.suction, read.gas, read.liquid, read.outdoor)
        swapped = _by(fluid, turned, "hoses exchanged") if _plausible(fluid, turned) else None
    elif contradicts and not _plausible(fluid, read):
        names = (name for name in NAMES if name != fluid.name)
        others = tuple(
            _by(refrigerant(name), read, name) for name in names if _plausible(refrigerant(name), read)
        )
    if edge is None and not others and swapped is None:
        return None
    return ColumnCheck(where, edge, others, swapped)


def _read(draws: Draws, where: Where) -> _Read:
    def first(place: Where, *keys: str) -> float:
        columns = (draws.column(place, key) for key in keys)
        return next((float(column[0]) for column in columns if column is not None), float("nan"))

    here = Where(where.visit, where.condition)
    return _Read(
        first(where, "suction_pressure"),
        first(where, "liquid_pressure", "discharge_pressure"),
        first(where, "suction_temperature"),
        first(where, "liquid_temperature"),
        first(here, "outdoor_dry_bulb"),
    )


def _by(fluid: Refrigerant, read: _Read, column: str) -> Reading:
    superheat = read.gas - float(fluid.dew_temperature(read.suction))
    return Reading(column, superheat, float(fluid.bubble_temperature(read.head)) - read.liquid)


def _wrong_edge(fluid: Refrigerant, read: _Read) -> Reading | None:
    right = _by(fluid, read, "")
    superheat = read.gas - float(fluid.bubble_temperature(read.suction))
    subcooling = float(fluid.dew_temperature(read.head)) - read.liquid
    apart = [abs(superheat - right.superheat), abs(subcooling - right.subcooling)]
    if not np.nanmax([*apart, 0.0]) > WORTH_SAYING:
        return None
    return Reading("the other edge", superheat, subcooling)


def _plausible(fluid: Refrigerant, read: _Read) -> bool:
    """Whether every difference that can be formed is that of a circuit that works, and two at least can."""
    found = _by(fluid, read, "")
    over = float(fluid.bubble_temperature(read.head)) - read.outdoor
    judged = [
        low <= value <= high
        for value, (low, high) in (
            (found.superheat, PLAUSIBLE_SUPERHEAT),
            (found.subcooling, PLAUSIBLE_SUBCOOLING),
            (over, PLAUSIBLE_OVER_OUTDOOR),
        )
        if np.isfinite(value)
    ]
    return len(judged) >= 2 and all(judged)
