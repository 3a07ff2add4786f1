"""Sweating: the temperature of insulated cold surfaces, and the water that room air leaves on them.

One-dimensional and steady: cold inside, one resistance of insulation, one film of still room air outside. The
film inside is left out unless it is added to the resistance, which makes the surface a little too cold: on
the side of more water. Wet or crushed insulation, gaps in the vapour retarder and bare metal through it sweat
more than any of this says. Everything broadcasts.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics import moist_air
from hvaccalc.units import si

FACINGS = ("underside", "sloping underside", "side", "sloping top", "top")
EMISSIVITIES = (0.05, 0.20, 0.90)
FILM_TABLE = np.array(
    [
        [4.32, 5.17, 9.26],
        [4.15, 5.00, 9.09],
        [3.35, 4.20, 8.29],
        [2.56, 3.41, 7.50],
        [1.25, 2.10, 6.13],
    ]
)
"""Still-air film coefficients [W/(m² K)] by facing of the cold surface (rows) and emissivity (columns), with
radiation: ASHRAE Handbook - Fundamentals (2017), chapter 26, table 10, from memory. The table goes by the
direction of heat: up into a cold underside, level into a side, down into a cold top."""

RADIATION = 5.77
"""Radiative film per unit of emissivity that the same table carries, 4 σ T³ at its 21 °C [W/(m² K)]."""

LEWIS = 0.87
"""Thermal over mass diffusivity of water vapour in air (ASHRAE Fundamentals, chapter 6, about 0.87)."""

CONDENSATION_HEAT = 2.45e6
"""Of water at room temperature [J/kg]."""

CONDUCTIVITY_BANDS: dict[str, tuple[float, float, float]] = {
    "duct wrap": (0.042, 0.036, 0.052),
    "closed-cell elastomer": (0.038, 0.034, 0.042),
    "cabinet lining": (0.037, 0.033, 0.043),
}
"""Conductivity of dry insulation near 24 °C: central, low, high [W/(m K)]; from memory of makers' sheets."""


def still_air_film(facing: str, emissivity: ArrayLike = 0.9) -> Array:
    """Film coefficient of still room air on a cold surface.

    Parameters
    ----------
    facing : str
        One of `FACINGS`: where the cold surface looks.
    emissivity : array_like
        0.05-0.90; bright foil 0.05, bright galvanised steel 0.2, painted or dull 0.9.

    Returns
    -------
    ndarray
        [W/(m² K)]; NaN outside.

    Notes
    -----
    `FILM_TABLE`, straight between its columns, which is exact for the radiation in it.

    Examples
    --------
    >>> float(still_air_film("side"))
    8.29
    """
    emissivity = np.asarray(emissivity, dtype=float)
    row = FILM_TABLE[FACINGS.index(facing)]
    inside = (emissivity >= EMISSIVITIES[0]) & (emissivity <= EMISSIVITIES[-1])
    return np.where(inside, np.interp(emissivity, EMISSIVITIES, row), np.nan)


def layer_resistance(thickness: ArrayLike, conductivity: ArrayLike) -> Array:
    """Resistance of a flat layer [m² K/W] of a thickness [m] and conductivity [W/(m K)].

    Examples
    --------
    Two inches at 0.048 W/(m K) are R-6:

    >>> round(float(layer_resistance(0.0508, 0.048)) / 0.17611, 1)
    6.0
    """
    thickness = np.asarray(thickness, dtype=float)
    return np.where(thickness >= 0.0, thickness, np.nan) / np.asarray(conductivity, dtype=float)


