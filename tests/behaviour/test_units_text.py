"""What the package prints: number, unit and band in both displays, and "not known".

Values are typed with the factors printed in NIST Special Publication 811 (2008), appendix B.8 (from memory;
`tests/published/test_units.py` crosses each with pint).
"""

import math

import pytest

from hvaccalc import units as u
from hvaccalc.errors import InputError

PSI, INCH_OF_WATER = 6894.757, 249.0889
CFM, GALLON, POUND, BTU_PER_HOUR = 4.719474e-4, 3.785412e-3, 0.4535924, 0.2930711
WATER = 998.2
FAHRENHEIT = 1 / 1.8


def fahrenheit(reading: float) -> float:
    """T/K = (t/°F + 459.67)/1.8."""
    return (reading + 459.67) / 1.8


@pytest.mark.parametrize(
    ("value", "kind", "us", "si"),
    [
        (fahrenheit(80.0), "temperature", "80.0 °F", "26.7 °C"),
        (12 * FAHRENHEIT, "temperature_difference", "12.0 °F", "6.7 K"),
        (0.45 * INCH_OF_WATER, "air_pressure", "0.45 in w.c.", "112 Pa"),
        (8000 * CFM, "airflow", "8,000 cfm", "3.78 m³/s"),
        (240e3 * BTU_PER_HOUR, "heat", "240 kBtu/h", "70.3 kW"),
        (34 * POUND, "mass", "34.0 lb", "15.42 kg"),
        (2.1 * PSI, "pressure_difference", "2.1 psi", "14.5 kPa"),
        (2 * GALLON * WATER / 3600, "water_flow", "2.0 gal/h", "7.6 L/h"),
        (22.5 * 0.09290304, "area", "22.5 ft²", "2.09 m²"),
        (1 / 48, "slope", "0.250 in/ft", "2.1 %"),
        (0.52, "fraction", "52 %", "52 %"),
        (0.72, "ratio", "0.72", "0.72"),
        (math.nan, "temperature", "not known", "not known"),
        (math.inf, "mass", "not known", "not known"),
        (None, "mass", "not known", "not known"),
    ],
)
def test_value_text(value, kind, us, si):
    assert u.value_text(value, kind) == us
    assert u.value_text(value, kind, "si") == si


def test_pressure_text_in_both_displays():
    """301 psig at sea level is 315.7 psia, 2,176.6 kPa absolute (SP 811)."""
    value, barometer = 315.696 * PSI, 101325.0
    assert u.value_text(value, "pressure", "us", barometer) == "301.0 psig"
    assert u.value_text(value, "pressure", "si") == "2,177 kPa abs"
    assert u.value_text(value, "pressure", "us", math.nan) == "not known"
    with pytest.raises(InputError, match="barometer"):
        u.value_text(value, "pressure")


def test_band_text():
    low, value, high = (fahrenheit(t) for t in (71.25, 74.5, 77.75))
    assert u.band_text(value, low - 0.01, high + 0.01, "temperature") == "74.5 °F (71.2 to 77.8)"
    assert u.band_text(value, low, high, "temperature", "si") == "23.6 °C (21.8 to 25.4)"
    ends = (301 * PSI, 299 * PSI, 303 * PSI)
    assert (
        u.band_text(*(p + 101325.0 for p in ends), "pressure", "us", 101325.0)
        == "301.0 psig (299.0 to 303.0)"
    )


@pytest.mark.parametrize("ends", [(math.nan, 1.0), (0.0, math.nan), (math.nan, math.nan)])
def test_band_text_with_an_end_unknown(ends):
    assert u.band_text(0.5, *ends, "mass") == u.value_text(0.5, "mass") == "1.1 lb"
    assert u.band_text(math.nan, 0.0, 1.0, "mass") == "not known"


@pytest.mark.parametrize("display", ["us", "si"])
@pytest.mark.parametrize(
    "kind", ["temperature_difference", "air_pressure", "heat", "elevation", "slope", "ratio"]
)
def test_no_negative_zero(kind, display):
    assert u.number_text(-1e-9, kind, display) == u.number_text(0.0, kind, display)
    assert "-" not in u.band_text(-1e-9, -1e-9, -0.0, kind, display)
    assert u.number_text(-1e6, kind, display).startswith("-")
