"""What the refrigerant circuits speak against: charge, liquid that comes back, a vacuum, compressors that
stand or run against their call.

What to do about each is common practice, without a source, where none is named.
"""

from collections.abc import Iterator

from hvaccalc.call import Mode
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import CONFIRMED, FLOODBACK, ChargeVerdict, Evidence
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.job.causes import Cause
from hvaccalc.physics.refrigerant import safety_group
from hvaccalc.reason import Reason
from hvaccalc.service.may_run.concern import Action, Asks, Case, Concern, Do, Why
from hvaccalc.service.may_run.running import FAN, OFF, Running
from hvaccalc.service.put_right import ice_read_right
from hvaccalc.severity import Severity

FORBIDS = (Evidence.NO_SUBCOOLING, Evidence.SUCTION_BELOW_FREEZING, *FLOODBACK)
"""What forbids that a circuit short of charge runs on; common practice, no source."""

UNPROVED_WARM = "nothing shows that it stays above freezing"


def circuits(case: Case) -> Iterator[Concern]:
    """All of them."""
    yield from _gas_indoors(case)
    yield from _without_call(case)
    for name in case.of.job.circuit:
        yield from _vacuum(case, name)
        yield from _charge(case, name)
        yield from _evidence(case, name)
        yield from _beside(case, name)
        yield from _idle(case, name)
        yield from _drier_and_fans(case, name)
        yield from _overloaded(case, name)


OUTDOORS = "outdoor coil"
"""Where a leak lets nothing into the building."""


def _gas_indoors(case: Case) -> Iterator[Concern]:
    """A detector that last gave its alarm beside a flammable refrigerant: cooling off, and nobody stays.

    The fan alone is not switched for it, on or off: its air thins the gas out, and a switch may spark.
    """
    seen = [one for where in case.of.visits.places() if (one := case.of.visits.signs(where).leak_detector)]
    if not seen or "alarm" not in seen[-1].values:
        return
    # The digit of a safety group is 1 where no flame spreads (ANSI/ASHRAE 34).
    may = [
        name
        for name, circuit in case.of.job.circuit.items()
        if (safety_group(circuit.refrigerant) or "A1")[1] != "1"
        and circuit.leak.at != OUTDOORS
        and not case.closed(Cause.LOW_CHARGE, name)
    ]
    if may:
        known = [name for name in may if case.of.job.circuit[name].leak.given]
        why, do = Reason(Why.GAS, {"circuits": tuple(known or may)}), (Action(Reason(Do.GAS)),)
        yield Concern(case.those(Mode.COOL, Mode.HEAT, Mode.DEFROST), Asks.OFF, why, do)
        yield Concern((OFF, FAN), Asks.STEPS, why, do)


def _without_call(case: Case) -> Iterator[Concern]:
    """Compressors that run without a call: the feed comes off today; with the fan low or off they stop."""
    of = case.of
    for running in (OFF, *case.ways):
        read = case.read(running)
        if running == OFF and not case.closed(Cause.BACK_FEED):
            # One that stands later with the unit off may have been switched off by hand.
            read = [result for result in read if result.uncalled]
        result = read[0] if read else None
        if result is None or not result.uncalled:
            continue
        why = Reason(Why.WITHOUT_CALL, {"circuits": tuple(result.uncalled), "place": of.visits.name(result)})
        off = Reason(Do.REMOVE_FEED if result.fan_at_full else Do.OFF_WITHOUT_CALL)
        asks = Asks.STEPS if result.fan_at_full else Asks.OFF
        yield Concern((running,), asks, why, tuple(Action(off, name) for name in result.uncalled))
        if asks is Asks.OFF and not case.closed(Cause.BACK_FEED):
            # What is off at its disconnect answers no call either.
            for name in result.uncalled:
                yield Concern(case.with_circuit(name), Asks.OFF, why, (Action(off, name),))


