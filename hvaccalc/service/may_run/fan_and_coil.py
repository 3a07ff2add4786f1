"""What fan and coil speak against: a fan off its design, ice and freezing, missing air, an overloaded motor.

What to do about each is common practice, without a source, where none is named.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from hvaccalc.call import Mode
from hvaccalc.diagnosis.air.fan_check_rows import ON_A_DRIVE, Check, CheckName, CheckState, Load
from hvaccalc.diagnosis.air.mixed_air import Outdoors
from hvaccalc.diagnosis.calls import measures
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.signs import may_hold_air
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.job.causes import CAUSES_OF_WAYS, Cause, Way
from hvaccalc.job.visit_tables import Work
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.reason import Reason
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.may_run.concern import Action, Asks, Case, Concern, Do, MeasureName, Why
from hvaccalc.service.may_run.running import FAN, HEAT_PUMP, Running, cools_slow, heats_slow
from hvaccalc.service.put_right import (
    CAUSES_OF_CHECKS,
    Ending,
    PutRight,
    check_read_right,
    ice_read_right,
    motor_read_right,
)


def fan_and_coil(case: Case) -> Iterator[Concern]:
    """All of them."""
    yield from _standing_fan(case)
    yield from _low_fan(case)
    yield from _heating(case)
    yield from _ice(case)
    yield from _freezing(case)
    yield from _short_of_air(case)
    yield from _outdoor_air(case)
    yield from _wheel(case)
    yield from _motor(case)
    yield from _speed_checks(case)


def _speed_read(result: ConditionResult) -> bool:
    ratio = result.airflow.speed_ratio if result.airflow is not None else None
    return result.staging is not None or (ratio is not None and ratio.basis == "measured")


def _standing_fan(case: Case) -> Iterator[Concern]:
    """A fan that stands: no stage of that mode until it runs."""
    for mode in (Mode.COOL, Mode.HEAT):
        for running in case.those(mode):
            result = case.last(running, _speed_read)
            if result is None or result.staging is None or not result.staging.text.without_fan:
                continue
            why = _fan_reads(case, result)
            if case.mended(Cause.COOLING_WITHOUT_FAN):
                proof = (Action(Reason(Do.PROVE_FAN)),)
                yield Concern(case.those(mode), Asks.PROOF, Reason(Why.FAN_MENDED), proof)
            elif not case.closed(Cause.COOLING_WITHOUT_FAN):
                yield Concern(case.those(mode), Asks.OFF, why, (Action(Reason(Do.FAN_STANDS)),))


def _fan_reads(case: Case, result: ConditionResult) -> Reason:
    fault = result.staging
    assert fault is not None
    place = case.of.visits.name(result)
    return Reason(Why.FAN, {"fault": str(fault.text), "found": fault.found, "place": place})


def _low_fan(case: Case) -> Iterator[Concern]:
    """A fan that does not rise with the stages: the measure that stands, else the second stage locked out."""
    full = case.full_cooling
    if case.mended(Cause.FAN_STUCK_LOW):
        yield Concern((full,), Asks.STEPS, Reason(Why.FAN_MENDED), (Action(Reason(Do.PROVE_FAN)),))
    if not case.open(Cause.FAN_STUCK_LOW) or full.less is None:
        return
    result = case.last(full, lambda result: result.staging is not None)
    why = _fan_reads(case, result) if result is not None else Reason(Why.FAN_OPEN)
    if (kept := kept_measure(case)) is not None:
        expires, place = kept.work.expires, case.of.visits.name(kept.works)
        name = MeasureName.JUMPER if case.of.job.wiring.temporary else MeasureName.OTHER
        keep = Reason(Do.KEEP_MEASURE, {"measure": name, "expires": expires or "", "place": place})
        yield Concern((full,), Asks.STEPS, Reason(Why.MEASURE, {"place": place}), (Action(keep),))
    elif not cools_slow(case.of) and heats_slow(case.of):
        if case.last(full, _speed_read) is None:
            yield Concern((full,), Asks.LESS, why, (Action(Reason(Do.READ_FULL_COOLING)),))
    else:
        yield from lock_out(case, why)


def lock_out(case: Case, why: Reason) -> Iterator[Concern]:
    """The second stage locked out; the first stage left on where it was read to keep above freezing."""
    full, first = case.full_cooling, case.cooling[0]
    if (coldest := _cold(case, first)) is not None and not _repaired_since(case, coldest):
        # The first stage alone was read to freeze: nothing is left to run on.
        yield Concern(case.cooling, Asks.OFF, why, (Action(Reason(Do.KEEP_OFF_COLD)),))
        return
    alone = first_stage_safe(case.of)
    if alone is not None:
        safe = Reason(Do.LOCK_OUT, {"place": case.of.visits.name(alone)})
        yield Concern((full,), Asks.LESS, why, (Action(safe),))
        return
    unread = (Action(Reason(Do.LOCK_OUT_UNREAD)),)
    yield Concern((full,), Asks.LESS, why, unread)
    yield Concern((first,), Asks.STEPS, why, unread)


def first_stage_safe(of: Diagnosed) -> ConditionResult | None:
    """A condition with part of the cooling at the low fan in which freezing is unlikely."""
    for result in of.conditions:
        ratio = result.airflow.speed_ratio if result.airflow else None
        low = ratio is not None and ratio.draws[0] < FULL_SPEED
        clear = result.freeze is not None and result.freeze.clear
        if low and clear and not of.visits.full_call(result):
            return result
    return None


@dataclass(frozen=True)
class Kept:
    """A temporary measure of the fan that stays until its end.

    Attributes
    ----------
    work : Work
    works : ConditionResult
        Where it was read to work last.
    """

    work: Work
    works: ConditionResult


def kept_measure(case: Case) -> Kept | None:
    """A temporary measure that still stands, within its end, and was read to work; None without."""
    of = case.of
    latest = measures.last_date(of.job)
    for ref, work in reversed(list(of.visits.standing())):
        if work.expires is None or (latest is not None and latest > work.expires):
            continue
        works = [result for result in of.visits.by_time if _works_since(of, result, ref.visit)]
        if works:
            return Kept(work, works[-1])
    return None


def _works_since(of: Diagnosed, result: ConditionResult, visit: int) -> bool:
    """Whether a condition of that visit or a later one ran every stage, the fan following, without frost."""
    here = of.visits.turn(result.where.visit) >= of.visits.turn(visit)
    clear = result.freeze is not None and result.freeze.clear
    return here and result.staging is None and of.visits.full_call(result) and clear


def _heating(case: Case) -> Iterator[Concern]:
    """A heat pump's heating beside a fan that is low, or that was read right in cooling alone."""
    heats = case.those(Mode.HEAT, Mode.DEFROST)
    if case.of.job.unit.kind != HEAT_PUMP or not heats:
        return
    unread = [running for running in heats if not _heat_right(case, running)]
    calls, end = case.of.calls, case.end(Cause.FAN_STUCK_LOW)
    wired_low = calls is not None and any(
        one.name is Mismatch.FAN_LOW_WHILE_HEATING for one in calls.combinations
    )
    if end is None or not unread:
        return
    why = _why_heating(case, heats)
    if not end.open:
        read_low = any(_heat_low(case, running) for running in unread)
        if wired_low or read_low:
            mended = case.mended(Cause.FAN_STUCK_LOW)
            read = Reason(Do.PROVE_FAN if mended else Do.HEATING_UNPROVED)
            yield Concern(tuple(unread), Asks.OFF, why, (Action(read),))
        return
    slow = heats_slow(case.of)
    if slow is None:
        yield Concern(tuple(unread), Asks.STEPS, why, (Action(Reason(Do.HEATING_UNREAD)),))
    elif slow:
        do = [Action(Reason(Do.HEATING_OFF))]
        if calls is not None and kept_measure(case) is not None:
            do.append(Action(Reason(Do.HEATING_WITH_MEASURE)))
        yield Concern(tuple(unread), Asks.OFF, why, tuple(do))


