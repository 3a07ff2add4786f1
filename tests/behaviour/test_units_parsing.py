"""What people type: every accepted form with its SI value.

Expected values are typed numbers times the factors printed in NIST Special Publication 811 (2008), appendix
B.8 (seven digits, from memory; `tests/published/test_units.py` crosses each with pint), hence 1e-6 relative.
"""

import numpy as np
import pytest

from hvaccalc import units as u
from hvaccalc.errors import InputError, WrongKind

PSI, INCH_OF_WATER, INCH_OF_MERCURY = 6894.757, 249.0889, 3386.389
CFM, GALLON, POUND, FOOT, BTU_PER_HOUR = 4.719474e-4, 3.785412e-3, 0.4535924, 0.3048, 0.2930711
WATER = 998.2
FAHRENHEIT = 1 / 1.8


def fahrenheit(reading: float) -> float:
    """T/K = (t/°F + 459.67)/1.8."""
    return (reading + 459.67) / 1.8


FORMS = [
    # temperature and difference
    ("temperature", "80 degF", fahrenheit(80.0)),
    ("temperature", "80 F", fahrenheit(80.0)),
    ("temperature", "80F", fahrenheit(80.0)),
    ("temperature", "80 °F", fahrenheit(80.0)),
    ("temperature", "80°F", fahrenheit(80.0)),
    ("temperature", "80 ° F", fahrenheit(80.0)),
    ("temperature", "80 ºF", fahrenheit(80.0)),
    ("temperature", "80 ˚F", fahrenheit(80.0)),
    ("temperature", "80 ℉", fahrenheit(80.0)),
    ("temperature", "80 deg F", fahrenheit(80.0)),
    ("temperature", "80 DEG F", fahrenheit(80.0)),
    ("temperature", "80 DegF", fahrenheit(80.0)),
    ("temperature", "  80   degF\t", fahrenheit(80.0)),
    ("temperature", "80\u00a0°F", fahrenheit(80.0)),
    ("temperature", "-40 degF", 233.15),
    ("temperature", "\u221240 degF", 233.15),
    ("temperature", "+80 degF", fahrenheit(80.0)),
    ("temperature", "-459.67 degF", 0.0),
    ("temperature", "26.7 degC", 299.85),
    ("temperature", "26.7 °C", 299.85),
    ("temperature", "26.7 ℃", 299.85),
    ("temperature", "26.7 C", 299.85),
    ("temperature", "299.85 K", 299.85),
    ("temperature", "-273.15 degC", 0.0),
    ("temperature_difference", "12 degF", 12 * FAHRENHEIT),
    ("temperature_difference", "12 °F", 12 * FAHRENHEIT),
    ("temperature_difference", "-3 degF", -3 * FAHRENHEIT),
    ("temperature_difference", "6.7 degC", 6.7),
    ("temperature_difference", "6.7 K", 6.7),
    # pressures; gauge stands above the barometer until one is given
    ("pressure", "301 psig", 301 * PSI),
    ("pressure", "301 PSIG", 301 * PSI),
    ("pressure", "301psig", 301 * PSI),
    ("pressure", "301 psi", 301 * PSI),
    ("pressure", "-5 psig", -5 * PSI),
    ("pressure", "316 psia", 316 * PSI),
    ("pressure", "2075 kPag", 2.075e6),
    ("pressure", "2176 kPaa", 2.176e6),
    ("pressure", "2176 kPa abs", 2.176e6),
    ("pressure", "2176 kPa(a)", 2.176e6),
    ("pressure", "2.075 MPag", 2.075e6),
    ("pressure", "2.176 MPaa", 2.176e6),
    ("pressure", "20.8 barg", 2.08e6),
    ("pressure", "21.8 bara", 2.18e6),
    ("pressure", "20.8 bar(g)", 2.08e6),
    ("pressure", "21.8 bar(a)", 2.18e6),
    ("pressure_difference", "2.1 psid", 2.1 * PSI),
    ("pressure_difference", "2.1 psi", 2.1 * PSI),
    ("pressure_difference", "14.5 kPa", 14500.0),
    ("air_pressure", "0.45 inH2O", 0.45 * INCH_OF_WATER),
    ("air_pressure", ".45 inH2O", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 in wc", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 in w.c.", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 in wg", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 iwc", 0.45 * INCH_OF_WATER),
    ("air_pressure", '0.45 "wc', 0.45 * INCH_OF_WATER),
    ("air_pressure", '0.45"wc', 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 ”wc", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 “wc", 0.45 * INCH_OF_WATER),
    ("air_pressure", "0.45 ″wg", 0.45 * INCH_OF_WATER),
    ("air_pressure", "-0.9 in wc", -0.9 * INCH_OF_WATER),
    ("air_pressure", "110 Pa", 110.0),
    ("absolute_pressure", "30.4 inHg", 30.4 * INCH_OF_MERCURY),
    ("absolute_pressure", "101.3 kPa", 101300.0),
    ("absolute_pressure", "1013 hPa", 101300.0),
    ("absolute_pressure", "1013 mbar", 101300.0),
    ("absolute_pressure", "500 micron", 0.5 * 133.3224),
    ("absolute_pressure", "500 microns", 0.5 * 133.3224),
    # flows, heat, power
    ("airflow", "8000 cfm", 8000 * CFM),
    ("airflow", "8,000 CFM", 8000 * CFM),
    ("airflow", "8000.0 ft3/min", 8000 * CFM),
    ("airflow", "8e3 ft³/min", 8000 * CFM),
    ("airflow", "7900 scfm", 7900 * CFM),
    ("airflow", "3.7 m3/s", 3.7),
    ("airflow", "3.7 m³/s", 3.7),
    ("airflow", "3700 L/s", 3.7),
    ("heat", "240 kBtu/h", 240e3 * BTU_PER_HOUR),
    ("heat", "240,000 Btu/h", 240e3 * BTU_PER_HOUR),
    ("heat", "240 MBH", 240e3 * BTU_PER_HOUR),
    ("heat", "20 ton", 20 * 3516.853),
    ("heat", "20 tons", 20 * 3516.853),
    ("heat", "70 kW", 70e3),
    ("power", "431 W", 431.0),
    ("power", "10 hp", 7456.999),
    ("power", "7-1/2 hp", 7.5 * 745.6999),
    ("mass_flow", "1020 lb/h", 1020 * POUND / 3600),
    ("mass_flow", "1,020 lb/hr", 1020 * POUND / 3600),
    ("mass_flow", "0.13 kg/s", 0.13),
    ("water_flow", "2 gal/h", 2 * GALLON * WATER / 3600),
    ("water_flow", "2 gph", 2 * GALLON * WATER / 3600),
    ("water_flow", "0.2 gpm", 0.2 * GALLON * WATER / 60),
    ("water_flow", "3 L/h", 3e-3 * WATER / 3600),
    ("water_flow", "50 mL/min", 50e-6 * WATER / 60),
    # mass, volume, time, area
    ("mass", "34 lb", 34 * POUND),
    ("mass", "9 lb 8 oz", 9.5 * POUND),
    ("mass", "9lb 8.5oz", (9 + 8.5 / 16) * POUND),
    ("length", "5 ft 6 in", 66 * 0.0254),
    ("time", "1 h 30 min", 5400.0),
    ("mass", "15 oz", 15 * 0.02834952),
    ("mass", "15 kg", 15.0),
    ("volume", "2 ft3", 2 * 0.02831685),
    ("volume", "4 gal", 4 * GALLON),
    ("volume", "3 L", 3e-3),
    ("time", "25 min", 1500.0),
    ("time", "2 h", 7200.0),
    ("time", "1/2 hour", 1800.0),
    ("annual_hours", "1,800 h", 1800.0),
    ("area", "22.5 ft2", 22.5 * 0.09290304),
    ("area", "22.5 sq ft", 22.5 * 0.09290304),
    ("area", "2.1 m²", 2.1),
    # velocity, speed, frequency, electric
    ("velocity", "500 ft/min", 2.54),
    ("velocity", "500 fpm", 2.54),
    ("velocity", "2.5 m/s", 2.5),
    ("speed", "1750 rpm", 1750 / 60),
    ("fan_speed", "60 %", 0.6),
    ("fan_speed", "36 Hz", 36.0),
    ("frequency", "36 Hz", 36.0),
    ("voltage", "24 V", 24.0),
    ("current", "12.5 A", 12.5),
    ("current", "4 mA", 0.004),
    # lengths and slopes
    ("length", "1-3/8 in", 1.375 * 0.0254),
    ("length", "1 3/8 in", 1.375 * 0.0254),
    ("length", "1  3/8 in", 1.375 * 0.0254),
    ("length", '1-3/8"', 1.375 * 0.0254),
    ("length", "7/8 in", 0.875 * 0.0254),
    ("length", "-7/8 in", -0.875 * 0.0254),
    ("length", "-1-1/2 in", -1.5 * 0.0254),
    ("length", "1.375 in", 1.375 * 0.0254),
    ("length", "50 ft", 50 * FOOT),
    ("elevation", "5,000 ft", 1524.0),
    ("elevation", "-120 ft", -36.576),
    ("slope", "1/4 in/ft", 1 / 48),
    ("slope", "1/8 in/ft", 1 / 96),
    ("slope", "2 %", 0.02),
    ("slope", "45 deg", 1.0),
    ("slope", "45°", 1.0),
    # shares, resistances, plain numbers
    ("fraction", "52 %", 0.52),
    ("fraction", "52 %RH", 0.52),
    ("fraction", "52 percent", 0.52),
    ("thermal_resistance", "R-6", 6 * 0.1761102),
    ("thermal_resistance", "R6", 6 * 0.1761102),
    ("thermal_resistance", "r 4.2", 4.2 * 0.1761102),
    ("thermal_resistance", "6 R", 6 * 0.1761102),
    ("thermal_resistance", "6 ft²·h·°F/Btu", 6 * 0.1761102),
    ("thermal_resistance", "1.06 m²·K/W", 1.06),
    ("humidity_ratio", "65 gr/lb", 65 / 7000),
    ("humidity_ratio", "9.3 g/kg", 0.0093),
    ("ratio", "0.72", 0.72),
    ("ratio", 0.72, 0.72),
    ("ratio", np.float64(0.72), 0.72),
    ("ratio", 3, 3.0),
]