def _vacuum(case: Case, name: str) -> Iterator[Concern]:
    """Suction near or below the atmosphere's while the compressor runs: it stops."""
    of = case.of
    read = [r for r in of.visits.by_time if name in of.draws.condition(r.where).circuit]
    # A pressure read at rest later takes nothing back of it.
    read = [r for r in read if compressors.runs(of.draws, r.where.at(name))]
    if not read:
        return
    place = read[-1].where.at(name)
    if any(flag.severity is Severity.STOP and flag.where == place for flag in of.screening.flags):
        why = Reason(Why.VACUUM, {"circuit": name, "place": of.visits.name(read[-1])})
        ways = (*case.running(place.at("")), *case.with_circuit(name))
        yield Concern(tuple(dict.fromkeys(ways)), Asks.OFF, why, (Action(Reason(Do.STOP_VACUUM), name),))


def _charge(case: Case, name: str) -> Iterator[Concern]:
    """What a verdict allows today."""
    charge = case.of.visits.charge(name)
    result = case.of.visits.result(charge.state.where) if charge is not None else None
    if charge is None or result is None:
        return
    row = charge.verdict.row
    ways = case.with_circuit(name)
    place = case.of.visits.name(result)
    leaks = case.of.job.circuit[name].leak.given
    if case.open(Cause.WEAK_COMPRESSOR, name):
        weak = [r for r in case.of.visits.by_time if name in r.charges and r.charges[name].pumping.weak][-1]
        why = Reason(Why.WEAK, {"circuit": name, "place": case.of.visits.name(weak)})
        yield Concern(ways, Asks.STEPS, why, (Action(Reason(Do.WEAK), name),))
        if not leaks:
            return
    if row.cause is Cause.LOW_CHARGE and case.mended(Cause.LOW_CHARGE, name):
        if leaks and _against(result, charge):
            yield _proof(case, name, Cause.LOW_CHARGE, ways)
    elif row.cause is Cause.LOW_CHARGE and not case.closed(Cause.LOW_CHARGE, name):
        if leaks:
            yield _leaking(case, name, result, charge)
        else:
            yield Concern(
                ways,
                Asks.STEPS,
                Reason(Why.LOW, {"circuit": name, "place": place}),
                (Action(Reason(Do.LOW), name),),
            )
    elif row.cause is Cause.OVERCHARGE and not case.closed(Cause.OVERCHARGE, name):
        yield Concern(
            ways,
            Asks.STEPS,
            Reason(Why.HIGH, {"circuit": name, "place": place}),
            (Action(Reason(Do.HIGH), name),),
        )
    elif not row.settled:
        do = (Action(Reason(Do.CANNOT_TELL), name),)
        yield Concern(ways, Asks.STEPS, Reason(Why.CANNOT_TELL, {"circuit": name, "place": place}), do)


def _proof(case: Case, name: str, cause: Cause, ways: tuple[Running, ...]) -> Concern:
    """A circuit that had to stay off, and of which only a work says that it was put right."""
    why = Reason(Why.CIRCUIT_REPAIRED, {"circuit": name, "part": cause})
    return Concern(ways, Asks.PROOF, why, (Action(Reason(Do.PROVE_CIRCUIT, {"circuit": name})),))


def _against(result: ConditionResult, charge: CircuitCharge) -> list[str]:
    """What forbids that a circuit that leaks runs on."""
    against: list[str] = [one.value for one in charge.evidence if one in FORBIDS]
    if result.freeze is None or not result.freeze.clear:
        against.append(UNPROVED_WARM)
    return against


def _leaking(case: Case, name: str, result: ConditionResult, charge: CircuitCharge) -> Concern:
    """Whether a leaking circuit may run until its repair."""
    against = _against(result, charge)
    place = case.of.visits.name(result)
    why = Reason(Why.LOW, {"circuit": name, "place": place})
    if against:
        do = Reason(Do.LEAK_OFF, {"against": tuple(against)})
        return Concern(case.with_circuit(name), _off(case, name, Asks.LESS), why, (Action(do, name),))
    may = Reason(Do.LEAK_MAY_RUN, {"place": place})
    return Concern(case.with_circuit(name), Asks.STEPS, why, (Action(may, name),))


