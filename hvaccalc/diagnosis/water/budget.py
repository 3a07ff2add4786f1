"""The water budget: which way can bring this much water, at that time, in that place.

Each mechanism is held against amount, time and place as seen. One that reaches only a part where another
reaches all cannot make it by itself, but is not excluded; the sum of those that can is told, and what none of
them explains.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.readings.water_seen import OFF, PHASES, WaterSeen
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.diagnosis.water.drain_balance import DrainBalance, drain_balances
from hvaccalc.diagnosis.water.drain_check import FAILS, DrainCheck, TrapCheck, drain_check, trap_check
from hvaccalc.diagnosis.water.mechanism import COMMON, NAMES, Mechanism, percentiles, water_made
from hvaccalc.diagnosis.water.mechanisms_around import hot_water_coil, outside, sweating
from hvaccalc.diagnosis.water.mechanisms_coil import carry_over, coil_drip, condensate, melt, shut_down_drain
from hvaccalc.diagnosis.water.mechanisms_pan import pan_leak, pan_overflow, pump, trap
from hvaccalc.diagnosis.water.pan_filling import PanFilling, pan_filling
from hvaccalc.diagnosis.water.water_case import WaterCase, water_case
from hvaccalc.ensemble import Band

CAN, CANNOT, CANNOT_TELL = "can make it", "cannot", "cannot tell"
NOT_ALONE = "cannot by itself"
"""Told instead of "cannot" where a way may still add to another."""

YES, PART, NO, OPEN, LATE = "yes", "part", "no", "not known", "later than seen"
BY_PLACE, BY_TIME, BY_AMOUNT, BY_SIGHT = "place", "time", "amount", "what was seen or read"
"""What speaks against a way that cannot make the water."""

LEAST_CHANCE, LIKELY = 0.05, 0.5
SLACK = 2.0
"""Amounts are good to this factor: a mechanism is too small only where twice its 95 % falls short."""

OUT_OF_DRAIN = ("condensate",)
COIL_WATER = (
    *("condensate", "melt", "pan_overflow", "trap", "carry_over", "coil_drip"),
    *("pan_leak", "pump", "shut_down_drain"),
)
"""Mechanisms that give what the coil took out of the air: together no more than it made."""

AMOUNT = "the amount: what can make it most likely brings less than was seen"
"""Said where the middle of what can make the water lies below the least that was seen."""

FAN_LOW = "the low fan"


@dataclass(frozen=True, slots=True)
class Weighed:
    """One mechanism against what was seen.

    Attributes
    ----------
    mechanism : Mechanism
    text : str
        can make it, cannot or cannot tell.
    amount, time, place : str
        yes, part, no or not known; an amount in part: only the upper part of its band reaches what was seen;
        a time later than seen: the pan was full sooner than this fills it from empty.
    margin : float
        Its median over the central amount seen; NaN where none was.
    why : str
        What decided.
    explained_by : str
        A fault that brings it about, such as the low fan; empty where none does.
    beside : bool
        Whether it cannot make all that was seen by itself, but may add to what another way brings.
    against : str
        What speaks against it: place, time, amount, or what was seen or read; empty where nothing does.
    """

    mechanism: Mechanism
    text: str
    amount: str
    time: str
    place: str
    margin: float
    why: str
    explained_by: str = ""
    beside: bool = False
    against: str = ""

    @property
    def said(self) -> str:
        """The verdict in words: what may add to another way is not told as one that is excluded."""
        return NOT_ALONE if self.beside else self.text

    @property
    def whole(self) -> bool:
        """Whether it reaches every time and place seen."""
        return PART not in (self.time, self.place) and NO not in (self.amount, self.time, self.place)


@dataclass(frozen=True, slots=True)
class WaterBudget:
    """The budget of a job.

    Attributes
    ----------
    case : WaterCase
    seen : WaterSeen
    weighed : dict of str to Weighed
        By name, in the order of `NAMES`.
    together : Band
        Sum of those that can make it, 5 / 50 / 95 %, in the sense of the amount seen; where none was, of a
        day [kg/s].
    dominant : str or None
        The one that stands out.
    unexplained : tuple of str
        What none of those that can make it explains.
    drain : DrainCheck
    trap : TrapCheck
    filling : PanFilling or None
        None where no readings of visits stand behind the case.
    balances : tuple of DrainBalance
    """

    case: WaterCase
    seen: WaterSeen
    weighed: dict[str, Weighed]
    together: Band
    dominant: str | None
    unexplained: tuple[str, ...]
    drain: DrainCheck
    trap: TrapCheck
    filling: PanFilling | None = None
    balances: tuple[DrainBalance, ...] = ()

    def those(self, text: str) -> tuple[str, ...]:
        """Names with a verdict."""
        return tuple(name for name, one in self.weighed.items() if one.text == text)

    @property
    def ruled_out(self) -> tuple[str, ...]:
        """Names of the ways that cannot have a part in it."""
        # A trap that fails its own check is never cleared, whatever was seen on the day.
        failed = ("trap",) if self.trap.verdict == FAILS else ()
        able = self.those(CANNOT)
        return tuple(name for name in able if not self.weighed[name].beside and name not in failed)

    @property
    def beside(self) -> tuple[str, ...]:
        """Names of the ways that cannot make it by themselves, but may add to it."""
        return tuple(name for name in self.those(CANNOT) if self.weighed[name].beside)

    @property
    def open(self) -> tuple[str, ...]:
        """Names of the ways that are still to be told, the likeliest first."""
        left = [one for name in self.those(CANNOT_TELL) if (one := self.weighed[name]).mechanism.settle]
        return tuple(one.mechanism.name for one in sorted(left, key=_odds) if not one.mechanism.settled)

    @property
    def nothing_in_the_unit(self) -> bool:
        """Whether everything inside the unit is ruled out, and what lies outside is not."""
        inside = [one for name, one in self.weighed.items() if name != "outside"]
        return (
            all(one.text == CANNOT and not one.beside for one in inside)
            and self.weighed["outside"].text != CANNOT
        )

    @property
    def matched(self) -> bool:
        """Whether anything was said of the water that can be matched."""
        return bool(self.seen.amount is not None or self.seen.phases or self.seen.places)


MECHANISMS = (
    *(condensate, melt, pan_overflow, trap, carry_over, coil_drip, sweating),
    *(pan_leak, pump, hot_water_coil, outside, shut_down_drain),
)


def water_budget(
    draws: Draws, results: Sequence[ConditionResult], outlook: Forecast | None
) -> WaterBudget | None:
    """The budget of a job; None where it says nothing of any water and looks at neither pan nor drain."""
    job = draws.job
    told = job.job.water_seen or job.job.water_when or job.unit.drain.model_fields_set
    signs = [v.signs for v in job.visit] + [c.signs for v in job.visit for c in v.condition]
    looked = any(getattr(s, key) is not None for s in signs for key in ("water_on", "pan_water", "trap"))
    if not (told or looked):
        return None
    case = water_case(draws, results, outlook)
    return weigh(case, pan_filling(draws, case), drain_balances(draws, results))


def weigh(
    case: WaterCase, filling: PanFilling | None = None, balances: tuple[DrainBalance, ...] = ()
) -> WaterBudget:
    """The budget of a case, with what was read of its pan's filling and of its drain."""
    first = [_weighed(case, make(case), filling) for make in MECHANISMS]
    weighed = {one.mechanism.name: one for one in _not_alone(first)}
    able = [one for one in weighed.values() if one.text == CAN]
    together = _together(case, able)
    return WaterBudget(
        case=case,
        seen=case.seen,
        weighed={name: weighed[name] for name in NAMES},
        together=together,
        dominant=_dominant(list(weighed.values())),
        unexplained=_unexplained(case.seen, able, together),
        drain=drain_check(case),
        trap=trap_check(case),
        filling=filling,
        balances=balances,
    )


