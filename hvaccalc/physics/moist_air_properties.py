"""Pressure, humidity, enthalpy and volume of moist air as an ideal mixture.

ASHRAE Handbook - Fundamentals 2017, chapter 1, SI forms; equation numbers below are its. Humidity ratio,
enthalpy and specific volume are per kilogram of dry air. Results are NaN where a temperature is outside
173.15-473.15 K or a humidity ratio or pressure is impossible.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Mask
from hvaccalc.physics.adiabatic_saturation import CP_DRY, RATIO
from hvaccalc.physics.water_vapour import (
    CP_VAPOUR,
    FREEZING_POINT,
    LATENT_HEAT_0C,
    Phase,
    evaluate_by_phase,
    is_over_ice,
    saturation_pressure,
    temperature_kernel,
    valid_humidity_ratio,
    valid_pressure,
    valid_temperature,
)

GAS_CONSTANT_DRY = 287.042

STANDARD_PRESSURE = 101325.0
"""Standard atmosphere at sea level [Pa], ASHRAE Fundamentals 2017 ch. 1."""


def pressure_at_elevation(elevation: ArrayLike) -> Array:
    """Barometric pressure of the standard atmosphere.

    Parameters
    ----------
    elevation : array_like
        Above sea level [m].

    Returns
    -------
    ndarray
        Absolute pressure [Pa]; NaN outside -5000 to 11 000 m.

    Notes
    -----
    101 325 (1 - 2.25577e-5 Z)^5.2559 (equation 3).

    Examples
    --------
    The handbook's table 1 gives 89.874 kPa at 1000 m:

    >>> round(float(pressure_at_elevation(1000.0)) / 1000.0, 2)
    89.87
    """
    return STANDARD_PRESSURE * (1.0 - 2.25577e-5 * _valid_elevation(elevation)) ** 5.2559


def temperature_at_elevation(elevation: ArrayLike) -> Array:
    """Air temperature of the standard atmosphere.

    Parameters
    ----------
    elevation : array_like
        Above sea level [m].

    Returns
    -------
    ndarray
        [K]; NaN outside -5000 to 11 000 m.

    Notes
    -----
    15 - 0.0065 Z in °C (equation 4).

    Examples
    --------
    >>> float(temperature_at_elevation(1000.0))
    281.65
    """
    return 288.15 - 0.0065 * _valid_elevation(elevation)


def _valid_elevation(elevation: ArrayLike) -> Array:
    value = np.asarray(elevation, dtype=float)
    return np.where((value >= -5000.0) & (value <= 11000.0), value, np.nan)


@np.errstate(all="ignore")
def humidity_ratio_from_vapour_pressure(vapour_pressure: ArrayLike, pressure: ArrayLike) -> Array:
    """Humidity ratio from the partial pressure of the vapour.

    Parameters
    ----------
    vapour_pressure, pressure : array_like
        Of the vapour, and total [Pa].

    Returns
    -------
    ndarray
        [kg/kg dry air]; NaN unless 0 <= vapour pressure < pressure.

    Notes
    -----
    0.621945 pw / (p - pw) (equation 20).

    Examples
    --------
    >>> round(float(humidity_ratio_from_vapour_pressure(3169.7, 97733.0)), 4)
    0.0208
    """
    vapour, total = np.asarray(vapour_pressure, float), np.asarray(pressure, float)
    ratio = RATIO * vapour / (total - vapour)
    return np.where((vapour >= 0.0) & (vapour < total), ratio, np.nan)[()]


@np.errstate(all="ignore")
def vapour_pressure(humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Partial pressure of the vapour.

    Parameters
    ----------
    humidity_ratio : array_like
        [kg/kg dry air]
    pressure : array_like
        Total [Pa].

    Returns
    -------
    ndarray
        [Pa]; NaN for a negative humidity ratio or a pressure not above zero.

    Examples
    --------
    >>> round(float(vapour_pressure(0.0208473, 97733.0)), 0)
    3170.0
    """
    ratio = valid_humidity_ratio(humidity_ratio)
    return valid_pressure(pressure) * ratio / (RATIO + ratio)


