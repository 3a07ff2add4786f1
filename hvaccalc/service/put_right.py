"""What became of each cause that was found: it stands, was mended, was read right, or came back.

A reading or a sign taken after the work wins; then ``mends`` of a work, or ``repaired`` of a leak; else the
cause stands. Untimed, a wrong reading of the visit of the work is as found and a right one as left. A right
reading while a temporary measure stands closes nothing, and a note never does: it raises a question.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from hvaccalc.diagnosis.air.fan_check_rows import CheckName, CheckState, Load
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.job.causes import OF_A_CIRCUIT, Cause, CauseAt
from hvaccalc.job.checks.notices import REPAIRS
from hvaccalc.practice.air import SAME_SPEED
from hvaccalc.service.cause_readers import OF_THE_CHARGE, READERS, Says, Seen
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.visits import TEMPORARY, WorkRef


class Ending(StrEnum):
    """What became of a cause."""

    STANDS = "stands"
    MENDED = "mended"
    READ_RIGHT = "read right"
    CAME_BACK = "came back"


OPEN = (Ending.STANDS, Ending.CAME_BACK)
"""Endings of a cause that still has to be repaired."""


@dataclass(frozen=True, slots=True)
class PutRight:
    """What became of one cause.

    Attributes
    ----------
    cause : Cause
    circuit : str or None
    found : Where
        Where it was found first; the visit of the repair where nothing but the repair names it.
    ending : Ending
    visit : int or None
        Of the repair or of the reading; None while it stands.
    works : tuple of WorkRef
        With ``mends``, by date.
    read : Where or None
        Condition that reads it right.
    again : Where or None
        Condition or visit that shows it after the repair.
    asked : tuple of WorkRef
        Repairs since that do not say what they mend, while it is open.
    held : Where or None
        Condition or visit that reads it right under a temporary measure, which closes nothing.
    unfound : tuple of WorkRef
        Works with ``mends`` at whose time nothing had shown the cause yet.
    """

    cause: Cause
    circuit: str | None
    found: Where
    ending: Ending
    visit: int | None
    works: tuple[WorkRef, ...] = ()
    read: Where | None = None
    again: Where | None = None
    asked: tuple[WorkRef, ...] = ()
    unfound: tuple[WorkRef, ...] = ()
    held: Where | None = None

    @property
    def at(self) -> CauseAt:
        """The cause with its circuit, as ``causes`` names it."""
        return CauseAt(self.cause, self.circuit)

    @property
    def open(self) -> bool:
        """Whether it still has to be repaired."""
        return self.ending in OPEN

    def as_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        return {
            "cause": str(self.at),
            "circuit": self.circuit,
            "found": _place(self.found),
            "ending": self.ending.value,
            "visit": self.visit,
            "read": _place(self.read),
            "again": _place(self.again),
        }


def _place(where: Where | None) -> dict[str, int | None] | None:
    if where is None:
        return None
    return {"visit": where.visit or None, "condition": where.condition or None}


BEFORE, WORK, AFTER = range(3)
"""Places of an event beside the work of its visit."""


@dataclass(frozen=True, slots=True)
class _Event:
    """A cause read wrong or right, or mended, in the order of time."""

    order: tuple[date, int, int]
    says: Says | None
    where: Where
    work: WorkRef | None = None


def put_right(of: Diagnosed) -> tuple[PutRight, ...]:
    """What became of each cause that was found or mended, in the order of `Cause` and of the circuits."""
    every = [
        CauseAt(cause, name)
        for cause in Cause
        for name in (of.job.circuit if cause in OF_A_CIRCUIT else (None,))
    ]
    ends = (_end(of, one, _events(of, one)) for one in every)
    return tuple(end for end in ends if end is not None)


def ended(ends: Iterable[PutRight], cause: Cause, circuit: str | None = None) -> PutRight | None:
    """What became of a cause; None where it was neither found nor mended."""
    return next((end for end in ends if end.at == CauseAt(cause, circuit)), None)


def _end(of: Diagnosed, one: CauseAt, events: list[_Event]) -> PutRight | None:
    """The events of a cause in their order; None where none found or mended it."""
    found: Where | None = None
    ending, visit, read, again = Ending.STANDS, None, None, None
    works: list[WorkRef] = []
    unfound: list[WorkRef] = []
    for event in events:
        if event.says is None:
            if event.work is not None and found is None and not _wired(of, one):
                unfound.append(event.work)
            found = found or event.where
            ending, visit, read, again = Ending.MENDED, event.where.visit or None, None, None
            works += [event.work] if event.work is not None else []
        elif event.says is Says.WRONG and (found is None or not found.visit):
            # Where it was read says more than a table that knows it.
            found = event.where
        elif event.says is Says.WRONG and ending in (Ending.MENDED, Ending.READ_RIGHT):
            ending, visit, read, again = Ending.CAME_BACK, None, None, event.where
        elif event.says is Says.RIGHT and found is not None and read is None:
            ending, visit, read = Ending.READ_RIGHT, event.where.visit, event.where
    if found is None:
        return None
    asked = _asked(of, one, found) if ending in OPEN else ()
    held = _held(of, one, found) if ending in OPEN else None
    return PutRight(
        one.cause, one.circuit, found, ending, visit, tuple(works), read, again, asked, tuple(unfound), held
    )


def _held(of: Diagnosed, one: CauseAt, found: Where) -> Where | None:
    """The latest place that reads a cause right while a temporary measure stands; None without."""
    places = [
        where.at(one.circuit or "") for where in of.visits.places() if of.visits.measure_stands(where.visit)
    ]
    since = [where for where in places if of.visits.turn(where.visit) >= of.visits.turn(found.visit)]
    return next((where for where in reversed(since) if _says(of, one, where) is Says.RIGHT), None)


def _wired(of: Diagnosed, one: CauseAt) -> bool:
    """Whether the wiring table shows the cause, which knows no day."""
    calls = of.calls
    if calls is None:
        return False
    if one.cause is Cause.BACK_FEED:
        return bool(calls.back_feeds)
    without_fan = {combination.name.without_fan for combination in calls.combinations}
    return one.cause in {
        Cause.COOLING_WITHOUT_FAN if stands else Cause.FAN_STUCK_LOW for stands in without_fan
    }


def _asked(of: Diagnosed, one: CauseAt, found: Where) -> tuple[WorkRef, ...]:
    """Repairs on or after the visit of the finding that do not say what they mend."""
    return tuple(
        ref
        for ref, work in of.visits.works()
        if work.kind in REPAIRS
        and not work.mends
        and of.visits.turn(ref.visit) >= of.visits.turn(found.visit)
        and (work.circuit in (None, one.circuit) or one.circuit is None)
    )


def _events(of: Diagnosed, one: CauseAt) -> list[_Event]:
    """Everything that speaks of a cause, by time; one statement of each kind beside the work of a visit."""
    mends = [
        (ref, work)
        for ref, work in of.visits.works()
        if work.kind != TEMPORARY and one in of.job.mended(work)
    ]
    events = [_Event((*of.visits.turn(ref.visit), WORK), None, _at(ref.visit, one), ref) for ref, _ in mends]
    events += _leak(of, one)
    worked = {visit for _, visit, _ in (event.order for event in events)}
    times = {ref.visit: work.time for ref, work in mends}
    seen: dict[tuple[date, int, int], list[_Event]] = {}
    for where in of.visits.places():
        place = where.at(one.circuit or "")
        says = _says(of, one, place)
        if says is Says.NOTHING or (says is Says.RIGHT and of.visits.measure_stands(where.visit)):
            continue
        side = BEFORE
        if where.visit in worked:
            read, worked_at = of.visits.time_of(where), times.get(where.visit)
            if read is not None and worked_at is not None:
                side = AFTER if read > worked_at else BEFORE
            else:
                side = AFTER if says is Says.RIGHT else BEFORE
        order = (*of.visits.turn(where.visit), side)
        seen.setdefault(order, []).append(_Event(order, says, place))
    for group in seen.values():
        wrong = next((event for event in group if event.says is Says.WRONG), None)
        events.append(wrong or group[-1])
        # With no work between them a right reading does not take a wrong one of the same visit back, but
        # the charge is judged as it was read last (`Visits.charge`).
        if wrong and group[-1].says is Says.RIGHT and one.cause in OF_THE_CHARGE:
            events += group[-1:] if of.visits.timed(event.where for event in group) else []
    return sorted(events, key=lambda event: event.order)


def _says(of: Diagnosed, one: CauseAt, place: Where) -> Says:
    """What a place says of a cause, by its own reader, and by water where the budget shows it at work."""
    here = Seen(of, place)
    says = READERS[one.cause](here)
    if says is Says.NOTHING and here.wet and one.cause in _makes_water(of):
        return Says.WRONG
    return says


def _makes_water(of: Diagnosed) -> frozenset[Cause]:
    """Causes behind the ways that can make the water as found, of ways that one cause stands behind."""
    budget = of.water
    if budget is None:
        return frozenset()
    ways = (budget.dominant,) if budget.dominant else budget.those(Ability.CAN)
    return frozenset(cause for way in ways if (cause := way.cause) is not None)


def _leak(of: Diagnosed, one: CauseAt) -> list[_Event]:
    """A leak that the circuit's table knows, and its repair."""
    if one.cause is not Cause.LOW_CHARGE:
        return []
    leak = of.job.circuit[one.circuit or ""].leak
    if not leak.given:
        return []
    events = [_Event((leak.date or date.min, 0, BEFORE), Says.WRONG, _at(0, one))]
    if leak.repaired is not None:
        same_day = [v for v in of.visits.order if of.visits.dates[v - 1] == leak.repaired]
        visit = same_day[-1] if same_day else 0
        events.append(_Event((leak.repaired, visit, WORK), None, _at(visit, one)))
    return events


