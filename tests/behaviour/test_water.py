"""The water budget on jobs that differ by one thing: what was seen decides, and nothing is guessed."""

import json
import math

import numpy as np
import psychrolib
import pytest

from hvaccalc import units
from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.readings.water_seen import ToldBy
from hvaccalc.diagnosis.water.budget import WaterBudget, water_budget, weigh
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.diagnosis.water.mechanisms_around import surface_rates
from hvaccalc.diagnosis.water.water_case import changed
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.job.causes import Cause, Way
from hvaccalc.job.load import job_from_text
from hvaccalc.reason import Reason
from hvaccalc.resources import data_path
from tests.behaviour.jobs import HUMID, SOUND, job_text, told, why
from tests.discovery import ROOT
from tests.studies.water import summary
from tests.water_sites import sites

INCH = 0.0254
DRAIN = {
    "unit.air_path": "draw through",
    "unit.drain.size": "1 in",
    "unit.drain.slope": "1/8 in/ft",
    "unit.drain.material": "PVC",
    "unit.drain.trap_height": "3 in",
    "unit.drain.trap_seal": "1.5 in",
    "unit.drain.pan_suction": "1.2 inH2O",
    "unit.pan.depth": "1.5 in",
    "unit.coil.face_area": "19 ft2",
}
SEEN = {
    "job.water_seen": "5 to 20 gal/day",
    "job.water_when": ["while cooling"],
    "visit.signs.water_on": ["pan rim", "cabinet floor"],
}
BASE = SOUND | HUMID | DRAIN | SEEN


COLD_COIL = {"air.fan_frequency": "36 Hz", "air.airflow": None, "1.suction_pressure": "88 psig"}


def budget(changes: dict | None = None) -> WaterBudget:
    """The budget of a job, without the freeze forecast."""
    analysis = Analysis(job_from_text(job_text(changes, base=BASE)), 128)
    found = water_budget(analysis.draws, analysis.conditions, None)
    assert found is not None
    return found


def texts(found: WaterBudget) -> dict[str, str]:
    return {name: one.text for name, one in found.weighed.items()}


# --- what was seen --------------------------------------------------------------------------------------


def test_every_way_is_weighed_in_a_fixed_order():
    assert tuple(budget().weighed) == tuple(Way)


@pytest.mark.parametrize(("pan", "verdict"), [("standing", Ability.CAN), (None, Ability.CANNOT_TELL)])
def test_a_drain_seen_slow_is_not_cleared_by_the_law_of_a_clean_one(pan, verdict):
    """1 in. of clean PVC at 1/8 in/ft carries some forty times the condensate; slime does not."""
    slow = budget({"visit.signs.drain_flow": "slow", "visit.signs.pan_water": pan})
    assert slow.weighed["pan_overflow"].text == verdict


def test_over_a_day_no_more_runs_over_than_condensate_comes():
    """A drain without fall, a coil that may freeze: its thaw overruns the drain for minutes, not all day."""
    flat = budget({"unit.drain.slope": "0 in/ft", "visit.signs.drain_flow": "free"} | COLD_COIL)
    over, made = (flat.weighed[name].mechanism.per_day[1:] for name in ("pan_overflow", "condensate"))
    assert np.nanmedian(over) <= 1.001 * np.nanmedian(made)


def test_a_visit_beats_the_table_and_both_are_kept():
    found = budget({"unit.drain.trap": "present", "visit.signs.trap": "dry", "visit.signs.pan_water": "full"})
    sight = found.seen.sights["trap"]
    assert (
        sight.words == ("dry",)
        and sight.beside == ((("present",), (Reason(ToldBy.UNIT_TABLE),)),)
        and sight.disagrees
    )
    assert found.trap.state == "dry" and texts(found)["trap"] == Ability.CAN


