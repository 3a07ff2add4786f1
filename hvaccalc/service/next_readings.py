"""What is still open, and the reading that settles it: what to read next, where, how long it takes.

A reading that is unsafe or pointless as things stand, such as one on an iced coil, is not offered; what it
would settle stays open.
"""

from collections.abc import Iterator, Sequence

from hvaccalc.call import Mode
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.gates import GateName, GateState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.signs import OF_A_LEAK, sightings
from hvaccalc.diagnosis.readings.water_seen import OUTSIDE, Fresh
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.mechanism import Ability, Guard, Left
from hvaccalc.diagnosis.water.pan_filling import overflow_guard
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.job.causes import Cause
from hvaccalc.physics.refrigerant import safety_group
from hvaccalc.reason import Reason, Value
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.may_run.concern import Case, Do
from hvaccalc.service.put_right import PutRight
from hvaccalc.service.question_rows import OF_LOOKS, ROWS, About, Open, Question, Reach, Reading, Take
from hvaccalc.service.today import Decision, Today
from hvaccalc.service.visits import WorkRef

MOST_WAYS = 3
"""Ways that are named with the look that settles them, the likeliest first."""


def questions(of: Diagnosed, ends: Sequence[PutRight], decided: Sequence[Today]) -> tuple[Question, ...]:
    """Everything that is open, the water first.

    Parameters
    ----------
    of : Diagnosed
    ends : sequence of PutRight
    decided : sequence of Today
        Where the unit has to stay off, nothing is read with it on.
    """
    case = Case(of, tuple(ends))
    if not of.visits.read:
        first = Question(About.EVERYTHING, Reason(Open.NOTHING_READ), Reading.CALLS, Reason(Take.FIRST_ROUND))
        seen = tuple(_water(case)) if of.job.visit else tuple(_call(case))
        return (*seen, *_loads(case), first, *_unfound(case), *_works(case))
    asked = (*_water(case), *_unfound(case), *_speed(case), *_freezing(case), *_charge(case), *_airflow(case))
    every = (*asked, *_leak_signs(case), *_held(case), *_contradictions(case), *_works(case))
    off = _off(decided)
    return tuple(_withheld(one) if off and _runs(one) else one for one in every)


def next_readings(asked: Sequence[Question]) -> tuple[Question, ...]:
    """Readings that can be taken now, in the order of what they settle; each once."""
    offered: dict[tuple[object, ...], Question] = {}
    for one in asked:
        if one.reading is not None and one.take is not None:
            offered.setdefault((one.reading, one.take, one.circuits, one.way), one)
    return tuple(offered.values())


def _off(decided: Sequence[Today]) -> bool:
    """Whether no cooling may run today, not even for a proof, or ice has to thaw first."""
    cooling = [one for one in decided if one.running.mode is Mode.COOL]
    iced = any(step.what.code is Do.THAW for one in decided for step in one.do)
    return iced or all(one.decision is Decision.STOP and not one.proof for one in cooling)


def _runs(one: Question) -> bool:
    return one.reading is not None and ROWS[one.reading].runs


def _withheld(one: Question) -> Question:
    return Question(one.about, one.open, None, Reason(Take.NOT_TO_READ), one.circuits, one.way)


def _call(case: Case) -> Iterator[Question]:
    """What to ask on the phone: what the job does not say yet."""
    job, budget = case.of.job, case.of.water
    guard = overflow_guard(job, budget.seen) if budget is not None else Guard.NOT_NOTED
    takes = [
        Reason(Take.ASK_PLACE),
        *([] if job.job.water_when else [Reason(Take.ASK_WHEN)]),
        *([] if job.job.water_seen else [Reason(Take.ASK_AMOUNT)]),
        Reason(Take.ASK_ICE),
        Reason(Take.ASK_DONE),
        *([Reason(Take.ASK_GUARD)] if guard is Guard.NOT_NOTED else []),
        Reason(Take.ASK_ACCESS),
    ]
    takes += [Reason(Take.ASK_LEAK, {"circuits": leaks}) for leaks in _leaking(case)]
    for take in takes:
        yield Question(About.CALL, Reason(Open.PLAIN), Reading.ASK, take)
    yield from _asked(budget)


