"""The demonstrations of water against the truth behind them, in numbers and in the memo."""

import re
import tomllib

import pytest

from hvaccalc import units
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.pictures import trap_drawing, water_bars
from hvaccalc.report import memo
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import blocks_of, found, one

NAMES = ("swim_club", "clinic_attic", "archive_vault")
INCH = 0.0254


def truth(name: str) -> dict:
    return tomllib.loads(data_path("jobs", f"{name}.truth.toml").read_text("utf-8"))


@pytest.fixture(scope="module")
def analyses():
    return {name: jobs.demo(name) for name in (*NAMES, "print_shop")}


@pytest.mark.parametrize("name", NAMES)
def test_the_true_ways_can_and_what_the_truth_rules_out_cannot(analyses, name):
    budget, told = analyses[name].water, truth(name)["water"]
    assert set(budget.those(Ability.CAN)) == set(told["true"])
    assert set(told["ruled_out"]) <= set(budget.those(Ability.CANNOT))
    assert budget.unexplained == ()


@pytest.mark.parametrize("name", NAMES)
def test_condensate_and_airflow_hold_the_truth(analyses, name):
    for row in truth(name)["condition"]:
        for key, entry, kind in (
            ("airflow.reconciled", "airflow", "airflow"),
            ("condensate.rate", "condensate", "water_flow"),
        ):
            if entry in row:
                (finding,) = [
                    f
                    for f in found(analyses[name], key)
                    if (f.visit, f.condition) == (row["visit"], row["condition"])
                ]
                assert finding.low <= units.parse(row[entry], kind).value <= finding.high


@pytest.mark.parametrize(
    "name, dominant",
    [
        ("swim_club", "trap"),
        ("clinic_attic", None),
        ("archive_vault", "outside"),
        ("print_shop", "carry_over"),
    ],
)
def test_what_stands_out(analyses, name, dominant):
    told = [f.text for f in found(analyses[name], "water.dominant")]
    assert told == ([dominant] if dominant else [])


def test_the_swim_clubs_trap(analyses):
    """2.1 in of suction hold 2.1 in over a dry outlet, in a pan 1.5 in deep; 3.1 in of height are needed."""
    row = truth("swim_club")["condition"][0]
    standing, needed = (
        one(analyses["swim_club"], f"trap.{key}") for key in ("standing_water", "required_height")
    )
    assert (standing.unit, needed.unit) == ("m", "m")
    assert standing.value / INCH == pytest.approx(
        units.parse(row["standing_water"], "length").value / INCH, 0.01
    )
    # The visit read 902 of 900 rpm: a hair less at full speed.
    assert needed.value / INCH == pytest.approx(3.1, abs=0.02)
    assert needed.severity == standing.severity == "act"
    assert one(analyses["swim_club"], "water.overruled").text == "trap"


def test_findings_of_the_budget_carry_rate_and_basis(analyses):
    for name in NAMES:
        for finding in analyses[name].findings:
            if finding.key.startswith("water.") and finding.unit == "kg/s":
                assert finding.low <= finding.value <= finding.high
    capacity = one(analyses["swim_club"], "drain.capacity")
    assert capacity.unit == "kg/s" and capacity.low <= capacity.value <= capacity.high
    assert one(analyses["print_shop"], "water.carry_over").basis == "rule of thumb"


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_nothing_in_the_unit_is_said_to_both_readers(analyses, audience):
    text = str(blocks_of(analyses["archive_vault"], audience))
    assert "Nothing in the unit can make this water" in text
    assert "No work on the unit" in text


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_the_print_shop_memo_ends_at_the_duct(analyses, audience):
    text = str(blocks_of(analyses["print_shop"], audience))
    assert "The water." in text and "Not proved yet" not in text
    assert ("500 ft/min" if audience == "file" else "the drain needs no work") in text


def test_two_ways_at_once_are_told_together(analyses):
    text = str(blocks_of(analyses["clinic_attic"], "file"))
    assert "were each seen at work and together reach all that was seen" in text
    assert "melting ice" in text and "The duct was seen to sweat. (visit 1) Repaired on 26 June 2026." in text


def test_pictures_tell_numbers_in_words_and_repeat(analyses):
    budget = analyses["swim_club"].water
    drawn = water_bars.picture(budget, "us")
    assert "Seen: 8 to 30 gal/day." in drawn.description and "trap: 21 gal/day (6 to 49), can make it" in (
        drawn.description
    )
    assert drawn.svg == water_bars.picture(budget, "us").svg
    trap = trap_drawing.picture(budget.trap, "si")
    assert "height 78.5 mm" in trap.description and "air rushes in" in trap.svg


def test_heights_in_the_trap_picture_are_to_scale(analyses):
    """Both dimension lines beside the needed trap stand as height to seal, 2 to 1."""
    svg = trap_drawing.picture(analyses["swim_club"].water.trap, "us").svg
    lines = [tuple(map(float, m)) for m in re.findall(r'd="M636\.0 ([\d.]+)V([\d.]+)"', svg)]
    lengths = [foot - top for top, foot in lines]
    assert lengths[0] / lengths[1] == pytest.approx(2.0, rel=0.01)


def test_what_may_add_to_it_is_not_called_ruled_out(analyses) -> None:
    """Library hall: a trap that reaches one of three wet places is no rival, but nobody has excluded it."""
    budget = jobs.demo().water
    assert "trap" in budget.beside and "trap" not in budget.ruled_out
    assert set(budget.beside).isdisjoint(budget.ruled_out)
    assert not analyses["archive_vault"].water.beside
