"""The order in which things happened: visits by date, conditions by time, work before or after a reading."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum
from functools import cached_property

from hvaccalc.diagnosis.calls import measures
from hvaccalc.diagnosis.calls.measures import Doubtful
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import obstructions
from hvaccalc.job.causes import CauseAt
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Signs, Work
from hvaccalc.reason import Reason

TEMPORARY = "temporary measure"

MOST_NAMED = 4
"""Conditions named in one sentence."""


class Place(StrEnum):
    """How a condition is named in a sentence."""

    LABEL = "label"
    LABEL_OF_VISIT = "label of a visit"
    ANYWHERE = "any condition"
    MORE = "some more"


@dataclass(frozen=True, slots=True, order=True)
class WorkRef:
    """One piece of work: its visit and its place in it, both from 1."""

    visit: int
    number: int


@dataclass(frozen=True)
class Visits:
    """The visits of a job in the order in which they were made.

    Attributes
    ----------
    draws : Draws
    results : tuple of ConditionResult
        In the file's order.
    """

    draws: Draws
    results: tuple[ConditionResult, ...]

    @property
    def job(self) -> Job:
        """The job."""
        return self.draws.job

    @cached_property
    def read(self) -> bool:
        """Whether anything was read on any of them: air, a circuit, a voltage."""
        conditions = [condition for visit in self.job.visit for condition in visit.condition]
        circuits = [circuit for one in conditions for circuit in one.circuit.values()]
        return any(one.air.given or one.voltage for one in conditions) or any(c.given for c in circuits)

    @cached_property
    def dates(self) -> list[date]:
        """Date of each visit; one without stands with the one typed before it."""
        known, last = [], date.min
        for visit in self.job.visit:
            last = visit.date or last
            known.append(last)
        return known

    def turn(self, visit: int) -> tuple[date, int]:
        """What orders visits: their dates, then the file; 0, the job itself, comes before all."""
        return (self.dates[visit - 1], visit) if visit else (date.min, 0)

    @cached_property
    def order(self) -> tuple[int, ...]:
        """Numbers of the visits, by date."""
        return tuple(sorted(range(1, len(self.job.visit) + 1), key=self.turn))

    @cached_property
    def by_time(self) -> list[ConditionResult]:
        """Conditions by date and time; one without a time stands with the one typed before it."""
        last: dict[int, time] = {}
        order: dict[Where, tuple[tuple[date, int], time]] = {}
        for result in self.results:
            where = result.where
            typed = self.draws.condition(where).time
            last[where.visit] = typed or last.get(where.visit, time.min)
            order[where] = self.turn(where.visit), last[where.visit]
        return sorted(self.results, key=lambda r: order[r.where])

    def time_of(self, where: Where) -> time | None:
        """Time of a condition as typed; None where none was, and for the visit as a whole."""
        return self.draws.condition(where).time if where.condition else None

    def timed(self, places: Iterable[Where]) -> bool:
        """Whether each of some conditions has its time typed."""
        return all(self.time_of(where) is not None for where in places)

    def charge(self, circuit: str) -> CircuitCharge | None:
        """The charge that counts for a circuit: of the latest visit with a verdict, else with "cannot tell".

        Within a visit the reading timed last. Where a time is missing the most severe one, or the least
        where a work of that visit mends what it shows: wrong as found, right as left. None unread.
        """
        judged = [r.charges[circuit] for r in self.by_time if circuit in r.charges]
        told = [one for one in judged if one.verdict.row.settled] or judged
        those = [one for one in told if one.state.where.visit == told[-1].state.where.visit]
        if not those or self.timed(one.state.where for one in those):
            return those[-1] if those else None
        found = {CauseAt(cause, circuit) for one in those if (cause := one.verdict.row.cause) is not None}
        works = self.job.visit[those[-1].state.where.visit - 1].work
        mends = any(work.kind != TEMPORARY and found & set(self.job.mended(work)) for work in works)
        return (min if mends else max)(reversed(those), key=lambda one: one.severity.rank)

    def result(self, where: Where) -> ConditionResult | None:
        """Result of a condition; None for a visit as a whole."""
        return next((r for r in self.results if r.where == where.at("")), None)

    def name(self, result: ConditionResult) -> Reason:
        """A condition by its label, with its visit where several visits read something."""
        if sum(bool(visit.condition) for visit in self.job.visit) < 2:
            return Reason(Place.LABEL, {"label": result.label})
        visit = f"visit {result.where.visit}"
        day = self.job.visit[result.where.visit - 1].date or visit
        return Reason(Place.LABEL_OF_VISIT, {"visit": visit, "day": day, "label": result.label})

    def names(self, results: Sequence[ConditionResult]) -> tuple[Reason, ...]:
        """Several conditions by name, the first few of many."""
        if len(results) == len(self.results) > 2:
            return (Reason(Place.ANYWHERE),)
        left = len(results) - MOST_NAMED
        more = (Reason(Place.MORE, {"count": str(left)}),) if left > 0 else ()
        return (*(self.name(result) for result in results[:MOST_NAMED]), *more)

    def later(self, visit: int) -> list[ConditionResult]:
        """Conditions of later visits, by time."""
        return [r for r in self.by_time if self.turn(r.where.visit) > self.turn(visit)]

    def works(self) -> Iterator[tuple[WorkRef, Work]]:
        """All work, visit by visit in the order of dates."""
        for visit in self.order:
            for number, work in enumerate(self.job.visit[visit - 1].work, 1):
                yield WorkRef(visit, number), work

    def work(self, ref: WorkRef) -> Work:
        """A piece of work by its place."""
        return self.job.visit[ref.visit - 1].work[ref.number - 1]

    def full_call(self, result: ConditionResult) -> bool:
        """Whether every stage of the unit ran in a condition."""
        highest = max(self.draws.stage(name) for name in self.job.circuit)
        return (compressors.stage_in_use(self.draws, result.where) or 0) >= highest

    def heats(self, result: ConditionResult) -> bool:
        """Whether a call heats or defrosts in a condition."""
        return compressors.heating(self.draws, result.where)

    def obstructions(self, where: Where) -> tuple[str, ...]:
        """What was seen to hold the air back in a condition, in words."""
        return obstructions(self.draws, where)

    def doubts(self, work: Work) -> tuple[Doubtful, ...]:
        """What makes a piece of work doubtful, by the latest dated visit."""
        return tuple(measures.of_work(work, measures.last_date(self.job)))

    def measure_stands(self, visit: int) -> bool:
        """Whether a temporary measure taken on this visit or before is not removed by its date."""
        today = self.dates[visit - 1]
        return any(
            work.kind == TEMPORARY
            and self.turn(ref.visit) <= self.turn(visit)
            and not (work.removed and work.removed <= today)
            for ref, work in self.works()
        )

    def standing(self) -> Iterator[tuple[WorkRef, Work]]:
        """Temporary measures that nobody noted as removed."""
        return ((ref, work) for ref, work in self.works() if work.kind == TEMPORARY and not work.removed)

    def signs(self, where: Where) -> Signs:
        """Signs of a condition, or of a visit as a whole."""
        visit = self.job.visit[where.visit - 1]
        return visit.condition[where.condition - 1].signs if where.condition else visit.signs

    def places(self) -> Iterable[Where]:
        """Every visit and every condition of it, in the order in which they were seen."""
        by_visit: dict[int, list[Where]] = {visit: [] for visit in self.order}
        for result in self.by_time:
            by_visit[result.where.visit].append(result.where)
        for visit, conditions in by_visit.items():
            yield Where(visit)
            yield from conditions
