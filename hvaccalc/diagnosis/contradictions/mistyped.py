"""Readings that do not belong to their neighbours, and which slip of the pen or the finger explains them.

Each way in which a value is mistyped is undone, one at a time: if the set makes a unit's picture again, sound
or with faults, and as it stands makes none nearly as well, the reading is asked for again. Probabilities are
those of Bayes' rule over the hypotheses of `unit_pictures`: no fault is talked away by a slip that is rarer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.contradictions.neighbours import Neighbours, Place
from hvaccalc.diagnosis.contradictions.unit_pictures import (
    CIRCUIT_KEYS,
    ENTERING,
    FLOWS,
    OUTDOORS,
    neighbours,
)
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated
from hvaccalc.ensemble import NOT_KNOWN, Z95, Band
from hvaccalc.practice.circuits import (
    MISTAKES,
    MISTYPED,
    MISTYPED_BY,
    MISTYPED_MAYBE,
    MISTYPED_SURE,
    MISTYPED_UNEXPLAINED,
)
from hvaccalc.practice.statements import HARDLY
from hvaccalc.units import Quantity


class Mistake(StrEnum):
    """How a reading was mistyped."""

    UNIT = "another unit of pressure"
    CELSIUS = "degrees C for F"
    DIGIT = "a digit dropped or exchanged"
    PROBES = "probes exchanged"
    OUTDOORS = "outdoor and entering air exchanged"
    CIRCUITS = "read on the other circuit"
    UNKNOWN = "unknown"


PRESSURES = ("psig", "psia", "kPag", "kPaa")
STEPS = 16
"""Values over which weather and airflow are tried."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A reading, or two that changed places, that does not belong to its neighbours.

    Attributes
    ----------
    places : tuple of (Where, str)
        The one reading, or the two.
    way : Mistake
    typed : tuple of str
        As typed, by place.
    meant : str
        The unit or the value that would explain it; empty where none does.
    expected : Band
        What the neighbours expect of the first reading [SI, pressures as typed].
    unit, kind : str
        Of the first reading as typed, and its kind.
    probability : float
        0-1
    """

    places: tuple[Place, ...]
    way: Mistake
    typed: tuple[str, ...]
    meant: str
    expected: Band
    unit: str
    kind: str
    probability: float

    @property
    def sure(self) -> bool:
        """Whether nothing is concluded from the reading: a slip explains it, and hardly anything else.

        An airflow is weighed against its own kind; too little air is never talked away.
        """
        explained = self.way is not Mistake.UNKNOWN and self.places[0][1] != "airflow"
        return explained and self.probability >= MISTYPED_SURE


@dataclass(frozen=True, slots=True)
class _Undone:
    """One way undone: values of the readings as they would have been [SI, absolute], and how likely it is."""

    way: Mistake
    values: dict[Place, float]
    meant: str
    weight: float


class Judge:
    """The readings of one condition, as typed and at other values, held against every picture of the unit.

    Parameters
    ----------
    draws : Draws
        With contradicting readings left out.
    where : Where
    beside : Neighbours
    """

    def __init__(self, draws: Draws, where: Where, beside: Neighbours) -> None:
        self.draws, self.where, self.beside = draws, where, beside
        self.dry, self.wet = (where, f"{beside.air}_dry_bulb"), (where, f"{beside.air}_wet_bulb")
        self.outdoor = (where, "outdoor_dry_bulb")
        self.flow = (where, "airflow")
        places = (*beside.places, self.dry, self.wet, self.outdoor, self.flow)
        read = {place: draws.quantity(*place) for place in places}
        self.typed: dict[Place, Quantity] = {place: q for place, q in read.items() if q is not None}
        self.read = self.with_weather({})
        self.held = beside.held(self.read)

    def value(self, place: Place) -> float:
        """As typed [SI, absolute]."""
        return float(self.typed[place].absolute(self.beside.barometer))

    def with_weather(self, values: dict[Place, float]) -> np.ndarray:
        """Readings as temperatures, with some at other values, less what the weather makes of them."""
        read = self.beside.read.copy()
        for i, place in enumerate(self.beside.places):
            if place in values:
                read[i] += self.moved(place, values[place])
        weather = [
            values.get(place, self.value(place) if place in self.typed else None)
            for place in (self.outdoor, self.dry, self.wet)
        ]
        outdoor, dry, wet = weather
        share = self.beside.flow_share
        if self.flow in values:
            share *= values[self.flow] / self.value(self.flow)
        return np.asarray(read - self.beside.under_weather(outdoor, dry, wet, share))

    @cached_property
    def grids(self) -> dict[Place, np.ndarray]:
        """Values over which weather and airflow are tried where they may be anything."""
        tried = {self.outdoor: OUTDOORS, self.dry: ENTERING}
        found = {place: np.linspace(ends[0], ends[-1], STEPS) for place, ends in tried.items()}
        if self.flow in self.typed:
            solved = self.value(self.flow) / self.beside.flow_share
            found[self.flow] = solved * np.geomspace(FLOWS[0], FLOWS[-1], STEPS)
        return {place: values for place, values in found.items() if place in self.typed}

    def over(self, place: Place) -> np.ndarray:
        """Evidence at each value of the grid of weather or airflow."""
        logs = [self.beside.held(self.with_weather({place: float(v)})).evidence for v in self.grids[place]]
        return np.where(np.isfinite(logs), logs, -np.inf)

    def moved(self, place: Place, value: float | np.ndarray) -> np.ndarray:
        """Change of a reading as a temperature [K]."""
        if not place[1].endswith("_pressure"):
            return np.asarray(value - self.value(place))
        return self._saturation(place, value) - self._saturation(place, self.value(place))

    def _saturation(self, place: Place, pressure: float | np.ndarray) -> np.ndarray:
        """Of a pressure that may have been read there [K]."""
        fluid = self.draws.refrigerant(place[0].circuit)
        assert fluid is not None
        as_read = Saturated(fluid, np.asarray(pressure, float), np.zeros(()))
        return as_read.bubble if place[1] == "liquid_pressure" else as_read.dew

    def expected(self, place: Place) -> Band:
        """What the others expect of a reading, as it was typed [SI; of a gauge above the barometer]."""
        if place not in self.beside.places:
            return self._weather_expected(place)
        index = self.beside.places.index(place)
        _, middle, spread = self.held.without(index)
        ends = middle + spread * Z95 * np.array([0.0, -1.0, 1.0]) - self.read[index]
        where, key = place
        fluid = self.draws.refrigerant(where.circuit) if key.endswith("_pressure") else None
        if fluid is None:
            return Band(*(self.value(place) + ends))
        pressure = fluid.bubble_pressure if key == "liquid_pressure" else fluid.dew_pressure
        shift = self.beside.barometer if self.typed[place].gauge else 0.0
        return Band(*(pressure(self._saturation(place, self.value(place)) + ends) - shift))

    def _weather_expected(self, place: Place) -> Band:
        """Of weather or airflow: where the readings speak for it."""
        if place not in self.grids:
            return NOT_KNOWN
        values, logs = self.grids[place], self.over(place)
        share = np.exp(logs - logs.max())
        share /= share.sum()
        middle = float(share @ values)
        spread = Z95 * float(np.sqrt(share @ (values - middle) ** 2))
        return Band(middle, middle - spread, middle + spread)


def mistyped(draws: Draws) -> tuple[Slip, ...]:
    """Readings of every condition that do not belong to their neighbours; the likeliest of each condition.

    Parameters
    ----------
    draws : Draws
        With contradicting readings left out.
    """
    found = (_mistyped(draws, where) for where, _ in draws.conditions())
    return tuple(slip for slip in found if slip is not None)


def _mistyped(draws: Draws, where: Where) -> Slip | None:
    # What no single way can gain: the likeliest has a tenth of the weight of all.
    beside = neighbours(draws, where, felt=float(np.log(10.0 * MISTYPED_MAYBE / MISTYPED)))
    if beside is None:
        return None
    judge = Judge(draws, where, beside)
    stands = judge.held.evidence
    undone = list(_undone(judge))
    gains = _gains(judge, undone) - stands
    unknown = {
        place: judge.held.without(i)[0] - stands - float(np.log(MISTYPED_BY))
        for i, place in enumerate(beside.places)
    }
    unknown |= {place: float(np.log(np.mean(np.exp(judge.over(place) - stands)))) for place in judge.grids}
    # Ways and values that blame the same readings are one suspicion.
    by: dict[tuple[Place, ...], dict[Mistake, float]] = {}
    for one, gain in zip(undone, gains, strict=True):
        ways = by.setdefault(tuple(one.values), {})
        ways[one.way] = ways.get(one.way, 0.0) + one.weight * float(np.exp(min(gain, 50.0)))
    for place, gain in unknown.items():
        # Of the readings an airflow is the hardest to take.
        weight = MISTAKES[Mistake.UNKNOWN] / (1.0 if place == judge.flow else len(unknown))
        by.setdefault((place,), {})[Mistake.UNKNOWN] = weight * float(np.exp(min(gain, 50.0)))
    odds = {places: MISTYPED * sum(ways.values()) for places, ways in by.items()}
    places = max(odds, key=lambda one: odds[one])
    probability = odds[places] / (1.0 + sum(odds.values()))
    if probability < MISTYPED_MAYBE:
        return None
    ways = by[places]
    # What would explain it is asked unless it hardly can be.
    blind = HARDLY * ways.get(Mistake.UNKNOWN, 0.0)
    explained = {one: share for one, share in ways.items() if one is not Mistake.UNKNOWN and share > blind}
    way = max(explained or ways, key=lambda one: ways[one])
    if not explained and probability < MISTYPED_UNEXPLAINED:
        return None
    best = [
        (one.weight * float(np.exp(min(gain, 50.0))), one)
        for one, gain in zip(undone, gains, strict=True)
        if tuple(one.values) == places and one.way is way
    ]
    return _slip(judge, places, way, sorted(best, key=lambda pair: -pair[0]), probability)


def _slip(
    judge: Judge,
    places: tuple[Place, ...],
    way: Mistake,
    best: list[tuple[float, _Undone]],
    probability: float,
) -> Slip:
    expected = judge.expected(places[0]) if len(places) == 1 else NOT_KNOWN
    return Slip(
        places,
        way,
        tuple(judge.typed[place].text for place in places),
        best[0][1].meant if best else "",
        expected,
        judge.typed[places[0]].unit,
        judge.typed[places[0]].kind,
        probability,
    )


def _gains(judge: Judge, undone: list[_Undone]) -> np.ndarray:
    """Evidence of each way undone; one reading of the unit's at many values at a time."""
    beside, gains = judge.beside, np.full(len(undone), -np.inf)
    alone: dict[Place, list[int]] = {}
    for i, one in enumerate(undone):
        place = next(iter(one.values))
        if len(one.values) == 1 and place in beside.places:
            alone.setdefault(place, []).append(i)
        else:
            read = judge.with_weather(one.values)
            if np.isfinite(read).all():
                gains[i] = beside.held(read).evidence
    for place, which in alone.items():
        index = beside.places.index(place)
        moved = judge.moved(place, np.array([undone[i].values[place] for i in which]))
        known = np.isfinite(moved)
        gains[np.array(which)[known]] = judge.held.with_one(index, judge.read[index] + moved[known])
    return gains


