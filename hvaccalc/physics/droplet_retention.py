"""How large a water drop a surface holds against the air and against its own weight.

Screening grade: contact angles are rules of thumb that wander with dirt and age. Everything broadcasts.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array

GRAVITY = 9.80665
DROP_DENSITY = 998.2
"""Water at 20 °C [kg/m³]."""

SURFACE_TENSION = 0.0742
"""Water against air at 10 °C [N/m]."""

CONTACT_ANGLES: dict[str, tuple[float, float]] = {
    "plain": (float(np.radians(85.0)), float(np.radians(35.0))),
    "coated": (float(np.radians(20.0)), float(np.radians(5.0))),
}
"""Advancing and receding angle of water on aluminium fins, as made and with a wetting coat [rad]. From
memory of fin studies (60-90 deg advancing); they wander by 20 deg with dirt and age."""


def retention_force(
    diameter: ArrayLike, advancing: ArrayLike, receding: ArrayLike, tension: ArrayLike
) -> Array:
    """Force by which contact-angle hysteresis holds a drop on a surface [N].

    Parameters
    ----------
    diameter : array_like
        Of its footprint [m].
    advancing, receding : array_like
        Contact angles [rad].
    tension : array_like
        Surface tension [N/m].

    Notes
    -----
    ``24/π³ tension diameter (cos receding - cos advancing)`` (ElSherbini and Jacobi, J. Colloid Interface
    Sci. 299, 2006, 841-849). NaN where the receding angle is the larger.

    Examples
    --------
    >>> round(float(retention_force(4e-3, np.pi / 2, 0.0, 0.07)) * 1e6)
    217
    """
    difference = np.cos(np.asarray(receding, dtype=float)) - np.cos(np.asarray(advancing, dtype=float))
    force = 24.0 / np.pi**3 * np.asarray(tension) * np.asarray(diameter, dtype=float) * difference
    return np.where(difference >= 0.0, force, np.nan)


def cap_shape(contact_angle: ArrayLike) -> tuple[Array, Array]:
    """Silhouette over d² and volume over d³ of a drop as a cap of a sphere on a footprint d.

    Examples
    --------
    Half a sphere, π/8 and π/12:

    >>> [round(float(v), 4) for v in cap_shape(np.pi / 2)]
    [0.3927, 0.2618]
    """
    angle = np.asarray(contact_angle, dtype=float)
    sine, cosine = np.sin(angle), np.cos(angle)
    area = (angle - sine * cosine) / (4.0 * sine**2)
    return area, np.pi / 24.0 * (2.0 - 3.0 * cosine + cosine**3) / sine**3


def retained_diameter_under_drag(
    velocity: ArrayLike,
    advancing: ArrayLike = CONTACT_ANGLES["plain"][0],
    receding: ArrayLike = CONTACT_ANGLES["plain"][1],
    air_density: ArrayLike = 1.204,
    drag: ArrayLike = 1.0,
    tension: ArrayLike = SURFACE_TENSION,
) -> Array:
    """Largest footprint of a drop that the air does not push along a fin.

    Parameters
    ----------
    velocity : array_like
        Of the air past the drop, >= 0: between fins, above the face velocity [m/s].
    advancing, receding : array_like
        Contact angles [rad].
    air_density : array_like
        [kg/m³].
    drag : array_like
        Coefficient on the silhouette, 0.5-1.5 (rule of thumb).
    tension : array_like
        [N/m].

    Returns
    -------
    ndarray
        [m]; infinite in still air, NaN for a negative velocity.

    Notes
    -----
    `retention_force` against ``drag density velocity² / 2`` on the silhouette of a cap at the mean angle. Air
    alone moves only large drops: what a coil throws are bridges between fins that burst. Screening.
    """
    velocity = np.asarray(velocity, dtype=float)
    area, _ = cap_shape(0.5 * (np.asarray(advancing) + np.asarray(receding)))
    held = retention_force(1.0, advancing, receding, tension)
    push = 0.5 * np.asarray(drag) * np.asarray(air_density) * velocity**2 * area
    with np.errstate(divide="ignore"):
        return np.where(velocity >= 0.0, held / push, np.nan)


def retained_diameter_on_slope(
    slope: ArrayLike,
    advancing: ArrayLike = CONTACT_ANGLES["plain"][0],
    receding: ArrayLike = CONTACT_ANGLES["plain"][1],
    tension: ArrayLike = SURFACE_TENSION,
) -> Array:
    """Largest footprint of a drop that does not run down a surface.

    Parameters
    ----------
    slope : array_like
        Of the surface from the vertical, 0 to π/2 [rad].
    advancing, receding : array_like
        Contact angles [rad].
    tension : array_like
        [N/m].

    Returns
    -------
    ndarray
        [m]; NaN outside.

    Notes
    -----
    `retention_force` against the weight along the surface of a cap at the mean angle. Screening.

    Examples
    --------
    On a plain upright fin, about 6 mm:

    >>> round(float(retained_diameter_on_slope(0.0)) * 1e3)
    6
    """
    slope = np.asarray(slope, dtype=float)
    slope = np.where((slope >= 0.0) & (slope < np.pi / 2), slope, np.nan)
    _, volume = cap_shape(0.5 * (np.asarray(advancing) + np.asarray(receding)))
    held = retention_force(1.0, advancing, receding, tension)
    return np.sqrt(held / (DROP_DENSITY * GRAVITY * np.cos(slope) * volume))
