"""What may be done today: each decision beside its neighbour, and no decision weaker than its findings.

What each case asks for is common practice of the trade, without a source, where none is named.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaccalc import analyse
from hvaccalc.analysis import Analysis
from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.job.causes import Cause, Way
from hvaccalc.job.load import job_from_text
from hvaccalc.report import memo
from hvaccalc.report.blocks import Caution
from hvaccalc.service.may_run.concern import Do, Why
from hvaccalc.service.may_run.running import Running
from hvaccalc.service.put_right import ended
from hvaccalc.service.question_rows import ROWS
from hvaccalc.service.repair.repair_rows import Repair
from hvaccalc.service.today import Decision, Today
from hvaccalc.severity import Severity
from tests.behaviour.jobs import HUMID, SOUND, analysis_of, demo_text, job_text
from tests.behaviour.test_memo_visits import DEMOS, analysed, changed
from tests.consistency import weaker_than_findings, weaker_than_the_job

FIRST, FULL = Running(Mode.COOL, 1), Running(Mode.COOL, 2)
FAN, OFF, HEAT = Running(Mode.FAN), Running(Mode.OFF), Running(Mode.HEAT, 2)
LOW_FAN = {"air.fan_frequency": "36 Hz"}
SECOND_VISIT = "\n[[visit]]\ndate = 2026-06-25\n"


def of(changes: dict | None = None, extra: str = "") -> Analysis:
    return analyse(job_from_text(job_text(changes, extra=extra)), 64)


def on(analysis: Analysis, running: Running) -> Today:
    return next(one for one in analysis.today if one.running == running)


def steps(one: Today) -> set[Do]:
    return {Do(step.what.code) for step in one.do}


def test_a_sound_unit_runs_in_every_way() -> None:
    sound = of()
    assert [one.where for one in sound.today] == [
        (Call.FAN,), (Call.COOL_1,), (Call.COOL_1, Call.COOL_2)
    ]  # fmt: skip
    assert {one.decision for one in sound.today} == {Decision.RUN}
    assert not any(one.do or one.why for one in sound.today)


def test_a_low_fan_locks_the_second_stage_out() -> None:
    low = of(LOW_FAN)
    assert on(low, FULL).decision is Decision.RUN_REDUCED
    assert steps(on(low, FULL)) >= {Do.LOCK_OUT_UNREAD}
    assert on(low, FIRST).decision is Decision.RUN and steps(on(low, FIRST)) >= {Do.LOCK_OUT_UNREAD}
    assert on(low, FAN).decision is Decision.RUN and Do.LOCK_OUT_UNREAD not in steps(on(low, FAN))


def test_a_fan_that_stands_stops_all_cooling_and_not_the_fan() -> None:
    stands = of({"air.fan_frequency": "0 Hz", "air.airflow": None})
    assert {on(stands, running).decision for running in (FIRST, FULL)} == {Decision.STOP}
    assert Do.FAN_STANDS in steps(on(stands, FULL))
    assert on(stands, FAN).decision is Decision.RUN


REPAIR = '[[visit.work]]\nkind = "repaired"\n'
RIGHT = '[[visit.condition]]\ncalls = ["cool 1", "cool 2"]\n[visit.condition.air]\nfan_frequency = "60 Hz"\n'


def test_a_note_frees_nothing_mends_asks_for_its_proof_and_a_reading_frees() -> None:
    noted = of(LOW_FAN, SECOND_VISIT + REPAIR + 'note = "Fan preset assigned."\n')
    assert on(noted, FULL).decision is Decision.RUN_REDUCED
    mended = of(LOW_FAN, SECOND_VISIT + REPAIR + 'mends = ["fan_stuck_low"]\n')
    assert on(mended, FULL).decision is Decision.RUN and Do.PROVE_FAN in steps(on(mended, FULL))
    read = of(LOW_FAN, SECOND_VISIT + RIGHT)
    assert on(read, FULL).decision is Decision.RUN and not steps(on(read, FULL)) & {
        Do.PROVE_FAN,
        Do.LOCK_OUT,
        Do.LOCK_OUT_UNREAD,
    }


COLD = {**LOW_FAN, "1.suction_pressure": "95 psig", "2.suction_pressure": "95 psig"}
"""Suction saturated at 29 °F (R-410A card): the coil freezes with the fan low."""
WARM_AGAIN = """[visit.condition.circuit.1]
suction_pressure = "118 psig"
[visit.condition.circuit.2]
suction_pressure = "118 psig"
"""
FAN_MENDED = SECOND_VISIT + REPAIR + 'mends = ["fan_stuck_low"]\n'


def test_a_coil_that_froze_waits_for_its_proof_after_a_repair_that_nobody_read() -> None:
    """The work alone says that the fan follows: both stages run for the proof alone, and it can be read."""
    mended = of(COLD, FAN_MENDED)
    full = on(mended, FULL)
    assert full.decision is Decision.RUN_REDUCED and full.proof and Do.PROVE_COLD in steps(full)
    read = of(COLD, FAN_MENDED + SECOND_VISIT.replace("25", "26") + RIGHT + WARM_AGAIN)
    assert on(read, FULL).decision is Decision.RUN and not on(read, FULL).proof
    assert Do.PROVE_COLD not in steps(on(read, FULL))


def test_the_fan_read_right_frees_the_coil_only_where_no_cause_of_ice_is_left() -> None:
    only = of(COLD, SECOND_VISIT + RIGHT)
    assert on(only, FULL).decision is Decision.RUN and Do.WATCH_COLD in steps(on(only, FULL))
    loaded = of({**COLD, "condition.filters_clean": "no"}, SECOND_VISIT + RIGHT)
    assert on(loaded, FULL).decision is Decision.RUN_REDUCED


def test_one_stage_that_froze_is_read_again_though_it_stays_off() -> None:
    """Nothing lies below: off until it is read, and the reading is still offered."""
    one = {key: value for key, value in COLD.items() if not key.startswith("2.")}
    gone = {key: None for key in SOUND if key.startswith(("2.", "circuit.2."))}
    single = {**one, **gone, "condition.compressors_running": ["1"], "condition.calls": ["cool 1"]}
    dirty = {**single, "condition.filters_clean": "no", "air.fan_frequency": None}
    before = of(dirty)
    assert on(before, FIRST).decision is Decision.STOP and not on(before, FIRST).proof
    after = of(dirty, SECOND_VISIT + REPAIR + 'mends = ["low_airflow"]\n')
    assert on(after, FIRST).decision is Decision.STOP and on(after, FIRST).proof
    runs = [one for one in after.questions if one.reading is not None and ROWS[one.reading].runs]
    assert runs and not [one for one in before.questions if one.reading and ROWS[one.reading].runs]


def test_a_fan_that_stood_and_a_circuit_that_flooded_wait_for_their_proof_too() -> None:
    stands = {"air.fan_frequency": "0 Hz", "air.airflow": None}
    mended = of(stands, SECOND_VISIT + REPAIR + 'mends = ["cooling_without_fan"]\n')
    assert on(mended, FULL).decision is Decision.STOP and on(mended, FULL).proof
    assert Do.PROVE_FAN in steps(on(mended, FULL))
    floods = {"2.suction_temperature": "36 degF"}
    valve = of(floods, SECOND_VISIT + REPAIR + 'mends = ["overfeeding_valve:2"]\n')
    assert on(valve, FULL).decision is Decision.RUN_REDUCED and on(valve, FULL).proof
    assert on(valve, FIRST).decision is Decision.RUN


def test_ice_that_was_thawed_still_says_that_the_coil_froze() -> None:
    thawed = of({"condition.coil_thawed": "no"}, SECOND_VISIT + '[[visit.work]]\nkind = "thawed"\n')
    assert on(thawed, FULL).decision is Decision.RUN_REDUCED and Do.LESS_COLD in steps(on(thawed, FULL))


def test_a_measure_that_stands_and_works_stays_until_its_end() -> None:
    school = analysed("heat_pump_school")
    assert on(school, FULL).decision is Decision.RUN and Do.KEEP_MEASURE in steps(on(school, FULL))
    gone = changed("heat_pump_school", ("expires = 2026-05-20", "expires = 2026-05-20\nremoved = 2026-05-08"))
    assert on(gone, FULL).decision is Decision.RUN_REDUCED
    assert Do.LOCK_OUT in steps(on(gone, FULL)) and Do.KEEP_MEASURE not in steps(on(gone, FULL))
    for one in (school, gone):
        assert on(one, HEAT).decision is Decision.STOP and Do.HEATING_OFF in steps(on(one, HEAT))


def test_cooling_read_right_does_not_free_heating() -> None:
    hall = changed("library_hall", ('kind = "cooling"', 'kind = "heat pump"'))
    assert on(hall, FULL).decision is Decision.RUN
    assert on(hall, HEAT).decision is Decision.STOP and Do.HEATING_UNPROVED in steps(on(hall, HEAT))


# --- a compressor without a call, an overloaded motor: physics.md 16 -------------------------------------


@pytest.mark.parametrize(
    ("fan", "decision", "step"),
    [
        ("36 Hz", Decision.STOP, Do.OFF_WITHOUT_CALL),
        ("0 Hz", Decision.STOP, Do.OFF_WITHOUT_CALL),
        ("60 Hz", Decision.RUN, Do.REMOVE_FEED),
    ],
)
def test_a_compressor_without_a_call(fan: str, decision: Decision, step: Do) -> None:
    """Act: the feed comes off today; with the fan low or off: stop."""
    fed = of({"condition.calls": ["fan"], "air.fan_frequency": fan, "air.airflow": None})
    assert on(fed, FAN).decision is decision and step in steps(on(fed, FAN))
    # What is off at its disconnect answers no call either.
    assert {on(fed, running).decision for running in (FIRST, FULL)} == {decision}
    off = of({"condition.calls": [], "air.fan_frequency": fan, "air.airflow": None})
    assert on(off, OFF).decision is decision and step in steps(on(off, OFF))


def test_a_unit_that_is_off_and_stands_is_no_concern() -> None:
    still = {f"{name}.{key}": None for name in "12" for key in ("compressor_current", "liquid_pressure")}
    off = of(
        {"condition.calls": [], "condition.compressors_running": [], **still, "air.fan_frequency": "0 Hz"}
    )
    assert not any(one.running == OFF for one in off.today)


MOTOR = {"unit.fan.motor_full_load_current": "10 A", "unit.fan.service_factor": 1.15}


@pytest.mark.parametrize(
    ("drive", "amperes", "decision", "step"),
    [
        ("belt, fixed", "13 A", Decision.STOP, Do.OFF_FOR_MOTOR),
        ("variable frequency", "13 A", Decision.RUN_REDUCED, Do.SLOW_FAN),
        ("belt, fixed", "10.8 A", Decision.RUN, Do.MOTOR_WARM),
        ("belt, fixed", "8 A", Decision.RUN, None),
    ],
)
def test_a_motor_above_its_plate(drive: str, amperes: str, decision: Decision, step: Do | None) -> None:
    """Plate 10 A, service factor 1.15: 11.5 A is the limit. Stop, or reduce the speed before leaving."""
    at = {"air.fan_current_at": "drive output"} if drive == "variable frequency" else {}
    loaded = of({**MOTOR, "unit.fan.drive": drive, "air.fan_current": amperes, **at})
    assert on(loaded, FULL).decision is decision
    motor = {Do.OFF_FOR_MOTOR, Do.SLOW_FAN, Do.MOTOR_WARM}
    assert steps(on(loaded, FULL)) & motor == ({step} if step else set())


def test_a_motor_above_its_plate_stops_a_slow_fan_and_is_repaired() -> None:
    """12 A at 36 Hz on a plate of 10.4 A: slower is no cure, whatever a full speed would ask."""
    plate = {"unit.fan.motor_full_load_current": "10.4 A", "air.fan_current_at": "drive output"}
    slow = of({**LOW_FAN, **plate, "air.fan_current": "12 A"})
    assert on(slow, FULL).decision is Decision.STOP and Do.OFF_FOR_MOTOR in steps(on(slow, FULL))
    assert [f.severity for f in slow.findings if f.key == "fan.motor_load"] == [Severity.STOP]
    assert Repair.UNLOAD_MOTOR in {one.repair for one in slow.repairs.called}
    later = """[visit.condition.air]\nfan_frequency = "60 Hz"\nfan_current = "9 A"
