"""Charge of each circuit: a verdict behind its gates, by the method that its metering device demands."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.charge.charge_reasons import Because, Line, Next, Proviso
from hvaccalc.diagnosis.charge.charge_rules import ChargeRule, charge_rule
from hvaccalc.diagnosis.charge.charge_target import (
    VALVES,
    Method,
    Target,
    Yardstick,
    against_common,
    target,
)
from hvaccalc.diagnosis.charge.gates import Gate, GateName, GateState, gates
from hvaccalc.diagnosis.charge.pumping import Pumping
from hvaccalc.diagnosis.charge.verdicts import CONFIRMED, OF_THE_SUPERHEAT, ChargeVerdict, Evidence
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.circuits.standing_pressure import stands_above
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.diagnosis.readings.signs import sign
from hvaccalc.ensemble import PERCENTILES, beyond
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.circuits import COMMON_SUBCOOLING, HIGH_OVER_OUTDOOR, LOW_DISCHARGE_SUPERHEAT
from hvaccalc.practice.statements import MOST
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class CircuitCharge:
    """Verdict on one circuit in one condition.

    Attributes
    ----------
    verdict : ChargeVerdict
        What it counts as to everything that decides: low where `told` is low or restricted.
    reason : Reason
        Why, one clause.
    settle : Reason or None
        The reading that would settle it, None where nothing is open.
    provisos : tuple of Reason
        Conditions under which the verdict holds.
    gates : tuple of Gate
    deviation : ndarray or None
        Charge indicator over its target [K]; negative = short.
    evidence : tuple of Evidence
        What speaks beside the verdict.
    held : Target
        The target with its method, tolerance and note.
    rule : ChargeRule
        Edition and role whose tolerances were taken.
    pumping : Pumping
        Whether its compressor pumps.
    """

    state: CircuitState
    pumping: Pumping
    verdict: ChargeVerdict
    reason: Reason
    settle: Reason | None
    provisos: tuple[Reason, ...]
    gates: tuple[Gate, ...]
    deviation: Array | None
    evidence: tuple[Evidence, ...] = field(default=())
    held: Target = field(default=Target())
    rule: ChargeRule | None = None

    @property
    def told(self) -> ChargeVerdict:
        """The verdict as told: "low or restricted" where a restriction would read the same.

        A restriction behind the condenser holds liquid back in it: subcooling that stands low at the
        condenser's outlet excludes one (Li and Braun, rule table of residual signs).
        """
        if self.verdict is not ChargeVerdict.LOW or not _restriction_open(self.state, self.held):
            return self.verdict
        return ChargeVerdict.LOW_OR_RESTRICTED

    @property
    def severity(self) -> Severity:
        """The verdict's, and never less than action while the coil ices up."""
        frozen = Evidence.SUCTION_BELOW_FREEZING in self.evidence
        return Severity.ACT if frozen else self.verdict.row.severity

    @property
    def subcooling_severity(self) -> Severity:
        """How much the subcooling matters by itself."""
        return Severity.ACT if Evidence.NO_SUBCOOLING in self.evidence else Severity.NOTE

    @property
    def superheat_severity(self) -> Severity:
        """How much the superheat matters by itself: liquid may come back to the compressor."""
        if set(self.evidence) & set(CONFIRMED):
            return Severity.STOP
        if Evidence.FLOODBACK_NOT_CONFIRMED in self.evidence:
            return Severity.WATCH
        return Severity.ACT if set(self.evidence) & set(OF_THE_SUPERHEAT) else Severity.NOTE


def circuit_charge(draws: Draws, state: CircuitState, flow: Airflow | None, pumps: Pumping) -> CircuitCharge:
    """Judge one circuit."""
    checked = (*gates(draws, state.where, flow), pumps.gate)
    rule = charge_rule(draws.job)
    held = target(draws, state, rule)
    verdict, reason, settle = _verdict(draws, state, checked, held, rule)
    told = verdict.row.settled
    provisos: tuple[Reason, ...] = ()
    if told:
        provisos = tuple(g.proviso for g in checked if g.proviso) + held.provisos
        if held.method is Method.SUBCOOLING and state.subcooling is not None and state.subcooling.note:
            provisos += (Reason(Proviso.ESTIMATED, {"note": state.subcooling.note}),)
    return CircuitCharge(
        state,
        pumps,
        verdict,
        reason,
        settle,
        provisos,
        checked,
        held.deviation,
        _evidence(draws, state, verdict, rule),
        held,
        rule,
    )


Judged = tuple[ChargeVerdict, Reason, Reason | None]
"""A verdict, why, and what would settle it."""