def _at(visit: int, one: CauseAt) -> Where:
    return Where(visit, 0, one.circuit or "")


def ice_read_right(of: Diagnosed, visit: int) -> ConditionResult | None:
    """A later visit with every stage on and the coil above freezing, none after it below; None without.

    Ice has several causes, so no single repair closes it: a reading does.
    """
    later = of.visits.later(visit)
    if any(result.freeze is not None and result.freeze.likely for result in later):
        return None
    return next(
        (
            result
            for result in later
            if of.visits.full_call(result) and result.freeze is not None and result.freeze.clear
        ),
        None,
    )


CAUSES_OF_CHECKS = {
    CheckName.TRAP: Cause.TRAP,
    CheckName.COIL_FACE: Cause.CARRY_OVER,
    CheckName.BELT: Cause.BELT,
    CheckName.BELT_WRAP: Cause.BELT,
    CheckName.FULL_SPEED: Cause.BELT,
}
"""Checks of the fan's speed that the repair of a cause answers."""


def motor_read_right(of: Diagnosed, overloaded: ConditionResult) -> ConditionResult | None:
    """The latest later visit that read the fan's motor as then called, or as fast, if within its plate."""

    calls = of.draws.condition(overloaded.where).calls
    speed = overloaded.motor.ratio if overloaded.motor is not None else None
    told = [
        (result, result.motor)
        for result in of.visits.later(overloaded.where.visit)
        if result.motor is not None
        and (
            of.draws.condition(result.where).calls == calls
            or (result.motor.ratio or 0.0) >= (speed or 0.0) - SAME_SPEED
        )
    ]
    return told[-1][0] if told and told[-1][1].text is Load.WITHIN else None


def check_read_right(of: Diagnosed, name: str, visit: int) -> ConditionResult | None:
    """The latest condition after a visit that made a check of the fan, where it passes it; None elsewhere."""
    made = [
        (result, check.state)
        for result in of.visits.later(visit)
        if result.speed is not None
        for check in result.speed.checks
        if check.name == name and (check.fails or check.state is CheckState.PASS)
    ]
    return made[-1][0] if made and made[-1][1] is CheckState.PASS else None
