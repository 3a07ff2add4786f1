"""Moisture that a coil gives back while its compressor rests and the fan blows on.

Model of Henderson and Rengarajan (ASHRAE Transactions 102(1), 1996, 266-274) in the form of the EnergyPlus
Engineering Reference, with its suggested values. Stated for single-stage units below 19 kW; elsewhere it
is an estimate. Everything broadcasts.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics import moist_air

LONGEST_WET_TIME = 9999.0
STATED_CAPACITY = 19e3
"""Units for which the model is stated, below [W]."""


@dataclass(frozen=True)
class Retention:
    """How a coil holds and loses water.

    Attributes
    ----------
    wet_time : array_like
        Latent capacity at rating times this is the water held when it starts to drip [s].
    evaporation : array_like
        First rate of evaporation with the compressor off over the latent capacity at rating.
    cycles : array_like
        Most cycles an hour, at half runtime.
    start_up : array_like
        Time constant of the latent capacity after start [s].
    """

    wet_time: ArrayLike = 1000.0
    evaporation: ArrayLike = 1.5
    cycles: ArrayLike = 3.0
    start_up: ArrayLike = 45.0


SUGGESTED = Retention()


def cycle_times(runtime: ArrayLike, cycles: ArrayLike = 3.0) -> tuple[Array, Array]:
    """On and off time of a cycle [s] at a runtime fraction 0-1; NaN outside, off time 0 when it never rests.

    Notes
    -----
    Thermostat cycling, ``t_on = 3600 / (4 N (1 - X))``, ``t_off = 3600 / (4 N X)``.
    """
    x = np.asarray(runtime, dtype=float)
    x = np.where((x > 0.0) & (x <= 1.0), x, np.nan)
    base = 3600.0 / (4.0 * np.asarray(cycles, dtype=float))
    with np.errstate(divide="ignore"):
        return base / (1.0 - x), np.where(x < 1.0, base / x, 0.0)


def evaporated(off_time: ArrayLike, retention: Retention = SUGGESTED) -> Array:
    """Water given back in an off time, as seconds of the latent capacity.

    Notes
    -----
    The rate falls in a straight line until the coil is dry, ``2 wet_time / evaporation`` after the stop.
    """
    rate, held = np.asarray(retention.evaporation), np.asarray(retention.wet_time)
    time = np.minimum(np.asarray(off_time, dtype=float), 2.0 * held / rate)
    return rate * time - rate**2 * time**2 / (4.0 * held)


def latent_multiplier(runtime: ArrayLike, retention: Retention = SUGGESTED) -> Array:
    """Latent capacity left with a fan that never stops, over that of a unit that never rests.

    Parameters
    ----------
    runtime : array_like
        Share of the time that the compressor runs, 0-1.
    retention : Retention

    Returns
    -------
    ndarray
        0 to 1; 1 where the compressor never rests; NaN outside.

    Examples
    --------
    At 70 % runtime and the suggested values:

    >>> round(float(latent_multiplier(0.7)), 3)
    0.435
    """
    on, off = cycle_times(runtime, retention.cycles)
    tau = np.asarray(retention.start_up, dtype=float)
    back = evaporated(off, retention)
    dry_time = back + tau
    for _ in range(60):
        dry_time = back - tau * np.expm1(-dry_time / tau)
    with np.errstate(invalid="ignore"):
        left = (on - dry_time) / (on + tau * np.expm1(-on / tau))
    return np.where(np.isfinite(on), np.clip(left, 0.0, 1.0), np.where(np.isnan(on), np.nan, 1.0))


def retention_at(
    latent: ArrayLike,
    wet_bulb_depression: ArrayLike,
    rated_latent: ArrayLike,
    retention: Retention = SUGGESTED,
    rated_depression: ArrayLike = 26.7 - 19.4,
) -> Retention:
    """Retention away from the rating: latent capacity [W] and dry less wet bulb of the return [K]."""
    share = np.asarray(rated_latent, dtype=float) / np.asarray(latent, dtype=float)
    return Retention(
        wet_time=np.minimum(np.asarray(retention.wet_time) * share, LONGEST_WET_TIME),
        evaporation=np.asarray(retention.evaporation)
        * share
        * np.asarray(wet_bulb_depression)
        / np.asarray(rated_depression),
        cycles=retention.cycles,
        start_up=retention.start_up,
    )


def rested_coil(
    dry_bulb: ArrayLike, humidity_ratio: ArrayLike, pressure: ArrayLike, added: ArrayLike
) -> tuple[Array, Array]:
    """Air behind a wet coil whose compressor rests.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure : array_like
        Entering air [K], [kg/kg], [Pa].
    added : array_like
        Water that evaporates into it [kg/kg dry air].

    Returns
    -------
    dry_bulb, humidity_ratio : ndarray
        [K], [kg/kg]; NaN where the air cannot take up so much.

    Notes
    -----
    No heat comes from elsewhere: the water, at the air's wet bulb, takes its heat from the air, so that
    the wet bulb stays (adiabatic saturation).
    """
    pressure = np.asarray(pressure, dtype=float)
    wet_bulb = moist_air.wet_bulb(dry_bulb, humidity_ratio, pressure)
    humidity = np.asarray(humidity_ratio, dtype=float) + np.asarray(added, dtype=float)
    most = moist_air.saturation_humidity_ratio(wet_bulb, pressure)
    enthalpy = moist_air.enthalpy(dry_bulb, humidity_ratio) + np.asarray(
        added
    ) * moist_air.liquid_water_enthalpy(wet_bulb)
    left = moist_air.dry_bulb_from_enthalpy(enthalpy, humidity)
    possible = humidity <= most
    return np.where(possible, left, np.nan), np.where(possible, humidity, np.nan)
