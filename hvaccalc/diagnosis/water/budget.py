"""The water budget: which way can bring this much water, at that time, in that place.

Each mechanism is held against amount, time and place as seen. One that reaches only a part where another
reaches all cannot make it by itself, but is not excluded; the sum of those that can is told, and what none of
them explains.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.readings.water_seen import OFF, PHASES, WaterSeen, of_the_water
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.diagnosis.water.drain_check import (
    DrainBalance,
    DrainCheck,
    TrapCheck,
    drain_balances,
    drain_check,
    trap_check,
)
from hvaccalc.diagnosis.water.mechanism import (
    TO_SETTLE,
    Ability,
    Against,
    Guard,
    Left,
    Match,
    Mechanism,
    Met,
    Why,
    percentiles,
    water_made,
)
from hvaccalc.diagnosis.water.pan_filling import PanFilling, overflow_guard, pan_filling
from hvaccalc.diagnosis.water.water_case import WaterCase, water_case
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.ensemble import Band
from hvaccalc.job.causes import Cause, Way
from hvaccalc.practice.statements import HARDLY, LIKELY, SCREENING_SLACK
from hvaccalc.practice.water import GONE_AT_FULL_SPEED
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class Weighed:
    """One mechanism against what was seen.

    Attributes
    ----------
    mechanism : Mechanism
    text : Ability
        Can make it, cannot tell or cannot; the last also where it cannot by itself.
    amount, time, place : Match
        An amount in part: only the upper part of its band reaches what was seen; a time later than seen: the
        pan was full sooner than this fills it from empty.
    margin : float
        Its median over the central amount seen; NaN where none was.
    why : Reason
        What decided.
    explained_by : Cause or None
        What brings it about, such as the low fan; None where nothing does.
    beside : bool
        Whether it cannot make all that was seen by itself, but may add to what another way brings.
    against : Against or None
        What speaks against it; None where nothing does.
    """

    mechanism: Mechanism
    text: Ability
    amount: Match
    time: Match
    place: Match
    margin: float
    why: Reason
    explained_by: Cause | None = None
    beside: bool = False
    against: Against | None = None

    @property
    def way(self) -> Way:
        """Which way it is."""
        return self.mechanism.way

    @property
    def said(self) -> Ability:
        """The verdict as it is shown: what may add to another way is not one that is excluded."""
        return Ability.NOT_ALONE if self.beside else self.text

    @property
    def to_settle(self) -> bool:
        """Whether a look at it would decide."""
        return self.why.code in TO_SETTLE

    @property
    def whole(self) -> bool:
        """Whether it reaches every time and place seen."""
        return Match.PART not in (self.time, self.place) and Match.NO not in (
            self.amount,
            self.time,
            self.place,
        )


@dataclass(frozen=True, slots=True)
class WaterBudget:
    """The budget of a job.

    Attributes
    ----------
    case : WaterCase
    seen : WaterSeen
    weighed : dict of Way to Weighed
        In the order of `Way`.
    together : Band
        Sum of those that can make it, 5 / 50 / 95 %, in the sense of the amount seen; where none was, of a
        day [kg/s].
    dominant : Way or None
        The one that stands out.
    unexplained : tuple of Reason
        What none of those that can make it explains.
    drain : DrainCheck
    trap : TrapCheck
    guard : Guard
        What stops the cooling, or catches the water, before the pan runs over.
    filling : PanFilling or None
        None where no readings of visits stand behind the case.
    balances : tuple of DrainBalance
    """

    case: WaterCase
    seen: WaterSeen
    weighed: dict[Way, Weighed]
    together: Band
    dominant: Way | None
    unexplained: tuple[Reason, ...]
    drain: DrainCheck
    trap: TrapCheck
    guard: Guard
    filling: PanFilling | None = None
    balances: tuple[DrainBalance, ...] = ()

    def those(self, text: Ability) -> tuple[Way, ...]:
        """Ways with a verdict."""
        return tuple(way for way, one in self.weighed.items() if one.text is text)

    def severity(self, way: Way) -> Severity:
        """The way that stands out calls for action, another that can make it is watched."""
        if way is self.dominant:
            return Severity.ACT
        return Severity.WATCH if self.weighed[way].text is Ability.CAN else Severity.NOTE

    @property
    def guard_severity(self) -> Severity:
        """A guard that nobody noted is watched where water was noted."""
        unasked = self.guard is Guard.NOT_NOTED and not self.matched
        return Severity.NOTE if unasked else self.guard.severity

    @property
    def unexplained_severity(self) -> Severity:
        """What no way explains is watched."""
        return Severity.WATCH if self.unexplained else Severity.NOTE

    @property
    def ruled_out(self) -> tuple[Way, ...]:
        """Ways that cannot have a part in it."""
        # A trap that fails its own check is never cleared, whatever was seen on the day.
        failed = (Way.TRAP,) if self.trap.verdict is Met.NOT_MET else ()
        unable = self.those(Ability.CANNOT)
        return tuple(way for way in unable if not self.weighed[way].beside and way not in failed)

    @property
    def beside(self) -> tuple[Way, ...]:
        """Ways that cannot make it by themselves, but may add to it."""
        return tuple(way for way in self.those(Ability.CANNOT) if self.weighed[way].beside)

    @property
    def open(self) -> tuple[Way, ...]:
        """Ways that are still open, the likeliest first."""
        left = [
            one for way in self.those(Ability.CANNOT_TELL) if not (one := self.weighed[way]).mechanism.looked
        ]
        return tuple(one.way for one in sorted(left, key=_odds) if one.mechanism.settled is None)

    @property
    def nothing_in_the_unit(self) -> bool:
        """Whether everything inside the unit is ruled out, and what lies outside is not."""
        inside = [one for way, one in self.weighed.items() if WAYS[way].inside]
        beyond = [one for way, one in self.weighed.items() if not WAYS[way].inside]
        return all(one.said is Ability.CANNOT for one in inside) and any(
            one.text is not Ability.CANNOT for one in beyond
        )

    @property
    def all_at_work(self) -> bool:
        """Whether several ways were each seen at work and nothing is left unexplained."""
        able = [self.weighed[way].mechanism for way in self.those(Ability.CAN)]
        return len(able) > 1 and all(one.confirmed for one in able) and not self.unexplained

    @property
    def matched(self) -> bool:
        """Whether anything was said of the water that can be matched."""
        seen = self.seen
        return bool(seen.amount is not None or seen.phases or seen.places or seen.wrong or seen.only_rain)


def water_budget(
    draws: Draws, results: Sequence[ConditionResult], outlook: Forecast | None
) -> WaterBudget | None:
    """The budget of a job; None where it says nothing of any water and looks at neither pan nor drain."""
    job = draws.job
    told = job.job.water_seen or job.job.water_when or job.unit.drain.model_fields_set
    signs = [v.signs for v in job.visit] + [c.signs for v in job.visit for c in v.condition]
    if not (told or any(of_the_water(one) for one in signs)):
        return None
    case = water_case(draws, results, outlook)
    return weigh(case, pan_filling(draws, case), drain_balances(draws, results))


def weigh(
    case: WaterCase, filling: PanFilling | None = None, balances: tuple[DrainBalance, ...] = ()
) -> WaterBudget:
    """The budget of a case, with what was read of its pan's filling and of its drain."""
    first = [_weighed(case, row.compute(case), filling) for row in WAYS.values()]
    weighed = {one.way: one for one in _not_alone(first)}
    able = [one for one in weighed.values() if one.text is Ability.CAN]
    together = _together(case, able)
    return WaterBudget(
        case=case,
        seen=case.seen,
        weighed=weighed,
        together=together,
        dominant=_dominant(list(weighed.values())),
        unexplained=_unexplained(case.seen, able, together),
        drain=drain_check(case),
        trap=trap_check(case),
        guard=overflow_guard(case.job, case.seen),
        filling=filling,
        balances=balances,
    )


