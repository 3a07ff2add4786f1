"""Condensate drains: sizes, what they carry, what the code asks, the pan below the unit.

Two tables of size over cooling capacity differ by a factor of ten and both are kept: the mechanical code's is
the legal minimum, the 1 % table is a hydraulic design for comfort cooling. Everything broadcasts; SI
throughout, nominal sizes in metres too (3/4 in is 0.01905).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics.pipe_flow import ROUGHNESS_BANDS, manning_flow
from hvaccalc.practice.water import AUXILIARY_PAN_DEPTH, AUXILIARY_PAN_EXCESS
from hvaccalc.units import WATER_DENSITY, si

_INCH = float(si(1.0, "in", "length"))
_TON = float(si(1.0, "ton"))
_GALLON_PER_HOUR = float(si(1.0, "gal/h", "water_flow"))

# Nominal size: outside diameter, wall [in].
_SCHEDULE_40 = {
    0.5: (0.840, 0.109),
    0.75: (1.050, 0.113),
    1.0: (1.315, 0.133),
    1.25: (1.660, 0.140),
    1.5: (1.900, 0.145),
    2.0: (2.375, 0.154),
    3.0: (3.500, 0.216),
    4.0: (4.500, 0.237),
}
_COPPER_L = {
    0.5: (0.625, 0.040),
    0.75: (0.875, 0.045),
    1.0: (1.125, 0.050),
    1.25: (1.375, 0.055),
    1.5: (1.625, 0.060),
    2.0: (2.125, 0.070),
    3.0: (3.125, 0.090),
    4.0: (4.125, 0.110),
}
_TUBES = {"PVC": _SCHEDULE_40, "copper": _COPPER_L, "other": _SCHEDULE_40}


class DrainTable(NamedTuple):
    """Nominal sizes and the largest cooling capacity of each; None where no flow is printed.

    Attributes
    ----------
    sizes : ndarray
        Nominal [m].
    cooling : ndarray
        Up to and with [W].
    flow : ndarray or None
        Full at 1 % slope [kg/s].
    """

    sizes: Array
    cooling: Array
    flow: Array | None = None


CODE_TABLE = DrainTable(
    np.array([0.75, 1.0, 1.25, 1.5, 2.0]) * _INCH, np.array([20.0, 40.0, 90.0, 125.0, 250.0]) * _TON
)
"""International Mechanical Code, table 307.2.2, as adopted by Rapid City (15.26.180)."""

HYDRAULIC_TABLE = DrainTable(
    np.array([0.75, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0]) * _INCH,
    np.array([2.0, 5.0, 30.0, 50.0, 160.0, 300.0, 430.0]) * _TON,
    np.array([96.0, 204.0, 360.0, 582.0, 1242.0, 3618.0, 7680.0]) * _GALLON_PER_HOUR,
)
"""A published design guideline: drains at 1 % slope, full, and the comfort-cooling tons it allows on them."""


def inside_diameter(size: ArrayLike, material: str = "PVC") -> Array:
    """Inside diameter of a nominal size.

    Parameters
    ----------
    size : array_like
        Nominal [m], 1/2 to 4 in.
    material : str
        ``PVC`` (schedule 40), ``copper`` (type L), ``other`` (taken as schedule 40).

    Returns
    -------
    ndarray
        [m]; NaN where no such size is made (1 % off, or more).

    Notes
    -----
    Outside diameter less two walls: ASTM D1785 and ASTM B88. A size typed from a rule on the pipe's outside
    is not a nominal size.

    Examples
    --------
    >>> round(float(inside_diameter(0.75 * 0.0254)) / 0.0254, 3)
    0.824
    """
    table = _TUBES[material]
    nominal = np.array(list(table)) * _INCH
    bore = np.array([outside - 2.0 * wall for outside, wall in table.values()]) * _INCH
    size = np.asarray(size, dtype=float)
    distance = np.abs(size[..., None] - nominal)
    at = np.argmin(np.where(np.isfinite(distance), distance, np.inf), axis=-1)
    return np.where(np.abs(size - nominal[at]) < 0.01 * nominal[at], bore[at], np.nan)


def drain_capacity(
    size: ArrayLike,
    slope: ArrayLike,
    material: str = "PVC",
    filled: ArrayLike = 0.5,
    roughness: ArrayLike | None = None,
) -> Array:
    """Condensate that a clean drain carries by gravity.

    Parameters
    ----------
    size : array_like
        Nominal [m].
    slope : array_like
        Fall over run, >= 0; nothing by this law where level.
    material : str
        Key of `pipe_flow.ROUGHNESS_BANDS`.
    filled : array_like
        Depth over diameter: 0.5 the usual design, 1 the most.
    roughness : array_like, optional
        Manning's n; the material's central value where not given.

    Returns
    -------
    ndarray
        [kg/s]; NaN for a size that is not made and for a line that falls the wrong way.

    Examples
    --------
    3/4 in PVC at 1/8 in/ft, half full: 0.93 gal/min.

    >>> round(float(drain_capacity(0.01905, 1 / 96)) / 998.2 * 15850.3, 2)
    0.93
    """
    n = ROUGHNESS_BANDS[material][0] if roughness is None else roughness
    return WATER_DENSITY * manning_flow(inside_diameter(size, material), slope, n, filled)


def outlet_capacity(
    size: ArrayLike, head: ArrayLike, material: str = "PVC", discharge: ArrayLike = 0.6
) -> Array:
    """Condensate that runs out of a pan's outlet under the water standing over its middle.

    Parameters
    ----------
    size : array_like
        Nominal [m].
    head : array_like
        Water above the middle of the outlet, less what fan suction holds back [m].
    material : str
    discharge : array_like
        Coefficient of a sharp-edged hole, 0.6 (any hydraulics handbook).

    Returns
    -------
    ndarray
        [kg/s]; 0 where nothing stands above it.

    Notes
    -----
    ``c A sqrt(2 g h)`` (Torricelli): the pan, not the line, sets it; the line may carry less.

    Examples
    --------
    Half an inch over a 3/4 in outlet: 1.6 gal/min.

    >>> round(float(outlet_capacity(0.01905, 0.0127)) / 998.2 * 15850.3, 1)
    1.6
    """
    area = np.pi / 4.0 * inside_diameter(size, material) ** 2
    speed = np.sqrt(2.0 * 9.80665 * np.maximum(np.asarray(head, dtype=float), 0.0))
    return WATER_DENSITY * np.asarray(discharge) * area * speed


def minimum_size(cooling: ArrayLike, table: DrainTable) -> Array:
    """Least nominal size of a table for a cooling capacity [W]; NaN above its last row and below zero [m]."""
    cooling = np.asarray(cooling, dtype=float)
    last = len(table.sizes) - 1
    # A rounding of the ton must not push 20.0 tons into the next row.
    at = np.searchsorted(table.cooling * (1.0 + 1e-9), cooling, side="left")
    covered = (cooling >= 0.0) & (at <= last)
    return np.where(covered, table.sizes[np.minimum(at, last)], np.nan)


def code_minimum_size(cooling_capacity: ArrayLike) -> Array:
    """Least nominal drain size by the mechanical code.

    Parameters
    ----------
    cooling_capacity : array_like
        Total, of all units on the line [W].

    Returns
    -------
    ndarray
        [m]; NaN above 250 tons.

    Notes
    -----
    IMC table 307.2.2. A legal minimum: see `hydraulic_minimum_size`.

    Examples
    --------
    20 tons, 3/4 in:

    >>> round(float(code_minimum_size(20 * 3516.85)) / 0.0254, 2)
    0.75
    """
    return minimum_size(cooling_capacity, CODE_TABLE)


def hydraulic_minimum_size(cooling_capacity: ArrayLike) -> Array:
    """Least nominal drain size by the 1 % design table [m]; NaN above 430 tons.

    Examples
    --------
    20 tons, 1-1/4 in, where the code allows 3/4:

    >>> round(float(hydraulic_minimum_size(20 * 3516.85)) / 0.0254, 2)
    1.25
    """
    return minimum_size(cooling_capacity, HYDRAULIC_TABLE)


def auxiliary_pan_fits(pan: ArrayLike, unit: ArrayLike, depth: ArrayLike) -> Array:
    """Whether the pan below a unit is deep and large enough.

    Parameters
    ----------
    pan, unit : array_like
        Length and width of pan and of unit or coil, last axis of 2 [m].
    depth : array_like
        Of the pan [m].

    Returns
    -------
    ndarray of bool
        False where a measure is not known.

    Notes
    -----
    1.5 in deep, 3 in larger in length and in width (IRC M1411.3.1, 2018; IMC 307.2.3).

    Examples
    --------
    >>> bool(auxiliary_pan_fits([1.10, 0.70], [1.0, 0.6], 0.0381))
    True
    """
    excess = np.asarray(pan, dtype=float) - np.asarray(unit, dtype=float)
    # Taped measures: a tenth of a millimetre is no shortfall.
    wide = np.all(excess >= AUXILIARY_PAN_EXCESS - 1e-4, axis=-1)
    return wide & (np.asarray(depth, dtype=float) >= AUXILIARY_PAN_DEPTH - 1e-4)
