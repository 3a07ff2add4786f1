"""Tables of a visit: conditions with their readings, signs in fixed words, work done, photos."""

import re
from dataclasses import dataclass
from typing import Annotated, Literal, get_args

from pydantic import BeforeValidator, Field
from pydantic_core import core_schema

from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
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
    DifferenceReading,
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
    not_a_word,
    quoted,
    said,
    shown,
    unknown_key,
    yes_or_no,
)
from hvaccalc.job.spelling import AlsoWritten, also_written

Time = Literal[
    "while cooling", "after shut-down", "always", "mild days", "hot days", "humid days", "rain", "unknown"
]
ALSO_TIMES = also_written({"always on": "always", "all the time": "always"})
Timing = Annotated[Time, ALSO_TIMES]
"""When the water comes."""

SIGN_KEYS = ("value", "by", "at")


@dataclass(frozen=True, slots=True)
class Sign:
    """What was seen, by whom and when."""

    values: tuple[str, ...]
    by: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """Annotation of a sign: the words that it may take; unknown is always one of them."""

    words: tuple[str, ...]
    also: AlsoWritten = AlsoWritten()

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def describe(self) -> str:
        return "one or a list of: " + quoted(self.words) + self.also.describe()

    def read(self, value: object) -> Sign:
        """The sign read, or `Refused`."""
        if not isinstance(value, dict):
            return Sign(self._values(value, ()))
        for key in value:
            if key not in SIGN_KEYS:
                raise Refused(unknown_key(key, SIGN_KEYS, "a sign"), (key,))
        if "value" not in value:
            error = MissingReading("a sign without its value", "nothing", self.describe())
            raise Refused(error, ("value",))
        beside = {key: said(value[key], key) for key in SIGN_KEYS[1:] if key in value}
        return Sign(self._values(value["value"], ("value",)), **beside)

    def _values(self, value: object, inner: tuple[str | int, ...]) -> tuple[str, ...]:
        if isinstance(value, list) and not value:
            message = "an empty list says nothing; leave the key out or write unknown"
            raise Refused(InputError(message, found="[]", allowed=self.describe()), inner)
        seen = []
        for place, word in enumerate(value if isinstance(value, list) else [value]):
            word = yes_or_no(word) if "yes" in self.words else self.also.in_form(word)
            at = (*inner, place) if isinstance(value, list) else inner
            if not isinstance(word, str):
                raise Refused(WrongKind("not a word", found=shown(word), allowed=self.describe()), at)
            if word not in self.words:
                raise Refused(not_a_word(word, self.words), at)
            seen.append(word)
        return tuple(seen)


def _sign(*words: str, **also: str) -> Words:
    """Words of a sign; `also` names another way to write one, then the one."""
    return Words((*words, "unknown"), also_written(also))


YES_NO = _sign("yes", "no")
FITTED = _sign("none", "fitted", "tripped")


class Signs(Table):
    """``[visit.signs]`` and ``[visit.condition.signs]``."""

    water_on: (
        Annotated[
            Sign,
            _sign(
                *("coil face", "filters", "pan rim", "cabinet floor", "duct", "pipe", "above the unit"),
                *("ceiling below", "grille", "none"),
                ceiling="ceiling below",
                diffuser="grille",
            ),
        ]
        | None
    ) = None
    pan_water: Annotated[Sign, _sign("dry", "film", "standing", "full", "overflowing")] | None = None
    drain_flow: Annotated[Sign, _sign("free", "slow", "blocked")] | None = None
    trap: Annotated[Sign, _sign("none", "dry", "sealed", "present")] | None = None
    drain_air: Annotated[Sign, _sign("drawn in", "blown out", "none")] | None = None
    frost_on: Annotated[Sign, _sign("none", "tubes", "suction line", "coil face", "compressor")] | None = None
    filters: Annotated[Sign, _sign("clean", "loaded", "missing", "wet", dirty="loaded")] | None = None
    coil_face: Annotated[Sign, _sign("clean", "dirty", "bent")] | None = None
    fan_on_second_stage: Annotated[Sign, _sign("rises", "stays")] | None = None
    belt: Annotated[Sign, _sign("tight", "loose", "worn")] | None = None
    outdoor_damper: Annotated[Sign, _sign("closed", "open", "stuck")] | None = None
    fan_rotation: Annotated[Sign, _sign("right", "reversed")] | None = None
    oil_trace: Annotated[Sign, _sign("none", "seen")] | None = None
    leak_detector: Annotated[Sign, _sign("none", "alarm")] | None = None
    pump: Annotated[Sign, _sign("none", "runs", "stopped")] | None = None
    sweating_on: Annotated[Sign, _sign("cabinet", "duct", "suction line", "pan")] | None = None
    timing: Annotated[Sign, Words(get_args(Time), ALSO_TIMES)] | None = None
    pour_test: Annotated[Sign, _sign("drains", "backs up")] | None = None
    tested_with_fan: Annotated[Sign, _sign("off", "low", "full")] | None = None
    tested_with_door: Annotated[Sign, _sign("open", "closed")] | None = None
    coil_thawed: Annotated[Sign, YES_NO] | None = None
    water_with_cooling_off: Annotated[Sign, YES_NO] | None = None
    hot_water_coil: Annotated[Sign, _sign("none", "dry", "wet")] | None = None
    sensing_bulb: Annotated[Sign, _sign("tight", "loose", "uninsulated")] | None = None
    float_switch: Annotated[Sign, FITTED] | None = None
    freezestat: Annotated[Sign, FITTED] | None = None

    @property
    def wet(self) -> tuple[str, ...]:
        """Places that water was seen on; none where nobody looked, or all was dry."""
        places = self.water_on.values if self.water_on is not None else ()
        return tuple(place for place in places if place not in ("none", "unknown"))

    @property
    def dry(self) -> bool:
        """Whether somebody looked for water and saw none."""
        return self.water_on is not None and set(self.water_on.values) == {"none"}


class Traverse(Table):
    """Velocities read across a duct, and the area they were read over."""

    velocities: Annotated[tuple[VelocityReading, ...], Listed, Field(min_length=1)]
    area: Area | None = None

    @property
    def counted(self) -> str:
        """How many velocities it has."""
        count = len(self.velocities)
        return f"{count} velocit{'y' if count == 1 else 'ies'}"


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
    supply_measured_at: (
        Annotated[Literal["coil", "unit", "duct", "grille"], also_written({"diffuser": "grille"})] | None
    ) = None
    mixed_dry_bulb: TemperatureReading | None = None
    mixed_wet_bulb: TemperatureReading | None = None
    outdoor_dry_bulb: TemperatureReading | None = None
    outdoor_wet_bulb: TemperatureReading | None = None
    space_dry_bulb: TemperatureReading | None = None
    space_dew_point: TemperatureReading | None = None
    space_relative_humidity: PercentReading | None = None
    duct_surface_temperature: TemperatureReading | None = None
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
    superheat: DifferenceReading | None = None
    subcooling: DifferenceReading | None = None
    drier_in_temperature: TemperatureReading | None = None
    drier_out_temperature: TemperatureReading | None = None
    valve_suction_in_temperature: TemperatureReading | None = None
    valve_suction_out_temperature: TemperatureReading | None = None
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