def _weighed(case: WaterCase, one: Mechanism, filling: PanFilling | None) -> Weighed:
    seen = case.seen
    amount, margin = _amount(seen, one)
    time, place = _time(seen, one), _place(seen, one)
    text, why, against = _verdict(case, one, amount, time, place)
    if one.name == "trap" and time == YES and filling is not None and filling.late and not case.blow_through:
        time = LATE
    return Weighed(one, text, amount, time, place, margin, why, _explained(case, one, text), against=against)


def _odds(one: Weighed) -> tuple[bool, float, bool, int]:
    """Order of what is open: what reaches every time and place, likely acts, brings the amount, is common."""
    chance = one.mechanism.chance
    known = chance if np.isfinite(chance) else LEAST_CHANCE
    return not one.whole, -known, one.amount == PART, COMMON.index(one.mechanism.name)


def _amount(seen: WaterSeen, one: Mechanism) -> tuple[str, float]:
    """Whether it can bring the amount, and by which factor its median passes it."""
    if seen.amount is None:
        return OPEN, float("nan")
    central, least = seen.amount.value, seen.amount.low or seen.amount.value
    value = one.day_band if seen.daily else one.band
    if not value.known or central <= 0.0:
        return OPEN, float("nan")
    margin = value.value / central
    if SLACK * value.high < least:
        return NO, margin
    return (YES if value.value >= least else PART), margin


