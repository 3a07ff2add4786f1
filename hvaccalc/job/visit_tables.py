"""Tables of a visit: conditions with their readings, signs, work done, photos."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from hvaccalc.errors import OutOfRange, WrongKind
from hvaccalc.job.causes import MENDS, CauseAt
from hvaccalc.job.fields import (
    AirflowReading,
    AirPressureReading,
    Amount,
    Area,
    AreaReading,
    BarometerReading,
    Calls,
    Check,
    CurrentReading,
    Date,
    Duration,
    FanSpeedReading,
    FileName,
    FrequencyReading,
    HeaterReading,
    Listed,
    MassFlowReading,
    PercentReading,
    PowerReading,
    Pressure,
    PressureReading,
    Refused,
    Rows,
    Table,
    Temperature,
    TemperatureReading,
    Terminal,
    Texts,
    TimeOfDay,
    TypedCall,
    Vacuum,
    VelocityReading,
    VoltageReading,
    WaterFlowReading,
    YesNo,
    shown,
)
from hvaccalc.job.signs import Signs


class Traverse(Table):
    """Velocities read across a duct, and the area they were read over."""

    velocities: Annotated[tuple[VelocityReading, ...], Listed, Field(min_length=1)]
    area: Area | None = None


def _traverse(value: object) -> object:
    """A bare list is a list of velocities."""
    return {"velocities": value} if isinstance(value, (list, str)) else value


@dataclass(frozen=True, slots=True)
class FansRunning:
    """Condenser fans that ran, of how many (None where not said)."""

    running: int
    of: int | None = None


def _fans_running(value: object) -> FansRunning:
    allowed = 'a whole number or text such as "1 of 2"'
    if isinstance(value, str) and (match := re.fullmatch(r"\s*(\d{1,3})\s+of\s+(\d{1,3})\s*", value)):
        fans = FansRunning(int(match[1]), int(match[2]))
    elif isinstance(value, int) and not isinstance(value, bool):
        fans = FansRunning(value)
    else:
        raise Refused(WrongKind("not a number of fans", found=shown(value), allowed=allowed))
    if not 0 <= fans.running <= 1000 or (fans.of is not None and fans.running > fans.of):
        raise Refused(OutOfRange("a number of fans that cannot be", found=shown(value), allowed=allowed))
    return fans


class Air(Table):
    """``[visit.condition.air]``: readings on the air side."""

    return_dry_bulb: TemperatureReading | None = None
    return_wet_bulb: TemperatureReading | None = None
    return_dew_point: TemperatureReading | None = None
    return_relative_humidity: PercentReading | None = None
    supply_dry_bulb: TemperatureReading | None = None
    supply_wet_bulb: TemperatureReading | None = None
    supply_dew_point: TemperatureReading | None = None
    supply_relative_humidity: PercentReading | None = None
    supply_measured_at: Literal["coil", "unit", "duct", "grille"] | None = None
    mixed_dry_bulb: TemperatureReading | None = None
    mixed_wet_bulb: TemperatureReading | None = None
    outdoor_dry_bulb: TemperatureReading | None = None
    outdoor_wet_bulb: TemperatureReading | None = None
    space_dry_bulb: TemperatureReading | None = None
    space_dew_point: TemperatureReading | None = None
    barometer: BarometerReading | None = None
    airflow: AirflowReading | None = None
    coil_pressure_drop: AirPressureReading | None = None
    filter_pressure_drop: AirPressureReading | None = None
    external_static: AirPressureReading | None = None
    fan_frequency: FrequencyReading | None = None
    fan_speed: FanSpeedReading | None = None
    fan_current: CurrentReading | None = None
    fan_voltage: VoltageReading | None = None
    fan_power: PowerReading | None = None
    fan_current_at: Literal["drive display", "drive output", "line"] | None = None
    traverse: Annotated[Traverse, BeforeValidator(_traverse)] | None = None
    duct_area: AreaReading | None = None
    damper_position: PercentReading | None = None
    condensate_rate: WaterFlowReading | None = None
    electric_heat: HeaterReading | None = None


class CircuitReadings(Table):
    """``[visit.condition.circuit.N]``: readings on one refrigerant circuit."""

    suction_pressure: PressureReading | None = None
    liquid_pressure: PressureReading | None = None
    discharge_pressure: PressureReading | None = None
    suction_temperature: TemperatureReading | None = None
    liquid_temperature: TemperatureReading | None = None
    discharge_temperature: TemperatureReading | None = None
    coldest_tube_temperature: TemperatureReading | None = None
    drier_in_temperature: TemperatureReading | None = None
    drier_out_temperature: TemperatureReading | None = None
    suction_measured_at: Literal["coil", "outdoor unit"] | None = None
    liquid_measured_at: Literal["outdoor unit", "metering device"] | None = None
    discharge_measured_at: Literal["compressor", "condenser inlet"] | None = None
    refrigerant_mass_flow: MassFlowReading | None = None
    compressor_power: PowerReading | None = None
    compressor_current: CurrentReading | None = None
    sight_glass: Literal["clear", "bubbles", "empty", "none"] | None = None
    condenser_fans_running: (
        Annotated[FansRunning, Check('whole number or "1 of 2"', _fans_running)] | None
    ) = None


class VoltageSeen(Table):
    """``[[visit.condition.voltage]]``: between two terminals, or what a drive shows of an input.

    The key ``from`` is the attribute `from_` (``from`` is a word of the language).
    """

    from_: Annotated[Terminal | None, Field(alias="from")] = None
    to: Terminal | None = None
    value: VoltageReading | None = None
    call: TypedCall | None = None
    input: Terminal | None = None
    input_status: Literal["on", "off"] | None = None


class Condition(Table):
    """``[[visit.condition]]``: one steady operating condition.

    `calls` and `compressors_running` are None where not known, empty where nothing ran.
    """

    label: str | None = None
    time: TimeOfDay | None = None
    calls: Calls | None = None
    running_for: Duration | None = None
    compressors_running: Texts | None = None
    steady: YesNo | None = None
    coil_thawed: YesNo | None = None
    filters_clean: YesNo | None = None
    air: Air = Air()
    circuit: dict[str, CircuitReadings] = Field(default_factory=dict)
    signs: Signs = Signs()
    voltage: Annotated[tuple[VoltageSeen, ...], Rows] = ()


class Work(Table):
    """``[[visit.work]]``: what was done; `mends` names the causes that it put right."""

    kind: (
        Literal[
            "added refrigerant",
            "recovered refrigerant",
            "temporary measure",
            "cleaned",
            "repaired",
            "thawed",
            "pressure test",
            "evacuation",
        ]
        | None
    ) = None
    mends: Annotated[tuple[CauseAt, ...], MENDS] | None = None
    time: TimeOfDay | None = None
    circuit: str | None = None
    amount: Amount | None = None
    note: str | None = None
    hazards: Texts | None = None
    expires: Date | None = None
    removed: Date | None = None
    start_pressure: Pressure | None = None
    start_temperature: Temperature | None = None
    end_pressure: Pressure | None = None
    end_temperature: Temperature | None = None
    lasted: Duration | None = None
    reached: Vacuum | None = None
    after: Duration | None = None
    waited: Duration | None = None


class Photo(Table):
    """``[[visit.photo]]``: a picture beside the job file."""

    file: FileName
    caption: str | None = None


class Visit(Table):
    """``[[visit]]``: one visit to the site."""

    date: Date | None = None
    by: str | None = None
    note: str | None = None
    signs: Signs = Signs()
    condition: Annotated[tuple[Condition, ...], Rows] = ()
    work: Annotated[tuple[Work, ...], Rows] = ()
    photo: Annotated[tuple[Photo, ...], Rows] = ()
