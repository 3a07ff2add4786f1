"""Compressor at steady state: mass flow and power from a published map, or from default curves.

Default curves, common practice and no source beyond plausibility against two published maps and one chamber
unit: volumetric efficiency falls straight with pressure ratio, isentropic efficiency (electrical power to
isentropic work) peaks near 0.70 and falls on either side with the logarithm of the pressure ratio.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics.refrigerant import Refrigerant

VOLUMETRIC_AT_EQUAL_PRESSURE = 0.98
VOLUMETRIC_SLOPE = 0.022
LOWEST_VOLUMETRIC = 0.2
PEAK_ISENTROPIC = 0.70
PEAK_PRESSURE_RATIO = 2.6
ISENTROPIC_CURVATURE = 0.4
# Electrical power that leaves through the shell; 0.11-0.18 in NISTIR 7350, less in an enclosed compressor.
SHELL_LOSS = 0.08
# Part of the change of suction density that a map's mass flow follows: Dabiri and Rice, from memory.
DENSITY_SHARE = 0.75


@dataclass(frozen=True)
class CompressorMap:
    """Ten coefficients each for mass flow and power, as AHRI Standard 540 orders them.

    Attributes
    ----------
    mass_flow, power : tuple of float
        Of 1, S, D, S2, SD, D2, S3, S2D, SD2, D3; S and D suction and discharge dew temperature.
    fahrenheit : bool
        Temperatures in °F, else °C.
    flow_unit, power_unit : float
        One unit of the map in [kg/s] and in [W].
    superheat : float
        At which the map was made [K]; 11.1 K (20 °F) is usual (AHRI 540).
    """

    mass_flow: tuple[float, ...]
    power: tuple[float, ...]
    fahrenheit: bool = True
    flow_unit: float = 0.45359237 / 3600.0
    power_unit: float = 1.0
    superheat: float = 20.0 / 1.8

    def at(self, suction: ArrayLike, discharge: ArrayLike) -> tuple[Array, Array]:
        """Mass flow [kg/s] and power [W] of the map itself, at its own superheat.

        Parameters
        ----------
        suction, discharge : array_like
            Dew temperatures [K]. A polynomial answers everywhere; outside the map its answer means nothing.
        """
        s, d = (self._scale(np.asarray(x, float)) for x in (suction, discharge))
        return (
            _ten_terms(self.mass_flow, s, d) * self.flow_unit,
            _ten_terms(self.power, s, d) * self.power_unit,
        )

    def _scale(self, kelvin: Array) -> Array:
        return kelvin * 1.8 - 459.67 if self.fahrenheit else kelvin - 273.15

    def overall_efficiency(self, fluid: Refrigerant, suction: ArrayLike, discharge: ArrayLike) -> Array:
        """Isentropic work over electrical power at the map's superheat; 0.45-0.75 is plausible.

        Outside that the map, or its units, are wrong.
        """
        suction, discharge = np.asarray(suction, float), np.asarray(discharge, float)
        flow, power = self.at(suction, discharge)
        inlet = fluid.vapour(fluid.dew_pressure(suction), suction + self.superheat)
        work = _isentropic_outlet(fluid, inlet.entropy, discharge) - inlet.enthalpy
        return flow * work / power


def corrected(flow: Array, power: Array, density_ratio: Array, work_ratio: Array) -> tuple[Array, Array]:
    """A map's flow and power at another superheat.

    Parameters
    ----------
    flow, power : ndarray
        Of the map.
    density_ratio, work_ratio : ndarray
        Suction density and isentropic work per mass, actual over the map's.

    Returns
    -------
    tuple of ndarray
        m = m_map (1 + 0.75 (v_map / v - 1)), W = W_map (m / m_map) (dh / dh_map).

    Examples
    --------
    2 % denser gas:

    >>> flow, power = corrected(1.0, 100.0, 1.02, 1.0)
    >>> round(float(flow), 4), round(float(power), 1)
    (1.015, 101.5)
    """
    factor = 1.0 + DENSITY_SHARE * (density_ratio - 1.0)
    return flow * factor, power * factor * work_ratio


def volumetric_efficiency(pressure_ratio: ArrayLike, slope: ArrayLike = VOLUMETRIC_SLOPE) -> Array:
    """Gas drawn over gas swept: 0.98 - 0.022 (pressure ratio - 1), not below 0.2.

    Examples
    --------
    >>> round(float(volumetric_efficiency(3.0)), 3)
    0.936
    """
    over = np.asarray(pressure_ratio, float) - 1.0
    value = VOLUMETRIC_AT_EQUAL_PRESSURE - np.asarray(slope, float) * over
    return np.maximum(value, LOWEST_VOLUMETRIC)


def isentropic_efficiency(
    log_pressure_ratio: ArrayLike,
    peak: ArrayLike = PEAK_ISENTROPIC,
    peak_ratio: ArrayLike = PEAK_PRESSURE_RATIO,
) -> Array:
    """Isentropic work over electrical power, from ln of the pressure ratio.

    Examples
    --------
    >>> round(float(isentropic_efficiency(np.log(2.6))), 3)
    0.7
    """
    away = np.asarray(log_pressure_ratio, float) - np.log(peak_ratio)
    return np.asarray(peak, float) / (1.0 + ISENTROPIC_CURVATURE * away**2)


def _ten_terms(c: tuple[float, ...], s: Array, d: Array) -> Array:
    return (
        c[0]
        + s * (c[1] + s * (c[3] + s * c[6]))
        + d * (c[2] + d * (c[5] + d * c[9]))
        + s * d * (c[4] + c[7] * s + c[8] * d)
    )


def _isentropic_outlet(fluid: Refrigerant, entropy: Array, discharge: Array) -> Array:
    """Enthalpy at the discharge pressure with the inlet's entropy [J/kg], by Newton on temperature."""
    pressure = fluid.dew_pressure(discharge)
    temperature = np.asarray(discharge, float) + 15.0
    for _ in range(8):
        state = fluid.vapour(pressure, temperature)
        warmer = fluid.vapour(pressure, temperature + 0.1)
        slope = (warmer.entropy - state.entropy) / 0.1
        temperature = np.maximum(temperature + (entropy - state.entropy) / slope, discharge)
    return fluid.vapour(pressure, temperature).enthalpy
