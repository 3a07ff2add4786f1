"""Repairs follow causes: each has a proof and a warning, nothing is repaired that nothing calls for.

Which repair a verdict calls for: common practice, no source. That more suction pressure is no shortage, and
what an overcharge and a restriction show: Li and Braun's table of residual signs.
"""

from __future__ import annotations

from functools import cache

import pytest

from hvaccalc.analysis import Analysis, analyse
from hvaccalc.call import Call
from hvaccalc.job.causes import Cause, Way
from hvaccalc.job.load import job_from_text
from hvaccalc.practice.visits import VACUUM
from hvaccalc.report import memo
from hvaccalc.service.put_right import ended
from hvaccalc.service.repair.repair_rows import (
    ROWS,
    Detail,
    Opens,
    Repair,
    RepairNeeded,
    Shown,
    Who,
)
from hvaccalc.service.repair.repairs import cause_of
from hvaccalc.words import repairs as words
from hvaccalc.words.said import NOT_SAID, Reader
from hvaccalc.words.speak import teller
from hvaccalc.words.water import WAYS
from tests.behaviour.jobs import HUMID, demo, job_text
from tests.behaviour.test_wiring_faults import JUMPER, OUTDOOR_Y2, SPLIT, Y2_WIRE, but
from tests.consistency import contradictions
from tests.standard_wirings import analysed as wired

DEMOS = ("library_hall", "swim_club", "print_shop", "clinic_attic", "archive_vault", "heat_pump_school")


@cache
def job(*changes: tuple[str, object], extra: str = "") -> Analysis:
    """The sound unit with some entries written otherwise."""
    return analyse(job_from_text(job_text(dict(changes), extra=extra)), 64)


def called(analysis: Analysis) -> dict[Repair, RepairNeeded]:
    return {one.repair: one for one in analysis.repairs.called}


def causes(analysis: Analysis) -> set[tuple[str, str | None]]:
    return {
        (one.repair.value, None if one.cause is None else str(one.cause)) for one in analysis.repairs.called
    }


# --- rows -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("repair", Repair)
def test_each_repair_has_a_proof_and_a_caution(repair: Repair) -> None:
    assert ROWS[repair].shown
    assert words.WORDS[repair].caution.file and words.WORDS[repair].lead.file
    opens = ROWS[repair].opens is not Opens.NOTHING
    assert not opens or (ROWS[repair].who is Who.LICENSED and not ROWS[repair].today)


def test_each_cause_that_a_job_can_show_has_a_repair() -> None:
    none = set(Cause) - {cause for row in ROWS.values() for cause in row.causes}
    assert none == {Cause.MILD_WEATHER_COOLING, Cause.NOTHING}


@pytest.mark.parametrize("way", Way)
def test_a_way_has_words_of_its_repair_where_it_has_a_repair(way: Way) -> None:
    assert (cause_of(way) is not None) == (WAYS[way].usual.repair != NOT_SAID)
    assert (cause_of(way) is None) == (way in (Way.CONDENSATE, Way.MELT))


def test_the_words_of_a_scope_get_the_values_that_they_ask_for() -> None:
    slots = {repair: set(words.WORDS[repair].scope.slots) for repair in Repair}
    asked = {
        Repair.LARGER_DRAIN: {"size"},
        Repair.SLOWER_AIR: {"no_drain_work"},
        Repair.FAN_TO_SPEED: {"expected", "heating"},
        Repair.FAN_RUNS: {"expected", "heating"},
        Repair.STOP_FLOODBACK: {"device"},
        Repair.CONDENSER_FAN: {"running", "all"},
        Repair.MEND_LEAK: {"at"},
        Repair.FREE_THE_AIR: {"parts"},
        Repair.FIND_WHAT_FREEZES: {"parts"},
    }
    assert {repair: names for repair, names in slots.items() if names} == asked


# --- what calls for what ----------------------------------------------------------------------------------

