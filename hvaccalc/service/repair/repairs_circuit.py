"""What each refrigerant circuit calls for: its condenser, its compressor, its charge."""

from collections.abc import Iterator

from hvaccalc.diagnosis.charge import fault_signs
from hvaccalc.diagnosis.charge.contrast import Contrast, Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict, Evidence
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import Running
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.job.causes import Cause, CauseAt
from hvaccalc.reason import Reason, Value
from hvaccalc.rows import complete
from hvaccalc.service.put_right import Ending, ended
from hvaccalc.service.repair.repair_rows import ROWS, Detail, Due, Followed, Repair, RepairNeeded, due, found

FLOODBACK = (Evidence.FLOODBACK_CONFIRMED, Evidence.FLOODBACK, Evidence.FLOODBACK_NOT_EXCLUDED)
"""Evidence that liquid may come back to the compressor."""

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
        Suspicion.SHORT: Repair.FIND_LEAK,
        Suspicion.SHORT_OR_RESTRICTED: Repair.FIND_LEAK_OR_RESTRICTION,
        Suspicion.RESTRICTED: Repair.CLEAR_RESTRICTION,
        Suspicion.OVERCHARGED: Repair.CONFIRM_OVERCHARGE,
        Suspicion.OVERFEEDING_VALVE: Repair.CHECK_VALVE,
        Suspicion.OVERFED: Repair.CHECK_ORIFICE,
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
}
"""What was done, by the cause that was found and is put right by now: its proof is due."""

OPEN = (ChargeVerdict.CANNOT_TELL, ChargeVerdict.LOW_OR_RESTRICTED)
"""Verdicts that the other circuit may settle."""

LEAK_SEARCHES = (Repair.FIND_LEAK, Repair.FIND_LEAK_OR_RESTRICTION)


def circuit_repairs(of: Followed) -> tuple[RepairNeeded, ...]:
    """What the circuits call for, circuit by circuit in the file's order."""
    return tuple(one for name in of.job.circuit for one in _of_circuit(of, name))


def _of_circuit(of: Followed, name: str) -> Iterator[RepairNeeded]:
    if found(of, Cause.CONDENSER_AIR, name):
        yield _put_right(of, Repair.CLEAN_CONDENSER, name)
    if _held_off(of, name):
        yield RepairNeeded(Repair.FIND_WHAT_HOLDS_OFF, circuit=name)
    if _floods(of, name):
        device = _DEVICES.get(of.job.circuit[name].metering or "", Detail.DEVICE_UNKNOWN)
        yield RepairNeeded(Repair.STOP_FLOODBACK, circuit=name, values={"device": device})
    if found(of, Cause.NON_CONDENSABLES, name):
        yield _put_right(of, Repair.PROVE_GAS, name)
    repair = _charge_repair(of, name)
    if repair is not None:
        values: dict[str, Value] = {"at": leak_place(of, name)} if repair is Repair.MEND_LEAK else {}
        yield _put_right(of, repair, name, values)
    for cause, usual in OF_CLOSED.items():
        closed = found(of, cause, name) and due(of, cause, name) is Due.PROOF
        if closed and (repair is None or cause not in ROWS[repair].causes):
            yield _put_right(of, usual, name)


def leak_place(of: Followed, name: str) -> Reason:
    """Where a circuit's leak was found."""
    at = of.job.circuit[name].leak.at
    return Reason(Detail.AT, {"place": at}) if at and at != "unknown" else Reason(Detail.KNOWN)


_DEVICES = {"TXV": Detail.VALVE_BULB, "EEV": Detail.VALVE_BULB, "fixed orifice": Detail.ORIFICE}


def _put_right(
    of: Followed, repair: Repair, name: str, values: dict[str, Value] | None = None
) -> RepairNeeded:
    """A repair of a circuit's cause, or its proof where the cause was put right."""
    (cause,) = ROWS[repair].causes
    what = _due(of, repair, cause, name)
    return RepairNeeded(repair, CauseAt(cause, name), name, what, values=values or {})


def _due(of: Followed, repair: Repair, cause: Cause, name: str) -> Due:
    end = ended(of.put_right, cause, name)
    if repair is Repair.MEND_LEAK and end is not None and end.ending is not Ending.MENDED:
        # A charge that reads right does not close a leak that was found.
        return Due.REPAIR
    return due(of, cause, name)


def _held_off(of: Followed, name: str) -> bool:
    """Whether its compressor stood though called, and no later visit saw it run."""
    stood = [result.where.visit for result in of.conditions if name in result.idle]
    if not stood:
        return False
    later = of.visits.later(max(stood, key=of.visits.turn))
    return not any(compressors.compressor(of.draws, r.where.at(name)).state is Running.YES for r in later)


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
    charge, beside = of.visits.charge(name), _beside(of, name)
    if beside is not None and (charge is None or charge.told in OPEN):
        repair, where = OF_CONTRASTS[beside.text], beside.where.at(name)
    elif charge is not None:
        repair, where = OF_VERDICTS[charge.told], charge.state.where
    else:
        return None
    return Repair.TRY_COMPRESSOR if repair in LEAK_SEARCHES and _does_not_pump(of, where) else repair


def _beside(of: Followed, name: str) -> Contrast | None:
    """The latest comparison with another circuit in which this one stands out."""
    those = [r.contrast for r in of.visits.by_time if r.contrast is not None and r.contrast.suspect == name]
    return those[-1] if those else None


def _does_not_pump(of: Followed, where: Where) -> bool:
    """Whether suction stands above what the sound unit shows and the worn compressor fits: never a shortage.

    Less charge lowers the suction (Li and Braun, rule table of residual signs).
    """
    fits = of.charge_evidence.confusion.get(where)
    if fits is None or fits.signs.get(fault_signs.READINGS[0], 0) <= 0:
        return False
    return fault_signs.WORN in fits.faults and fault_signs.LOW_CHARGE not in fits.faults
