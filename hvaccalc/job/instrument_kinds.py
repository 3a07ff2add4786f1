"""Kinds of instrument, which reading each takes, and whether an accuracy is one of that reading."""

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.job.accuracy import Accuracy
from hvaccalc.rows import complete
from hvaccalc.unit_table import KINDS, fold


class InstrumentKind(StrEnum):
    """The closed list; each is a row of ``data/instruments.toml``."""

    GAUGE_DIGITAL = "refrigerant gauge, digital"
    GAUGE_ANALOG = "refrigerant gauge, analog"
    PIPE_CLAMP = "pipe clamp thermometer"
    AIR_THERMOMETER = "air thermometer"
    PSYCHROMETER = "psychrometer"
    HUMIDITY_PROBE = "humidity probe"
    DEW_POINT_PROBE = "dew point probe"
    BAROMETER = "barometer"
    MANOMETER = "manometer"
    CLAMP_AMMETER = "clamp ammeter"
    VOLTMETER = "voltmeter"
    POWER_METER = "power meter"
    DRIVE_DISPLAY = "drive display"
    TACHOMETER = "tachometer"
    TRAVERSE = "traverse"
    FLOW_HOOD = "flow hood"
    FLOW_NOZZLE = "flow nozzle"
    FLOW_METER = "refrigerant flow meter"
    BUCKET = "bucket and watch"


@dataclass(frozen=True, slots=True)
class Reads:
    """What a kind of instrument reads, as kinds of quantity.

    Attributes
    ----------
    own : tuple of str
        What its accuracy is stated for.
    beside : tuple of str
        What it shows as well, with the accuracy that such a reading usually has.
    """

    own: tuple[str, ...]
    beside: tuple[str, ...] = ()


READS = complete(
    InstrumentKind,
    {
        InstrumentKind.GAUGE_DIGITAL: Reads(("pressure",), ("temperature_difference",)),
        InstrumentKind.GAUGE_ANALOG: Reads(("pressure",)),
        InstrumentKind.PIPE_CLAMP: Reads(("temperature",), ("temperature_difference",)),
        InstrumentKind.AIR_THERMOMETER: Reads(("temperature",)),
        InstrumentKind.PSYCHROMETER: Reads(("temperature",), ("fraction",)),
        InstrumentKind.HUMIDITY_PROBE: Reads(("fraction",), ("temperature",)),
        InstrumentKind.DEW_POINT_PROBE: Reads(("temperature",), ("fraction",)),
        InstrumentKind.BAROMETER: Reads(("absolute_pressure",)),
        InstrumentKind.MANOMETER: Reads(("air_pressure",), ("velocity", "airflow")),
        InstrumentKind.CLAMP_AMMETER: Reads(("current",), ("voltage", "power")),
        InstrumentKind.VOLTMETER: Reads(("voltage",), ("current",)),
        InstrumentKind.POWER_METER: Reads(("power", "heat"), ("current", "voltage")),
        InstrumentKind.DRIVE_DISPLAY: Reads(("frequency", "fan_speed"), ("current", "voltage", "power")),
        InstrumentKind.TACHOMETER: Reads(("speed", "fan_speed")),
        InstrumentKind.TRAVERSE: Reads(("airflow", "velocity")),
        InstrumentKind.FLOW_HOOD: Reads(("airflow",)),
        InstrumentKind.FLOW_NOZZLE: Reads(("airflow",), ("air_pressure",)),
        InstrumentKind.FLOW_METER: Reads(("mass_flow",)),
        InstrumentKind.BUCKET: Reads(("water_flow",)),
    },
)


def that_read(kind: str) -> tuple[InstrumentKind, ...]:
    """Kinds of instrument that take a reading of a kind of quantity."""
    return tuple(one for one, reads in READS.items() if kind in (*reads.own, *reads.beside))


_DIFFERENCE = {"temperature": "temperature_difference", "pressure": "pressure_difference"}


def fits(accuracy: Accuracy, kind: str) -> bool:
    """Whether every fixed part of an accuracy has a unit of the readings that it is for."""
    known = KINDS[_DIFFERENCE.get(kind, kind)].units
    fixed = (part for part in (accuracy.added, accuracy.at_least) if part is not None)
    return all(fold(part.unit) in known for part in fixed)
