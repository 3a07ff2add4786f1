"""The budget with settings other than found: what was seen as found confirms none of them."""

import pytest

from hvaccalc import analyse, load_job
from hvaccalc.diagnosis.water import CAN, CANNOT, CANNOT_TELL, weigh
from hvaccalc.diagnosis.water_case import changed
from hvaccalc.resources import data_path
from tests.behaviour.jobs import one
from tests.behaviour.test_water import budget

FREE = {"visit.signs.drain_flow": "free", "visit.signs.tested_with_fan": "full"}
DRY = {"visit.signs.trap": "dry", "visit.signs.drain_air": "drawn in", "visit.signs.pan_water": "standing"}


def test_water_standing_in_the_pan_is_not_overruled_by_a_drain_that_ran_free():
    """Both were seen: one of them does not hold for the whole time, so neither clears the rim."""
    assert budget(FREE).weighed["pan_overflow"].text == CANNOT
    one = budget(FREE | {"visit.signs.pan_water": "standing"}).weighed["pan_overflow"]
    assert one.text == CANNOT_TELL and "yet water stood in the pan" in one.why


@pytest.mark.parametrize("path", ["draw through", "blow through"])
def test_without_suction_no_trap_holds_water_back(path):
    """Hydrostatics: no head on the pan, none held; and no air goes through the drain."""
    sign = "drawn in" if path == "draw through" else "blown out"
    suction = "1.2 inH2O" if path == "draw through" else "-1.2 inH2O"
    typed = {"unit.air_path": path, "visit.signs.drain_air": sign, "unit.drain.pan_suction": suction}
    found = budget(DRY | typed)
    assert found.weighed["trap"].text == CAN
    still = weigh(changed(found.case, suction=0.0)).weighed["trap"]
    assert still.text == CANNOT and still.mechanism.band.high == 0.0
    assert weigh(changed(found.case, suction=300.0)).weighed["trap"].text == CAN


def test_signs_confirm_no_suction_too_weak_for_them():
    """5 Pa hold 0.02 in of water and draw air at 2.4 m/s: neither fills a pan nor lifts a drop."""
    weak = weigh(changed(budget(DRY).case, suction=5.0)).weighed["trap"]
    assert weak.text == CANNOT_TELL and not weak.mechanism.confirmed


def test_what_may_add_to_another_way_is_not_told_as_excluded():
    """A crack wets the floor below and not the filters; ice over the pan's edge wets both."""
    hall = analyse(load_job(data_path("jobs", "library_hall.toml")))
    leak, said = hall.water.weighed["pan_leak"], one(hall, "water.pan_leak").statement
    assert leak.mechanism.places < hall.water.seen.places <= hall.water.weighed["melt"].mechanism.places
    assert "cannot by itself" in said and "may add" in said
    dry = one(hall, "water.condensate").statement
    assert "cannot (" in dry and "by itself" not in dry