fan_current_at = "drive output"\n"""
    ran = '[[visit.condition]]\ncalls = ["cool 1", "cool 2"]\n'
    same_day = of({**LOW_FAN, **plate, "air.fan_current": "12 A"}, ran + later)
    assert Do.OFF_FOR_MOTOR in steps(on(same_day, FULL))
    read = of({**LOW_FAN, **plate, "air.fan_current": "12 A"}, SECOND_VISIT + ran + later)
    assert Do.OFF_FOR_MOTOR not in steps(on(read, FULL))
    assert Repair.UNLOAD_MOTOR not in {one.repair for one in read.repairs.called}


# --- coil, circuits, water -------------------------------------------------------------------------------


def test_ice_stops_cooling_until_it_is_thawed() -> None:
    iced = of({"condition.coil_thawed": "no"})
    assert on(iced, FULL).decision is Decision.STOP and Do.THAW in steps(on(iced, FULL))
    assert on(iced, FAN).decision is Decision.RUN and Do.THAW in steps(on(iced, FAN))
    thawed = of({"condition.coil_thawed": "no"}, SECOND_VISIT + '[[visit.work]]\nkind = "thawed"\n')
    assert Do.THAW not in steps(on(thawed, FULL))


LEAK = '[circuit.2.leak]\nat = "flare"\n'


def test_a_leaking_circuit_that_must_not_run_takes_its_stage_with_it() -> None:
    """107 °F liquid at 346.5 psig, saturated at 106 °F: gas in the line; circuit 2 is the second stage."""
    hall = analysed("library_hall")
    assert on(hall, FULL).decision is Decision.RUN and Do.LEAK_MAY_RUN in steps(on(hall, FULL))
    warm = ('liquid_temperature = { value = "101.9 degF"', 'liquid_temperature = { value = "107 degF"')
    off = changed("library_hall", warm)
    assert on(off, FULL).decision is Decision.RUN_REDUCED and Do.LEAK_OFF in steps(on(off, FULL))
    assert on(off, FIRST).decision is Decision.RUN and Do.LEAK_OFF not in steps(on(off, FIRST))


def test_floodback_on_the_first_circuit_leaves_nothing_to_run() -> None:
    """Suction gas at 38 °F with suction saturated at 40 °F (118 psig on the card): no superheat."""
    flooded = of({"1.suction_temperature": "38 degF"})
    assert {on(flooded, running).decision for running in (FIRST, FULL)} == {Decision.STOP}
    second = of({"2.suction_temperature": "38 degF"})
    assert on(second, FIRST).decision is Decision.RUN
    assert on(second, FULL).decision is Decision.RUN_REDUCED


def test_frost_on_the_compressor_confirms_liquid_that_may_come_back() -> None:
    """At 41.5 °F the superheat of 1.5 °F is nil within its band; frost on the compressor settles it."""
    frosted = of({"1.suction_temperature": "41.5 degF", "signs.frost_on": ["compressor"]})
    assert {on(frosted, running).decision for running in (FIRST, FULL)} == {Decision.STOP}
    assert frosted.conditions[0].charges["1"].superheat_severity is Severity.STOP
    check(frosted)


@pytest.mark.parametrize(
    ("changes", "step"),
    [
        ({"1.condenser_fans_running": "1 of 2"}, Do.CONDENSER_FANS),
        ({"circuit.1.rated_load_current": "16 A"}, Do.OVERLOADED),
    ],
)
def test_a_condenser_fan_that_stands_or_an_overloaded_compressor_keeps_its_circuit_off(changes, step) -> None:
    """18 A are 112 % of 16 A; 17 A would be 106 % and a remark. A sound circuit may cool beside it."""
    off = of(HUMID | changes)
    assert on(off, FIRST).decision is Decision.STOP and on(off, FULL).decision is Decision.RUN_REDUCED
    assert step in steps(on(off, FIRST)) and on(off, FAN).decision is Decision.RUN
    alone = {one.circuit: one.what for one in on(off, FULL).do if one.what.code is Do.CIRCUIT_OUT}
    assert {name: what.values for name, what in alone.items()} == {"1": {"left": ("2",)}}
    assert Do.CIRCUIT_OUT not in steps(on(off, FIRST))
    second = of(HUMID | {key.replace("1.", "2.", 1): value for key, value in changes.items()})
    assert on(second, FULL).decision is Decision.RUN_REDUCED and on(second, FIRST).decision is Decision.RUN
    both = of(HUMID | changes | {key.replace("1.", "2.", 1): value for key, value in changes.items()})
    assert {on(both, running).decision for running in (FIRST, FULL)} == {Decision.STOP}
    unread = of(HUMID | changes | {"2.suction_pressure": None})
    assert on(unread, FULL).decision is Decision.STOP
    assert on(of({"circuit.1.rated_load_current": "17 A"}), FIRST).decision is Decision.RUN
    for one in (off, second, both):
        check(one)


def test_a_circuit_that_is_cold_by_itself_does_not_run_alone() -> None:
    """88 psig is 26 °F on the card, 118 psig of the other 40 °F: without the second stage it freezes on."""
    cold = of({"1.suction_pressure": "88 psig"})
    assert {on(cold, running).decision for running in (FIRST, FULL)} == {Decision.STOP}
    assert Do.COLD_CIRCUIT in steps(on(cold, FIRST)) and Do.LESS_COLD not in steps(on(cold, FULL))
    second = of({"2.suction_pressure": "88 psig"})
    assert on(second, FIRST).decision is Decision.RUN and on(second, FULL).decision is Decision.RUN_REDUCED
    (less,) = (step.what for step in on(second, FULL).do if step.what.code is Do.LESS_COLD)
    assert less.values == {"stage": "2"}


def test_cold_refrigerant_over_metal_above_freezing_is_not_called_ice() -> None:
    """96 psig is 30 °F on the card; with its share of the air the metal of that circuit stands warmer."""
    cold = of(HUMID | {"1.suction_pressure": "96 psig"})
    risk = cold.conditions[0].freeze
    assert risk is not None and risk.suction_probability.value > 0.5 > risk.fin.value
    assert not risk.likely and risk.suction_severity is Severity.WATCH
    assert Do.COLD_CIRCUIT in steps(on(cold, FIRST)) and on(cold, FULL).decision is Decision.RUN_REDUCED
    for audience in memo.AUDIENCES:
        told = str(memo.blocks(cold, audience))
        assert "Ice that melts" not in told and "coil would freeze" not in told
    check(cold)


BURNS = {"circuit.1.refrigerant": "R-454B", "signs.leak_detector": "alarm"}


def test_a_detector_in_alarm_beside_a_flammable_refrigerant_comes_before_everything() -> None:
    """R-454B is A2L (ANSI/ASHRAE 34), R-410A A1; a leak at the outdoor coil lets nothing indoors."""
    alarm = of(BURNS)
    assert on(alarm, FIRST).decision is Decision.STOP and on(alarm, FULL).decision is Decision.STOP
    assert Why.GAS in whys(on(alarm, FAN)) and Do.GAS in steps(on(alarm, FAN))
    for audience in memo.AUDIENCES:
        box = next(block for block in memo.blocks(alarm, audience) if isinstance(block, Caution))
        assert box.title == "Stop: flammable refrigerant" and "touch no switch" in box.items[0].text
    # Nothing else sends anybody in.
    assert {code for one in alarm.today for code in steps(one)} == {Do.GAS}
    for quiet in ({"circuit.1.refrigerant": "R-410A"}, {"circuit.1.leak.at": "outdoor coil"}):
        assert Why.GAS not in whys(on(of(BURNS | quiet), FAN))


def test_nothing_is_added_or_taken_beside_cannot_tell() -> None:
    gated = of({"condition.filters_clean": "no"})
    for running in (FIRST, FULL):
        told = steps(on(gated, running))
        assert Do.CANNOT_TELL in told and not told & {Do.LOW, Do.HIGH, Do.LEAK_MAY_RUN}


def test_a_full_pan_keeps_the_cooling_off_and_an_empty_one_does_not() -> None:
    wet = {"visit.signs.water_on": ["pan rim"]}
    full = of({**wet, "visit.signs.pan_water": "full"})
    assert on(full, FULL).decision is Decision.STOP and Do.PAN_FULL in steps(on(full, FULL))
    assert on(full, FAN).decision is Decision.RUN
    film = of({**wet, "visit.signs.pan_water": "film"})
    assert on(film, FULL).decision is Decision.RUN and Do.CATCH in steps(on(film, FULL))


def test_a_bridged_safety_stops_everything_that_runs() -> None:
    noted = '[[visit.work]]\nkind = "temporary measure"\nnote = "Jumped out the freeze stat."\n'
    bridged = of({}, SECOND_VISIT + noted)
    assert {one.decision for one in bridged.today} == {Decision.STOP}
    assert Do.TAKE_BRIDGE_OUT in steps(on(bridged, FAN))


def test_a_phone_call_says_what_to_leave_alone() -> None:
    text = job_text()
    call = analyse(job_from_text(text[: text.index("[[visit]]")]), 64)
    assert [one.running for one in call.today] == [FAN, FIRST, FULL]
    assert all(Do.READ_FIRST in steps(one) for one in call.today)
    assert {one.decision for one in call.today} == {Decision.NOT_DECIDED}


def test_json_has_texts() -> None:
    (fan, first, full) = of(LOW_FAN).as_dict()["today"]
    assert fan == {"decision": "run", "where": ["fan"], "why": "", "do": ""}
    assert full["decision"] == "run reduced" and full["where"] == ["cool 1", "cool 2"]
    assert "fan low with second stage" in full["why"].lower() and "lock the second stage out" in full["do"]
    assert first["do"]


FILLED = '[[visit.work]]\nkind = "temporary measure"\nnote = "Trap filled by hand."\n'
AS_FOUND = {
    "visit.signs.water_on": ["filters", "cabinet floor"],
    "visit.signs.trap": "dry",
    "visit.signs.drain_air": "drawn in",
    "visit.signs.pan_water": "standing",
}
UNDER_IT = (
    SECOND_VISIT
    + RIGHT
    + '[visit.condition.signs]\ntrap = "sealed"\ndrain_air = "none"\npan_water = "film"\n'
    'drain_flow = "free"\ntested_with_fan = "full"\ntested_with_door = "closed"\n'
)


def test_a_trap_filled_by_hand_stays_the_explanation_and_today_names_the_measure() -> None:
    for later in ("", UNDER_IT):
        filled = of(AS_FOUND, FILLED + later)
        trap = ended(filled.put_right, Cause.TRAP)
        assert trap is not None and trap.open and Way.TRAP in filled.water.those(Ability.CAN)
        assert Do.MEASURE_TRAP in steps(on(filled, FULL))
    assert trap.held is not None and trap.held.visit == 2
    off = of(AS_FOUND, FILLED + "removed = 2026-06-20\n" + UNDER_IT)
    assert Do.MEASURE_TRAP not in steps(on(off, FULL))
    rebuilt = of(AS_FOUND, FILLED + SECOND_VISIT + REPAIR + 'mends = ["trap"]\n')
    assert Do.MEASURE_TRAP not in steps(on(rebuilt, FULL))


@pytest.mark.parametrize("audience", ["customer", "file"])
def test_the_memo_says_what_happens_when_the_measure_fails(audience: str) -> None:
    filled = of(AS_FOUND, FILLED + UNDER_IT)
    told = [str(block) for block in memo.blocks(filled, audience)]
    assert any("dries out" in block for block in told)
    drip = of(LOW_FAN, '[[visit.work]]\nkind = "temporary measure"\nnote = "Bucket below."\n')
    assert any("the cause stays" in str(block) for block in memo.blocks(drip, audience))


def whys(one: Today) -> set[Why]:
    return {Why(reason.code) for reason in one.why}


def test_a_wiring_table_that_the_readings_outdid_is_no_reason_any_more() -> None:
    """The hall's table has the preset missing; the fan was read at full speed on the return visit."""
    hall = analysed("library_hall")
    assert Why.TABLE in whys(on(hall, FULL)) and not whys(on(hall, FULL)) & {Why.WIRED, Why.FAULT}
    assert Do.CHECK_TABLE in steps(on(hall, FULL))
    text = demo_text("library_hall")
    first = analysis_of(text[: text.rindex("[[visit]]")])
    assert whys(on(first, FULL)) & {Why.FAULT} and Why.TABLE not in whys(on(first, FULL))
    by_table = [one for one in hall.as_dict()["today"] if "by the wiring table: fan low" in one["why"]]
    assert not by_table


