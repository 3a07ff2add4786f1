"""Which visits count as found, the drain's tests, its balance, the pan's filling, a guard of the pan."""

import pytest

from hvaccalc import units
from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.air.fan_check_rows import CheckState
from hvaccalc.diagnosis.readings.signs import OF_A_LEAK, SeenWrong
from hvaccalc.diagnosis.readings.water_seen import ToldBy
from hvaccalc.diagnosis.water.budget import WaterBudget, water_budget
from hvaccalc.diagnosis.water.mechanism import Ability, Guard, Left, Match, Why
from hvaccalc.diagnosis.water.pan_filling import overflow_guard
from hvaccalc.job.load import job_from_text
from hvaccalc.reason import Reason
from hvaccalc.service.may_run.concern import Do
from hvaccalc.service.question_rows import Take
from hvaccalc.service.repair.repair_rows import Repair
from hvaccalc.severity import Severity
from tests.behaviour.jobs import analysis_of, blocks_of, found, job_text, told, why
from tests.behaviour.test_memo_visits import analysed, changed
from tests.behaviour.test_water import BASE, budget
from tests.consistency import contradictions

GALLONS_IN_A_CUBIC_FOOT = 7.4805


def budget_of(text: str) -> WaterBudget:
    analysis = Analysis(job_from_text(text), 64)
    told = water_budget(analysis.draws, analysis.conditions, None)
    assert told is not None
    return told


def later(signs: str, work: str = "") -> str:
    """A second visit."""
    return f"[[visit]]\ndate = 2026-07-09\n[visit.signs]\n{signs}\n{work}"


CLEANED = '[[visit.work]]\nkind = "cleaned"\n'
DRY = {"visit.signs.water_on": None}


# --- visits as found ------------------------------------------------------------------------------------


def test_a_repair_before_anybody_saw_the_water_does_not_end_what_was_found():
    """Called back: the coil was cleaned in winter, the water came in spring."""
    text = job_text(DRY, base=BASE) + CLEANED + later('water_on = ["filters"]\npan_water = "film"')
    told = budget_of(text).seen
    assert told.visits == (1, 2) and told.places == {"filters"}
    assert told.sights["water_on"].source == (Reason(ToldBy.VISIT, {"visit": 2}),) and not told.fresh


def test_a_repair_of_water_that_was_seen_ends_it():
    told = budget_of(job_text({}, base=BASE) + CLEANED + later('water_on = ["filters"]')).seen
    assert told.visits == (1,) and told.places == {"pan rim", "cabinet floor"}
    (fresh,) = told.fresh
    assert (fresh.visit, fresh.places) == (2, ("filters",))


def test_the_schools_places_count():
    """Its visit of 6 May saw floor and rim; ways that reach other places fall short of them."""
    school = analysed("heat_pump_school").water
    assert school.seen.places == {"cabinet floor", "pan rim"}
    assert all(one.place != Match.OPEN for one in school.weighed.values())
    assert school.weighed["carry_over"].place == Match.PART


def test_the_school_s_ice_is_open_as_read_and_looked_at_on_the_day_of_the_forecast():
    """29 % as read, over 99 % on a mild morning by the forecast: named as no cause, looked at first."""
    analysis = analysed("heat_pump_school")
    melt = analysis.water.weighed["melt"]
    assert melt.text == Ability.CANNOT_TELL and melt.why.code is Why.CHANCE_READ
    assert melt.why.values["chance"] < 0.5 < melt.why.values["mild"]
    assert analysis.water.open[0] == "melt"
    assert "What fits the water seen: ice" not in str(blocks_of(analysis, "customer"))


# --- tests of the drain ---------------------------------------------------------------------------------

FULL = 'pour_test = "drains"\ntested_with_fan = "full"\ntested_with_door = "closed"'
POURED_OFF = {
    "visit.signs.pour_test": "drains",
    "visit.signs.drain_flow": "free",
    "visit.signs.tested_with_fan": "off",
    "visit.signs.tested_with_door": "open",
    "unit.drain.trap_height": None,
}
WORK = '[[visit.work]]\nkind = "repaired"\nnote = "trap filled"\n'


