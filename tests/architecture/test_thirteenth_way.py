"""A way of the water that is added: four files of code; none of them may be forgotten, and both memos speak.

The way is made up: insulation that draws water over the pan's rim as a wick does. It is added to a copy of
the package by the edits that a developer makes, and thrown away with it.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.check import ROOT

MECHANISMS = "diagnosis/water/mechanisms_pan.py"
EDITS = {
    "job/causes.py": (
        ('    SHUT_DOWN_DRAIN = "shut_down_drain"\n', '    WICK = "wick"\n'),
        ("        Way.SHUT_DOWN_DRAIN: (Cause.PAN,),\n", "        Way.WICK: (Cause.PAN,),\n"),
    ),
    MECHANISMS: (
        ("    TANK_FULL = auto()\n", "    WICK_SEEN = auto()\n"),
        (
            "def _passed(case: WaterCase) -> Reason | None:\n"
            "    return Reason(PanReason.PASSED_THE_PAN) if case.seen.passed_the_pan else None\n",
            """

def wick(case: WaterCase) -> Mechanism:
    made = water_made(case)
    return Mechanism(
        way=Way.WICK,
        rate=made,
        per_day=made * case.cooling_share,
        chance=1.0,
        grade=Grade.RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, 15.0, np.inf),),
        places=frozenset({"cabinet floor", "pan rim", "filters", "duct", "pipe"}),
        how=Reason(PanReason.WICK_SEEN, {"share": 0.5}),
        confirmed=Reason(PanReason.WICK_SEEN, {"share": 0.5}),
    )
""",
        ),
    ),
    "diagnosis/water/ways.py": (
        ("import pan_leak, pan_overflow, pump, trap", ", wick"),
        (
            'Way.SHUT_DOWN_DRAIN: _row(shut_down_drain, 9, Seen.COIL, "retained_water", off_coil=True),\n',
            '        Way.WICK: _row(wick, 13, Seen.COIL, "water_practice", off_coil=True),\n',
        ),
    ),
    "words/ways/pan.py": (
        (
            "WAYS = {\n",
            """    Way.WICK: WayWords(
        title=Said("wet insulation over the rim", "wet insulation"),
        label="wick",
        plain="insulation that draws water over the rim of the drain pan",
        usual=Case(
            weather=for_file("any while it cools"),
            cannot=for_file("it brings no more than a cloth carries"),
            look=Said("feel the insulation above the rim", "feel the insulation"),
            repair=Said("Cut the insulation back above the rim.", "Cut the wet insulation back."),
        ),
        under_pressure=None,
        proof=(Said("Wick: the insulation dry after a day.", "The insulation must stay dry."),),
        today=CATCH,
    ),
""",
        ),
        (
            '        PanReason.ANY_SHARE: for_file("any share of the condensate, by rule of thumb"),\n',
            '        PanReason.WICK_SEEN: for_file("insulation hangs into {share:fraction} of the pan"),\n',
        ),
    ),
}
"""By file: what stands there, and what is written behind it."""

MEMOS = """
from hvaccalc import analyse, load_job
from hvaccalc.report import html, memo
from hvaccalc.resources import data_path
found = analyse(load_job(data_path("jobs", "swim_club.toml")))
print([one.statement for one in found.findings if one.key == "water.wick"][0])
for reader in ("file", "customer"):
    print("MEMO", html.page(memo.blocks(found, reader), "memo"))
"""


def extended(tmp_path: Path, *files: str) -> Path:
    """A copy of the package with the way written into some of its files."""
    shutil.copytree(ROOT / "hvaccalc", tmp_path / "hvaccalc", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    (tmp_path / "data").symlink_to(ROOT / "data")
    for name in files:
        path = tmp_path / "hvaccalc" / name
        text = path.read_text("utf-8")
        for there, behind in EDITS[name]:
            assert text.count(there) == 1, f"{name}: {there}"
            text = text.replace(there, there + behind)
        path.write_text(text, "utf-8")
    return tmp_path


def run(directory: Path, code: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(directory), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        [sys.executable, "-c", code], cwd=directory, env=environment, capture_output=True, text=True
    )


@pytest.mark.parametrize(
    ("left_out", "refused"),
    [
        ("words/ways/pan.py", "no row for WICK"),
        ("diagnosis/water/ways.py", "Way: no row for WICK"),
    ],
)
def test_without_its_row_nothing_can_be_imported(tmp_path: Path, left_out: str, refused: str) -> None:
    copy = extended(tmp_path, *(name for name in EDITS if name != left_out))
    result = run(copy, "import hvaccalc.words.speak")
    assert result.returncode != 0 and refused in result.stderr, result.stderr[-2000:]


def test_four_files_and_both_memos_speak_of_it(tmp_path: Path) -> None:
    assert len(EDITS) <= 4
    result = run(extended(tmp_path, *EDITS), MEMOS)
    assert result.returncode == 0, result.stderr[-2000:]
    statement, file, customer = result.stdout.split("MEMO")
    assert "insulation hangs into 50 % of the pan" in statement
    assert "Wet insulation over the rim" in file
    assert "Cut the insulation back above the rim." in file
    assert "Wick: the insulation dry after a day." in file
    assert "insulation that draws water over the rim of the drain pan" in customer
    assert "Cut the wet insulation back." in customer
    assert "The insulation must stay dry." in customer