def _weighed(case: WaterCase, one: Mechanism, filling: PanFilling | None) -> Weighed:
    seen = case.seen
    amount, margin = _amount(seen, one)
    time, place = _time(seen, one), _place(seen, one)
    text, why, against = _verdict(case, one, amount, time, place)
    sooner = filling is not None and filling.late and not one.under_pressure
    if one.way is Way.TRAP and time is Match.YES and sooner:
        time = Match.LATE
    return Weighed(one, text, amount, time, place, margin, why, _explained(case, one, text), against=against)


def _odds(one: Weighed) -> tuple[bool, float, bool, int]:
    """Order of what is open: what reaches every time and place, likely acts, brings the amount, is common."""
    chance = one.mechanism.chance
    # Readings that hardly leave it do not put it first for another day's sake.
    known = float(np.fmax(chance, one.mechanism.another_day)) if np.isfinite(chance) else HARDLY
    return not one.whole, -known, one.amount is Match.PART, WAYS[one.way].rank


def _amount(seen: WaterSeen, one: Mechanism) -> tuple[Match, float]:
    """Whether it can bring the amount, and by which factor its median passes it."""
    if seen.amount is None:
        return Match.OPEN, float("nan")
    central, least = seen.amount.value, seen.amount.low or seen.amount.value
    value = one.day_band if seen.daily else one.band
    if not value.known or central <= 0.0:
        return Match.OPEN, float("nan")
    margin = value.value / central
    if SCREENING_SLACK * value.high < least:
        return Match.NO, margin
    return (Match.YES if value.value >= least else Match.PART), margin


