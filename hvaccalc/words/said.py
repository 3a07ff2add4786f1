"""A sentence for both readers with named slots, and the one place that fills the slots.

A slot is ``{name:format}``. The format is a kind of unit, whose number (SI) or band is shown in the job's
display: ``{height:length}``, or the number alone, ``{height:number length}``, or as a limit is written,
``{low:limit temperature}``; a number without unit takes
``.0f`` and its like, ``{margin:two_digits}`` or ``{mild:chance}``; ``{seen:water_day}`` is water by the day,
``{gas:whole_mass}`` a mass in whole numbers. Without a format stand words: a text as typed, a whole number,
an amount with its kind, a day, a member of an enum, a reason, or several of these: a list, or clauses
between semicolons with ``{parts:clauses}``, or parts between commas with ``{parts:list}``;
``{place:terminals}`` are terminals of the control wiring.
"""

import math
import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from html import escape
from string import Formatter
from typing import Any

from hvaccalc import units
from hvaccalc.ensemble import Band
from hvaccalc.reason import Amount, Reason, Value

_NOT_PRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")

_ROUND = {"temperature": (0, 1), "temperature_difference": (0, 1), "airflow": (-2, 1), "heat": (0, 0)}
"""Decimals shown to the customer, us and si."""


def printable(text: str) -> str:
    """Text without the characters that no page can hold; each leaves a mark.

    Examples
    --------
    >>> printable("a\\x00b") == "a\\ufffdb"
    True
    """
    return _NOT_PRINTABLE.sub("\ufffd", text)


def escaped(text: str) -> str:
    """Text of anybody, as text within HTML or SVG."""
    return escape(printable(text))


def cut(label: str, longest: int = 68) -> str:
    """A label on one line.

    Examples
    --------
    >>> cut("both stages,\\nfan forced", 14)
    'both stages,…'
    """
    flat = " ".join(printable(label).split())
    return flat if len(flat) <= longest else flat[: longest - 1].rstrip() + "…"


def banded(value: Band, kind: str, display: str) -> str:
    """A number with its band, or "not known"."""
    return units.band_text(value.value, value.low, value.high, kind, display)


def rounded(value: Band, kind: str, display: str) -> str:
    """A value and its range without needless decimals."""
    ends = (value.value, value.low, value.high)
    if not all(math.isfinite(end) for end in ends):
        return "not known"
    name = units.display_unit(kind, display)[0]
    decimals = _ROUND[kind][display == "si"]
    shown = [_rounded(float(units.to(end, name, kind)), decimals) for end in ends]
    text = f"about {shown[0]} {units.DISPLAY_NAMES.get(name, name)}"
    return text if shown[1] == shown[2] else f"{text} ({shown[1]} to {shown[2]})"


def _rounded(value: float, decimals: int) -> str:
    rounded = round(value, decimals) + 0.0
    return f"{rounded:,.{max(decimals, 0)}f}"


NOT_TOLD = ""
"""Text of the reader who is deliberately not told."""

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


BETWEEN = {"clauses": "; ", "list": ", "}
"""Between several words, by the format of their slot."""


BARE = "number "
"""Before a kind: the number alone, its unit left to a neighbour."""
LIMIT = "limit "
"""Before a kind: a limit of a rule, without needless decimals."""


class Reader(StrEnum):
    """Who reads."""

    FILE = "file"
    CUSTOMER = "customer"


@dataclass(frozen=True, slots=True)
class Said:
    """One text for each reader.

    Attributes
    ----------
    file : str
        In the words of the trade.
    customer : str
        In the words of a building's owner.

    Examples
    --------
    >>> Said("the trap lacks {lack:length}", NOT_TOLD).slots
    {'lack': 'length'}
    """

    file: str
    customer: str

    def to(self, reader: Reader) -> str:
        """The text of a reader."""
        return self.customer if reader is Reader.CUSTOMER else self.file

    @property
    def slots(self) -> dict[str, str]:
        """Format of each slot of either text."""
        parts = (*Formatter().parse(self.file), *Formatter().parse(self.customer))
        return {name: spec or "" for _, name, spec, _ in parts if name is not None}


def alike(text: str) -> Said:
    """The same text for both readers."""
    return Said(text, text)


def for_file(text: str) -> Said:
    """A text that the customer is not told."""
    return Said(text, NOT_TOLD)


NOT_SAID = Said(NOT_TOLD, NOT_TOLD)
"""Nothing is said to either; a written choice."""

Rows = Mapping[Any, Said]


