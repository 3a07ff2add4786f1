"""Units at the edge: text with a unit in, SI inside, display text out.

Together with its table (`unit_table.py`) the only place that knows unit names. Inside the package
every number is SI: K, Pa (absolute), kg, m, s, W. A *kind* says what a quantity is; each key of a
job file has one kind, so that short forms people write (``F``, ``in wc``, ``ton``) are unambiguous
there. A temperature and a temperature difference are two kinds.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.errors import InputError, OutOfRange, UnknownUnit, WrongKind
from hvaccalc.unit_table import KINDS, STANDARD_AIR_DENSITY, WATER_DENSITY, Kind, Unit, fold

__all__ = [
    "KINDS",
    "STANDARD_AIR_DENSITY",
    "WATER_DENSITY",
    "Kind",
    "Quantity",
    "Unit",
    "allowed_units",
    "band_text",
    "cfm",
    "degC",
    "degF",
    "delta_degF",
    "display_unit",
    "number_text",
    "parse",
    "psia",
    "psig",
    "si",
    "to",
    "unit_of",
    "value_text",
]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value as typed and as SI.

    Attributes
    ----------
    text : str
        As typed.
    kind : str
        Key of `KINDS`.
    value : float
        SI; for a gauge unit still above the barometer (see `absolute`); middle of a range.
    unit : str
        Canonical name of the unit typed.
    plus_minus : float or None
        Half width of the 95 % band typed with ``±`` [SI].
    low, high : float or None
        Ends of a typed range [SI].
    gauge, standard : bool
        Pressure above the barometer; airflow in standard air (dry air mass at 0.075 lb/ft3).
    notice : str or None
        How an ambiguous unit was taken.
    """

    text: str
    kind: str
    value: float
    unit: str
    plus_minus: float | None = None
    low: float | None = None
    high: float | None = None
    gauge: bool = False
    standard: bool = False
    notice: str | None = None

    def absolute(self, barometer):
        """Absolute pressure [Pa] for a barometer [Pa], scalar or array."""
        return self.value + barometer if self.gauge else self.value + 0.0 * barometer


_NUMBER = r"[+-]?(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_MIXED = r"[+-]?\d+[- ]\d+/\d+|[+-]?\d+/\d+"
_VALUE = rf"(?:{_MIXED}|{_NUMBER})"
_PM = r"(?:±|\+/-|\+-)"
_PLAIN = re.compile(rf"^\s*(?P<a>{_VALUE})\s*(?P<unit>.*?)\s*$", re.S)
_RANGE = re.compile(rf"^\s*(?P<a>{_VALUE})\s*(?P<unit1>.*?)\s+to\s+(?P<b>{_VALUE})\s*(?P<unit>.*?)\s*$", re.S)
_BAND = re.compile(
    rf"^\s*(?P<a>{_VALUE})\s*(?P<unit1>.*?)\s*{_PM}\s*(?P<b>{_VALUE})\s*(?P<unit>.*?)\s*$", re.S
)
_R_VALUE = re.compile(rf"^\s*R\s*-?\s*(?P<a>{_VALUE})\s*$", re.I)


def _number(text: str) -> float:
    text = text.replace(",", "")
    if "/" not in text:
        return float(text)
    sign = -1.0 if text.startswith("-") else 1.0
    parts = re.split(r"[- ]", text.lstrip("+-"))
    top, bottom = parts[-1].split("/")
    if float(bottom) == 0.0:
        raise OutOfRange("a fraction with nothing below the line", found=repr(text))
    whole = float(parts[0]) if len(parts) == 2 else 0.0
    return sign * (whole + float(top) / float(bottom))


def unit_of(name: str, kind: str) -> Unit:
    """Unit of a kind by any of its names.

    Raises
    ------
    UnknownUnit, WrongKind
        With the nearest names, or the kind that the unit belongs to.
    """
    table = KINDS[kind].units
    folded = fold(name)
    if folded in table:
        return table[folded]
    allowed = allowed_units(kind)
    if not folded:
        raise WrongKind("a bare number; every value carries its unit", allowed=allowed)
    others = [k.title for k in KINDS.values() if folded in k.units and k.name != "humidity_ratio"]
    if others:
        raise WrongKind(
            f'"{name}" is a unit of {others[0]}, here a {KINDS[kind].title} stands', allowed=allowed
        )
    if re.match(r",\d", folded):
        raise InputError("a decimal comma; write a decimal point", allowed=allowed)
    near = difflib.get_close_matches(folded, table, n=3, cutoff=0.5)
    names = ", ".join(dict.fromkeys(table[n].name for n in near))
    hint = f"; nearest: {names}" if near else ""
    raise UnknownUnit(f'unknown unit "{name}"{hint}', allowed=allowed)