def _heat_right(case: Case, running: Running) -> bool:
    """Whether the fan was read right at this heating call, as it is now."""
    result = case.last(running, _speed_read)
    return result is not None and result.staging is None


def _heat_low(case: Case, running: Running) -> bool:
    result = case.last(running, _speed_read)
    return result is not None and result.staging is not None


def _why_heating(case: Case, heats: tuple[Running, ...]) -> Reason:
    for running in heats:
        result = case.last(running, _speed_read)
        if result is not None and result.staging is not None:
            return _fan_reads(case, result)
    return Reason(Why.HEAT_UNREAD)


def _ice(case: Case) -> Iterator[Concern]:
    """Ice that was seen and not seen thawed since."""
    iced = _iced(case.of)
    if iced is None:
        return
    why = Reason(Why.ICE, {"place": case.of.visits.name(iced)})
    thaw = (Action(Reason(Do.THAW)),)
    yield Concern(case.cooling, Asks.OFF, why, thaw)
    yield Concern((FAN,), Asks.STEPS, why, thaw)


def _iced(of: Diagnosed) -> ConditionResult | None:
    """The latest condition with ice that nobody saw or made thaw since; None without."""
    iced = None
    for result in of.visits.by_time:
        seen = result.freeze.ice_seen if result.freeze is not None else ()
        thawed = of.draws.condition(result.where).coil_thawed == "yes"
        iced = result if seen else None if thawed else iced
    return None if iced is None or _thawed_by_work(of, iced) else iced


