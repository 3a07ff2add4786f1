"""Water alone: its saturation curves over liquid and ice, and its enthalpies.

Saturation pressure is the Hyland-Wexler correlation (ASHRAE Handbook - Fundamentals
2017, chapter 1, equations 5 and 6), valid for 173.15-473.15 K.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Mask

LOWEST_TEMPERATURE = 173.15
HIGHEST_TEMPERATURE = 473.15
FREEZING_POINT = 273.15
# The two saturation curves meet at the triple point, not at the freezing point;
# changing over at 273.16 K keeps the inverse (the dew point) single-valued.
TRIPLE_POINT = 273.16

LATENT_HEAT_0C = 2501e3
SUBLIMATION_HEAT = 2830e3
CP_VAPOUR = 1860.0
CP_WATER = 4186.0
CP_ICE = 2100.0

_BLOCK = 8192


class Phase(NamedTuple):
    """A condensed phase of water with the vapour in equilibrium over it.

    `coefficients` are those of ln p = c0/T + c1 + c2 T + c3 T² + c4 T³ + c5 T⁴ + c6 ln T
    [Pa, K]; `heat_to_vapour` is at 0 °C [J/kg]; `heat_capacity` is of the condensed
    phase [J/(kg K)]; `start` holds the polynomial in ln p that guesses 1/T.
    """

    coefficients: tuple[float, ...]
    heat_to_vapour: float
    heat_capacity: float
    start: tuple[float, ...] = ()


def log_pressure_and_slope(phase: Phase, temperature: Array) -> tuple[Array, Array]:
    """ln of saturation pressure [ln Pa] and its slope [1/K], no range check."""
    c0, c1, c2, c3, c4, c5, c6 = phase.coefficients
    t, inverse = temperature, 1.0 / temperature
    first = c0 * inverse
    value = first + c1 + t * (c2 + t * (c3 + t * (c4 + t * c5))) + c6 * np.log(t)
    slope = (c6 - first) * inverse
    slope += c2 + t * (2.0 * c3 + t * (3.0 * c4 + t * (4.0 * c5)))
    return value, slope


def explicit_saturation_temperature(phase: Phase, log_pressure: Array) -> Array:
    """First guess of the saturation temperature [K] from ln p [ln Pa]."""
    inverse = np.full_like(log_pressure, phase.start[-1])
    for coefficient in phase.start[-2::-1]:
        inverse *= log_pressure
        inverse += coefficient
    return 1.0 / inverse


def _with_start(phase: Phase, low: float, high: float) -> Phase:
    """The phase with its first-guess polynomial fitted to its own curve."""
    temperature = np.linspace(low, high, 120)
    log_pressure, _ = log_pressure_and_slope(phase, temperature)
    fit = np.polynomial.polynomial.polyfit(log_pressure, 1.0 / temperature, 6)
    return phase._replace(start=tuple(float(c) for c in fit))


_WATER_CURVE = (
    -5.8002206e03,
    1.3914993,
    -4.8640239e-02,
    4.1764768e-05,
    -1.4452093e-08,
    0.0,
    6.5459673,
)
_ICE_CURVE = (
    -5.6745359e03,
    6.3925247,
    -9.677843e-03,
    6.2215701e-07,
    2.0747825e-09,
    -9.484024e-13,
    4.1635019,
)
# The water guess reaches below freezing because the wet-bulb search starts from the
# dew point over supercooled water.
WATER = _with_start(Phase(_WATER_CURVE, LATENT_HEAT_0C, CP_WATER), 223.15, 473.15)
ICE = _with_start(Phase(_ICE_CURVE, SUBLIMATION_HEAT, CP_ICE), 173.15, 273.16)


def evaluate_by_phase(
    kernel: Callable[..., Array], over_ice: Callable[..., Mask], *arguments: ArrayLike
) -> Array:
    """``kernel(phase, *arguments)`` with the phase that ``over_ice(*arguments)`` picks for each element.

    Works in blocks that fit the processor's cache and evaluates the second phase only in blocks that hold
    both; whole-array expressions take about three times as long.
    """
    values = [np.asarray(argument, dtype=float) for argument in arguments]
    result = np.empty(np.broadcast_shapes(*(value.shape for value in values)))
    flat = [np.broadcast_to(value, result.shape).reshape(-1) if value.size > 1 else value for value in values]
    flat = [value if value.size > 1 else value.reshape(()) for value in flat]
    flat_result = result.reshape(-1)
    with np.errstate(all="ignore"):
        for first in range(0, result.size, _BLOCK):
            block = slice(first, first + _BLOCK)
            rows = [value[block] if value.ndim else value for value in flat]
            ice = over_ice(*rows)
            if not ice.any():
                flat_result[block] = kernel(WATER, *rows)
            elif ice.all():
                flat_result[block] = kernel(ICE, *rows)
            else:
                target = flat_result[block]
                target[ice] = kernel(ICE, *(row[ice] if row.ndim else row for row in rows))
                target[~ice] = kernel(WATER, *(row[~ice] if row.ndim else row for row in rows))
    return result[()]


def valid_temperature(temperature: ArrayLike) -> Array:
    """The temperature [K], NaN outside 173.15-473.15 K."""
    value = np.asarray(temperature, dtype=float)
    inside = (value >= LOWEST_TEMPERATURE) & (value <= HIGHEST_TEMPERATURE)
    return np.where(inside, value, np.nan)[()]


def valid_humidity_ratio(humidity_ratio: ArrayLike) -> Array:
    """The humidity ratio [kg/kg dry air], NaN where negative or not finite."""
    value = np.asarray(humidity_ratio, dtype=float)
    return np.where((value >= 0.0) & np.isfinite(value), value, np.nan)[()]


def valid_pressure(pressure: ArrayLike) -> Array:
    """The total pressure [Pa], NaN unless above zero."""
    value = np.asarray(pressure, dtype=float)
    return np.where((value > 0.0) & np.isfinite(value), value, np.nan)[()]


def _pressure_kernel(phase: Phase, temperature: Array) -> Array:
    return np.exp(log_pressure_and_slope(phase, valid_temperature(temperature))[0])


def _is_below_triple_point(temperature: Array) -> Mask:
    return temperature <= TRIPLE_POINT


def saturation_pressure(temperature: ArrayLike) -> Array:
    """Pressure of water vapour in equilibrium with ice or liquid water.

    Parameters
    ----------
    temperature : array_like
        Over ice up to the triple point (273.16 K), over water above it [K].

    Returns
    -------
    ndarray
        Saturation pressure [Pa]; NaN outside 173.15-473.15 K.

    Notes
    -----
    Hyland-Wexler: ASHRAE Fundamentals 2017, chapter 1, equations 5 and 6.

    Examples
    --------
    >>> round(float(saturation_pressure(293.15)), 1)
    2338.8
    """
    return evaluate_by_phase(_pressure_kernel, _is_below_triple_point, temperature)


def saturation_pressure_over_water(temperature: ArrayLike) -> Array:
    """Saturation pressure over liquid water, supercooled below 0 °C.

    Parameters
    ----------
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        Saturation pressure [Pa]; NaN outside 173.15-473.15 K. The correlation was
        fitted from 273.15 K up: below that it is an extrapolation.

    Notes
    -----
    ASHRAE Fundamentals 2017, chapter 1, equation 6.
    """
    return np.exp(log_pressure_and_slope(WATER, valid_temperature(temperature))[0])


def saturation_pressure_over_ice(temperature: ArrayLike) -> Array:
    """Saturation pressure over ice.

    Parameters
    ----------
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        Saturation pressure [Pa]; NaN outside 173.15-273.16 K, where there is no ice.

    Notes
    -----
    ASHRAE Fundamentals 2017, chapter 1, equation 5.
    """
    value = valid_temperature(temperature)
    value = np.where(value <= TRIPLE_POINT, value, np.nan)
    return np.exp(log_pressure_and_slope(ICE, value)[0])


_LOWEST_PRESSURE = float(saturation_pressure(LOWEST_TEMPERATURE))
_HIGHEST_PRESSURE = float(saturation_pressure(HIGHEST_TEMPERATURE))
_TRIPLE_PRESSURE = float(saturation_pressure(TRIPLE_POINT))


def is_over_ice(vapour_pressure: Array) -> Mask:
    """True where vapour of this pressure [Pa] is saturated over ice."""
    return vapour_pressure <= _TRIPLE_PRESSURE


def temperature_kernel(phase: Phase, vapour_pressure: Array) -> Array:
    """Saturation temperature [K]: an explicit guess and one Newton step.

    ln p is nearly straight in T, so one step takes the guess's error below 1e-6 K.
    """
    # The inverse loses a last digit: the ends of the range belong to it.
    inside = vapour_pressure >= _LOWEST_PRESSURE * (1.0 - 1e-9)
    inside &= vapour_pressure <= _HIGHEST_PRESSURE * (1.0 + 1e-9)
    vapour_pressure = np.where(inside, vapour_pressure, np.nan)
    target = np.log(vapour_pressure)
    guess = explicit_saturation_temperature(phase, target)
    value, slope = log_pressure_and_slope(phase, guess)
    return guess - (value - target) / slope


def saturation_temperature(vapour_pressure: ArrayLike) -> Array:
    """Temperature at which water vapour of a given pressure is saturated.

    Parameters
    ----------
    vapour_pressure : array_like
        Partial pressure of water vapour [Pa].

    Returns
    -------
    ndarray
        Dew point, or frost point below 273.16 K [K]; NaN outside 173.15-473.15 K
        (0.0014 Pa to 1.555 MPa), so also for perfectly dry air.

    Notes
    -----
    Inverse of `saturation_pressure`, within 1e-6 K.

    Examples
    --------
    >>> round(float(saturation_temperature(1228.0)), 2)
    283.15
    """
    return evaluate_by_phase(temperature_kernel, is_over_ice, vapour_pressure)


def liquid_water_enthalpy(temperature: ArrayLike) -> Array:
    """Enthalpy of condensed water: liquid from 0 °C up, ice below.

    Parameters
    ----------
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        Enthalpy, 0 for liquid at 0 °C [J/kg]; NaN outside 173.15-473.15 K.

    Notes
    -----
    4186 t for liquid, -329 000 + 2100 t for ice (t in °C): the condensate terms of
    ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35. Its heat of fusion,
    329 kJ/kg, is rounded; measured values are near 333.5 kJ/kg.
    """
    value = valid_temperature(temperature)
    return np.where(value < FREEZING_POINT, condensed_enthalpy(ICE, value), condensed_enthalpy(WATER, value))[
        ()
    ]


def condensed_enthalpy(phase: Phase, temperature: Array) -> Array:
    """Enthalpy of the condensed phase [J/kg], 0 for liquid at 0 °C."""
    fusion = phase.heat_to_vapour - LATENT_HEAT_0C
    return phase.heat_capacity * (temperature - FREEZING_POINT) - fusion