def _time(seen: WaterSeen, one: Mechanism) -> Match:
    if seen.only_rain:
        return Match.NO if WAYS[one.way].inside else Match.YES
    if not seen.phases:
        return Match.OPEN
    # Water that comes with cooling off has a source of its own, whatever else there is.
    if OFF in seen.phases and OFF not in one.phases:
        return Match.NO
    return _shared(seen.phases, one.phases)


def _place(seen: WaterSeen, one: Mechanism) -> Match:
    return _shared(seen.places, one.places) if seen.places else Match.OPEN


def _shared(seen: frozenset[str], reached: frozenset[str]) -> Match:
    shared = seen & reached
    return Match.YES if shared == seen else Match.PART if shared else Match.NO


def _verdict(
    case: WaterCase, one: Mechanism, amount: Match, time: Match, place: Match
) -> tuple[Ability, Reason, Against | None]:
    """Verdict, its reason, and what speaks against the way."""
    if one.ruled_out is not None:
        return Ability.CANNOT, one.ruled_out, Against.SIGHT
    if time is Match.NO:
        return Ability.CANNOT, _wrong_time(case.seen, one), Against.TIME
    if place is Match.NO:
        places = tuple(sorted(case.seen.places))
        return Ability.CANNOT, Reason(Why.ELSEWHERE, {"places": places}), Against.PLACE
    if amount is Match.NO:
        return Ability.CANNOT, Reason(Why.TOO_LITTLE), Against.AMOUNT
    if one.chance < HARDLY:
        return Ability.CANNOT, Reason(Why.HARDLY_ACTS, {"how": one.how}), Against.SIGHT
    return (*_not_against(one, amount, time, place), None)


def _not_against(one: Mechanism, amount: Match, time: Match, place: Match) -> tuple[Ability, Reason]:
    """Verdict and reason of a way against which nothing speaks."""
    if amount is time is place is Match.OPEN:
        return Ability.CANNOT_TELL, Reason(Why.NOTHING_NOTED)
    if one.confirmed is not None:
        return Ability.CAN, one.confirmed
    if WAYS[one.way].by_the_drain:
        only_there = place is Match.YES
        return (Ability.CAN, one.how) if only_there else (Ability.CANNOT_TELL, Reason(Why.RUNS_OFF))
    if np.isfinite(one.chance) and one.chance >= LIKELY:
        return Ability.CAN, one.how
    return Ability.CANNOT_TELL, _open(one)


def _open(one: Mechanism) -> Reason:
    """Why a way is open: its chance, and what a forecast has of it on another day."""
    if not np.isfinite(one.chance):
        known = np.isfinite(one.another_day)
        return Reason(Why.ANOTHER_DAY, {"mild": one.another_day}) if known else Reason(Why.NOTHING_TELLS)
    if np.isfinite(one.another_day):
        return Reason(Why.CHANCE_READ, {"chance": one.chance, "mild": one.another_day})
    return Reason(Why.CHANCE, {"chance": one.chance})


