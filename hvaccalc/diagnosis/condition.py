"""Everything the package says of one operating condition, as typed results, and how the job was taken."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.air_states import (
    AirStates,
    CoilDuty,
    DuctSurface,
    air_states,
    coil_duty,
    duct_surface,
)
from hvaccalc.diagnosis.air.airflow import Airflow, StagingFault, airflow, staging_fault
from hvaccalc.diagnosis.air.fan_check_rows import MotorLoad, SpeedCheck, motor_load
from hvaccalc.diagnosis.air.fan_checks import speed_check
from hvaccalc.diagnosis.air.fan_data import Wheel, backwards, wheel
from hvaccalc.diagnosis.air.freeze import FreezeRisk, freeze_risk
from hvaccalc.diagnosis.air.mixed_air import OutdoorAir, outdoor_air
from hvaccalc.diagnosis.air.sound_unit import sound_states
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.charge.contrast import Contrast, contrast
from hvaccalc.diagnosis.charge.pumping import pumping
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_as_read, oddities
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.contradictions.fan_screening import traverse_note
from hvaccalc.diagnosis.contradictions.screening import Flag, Screening
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.compressors import RunProof, RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.job.schema import Notice
from hvaccalc.physics.refrigerant import NAMES, Refrigerant
from hvaccalc.practice.air import AIRFLOW_PER_TON, FULL_SPEED, SHORT_OF_AIR, USUAL_RETURN
from hvaccalc.practice.circuits import (
    HIGH_OVER_OUTDOOR,
    MOST_CAPACITY,
    MOST_SUPERHEAT,
    REMARKABLE_SUBCOOLING,
)
from hvaccalc.practice.statements import MOST
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class ConditionResult:
    """Results of one condition; None where the readings do not reach or nothing runs.

    `idle` holds the circuits that are called and stand, `uncalled` those that run without a call;
    `too_much` is more capacity than the unit can give;
    `backwards` is a fan wheel seen to turn the wrong way.
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
    motor: MotorLoad | None
    wheel: Wheel | None
    outdoors: OutdoorAir | None
    duct: DuctSurface | None
    idle: dict[str, RunProof]
    uncalled: dict[str, RunProof] = field(default_factory=dict)
    too_much: bool = False
    backwards: bool = False

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
    def air_severity(self) -> Severity:
        """Air that is missing at full speed calls for action."""
        return Severity.ACT if self.short_of_air else Severity.NOTE

    @property
    def rotation_severity(self) -> Severity:
        """A wheel that turns backwards calls for action."""
        return Severity.ACT if self.backwards else Severity.NOTE

    @property
    def idle_severity(self) -> Severity:
        """A compressor that is called and stands calls for action."""
        return Severity.ACT if self.idle else Severity.NOTE

    @property
    def fan_at_full(self) -> bool:
        """Whether the fan was read at full speed."""
        ratio = self.airflow.speed_ratio if self.airflow is not None else None
        return ratio is not None and ratio.basis == "measured" and bool(ratio.draws[0] >= FULL_SPEED)

    @property
    def uncalled_severity(self) -> Severity:
        """A compressor that runs without a call loses its feed today; without full air it stops."""
        if not self.uncalled:
            return Severity.NOTE
        return Severity.ACT if self.fan_at_full else Severity.STOP

    def condensing_severity(self, name: str) -> Severity:
        """A circuit that condenses high is watched."""
        return Severity.WATCH if name in self.condenses_high else Severity.NOTE

    @property
    def severities(self) -> tuple[Severity, ...]:
        """Of everything that was found in it by its own readings, notes included."""
        parts = [self.duty_severity, self.air_severity, *(self.idle_severity for _ in self.idle)]
        parts += [self.uncalled_severity for _ in self.uncalled]
        parts += [self.condensing_severity(name) for name in self.circuits]
        parts += [
            part.severity
            for part in (self.airflow, self.contrast, self.staging, self.motor, self.wheel, self.outdoors)
            if part
        ]
        parts += [self.rotation_severity]
        for name, state in self.circuits.items():
            charge = self.charges.get(name)
            if charge is not None:
                parts += [charge.severity, charge.subcooling_severity, charge.superheat_severity]
                parts.append(charge.pumping.severity)
            parts += [state.lines.flash_severity] if state.lines is not None else []
            parts += [state.drier_severity, state.fans_severity]
        if self.freeze is not None:
            parts += [self.freeze.fin_severity, self.freeze.suction_severity, self.freeze.ice_severity]
        return tuple(parts)

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
    found = {name: circuit_as_read(draws, where.at(name)) for name in condition.circuit}
    circuits = {name: state for name, state in found.items() if state is not None}
    active = {name: state for name, state in circuits.items() if compressors.runs(draws, where.at(name))}
    pumps = pumping(draws, active, flow, lambda: sound_states(draws, where))
    charges = {name: circuit_charge(draws, state, flow, pumps[name]) for name, state in active.items()}
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
        motor=motor_load(draws, where),
        wheel=wheel(draws, where),
        outdoors=outdoor_air(draws, states),
        duct=duct_surface(draws, where),
        idle=compressors.called_but_idle(draws, where),
        uncalled=compressors.uncalled(draws, where),
        too_much=_too_much(duty, draws.job.unit.rated_capacity.value),
        backwards=backwards(draws, where),
    )


