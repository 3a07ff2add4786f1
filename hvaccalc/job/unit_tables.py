"""Tables of the unit: ``[unit]``, ``[circuit.N]``, ``[wiring]`` and what hangs below them."""

import math
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from hvaccalc.job.fields import (
    Airflow,
    AirPressure,
    Area,
    Calls,
    Current,
    Date,
    Difference,
    FanSpeed,
    Heat,
    Insulation,
    Length,
    Mass,
    NominalSize,
    Number,
    Pair,
    Pairs,
    PositiveDifference,
    Power,
    Pressure,
    Resistance,
    RotationalSpeed,
    Rows,
    SignedLength,
    Size,
    Slope,
    Table,
    Temperature,
    Terminal,
    Terminals,
    TypedCall,
    Value,
    Voltage,
    Volume,
    YesNo,
)
from hvaccalc.job.spelling import also_written, refrigerant_name
from hvaccalc.units import Quantity

SensibleRatio = Annotated[
    Quantity, Value(("ratio",), lowest=0.4, highest=1.0, limits="0.4 to 1, net as printed on the data sheet")
]
CoilSlope = Annotated[
    Quantity,
    Value(
        ("slope",),
        lowest=0.0,
        highest=math.tan(math.radians(80.0)) * (1 + 1e-12),
        limits="0 to 80 deg from the vertical",
    ),
]
CutoutPressure = Annotated[Quantity | str, Value(("pressure",), words=("none", "unknown"))]
Fitted = Literal["none", "fitted", "tripped", "unknown"]


class Coil(Table):
    """``[unit.coil]``: the indoor coil."""

    face_area: Area | None = None
    rows: Annotated[int, Field(ge=1, le=20)] | None = None
    fins_per_inch: Number | None = None
    tube_diameter: Size | None = None
    slope: CoilSlope | None = None
    fin_surface: Literal["plain", "coated"] | None = None
    air_direction: Literal["horizontal", "up", "down"] | None = None
    low_edge_over_pan: SignedLength | None = None


class CurvePoint(Table):
    """One point of ``[unit.fan] curve``, as printed by the fan's maker."""

    airflow: Airflow
    static: AirPressure | None = None
    speed: FanSpeed | None = None
    power: Power | None = None


class KnownPoint(Table):
    """One point of ``[unit.fan] known``: the airflow was known, the rest was read."""

    airflow: Airflow
    coil_pressure_drop: AirPressure | None = None
    filter_pressure_drop: AirPressure | None = None
    fan_speed: FanSpeed | None = None
    external_static: AirPressure | None = None


Drive = Annotated[
    Literal["variable frequency", "two speed motor", "belt, fixed"],
    also_written({"belt": "belt, fixed", "VFD": "variable frequency", "two speed": "two speed motor"}),
]


class Fan(Table):
    """``[unit.fan]``: the supply fan, its motor and drive."""

    drive: Drive | None = None
    full_speed: FanSpeed | None = None
    low_speed: FanSpeed | None = None
    motor_power: Power | None = None
    input_power: Power | None = None
    motor_full_load_current: Current | None = None
    voltage: Voltage | None = None
    phases: Literal[1, 3] | None = None
    motor_speed: RotationalSpeed | None = None
    service_factor: Number | None = None
    static_at_rating: AirPressure | None = None
    motor_sheave: Size | None = None
    fan_sheave: Size | None = None
    belt_centre_distance: Size | None = None
    wheel_diameter: Size | None = None
    minimum_speed: FanSpeed | None = None
    curve: Annotated[tuple[CurvePoint, ...], Rows] = ()
    known: Annotated[tuple[KnownPoint, ...], Rows] = ()
    minimum_heat_airflow: Airflow | None = None


class Pan(Table):
    """``[unit.pan]``: the drain pan."""

    area: Area | None = None
    depth: Size | None = None
    slope: Slope | None = None
    level: YesNo | None = None
    secondary: Literal["none", "pan", "drain", "float switch", "unknown"] | None = None


class Drain(Table):
    """``[unit.drain]``: drain line and trap."""

    size: NominalSize | None = None
    length: Length | None = None
    slope: Slope | None = None
    material: Literal["PVC", "copper", "other"] | None = None
    trap: Literal["none", "present", "dry", "unknown"] | None = None
    trap_height: Length | None = None
    trap_seal: Length | None = None
    pan_suction: AirPressure | None = None


class Cabinet(Table):
    """``[unit.cabinet]``: insulation of cabinet, duct and suction line."""

    insulation: Insulation | None = None
    area: Area | None = None
    duct_insulation: Resistance | None = None
    duct_area: Area | None = None
    suction_line_insulation: Insulation | None = None


class Protection(Table):
    """``[unit.protection]``: switches and controls that act before anybody notices."""

    float_switch: Fitted | None = None
    freezestat: Fitted | None = None
    liquid_solenoid: Fitted | None = None
    crankcase_heat: Fitted | None = None
    low_pressure_cutout: CutoutPressure | None = None
    high_pressure_cutout: CutoutPressure | None = None
    head_control: Literal["none", "fan cycling", "fan speed", "flooding", "unknown"] | None = None