def saturation_humidity_ratio(temperature: ArrayLike, pressure: ArrayLike) -> Array:
    """Humidity ratio of saturated air, over ice up to 273.16 K.

    Parameters
    ----------
    temperature, pressure : array_like
        [K], total [Pa].

    Returns
    -------
    ndarray
        [kg/kg dry air]; NaN outside 173.15-473.15 K and where water boils.

    Examples
    --------
    Table 2 (real gas) gives 0.020173 at 25 °C; the ideal mixture is 0.4 % below it.

    >>> round(float(saturation_humidity_ratio(298.15, 101325.0)), 4)
    0.0201
    """
    return humidity_ratio_from_vapour_pressure(saturation_pressure(temperature), pressure)


def humidity_ratio_from_relative_humidity(
    dry_bulb: ArrayLike, relative_humidity: ArrayLike, pressure: ArrayLike
) -> Array:
    """Humidity ratio from dry bulb and relative humidity.

    Parameters
    ----------
    dry_bulb, relative_humidity, pressure : array_like
        [K], 0-1, total [Pa].

    Returns
    -------
    ndarray
        [kg/kg dry air]; NaN outside 0-1 and 173.15-473.15 K.

    Notes
    -----
    Relative humidity is vapour pressure over saturation pressure (equations 12 and 22), over ice below
    273.16 K.

    Examples
    --------
    >>> round(float(humidity_ratio_from_relative_humidity(303.15, 0.5, 101325.0)), 4)
    0.0133
    """
    share = np.asarray(relative_humidity, dtype=float)
    share = np.where((share >= 0.0) & (share <= 1.0), share, np.nan)
    return humidity_ratio_from_vapour_pressure(share * saturation_pressure(dry_bulb), pressure)


