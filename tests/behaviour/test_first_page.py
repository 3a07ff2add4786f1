"""What the owner reads first: every item a whole sentence, nothing that the file copy acts on left out."""

import pytest

from hvaccalc.report import memo
from hvaccalc.report.blocks import Heading, Item, Items
from hvaccalc.service.repair.repair_rows import Repair
from tests.behaviour.jobs import HUMID, analysis_of, blocks_of, job_text

AT_REST = {
    "condition.calls": [],
    "condition.compressors_running": [],
    "air.airflow": None,
    "air.outdoor_dry_bulb": "80 degF",
    "air.supply_dry_bulb": None,
    **{f"{name}.compressor_current": None for name in "12"},
    "1.suction_temperature": None,
    "1.liquid_temperature": None,
    "2.suction_pressure": None,
    "2.suction_temperature": None,
    "2.liquid_pressure": None,
    "2.liquid_temperature": None,
}


def first_page(changes: dict) -> tuple[Item, ...]:
    """Items of the first list of the customer's copy."""
    blocks = blocks_of(analysis_of(job_text(changes)), "customer")
    return next(block.items for block in blocks if isinstance(block, Items))


@pytest.mark.parametrize(
    ("pressure", "says"), [("320 psig", "air or a wrong refrigerant"), ("60 psig", "all but empty")]
)
def test_a_circuit_at_rest_that_cannot_be_comes_first(pressure: str, says: str) -> None:
    """R-410A stands at about 235 psig in air of 80 °F (saturation card)."""
    both = {"1.suction_pressure": pressure, "1.liquid_pressure": pressure}
    assert says in first_page(AT_REST | both)[0].text


def test_a_compressor_above_its_plate_is_a_whole_sentence() -> None:
    items = first_page({"circuit.1.rated_load_current": "15 A"})
    assert any("% of the current on its plate." in item.text for item in items)
    assert all(item.text.rstrip().endswith((".", "!", ")")) for item in items)


@pytest.mark.parametrize(
    ("typed", "why"), [("R-410B", ", R-410B, is not carried"), ("unknown", " is not known")]
)
def test_a_circuit_that_was_left_out_is_said_and_never_in_order(typed, why):
    analysis = analysis_of(job_text({"circuit.2.refrigerant": typed}))
    told = str(blocks_of(analysis, "customer"))
    assert f"Circuit 2's readings could not be used: its refrigerant{why}." in told
    assert "Nothing out of order" not in told
    assert "circuit 2 was not read" not in told


WORN = HUMID | {"1.suction_pressure": "155 psig", "1.liquid_pressure": "265 psig"}
WORN |= {"1.suction_temperature": "66 degF", "1.liquid_temperature": "76 degF"}  # no liquid comes back


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_without_water_the_page_speaks_of_what_was_found_and_says_once_that_none_was_noted(audience):
    """A drain that was typed is no water that was seen."""
    analysis = analysis_of(job_text(WORN | {"unit.drain.size": "1 in", "visit.signs.drain_flow": "free"}))
    told = str(blocks_of(analysis, audience))
    assert "The compressor pumps too little" in told
    assert told.count("No water was noted") == 1
    for way in ("Where the water comes from", "What fits the water", "None stands out", "in this water"):
        assert way not in told
    assert Repair.FIND_GUARD not in {one.repair for one in analysis.repairs.called}


def test_the_cause_comes_before_the_chance_of_freezing():
    """88 psig is 26 °F on the card, 40 °F in the other circuit. 34 °F of superheat and 2 °F of subcooling: a
    shortage."""
    short = {
        "1.suction_pressure": "88 psig",
        "1.suction_temperature": "60 degF",
        "1.liquid_pressure": "285 psig",
        "1.liquid_temperature": "92 degF",
    }
    items = first_page(HUMID | short | {"air.return_dry_bulb": "70 degF"})
    chances = [n for n, item in enumerate(items) if "chance" in item.text]
    assert chances and all(n > 0 for n in chances)
    assert "Cooling circuit 1" in items[0].text or "circuit 1" in items[0].text


def test_a_flammable_alarm_is_said_once_in_each_copy():
    alarm = analysis_of(job_text({"circuit.1.refrigerant": "R-454B", "signs.leak_detector": "alarm"}))
    for audience in memo.AUDIENCES:
        assert str(blocks_of(alarm, audience)).count("touch no switch") == 1


@pytest.mark.parametrize("reader", memo.AUDIENCES)
def test_a_target_that_was_typed_is_not_said_to_be_unknown(reader: str) -> None:
    """The band lies across the limit about the target: both copies say so, of no label that nobody read."""
    text = str(blocks_of(analysis_of(job_text(HUMID | {"1.liquid_temperature": "91 degF"})), reader))
    assert "from these readings" in text
    assert "what its label asks for is not known" not in text and "Without the label" not in text


def test_a_pressure_typed_absolute_is_asked_for_on_the_first_page() -> None:
    """133 psia is what a gauge shows as 118 psig at sea level: nobody can see which was meant."""
    absolute = {"1.suction_pressure": "132.7 psia", "1.liquid_pressure": "331.7 psia"}
    analysis = analysis_of(job_text(HUMID | absolute))
    hint = 'Pressure typed absolute, as "132.7 psia"'
    blocks = blocks_of(analysis, "file")
    place = next(n for n, block in enumerate(blocks) if hint in str(block))
    headings = [block.text for block in blocks[:place] if isinstance(block, Heading)]
    assert headings[-1] == "What we found"
    assert hint not in str(blocks_of(analysis_of(job_text(HUMID)), "file"))
    assert hint not in str(blocks_of(analysis, "customer"))
