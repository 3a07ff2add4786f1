"""What wiring and temporary measures speak against: combinations, faults, back-feeds, bridged safeties.

What to do about each is common practice, without a source, where none is named.
"""

from collections.abc import Iterator
from enum import StrEnum

from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.calls import measures
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.equipment.wiring.wiring_calls import Combination, Mismatch
from hvaccalc.equipment.wiring.wiring_faults import Fault
from hvaccalc.job.causes import Cause
from hvaccalc.practice.air import FULL_SPEED, SAME_SPEED
from hvaccalc.reason import Reason
from hvaccalc.service.may_run.concern import Action, Asks, Case, Concern, Do, Why
from hvaccalc.service.may_run.fan_and_coil import lock_out
from hvaccalc.service.may_run.running import OFF, Running, running_of
from hvaccalc.severity import Severity


def wiring(case: Case) -> Iterator[Concern]:
    """All of them."""
    for doubt in measures.doubts(case.of.job):
        if doubt.text is measures.Doubtful.BRIDGED_SAFETY:
            why = Reason(Why.BRIDGED_SAFETY)
            yield Concern(case.ways, Asks.OFF, why, (Action(Reason(Do.TAKE_BRIDGE_OUT)),))
        elif doubt.text is measures.Doubtful.OVERDUE:
            why = Reason(Why.OVERDUE)
            yield Concern(case.ways, Asks.STEPS, why, (Action(Reason(Do.MEASURE_OVERDUE)),))
    calls = case.of.calls
    if calls is None:
        return
    yield from _measure(case, calls)
    yield from _fed(case, calls)
    for combination in calls.combinations:
        yield from _combination(case, calls, combination)
    yield from _lost(case, calls)
    for fault in calls.faults:
        yield from _fault(case, calls, fault)
    yield from _ladders(case, calls)


def _measure(case: Case, calls: CallWiring) -> Iterator[Concern]:
    if calls.measure is None or not calls.measure.refused:
        return
    if calls.measure.bridges_safety:
        why = Reason(Why.BRIDGED_SAFETY)
        yield Concern(case.ways, Asks.OFF, why, (Action(Reason(Do.TAKE_BRIDGE_OUT)),))
    else:
        why = Reason(Why.REFUSED)
        yield Concern(case.ways, Asks.STEPS, why, (Action(Reason(Do.MEASURE_REFUSED)),))


def _ways(case: Case, call: Call) -> tuple[Running, ...]:
    """The way of running of one call of the wiring; no call is the unit off."""
    running = running_of((call,))
    return (running,) if running == OFF or running in case.ways else ()


def _fed(case: Case, calls: CallWiring) -> Iterator[Concern]:
    """Compressors and heat on by calls that should not have them: with the fan low or off they stop."""
    if case.closed(Cause.BACK_FEED):
        return
    for feed in calls.back_feeds:
        for call in feed.calls:
            why = Reason(Why.FED_WITHOUT_CALL, {"load": feed.load})
            full = calls.now.answer(call).share >= FULL_SPEED
            off = Reason(Do.REMOVE_FEED if full else Do.OFF_WITHOUT_CALL)
            asks = Asks.STEPS if full else Asks.OFF
            yield Concern(_ways(case, call), asks, why, (Action(off),))


