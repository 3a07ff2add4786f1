"""A coil: what it is rated at, what it is, what state it is in."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.physics.moist_air import saturation_humidity_ratio

NO_AIRFLOW, NOT_IN_RANGE, SUPERSATURATED, NO_SOLUTION, NO_INSIDE_FILM, DRY_RATING = 1, 2, 3, 4, 5, 6
REASONS = {
    0: "",
    NO_AIRFLOW: "no airflow over the coil",
    NOT_IN_RANGE: "an input is missing or outside the range of the coil model",
    SUPERSATURATED: "the entering air holds more water than saturated air",
    NO_SOLUTION: "no coil has this capacity and sensible heat ratio at this suction saturation",
    NO_INSIDE_FILM: "the fins alone resist more than the whole coil: no refrigerant film is left",
    DRY_RATING: "a dry rating does not tell the air film from the refrigerant side",
}

# Temperatures a coil may meet [K]; the property curves reach further.
LOWEST, HIGHEST = 223.15, 353.15
# Saturated air read with an ideal-gas humidity ratio may exceed saturation by the real-gas difference.
SATURATION_MARGIN = 1.005


@dataclass(frozen=True)
class Rating:
    """A rated point of the coil; every field a number or an array of shape (N,).

    Attributes
    ----------
    total : array_like
        Heat taken up by the refrigerant, gross: without the fan's heat taken off [W].
    sensible_ratio : array_like
        Sensible part of `total` 0-1.
    dry_air_flow : array_like
        [kg/s dry air]
    dry_bulb, humidity_ratio, pressure : array_like
        Entering air [K], [kg/kg dry air], total [Pa].
    suction_saturation : array_like
        Of every circuit, at the coil [K].
    """

    total: ArrayLike
    sensible_ratio: ArrayLike
    dry_air_flow: ArrayLike
    dry_bulb: ArrayLike
    humidity_ratio: ArrayLike
    pressure: ArrayLike
    suction_saturation: ArrayLike


@dataclass(frozen=True)
class Coil:
    """A calibrated coil; arrays of shape (N,), NaN where `reason` is not 0.

    Attributes
    ----------
    ntu : ndarray
        Transfer units of the air film at the rated airflow.
    resistance : ndarray
        From the refrigerant to the mean fin surface, all circuits together [K/W].
    fin_resistance : ndarray
        The part of `resistance` between fin root and mean fin surface [K/W].
    rated_dry_air_flow : ndarray
        [kg/s dry air]
    film_exponent : ndarray
        Air film ∝ airflow to this power.
    reason : ndarray
        Key of `REASONS`.
    """

    ntu: Array
    resistance: Array
    fin_resistance: Array
    rated_dry_air_flow: Array
    film_exponent: Array
    reason: Indices


@dataclass(frozen=True)
class CoilState:
    """What the coil does; arrays of shape (N,), `root` and `circuit_total` (circuits, N).

    Attributes
    ----------
    leaving_dry_bulb, leaving_humidity_ratio : ndarray
        Mixed air behind the coil, before a fan [K], [kg/kg dry air].
    total, sensible, latent : ndarray
        Heat into the refrigerant and its parts, with total = sensible + latent [W].
    circuit_total : ndarray
        `total` by circuit, 0 where a circuit does not run [W].
    condensate : ndarray
        Water or frost taken from the air [kg/s].
    surface : ndarray
        Coldest mean fin surface [K].
    root, coldest_root : ndarray
        Coldest fin root of each circuit, NaN where it does not run; and of all, the surface where none
        runs [K].
    wet_share, frosted_share : ndarray
        Share of the fins whose mean surface condenses; of tubes that run below freezing and the dew point.
    energy_residual : ndarray
        (air side - condensate - total) / total; near no load, over what warms the air by 0.1 K.
    reason : ndarray
        Key of `REASONS`; every other field is NaN where it is not 0.
    """

    leaving_dry_bulb: Array
    leaving_humidity_ratio: Array
    total: Array
    sensible: Array
    latent: Array
    circuit_total: Array
    condensate: Array
    surface: Array
    root: Array
    coldest_root: Array
    wet_share: Array
    frosted_share: Array
    energy_residual: Array
    reason: Indices


def air_reason(dry_bulb: Array, moisture: Array, pressure: Array, flow: Array) -> Indices:
    """Reason against an entering state, 0 where there is none."""
    inside = (dry_bulb > LOWEST) & (dry_bulb < HIGHEST) & (moisture >= 0.0)
    inside &= (pressure > 3e4) & (pressure < 1.2e5) & np.isfinite(flow)
    reason = first_reason(np.where(flow <= 0.0, NO_AIRFLOW, 0), ~inside, NOT_IN_RANGE)
    foggy = moisture > SATURATION_MARGIN * saturation_humidity_ratio(dry_bulb, pressure)
    return first_reason(reason, foggy, SUPERSATURATED)


def first_reason(reason: Indices, bad: Mask, code: int) -> Indices:
    """Add a reason where there is none yet."""
    return np.where((reason == 0) & bad, code, reason)
