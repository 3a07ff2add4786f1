"""What cannot be read as a value of its kind, each by name: what was found, what is accepted."""

import math

import numpy as np
import pytest

from hvaccalc import Finding
from hvaccalc import units as u
from hvaccalc.errors import InputError, OutOfRange, UnknownUnit, WrongKind
from hvaccalc.severity import Severity
from tests.behaviour.jobs import demo

REFUSALS = [
    # unknown unit, nearest names given
    ("temperature", "80 degff", UnknownUnit, 'unknown unit "degff"; nearest: degF'),
    ("airflow", "8000 cfn", UnknownUnit, "nearest: cfm, scfm"),
    ("pressure", "301 psgi", UnknownUnit, "psig"),
    ("length", "3 furlongs", UnknownUnit, 'unknown unit "furlongs"'),
    ("airflow", "1,2345 cfm", UnknownUnit, "nearest: cfm"),
    ("airflow", "8 000 cfm", UnknownUnit, "nearest: cfm"),
    # a unit of another kind, which is named
    (
        "pressure",
        "301 degF",
        WrongKind,
        "a unit of temperature, temperature difference; a unit of refrigerant pressure is",
    ),
    ("temperature", "65 gr/lb", WrongKind, "a unit of humidity ratio"),
    ("temperature", "52 %", WrongKind, "percentage"),
    ("airflow", "20 ton", WrongKind, "a unit of heat flow; a unit of airflow is needed"),
    ("pressure", "0.45 inH2O", WrongKind, "a unit of air pressure"),
    ("temperature", "301 ± 1 %", WrongKind, "percentage"),
    ("ratio", "5 %", WrongKind, "percentage"),
    # bare numbers
    ("temperature", "80", WrongKind, "bare number"),
    ("temperature", 80, WrongKind, "bare number"),
    ("temperature", 80.5, WrongKind, "bare number"),
    ("temperature", 10**5000, WrongKind, "bare number"),
    ("temperature", "80 ± 1", WrongKind, "bare number"),
    ("time", "45 to 60", WrongKind, "bare number"),
    ("length", "7/8", WrongKind, "bare number"),
    # commas that may stand for thousands or for decimals
    ("air_pressure", "0,450 inH2O", InputError, "decimal comma"),
    ("airflow", "1,234,5 cfm", InputError, "decimal comma"),
    # not finite
    ("temperature", "nan degF", InputError, "not a number"),
    ("temperature", "inf degF", InputError, "not a number"),
    ("temperature", "1e999 degF", OutOfRange, "not a finite number"),
    ("heat", "1e308 ton", OutOfRange, "not a finite number"),
    ("temperature", "80 ± 1e999 degF", OutOfRange, "not a finite number"),
    ("temperature", "-1e999 to 1e999 degF", OutOfRange, "not a finite number"),
    ("ratio", math.nan, OutOfRange, "not a finite number"),
    ("ratio", math.inf, OutOfRange, "not a finite number"),
    ("ratio", 10**5000, OutOfRange, "not a finite number"),
    # cannot be
    ("temperature", "-459.68 degF", OutOfRange, "below absolute zero"),
    ("temperature", "-1 K", OutOfRange, "below absolute zero"),
    ("temperature", "-300 to 20 degC", OutOfRange, "below absolute zero"),
    ("airflow", "-8000 cfm", OutOfRange, "negative"),
    ("mass", "-1 lb", OutOfRange, "negative"),
    ("power", "-431 W", OutOfRange, "negative"),
    ("frequency", "-36 Hz", OutOfRange, "negative"),
    ("water_flow", "-1 to 4 gal/day", OutOfRange, "negative"),
    ("absolute_pressure", "-1 inHg", OutOfRange, "negative"),
    ("thermal_resistance", "R--6", OutOfRange, "negative"),
    ("slope", "90 deg", OutOfRange, "slope of 90 deg"),
    ("slope", "89.5 ± 1 deg", OutOfRange, "slope of 90 deg"),
    ("slope", "1e999 deg", OutOfRange, "slope of 90 deg"),
    ("length", "1/0 in", OutOfRange, "nothing below the line"),
    ("length", "1-3/0 in", OutOfRange, "nothing below the line"),
    # ranges and bands
    ("time", "60 to 45 min", OutOfRange, "lowest to the highest"),
    ("temperature", "5 to -5 degC", OutOfRange, "lowest to the highest"),
    ("water_flow", "1 gal/h to 40 gal/day", WrongKind, "different units"),
    ("pressure", "10 psi to 20 psig", WrongKind, "different units"),
    ("temperature", "80 ± -1 degF", OutOfRange, "negative band"),
    ("temperature", "80 ± \u22121 degF", OutOfRange, "negative band"),
    ("pressure", "301 ± 1 %", WrongKind, "percent"),
    ("length", "5 ± 1 to 6 in", UnknownUnit, "unknown unit"),
    ("temperature", "± 5 degF", InputError, "not a number"),
    # no value at all
    ("length", "", InputError, "not a number"),
    ("length", " \t\n", InputError, "not a number"),
    ("length", "in", InputError, "not a number"),
    ("length", "half an inch", InputError, "not a number"),
    ("thermal_resistance", "R-410A", InputError, "not a number"),
    ("temperature", "- 40 degF", InputError, "not a number"),
    ("ratio", "true", InputError, "not a number"),
    ("length", "1" * 201, InputError, "too long"),
    # not text
    ("ratio", True, WrongKind, "not a value"),
    ("temperature", False, WrongKind, "not a value"),
    ("temperature", None, WrongKind, "not a value"),
    ("temperature", ["80 degF"], WrongKind, "not a value"),
    ("temperature", {"value": "80 degF"}, WrongKind, "not a value"),
    ("temperature", b"80 degF", WrongKind, "not a value"),
    ("temperature", list(range(10_000)), WrongKind, "not a value"),
]


