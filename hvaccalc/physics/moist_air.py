"""Moist air: its properties, and its whole state from any two of them.

ASHRAE Handbook - Fundamentals 2017, chapter 1, SI. Humidity ratio, enthalpy and specific volume are per
kilogram of dry air. Everything broadcasts; outside 173.15-473.15 K, and for impossible air, results are NaN.

Model uncertainty: air and vapour are taken as an ideal mixture, which at saturation, room temperature and
sea level holds about 0.5 % less vapour than real moist air (no enhancement factor). That is no reading error;
carry it where the humidity ratio itself matters.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics import moist_air_properties as properties
from hvaccalc.physics.adiabatic_saturation import (
    CP_DRY,
    RATIO,
    humidity_ratio_from_wet_bulb,
    saturated_at_bulb,
    unchecked_humidity_ratio,
    wet_bulb,
    wet_bulb_branch,
)
from hvaccalc.physics.moist_air_properties import (
    STANDARD_PRESSURE,
    density,
    dew_point,
    dry_bulb_from_enthalpy,
    enthalpy,
    heat_capacity,
    humidity_ratio_from_enthalpy,
    humidity_ratio_from_relative_humidity,
    humidity_ratio_from_vapour_pressure,
    pressure_at_elevation,
    relative_humidity,
    saturation_humidity_ratio,
    specific_volume,
    temperature_at_elevation,
    vapour_pressure,
)
from hvaccalc.physics.water_vapour import (
    CP_ICE,
    CP_VAPOUR,
    CP_WATER,
    FREEZING_POINT,
    HIGHEST_TEMPERATURE,
    LATENT_HEAT_0C,
    LOWEST_TEMPERATURE,
    SUBLIMATION_HEAT,
    TRIPLE_POINT,
    liquid_water_enthalpy,
    saturation_pressure,
    saturation_pressure_over_ice,
    saturation_pressure_over_water,
    saturation_temperature,
    valid_pressure,
    valid_temperature,
)

VALID, MISSING, OUT_OF_RANGE, SUPERSATURATED, TOO_DRY, NOT_INDEPENDENT, NO_DEW_POINT = range(7)
REASONS = {
    VALID: "a state of moist air",
    MISSING: "a value is missing or not a number",
    OUT_OF_RANGE: "a temperature is outside -100 to 200 °C, or the pressure is below that of the vapour",
    SUPERSATURATED: "more vapour than saturated air holds (wet bulb or dew point above dry bulb, over 100 %)",
    TOO_DRY: "less than no vapour: drier than perfectly dry air",
    NOT_INDEPENDENT: "the two values together do not fix a state here",
    NO_DEW_POINT: "too dry to have a dew point above -100 °C; the other properties stand",
}

__all__ = [
    "CP_DRY",
    "CP_ICE",
    "CP_VAPOUR",
    "CP_WATER",
    "FREEZING_POINT",
    "HIGHEST_TEMPERATURE",
    "LATENT_HEAT_0C",
    "LOWEST_TEMPERATURE",
    "RATIO",
    "REASONS",
    "STANDARD_PRESSURE",
    "SUBLIMATION_HEAT",
    "TRIPLE_POINT",
    "MoistAir",
    "density",
    "dew_point",
    "dry_bulb_from_enthalpy",
    "enthalpy",
    "heat_capacity",
    "humidity_ratio_from_enthalpy",
    "humidity_ratio_from_relative_humidity",
    "humidity_ratio_from_vapour_pressure",
    "humidity_ratio_from_wet_bulb",
    "liquid_water_enthalpy",
    "pressure_at_elevation",
    "relative_humidity",
    "saturation_humidity_ratio",
    "saturation_pressure",
    "saturation_pressure_over_ice",
    "saturation_pressure_over_water",
    "saturation_temperature",
    "specific_volume",
    "state",
    "temperature_at_elevation",
    "vapour_pressure",
    "wet_bulb",
    "wet_bulb_branch",
]


# Between 0 and 0.01 °C the curves over ice and over water differ by 1e-4 of the pressure: air saturated over
# a wet bulb is that much beyond saturation over ice.
_CURVE_GAP = 2e-4
_SATURATION_ROUNDING = 1e-6
_ROUNDING = 1e-6
# Wet bulb and enthalpy part only by the liquid's own heat: below 1 K from 0 °C their readings fix nothing.
_LEAST_LIQUID_HEAT = CP_WATER * 1.0
# 300 K halved so often leaves 1e-9 K.
_HALVINGS = 38


@dataclass(frozen=True)
class MoistAir:
    """A state of moist air; each field an array of the same shape.

    Attributes
    ----------
    dry_bulb, wet_bulb, dew_point : ndarray
        [K]; dew point over ice up to 273.16 K.
    relative_humidity : ndarray
        0-1
    humidity_ratio : ndarray
        [kg/kg dry air]
    enthalpy : ndarray
        [J/kg dry air]
    specific_volume : ndarray
        [m³/kg dry air]
    pressure : ndarray
        Total [Pa].
    reason : ndarray of int
        Key into `REASONS`; 0 where all is well. Other fields (save pressure) are NaN where it is 1-5.
    """

    dry_bulb: np.ndarray
    wet_bulb: np.ndarray
    dew_point: np.ndarray
    relative_humidity: np.ndarray
    humidity_ratio: np.ndarray
    enthalpy: np.ndarray
    specific_volume: np.ndarray
    pressure: np.ndarray
    reason: np.ndarray


def state(pressure: ArrayLike, **two: ArrayLike) -> MoistAir:
    """The whole state of moist air from two of its properties.

    Parameters
    ----------
    pressure : array_like
        Total [Pa].
    **two : array_like
        Exactly two of ``dry_bulb``, ``wet_bulb``, ``dew_point`` [K], ``relative_humidity`` (0-1),
        ``humidity_ratio`` [kg/kg dry air], ``enthalpy`` [J/kg dry air].

    Returns
    -------
    MoistAir
        Given values come back as given. Impossible states are NaN with their reason.

    Raises
    ------
    ValueError
        For another number of properties, an unknown one, or dew point with humidity ratio, which are one
        property twice.

    Notes
    -----
    Wet bulb with enthalpy is poorly conditioned: an error of 1 kJ/kg at 20 °C wet bulb is 0.012 kg/kg. It is
    refused within 1 K above 0 °C. Iterated pairs (relative humidity with wet bulb or enthalpy) are solved by
    halving a bracket; all others are explicit.

    Examples
    --------
    Example 1 of the chapter: 100 °F dry bulb, 65 °F wet bulb, sea level.

    >>> air = state(101325.0, dry_bulb=310.928, wet_bulb=291.483)
    >>> round(float(air.humidity_ratio), 4), round(float(air.relative_humidity), 2)
    (0.0052, 0.13)
    """
    solve = _solver(two)
    names = ("pressure", *two)
    arrays = np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in (pressure, *two.values())))
    given = dict(zip(names, arrays, strict=True))
    with np.errstate(all="ignore"):
        dry, ratio = solve(**given)
        reason = _reason(given, dry, ratio)
        return _complete(given, dry, ratio, reason)


def _solver(two: dict[str, ArrayLike]) -> Callable[..., tuple[np.ndarray, np.ndarray]]:
    """The function that turns the two given properties into dry bulb and humidity ratio."""
    known = {field.name for field in fields(MoistAir)} - {"specific_volume", "pressure", "reason"}
    if unknown := set(two) - known:
        raise ValueError(f"{sorted(unknown)[0]} is not a property to start from; use two of {sorted(known)}")
    if len(two) != 2:
        raise ValueError(f"a state takes exactly two properties of {sorted(known)}, found {len(two)}")
    if set(two) == {"dew_point", "humidity_ratio"}:
        raise ValueError("dew point and humidity ratio are not independent: each follows from the other")
    if "dew_point" in two:
        return _from_dew_point
    return _SOLVERS[frozenset(two)]


def _from_dew_point(pressure: Array, dew_point: Array, **other: Array) -> tuple[Array, Array]:
    ratio = properties.saturation_humidity_ratio(dew_point, pressure)
    return _SOLVERS[frozenset({"humidity_ratio", *other})](pressure=pressure, humidity_ratio=ratio, **other)


def _from_humidity_ratio(pressure: Array, dry_bulb: Array, humidity_ratio: Array) -> tuple[Array, Array]:
    return dry_bulb, humidity_ratio


def _from_both_bulbs(pressure: Array, dry_bulb: Array, wet_bulb: Array) -> tuple[Array, Array]:
    ratio = unchecked_humidity_ratio(dry_bulb, wet_bulb, pressure)
    # A bulb in perfectly dry air comes back as zero within rounding.
    return dry_bulb, np.where(np.abs(ratio) < 1e-9, 0.0, ratio)


def _from_relative_humidity(
    pressure: Array, dry_bulb: Array, relative_humidity: Array
) -> tuple[Array, Array]:
    return dry_bulb, properties.humidity_ratio_from_relative_humidity(dry_bulb, relative_humidity, pressure)


def _from_enthalpy(pressure: Array, dry_bulb: Array, enthalpy: Array) -> tuple[Array, Array]:
    celsius = dry_bulb - FREEZING_POINT
    return dry_bulb, (enthalpy - CP_DRY * celsius) / (LATENT_HEAT_0C + CP_VAPOUR * celsius)


def _from_ratio_and_wet_bulb(pressure: Array, humidity_ratio: Array, wet_bulb: Array) -> tuple[Array, Array]:
    """The balance is a straight line in the dry bulb."""
    missing = saturated_at_bulb(wet_bulb, pressure) - humidity_ratio
    bulb_enthalpy = properties.enthalpy(wet_bulb, saturated_at_bulb(wet_bulb, pressure))
    return _from_ratio_and_enthalpy(
        pressure, humidity_ratio, bulb_enthalpy - missing * liquid_water_enthalpy(wet_bulb)
    )


def _from_ratio_and_enthalpy(pressure: Array, humidity_ratio: Array, enthalpy: Array) -> tuple[Array, Array]:
    celsius = (enthalpy - LATENT_HEAT_0C * humidity_ratio) / (CP_DRY + CP_VAPOUR * humidity_ratio)
    return celsius + FREEZING_POINT, humidity_ratio


def _from_ratio_and_relative_humidity(
    pressure: Array, humidity_ratio: Array, relative_humidity: Array
) -> tuple[Array, Array]:
    saturation = properties.vapour_pressure(humidity_ratio, pressure) / relative_humidity
    return saturation_temperature(saturation), humidity_ratio


def _from_wet_bulb_and_enthalpy(pressure: Array, wet_bulb: Array, enthalpy: Array) -> tuple[Array, Array]:
    saturated, condensed = saturated_at_bulb(wet_bulb, pressure), liquid_water_enthalpy(wet_bulb)
    lacking = properties.enthalpy(wet_bulb, saturated) - enthalpy
    return _from_ratio_and_enthalpy(pressure, saturated - lacking / condensed, enthalpy)


def _from_relative_humidity_and_wet_bulb(
    pressure: Array, relative_humidity: Array, wet_bulb: Array
) -> tuple[Array, Array]:
    """Dry bulb where the balance's vapour pressure is the given share of saturation."""

    def excess(dry: Array, share: Array, bulb: Array, total: Array) -> Array:
        ratio = unchecked_humidity_ratio(dry, bulb, total)
        return share * saturation_pressure(dry) * (RATIO + ratio) - total * ratio

    saturated = saturated_at_bulb(wet_bulb, pressure)
    condensed = liquid_water_enthalpy(wet_bulb)
    latent = LATENT_HEAT_0C + CP_VAPOUR * (wet_bulb - FREEZING_POINT) - condensed
    driest = np.minimum(wet_bulb + latent * saturated / CP_DRY, HIGHEST_TEMPERATURE)
    dry = _root(excess, wet_bulb, driest, relative_humidity, wet_bulb, pressure)
    return dry, unchecked_humidity_ratio(dry, wet_bulb, pressure)


