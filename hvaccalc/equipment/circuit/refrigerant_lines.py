"""Refrigerant lines: copper tube by its outside diameter, and what a line does to what flows through it.

Refrigeration tube is named by its actual outside diameter. Some makers draw 3/4 in. with a wall of 0.042 in.
instead of 0.035: 4 % less volume, not told apart here.

Source: ASTM B280 (annealed and drawn ACR tube), ASTM B88 type L from 1-5/8 in. up.

From sizes: friction, lift and heat from around in smooth drawn copper, single phase, steady.

From losses that were rated, scaled. Liquid: quadratic in the mass flow, dp = k m^2 / density; the chamber
unit of NISTIR 7350 follows it within 3 % over sixteen conditions. A restriction (drier, kink, solenoid) is
one more k.

Suction: the saturation temperature lost is dT = dp / (dp/dT). A compressor draws nearly the same volume V
always, so dp = k density V^2; dp/dT = h_fg density / T up to the liquid's volume, so that density cancels and
dT = (k V^2 / h_fg) T, nearly constant for one compressor. It follows the square of the volume drawn.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array

INCH = 0.0254
FOOT = 0.3048

# Outside diameter and wall [in].
_WALLS = (
    (0.250, 0.030),
    (0.312, 0.032),
    (0.375, 0.032),
    (0.500, 0.032),
    (0.625, 0.035),
    (0.750, 0.035),
    (0.875, 0.045),
    (1.125, 0.050),
    (1.375, 0.055),
    (1.625, 0.060),
    (2.125, 0.070),
    (2.625, 0.080),
)
SLACK = 0.012 * INCH
"""A typed size this close to a tube's is that tube: 5/16 in. is drawn at 0.312, metric sizes are rounded."""


@dataclass(frozen=True, slots=True)
class Tube:
    """One size of tube.

    Attributes
    ----------
    outside, wall : float
        [m]
    """

    outside: float
    wall: float

    @property
    def inside(self) -> float:
        """Inside diameter [m]."""
        return self.outside - 2.0 * self.wall

    @property
    def bore(self) -> float:
        """Area of the bore [m2], which is also its volume for each metre of length."""
        return math.pi / 4.0 * self.inside**2


TUBES = tuple(Tube(outside * INCH, wall * INCH) for outside, wall in _WALLS)


def tube(outside: float) -> Tube | None:
    """The tube of an outside diameter [m]; None where none is made.

    Examples
    --------
    3/8 in. tube has a bore of 0.311 in.:

    >>> round(tube(0.375 * INCH).inside / INCH, 3), tube(9.0 * INCH)
    (0.311, None)
    """
    nearest = min(TUBES, key=lambda made: abs(made.outside - outside))
    return nearest if abs(nearest.outside - outside) <= SLACK else None


REASONS = (
    "a listed tube",
    "not a number",
    "no refrigeration tube has this outside diameter",
    "a line has a length above zero",
)
LISTED, NOT_A_NUMBER, NO_SUCH_TUBE, NO_LENGTH = range(4)

_OUTSIDE = np.array([made.outside for made in TUBES])
_BORE = np.array([made.bore for made in TUBES])


def section(outside: ArrayLike) -> Array:
    """Free cross-section of tubes by outside diameter [m2]; NaN where none is made."""
    given = np.asarray(outside, dtype=float)
    nearest = np.argmin(np.abs(_OUTSIDE - given[..., None]), axis=-1)
    return np.where(np.abs(given - _OUTSIDE[nearest]) <= SLACK, _BORE[nearest], np.nan)


def line_volume(outside: ArrayLike, length: ArrayLike) -> Array:
    """What a line holds.

    Parameters
    ----------
    outside, length : array_like
        [m], the length above zero.

    Returns
    -------
    ndarray
        [m3]; NaN where no such tube is made or there is no length (`reason` says which).

    Examples
    --------
    A hundred feet of 5/8 in. hold 0.168 ft3:

    >>> round(float(line_volume(0.625 * INCH, 100.0 * FOOT)) / FOOT**3, 3)
    0.168
    """
    run = np.asarray(length, dtype=float)
    return section(outside) * np.where(run > 0.0, run, np.nan)


def reason(outside: ArrayLike, length: ArrayLike = 1.0) -> Array:
    """Why a line has no volume: an index into `REASONS`, 0 where it has one.

    Examples
    --------
    >>> REASONS[int(reason(9.0 * INCH))]
    'no refrigeration tube has this outside diameter'
    """
    given, run = np.broadcast_arrays(np.asarray(outside, dtype=float), np.asarray(length, dtype=float))
    why = [np.isnan(given) | np.isnan(run), np.isnan(section(given)), ~(run > 0.0)]
    codes = [np.int8(NOT_A_NUMBER), np.int8(NO_SUCH_TUBE), np.int8(NO_LENGTH)]
    return np.select(why, codes, np.int8(LISTED))


GRAVITY = 9.80665
ROUGHNESS = 1.5e-6
"""Of drawn tube [m]: Moody, Trans. ASME 66, 1944, from memory."""


def friction_factor(reynolds: ArrayLike, roughness_ratio: ArrayLike) -> Array:
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
) -> Array:
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


def lift_loss(rise: ArrayLike, density: ArrayLike) -> Array:
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
) -> Array:
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
    flow: ArrayLike, heat_capacity: ArrayLike, conductance: ArrayLike, around: ArrayLike, entering: ArrayLike
) -> Array:
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


# A line never loses more than this share of its pressure; the curve bends towards it beyond half of it.
LARGEST_LOSS = 0.8


def liquid_line_outlet(pressure: Array, loss: Array) -> Array:
    """Pressure before the metering device [Pa], always above zero.

    Parameters
    ----------
    pressure, loss : ndarray
        At the condenser's outlet, and lost by friction and restriction, >= 0 [Pa].

    Examples
    --------
    >>> float(liquid_line_outlet(2.5e6, 0.1e6))
    2400000.0
    """
    share = loss / pressure
    half = 0.5 * LARGEST_LOSS
    return pressure * (1.0 - np.where(share < half, share, LARGEST_LOSS - half**2 / share))


def suction_saturation_loss(rated_loss: Array, volume_ratio: Array) -> Array:
    """Saturation temperature lost between coil and compressor [K].

    Parameters
    ----------
    rated_loss : ndarray
        At the rating [K].
    volume_ratio : ndarray
        Volume of gas drawn over that at the rating.

    Examples
    --------
    >>> float(suction_saturation_loss(0.6, 0.5))
    0.15
    """
    return rated_loss * volume_ratio**2