def _evidence(case: Case, name: str) -> Iterator[Concern]:
    """Liquid that comes back or may, gas in the liquid line, cold suction.

    As read last in each way of running; in one in which the circuit was not read, as read last in any.
    """
    of = case.of
    anywhere = [result for result in of.visits.by_time if name in result.charges]
    for running in case.ways:
        result = case.last(running, lambda result: name in result.charges)
        if result is None and anywhere and running in case.with_circuit(name):
            result = anywhere[-1]
        if result is None:
            continue
        evidence = result.charges[name].evidence
        place = of.visits.name(result)
        floods = bool({*CONFIRMED, Evidence.FLOODBACK} & set(evidence))
        if repaired := [cause for cause in OF_THE_CHARGE if _since(case, cause, name, result)]:
            if floods and all(case.mended(cause, name) for cause in repaired):
                yield _proof(case, name, repaired[0], (running,))
            continue
        if floods:
            do = (Action(Reason(Do.FLOODBACK_OFF), name),)
            asks = Asks.OFF if set(CONFIRMED) & set(evidence) else Asks.LESS
            yield Concern((running,), asks, Reason(Why.FLOODBACK, {"circuit": name, "place": place}), do)
        elif Evidence.FLOODBACK_NOT_EXCLUDED in evidence:
            do = (Action(Reason(Do.FLOODBACK_CONFIRM), name),)
            yield Concern(
                (running,), Asks.STEPS, Reason(Why.FLOODBACK_OPEN, {"circuit": name, "place": place}), do
            )
        if Evidence.NO_SUBCOOLING in evidence:
            do = (Action(Reason(Do.NO_SUBCOOLING), name),)
            yield Concern(
                (running,), Asks.STEPS, Reason(Why.NO_SUBCOOLING, {"circuit": name, "place": place}), do
            )
        if Evidence.SUCTION_BELOW_FREEZING in evidence:
            own = _cold_by_itself(case, result, name)
            step = Action(Reason(Do.COLD_CIRCUIT), name) if own else Action(Reason(Do.WATCH_COLD))
            asks = _off(case, name, Asks.LESS) if own else Asks.STEPS
            why = Reason(Why.COLD_SUCTION, {"circuit": name, "place": place})
            yield Concern((running,), asks, why, (step,))


def _cold_by_itself(case: Case, result: ConditionResult, name: str) -> bool:
    """Whether a circuit's suction is cold for a cause of its own, so that fewer stages do not warm it.

    Another circuit reads above freezing beside it, or its drier holds back; a slow fan cools them all.
    """
    if case.open(Cause.FAN_STUCK_LOW) or ice_read_right(case.of, result.where.visit) is not None:
        return False
    others = [charge.evidence for other, charge in result.charges.items() if other != name]
    alone = bool(others) and all(Evidence.SUCTION_BELOW_FREEZING not in evidence for evidence in others)
    return alone or bool(result.circuits[name].drier_restricted)


OF_THE_CHARGE = (Cause.LOW_CHARGE, Cause.OVERCHARGE, Cause.RESTRICTION, Cause.OVERFEEDING_VALVE)
"""Causes whose repair makes older readings of a circuit's superheat and subcooling old."""


def _since(case: Case, cause: Cause, name: str, result: ConditionResult) -> bool:
    end = case.end(cause, name)
    if end is None or end.open or end.visit is None:
        return False
    return case.of.visits.turn(end.visit) > case.of.visits.turn(result.where.visit)