@pytest.mark.parametrize(
    "test, expected",
    [
        ({}, Ability.CANNOT_TELL),
        ({"visit.signs.tested_with_fan": "off"}, Ability.CANNOT_TELL),
        (
            {"visit.signs.tested_with_fan": "full", "visit.signs.tested_with_door": "open"},
            Ability.CANNOT_TELL,
        ),
        (
            {"visit.signs.tested_with_fan": "low", "visit.signs.tested_with_door": "closed"},
            Ability.CANNOT_TELL,
        ),
        ({"visit.signs.tested_with_fan": "full", "visit.signs.tested_with_door": "closed"}, Ability.CANNOT),
    ],
)
def test_a_drain_tried_with_the_fan_off_or_the_door_open_says_nothing_of_the_trap(test, expected):
    """The trap's height was not measured: only a test under suction tells, of trap and overflow both."""
    free = {
        "visit.signs.drain_flow": "free",
        "visit.signs.pour_test": "drains",
        "unit.drain.trap_height": None,
    }
    found = budget({"visit.signs.trap": "sealed"} | free | test)
    assert texts(found)["trap"] == expected
    assert texts(found)["pan_overflow"] == expected


def test_dry_pan_and_wet_filters_clear_the_pan():
    wet = {"visit.signs.water_on": ["filters"], "unit.coil.slope": "35 deg"}
    before = budget(wet | {"visit.signs.water_on": ["filters", "pan rim"]})
    found = budget(wet | {"visit.signs.pan_water": "dry", "visit.signs.filters": "wet"})
    for name in ("pan_overflow", "trap", "pan_leak", "pump"):
        assert texts(found)[name] == Ability.CANNOT and "never reached the pan" in why(found.weighed[name])
    assert "never reached" not in why(before.weighed["trap"])
    assert texts(found)["coil_drip"] != Ability.CANNOT


def test_a_film_is_no_dry_pan():
    """Water reached the pan: it excludes neither a crack nor a pump; that the pan was not full is told."""
    film = {"visit.signs.pan_water": "film", "visit.signs.filters": "wet", "unit.drain.trap_height": None}
    found = budget(film | {"job.water_when": None, "unit.pan.depth": None})
    for name in ("pan_overflow", "trap", "pan_leak", "pump"):
        assert name not in found.ruled_out and "stayed dry" not in why(found.weighed[name])
    for name in ("pan_overflow", "trap"):
        assert texts(found)[name] == Ability.CANNOT_TELL and "did not stand full" in why(found.weighed[name])


def test_a_pan_seen_dry_with_the_unit_off_tells_nothing():
    """Suction let go, the pan has emptied itself."""
    off = '[[visit.condition]]\ncalls = []\n[visit.condition.signs]\npan_water = "dry"\n'
    text = job_text({"visit.signs.trap": "dry"}, base=BASE) + off
    analysis = Analysis(job_from_text(text), 64)
    found = water_budget(analysis.draws, analysis.conditions, None)
    assert found is not None and not found.seen.pan_low and texts(found)["trap"] == Ability.CAN


def test_water_with_cooling_off_clears_all_that_needs_the_cooling():
    found = budget({"visit.signs.water_with_cooling_off": "yes", "visit.signs.water_on": ["cabinet floor"]})
    left = {name for name, text in texts(found).items() if text != Ability.CANNOT}
    assert left == {"hot_water_coil", "outside"}


def test_no_water_with_cooling_off_clears_what_never_stops():
    found = budget({"visit.signs.water_with_cooling_off": "no"})
    assert texts(found)["outside"] == texts(found)["hot_water_coil"] == Ability.CANNOT


def test_rain_alone_points_outside():
    found = budget({"job.water_when": ["rain"], "visit.signs.water_on": ["cabinet floor"]})
    assert found.dominant == "outside" and found.nothing_in_the_unit


