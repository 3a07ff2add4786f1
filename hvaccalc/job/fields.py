"""Building blocks of the job file's tables: values, readings, words, dates.

A key's annotation says everything about it: ``Annotated[Quantity, Value("temperature")]`` reads
the text, refuses what is not a temperature, and describes itself for messages and for the
reference. A validator refuses with `Refused`, which carries an `InputError`; the loader adds
file, line and key.
"""

import datetime
import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import UnionType
from typing import Annotated, Any, Literal, Self, Union, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, ConfigDict
from pydantic_core import core_schema

from hvaccalc import units
from hvaccalc.call import TYPED, Call
from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
from hvaccalc.job.spelling import also_written, nominal_size, terminal_name
from hvaccalc.units import Quantity

NAME = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)
"""What a circuit or an instrument may be called."""

TERMINAL = re.compile(r"[A-Za-z0-9_-]+\.[A-Za-z0-9_/+*-]+", re.ASCII)
"""``device.terminal``."""


class Table(BaseModel):
    """Base of every table: strict, frozen, no unknown key. A key that is absent is None."""

    model_config = ConfigDict(strict=True, frozen=True, extra="forbid", protected_namespaces=())

    @property
    def given(self) -> bool:
        """Whether the file says anything in this table."""
        return bool(self.model_fields_set)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with other values, each of the type that reading a file would have made.

        Raises
        ------
        InputError
            An unknown key, or a value of another type, such as text where a quantity stands.
        """
        for key, value in (update or {}).items():
            field = type(self).model_fields.get(key)
            if field is None:
                error = unknown_key(key, type(self).model_fields, f"a table {type(self).__name__}")
                error.key = key
                raise error
            held = field.rebuild_annotation()
            if not (value is None and not field.is_required()) and not _holds(held, value):
                allowed = "a value as a file's text is read, such as hvaccalc.units.parse gives"
                raise WrongKind("not a value that this key holds", shown(value), allowed, key=key)
        return super().model_copy(update=update, deep=deep)


def _holds(annotation: Any, value: object) -> bool:
    """Whether a value, already read, may stand where an annotation says."""
    origin, parts = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        kinds = next((part.kinds for part in parts[1:] if isinstance(part, Value)), None)
        read = value.quantity if isinstance(value, Reading) else value
        of_kind = kinds is None or not isinstance(read, Quantity) or read.kind in kinds
        return of_kind and _holds(parts[0], value)
    if origin in (Union, UnionType):
        return any(_holds(part, value) for part in parts)
    if origin is Literal:
        return value in parts
    if origin is tuple:
        return isinstance(value, tuple) and all(_holds(parts[0], one) for one in value)
    if origin is dict:
        return isinstance(value, Mapping) and all(_holds(parts[1], one) for one in value.values())
    if annotation is Any:
        return True
    return isinstance(value, annotation if isinstance(annotation, type) else type(None))


class Refused(ValueError):
    """An `InputError` on its way through pydantic; `inner` is the place below the key."""

    def __init__(self, error: InputError, inner: tuple[str | int, ...] = ()) -> None:
        super().__init__(error.message)
        self.error = error
        self.inner = inner


def shown(value: object) -> str:
    """A value as typed, short enough for a message."""
    if isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, str):
        text = f'"{value[:80]}"'
    elif isinstance(value, dict):
        text = "a table with " + (", ".join(list(value)[:4]) or "no keys")
    elif isinstance(value, (list, tuple)):
        text = "a list of " + ", ".join(shown(v) for v in value[:3]) if value else "an empty list"
    elif isinstance(value, int) and abs(value) > 10**30:
        text = "a whole number of more than 30 digits"
    else:
        text = str(value)
    return text if len(text) <= 100 else text[:97] + "..."


def nearest(word: str, known: Iterable[str], quote: str = "") -> str:
    """Clause naming the nearest known words, in quotes where asked, empty where none is near."""
    by_fold = {name.lower(): name for name in known}
    near = difflib.get_close_matches(word[:80].lower(), by_fold, n=3, cutoff=0.55)
    told = ", ".join(f"{quote}{by_fold[name]}{quote}" for name in near)
    return f"; nearest: {told}" if near else ""


def quoted(words: Iterable[str]) -> str:
    """Words as they are typed: a word may hold a comma of its own."""
    return ", ".join(f'"{word}"' for word in words)


def not_a_word(value: object, words: Iterable[str]) -> InputError:
    """Refusal of a word that is not in the list."""
    words = tuple(words)
    hint = nearest(value, words, '"') if isinstance(value, str) else ""
    kind = InputError if isinstance(value, str) else WrongKind
    return kind(f"not one of the words known here{hint}", found=shown(value), allowed=quoted(words))


def unknown_key(key: str, known: Iterable[str], table: str) -> InputError:
    """Refusal of a key that a table does not have."""
    known = tuple(known)
    message = f"unknown key in {table}{nearest(key, known)}"
    return InputError(message, found=shown(key), allowed=", ".join(known))


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading as taken: the value, with what, when, by whom.

    Attributes
    ----------
    quantity : Quantity
        The value; `plus_minus` is this reading's own repeatability (95 %).
    instrument : str or None
        Name of a table in ``[instruments]``.
    at, by, note : str or None
        As typed; a TOML time becomes its text.
    """

    quantity: Quantity
    instrument: str | None = None
    at: str | None = None
    by: str | None = None
    note: str | None = None