def _undone(judge: Judge) -> Iterator[_Undone]:
    """Every way undone at every place."""
    pressures = [place for place in judge.typed if place[1].endswith("_pressure")]
    temperatures = [p for p, quantity in judge.typed.items() if quantity.kind == "temperature"]
    for place in pressures:
        for value, meant in _other_units(judge, place):
            weight = MISTAKES[Mistake.UNIT] / len(pressures) / (len(PRESSURES) - 1)
            yield _Undone(Mistake.UNIT, {place: value}, meant, weight)
    for place in temperatures:
        quantity = judge.typed[place]
        other = "degF" if quantity.unit == "degC" else "degC"
        number = float(units.to(quantity.value, quantity.unit, quantity.kind))
        value = float(units.si(number, other, quantity.kind))
        weight = MISTAKES[Mistake.CELSIUS] / len(temperatures)
        yield _Undone(Mistake.CELSIUS, {place: value}, f"{number:g} {other}", weight)
    for place in judge.typed:
        # Of a range nobody knows which end was meant.
        texts = _digits(judge.typed[place].text) if judge.typed[place].low is None else []
        for text in texts:
            quantity = units.parse(text, judge.typed[place].kind)
            value = float(quantity.absolute(judge.beside.barometer))
            grid = judge.grids.get(place)
            if grid is not None and not grid[0] <= value <= grid[-1]:
                continue
            yield _Undone(
                Mistake.DIGIT, {place: value}, text, MISTAKES[Mistake.DIGIT] / len(judge.typed) / len(texts)
            )
    for way, pairs in _pairs(judge).items():
        there = [pair for pair in pairs if all(place in judge.typed for place in pair)]
        for first, second in there:
            values = {first: judge.value(second), second: judge.value(first)}
            yield _Undone(way, values, "", MISTAKES[way] / len(there))


