"""A heat pump heating with a low fan: head and supply told, and that it is no overcharge."""

import numpy as np
import pytest

from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import usual_return_humidity
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.equipment.unit import heating
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.report.blocks import Paragraph
from hvaccalc.report.memo import blocks
from tests.behaviour import jobs
from tests.behaviour.jobs import SOUND, analysed, one

HEATING = {
    "unit.kind": "heat pump",
    "condition.calls": ["heat 1", "heat 2"],
    "air.return_dry_bulb": "68 degF",
    "air.supply_dry_bulb": "105 degF",
    "air.outdoor_dry_bulb": "40 degF",
    "air.airflow": None,
    "air.fan_frequency": "36 Hz",
} | {key: None for key in SOUND if key.startswith(("1.suction", "2.suction", "1.liquid", "2.liquid"))}


@pytest.fixture(scope="module")
def school():
    return jobs.demo("heat_pump_school")


def test_the_demonstration_says_it_is_no_overcharge(school) -> None:
    told = one(school, "heating.high_head")
    assert (told.visit, told.condition, told.text) == (1, 1, "low fan, no proof of overcharge")
    for word in ("no proof of overcharge", "never bridge", "psig", "110.6 °F", "likely contributor"):
        assert word in told.statement
    low, full = (one(school, f"heating.condensing_{k}").value for k in ("saturation", "full_speed"))
    assert low > full + 5 / 1.8


def test_the_supply_that_was_read_lies_in_the_band(school) -> None:
    """110.6 °F read; the band spans airflow and rating."""
    supply = one(school, "heating.supply_dry_bulb")
    assert supply.low < (110.6 - 32.0) / 1.8 + 273.15 < supply.high


def test_a_head_below_the_usual_cut_outs_explains_no_trip_by_itself(school) -> None:
    """R-410A cut-outs open at about 610 to 650 psig (common practice); the balance's band ends below."""
    (head,) = school.heating
    assert head.head.high < 610 * 6894.757 + head.barometer and head.trips == "no"
    told = one(school, "heating.high_head").statement
    assert "610 to 650 psig" in told and "does not explain a trip" in told
    assert "at the low edge of that band" in told
    for reader in ("file", "customer"):
        text = str(blocks(school, reader))
        assert "likely contributor" in text and "climbs by that alone" not in text
        assert "no overcharge" not in text


def test_both_memos_say_it(school) -> None:
    for reader, word in (
        ("file", "no proof of overcharge"),
        ("customer", "no reason to take refrigerant out"),
    ):
        told = [b.text for b in blocks(school, reader) if isinstance(b, Paragraph) and b.lead == "Heating."]
        assert len(told) == 1 and word in told[0]


def test_at_full_speed_nothing_is_raised(tmp_path) -> None:
    told = one(analysed(tmp_path, HEATING | {"air.fan_frequency": "60 Hz"}), "heating.high_head")
    assert told.text == "as the air asks for"
    assert "overcharge" not in told.statement


def test_a_head_beyond_the_critical_point_is_told_and_not_numbered(tmp_path) -> None:
    """A quarter of the fan on a mild day."""
    mild = HEATING | {"air.fan_frequency": "15 Hz", "air.outdoor_dry_bulb": "65 degF"}
    analysis = analysed(tmp_path, mild)
    told = one(analysis, "heating.high_head")
    assert told.text == "low fan, no proof of overcharge" and "it would trip" in told.statement
    assert not [f for f in analysis.findings if f.key == "heating.condensing_saturation"]


def test_a_head_that_was_read_stands_beside(tmp_path) -> None:
    told = one(analysed(tmp_path, HEATING | {"1.discharge_pressure": "480 psig"}), "heating.high_head")
    assert "Read: 480 psig" in told.statement and "Read the cut-out's setting" in told.statement


@pytest.mark.parametrize(
    "changes",
    [
        {"unit.kind": "cooling"},
        {"condition.calls": ["defrost"]},
        {"condition.calls": ["cool 1", "cool 2"]},
        {"air.outdoor_dry_bulb": None},
        {"circuit.1.refrigerant": "unknown"},
    ],
    ids=["no heat pump", "defrost", "cooling", "outdoors", "refrigerant"],
)
def test_nothing_is_said_where_it_does_not_apply(tmp_path, changes) -> None:
    assert not [f for f in analysed(tmp_path, HEATING | changes).findings if f.key.startswith("heating.")]


def test_the_balances_own_error_moves_no_centre(school) -> None:
    """At the readings as typed the head told is the pressure of the temperature that the balance solves."""
    (head,) = school.heating
    result = next(r for r in school.conditions if r.where == head.where)
    air, flow = result.air, result.airflow
    ran = np.array([compressors.runs(school.draws, head.where.at(name)) for name in school.job.circuit])
    unit = unit_build.from_rating(school.draws)
    conditions = Conditions(
        *(air.return_air.dry_bulb, usual_return_humidity(school.draws, head.where), air.barometer.draws),
        *(air.outdoor_dry_bulb, flow.dry_air_flow, None, ran),
    )
    solved = heating.solve(
        unit.unit.constants, conditions, rated_unit.subcooling(school.draws, next(iter(school.job.circuit)))
    )
    hottest = solved.condensing_saturation[ran].max(axis=0)[0]
    assert head.condensing.value == pytest.approx(hottest, abs=0.02)
