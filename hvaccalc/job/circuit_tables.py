"""Tables of a refrigerant circuit: ``[circuit.N]`` and what hangs below it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from hvaccalc.job.fields import (
    Calls,
    Date,
    Difference,
    Length,
    Mass,
    PositiveDifference,
    Pressure,
    Rows,
    SignedLength,
    Size,
    Table,
    Temperature,
    Value,
    Volume,
)
from hvaccalc.units import Quantity

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


class Circuit(Table):
    """``[circuit.N]``: one refrigerant circuit."""

    refrigerant: str
    metering: Literal["TXV", "fixed orifice", "EEV", "unknown"] | None = None
    stage: Annotated[int, Field(ge=1, le=100)] | None = None
    capacity_share: Share | None = None
    nameplate_charge: Mass | None = None
    full_charge: Mass | None = None
    target_subcooling: PositiveDifference | None = None
    target_superheat: PositiveDifference | None = None
    rated_condensing_saturation: Temperature | None = None
    rated_superheat: Difference | None = None
    chart: Annotated[tuple[ChartPoint, ...], Rows, Field(min_length=1)] | None = None
    chart_requires: Calls | None = None
    compressor_map: CompressorMap | None = None
    lines: Lines = Lines()
    condenser: Condenser = Condenser()
    leak: Leak = Leak()