def _other_units(judge: Judge, place: Place) -> Iterator[tuple[float, str]]:
    quantity = judge.typed[place]
    number = float(units.to(quantity.value, quantity.unit, quantity.kind, barometer=0.0))
    for unit in PRESSURES:
        if unit != quantity.unit:
            value = units.si(number, unit, quantity.kind, barometer=judge.beside.barometer)
            yield float(value), f"{number:g} {unit}"


def _digits(text: str) -> tuple[str, ...]:
    """What was meant where two neighbouring digits before the point were exchanged, or one was left out.

    Examples
    --------
    >>> _digits("21 psig")[0], len(_digits("21 psig"))
    ('12 psig', 28)
    """
    found = re.match(r"\d+", text)
    if found is None:
        return ()
    whole, rest = found[0], text[found.end() :]
    changed = [
        whole[:i] + whole[i + 1] + whole[i] + whole[i + 2 :]
        for i in range(len(whole) - 1)
        if whole[i] != whole[i + 1]
    ]
    changed += [whole[:i] + digit + whole[i:] for i in range(len(whole) + 1) for digit in "0123456789"]
    return tuple(dict.fromkeys(one + rest for one in changed if one[0] != "0"))


def _pairs(judge: Judge) -> dict[Mistake, list[tuple[Place, Place]]]:
    """Readings that may have changed places, by way."""
    where = judge.where
    circuits = list(dict.fromkeys(place[0] for place in judge.beside.places if place[0].circuit))
    supply = (where, "supply_dry_bulb"), (where, "supply_wet_bulb")
    probes = [((at, "suction_temperature"), (at, "liquid_temperature")) for at in circuits]
    return {
        Mistake.PROBES: [*probes, (judge.dry, judge.wet), supply, (judge.dry, supply[0])],
        Mistake.OUTDOORS: [(judge.outdoor, judge.dry)],
        Mistake.CIRCUITS: [
            ((one, key), (other, key))
            for i, one in enumerate(circuits)
            for other in circuits[i + 1 :]
            for key in CIRCUIT_KEYS
        ],
    }
