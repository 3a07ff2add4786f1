"""What may be done today: for each way of running whether the unit may run so, why not, and what to do.

Decided from typed results. Where something asks for it a way stops, or runs reduced: with a stage less, or
with the fan slower. What only needs a step runs, with that step.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from hvaccalc.call import Call
from hvaccalc.diagnosis.calls.measures import Doubtful
from hvaccalc.diagnosis.readings.signs import FULL_PAN, LOW_PAN
from hvaccalc.diagnosis.readings.water_seen import OFF as WITH_COOLING_OFF
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.mechanism import Ability, Guard, Met
from hvaccalc.diagnosis.water.pan_filling import overflow_guard
from hvaccalc.job.causes import Cause, Way
from hvaccalc.reason import Reason
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.may_run.circuits import circuits
from hvaccalc.service.may_run.concern import Action, Asks, Case, Concern, Do, Why
from hvaccalc.service.may_run.fan_and_coil import fan_and_coil, kept_measure
from hvaccalc.service.may_run.running import OFF, Running, circuits_on
from hvaccalc.service.may_run.wiring import wiring
from hvaccalc.service.put_right import Ending, PutRight
from hvaccalc.service.repair.repairs import water_put_right


class Decision(StrEnum):
    """Whether a unit may run in one way."""

    RUN = "run"
    RUN_REDUCED = "run reduced"
    STOP = "stop"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True, slots=True)
class Today:
    """What may be done today in one way of running.

    Attributes
    ----------
    running : Running
        The unit off where nothing was read yet, or where something matters then.
    decision : Decision
    why : tuple of Reason
        Empty where nothing speaks against it.
    do : tuple of Action
        The most pressing first; empty where nothing speaks against it.
    proof : bool
        Whether it may run so while somebody reads what was repaired, and not be left so before.
    """

    running: Running
    decision: Decision
    why: tuple[Reason, ...]
    do: tuple[Action, ...]
    proof: bool = False

    @property
    def decided(self) -> bool:
        """Whether anything was read to decide on."""
        return self.decision is not Decision.NOT_DECIDED

    @property
    def where(self) -> tuple[Call, ...]:
        """The calls; none while the unit is off."""
        return self.running.calls


def today(of: Diagnosed, ends: Sequence[PutRight]) -> tuple[Today, ...]:
    """What may be done today, for each way of running that the unit has.

    Parameters
    ----------
    of : Diagnosed
    ends : sequence of PutRight
        What became of each cause.
    """
    case = Case(of, tuple(ends))
    concerns = [
        one for part in (_water, _measures, _repaired, wiring, circuits, fan_and_coil) for one in part(case)
    ]
    off = (OFF,) if any(OFF in one.ways for one in concerns) else ()
    if not of.visits.read:
        # A phone call, or a look without a reading: what to leave alone until somebody has read.
        do = (Action(Reason(Do.READ_FIRST)),)
        concerns.append(Concern((*off, *case.ways), Asks.TO_BE_READ, Reason(Why.NOTHING_READ), do))
    decided: dict[Running, Today] = {}
    # Fewer stages come first: more of them may fall back on those.
    for running in (*off, *case.ways):
        decided[running] = _decide(of, running, [one for one in concerns if running in one.ways], decided)
    return _first_of_all(_off_everywhere(of, tuple(decided.values())))


RUNS_MEANWHILE = (Do.LEAK_MAY_RUN, Do.LOW, Do.NO_SUBCOOLING, Do.FLOODBACK_CONFIRM)
"""Steps of a circuit that runs until its repair."""


def _off_everywhere(of: Diagnosed, decided: tuple[Today, ...]) -> tuple[Today, ...]:
    """A circuit that stays off in every way of running is not watched or topped up to run meanwhile."""

    def off(one: Today, name: str) -> bool:
        return one.decision is Decision.STOP or any(
            step.circuit == name and step.what.code is Do.CIRCUIT_OUT for step in one.do
        )

    idle = {
        name
        for name in of.job.circuit
        if all(off(one, name) for one in decided if name in circuits_on(of, one.running))
    }
    kept = [
        tuple(s for s in one.do if not (s.circuit in idle and s.what.code in RUNS_MEANWHILE))
        for one in decided
    ]
    return tuple(replace(one, do=do or one.do) for one, do in zip(decided, kept, strict=True))


def _first_of_all(decided: tuple[Today, ...]) -> tuple[Today, ...]:
    """Where gas that burns may stand indoors nobody goes in: that is all there is to do until it is clear."""
    if not any(step.what.code is Do.GAS for one in decided for step in one.do):
        return decided
    alone = [tuple(step for step in one.do if step.what.code is Do.GAS) for one in decided]
    return tuple(replace(one, do=do) for one, do in zip(decided, alone, strict=True))


NOT_LEFT_ON = (Decision.STOP, Decision.NOT_DECIDED)
"""What a stage below may be, so that more of them cannot fall back on it."""

WITHOUT_STOP = {Asks.STEPS: Decision.RUN, Asks.TO_BE_READ: Decision.NOT_DECIDED}

LEAVES_A_STAGE_ON = (Do.LOCK_OUT, Do.LOCK_OUT_UNREAD, Do.LESS_COLD, Do.WATCH_COLD)
"""Steps that leave a stage on: locking out the one above it, or looking at the coil as it cools."""


def _decide(
    of: Diagnosed, running: Running, concerns: Sequence[Concern], decided: dict[Running, Today]
) -> Today:
    asks = max((one.asks for one in concerns), key=lambda asked: asked.value, default=Asks.STEPS)
    below = decided.get(running.less) if running.less is not None else None
    out = {step.circuit for one in concerns if one.asks is Asks.CIRCUIT for step in one.do}
    left = tuple(name for name in circuits_on(of, running) if name not in out)
    # The circuits left may be those of the stage below: then they run as that one may.
    as_below = bool(out) and running.less is not None and left == circuits_on(of, running.less)
    less = as_below or any(one.asks in (Asks.LESS, Asks.PROOF) for one in concerns)
    if asks is Asks.OFF or (out and not left) or (less and (below is None or below.decision in NOT_LEFT_ON)):
        decision = Decision.STOP
    else:
        decision = WITHOUT_STOP.get(asks, Decision.RUN_REDUCED)
    order = tuple(Do)
    steps = dict.fromkeys(step for one in concerns for step in one.do)
    if decision is Decision.RUN_REDUCED:
        alone = Reason(Do.CIRCUIT_OUT, {"left": left})
        steps |= {Action(alone, name): None for name in sorted(out, key=str)}
    if decision is Decision.STOP:
        # What is off leaves no first stage on; what keeps that one off is done here too.
        steps = {step: None for step in steps if step.what.code not in LEAVES_A_STAGE_ON}
        if below is not None and below.decision is Decision.STOP:
            steps |= dict.fromkeys(below.do)
    do = sorted(steps, key=lambda step: order.index(Do(step.what.code)))
    ranked = sorted(concerns, key=lambda one: -one.asks.value)
    why = tuple(dict.fromkeys(one.why for one in ranked))
    return Today(running, decision, why, tuple(do), asks is Asks.PROOF)


def _water(case: Case) -> Iterator[Concern]:
    """Water that nothing has stopped yet, and what should keep a pan from running over."""
    budget = case.of.water
    if budget is None:
        return
    guard = overflow_guard(case.of.job, budget.seen)
    if guard is Guard.DID_NOT_STOP:
        why = Reason(Why.GUARD_FAILED)
        yield Concern(case.cooling, Asks.STEPS, why, (Action(Reason(Do.GUARD_FAILED)),))
    elif guard is Guard.NONE:
        yield Concern(case.cooling, Asks.STEPS, Reason(Why.NO_GUARD), (Action(Reason(Do.GUARD)),))
    trap = budget.trap
    short = (trap.required_height.known and trap.verdict is Met.NOT_MET) or trap.standing.value > 0.0
    if short and not case.closed(Cause.TRAP):
        yield Concern(case.cooling, Asks.STEPS, Reason(Why.TRAP), (Action(Reason(Do.TRAP)),))
    able = budget.those(Ability.CAN)
    stopped = all(case.way_closed(way) for way in able) if able else water_put_right(case.ends)
    if budget.matched and not (stopped and not budget.seen.fresh):
        yield from _coming(case, budget, able)


FAN = (Cause.FAN_STUCK_LOW, Cause.COOLING_WITHOUT_FAN)
"""Causes of the fan, whose proof is asked with the fan."""


def _measures(case: Case) -> Iterator[Concern]:
    """Temporary measures that stand beside an open cause: the cause stays, and what is to be watched."""
    visits = case.of.visits
    kept = kept_measure(case) if case.open(Cause.FAN_STUCK_LOW) else None
    for ref, work in visits.standing():
        before = visits.turn(ref.visit)
        causes = [end for end in case.ends if end.open and visits.turn(end.found.visit) <= before]
        if kept is not None and kept.work is work:
            # What holds the fan is said with the fan.
            causes = [end for end in causes if end.held is not None and end.cause not in FAN]
        if not causes or Doubtful.BRIDGED_SAFETY in visits.doubts(work):
            continue
        when = case.of.job.visit[ref.visit - 1].date or f"visit {ref.visit}"
        trap = any(end.cause is Cause.TRAP for end in causes)
        note = work.note or "not described"
        stays = Reason(Do.MEASURE_TRAP if trap else Do.MEASURE_HOLDS, {"when": when, "note": note})
        yield Concern(case.cooling, Asks.STEPS, Reason(Why.MEASURE, {"place": when}), (Action(stays),))


def _repaired(case: Case) -> Iterator[Concern]:
    """Repairs that nobody has read since: only the work says that the cause is gone."""
    for end in case.ends:
        if end.ending is not Ending.MENDED or end.cause in FAN:
            continue
        if end.circuit is None:
            why, do = Reason(Why.REPAIRED, {"part": end.cause}), Reason(Do.PROVE_DRY)
        else:
            why = Reason(Why.CIRCUIT_REPAIRED, {"circuit": end.circuit, "part": end.cause})
            do = Reason(Do.PROVE_CIRCUIT, {"circuit": end.circuit})
        ways = case.cooling if end.circuit is None else case.with_circuit(end.circuit)
        yield Concern(ways, Asks.STEPS, why, (Action(do),))


def _coming(case: Case, budget: WaterBudget, able: Sequence[Way]) -> Iterator[Concern]:
    """Water that still comes: from above, over a full pan, or by whatever way."""
    off = (OFF,) if WITH_COOLING_OFF in budget.seen.phases else ()
    if Way.OUTSIDE in able:
        do = (Action(Reason(Do.OUTSIDE)),)
        yield Concern((OFF, *case.ways), Asks.STEPS, Reason(Why.OUTSIDE), do)
    elif _pan_stands_full(case, budget):
        do = (Action(Reason(Do.PAN_FULL)),)
        yield Concern(case.cooling, Asks.OFF, Reason(Why.PAN_FULL), do)
    else:
        do = (Action(Reason(Do.CATCH)),)
        yield Concern((*off, *case.ways), Asks.STEPS, Reason(Why.WATER), do)


def _pan_stands_full(case: Case, budget: WaterBudget) -> bool:
    """Whether the pan was seen full, and not drained since."""
    if not budget.seen.has("pan_water", "full", "overflowing"):
        return False
    signs = [case.of.visits.signs(where).pan_water for where in case.of.visits.places()]
    words = [set(sign.values) for sign in signs if sign is not None]
    last = next((seen for seen in reversed(words) if seen & (LOW_PAN | FULL_PAN)), set())
    return not last <= LOW_PAN or not last