def cylinder_resistance(pipe_diameter: ArrayLike, thickness: ArrayLike, conductivity: ArrayLike) -> Array:
    """Resistance of insulation round a pipe, per area of its outer surface.

    Parameters
    ----------
    pipe_diameter : array_like
        Outside of the pipe, > 0 [m].
    thickness : array_like
        Of the insulation, >= 0 [m].
    conductivity : array_like
        [W/(m K)].

    Returns
    -------
    ndarray
        [m² K/W]; NaN outside.

    Notes
    -----
    ``r ln(r / r_pipe) / k`` with the outer radius r: use it where a flat surface has its layer's.

    Examples
    --------
    3/4 in round a 1-1/8 in line is worth more than 3/4 in flat:

    >>> round(float(cylinder_resistance(0.028575, 0.01905, 0.038)), 3)
    0.743
    """
    inner = 0.5 * np.asarray(pipe_diameter, dtype=float)
    thickness = np.asarray(thickness, dtype=float)
    valid = (inner > 0.0) & (thickness >= 0.0)
    inner = np.where(valid, inner, np.nan)
    outer = inner + thickness
    return outer * np.log(outer / inner) / np.asarray(conductivity, dtype=float)


def surface_temperature(
    room: ArrayLike, cold: ArrayLike, insulation_resistance: ArrayLike, film: ArrayLike
) -> Array:
    """Temperature of the outside of an insulated surface while dry.

    Parameters
    ----------
    room, cold : array_like
        Room air; air or refrigerant inside [K].
    insulation_resistance : array_like
        Between, with an inner film where it counts, >= 0 [m² K/W].
    film : array_like
        Outside coefficient, > 0 [W/(m² K)].

    Returns
    -------
    ndarray
        [K]; NaN outside.

    Notes
    -----
    ``room - (room - cold) Rs / (R + Rs)``, ``Rs = 1/film``.

    Examples
    --------
    55 °F air behind R-4 in an attic at 85 °F, 1.5 Btu/(h ft² °F) outside: 80.7 °F.

    >>> t = surface_temperature(302.594, 285.928, 4 * 0.17611, 1.5 * 5.67826)
    >>> round(float(t) * 9 / 5 - 459.67, 1)
    80.7
    """
    resistance, film = np.asarray(insulation_resistance, dtype=float), np.asarray(film, dtype=float)
    outside = 1.0 / np.where(film > 0.0, film, np.nan)
    share = outside / (np.where(resistance >= 0.0, resistance, np.nan) + outside)
    room = np.asarray(room, dtype=float)
    return room - (room - np.asarray(cold, dtype=float)) * share


def required_resistance(room: ArrayLike, cold: ArrayLike, dew_point: ArrayLike, film: ArrayLike) -> Array:
    """Least insulation that keeps the outside at the room's dew point.

    Parameters
    ----------
    room, cold, dew_point : array_like
        Room air, inside, room's dew point [K].
    film : array_like
        Outside coefficient, > 0 [W/(m² K)].

    Returns
    -------
    ndarray
        [m² K/W]; 0 where the inside itself is no colder than the dew point, infinite in saturated air, NaN
        where the dew point lies above the air.

    Notes
    -----
    ``((room - cold) / (room - dew_point) - 1) / film``.

    Examples
    --------
    55 °F air in a room at 85 °F and 80 % (dew point 78.13 °F) needs R-2.2:

    >>> r = required_resistance(302.594, 285.928, 298.778, 1.5 * 5.67826)
    >>> round(float(r) / 0.17611, 1)
    2.2
    """
    film = np.asarray(film, dtype=float)
    room, cold, dew = (np.asarray(value, dtype=float) for value in (room, cold, dew_point))
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = ((room - cold) / (room - dew) - 1.0) / film
    valid = (film > 0.0) & (dew <= room) & np.isfinite(cold)
    return np.where(valid, np.where(cold < dew, needed, 0.0), np.nan)


def mass_transfer(film: ArrayLike, humidity_ratio: ArrayLike, emissivity: ArrayLike = 0.9) -> Array:
    """Water condensed per area and difference of humidity ratio [kg/(m² s)].

    Notes
    -----
    Lewis: ``(film - 5.77 emissivity) / (c_p Le^(2/3))``; radiation carries no water, so that only the
    convective part of the film counts; never below 0.

    Examples
    --------
    >>> round(float(mass_transfer(8.29, 0.01)) * 1e3, 2)
    3.32
    """
    convective = np.asarray(film, dtype=float) - RADIATION * np.asarray(emissivity, dtype=float)
    return np.maximum(convective, 0.0) / (moist_air.heat_capacity(humidity_ratio) * LEWIS ** (2.0 / 3.0))