def _wrong_time(seen: WaterSeen, one: Mechanism) -> Reason:
    if seen.only_rain:
        return Reason(Why.NEEDS_NO_RAIN)
    if OFF in seen.phases and OFF not in one.phases:
        return Reason(Why.NEEDS_COOLING)
    return Reason(Why.NOT_THEN, {"phases": tuple(sorted(seen.phases))})


def _explained(case: WaterCase, one: Mechanism, text: Ability) -> Cause | None:
    """Whether the low fan brings it about: it acts now and hardly would at full speed."""
    if text is Ability.CANNOT or not case.low_fan or not np.isfinite(one.at_full_speed):
        return None
    acts = one.chance if np.isfinite(one.chance) else 0.0
    low = acts >= HARDLY and one.at_full_speed < max(HARDLY, GONE_AT_FULL_SPEED * acts)
    return Cause.FAN_STUCK_LOW if low else None


def _not_alone(first: list[Weighed]) -> list[Weighed]:
    """What reaches only part of the times and places is not alone where another reaches all of them."""
    full = tuple(one.way for one in first if one.text is Ability.CAN and one.whole)
    if not full:
        return first
    return [
        replace(
            one,
            text=Ability.CANNOT,
            why=_missing(one, full),
            beside=True,
            against=Against.PLACE if one.place is Match.PART else Against.TIME,
        )
        if one.text is not Ability.CANNOT and not one.whole and one.mechanism.confirmed is None
        else one
        for one in first
    ]


def _missing(one: Weighed, others: tuple[Way, ...]) -> Reason:
    if one.place is not Match.PART:
        return Reason(Why.PART_OF_TIMES, {"others": others})
    both = one.time is Match.PART
    return Reason(Why.PART_OF_BOTH if both else Why.PART_OF_PLACES, {"others": others})


def _together(case: WaterCase, able: Sequence[Weighed]) -> Band:
    """Sum of those that can make it; what comes off the coil is no more than it made."""

    if len(able) == 1:
        (only,) = (one.mechanism for one in able)
        return only.day_band if case.seen.by_day else only.band

    def rate(one: Weighed) -> Array:
        mechanism = one.mechanism
        drawn = mechanism.per_day if case.seen.by_day else mechanism.rate
        return np.where(np.isfinite(drawn), drawn, np.nanmedian(drawn))

    zero = np.zeros(case.ensemble.size + 1)
    off_coil = sum((rate(one) for one in able if WAYS[one.way].off_coil), zero)
    if case.seen.by_day:
        off_coil = np.minimum(off_coil, water_made(case) * case.cooling_share)
    other = sum((rate(one) for one in able if not WAYS[one.way].off_coil), zero)
    return percentiles(off_coil + other)


def _dominant(weighed: Sequence[Weighed]) -> Way | None:
    """The one that can bring everything and stands out: it alone was seen at work, or nothing else can."""
    able = [one for one in weighed if one.text is Ability.CAN and one.whole and one.explained_by is None]
    able = able or [one for one in weighed if one.text is Ability.CAN and one.whole]
    seen_at_work = [one for one in able if one.mechanism.confirmed]
    if len(seen_at_work) == 1:
        return seen_at_work[0].way
    rivals = [
        one
        for one in weighed
        if one.text is Ability.CANNOT_TELL
        and one.whole
        and not WAYS[one.way].by_the_drain
        and not one.mechanism.chance < 0.25
    ]
    return able[0].way if len(able) == 1 and not rivals else None


def _unexplained(seen: WaterSeen, able: Sequence[Weighed], together: Band) -> tuple[Reason, ...]:
    """Places, times and amounts that none of those that can make it brings."""
    if not able:
        return (Reason(Left.NO_WAY),) if seen.places or seen.phases else ()
    left = []
    places = seen.places - frozenset().union(*(one.mechanism.places for one in able))
    if places:
        left.append(Reason(Left.PLACES, {"places": tuple(sorted(places))}))
    phases = seen.phases - frozenset().union(*(one.mechanism.phases for one in able))
    left += [Reason(Left.PHASE, {"phase": phase}) for phase in PHASES if phase in phases]
    if seen.amount is not None and together.value < (seen.amount.low or seen.amount.value):
        left.append(Reason(Left.AMOUNT))
    return tuple(left)
