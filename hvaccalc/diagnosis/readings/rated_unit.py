"""What circuits and coil are at the unit's rating: as typed, else drawn about what is usual."""

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import chart
from hvaccalc.equipment.circuit.compressor import CompressorMap, volumetric_efficiency
from hvaccalc.equipment.coil.cooling_coil import CIRCUITINGS
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Circuit, UnitRating
from hvaccalc.job.unit_tables import CompressorMap as TypedMap
from hvaccalc.physics.moist_air import STANDARD_PRESSURE
from hvaccalc.practice.air import AIRFLOW_PER_TON
from hvaccalc.practice.plates import (
    LEAST_SUBCOOLING,
    LEAST_SUPERHEAT,
    MAP_SUPERHEAT,
    RATED_CONDENSING_OVER_OUTDOOR,
    RATED_OUTDOOR,
    RATED_SUBCOOLING,
    RATED_SUPERHEAT,
    TYPED_SUBCOOLING_SD,
)
from hvaccalc.practice.statements import MOST_REFUSED
from hvaccalc.units import Quantity

ORIFICE = "fixed orifice"
"""Its subcooling follows air and weather as much as charge: no measure of it, nor is a difference of two."""

_MAP_UNITS = {"degF lb/h W": (True, float(units.si(1.0, "lb/h"))), "degC g/s W": (False, 1e-3)}


def compressor_map(typed: TypedMap) -> CompressorMap:
    """A map as typed in a job."""
    fahrenheit, flow = _MAP_UNITS[typed.units]
    superheat = MAP_SUPERHEAT if typed.superheat is None else typed.superheat.value
    return CompressorMap(tuple(typed.mass_flow), tuple(typed.power), fahrenheit, flow, 1.0, superheat)


def outdoor(draws: Draws) -> float:
    """Outdoor dry bulb at the rating [K]."""
    typed = draws.job.unit.rated_outdoor
    return RATED_OUTDOOR if typed is None else typed.value


def superheat(draws: Draws) -> Array:
    """Superheat at the coil's exit [K], shape (N + 1,): the mean of the typed ones, for the unit has one."""
    typed = [c.rated_superheat.value for c in draws.job.circuit.values() if c.rated_superheat is not None]
    if typed:
        return np.full(draws.ensemble.size + 1, np.mean(typed))
    return np.maximum(draws.ensemble.normal("rated_superheat", *RATED_SUPERHEAT), LEAST_SUPERHEAT)


def subcooling(draws: Draws, name: str) -> Array:
    """Subcooling of one circuit [K], shape (N + 1,)."""
    typed = draws.job.circuit[name]
    mean, sd = RATED_SUBCOOLING
    charted = chart(draws, name, _barometer(draws))
    if typed.target_subcooling is not None:
        mean, sd = typed.target_subcooling.value, TYPED_SUBCOOLING_SD
    elif charted is not None:
        mean, sd = float(np.mean(charted.subcooling)), TYPED_SUBCOOLING_SD
    # One draw for all circuits: they are one maker's design, and no result may hang on their names.
    return np.maximum(draws.ensemble.normal("rated_subcooling", mean, sd), LEAST_SUBCOOLING)


def condensing_saturation(draws: Draws, name: str) -> Array:
    """Condensing saturation of one circuit [K], shape (N + 1,)."""
    typed = draws.job.circuit[name].rated_condensing_saturation
    if typed is not None:
        return np.full(draws.ensemble.size + 1, typed.value)
    mean, sd = RATED_CONDENSING_OVER_OUTDOOR
    return outdoor(draws) + draws.ensemble.normal("rated condensing over outdoor", mean, sd)


def model(draws: Draws) -> UnitModel | None:
    """The unit of the rating, made once; None where a refrigerant is not carried."""
    if any(draws.refrigerant(name) is None for name in draws.job.circuit):
        return None
    return draws.once("unit of the rating", lambda: UnitModel.from_rating(unit_rating(draws)))


def unit_rating(draws: Draws) -> UnitRating:
    """The rating as draws; what is not typed is drawn about what is usual."""
    job, rating = draws.job, draws.rating
    fan = draws.rated_fan_power.draws
    return UnitRating(
        net_capacity=np.asarray(rating.total) - fan,
        sensible_ratio=draws.rated_sensible_ratio.draws,
        dry_air_flow=rating.dry_air_flow,
        fan_power=fan,
        dry_bulb=rating.dry_bulb,
        humidity_ratio=rating.humidity_ratio,
        pressure=rating.pressure,
        outdoor_dry_bulb=outdoor(draws),
        suction_saturation=rating.suction_saturation,
        circuits=tuple(_circuit(draws, name) for name in job.circuit),
        superheat=superheat(draws),
        circuiting=circuitings(draws),
        air_path=job.unit.air_path or "draw through",
        fin_efficiency=draws.fin_efficiency,
        film_exponent=draws.film_exponent,
    )