@pytest.mark.parametrize(
    "sign, name, text",
    [
        ({"pump": "none"}, "pump", Ability.CANNOT),
        ({"pump": "stopped"}, "pump", Ability.CAN),
        ({"hot_water_coil": "dry"}, "hot_water_coil", Ability.CANNOT),
        ({"hot_water_coil": "wet"}, "hot_water_coil", Ability.CAN),
        ({"drain_flow": "blocked", "pan_water": "full"}, "pan_overflow", Ability.CAN),
        ({"drain_flow": "free"}, "pan_overflow", Ability.CANNOT_TELL),
        ({"drain_flow": "free", "tested_with_fan": "full"}, "pan_overflow", Ability.CANNOT),
        ({"pour_test": "backs up", "pan_water": "full"}, "pan_overflow", Ability.CAN),
        ({"pan_water": "dry"}, "trap", Ability.CANNOT),
        ({"pan_water": "film"}, "trap", Ability.CANNOT_TELL),
        ({"pan_water": "film", "drain_flow": "slow"}, "pan_overflow", Ability.CANNOT_TELL),
        ({"pan_water": "film", "trap": "none"}, "trap", Ability.CANNOT_TELL),
        ({"trap": "none", "pan_water": "full"}, "trap", Ability.CAN),
        ({"frost_on": "tubes"}, "melt", Ability.CAN),
    ],
)
def test_a_sign_does_its_work(sign, name, text):
    where = {
        "visit.signs.water_on": ["cabinet floor"],
        "job.water_when": ["while cooling", "after shut-down"],
    }
    found = budget(where | {f"visit.signs.{key}": said for key, said in sign.items()})
    assert texts(found)[name] == text


def test_signs_of_the_repair_visit_do_not_explain_the_water():
    repaired = (
        '[[visit]]\ndate = 2026-07-09\n[visit.signs]\npan_water = "film"\ntrap = "sealed"\n'
        '[[visit.work]]\nkind = "repaired"\n'
    )
    text = job_text({"visit.signs.trap": "dry", "visit.signs.pan_water": "full"}, base=BASE) + repaired
    analysis = Analysis(job_from_text(text), 64)
    found = water_budget(analysis.draws, analysis.conditions, None)
    assert found is not None and found.seen.visits == (1,) and found.dominant == "trap"


# --- amounts and the sum --------------------------------------------------------------------------------


def test_too_little_is_too_little():
    """A cup an hour of sweat is no hundred gallons a day; melt of one film neither."""
    found = budget({"job.water_seen": "300 to 400 gal/day", "visit.signs.sweating_on": "cabinet"})
    assert texts(found)["sweating"] == texts(found)["shut_down_drain"] == Ability.CANNOT
    assert "too little" in why(found.weighed["sweating"])


def test_an_amount_by_the_hour_is_held_against_the_rate_and_one_by_the_day_against_the_day():
    dry = {"visit.signs.trap": "dry", "visit.signs.pan_water": "full"}
    day, hour = budget(dry), budget(dry | {"job.water_seen": "5 to 20 gal/h"})
    assert day.seen.daily and not hour.seen.daily
    one = day.weighed["trap"].mechanism
    assert day.weighed["trap"].margin == pytest.approx(one.day_band.value / day.seen.amount.value)
    assert hour.weighed["trap"].margin == pytest.approx(one.band.value / hour.seen.amount.value)


@pytest.mark.parametrize("amount", [None, "5 to 20 gal/day", "5 to 20 gal/h"])
def test_the_sum_of_one_way_is_that_way(amount):
    """Without an amount ways are told by the day, and so is their sum: no moment's rate times 24 h."""
    found = budget({
        "job.water_seen": amount, "visit.signs.trap": "dry", "visit.signs.pan_water": "full",
    })  # fmt: skip
    (name,) = found.those(Ability.CAN)
    one = found.weighed[name].mechanism
    assert found.together == (one.band if amount == "5 to 20 gal/h" else one.day_band)


def test_without_an_amount_the_sum_of_a_day_is_no_more_than_a_day_of_condensate():
    ways = {"visit.signs.trap": "dry", "visit.signs.pan_water": "full", "visit.signs.pump": "stopped"}
    found = budget(ways | {"job.water_seen": None})
    made = found.case.made.draws * found.case.cooling_share
    assert len(found.those(Ability.CAN)) > 1
    assert found.together.high <= np.percentile(made[1:], 95.0) * (1 + 1e-9)


