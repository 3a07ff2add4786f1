"""How far an instrument may be off, as typed: ``"±1 % of reading, at least 2 psi"``; what each kind reads."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from hvaccalc import units
from hvaccalc.errors import InputError, OutOfRange, WrongKind
from hvaccalc.job.fields import Check, Refused, shown
from hvaccalc.rows import complete
from hvaccalc.unit_table import KINDS, fold
from hvaccalc.units import Quantity

ACCURACY_KINDS = (
    "temperature_difference",
    "pressure_difference",
    "air_pressure",
    "absolute_pressure",
    "current",
    "voltage",
    "power",
    "frequency",
    "speed",
    "velocity",
    "airflow",
    "mass",
    "mass_flow",
    "water_flow",
    "time",
    "length",
)
"""Kinds tried in turn for the unit of an accuracy; where two share a unit their SI values agree."""

FORMS = (
    'such as "±1.0 degF", "±2 %", "±2.5 % RH", "±1 % of reading, at least 2 psi" '
    'or "±2 % of reading + 0.01 inH2O"'
)


@dataclass(frozen=True, slots=True)
class Accuracy:
    """Half width of a 95 % band: ``max(of_reading * |reading| + added, at_least)``.

    Attributes
    ----------
    text : str
        As typed.
    of_reading : float
        Share of the reading.
    added, at_least : Quantity or None
        Fixed part and least value, with their own unit; a difference, so 0 degF is 0 K.
    """

    text: str
    of_reading: float = 0.0
    added: Quantity | None = None
    at_least: Quantity | None = None


def read_accuracy(value: object) -> Accuracy:
    """Accuracy from text.

    Raises
    ------
    Refused
        With the forms that are accepted.

    Examples
    --------
    >>> read_accuracy("±2 % of reading + 0.01 inH2O").of_reading
    0.02
    """
    if not isinstance(value, str) or len(value) > 200:
        raise Refused(WrongKind("not an accuracy", found=shown(value), allowed=FORMS))
    try:
        return _read(value)
    except InputError as error:
        error.found, error.allowed = shown(value), FORMS
        raise Refused(error) from None


def _read(text: str) -> Accuracy:
    body, given, least = re.sub(r"^\s*(?:±|\+/-|\+-)", "", text).partition("at least")
    share, added = 0.0, None
    for term in re.split(r"(?<=[^\d\s])\s*\+\s*|(?<=\S)\s+\+\s+", body.strip().rstrip(",").strip()):
        if match := re.fullmatch(r"\s*(\S+?)\s*%\s*(?:of (?:the )?reading|rdg)?\s*", term):
            share += units.parse(f"{match[1]} %", "fraction").value
        elif added is None:
            added = _fixed(term)
        else:
            raise InputError("two fixed parts in one accuracy")
    return Accuracy(text, share, added, _fixed(least) if given else None)


def _fixed(term: str) -> Quantity:
    """A fixed width, of whichever kind its unit belongs to."""
    if re.search(r"%\s*rh\s*$", term, re.I):
        return units.parse(term, "fraction")
    first: InputError | None = None
    for kind in ACCURACY_KINDS:
        try:
            width = units.parse(term.strip(), kind)
        except InputError as error:
            first = first or error
            continue
        if width.value < 0.0:
            raise OutOfRange("a negative accuracy")
        return width
    assert first is not None
    raise InputError("not an accuracy: no number with a known unit")


AccuracyText = Annotated[Accuracy, Check("accuracy, " + FORMS, read_accuracy)]


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