class Unit(Table):
    """``[unit]``: the data sheet and nameplate of the air handler and its cooling."""

    name: str | None = None
    model: str | None = None
    serial: str | None = None
    location: str | None = None
    kind: Literal["cooling", "heat pump"] | None = None
    rated_capacity: Heat
    rated_airflow: Airflow
    rated_sensible_heat_ratio: SensibleRatio | None = None
    rated_return_dry_bulb: Temperature | None = None
    rated_return_wet_bulb: Temperature | None = None
    rated_outdoor: Temperature | None = None
    rated_suction_saturation: Temperature | None = None
    circuiting: Literal["interlaced", "face split", "row split", "unknown"] | None = None
    air_path: Literal["draw through", "blow through"] | None = None
    filter_area: Area | None = None
    coil: Coil = Coil()
    fan: Fan = Fan()
    pan: Pan = Pan()
    drain: Drain = Drain()
    cabinet: Cabinet = Cabinet()
    protection: Protection = Protection()


PresetSpeed = Annotated[Quantity | str, Value(("fan_speed",), words=("not assigned", "unknown"))]


class Supply(Table):
    """``[[wiring.supply]]``: a source of control voltage."""

    between: Pair
    voltage: Voltage | None = None


class Load(Table):
    """``[[wiring.load]]``: something that acts when it sees voltage."""

    name: str | None = None
    between: Pair


class Switch(Table):
    """``[[wiring.switch]]``: closes on a call, or (a relay) while a load named in the table is energised."""

    call: TypedCall | None = None
    closed_by: str | None = None
    between: Pair


class Safety(Table):
    """``[[wiring.safety]]``: opens when something is wrong."""

    name: str | None = None
    between: Pair


class FanSpeedInput(Table):
    """``[[wiring.fan_speed]]``: the speed that a drive's input should give, and gives."""

    input: Terminal | None = None
    designed: PresetSpeed | None = None
    found: PresetSpeed | None = None


class Wiring(Table):
    """``[wiring]``; `found` is None where it is as designed, empty where nothing is connected."""

    terminals: Terminals | None = None
    designed: Pairs | None = None
    found: Pairs | None = None
    temporary: Pairs | None = None
    dry_contact: Terminals | None = None
    supply: Annotated[tuple[Supply, ...], Rows] = ()
    load: Annotated[tuple[Load, ...], Rows] = ()
    switch: Annotated[tuple[Switch, ...], Rows] = ()
    safety: Annotated[tuple[Safety, ...], Rows] = ()
    fan_speed: Annotated[tuple[FanSpeedInput, ...], Rows] = ()


Share = Annotated[Quantity, Value(("ratio",), lowest=0.0, highest=1.0, limits="0 to 1")]
Coefficients = Annotated[
    tuple[Annotated[float, Field(allow_inf_nan=False)], ...], Rows, Field(min_length=10, max_length=10)
]


class ChartPoint(Table):
    """One point read off the unit's own charging chart."""

    liquid_temperature: Temperature
    liquid_pressure: Pressure


class CompressorMap(Table):
    """Ten coefficients each in AHRI 540 order, in the units named."""

    units: Literal["degF lb/h W", "degC g/s W"]
    mass_flow: Coefficients
    power: Coefficients
    superheat: Difference | None = None


class Lines(Table):
    """``[circuit.N.lines]``: the line set; sizes are outside diameters."""

    liquid_size: Size | None = None
    liquid_length: Length | None = None
    suction_size: Size | None = None
    suction_length: Length | None = None
    rise: SignedLength | None = None
    included_length: Length | None = None


class Condenser(Table):
    """``[circuit.N.condenser]``: what the outdoor side can hold."""

    volume: Volume | None = None
    receiver_volume: Volume | None = None
    pumpdown_capacity: Mass | None = None


class Leak(Table):
    """``[circuit.N.leak]``: a leak that was found."""

    at: (
        Literal[
            "liquid line",
            "suction line",
            "equalizer line",
            "sight glass",
            "drier",
            "indoor coil",
            "outdoor coil",
            "unknown",
        ]
        | None
    ) = None
    found_by: str | None = None
    note: str | None = None
    date: Date | None = None
    repaired: Date | None = None


Refrigerant = Annotated[str, AfterValidator(refrigerant_name)]
Metering = Annotated[
    Literal["TXV", "fixed orifice", "EEV", "unknown"],
    also_written(dict.fromkeys(("piston", "orifice", "cap tube", "capillary tube"), "fixed orifice")),
]


class Circuit(Table):
    """``[circuit.N]``: one refrigerant circuit."""

    refrigerant: Refrigerant
    outdoor_model: str | None = None
    outdoor_serial: str | None = None
    metering: Metering | None = None
    stage: Annotated[int, Field(ge=1, le=100)] | None = None
    capacity_share: Share | None = None
    nameplate_charge: Mass | None = None
    full_charge: Mass | None = None
    target_subcooling: PositiveDifference | None = None
    target_superheat: PositiveDifference | None = None
    rated_condensing_saturation: Temperature | None = None
    rated_load_current: Current | None = None
    rated_superheat: Difference | None = None
    chart: Annotated[tuple[ChartPoint, ...], Rows, Field(min_length=1)] | None = None
    chart_requires: Calls | None = None
    compressor_map: CompressorMap | None = None
    lines: Lines = Lines()
    condenser: Condenser = Condenser()
    leak: Leak = Leak()
