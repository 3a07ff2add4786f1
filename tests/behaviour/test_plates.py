"""Plate and data sheet: what no unit has is refused, what hardly one has is said, alone or beside others."""

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import get_args

import pytest

from hvaccalc.errors import InputError
from hvaccalc.job.checks.plates import READABLE, typed_values
from hvaccalc.job.fields import Value
from hvaccalc.job.load import job_from_text
from hvaccalc.job.reference import keys_of
from hvaccalc.job.save import JobFile
from hvaccalc.job.text.key_lines import Location, key_location, key_text
from hvaccalc.job.visit_tables import Air, CircuitReadings, Traverse, VoltageSeen, Work
from hvaccalc.units import Quantity
from tests.behaviour.job_texts import FULL_JOB
from tests.behaviour.jobs import analysis_of, demo_text, job_text

NUMBER = re.compile(r"-?(\d+)-(\d+/\d+)|-?()(\d+/\d+|[\d,]*\.?\d+)")


def times(typed: str, factor: float) -> str | float:
    """The same text with another number; a number alone stays one."""
    match = NUMBER.search(typed)
    assert match is not None
    whole, part = (one for one in match.groups() if one is not None)
    number = float(Fraction(whole or "0") + Fraction(part.replace(",", ""))) * factor
    number = -number if match[0].startswith("-") else number
    unit = typed[match.end() :]
    return f"{typed[: match.start()]}{number:g}{unit}" if unit else number


def said(text: str, location: Location, typed: str | float) -> str:
    """What becomes of a file with one value changed: refused, told, or nothing."""
    file = JobFile(text.encode())
    file.set(location, typed)
    try:
        notices = job_from_text(file.text).notices
    except InputError as error:
        return "refused" if error.key == key_text(location) else f"refused for {error.key}"
    named = [notice for notice in notices if notice.code.startswith("unusual")]
    return "told" if any(key_text(location) in notice.where.split(", ") for notice in named) else "nothing"


def plates(text: str) -> Iterator[tuple[Location, Quantity]]:
    """Values of plate and data sheet in a file, zeros apart."""
    for places in typed_values(job_from_text(text)).values():
        yield from ((location, quantity) for location, quantity in places if quantity.value != 0.0)


LEFT = {
    "job.elevation": "6,400 ft is a site as 640 ft is; a barometer read there tells",
    "circuit.north.lines.liquid_size": "told with the line set, by the analysis",
    "circuit.north.lines.suction_size": "told with the line set, by the analysis",
    "circuit.north.lines.rise": "told with the line set, by the analysis",
    "circuit.north.condenser.volume": "within what a large condenser encloses",
    "circuit.north.condenser.receiver_volume": "within what a large receiver encloses",
}
"""Tenfold plate values that the file alone does not tell, each with why."""


def test_a_tenfold_plate_value_is_refused_or_told():
    passed = {
        key_text(where)
        for where, q in plates(FULL_JOB)
        if said(FULL_JOB, where, times(q.text, 10.0)) == "nothing"
    }
    assert passed == set(LEFT)


@pytest.mark.parametrize(
    "key, typed, becomes",
    [
        ("unit.coil.face_area", "22500 ft2", "refused"),
        ("unit.fan.static_at_rating", "-2 inH2O", "refused"),
        ("unit.fan.known[1].coil_pressure_drop", "-0.3 inH2O", "refused"),
        ("unit.fan.full_speed", "600 Hz", "refused"),
        ("unit.coil.rows", 40, "refused"),
        ("unit.pan.slope", "-1/8 in/ft", "told"),
        ("unit.protection.high_pressure_cutout", "610 psig", "nothing"),
        ("unit.protection.high_pressure_cutout", "625 psia", "nothing"),
        ("unit.protection.high_pressure_cutout", "140 psia", "told"),
        # 9.6 A at 460 V are 7.6 kVA: a motor of 7.5 hp (5.6 kW), not of 2 hp and not of 20.
        ("unit.fan.motor_power", "7.5 hp", "nothing"),
        ("unit.fan.motor_full_load_current", "2.5 A", "told"),
        ("unit.fan.motor_full_load_current", "32 A", "told"),
        # 8,000 cfm through 22.5 ft² are 356 ft/min, through 5 ft² 1,600.
        ("unit.coil.face_area", "5 ft2", "told"),
        ("circuit.north.capacity_share", 0.9, "nothing"),
    ],
)
def test_a_plate_value_beside_its_neighbours(key, typed, becomes):
    assert said(FULL_JOB, key_location(key), typed) == becomes