@dataclass(frozen=True, slots=True)
class Teller:
    """Tells reasons to one reader.

    Attributes
    ----------
    reader : Reader
    display : str
        us or si.
    rows : mapping of type of enum to its texts
        The sentences of every code.
    """

    reader: Reader
    display: str
    rows: Mapping[type[StrEnum], Rows]

    def tell(self, one: Reason | StrEnum) -> str:
        """A reason, or a word of an enum, as a text; empty where this reader is not told."""
        code, values = (one.code, one.values) if isinstance(one, Reason) else (one, {})
        return self.fill(self.rows[type(code)][code], values)

    def fill(self, said: Said, values: Mapping[str, Value]) -> str:
        """A text with its slots filled.

        Raises
        ------
        KeyError
            Where a slot has no value.
        """
        parts = []
        for text, name, spec, _ in Formatter().parse(said.to(self.reader)):
            parts.append(text)
            if name is not None:
                parts.append(self.slot(values[name], spec or ""))
        return "".join(parts)

    def slot(self, value: Value, spec: str = "") -> str:
        """One value in the format of its slot."""
        if isinstance(value, tuple):
            each = [self.slot(part) for part in value]
            return BETWEEN[spec].join(part for part in each if part) if spec in BETWEEN else joined(each)
        if isinstance(value, Reason | StrEnum):
            return self.tell(value)
        if isinstance(value, date):
            return date_text(value)
        if isinstance(value, Amount):
            return self.slot(value.value, value.kind)
        if isinstance(value, Band):
            return self._band(value, spec)
        if isinstance(value, float):
            return self._number(value, spec)
        return terminals(value) if spec == "terminals" else str(value)

    def _band(self, value: Band, kind: str) -> str:
        if kind == "water_day":
            return water_day(value, self.display)
        if kind == "whole_mass":
            return whole_mass(value, self.display)
        if value.low == value.high:
            return self._number(value.value, kind)
        return banded(value, kind, self.display)

    def _number(self, value: float, spec: str) -> str:
        if spec == "two_digits":
            return two_digits(value)
        if spec == "chance":
            return chance(value)
        if spec.startswith("."):
            return format(value, spec)
        kind = spec.removeprefix(BARE)
        if kind.startswith(LIMIT):
            shown = units.limit_text(value, kind.removeprefix(LIMIT), self.display)
            return shown.rsplit(" ", 1)[0] if spec.startswith(BARE) else shown
        if spec.startswith(BARE):
            return units.number_text(value, kind, self.display)
        return units.value_text(value, spec, self.display)


def chance(probability: float) -> str:
    """A probability in whole per cent; nothing is certain.

    Examples
    --------
    >>> chance(0.761), chance(0.9999), chance(0.0)
    ('76 %', 'over 99 %', 'under 1 %')
    """
    percent = 100.0 * probability
    return "over 99 %" if percent > 99.0 else "under 1 %" if percent < 1.0 else f"{percent:.0f} %"


def date_text(day: date | None) -> str:
    """A date in full, the same everywhere.

    Examples
    --------
    >>> date_text(date(2026, 6, 18))
    '18 June 2026'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}" if day else "date not noted"


def terminals(place: str) -> str:
    """Terminals of a fault as a reader says them.

    Examples
    --------
    >>> terminals("relays.out to drive.input_2")
    'relays out to drive input 2'
    """
    return place.replace(".", " ").replace("_", " ")


def joined(words: Sequence[str]) -> str:
    """Words as a list in a sentence.

    Examples
    --------
    >>> joined(["while cooling", "mild days", "rain"])
    'while cooling, mild days and rain'
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def capital(text: str) -> str:
    """A text with its first letter as a capital.

    Examples
    --------
    >>> capital("hot-water coil")
    'Hot-water coil'
    """
    return f"{text[:1].upper()}{text[1:]}"


def two_digits(value: float) -> str:
    """A number with two digits that count.

    Examples
    --------
    >>> two_digits(0.333), two_digits(12.3), two_digits(1761.3)
    ('0.33', '12', '1,800')
    """
    return f"{float(f'{value:.2g}'):,.12g}"


def whole_mass(value: Band, display: str) -> str:
    """A mass with its band in whole numbers.

    Examples
    --------
    >>> whole_mass(Band(15.49, 14.9, 16.1), "us")
    '34 lb (33 to 35)'
    """
    unit = units.display_unit("mass", display)[0]
    low, middle, high = (float(units.to(part, unit, "mass")) for part in value.low_to_high)
    return f"{middle:.0f} {unit} ({low:.0f} to {high:.0f})"


def water_text(value: Band, by_day: bool, display: str) -> str:
    """Water with its band: of a day, or while it comes."""
    return water_day(value, display) if by_day else banded(value, "water_flow", display)


def water_day(value: Band, display: str) -> str:
    """Water of a day [kg/s on its average] with its band, two digits.

    Examples
    --------
    >>> water_day(Band(4.381e-5, 2.19e-5, 8.76e-4), "us")
    '1 gal/day (0.5 to 20)'
    """
    if not value.known:
        return "not known"
    unit = "gal/day" if display == "us" else "L/day"
    low, middle, high = (two_digits(float(units.to(part, unit, "water_flow"))) for part in value.low_to_high)
    return f"{middle} {unit} ({low} to {high})"


COLUMNS = 88
"""Letters on a line: fits a window of 1024 points beside the cell's number."""


def wrapped(told: str) -> str:
    """A sentence on lines of its own, the following ones indented.

    Examples
    --------
    >>> print(wrapped("act: " + "The fan is slow. " * 6))
    act: The fan is slow. The fan is slow. The fan is slow. The fan is slow. The fan is
      slow. The fan is slow.
    """
    return textwrap.fill(
        told, COLUMNS, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )
