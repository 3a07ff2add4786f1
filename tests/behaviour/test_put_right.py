"""What closes a cause: a later reading, then mends, never a note. Every case is the issue's own rule."""

from __future__ import annotations

import pytest

from hvaccalc import analyse
from hvaccalc.diagnosis.air.fan_check_rows import CheckName
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.job.causes import CAUSES_OF_WAYS, Cause
from hvaccalc.job.load import job_from_text
from hvaccalc.report import memo
from hvaccalc.report.endings import of_check
from hvaccalc.report.found import Found
from hvaccalc.service.may_run.concern import Why
from hvaccalc.service.put_right import Ending, PutRight, ended
from hvaccalc.service.question_rows import About, Open
from hvaccalc.service.repair.repair_rows import Due
from tests.behaviour.jobs import blocks_of, demo_text, job_text
from tests.consistency import contradictions

HEAD = """
format = 1
[job]
title = "A hall"
elevation = "640 ft"
[unit]
rated_capacity = "240 kBtu/h"
rated_airflow = "8000 cfm"
[unit.fan]
drive = "variable frequency"
full_speed = "60 Hz"
[circuit.1]
refrigerant = "R-410A"
stage = 1
target_subcooling = "12 degF"
[circuit.2]
refrigerant = "R-410A"
stage = 2
target_subcooling = "12 degF"
"""


def fan(hertz: int, time: str = "") -> str:
    return f"""
[[visit.condition]]
calls = ["cool 1", "cool 2"]
{f"time = {time}" if time else ""}
[visit.condition.air]
fan_frequency = "{hertz} Hz"
"""


def visit(day: int, *parts: str) -> str:
    return f"[[visit]]\ndate = 2026-06-{day:02}\n" + "\n".join(parts)


def work(kind: str = "repaired", **more: str) -> str:
    return f'[[visit.work]]\nkind = "{kind}"\n' + "\n".join(f"{key} = {text}" for key, text in more.items())


MENDS = work(mends='["fan_stuck_low"]', note='"Preset assigned."')
LOW, FULL = 36, 60


def end(*visits: str, cause: Cause = Cause.FAN_STUCK_LOW, circuit: str | None = None) -> PutRight | None:
    analysis = analyse(job_from_text(HEAD + "\n".join(visits)), 64)
    return ended(analysis.put_right, cause, circuit)


def known(*visits: str, **which) -> PutRight:
    found = end(*visits, **which)
    assert found is not None
    return found


NOTES = [
    "Fan preset assigned.",
    "Fan not touched.",
    "Drive looked at, none repaired.",
    "Relay still cracked, new one ordered.",
    "Swept the floor under the fan.",
]


@pytest.mark.parametrize("note", NOTES)
def test_a_note_closes_nothing_and_raises_one_question(note: str) -> None:
    found = known(visit(1, fan(LOW)), visit(8, work(note=f'"{note}"')))
    assert found.ending is Ending.STANDS
    assert [(ref.visit, ref.number) for ref in found.asked] == [(2, 1)]


def test_mends_closes_it() -> None:
    found = known(visit(1, fan(LOW)), visit(8, MENDS))
    assert (found.ending, found.visit, found.read) == (Ending.MENDED, 2, None)
    assert not found.asked


def test_a_temporary_measure_raises_no_question_and_closes_nothing() -> None:
    found = known(visit(1, fan(LOW)), visit(8, work("temporary measure", note='"Jumper landed."')))
    assert found.ending is Ending.STANDS
    assert not found.asked


@pytest.mark.parametrize("repair", [MENDS, work(note='"Preset assigned."'), ""])
def test_a_later_right_reading_wins(repair: str) -> None:
    found = known(visit(1, fan(LOW)), visit(8, repair), visit(15, fan(FULL)))
    assert (found.ending, found.visit) == (Ending.READ_RIGHT, 3)
    assert found.read is not None and (found.read.visit, found.read.condition) == (3, 1)


def test_a_right_reading_under_a_temporary_measure_closes_nothing() -> None:
    jumper = work("temporary measure", note='"Jumper landed."')
    assert known(visit(1, fan(LOW)), visit(8, jumper, fan(FULL))).ending is Ending.STANDS
    off = work("temporary measure", note='"Jumper landed."', removed="2026-06-15")
    assert known(visit(1, fan(LOW)), visit(8, off), visit(15, fan(FULL))).ending is Ending.READ_RIGHT


