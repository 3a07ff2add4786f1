"""A threshold stands once: in `hvaccalc/practice`, with its unit, what it is, and what it rests on."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number, span
from tests.discovery import ROOT
from tests.regenerate import practice_page

PACKAGE = ROOT / "hvaccalc"
LAYERS = ("diagnosis", "service", "findings", "report", "panels")

NO_THRESHOLDS = {
    "diagnosis/air/reconcile.py": {"LEAST_ROWS": "numerics", "_RIDGE": "numerics"},
    "diagnosis/readings/rated_unit.py": {
        "_MAP_UNITS": "conversion of units",
        "TRIED": "size of an ensemble",
    },
    "diagnosis/trials/charge_study.py": {"POINTS": "points of a curve"},
    "diagnosis/calls/call_wiring.py": {"DRAWS": "size of an ensemble"},
    "diagnosis/air/sound_unit.py": {"DRAWS": "size of an ensemble"},
    "diagnosis/contradictions/mistyped.py": {"STEPS": "points of a curve"},
    "diagnosis/contradictions/unit_pictures.py": {
        "FAULTS": "sizes of faults that are solved",
        "SHARES": "grid that is solved",
        "OUTDOORS": "grid that is solved",
        "ENTERING": "grid that is solved",
        "MOISTURE": "grid that is solved",
        "FLOWS": "grid that is solved",
        "FURTHER": "numerics",
    },
    "diagnosis/unit/contrast_model.py": {
        "DRAWS": "size of an ensemble",
        "BETWEEN": "numerics",
        "FAULTS": "sizes of faults that are solved",
    },
    "diagnosis/unit/forecast.py": {"SHARES": "grid that is solved", "LEAST_EFFECTIVE": "numerics"},
    "diagnosis/unit/freeze_map.py": {"SPEEDS": "grid that is solved", "OUTDOORS": "grid that is solved"},
    "diagnosis/unit/what_if.py": {
        "DRAWS": "size of an ensemble",
        "MOST_AT_ONCE": "size of a batch",
        "MOST_ROWS_AT_ONCE": "size of a batch",
    },
    "diagnosis/charge/charge_rules.py": {"ROUNDING": "numerics"},
    "diagnosis/unit/what_if_typed.py": {"MOST_ROWS": "size of a file"},
    "diagnosis/water/ways.py": {"WAYS": "order of the ways"},
    "service/fan/energy.py": {"WEEKS": "conversion of units"},
    "service/refrigerant/cylinder.py": {"POUND_PER_CUBIC_FOOT": "conversion of units"},
    "service/refrigerant/pump_down.py": {"AMBIENTS": "grid that is solved"},
    "service/next_readings.py": {"MOST_WAYS": "length of a list"},
    "service/visits.py": {"MOST_NAMED": "length of a list"},
    "findings/fan.py": {"JOULES_PER_KWH": "conversion of units"},
    "findings/refrigerant/inventory.py": {"TEN_FEET": "conversion of units"},
}
"""Module-level numbers of the layers that decide, each with what it is instead of a threshold."""

LAYOUT = {
    "report/method.py",
    "report/figures.py",
    "report/found.py",
    "report/html.py",
    "report/memo.py",
    "report/readings.py",
    "report/sections/what_was_found.py",
    "panels/air.py",
    "panels/fan.py",
    "panels/inventory.py",
    "panels/unit_field.py",
    "panels/water.py",
}
"""Sizes of pages, and ends of what sliders and boxes of a panel take."""


def numbers(source: str) -> set[str]:
    """Names of module-level constants whose value holds a number other than 0, 1 or -1."""
    found = set()
    for node in ast.parse(source).body:
        if isinstance(node, ast.Assign):
            targets, value = node.targets, node.value
        elif isinstance(node, ast.AnnAssign) and node.value is not None:
            targets, value = [node.target], node.value
        else:
            continue
        names = [n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name)]
        if isinstance(value, ast.Call) and isinstance(value.func, ast.Name) and value.func.id == "range":
            continue  # names counted through
        held = [
            n.value for n in ast.walk(value) if isinstance(n, ast.Constant) and type(n.value) in (int, float)
        ]
        if any(name.strip("_").isupper() for name in names) and set(held) - {0, 1}:
            found.update(names)
    return found


def strays(package: Path) -> set[str]:
    """Constants outside practice that are not on the list."""
    return {
        f"{path.relative_to(package).as_posix()}: {name}"
        for layer in LAYERS
        for path in sorted((package / layer).rglob("*.py"))
        if (key := path.relative_to(package).as_posix()) not in LAYOUT
        for name in numbers(path.read_text("utf-8")) - set(NO_THRESHOLDS.get(key, ()))
    }


def test_no_threshold_stands_outside_practice():
    assert strays(PACKAGE) == set()


def test_a_threshold_beside_practice_is_seen(tmp_path):
    module = tmp_path / "diagnosis" / "gates.py"
    module.parent.mkdir()
    module.write_text("ENOUGH_AIR = 0.85\n", "utf-8")
    assert strays(tmp_path) == {"diagnosis/gates.py: ENOUGH_AIR"}


def test_list_of_other_numbers_names_no_more_than_stands():
    for key, names in NO_THRESHOLDS.items():
        assert set(names) <= numbers((PACKAGE / key).read_text("utf-8")), key
    for key in LAYOUT:
        assert numbers((PACKAGE / key).read_text("utf-8")), key


def test_no_name_of_practice_stands_twice():
    names = Counter(name for path in practice_page.modules() for name in _names(path))
    assert [name for name, count in names.items() if count > 1] == []


def _names(path: Path) -> set[str]:
    return {row.name.split(",")[0] for row in practice_page.rows(path.read_text("utf-8"))}


def test_every_number_of_practice_is_used():
    others = (path for path in PACKAGE.rglob("*.py") if path.relative_to(PACKAGE).parts[0] != "practice")
    used = {word for path in others for word in re.findall(r"\b[A-Z][A-Z0-9_]+\b", path.read_text("utf-8"))}
    assert {name for path in practice_page.modules() for name in _names(path)} - used == set()


def test_practice_page_is_up_to_date():
    assert practice_page.PAGE.read_text("utf-8") == practice_page.page(), (
        "run python -m tests.regenerate practice_page"
    )


def test_a_published_number_names_its_source():
    with pytest.raises(ValueError, match="where it is from"):
        number("3 degF", "temperature_difference", PUBLISHED)
    with pytest.raises(ValueError, match="no range"):
        span("60 %", "20 %", "fraction", PRACTICE)


def test_a_number_says_below_it_what_it_decides():
    line = 'HALF_WIDTH = number("3 degF", "temperature_difference", PRACTICE)\n'
    assert [row.what for row in practice_page.rows(line + '"""Half width of a target."""\n')] == [
        "Half width of a target"
    ]
    with pytest.raises(ValueError, match="HALF_WIDTH: say below it"):
        list(practice_page.rows(line))