def _verdict(
    draws: Draws, state: CircuitState, checked: tuple[Gate, ...], held: Target, rule: ChargeRule
) -> Judged:
    if held.why is not None and held.is_dash:
        # A dash is an answer about the air, gates or not.
        return ChargeVerdict.CANNOT_TELL, held.why, held.settle
    if closed := _gates_closed(checked, rule):
        return closed
    if held.why is not None:
        why = against_common(state, held.why) if held.method is Method.SUBCOOLING else held.why
        return ChargeVerdict.CANNOT_TELL, why, held.settle
    assert held.deviation is not None
    if not np.isfinite(held.deviation[0]):
        return ChargeVerdict.CANNOT_TELL, Reason(Because.OUTSIDE_TABLES), Reason(Next.GAUGE_UNIT)
    judged = _judged(state, held, rule)
    if judged[0] is ChargeVerdict.HIGH and stands_above(draws, state.where):
        return ChargeVerdict.CANNOT_TELL, Reason(Because.GAS_INSIDE), Reason(Next.PROVE_GAS)
    return judged


def _gates_closed(checked: tuple[Gate, ...], rule: ChargeRule) -> Judged | None:
    unmet = [g for g in checked if g.state is GateState.UNMET]
    if unmet:
        steps = [g.settle for g in unmet if g.settle]
        names = tuple(g.name for g in unmet if not g.settle)
        steps += [Reason(Next.REPEAT_WITH, {"gates": names})] if names else []
        if any(g.name is GateName.OUTDOORS for g in unmet):
            steps.append(
                Reason(Next.WEIGH_IN, {"edition": rule.edition.name, "weigh_in": rule.edition.weigh_in})
            )
        why = Reason(Because.NOT_MET, {"gates": unmet_gates(unmet)})
        return ChargeVerdict.CANNOT_TELL, why, Reason(Next.STEPS, {"steps": tuple(steps)})
    open_hard = [g for g in checked if g.hard and g.state is GateState.UNKNOWN]
    if open_hard:
        each = tuple(Reason(Because.GATE_OPEN, {"gate": g.name, "why": g.why}) for g in open_hard)
        settle = Reason(Next.STEPS, {"steps": tuple(g.settle for g in open_hard if g.settle)})
        return ChargeVerdict.CANNOT_TELL, Reason(Because.NOT_KNOWN, {"gates": each}), settle
    return None


def unmet_gates(unmet: Sequence[Gate]) -> tuple[Reason, ...]:
    """Gates that are unmet, each with its evidence."""
    return tuple(Reason(Because.GATE_UNMET, {"gate": g.name, "why": g.why}) for g in unmet)


def _judged(state: CircuitState, held: Target, rule: ChargeRule) -> Judged:
    """Verdict with every gate open."""
    assert held.deviation is not None and held.name is not None
    rows = held.deviation[1:][np.isfinite(held.deviation[1:])]
    tolerance, method, name = held.tolerance, held.method, held.name
    frozen = state.coil_suction_saturation is not None and state.coil_suction_saturation[0] < FREEZING_POINT
    if np.mean(rows < -tolerance) >= MOST:
        why = _short(state, held, name)
        if _restriction_open(state, held):
            if state.drier_restricted:
                return ChargeVerdict.CANNOT_TELL, Reason(Because.DRIER_RESTRICTED), Reason(Next.DRIER_RENEWED)
            return ChargeVerdict.LOW, why, Reason(Next.DRIER_AND_DEVICE)
        return ChargeVerdict.LOW, Reason(Because.WOULD_HOLD_BACK, {"why": why}), Reason(Next.LEAK)
    if frozen:
        why = Reason(Because.FREEZING, {"cold": FREEZING_POINT})
        return ChargeVerdict.CANNOT_TELL, why, Reason(Next.THAWED)
    if np.mean(rows > tolerance) >= MOST:
        if method is Method.SUBCOOLING and _starved(state, rule):
            why = Reason(Because.HELD_BACK, {"target": name, "valve": rule.tolerances.valve[1]})
            settle = Reason(Next.DRIER_RENEWED if state.drier_restricted else Next.DRIER_AND_VALVE)
            return ChargeVerdict.CANNOT_TELL, why, settle
        if method is Method.SUPERHEAT and (other := _other_than_charge(state)):
            return ChargeVerdict.CANNOT_TELL, other, Reason(Next.CONDENSER_AND_CURRENT)
        return ChargeVerdict.HIGH, Reason(Because.STANDS_ABOVE, {"what": method, "target": name}), None
    if np.mean(np.abs(rows) <= tolerance) >= MOST:
        why = Reason(Because.MEETS, {"what": method, "target": name, "near": tolerance})
        return ChargeVerdict.AS_CHARTED, why, None
    line = Line.SUCTION if method is Method.SUPERHEAT else Line.LIQUID
    why = Reason(Because.ACROSS_LIMIT, {"near": tolerance, "target": name})
    return ChargeVerdict.CANNOT_TELL, why, Reason(Next.CHECKED_INSTRUMENTS, {"line": line})


