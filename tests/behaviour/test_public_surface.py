"""The names that users may rely on, and what it costs to import them."""

import json
import subprocess
import sys

import pytest

import hvaccalc
from tests.check import ROOT

NAMES = ["Analysis", "Finding", "Job", "UnitModel", "analyse", "errors", "load_job", "units"]

HEAVY = {"CoolProp", "ipywidgets", "matplotlib", "pandas", "psychrolib", "pydantic", "scipy", "typer"}


def packages_loaded_by(statement: str) -> set[str]:
    """Top-level names outside the standard library that a statement adds to a fresh interpreter."""
    code = (
        "import sys, json\n"
        "before = set(sys.modules)\n"
        f"{statement}\n"
        "print(json.dumps(sorted({name.partition('.')[0] for name in set(sys.modules) - before})))"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(json.loads(run.stdout)) - sys.stdlib_module_names


def test_names_are_pinned() -> None:
    assert sorted(hvaccalc.__all__) == NAMES
    assert set(dir(hvaccalc)) == {*NAMES, "__version__"}


@pytest.mark.parametrize("name", NAMES)
def test_each_name_resolves(name: str) -> None:
    found = getattr(hvaccalc, name)
    home = found.__name__ if name in {"errors", "units"} else found.__module__
    assert home.startswith("hvaccalc.")
    assert found.__name__.rpartition(".")[2] == name


def test_star_import_gives_the_public_names() -> None:
    namespace: dict[str, object] = {}
    exec("from hvaccalc import *", namespace)
    assert sorted(set(namespace) - {"__builtins__"}) == NAMES


def test_unknown_name_is_refused() -> None:
    with pytest.raises(AttributeError, match="analyze"):
        hvaccalc.analyze  # noqa: B018


def test_import_loads_numpy_at_most() -> None:
    assert packages_loaded_by("import hvaccalc") <= {"hvaccalc", "numpy"}


def test_units_and_errors_load_no_heavy_library() -> None:
    assert not packages_loaded_by("from hvaccalc import units, errors") & HEAVY


def test_the_measurement_sees_a_heavy_library() -> None:
    assert "pandas" in packages_loaded_by("import hvaccalc, pandas")