NOTHING_WRONG: tuple[tuple[str, object], ...] = tuple(HUMID.items())
SHORT = (("2.liquid_temperature", "96 degF"), ("2.suction_temperature", "60 degF"))
FULL = (("2.liquid_pressure", "365 psig"), ("2.liquid_temperature", "88 degF"))
"""22 °F of subcooling; liquid as warm as the air at least."""
DOES_NOT_PUMP = (
    *(("2.suction_pressure", "150 psig"), ("2.suction_temperature", "64 degF")),
    *(("2.liquid_pressure", "270 psig"), ("2.liquid_temperature", "82 degF")),
    *HUMID.items(),
)
STARVED = (("2.suction_temperature", "62 degF"), ("circuit.2.target_subcooling", None))
OVERFED = (
    *(("2.suction_temperature", "42 degF"), ("1.suction_temperature", "52 degF")),
    ("circuit.2.target_subcooling", None),
)


@pytest.mark.parametrize(
    ("changes", "repair", "cause"),
    [
        (SHORT, Repair.FIND_LEAK, "low_charge:2"),
        ((*SHORT, ("circuit.2.leak.at", "sight glass")), Repair.MEND_LEAK, "low_charge:2"),
        (FULL, Repair.WEIGH_OUT, "overcharge:2"),
        (DOES_NOT_PUMP, Repair.TRY_COMPRESSOR, "weak_compressor:2"),
        (STARVED, Repair.CLEAR_RESTRICTION, "restriction:2"),
        (OVERFED, Repair.CHECK_VALVE, "overfeeding_valve:2"),
    ],
)
def test_a_circuit_gets_the_repair_of_its_own_fault(changes, repair, cause) -> None:
    analysis = job(*changes)
    charge = {one for one in causes(analysis) if one[1] is not None and one[1].endswith(":2")}
    assert charge == {(repair.value, cause)}
    assert not any(one[1] is not None and one[1].endswith(":1") for one in causes(analysis))


def test_both_circuits_short_at_the_device_may_be_restricted_as_well() -> None:
    """No circuit stands out, and subcooling read at the device has the line's own losses in it."""
    both = [(key.replace("2.", f"{name}."), value) for name in "12" for key, value in SHORT]
    at = [(f"{name}.liquid_measured_at", "metering device") for name in "12"]
    assert causes(job(*both, *at)) == {
        ("find_leak_or_restriction", "low_charge:1"),
        ("find_leak_or_restriction", "low_charge:2"),
    }


def test_a_sound_unit_gets_none() -> None:
    analysis = job(*NOTHING_WRONG)
    assert not analysis.repairs.called and not analysis.repairs.proof_due and not analysis.quote


def test_liquid_that_may_come_back_is_stopped_whatever_the_charge() -> None:
    analysis = job(("1.suction_temperature", "39 degF"), ("circuit.1.metering", "fixed orifice"))
    needed = called(analysis)[Repair.STOP_FLOODBACK]
    assert needed.circuit == "1" and needed.values["device"] is Detail.ORIFICE and needed.cause is None
    text = words.whole(teller(Reader.FILE, "us"), needed)
    assert text.index("Compressor first") < text.index("the orifice and its size")


def test_a_compressor_that_stands_though_called_is_looked_into_and_never_bridged() -> None:
    stands = (("2.compressor_current", "0 A"), ("condition.compressors_running", None))
    analysis = job(*stands)
    needed = called(analysis)[Repair.FIND_WHAT_HOLDS_OFF]
    assert needed.circuit == "2"
    for reader in Reader:
        assert "Never bridge" in words.whole(teller(reader, "us"), needed)
    again = """
[[visit]]
date = 2026-06-25
[[visit.condition]]
calls = ["cool 1", "cool 2"]
[visit.condition.circuit.2]
compressor_current = "18 A"
"""
    later = job(*stands, extra=again)
    assert Repair.FIND_WHAT_HOLDS_OFF not in called(later)


LOADED = (("condition.filters_clean", "no"), ("signs.filters", "loaded"))


