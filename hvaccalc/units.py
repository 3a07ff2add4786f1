"""Units at the edge: text with a unit in, SI inside, display text out.

Together with its table (`unit_table.py`) the only place that knows unit names. Inside the package
every number is SI: K, Pa (absolute), kg, m, s, W. A *kind* says what a quantity is; each key of a
job file has one kind, so that short forms people write (``F``, ``in wc``, ``ton``) are unambiguous
there. A temperature and a temperature difference are two kinds.
"""

import difflib
import math
import re
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.errors import InputError, OutOfRange, UnknownUnit, WrongKind
from hvaccalc.unit_table import DISPLAY_NAMES, KINDS, STANDARD_AIR_DENSITY, WATER_DENSITY, Kind, Unit, fold

__all__ = [
    "DISPLAY_NAMES",
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

    def absolute(self, barometer: float | Array) -> Any:
        """Absolute pressure [Pa] for a barometer [Pa], scalar or array."""
        return self.value + barometer if self.gauge else self.value + 0.0 * barometer


# Patterns meet text with single spaces and none at the ends. No thousands after a leading zero: "0,450" is a
# decimal comma. The value is atomic: given back digit by digit, long numbers would take seconds to refuse.
_NUMBER = r"[+-]?(?:[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?|\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_MIXED = r"[+-]?\d+[- ]\d+/\d+|[+-]?\d+/\d+"
_VALUE = rf"(?>{_MIXED}|{_NUMBER})"
_DECIMAL_COMMA = re.compile(r"(?<![\d,.])(\d+),(?=\d{1,2}(?![\d,.]))")
_PLAIN = re.compile(rf"(?P<a>{_VALUE}) ?(?P<unit>.*)")
_RANGE = re.compile(rf"(?P<a>{_VALUE}) ?(?P<unit1>.*?) to (?P<b>{_VALUE}) ?(?P<unit>.*)")
_BAND = re.compile(rf"(?P<a>{_VALUE}) ?(?P<unit1>.*?) ?(?:±|\+/-|\+-) ?(?P<b>{_VALUE}) ?(?P<unit>.*)")
_SUM = re.compile(rf"(?P<a>{_NUMBER}) ?(?P<unit1>[a-z]+) (?P<b>{_NUMBER}) ?(?P<unit>[a-z]+)", re.I)
_SUMMED = ("mass", "length", "time")
_R_VALUE = re.compile(rf"R ?-? ?(?P<a>{_VALUE})", re.I)


def _number(text: str) -> float:
    text = text.replace(",", "")
    if "/" not in text:
        return float(text)
    sign = -1.0 if text.startswith("-") else 1.0
    parts = re.split(r"[- ]", text.lstrip("+-"))
    top, bottom = parts[-1].split("/")
    if float(bottom) == 0.0:
        raise OutOfRange("a fraction with nothing below the line")
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
    if folded and {f"{folded}g", f"{folded}a"} <= table.keys():
        gauge, absolute = table[f"{folded}g"].name, table[f"{folded}a"].name
        raise WrongKind(f'gauge or absolute? "{name}" says neither', allowed=f"{gauge} or {absolute}")
    if not folded:
        raise WrongKind("a bare number; every value carries its unit", allowed=allowed)
    others = [k.title for k in KINDS.values() if folded in k.units]
    if others:
        raise WrongKind(
            f'"{name}" is a unit of {", ".join(others)}; a unit of {KINDS[kind].title} is needed',
            allowed=allowed,
        )
    if re.match(r",\d", folded):
        raise InputError("a decimal comma; write a decimal point", allowed=allowed)
    if re.match(r"(-|–|\.\.)\s*\d", folded):
        raise InputError("a range is written with to", allowed=f'such as "72 to 75 ..."; {allowed}')
    raise _unknown(name, table, allowed)


def _unknown(name: str, table: dict[str, Unit], allowed: str) -> UnknownUnit:
    near = difflib.get_close_matches(fold(name), table, n=3, cutoff=0.5)
    names = ", ".join(dict.fromkeys(table[n].name for n in near))
    hint = f"; nearest: {names}" if near else ""
    return UnknownUnit(f'unknown unit "{name}"{hint}', found=f'"{name}"', allowed=allowed)


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
    allowed = allowed_units(kind)
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise WrongKind("not a value with a unit", found=_shown(text), allowed=allowed)
    if not isinstance(text, str):
        if kind != "ratio":
            raise WrongKind(
                "a bare number; every value carries its unit", found=_shown(text), allowed=allowed
            )
        if not -1e300 < text < 1e300:
            raise OutOfRange("not a finite number", found=_shown(text), allowed=allowed)
        text = str(text)
    if len(text) > 200:
        raise InputError("too long for a value", found=f"{len(text)} characters", allowed=allowed)
    try:
        plain = _DECIMAL_COMMA.sub(r"\1.", " ".join(text.replace("\u2212", "-").split()))
        quantity = replace(_read(plain, kind), text=text)
        if "," in text and "," not in plain:
            quantity = replace(quantity, notice=quantity.notice or f"a decimal comma was taken as {plain}")
    except InputError as error:
        error.found, error.allowed = f'"{text}"', error.allowed or allowed
        raise
    numbers = (quantity.value, quantity.plus_minus, quantity.low, quantity.high)
    if not all(n is None or math.isfinite(n) for n in numbers):
        raise OutOfRange("not a finite number", found=f'"{text}"', allowed=allowed)
    if (quantity.value if quantity.low is None else quantity.low) < KINDS[kind].minimum:
        raise OutOfRange(
            "below absolute zero" if kind == "temperature" else "negative",
            found=f'"{text}"',
            allowed=f"{KINDS[kind].title}, not below zero" + (" absolute" if kind == "temperature" else ""),
        )
    return quantity


def _shown(value: object) -> str:
    """What was found, for a message; a whole number of thousands of digits has no text."""
    try:
        text = repr(value)
    except ValueError:
        return "a number of thousands of digits"
    return text if len(text) <= 80 else f"{text[:77]}..."


def _read(text: str, kind: str) -> Quantity:
    if kind == "thermal_resistance" and (match := _R_VALUE.fullmatch(text)):
        return _plain(text, _number(match["a"]), "R", kind)
    if match := _BAND.fullmatch(text):
        return _banded(text, match, kind)
    if match := _RANGE.fullmatch(text):
        ends = sorted(_plain(text, _number(match[e]), match["unit"], kind).value for e in "ab")
        if match["unit1"] and unit_of(match["unit1"], kind) is not unit_of(match["unit"], kind):
            raise WrongKind("the two ends of a range carry different units")
        if _number(match["a"]) > _number(match["b"]):
            raise OutOfRange("a range runs from the lowest to the highest")
        whole = _plain(text, _number(match["a"]), match["unit"], kind)
        return replace(whole, value=(ends[0] + ends[1]) / 2, low=ends[0], high=ends[1])
    if kind in _SUMMED and (match := _SUM.fullmatch(text)):
        return _summed(text, match, kind)
    if match := _PLAIN.fullmatch(text):
        return _plain(text, _number(match["a"]), match["unit"], kind)
    raise InputError("not a number with a unit")


def _plain(text: str, number: float, name: str, kind: str) -> Quantity:
    unit = unit_of(name, kind)
    if unit.angle and not -90.0 < number < 90.0:
        raise OutOfRange("a slope of 90 deg or more", allowed="-89 to 89 deg")
    value = float(_inside(number, unit))
    return Quantity(text, kind, value, unit.name, None, None, None, unit.gauge, unit.standard, unit.notice)


def _summed(text: str, match: re.Match[str], kind: str) -> Quantity:
    """A value in two units, the second the smaller: ``9 lb 8 oz``, ``1 h 30 min``."""
    whole, rest = (
        _plain(text, _number(match[n]), match[u], kind) for n, u in (("a", "unit1"), ("b", "unit"))
    )
    if not 0.0 <= rest.value < abs(unit_of(match["unit1"], kind).factor):
        raise OutOfRange(f"the second part is not less than one {whole.unit}", allowed='such as "9 lb 8 oz"')
    return replace(whole, value=whole.value + (rest.value if whole.value >= 0.0 else -rest.value))


def _banded(text: str, match: re.Match[str], kind: str) -> Quantity:
    own = match["unit1"] or match["unit"]
    whole = _plain(text, _number(match["a"]), own, kind)
    width = _number(match["b"])
    if width < 0:
        raise OutOfRange("a negative band after ±")
    if fold(match["unit"]) in ("%", "percent") and kind not in ("fraction", "slope", "fan_speed"):
        if not match["unit1"]:
            raise WrongKind("a band in % needs the unit before ±", allowed='such as "301 psig ± 1 %"')
        return replace(whole, plus_minus=abs(whole.value - unit_of(own, kind).offset) * width / 100)
    between = f"{kind}_difference"
    if match["unit1"] and between in KINDS and fold(match["unit"]) in KINDS[between].units:
        return replace(whole, plus_minus=width * unit_of(match["unit"], between).factor)
    other = unit_of(match["unit"] or own, kind)
    if not other.angle:
        return replace(whole, plus_minus=width * other.factor)
    middle = float(_outside(whole.value, other))
    low, high = (_plain(text, middle + side * width, other.name, kind).value for side in (-1.0, 1.0))
    return replace(whole, plus_minus=(high - low) / 2)


def _inside(number: Any, unit: Unit) -> Any:
    """Number in a unit to SI; a gauge unit still above the barometer."""
    if unit.angle:
        return np.where(np.abs(number) < 90.0, np.tan(np.radians(number)), np.nan)
    return number * unit.factor + unit.offset


def _outside(value: Any, unit: Unit) -> Any:
    """Inverse of `_inside`."""
    return np.degrees(np.arctan(value)) if unit.angle else (value - unit.offset) / unit.factor


def si(value: ArrayLike, unit: str, kind: str | None = None, barometer: ArrayLike | None = None) -> Array:
    """Number (or array) in a named unit to SI; a gauge unit needs the barometer [Pa].

    Examples
    --------
    >>> round(float(si(0.0, "psig", barometer=101325.0)), 1)
    101325.0
    """
    found = _find(unit, kind)
    result = np.asarray(_inside(np.asarray(value, dtype=float), found))
    if found.gauge:
        if barometer is None:
            raise InputError(f"{unit} needs the barometer")
        result = result + barometer
    return result[()]


class OfAKind(Protocol):
    """A number that carries its kind, such as a `hvaccalc.Finding`."""

    @property
    def value(self) -> float | None: ...
    @property
    def kind(self) -> str | None: ...


COLDEST = 100.0
"""No temperature here is below it, and no difference reaches it [K]: a number alone tells which it is."""


def to(
    value: ArrayLike | OfAKind, unit: str, kind: str | None = None, barometer: ArrayLike | None = None
) -> Array:
    """SI number (or array) to a named unit; inverse of `si`.

    Parameters
    ----------
    value : array_like or finding
        A finding brings its own kind with it.
    unit : str
    kind : str, optional
        Needed where the unit's name means two things, temperatures apart: a number below 100 K is none.
    barometer : array_like, optional
        For a gauge unit [Pa].

    Raises
    ------
    WrongKind
        A difference asked for as a temperature, a finding asked for as another kind than it is, or a unit
        that does not tell its kind.

    Examples
    --------
    >>> round(float(to(299.82, "degF"))), round(float(to(6.67, "degF", "temperature_difference")))
    (80, 12)
    """
    own = getattr(value, "kind", None)
    if own is not None and kind not in (None, own):
        raise WrongKind(f"this is {KINDS[own].title}", found=f'kind "{kind}"', allowed=f'kind "{own}"')
    kind = kind or own
    number = getattr(value, "value", value)
    result = np.asarray(math.nan if number is None else number, dtype=float)
    if kind is None and fold(unit) in _EITHER:
        kind = "temperature"
    found = _find(unit, kind)
    if kind == "temperature" and found.offset and np.any(result < COLDEST):
        raise WrongKind("a difference is no temperature", allowed='kind "temperature_difference"')
    if found.gauge:
        if barometer is None:
            raise InputError(f"{unit} needs the barometer")
        result = result - barometer
    return np.asarray(_outside(result, found))[()]


_EITHER = {name for name, unit in KINDS["temperature"].units.items() if unit.offset}


def _find(unit: str, kind: str | None) -> Unit:
    """Unit by name; without a kind the name must mean one thing, whatever the kind."""
    if kind is not None:
        return unit_of(unit, kind)
    every = {name: known for k in KINDS.values() for name, known in k.units.items()}
    if (found := every.get(fold(unit))) is None:
        raise _unknown(unit, every, "a unit of any kind")
    of = {name: k.units[fold(unit)] for name, k in KINDS.items() if fold(unit) in k.units}
    if any(
        (one.factor, one.offset, one.gauge) != (found.factor, found.offset, found.gauge)
        for one in of.values()
    ):
        raise WrongKind(f'"{unit}" is of several kinds', found=f'"{unit}"', allowed=f"one of {', '.join(of)}")
    return found


def degF(value: ArrayLike) -> Array:
    """Degrees Fahrenheit to K."""
    return si(value, "degF", "temperature")


def degC(value: ArrayLike) -> Array:
    """Degrees Celsius to K."""
    return si(value, "degC", "temperature")


def delta_degF(value: ArrayLike) -> Array:
    """Fahrenheit difference to K."""
    return si(value, "degF", "temperature_difference")


def psig(value: ArrayLike, barometer: ArrayLike) -> Array:
    """Gauge pressure in psi and barometer [Pa] to Pa absolute."""
    return si(value, "psig", "pressure", barometer)


def psia(value: ArrayLike) -> Array:
    """Absolute pressure in psi to Pa."""
    return si(value, "psia", "pressure")


def cfm(value: ArrayLike) -> Array:
    """Cubic feet a minute to m3/s."""
    return si(value, "cfm", "airflow")


def display_unit(kind: str, display: str = "us") -> tuple[str, int]:
    """Canonical unit and decimals in which a kind is shown."""
    return KINDS[kind].us if display == "us" else KINDS[kind].metric


def number_text(
    value: float, kind: str, display: str = "us", barometer: float | None = None, more_decimals: int = 0
) -> str:
    """The number alone, in display units; "not known" where it is not finite."""
    name, decimals = display_unit(kind, display)
    decimals += more_decimals
    shown = math.nan if value is None else float(to(value, name, kind, barometer))
    if not math.isfinite(shown):
        return "not known"
    return f"{shown:z,.{decimals}f}"


def value_text(
    value: float, kind: str, display: str = "us", barometer: float | None = None, more_decimals: int = 0
) -> str:
    """Value with unit, in display units.

    Examples
    --------
    >>> value_text(degF(80.0), "temperature")
    '80.0 °F'
    """
    number = number_text(value, kind, display, barometer, more_decimals)
    if number == "not known":
        return number
    name, _ = display_unit(kind, display)
    return f"{number} {DISPLAY_NAMES.get(name, name)}".strip()


def limit_text(value: float, kind: str, display: str) -> str:
    """A limit of a rule with its unit, without needless decimals.

    Examples
    --------
    >>> limit_text(degF(32.0), "temperature", "us"), limit_text(degF(32.0), "temperature", "si")
    ('32 °F', '0 °C')
    """
    return value_text(value, kind, display).replace(".0 ", " ")


def limits_text(low: float, high: float, kind: str, display: str, joined: str = "to") -> str:
    """Two limits with one unit.

    Examples
    --------
    >>> limits_text(degF(55.0), degF(115.0), "temperature", "us", "and")
    '55 and 115 °F'
    """
    return f"{limit_text(low, kind, display).rsplit(' ', 1)[0]} {joined} {limit_text(high, kind, display)}"


def band_text(
    value: float, low: float, high: float, kind: str, display: str = "us", barometer: float | None = None
) -> str:
    """Value with its 95 % band: ``14.2 °F (12.3 to 16.1)``.

    A band narrower than the usual digits show gets up to two decimals more, so that it stays a band.
    """
    name, decimals = display_unit(kind, display)
    half = float(to(high, name, kind, barometer) - to(low, name, kind, barometer)) / 2.0
    more = 0
    if math.isfinite(half) and half > 0.0 and kind != "fraction":
        more = min(max(math.floor(-math.log10(half / 10.0)) - decimals, 0), 2)
    text = value_text(value, kind, display, barometer, more)
    ends = [number_text(end, kind, display, barometer, more) for end in (low, high)]
    return text if "not known" in (text, *ends) else f"{text} ({ends[0]} to {ends[1]})"
