"""The moist-air and refrigerant numbers of an analysis, each with the readings that it rests on."""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.analysis import Analysis
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import BY_MIXING, AirStream
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import pressures
from hvaccalc.findings import finding_id
from hvaccalc.physics.refrigerant import refrigerant
from hvaccalc.practice.circuits import LIQUID_SHARE_OF_DISCHARGE, OUTDOOR_SUCTION_DROP
from hvaccalc.practice.refrigerant import CAUTIOUS_TEMPERATURE
from hvaccalc.resources import data_path
from hvaccalc.service.refrigerant.cylinder import rules


@dataclass(frozen=True, slots=True)
class Question:
    """A number to recompute.

    Attributes
    ----------
    id : str
        Of the finding that states it.
    kind : str
        Key of `LIMITS`.
    ask : str
        Function of the worker.
    of : dict
        Its arguments: central values [SI].
    glide : bool
        Of a blend with glide.
    possible : bool
        Whether the central values are a state at all; where they are not, the finding states a median.
    """

    id: str
    kind: str
    ask: str
    of: dict[str, Any]
    glide: bool = False
    possible: bool = True


def fluid(name: str) -> str:
    """What the library calls a refrigerant, as the coefficient file holds it."""
    called: str = _record(name)["fluid"]
    return called


def holes(name: str) -> dict[str, list[list[float]]]:
    """By edge, intervals of saturation temperature in which the library's own flash fails [K]."""
    found: dict[str, list[list[float]]] = _record(name).get("holes", {})
    return found


@cache
def _record(name: str) -> dict[str, Any]:
    record: dict[str, Any] = json.loads(data_path("refrigerants.json").read_text("utf-8"))["refrigerants"][
        name
    ]
    return record


def questions(analysis: Analysis) -> tuple[Question, ...]:
    """Every question whose readings are all numbers."""
    asked = (
        question
        for result in analysis.conditions
        for part in (_air, _coil, _circuits)
        for question in part(analysis.draws, result)
    )
    every = (*asked, *_cylinders(analysis))
    return tuple(question for question in every if _finite(question.of))


def _finite(value: Any) -> bool:
    if isinstance(value, dict):
        return all(map(_finite, value.values()))
    if isinstance(value, list):
        return all(map(_finite, value))
    return isinstance(value, str) or math.isfinite(value)


def _central(draws: Draws, where: Where, key: str) -> float | None:
    column = draws.column(where, key)
    return None if column is None else float(column[0])


def _state(draws: Draws, result: ConditionResult, name: str, stream: AirStream) -> dict[str, float]:
    """One stream as read: barometer, dry bulb and the humidity that was used."""
    state = {"pressure": float(result.air.barometer.draws[0]), "dry_bulb": float(stream.dry_bulb[0])}
    humidity = _central(draws, result.where, stream.humidity_from) if stream.humid else None
    return state if humidity is None else state | {stream.humidity_from.removeprefix(f"{name}_"): humidity}


def _air(draws: Draws, result: ConditionResult) -> Iterator[Question]:
    where = result.where
    elevation = draws.job.job.elevation
    if result.air.barometer.basis == "computed" and elevation is not None:
        yield Question(
            finding_id("site.barometer", where), "barometer", "barometer", {"elevation": elevation.value}
        )
    for name, stream in (("return", result.air.return_air), ("supply", result.air.supply_air)):
        if stream is None or not stream.humid:
            continue
        state = _state(draws, result, name, stream)
        for field in ("humidity_ratio", "dew_point", "wet_bulb"):
            # A number that was read is not computed.
            if field not in state:
                id = finding_id(f"air.{name}.{field}", where)
                yield Question(id, field, field, state, possible=bool(stream.possible[0]))


def _coil(draws: Draws, result: ConditionResult) -> Iterator[Question]:
    flow, where, air = result.airflow, result.where, result.air
    entering, leaving, back = air.entering, air.supply_air, air.return_air
    if flow is None or entering is None:
        return
    reading, read = draws.quantity(where, "airflow"), _central(draws, where, "airflow")
    if reading is not None and read is not None and reading.standard and back is not None and back.humid:
        first = _state(draws, result, "return", back)
        given = {"dry_air_flow": read * units.STANDARD_AIR_DENSITY, "entering": first}
        id = finding_id("airflow.reading", where)
        yield Question(id, "airflow", "airflow", given, possible=bool(back.possible[0]))
    if leaving is None or entering.humidity_from == BY_MIXING:
        return
    first = _state(draws, result, air.entering_name, entering)
    moved = {"volume": float(flow.flow[0])}
    if air.mixed_air is not None or not entering.humid:
        # An airflow is one of return air.
        moved = {"dry_air": float(flow.dry_air_flow[0])}
    of = {"flow": moved, "entering": first, "leaving": _state(draws, result, "supply", leaving)}
    asked = [("capacity.sensible", "capacity", "sensible")]
    if entering.humid and leaving.humid:
        asked += [("capacity.total", "capacity", "total"), ("condensate.rate", "condensate", "condensate")]
    for key, kind, ask in asked:
        yield Question(finding_id(key, where), kind, ask, of, possible=bool(result.duty.possible[0]))


def _cylinders(analysis: Analysis) -> Iterator[Question]:
    """The liquid that a recovery cylinder may take, by its density at 130 °F."""
    limits = rules()
    for circuit in analysis.inventory.values():
        if circuit.cylinder is None:
            continue
        of = {
            "fluid": fluid(circuit.refrigerant),
            "temperature": CAUTIOUS_TEMPERATURE,
            "volume": circuit.cylinder.cylinder.water_capacity / limits.water_cautious,
            "share": limits.fill,
        }
        id = finding_id("inventory.cylinder_fill", Where(circuit=circuit.name))
        yield Question(id, "density", "cylinder_fill", of, refrigerant(circuit.refrigerant).glide)