READING_KEYS = ("value", "instrument", "at", "by", "note")


@dataclass(frozen=True, slots=True)
class Value:
    """Annotation of a key that carries a unit.

    Parameters
    ----------
    *kinds : str
        Keys of `units.KINDS`; the first that accepts the text wins.
    reading : bool
        Accepts also a table with value, instrument, at, by, note, and gives a `Reading`.
    words : tuple of str
        Words accepted in place of a value.
    zero : str
        Word that says nothing is there: a value of zero.
    nominal : bool
        Accepts a nominal pipe size as well: ``DN 32``.
    lowest, highest : float or None
        Ends of what can be [SI].
    positive : bool
        Zero is refused too.
    limits : str
        The same limits in words, for messages.
    """

    kinds: tuple[str, ...]
    reading: bool = False
    words: tuple[str, ...] = ()
    zero: str = ""
    nominal: bool = False
    lowest: float | None = None
    highest: float | None = None
    positive: bool = False
    limits: str = ""

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def describe(self) -> str:
        """Kind, units and limits in words."""
        words = (*self.words, *([self.zero] if self.zero else []), *(["DN 32"] if self.nominal else []))
        parts = [*(f'"{word}"' for word in words), *(units.allowed_units(kind) for kind in self.kinds)]
        return " / ".join(parts) + (f"; {self.limits}" if self.limits else "")

    def read(self, value: object) -> Quantity | Reading | str:
        """The value read, or `Refused`."""
        if isinstance(value, str) and value in self.words:
            return value
        if self.zero and value == self.zero:
            return Quantity(value, self.kinds[0], 0.0, units.display_unit(self.kinds[0])[0])
        if self.nominal and isinstance(value, str) and (size := nominal_size(value)):
            notice = f"the nominal size was taken as {size}"
            return replace(units.parse(size, self.kinds[0]), text=value, notice=notice)
        if not self.reading:
            return self._quantity(value)
        if not isinstance(value, dict):
            return Reading(self._quantity(value))
        return self._reading(value)

    def _quantity(self, value: object) -> Quantity:
        first: InputError | None = None
        for kind in self.kinds:
            try:
                return self._in_range(units.parse(value, kind))
            except InputError as error:
                first = error if first is None or isinstance(error, OutOfRange) else first
        assert first is not None
        first.found, first.allowed = shown(value), first.allowed or self.describe()
        if self.words and isinstance(value, str):
            first.message += nearest(value, self.words)
            first.allowed = self.describe()
        raise Refused(first)

    def _in_range(self, quantity: Quantity) -> Quantity:
        low = quantity.value if quantity.low is None else quantity.low
        high = quantity.value if quantity.high is None else quantity.high
        if self.positive and not low > 0.0:
            raise OutOfRange("zero or negative", allowed=self.limits or "above zero")
        if (self.lowest is not None and low < self.lowest) or (
            self.highest is not None and high > self.highest
        ):
            raise OutOfRange("outside what can be", allowed=self.limits)
        return quantity

    def _reading(self, table: dict[str, Any]) -> Reading:
        for key in table:
            if key not in READING_KEYS:
                raise Refused(unknown_key(key, READING_KEYS, "a reading"), (key,))
        if "value" not in table:
            raise Refused(
                MissingReading("a reading without its value", "nothing", self.describe()), ("value",)
            )
        try:
            quantity = self._quantity(table["value"])
        except Refused as refused:
            raise Refused(refused.error, ("value",)) from None
        beside = {key: said(table[key], key) for key in READING_KEYS[1:] if key in table}
        return Reading(quantity, **beside)


