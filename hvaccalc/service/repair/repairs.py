"""Which lasting work the diagnosis calls for: decided from typed results and from what became of each cause.

A cause that was put right calls for its proof alone; one that came back calls for its repair again. Nothing
is repaired that nothing calls for.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hvaccalc.diagnosis.readings.signs import AIR_PARTS, air_held_back, may_hold_air
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.mechanism import Ability, Guard, Met
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.ensemble import Band
from hvaccalc.equipment.wiring.fault_kinds import FaultKind
from hvaccalc.job.causes import CAUSES_OF_WAYS, OF_A_CIRCUIT, Cause, CauseAt, Way
from hvaccalc.reason import Reason, Value
from hvaccalc.rows import complete
from hvaccalc.service.may_run.running import heats_slow
from hvaccalc.service.put_right import PutRight, ended, ice_read_right, motor_read_right
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.repair.repair_rows import (
    Detail,
    Due,
    Followed,
    Opens,
    Part,
    Repair,
    RepairNeeded,
    due,
    found,
)
from hvaccalc.service.repair.repairs_circuit import bulb_repair, circuit_repairs
from hvaccalc.service.visits import TEMPORARY

WHERE_IT_LEAVES: dict[Cause, Repair | None] = complete(
    Cause,
    {
        Cause.DRAIN: Repair.OPEN_DRAIN,
        Cause.TRAP: Repair.REBUILD_TRAP,
        Cause.PAN: Repair.PAN,
        Cause.CARRY_OVER: Repair.SLOWER_AIR,
        Cause.SWEATING: Repair.INSULATE,
        Cause.PUMP: Repair.PUMP,
        Cause.HOT_WATER_COIL: Repair.HEATING_COIL,
        Cause.OUTSIDE_WATER: Repair.ABOVE_THE_UNIT,
    }
    | dict.fromkeys((*CAUSES_OF_WAYS[Way.MELT], *OF_A_CIRCUIT, Cause.OUTDOOR_AIR, Cause.NOTHING)),
)
"""What puts a cause right where the water leaves; what makes ice is put right where it is made."""


def water_put_right(ends: Iterable[PutRight]) -> bool:
    """Whether every cause that was found where the water leaves was put right; not where none was."""
    those = [end for end in ends if WHERE_IT_LEAVES[end.cause] is not None]
    return bool(those) and not any(end.open for end in those)


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
    """What the water calls for, and what was seen wrong where it leaves, water or none."""
    budget = of.water
    those = _by_budget(of, budget) if budget is not None else ()
    done = {one.cause.cause for one in those if one.cause is not None and one.due is not Due.ADVICE}
    return (*those, *(one for one in _seen_wrong(of) if one.cause is None or one.cause.cause not in done))


def _by_budget(of: Followed, budget: WaterBudget) -> tuple[RepairNeeded, ...]:
    failed = budget.trap.verdict is Met.NOT_MET
    line = tuple(_drain_line(of, budget))
    trap = (_trap(of, budget),) if failed else ()
    drain_work = any(one.due is Due.REPAIR for one in (*trap, *line))
    ways = [_of_way(of, budget, way, drain_work) for way in _at_work(budget)]
    # A trap that fails its own check is put right whichever way the water takes.
    ways = [one for one in ways if one is not None and not (failed and one.repair is Repair.REBUILD_TRAP)]
    return (*ways, *trap, *line, *_guard(of, budget))


def _seen_wrong(of: Followed) -> Iterator[RepairNeeded]:
    """A cause that was found where the water leaves, and that no other fault brings about."""
    for cause, repair in WHERE_IT_LEAVES.items():
        ways = [way for way in Way if way.cause is cause] if of.water is not None else []
        explained = any(of.water is not None and of.water.weighed[way].explained_by for way in ways)
        if repair is not None and found(of, cause) and not explained:
            yield RepairNeeded(repair, CauseAt(cause), due=due(of, cause), values={"no_drain_work": ""})


def cause_of(way: Way) -> Cause | None:
    """The cause that is put right where the water leaves by a way; None where none is."""
    if WAYS[way].by_the_drain:
        return None
    return next((cause for cause in CAUSES_OF_WAYS[way] if WHERE_IT_LEAVES[cause] is not None), None)


def _at_work(budget: WaterBudget) -> Iterator[Way]:
    """Ways that were seen at work or stand out, and that no other fault brings about."""
    for way in budget.those(Ability.CAN):
        one = budget.weighed[way]
        if (one.mechanism.confirmed or budget.dominant is way) and not one.explained_by:
            yield way


def _of_way(of: Followed, budget: WaterBudget, way: Way, drain_work: bool) -> RepairNeeded | None:
    cause = cause_of(way)
    repair = WHERE_IT_LEAVES[cause] if cause is not None else None
    if cause is None or repair is None:
        return None
    if repair is Repair.REBUILD_TRAP:
        return _trap(of, budget)
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


def _guard(of: Followed, budget: WaterBudget) -> Iterator[RepairNeeded]:
    """What stops the cooling before the pan runs over: missing, or noted by no visit beside water."""
    repair = GUARDS[budget.guard]
    if repair is not None and ((of.job.visit and budget.matched) or repair is not Repair.FIND_GUARD):
        yield RepairNeeded(repair)


@dataclass(frozen=True, slots=True)
class Repairs:
    """All lasting work of a job.

    Attributes
    ----------
    called : tuple of RepairNeeded
        To be done: of causes that stand or came back.
    proof_due : tuple of RepairNeeded
        Done, and still to be proved.
    advised : tuple of RepairNeeded
        Better, though nothing calls for it.
    """

    called: tuple[RepairNeeded, ...]
    proof_due: tuple[RepairNeeded, ...]
    advised: tuple[RepairNeeded, ...]


def repairs(of: Followed) -> Repairs:
    """The lasting work of a job: the water's, the fan's and the air's, then circuit by circuit."""
    rest = (*water_repairs(of), *_fan(of), *_motor(of), *_air(of), *circuit_repairs(of))
    every = (*rest, *bulb_repair(of, rest), *_wiring(of, rest), *_ice(of, rest))
    those = {due: tuple(one for one in every if one.due is due) for due in Due}
    return Repairs(those[Due.REPAIR], those[Due.PROOF], those[Due.ADVICE])


