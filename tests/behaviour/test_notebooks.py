"""The stored notebooks: short, run in order, up to date, and a wrong number in them would be seen."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from tests.check import NBVAL, ROOT
from tests.regenerate.notebooks import notebook_files, stored

NOTEBOOKS = notebook_files()
MOST_LINES = 15
CONSTANT = ("hvaccalc/physics/water_vapour.py", r"^LATENT_HEAT_0C = 2501e3$", "LATENT_HEAT_0C = 2526e3")
"""Heat of vaporisation at 0 °C, 1 % too large: total capacity moves by more than its printed precision."""


def code_cells(path: Path) -> list[nbformat.NotebookNode]:
    return [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]


def test_there_are_notebooks() -> None:
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_cells_ran_in_order(path: Path) -> None:
    """A cell stored without its count is compared by nothing."""
    counts = [cell.execution_count for cell in code_cells(path)]
    assert counts == list(range(1, len(counts) + 1))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_cells_are_short_and_may_not_fail(path: Path) -> None:
    for cell in code_cells(path):
        assert len(cell.source.splitlines()) <= MOST_LINES
        assert not any(
            "raises-exception" in str(cell.metadata) or o.output_type == "error" for o in cell.outputs
        )
        assert "raises-exception" not in str(cell.metadata)
        assert not re.search(r"NBVAL_(IGNORE|SKIP|RAISES)", cell.source, re.I)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_reads_well_without_a_kernel(path: Path) -> None:
    """The first cell loads the job; a panel's stored output holds numbers, and a picture with words."""
    cells = code_cells(path)
    assert re.search(r"^job = load_job\(", cells[0].source, re.M)
    bundles = [o.data for cell in cells for o in cell.outputs if "text/html" in o.get("data", {})]
    assert bundles
    for data in bundles:
        assert re.search(r"\d \S+ \([\d,.-]+ to [\d,.-]+\)", data["text/plain"])
        assert re.search(r'<img alt="[^"]*\d[^"]*" src="data:image/svg', data["text/html"])
        assert "<title" in data["image/svg+xml"] and "<desc" in data["image/svg+xml"]
        assert 'class="hvac-caution"' in data["text/html"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_is_stored_without_what_differs_from_run_to_run(path: Path) -> None:
    """That its outputs are those of the code of today is a check of its own, which runs every cell."""
    text = path.read_text("utf-8")
    assert stored(nbformat.reads(text, as_version=4)) == text, "run: python -m tests.regenerate notebooks"


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The package, its data and one notebook whose numbers hang on the constant, to be broken."""
    for name in ("hvaccalc", "data"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    for name in ("tests", "notebooks"):
        (tmp_path / name).mkdir()
    shutil.copy(ROOT / "notebooks" / "01_air_and_condensate.ipynb", tmp_path / "notebooks")
    for name in ("__init__", "nbval_sameness", "sameness"):
        shutil.copy(ROOT / "tests" / f"{name}.py", tmp_path / "tests")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def compare(folder: Path) -> subprocess.CompletedProcess[str]:
    """The notebooks of a folder against its package, as the check compares them."""
    return subprocess.run(
        [sys.executable, "-m", *NBVAL, "-p", "no:cacheprovider"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder)},
        capture_output=True,
        text=True,
    )


def test_a_wrong_constant_turns_the_notebooks_red(copy: Path) -> None:
    file, pattern, wrong = CONSTANT
    source = copy / file
    text, count = re.subn(pattern, wrong, source.read_text("utf-8"), flags=re.M)
    assert count == 1
    sound = compare(copy)
    assert sound.returncode == 0, sound.stdout
    source.write_text(text, "utf-8")
    broken = compare(copy)
    assert broken.returncode == 1, broken.stdout
    for form in ("stdout", "image/svg+xml"):
        assert f"mismatch '{form}'" in broken.stdout
