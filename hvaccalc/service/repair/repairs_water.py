"""What the water calls for: the way at work, the trap, the drain line, a guard of the pan."""

from __future__ import annotations

from collections.abc import Iterator

from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.mechanism import Ability, Guard, Met
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.job.causes import CAUSES_OF_WAYS, Cause, CauseAt, Way
from hvaccalc.reason import Reason
from hvaccalc.rows import complete
from hvaccalc.service.repair.repair_needed import Detail, Due, Followed, RepairNeeded, due, found
from hvaccalc.service.repair.repair_rows import OF_CAUSES, Repair

CAUSES = frozenset(
    {
        *(Cause.DRAIN, Cause.TRAP, Cause.PAN, Cause.CARRY_OVER, Cause.SWEATING),
        *(Cause.PUMP, Cause.HOT_WATER_COIL, Cause.OUTSIDE_WATER),
    }
)
"""Causes that are put right where the water leaves; what makes ice is put right where it is made."""

GUARDS: dict[Guard, Repair | None] = complete(
    Guard,
    {
        Guard.NONE: Repair.FIT_GUARD,
        Guard.NOT_NOTED: Repair.FIND_GUARD,
        Guard.FITTED: None,
        Guard.DID_NOT_STOP: Repair.TRY_FLOAT_SWITCH,
    },
)
"""What the state of a pan's guard calls for; one that is fitted calls for nothing."""


def water_repairs(of: Followed) -> tuple[RepairNeeded, ...]:
    """What the water calls for; nothing where the job says nothing of any water."""
    budget = of.water
    if budget is None:
        return ()
    failed = budget.trap.verdict is Met.NOT_MET
    line = tuple(_drain_line(of, budget))
    trap = (_trap(of, budget),) if failed else ()
    drain_work = any(one.due is Due.REPAIR for one in (*trap, *line))
    ways = [_of_way(of, budget, way, drain_work) for way in _at_work(budget)]
    # A trap that fails its own check is put right whichever way the water takes.
    ways = [one for one in ways if one is not None and not (failed and one.repair is Repair.REBUILD_TRAP)]
    return (*ways, *trap, *line, *_guard(budget))


def cause_of(way: Way) -> Cause | None:
    """The cause that is put right where the water leaves by a way; None where none is."""
    if WAYS[way].by_the_drain:
        return None
    return next((cause for cause in CAUSES_OF_WAYS[way] if cause in CAUSES), None)


def _at_work(budget: WaterBudget) -> Iterator[Way]:
    """Ways that were seen at work or stand out, and that no other fault brings about."""
    for way in budget.those(Ability.CAN):
        one = budget.weighed[way]
        if (one.mechanism.confirmed or budget.dominant is way) and not one.explained_by:
            yield way


def _of_way(of: Followed, budget: WaterBudget, way: Way, drain_work: bool) -> RepairNeeded | None:
    cause = cause_of(way)
    if cause is None:
        return None
    if cause is Cause.TRAP:
        return _trap(of, budget)
    repair = OF_CAUSES[cause][0]
    return RepairNeeded(
        repair,
        CauseAt(cause),
        due=due(of, cause),
        way=way,
        values={"no_drain_work": "" if drain_work else Detail.NO_DRAIN_WORK},
    )


def _trap(of: Followed, budget: WaterBudget) -> RepairNeeded:
    """The trap, with the size that full fan speed asks for where it is known."""
    trap = budget.trap
    height, seal = trap.required_height, trap.required_seal
    size = Reason(Detail.TRAP_SIZE, {"height": float(height.value), "seal": float(seal.value)})
    return RepairNeeded(
        Repair.REBUILD_TRAP,
        CauseAt(Cause.TRAP),
        due=due(of, Cause.TRAP),
        way=Way.TRAP,
        under_pressure=trap.blow_through,
        details=(size,) if height.known else (),
    )


def _drain_line(of: Followed, budget: WaterBudget) -> Iterator[RepairNeeded]:
    """A larger line: called for where it failed the code, or failed the water; else advice at most."""
    drain = budget.drain
    if Met.NOT_MET not in (drain.code, drain.hydraulic):
        return
    seen_failing = found(of, Cause.DRAIN) or Way.PAN_OVERFLOW in tuple(_at_work(budget))
    called = drain.code is Met.NOT_MET or seen_failing
    size = float(max(drain.code_size, drain.hydraulic_size))
    yield RepairNeeded(
        Repair.LARGER_DRAIN,
        CauseAt(Cause.DRAIN),
        due=due(of, Cause.DRAIN) if called else Due.ADVICE,
        values={"size": size},
        details=() if drain.code is Met.NOT_MET else (Reason(Detail.CODE_IS_MET),),
    )


def _guard(budget: WaterBudget) -> Iterator[RepairNeeded]:
    """What stops the cooling before the pan runs over, where it is missing or nobody noted it."""
    repair = GUARDS[budget.guard]
    if repair is not None:
        yield RepairNeeded(repair)