def _from_relative_humidity_and_enthalpy(
    pressure: Array, relative_humidity: Array, enthalpy: Array
) -> tuple[Array, Array]:
    """Dry bulb where air of this relative humidity has this enthalpy."""

    def excess(dry: Array, share: Array, heat: Array, total: Array) -> Array:
        vapour, celsius = share * saturation_pressure(dry), dry - FREEZING_POINT
        latent = RATIO * vapour * (LATENT_HEAT_0C + CP_VAPOUR * celsius)
        return latent - (heat - CP_DRY * celsius) * (total - vapour)

    driest = np.minimum(enthalpy / CP_DRY + FREEZING_POINT, HIGHEST_TEMPERATURE)
    lowest = np.full_like(driest, LOWEST_TEMPERATURE)
    dry = _root(excess, lowest, driest, relative_humidity, enthalpy, pressure)
    return dry, properties.humidity_ratio_from_vapour_pressure(
        relative_humidity * saturation_pressure(dry), pressure
    )


def _root(
    function: Callable[..., Array], low: float | Array, high: float | Array, *arguments: Array
) -> Array:
    """Zero of an increasing function within 1e-8 K by halving each bracket; NaN where the signs agree."""
    bracketed = (function(low, *arguments) <= 0.0) & (function(high, *arguments) >= 0.0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = function(middle, *arguments) < 0.0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.where(bracketed, high, np.nan)


_SOLVERS: dict[frozenset[str], Callable[..., tuple[np.ndarray, np.ndarray]]] = {
    frozenset({"dry_bulb", "humidity_ratio"}): _from_humidity_ratio,
    frozenset({"dry_bulb", "wet_bulb"}): _from_both_bulbs,
    frozenset({"dry_bulb", "relative_humidity"}): _from_relative_humidity,
    frozenset({"dry_bulb", "enthalpy"}): _from_enthalpy,
    frozenset({"humidity_ratio", "wet_bulb"}): _from_ratio_and_wet_bulb,
    frozenset({"humidity_ratio", "enthalpy"}): _from_ratio_and_enthalpy,
    frozenset({"humidity_ratio", "relative_humidity"}): _from_ratio_and_relative_humidity,
    frozenset({"wet_bulb", "enthalpy"}): _from_wet_bulb_and_enthalpy,
    frozenset({"relative_humidity", "wet_bulb"}): _from_relative_humidity_and_wet_bulb,
    frozenset({"relative_humidity", "enthalpy"}): _from_relative_humidity_and_enthalpy,
}


def _reason(given: dict[str, np.ndarray], dry: np.ndarray, ratio: np.ndarray) -> np.ndarray:
    """Key into `REASONS` for each element; the first that applies."""
    readings = {name: value for name, value in given.items() if name in ("dry_bulb", "wet_bulb", "dew_point")}
    missing = ~np.all([np.isfinite(value) for value in given.values()], axis=0)
    outside = np.isnan(valid_pressure(given["pressure"]))
    beyond = ratio > properties.saturation_humidity_ratio(dry, given["pressure"]) * _most_saturated(dry)
    for value in readings.values():
        outside = outside | np.isnan(valid_temperature(value))
        beyond = beyond | (value > dry + _ROUNDING)
    share = given.get("relative_humidity", np.zeros_like(dry))
    conditions = [missing, outside, _ambiguous(given), beyond | (share > 1.0), (ratio < 0.0) | (share < 0.0)]
    conditions += [np.isnan(valid_temperature(dry) + ratio)]
    codes = [MISSING, OUT_OF_RANGE, NOT_INDEPENDENT, SUPERSATURATED, TOO_DRY, OUT_OF_RANGE]
    return np.select(conditions, codes, VALID)


def _most_saturated(dry: np.ndarray) -> np.ndarray:
    between = (dry >= FREEZING_POINT) & (dry <= TRIPLE_POINT)
    return np.where(between, 1.0 + _CURVE_GAP, 1.0 + _SATURATION_ROUNDING)


def _ambiguous(given: dict[str, np.ndarray]) -> np.ndarray:
    """True where the two given values meet in more than one state."""
    nowhere = np.zeros(given["pressure"].shape, dtype=bool)
    if {"wet_bulb", "enthalpy"} <= set(given):
        return np.abs(liquid_water_enthalpy(given["wet_bulb"])) < _LEAST_LIQUID_HEAT
    if {"relative_humidity", "humidity_ratio"} <= set(given):
        return (given["relative_humidity"] == 0.0) & (given["humidity_ratio"] == 0.0)
    return nowhere


def _complete(
    given: dict[str, np.ndarray], dry: np.ndarray, ratio: np.ndarray, reason: np.ndarray
) -> MoistAir:
    """All properties; what was given stays as given."""
    pressure, possible = given["pressure"], reason == VALID
    dry, ratio = np.where(possible, dry, np.nan), np.where(possible, ratio, np.nan)
    values = {
        "dry_bulb": dry,
        "wet_bulb": wet_bulb(dry, ratio, pressure),
        "dew_point": properties.dew_point(ratio, pressure),
        "relative_humidity": np.minimum(properties.relative_humidity(dry, ratio, pressure), 1.0),
        "humidity_ratio": ratio,
        "enthalpy": properties.enthalpy(dry, ratio),
        "specific_volume": properties.specific_volume(dry, ratio, pressure),
    }
    for name in set(given) - {"pressure"}:
        values[name] = np.where(possible, given[name], np.nan)
    reason = np.where(possible & np.isnan(values["dew_point"]), NO_DEW_POINT, reason)
    return MoistAir(**values, pressure=pressure.copy(), reason=reason)