def test_what_comes_off_the_coil_is_never_more_than_it_made():
    found = budget(
        {"visit.signs.trap": "dry", "visit.signs.pan_water": "full", "visit.signs.pump": "stopped"}
    )
    made = found.case.made.draws * found.case.cooling_share
    assert {"trap", "pump"} <= set(found.those(Ability.CAN))
    assert found.together.high <= np.percentile(made[1:], 95.0) * (1 + 1e-9)


def test_what_is_left_unexplained_is_said():
    found = budget({
        "visit.signs.trap": "dry", "visit.signs.pan_water": "full",
        "visit.signs.water_on": ["pan rim", "filters"],
    })  # fmt: skip
    assert any("filters" in told(left) for left in found.unexplained)


def test_nothing_noted_is_cannot_tell_and_nothing_stands_out():
    found = budget({"job.water_seen": None, "job.water_when": None, "visit.signs.water_on": None})
    assert not found.matched and found.dominant is None
    assert not found.those(Ability.CAN)


def test_no_word_of_water_no_budget():
    analysis = Analysis(job_from_text(job_text(base=SOUND)), 64)
    assert analysis.water is None


# --- fan speed ------------------------------------------------------------------------------------------

LOW_FAN = {
    "air.fan_frequency": "36 Hz",
    "air.airflow": "4560 cfm",
    "air.return_dry_bulb": "71 degF",
    "air.return_wet_bulb": "60 degF",
    "air.supply_dry_bulb": "42 degF",
    "air.supply_wet_bulb": "41 degF",
    "air.space_dry_bulb": "75 degF",
    "air.space_dew_point": "53.5 degF",
    "unit.cabinet.duct_insulation": "R-0.3",
    "unit.cabinet.insulation": "1 in",
    "unit.cabinet.suction_line_insulation": "0.75 in",
    "visit.signs.water_on": ["duct"],
    "job.water_seen": None,
}


def test_sweating_by_the_low_fans_cold_supply_is_laid_to_the_low_fan():
    """Duct at 42 °F behind R-0.3 in air of 75 °F, film 8.29 W/(m² K) or R-0.685: the wall stands at
    75 - 33 x 0.685 / 0.985 = 52.1 °F, below the dew point of 53.5 °F. At full speed 5/3 of the air leave with
    about 51 °F: 58 °F at the wall, dry."""
    found = budget(LOW_FAN)
    one = found.weighed["sweating"]
    assert one.text == Ability.CAN and one.explained_by is Cause.FAN_STUCK_LOW
    full = weigh(changed(found.case, speed=1.0)).weighed["sweating"]
    assert full.text == Ability.CANNOT


def test_ice_and_drip_without_ice_are_held_to_the_same_rule():
    """The demo: a slanted coil at the edge of freezing on a slow fan."""
    analysis = Analysis(job_from_text(data_path("jobs", "library_hall.toml").read_text("utf-8")), 512)
    found = analysis.water
    assert texts(found)["melt"] == texts(found)["coil_drip"] == Ability.CAN
    assert found.dominant is None
    assert found.weighed["melt"].explained_by is Cause.FAN_STUCK_LOW


def test_a_faster_fan_asks_more_of_the_trap():
    """(60/36)² = 2.78: 1.2 in of suction become 3.33, a trap of 3 in fails; the part above 1 in scales so."""
    found = budget({"air.fan_frequency": "36 Hz", "air.airflow": "4560 cfm", "visit.signs.trap": "sealed"})
    check = found.trap
    now, full = (band.value / INCH for band in (check.required_now, check.required_height))
    assert now == pytest.approx(2.2, rel=1e-3)
    assert (full - 1.0) / (now - 1.0) == pytest.approx((60 / 36) ** 2, rel=1e-6)
    assert check.verdict == "not met" and check.standing.value == 0.0
    assert check.full_standing.value / INCH == pytest.approx(0.333, abs=0.01)


