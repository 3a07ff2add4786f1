"""Charge of each circuit: a verdict behind its gates, by the method that its metering device demands."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.charge.charge_rules import ChargeRule, charge_rule
from hvaccalc.diagnosis.charge.charge_target import Target, against_common, target
from hvaccalc.diagnosis.charge.gates import Gate, GateName, GateState, gates
from hvaccalc.diagnosis.charge.verdicts import OF_THE_SUPERHEAT, ChargeVerdict, Evidence
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import PERCENTILES, beyond
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.circuits import COMMON_SUBCOOLING, HIGH_OVER_OUTDOOR, LOW_DISCHARGE_SUPERHEAT
from hvaccalc.practice.statements import MOST
from hvaccalc.severity import Severity
from hvaccalc.units import limit_text


@dataclass(frozen=True, slots=True)
class CircuitCharge:
    """Verdict on one circuit in one condition.

    Attributes
    ----------
    verdict : ChargeVerdict
        Low where `word` is low or restricted.
    reason : str
        Why, one clause.
    settle : str
        The reading that would settle it, empty where nothing is open.
    provisos : tuple of str
        Conditions under which the verdict holds.
    gates : tuple of Gate
    deviation : ndarray or None
        Charge indicator over its target [K]; negative = short.
    target : str
        What it was held against.
    evidence : tuple of Evidence
        What speaks beside the verdict.
    held : Target
        The target with its method, tolerance and note.
    rule : ChargeRule
        Edition and role whose tolerances were taken.
    """

    state: CircuitState
    verdict: ChargeVerdict
    reason: str
    settle: str
    provisos: tuple[str, ...]
    gates: tuple[Gate, ...]
    deviation: np.ndarray | None
    target: str
    evidence: tuple[Evidence, ...] = field(default=())
    held: Target = field(default=Target())
    rule: ChargeRule | None = None

    @property
    def word(self) -> ChargeVerdict:
        """The verdict as it is told: "low or restricted" where a restriction would read the same.

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
        if Evidence.FLOODBACK_NOT_CONFIRMED in self.evidence:
            return Severity.WATCH
        return Severity.ACT if set(self.evidence) & set(OF_THE_SUPERHEAT) else Severity.NOTE


def circuit_charge(draws: Draws, state: CircuitState, flow: Airflow | None) -> CircuitCharge:
    """Judge one circuit."""
    checked = gates(draws, state.where, flow)
    rule = charge_rule(draws.job)
    held = target(draws, state, rule)
    verdict, reason, settle = _verdict(draws, state, checked, held, rule)
    told = verdict.row.settled
    provisos: tuple[str, ...] = ()
    if told:
        provisos = tuple(g.proviso for g in checked if g.proviso) + held.provisos
        if held.method == "subcooling" and state.subcooling is not None and state.subcooling.note:
            provisos += (f"with the {state.subcooling.note}",)
    return CircuitCharge(
        state,
        verdict,
        reason,
        settle,
        provisos,
        checked,
        held.deviation,
        held.name,
        _evidence(draws, state, verdict, rule),
        held,
        rule,
    )


def _verdict(
    draws: Draws, state: CircuitState, checked: tuple[Gate, ...], held: Target, rule: ChargeRule
) -> tuple[ChargeVerdict, str, str]:
    if held.deviation is None and held.is_dash:
        # A dash is an answer about the air, gates or not.
        return ChargeVerdict.CANNOT_TELL, held.why, held.settle
    if closed := _gates_closed(checked, rule):
        return closed
    if held.deviation is None:
        common = against_common(state, draws.job.display) if held.method == "subcooling" else ""
        return ChargeVerdict.CANNOT_TELL, f"{held.why}; {common}" if common else held.why, held.settle
    if not np.isfinite(held.deviation[0]):
        why = "the readings lie outside the refrigerant's tables"
        return ChargeVerdict.CANNOT_TELL, why, "check the gauge and its unit"
    return _judged(draws, state, held, rule)