# --- never weaker than the most severe finding -----------------------------------------------------------


def check(analysis: Analysis) -> None:
    assert not list(weaker_than_findings(analysis))


@pytest.mark.parametrize("name", DEMOS)
def test_no_demo_is_decided_weaker_than_its_findings(name: str) -> None:
    check(analysed(name))


MUTATIONS = st.fixed_dictionaries(
    {},
    optional={
        "air.fan_frequency": st.sampled_from(["0 Hz", "30 Hz", "36 Hz", "60 Hz"]),
        "air.airflow": st.sampled_from([None, "3500 cfm", "5000 cfm", "8000 cfm"]),
        "condition.calls": st.sampled_from([[], ["fan"], ["cool 1"], ["cool 1", "cool 2"], ["heat 1"]]),
        "condition.coil_thawed": st.sampled_from(["yes", "no", "unknown"]),
        "unit.kind": st.sampled_from(["cooling", "heat pump"]),
        "1.suction_pressure": st.sampled_from(["95 psig", "118 psig", "-5 psig", "150 psig"]),
        "2.suction_temperature": st.sampled_from(["36 degF", "50 degF", "75 degF"]),
        "2.liquid_temperature": st.sampled_from(["70 degF", "88 degF", "101 degF"]),
        "1.compressor_current": st.sampled_from(["0 A", "18 A"]),
        "air.fan_current": st.sampled_from(["8 A", "10.8 A", "14 A"]),
        "unit.fan.drive": st.sampled_from(["belt, fixed", "variable frequency", "two speed motor"]),
        "visit.signs.pan_water": st.sampled_from(["dry", "full", "overflowing"]),
        "visit.signs.trap": st.sampled_from(["none", "dry", "sealed"]),
        "visit.signs.float_switch": st.sampled_from(["none", "fitted"]),
        "visit.signs.water_on": st.sampled_from([["filters"], ["cabinet floor"], ["above the unit"]]),
        "unit.drain.pan_suction": st.just("1.5 inH2O"),
    },
)
LATER = st.sampled_from(
    [
        "",
        SECOND_VISIT + RIGHT,
        SECOND_VISIT + REPAIR + 'mends = ["fan_stuck_low"]\n',
        SECOND_VISIT + REPAIR + 'note = "Trap not rebuilt."\n',
        SECOND_VISIT + '[[visit.work]]\nkind = "temporary measure"\nexpires = 2026-06-20\n',
    ]
)


