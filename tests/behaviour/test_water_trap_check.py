"""Trap check, water budget and repair agree. Heights by the published rules: suction head + 1 in, half of it
as seal; blow through, pressure + 1/2 in of seal. 1 in w.c. of suction holds 1 in of water."""

import pytest

from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.water.mechanism import Ability, Met
from hvaccalc.diagnosis.water.mechanisms_pan import PanReason
from hvaccalc.job.load import job_from_text
from hvaccalc.report.blocks import Item, Items
from hvaccalc.report.found import Found
from hvaccalc.report.sections.permanent_repair import permanent
from hvaccalc.report.sections.water import _trap_rows as trap_rows
from hvaccalc.report.sections.water import ruled_out_plainly, water
from tests.behaviour.jobs import job_text, why
from tests.behaviour.test_water import BASE, budget

INCH = 0.0254
PRESENT = {"unit.drain.trap": "present"}
SHORT = PRESENT | {
    "unit.drain.trap_height": "1 in",
    "unit.drain.trap_seal": "1 in",
    "unit.drain.pan_suction": "1.6 inH2O",
    "unit.pan.depth": "2 in",
    "visit.signs.pan_water": "standing",
    "visit.signs.drain_flow": "free",
    "visit.signs.tested_with_fan": "off",
}
BLOWS = PRESENT | {
    "unit.air_path": "blow through",
    "unit.drain.pan_suction": "-0.9 inH2O",
    "unit.drain.trap_height": "3 in",
    "unit.drain.trap_seal": "1 in",
}


def test_a_short_trap_under_a_standing_pan_is_not_cleared():
    """1.6 - 1 = 0.6 in stand, 1.6 + 1 = 2.6 in are needed: 1.6 in are lacking, whatever the pan's depth."""
    seen = budget(SHORT)
    one = seen.weighed["trap"]
    assert seen.trap.verdict == Met.NOT_MET
    assert one.text != Ability.CANNOT and "trap" not in seen.ruled_out
    for word in ("standing in the pan", "0.60 in", "lacks 1.60 in", "seal of 1.00 in", "loaded filters"):
        assert word in why(one)
    assert "the trap" not in " ".join(ruled_out_plainly(seen))


def test_the_pan_drains_is_never_said_of_a_standing_pan():
    seen = budget(SHORT | {"unit.drain.trap_height": "4 in", "unit.drain.trap_seal": "2 in"})
    assert seen.weighed["trap"].text == Ability.CANNOT_TELL
    assert all("the pan drains" not in why(one) for one in seen.weighed.values())


def test_an_assumed_pan_depth_clears_nothing():
    """0.2 in of suction fills no pan of 1.5 to 3 in, but nobody typed its depth or the trap's height."""
    little = {"unit.drain.pan_suction": "0.2 inH2O", "unit.drain.trap_height": None}
    little |= {"unit.drain.trap_seal": None} | PRESENT
    assert budget(little | {"unit.pan.depth": None}).weighed["trap"].text == Ability.CANNOT_TELL
    assert budget(little | {"unit.pan.depth": "2 in"}).weighed["trap"].text == Ability.CANNOT


def test_a_trap_that_is_high_enough_is_still_cleared():
    assert budget({"visit.signs.trap": "sealed"}).weighed["trap"].text == Ability.CANNOT


@pytest.mark.parametrize("test", [{"fan": "off"}, {"fan": "full", "door": "open"}])
def test_a_free_drain_with_the_fan_off_does_not_clear_the_overflow(test):
    told = {f"visit.signs.tested_with_{key}": word for key, word in test.items()}
    one = budget({"visit.signs.drain_flow": "free"} | told).weighed["pan_overflow"]
    assert one.text == Ability.CANNOT_TELL
    assert "fan at full speed and the door closed" in why(one)
    full = {"visit.signs.tested_with_fan": "full", "visit.signs.tested_with_door": "closed"}
    assert budget({"visit.signs.drain_flow": "free"} | full).weighed["pan_overflow"].text == Ability.CANNOT


@pytest.mark.parametrize(
    ("changes", "height", "seal", "verdict"),
    [
        (BLOWS, Met.MET, Met.NOT_MET, Met.NOT_MET),
        (BLOWS | {"unit.drain.trap_seal": "1.5 in"}, Met.MET, Met.MET, Met.MET),
        (SHORT | {"unit.drain.trap_height": "3 in"}, Met.MET, Met.NOT_MET, Met.NOT_MET),
        (
            SHORT | {"unit.drain.trap_height": "3 in", "unit.drain.trap_seal": "1.4 in"},
            Met.MET,
            Met.MET,
            Met.MET,
        ),
        (
            SHORT | {"unit.drain.trap_height": "3 in", "unit.drain.trap_seal": None},
            Met.MET,
            Met.NOT_KNOWN,
            Met.NOT_KNOWN,
        ),
    ],
)
def test_the_verdict_takes_height_and_seal(changes, height, seal, verdict):
    """Blow through 0.9 + 0.5 = 1.4 in of seal; draw through (1.6 + 1) / 2 = 1.3 in."""
    trap = budget(changes).trap
    assert (trap.height_met, trap.seal_met, trap.verdict) == (height, seal, verdict)