@pytest.mark.parametrize(
    "signs, settled",
    [
        (FULL, True),
        (FULL.replace("full", "off"), False),
        (FULL.replace("closed", "open"), False),
        (FULL.replace("drains", "backs up"), False),
    ],
)
def test_a_later_test_with_the_fan_at_full_speed_settles_the_drain_as_left(signs, settled):
    told = budget_of(job_text(POURED_OFF, base=BASE) + later(signs, WORK))
    assert told.weighed["pan_overflow"].text == Ability.CANNOT_TELL
    assert ("pan_overflow" in told.open) != settled and ("trap" in told.open) != settled
    assert ("as left the pan drained" in why(told.weighed["pan_overflow"])) == settled
    assert bool(told.seen.fresh) == ("backs up" in signs)


def test_a_test_is_told_as_it_was_made():
    poured = why(budget(POURED_OFF).weighed["pan_overflow"])
    assert "it ran free with the fan off and the door open (visit 1)" in poured


def test_a_pour_at_full_speed_proves_the_trap_of_a_fan_that_was_sped_up():
    hall = analysed("library_hall")
    (right,) = [r for r in hall.conditions if r.where.visit == 2]
    (trap,) = [c for c in right.speed.checks if c.name == "trap against pan suction"]
    assert trap.state is CheckState.PASS and "visit 2" in told(trap.why)
    blocked = changed("library_hall", ('tested_with_fan = "full"', 'tested_with_fan = "low"'))
    (right,) = [r for r in blocked.conditions if r.where.visit == 2]
    assert CheckState.PASS not in [
        c.state for c in right.speed.checks if c.name == "trap against pan suction"
    ]


# --- the drain's balance --------------------------------------------------------------------------------


def test_the_print_shops_balance_holds_the_truth():
    """0.8 gal/h blown off as found, none after the sheave (print_shop.truth.toml)."""
    told = {f.visit: f for f in found(analysed("print_shop"), "water.drain_balance")}
    for visit, truth in ((1, 0.8), (2, 0.0)):
        low, high = (
            float(units.to(end, "gal/h", "water_flow")) for end in (told[visit].low, told[visit].high)
        )
        assert low <= truth <= high
    made, drained = 2.7, 1.9
    assert float(units.to(told[1].value, "gal/h", "water_flow")) == pytest.approx(made - drained, abs=0.06)


def test_an_amount_that_most_draws_do_not_reach_is_left_open():
    shop = analysed("print_shop").water
    assert shop.weighed["carry_over"].amount == Match.PART and Reason(Left.AMOUNT) in shop.unexplained
    assert Reason(Left.AMOUNT) not in analysed("swim_club").water.unexplained


def test_water_clearly_missing_at_the_drain_is_evidence():
    """1.4 to 4.0 gal/h off the air, 0.2 at the drain: the difference lies clear of nothing."""
    little = changed("print_shop", ('value = "1.9 gal/h"', 'value = "0.2 gal/h"'))
    assert "does not come out of the drain" in why(little.water.weighed["carry_over"])
    assert little.water.balances[0].lost and not little.water.balances[1].lost
    as_read = analysed("print_shop").water
    assert "does not come out of the drain" not in why(as_read.weighed["carry_over"])
    assert not as_read.balances[0].lost


# --- the pan's filling ----------------------------------------------------------------------------------


def test_the_pan_fills_by_its_volume_over_the_condensate():
    """9 ft² x 1.5 in = 1.125 ft³ = 8.42 gal; at the condensate read, about 4 gal/h, two hours and more."""
    club = analysed("swim_club")
    made = float(units.to(found(club, "condensate.rate")[0].value, "gal/h", "water_flow"))
    by_hand = 9.0 * 1.5 / 12.0 * GALLONS_IN_A_CUBIC_FOOT / made * 60.0
    filling = club.water.filling
    assert filling.minutes.value == pytest.approx(by_hand, rel=0.03)
    assert filling.full_after == 70.0 and filling.late
    assert club.water.weighed["trap"].time == Match.LATE and club.water.dominant == "trap"
    visit, run, level = filling.film
    assert (visit, run) == (2, 90.0)
    assert level / 0.0254 == pytest.approx(1.5 * 90.0 / by_hand, rel=0.03)


@pytest.mark.parametrize(
    "change",
    [
        ('depth = "1.5 in"', 'depth = "0.75 in"'),
        ('running_for = "70 min"', 'running_for = "140 min"'),
        ('depth = "1.5 in"\narea = "9 ft2"', 'depth = "1.5 in"'),
    ],
    ids=["a pan half as deep", "a run twice as long", "an area that is assumed"],
)
def test_a_pan_that_may_have_filled_in_that_time_contradicts_nothing(change):
    told = changed("swim_club", change).water
    assert not told.filling.late and told.weighed["trap"].time == "yes"