def _loads(case: Case) -> Iterator[Question]:
    """What to load before anything was read; more for a leak on record, and for gas that burns."""
    burns = [n for n, c in case.of.job.circuit.items() if safety_group(c.refrigerant) not in (None, "A1")]
    takes = [Reason(Take.LOAD)]
    takes += [Reason(Take.LOAD_FOR_LEAK, {"circuits": leaks}) for leaks in _leaking(case)]
    takes += [Reason(Take.LOAD_FLAMMABLE, {"circuits": " and ".join(burns)})] if burns else []
    for take in takes:
        yield Question(About.LOAD, Reason(Open.PLAIN), Reading.LOAD, take)


def _leaking(case: Case) -> Iterator[str]:
    """Circuits with a leak on record that nobody has closed, in one text; nothing without."""
    those = [n for n, c in case.of.job.circuit.items() if c.leak.given and c.leak.repaired is None]
    if those:
        yield " and ".join(those)


def _nothing_matched() -> Question:
    return Question(About.WATER, Reason(Open.NOTHING_MATCHED), Reading.ASK, Reason(Take.NOTE_WATER))


def _asked(budget: WaterBudget | None) -> Iterator[Question]:
    for one in budget.trap.asked if budget is not None else ():
        yield Question(About.ASKED, one, Reading.ASK, Reason(Take.TYPE_IT))


def _water(case: Case) -> Iterator[Question]:
    """What the water budget leaves open."""
    budget = case.of.water
    if budget is None or not budget.matched:
        yield _nothing_matched()
        return
    for fresh in budget.seen.fresh:
        open_ = _seen_again(case, budget, fresh)
        yield Question(About.WATER_AGAIN, open_, Reading.PAN_AND_DRAIN, Reason(Take.LOOK_AGAIN))
    yield from _asked(budget)
    filling = budget.filling
    if filling is not None and filling.late:
        full = Reason(
            Open.FULL_TOO_SOON,
            {
                "after": float(filling.full_after),
                "fills": filling.minutes.value,
                "low": filling.minutes.low,
                "high": filling.minutes.high,
            },
        )
        yield Question(About.TIME, full, Reading.PAN_TIMED, Reason(Take.TIME_THE_PAN))
    if budget.unexplained:
        left = Reason(Open.UNEXPLAINED, {"left": budget.unexplained})
        yield Question(About.WATER, left, None, None)
    elif budget.dominant is None and not budget.all_at_work:
        yield Question(About.WATER, Reason(Open.NONE_STANDS_OUT), None, None)
    elif not budget.open:
        return
    for number, way in enumerate(budget.open):
        looked = number < MOST_WAYS
        take = Reason(Take.LOOK_OF_WAY) if looked else None
        yield Question(
            About.WAY,
            Reason(Open.NOT_RULED_OUT),
            OF_LOOKS[WAYS[way].looked_at] if looked else None,
            take,
            way=way,
        )
    if any(left.code is Left.AMOUNT for left in budget.unexplained):
        catch = Reason(Take.CATCH_THE_DRAIN)
        yield Question(About.AMOUNT, Reason(Open.AMOUNT), Reading.DRAIN_CAUGHT, catch)


def _seen_again(case: Case, budget: WaterBudget, fresh: Fresh) -> Reason:
    """Water that a visit saw after the repair, and what it says of the way that was put right."""
    when = _when(case, fresh.visit)
    wet = tuple(f"water on the {place}" for place in fresh.places)
    return Reason(
        Open.SEEN_AGAIN, {"when": when, "seen": (*wet, *fresh.shows), "reach": _reach(budget, fresh)}
    )


def _reach(budget: WaterBudget, fresh: Fresh) -> Reason:
    """Whether the way that was found would wet that place, and which others would."""
    places = set(fresh.places) - set(OUTSIDE)
    if not places:
        return Reason(Reach.NO_PLACE)
    fits = [one for one in budget.weighed.values() if places & one.mechanism.places]
    known = tuple(one.way for one in fits if one.text is Ability.CAN)
    if known:
        return Reason(Reach.FITS, {"ways": known})
    others = tuple(one.way for one in fits if one.way in (*budget.open, *budget.beside))
    return Reason(Reach.OTHERS_FIT, {"ways": others}) if others else Reason(Reach.NONE_FITS)


