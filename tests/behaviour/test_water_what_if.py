"""The budget with settings other than found: what was seen as found confirms none of them."""

import pytest

from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.water.budget import weigh
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.diagnosis.water.water_case import changed
from hvaccalc.findings.water import amount_text
from hvaccalc.job.load import job_from_text
from hvaccalc.panels.water import lines
from tests.behaviour import jobs
from tests.behaviour.jobs import job_text, one, why
from tests.behaviour.test_water import BASE, budget

FREE = {"visit.signs.drain_flow": "free", "visit.signs.tested_with_fan": "full"}
DRY = {"visit.signs.trap": "dry", "visit.signs.drain_air": "drawn in", "visit.signs.pan_water": "standing"}


def test_water_standing_in_the_pan_is_not_overruled_by_a_drain_that_ran_free():
    """Both were seen: one of them does not hold for the whole time, so neither clears the rim."""
    assert budget(FREE).weighed["pan_overflow"].text == Ability.CANNOT
    one = budget(FREE | {"visit.signs.pan_water": "standing"}).weighed["pan_overflow"]
    assert one.text == Ability.CANNOT_TELL and "yet water stood in the pan" in why(one)


@pytest.mark.parametrize("path", ["draw through", "blow through"])
def test_without_suction_no_trap_holds_water_back(path):
    """Hydrostatics: no head on the pan, none held; and no air goes through the drain."""
    sign = "drawn in" if path == "draw through" else "blown out"
    suction = "1.2 inH2O" if path == "draw through" else "-1.2 inH2O"
    typed = {"unit.air_path": path, "visit.signs.drain_air": sign, "unit.drain.pan_suction": suction}
    found = budget(DRY | typed)
    assert found.weighed["trap"].text == Ability.CAN
    still = weigh(changed(found.case, suction=0.0)).weighed["trap"]
    assert still.text == Ability.CANNOT and still.mechanism.band.high == 0.0
    assert weigh(changed(found.case, suction=300.0)).weighed["trap"].text == Ability.CAN


def test_signs_confirm_no_suction_too_weak_for_them():
    """5 Pa hold 0.02 in of water and draw air at 2.4 m/s: neither fills a pan nor lifts a drop."""
    weak = weigh(changed(budget(DRY).case, suction=5.0)).weighed["trap"]
    assert weak.text == Ability.CANNOT_TELL and not weak.mechanism.confirmed


def test_what_may_add_to_another_way_is_not_told_as_excluded():
    """A crack wets the floor below and not the filters; ice over the pan's edge wets both."""
    hall = jobs.demo()
    leak, said = hall.water.weighed["pan_leak"], one(hall, "water.pan_leak").statement
    assert leak.mechanism.places < hall.water.seen.places <= hall.water.weighed["melt"].mechanism.places
    assert "cannot by itself" in said and "may add" in said
    dry = one(hall, "water.condensate").statement
    assert "cannot (" in dry and "by itself" not in dry


def test_what_is_not_fitted_brings_nothing():
    found = budget({"visit.signs.pump": "none", "visit.signs.hot_water_coil": "none"})
    for name in ("pump", "hot_water_coil"):
        assert amount_text(found, found.weighed[name], "us") == "nothing"


def test_a_pan_that_stands_though_the_suction_holds_none_is_told():
    """1.2 in of suction under a sealed trap of 3 in hold nothing; somebody saw it stand."""
    stands = {"visit.signs.trap": "sealed", "visit.signs.pan_water": "standing"}
    said = one(Analysis(job_from_text(job_text(stands, base=BASE)), 64), "trap.standing_water").statement
    assert "yet water was seen standing there" in said
    found = budget(stands)
    assert any(
        "As found".lower() in line and "the suction holds none, yet" in line for line in lines(found, "us")
    )
    lower = lines(weigh(changed(found.case, suction=100.0)), "us")
    assert lower[0].startswith("With these settings") and any(
        "with these settings" in line for line in lower[1:]
    )


def test_drain_and_trap_are_told_in_sentences():
    """Neither suction nor seal typed, a drain seen slow: what is not known is said once, in words."""
    bare = {"unit.drain.pan_suction": None, "unit.drain.trap_seal": None, "unit.drain.trap": "present"}
    told = " ".join(lines(budget(bare | {"visit.signs.drain_flow": "slow"}), "us"))
    assert "needs cannot be told while the suction at the pan is not known" in told
    assert "its seal was not noted" in told and "needs not known" not in told
    assert "seen slow, so what it carries now is not known" in told
    level = lines(weigh(changed(budget(bare).case, drain_slope=0.0)), "us")
    assert any("a line without fall carries nothing" in line for line in level)