# --- fan and air ------------------------------------------------------------------------------------------


def _fan(of: Followed) -> Iterator[RepairNeeded]:
    for repair, cause in (
        (Repair.FAN_RUNS, Cause.COOLING_WITHOUT_FAN),
        (Repair.FAN_TO_SPEED, Cause.FAN_STUCK_LOW),
    ):
        if found(of, cause):
            values: dict[str, Value] = {"expected": _expected(of, cause)}
            values["heating"] = Detail.AND_HEATING if heats_slow(of) else ""
            details = wiring_steps(of) or (Reason(Detail.FOLLOW_THE_CALL),)
            yield RepairNeeded(repair, CauseAt(cause), due=due(of, cause), values=values, details=details)


def _expected(of: Followed, cause: Cause) -> str:
    """The speed that the fan should have had, as typed, by the latest reading that shows the cause."""
    stands = cause is Cause.COOLING_WITHOUT_FAN
    faults = [
        result.staging
        for result in of.visits.by_time
        if result.staging is not None and result.staging.text.without_fan == stands
    ]
    full = of.job.unit.fan.full_speed
    return faults[-1].expected if faults else full.text if full is not None else "full speed"


def _air(of: Followed) -> Iterator[RepairNeeded]:
    if found(of, Cause.LOW_AIRFLOW):
        seen = dict.fromkeys(word for r in of.conditions for word in air_held_back(of.draws, r.where))
        details = (Reason(Detail.SEEN, {"seen": tuple(seen)}),) if seen else ()
        yield RepairNeeded(
            Repair.FREE_THE_AIR,
            CauseAt(Cause.LOW_AIRFLOW),
            due=due(of, Cause.LOW_AIRFLOW),
            values={"parts": _may_hold_air(of)},
            details=details,
        )
    for repair, cause in (
        (Repair.BELT, Cause.BELT),
        (Repair.TURN_ROUND, Cause.REVERSED_ROTATION),
        (Repair.OUTDOOR_DAMPER, Cause.OUTDOOR_AIR),
    ):
        if found(of, cause):
            yield RepairNeeded(repair, CauseAt(cause), due=due(of, cause))


def _may_hold_air(of: Followed) -> tuple[str, ...]:
    """What may hold the air back, by what was seen in the latest condition."""
    latest = of.visits.by_time[-1:]
    return may_hold_air(of.draws, latest[0].where) if latest else AIR_PARTS


def _motor(of: Followed) -> Iterator[RepairNeeded]:
    """A fan motor above its plate as it was read last."""
    loaded = (r for r in of.conditions if r.motor is not None and r.motor.text.above)
    if any(motor_read_right(of, result) is None for result in loaded):
        yield RepairNeeded(Repair.UNLOAD_MOTOR)


def _ice(of: Followed, others: tuple[RepairNeeded, ...]) -> Iterator[RepairNeeded]:
    """Ice, seen or likely, that no other repair answers and no later reading took back."""
    iced = [r.where.visit for r in of.conditions if r.freeze is not None and r.freeze.likely]
    answered = any(one.cause is not None and one.cause.cause in CAUSES_OF_WAYS[Way.MELT] for one in others)
    if iced and not answered and ice_read_right(of, max(iced, key=of.visits.turn)) is None:
        yield RepairNeeded(Repair.FIND_WHAT_FREEZES, values={"parts": _may_hold_air(of)})


# --- control wiring ---------------------------------------------------------------------------------------

NEVER_LANDED = (FaultKind.NEVER_LANDED, FaultKind.HEAT_NEVER_LANDED)