def _time(seen: WaterSeen, one: Mechanism) -> str:
    if seen.only_rain:
        return YES if one.name == "outside" else NO
    if not seen.phases:
        return OPEN
    # Water that comes with cooling off has a source of its own, whatever else there is.
    if OFF in seen.phases and OFF not in one.phases:
        return NO
    shared = seen.phases & one.phases
    return YES if shared == seen.phases else PART if shared else NO


def _place(seen: WaterSeen, one: Mechanism) -> str:
    if not seen.places:
        return OPEN
    shared = seen.places & one.places
    return YES if shared == seen.places else PART if shared else NO


def _verdict(case: WaterCase, one: Mechanism, amount: str, time: str, place: str) -> tuple[str, str, str]:
    """Verdict, its reason, and what speaks against the way."""
    if one.ruled_out:
        return CANNOT, one.ruled_out, BY_SIGHT
    if time == NO:
        return CANNOT, _wrong_time(case.seen, one), BY_TIME
    if place == NO:
        return CANNOT, f"it would not be seen on {_words(case.seen.places)}", BY_PLACE
    if amount == NO:
        return CANNOT, "too little", BY_AMOUNT
    if one.chance < LEAST_CHANCE:
        return CANNOT, f"it hardly acts here: {one.how}", BY_SIGHT
    return (*_not_against(one, amount, time, place), "")


def _not_against(one: Mechanism, amount: str, time: str, place: str) -> tuple[str, str]:
    """Verdict and reason of a way against which nothing speaks."""
    if not (amount != OPEN or time != OPEN or place != OPEN):
        return CANNOT_TELL, "neither amount nor time nor place of the water was noted"
    if one.confirmed:
        return CAN, one.confirmed
    if np.isfinite(one.chance) and one.chance >= LIKELY and one.name not in OUT_OF_DRAIN:
        return CAN, one.how
    if one.name in OUT_OF_DRAIN and place == YES:
        return CAN, one.how
    if one.name in OUT_OF_DRAIN:
        return CANNOT_TELL, one.cannot
    known = f"chance that it acts: {100 * one.chance:.0f} %; " if np.isfinite(one.chance) else ""
    return CANNOT_TELL, f"{known}{one.settled or one.settle}"


def _wrong_time(seen: WaterSeen, one: Mechanism) -> str:
    if seen.only_rain:
        return "it does not wait for rain"
    if OFF in seen.phases and OFF not in one.phases:
        return "water comes with cooling off, and this needs the cooling"
    return f"it does not run {_words(seen.phases)}"