def _speed(case: Case) -> Iterator[Question]:
    """Full calls in which nobody noted the fan's speed."""
    of = case.of
    missing = [
        result
        for result in of.conditions
        if of.visits.full_call(result) and result.airflow is not None and result.airflow.speed_ratio is None
    ]
    if missing and not _one_speed(case):
        drive = of.job.unit.fan.drive
        if drive is None:
            take = Reason(Take.DRIVE_OR_SPEED)
        else:
            take = Reason(Take.DRIVE if drive == "variable frequency" else Take.SPEED)
        open_ = Reason(Open.SPEED, {"places": of.visits.names(missing)})
        yield Question(About.FAN, open_, Reading.FAN_SPEED, take)


def _one_speed(case: Case) -> bool:
    """A unit of one stage for whose fan nothing names a drive or a speed: none has to follow the calls."""
    fan, draws = case.of.job.unit.fan, case.of.draws
    stages = {draws.stage(name) for name in case.of.job.circuit}
    said = fan.drive or fan.full_speed or fan.low_speed or case.of.job.wiring.fan_speed
    return max(stages, default=1) == 1 and not said


def _freezing(case: Case) -> Iterator[Question]:
    """Conditions in which nothing tells whether the coldest metal freezes, by what is missing."""
    grouped: dict[tuple[tuple[str, ...], bool, str], list[ConditionResult]] = {}
    for result in case.of.conditions:
        risk = result.freeze
        if risk is not None and not risk.fin.known and not risk.ice_seen:
            why = "" if risk.missing else risk.reason
            grouped.setdefault((risk.missing, bool(risk.suction_missing), why), []).append(result)
    for (missing, suction, why), results in grouped.items():
        places = case.of.visits.names(results)
        if missing:
            reading = Reading.GAUGES if suction else Reading.AIR
            take = Reason(Take.MISSING, {"missing": missing})
            yield Question(About.COIL, Reason(Open.FREEZING, {"places": places}), reading, take)
        else:
            take = Reason(Take.SETTLE, {"settle": why})
            yield Question(About.COIL, Reason(Open.FREEZING, {"places": places}), None, take)


def _charge(case: Case) -> Iterator[Question]:
    """Circuits without a verdict, gathered by the reading that would give one."""
    grouped: dict[tuple[Reason, Reason | None, Reading], list[str]] = {}
    for name, circuit in case.of.job.circuit.items():
        judged = case.of.visits.charge(name)
        if judged is None:
            if not any(name in result.circuits for result in case.of.conditions):
                unread = Reason(Open.NOT_USABLE, {"refrigerant": circuit.refrigerant or ""})
                grouped.setdefault((unread, Reason(Take.PRESSURES), Reading.GAUGES), []).append(name)
        elif not judged.verdict.row.settled:
            take = Reason(Take.SETTLE, {"settle": judged.settle}) if judged.settle else None
            grouped.setdefault((judged.reason, take, _settles(judged)), []).append(name)
    for (why, take, reading), names in grouped.items():
        open_ = Reason(Open.CHARGE, {"why": why})
        yield Question(About.CHARGE, open_, reading if take is not None else None, take, tuple(names))


OF_GATES: dict[GateName, Reading] = {
    GateName.AIRFLOW: Reading.AIRFLOW,
    GateName.THAWED: Reading.COIL,
    GateName.FILTERS: Reading.FILTERS,
    GateName.CALLS: Reading.CALLS,
}
"""What opens a gate that is closed; the others open by reading the circuit again."""


def _settles(charge: CircuitCharge) -> Reading:
    """What would give a verdict: the first closed gate's reading, the label, else the circuit again."""
    closed = [
        gate
        for gate in charge.gates
        if gate.state is GateState.UNMET or (gate.hard and gate.state is GateState.UNKNOWN)
    ]
    if closed:
        return OF_GATES.get(closed[0].name, Reading.GAUGES)
    return Reading.LABEL if charge.deviation is None else Reading.GAUGES


