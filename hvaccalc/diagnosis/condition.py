"""Everything the package says of one operating condition, as typed results."""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.diagnosis.air.air_states import AirStates, CoilDuty, air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.air.freeze import FreezeRisk, freeze_risk
from hvaccalc.diagnosis.air.speed_check import SpeedCheck, speed_check
from hvaccalc.diagnosis.air.staging import StagingFault, staging_fault
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.charge.contrast import Contrast, contrast
from hvaccalc.diagnosis.circuits.circuit_readings import CircuitState, circuit_state
from hvaccalc.diagnosis.circuits.line_set import with_lines
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import Proof
from hvaccalc.diagnosis.readings.draws import Draws, Where


@dataclass(frozen=True, slots=True)
class ConditionResult:
    """Results of one condition; None where the readings do not reach or nothing runs.

    `idle` holds the circuits that are called and stand.
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
    states_by_name = {name: circuit_state(draws, where.at(name)) for name in condition.circuit}
    circuits = {name: with_lines(draws, s) for name, s in states_by_name.items() if s is not None}
    active = {name: state for name, state in circuits.items() if compressors.runs(draws, where.at(name))}
    charges = {name: circuit_charge(draws, state, flow) for name, state in active.items()}
    return ConditionResult(
        where=where,
        label=condition.label or f"condition {where.condition}",
        air=states,
        airflow=flow,
        duty=coil_duty(states, flow.dry_air_flow if flow else None, _cools(draws, where)),
        circuits=circuits,
        charges=charges,
        contrast=contrast(draws, where, charges),
        freeze=freeze_risk(draws, states, flow, circuits),
        staging=staging_fault(draws, where),
        speed=speed_check(draws, where, flow),
        idle=compressors.called_but_idle(draws, where),
    )


def _cools(draws: Draws, where: Where) -> bool:
    """Whether a compressor is proved to cool in a condition."""
    running_there = (
        compressors.compressor(draws, where.at(name)).state == "running" for name in draws.job.circuit
    )
    return not compressors.heating(draws, where) and any(running_there)