def test_both_heights_are_told():
    analysis = Analysis(job_from_text(job_text(BLOWS, base=BASE)), 64)
    said = next(f.statement for f in analysis.findings if f.key == "trap.required_height")
    assert "height 3.00 in (enough), seal 1.00 in (not enough)" in said
    assert "present, water in it not seen: not enough" in said


def test_a_blow_through_seal_that_is_short_is_not_cleared():
    seen = budget(BLOWS)
    assert seen.weighed["trap"].text != Ability.CANNOT and "trap" not in seen.ruled_out


def repairs(found: Found) -> list[Item]:
    """Lines of the permanent repair, before what is to be quoted."""
    return list(next(block for block in permanent(found) if isinstance(block, Items)).items)


@pytest.mark.parametrize("plain", [True, False])
def test_a_trap_that_fails_is_put_right_and_a_larger_line_is_advice(plain):
    """1 in of pipe meets the code, and is below the design table's 1-1/4 in for 15 tons: for the file."""
    analysis = Analysis(job_from_text(job_text(SHORT, base=BASE)), 64)
    told = repairs(Found(analysis, plain=plain))
    assert [item.lead for item in told].count("Trap.") == 1
    trap = next(item.text for item in told if item.lead == "Trap.")
    assert "2.60 in of height and 1.30 in of seal" in trap
    assert analysis.water.drain.hydraulic == Met.NOT_MET
    assert "Drain line." not in {item.lead for item in told}
    advice = [item.text for item in told if item.lead == "Advice."]
    assert len(advice) == (not plain) and all("suits this unit is 1.25 in" in text for text in advice)


def test_a_trap_in_which_nobody_saw_water_is_not_called_sealed():
    row = next(iter(trap_rows(budget(SHORT).trap, "us")))
    assert row[1] == "present, water in it not seen" and row[3] == Met.NOT_KNOWN
    seen = budget(SHORT | {"visit.signs.trap": "sealed"})
    assert next(iter(trap_rows(seen.trap, "us")))[1] == "sealed"
    assert not seen.seen.sights["trap"].disagrees


@pytest.mark.parametrize("plain", [True, False])
def test_no_drain_work_is_not_said_beside_a_trap_to_be_rebuilt(plain):
    """Water blown off the coil needs no drain work, but a trap that fails its check does."""
    fast = SHORT | {
        "visit.signs.water_on": ["duct"],
        "job.water_when": ["while cooling"],
        "unit.coil.face_area": "8 ft2",
        "visit.signs.pan_water": None,
    }
    told = repairs(Found(Analysis(job_from_text(job_text(fast, base=BASE)), 64), plain=plain))
    assert {"Water blown off the coil.", "Trap."} <= {item.lead for item in told}
    said = " ".join(item.text for item in told)
    assert "no drain work" not in said and "needs no work" not in said


def test_the_customer_is_told_height_and_seal():
    analysis = Analysis(job_from_text(job_text(BLOWS, base=BASE)), 64)
    assert "1.40 in of height and 1.40 in of seal." in str(water(Found(analysis, plain=True)))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"unit.drain.pan_suction": None}, PanReason.SUCTION_NOT_KNOWN),
        ({"unit.drain.trap": None}, PanReason.TRAP_NOT_LOOKED_AT),
        ({"unit.drain.trap_height": None}, PanReason.HEIGHT_AND_DEPTH_NOT_KNOWN),
    ],
)
def test_only_what_is_not_known_is_called_so(changes, told):
    """With every height typed it is the suction, or a look at the trap, that is missing."""
    heights = {"unit.drain.trap_height": "4 in", "unit.drain.trap_seal": "2 in", "unit.pan.depth": None}
    (weak,) = budget(SHORT | heights | changes).weighed["trap"].mechanism.doubts
    unknown = {
        PanReason.SUCTION_NOT_KNOWN,
        PanReason.TRAP_NOT_LOOKED_AT,
        PanReason.HEIGHT_AND_DEPTH_NOT_KNOWN,
    }
    assert {part.code for part in weak.values["parts"]} & unknown == {told}