def _beside(case: Case, name: str) -> Iterator[Concern]:
    """A circuit that stands out, and a standing pressure that fits no full circuit: no refrigerant on it."""
    of = case.of
    ways = case.with_circuit(name)
    told = [r for r in of.visits.by_time if r.contrast is not None and name in r.charges]
    last = told[-1] if told else None
    closed = any(case.closed(cause, name) for cause in OF_THE_CHARGE)
    charge = of.visits.charge(name)
    # A verdict that says what to do with the refrigerant says it better than a comparison.
    closed = closed or (charge is not None and charge.verdict is not ChargeVerdict.AS_CHARTED)
    if last is not None and last.contrast is not None and last.contrast.suspect == name and not closed:
        why = Reason(Why.CONTRAST, {"circuit": name, "place": of.visits.name(last)})
        seen = tuple(dict.fromkeys((*ways, *case.running(last.where))))
        yield Concern(seen, Asks.STEPS, why, (Action(Reason(Do.CONTRAST), name),))
    places = [where for where in of.charge_evidence.standing if where.circuit == name]
    standing = (
        of.charge_evidence.standing[max(places, key=lambda w: (of.visits.turn(w.visit), w))]
        if places
        else None
    )
    if (
        standing is not None
        and standing.severity is Severity.ACT
        and not case.closed(Cause.NON_CONDENSABLES, name)
    ):
        why = Reason(Why.STANDING_PRESSURE, {"circuit": name})
        yield Concern(ways, Asks.STEPS, why, (Action(Reason(Do.STANDING_PRESSURE), name),))


def _idle(case: Case, name: str) -> Iterator[Concern]:
    """A compressor that is called and stands: what holds it off is found, never bridged."""
    for running in case.ways:
        read: list[ConditionResult] = case.read(running)
        if read and name in read[0].idle:
            why = Reason(Why.IDLE, {"circuit": name, "place": case.of.visits.name(read[0])})
            yield Concern((running,), Asks.STEPS, why, (Action(Reason(Do.FIND_HOLD), name),))


def _drier_and_fans(case: Case, name: str) -> Iterator[Concern]:
    """A drier that holds back and a condenser fan that stands, as read last: that one stops its circuit."""
    read = [result for result in case.of.visits.by_time if name in result.circuits]
    driers = [result for result in read if result.circuits[name].drier_restricted is not None]
    if driers and driers[-1].circuits[name].drier_restricted and not case.closed(Cause.RESTRICTION, name):
        why = Reason(Why.DRIER, {"circuit": name, "place": case.of.visits.name(driers[-1])})
        yield Concern(case.with_circuit(name), Asks.STEPS, why, (Action(Reason(Do.DRIER), name),))
    stood = [result for result in read if result.circuits[name].fans_stand is not None]
    if stood and not case.closed(Cause.CONDENSER_AIR, name):
        why = Reason(Why.CONDENSER_FANS, {"circuit": name, "place": case.of.visits.name(stood[-1])})
        do = (Action(Reason(Do.CONDENSER_FANS), name),)
        yield Concern(case.with_circuit(name), _off(case, name), why, do)


def _overloaded(case: Case, name: str) -> Iterator[Concern]:
    """A compressor that draws well above its plate, as read last: off until what loads it is put right."""
    read = [(r, r.charges[name].pumping) for r in case.of.visits.by_time if name in r.charges]
    read = [(result, pumps) for result, pumps in read if pumps.plate_share is not None]
    if read and read[-1][1].overloaded:
        result, pumps = read[-1]
        place = case.of.visits.name(result)
        why = Reason(Why.OVERLOADED, {"circuit": name, "share": pumps.plate_share or 0.0, "place": place})
        yield Concern(case.with_circuit(name), _off(case, name), why, (Action(Reason(Do.OVERLOADED), name),))


def _off(case: Case, name: str, asks: Asks = Asks.OFF) -> Asks:
    """How a circuit stays off: alone where another one was read last to pump within its plate."""
    return (
        Asks.CIRCUIT if any(_sound(case, other) for other in case.of.job.circuit if other != name) else asks
    )


def _sound(case: Case, name: str) -> bool:
    read = [r.charges[name] for r in case.of.visits.by_time if name in r.charges]
    if not read or set(FLOODBACK) & set(read[-1].evidence):
        return False
    return read[-1].pumping.text is Pumps.YES and not read[-1].pumping.overloaded