def _airflow(case: Case) -> Iterator[Question]:
    """Full cooling whose airflow was never measured."""
    read = [
        result
        for result in case.of.visits.by_time
        if case.of.visits.full_call(result) and result.airflow is not None and result.freeze is not None
    ]
    unmeasured = [result for result in read if result.airflow is not None and not result.airflow.measured]
    if unmeasured and len(unmeasured) == len(read):
        place, flow = case.of.visits.name(unmeasured[0]), unmeasured[0].airflow
        note = flow.note if flow is not None else ""
        open_ = Reason(Open.AIRFLOW, {"place": place, "note": note})
        yield Question(About.AIRFLOW, open_, Reading.AIRFLOW, Reason(Take.MEASURE_AIR))


def _held(case: Case) -> Iterator[Question]:
    """Causes of a circuit that read right under a temporary measure alone."""
    for end in case.ends:
        if end.open and end.held is not None and end.circuit is not None:
            open_ = Reason(Open.HELD, {"part": end.cause})
            take = Reason(Take.WITHOUT_MEASURE)
            yield Question(About.CHARGE, open_, Reading.GAUGES, take, (end.circuit,))


def _leak_signs(case: Case) -> Iterator[Question]:
    """Signs of a leak that no circuit answers for: none is known to leak or reads short."""
    of = case.of
    if any(one.leak.given or case.end(Cause.LOW_CHARGE, name) for name, one in of.job.circuit.items()):
        return
    seen = dict.fromkeys(one.seen for one in sightings(of.draws) if one.seen in OF_A_LEAK)
    for sign in seen:
        open_ = Reason(Open.LEAK_SIGN, {"sign": sign})
        yield Question(About.CHARGE, open_, Reading.LEAK_SEARCH, Reason(Take.SEARCH))


def _contradictions(case: Case) -> Iterator[Question]:
    flags = case.of.screening.flags
    count = sum(flag.left_out for flag in flags)
    if count:
        several = Reason(Open.CONTRADICTIONS, {"count": str(count)})
        open_ = Reason(Open.CONTRADICTION) if count == 1 else several
        yield Question(About.READINGS, open_, Reading.INSTRUMENT, Reason(Take.CHECK))
    if count < len(flags):
        yield Question(About.READINGS, Reason(Open.MISTYPED), Reading.INSTRUMENT, Reason(Take.CHECK))


def _works(case: Case) -> Iterator[Question]:
    """Repairs that do not say which cause they put right while one is open."""
    refs: dict[WorkRef, None] = dict.fromkeys(ref for end in case.ends for ref in end.asked)
    for ref in refs:
        when = _when(case, ref.visit)
        kind = case.of.visits.work(ref).kind or "work"
        open_ = Reason(Open.MENDS, {"kind": kind, "when": when})
        yield Question(About.WORK, open_, Reading.RECORD, Reason(Take.SAY_MENDS))


def _unfound(case: Case) -> Iterator[Question]:
    """Works said to mend what nothing had shown by then."""
    for end in case.ends:
        for ref in end.unfound:
            yield _which(case, end, ref)


def _which(case: Case, end: PutRight, ref: WorkRef) -> Question:
    """Another day, another circuit, or what showed it?"""
    when = _when(case, ref.visit)
    elsewhere = [one.circuit for one in case.ends if one.cause is end.cause and one.open and one != end]
    if end.open:
        open_ = Reason(Open.FOUND_LATER, {"when": when, "part": end.cause})
        take = Reason(Take.SAY_DATE)
    elif elsewhere:
        found = elsewhere[0] or ""
        open_ = Reason(Open.OTHER_CIRCUIT, {"when": when, "part": end.cause, "found": found})
        take = Reason(Take.SAY_CIRCUIT)
    else:
        open_ = Reason(Open.NEVER_FOUND, {"when": when, "part": end.cause})
        take = Reason(Take.SAY_SHOWN)
    circuits = () if end.circuit is None else (end.circuit,)
    return Question(About.WORK, open_, Reading.RECORD, take, circuits)


def _when(case: Case, visit: int) -> Value:
    """Day of a visit, or its number."""
    return case.of.job.visit[visit - 1].date or f"visit {visit}"
