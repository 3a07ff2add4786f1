"""One way for water to get out of an air handler, its verdicts, and what every way has in common."""

from dataclasses import dataclass
from enum import StrEnum, auto

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.water.water_case import WaterCase
from hvaccalc.ensemble import NOT_KNOWN, Band
from hvaccalc.job.causes import Way
from hvaccalc.reason import Reason
from hvaccalc.rows import complete
from hvaccalc.severity import Severity


class Ability(StrEnum):
    """Whether a way can make the water that was seen."""

    CAN = "can make it"
    CANNOT_TELL = "cannot tell"
    NOT_ALONE = "cannot by itself"
    CANNOT = "cannot"


class Match(StrEnum):
    """Whether a way brings the amount, the times or the places seen."""

    YES = "yes"
    PART = "part"
    NO = "no"
    OPEN = "not known"
    LATE = "later than seen"


class Against(StrEnum):
    """What speaks against a way that cannot make the water."""

    SIGHT = "what was seen or read"
    TIME = "time"
    PLACE = "place"
    AMOUNT = "amount"


class Grade(StrEnum):
    """How far an amount can be trusted."""

    PHYSICS = "physics"
    SCREENING = "screening"
    RULE = "rule of thumb"


class Event(StrEnum):
    """What a way's time is counted from."""

    START = "start"
    STOP = "stop"
    STAGE_OFF = "stage off"
    ANY = "any"


class Met(StrEnum):
    """Whether a size or a height is what is asked for."""

    MET = "met"
    NOT_MET = "not met"
    NOT_KNOWN = "not known"


class Guard(StrEnum):
    """State of what stops the cooling, or catches the water, before the pan runs over."""

    NONE = "none"
    NOT_NOTED = "not noted"
    FITTED = "fitted"
    DID_NOT_STOP = "did not stop the cooling"

    @property
    def severity(self) -> Severity:
        """How much its state matters."""
        return _GUARDED[self]


_GUARDED = complete(
    Guard,
    {
        Guard.NONE: Severity.ACT,
        Guard.NOT_NOTED: Severity.WATCH,
        Guard.FITTED: Severity.NOTE,
        Guard.DID_NOT_STOP: Severity.ACT,
    },
)


class Standing(StrEnum):
    """What the water does that the fan's suction holds in the pan."""

    NOT_KNOWN = "not known"
    NONE = "none stands"
    STANDS = "stands"
    OVER_THE_PAN = "runs over the pan"
    OVER_MOST_PANS = "runs over most pans"


class Why(StrEnum):
    """What decided about a way."""

    ELSEWHERE = auto()
    TOO_LITTLE = auto()
    HARDLY_ACTS = auto()
    NOTHING_NOTED = auto()
    RUNS_OFF = auto()
    CHANCE = auto()
    CHANCE_READ = auto()
    ANOTHER_DAY = auto()
    NOTHING_TELLS = auto()
    NEEDS_NO_RAIN = auto()
    NEEDS_COOLING = auto()
    NOT_THEN = auto()
    PART_OF_TIMES = auto()
    PART_OF_PLACES = auto()
    PART_OF_BOTH = auto()


TO_SETTLE = (Why.CHANCE, Why.CHANCE_READ, Why.ANOTHER_DAY, Why.NOTHING_TELLS)
"""What leaves a way to be looked at."""


class Left(StrEnum):
    """What no way that can make the water explains."""

    NO_WAY = auto()
    PLACES = auto()
    PHASE = auto()
    AMOUNT = auto()


UNKNOWN = float("nan")


@dataclass(frozen=True, slots=True)
class Mechanism:
    """One way, computed for the unit as found.

    Attributes
    ----------
    way : Way
    rate : ndarray
        Water that it can bring outside the drain while it acts [kg/s], shape (N + 1,).
    per_day : ndarray
        The same on the average over a day on which it acts [kg/s].
    chance : float
        Share of the draws in which it acts at all, 0-1; NaN where nothing tells.
    grade : Grade
    phases : frozenset of str
        While cooling, after shut-down, with cooling off.
    minutes : tuple of (Event, float, float)
        When it runs: event, from and to, minutes after it.
    places : frozenset of str
        Where it would be seen.
    how : Reason
        How the amount comes about.
    ruled_out : Reason or None
        What was seen or read that excludes it; None where nothing does.
    confirmed : Reason or None
        What was seen that shows it at work; None where nothing does.
    doubts : tuple of Reason
        What keeps it from being cleared until it is looked at.
    looked : bool
        Whether the look that decides was taken, so that none is left.
    at_full_speed : float
        Its chance with the fan at full speed; NaN where that says nothing.
    another_day : float
        Its chance on a mild morning, where the forecast has more of it than was read; NaN where it has not.
    settled : Reason or None
        What a later visit shows of it as left; None where none does.
    under_pressure : bool
        Whether it is the other case of the way, that of a coil which the fan blows through.
    """

    way: Way
    rate: Array
    per_day: Array
    chance: float
    grade: Grade
    phases: frozenset[str]
    minutes: tuple[tuple[Event, float, float], ...]
    places: frozenset[str]
    how: Reason
    ruled_out: Reason | None = None
    confirmed: Reason | None = None
    doubts: tuple[Reason, ...] = ()
    looked: bool = False
    at_full_speed: float = UNKNOWN
    another_day: float = UNKNOWN
    settled: Reason | None = None
    under_pressure: bool = False

    @property
    def band(self) -> Band:
        """Median with 5 and 95 % of the rate while it acts [kg/s]."""
        return percentiles(self.rate)

    @property
    def day_band(self) -> Band:
        """Median with 5 and 95 % of the average over a day [kg/s]."""
        return percentiles(self.per_day)


def percentiles(draws: Array) -> Band:
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


def share_of(acts: Mask) -> float:
    """Share of the draws (row 0 left out) that hold.

    Examples
    --------
    >>> share_of(np.array([False, True, True, False, False]))
    0.5
    """
    return float(np.mean(acts[1:]))


def conditional(rate: Array, acts: Mask) -> Array:
    """The rate in the draws in which it acts; all of them where hardly any does."""
    return np.where(acts, rate, np.nan) if np.count_nonzero(acts[1:]) >= 20 else rate


def water_made(case: WaterCase) -> Array:
    """Condensate made while cooling, not below zero [kg/s]."""
    return np.maximum(case.made.draws, 0.0)
