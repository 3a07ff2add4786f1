"""What is quoted follows from the repairs and from nothing else."""

from __future__ import annotations

import pytest

from hvaccalc.service.repair.repair_rows import ROWS, Opens, Part, Repair
from hvaccalc.service.repair.repairs import opened
from tests.behaviour.test_repairs import (
    DEMOS,
    DOES_NOT_PUMP,
    FULL,
    NOTHING_WRONG,
    OVERFED,
    SHORT,
    STARVED,
    demo,
    job,
)

LEAK = {Part.LEAK_SEARCH, Part.LEAK_REPAIR}
GAS = {Part.REFRIGERANT, Part.RECOVERY, Part.PRESSURE_AND_VACUUM}


@pytest.mark.parametrize("repair", Repair)
def test_gas_is_quoted_where_the_circuit_is_emptied_and_nowhere_else(repair: Repair) -> None:
    row = ROWS[repair]
    assert (row.opens is Opens.EMPTIED) == bool(GAS & set(row.parts))
    assert (row.opens is Opens.EMPTIED) == bool(LEAK & set(row.parts))


def every_analysis():
    yield from (demo(name) for name in DEMOS)
    yield from (job(*changes) for changes in (SHORT, FULL, DOES_NOT_PUMP, STARVED, OVERFED, NOTHING_WRONG))


def test_nothing_is_quoted_that_no_repair_names() -> None:
    for analysis in every_analysis():
        for line in analysis.quote:
            assert line.needed in analysis.repairs.called
            assert line.part in line.needed.row.parts
        emptied = {line.needed.circuit for line in analysis.quote if line.part is Part.REFRIGERANT}
        assert emptied == set(opened(analysis.repairs.called))


@pytest.mark.parametrize(
    ("changes", "parts"),
    [
        # Too much of it is weighed out: no leak is looked for, no gas is bought.
        (FULL, {Part.WEIGHING_OUT}),
        # High suction with a low head is no shortage.
        (DOES_NOT_PUMP, set()),
        (STARVED, {Part.DRIER_CHANGE}),
        (OVERFED, set()),
    ],
)
def test_what_is_no_leak_is_not_quoted_as_one(changes, parts) -> None:
    assert {line.part for line in job(*changes).quote} == parts


def test_the_gas_of_a_leak_is_the_charge_of_its_circuit() -> None:
    """34 lb by the demo's label, 0.4536 kg to the pound, and what stays in the hoses."""
    (gas,) = (line for line in demo("library_hall").quote if line.part is Part.REFRIGERANT)
    assert gas.unit == "kg" and str(gas.cause) == "low_charge:2" and gas.gas == "R-410A"
    low, likely, high = gas.quantity.low, gas.quantity.value, gas.quantity.high
    assert low < 34 * 0.45359 < high and likely == pytest.approx(34 * 0.45359, rel=0.01)
    assert gas.if_reused is not None and gas.if_reused.value < likely


def test_the_form_that_a_program_reads() -> None:
    plain = demo("library_hall").as_dict()
    assert {one["cause"] for one in plain["repairs"]} == {None, "low_charge:2"}
    assert all(set(one) == {"cause", "repair", "scope", "who", "today"} for one in plain["repairs"])
    keys = {"cause", "repair", "item", "quantity", "unit", "low", "likely", "high", "currency"}
    assert all(set(one) == keys and one["currency"] is None for one in plain["quote"])
    assert {one["repair"] for one in plain["quote"]} <= {one["repair"] for one in plain["repairs"]}
    keys = {"cause", "calls", "quantity", "target", "low", "high", "unit", "kind"}
    assert plain["proof"] and all(set(one) == keys for one in plain["proof"])
