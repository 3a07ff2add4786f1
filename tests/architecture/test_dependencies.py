"""What is declared is imported and what is imported is declared; the checker would notice if it were not."""

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.check import PYTHON, ROOT, RUN_TIME


def run_time(folder: Path) -> subprocess.CompletedProcess[str]:
    """The check of the package's own dependencies in a folder."""
    return subprocess.run([*PYTHON, *RUN_TIME], cwd=folder, capture_output=True, text=True)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """What is declared, and the package's own code."""
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copytree(ROOT / "hvaccalc", tmp_path / "hvaccalc", ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path


@pytest.mark.parametrize(
    ("module", "complaint"),
    [
        ("fluids", "'fluids' imported but declared as a dev dependency"),
        ("lark", "'lark' imported but it is a transitive dependency"),
        ("never_heard_of", "'never_heard_of' imported but missing"),
    ],
)
def test_an_import_that_is_not_declared_is_caught(copy: Path, module: str, complaint: str) -> None:
    (copy / "hvaccalc" / "borrower.py").write_text(f"def borrow():\n    import {module}\n")
    found = run_time(copy)
    assert found.returncode == 1 and complaint in found.stderr


def test_a_dependency_that_nobody_imports_is_caught(copy: Path) -> None:
    declared = copy / "pyproject.toml"
    declared.write_text(declared.read_text().replace('"typer>', '"networkx>=3", "typer>'))
    found = run_time(copy)
    assert found.returncode == 1 and "'networkx' defined as a dependency but not used" in found.stderr
