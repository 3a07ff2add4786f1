"""What no part of the package uses is deleted, or stands here with the reason why it is kept."""

import ast
import json
import re
from collections import Counter
from pathlib import Path

from tests.discovery import ROOT

AHEAD_OF_USE = {
    *("wet_effectiveness_total", "fin_area", "retained_by_area", "retention_at", "rested_coil"),
    *("outlet_capacity", "auxiliary_pan_fits", "suction_of_blocked_coil", "full_of_liquid", "tuned"),
    *(
        "running_speed",
        "belt_length",
        "voltage_unbalance",
        "shaft_power",
        "part_load_power",
    ),
    *("lines_for_side", "mean_velocity", "wet_bulb_branch", "drag_coefficient", "temperature_at_elevation"),
    *("retained_diameter_under_drag", "retained_diameter_on_slope"),
    *("required_resistance", "r_value", "saturation_pressure_over_ice"),
    "true_state",
}
"""Laws with tests of their own, for a reading or a panel to come."""

OFFERED = {
    "humidity_ratio_from_enthalpy",
    "save_job",
    "schema_reference",
    "delta_degF",
    "psia",
    "FOOT",
    "COMPONENTS",
}
"""For who writes programs on the package, by the names that its pages promise."""


def names_of(text: str) -> tuple[set[str], Counter[str]]:
    """Public names that a module defines at its top, and how often each name is used in it."""
    tree = ast.parse(text)
    used: Counter[str] = Counter()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            used[node.id] += 1
        elif isinstance(node, ast.Attribute):
            used[node.attr] += 1
    defined = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not _command(node):
            defined.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            defined |= {target.id for target in targets if isinstance(target, ast.Name)}
    return {name for name in defined if not name.startswith("_")}, used


def _command(node: ast.FunctionDef | ast.ClassDef) -> bool:
    """Whether a decorator hands it to the command line."""
    return any("command" in ast.unparse(one) or "callback" in ast.unparse(one) for one in node.decorator_list)


def unused(package: Path, notebooks: Path) -> set[str]:
    """Public names that neither the package nor a notebook uses."""
    defined: set[str] = set()
    used: Counter[str] = Counter()
    for path in package.rglob("*.py"):
        own, others = names_of(path.read_text("utf-8"))
        defined |= own
        used += others
    for path in notebooks.glob("*.ipynb"):
        for cell in json.loads(path.read_text("utf-8"))["cells"]:
            used.update(re.findall(r"\w+", "".join(cell["source"])))
    return {name for name in defined if not used[name]}


def test_nothing_is_kept_without_a_reason() -> None:
    assert unused(ROOT / "hvaccalc", ROOT / "notebooks") - AHEAD_OF_USE - OFFERED == set()


def test_no_reason_outlives_what_it_was_for() -> None:
    assert (AHEAD_OF_USE | OFFERED) - unused(ROOT / "hvaccalc", ROOT / "notebooks") == set()


def test_a_name_that_nobody_uses_is_seen(tmp_path: Path) -> None:
    (tmp_path / "one.py").write_text(
        "LIMIT = 3\n\n\ndef law(x):\n    return x\n\n\ndef other():\n    return law(1)\n"
    )
    assert unused(tmp_path, tmp_path) == {"LIMIT", "other"}