def _too_much(duty: CoilDuty, rated: float) -> bool:
    if duty.total is None or duty.condensate is None:
        return False
    rows = duty.total[1:][duty.possible[1:] & np.isfinite(duty.total[1:])]
    return rows.size > 0 and bool(np.mean(rows > MOST_CAPACITY * rated) >= MOST)


def _cools(draws: Draws, where: Where) -> bool:
    """Whether a compressor is proved to cool in a condition."""
    running_there = (
        compressors.compressor(draws, where.at(name)).state is RunState.YES for name in draws.job.circuit
    )
    return not compressors.heating(draws, where) and any(running_there)


def notices(draws: Draws, screening: Screening, results: Iterable[ConditionResult]) -> tuple[Notice, ...]:
    """Notices that need physics; those of the file itself come with the job."""
    found = [_flagged(flag) for flag in screening.flags]
    for name, circuit in draws.job.circuit.items():
        fluid = draws.refrigerant(name)
        if fluid is not None and fluid.glide:
            found.append(Notice("refrigerant_glide", f"circuit.{name}", _glide(fluid, draws.job.display)))
        if fluid is None:
            text = (
                f"{circuit.refrigerant} is not carried (carried: {', '.join(NAMES)}); circuit "
                f"{name} is left out."
            )
            found.append(Notice("refrigerant_not_carried", f"circuit.{name}", text))
        for key, why in oddities(circuit.lines).items():
            where = f"circuit.{name}.lines.{key}"
            typed = getattr(circuit.lines, key).text
            found.append(Notice("unusual.line", where, f'"{typed}": {why}; not taken.'))
    if keys := rated_unit.keys_without_coil(draws):
        found.append(Notice("unusual.rating", "unit", _no_coil(draws, keys)))
    for result in results:
        found += _unusual(draws, result)
    return tuple(found)


def _no_coil(draws: Draws, keys: tuple[str, ...]) -> str:
    """What drops out where no coil has the rating, and which key may be to blame."""
    unit = draws.job.unit
    values = {key: unit.fan.input_power if "." in key else getattr(unit, key) for key in keys}
    typed = [f"{key} ({value.text})" for key, value in values.items() if value is not None]
    return (
        f"No coil has this rating, so the coldest metal, freezing ahead, pumping and what-if are left out: "
        f"{' or '.join(typed)} does not go with the rest. Read the plate again."
    )


def _glide(fluid: Refrigerant, display: str) -> str:
    """Which edge a glide blend's readings are held against, and how far apart the edges lie."""
    ice = float(units.degC(0.0))
    apart = float(fluid.dew_temperature(fluid.bubble_pressure(ice)) - ice)
    shown = units.value_text(apart, "temperature_difference", display)
    at = units.value_text(ice, "temperature", display)
    return (
        f"{fluid.name} is a blend with glide, dew {shown} above bubble at {at}: liquid readings are held "
        f"against bubble, suction and discharge readings against dew."
    )


