"""Uncertainty, one way: named draws carried through the same functions as single numbers.

Every unknown is a *named draw*: a column of values from its distribution. Row 0 holds the central
value and is kept out of percentiles; the other rows are a random Latin hypercube (one value from each
of N equally likely strata, in an order of its own), so that a few hundred rows give steady
percentiles. The column of a name depends on the name and the job's seed alone: the same job gives
the same digits anywhere, and adding an unknown does not disturb the others.

Source of the sampling scheme: McKay, Beckman, Conover, Technometrics 21(2), 1979, 239-245.
"""

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask

Z95 = 1.959963984540054
"""Half width of the central 95 % of a normal distribution, in standard deviations."""

PERCENTILES = (2.5, 97.5)

OUTSIDE = 0.05
"""Share of the draws outside a 95 % band, half of it on either side."""

MOST_KEPT = 512
"""Columns kept for the next job or panel that asks for the same: some megabytes."""

# Of the standard library: SciPy's is faster by the value, but takes a third of a second to import.
_normal_quantile = np.frompyfunc(NormalDist().inv_cdf, 1, 1)


@dataclass(frozen=True, slots=True)
class Band:
    """A value with its 95 % band.

    Attributes
    ----------
    value : float
        Central value (row 0).
    low, high : float
        2.5 and 97.5 percentiles of the draws that are possible states.
    masked : float
        Share of the draws left out because they contradict physics, 0-1.
    """

    value: float
    low: float
    high: float
    masked: float = 0.0

    @property
    def known(self) -> bool:
        """Whether there is a number at all."""
        return bool(np.isfinite(self.value))

    @property
    def low_to_high(self) -> tuple[float, float, float]:
        """The three numbers in their order."""
        return self.low, self.value, self.high


NOT_KNOWN = Band(float("nan"), float("nan"), float("nan"))


class Ensemble:
    """Named draws of one job.

    Parameters
    ----------
    seed : int
        The job's seed.
    size : int
        Number of draws besides the central row.
    """

    def __init__(self, seed: int = 1, size: int = 512) -> None:
        self.seed = seed
        self.size = size

    def uniform(self, name: str, low: float = 0.0, high: float = 1.0, central: float | None = None) -> Array:
        """Uniform draws between low and high, row 0 the middle (or `central`); shape (size + 1,)."""
        values = low + (high - low) * _column(self.seed, self.size, name)
        values[0] = (low + high) / 2 if central is None else central
        return values

    def normal(self, name: str, mean: float = 0.0, sd: float = 1.0) -> Array:
        """Normal draws, row 0 the mean; shape (size + 1,)."""
        values = np.empty(self.size + 1)
        values[0] = mean
        values[1:] = mean + sd * _standard(self.seed, self.size, name)
        return values

    def choice(self, name: str, count: int) -> Indices:
        """Whole numbers 0 … count-1, equally likely, row 0 is 0; shape (size + 1,)."""
        values: Indices = np.minimum((_column(self.seed, self.size, name) * count).astype(int), count - 1)
        values[0] = 0
        return values


@lru_cache(MOST_KEPT)
def _column(seed: int, size: int, name: str) -> Array:
    """Stratified uniform column of a name, shape (size + 1,), read-only; entry 0 is 0.5."""
    digest = hashlib.sha256(f"{seed}/{name}".encode()).digest()
    generator = np.random.Generator(np.random.PCG64(int.from_bytes(digest[:16], "little")))
    column = np.empty(size + 1)
    column[0] = 0.5
    column[1:] = (generator.permutation(size) + generator.random(size)) / size
    column.flags.writeable = False
    return column


@lru_cache(MOST_KEPT)
def _standard(seed: int, size: int, name: str) -> Array:
    """Standard normal draws of a name, shape (size,), read-only."""
    values = np.asarray(_normal_quantile(_column(seed, size, name)[1:]), float)
    values.flags.writeable = False
    return values


FEWEST = 20
"""Possible draws that a band takes at least."""