def _circuits(draws: Draws, result: ConditionResult) -> Iterator[Question]:
    for state in result.circuits.values():
        name = fluid(state.refrigerant)
        glide = refrigerant(state.refrigerant).glide
        for key, ask, of in _of_circuit(draws, state):
            kind = "saturation" if ask in ("dew", "bubble") else "difference"
            yield Question(finding_id(key, state.where), kind, ask, {"fluid": name, **of}, glide)


def _of_circuit(draws: Draws, state: CircuitState) -> Iterator[tuple[str, str, dict[str, Any]]]:
    where = state.where
    read = {key: float(column[0]) for key, column in pressures(draws, where).read()}
    suction, discharge, liquid = (
        read.get(f"{place}_pressure") for place in ("suction", "discharge", "liquid")
    )
    if liquid is None and discharge is not None:
        liquid = discharge * sum(LIQUID_SHARE_OF_DISCHARGE) / 2.0
    if suction is not None:
        yield from _of_suction(draws, state, {"pressure": suction})
    if liquid is not None:
        yield from _of_liquid(draws, state, {"pressure": liquid})
    if discharge is not None:
        yield "circuit.condensing_saturation", "dew", {"pressure": discharge}
    elif liquid is not None:
        yield "circuit.condensing_saturation", "bubble", {"pressure": liquid}


def _of_suction(
    draws: Draws, state: CircuitState, at: dict[str, Any]
) -> Iterator[tuple[str, str, dict[str, Any]]]:
    yield "circuit.suction_saturation", "dew", at
    above = 0.0 if state.suction_measured_at == "coil" else sum(OUTDOOR_SUCTION_DROP) / 2.0
    yield "coil.suction_saturation", "dew", {**at, "above": above}
    temperature = _central(draws, state.where, "suction_temperature")
    if temperature is not None:
        yield "circuit.superheat", "superheat", {**at, "temperature": temperature}


def _of_liquid(
    draws: Draws, state: CircuitState, at: dict[str, Any]
) -> Iterator[tuple[str, str, dict[str, Any]]]:
    yield "circuit.liquid_saturation", "bubble", at
    temperature = _central(draws, state.where, "liquid_temperature")
    if temperature is None:
        return
    yield "circuit.subcooling", "subcooling", {**at, "temperature": temperature}
    if state.chart_offset is not None:
        level = float(draws.barometer(state.where).draws[0])
        points = draws.job.circuit[state.where.circuit].chart or ()
        chart = [[p.liquid_pressure.absolute(level), p.liquid_temperature.value] for p in points]
        yield "circuit.chart_offset", "chart_offset", {**at, "temperature": temperature, "chart": chart}


@dataclass(frozen=True, slots=True)
class Limit:
    """Largest usual difference of one kind of number.

    Attributes
    ----------
    label : str
        The kind for a reader.
    measure : str
        ``K``: a difference in kelvin; ``relative``: a share of the number; ``latent``: a share of the
        latent heat.
    usual : float
    glide : float
        The same for a blend with glide, where it is more.
    floor : float
        A relative difference is taken of at least this much, so that a number near zero has one.
    """

    label: str
    measure: str
    usual: float
    glide: float = 0.0
    floor: float = 0.0

    def of(self, glide: bool = False) -> float:
        """The limit that holds."""
        return max(self.usual, self.glide) if glide else self.usual

    def difference(self, ours: ArrayLike, theirs: ArrayLike, latent: ArrayLike = 1.0) -> Array:
        """Distance of two reckonings in this measure; broadcasts."""
        first, second = np.asarray(ours, dtype=float), np.asarray(theirs, dtype=float)
        apart = np.abs(first - second)
        if self.measure == "relative":
            return np.asarray(apart / np.maximum(np.abs(second), self.floor))
        return np.asarray(apart / np.asarray(latent) if self.measure == "latent" else apart)


LIMITS = {
    "barometer": Limit("barometer", "relative", 1e-6),
    "humidity_ratio": Limit("humidity ratio", "relative", 1e-5),
    "dew_point": Limit("dew point", "K", 1e-3),
    "wet_bulb": Limit("wet bulb", "K", 1e-3),
    "enthalpy": Limit("enthalpy of moist air", "relative", 1e-5, floor=1e5),
    "specific_volume": Limit("specific volume of moist air", "relative", 1e-5),
    "airflow": Limit("airflow from standard air", "relative", 1e-5),
    "capacity": Limit("capacity of the air side", "relative", 1e-4, floor=100.0),
    "condensate": Limit("condensate", "relative", 1e-4, floor=1e-4),
    "saturation": Limit("saturation temperature", "K", 0.01, glide=0.05),
    "difference": Limit("superheat, subcooling, chart offset", "K", 0.01, glide=0.05),
    "density": Limit("density", "relative", 1e-3),
    "refrigerant_enthalpy": Limit("enthalpy of refrigerant", "latent", 1e-3),
    "latent_heat": Limit("latent heat", "relative", 1e-3),
}
"""Moist air: what the two solvers' own tolerances leave. Refrigerants: what the fit promises."""

TWO_CURVES = (273.15, 273.16)
"""Between these the library takes vapour over ice, this package over water, 1e-4 apart [K]."""

EITHER_BULB = 0.8
"""So near 0 °C a bulb may carry ice or water, up to 0.6 K apart, and each may be found [K]."""
