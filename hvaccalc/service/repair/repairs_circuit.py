"""What each refrigerant circuit calls for: its condenser, its compressor, its charge."""

from collections.abc import Collection, Iterator

from hvaccalc.diagnosis.charge.contrast import Contrast, Suspicion
from hvaccalc.diagnosis.charge.verdicts import FLOODBACK, ChargeVerdict
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.signs import LOOSE_BULB
from hvaccalc.job.causes import Cause, CauseAt
from hvaccalc.reason import Reason, Value
from hvaccalc.rows import complete
from hvaccalc.service.put_right import Ending, ended
from hvaccalc.service.repair.repair_rows import ROWS, Detail, Due, Followed, Repair, RepairNeeded, due, found

OF_VERDICTS: dict[ChargeVerdict, Repair | None] = complete(
    ChargeVerdict,
    {
        ChargeVerdict.LOW: Repair.FIND_LEAK,
        ChargeVerdict.LOW_OR_RESTRICTED: Repair.FIND_LEAK_OR_RESTRICTION,
        ChargeVerdict.HIGH: Repair.WEIGH_OUT,
        ChargeVerdict.AS_CHARTED: None,
        ChargeVerdict.CANNOT_TELL: None,
    },
)
"""What a verdict on a charge calls for."""

OF_CONTRASTS: dict[Suspicion, Repair | None] = complete(
    Suspicion,
    {
        Suspicion.LOW_CHARGE: Repair.FIND_LEAK,
        Suspicion.LOW_CHARGE_OR_RESTRICTION: Repair.FIND_LEAK_OR_RESTRICTION,
        Suspicion.RESTRICTION: Repair.CLEAR_RESTRICTION,
        Suspicion.OVERCHARGE: Repair.CONFIRM_OVERCHARGE,
        Suspicion.OVERFEEDING_VALVE: Repair.CHECK_VALVE,
        Suspicion.OVERFED: Repair.CHECK_ORIFICE,
        Suspicion.WEAK_COMPRESSOR: Repair.TRY_COMPRESSOR,
        Suspicion.NONE: None,
        Suspicion.CANNOT_TELL: None,
    },
)
"""What a circuit calls for by how it stands out beside another, where its own verdict is open."""

OF_CLOSED = {
    Cause.LOW_CHARGE: Repair.FIND_LEAK,
    Cause.OVERCHARGE: Repair.WEIGH_OUT,
    Cause.RESTRICTION: Repair.CLEAR_RESTRICTION,
    Cause.OVERFEEDING_VALVE: Repair.CHECK_VALVE,
    Cause.WEAK_COMPRESSOR: Repair.TRY_COMPRESSOR,
}
"""What was done, by the cause that was found and is put right by now: its proof is due."""

OPEN = (ChargeVerdict.CANNOT_TELL, ChargeVerdict.LOW_OR_RESTRICTED)
"""Verdicts that the other circuit may settle."""

OF_THE_FEED = (Suspicion.RESTRICTION, Suspicion.OVERFEEDING_VALVE, Suspicion.OVERFED)
"""What may set a circuit apart whose charge is as charted: what feeds its coil."""

TOO_MUCH = (Repair.WEIGH_OUT, Repair.CONFIRM_OVERCHARGE)
"""What gas that does not condense reads like: nothing is taken out before it is proved what stands there."""

HELD_BACK = (Repair.CLEAR_RESTRICTION, Repair.FIND_LEAK_OR_RESTRICTION)
"""What a restricted drier explains."""

VALVES = (Repair.CHECK_VALVE, Repair.CHECK_ORIFICE)
"""What a loose sensing bulb explains."""


def circuit_repairs(of: Followed) -> tuple[RepairNeeded, ...]:
    """What the circuits call for, circuit by circuit in the file's order."""
    return tuple(one for name in of.job.circuit for one in _of_circuit(of, name))