def relative_humidity(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Relative humidity.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure : array_like
        [K], [kg/kg dry air], total [Pa].

    Returns
    -------
    ndarray
        Vapour pressure over saturation pressure (above 1 where supersaturated); NaN outside 173.15-473.15 K.

    Examples
    --------
    >>> round(float(relative_humidity(303.15, 0.0133, 101325.0)), 2)
    0.5
    """
    return vapour_pressure(humidity_ratio, pressure) / saturation_pressure(dry_bulb)


def dew_point(humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Dew point; below 273.16 K the frost point.

    Parameters
    ----------
    humidity_ratio, pressure : array_like
        [kg/kg dry air], total [Pa].

    Returns
    -------
    ndarray
        [K]; NaN outside 173.15-473.15 K, so also for perfectly dry air.

    Notes
    -----
    Inverse of the saturation pressure, within 1e-6 K; not the handbook's fitted equations 37 and 38.

    Examples
    --------
    Air of 80 °F dry and 67 °F wet bulb at sea level condenses at 60.3 °F (15.7 °C):

    >>> round(float(dew_point(0.01117, 101325.0)) - 273.15, 1)
    15.7
    """
    return evaluate_by_phase(_dew_point_kernel, _dew_is_frost, humidity_ratio, pressure)


def _dew_is_frost(humidity_ratio: Array, pressure: Array) -> Mask:
    return is_over_ice(vapour_pressure(humidity_ratio, pressure))


def _dew_point_kernel(phase: Phase, humidity_ratio: Array, pressure: Array) -> Array:
    return temperature_kernel(phase, vapour_pressure(humidity_ratio, pressure))


def heat_capacity(humidity_ratio: ArrayLike) -> Array:
    """Heat capacity of moist air per kilogram of dry air.

    Parameters
    ----------
    humidity_ratio : array_like
        [kg/kg dry air]

    Returns
    -------
    ndarray
        1006 + 1860 W [J/(kg K)]; NaN for a negative humidity ratio.

    Examples
    --------
    >>> float(heat_capacity(0.01))
    1024.6
    """
    return CP_DRY + CP_VAPOUR * valid_humidity_ratio(humidity_ratio)


def enthalpy(dry_bulb: ArrayLike, humidity_ratio: ArrayLike) -> Array:
    """Enthalpy of moist air, 0 for dry air and for liquid water at 0 °C.

    Parameters
    ----------
    dry_bulb, humidity_ratio : array_like
        [K], [kg/kg dry air].

    Returns
    -------
    ndarray
        [J/kg dry air]; NaN outside 173.15-473.15 K.

    Notes
    -----
    1006 t + W (2 501 000 + 1860 t), t in °C (equation 30).

    Examples
    --------
    >>> round(float(enthalpy(303.15, 0.0133)) / 1000.0, 1)
    64.2
    """
    ratio, celsius = valid_humidity_ratio(humidity_ratio), valid_temperature(dry_bulb) - FREEZING_POINT
    return CP_DRY * celsius + ratio * (LATENT_HEAT_0C + CP_VAPOUR * celsius)


def dry_bulb_from_enthalpy(enthalpy: ArrayLike, humidity_ratio: ArrayLike) -> Array:
    """Dry bulb from enthalpy and humidity ratio.

    Parameters
    ----------
    enthalpy, humidity_ratio : array_like
        [J/kg dry air], [kg/kg dry air].

    Returns
    -------
    ndarray
        [K]; NaN outside 173.15-473.15 K.

    Examples
    --------
    >>> round(float(dry_bulb_from_enthalpy(64183.3, 0.0133)), 2)
    303.15
    """
    ratio = valid_humidity_ratio(humidity_ratio)
    celsius = (np.asarray(enthalpy, float) - LATENT_HEAT_0C * ratio) / heat_capacity(ratio)
    return valid_temperature(celsius + FREEZING_POINT)


def humidity_ratio_from_enthalpy(dry_bulb: ArrayLike, enthalpy: ArrayLike) -> Array:
    """Humidity ratio from dry bulb and enthalpy.

    Parameters
    ----------
    dry_bulb, enthalpy : array_like
        [K], [J/kg dry air].

    Returns
    -------
    ndarray
        [kg/kg dry air]; NaN where the enthalpy is below that of dry air and outside 173.15-473.15 K.

    Notes
    -----
    Equation 30 solved for the humidity ratio.

    Examples
    --------
    >>> round(float(humidity_ratio_from_enthalpy(303.15, 64183.3)), 4)
    0.0133
    """
    celsius = valid_temperature(dry_bulb) - FREEZING_POINT
    vapour_heat = np.asarray(enthalpy, float) - CP_DRY * celsius
    return valid_humidity_ratio(vapour_heat / (LATENT_HEAT_0C + CP_VAPOUR * celsius))


def specific_volume(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Volume of moist air that holds one kilogram of dry air.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure : array_like
        [K], [kg/kg dry air], total [Pa].

    Returns
    -------
    ndarray
        [m³/kg dry air]; NaN outside 173.15-473.15 K.

    Notes
    -----
    287.042 T (1 + W/0.621945) / p (equation 26).

    Examples
    --------
    >>> round(float(specific_volume(303.15, 0.0133, 101325.0)), 3)
    0.877
    """
    swelling = 1.0 + valid_humidity_ratio(humidity_ratio) / RATIO
    return GAS_CONSTANT_DRY * valid_temperature(dry_bulb) * swelling / valid_pressure(pressure)


def density(dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike) -> Array:
    """Density of moist air: its whole mass, vapour included, by its volume.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure : array_like
        [K], [kg/kg dry air], total [Pa].

    Returns
    -------
    ndarray
        [kg/m³]; NaN outside 173.15-473.15 K.

    Notes
    -----
    (1 + W) / v (equation 11).

    Examples
    --------
    Standard air of 21 °C, dry:

    >>> round(float(density(294.15, 0.0, 101325.0)), 2)
    1.2
    """
    mass = 1.0 + np.asarray(humidity_ratio, float)
    return mass / specific_volume(dry_bulb, humidity_ratio, pressure)