@settings(max_examples=60, deadline=None)
@given(MUTATIONS, LATER)
def test_no_decision_is_weaker_than_its_findings(changes: dict, later: str) -> None:
    """Over readings, signs, plates and second visits changed at random."""
    check(of({**MOTOR, **changes}, later))


WIRES = [
    ["thermostat.G", "handler.G"],
    ["thermostat.Y1", "handler.Y1"],
    ["thermostat.Y2", "handler.Y2"],
    ["handler.Y1", "outdoor.Y1"],
    ["handler.Y2", "outdoor.Y2"],
    ["handler.G", "drive.input_1"],
    ["handler.Y2", "drive.input_2"],
]
FED = [*WIRES, ["handler.G", "outdoor.Y1"]]
"""A wire from the fan's terminal to the first stage: its compressor runs with the fan alone."""

WIRINGS = {
    "as designed": {},
    "wire missing": {"wiring.found": WIRES[:-1]},
    "second stage not reached": {"wiring.found": [pair for pair in WIRES if pair != WIRES[4]]},
    "back-feed": {"wiring.found": FED},
    "jumper": {"wiring.found": WIRES[:-1], "wiring.temporary": [["handler.G", "drive.input_2"]]},
    "jumper that feeds back": {"wiring.temporary": [["handler.G", "outdoor.Y1"]]},
}
SPEEDS = """
[[wiring.fan_speed]]
input = "drive.input_1"
designed = "36 Hz"
found = "36 Hz"
[[wiring.fan_speed]]
input = "drive.input_2"
designed = "60 Hz"
found = "{found}"
"""
STANDING = """
[[visit.condition]]
label = "standing"
calls = []
compressors_running = []
[visit.condition.air]
outdoor_dry_bulb = "85 degF"
[visit.condition.circuit.1]
liquid_pressure = "{pressure}"
"""