def sweat_rate(
    surface: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    film: ArrayLike,
    area: ArrayLike = 1.0,
    emissivity: ArrayLike = 0.9,
) -> Array:
    """Water that room air leaves on a cold surface.

    Parameters
    ----------
    surface : array_like
        Temperature of the surface: of the wet one where insulated, see `wet_surface_temperature` [K].
    humidity_ratio, pressure : array_like
        Of the room's air [kg/kg], [Pa].
    film : array_like
        Outside coefficient with radiation [W/(m² K)].
    area : array_like
        [m²].
    emissivity : array_like
        That the film was taken at.

    Returns
    -------
    ndarray
        [kg/s], as frost below freezing; 0 where the surface is no colder than the room's dew point.

    Examples
    --------
    A square metre of bare sheet metal at 10 °C in a room at 26 °C and 60 %: 0.06 kg/h.

    >>> round(float(sweat_rate(283.15, 0.01265, 101325.0, 8.29)) * 3600, 2)
    0.06
    """
    humidity = np.asarray(humidity_ratio, dtype=float)
    excess = humidity - moist_air.saturation_humidity_ratio(surface, pressure)
    return mass_transfer(film, humidity, emissivity) * np.maximum(excess, 0.0) * np.asarray(area)


def wet_surface_temperature(
    room: ArrayLike,
    cold: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    insulation_resistance: ArrayLike,
    film: ArrayLike,
    emissivity: ArrayLike = 0.9,
) -> Array:
    """Temperature of the outside of an insulated surface that may sweat.

    Parameters
    ----------
    room, cold : array_like
        Room air; inside [K].
    humidity_ratio, pressure : array_like
        Of the room's air [kg/kg], [Pa].
    insulation_resistance, film, emissivity : array_like
        As in `surface_temperature` and `sweat_rate`.

    Returns
    -------
    ndarray
        [K]; that of the dry surface where nothing condenses.

    Notes
    -----
    ``(t - cold)/R = film (room - t) + 2.45e6 sweat(t)``: condensing warms the surface, so that the dry
    temperature gives too much water. By bisection between the dry surface and the room, to 1e-7 K.

    Examples
    --------
    >>> round(float(wet_surface_temperature(302.594, 285.928, 0.0209, 101325.0, 0.1761, 8.5)), 1)
    297.1
    """
    dry = surface_temperature(room, cold, insulation_resistance, film)
    room, cold = np.asarray(room, dtype=float), np.asarray(cold, dtype=float)
    resistance, film = np.asarray(insulation_resistance, dtype=float), np.asarray(film, dtype=float)

    def surplus(t: Array) -> Array:
        condensing = CONDENSATION_HEAT * sweat_rate(t, humidity_ratio, pressure, film, 1.0, emissivity)
        return (t - cold) - resistance * (film * (room - t) + condensing)

    first = surplus(dry)
    low, high = dry + 0.0 * first, np.maximum(room, dry) + 0.0 * first
    for _ in range(30):
        middle = 0.5 * (low + high)
        warm = surplus(middle) > 0.0
        low, high = np.where(warm, low, middle), np.where(warm, middle, high)
    # Zero surplus to rounding: the dry surface is the answer.
    return np.where(first >= -1e-9, dry + 0.0 * first, 0.5 * (low + high))


def r_value(resistance: ArrayLike) -> Array:
    """Resistance [m² K/W] as the R printed on insulation [ft² h °F/Btu].

    Examples
    --------
    >>> round(float(r_value(1.0566)), 1)
    6.0
    """
    return np.asarray(resistance, dtype=float) / float(si(1.0, "R", "thermal_resistance"))
