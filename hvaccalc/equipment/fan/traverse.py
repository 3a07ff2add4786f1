"""Where to read velocities across a duct, and what they add up to."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.equipment.fan.fan_laws import STANDARD_DENSITY, velocity_from_pressure
from hvaccalc.practice.air import LOW_VELOCITY_PRESSURE, MOST_LOW_POINTS

LOG_TCHEBYCHEFF = {
    5: (0.074, 0.288, 0.500, 0.712, 0.926),
    6: (0.061, 0.235, 0.437, 0.563, 0.765, 0.939),
    7: (0.053, 0.203, 0.366, 0.500, 0.634, 0.797, 0.947),
}
"""Rectangular duct, share of the side by number of lines: printed in a hood and duct manual (PH731,
appendix B), the positions of ISO 3966."""

LOG_LINEAR = {
    6: (0.032, 0.135, 0.321, 0.679, 0.865, 0.968),
    8: (0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979),
    10: (0.019, 0.077, 0.153, 0.217, 0.361, 0.639, 0.783, 0.847, 0.923, 0.981),
}
"""Round duct, share of the diameter by points a diameter: same manual. A misprint of the first of six as 0.32
and of the last of eight as 0.981 is in circulation; each set mirrors about the middle."""

ROUND_DIAMETERS = (2, 3)
"""Diameters traversed in a round duct: two at 90° or three at 60°."""


def lines_for_side(side: float) -> int:
    """Lines across one side of a rectangular duct [m]: 5 below 30 in, 6 up to 36 in, then 7."""
    inches = side / 0.0254
    return 5 if inches < 30.0 else 6 if inches <= 36.0 else 7


def grid(count: int) -> str | None:
    """Which standard traverse has this number of points; None where none has.

    Examples
    --------
    >>> grid(25), grid(20), grid(23)
    ('rectangular, 5 by 5', 'round, 10 on 2 diameters', None)
    """
    for a in LOG_TCHEBYCHEFF:
        for b in LOG_TCHEBYCHEFF:
            if a <= b and a * b == count:
                return f"rectangular, {a} by {b}"
    for diameters in ROUND_DIAMETERS:
        for points in LOG_LINEAR:
            if diameters * points == count:
                return f"round, {points} on {diameters} diameters"
    return None


def mean_velocity(velocity_pressures: ArrayLike, density: ArrayLike = STANDARD_DENSITY) -> float:
    """Mean velocity [m/s] of a traverse from its velocity pressures [Pa].

    Notes
    -----
    Velocities are averaged, not pressures: the root of the mean pressure reads high.
    """
    return float(np.mean(velocity_from_pressure(velocity_pressures, density)))


def too_uneven(velocities: ArrayLike) -> bool:
    """Whether too many velocity pressures lie far below the highest for the plane to serve.

    Examples
    --------
    >>> too_uneven([5.0, 5.2, 4.8, 4.0]), too_uneven([10.0, 1.0, 1.0, 1.0])
    (False, True)
    """
    pressure = np.asarray(velocities, dtype=float) ** 2
    return bool(np.mean(pressure < LOW_VELOCITY_PRESSURE * pressure.max()) > MOST_LOW_POINTS)