def _circuit(draws: Draws, name: str) -> Circuit:
    typed = draws.job.circuit[name]
    fluid = draws.refrigerant(name)
    assert fluid is not None
    given, condensing = typed.compressor_map, typed.rated_condensing_saturation
    return Circuit(
        refrigerant=fluid.name,
        capacity_share=draws.capacity_shares()[name],
        metering=metering(draws, name),
        condensing_saturation=None if condensing is None else condensing.value,
        subcooling=subcooling(draws, name),
        compressor_map=None if given is None else compressor_map(given),
    )


DEVICES = ("TXV", ORIFICE)
"""What may meter a circuit's refrigerant where nobody knows: either is as likely, row 0 is the valve."""


def metering(draws: Draws, name: str) -> str | Array:
    """Metering device of one circuit; drawn, shape (N + 1,), alike for all, where it is not known."""
    typed = draws.job.circuit[name].metering
    if not_known(typed):
        return np.array(DEVICES)[draws.ensemble.choice("metering", len(DEVICES))]
    assert typed is not None
    return typed


def not_known(device: str | None) -> bool:
    """Whether a metering device, as typed, is not known."""
    return device in (None, "unknown")


TRIED = 24
"""Draws of a rating for which a coil is looked for."""


def keys_without_coil(draws: Draws) -> tuple[str, ...]:
    """Keys of the plate any one of which, taken as usual, makes the rating that of a coil.

    Every key of the rating where none of them alone does; empty where most of the draws have their coil.
    """
    if not _coilless(draws.few(TRIED)):
        return ()
    unit = draws.job.unit
    per_ton = np.mean(AIRFLOW_PER_TON)
    flow = units.to(unit.rated_airflow.value, "cfm", "airflow")
    tons = units.to(unit.rated_capacity.value, "ton", "heat")
    usual: dict[str, Quantity | None] = {
        "rated_capacity": units.parse(f"{flow / per_ton:.3f} ton", "heat"),
        "rated_airflow": units.parse(f"{tons * per_ton:.0f} cfm", "airflow"),
    }
    optional = ("sensible_heat_ratio", "return_dry_bulb", "return_wet_bulb", "suction_saturation")
    usual |= {f"rated_{key}": None for key in optional if getattr(unit, f"rated_{key}") is not None}
    others = {key: unit.model_copy(update={key: value}) for key, value in usual.items()}
    if unit.fan.input_power is not None:
        fan = unit.fan.model_copy(update={"input_power": None})
        others["fan.input_power"] = unit.model_copy(update={"fan": fan})
    found = tuple(
        key
        for key, other in others.items()
        if not _coilless(Draws(draws.job.model_copy(update={"unit": other}), TRIED))
    )
    return found or tuple(others)


def _coilless(draws: Draws) -> bool:
    return bool(np.mean(draws.coil.reason != 0) > MOST_REFUSED)


def swept_flow(draws: Draws, name: str) -> Array | None:
    """Gas that the compressor of one circuit sweeps [m3/s], shape (N + 1,), from the circuit's rating.

    Its share of the gross rated capacity over the rated rise of enthalpy is a mass flow; that over the
    density of the rated suction gas and the volumetric efficiency is what the compressor sweeps. None where
    the refrigerant is not carried.
    """
    return draws.once(f"swept flow/{name}", lambda: _swept_flow(draws, name))


def _swept_flow(draws: Draws, name: str) -> Array | None:
    fluid = draws.refrigerant(name)
    if fluid is None:
        return None
    heat = draws.capacity_shares()[name] * np.asarray(draws.rating.total)
    dew, condensing = draws.rated_suction_saturation.draws, condensing_saturation(draws, name)
    suction, head = fluid.dew_pressure(dew), fluid.dew_pressure(condensing)
    gas = fluid.vapour(suction, dew + superheat(draws))
    liquid = fluid.liquid(head, fluid.bubble_temperature(head) - subcooling(draws, name))
    flow = heat / (gas.enthalpy - liquid.enthalpy)
    return flow / gas.density / volumetric_efficiency(head / suction)


def _barometer(draws: Draws) -> float:
    """Of the site [Pa], sea level's where it is not known."""
    known = float(draws.barometer(Where()).draws[0])
    return known if np.isfinite(known) else STANDARD_PRESSURE


ROW_SPLITS = ("row split", "row split, reversed")
"""Which circuit meets the entering air is not known of a row split: either is as likely."""


def circuitings(draws: Draws) -> Array:
    """Circuiting of each draw, (N + 1,) of `coil.CIRCUITINGS`; row 0 the first of those that may be.

    With one circuit there is nothing to lie apart: interlaced.
    """
    possible = possible_circuitings(draws)
    drawn_as = "circuiting" if possible == CIRCUITINGS else "circuiting order"
    return np.array(possible)[draws.ensemble.choice(drawn_as, len(possible))]


def possible_circuitings(draws: Draws) -> tuple[str, ...]:
    """Kinds that the coil may have."""
    word = draws.job.unit.circuiting or "unknown"
    if len(draws.job.circuit) < 2:
        return ("interlaced",)
    if word == "unknown":
        return CIRCUITINGS
    return ROW_SPLITS if word == "row split" else (word,)