def _gates_closed(checked: tuple[Gate, ...], rule: ChargeRule) -> tuple[ChargeVerdict, str, str] | None:
    unmet = [g for g in checked if g.state is GateState.UNMET]
    if unmet:
        why = "; ".join(f"{g.name}: {g.why}" for g in unmet)
        names = ", ".join(g.name for g in unmet if not g.settle)
        steps = [g.settle for g in unmet if g.settle]
        steps += [f"repeat the readings with {names}"] if names else []
        if any(g.name is GateName.OUTDOORS for g in unmet):
            steps.append(f"or recover and weigh the charge in ({rule.edition.name}: {rule.edition.weigh_in})")
        return ChargeVerdict.CANNOT_TELL, f"not met: {why}", "; ".join(steps)
    open_hard = [g for g in checked if g.hard and g.state is GateState.UNKNOWN]
    if open_hard:
        why = "; ".join(f"{g.name} ({g.why})" for g in open_hard)
        return ChargeVerdict.CANNOT_TELL, f"not known: {why}", "; ".join(g.settle for g in open_hard)
    return None


def _judged(
    draws: Draws, state: CircuitState, held: Target, rule: ChargeRule
) -> tuple[ChargeVerdict, str, str]:
    """Verdict with every gate open."""
    assert held.deviation is not None
    rows = held.deviation[1:][np.isfinite(held.deviation[1:])]
    display, tolerance = draws.job.display, held.tolerance
    near = limit_text(tolerance, "temperature_difference", display)
    frozen = state.coil_suction_saturation is not None and state.coil_suction_saturation[0] < FREEZING_POINT
    indicator = "margin of superheat" if held.method == "superheat" else "subcooling"
    if np.mean(rows < -tolerance) >= MOST:
        why = _short(state, held, display) or f"the subcooling stands below {held.name}"
        if _restriction_open(state, held):
            return ChargeVerdict.LOW, why, ChargeVerdict.LOW_OR_RESTRICTED.row.settle
        why += "; a restriction behind the condenser would hold liquid back and raise it"
        return ChargeVerdict.LOW, why, ChargeVerdict.LOW.row.settle
    if frozen:
        cold = limit_text(FREEZING_POINT, "temperature", display)
        why = f"suction saturation below {cold}: the coil may be freezing, which hides a full or high charge"
        return ChargeVerdict.CANNOT_TELL, why, "repeat with the coil thawed and suction above freezing"
    if np.mean(rows > tolerance) >= MOST:
        if held.method == "subcooling" and _starved(state, rule):
            why = (
                f"the subcooling stands above {held.name} and the superheat above "
                f"{limit_text(rule.tolerances.valve[1], 'temperature_difference', display)}: liquid is held "
                "back by a restriction or a starved valve before it is too much"
            )
            return (
                ChargeVerdict.CANNOT_TELL,
                why,
                "read the temperature before and after the drier, and at the valve",
            )
        if held.method == "superheat" and (why := _other_than_charge(state, display)):
            settle = "look at the condenser's face and fans, read the compressor's current, and read again"
            return ChargeVerdict.CANNOT_TELL, why, settle
        return ChargeVerdict.HIGH, f"the {indicator} stands above {held.name}", ""
    if np.mean(np.abs(rows) <= tolerance) >= MOST:
        return ChargeVerdict.AS_CHARTED, f"the {indicator} meets {held.name} within {near}", ""
    line = "suction" if held.method == "superheat" else "liquid"
    settle = f"repeat the {line} temperature and pressure with checked instruments, or recover and weigh"
    return ChargeVerdict.CANNOT_TELL, f"the band reaches across the limit of {near} about {held.name}", settle


