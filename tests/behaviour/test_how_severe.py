"""Severity is a property of the typed results: what they say of a condition is what its findings carry."""

import pytest

from hvaccalc import analyse, load_job
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.resources import data_path
from hvaccalc.service.diagnosed import severities, weight
from hvaccalc.severity import Severity
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB
from tests.behaviour.jobs import HUMID, analysed

DEMOS = ("library_hall", "swim_club", "print_shop", "clinic_attic", "archive_vault", "heat_pump_school")

JOBS = {
    "sound": {},
    "belt slips": {
        "unit.fan.drive": "belt, fixed",
        "unit.fan.full_speed": "900 rpm",
        "air.fan_frequency": None,
        "air.fan_speed": "700 rpm",
        "signs.fan_rotation": "reversed",
    },
    "motor overloaded": {
        "unit.fan.motor_full_load_current": "10 A",
        "unit.fan.drive": "belt, fixed",
        "air.fan_current": "13 A",
    },
    "fan low": {"air.fan_frequency": "36 Hz", "air.airflow": None},
    "fan stands": {"air.fan_frequency": "0 Hz", "air.airflow": None},
    "air missing": {"air.airflow": "4000 cfm"},
    "more than it can give": HUMID | {"air.airflow": "16000 cfm"},
    "ice": {"signs.frost_on": "coil face", "condition.coil_thawed": None},
    "no calls noted": {"condition.calls": None, "air.airflow": None, "air.fan_frequency": None},
    "vacuum while it runs": {"2.suction_pressure": "-6 psig"},
    "floodback": {"1.suction_temperature": "40 degF"},
    "no subcooling": {"2.liquid_temperature": "101 degF"},
    "overcharged": {"2.liquid_temperature": "75 degF"},
    "condenses high": {"1.liquid_pressure": "480 psig", "1.liquid_temperature": "115 degF"},
    "hoses swapped": {"1.suction_pressure": "317 psig", "1.liquid_pressure": "118 psig"},
    "freezing": {"1.suction_pressure": "80 psig", "2.suction_pressure": "80 psig"},
    "not called and stands": {
        "condition.calls": [],
        "condition.compressors_running": [],
        "air.airflow": None,
    },
    "called, does not run": {"condition.compressors_running": ["1"]},
}


def same(analysis) -> None:
    for result in analysis.conditions:
        of_findings = [
            finding.severity
            for finding in analysis.findings
            if Where(finding.visit or 0, finding.condition or 0) == result.where
        ]
        typed = severities(analysis, result)
        assert sorted(typed) == sorted(s for s in of_findings if s is not Severity.NOTE), result.label
        assert weight(analysis, result)[0] == max(s.rank for s in of_findings)


@pytest.mark.parametrize("name", DEMOS)
def test_demo(name: str) -> None:
    same(analyse(load_job(data_path(f"jobs/{name}.toml"))))


@pytest.mark.parametrize("name", ["field", "chamber"])
def test_measured_unit(name: str) -> None:
    same(analyse(load_job(data_path(f"measured/{name}.toml"))))


@pytest.mark.parametrize("name", JOBS)
def test_job(tmp_path, name: str) -> None:
    same(analysed(tmp_path, JOBS[name]))


@pytest.mark.parametrize("text", [SMALL_JOB, FULL_JOB], ids=["the least", "every key"])
def test_job_text(tmp_path, text: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    same(analyse(load_job(path)))


def test_the_jobs_reach_every_severity(tmp_path) -> None:
    """Otherwise the comparison above would say little."""
    seen = set()
    for name in ("sound", "fan low", "fan stands", "ice"):
        analysis = analysed(tmp_path, JOBS[name])
        seen |= {s for result in analysis.conditions for s in severities(analysis, result)}
    assert seen == {Severity.WATCH, Severity.ACT, Severity.STOP}
