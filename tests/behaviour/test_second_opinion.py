"""The second opinion: it finds an error, it never stops a memo, and it stays out of the caller's process.

The outside sources here are the libraries themselves, psychrolib 2.5 and CoolProp 8; the limits are those of
`hvaccalc.second_opinion.questions`. Stand-ins for a library lie in a folder that PYTHONPATH names.
"""

import json
import subprocess
import sys
from pathlib import Path

import psychrolib
import pytest

from hvaccalc import analyse, second_opinion
from hvaccalc.analysis import Analysis
from hvaccalc.errors import NoSecondOpinion
from hvaccalc.job.load import job_from_text
from hvaccalc.physics import moist_air, moist_air_properties, refrigerant
from hvaccalc.report import memo
from hvaccalc.report.blocks import Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.report.method import agreement, difference_text
from hvaccalc.resources import data_path
from hvaccalc.second_opinion import Opinion, process, questions
from hvaccalc.second_opinion.questions import LIMITS
from tests.behaviour import jobs
from tests.behaviour.jobs import HUMID, job_text
from tests.behaviour.test_commands import in_process
from tests.measured_sets import analysis as measured

DEMO = data_path("jobs", "library_hall.toml")
FROST = {
    "air.return_dry_bulb": "36 degF",
    "air.return_wet_bulb": None,
    "air.return_relative_humidity": "75 %",
    "air.supply_dry_bulb": "33 degF",
    "air.supply_wet_bulb": None,
}

ABSENT = "raise ModuleNotFoundError('no such library here')"
CRASHES = "import os\nos._exit(7)"
HANGS = "import time\ntime.sleep(60)"
PRINTS = "print('welcome', flush=True)\nraise ImportError('half installed')"
NONSENSE = "SI = 0\ndef __getattr__(name):\n    return lambda *arguments: 0.01"


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Put Python text in the place of a library, for the subprocess alone."""
    folder = tmp_path / "stand_ins"
    folder.mkdir()
    monkeypatch.setenv("PYTHONPATH", str(folder))

    def put(**libraries: str) -> None:
        for name, text in libraries.items():
            (folder / f"{name}.py").write_text(text, "utf-8")

    return put


def ask(analysis: Analysis) -> Opinion:
    libraries = second_opinion.beside(analysis.job)
    assert libraries is not None
    with libraries:
        return second_opinion.compare(analysis, libraries)


@pytest.fixture(scope="module")
def demo() -> Analysis:
    return jobs.demo()


@pytest.fixture(scope="module")
def opinion(demo: Analysis) -> Opinion:
    return ask(demo)


def page(analysis: Analysis, folder: Path) -> str:
    return memo.write(analysis, folder).read_text("utf-8")


def told(found: Found, opinion: Opinion | None) -> str:
    """The section's words."""
    words: list[str] = []
    for block in agreement(found, opinion):
        if isinstance(block, Paragraph):
            words.append(block.text)
        elif isinstance(block, Items):
            words += [item.text for item in block.items]
        elif isinstance(block, Table):
            words += [" | ".join(row) for row in block.rows]
    return "\n".join(words)


# --- agreement ---------------------------------------------------------------------------------------

CHECKED = {
    "site.barometer", "air.return.humidity_ratio", "air.supply.humidity_ratio", "air.return.dew_point",
    "air.supply.dew_point", "air.return.wet_bulb", "airflow.reading", "capacity.sensible", "capacity.total",
    "condensate.rate", "circuit.suction_saturation", "circuit.liquid_saturation",
    "circuit.condensing_saturation", "circuit.subcooling", "circuit.superheat", "circuit.chart_offset",
    "coil.suction_saturation", "inventory.cylinder_fill",
}  # fmt: skip
READ = {"air.return.wet_bulb", "air.return.dew_point", "air.supply.dew_point", "airflow.reading"}
"""Not recomputed where they are readings."""


def test_demo_agrees_within_the_limits(opinion: Opinion) -> None:
    assert opinion.failure == "" and opinion.missing == {} and opinion.unanswered == ()
    assert set(opinion.versions) == {"psychrolib", "CoolProp"}
    for comparison in opinion.compared:
        assert comparison.usual, comparison