@pytest.mark.parametrize("speed", [0.4, 0.8, 1.0])
def test_more_suction_never_needs_less_trap(speed):
    case = budget().case
    heights = [
        weigh(changed(case, speed, suction=pa)).trap.required_height.value for pa in (0, 100, 400, 900)
    ]
    assert heights == sorted(heights) and heights[0] < heights[-1]


def test_a_steeper_drain_never_carries_less():
    case = budget().case
    flows = [weigh(changed(case, drain_slope=slope)).drain.full.value for slope in (0.0, 0.005, 0.01, 0.02)]
    assert flows == sorted(flows) and flows[0] == 0.0


def test_the_humidity_of_the_air_round_the_unit_is_read_as_percent_too():
    """80 °F and 70 %: humidity ratio by psychrolib (ASHRAE Handbook Fundamentals 2017, chapter 1)."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    air = {
        "air.space_dry_bulb": "80 degF",
        "air.space_relative_humidity": "70 %",
        "air.space_dew_point": None,
    }
    room = budget(LOW_FAN | air).case
    pressure = float(room.barometer[0])
    expected = psychrolib.GetHumRatioFromRelHum((80 - 32) / 1.8, 0.70, pressure)
    assert room.room.basis == "measured"
    assert float(room.room.humidity_ratio[0]) == pytest.approx(expected, rel=2e-3)


def test_thicker_insulation_never_sweats_more():
    humid = LOW_FAN | {"air.space_dew_point": "66 degF"}
    for key, thin, thick in (
        ("duct_insulation", "R-0.3", "R-2"),
        ("insulation", "0.25 in", "1 in"),
        ("suction_line_insulation", "0.25 in", "1 in"),
    ):
        rates = [surface_rates(budget(humid | {f"unit.cabinet.{key}": t}).case) for t in (thin, thick)]
        for name in rates[0]:
            assert np.all(rates[1][name] <= rates[0][name] * (1 + 1e-6))


# --- blow through, signs of the suction -----------------------------------------------------------------


def test_a_negative_suction_on_a_unit_that_draws_is_asked_about():
    found = budget({"unit.drain.pan_suction": "-1.2 inH2O", "visit.signs.trap": "dry"})
    (asked,) = found.trap.asked
    assert "unit.drain.pan_suction" in told(asked) and "positive" in told(asked)
    assert found.case.suction is None and not found.trap.required_height.known


def test_a_positive_suction_on_a_unit_that_blows_is_asked_about():
    found = budget({"unit.air_path": "blow through"})
    assert "unit.drain.pan_suction" in told(found.trap.asked[0]) and "unit.air_path" in told(
        found.trap.asked[0]
    )
    assert not found.trap.required_height.known


def test_air_at_the_drain_the_wrong_way_is_asked_about():
    """The trap stands on the other side of the fan than was typed."""
    found = budget({"visit.signs.drain_air": "blown out"})
    assert "unit.air_path" in told(found.trap.asked[0]) and found.case.suction is None
    found = budget({
        "unit.air_path": "blow through", "visit.signs.drain_air": "drawn in",
        "unit.drain.pan_suction": "-1 inH2O",
    })  # fmt: skip
    assert found.trap.asked and found.case.suction is None


def test_a_unit_that_blows_through():
    """Static + 1/2 in, the larger of two published rules; pressure empties the pan, it never fills it."""
    found = budget({
        "unit.air_path": "blow through", "unit.drain.pan_suction": "-1.5 inH2O", "visit.signs.trap": "dry",
        "visit.signs.pan_water": "full",
    })  # fmt: skip
    assert found.trap.required_height.value / INCH == pytest.approx(2.0, rel=1e-3)
    assert not found.trap.standing.known and not found.trap.asked
    assert found.weighed["trap"].mechanism.places == frozenset({"pipe", "pan rim"})


# --- drain ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "size, slope, gpm, code, hydraulic",
    [("3/4 in", "1/8 in/ft", 1.86, 0.75, 1.25), ("1 in", "1/8 in/ft", 3.55, 0.75, 1.25)],
)
def test_drain_by_manning_and_both_minimum_sizes(size, slope, gpm, code, hydraulic):
    """Full pipe by Manning with n 0.009 and the bore of schedule 40; 20 tons by the code's table and by
    the 1 % design table, which differ by a factor of ten and are both told."""
    drain = budget({"unit.drain.size": size, "unit.drain.slope": slope}).drain
    assert float(units.to(drain.full.value, "gpm", "water_flow")) == pytest.approx(gpm, abs=0.006)
    assert float(units.to(drain.half.value, "gpm", "water_flow")) == pytest.approx(gpm / 2, abs=0.006)
    assert (drain.code_size / INCH, drain.hydraulic_size / INCH) == pytest.approx((code, hydraulic))
    assert (drain.code, drain.hydraulic) == ("met", "not met")


def test_a_small_or_flat_drain_breaks_the_code():
    assert budget({"unit.drain.size": "1/2 in"}).drain.code == "not met"
    assert budget({"unit.drain.slope": "0.5 %"}).drain.code == "not met"
    assert budget({"unit.drain.size": None}).drain.code == "not known"


def test_no_two_ways_are_as_common():
    """A tie would be broken by the order of the file."""
    assert sorted(row.rank for row in WAYS.values()) == list(range(1, len(Way) + 1))


# --- the study ------------------------------------------------------------------------------------------

STORED = json.loads((ROOT / "docs" / "studies" / "water.json").read_text("utf-8"))


@pytest.mark.slow
@pytest.mark.parametrize("noted", [True, False], ids=["signs noted", "amount, time and place alone"])
def test_a_fixed_tenth_of_the_study(noted):
    """The true way is never called cannot; of the others as many are ruled out as in the whole, and 70 %."""
    stored = STORED["result"]["noted" if noted else "amount, time and place alone"]
    those = sites(30, STORED["seed"])
    told = summary([site if noted else site.bare() for site in those])
    assert told["true way called cannot"] == stored["true way called cannot"] == 0
    p, n = stored["share of the others ruled out"], 30 * (len(Way) - 1)
    assert told["share of the others ruled out"] >= p - 3.0 * math.sqrt(p * (1 - p) / n)
    assert min(p, told["share of the others ruled out"]) >= 0.70
    assert told["stands out"] == told["stands out and true"]


def test_no_site_gives_more_than_its_coil_makes():
    for site in sites(12, 5):
        analysis = Analysis(site.job, 64)
        found = water_budget(analysis.draws, analysis.conditions, None)
        made = found.case.made.draws[0]
        assert float(units.to(made, "gal/h", "water_flow")) == pytest.approx(site.made, rel=0.06)


def test_a_drain_fit_for_condensate_may_be_overrun_by_a_melt():
    """3/4 in nearly level carries 0.58 gal/min full (1.86 x sqrt(0.1 / 1.04)): a melt of up to a gallon
    a minute at 4,500 cfm is more, the condensate of 0.1 gal/min is not."""
    flat = {
        "unit.drain.size": "3/4 in",
        "unit.drain.slope": "0.1 %",
        "visit.signs.drain_flow": "free",
        "visit.signs.tested_with_fan": "full",
        "job.water_when": ["while cooling", "after shut-down"],
    }
    iced = flat | LOW_FAN | {
        "visit.signs.water_on": ["cabinet floor"],
        "1.suction_pressure": "88 psig",
        "2.suction_pressure": "88 psig",
    }  # fmt: skip
    warm, cold = budget(flat), budget(iced)
    assert texts(warm)["pan_overflow"] == Ability.CANNOT
    assert cold.case.freezing.chance > 0.9 and texts(cold)["pan_overflow"] != Ability.CANNOT
    assert float(units.to(cold.drain.full.value, "gpm", "water_flow")) == pytest.approx(0.576, abs=0.01)
