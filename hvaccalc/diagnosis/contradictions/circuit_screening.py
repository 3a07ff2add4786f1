"""Readings of a circuit that cannot be: a condenser below the outdoor air, pipes that no air explains; and
what they would mean otherwise: other edge of a blend, other refrigerant, swapped hoses. That is said beside
the readings; nothing is repaired.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where, outdoor_read
from hvaccalc.diagnosis.readings.saturation import Saturated, of_refrigerant, saturations
from hvaccalc.ensemble import beyond
from hvaccalc.physics.refrigerant import NAMES
from hvaccalc.practice.circuits import (
    EDGES_APART,
    GAS_ABOVE_AIR,
    LIQUID_BELOW_AIR,
    MOST_SUPERHEAT,
    PLAUSIBLE_OVER_OUTDOOR,
    PLAUSIBLE_SUBCOOLING,
    PLAUSIBLE_SUPERHEAT,
)
from hvaccalc.severity import Severity


def below_outdoors(draws: Draws, where: Where) -> dict[str, tuple[str, float]]:
    """Running circuits that condense below the outdoor air beyond the band of both readings.

    Returns
    -------
    dict
        Key of the reading and how far below [K], by circuit.
    """
    outdoor = outdoor_read(draws, where)
    if outdoor is None or compressors.heating(draws, where):
        return {}
    found = {}
    for name in draws.condition(where).circuit:
        read = saturations(draws, where.at(name))
        if read.outlet is None or not runs_full(draws, where.at(name)):
            continue
        below = outdoor - read.outlet.dew
        if beyond(below):
            key = "liquid_pressure" if read.discharge is None else "discharge_pressure"
            found[name] = (key, float(below[0]))
    return found


def runs_full(draws: Draws, here: Where) -> bool:
    """Proved to run, and not so starved that nothing would condense."""
    if compressors.compressor(draws, here).state is not RunState.YES:
        return False
    suction, gas = saturations(draws, here).suction, draws.column(here, "suction_temperature")
    if suction is None or gas is None:
        return True
    return bool(gas[0] - suction.dew[0] < MOST_SUPERHEAT)


def blamed(
    draws: Draws, where: Where, below: dict[str, tuple[str, float]]
) -> list[tuple[Where, tuple[str, ...]]]:
    """Which readings are left out.

    The probe where every circuit says so, a circuit's gauge where the others do not. With one circuit nobody
    can tell which of the two is wrong, and both are left out.
    """
    read = [n for n in draws.condition(where).circuit if compressors.runs(draws, where.at(n))]
    gauges: list[tuple[Where, tuple[str, ...]]] = [
        (where.at(name), (key,)) for name, (key, _) in below.items()
    ]
    probe: list[tuple[Where, tuple[str, ...]]] = [(where, ("outdoor_dry_bulb",))]
    if len(below) > 1 and len(below) == len(read):
        return probe
    return gauges if len(read) > len(below) else [*probe, *gauges]


def cold_liquid(draws: Draws, where: Where) -> dict[str, tuple[str, float]]:
    """Running circuits whose liquid line stands below the outdoor air by more than can be.

    A starved circuit is left alone: a line chilled behind a restriction is evidence there, no contradiction.

    Returns
    -------
    dict
        Key of the reading and how far below the air [K], by circuit.
    """
    outdoor = outdoor_read(draws, where)
    if outdoor is None or compressors.heating(draws, where):
        return {}
    read = {n: draws.column(where.at(n), "liquid_temperature") for n in draws.condition(where).circuit}
    return {
        name: ("liquid_temperature", float(outdoor[0] - liquid[0]))
        for name, liquid in read.items()
        if liquid is not None and _full(draws, where.at(name)) and beyond(outdoor - liquid - LIQUID_BELOW_AIR)
    }


def hot_gas(draws: Draws, where: Where) -> dict[str, float]:
    """Running circuits whose suction line stands above return and outdoor air by more than can be [K]."""
    outdoor, back = outdoor_read(draws, where), draws.column(where, "return_dry_bulb")
    if outdoor is None or back is None or compressors.heating(draws, where):
        return {}
    hottest = np.maximum(outdoor, back)
    read = {n: draws.column(where.at(n), "suction_temperature") for n in draws.condition(where).circuit}
    return {
        name: float(gas[0] - hottest[0])
        for name, gas in read.items()
        if gas is not None
        and compressors.runs(draws, where.at(name))
        and beyond(gas - hottest - GAS_ABOVE_AIR)
    }


def _full(draws: Draws, here: Where) -> bool:
    return draws.refrigerant(here.circuit) is not None and runs_full(draws, here)


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

    @property
    def severity(self) -> Severity:
        """Another edge of the blend is told as a note; another refrigerant or exchanged hoses are watched."""
        return Severity.NOTE if self.wrong_edge is not None else Severity.WATCH


@dataclass(frozen=True, slots=True)
class _Read:
    """One circuit's readings; None where not read, temperatures as columns [K]."""

    suction: Saturated | None
    head: Saturated | None
    gas: Array | None
    liquid: Array | None
    outdoor: Array | None

    @property
    def turned(self) -> bool:
        """Whether suction stands above the head."""
        if self.suction is None or self.head is None:
            return False
        return bool(self.suction.pressure[0] > self.head.pressure[0])

    def of(self, draws: Draws, name: str) -> _Read:
        """The same with another refrigerant."""
        suction, head = (
            None if side is None else of_refrigerant(draws, name, side.pressure)
            for side in (self.suction, self.head)
        )
        return replace(self, suction=suction, head=head)


