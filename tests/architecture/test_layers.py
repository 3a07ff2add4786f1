"""Imports go one way: the contracts in pyproject.toml hold, and would notice if they did not."""

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.check import LINT_IMPORTS, ROOT

ONE_WAY = "Imports go one way"
SECOND_OPINION = "Only the second opinion asks a property library"


def lint(directory: Path) -> subprocess.CompletedProcess[str]:
    command = [*LINT_IMPORTS, "--no-logo", "--no-cache"]
    return subprocess.run(command, cwd=directory, capture_output=True, text=True)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The package and its contracts, with the layers that the cases below need."""
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    package = tmp_path / "hvaccalc"
    shutil.copytree(ROOT / "hvaccalc", package, ignore=shutil.ignore_patterns("__pycache__"))
    (package / "cli.py").touch()
    for layer in ("physics", "equipment", "job", "diagnosis"):
        (package / layer).mkdir(exist_ok=True)
        (package / layer / "__init__.py").touch()
    return tmp_path


def test_contracts_hold() -> None:
    result = lint(ROOT)
    assert result.returncode == 0, result.stdout + result.stderr


def test_no_module_hides_from_the_contracts() -> None:
    """Import-linter does not see a directory without ``__init__.py``."""
    directories = {path.parent for path in (ROOT / "hvaccalc").rglob("*.py")}
    assert [path for path in directories if not (path / "__init__.py").is_file()] == []


@pytest.mark.parametrize(
    ("module", "imported", "contract"),
    [
        ("resources", "hvaccalc.cli", ONE_WAY),
        ("equipment/borrower", "hvaccalc.job", ONE_WAY),
        ("job/borrower", "hvaccalc.equipment", ONE_WAY),
        ("physics/borrower", "CoolProp", SECOND_OPINION),
        ("diagnosis/borrower", "psychrolib", SECOND_OPINION),
        ("second_opinion/borrower", "CoolProp", SECOND_OPINION),
    ],
)
def test_forbidden_import_inside_a_function_is_caught(
    copy: Path, module: str, imported: str, contract: str
) -> None:
    with (copy / "hvaccalc" / f"{module}.py").open("a") as file:
        file.write(f"\n\ndef borrow():\n    import {imported}\n")
    result = lint(copy)
    assert result.returncode == 1, result.stdout + result.stderr
    assert f"{contract} BROKEN" in result.stdout


def test_module_without_a_layer_is_caught(copy: Path) -> None:
    (copy / "hvaccalc" / "stray.py").touch()
    result = lint(copy)
    assert result.returncode == 1, result.stdout + result.stderr
    assert "stray" in result.stdout
