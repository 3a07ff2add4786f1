"""One way for water to get out of an air handler, and what every way has in common."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.water.water_case import WaterCase
from hvaccalc.ensemble import NOT_KNOWN, Band

PHYSICS, SCREENING, RULE = "physics", "screening", "rule of thumb"
GRADES = (PHYSICS, SCREENING, RULE)

NAMES = (
    *("condensate", "melt", "pan_overflow", "trap", "carry_over", "coil_drip", "sweating"),
    *("pan_leak", "pump", "hot_water_coil", "outside", "shut_down_drain"),
)
COMMON = (
    *("trap", "pan_overflow", "melt", "coil_drip", "sweating", "pan_leak", "pump", "carry_over"),
    *("shut_down_drain", "outside", "hot_water_coil", "condensate"),
)
"""Ways of which nothing else tells which is likelier, the commonest first; common practice, no source."""

TITLES = {
    "condensate": "ordinary condensate",
    "melt": "melting ice",
    "pan_overflow": "pan running over",
    "trap": "trap",
    "carry_over": "water blown off the coil",
    "coil_drip": "drip off the coil without ice",
    "sweating": "sweating",
    "pan_leak": "cracked or unlevel pan",
    "pump": "condensate pump",
    "hot_water_coil": "hot-water coil",
    "outside": "water from outside the unit",
    "shut_down_drain": "water that falls at shut-down",
}

UNKNOWN = float("nan")


@dataclass(frozen=True, slots=True)
class Mechanism:
    """One way, computed for the unit as found.

    Attributes
    ----------
    name : str
        One of `NAMES`.
    rate : ndarray
        Water that it can bring outside the drain while it acts [kg/s], shape (N + 1,).
    per_day : ndarray
        The same on the average over a day on which it acts [kg/s].
    chance : float
        Share of the draws in which it acts at all, 0-1; NaN where nothing tells.
    grade : str
        physics, screening or rule of thumb.
    phases : frozenset of str
        While cooling, after shut-down, with cooling off.
    minutes : tuple of (str, float, float)
        When it runs: event, from and to, minutes after it.
    weather : str
    places : frozenset of str
        Where it would be seen.
    how : str
        How the amount comes about.
    cannot : str
        What it cannot do.
    ruled_out : str
        What was seen or read that excludes it; empty where nothing does.
    confirmed : str
        What was seen that shows it at work; empty where nothing does.
    settle : str
        What to read or look at to decide.
    at_full_speed : float
        Its chance with the fan at full speed; NaN where that says nothing.
    settled : str
        What a later visit shows of it as left; empty where none does.
    """

    name: str
    rate: np.ndarray
    per_day: np.ndarray
    chance: float
    grade: str
    phases: frozenset[str]
    minutes: tuple[tuple[str, float, float], ...]
    weather: str
    places: frozenset[str]
    how: str
    cannot: str
    ruled_out: str = ""
    confirmed: str = ""
    settle: str = ""
    at_full_speed: float = UNKNOWN
    settled: str = ""

    @property
    def title(self) -> str:
        """Its name in words."""
        return TITLES[self.name]

    @property
    def band(self) -> Band:
        """Median with 5 and 95 % of the rate while it acts [kg/s]."""
        return percentiles(self.rate)

    @property
    def day_band(self) -> Band:
        """Median with 5 and 95 % of the average over a day [kg/s]."""
        return percentiles(self.per_day)


def percentiles(draws: np.ndarray) -> Band:
    """5, 50 and 95 % of the draws that are finite.

    Examples
    --------
    >>> round(percentiles(np.array([0.0, *np.linspace(0.0, 1.0, 101)])).high, 6)
    0.95
    """
    rows = draws[1:][np.isfinite(draws[1:])]
    if rows.size < 20:
        return NOT_KNOWN
    low, middle, high = np.percentile(rows, (5.0, 50.0, 95.0))
    return Band(float(middle), float(low), float(high))


def share_of(acts: np.ndarray) -> float:
    """Share of the draws (row 0 left out) that hold.

    Examples
    --------
    >>> share_of(np.array([False, True, True, False, False]))
    0.5
    """
    return float(np.mean(np.asarray(acts, dtype=bool)[1:]))


def conditional(rate: np.ndarray, acts: np.ndarray) -> np.ndarray:
    """The rate in the draws in which it acts; all of them where hardly any does."""
    acts = np.asarray(acts, dtype=bool)
    return np.where(acts, rate, np.nan) if np.count_nonzero(acts[1:]) >= 20 else rate


def water_made(case: WaterCase) -> np.ndarray:
    """Condensate made while cooling, not below zero [kg/s]."""
    return np.maximum(case.made.draws, 0.0)