def test_the_air_is_freed_where_something_was_seen_to_hold_it() -> None:
    needed = called(job(*LOADED))[Repair.FREE_THE_AIR]
    assert str(needed.cause) == "low_airflow"
    assert "Seen: filters not clean." in words.scope(teller(Reader.CUSTOMER, "us"), needed)
    assert Repair.FREE_THE_AIR not in called(job(*NOTHING_WRONG))


def test_a_drain_that_ran_free_at_full_fan_is_not_opened() -> None:
    free = (
        ("signs.drain_flow", "free"),
        ("signs.tested_with_fan", "full"),
        ("signs.tested_with_door", "closed"),
    )
    full = job(*free, ("signs.pan_water", "full"), ("signs.water_on", "pan rim"))
    assert Repair.OPEN_DRAIN not in called(full)
    assert Repair.OPEN_DRAIN in called(job(("signs.drain_flow", "slow"), ("signs.water_on", "pan rim")))


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_no_cleaning_is_advised_of_what_was_seen_clean(audience) -> None:
    """59 % of the rated air at full speed: the parts that nobody saw in order, and no others."""
    seen = (("signs.filters", "clean"), ("signs.coil_face", "clean"), ("signs.belt", "tight"))
    short = job(("air.airflow", "4700 cfm"), *seen)
    assert called(short)[Repair.FREE_THE_AIR].values["parts"] == ("dampers", "duct")
    told = str([block for block in memo.blocks(short, audience) if "Seen on site" not in str(block)])
    assert "(dampers, duct)" in told or "dampers and duct" in told
    for clean in ("filters and coil", "filters, coil face", "Clean or replace"):
        assert clean not in told


def test_ice_that_nothing_explains_is_looked_into() -> None:
    iced = (("signs.frost_on", "tubes"), ("condition.coil_thawed", "no"))
    assert Repair.FIND_WHAT_FREEZES in called(job(*iced))
    assert Repair.FIND_WHAT_FREEZES not in called(job(*iced, *LOADED))


# --- the drain --------------------------------------------------------------------------------------------

WET = (("job.water_seen", "1 to 4 gal/day"), ("signs.water_on", "cabinet floor"))


@pytest.mark.parametrize(
    ("drain", "where"),
    [
        # A 20-ton unit: 3/4 in and 1 % by the mechanical code, 1.25 in by the design table.
        ((("unit.drain.size", "3/4 in"), ("unit.drain.slope", "1/16 in/ft")), "called"),
        ((("unit.drain.size", "1 in"),), "advised"),
        ((("unit.drain.size", "1 in"), ("signs.drain_flow", "blocked")), "called"),
        ((("unit.drain.size", "1-1/4 in"),), ""),
    ],
)
def test_a_drain_line_is_repaired_only_where_it_failed(drain, where) -> None:
    analysis = job(*WET, *drain)
    for part in ("called", "advised"):
        there = Repair.LARGER_DRAIN in {one.repair for one in getattr(analysis.repairs, part)}
        assert there == (part == where), part
    quoted = {line.repair for line in analysis.quote}
    assert (Repair.LARGER_DRAIN in quoted) == (where == "called")


def test_demos_repair_what_their_truth_says() -> None:
    """Causes by the truth files beside the demos; what was put right waits for its proof alone."""
    assert causes(demo("library_hall")) == {("fit_guard", None), ("mend_leak", "low_charge:2")}
    assert causes(demo("swim_club")) == {("fit_guard", None)}
    assert causes(demo("print_shop")) == set()
    assert causes(demo("clinic_attic")) == set()
    assert causes(demo("archive_vault")) == {("above_the_unit", "outside_water")}
    assert causes(demo("heat_pump_school")) == {("find_guard", None), ("fan_to_speed", "fan_stuck_low")}
    waiting = {one.repair for one in demo("swim_club").repairs.proof_due}
    assert waiting == {Repair.REBUILD_TRAP}
    assert called(demo("archive_vault"))[Repair.ABOVE_THE_UNIT].row.who is Who.OWNER


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_waits_that_is_still_called_for(name: str) -> None:
    analysis = demo(name)
    for one in analysis.repairs.called:
        end = None if one.cause is None else ended(analysis.put_right, one.cause.cause, one.cause.circuit)
        assert end is None or end.open or one.repair is Repair.MEND_LEAK
    waiting = {str(one.cause) for one in analysis.repairs.proof_due}
    assert waiting == {str(end.at) for end in analysis.put_right if not end.open}