def _thawed_by_work(of: Diagnosed, iced: ConditionResult) -> bool:
    turn = of.visits.turn
    return any(
        work.kind == "thawed" and turn(ref.visit) >= turn(iced.where.visit) for ref, work in of.visits.works()
    )


def _freezing(case: Case) -> Iterator[Concern]:
    """Metal or suction likely below freezing as it was read last: less of the cooling where that helps."""
    for running in case.cooling:
        result = _cold(case, running)
        if result is None or (running == case.full_cooling and case.open(Cause.FAN_STUCK_LOW)):
            continue
        why = Reason(Why.FREEZES, {"place": case.of.visits.name(result)})
        if not _repaired_since(case, result):
            yield Concern((running,), Asks.LESS, why, (Action(colder(running)),))
        elif all(end.ending is Ending.READ_RIGHT for end in _of_ice(case)):
            yield Concern((running,), Asks.STEPS, why, (Action(Reason(Do.WATCH_COLD)),))
        else:
            # Only a work says so of at least one cause: the proof comes before it is left.
            yield Concern((running,), Asks.PROOF, why, (Action(Reason(Do.PROVE_COLD)),))


def colder(running: Running) -> Reason:
    """What is done about a way of running in which the coil freezes."""
    if running.less is None:
        return Reason(Do.KEEP_OFF_COLD)
    return Reason(Do.LESS_COLD, {"stage": str(running.stage)})


def _cold(case: Case, running: Running) -> ConditionResult | None:
    """The latest condition of a way of running, where freezing is likely in it and not read away since."""
    result = case.last(running, lambda result: result.freeze is not None and result.freeze.tells)
    if result is None or result.freeze is None or not result.freeze.likely:
        return None
    if result.freeze.ice_seen and _iced(case.of) is not None:
        # Standing ice keeps all cooling off by itself; once it thawed, the coil still froze so.
        return None
    return None if ice_read_right(case.of, result.where.visit) is not None else result


def _repaired_since(case: Case, result: ConditionResult) -> bool:
    """Whether a cause of ice was put right on that visit or later, and the coil not read since."""
    turn = case.of.visits.turn
    closed = (end.visit for end in _of_ice(case) if not end.open)
    return any(visit is not None and turn(visit) >= turn(result.where.visit) for visit in closed)


def _of_ice(case: Case) -> list[PutRight]:
    """What became of each cause of ice."""
    return [end for end in case.ends if end.cause in CAUSES_OF_WAYS[Way.MELT]]


def _short_of_air(case: Case) -> Iterator[Concern]:
    """Air that is missing though the fan turns at full speed."""
    if case.closed(Cause.LOW_AIRFLOW):
        return
    for running in (FAN, *case.cooling):
        result = case.last(running, lambda result: result.airflow is not None and result.airflow.measured)
        if result is not None and result.short_of_air and result.airflow is not None:
            share = float(result.airflow.rated_share[0])
            why = Reason(Why.SHORT_OF_AIR, {"share": share, "place": case.of.visits.name(result)})
            see_to = Reason(Do.AIR, {"parts": may_hold_air(case.of.draws, result.where)})
            yield Concern((running,), Asks.STEPS, why, (Action(see_to),))