def test_a_capacity_that_nothing_goes_with_is_told_once():
    """200 to 600 cfm for each of 2 tons are 0.19 to 0.57 m³/s."""
    job = job_from_text(FULL_JOB.replace("240 kBtu/h ± 3 %", "24 kBtu/h"))
    (notice,) = (one for one in job.notices if one.code == "unusual.plate")
    assert notice.where.startswith("unit.rated_capacity, ") and "unit.rated_airflow" in notice.where
    assert "rated airflow 8000 scfm (unusual: usually 0.19 to 0.57 m³/s)" in notice.text


def test_shares_that_are_no_whole():
    two = {"circuit.1.capacity_share": 0.5, "circuit.2.capacity_share": 0.4}
    (notice,) = (one for one in job_from_text(job_text(two)).notices if one.code == "unusual.plate")
    assert "0.9" in notice.text and "circuit.2.capacity_share" in notice.where


@pytest.mark.parametrize("name", ["library_hall", "clinic_attic", "heat_pump_school", "print_shop"])
def test_a_usual_plate_says_nothing(name):
    assert not [n for n in job_from_text(demo_text(name)).notices if n.code == "unusual.plate"]


@pytest.mark.parametrize(
    "key, typed",
    [
        ("air.return_dry_bulb", "760 degF"),
        ("air.supply_wet_bulb", "540 degF"),
        ("air.outdoor_dry_bulb", "880 degF"),
        ("air.external_static", "85 inH2O"),
        ("air.fan_frequency", "600 Hz"),
        ("1.liquid_pressure", "3010 psig"),
        ("1.liquid_pressure", "301 barg"),
        ("1.suction_temperature", "500 degC"),
        ("1.superheat", "210 degF"),
    ],
)
def test_a_reading_that_nothing_on_a_split_system_shows_is_refused(key, typed):
    with pytest.raises(InputError, match="no such reading can be") as refused:
        job_from_text(job_text({key: typed}))
    assert refused.value.key.endswith(key.split(".")[1]) and typed in refused.value.found


def test_every_reading_with_a_unit_has_a_range():
    """Of those that have none in their own key, as per cent, the barometer and a fan's speed do."""
    tables = {"condition.air": Air, "condition.air.traverse": Traverse, "condition.circuit": CircuitReadings}
    tables |= {"condition.voltage": VoltageSeen, "work": Work}
    for table, of in tables.items():
        for key, field in keys_of(of).items():
            kinds = {kind for one in values_in(field.annotation, field.metadata) for kind in own_limits(one)}
            if kinds - {"time", "absolute_pressure", "fan_speed"}:
                assert f"visit.{table}.{key}" in READABLE, f"{table}.{key}"


def values_in(annotation, metadata) -> Iterator[Value]:
    """How a key's value is read, however deep in its annotation that stands."""
    yield from (one for one in metadata if isinstance(one, Value))
    for part in get_args(annotation):
        yield from values_in(part, [part] if isinstance(part, Value) else [])


def own_limits(one: Value) -> tuple[str, ...]:
    """Kinds of a value that has no range in its key; a duct's area above zero is no range yet."""
    return () if one.lowest is not None and one.highest is not None else one.kinds


@pytest.mark.parametrize(
    "key, typed",
    [
        ("unit.rated_airflow", "3000 cfm"),
        ("unit.rated_suction_saturation", "57 degF"),
        ("unit.rated_return_wet_bulb", "58 degF"),
        ("unit.fan.input_power", "20 kW"),
    ],
)
def test_what_leaves_a_rating_without_a_coil_is_named(key, typed):
    """Metal, freezing and what-if drop out: the key to blame is said, and no other."""
    changes = {"unit.rated_return_wet_bulb": "67 degF", key: typed}
    (notice,) = [n for n in analysis_of(job_text(changes)).notices if n.code == "unusual.rating"]
    assert f"left out: {key.removeprefix('unit.')} ({typed}) does not go with the rest" in notice.text


def test_a_rating_that_a_coil_can_have_is_not_questioned():
    assert not [n for n in analysis_of(job_text()).notices if n.code == "unusual.rating"]
