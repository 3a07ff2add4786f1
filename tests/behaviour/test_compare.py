"""The compare tool: its jobs cover what they say, and it names what changed, no more and no less."""

import json
import re
import shutil
from collections import Counter
from pathlib import Path

import pytest

from hvaccalc.analysis import analyse
from hvaccalc.call import Mode
from hvaccalc.diagnosis.unit.readings_of_state import Level
from hvaccalc.job.causes import Cause
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.physics.refrigerant import NAMES
from hvaccalc.service import put_right
from hvaccalc.service.put_right import Ending
from hvaccalc.service.today import Decision
from tests.compare.__main__ import changes, ended, jobs, report, started
from tests.compare.generated_jobs import CIRCUITINGS, FAULTS, cases
from tests.compare.two_visits import FAULTS as REPAIRED
from tests.compare.two_visits import WORKS, names, two_visit_job, two_visit_jobs
from tests.discovery import ROOT


def test_every_fault_meets_every_circuiting_and_kits_go_round() -> None:
    made = cases().values()
    assert len(made) == 48
    assert set(Counter((case.fault, case.circuiting) for case in made).values()) == {2}
    assert {(case.fault, case.circuiting) for case in made} == {(f, c) for f in FAULTS for c in CIRCUITINGS}
    for fault in FAULTS:
        assert {case.level for case in made if case.fault == fault} == set(Level)
    assert {case.refrigerant for case in made} <= set(NAMES) and len({c.refrigerant for c in made}) == 6


def test_every_word_of_a_repair_meets_every_later_reading(tmp_path: Path) -> None:
    made = two_visit_jobs()
    assert {name.split("-")[2] for name in made if "-fan-" in name} == set(WORKS)
    assert len(made) == 12 + 3 * 6 and {name.split("-")[1] for name in made} == set(REPAIRED)
    for name, text in made.items():
        (tmp_path / "job.toml").write_text(text, "utf-8")
        first, second = load_job(tmp_path / "job.toml").visit
        assert len(first.work) == 1 and bool(first.work[0].mends) is ("-mends-" in name)
        later = name.rpartition("-")[2]
        assert len(second.condition) == (later != "none")
        if "-fan-" in name:
            read = [c.air.fan_frequency.quantity.value for c in second.condition]
            assert read == {"right": [60.0], "wrong": [36.0], "none": []}[later]


ENDINGS = {
    ("mends", "right"): Ending.READ_RIGHT,
    ("mends", "wrong"): Ending.CAME_BACK,
    ("mends", "none"): Ending.MENDED,
    ("note_only", "right"): Ending.READ_RIGHT,
    ("negated_note", "right"): Ending.READ_RIGHT,
}
"""What closes a cause; every other pair leaves it standing."""


@pytest.mark.parametrize("name", [name for name in names() if "-fan-" not in name])
def test_what_was_said_and_read_of_a_repair_ends_as_the_rule_says(name: str) -> None:
    _, fault, work, later = name.split("-")
    analysis = analyse(job_from_text(two_visit_job(name)), 64)
    cause, _, circuit = REPAIRED[fault].mends.partition(":")
    end = put_right.ended(analysis.put_right, Cause(cause), circuit or None)
    assert end is not None and end.ending is ENDINGS.get((work, later), Ending.STANDS)
    cooling = [one for one in analysis.today if one.running.mode is Mode.COOL]
    if end.ending is not Ending.READ_RIGHT:
        assert any(one.do for one in cooling)
    if fault == "freeze" and end.ending is not Ending.READ_RIGHT and (work, later) != ("temporary", "right"):
        assert cooling[-1].decision is not Decision.RUN


FINDINGS = {
    "findings": [{"id": "a/1", "statement": "Superheat 9.5 °F.", "value": 5.28}, {"id": "b/1", "value": 1.0}]
}


def of(data: dict, page: str = "<p>Superheat 9.5 °F.</p>") -> dict[str, str]:
    return {"findings": json.dumps(data), "memo, file": page}


def test_states_of_an_output() -> None:
    was = of(FINDINGS)
    assert [state for _, state, _ in changes(was, was)] == ["identical", "identical"]
    nearly = of(FINDINGS, "<p>Superheat 9.6 °F.</p>")
    assert [state for _, state, _ in changes(was, nearly)] == ["identical", "same to a reader"]
    more = {"findings": [{"id": "new/1", "value": 0.0}, *FINDINGS["findings"]]}
    (_, state, found), _ = changes(was, of(more))
    assert state == "changed" and len(found) == 1 and found[0].startswith(".findings.new/1: new")
    moved = {"findings": [dict(one, value=one["value"] * 1.01) for one in FINDINGS["findings"]]}
    (_, _, found), _ = changes(was, of(moved))
    (told,) = found
    assert re.fullmatch(r"2 numbers moved, by 0\.0099 of themselves at most: \.findings\.[ab]/1\.value", told)


def test_what_is_refused_or_breaks_is_a_change() -> None:
    (refused, *_) = list(changes({"refused": "unknown key mends"}, of(FINDINGS)))
    assert refused == ("refused", "only before", ["unknown key mends"])
    broke = {"broke": "KeyError: 'trap'", "in": "row"}
    (_, page) = changes(of(FINDINGS), of(FINDINGS, json.dumps(broke)))
    assert page[1] == "changed" and "KeyError" in page[2][0]


@pytest.fixture
def another(tmp_path: Path) -> Path:
    """The package with one constant 1 % off."""
    for name in ("hvaccalc", "data"):
        shutil.copytree(ROOT / name, tmp_path / "tree" / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path / "tree")
    file = tmp_path / "tree" / "hvaccalc" / "physics" / "water_vapour.py"
    text, count = re.subn(
        r"^LATENT_HEAT_0C = 2501e3$", "LATENT_HEAT_0C = 2526e3", file.read_text("utf-8"), flags=re.M
    )
    assert count == 1
    file.write_text(text, "utf-8")
    return tmp_path / "tree"


def test_two_trees_are_run_and_compared(another: Path, tmp_path: Path, capsys) -> None:
    files = jobs(tmp_path, ["sound-interlaced-R-410A", "archive_vault"])
    assert len(files) == 2
    runs = {tree: started(tree, files, 64) for tree in (ROOT, another)}
    was, now = (ended(run, tree, files) for tree, run in runs.items())
    assert report(was, was) == 0
    assert report(was, now) >= 3
    assert "numbers moved" in capsys.readouterr().out