def test_low_again_after_the_repair_came_back() -> None:
    found = known(visit(1, fan(LOW)), visit(8, MENDS), visit(15, fan(LOW)))
    assert found.ending is Ending.CAME_BACK
    assert found.again is not None and found.again.visit == 3


def test_mended_again_after_it_came_back() -> None:
    found = known(visit(1, fan(LOW)), visit(8, MENDS), visit(15, fan(LOW), MENDS))
    assert found.ending is Ending.MENDED
    assert [ref.visit for ref in found.works] == [2, 3]


def test_untimed_readings_of_the_visit_of_the_work() -> None:
    """A wrong one is as found, a right one as left."""
    assert known(visit(1, fan(LOW), MENDS)).ending is Ending.MENDED
    assert known(visit(1, fan(LOW), fan(FULL), MENDS)).ending is Ending.READ_RIGHT
    assert known(visit(1, fan(LOW), fan(FULL))).ending is Ending.STANDS


@pytest.mark.parametrize(
    ("read", "ending"),
    [
        (fan(LOW, "09:00:00"), Ending.MENDED),
        (fan(LOW, "09:00:00") + fan(LOW, "11:00:00"), Ending.CAME_BACK),
        (fan(LOW, "09:00:00") + fan(FULL, "11:00:00"), Ending.READ_RIGHT),
        (fan(FULL, "09:00:00") + fan(LOW, "09:30:00"), Ending.MENDED),
    ],
)
def test_timed_readings_of_the_visit_of_the_work(read: str, ending: Ending) -> None:
    repair = work(mends='["fan_stuck_low"]', time="10:00:00")
    assert known(visit(1, read, repair)).ending is ending


def test_order_is_by_date_not_by_the_file() -> None:
    found = known(visit(15, fan(LOW)), visit(1, MENDS))
    assert found.ending is Ending.CAME_BACK


def test_what_nobody_found_or_mended_is_not_listed() -> None:
    assert end(visit(1, fan(FULL))) is None
    assert end(visit(1, fan(LOW)), cause=Cause.TRAP) is None


LEAK = '[circuit.2.leak]\nat = "sight glass"\n'


def test_a_leak_is_closed_by_its_repair_of_its_own_circuit_alone() -> None:
    open_leak = analyse(job_from_text(HEAD + LEAK + visit(1, fan(FULL))), 64)
    standing = ended(open_leak.put_right, Cause.LOW_CHARGE, "2")
    assert standing is not None and standing.ending is Ending.STANDS
    assert ended(open_leak.put_right, Cause.LOW_CHARGE, "1") is None
    closed = analyse(job_from_text(HEAD + LEAK + "repaired = 2026-06-01\n" + visit(1, fan(FULL))), 64)
    mended = ended(closed.put_right, Cause.LOW_CHARGE, "2")
    assert mended is not None and mended.ending is Ending.MENDED


def test_a_repair_of_one_circuit_does_not_close_the_other() -> None:
    one = work(mends='["low_charge:1"]')
    analysis = analyse(job_from_text(HEAD + LEAK + visit(1, fan(FULL)) + visit(8, one)), 64)
    two = ended(analysis.put_right, Cause.LOW_CHARGE, "2")
    assert two is not None and two.ending is Ending.STANDS


THAWED = 'coil_thawed = "yes"\n[visit.condition.air]\nairflow = "8000 cfm"'


def cools(liquid: int, time: str = "") -> str:
    return f"""{fan(FULL, time).replace("[visit.condition.air]", THAWED)}return_dry_bulb = "80 degF"
return_wet_bulb = "67 degF"
outdoor_dry_bulb = "90 degF"
[visit.condition.circuit.2]
suction_pressure = "125 psig"
suction_temperature = "53 degF"
liquid_pressure = "385 psig"
liquid_temperature = "{liquid} degF"
"""


SHORT, FULL_CHARGE = 110, 101
"""Liquid at 385 psig, bubbling at 113 F by the printed table of R-410A: 3 and 12 F of subcooling, for 12."""