def wiring_steps(of: Followed) -> tuple[Reason, ...]:
    """The jumper off, then the wire or preset that the wiring names, then the proof; empty without one."""
    calls = of.calls
    if calls is None:
        return ()
    dead, live = [], []
    for one in calls.faults:
        if not one.stands:
            continue
        if one.live:
            live.append(Reason(Detail.SET_PRESET, {"place": one.place}))
        elif one.kind in NEVER_LANDED:
            dead.append(Reason(Detail.LAND_WIRE, {"place": one.place}))
        else:
            dead.append(Reason(Detail.MEND_WIRE, {"fault": one.kind, "place": one.place}))
    if not dead and not live:
        return ()
    if calls.measure is not None and not _taken_off(of):
        # A wire landed beside the jumper would tie its source to whatever the jumper reaches.
        dead.insert(0, Reason(Detail.JUMPER_OFF))
    off = (Reason(Detail.WIRES_DEAD, {"steps": tuple(dead)}),) if dead else ()
    live.append(Reason(Detail.PROVE_CALLS))
    return (*off, Reason(Detail.WIRES_LIVE, {"steps": tuple(live)}))


def _taken_off(of: Followed) -> bool:
    """Whether every temporary measure on record was removed."""
    works = [work for _, work in of.visits.works() if work.kind == TEMPORARY]
    return bool(works) and all(work.removed for work in works)


def _wiring(of: Followed, others: tuple[RepairNeeded, ...]) -> Iterator[RepairNeeded]:
    """A feed that runs a compressor without its call, and faults of the wiring that no fan's repair mends."""
    if _jumper_feeds(of):
        yield _back_feed(Repair.TAKE_JUMPER_OFF)
    else:
        end = ended(of.put_right, Cause.BACK_FEED)
        if end is not None:
            yield _back_feed(Repair.FIND_WHAT_STARTS_IT, due(of, Cause.BACK_FEED))
    fan = any(one.repair in (Repair.FAN_TO_SPEED, Repair.FAN_RUNS) for one in others)
    if not fan and (steps := wiring_steps(of)):
        yield RepairNeeded(Repair.MEND_WIRING, details=steps)


def _jumper_feeds(of: Followed) -> bool:
    """Whether a jumper that is landed runs a compressor or heat by a call that is not its own.

    Landed by the record of the work, or because a compressor was read running without a call.
    """
    calls = of.calls
    if calls is None or calls.measure is None or not calls.back_feeds or _taken_off(of):
        return False
    noted = any(work.kind == TEMPORARY for _, work in of.visits.works())
    end = ended(of.put_right, Cause.BACK_FEED)
    return noted or (end is not None and end.open and bool(end.found.condition or end.again))


def _back_feed(repair: Repair, what: Due = Due.REPAIR) -> RepairNeeded:
    return RepairNeeded(repair, CauseAt(Cause.BACK_FEED), due=what)


PIECE, MASS = "1", "kg"
"""Units of a line: pieces, or refrigerant by weight."""


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line of a quote.

    Attributes
    ----------
    needed : RepairNeeded
        The repair that asks for it.
    part : Part
    quantity : Band or None
        How much of it in SI: low, likely and high; None where nothing tells how much.
    unit : str
        kg, or 1 for pieces.
    gas : str
        Name of the refrigerant; empty for another part.
    if_reused : Band or None
        Of refrigerant: what has to be new where what is recovered is clean and goes back [kg].
    method : str
        Of refrigerant: what the quantity rests on, one of the inventory's methods; empty for another part.
    """

    needed: RepairNeeded
    part: Part
    quantity: Band | None
    unit: str
    gas: str = ""
    if_reused: Band | None = None
    method: str = ""

    @property
    def repair(self) -> Repair:
        """The repair that asks for it."""
        return self.needed.repair

    @property
    def cause(self) -> CauseAt | None:
        """The cause that the repair puts right."""
        return self.needed.cause


def quote(called: Sequence[RepairNeeded], on_board: Mapping[str, CircuitInventory]) -> tuple[QuoteLine, ...]:
    """The lines of a quote, repair by repair.

    Parameters
    ----------
    called : sequence of RepairNeeded
        Repairs that are called for.
    on_board : mapping of str to CircuitInventory
        Refrigerant of each circuit.
    """
    return tuple(line for needed in called for line in _lines(needed, on_board))


def opened(called: Sequence[RepairNeeded]) -> tuple[str, ...]:
    """Circuits that a repair has to empty, in the order of the repairs."""
    emptied = (one.circuit for one in called if one.row.opens is Opens.EMPTIED)
    return tuple(dict.fromkeys(name for name in emptied if name is not None))


def _lines(needed: RepairNeeded, on_board: Mapping[str, CircuitInventory]) -> Iterator[QuoteLine]:
    for part in needed.row.parts:
        if part is Part.REFRIGERANT:
            yield _refrigerant(needed, on_board[needed.circuit or ""])
        else:
            yield QuoteLine(needed, part, Band(1.0, 1.0, 1.0), PIECE)


def _refrigerant(needed: RepairNeeded, circuit: CircuitInventory) -> QuoteLine:
    gas, name = circuit.gas, circuit.refrigerant
    if gas is None:
        return QuoteLine(needed, Part.REFRIGERANT, None, MASS, name)
    return QuoteLine(needed, Part.REFRIGERANT, gas.quote, MASS, name, gas.missing, circuit.method)
