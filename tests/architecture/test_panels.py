"""Panels solve by a kept list of functions, pictures draw result types; neither decides."""

import ast
import importlib
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import get_origin

import pytest

import hvaccalc

PACKAGE = Path(hvaccalc.__file__).parent
DECIDING = ("diagnosis", "equipment", "service")
"""Layers whose types may be shown, and whose functions and constants decide."""

SOLVING = {
    "diagnosis.trials.air_balance": {"air_balance", "retyped", "varied"},
    "diagnosis.trials.charge_study": {"charge_study", "normal_unit", "retyped", "rules_to_choose"},
    "diagnosis.calls.call_wiring": {"wires_landed", "wiring_as_found", "wiring_trial"},
    "diagnosis.water.budget": {"weigh"},
    "diagnosis.water.water_case": {"changed"},
    "service.fan.fan_study": {"at_speed", "fan_study"},
    "service.refrigerant.inventory_study": {"at_ambient", "inventory_study", "retyped"},
    "equipment.wiring.wiring_faults": {"shown"},  # names a wire
}
DRAWING = {
    "diagnosis.readings.water_seen": {"COOLING", "OFF", "PLACES", "STOPPING"},  # heads of the columns
    "equipment.drain.trap": {"SPECIFIC_WEIGHT"},  # a suction as a height of water
    "equipment.wiring.netlist": {"device_of"},  # which box a terminal stands in
}


def sources(layer: str) -> Iterator[tuple[str, str]]:
    for path in sorted((PACKAGE / layer).rglob("*.py")):
        yield path.relative_to(PACKAGE).as_posix(), path.read_text("utf-8")


def taken(source: str) -> set[tuple[str, str]]:
    """Functions, constants and modules of the deciding layers that it imports; types are left out."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.ImportFrom) or not (node.module or "").startswith("hvaccalc."):
            continue
        module = (node.module or "").removeprefix("hvaccalc.")
        if module.split(".")[0] not in DECIDING:
            continue
        there = importlib.import_module(f"hvaccalc.{module}")
        for alias in node.names:
            one = getattr(there, alias.name)
            if not inspect.isclass(one) and get_origin(one) is None:
                found.add((module, alias.name))
    return found


def compares_severity(source: str) -> bool:
    """Whether it compares a severity, or ranks one."""
    nodes = list(ast.walk(ast.parse(source)))
    compared = [side for node in nodes if isinstance(node, ast.Compare) for side in ast.walk(node)]
    named = {"severity", "rank"}
    return any(isinstance(side, ast.Attribute) and side.attr in named for side in compared)


def takes_a_threshold(source: str) -> bool:
    """Whether it imports a number of practice, which only a decision needs."""
    nodes = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom))
    return any((node.module or "").startswith("hvaccalc.practice") for node in nodes)


@pytest.mark.parametrize(("layer", "kept"), [("panels", SOLVING), ("pictures", DRAWING)])
def test_nothing_but_types_and_the_kept_list_is_taken_from_below(layer: str, kept: dict) -> None:
    wanted = {(module, name) for module, names in kept.items() for name in names}
    found = {one for _, source in sources(layer) for one in taken(source)}
    assert found == wanted


def test_panels_compare_no_severity_and_take_no_threshold() -> None:
    assert [name for name, source in sources("panels") if compares_severity(source)] == []
    assert [name for name, source in sources("panels") if takes_a_threshold(source)] == []


def test_the_rule_sees_what_it_forbids() -> None:
    assert taken("from hvaccalc.diagnosis.charge.charge_rules import ROLES, ChargeRule, charge_rule") == {
        ("diagnosis.charge.charge_rules", "ROLES"),
        ("diagnosis.charge.charge_rules", "charge_rule"),
    }
    assert taken("from hvaccalc.equipment.wiring import wiring_faults")
    assert compares_severity("worst = [f for f in found if f.severity >= Severity.ACT]")
    assert compares_severity("if f.severity.rank > 1: stop()")
    assert not compares_severity("said = f'{f.severity}: {f.statement}'")
    assert takes_a_threshold("from hvaccalc.practice.statements import NO_WATER")