# --- after a repair ---------------------------------------------------------------------------------------

MENDED = '\n[[visit]]\ndate = 2026-06-25\n[[visit.work]]\nkind = "repaired"\nmends = ["low_charge:2"]\n'
AGAIN = """
[[visit]]
date = 2026-07-25
[[visit.condition]]
calls = ["cool 1", "cool 2"]
running_for = "25 min"
coil_thawed = "yes"
filters_clean = "yes"
[visit.condition.air]
return_dry_bulb = "75 degF"
outdoor_dry_bulb = "85 degF"
airflow = "7600 cfm"
fan_frequency = "60 Hz"
[visit.condition.circuit.2]
suction_pressure = "118 psig"
suction_temperature = "60 degF"
liquid_pressure = "317 psig"
liquid_temperature = "96 degF"
compressor_current = "18 A"
"""


def test_a_repair_that_was_done_is_not_called_for_again_and_one_that_came_back_is() -> None:
    once, back = job(*SHORT, extra=MENDED), job(*SHORT, extra=MENDED + AGAIN)
    assert not once.repairs.called and {str(one.cause) for one in once.repairs.proof_due} == {"low_charge:2"}
    assert not once.quote
    assert causes(back) == {("find_leak", "low_charge:2")} and not back.repairs.proof_due


def test_a_leak_that_was_found_is_mended_though_the_charge_reads_right() -> None:
    analysis = job(("circuit.2.leak.at", "sight glass"))
    assert causes(analysis) == {("mend_leak", "low_charge:2")}


def test_a_leak_that_was_repaired_and_reads_right_is_proved_and_not_quoted() -> None:
    """The circuit's table or the work says that it was repaired; the charge read since is as charted."""
    full = AGAIN.replace('"60 degF"', '"50 degF"').replace('"96 degF"', '"88 degF"')
    leak = '\n[circuit.2.leak]\nat = "sight glass"\n'
    for done in (MENDED + full + leak, full + leak + "repaired = 2026-07-20\n"):
        analysis = job(*SHORT, extra=done)
        assert not causes(analysis) and not analysis.quote
        assert {str(one.cause) for one in analysis.repairs.proof_due} == {"low_charge:2"}


def test_a_known_leak_that_was_closed_is_not_looked_for_at_its_old_place() -> None:
    leak = (("circuit.2.leak.at", "sight glass"), ("circuit.2.leak.found_by", "soap"))
    back = job(*SHORT, *leak, extra=MENDED + AGAIN)
    assert causes(back) == {("find_leak", "low_charge:2")}


# --- control wiring ---------------------------------------------------------------------------------------

LANDED = '\n[[visit]]\ndate = 2026-06-18\n[[visit.work]]\nkind = "temporary measure"\nexpires = 2026-07-02\n'


def test_a_jumper_that_runs_a_compressor_comes_off() -> None:
    feeding = wired(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER], visit=LANDED)
    assert called(feeding)[Repair.TAKE_JUMPER_OFF].cause is not None
    removed = LANDED.replace("expires = 2026-07-02", "expires = 2026-07-02\nremoved = 2026-06-20")
    off = wired(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER], visit=removed)
    assert Repair.TAKE_JUMPER_OFF not in called(off)
    sound = wired(SPLIT, found=but(SPLIT, Y2_WIRE, OUTDOOR_Y2), temporary=[JUMPER], visit=LANDED)
    assert Repair.TAKE_JUMPER_OFF not in called(sound)


