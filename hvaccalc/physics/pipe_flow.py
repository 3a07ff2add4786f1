"""Water running by gravity in a round pipe, part full or just full, by Manning's equation.

Steady and uniform: no head of water stands over the inlet, no bend, trap or fouling holds it back. A drain
that is short or dirty does not follow it; what it gives is the most a clean line carries. Everything
broadcasts.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array

ROUGHNESS_BANDS: dict[str, tuple[float, float, float]] = {
    "PVC": (0.009, 0.009, 0.011),
    "copper": (0.011, 0.009, 0.013),
    "other": (0.012, 0.009, 0.016),
}
"""Manning's n by material: central, low, high [s/m^(1/3)]. Smooth PVC 0.009-0.011 and copper 0.011 from
published tables of open-channel coefficients (plastic 0.010 in Austin's Drainage Criteria Manual, table 5-2);
the width about copper and the whole row of other materials are common practice."""


def wetted_section(diameter: ArrayLike, filled: ArrayLike = 1.0) -> tuple[Array, Array]:
    """Flow area and wetted perimeter of a round pipe.

    Parameters
    ----------
    diameter : array_like
        Inside [m].
    filled : array_like
        Depth of water over diameter, 0-1.

    Returns
    -------
    area, perimeter : ndarray
        [m²], [m]; NaN outside.

    Notes
    -----
    With the angle ``a = 2 acos(1 - 2 filled)``: area ``D² (a - sin a) / 8``, perimeter ``D a / 2``.

    Examples
    --------
    >>> area, perimeter = wetted_section(2.0, 0.5)
    >>> round(float(area / perimeter), 3)
    0.5
    """
    diameter, filled = np.asarray(diameter, dtype=float), np.asarray(filled, dtype=float)
    inside = (filled >= 0.0) & (filled <= 1.0) & (diameter >= 0.0)
    angle = 2.0 * np.arccos(1.0 - 2.0 * np.where(inside, filled, np.nan))
    return diameter**2 * (angle - np.sin(angle)) / 8.0, diameter * angle / 2.0


def manning_flow(
    diameter: ArrayLike, slope: ArrayLike, roughness: ArrayLike, filled: ArrayLike = 1.0
) -> Array:
    """Water that a sloping round pipe carries by gravity.

    Parameters
    ----------
    diameter : array_like
        Inside [m].
    slope : array_like
        Fall over run, >= 0; a level pipe carries nothing by this law.
    roughness : array_like
        Manning's n, > 0 [s/m^(1/3)].
    filled : array_like
        Depth of water over diameter, 0-1: 0.5 half full, 1 just full.

    Returns
    -------
    ndarray
        Flow [m³/s]; NaN where the pipe falls the wrong way or anything is outside.

    Notes
    -----
    ``Q = A R^(2/3) S^(1/2) / n`` with ``R = A / P`` (Manning; metric form). A pipe half full carries exactly
    half. Made for rough turbulent flow; in pipes of an inch it is an estimate, good to the band of n.

    Examples
    --------
    A pipe of 0.75 in falling 1/8 in/ft, n = 0.010, carries 1.31 gal/min just full:

    >>> round(float(manning_flow(0.75 * 0.0254, 1 / 96, 0.010)) * 15850.3, 2)
    1.31
    """
    area, perimeter = wetted_section(diameter, filled)
    slope, roughness = np.asarray(slope, dtype=float), np.asarray(roughness, dtype=float)
    valid = (slope >= 0.0) & (roughness > 0.0)
    wet = perimeter > 0.0
    hydraulic_radius = np.where(wet, area / np.where(wet, perimeter, 1.0), 0.0 * perimeter)
    root = np.sqrt(np.where(valid, slope, np.nan)) / np.where(valid, roughness, np.nan)
    return area * hydraulic_radius ** (2.0 / 3.0) * root