def said(value: object, key: str) -> str:
    """Text beside a value; a time of day becomes its text."""
    if key == "at" and isinstance(value, (datetime.time, datetime.datetime)):
        return value.isoformat()
    if not isinstance(value, str):
        raise Refused(WrongKind("not text", found=shown(value), allowed="text in quotes"), (key,))
    return value


@dataclass(frozen=True, slots=True)
class Check:
    """Annotation of a key read by a function of its own; `text` describes what is accepted."""

    text: str
    read: Callable[[Any], Any]

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def describe(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class OneOf:
    """Annotation of a key that holds a word of an enum."""

    words: tuple[StrEnum, ...]

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self._read)

    def _read(self, value: object) -> StrEnum:
        typed = value.strip().lower() if isinstance(value, str) else value
        for word in self.words:
            if typed == word:
                return word
        raise Refused(not_a_word(value, self.words))


def _date(value: object) -> datetime.date:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value
    allowed = "a date without quotes and without a time, such as 2026-06-18"
    if isinstance(value, str):
        allowed += days_meant(value)
    raise Refused(WrongKind("not a date", found=shown(value), allowed=allowed))


def days_meant(typed: str) -> str:
    """Clause naming the days that a date of another form may mean, empty where it is no such date.

    Examples
    --------
    >>> days_meant("7/4/2026")
    '; with the month first it is 2026-07-04, with the day first 2026-04-07'
    """
    match = re.fullmatch(r"\s*(\d{1,2})[./-](\d{1,2})[./-](\d{4}|\d{2})\s*", typed)
    if match is None:
        return ""
    first, second, year = int(match[1]), int(match[2]), int(match[3])
    days = []
    for month, day in ((first, second), (second, first)):
        try:
            days.append(datetime.date(year + 2000 * (year < 100), month, day).isoformat())
        except ValueError:
            days.append("no day")
    return f"; with the month first it is {days[0]}, with the day first {days[1]}"


def _time_of_day(value: object) -> datetime.time:
    if isinstance(value, datetime.time):
        return value
    allowed = "a time without quotes and with seconds, such as 10:32:00"
    raise Refused(WrongKind("not a time of day", found=shown(value), allowed=allowed))


def _terminal(value: object) -> str:
    if isinstance(value, str) and TERMINAL.fullmatch(value):
        return terminal_name(value)
    allowed = 'device.terminal, such as "thermostat.Y1"'
    raise Refused(WrongKind("not a terminal", found=shown(value), allowed=allowed))


def _pair(value: object) -> tuple[str, str]:
    if not isinstance(value, list) or len(value) != 2:
        allowed = 'two terminals, such as ["thermostat.G", "handler.G"]'
        raise Refused(WrongKind("not a pair of terminals", found=shown(value), allowed=allowed))
    ends: list[str] = []
    for place, end in enumerate(value):
        try:
            ends.append(_terminal(end))
        except Refused as refused:
            raise Refused(refused.error, (place,)) from None
    return ends[0], ends[1]


def _file_name(value: object) -> str:
    allowed = "a file inside the folder of the job file, such as photos/pan.jpg"
    if not isinstance(value, str) or not value.strip() or "\0" in value:
        raise Refused(WrongKind("not the name of a file", found=shown(value), allowed=allowed))
    parts = re.split(r"[/\\]", value)
    if parts[0] == "" or ":" in parts[0] or ".." in parts or parts[0].startswith("~"):
        raise Refused(InputError("outside the folder of the job file", found=shown(value), allowed=allowed))
    return value


def _one_or_more(value: object) -> object:
    """One word is a list of one."""
    return tuple(value) if isinstance(value, list) else (value,) if isinstance(value, str) else value


