"""The closed table of units: every unit name the package knows, by kind of quantity.

Sources of the factors: NIST SP 811 (2008), appendix B.8; every factor is cross-checked against an
independent unit library in the tests. Water volumes become mass at 998.2 kg/m3 (20 °C);
``inH2O`` is the conventional inch of water, 249.08891 Pa.
"""

import math
from dataclasses import dataclass
from typing import Any

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
    """One unit: ``SI = value * factor + offset``; an angle has no factor, its slope is the tangent."""

    name: str
    factor: float
    offset: float = 0.0
    gauge: bool = False
    standard: bool = False
    angle: bool = False
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


def _units(*rows: tuple[Any, ...]) -> dict[str, Unit]:
    """Table of one kind; each row is (names separated by |, factor, options)."""
    table: dict[str, Unit] = {}
    for names, factor, *rest in rows:
        aliases = names.split("|")
        unit = Unit(aliases[0], factor, **(rest[0] if rest else {}))
        for alias in aliases:
            table[fold(alias)] = unit
    return table


_SAME = str.maketrans(
    {"²": "2", "³": "3", "·": " ", "“": '"', "”": '"', "″": '"'}
    | {"°": "deg ", "º": "deg ", "˚": "deg ", "℉": "degF", "℃": "degC"}
)


def fold(name: str) -> str:
    """Unit text without the differences that carry no meaning: case, degree signs, spaces."""
    return " ".join(name.translate(_SAME).lower().split()).replace("deg ", "deg")


_GAUGE = {"gauge": True}
_AS_GAUGE = {"gauge": True, "notice": "psi on a refrigerant reading was taken as gauge (psig)"}


_TEMPERATURE = _units(
    ("K", 1.0),
    ("degC|C", 1.0, {"offset": 273.15}),
    # Factor first, as in the reading: only then is -459.67 degF exactly 0 K.
    ("degF|F", 5 / 9, {"offset": 459.67 * (5 / 9)}),
)
_MASS_FLOW = (("lb/h|lb/hr|lbm/h", _LB / 3600), ("lb/min", _LB / 60), ("kg/s", 1.0), ("g/s", 1e-3))
_KG_H = ("kg/h", 1 / 3600)
_PRESSURE = _units(
    ("psig|psi(g)", _PSI, _GAUGE),
    ("psia|psi(a)", _PSI),
    ("kPag|kPa(g)", 1e3, _GAUGE),
    ("kPaa|kPa abs|kPa(a)", 1e3),
    ("MPag|MPa(g)", 1e6, _GAUGE),
    ("MPaa|MPa(a)", 1e6),
    ("barg|bar(g)|bar g", 1e5, _GAUGE),
    ("bara|bar(a)|bar a", 1e5),
    ("psi", _PSI, _AS_GAUGE),
)
_TIME = (("s|sec", 1.0), ("min|minutes", 60.0), ("h|hr|hour|hours", 3600.0), ("day|days|d", 86400.0))
_HEAT = (("W", 1.0), ("kW", 1e3), ("Btu/h|Btuh|Btu/hr", _BTU / 3600))


def _kind(
    name: str,
    title: str,
    si: str,
    units: dict[str, Unit],
    example: str,
    us: tuple[str, int],
    metric: tuple[str, int],
    minimum: float = -math.inf,
) -> tuple[str, Kind]:
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
                (
                    'inH2O|in wc|in w.c.|inwc|in wg|in w.g.|inwg|iwc|"wc|"wg|in h2o|in. w.c.|in. wc|in. w.g.',
                    _INH2O,
                ),
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
                ("inHg|in Hg|in. Hg", _INHG),
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
            _units(('in|inch|inches|"', _IN), ("ft|feet|'", _FT), ("m", 1.0), ("cm", 0.01), ("mm", 1e-3)),
            "7/8 in",
            ("in", 2),
            ("mm", 1),
        ),
        _kind(
            "elevation",
            "elevation",
            "m",
            _units(("ft|feet|'", _FT), ("m", 1.0)),
            "640 ft",
            ("ft", 0),
            ("m", 0),
        ),
        _kind(
            "slope",
            "slope",
            "rise over run",
            _units(("in/ft", _IN / _FT), ("%|percent", 0.01), ("deg", math.nan, {"angle": True})),
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
            ("%", 0),
            ("%", 0),
            0.0,
        ),
        _kind(
            "thermal_resistance",
            "thermal resistance",
            "m2 K/W",
            _units(
                ("R", _FT**2 * 5 / 9 * 3600 / _BTU),
                ("m2K/W|m2 K/W", 1.0),
                ("ft2 h F/Btu|ft2 h degF/Btu", _FT**2 * 5 / 9 * 3600 / _BTU),
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