def _combination(case: Case, calls: CallWiring, one: Combination) -> Iterator[Concern]:
    """Stages and fan that must not be on together; a fan that was read faster since outdoes the table."""
    ways = _ways(case, one.call)
    if not ways:
        return
    running = ways[0]
    why = Reason(Why.WIRED, {"combination": str(one.name)})
    check = Concern(ways, Asks.STEPS, why, (Action(Reason(Do.CHECK_TABLE)),))
    behind = _behind(ways, str(one.name))
    if _read_faster(case, calls, running, one.call):
        yield behind
    elif one.name.without_fan:
        if case.closed(Cause.COOLING_WITHOUT_FAN):
            yield behind
            if case.mended(Cause.COOLING_WITHOUT_FAN):
                proof = (Action(Reason(Do.PROVE_FAN)),)
                yield Concern(ways, Asks.PROOF, Reason(Why.FAN_MENDED), proof)
        else:
            yield Concern(ways, Asks.OFF, why, (Action(Reason(Do.FAN_STANDS)),))
    elif one.name is Mismatch.SECOND_STAGE_ALONE:
        yield Concern(ways, Asks.LESS, why, (Action(Reason(Do.SECOND_ALONE)),))
    elif one.name is Mismatch.FAN_LOW_WITH_SECOND_STAGE:
        if case.closed(Cause.FAN_STUCK_LOW):
            yield behind
        elif not case.open(Cause.FAN_STUCK_LOW):
            # Found by the table alone: no reading has said so yet.
            yield from lock_out(case, why)
    elif not case.open(Cause.FAN_STUCK_LOW) and not case.closed(Cause.FAN_STUCK_LOW):
        yield Concern(ways, Asks.OFF, why, (Action(Reason(Do.HEATING_OFF)),))
    elif running.mode in (Mode.HEAT, Mode.DEFROST):
        yield check


def _behind(ways: tuple[Running, ...], shows: str | StrEnum) -> Concern:
    """A table that still has what was read right or repaired since."""
    why = Reason(Why.TABLE, {"shows": shows})
    return Concern(ways, Asks.STEPS, why, (Action(Reason(Do.CHECK_TABLE)),))


def _read_faster(case: Case, calls: CallWiring, running: Running, call: Call) -> bool:
    def speed(result: ConditionResult) -> float:
        ratio = result.airflow.speed_ratio if result.airflow is not None else None
        return float(ratio.draws[0]) if ratio is not None and ratio.basis == "measured" else float("nan")

    result = case.last(running, lambda result: speed(result) == speed(result))
    return result is not None and speed(result) > calls.now.answer(call).share + SAME_SPEED


def _lost(case: Case, calls: CallWiring) -> Iterator[Concern]:
    """Calls that reach less than they should, and that no combination names."""
    for call in calls.calls:
        was, now = calls.designed.answer(call), calls.now.answer(call)
        slower = calls.now.answer(call).share < calls.designed.answer(call).share
        if calls.combination(call) is not None or not (set(was.loads) ^ set(now.loads) or slower):
            continue
        ways = _ways(case, call)
        faster = any(_read_faster(case, calls, running, call) for running in ways)
        if set(was.loads) == set(now.loads) and (faster or case.closed(Cause.FAN_STUCK_LOW)):
            continue
        why = Reason(Why.NOT_REACHED, {"call": call.value})
        yield Concern(ways, Asks.STEPS, why, (Action(Reason(Do.FOLLOW_CALL)),))


def _fault(case: Case, calls: CallWiring, fault: Fault) -> Iterator[Concern]:
    """A fault of the wiring that no accepted measure stands in for."""
    accepted = calls.measure is not None and not calls.measure.refused
    if (fault.for_measure and accepted) or fault.severity.rank < Severity.ACT.rank:
        return
    at = tuple(running for call in fault.calls for running in _ways(case, call)) or case.ways
    if fault.severity is not Severity.STOP and case.closed(Cause.FAN_STUCK_LOW):
        # Which fault it was that the repair mended the table does not say.
        yield _behind(at, fault.kind)
        return
    why = Reason(Why.FAULT, {"fault": fault.kind, "ends": fault.place})
    if fault.severity is Severity.STOP:
        yield Concern(case.ways, Asks.OFF, why, (Action(Reason(Do.TAKE_BRIDGE_OUT)),))
    else:
        yield Concern(at, Asks.STEPS, why, (Action(Reason(Do.MEND_WIRING)),))


def _ladders(case: Case, calls: CallWiring) -> Iterator[Concern]:
    """A break that voltages located."""
    for where, ladder in calls.ladders.items():
        if not ladder.located.sound and not case.closed(Cause.FAN_STUCK_LOW):
            why = Reason(Why.BREAK, {"segments": tuple(ladder.located.segments) or ("more than one break",)})
            yield Concern(case.running(where), Asks.STEPS, why, (Action(Reason(Do.FOLLOW_CALL)),))