@pytest.mark.parametrize(("kind", "typed", "expected"), FORMS)
def test_accepted(kind, typed, expected):
    quantity = u.parse(typed, kind)
    assert quantity.value == pytest.approx(expected, rel=1e-6, abs=1e-12)
    assert quantity.text == str(typed) and quantity.kind == kind
    assert quantity.plus_minus is None and quantity.low is None and quantity.high is None


# Half width of the band, from the same factors. A band in % is a share of the reading as typed: 1 % of 80 °F
# is 0.8 °F. In a kind that is itself a percentage, it is points.
@pytest.mark.parametrize(
    ("kind", "typed", "value", "half_width"),
    [
        ("temperature", "74.5 ± 0.5 degF", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5 +/- 0.5 degF", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5 +- 0.5 degF", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5±0.5°F", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5 degF ± 0.5 degF", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5 degF ± 0.5", fahrenheit(74.5), 0.5 * FAHRENHEIT),
        ("temperature", "74.5 degF ± 0.5 K", fahrenheit(74.5), 0.5),
        ("temperature", "-5 ± 0.5 degC", 268.15, 0.5),
        ("temperature", "80 degF ± 1 %", fahrenheit(80.0), 0.8 * FAHRENHEIT),
        ("temperature", "-20 degF ± 1 %", fahrenheit(-20.0), 0.2 * FAHRENHEIT),
        ("temperature", "80 ± 0 degF", fahrenheit(80.0), 0.0),
        ("pressure", "301 ± 2 psig", 301 * PSI, 2 * PSI),
        ("pressure", "301 psig ± 2 kPag", 301 * PSI, 2000.0),
        ("pressure", "301 psig ± 1 psid", 301 * PSI, PSI),
        ("pressure", "301 psig ± 1 %", 301 * PSI, 3.01 * PSI),
        ("airflow", "8,000 ± 1,000 cfm", 8000 * CFM, 1000 * CFM),
        ("length", "1-1/2 ± 1/8 in", 1.5 * 0.0254, 0.125 * 0.0254),
        ("fraction", "52 ± 2.5 %", 0.52, 0.025),
        ("fraction", "52 % ± 2.5 %", 0.52, 0.025),
        ("slope", "2 ± 0.5 %", 0.02, 0.005),
        # Angles: half of tan 46° - tan 44° = 0.0349208 (tables of tangents: 1.0355303, 0.9656888).
        ("slope", "45 ± 1 deg", 1.0, 0.0349207),
        ("slope", "45 deg ± 2 %", 1.0, 0.02),
        ("ratio", "0.72 ± 0.02", 0.72, 0.02),
    ],
)
def test_bands(kind, typed, value, half_width):
    quantity = u.parse(typed, kind)
    assert quantity.value == pytest.approx(value, rel=1e-6)
    assert quantity.plus_minus == pytest.approx(half_width, rel=2e-6)
    assert quantity.low is None


@pytest.mark.parametrize(
    ("kind", "typed", "low", "high"),
    [
        ("water_flow", "1 to 4 gal/day", GALLON * WATER / 86400, 4 * GALLON * WATER / 86400),
        ("water_flow", "1 gal/day to 4 gal/day", GALLON * WATER / 86400, 4 * GALLON * WATER / 86400),
        ("water_flow", "1 gpd to 4 gal/day", GALLON * WATER / 86400, 4 * GALLON * WATER / 86400),
        ("time", "45 to 60 min", 2700.0, 3600.0),
        ("temperature", "-5 to 5 degC", 268.15, 278.15),
        ("temperature", "\u22125 to \u22121 °C", 268.15, 272.15),
        ("heat", "1 ton to 1,000 tons", 3516.853, 3516853.0),
        ("length", "7/8 to 1-3/8 in", 0.875 * 0.0254, 1.375 * 0.0254),
        ("slope", "0 to 45 deg", 0.0, 1.0),
        ("fraction", "50 to 50 %", 0.5, 0.5),
    ],
)
def test_ranges(kind, typed, low, high):
    """Lowest to highest; the central value is the middle."""
    quantity = u.parse(typed, kind)
    assert (quantity.low, quantity.high) == pytest.approx((low, high), rel=1e-6, abs=1e-12)
    assert quantity.value == pytest.approx((low + high) / 2, rel=1e-6)
    assert quantity.plus_minus is None and quantity.text == typed


@pytest.mark.parametrize(
    ("typed", "gauge", "told"),
    [
        ("301 psi", True, "gauge"),
        ("301 ± 2 psi", True, "gauge"),
        ("300 to 302 psi", True, "gauge"),
    ],
)
def test_ambiguous_pressure_is_taken_one_way_and_told(typed, gauge, told):
    quantity = u.parse(typed, "pressure")
    unit = typed.split()[-1]
    assert quantity.gauge is gauge
    assert told in quantity.notice and quantity.notice.startswith(("bare " + unit, unit))


@pytest.mark.parametrize("unit", ["kPa", "MPa", "bar"])
def test_a_pressure_that_says_neither_gauge_nor_absolute_is_refused(unit):
    """A European manifold shows gauge, a book absolute (common practice, no source)."""
    with pytest.raises(WrongKind, match="gauge or absolute") as refusal:
        u.parse(f"21.8 {unit}", "pressure")
    assert refusal.value.allowed == f"{unit}g or {unit}a"


@pytest.mark.parametrize(
    ("typed", "kind"),
    [("9 lb 18 oz", "mass"), ("9 oz 8 lb", "mass"), ("9 lb -8 oz", "mass"), ("9 lb 8 ft", "mass")],
)
def test_two_units_of_one_value_fit_together(typed, kind):
    with pytest.raises(InputError) as refusal:
        u.parse(typed, kind)
    assert refusal.value.found and refusal.value.allowed


@pytest.mark.parametrize("typed", ["301 psig", "316 psia", "2075 kPag", "2176 kPaa", "20.8 barg"])
def test_plain_pressure_needs_no_notice(typed):
    assert u.parse(typed, "pressure").notice is None
    assert u.parse("2.1 psi", "pressure_difference").notice is None


def test_standard_air_is_marked():
    assert u.parse("7900 scfm", "airflow").standard
    assert u.parse("7900 ± 100 scfm", "airflow").standard
    assert not u.parse("8000 cfm", "airflow").standard


# Barometer at 5,000 ft: 12.230 psia; at sea level 14.696 psia (ASHRAE Fundamentals 2017, ch. 1, table 1).
@pytest.mark.parametrize(("printed", "absolute"), [(12.230, 313.230), (14.696, 315.696)])
def test_gauge_pressure_stands_on_the_barometer(printed, absolute):
    barometer = printed * PSI
    assert u.parse("301 psig", "pressure").absolute(barometer) == pytest.approx(absolute * PSI, rel=1e-6)
    assert u.psig(301.0, barometer) == pytest.approx(absolute * PSI, rel=1e-6)
    assert u.to(absolute * PSI, "psig", barometer=barometer) == pytest.approx(301.0, rel=1e-6)
    assert u.value_text(absolute * PSI, "pressure", barometer=barometer) == "301.0 psig"
    assert u.parse("316 psia", "pressure").absolute(barometer) == pytest.approx(316 * PSI, rel=1e-6)


def test_gauge_pressure_for_many_barometers_at_once():
    barometers = np.array([84.32e3, 101.325e3])
    expected = 301 * PSI + barometers
    assert u.parse("301 psig", "pressure").absolute(barometers) == pytest.approx(expected, rel=1e-6)
    assert u.parse("316 psia", "pressure").absolute(barometers) == pytest.approx(
        np.full(2, 316 * PSI), rel=1e-6
    )
    assert u.si(np.array([301.0, 301.0]), "psig", barometer=barometers) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("call", [u.si, u.to])
def test_gauge_pressure_without_a_barometer_is_refused(call):
    with pytest.raises(InputError, match="barometer"):
        call(301.0, "psig")


def test_a_dead_channel_is_read_and_left_to_screening():
    """Loggers give pressures below zero absolute: of its kind, so not refused here."""
    assert u.parse("-5 psia", "pressure").value == pytest.approx(-5 * PSI, rel=1e-6)


@pytest.mark.parametrize("kind", sorted(u.KINDS))
def test_example_of_each_kind_reads(kind):
    """The example that a message gives is itself accepted."""
    known = u.KINDS[kind]
    assert known.example in u.allowed_units(kind)
    assert u.parse(known.example, kind).kind == kind
