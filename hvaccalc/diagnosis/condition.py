"""Everything the package says of one operating condition, as typed results."""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.diagnosis import running
from hvaccalc.diagnosis.air import AirStates, CoilDuty, air_states, coil_duty
from hvaccalc.diagnosis.airflow import Airflow, airflow
from hvaccalc.diagnosis.build import Draws, Where
from hvaccalc.diagnosis.charge import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.circuit import CircuitState, circuit_state
from hvaccalc.diagnosis.contrast import Contrast, contrast
from hvaccalc.diagnosis.freeze import FreezeRisk, freeze_risk
from hvaccalc.diagnosis.line_set import with_lines
from hvaccalc.diagnosis.running import Proof
from hvaccalc.diagnosis.speed_check import SpeedCheck, speed_check
from hvaccalc.diagnosis.staging import StagingFault, staging_fault


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
    active = {name: state for name, state in circuits.items() if running.runs(draws, where.at(name))}
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
        idle=running.called_but_idle(draws, where),
    )


def _cools(draws: Draws, where: Where) -> bool:
    """Whether a compressor is proved to cool in a condition."""
    running_there = (
        running.compressor(draws, where.at(name)).state == "running" for name in draws.job.circuit
    )
    return not running.heating(draws, where) and any(running_there)