def test_every_such_number_of_the_demo_is_recomputed(demo: Analysis, opinion: Opinion) -> None:
    stated = [f for f in demo.findings if f.key in CHECKED and f.value is not None]
    skipped = [f for f in stated if f.key in READ and (f.basis == "measured" or f.key == "airflow.reading")]
    assert {c.finding.id for c in opinion.compared} == {f.id for f in stated} - {f.id for f in skipped}
    assert {f.key for f in skipped} == {"air.return.wet_bulb", "airflow.reading"}


@pytest.mark.parametrize("name", ["chamber", "field"])
def test_measured_sets_agree_within_the_limits(name: str) -> None:
    """Wet bulbs from dew points and from relative humidity, airflow from standard air: not in the demo."""
    found = ask(measured(name))
    assert found.failure == "" and found.missing == {} and found.unanswered == ()
    assert {"wet_bulb", "airflow", "capacity", "condensate", "saturation", "difference"} <= {
        c.kind for c in found.compared
    }
    for comparison in found.compared:
        assert comparison.usual, comparison


def test_a_wrong_number_is_named(demo: Analysis, opinion: Opinion) -> None:
    """A saturation 0.1 K off, which is ten times what is usual."""
    first = next(c for c in opinion.compared if c.finding.key == "circuit.superheat")
    moved = second_opinion.Comparison(first.finding, first.kind, first.theirs, 0.1, first.limit, "")
    wrong = Opinion(tuple(moved if c is first else c for c in opinion.compared), (), opinion.versions, {})
    text = told(Found(demo), wrong)
    assert f"{first.finding.statement} 0.18 °F apart; no reason is known: take it for an error." in text
    assert "No number is further apart than usual." not in text
    assert "No number is further apart than usual." in told(Found(demo), opinion)


def test_a_slip_in_an_equation_is_found(stand_in, monkeypatch) -> None:
    """The condensate's own heat left out of the total capacity, 1 % of it."""
    stand_in(CoolProp=ABSENT)
    monkeypatch.setattr(moist_air, "liquid_water_enthalpy", lambda kelvin: 0.0 * kelvin)
    found = ask(analyse(job_from_text(job_text(HUMID))))
    assert {c.finding.key for c in found.compared if not c.usual} == {"capacity.total"}


def test_a_blend_with_glide_has_its_own_limit() -> None:
    assert LIMITS["saturation"].of(glide=True) == 0.05
    assert LIMITS["saturation"].of() == 0.01
    assert LIMITS["dew_point"].of(glide=True) == LIMITS["dew_point"].of()


def test_air_near_freezing_is_explained(stand_in) -> None:
    """Return air of 36 °F and 75 % has its wet bulb within 0.8 K of freezing: ice and water both hold."""
    stand_in(CoolProp=ABSENT)
    found = ask(analyse(job_from_text(job_text(HUMID | FROST))))
    (bulb,) = [c for c in found.compared if c.kind == "wet_bulb"]
    assert abs(bulb.theirs - 273.15) < 0.8
    assert bulb.known == "so near freezing a bulb may carry ice or water, and both answers hold"


def test_readings_that_are_no_state_are_said_not_to_be_compared(stand_in) -> None:
    """A supply wet bulb a hair above its dry bulb passes screening; stated is the median of the draws."""
    stand_in(CoolProp=ABSENT)
    job = job_from_text(job_text(HUMID | {"air.supply_wet_bulb": "55.1 degF"}))
    analysis = analyse(job)
    found = ask(analysis)
    skipped = {finding.key for finding, _ in found.unanswered}
    assert {"air.supply.humidity_ratio", "capacity.total", "condensate.rate"} <= skipped
    assert "median of their possible draws" in told(Found(analysis), found)


# --- the memo comes whatever happens -----------------------------------------------------------------