def _words(those) -> str:
    ordered = sorted(those)
    return " and ".join([", ".join(ordered[:-1]), ordered[-1]] if len(ordered) > 1 else ordered)


def _explained(case: WaterCase, one: Mechanism, text: str) -> str:
    """Whether the low fan brings it about: it acts now and hardly would at full speed."""
    if text == CANNOT or not case.low_fan or not np.isfinite(one.at_full_speed):
        return ""
    acts = one.chance if np.isfinite(one.chance) else 0.0
    return FAN_LOW if acts >= LEAST_CHANCE and one.at_full_speed < max(LEAST_CHANCE, 0.35 * acts) else ""


def _not_alone(first: list[Weighed]) -> list[Weighed]:
    """What reaches only part of the times and places is not alone where another reaches all of them."""
    full = [one for one in first if one.text == CAN and one.whole]
    if not full:
        return first
    others = _words(one.mechanism.title for one in full)
    return [
        replace(
            one,
            text=CANNOT,
            why=f"{_missing(one)}; it may add to what reaches every time and place seen: {others}",
            beside=True,
            against=BY_PLACE if one.place == PART else BY_TIME,
        )
        if one.text != CANNOT and not one.whole and not one.mechanism.confirmed
        else one
        for one in first
    ]


def _missing(one: Weighed) -> str:
    parts = [name for name, state in (("times", one.time), ("places", one.place)) if state == PART]
    return f"it reaches only part of the {' and '.join(parts)}"


def _together(case: WaterCase, able: Sequence[Weighed]) -> Band:
    """Sum of those that can make it; what comes off the coil is no more than it made."""

    if len(able) == 1:
        (only,) = (one.mechanism for one in able)
        return only.day_band if case.seen.by_day else only.band

    def rate(one: Weighed) -> np.ndarray:
        mechanism = one.mechanism
        drawn = mechanism.per_day if case.seen.by_day else mechanism.rate
        return np.where(np.isfinite(drawn), drawn, np.nanmedian(drawn))

    zero = np.zeros(case.ensemble.size + 1)
    off_coil = sum((rate(one) for one in able if one.mechanism.name in COIL_WATER), zero)
    if case.seen.by_day:
        off_coil = np.minimum(off_coil, water_made(case) * case.cooling_share)
    other = sum((rate(one) for one in able if one.mechanism.name not in COIL_WATER), zero)
    return percentiles(off_coil + other)


def _dominant(weighed: Sequence[Weighed]) -> str | None:
    """The one that can bring everything and stands out: it alone was seen at work, or nothing else can."""
    able = [one for one in weighed if one.text == CAN and one.whole and not one.explained_by]
    able = able or [one for one in weighed if one.text == CAN and one.whole]
    seen_at_work = [one for one in able if one.mechanism.confirmed]
    if len(seen_at_work) == 1:
        return seen_at_work[0].mechanism.name
    rivals = [
        one
        for one in weighed
        if one.text == CANNOT_TELL
        and one.whole
        and one.mechanism.name not in OUT_OF_DRAIN
        and not one.mechanism.chance < 0.25
    ]
    return able[0].mechanism.name if len(able) == 1 and not rivals else None


def _unexplained(seen: WaterSeen, able: Sequence[Weighed], together: Band) -> tuple[str, ...]:
    """Places, times and amounts that none of those that can make it brings."""
    if not able:
        return ("no mechanism is shown to make this water",) if seen.places or seen.phases else ()
    left = []
    places = seen.places - frozenset().union(*(one.mechanism.places for one in able))
    if places:
        left.append(f"water on {_words(places)}")
    phases = seen.phases - frozenset().union(*(one.mechanism.phases for one in able))
    left += [f"water {phase}" for phase in PHASES if phase in phases]
    if seen.amount is not None and together.value < (seen.amount.low or seen.amount.value):
        left.append(AMOUNT)
    return tuple(left)