def work_of(kind: str, more: str) -> str:
    return f'[[visit.work]]\nkind = "{kind}"\n{more}\n'


PRESETS = st.sampled_from(["60 Hz", "not assigned"])
RECORDED = st.sampled_from(
    [
        "",
        work_of("temporary measure", 'note = "Jumper landed."\nexpires = 2026-06-20'),
        work_of("temporary measure", 'note = "Jumped out the freeze stat."'),
        work_of("repaired", 'mends = ["back_feed"]'),
        work_of("repaired", 'mends = ["low_charge:2", "trap"]'),
        work_of("repaired", 'mends = ["overfeeding_valve:2"]'),
        work_of("repaired", 'mends = ["cooling_without_fan"]'),
        work_of("thawed", ""),
    ]
)
STANDS = st.sampled_from(["", STANDING.format(pressure="253 psig"), STANDING.format(pressure="330 psig")])


@settings(max_examples=60, deadline=None)
@given(
    MUTATIONS, st.sampled_from(sorted(WIRINGS)), st.sampled_from(["60 Hz", "not assigned"]), RECORDED, STANDS
)
def test_today_is_never_weaker_than_the_job(
    changes: dict, wiring: str, preset: str, recorded: str, standing: str
) -> None:
    """Over wiring faults, back-feeds, jumpers, bridged safeties, recorded work and standing pressures."""
    terminals = sorted({end for pair in WIRES for end in pair})
    table = {"wiring.terminals": terminals, "wiring.designed": WIRES, **WIRINGS[wiring]}
    later = SECOND_VISIT + recorded if recorded else ""
    analysis = of({**MOTOR, **table, **changes}, standing + SPEEDS.format(found=preset) + later)
    check(analysis)
    assert not list(weaker_than_the_job(analysis))