def band(draws: Array | None, mask: ArrayLike | None = None) -> Band:
    """Central value and 95 % band of a column.

    Parameters
    ----------
    draws : ndarray, shape (N + 1,), or None
        Row 0 central; None where nothing was read.
    mask : ndarray of bool, optional
        Rows that are possible; rows that are not finite are left out as well.

    Returns
    -------
    Band
        Where the central row is not possible itself (a wet bulb read a hair above the dry bulb) the value
        is the median of the possible draws. Not known where fewer than 20 draws remain.

    Examples
    --------
    >>> result = band(np.array([5.0, *np.linspace(0, 10, 1001)]))
    >>> result.value, round(result.low, 2), round(result.high, 2)
    (5.0, 0.25, 9.75)
    """
    if draws is None:
        return NOT_KNOWN
    draws = np.atleast_1d(np.asarray(draws, dtype=float))
    possible = possible_rows(draws, mask)
    rows = draws[1:][possible[1:]]
    if rows.size < FEWEST:
        return NOT_KNOWN
    low, high = np.percentile(rows, PERCENTILES)
    value = draws[0] if possible[0] else np.median(rows)
    return Band(float(value), float(low), float(high), float(1.0 - np.mean(possible[1:])))


def bands(columns: Array) -> list[Band]:
    """Band of each row of (rows, N + 1), as `band` gives it; of one draw alone the value, its ends NaN.

    Examples
    --------
    >>> [one.value for one in bands(np.array([[5.0], [6.0]]))]
    [5.0, 6.0]
    """
    if columns.shape[1] == 1:
        return [Band(float(value), np.nan, np.nan) for value in columns[:, 0]]
    whole = np.isfinite(columns).all(axis=1) & (columns.shape[1] > FEWEST)
    lows, highs = np.percentile(np.where(whole[:, None], columns, 0.0)[:, 1:], PERCENTILES, axis=1)
    return [
        Band(float(column[0]), float(low), float(high)) if sound else band(column)
        for sound, column, low, high in zip(whole, columns, lows, highs, strict=True)
    ]


def beyond(excess: Array) -> bool:
    """Whether a difference lies above zero beyond the combined 95 % band of what it is made of.

    Parameters
    ----------
    excess : ndarray, shape (N + 1,)
        Row 0 central; draws that are not finite are left out.

    Examples
    --------
    >>> [beyond(np.array([2.0, *np.linspace(low, 4.0, 100)])) for low in (0.1, -1.0)]
    [True, False]
    """
    rows = excess[1:][np.isfinite(excess[1:])]
    if not rows.size:
        return False
    # Where the reading itself is no possible state, what its draws allow stands for it.
    central = excess[0] if np.isfinite(excess[0]) else np.median(rows)
    return bool(central > 0.0 and np.mean(rows <= 0.0) < OUTSIDE / 2.0)


def share(condition: ArrayLike, possible: ArrayLike | None = None) -> Band:
    """Probability that a condition holds over the draws, with the 95 % band that their number leaves.

    Parameters
    ----------
    condition : ndarray of bool, shape (N + 1,)
        Row 0 is left out.
    possible : ndarray of bool, optional
        Rows that count.

    Returns
    -------
    Band
        Wilson's score interval (Wilson, J. Am. Stat. Assoc. 22, 1927, 209-212); it tells the
        sampling error only, not that of the model.
    """
    condition = np.asarray(condition, dtype=bool)[1:]
    keep = np.ones_like(condition) if possible is None else np.asarray(possible, dtype=bool)[1:]
    count = int(np.count_nonzero(keep))
    if count < 20:
        return NOT_KNOWN
    p = float(np.mean(condition[keep]))
    centre = (p + Z95**2 / (2 * count)) / (1 + Z95**2 / count)
    half = Z95 * np.sqrt(p * (1 - p) / count + Z95**2 / (4 * count**2)) / (1 + Z95**2 / count)
    # Rounding of the closed form may leave 0 or 1 just outside its own interval.
    return Band(p, min(p, max(0.0, centre - half)), max(p, min(1.0, centre + half)), 1.0 - count / keep.size)


def possible_rows(draws: Array, mask: ArrayLike | None = None) -> Mask:
    """Rows that are finite and, where a mask is given, marked possible."""
    finite: Mask = np.isfinite(draws)
    return finite if mask is None else finite & np.asarray(mask, dtype=bool)