def _restriction_open(state: CircuitState, held: Target) -> bool:
    """Whether a restriction may leave what was read: not where subcooling was read low at the condenser.

    Subcooling read at the metering device has the liquid line's own losses in it, and superheat alone rises
    with both.
    """
    if state.liquid_measured_at != "outdoor unit" or state.subcooling is None:
        return True
    if held.method == "subcooling":
        return False
    rows = state.subcooling.draws[1:]
    return not np.mean(rows[np.isfinite(rows)] < COMMON_SUBCOOLING[0]) >= MOST


def _short(state: CircuitState, held: Target, display: str) -> str:
    """The superheat that an orifice has too much of, in numbers; empty where the subcooling is judged."""
    if held.method != "superheat" or state.superheat is None or held.deviation is None:
        return ""
    read, above = float(state.superheat.draws[0]), -float(held.deviation[0])
    shown = [limit_text(part, "temperature_difference", display) for part in (read, above, read - above)]
    return f"the superheat of {shown[0]} stands {shown[1]} above {held.name} of {shown[2]}"


def _other_than_charge(state: CircuitState, display: str) -> str:
    """Why little superheat on a fixed orifice need not be too much charge; empty where liquid is backed up.

    A condenser short of air and a worn compressor lower the superheat as an overcharge does, but leave no
    liquid to spare (Li and Braun, rule table of residual signs).
    """
    usual = COMMON_SUBCOOLING[1]
    if state.over_outdoor is not None and state.over_outdoor[0] > HIGH_OVER_OUTDOOR:
        over = limit_text(HIGH_OVER_OUTDOOR, "temperature_difference", display)
        return f"little superheat, and condensing more than {over} above the outdoor air: the condenser first"
    if state.subcooling is not None and not state.subcooling.draws[0] > usual:
        shown = limit_text(usual, "temperature_difference", display)
        return (
            f"little superheat without more than {shown} of subcooling (common practice): a condenser short "
            "of air or a worn compressor does the same"
        )
    return ""


def _starved(state: CircuitState, rule: ChargeRule) -> bool:
    """Superheat above what a working valve keeps."""
    return state.superheat is not None and bool(state.superheat.draws[0] > rule.tolerances.valve[1])


def _evidence(
    draws: Draws, state: CircuitState, verdict: ChargeVerdict, rule: ChargeRule
) -> tuple[Evidence, ...]:
    if compressors.stands(draws, state.where):
        return (Evidence.NO_PRESSURE_DIFFERENCE,) if compressors.level(draws, state.where) else ()
    found = []
    if state.subcooling is not None and state.subcooling.draws[0] <= 0.0:
        found.append(Evidence.NO_SUBCOOLING)
    if state.superheat is not None:
        rows = state.superheat.draws
        if np.isfinite(rows).any() and not beyond(rows):
            found.append(_floodback(rows, state.discharge_superheat))
        elif draws.job.circuit[state.where.circuit].metering in ("TXV", "EEV") and _out_of_range(rows, rule):
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


def _floodback(superheat: np.ndarray, discharge: np.ndarray | None) -> Evidence:
    """What superheat about zero means: the discharge superheat decides wherever its band lets it."""
    if discharge is not None and np.isfinite(discharge[0]):
        low, high = (float(np.nanpercentile(discharge[1:], at)) for at in PERCENTILES)
        if high < LOW_DISCHARGE_SUPERHEAT[1] and discharge[0] < LOW_DISCHARGE_SUPERHEAT[0]:
            return Evidence.FLOODBACK_CONFIRMED
        if low > LOW_DISCHARGE_SUPERHEAT[0] and discharge[0] > LOW_DISCHARGE_SUPERHEAT[1]:
            return Evidence.FLOODBACK_NOT_CONFIRMED
    return Evidence.FLOODBACK if superheat[0] <= 0.0 else Evidence.FLOODBACK_NOT_EXCLUDED


def _out_of_range(superheat: np.ndarray, rule: ChargeRule) -> bool:
    low, high = rule.tolerances.valve
    rows = superheat[1:][np.isfinite(superheat[1:])]
    return bool(np.mean(rows < low) >= MOST or np.mean(rows > high) >= MOST)