@pytest.mark.parametrize(("kind", "typed", "error", "told"), REFUSALS, ids=range(len(REFUSALS)))
def test_refused(kind, typed, error, told):
    with pytest.raises(error, match=told) as caught:
        u.parse(typed, kind)
    refusal = caught.value
    assert type(refusal) is error
    # What was found and what is accepted, always; a message stays readable.
    assert refusal.found and refusal.allowed
    assert "; found " in str(refusal) and "; allowed: " in str(refusal)
    assert len(str(refusal)) < 800
    if isinstance(typed, str) and len(typed) <= 200:
        assert refusal.found == f'"{typed}"'


@pytest.mark.parametrize("call", [lambda: u.si(1.0, "cfn"), lambda: u.unit_of("cfn", "airflow")])
def test_a_programmer_is_told_as_much(call):
    with pytest.raises(UnknownUnit, match="nearest: cfm") as caught:
        call()
    assert caught.value.found == '"cfn"' and caught.value.allowed


TEN_DEGREES = 10 / 1.8  # a difference of 10 °F [K]


def found(kind, value):
    """A finding of a kind."""
    numbers = {"value": value, "low": value, "high": value, "kind": kind}
    at = dict.fromkeys(("visit", "condition", "circuit", "unit", "text"))
    words = {"id": "key/-/-/-", "key": "key", "statement": "", "basis": "computed"}
    return Finding(**words, **at, **numbers, sources=(), inputs=(), severity=Severity.NOTE)


@pytest.mark.parametrize(
    "call",
    [
        lambda: u.to(TEN_DEGREES, "degF"),
        lambda: u.to(TEN_DEGREES, "degC", "temperature"),
        lambda: u.to(np.array([300.0, TEN_DEGREES]), "degF"),
        lambda: u.value_text(TEN_DEGREES, "temperature"),
        lambda: u.to(found("temperature_difference", TEN_DEGREES), "degF", "temperature"),
        lambda: u.to(found("temperature", 300.0), "degF", "temperature_difference"),
        lambda: u.to(found("power", 300.0), "degF"),
        # A number typed without its kind: 10 °F may be either, and so may a pressure in psi, and hours.
        lambda: u.si(10.0, "degF"),
        lambda: u.si(10.0, "psi"),
        lambda: u.to(3600.0, "h"),
    ],
)
def test_a_difference_is_no_temperature(call):
    with pytest.raises(WrongKind):
        call()


def test_the_kind_travels_with_the_number():
    assert u.to(found("temperature_difference", TEN_DEGREES), "degF") == pytest.approx(10.0)
    assert u.to(found("temperature", 300.0), "degC") == pytest.approx(26.85)
    assert math.isnan(u.to(found("temperature", None), "degF"))
    # As a number alone it says what it is where only one thing can be meant.
    assert u.to(300.0, "degC") == pytest.approx(26.85)
    assert u.to(TEN_DEGREES, "K") == pytest.approx(TEN_DEGREES)


@pytest.mark.parametrize("name", ["library_hall", "swim_club", "heat_pump_school"])
def test_every_finding_with_a_number_of_the_table_has_its_kind(name):
    with_number = [one for one in demo(name).findings if one.value is not None]
    no_kind = {one.unit for one in with_number if one.kind is None}
    assert no_kind <= {"J", "USD/year", "USD/week"}
    for one in with_number:
        if one.kind is not None:
            assert np.isfinite(u.to(one, u.KINDS[one.kind].us[0], barometer=101325.0))
