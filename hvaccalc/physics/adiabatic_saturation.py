"""Wet-bulb temperature: the adiabatic-saturation balance and its solution.

ASHRAE Handbook - Fundamentals 2017, chapter 1, equations 33 (bulb wetted with liquid)
and 35 (bulb covered with ice). Between about -0.8 and +0.8 °C both can hold for the
same air; the two bulbs then read up to 0.6 K apart.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaccalc.arrays import Array, Mask
from hvaccalc.physics.water_vapour import (
    CP_VAPOUR,
    FREEZING_POINT,
    LATENT_HEAT_0C,
    WATER,
    Phase,
    evaluate_by_phase,
    explicit_saturation_temperature,
    liquid_water_enthalpy,
    log_pressure_and_slope,
    saturation_pressure_over_water,
    valid_humidity_ratio,
    valid_pressure,
    valid_temperature,
)

CP_DRY = 1006.0
RATIO = 0.621945
GAS_CONSTANT_VAPOUR = 461.5

# Relative error in vapour pressure before the last step; being nearly cubic, that leaves less than 1e-7 K.
_LAST_ERROR = 3e-4
_MOST_STEPS = 12
# Saturated air may come out this much beyond saturation by rounding [K].
_ROUNDING = 1e-3
# A liquid bulb at 0 °C exactly stays liquid; this is below 1e-6 K [J/kg].
_ROUNDING_ENTHALPY = 1e-3
_PRESSURE_0C = float(saturation_pressure_over_water(FREEZING_POINT))


def _wet_bulb_kernel(phase: Phase, dry_bulb: Array, humidity_ratio: Array, pressure: Array) -> Array:
    """Wet bulb [K] by Halley steps on ln(saturation pressure) - ln(pressure that the balance wants).

    The balance gives the bulb's humidity ratio as N/D, both straight lines in its temperature. In logarithms
    both sides are nearly straight; the curvature, -2 slope/T + (N'/N)², costs nothing.
    """
    dry_bulb, humidity_ratio = valid_temperature(dry_bulb), valid_humidity_ratio(humidity_ratio)
    dry = dry_bulb - FREEZING_POINT
    n_slope = -(CP_DRY + phase.heat_capacity * humidity_ratio)
    n_0c = humidity_ratio * (phase.heat_to_vapour + CP_VAPOUR * dry) + CP_DRY * dry
    d_slope = CP_VAPOUR - phase.heat_capacity
    # Above this temperature the balance asks for less than no vapour.
    limit = FREEZING_POINT - n_0c / n_slope
    log_pressure = np.log(pressure)
    bulb = _first_guess(phase, dry_bulb, humidity_ratio, pressure, limit)
    for _ in range(_MOST_STEPS):
        celsius = bulb - FREEZING_POINT
        n = n_0c + n_slope * celsius
        total = n + RATIO * (phase.heat_to_vapour + d_slope * celsius)
        value, slope = log_pressure_and_slope(phase, bulb)
        value -= log_pressure + np.log(n / total)
        bend = n_slope / n
        curvature = bend * bend - 2.0 * slope / bulb
        slope += (n_slope + RATIO * d_slope) / total - bend
        step = value / slope
        step /= np.maximum(1.0 - 0.5 * curvature * step / slope, 0.5)
        bulb = np.minimum(bulb - step, 0.5 * (bulb + limit))
        if not (np.abs(value) > _LAST_ERROR).any():
            break
    if phase is WATER:
        bulb = np.maximum(bulb, FREEZING_POINT)
    bulb = np.where(bulb <= dry_bulb + _ROUNDING, np.minimum(bulb, dry_bulb), np.nan)
    return valid_temperature(bulb)


def _first_guess(
    phase: Phase, dry_bulb: Array, humidity_ratio: Array, pressure: Array, limit: Array
) -> Array:
    """One Halley step from the dew point, where the saturation pressure is known already [K].

    The psychrometer equation, wanted = pw + gamma (dry bulb - T), stands in for the full balance; dew points
    below -42 °C (10 Pa) are taken as -42 °C.
    """
    vapour = np.maximum(pressure * humidity_ratio / (RATIO + humidity_ratio), 10.0)
    log_vapour = np.log(vapour)
    dew = np.minimum(explicit_saturation_temperature(phase, log_vapour), dry_bulb - 0.01)
    gamma = CP_DRY / (RATIO * LATENT_HEAT_0C) * pressure
    wanted = vapour + gamma * (dry_bulb - dew)
    bend = gamma / wanted
    slope = (phase.heat_to_vapour / GAS_CONSTANT_VAPOUR) / (dew * dew)
    curvature = bend * bend - 2.0 * slope / dew
    slope = slope + bend
    step = (log_vapour - np.log(wanted)) / slope
    return np.minimum(dew - step / (1.0 - 0.5 * curvature * step / slope), 0.5 * (dew + limit))


def _ice_on_bulb(dry_bulb: Array, humidity_ratio: Array, pressure: Array) -> Mask:
    """True where a liquid bulb at 0 °C would still be cooled by evaporation."""
    dry = dry_bulb - FREEZING_POINT
    enthalpy = CP_DRY * dry + humidity_ratio * (LATENT_HEAT_0C + CP_VAPOUR * dry)
    saturated = RATIO * _PRESSURE_0C / (pressure - _PRESSURE_0C)
    return enthalpy < LATENT_HEAT_0C * saturated - _ROUNDING_ENTHALPY


def wet_bulb(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Thermodynamic wet-bulb temperature.

    Parameters
    ----------
    dry_bulb : array_like
        [K]
    humidity_ratio : array_like
        [kg/kg dry air]
    pressure : array_like
        Total pressure of the air, absolute [Pa].

    Returns
    -------
    ndarray
        Wet bulb within 1e-6 K [K]; NaN for supersaturated air, for a negative humidity
        ratio and outside 173.15-473.15 K.

    Notes
    -----
    ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35. The bulb is liquid while
    liquid can stay on it, else ice (`wet_bulb_branch` says which); in the narrow range
    where both hold, a bulb that was wetted with water reads the liquid value.

    Examples
    --------
    Table check: 100 °F dry bulb with 0.0052 kg/kg at sea level reads near 65 °F (18.3 °C).

    >>> round(float(wet_bulb(310.928, 0.0052, 101325.0)) - 273.15, 1)
    18.3
    """
    return evaluate_by_phase(_wet_bulb_kernel, _ice_on_bulb, dry_bulb, humidity_ratio, pressure)


@np.errstate(all="ignore")
def wet_bulb_branch(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> NDArray[np.str_]:
    """What covers the bulb that `wet_bulb` describes.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure : array_like
        As for `wet_bulb` [K], [kg/kg dry air], [Pa].

    Returns
    -------
    ndarray of str
        ``"water"`` or ``"ice"``; ``""`` where the state is not a valid one.
    """
    dry = valid_temperature(dry_bulb)
    ratio, total = valid_humidity_ratio(humidity_ratio), valid_pressure(pressure)
    branch = np.where(_ice_on_bulb(dry, ratio, total), "ice", "water")
    return np.where(np.isnan(dry + ratio + total), "", branch)


def saturated_at_bulb(wet_bulb: ArrayLike, pressure: ArrayLike) -> Array:
    """Humidity ratio of air saturated over the bulb's ice (below 0 °C) or water [kg/kg dry air]."""
    return evaluate_by_phase(_saturated_kernel, _bulb_is_frozen, wet_bulb, pressure)


def _bulb_is_frozen(wet_bulb: Array, pressure: Array) -> Mask:
    return wet_bulb < FREEZING_POINT


def _saturated_kernel(phase: Phase, wet_bulb: Array, pressure: Array) -> Array:
    saturation = np.exp(log_pressure_and_slope(phase, valid_temperature(wet_bulb))[0])
    return np.where(saturation < pressure, RATIO * saturation / (pressure - saturation), np.nan)


def unchecked_humidity_ratio(dry_bulb: ArrayLike, wet_bulb: ArrayLike, pressure: ArrayLike) -> Array:
    """Humidity ratio from both bulbs [kg/kg dry air], even where negative or beyond saturation."""
    dry = np.asarray(dry_bulb, dtype=float) - FREEZING_POINT
    bulb = np.asarray(wet_bulb, dtype=float) - FREEZING_POINT
    condensed = liquid_water_enthalpy(wet_bulb)
    to_vapour = LATENT_HEAT_0C + CP_VAPOUR * bulb - condensed
    gained = to_vapour * saturated_at_bulb(wet_bulb, pressure) - CP_DRY * (dry - bulb)
    return gained / (LATENT_HEAT_0C + CP_VAPOUR * dry - condensed)


@np.errstate(all="ignore")
def humidity_ratio_from_wet_bulb(dry_bulb: ArrayLike, wet_bulb: ArrayLike, pressure: ArrayLike) -> Array:
    """Humidity ratio from dry and wet bulb.

    Parameters
    ----------
    dry_bulb : array_like
        [K]
    wet_bulb : array_like
        Below 0 °C the bulb is taken as ice [K].
    pressure : array_like
        Total pressure, absolute [Pa].

    Returns
    -------
    ndarray
        [kg/kg dry air]; NaN where the wet bulb is above the dry bulb, or lower than even
        perfectly dry air would give, and outside 173.15-473.15 K.

    Notes
    -----
    ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35.

    Examples
    --------
    >>> round(float(humidity_ratio_from_wet_bulb(310.928, 291.483, 101325.0)), 4)
    0.0052
    """
    dry, bulb = valid_temperature(dry_bulb), valid_temperature(wet_bulb)
    ratio = unchecked_humidity_ratio(dry, bulb, pressure)
    # A bulb in perfectly dry air comes back as zero within rounding.
    possible = (bulb <= dry) & (ratio >= -1e-9)
    return np.where(possible, np.maximum(ratio, 0.0), np.nan)[()]
