"""Everything the package says of one operating condition, as typed results."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.air.air_states import AirStates, CoilDuty, air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.air.fan_check import SpeedCheck
from hvaccalc.diagnosis.air.freeze import FreezeRisk, freeze_risk
from hvaccalc.diagnosis.air.speed_check import speed_check
from hvaccalc.diagnosis.air.staging import StagingFault, staging_fault
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.charge.contrast import Contrast, contrast
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_state
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import Proof, Running
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.air import FULL_SPEED, SHORT_OF_AIR
from hvaccalc.practice.charge import HIGH_OVER_OUTDOOR, MOST_CAPACITY
from hvaccalc.practice.statements import MOST
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class ConditionResult:
    """Results of one condition; None where the readings do not reach or nothing runs.

    `idle` holds the circuits that are called and stand; `too_much` is more capacity than the unit can give.
    """

    where: Where
    label: str
    air: AirStates
    airflow: Airflow | None
    duty: CoilDuty
    circuits: dict[str, CircuitState]
    charges: dict[str, CircuitCharge]
    contrast: Contrast | None
    freeze: FreezeRisk | None
    staging: StagingFault | None
    speed: SpeedCheck | None
    idle: dict[str, Proof]
    too_much: bool = False

    @property
    def short_of_air(self) -> bool:
        """Whether air is missing though the fan turns at full speed."""
        flow = self.airflow
        ratio = flow.speed_ratio if flow is not None else None
        if flow is None or ratio is None or not flow.measured or self.staging is not None:
            return False
        share = flow.rated_share[1:]
        return bool(
            ratio.draws[0] >= FULL_SPEED and np.mean(share[np.isfinite(share)] < SHORT_OF_AIR) >= MOST
        )

    @property
    def duty_severity(self) -> Severity:
        """More capacity than the unit can give is watched: a reading is off."""
        return Severity.WATCH if self.too_much else Severity.NOTE

    @property
    def severities(self) -> tuple[Severity, ...]:
        """Of everything that was found in it by its own readings, notes included."""
        parts = [self.duty_severity, *(Severity.WATCH for _ in self.condenses_high)]
        parts += [part.severity for part in (self.airflow, self.contrast, self.staging) if part is not None]
        for name, state in self.circuits.items():
            charge = self.charges.get(name)
            if charge is not None:
                parts += [charge.severity, charge.subcooling_severity, charge.superheat_severity]
            parts += [state.lines.flash_severity] if state.lines is not None else []
        if self.freeze is not None:
            parts += [self.freeze.fin_severity, self.freeze.suction_severity]
            parts += [Severity.ACT] if self.freeze.ice_seen else []
        parts += [Severity.ACT for _ in self.idle]
        return (*parts, *([Severity.ACT] if self.short_of_air else []))

    @property
    def condenses_high(self) -> tuple[str, ...]:
        """Circuits that condense further above the outdoor air than a sound condenser lets them."""
        over = {name: state.over_outdoor for name, state in self.circuits.items()}
        known = {name: rows[1:][np.isfinite(rows[1:])] for name, rows in over.items() if rows is not None}
        return tuple(name for name, rows in known.items() if np.mean(rows > HIGH_OVER_OUTDOOR) >= MOST)


def diagnose(draws: Draws, where: Where) -> ConditionResult:
    """Diagnose one condition.

    Parameters
    ----------
    draws : Draws
        With contradicting readings left out.
    where : Where
    """
    condition = draws.condition(where)
    states = air_states(draws, where)
    flow = airflow(draws, states)
    found = {name: circuit_state(draws, where.at(name)) for name in condition.circuit}
    circuits = {name: state for name, state in found.items() if state is not None}
    active = {name: state for name, state in circuits.items() if compressors.runs(draws, where.at(name))}
    charges = {name: circuit_charge(draws, state, flow) for name, state in active.items()}
    duty = coil_duty(states, flow.dry_air_flow if flow else None, _cools(draws, where))
    return ConditionResult(
        where=where,
        label=condition.label or f"condition {where.condition}",
        air=states,
        airflow=flow,
        duty=duty,
        circuits=circuits,
        charges=charges,
        contrast=contrast(draws, where, charges),
        freeze=freeze_risk(draws, states, flow, circuits),
        staging=staging_fault(draws, where),
        speed=speed_check(draws, where, flow),
        idle=compressors.called_but_idle(draws, where),
        too_much=_too_much(duty, draws.job.unit.rated_capacity.value),
    )


def _too_much(duty: CoilDuty, rated: float) -> bool:
    if duty.total is None or duty.condensate is None:
        return False
    rows = duty.total[1:][duty.possible[1:] & np.isfinite(duty.total[1:])]
    return rows.size > 0 and bool(np.mean(rows > MOST_CAPACITY * rated) >= MOST)


def _cools(draws: Draws, where: Where) -> bool:
    """Whether a compressor is proved to cool in a condition."""
    running_there = (
        compressors.compressor(draws, where.at(name)).state is Running.YES for name in draws.job.circuit
    )
    return not compressors.heating(draws, where) and any(running_there)