OF_THE_MOTOR = (CheckName.MOTOR_CURRENT, CheckName.SERVICE_FACTOR)


def _drives_all(case: Case, result: ConditionResult) -> tuple[Running, ...]:
    """Ways of running that a fan's reading speaks of: all of them where its speed is the same in all."""
    fixed = case.of.job.unit.fan.drive not in (ON_A_DRIVE, "two speed motor")
    return case.ways if fixed else case.running(result.where)


def _outdoor_air(case: Case) -> Iterator[Concern]:
    """Too much outdoor air over a coil that cools."""
    for result in case.of.visits.by_time:
        much = result.outdoors is not None and result.outdoors.text is Outdoors.MUCH
        if much and not case.closed(Cause.OUTDOOR_AIR):
            why = Reason(Why.OUTDOOR_AIR, {"place": case.of.visits.name(result)})
            yield Concern(case.cooling, Asks.STEPS, why, (Action(Reason(Do.OUTDOOR_AIR)),))


def _wheel(case: Case) -> Iterator[Concern]:
    """A wheel that turns backwards, and a belt drive whose wheel does not turn as it should."""
    if case.open(Cause.REVERSED_ROTATION):
        why, turn = Reason(Why.BACKWARDS), (Action(Reason(Do.TURN_ROUND)),)
        yield Concern(case.those(Mode.COOL, Mode.HEAT, Mode.DEFROST), Asks.OFF, why, turn)
        yield Concern((FAN,), Asks.STEPS, why, turn)
    if case.closed(Cause.BELT):
        return
    for result in case.of.visits.by_time:
        if result.wheel is not None and result.wheel.text.wrong:
            place = case.of.visits.name(result)
            why = Reason(Why.WHEEL, {"turns": result.wheel.text, "place": place})
            yield Concern(_drives_all(case, result), Asks.STEPS, why, (Action(Reason(Do.BELT)),))


def _motor(case: Case) -> Iterator[Concern]:
    """A motor above its plate; without a typed service factor the plate is the limit."""
    for result in case.of.visits.by_time:
        load = result.motor
        if load is None or not load.text.above or motor_read_right(case.of, result) is not None:
            continue
        place = case.of.visits.name(result)
        why = Reason(Why.MOTOR, {"read": load.current, "plate": load.plate, "place": place})
        asks, do = Asks.OFF, Reason(Do.OFF_FOR_MOTOR)
        if load.text is Load.ABOVE_PLATE:
            asks, do = Asks.STEPS, Reason(Do.MOTOR_WARM)
        elif load.can_slow:
            asks, do = Asks.SLOWER, Reason(Do.SLOW_FAN)
        yield Concern(_drives_all(case, result), asks, why, (Action(do),))


def _speed_checks(case: Case) -> Iterator[Concern]:
    """Checks of the fan that fail: at its present speed, or at the full speed that it does not have yet."""
    for result in case.of.visits.by_time:
        checks = result.speed
        if checks is None:
            continue
        failed = [check for check in checks.checks if _fails(case, check, result)]
        if not failed:
            continue
        ways = _drives_all(case, result)
        place = case.of.visits.name(result)
        if checks.raises:
            names = tuple(check.name for check in failed)
            why = Reason(Why.CHECK_FASTER, {"checks": names, "place": place})
            raised = case.closed(Cause.FAN_STUCK_LOW)
            do = (Action(Reason(Do.FASTER_NOW if raised else Do.NOT_FASTER, {"checks": names})),)
            yield Concern(ways, Asks.STEPS, why, do)
            continue
        for check in failed:
            if check.name not in OF_THE_MOTOR:
                why = Reason(Why.CHECK, {"check": check.name, "place": place})
                do = (Action(Reason(Do.CHECK, {"check": check.name})),)
                yield Concern(ways, Asks.STEPS, why, do)


def _fails(case: Case, check: Check, result: ConditionResult) -> bool:
    cause = CAUSES_OF_CHECKS.get(check.name)
    closed = cause is not None and case.closed(cause)
    right = check_read_right(case.of, check.name, result.where.visit)
    told = check.name is CheckName.BELT and result.wheel is not None and result.wheel.text.wrong
    return check.state is CheckState.FAIL and not closed and not told and right is None