def column_check(draws: Draws, where: Where) -> ColumnCheck | None:
    """Other meanings; None where there are none worth telling, or the circuit does not run."""
    fluid = draws.refrigerant(where.circuit)
    everything = draws.without(frozenset())
    if fluid is None or not compressors.runs(everything, where) or compressors.heating(draws, where):
        return None
    read = _read(everything, where)
    contradicts = any(place == where for place, _ in draws.excluded)
    edge = _wrong_edge(read) if fluid.glide and not contradicts else None
    others: tuple[Reading, ...] = ()
    swapped = None
    if contradicts and read.turned:
        turned = replace(read, suction=read.head, head=read.suction)
        swapped = _by(turned, "hoses exchanged") if _plausible(turned) else None
    elif contradicts and not _plausible(read):
        as_others = {name: read.of(draws, name) for name in NAMES if name != fluid.name}
        others = tuple(_by(other, name) for name, other in as_others.items() if _plausible(other))
    if edge is None and not others and swapped is None:
        return None
    return ColumnCheck(where, edge, others, swapped)


def _read(draws: Draws, where: Where) -> _Read:
    sides = saturations(draws, where)
    gas, liquid = (draws.column(where, f"{side}_temperature") for side in ("suction", "liquid"))
    return _Read(sides.suction, sides.head, gas, liquid, outdoor_read(draws, where))


def _apart(upper: Array | None, lower: Array | None) -> float:
    """Central difference [K], NaN where one was not read."""
    return float("nan") if upper is None or lower is None else float(upper[0] - lower[0])


def _by(read: _Read, column: str) -> Reading:
    dew = None if read.suction is None else read.suction.dew
    bubble = None if read.head is None else read.head.bubble
    return Reading(column, _apart(read.gas, dew), _apart(bubble, read.liquid))


def _wrong_edge(read: _Read) -> Reading | None:
    right = _by(read, "")
    bubble = None if read.suction is None else read.suction.bubble
    dew = None if read.head is None else read.head.dew
    wrong = Reading("the other edge", _apart(read.gas, bubble), _apart(dew, read.liquid))
    apart = [abs(wrong.superheat - right.superheat), abs(wrong.subcooling - right.subcooling)]
    return wrong if np.nanmax([*apart, 0.0]) > EDGES_APART else None


def _plausible(read: _Read) -> bool:
    """Whether every difference that can be formed is that of a circuit that works, and two at least can."""
    found = _by(read, "")
    over = _apart(None if read.head is None else read.head.bubble, read.outdoor)
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
