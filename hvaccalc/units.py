"""Units at the edge: text with a unit in, SI inside, display text out.

The only place that knows unit names. Inside the package every number is SI: K, Pa (absolute),
kg, m, s, W. A *kind* says what a quantity is; each key of a job file has one kind, so that short
forms people write (``F``, ``in wc``, ``ton``) are unambiguous there. A temperature and a
temperature difference are two kinds.

Sources of the factors: NIST SP 811 (2008), appendix B.8; every factor is cross-checked against an
independent unit library in the tests. Water volumes become mass at 998.2 kg/m3 (20 °C);
``inH2O`` is the conventional inch of water, 249.08891 Pa.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.errors import InputError, OutOfRange, UnknownUnit, WrongKind

WATER_DENSITY = 998.2
"""Density that turns a volume of condensate into mass [kg/m3], water at 20 °C."""

STANDARD_AIR_DENSITY = 0.075 * 0.45359237 / 0.3048**3
"""Dry air of one standard cubic metre [kg/m3]: 0.075 lb/ft3."""

_LB, _FT, _IN, _GAL = 0.45359237, 0.3048, 0.0254, 3.785411784e-3
_PSI, _BTU, _INHG = 6894.757293168, 1055.05585262, 3386.389
_INH2O, _HP, _CFM = 249.08891, 745.6998715822702, 0.3048**3 / 60.0
_WATER_GAL = _GAL * WATER_DENSITY
_TON = 12000.0 * _BTU / 3600.0


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``SI = value * factor + offset``."""

    name: str
    factor: float
    offset: float = 0.0
    gauge: bool = False
    standard: bool = False
    notice: str | None = None


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its units, an example for messages, how it is displayed."""

    name: str
    title: str
    si: str
    units: dict[str, Unit]
    example: str
    us: tuple[str, int]
    metric: tuple[str, int]
    minimum: float = -math.inf


def _units(*rows: tuple) -> dict[str, Unit]:
    """Table of one kind; each row is (names separated by |, factor, options)."""
    table: dict[str, Unit] = {}
    for names, factor, *rest in rows:
        aliases = names.split("|")
        unit = Unit(aliases[0], factor, **(rest[0] if rest else {}))
        for alias in aliases:
            table[_fold(alias)] = unit
    return table


def _fold(name: str) -> str:
    """Unit text without the differences that carry no meaning: case, degree signs, spaces."""
    text = name.strip().replace("²", "2").replace("³", "3").replace("·", " ").replace("µ", "u")
    text = text.replace("°", "deg ").replace("º", "deg ").replace("”", '"').replace("″", '"')
    return re.sub(r"\s+", " ", text).strip().replace("deg ", "deg").lower()


_GAUGE = {"gauge": True}
_AS_GAUGE = {"gauge": True, "notice": "psi on a refrigerant reading was taken as gauge (psig)"}


def _bare(unit: str) -> dict[str, str]:
    return {"notice": f"bare {unit} on a refrigerant reading was taken as absolute ({unit}a)"}


_TEMPERATURE = _units(
    ("K", 1.0),
    ("degC|C", 1.0, {"offset": 273.15}),
    ("degF|F", 5 / 9, {"offset": 459.67 * 5 / 9}),
)
_MASS_FLOW = (("lb/h|lb/hr|lbm/h", _LB / 3600), ("lb/min", _LB / 60), ("kg/s", 1.0), ("g/s", 1e-3))
_KG_H = ("kg/h", 1 / 3600)
_PRESSURE = _units(
    ("psig", _PSI, _GAUGE),
    ("psia", _PSI),
    ("kPag", 1e3, _GAUGE),
    ("kPaa", 1e3),
    ("MPag", 1e6, _GAUGE),
    ("MPaa", 1e6),
    ("barg", 1e5, _GAUGE),
    ("bara", 1e5),
    ("psi", _PSI, _AS_GAUGE),
    ("kPa", 1e3, _bare("kPa")),
    ("MPa", 1e6, _bare("MPa")),
    ("bar", 1e5, _bare("bar")),
)
_TIME = (("s|sec", 1.0), ("min", 60.0), ("h|hr|hour|hours", 3600.0), ("day|days|d", 86400.0))
_HEAT = (("W", 1.0), ("kW", 1e3), ("Btu/h|Btuh|Btu/hr", _BTU / 3600))


def _kind(name, title, si, units, example, us, metric, minimum=-math.inf) -> tuple[str, Kind]:
    return name, Kind(name, title, si, units, example, us, metric, minimum)


KINDS: dict[str, Kind] = dict(
    [
        _kind("temperature", "temperature", "K", _TEMPERATURE, "80 degF", ("degF", 1), ("degC", 1), 0.0),
        _kind(
            "temperature_difference",
            "temperature difference",
            "K",
            _units(("K", 1.0), ("degC|C", 1.0), ("degF|F", 5 / 9)),
            "12 degF",
            ("degF", 1),
            ("K", 1),
        ),
        _kind("pressure", "refrigerant pressure", "Pa", _PRESSURE, "301 psig", ("psig", 1), ("kPaa", 0)),
        _kind(
            "pressure_difference",
            "pressure difference",
            "Pa",
            _units(("psid", _PSI), ("psi", _PSI), ("kPa", 1e3), ("Pa", 1.0), ("bar", 1e5)),
            "2.1 psid",
            ("psid", 1),
            ("kPa", 1),
        ),
        _kind(
            "air_pressure",
            "air pressure (a difference from the room)",
            "Pa",
            _units(
                ('inH2O|in wc|in w.c.|inwc|in wg|in w.g.|inwg|iwc|"wc|"wg|in h2o', _INH2O),
                ("Pa", 1.0),
                ("kPa", 1e3),
                ("mmH2O", _INH2O / 25.4),
            ),
            "0.45 inH2O",
            ("inH2O", 2),
            ("Pa", 0),
        ),
        _kind(
            "airflow",
            "airflow",
            "m3/s",
            _units(
                ("cfm|ft3/min", _CFM),
                ("scfm", _CFM, {"standard": True}),
                ("m3/s", 1.0),
                ("L/s", 1e-3),
                ("m3/h", 1 / 3600),
            ),
            "8000 cfm",
            ("cfm", 0),
            ("m3/s", 2),
            0.0,
        ),
        _kind(
            "heat",
            "heat flow",
            "W",
            _units(*_HEAT, ("kBtu/h|MBH|kBtu/hr", _BTU / 3.6), ("ton|tons", _TON)),
            "240 kBtu/h",
            ("kBtu/h", 0),
            ("kW", 1),
        ),
        _kind(
            "power",
            "power",
            "W",
            _units(("W", 1.0), ("kW", 1e3), ("hp", _HP)),
            "431 W",
            ("W", 0),
            ("W", 0),
            0.0,
        ),
        _kind(
            "absolute_pressure",
            "absolute pressure (barometer or vacuum)",
            "Pa",
            _units(
                ("inHg", _INHG),
                ("kPa|kPaa", 1e3),
                ("hPa|mbar", 100.0),
                ("Pa", 1.0),
                ("psia", _PSI),
                ("mmHg|torr", 133.322387415),
                ("micron|microns", 0.133322387415),
                ("bar|bara", 1e5),
            ),
            "30.1 inHg",
            ("inHg", 2),
            ("kPa", 2),
            0.0,
        ),
        _kind(
            "mass",
            "mass",
            "kg",
            _units(("lb|lbs|lbm", _LB), ("oz", _LB / 16), ("kg", 1.0), ("g", 1e-3)),
            "34 lb",
            ("lb", 1),
            ("kg", 2),
            0.0,
        ),
        _kind(
            "volume",
            "volume",
            "m3",
            _units(("ft3|cu ft", _FT**3), ("in3", _IN**3), ("gal", _GAL), ("L", 1e-3), ("m3", 1.0)),
            "2 ft3",
            ("ft3", 2),
            ("L", 1),
            0.0,
        ),
        _kind("time", "time", "s", _units(*_TIME), "25 min", ("min", 0), ("min", 0), 0.0),
        _kind(
            "annual_hours",
            "hours a year",
            "h",
            _units(("h|hr|hours|h/year|h/yr|h/a", 1.0)),
            "1800 h",
            ("h", 0),
            ("h", 0),
            0.0,
        ),
        _kind(
            "area",
            "area",
            "m2",
            _units(("ft2|sq ft|sqft", _FT**2), ("in2|sq in", _IN**2), ("m2", 1.0)),
            "22.5 ft2",
            ("ft2", 1),
            ("m2", 2),
            0.0,
        ),
        _kind(
            "mass_flow",
            "mass flow",
            "kg/s",
            _units(*_MASS_FLOW, _KG_H),
            "1020 lb/h",
            ("lb/h", 0),
            ("kg/s", 4),
            0.0,
        ),
        _kind(
            "water_flow",
            "water flow",
            "kg/s",
            _units(
                ("gal/h|gph|gal/hr", _WATER_GAL / 3600),
                ("gpm|gal/min", _WATER_GAL / 60),
                ("gal/day|gpd", _WATER_GAL / 86400),
                ("L/h", 1e-3 * WATER_DENSITY / 3600),
                ("L/min", 1e-3 * WATER_DENSITY / 60),
                ("L/day", 1e-3 * WATER_DENSITY / 86400),
                ("mL/min", 1e-6 * WATER_DENSITY / 60),
                *_MASS_FLOW,
                _KG_H,
            ),
            "2 gal/h",
            ("gal/h", 1),
            ("L/h", 1),
            0.0,
        ),
        _kind(
            "velocity",
            "velocity",
            "m/s",
            _units(("ft/min|fpm", _FT / 60), ("ft/s", _FT), ("m/s", 1.0)),
            "500 ft/min",
            ("ft/min", 0),
            ("m/s", 2),
            0.0,
        ),
        _kind(
            "speed",
            "rotational speed",
            "1/s",
            _units(("rpm|r/min", 1 / 60)),
            "1750 rpm",
            ("rpm", 0),
            ("rpm", 0),
            0.0,
        ),
        _kind(
            "fan_speed",
            "fan speed (frequency, rpm or percent)",
            "1/s or fraction",
            _units(("Hz", 1.0), ("rpm|r/min", 1 / 60), ("%|percent", 0.01)),
            "36 Hz",
            ("Hz", 0),
            ("Hz", 0),
            0.0,
        ),
        _kind("frequency", "frequency", "Hz", _units(("Hz", 1.0)), "36 Hz", ("Hz", 1), ("Hz", 1), 0.0),
        _kind("voltage", "voltage", "V", _units(("V|volt|volts|vac", 1.0)), "24 V", ("V", 1), ("V", 1)),
        _kind(
            "current",
            "current",
            "A",
            _units(("A|amp|amps", 1.0), ("mA", 1e-3)),
            "12.5 A",
            ("A", 1),
            ("A", 1),
            0.0,
        ),
        _kind(
            "length",
            "length",
            "m",
            _units(('in|inch|inches|"', _IN), ("ft|feet", _FT), ("m", 1.0), ("cm", 0.01), ("mm", 1e-3)),
            "7/8 in",
            ("in", 2),
            ("mm", 1),
        ),
        _kind(
            "elevation",
            "elevation",
            "m",
            _units(("ft|feet", _FT), ("m", 1.0)),
            "640 ft",
            ("ft", 0),
            ("m", 0),
        ),
        _kind(
            "slope",
            "slope",
            "rise over run",
            _units(("in/ft", _IN / _FT), ("%|percent", 0.01), ("deg", math.nan)),
            "1/4 in/ft",
            ("in/ft", 3),
            ("%", 1),
        ),
        _kind(
            "fraction",
            "percentage",
            "fraction",
            _units(("%|percent|%rh|% rh", 0.01)),
            "52 %",
            ("%", 1),
            ("%", 1),
            0.0,
        ),
        _kind(
            "thermal_resistance",
            "thermal resistance",
            "m2 K/W",
            _units(
                ("R", _FT**2 * 5 / 9 * 3600 / _BTU),
                ("m2K/W|m2 K/W", 1.0),
                ("ft2 h F/Btu", _FT**2 * 5 / 9 * 3600 / _BTU),
            ),
            "R-6",
            ("R", 1),
            ("m2K/W", 2),
            0.0,
        ),
        _kind("ratio", "plain number", "1", {"": Unit("", 1.0)}, "0.72", ("", 2), ("", 2)),
        _kind(
            "humidity_ratio",
            "humidity ratio",
            "kg/kg",
            _units(("gr/lb", 1 / 7000), ("g/kg", 1e-3), ("kg/kg|lb/lb", 1.0)),
            "65 gr/lb",
            ("gr/lb", 1),
            ("g/kg", 2),
            0.0,
        ),
    ]
)


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
    folded = _fold(name)
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
    if _fold(match["unit"]) in ("%", "percent") and kind not in ("fraction", "slope", "fan_speed"):
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
        if (found := known.units.get(_fold(unit))) is not None:
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
