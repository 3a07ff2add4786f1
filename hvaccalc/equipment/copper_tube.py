"""Copper refrigerant tube by its outside diameter: wall and bore.

Source: ASTM B280 (annealed and drawn ACR tube), ASTM B88 type L from 1-5/8 in. up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

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
