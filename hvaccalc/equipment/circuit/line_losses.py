"""What a refrigerant line does to what flows through it: friction, lift, heat from around.

Smooth drawn copper, single phase, steady. `lines` scales losses that were rated; here they come from sizes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

GRAVITY = 9.80665
ROUGHNESS = 1.5e-6
"""Of drawn tube [m]: Moody, Trans. ASME 66, 1944, from memory."""


def friction_factor(reynolds: ArrayLike, roughness_ratio: ArrayLike) -> np.ndarray:
    """Darcy friction factor.

    Parameters
    ----------
    reynolds : array_like
        > 0.
    roughness_ratio : array_like
        Roughness over inside diameter, 0-0.05.

    Notes
    -----
    64/Re below 2,000; above, Haaland's explicit form of Colebrook's equation (Journal of Fluids Engineering
    105, 1983), within 2 % of it from 4,000 to 1e8; between, the larger of the two.

    Examples
    --------
    >>> round(float(friction_factor(1e5, 0.0)), 4)
    0.0178
    """
    re = np.asarray(reynolds, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        laminar = 64.0 / re
        turbulent = (-1.8 * np.log10(6.9 / re + (np.asarray(roughness_ratio, float) / 3.7) ** 1.11)) ** -2.0
    return np.where(re < 2000.0, laminar, np.where(re > 4000.0, turbulent, np.maximum(laminar, turbulent)))


def friction_loss(
    flow: ArrayLike, inside: ArrayLike, length: ArrayLike, density: ArrayLike, viscosity: ArrayLike
) -> np.ndarray:
    """Pressure lost by friction in a line [Pa].

    Parameters
    ----------
    flow : array_like
        [kg/s], >= 0.
    inside, length : array_like
        Inside diameter and equivalent length, fittings included [m].
    density, viscosity : array_like
        [kg/m3], [Pa s].

    Notes
    -----
    Darcy-Weisbach: f (L/d) G^2 / (2 density) with G the flow over the bore.

    Examples
    --------
    By hand: 1,224 kg/m2s, Re 88,000, f 0.019, 757 Pa of velocity pressure:

    >>> round(float(friction_loss(0.06, 0.0079, 7.6, 990.0, 1.1e-4)) / 1e3, 1)
    13.9
    """
    d = np.asarray(inside, float)
    flux = np.asarray(flow, float) / (np.pi / 4.0 * d**2)
    factor = friction_factor(np.maximum(flux, 1e-9) * d / np.asarray(viscosity, float), ROUGHNESS / d)
    return factor * np.asarray(length, float) / d * flux**2 / (2.0 * np.asarray(density, float))


def lift_loss(rise: ArrayLike, density: ArrayLike) -> np.ndarray:
    """Pressure lost by lifting a liquid [Pa]; a fall gains.

    Parameters
    ----------
    rise : array_like
        Outlet above inlet [m].
    density : array_like
        [kg/m3]

    Examples
    --------
    R-410A at 100 °F (61 lb/ft3) loses 0.42 psi for each foot:

    >>> round(float(lift_loss(0.3048, 61.0 * 16.0185)) / 6894.757, 2)
    0.42
    """
    return GRAVITY * np.asarray(density, float) * np.asarray(rise, float)


def conductance_per_length(
    outside: ArrayLike, thickness: ArrayLike, conductivity: ArrayLike, film: ArrayLike
) -> np.ndarray:
    """Heat from still air into a line, for each metre and kelvin [W/mK].

    Parameters
    ----------
    outside, thickness : array_like
        Of the tube and of its insulation, 0 where bare [m].
    conductivity, film : array_like
        Of the insulation [W/mK], of the air outside it [W/m2K].

    Notes
    -----
    Cylinder shell and outside film in series; the refrigerant's own film and the copper are neglected, which
    gives the most that can come in.

    Examples
    --------
    A 1-1/8 in. line under half an inch of foam, 0.04 W/mK and 9 W/m2K: 2.53 and 0.66 mK/W in series.

    >>> round(float(conductance_per_length(0.0286, 0.0127, 0.04, 9.0)), 3)
    0.314
    """
    inner = np.asarray(outside, float) / 2.0
    outer = inner + np.asarray(thickness, float)
    shell = np.log(outer / inner) / (2.0 * np.pi * np.asarray(conductivity, float))
    return 1.0 / (shell + 1.0 / (2.0 * np.pi * outer * np.asarray(film, float)))


def warming(
    flow: ArrayLike,
    heat_capacity: ArrayLike,
    conductance: ArrayLike,
    around: ArrayLike,
    entering: ArrayLike,
) -> np.ndarray:
    """How much a line's content warms up on its way [K], below zero where it loses heat.

    Parameters
    ----------
    flow, heat_capacity : array_like
        [kg/s], [J/kgK].
    conductance : array_like
        Of the whole line [W/K].
    around, entering : array_like
        Temperatures [K].

    Examples
    --------
    >>> round(float(warming(0.1, 1000.0, 5.0, 300.0, 280.0)), 3)
    0.975
    """
    ntu = np.asarray(conductance, float) / (np.asarray(flow, float) * np.asarray(heat_capacity, float))
    return (np.asarray(around, float) - np.asarray(entering, float)) * -np.expm1(-ntu)
