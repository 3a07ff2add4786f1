"""The print shop's demonstration job against the truth behind it: a sheave too large, water blown off."""

import tomllib

import pytest

from hvaccalc import units
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import blocks_of, found, one

TRUTH = tomllib.loads(data_path("jobs", "print_shop.truth.toml").read_text("utf-8"))


@pytest.fixture(scope="module")
def analysis():
    return jobs.demo("print_shop")


def at(analysis, key: str, visit: int):
    (finding,) = [f for f in found(analysis, key) if f.visit == visit]
    return finding


@pytest.mark.parametrize("row", TRUTH["condition"], ids=lambda row: f"visit {row['visit']}")
@pytest.mark.parametrize(("key", "name", "kind"), [("airflow.reconciled", "airflow", "airflow")])
def test_airflow_holds_the_truth(analysis, row, key, name, kind):
    finding = at(analysis, key, row["visit"])
    assert finding.low <= units.parse(row[name], kind).value <= finding.high
    assert "it was left out" not in finding.statement


@pytest.mark.parametrize("row", TRUTH["condition"], ids=lambda row: f"visit {row['visit']}")
def test_condensate_holds_the_truth(analysis, row):
    finding = at(analysis, "condensate.rate", row["visit"])
    assert finding.low <= units.parse(row["condensate"], "water_flow").value <= finding.high


def test_the_sheave_is_told_by_the_speed_and_what_it_overloads(analysis):
    """1112 rpm where 840 belong; 5.6 A on a plate of 4.2 A; 636 ft/min over a coil that holds 500."""
    told = one(analysis, "fan.speed_check")
    assert "132 % of full speed" in told.statement
    failing = {f.key for f in analysis.findings if f.key.startswith("fan.check.") and f.text == "fail"}
    assert failing == {
        "fan.check.belt_and_sheaves",
        "fan.check.motor_current",
        "fan.check.service_factor",
        "fan.check.coil_face_velocity",
        "fan.check.external_static",
    }


def test_after_the_repair_nothing_fails(analysis):
    checks = analysis.conditions[1].speed
    assert not [check.name for check in checks.checks if check.state == "fail"]


def test_the_traverse_takes_part(analysis):
    """25 velocities over 480 in²: 3.33 ft² times their mean, 1156 ft/min, makes 3853 cfm."""
    traverse = one(analysis, "airflow.traverse")
    assert units.to(traverse.value, "cfm", "airflow") == pytest.approx(3853, abs=2)


@pytest.mark.parametrize(
    ("audience", "words"),
    [
        ("file", ("face velocity", "blown off")),
        ("customer", ("crosses the cooling coil at", "drops of water")),
    ],
)
def test_the_memo_names_the_face_velocity(analysis, audience, words):
    text = str(blocks_of(analysis, audience))
    assert all(part in text for part in words)
