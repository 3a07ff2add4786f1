"""Water on the coil: what it holds before it drips, when it first drips, the most that ice on it can melt.

Retention and times to first drip are estimates to a factor of two; the melt is an upper bound. Everything
broadcasts.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics import moist_air

CONDENSATION_HEAT = 2.45e6
"""Of water on a coil [J/kg]."""

FUSION_HEAT = 333.55e3
"""Of ice at 0 °C [J/kg]."""

WETTING_TIME = (1000.0, 600.0, 1800.0)
"""Latent capacity at rating times this is held when the coil starts to drip: central, low, high [s]. 1000 s
is the suggestion of the EnergyPlus schema for the model of Henderson and Rengarajan; a field fit of 720 s is
from memory; the ends are a factor of about 1.7 either way, common practice."""

RETAINED_PER_AREA: dict[str, tuple[float, float, float]] = {
    "plain": (0.080, 0.050, 0.150),
    "coated": (0.040, 0.025, 0.075),
}
"""Water held per air-side area: central, low, high [kg/m²]. Plain and louvred aluminium fins 50-150 g/m², a
wetting coat about half: from memory of Korte and Jacobi (2001) and ElSherbini and Jacobi (2006)."""


def retained_water(latent_heat_rate: ArrayLike, wetting_time: ArrayLike = WETTING_TIME[0]) -> Array:
    """Water held on a coil that has begun to drip.

    Parameters
    ----------
    latent_heat_rate : array_like
        Latent capacity at rating, >= 0 [W].
    wetting_time : array_like
        See `WETTING_TIME` [s].

    Returns
    -------
    ndarray
        [kg]; NaN for a negative capacity.

    Notes
    -----
    ``wetting_time latent / 2.45e6``, implied by Henderson and Rengarajan (ASHRAE Trans. 102(1), 1996).

    Examples
    --------
    A 3-ton unit at a sensible ratio of 0.75 holds 1.08 kg:

    >>> round(float(retained_water(3 * 3516.85 * 0.25)), 2)
    1.08
    """
    latent = np.asarray(latent_heat_rate, dtype=float)
    held = np.asarray(wetting_time, dtype=float) * latent / CONDENSATION_HEAT
    return np.where(latent >= 0.0, held, np.nan)


def fin_area(
    face_area: ArrayLike,
    rows: ArrayLike,
    fins_per_metre: ArrayLike,
    row_spacing: ArrayLike = 0.0220,
    tube_spacing: ArrayLike = 0.0254,
    tube_diameter: ArrayLike = 0.0095,
) -> Array:
    """Air-side area of a coil of plate fins.

    Parameters
    ----------
    face_area : array_like
        [m²].
    rows : array_like
        Of tubes along the air.
    fins_per_metre : array_like
        [1/m]; 14 an inch are 551.
    row_spacing, tube_spacing, tube_diameter : array_like
        Of 3/8 in tube as usually laid [m].

    Returns
    -------
    ndarray
        [m²]: both sides of the fins less the holes; bare tube between fins, under a tenth of it, is left out.

    Examples
    --------
    3 rows, 14 fins an inch, 0.35 m² (3.8 ft²), about a 3-ton coil:

    >>> round(float(fin_area(0.35, 3, 551.0)), 1)
    22.2
    """
    holes = 0.25 * np.pi * np.asarray(tube_diameter, dtype=float) ** 2
    solid = 1.0 - holes / (np.asarray(row_spacing, dtype=float) * np.asarray(tube_spacing, dtype=float))
    depth = np.asarray(rows, dtype=float) * np.asarray(row_spacing, dtype=float)
    area = 2.0 * np.asarray(face_area, dtype=float) * depth * np.asarray(fins_per_metre, dtype=float)
    return np.where(area >= 0.0, area * solid, np.nan)


def retained_by_area(area: ArrayLike, per_area: ArrayLike = RETAINED_PER_AREA["plain"][0]) -> Array:
    """Water held [kg] on an air-side area [m²], by `RETAINED_PER_AREA` [kg/m²].

    Examples
    --------
    >>> round(float(retained_by_area(22.2, 0.050)), 2)
    1.11
    """
    area = np.asarray(area, dtype=float)
    return np.where(area >= 0.0, area, np.nan) * np.asarray(per_area, dtype=float)


def first_drip_time(retained: ArrayLike, condensate_rate: ArrayLike, at_start: ArrayLike = 0.0) -> Array:
    """Time from start until the coil drips.

    Parameters
    ----------
    retained : array_like
        Water it holds when it drips [kg].
    condensate_rate : array_like
        >= 0 [kg/s].
    at_start : array_like
        Water still on it from the run before [kg].

    Returns
    -------
    ndarray
        [s]; infinite where nothing condenses, NaN for a negative rate.

    Examples
    --------
    1.08 kg at the rating of that 3-ton unit take the wetting time; at half the latent load twice that:

    >>> round(float(first_drip_time(1.0766, 0.5 * 2637.6 / 2.45e6)), -1)
    2000.0
    """
    rate = np.asarray(condensate_rate, dtype=float)
    missing = np.maximum(np.asarray(retained, dtype=float) - np.asarray(at_start, dtype=float), 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(rate > 0.0, missing / rate, np.where(rate == 0.0, np.inf, np.nan))


def melt_rate_bound(
    airflow: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike = 101325.0,
    surface: float = moist_air.FREEZING_POINT,
) -> Array:
    """Most ice that moving air can melt.

    Parameters
    ----------
    airflow : array_like
        At the return's state, >= 0 [m³/s].
    dry_bulb, humidity_ratio, pressure : array_like
        Of the return [K], [kg/kg], [Pa].
    surface : float
        Of the ice [K].

    Returns
    -------
    ndarray
        Ice melted [kg/s]; 0 where the air brings no heat, NaN outside. Vapour that condenses on the ice runs
        off as well: `condensed_on_ice_bound`.

    Notes
    -----
    All the air leaves at 0 °C, saturated, or with its own moisture where it is too dry to condense: its loss
    of enthalpy over the heat of fusion. Real contact is far from perfect; expect well under it. Slabs that
    slide off come beside it.

    Examples
    --------
    4000 cfm at 70 °F and 50 %: 3.37 gal/min.

    >>> round(float(melt_rate_bound(1.88779, 294.261, 0.007815)) / 998.2 * 15850.3, 2)
    3.37
    """
    air, left = _air_over_ice(airflow, dry_bulb, humidity_ratio, pressure, surface)
    lost = moist_air.enthalpy(dry_bulb, humidity_ratio) - moist_air.enthalpy(surface, left)
    water = (np.asarray(humidity_ratio, dtype=float) - left) * moist_air.liquid_water_enthalpy(surface)
    return air * np.maximum(lost - water, 0.0) / FUSION_HEAT


def condensed_on_ice_bound(
    airflow: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike = 101325.0,
    surface: float = moist_air.FREEZING_POINT,
) -> Array:
    """Most vapour that condenses on melting ice and runs off with it [kg/s]; as `melt_rate_bound`.

    Examples
    --------
    >>> round(float(condensed_on_ice_bound(1.88779, 294.261, 0.007815)) / 998.2 * 15850.3, 2)
    0.14
    """
    air, left = _air_over_ice(airflow, dry_bulb, humidity_ratio, pressure, surface)
    return air * (np.asarray(humidity_ratio, dtype=float) - left)


def _air_over_ice(
    airflow: ArrayLike,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    surface: ArrayLike,
) -> tuple[Array, Array]:
    """Dry air [kg/s] and the humidity ratio at which it leaves the ice."""
    airflow = np.asarray(airflow, dtype=float)
    air = np.where(airflow >= 0.0, airflow, np.nan)
    air = air / moist_air.specific_volume(dry_bulb, humidity_ratio, pressure)
    saturated = moist_air.saturation_humidity_ratio(surface, pressure)
    return air, np.minimum(np.asarray(humidity_ratio, dtype=float), saturated)