def _of_circuit(of: Followed, name: str) -> Iterator[RepairNeeded]:
    if found(of, Cause.CONDENSER_AIR, name):
        fans = _fans_that_stand(of, name)
        yield _needed(of, Repair.CONDENSER_FAN if fans else Repair.CLEAN_CONDENSER, name, fans)
    if _held_off(of, name):
        yield RepairNeeded(Repair.FIND_WHAT_HOLDS_OFF, circuit=name)
    if _floods(of, name):
        device = _DEVICES.get(of.job.circuit[name].metering or "", Detail.DEVICE_UNKNOWN)
        yield RepairNeeded(Repair.STOP_FLOODBACK, circuit=name, values={"device": device})
    if found(of, Cause.NON_CONDENSABLES, name):
        yield _needed(of, Repair.PROVE_GAS, name)
    called = tuple(dict.fromkeys(_of_refrigerant(of, name)))
    for repair in called:
        yield _needed(of, repair, name, {"at": leak_place(of, name)} if repair is Repair.MEND_LEAK else {})
    for cause, usual in OF_CLOSED.items():
        closed = found(of, cause, name) and due(of, cause, name) is Due.PROOF
        if closed and not any(cause in ROWS[repair].causes for repair in called):
            yield _needed(of, usual, name)


def _of_refrigerant(of: Followed, name: str) -> Iterator[Repair]:
    """What the charge and its metering call for."""
    called = dict.fromkeys((_charge_repair(of, name), *_beside_the_charge(of, name)))
    if drier := _drier_is_restricted(of, name):
        yield Repair.REPLACE_DRIER
    for repair in called:
        if repair is not None and not (drier and repair in HELD_BACK):
            yield Repair.SEAT_BULB if repair in VALVES and _bulb_is_loose(of) else repair


def _beside_the_charge(of: Followed, name: str) -> Iterator[Repair]:
    """What else is open in a circuit: a leak, or a charge that is off, answers for itself alone."""
    if found(of, Cause.WEAK_COMPRESSOR, name) and due(of, Cause.WEAK_COMPRESSOR, name) is Due.REPAIR:
        yield Repair.TRY_COMPRESSOR
    beside = _beside(of, name, OF_THE_FEED)
    if beside is not None:
        repair = OF_CONTRASTS[beside.text]
        if repair is not None and due(of, ROWS[repair].causes[0], name) is Due.REPAIR:
            yield repair


def bulb_repair(of: Followed, others: tuple[RepairNeeded, ...]) -> Iterator[RepairNeeded]:
    """A loose sensing bulb of a valve that nobody named: the sign stands on no circuit."""
    if _bulb_is_loose(of) and not any(one.repair is Repair.SEAT_BULB for one in others):
        yield RepairNeeded(Repair.SEAT_BULB)


def _bulb_is_loose(of: Followed) -> bool:
    """Whether a sensing bulb was last seen loose or bare, and no later work put a valve right."""
    seen = [
        (where, set(sign.values) & LOOSE_BULB)
        for where in of.visits.places()
        if (sign := of.visits.signs(where).sensing_bulb) is not None
    ]
    if not seen or not seen[-1][1]:
        return False
    ends = (ended(of.put_right, Cause.OVERFEEDING_VALVE, name) for name in of.job.circuit)
    return all(end is None or end.open for end in ends)


def _fans_that_stand(of: Followed, name: str) -> dict[str, Value]:
    """Condenser fans that ran of all, where its condenser was last found wrong and some stood; empty else."""
    end = ended(of.put_right, Cause.CONDENSER_AIR, name)
    result = of.visits.result(end.again or end.found) if end is not None else None
    fans = result.circuits[name].fans_stand if result is not None and name in result.circuits else None
    return {"running": str(fans.running), "all": str(fans.of or "all")} if fans is not None else {}