def test_a_fault_of_the_wiring_is_mended_though_no_reading_shows_it() -> None:
    needed = called(wired(SPLIT, found=but(SPLIT, Y2_WIRE)))[Repair.MEND_WIRING]
    text = words.whole(teller(Reader.FILE, "us"), needed)
    assert text.index("proved dead") < text.index("land the wire from") < text.index("prove every call")
    assert Repair.MEND_WIRING not in called(wired(SPLIT))


# --- proof ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_every_repair_called_for_or_done_is_to_be_proved(name: str) -> None:
    analysis = demo(name)
    repairs = {one.repair for one in (*analysis.repairs.called, *analysis.repairs.proof_due)}
    assert {one.needed.repair for one in analysis.proof} == repairs
    for one in analysis.proof:
        ends = [end for end in (one.low, one.target, one.high) if end is not None]
        assert ends == sorted(ends) and (one.unit is None) == (not ends)


def test_the_fan_is_proved_in_cooling_and_where_it_heats_slow() -> None:
    """60 Hz by the demo's own plate."""
    speeds = [one for one in demo("heat_pump_school").proof if one.quantity is Shown.FAN_SPEED]
    assert [one.calls for one in speeds] == [(Call.COOL_1, Call.COOL_2), (Call.HEAT_1, Call.HEAT_2)]
    assert {(one.target, one.unit) for one in speeds} == {(60.0, "Hz")}


def test_a_trap_is_proved_by_its_size_and_by_a_run() -> None:
    """160 min: in tens above the 95 % of the pan's filling that the demo's water notebook shows."""
    proofs = {one.quantity: one for one in demo("swim_club").proof}
    trap = demo("swim_club").water.trap
    assert proofs[Shown.TRAP_HEIGHT].low == trap.required_height.value
    assert proofs[Shown.TRAP_SEAL].low == trap.required_seal.value
    run = proofs[Shown.PAN_RUN]
    assert run.low is not None and run.low % 600.0 == 0.0
    assert run.low >= 60.0 * demo("swim_club").water.filling.minutes.high


def test_an_opened_circuit_is_proved_by_a_vacuum_and_its_own_target() -> None:
    """500 micron (makers' manuals); 12 °F within 3 °F (California Title 24 RA3.2.2.6, installer)."""
    proofs = {one.quantity: one for one in job(*SHORT).proof}
    assert proofs[Shown.VACUUM].high == pytest.approx(66.66, abs=0.01) and VACUUM < 100.0
    cool = proofs[Shown.SUBCOOLING]
    assert (cool.low, cool.target, cool.high) == pytest.approx((5.0, 20 / 3, 25 / 3))
    assert str(cool.cause) == "low_charge:2"


def test_a_charge_answers_for_itself_alone() -> None:
    """Little superheat beside the other circuit, a worn compressor: each keeps its repair."""
    leak = '[circuit.2.leak]\nat = "drier"\n'
    for changes, more in ((OVERFED, Repair.CHECK_VALVE), (DOES_NOT_PUMP, Repair.TRY_COMPRESSOR)):
        alone, both = called(job(*changes)), called(job(*changes, extra=leak))
        assert more in alone and {more, Repair.MEND_LEAK} <= set(both)
    low = called(job(*OVERFED, ("circuit.2.target_subcooling", "20 degF")))
    assert {Repair.CHECK_VALVE, Repair.FIND_LEAK} <= set(low)


def test_a_circuit_that_looks_restricted_later_has_no_valve_that_feeds_too_much() -> None:
    """The two exclude each other: the later reading counts, and one of them is repaired."""
    _, _, later = job_text(dict(STARVED)).partition("[[visit.condition]]")
    extra = f"[[visit]]\ndate = 2026-06-25\n[[visit.condition]]{later.replace('as found', 'later')}"
    twice = job(*OVERFED, extra=extra)
    assert [str(end.at) for end in twice.put_right if end.open] == ["restriction:2"]
    assert Repair.CLEAR_RESTRICTION in called(twice) and contradictions(twice) == []
