"""Which faults give what a circuit shows, at the uncertainty of its readings; which reading tells them apart.

Residuals are measured less what the unit of the rating, sound, would show in this weather: at the airflow as
it was read, else at what full speed usually gives. Saturation, superheat and subcooling alone leave several
faults standing: then the answer is "ambiguous", and the list is the answer.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum, auto

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.sound_unit import normal as normal_reading
from hvaccalc.diagnosis.air.sound_unit import sound_states
from hvaccalc.diagnosis.charge import fault_signs as faults
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.charge.gates import GateName, GateState
from hvaccalc.diagnosis.charge.temperature_split import SplitScreen, split_screen
from hvaccalc.diagnosis.circuits.standing_pressure import Rest, Standing, standing
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.circuit_screening import ColumnCheck, column_check
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.unit.unit_state import UnitStates
from hvaccalc.practice.circuits import UNIT_ABOUT_MODEL
from hvaccalc.practice.statements import LEANS, SURE
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity

SUCTION = "suction saturation"
SAME_AIR = ("interlaced", "row split")
"""Circuiting where all the air meets every circuit."""


class Fit(StrEnum):
    """What is said of the faults that fit where it is no single one."""

    NOTHING = "nothing stands out"
    AMBIGUOUS = "ambiguous"
    NO_USUAL = "no usual fault"
    CANNOT_TELL = "cannot tell"


class Known(StrEnum):
    """What other than readings speaks of a fault."""

    OF_FAULT = auto()
    SIGHT_GLASS = auto()
    FANS = auto()
    NONE_FITTED = auto()
    STANDING_AGREES = auto()
    DRIER_COOLS = auto()
    NOT_BESIDE = auto()
    LEAK = auto()
    LEAK_AT = auto()


@dataclass(frozen=True, slots=True)
class Confusion:
    """Faults that fit one circuit's pattern.

    Attributes
    ----------
    where : Where
    text : Fit or CircuitFault
        The only fault that fits, or what is said where it is no single one.
    residuals : dict
        Measured less normal [K], (N + 1,), by `fault_signs.READINGS`.
    signs : dict
        -1, 0, +1 by the same.
    faults : tuple of CircuitFault
        Those that fit.
    seen : tuple of Reason
        Faults that are seen by other evidence, with the evidence; a leak and the sight glass.
    ruled_out : tuple of Reason
        Faults that fit the signs and are excluded, with the evidence.
    next : tuple of str
        Readings that tell them apart.
    alone : Reason or None
        Of `seen`, the fault that is the text.
    """

    where: Where
    text: Fit | CircuitFault
    residuals: dict[str, Array]
    signs: dict[str, int]
    faults: tuple[CircuitFault, ...]
    seen: tuple[Reason, ...]
    ruled_out: tuple[Reason, ...]
    next: tuple[str, ...]
    alone: Reason | None = None

    @property
    def severity(self) -> Severity:
        """Faults that fit are watched."""
        return Severity.WATCH if self.faults else Severity.NOTE


@dataclass(frozen=True, slots=True)
class _Evidence:
    """What other than residuals speaks of a circuit: fault and why."""

    seen: dict[CircuitFault, Reason]
    out: dict[CircuitFault, Reason]


def confusion(
    draws: Draws,
    result: ConditionResult,
    name: str,
    normal: UnitStates | None,
    standings: Mapping[Where, Standing],
) -> Confusion:
    """Faults that fit one circuit of a condition."""
    charge = result.charges[name]
    where = charge.state.where
    if result.air.entering is None or not result.air.entering.humid:
        normal = None
    residuals = _residuals(draws, result, charge, normal)
    signs = {reading: _sign(column) for reading, column in residuals.items()}
    evidence = _evidence(draws, charge, standings)
    if CircuitFault.LOW_AIRFLOW not in evidence.out | evidence.seen:
        evidence.out.update(_neighbour(draws, result, name, normal, residuals))
    if not set(signs) & {"superheat", "subcooling"}:
        return Confusion(where, Fit.CANNOT_TELL, residuals, signs, (), (), (), ())
    proved = CircuitFault.LOW_AIRFLOW in evidence.out or CircuitFault.LOW_AIRFLOW in evidence.seen
    leans = {reading: _sign(column, LEANS) for reading, column in residuals.items()}
    # Where nothing shows the airflow, a suction that only leans low is enough to keep low air in question.
    leaning = not proved and not any(signs.values()) and leans.get(SUCTION, 0) < 0
    pattern = signs | {SUCTION: -1} if leaning else signs
    fit = faults.consistent(pattern, draws.job.circuit[name].metering, proved, leans)
    shown = {*evidence.seen, *evidence.out}
    if CircuitFault.RESTRICTION in evidence.seen:
        # What a drier that was read explains needs no valve.
        shown.add(CircuitFault.STARVED_VALVE)
    kept = tuple(fault for fault in fit if fault not in shown)
    if CircuitFault.CONDENSER_AIR in fit and CircuitFault.CONDENSER_AIR in evidence.seen:
        # A condenser fan that was seen to stand explains it: it is mended before another fault is looked for.
        kept = ()
    seen = (*(_of(fault, why) for fault, why in evidence.seen.items()), *_facts(draws, where))
    out = tuple(
        _of(fault, why)
        for fault, why in evidence.out.items()
        if fault in fit or (fault == CircuitFault.LOW_AIRFLOW and kept)
    )
    text = _text(pattern, kept, evidence)
    alone = (
        _of(text, evidence.seen[text]) if isinstance(text, CircuitFault) and text in evidence.seen else None
    )
    return Confusion(where, text, residuals, signs, kept, seen, out, faults.separating(kept), alone)


def _of(fault: CircuitFault, why: Reason) -> Reason:
    return Reason(Known.OF_FAULT, {"fault": fault, "why": why})


def _text(
    signs: Mapping[str, int], kept: tuple[CircuitFault, ...], evidence: _Evidence
) -> Fit | CircuitFault:
    if not any(signs.values()):
        return next(iter(evidence.seen), Fit.NOTHING)
    if len(kept) > 1 or (kept and evidence.seen):
        return Fit.AMBIGUOUS
    return kept[0] if kept else next(iter(evidence.seen), Fit.NO_USUAL)


def _sign(column: Array, sure: float = SURE) -> int:
    rows = column[1:][np.isfinite(column[1:])]
    if rows.size == 0:
        return 0
    above = float(np.mean(rows > 0.0))
    return 1 if above >= sure else -1 if above <= 1.0 - sure else 0


def _residuals(
    draws: Draws, result: ConditionResult, charge: CircuitCharge, normal: UnitStates | None
) -> dict[str, Array]:
    """Measured less normal, the spread of what is normal included [K]."""
    state, name = charge.state, charge.state.where.circuit
    index = list(draws.job.circuit).index(name)
    superheat = None
    if state.superheat is not None:
        at_coil = state.lines.superheat_at_coil if state.lines is not None else None
        superheat = state.superheat.draws if at_coil is None else at_coil
    measured = {
        "suction saturation": (state.coil_suction_saturation, "suction_saturation"),
        "superheat": (superheat, "superheat"),
        "condensing saturation": (state.condensing_saturation, "condensing_saturation"),
        "subcooling": (None if state.subcooling is None else state.subcooling.draws, "subcooling"),
    }
    found = {}
    for reading, (column, field) in measured.items():
        expected = (
            None
            if normal is None
            else normal_reading(draws, state.where, reading, getattr(normal, field)[index])
        )
        if column is not None and expected is not None:
            found[reading] = column - expected
    held = charge.held
    if held.difference is not None:
        path = f"confusion/{state.where.path}/{held.method}"
        found[held.method] = held.difference + draws.ensemble.normal(path, 0.0, UNIT_ABOUT_MODEL / 2.0)
    found |= _air_drop(draws, result, normal)
    return {reading: found[reading] for reading in faults.READINGS if reading in found}


def _air_drop(draws: Draws, result: ConditionResult, normal: UnitStates | None) -> dict[str, Array]:
    """How much more the air cools than through a sound unit, where return and supply were read."""
    air = result.air
    if normal is None or air.entering is None or air.supply_air is None or not air.after_fan:
        return {}
    expected = normal_reading(draws, result.where, "supply", normal.supply_dry_bulb)
    return {} if expected is None else {"air drop": expected - air.supply_air.dry_bulb}


def _evidence(draws: Draws, charge: CircuitCharge, standings: Mapping[Where, Standing]) -> _Evidence:
    where = charge.state.where
    seen: dict[CircuitFault, Reason] = {}
    out: dict[CircuitFault, Reason] = {}
    for gate in charge.gates:
        if gate.name is GateName.AIRFLOW and gate.state is GateState.MET:
            out[CircuitFault.LOW_AIRFLOW] = gate.why
        elif gate.name is GateName.AIRFLOW and gate.state is GateState.UNMET:
            seen[CircuitFault.LOW_AIRFLOW] = gate.why
    table = draws.condition(where).circuit.get(where.circuit)
    if table is not None and table.sight_glass in ("bubbles", "empty"):
        for fault in (CircuitFault.OVERCHARGE, CircuitFault.NON_CONDENSABLES):
            out[fault] = Reason(Known.SIGHT_GLASS, {"seen": table.sight_glass})
    if (fans := charge.state.fans_stand) is not None:
        seen[CircuitFault.CONDENSER_AIR] = Reason(
            Known.FANS, {"running": str(fans.running), "of": str(fans.of or "all")}
        )
    if draws.job.unit.protection.head_control == "none":
        out[CircuitFault.HEAD_CONTROL] = Reason(Known.NONE_FITTED)
    if any(s.text is Rest.AGREES for s in standings.values() if s.where.circuit == where.circuit):
        out[CircuitFault.NON_CONDENSABLES] = Reason(Known.STANDING_AGREES)
    if charge.state.drier_restricted:
        seen[CircuitFault.RESTRICTION] = Reason(Known.DRIER_COOLS)
    return _Evidence(seen, out)


def _neighbour(
    draws: Draws,
    result: ConditionResult,
    name: str,
    normal: UnitStates | None,
    residuals: Mapping[str, Array],
) -> dict[CircuitFault, Reason]:
    """Low airflow excluded where another circuit in the same air does not show it; empty otherwise.

    The same airflow would lower the suction of both. Halves of a split face may have air of their own.
    """
    if draws.job.unit.circuiting not in SAME_AIR or SUCTION not in residuals:
        return {}
    for other, charge in result.charges.items():
        if other == name:
            continue
        beside = _residuals(draws, result, charge, normal).get(SUCTION)
        if beside is not None and _sign(residuals[SUCTION] - beside) < 0:
            return {CircuitFault.LOW_AIRFLOW: Reason(Known.NOT_BESIDE, {"circuit": other})}
    return {}


def _facts(draws: Draws, where: Where) -> tuple[Reason, ...]:
    """What was seen of the circuit and accuses no single fault for sure."""
    leak = draws.job.circuit[where.circuit].leak
    found = []
    if leak.model_fields_set:
        at = leak.at if leak.at != "unknown" else None
        found.append(Reason(Known.LEAK_AT, {"at": at}) if at else Reason(Known.LEAK))
    table = draws.condition(where).circuit.get(where.circuit)
    if table is not None and table.sight_glass in ("bubbles", "empty"):
        found.append(Reason(Known.SIGHT_GLASS, {"seen": table.sight_glass}))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class ChargeEvidence:
    """By place in the job; what cannot be said is left out."""

    standing: dict[Where, Standing]
    columns: dict[Where, ColumnCheck]
    split: dict[Where, SplitScreen]
    confusion: dict[Where, Confusion]


def charge_evidence(draws: Draws, results: Sequence[ConditionResult]) -> ChargeEvidence:
    """All of it, for the conditions given."""
    circuits = [result.where.at(name) for result in results for name in draws.condition(result.where).circuit]
    stand = ((where, standing(draws, where)) for where in circuits)
    standings = {where: one for where, one in stand if one is not None}
    read = ((where, column_check(draws, where)) for where in circuits)
    columns = {where: check for where, check in read if check is not None}
    # What a circuit looks like when it is short or full is known for cooling alone.
    cooling = [result for result in results if not compressors.heating(draws, result.where)]
    screened = ((result.where, split_screen(draws, result.where)) for result in cooling)
    splits = {where: screen for where, screen in screened if screen is not None}
    fit = {
        result.where.at(name): confusion(draws, result, name, sound_states(draws, result.where), standings)
        for result in cooling
        for name in result.charges
    }
    return ChargeEvidence(standings, columns, splits, fit)