# --- a guard of the pan ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "change, expected",
    [
        ({}, Guard.NOT_NOTED),
        ({"unit.protection.float_switch": "unknown"}, Guard.NOT_NOTED),
        ({"unit.pan.secondary": "none"}, Guard.NOT_NOTED),
        ({"unit.protection.float_switch": "none"}, Guard.NONE),
        ({"unit.protection.float_switch": "none", "unit.pan.secondary": "pan"}, Guard.FITTED),
        ({"unit.protection.float_switch": "fitted"}, Guard.FITTED),
        ({"visit.signs.float_switch": "none", "unit.protection.float_switch": "fitted"}, Guard.NONE),
        (
            {"unit.protection.float_switch": "fitted", "visit.signs.pan_water": "overflowing"},
            Guard.DID_NOT_STOP,
        ),
        ({"visit.signs.float_switch": "tripped", "visit.signs.pan_water": "overflowing"}, Guard.FITTED),
    ],
)
def test_what_guards_the_pan(change, expected):
    told = budget(change)
    assert overflow_guard(told.case.job, told.seen) == expected


@pytest.mark.parametrize(
    ("sign", "word", "repair"),
    [
        ("pan_water", "overflowing", None),
        ("drain_flow", "blocked", Repair.OPEN_DRAIN),
        ("pour_test", "backs up", Repair.OPEN_DRAIN),
        ("sweating_on", "duct", Repair.INSULATE),
        ("pump", "stopped", Repair.PUMP),
        ("hot_water_coil", "wet", Repair.HEATING_COIL),
        ("drain_air", "drawn in", Repair.REBUILD_TRAP),
    ],
)
def test_a_sign_of_the_water_counts_without_amount_time_or_place(sign, word, repair) -> None:
    """Nothing is in order beside it, in either copy, and it is looked after today."""
    analysis = analysis_of(job_text({f"signs.{sign}": word}))
    assert analysis.water is not None and analysis.water.matched
    for audience in ("file", "customer"):
        assert "Nothing out of order" not in str(blocks_of(analysis, audience)[3:8])
    steps = {step.what.code for one in analysis.today for step in one.do}
    assert steps & {Do.CATCH, Do.PAN_FULL}
    assert repair is None or repair in {one.repair for one in analysis.repairs.called}


def test_a_sign_that_was_put_right_calls_for_nothing_today() -> None:
    """The drain ran free under the full fan, door closed, on a later visit after its repair."""
    mended = """
[[visit]]
date = 2026-06-25
[visit.signs]
drain_flow = "free"
tested_with_fan = "full"
tested_with_door = "closed"
[[visit.work]]
kind = "repaired"
mends = ["drain"]
"""
    analysis = analysis_of(job_text({"signs.drain_flow": "blocked"}, extra=mended))
    assert Do.CATCH not in {step.what.code for one in analysis.today for step in one.do}


@pytest.mark.parametrize("seen", SeenWrong)
def test_what_was_seen_wrong_is_a_finding_and_has_a_repair_or_a_question(seen) -> None:
    key, _, word = seen.value.partition(": ")
    path = "blow through" if seen is SeenWrong.AIR_BLOWN_OUT else "draw through"
    analysis = analysis_of(job_text({f"visit.signs.{key}": word, "unit.air_path": path}))
    (finding,) = found(analysis, f"signs.{key}.{word.replace(' ', '_')}")
    assert (finding.text, finding.severity, finding.about) == (seen, Severity.WATCH, seen.cause)
    asked = [one for one in analysis.questions if one.take is not None and one.take.code is Take.SEARCH]
    mended = {one.cause.cause if one.cause is not None else None for one in analysis.repairs.called}
    assert bool(asked) == (seen in OF_A_LEAK) and (asked or seen.cause in mended)
    assert contradictions(analysis) == []
    for reader in ("file", "customer"):
        assert "Nothing out of order" not in str(blocks_of(analysis, reader))


def test_a_leak_that_is_known_answers_for_its_oil() -> None:
    leak = '[circuit.2.leak]\nat = "drier"\n'
    analysis = analysis_of(job_text({"visit.signs.oil_trace": "seen"}, extra=leak))
    assert not any(one.take is not None and one.take.code is Take.SEARCH for one in analysis.questions)