@pytest.mark.parametrize(
    ("readings", "counts"),
    [
        ((cools(SHORT, "10:00:00"), cools(FULL_CHARGE, "11:00:00")), ChargeVerdict.AS_CHARTED),
        ((cools(FULL_CHARGE, "11:00:00"), cools(SHORT, "10:00:00")), ChargeVerdict.AS_CHARTED),
        ((cools(FULL_CHARGE, "10:00:00"), cools(SHORT, "11:00:00")), ChargeVerdict.LOW),
        ((cools(SHORT), cools(FULL_CHARGE)), ChargeVerdict.LOW),
        ((cools(FULL_CHARGE), cools(SHORT, "11:00:00")), ChargeVerdict.LOW),
        ((cools(SHORT), cools(FULL_CHARGE), work(mends='["low_charge:2"]')), ChargeVerdict.AS_CHARTED),
    ],
)
def test_one_charge_counts_for_all_that_decide(readings: tuple[str, ...], counts: ChargeVerdict) -> None:
    """Of one visit the reading timed last; untimed, a low one stands unless a work of the visit mends it."""
    analysis = analyse(job_from_text(HEAD + 'metering = "TXV"\n' + visit(1, *readings)), 64)
    low = counts is ChargeVerdict.LOW
    charge = analysis.visits.charge("2")
    assert charge is not None and charge.verdict is counts
    finding = Found(analysis).charge("2")
    assert finding is not None and finding.text == counts
    end = ended(analysis.put_right, Cause.LOW_CHARGE, "2")
    assert end is not None and end.open == low
    needed = [one for one in (*analysis.repairs.called, *analysis.repairs.proof_due) if one.circuit == "2"]
    assert any(one.due is Due.REPAIR for one in needed) == low
    asked = {why.code for one in analysis.today for why in one.why}
    assert (Why.LOW in asked) == low


DRY = '[visit.signs]\ntrap = "dry"\ndrain_air = "drawn in"\nwater_on = ["filters", "cabinet floor"]\n'
REBUILT = work(mends='["trap"]', note='"Trap rebuilt."')


def test_signs_close_and_reopen_a_way_of_the_water() -> None:
    assert known(visit(1, DRY), visit(8, REBUILT), cause=Cause.TRAP).ending is Ending.MENDED
    not_rebuilt = work(note='"Trap not rebuilt."')
    assert known(visit(1, DRY), visit(8, not_rebuilt), cause=Cause.TRAP).ending is Ending.STANDS
    assert (
        known(visit(1, DRY), visit(8, REBUILT), visit(15, DRY), cause=Cause.TRAP).ending is Ending.CAME_BACK
    )


def test_every_way_has_its_causes() -> None:
    assert all(CAUSES_OF_WAYS.values())


# --- a repair of what nothing had shown --------------------------------------------------------------------


def asked(*visits: str) -> dict[Open, tuple[str, ...]]:
    """What is asked of the works, with the circuits."""
    analysis = analyse(job_from_text(HEAD + "\n".join(visits)), 64)
    return {Open(one.open.code): one.circuits for one in analysis.questions if one.about is About.WORK}


def test_a_repair_of_what_was_never_found_asks_what_showed_it() -> None:
    assert asked(visit(1, fan(FULL)), visit(8, work(mends='["trap"]'))) == {Open.NEVER_FOUND: ()}
    assert asked(visit(1, DRY), visit(8, REBUILT)) == {}
    assert asked(visit(1, DRY, REBUILT)) == {}


def test_a_repair_of_the_circuit_that_was_not_found_so_asks_which() -> None:
    """Circuit 2 leaks by its table; the work names circuit 1."""
    wrong = visit(8, work(mends='["low_charge:1"]'))
    assert asked(LEAK, visit(1, fan(FULL)), wrong) == {Open.OTHER_CIRCUIT: ("1",)}
    right = visit(8, work(mends='["low_charge:2"]'))
    assert asked(LEAK, visit(1, fan(FULL)), right) == {}
    assert asked(LEAK + "repaired = 2026-06-01\n", visit(1, fan(FULL)), wrong) == {Open.NEVER_FOUND: ("1",)}


def test_a_repair_dated_before_the_finding_asks_for_the_day() -> None:
    assert asked(visit(1, MENDS), visit(15, fan(LOW))) == {Open.FOUND_LATER: ()}
    timed = work(mends='["fan_stuck_low"]', time="09:00:00")
    assert asked(visit(1, fan(LOW, "10:00:00"), timed)) == {Open.FOUND_LATER: ()}
    assert asked(visit(1, fan(LOW)), visit(8, MENDS), visit(15, fan(LOW))) == {}