def _rows(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


def yes_or_no(value: object) -> object:
    """TOML true and false as the words yes and no."""
    return ("yes" if value else "no") if isinstance(value, bool) else value


Listed = BeforeValidator(_one_or_more)
Rows = BeforeValidator(_rows)

Date = Annotated[datetime.date, Check("date, such as 2026-06-18", _date)]
TimeOfDay = Annotated[datetime.time, Check("time of day, such as 10:32:00", _time_of_day)]
Terminal = Annotated[str, Check('device.terminal, such as "thermostat.Y1"', _terminal)]
Pair = Annotated[tuple[str, str], Check("pair of terminals", _pair)]
FileName = Annotated[str, Check("file inside the folder of the job file", _file_name)]
Texts = Annotated[tuple[str, ...], Listed]
Terminals = Annotated[tuple[Terminal, ...], Listed]
Pairs = Annotated[tuple[Pair, ...], Rows]
YesNo = Annotated[Literal["yes", "no", "unknown"], BeforeValidator(yes_or_no)]
TERMINALS_OF_CALLS = also_written(
    {"G": "fan", "Y": "cool 1", "Y1": "cool 1", "Y2": "cool 2", "W": "heat 1", "W1": "heat 1", "W2": "heat 2"}
)
TypedCall = Annotated[Call, OneOf(TYPED), TERMINALS_OF_CALLS]
Calls = Annotated[tuple[TypedCall, ...], Listed]

Temperature = Annotated[Quantity, Value(("temperature",))]
Difference = Annotated[Quantity, Value(("temperature_difference",))]
PositiveDifference = Annotated[
    Quantity, Value(("temperature_difference",), lowest=0.0, limits="not below zero")
]
Pressure = Annotated[Quantity, Value(("pressure",))]
AirPressure = Annotated[Quantity, Value(("air_pressure",))]
Vacuum = Annotated[Quantity, Value(("absolute_pressure",))]
Airflow = Annotated[Quantity, Value(("airflow",), positive=True)]
Heat = Annotated[Quantity, Value(("heat",), positive=True)]
Power = Annotated[Quantity, Value(("power",), positive=True)]
Mass = Annotated[Quantity, Value(("mass",), positive=True)]
Amount = Annotated[Quantity, Value(("mass",))]
Volume = Annotated[Quantity, Value(("volume",), positive=True)]
Duration = Annotated[Quantity, Value(("time",))]
Area = Annotated[Quantity, Value(("area",), positive=True)]
Size = Annotated[Quantity, Value(("length",), positive=True)]
Length = Annotated[Quantity, Value(("length",), lowest=0.0, limits="not below zero")]
SignedLength = Annotated[Quantity, Value(("length",))]
NominalSize = Annotated[Quantity, Value(("length",), positive=True, nominal=True)]
Insulation = Annotated[Quantity, Value(("length",), lowest=0.0, limits="not below zero", zero="none")]
Slope = Annotated[Quantity, Value(("slope",))]
RotationalSpeed = Annotated[Quantity, Value(("speed",), positive=True)]
FanSpeed = Annotated[Quantity, Value(("fan_speed",), positive=True)]
Voltage = Annotated[Quantity, Value(("voltage",), positive=True)]
Current = Annotated[Quantity, Value(("current",), positive=True)]
Resistance = Annotated[Quantity, Value(("thermal_resistance",), zero="none")]
WaterFlow = Annotated[Quantity, Value(("water_flow",))]
AnnualHours = Annotated[Quantity, Value(("annual_hours",))]
Number = Annotated[Quantity, Value(("ratio",), positive=True)]

TemperatureReading = Annotated[Reading, Value(("temperature",), reading=True)]
DifferenceReading = Annotated[Reading, Value(("temperature_difference",), reading=True)]
PressureReading = Annotated[Reading, Value(("pressure",), reading=True)]
AirPressureReading = Annotated[Reading, Value(("air_pressure",), reading=True)]
PercentReading = Annotated[
    Reading, Value(("fraction",), reading=True, lowest=0.0, highest=1.0, limits="0 to 100 %")
]
BarometerReading = Annotated[
    Reading,
    Value(
        ("absolute_pressure",),
        reading=True,
        lowest=50e3,
        highest=115e3,
        limits="14.8 to 34.0 inHg (50 to 115 kPa), the weather of any site between -1,500 and 16,000 ft",
    ),
]
AirflowReading = Annotated[Reading, Value(("airflow",), reading=True)]
FrequencyReading = Annotated[Reading, Value(("frequency",), reading=True)]
FanSpeedReading = Annotated[Reading, Value(("fan_speed",), reading=True)]
CurrentReading = Annotated[Reading, Value(("current",), reading=True)]
VoltageReading = Annotated[Reading, Value(("voltage",), reading=True)]
PowerReading = Annotated[Reading, Value(("power",), reading=True)]
HeaterReading = Annotated[
    Reading, Value(("power", "heat"), reading=True, lowest=0.0, limits="not below zero")
]
VelocityReading = Annotated[Reading, Value(("velocity",), reading=True)]
AreaReading = Annotated[Reading, Value(("area",), reading=True, positive=True)]
WaterFlowReading = Annotated[Reading, Value(("water_flow",), reading=True)]
MassFlowReading = Annotated[Reading, Value(("mass_flow",), reading=True)]