def test_file_copy_tells_how_far_apart_and_what_it_means(demo: Analysis, opinion: Opinion) -> None:
    text = told(Found(demo), opinion)
    assert f"recomputed {len(opinion.compared)} of" in text
    assert all(version in text for version in opinion.versions.values())
    assert "checks no reading, no instrument, no band and no diagnosis" in text
    assert "0.5 %" in text
    assert "Saturation temperature | 20 | below 0.001 °F | 0.018 °F" in text


def test_customer_gets_none_and_starts_none(demo: Analysis, tmp_path: Path, monkeypatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a process was started")

    monkeypatch.setattr(process.subprocess, "Popen", refuse)
    text = memo.write(demo, tmp_path, "customer").read_text("utf-8")
    assert "econd opinion" not in text


def test_no_condition_no_process() -> None:
    text = job_text().partition("[[visit]]")[0]
    assert second_opinion.beside(job_from_text(text)) is None


@pytest.mark.parametrize(
    ("libraries", "words"),
    [
        ({"psychrolib": ABSENT, "CoolProp": ABSENT},
         ["psychrolib could not be loaded (ModuleNotFoundError: no such library here)",
          "CoolProp could not be loaded (ModuleNotFoundError: no such library here)"]),
        ({"CoolProp": PRINTS},
         ["No second opinion on refrigerants was available", "half installed",
          "psychrolib 2.5.0 recomputed"]),
        ({"CoolProp": CRASHES}, ["No second opinion was available: its process broke off with status 7"]),
        ({"psychrolib": "raise SystemExit('not for you')", "CoolProp": ABSENT}, ["not for you"]),
        ({"psychrolib": NONSENSE, "CoolProp": ABSENT}, ["Further apart than usual", "take it for an error"]),
    ],
    ids=["missing", "half", "crash", "exit", "nonsense"],
)  # fmt: skip
def test_memo_comes_and_says_why(demo: Analysis, tmp_path: Path, stand_in, libraries, words) -> None:
    stand_in(**libraries)
    text = page(demo, tmp_path)
    for word in words:
        assert word in text


def test_memo_comes_when_a_library_hangs(demo: Analysis, tmp_path: Path, stand_in, monkeypatch) -> None:
    stand_in(CoolProp=HANGS)
    monkeypatch.setattr(process, "LONGEST_WAIT", 0.5)
    assert "No second opinion was available: no answer within 0.5 s." in page(demo, tmp_path)


def test_memo_comes_when_no_process_starts(demo: Analysis, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(process.sys, "executable", str(tmp_path / "nothing"))
    assert "its process could not be started" in page(demo, tmp_path)


def test_a_file_in_the_working_folder_is_no_library(tmp_path: Path, monkeypatch) -> None:
    (tmp_path / "psychrolib.py").write_text(CRASHES, "utf-8")
    monkeypatch.chdir(tmp_path)
    with second_opinion.Process(["psychrolib"]) as libraries:
        assert libraries.ask({}).missing == {}


def test_the_process_ends_with_its_block() -> None:
    with second_opinion.Process(["psychrolib"]) as libraries:
        child = libraries._process
        assert child is not None and libraries.ask({}).versions
    assert child.poll() is not None
    with pytest.raises(NoSecondOpinion, match="has ended"):
        libraries.ask({})


# --- the caller's process ----------------------------------------------------------------------------


def test_unit_system_of_the_caller_stays(stand_in) -> None:
    stand_in(CoolProp=ABSENT)
    before = psychrolib.GetUnitSystem()
    psychrolib.SetUnitSystem(psychrolib.IP)
    try:
        assert ask(analyse(job_from_text(job_text(HUMID)))).compared
        assert psychrolib.GetUnitSystem() == psychrolib.IP
    finally:
        psychrolib.SetUnitSystem(before or psychrolib.SI)


def test_the_main_process_imports_no_property_library(tmp_path: Path, stand_in) -> None:
    stand_in(CoolProp=ABSENT, psychrolib=ABSENT)
    code = (
        "import sys; from hvaccalc import analyse, load_job; from hvaccalc.report import memo;"
        "path = memo.write(analyse(load_job(sys.argv[1])), sys.argv[2]);"
        "assert 'could not be loaded' in path.read_text('utf-8');"
        "sys.exit(bool({'psychrolib', 'CoolProp'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code, DEMO, tmp_path], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


# --- selfcheck ---------------------------------------------------------------------------------------


@pytest.fixture
def altered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A copy of the coefficient file with numbers changed by 0.1 %, and a changed constant of moist air."""
    file = json.loads(data_path("refrigerants.json").read_text("utf-8"))
    file["refrigerants"]["R-22"]["dew"]["inverse_temperature"]["coefficients"][-1] *= 1.001
    file["refrigerants"]["R-410A"]["vapour"]["enthalpy"][-1][-1] *= 1.001
    copy = tmp_path / "refrigerants.json"
    copy.write_text(json.dumps(file), "utf-8")
    monkeypatch.setattr(refrigerant, "data_path", lambda *parts: copy)
    monkeypatch.setattr(moist_air_properties, "GAS_CONSTANT_DRY", 287.042 * 1.001)
    _forget()
    yield
    monkeypatch.undo()
    _forget()


def _forget() -> None:
    for cached in (refrigerant.refrigerant, refrigerant._coefficient_file, questions._record):
        cached.cache_clear()


def test_selfcheck_turns_red_when_a_coefficient_is_altered(altered) -> None:
    result = in_process("selfcheck", "--states", "40", "--json")
    assert result.code == 1
    printed = json.loads(result.out)
    red = {(c["substance"], c["quantity"]) for c in printed["checks"] if not c["ok"]}
    assert not printed["ok"]
    assert {("moist air", "specific_volume"), ("R-22", "dew_temperature")} <= red
    assert ("R-410A", "vapour_enthalpy") in red
    # What hangs on the altered numbers, and nothing else.
    hangs_on = {("R-410A", "latent_heat"), ("R-22", "vapour_density"), ("R-22", "vapour_enthalpy")}
    certain = {("moist air", "specific_volume"), ("R-22", "dew_temperature"), ("R-410A", "vapour_enthalpy")}
    assert red <= certain | hangs_on


def test_selfcheck_agrees_and_prints_json_alone() -> None:
    command = [sys.executable, "-m", "hvaccalc", "selfcheck", "--states", "40", "--seed", "3", "--json"]
    run = subprocess.run(command, capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr
    printed = json.loads(run.stdout)
    assert printed["ok"] and printed["states"] == 40 and printed["seed"] == 3
    assert {c["substance"] for c in printed["checks"]} == {"moist air", *refrigerant.NAMES}
    assert all(c["compared"] + c["unanswered"] >= 20 for c in printed["checks"])
    assert {"psychrolib", "CoolProp"} == set(printed["libraries"])


def test_selfcheck_without_a_library_is_exit_3(stand_in) -> None:
    stand_in(CoolProp=ABSENT)
    result = in_process("selfcheck", "--states", "10", "--json")
    assert result.code == 3
    assert result.out == ""
    assert "could not compute: CoolProp could not be loaded" in result.err


def test_a_check_without_answers_is_not_passed() -> None:
    nothing = second_opinion.Check("R-22", "dew_temperature", 0, 200, 0, None, "K", 0.01, {})
    few = second_opinion.Check("R-22", "dew_temperature", 100, 100, 0, 0.001, "K", 0.01, {})
    ours_missing = second_opinion.Check("R-22", "dew_temperature", 199, 0, 1, 0.001, "K", 0.01, {})
    fine = second_opinion.Check("R-22", "dew_temperature", 198, 2, 0, 0.001, "K", 0.01, {})
    assert [c.ok for c in (nothing, few, ours_missing, fine)] == [False, False, False, True]


@pytest.mark.parametrize(
    ("difference", "measure", "display", "text"),
    [
        (1e-6, "K", "us", "below 0.001 °F"),
        (0.01, "K", "us", "0.018 °F"),
        (0.05, "K", "si", "0.05 K"),
        (1e-5, "relative", "us", "0.001 %"),
        (0.02, "latent", "si", "2 %"),
    ],
)
def test_differences_in_words(difference: float, measure: str, display: str, text: str) -> None:
    """1 K is 1.8 °F."""
    assert difference_text(difference, measure, display) == text