def place(where: Where) -> str:
    """A place in words: ``visit 1, condition 2, circuit 1``."""
    parts = (("visit", where.visit), ("condition", where.condition), ("circuit", where.circuit))
    return ", ".join(f"{word} {part}" for word, part in parts if part) or "job"


def _flagged(flag: Flag) -> Notice:
    left_out = f" Left out of inference: {', '.join(flag.keys)}." if flag.left_out else ""
    return Notice(f"contradiction.{flag.code}", place(flag.where), flag.text + left_out)


def _remarkable(state: CircuitState, display: str) -> Iterator[Notice]:
    """Subcooling and superheat that few circuits reach, with the readings that they are from."""
    for name, read, most, line, other in (
        ("subcooling", state.subcooling, REMARKABLE_SUBCOOLING, "liquid", "overcharge, restriction"),
        ("superheat", state.superheat, MOST_SUPERHEAT, "suction", "a starved coil"),
    ):
        if read is None or not read.draws[0] > most:
            continue
        shown = units.value_text(read.draws[0], "temperature_difference", display)
        usual = units.limit_text(most, "temperature_difference", display)
        text = (
            f"{name.capitalize()} of {shown} is above {usual}: {other}, or a wrong reading. "
            f"Read {line} pressure and {line} temperature again."
        )
        yield Notice(f"unusual.{name}", place(state.where), text)


def _unusual(draws: Draws, result: ConditionResult) -> list[Notice]:
    display, where = draws.job.display, result.where
    found = []
    if result.airflow is not None and result.airflow.basis != "assumed":
        tons = units.to(draws.job.unit.rated_capacity.value, "ton", "heat")
        per_ton = float(units.to(result.airflow.flow[0], "cfm", "airflow") / tons)
        if not AIRFLOW_PER_TON[0] <= per_ton <= AIRFLOW_PER_TON[1]:
            text = _airflow_per_capacity(per_ton, display)
            found.append(Notice("unusual.airflow", place(where), text))
    for method in result.airflow.unused if result.airflow is not None else ():
        text = f"Airflow by {method.name.replace('_', ' ')} was not taken: {method.why}."
        found.append(Notice("airflow.not_taken", place(where), text))
    if traverse_text := traverse_note(draws, where):
        found.append(Notice("traverse.points", place(where), traverse_text))
    back = result.air.return_air
    if back is not None and not USUAL_RETURN[0] <= back.dry_bulb[0] <= USUAL_RETURN[1]:
        shown = units.value_text(back.dry_bulb[0], "temperature", display)
        usual = units.limits_text(*USUAL_RETURN, "temperature", display)
        text = f"Return air at {shown} is outside the usual {usual}."
        found.append(Notice("unusual.return", place(where), text))
    for state in result.circuits.values():
        if not compressors.stands(draws, state.where):
            found += _remarkable(state, display)
        if state.chart_note and state.chart_offset is None and draws.job.circuit[state.where.circuit].chart:
            found.append(
                Notice(
                    "chart_not_used",
                    place(state.where),
                    f"The unit's chart was not used: {state.chart_note}.",
                )
            )
        elif state.chart_offset is not None and len(draws.job.circuit[state.where.circuit].chart or ()) == 1:
            found.append(
                Notice("chart_of_one_point", place(state.where), f"{state.chart_note.capitalize()}.")
            )
    return found


def _airflow_per_capacity(per_ton: float, display: str) -> str:
    low, high = AIRFLOW_PER_TON
    if display == "us":
        return (
            f"Airflow of {per_ton:.0f} cfm for each rated ton is outside the usual {low:.0f} to {high:.0f}."
        )
    factor = 1000.0 * units.cfm(1.0) / units.si(1.0, "ton", "heat") * 1000.0
    return (
        f"Airflow of {factor * per_ton:.0f} L/s for each rated kW is outside the usual "
        f"{factor * low:.0f} to {factor * high:.0f}."
    )