def _restriction_open(state: CircuitState, held: Target) -> bool:
    """Whether a restriction may leave what was read: not where subcooling was read low at the condenser.

    Subcooling read at the metering device has the liquid line's own losses in it, and superheat alone rises
    with both.
    """
    if state.liquid_measured_at != "outdoor unit" or state.subcooling is None:
        return True
    if held.method is Method.SUBCOOLING:
        return False
    rows = state.subcooling.draws[1:]
    return not np.mean(rows[np.isfinite(rows)] < COMMON_SUBCOOLING[0]) >= MOST


def _short(state: CircuitState, held: Target, name: Yardstick) -> Reason:
    """The superheat that an orifice has too much of, in numbers; without where the subcooling is judged."""
    if held.method is not Method.SUPERHEAT or state.superheat is None or held.deviation is None:
        return Reason(Because.SUBCOOLING_BELOW, {"target": name})
    read, above = float(state.superheat.draws[0]), -float(held.deviation[0])
    return Reason(
        Because.SUPERHEAT_ABOVE, {"read": read, "above": above, "target": name, "wanted": read - above}
    )


def _other_than_charge(state: CircuitState) -> Reason | None:
    """Why little superheat on a fixed orifice need not be too much charge; None where liquid is backed up.

    A condenser short of air and a worn compressor lower the superheat as an overcharge does, but leave no
    liquid to spare (Li and Braun, rule table of residual signs).
    """
    usual = COMMON_SUBCOOLING[1]
    if state.over_outdoor is not None and state.over_outdoor[0] > HIGH_OVER_OUTDOOR:
        return Reason(Because.CONDENSER_FIRST, {"over": HIGH_OVER_OUTDOOR})
    if state.subcooling is not None and not state.subcooling.draws[0] > usual:
        return Reason(Because.LITTLE_SUPERHEAT, {"usual": usual})
    return None


def _starved(state: CircuitState, rule: ChargeRule) -> bool:
    """Superheat above what a working valve keeps."""
    return state.superheat is not None and bool(state.superheat.draws[0] > rule.tolerances.valve[1])


def _evidence(
    draws: Draws, state: CircuitState, verdict: ChargeVerdict, rule: ChargeRule
) -> tuple[Evidence, ...]:
    if compressors.stands(draws, state.where):
        return (Evidence.NO_PRESSURE_DIFFERENCE,) if compressors.level(draws, state.where) else ()
    found = []
    metering = draws.job.circuit[state.where.circuit].metering
    if state.subcooling is not None and state.subcooling.draws[0] <= 0.0 and metering != ORIFICE:
        found.append(Evidence.NO_SUBCOOLING)
    if state.superheat is not None:
        rows = state.superheat.draws
        if np.isfinite(rows).any() and not beyond(rows):
            frosted = "compressor" in sign(draws, state.where, "frost_on")
            found.append(_floodback(rows, state.discharge_superheat, frosted))
        elif metering in VALVES and _out_of_range(rows, rule):
            found.append(Evidence.SUPERHEAT_OUT_OF_RANGE)
    cold = state.coil_suction_saturation
    # In heating the suction side is outdoors, where frost is ordinary.
    if cold is not None and cold[0] < FREEZING_POINT and not compressors.heating(draws, state.where):
        found.append(Evidence.SUCTION_BELOW_FREEZING)
    table = draws.condition(state.where).circuit.get(state.where.circuit)
    if table is not None and table.sight_glass in ("bubbles", "empty"):
        beside = verdict in (ChargeVerdict.AS_CHARTED, ChargeVerdict.HIGH)
        found.append(Evidence.BUBBLES_BESIDE_THE_VERDICT if beside else Evidence.BUBBLES)
    return tuple(found)


def _floodback(superheat: Array, discharge: Array | None, frosted: bool) -> Evidence:
    """What superheat about zero means: frost on a compressor, else the discharge superheat decides."""
    if frosted:
        return Evidence.FLOODBACK_SEEN
    if discharge is not None and np.isfinite(discharge[0]):
        low, high = (float(np.nanpercentile(discharge[1:], at)) for at in PERCENTILES)
        if high < LOW_DISCHARGE_SUPERHEAT[1] and discharge[0] < LOW_DISCHARGE_SUPERHEAT[0]:
            return Evidence.FLOODBACK_CONFIRMED
        if low > LOW_DISCHARGE_SUPERHEAT[0] and discharge[0] > LOW_DISCHARGE_SUPERHEAT[1]:
            return Evidence.FLOODBACK_NOT_CONFIRMED
    return Evidence.FLOODBACK if superheat[0] <= 0.0 else Evidence.FLOODBACK_NOT_EXCLUDED


def _out_of_range(superheat: Array, rule: ChargeRule) -> bool:
    low, high = rule.tolerances.valve
    rows = superheat[1:][np.isfinite(superheat[1:])]
    return bool(np.mean(rows < low) >= MOST or np.mean(rows > high) >= MOST)
