"""A pressure read, its saturation and the outdoor air have one home each; nobody computes them beside it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import numpy as np

import hvaccalc
from hvaccalc.diagnosis.readings import saturation
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.job.load import job_from_text

PACKAGE = Path(hvaccalc.__file__).parent
ABOVE_EQUIPMENT = ("diagnosis", "service", "words", "findings", "pictures", "report", "panels")

SATURATION = {
    "diagnosis/readings/saturation.py",
    "diagnosis/readings/rated_unit.py",  # of the rating's own pressure, which nobody read
    "diagnosis/condition.py",  # how far dew and bubble of ice lie apart
    "diagnosis/unit/readings_of_state.py",  # of a modelled state, which nobody read either
}
COLUMNS = {
    "suction_pressure": "diagnosis/readings/saturation.py",
    "liquid_pressure": "diagnosis/readings/saturation.py",
    "discharge_pressure": "diagnosis/readings/saturation.py",
    "outdoor_dry_bulb": "diagnosis/readings/draws.py",
}


def modules() -> Iterator[tuple[str, str]]:
    for layer in ABOVE_EQUIPMENT:
        for path in sorted((PACKAGE / layer).rglob("*.py")):
            yield path.relative_to(PACKAGE).as_posix(), path.read_text("utf-8")


def asks_saturation(source: str) -> bool:
    """Whether it asks a refrigerant for dew or bubble of a pressure."""
    names = {"dew_temperature", "bubble_temperature"}
    return any(isinstance(node, ast.Attribute) and node.attr in names for node in ast.walk(ast.parse(source)))


def columns_taken(source: str) -> set[str]:
    """Keys of readings that it draws itself."""
    calls = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call))
    return {
        argument.value
        for call in calls
        if isinstance(call.func, ast.Attribute) and call.func.attr == "column"
        for argument in call.args
        if isinstance(argument, ast.Constant) and argument.value in COLUMNS
    }


def test_saturation_of_a_pressure_is_asked_in_one_place():
    assert {name for name, source in modules() if asks_saturation(source)} == SATURATION
    assert asks_saturation("superheat = gas - fluid.dew_temperature(suction)")


def test_pressures_and_outdoor_air_are_drawn_in_one_place():
    strays = {(name, key) for name, source in modules() for key in columns_taken(source)}
    assert strays == {(home, key) for key, home in COLUMNS.items()}
    assert columns_taken('draws.column(where, "suction_pressure")') == {"suction_pressure"}


def test_what_stands_for_air_that_was_not_read_is_drawn_in_one_place():
    homes = {name for name, source in modules() if "UNREAD_RETURN" in source or "UNREAD_OUTDOOR" in source}
    assert homes == {"diagnosis/readings/draws.py"}


JOB = """
format = 1
[job]
title = "t"
elevation = "0 ft"
[unit]
rated_capacity = "240 kBtu/h"
rated_airflow = "8000 cfm"
[circuit.1]
refrigerant = "R-410A"
[[visit]]
[[visit.condition]]
[visit.condition.circuit.1]
suction_pressure = "118.0 psig"
"""


def test_a_pressure_left_out_is_masked_and_never_computed_again():
    draws, where = Draws(job_from_text(JOB), 64), Where(1, 1, "1")
    once = saturation.saturations(draws, where).suction
    masked = draws.without(frozenset({(where, "suction_pressure")}))
    assert saturation.saturations(masked, where).suction is None
    assert saturation.saturations(masked.without(frozenset()), where).suction is once


def test_the_error_of_the_property_is_in_every_saturation():
    """118.0 psig is 40 °F (condensing-unit service manual 48478A006, table 5; the library 0.4 psi higher)."""
    draws = Draws(job_from_text(JOB), 512)
    read = saturation.saturations(draws, Where(1, 1, "1")).suction
    assert abs(read.dew[0] * 1.8 - 459.67 - 40.0) < 0.25
    error = draws.saturation_error("R-410A")
    for known in (read.dew, read.bubble, read.moved(1e4).dew):
        assert np.corrcoef(known[1:] - read.fluid.dew_temperature(read.pressure)[1:], error[1:])[0, 1] > 0.9
    # Gas exactly at its dew stays gas: the enthalpy follows the superheat, which the error shifts too.
    assert np.isfinite(read.vapour(read.dew).enthalpy).all()