def allowed_units(kind: str) -> str:
    """Units of a kind with an example, for messages."""
    known = KINDS[kind]
    names = ", ".join(dict.fromkeys(u.name for u in known.units.values() if u.name))
    return f'{known.title}: {names}, such as "{known.example}"' if names else f"such as {known.example}"


def parse(text: object, kind: str) -> Quantity:
    """Read text with a unit.

    Parameters
    ----------
    text : str
        ``"301 psig"``, ``"74.5 ± 0.5 degF"``, ``"1 to 4 gal/day"``, ``"1-3/8 in"``; a plain
        number only for the kind ``ratio``.
    kind : str
        Key of `KINDS`.

    Returns
    -------
    Quantity

    Raises
    ------
    InputError
        Or one of its kinds, with what was found and what is allowed.

    Examples
    --------
    >>> round(parse("80 degF", "temperature").value, 2)
    299.82
    >>> parse("1-3/8 in", "length").value
    0.034925
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise WrongKind("not a value with a unit", found=repr(text), allowed=allowed_units(kind))
    if not isinstance(text, str):
        if kind != "ratio":
            raise WrongKind(
                "a bare number; every value carries its unit", found=repr(text), allowed=allowed_units(kind)
            )
        text = repr(text)
    if len(text) > 200:
        raise InputError("too long for a value", found=f"{len(text)} characters", allowed=allowed_units(kind))
    try:
        quantity = _read(text.replace("\u2212", "-"), kind)
    except InputError as error:
        error.found = error.found or f'"{text}"'
        error.allowed = error.allowed or allowed_units(kind)
        raise
    numbers = (quantity.value, quantity.plus_minus, quantity.low, quantity.high)
    if not all(n is None or math.isfinite(n) for n in numbers):
        raise OutOfRange("not a finite number", found=f'"{text}"', allowed=allowed_units(kind))
    least = KINDS[kind].minimum
    if (quantity.value if quantity.low is None else quantity.low) < least:
        raise OutOfRange(
            "below absolute zero" if kind == "temperature" else "negative",
            found=f'"{text}"',
            allowed=f"{KINDS[kind].title}, not below zero" + (" absolute" if kind == "temperature" else ""),
        )
    return quantity


def _read(text: str, kind: str) -> Quantity:
    if kind == "thermal_resistance" and (match := _R_VALUE.match(text)):
        return _plain(text, _number(match["a"]), "R", kind)
    if match := _BAND.match(text):
        return _banded(text, match, kind)
    if match := _RANGE.match(text):
        ends = sorted(_plain(text, _number(match[e]), match["unit"], kind).value for e in "ab")
        if match["unit1"] and unit_of(match["unit1"], kind) is not unit_of(match["unit"], kind):
            raise WrongKind("the two ends of a range carry different units")
        if _number(match["a"]) > _number(match["b"]):
            raise OutOfRange("a range runs from the lowest to the highest")
        whole = _plain(text, _number(match["a"]), match["unit"], kind)
        return replace(whole, value=(ends[0] + ends[1]) / 2, low=ends[0], high=ends[1])
    if match := _PLAIN.match(text):
        return _plain(text, _number(match["a"]), match["unit"], kind)
    raise InputError("not a number with a unit")


def _plain(text: str, number: float, name: str, kind: str) -> Quantity:
    unit = unit_of(name, kind)
    if kind == "slope" and unit.name == "deg":
        if not -90.0 < number < 90.0:
            raise OutOfRange("a slope of 90 deg or more", allowed="-89 to 89 deg")
        return Quantity(text, kind, math.tan(math.radians(number)), unit.name)
    value = number * unit.factor + unit.offset
    return Quantity(text, kind, value, unit.name, None, None, None, unit.gauge, unit.standard, unit.notice)


def _banded(text: str, match: re.Match, kind: str) -> Quantity:
    own = match["unit1"] or match["unit"]
    whole = _plain(text, _number(match["a"]), own, kind)
    width = _number(match["b"])
    if width < 0:
        raise OutOfRange("a negative band after ±")
    if fold(match["unit"]) in ("%", "percent") and kind not in ("fraction", "slope", "fan_speed"):
        if not match["unit1"]:
            raise WrongKind("a band in % needs the unit before ±", allowed='such as "301 psig ± 1 %"')
        return replace(whole, plus_minus=abs(whole.value - unit_of(own, kind).offset) * width / 100)
    other = unit_of(match["unit"] or own, kind)
    return replace(whole, plus_minus=width * (1.0 if math.isnan(other.factor) else other.factor))


def si(value, unit: str, kind: str | None = None, barometer=None):
    """Number (or array) in a named unit to SI; a gauge unit needs the barometer [Pa].

    Examples
    --------
    >>> round(float(si(0.0, "psig", barometer=101325.0)), 1)
    101325.0
    """
    found = _find(unit, kind)
    result = np.asarray(value, dtype=float) * found.factor + found.offset
    if found.gauge:
        if barometer is None:
            raise InputError(f"{unit} needs the barometer")
        result = result + barometer
    return result[()]


def to(value, unit: str, kind: str | None = None, barometer=None):
    """SI number (or array) to a named unit; inverse of `si`."""
    found = _find(unit, kind)
    result = np.asarray(value, dtype=float)
    if found.gauge:
        if barometer is None:
            raise InputError(f"{unit} needs the barometer")
        result = result - barometer
    return ((result - found.offset) / found.factor)[()]


def _find(unit: str, kind: str | None) -> Unit:
    if kind is not None:
        return unit_of(unit, kind)
    for known in KINDS.values():
        if (found := known.units.get(fold(unit))) is not None:
            return found
    raise UnknownUnit(f'unknown unit "{unit}"')


def degF(value):
    """Degrees Fahrenheit to K."""
    return si(value, "degF", "temperature")


def degC(value):
    """Degrees Celsius to K."""
    return si(value, "degC", "temperature")


def delta_degF(value):
    """Fahrenheit difference to K."""
    return si(value, "degF", "temperature_difference")


def psig(value, barometer):
    """Gauge pressure in psi and barometer [Pa] to Pa absolute."""
    return si(value, "psig", "pressure", barometer)


def psia(value):
    """Absolute pressure in psi to Pa."""
    return si(value, "psia", "pressure")


def cfm(value):
    """Cubic feet a minute to m3/s."""
    return si(value, "cfm", "airflow")


DISPLAY_NAMES = {
    "degF": "°F",
    "degC": "°C",
    "psid": "psi",
    "kPaa": "kPa abs",
    "inH2O": "in w.c.",
    "ft2": "ft²",
    "m2": "m²",
    "ft3": "ft³",
    "m3/s": "m³/s",
}


def display_unit(kind: str, display: str = "us") -> tuple[str, int]:
    """Canonical unit and decimals in which a kind is shown."""
    return KINDS[kind].us if display == "us" else KINDS[kind].metric


def number_text(value: float, kind: str, display: str = "us", barometer: float | None = None) -> str:
    """The number alone, in display units; "not known" where it is not finite."""
    if value is None or not math.isfinite(value):
        return "not known"
    name, decimals = display_unit(kind, display)
    shown = float(to(value, name, kind, barometer))
    text = f"{shown:,.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.,") else text


def value_text(value: float, kind: str, display: str = "us", barometer: float | None = None) -> str:
    """Value with unit, in display units.

    Examples
    --------
    >>> value_text(degF(80.0), "temperature")
    '80.0 °F'
    """
    number = number_text(value, kind, display, barometer)
    if number == "not known":
        return number
    name = display_unit(kind, display)[0]
    return f"{number} {DISPLAY_NAMES.get(name, name)}".strip()


def band_text(
    value: float, low: float, high: float, kind: str, display: str = "us", barometer: float | None = None
) -> str:
    """Value with its 95 % band: ``14.2 °F (12.3 to 16.1)``."""
    text = value_text(value, kind, display, barometer)
    ends = [number_text(end, kind, display, barometer) for end in (low, high)]
    return text if "not known" in (text, *ends) else f"{text} ({ends[0]} to {ends[1]})"