def test_a_repair_that_nobody_read_since_is_proved_before_it_is_left() -> None:
    """Only the work says that the trap holds: the pan is looked at; a circuit is read again."""
    found = "[[visit]]".join(demo_text("swim_club").split("[[visit]]")[:2])
    assert all(Do.PROVE_DRY not in steps(one) for one in analysis_of(found).today)
    work = '[[visit]]\ndate = 2026-07-09\n[[visit.work]]\nkind = "repaired"\nmends = ["trap"]\n'
    dry = analysis_of(found + work)
    assert any(Do.PROVE_DRY in steps(one) for one in dry.today)
    leak = demo_text("library_hall").replace("[circuit.2.leak]", "[circuit.2.leak]\nrepaired = 2026-07-01")
    assert any(Do.PROVE_CIRCUIT in steps(one) for one in analysis_of(leak).today)


def test_a_circuit_that_stays_off_is_not_topped_up_to_run_meanwhile() -> None:
    """A leak beside suction below freezing: off until it is repaired, the other circuit runs."""
    leaking = {
        "2.suction_pressure": "80 psig",
        "2.suction_temperature": "60 degF",
        "2.liquid_pressure": "280 psig",
        "2.liquid_temperature": "94 degF",
    }
    analysis = of(HUMID | leaking)
    told = {(step.what.code, step.circuit) for one in analysis.today for step in one.do}
    assert any(code in (Do.LEAK_OFF, Do.COLD_CIRCUIT) and name == "2" for code, name in told)
    assert on(analysis, FULL).decision is Decision.RUN_REDUCED
    assert not {Do.LOW, Do.LEAK_MAY_RUN, Do.NO_SUBCOOLING} & {code for code, name in told if name == "2"}