def test_what_the_wiring_table_shows_was_found() -> None:
    """A table knows no day: the repair may be older or younger."""
    text = demo_text("library_hall")
    wired = text[: text.index("[[visit]]")] + visit(1, MENDS)
    assert not [one for one in analyse(job_from_text(wired), 64).questions if one.about is About.WORK]


@pytest.mark.parametrize("audience", ["customer", "file"])
def test_the_question_stands_in_either_memo(audience: str) -> None:
    text = HEAD + LEAK + visit(1, fan(FULL)) + visit(8, work(mends='["low_charge:1"]'))
    blocks = memo.blocks(analyse(job_from_text(text), 64), audience)
    assert any("Which circuit was it?" in str(block) for block in blocks)


SHEAVES_TOUCH = """drive = "belt, fixed"
motor_speed = "1750 rpm"
motor_sheave = "5 in"
fan_sheave = "10 in"
belt_centre_distance = "4 in"
"""


@pytest.mark.parametrize("mends", ["belt", "trap"])
def test_the_repair_of_a_belt_closes_its_check_for_today_and_memo(mends: str) -> None:
    """Sheaves of 5 and 10 in, 4 in apart, would touch: the wrap fails until the belt is mended."""
    head = HEAD.replace('drive = "variable frequency"\n', SHEAVES_TOUCH)
    visits = visit(1, fan(FULL)) + visit(8, work(mends=f'["{mends}"]'))
    analysis = analyse(job_from_text(head + visits), 64)
    closed = of_check(Found(analysis), CheckName.BELT_WRAP, 1) is not None
    asked = any(Why.CHECK in {why.code for why in one.why} for one in analysis.today)
    assert closed == (not asked) == (mends == "belt")


LOOKED_DRY = """
[[visit]]
date = 2026-07-01
[[visit.work]]
kind = "repaired"
mends = ["pan"]
[[visit]]
date = 2026-07-08
[[visit.condition]]
calls = ["cool 1", "cool 2"]
running_for = "{ran}"
[visit.condition.air]
return_dry_bulb = "75 degF"
[visit.condition.signs]
water_on = {seen}
"""


@pytest.mark.parametrize(
    "ran, seen, ending",
    [
        ("90 min", '"none"', Ending.READ_RIGHT),
        ("20 min", '"none"', Ending.MENDED),
        ("90 min", '["none", "cabinet floor"]', Ending.MENDED),
        ("90 min", '"unknown"', Ending.MENDED),
    ],
)
def test_dry_after_a_long_run_with_every_stage_reads_the_pan_right(ran, seen, ending):
    """An hour, as for every stand of water (common practice); less, or a wet place, tells nothing."""
    text = job_text({"visit.signs.water_on": "cabinet floor"}, extra=LOOKED_DRY.format(ran=ran, seen=seen))
    (end,) = (one for one in analyse(job_from_text(text), 64).put_right if one.cause is Cause.PAN)
    assert end.ending is ending


def test_a_look_that_found_all_dry_is_no_water():
    analysis = analyse(job_from_text(job_text({"signs.water_on": "none"})), 64)
    assert analysis.water is None and not analysis.contraries
    assert "water on: none" in str(blocks_of(analysis, "file"))


def test_a_circuit_that_reads_right_under_a_measure_alone_is_asked_about() -> None:
    """96 °F liquid and 60 °F suction gas at the card's 100 and 40 °F: short beside the other, the fan low."""
    short = {
        "2.liquid_temperature": "96 degF",
        "2.suction_temperature": "60 degF",
        "air.fan_frequency": "36 Hz",
    }
    _, _, sound = job_text({}).partition("[[visit.condition]]")
    extra = (
        f"{work('temporary measure')}\n{visit(25)}\n[[visit.condition]]{sound.replace('as found', 'later')}"
    )
    analysis = analyse(job_from_text(job_text(short | {"air.airflow": "4800 cfm"}, extra=extra)), 64)
    end = ended(analysis.put_right, Cause.LOW_CHARGE, "2")
    assert end is not None and end.open and end.held is not None
    (asked,) = [one for one in analysis.questions if one.open.code is Open.HELD]
    assert asked.circuits == ("2",)
    assert contradictions(analysis) == []