def _drier_is_restricted(of: Followed, name: str) -> bool:
    """Whether its drier was restricted when last read."""
    states = (r.circuits[name] for r in of.visits.by_time if name in r.circuits)
    read = [state for state in states if state.drier_restricted is not None]
    return bool(read) and bool(read[-1].drier_restricted)


def leak_place(of: Followed, name: str) -> Reason:
    """Where a circuit's leak was found."""
    at = of.job.circuit[name].leak.at
    return Reason(Detail.AT, {"place": at}) if at and at != "unknown" else Reason(Detail.KNOWN)


_DEVICES = {"TXV": Detail.VALVE_BULB, "EEV": Detail.VALVE_BULB, "fixed orifice": Detail.ORIFICE}


def _needed(of: Followed, repair: Repair, name: str, values: dict[str, Value] | None = None) -> RepairNeeded:
    """A repair of a circuit's cause, or its proof where the cause was put right."""
    (cause,) = ROWS[repair].causes
    what = _due(of, repair, cause, name)
    return RepairNeeded(repair, CauseAt(cause, name), name, what, values=values or {})


def _due(of: Followed, repair: Repair, cause: Cause, name: str) -> Due:
    end = ended(of.put_right, cause, name)
    if repair is Repair.MEND_LEAK and end is not None and end.ending is Ending.READ_RIGHT:
        # A charge that reads right does not by itself close a leak that was found: its repair does.
        repaired = end.works or of.job.circuit[name].leak.repaired is not None
        return Due.PROOF if repaired else Due.REPAIR
    return due(of, cause, name)


def _held_off(of: Followed, name: str) -> bool:
    """Whether its compressor stood though called, and no later visit saw it run."""
    stood = [result.where.visit for result in of.conditions if name in result.idle]
    if not stood:
        return False
    later = of.visits.later(max(stood, key=of.visits.turn))
    return not any(compressors.compressor(of.draws, r.where.at(name)).state is RunState.YES for r in later)


def _floods(of: Followed, name: str) -> bool:
    """Whether liquid may come back, by the latest visit that read its superheat."""
    read = [
        (result.where.visit, result.charges[name])
        for result in of.visits.by_time
        if name in result.charges and result.charges[name].state.superheat is not None
    ]
    return any(set(charge.evidence) & set(FLOODBACK) for visit, charge in read if visit == read[-1][0])


def _charge_repair(of: Followed, name: str) -> Repair | None:
    """The repair that the charge as read last calls for; None where nothing does."""
    if of.job.circuit[name].leak.given:
        end = ended(of.put_right, Cause.LOW_CHARGE, name)
        # The leak that was known is closed: another one has to be found.
        again = end is not None and end.ending is Ending.CAME_BACK
        return Repair.FIND_LEAK if again else Repair.MEND_LEAK
    if found(of, Cause.WEAK_COMPRESSOR, name) and due(of, Cause.WEAK_COMPRESSOR, name) is Due.REPAIR:
        # High suction with low head is no shortage, whatever was read of it before.
        return Repair.TRY_COMPRESSOR
    charge, beside = of.visits.charge(name), _beside(of, name)
    charted = charge is not None and charge.verdict is ChargeVerdict.AS_CHARTED
    fed = charted and beside is not None and beside.text in OF_THE_FEED
    if beside is not None and (charge is None or charge.told in OPEN or fed):
        repair = OF_CONTRASTS[beside.text]
    else:
        repair = None if charge is None else OF_VERDICTS[charge.told]
    gas = ended(of.put_right, Cause.NON_CONDENSABLES, name)
    return None if gas is not None and gas.open and repair in TOO_MUCH else repair


def _beside(of: Followed, name: str, looks: Collection[Suspicion] = tuple(Suspicion)) -> Contrast | None:
    """The latest comparison with another circuit in which this one stands out in one of some ways."""
    every = (r.contrast for r in of.visits.by_time if r.contrast is not None)
    those = [one for one in every if one.suspect == name and one.text in looks]
    return those[-1] if those else None
