"""Copper refrigerant tube by its outside diameter: wall, bore and what a line holds.

Refrigeration tube is named by its actual outside diameter. Some makers draw 3/4 in. with a wall of 0.042 in.
instead of 0.035: 4 % less volume, not told apart here.

Source: ASTM B280 (annealed and drawn ACR tube), ASTM B88 type L from 1-5/8 in. up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

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


def section(outside: ArrayLike) -> np.ndarray:
    """Free cross-section of tubes by outside diameter [m2]; NaN where none is made."""
    given = np.asarray(outside, dtype=float)
    nearest = np.argmin(np.abs(_OUTSIDE - given[..., None]), axis=-1)
    return np.where(np.abs(given - _OUTSIDE[nearest]) <= SLACK, _BORE[nearest], np.nan)


def line_volume(outside: ArrayLike, length: ArrayLike) -> np.ndarray:
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


def reason(outside: ArrayLike, length: ArrayLike = 1.0) -> np.ndarray:
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
