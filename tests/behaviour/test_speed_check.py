"""Before the fan's speed is raised: each check by hand arithmetic, pass, fail and not known."""

import math

import pytest

from hvaccalc import units as u
from hvaccalc.diagnosis.air.fan_check_rows import Check, CheckState
from hvaccalc.diagnosis.air.fan_checks import speed_check
from hvaccalc.diagnosis.air.fan_data import Turns
from hvaccalc.errors import InputError
from hvaccalc.service.repair.repair_rows import Repair
from hvaccalc.service.today import Decision
from tests.behaviour.jobs import analysed, found, one, told

FAIL, NOT_YET, PASS = CheckState.FAIL, CheckState.NOT_YET, CheckState.PASS

LOW = {"air.airflow": None, "air.fan_frequency": "36 Hz"}
MOTOR = LOW | {
    "unit.fan.motor_full_load_current": "10 A",
    "unit.fan.service_factor": 1.15,
    "air.fan_current": "4.0 A",
    "air.fan_current_at": "drive display",
}
BELT = {
    "unit.fan.motor_speed": "1750 rpm",
    "unit.fan.motor_sheave": "5 in",
    "unit.fan.fan_sheave": "10 in",
    "unit.fan.wheel_diameter": "15 in",
}


def checks(folder, changes: dict, wanted: float | None = None) -> dict[str, Check]:
    analysis = analysed(folder, changes)
    (result,) = analysis.conditions
    table = (
        result.speed if wanted is None else speed_check(analysis.draws, result.where, result.airflow, wanted)
    )
    return {check.name: check for check in table.checks}


def test_motor_current_at_full_speed(tmp_path):
    """4.0 A at 36 Hz, at most four fifths of it magnetising: torque times (60/36)² = 2.78.

    Load part sqrt(4.0² - 3.2²) = 2.4 A becomes 6.667 A; with 3.2 A at right angles 7.39 A. With a quarter of
    the plate's 10 A magnetising it would be sqrt(2.5² + (3.122 · 2.78)²) = 9.03 A, near the band's upper end.
    """
    table = checks(tmp_path, MOTOR)
    check = table["motor current"]
    assert check.value.value == pytest.approx(7.39, abs=0.01)
    assert check.value.high == pytest.approx(9.03, abs=0.2)
    assert (check.state, table["service factor"].state) == (PASS, PASS)


def test_a_motor_that_would_be_overloaded_fails(tmp_path):
    """8 A at 36 Hz of a 10 A motor: at full speed about 20 A."""
    table = checks(tmp_path, MOTOR | {"air.fan_current": "8 A"})
    assert table["motor current"].state == FAIL and table["service factor"].state == FAIL
    finding = one(analysed(tmp_path, MOTOR | {"air.fan_current": "8 A"}), "fan.check.motor_current")
    assert (finding.text, finding.severity) == (FAIL, "act")


def test_the_line_side_of_a_drive_is_not_the_motor(tmp_path):
    table = checks(tmp_path, MOTOR | {"air.fan_current_at": "line"})
    assert table["motor current"].state == NOT_YET
    assert "drive's display" in told(table["motor current"].why)


FULL_LATER = """
[[visit.condition]]
label = "at full speed"
calls = ["cool 1", "cool 2"]
compressors_running = ["1", "2"]
[visit.condition.air]
fan_frequency = "60 Hz"
fan_current = "{current}"
{at}
"""


def later(folder, changes, current, at=""):
    """The list of the slow condition, with a current read at full speed in another one."""
    analysis = analysed(folder, LOW | changes, extra=FULL_LATER.format(current=current, at=at))
    slow = analysis.conditions[0].speed
    return {check.name: check for check in slow.checks}["motor current"]


PLATE = {"unit.fan.motor_full_load_current": "6.6 A"}


def test_a_current_read_at_full_speed_is_used_and_its_place_asked_for(tmp_path):
    """5.3 A below 6.6 A, but at a drive's line side other amperes flow than in the motor."""
    check = later(tmp_path, PLATE, "5.3 A")
    assert check.state == NOT_YET
    for words in ("5.3 A at 60 Hz", "below the plate's 6.6 A", "where it was measured is not noted"):
        assert words in told(check.why)
    assert "line side" in told(later(tmp_path, PLATE, "5.3 A", 'fan_current_at = "line"').why)
    assert "above the plate's 6.6 A" in told(later(tmp_path, PLATE, "7.3 A").why)


@pytest.mark.parametrize(("current", "state"), [("5.3 A", PASS), ("7.3 A", FAIL)])
def test_a_current_read_behind_the_drive_at_full_speed_is_the_motors(tmp_path, current, state):
    """Nothing is scaled: 5.3 and 7.3 A against 6.6 A, whatever the slow condition drew."""
    check = later(tmp_path, PLATE | {"air.fan_current": "2.5 A"}, current, 'fan_current_at = "drive output"')
    assert check.state == state
    assert check.value.value == pytest.approx(float(current.split()[0]), rel=1e-6)


BEHIND = 'fan_current_at = "drive output"'


@pytest.mark.parametrize(("typed", "state"), [("12 A", FAIL), ("9 A", NOT_YET), ("3.7 A", PASS)])
def test_a_current_read_elsewhere_never_speaks_against_what_was_typed_here(tmp_path, typed, state):
    """Plate 10.4 A, 8.3 A read at 60 Hz in another condition; torque 2.78 times that of 36 Hz.

    12 A at 36 Hz lies above the plate itself. 9 A would be at least sqrt(2.6² + (8.6 · 2.78)²) = 24 A: not
    the 8.3 A that were read. 3.7 A are about 6.8 A and more: near enough to be the same motor's.
    """
    here = {"unit.fan.motor_full_load_current": "10.4 A", "air.fan_current_at": "drive output"}
    check = later(tmp_path, here | {"air.fan_current": typed}, "8.3 A", BEHIND)
    assert check.state == state
    assert ("do not fit" in told(check.why)) == (state != PASS) and "8.3 A at 60 Hz" in told(check.why)


def test_a_check_says_that_it_rests_on_another_visit(tmp_path):
    extra = "[[visit]]\ndate = 2026-06-25\n" + FULL_LATER.format(current="5.3 A", at=BEHIND)
    (slow, _) = analysed(tmp_path, LOW | PLATE | {"unit.fan.service_factor": 1.15}, extra=extra).conditions
    for check in slow.speed.checks[:2]:
        assert check.state == PASS and "on another visit" in told(check.why)
    here = MOTOR | {"air.fan_frequency": "60 Hz", "air.fan_current": "9.8 A"}
    (fast, _) = analysed(tmp_path, here, extra=extra).conditions
    assert fast.speed.checks[0].value.value == pytest.approx(9.8, rel=1e-6)


@pytest.mark.parametrize(("current", "state"), [("9 A", NOT_YET), ("10.8 A", FAIL), ("13 A", FAIL)])
def test_a_current_above_the_plate_is_no_pass_wherever_it_was_read(tmp_path, current, state):
    """Plate 10 A: the line side of a drive carries less than its motor (common practice, no source)."""
    line = MOTOR | {"air.fan_frequency": "60 Hz", "air.fan_current_at": "line", "air.fan_current": current}
    assert checks(tmp_path, line)["motor current"].state == state


def test_a_current_of_another_speed_is_not_held_against_the_plate(tmp_path):
    text = told(checks(tmp_path, MOTOR | {"air.fan_current_at": None})["motor current"].why)
    assert "4.0 A at 36 Hz" in text and "plate" not in text


@pytest.mark.parametrize("missing", ["air.fan_current", "unit.fan.motor_full_load_current"])
def test_without_reading_or_plate_it_is_not_known(tmp_path, missing):
    assert checks(tmp_path, MOTOR | {missing: None})["motor current"].state == NOT_YET


def test_current_above_locked_rotor_is_flagged_and_left_out(tmp_path):
    """65 A on a plate of 10 A: a squirrel-cage motor draws about six times its plate when it stalls."""
    analysis = analysed(tmp_path, MOTOR | {"air.fan_current": "65 A"})
    assert "contradiction.above_locked_rotor" in [n.code for n in analysis.notices]
    assert one(analysis, "fan.check.motor_current").text == NOT_YET


def test_belt_and_tip_speed(tmp_path):
    """1750 rpm over 5 and 10 in: 875 rpm; pi × 10 in × 875 = 2291, pi × 15 in × 875 = 3436 ft/min."""
    table = checks(tmp_path, LOW | BELT)
    per_minute = u.to(table["belt and sheaves"].value.value, "ft/min", "velocity")
    assert per_minute == pytest.approx(math.pi * 10 / 12 * 875, rel=1e-3)
    assert u.to(table["tip speed"].value.value, "ft/min", "velocity") == pytest.approx(3436, rel=1e-3)
    # One number alone shows no belt: the wheel's speed was not read.
    assert (table["belt and sheaves"].state, table["tip speed"].state) == (NOT_YET, PASS)


FIXED = BELT | {"unit.fan.drive": "belt, fixed", "unit.fan.full_speed": None, "air.fan_frequency": None}


@pytest.mark.parametrize(
    ("speed", "turns", "state"),
    [
        ("870 rpm", Turns.AS_ASKED, PASS),
        ("840 rpm", Turns.NEAR, NOT_YET),
        ("760 rpm", Turns.SLIPS, FAIL),
        ("1000 rpm", Turns.FAST, FAIL),
    ],
)
def test_belt_slip(tmp_path, speed, turns, state):
    """1750 rpm over 5 and 10 in ask 875 rpm: 870 is 0.6 % slip, 840 4 %, 760 13 %, 1000 a sheave too large.

    Up to 3 % is creep, above 5 % slip or another sheave (common practice, no source).
    """
    analysis = analysed(tmp_path, FIXED | {"air.fan_speed": speed})
    (result,) = analysis.conditions
    assert result.wheel.text is turns
    assert result.wheel.slip.value == pytest.approx(1.0 - float(speed.split()[0]) / 875.0, abs=1e-6)
    assert {check.name: check.state for check in result.speed.checks}["belt and sheaves"] == state
    # No call sets the speed of a fixed belt, so no control wiring is looked at for it.
    assert result.staging is None
    assert (Repair.BELT in {one.repair for one in analysis.repairs.called}) == turns.wrong


def test_sheaves_of_another_design(tmp_path):
    """875 rpm by the sheaves and at the wheel, 1000 rpm designed; at 1000 rpm the typed sheaves are old."""
    design = FIXED | {"unit.fan.full_speed": "1000 rpm"}
    for speed, turns in (("870 rpm", Turns.OTHER_SHEAVES), ("1000 rpm", Turns.AS_DESIGNED)):
        (result,) = analysed(tmp_path, design | {"air.fan_speed": speed}).conditions
        assert result.wheel.text is turns


def test_a_belt_behind_a_drive_follows_its_frequency(tmp_path):
    """36 of 60 Hz: 525 rpm asked of the wheel; without the frequency nothing is said of slip."""
    behind = BELT | {"air.fan_frequency": "36 Hz"}
    (result,) = analysed(tmp_path, behind | {"air.fan_speed": "520 rpm"}).conditions
    assert result.wheel.asked * 60 == pytest.approx(525.0) and result.wheel.text is Turns.AS_ASKED
    unread = behind | {"air.fan_frequency": None, "air.fan_speed": "520 rpm"}
    assert analysed(tmp_path, unread).conditions[0].wheel is None


def test_a_wheel_that_turns_backwards_stops_the_cooling(tmp_path):
    """The airflow is no longer the fan law's, so no charge is judged; a right reading takes it back."""
    seen = {"air.airflow": None, "signs.fan_rotation": "reversed"}
    analysis = analysed(tmp_path, seen)
    assert {one.decision for one in analysis.today if "cool 1" in one.where} == {Decision.STOP}
    assert Repair.TURN_ROUND in {one.repair for one in analysis.repairs.called}
    assert all(charge.verdict == "cannot tell" for charge in analysis.conditions[0].charges.values())
    right = '[[visit]]\ndate = 2026-06-25\n[visit.signs]\nfan_rotation = "right"\n'
    analysis = analysed(tmp_path, seen, extra=right)
    assert {one.decision for one in analysis.today} == {Decision.RUN} and not analysis.repairs.called


def test_a_fast_wheel_fails(tmp_path):
    """24 in at 875 rpm: 5498 ft/min, above the 5000 of common practice."""
    assert checks(tmp_path, LOW | BELT | {"unit.fan.wheel_diameter": "24 in"})["tip speed"].state == FAIL


@pytest.mark.parametrize(("centre", "state"), [("20 in", PASS), ("7.6 in", PASS), ("4 in", FAIL)])
def test_belt_wrap(tmp_path, centre, state):
    """180° - 2 asin((10 - 5)/(2C)): 166° at 20 in; at 4 in the sheaves would touch."""
    assert (
        checks(tmp_path, LOW | BELT | {"unit.fan.belt_centre_distance": centre})["belt wrap"].state == state
    )


@pytest.mark.parametrize(
    ("area", "state", "words"),
    [
        ("20 ft2", PASS, "within the rule"),
        ("14.2 ft2", NOT_YET, "between the rules"),
        ("13 ft2", FAIL, "above both"),
        ("11 ft2", FAIL, "beyond all three"),
    ],
)
def test_face_velocity_rules(tmp_path, area, state, words):
    """7450 cfm read at full speed: 372, 525, 573 and 677 ft/min against 500, 550 and 600."""
    check = checks(tmp_path, {"unit.coil.face_area": area})["coil face velocity"]
    assert check.state == state and words in told(check.why)
    assert ("blown off" in told(check.why)) is (state == FAIL)


def test_filters_have_a_face_too(tmp_path):
    check = checks(tmp_path, {"unit.filter_area": "20 ft2"})["filter face velocity"]
    assert check.state == PASS and told(check.why).startswith("Filter face velocity")


TRAP = LOW | {
    "unit.air_path": "draw through",
    "unit.drain.trap": "present",
    "unit.drain.trap_height": "3 in",
    "unit.drain.trap_seal": "1.6 in",
}


@pytest.mark.parametrize(
    ("suction", "height", "seal", "state"),
    [
        ("0.7 inH2O", "3 in", "1.6 in", PASS),
        ("0.8 inH2O", "3 in", "1.6 in", FAIL),
        ("0.7 inH2O", "3 in", "1.2 in", FAIL),
        ("0.7 inH2O", "3 in", None, NOT_YET),
        ("1.2 inH2O", "3 in", None, FAIL),
    ],
)
def test_pan_suction_against_the_trap(tmp_path, suction, height, seal, state):
    """Makers' rule: an inch more than the suction, half of it as seal. Times (60/36)² = 2.78: 0.7 makes 1.94
    inches of water, 2.94 in of height and 1.47 in of seal; 0.8 makes 2.2 and wants 3.2 in."""
    typed = {"unit.drain.trap_height": height, "unit.drain.trap_seal": seal}
    check = checks(tmp_path, TRAP | typed | {"unit.drain.pan_suction": suction})["trap against pan suction"]
    assert check.state == state
    assert "of height and" in told(check.why) and "of seal" in told(check.why)
    inches = float(suction.split()[0]) * (60 / 36) ** 2
    assert u.to(check.value.value, "inH2O", "air_pressure") == pytest.approx(inches, rel=2e-3)


def test_a_suction_of_the_wrong_sign_is_asked_about(tmp_path):
    check = checks(tmp_path, TRAP | {"unit.drain.pan_suction": "-0.8 inH2O"})["trap against pan suction"]
    assert check.state == NOT_YET and "-0.8 inH2O" in told(check.why)


def test_no_trap_holds_no_suction(tmp_path):
    changes = TRAP | {"unit.drain.trap": "none", "unit.drain.pan_suction": "0.2 inH2O"}
    assert checks(tmp_path, changes)["trap against pan suction"].state == FAIL


@pytest.mark.parametrize(("seal", "state"), [("2.8 in", PASS), ("2.6 in", FAIL)])
def test_a_blown_trap_holds_by_its_seal(tmp_path, seal, state):
    """Makers' rule: half an inch more than the pressure: 0.8 x 2.78 = 2.22, so 2.72 in."""
    changes = TRAP | {"unit.air_path": "blow through", "unit.drain.pan_suction": "-0.8 inH2O"}
    changes |= {"unit.drain.trap_height": "3 in", "unit.drain.trap_seal": seal}
    assert checks(tmp_path, changes)["trap against pan suction"].state == state


@pytest.mark.parametrize(("read", "state"), [("0.5 inH2O", PASS), ("0.9 inH2O", FAIL)])
def test_external_static(tmp_path, read, state):
    """Times 2.78: 1.4 and 2.5 against 2.0 inches of water."""
    changes = LOW | {"unit.fan.static_at_rating": "2.0 inH2O", "air.external_static": read}
    assert checks(tmp_path, changes)["external static"].state == state


def test_least_air_over_a_heater(tmp_path):
    low = checks(tmp_path, {"unit.fan.minimum_heat_airflow": "6000 cfm"})
    high = checks(tmp_path, {"unit.fan.minimum_heat_airflow": "9000 cfm"})
    name = "least air over an electric heater"
    assert (low[name].state, high[name].state) == (PASS, FAIL)


def test_noise(tmp_path):
    """50 log10(60/36) = 11 dB (fan laws of sound, as handbooks print them)."""
    assert "11 dB" in told(checks(tmp_path, LOW)["noise"].why)


def test_a_drive_has_a_least_and_a_full_speed(tmp_path):
    changes = {"unit.fan.minimum_speed": "20 Hz"}
    assert checks(tmp_path, changes, wanted=0.25)["least speed"].state == FAIL
    assert checks(tmp_path, changes, wanted=1.2)["full speed"].state == FAIL
    assert not {"least speed", "full speed"} & set(checks(tmp_path, changes, wanted=0.5))


def test_nothing_typed_passes_nothing(tmp_path):
    table = checks(tmp_path, LOW)
    table.pop("noise")
    assert {check.state for check in table.values()} == {NOT_YET}


def test_every_item_of_the_list_is_there(tmp_path):
    names = set(checks(tmp_path, LOW))
    assert names == {
        *("motor current", "service factor", "belt and sheaves", "tip speed", "coil face velocity"),
        *("filter face velocity", "trap against pan suction", "external static", "noise"),
        "least air over an electric heater",
    }


def test_a_fan_that_stands_has_no_list(tmp_path):
    (result,) = analysed(tmp_path, {"air.airflow": None, "air.fan_frequency": "0 Hz"}).conditions
    assert result.speed is None


def test_the_list_is_told_for_the_slowest_fan(tmp_path):
    extra = '[[visit.condition]]\ncalls = ["cool 1"]\n[visit.condition.air]\nfan_frequency = "30 Hz"\n'
    finding = one(analysed(tmp_path, LOW, extra=extra), "fan.speed_check")
    assert finding.condition == 2 and "from 50 to 100 %" in finding.statement


def test_at_full_speed_only_what_fails_is_told(tmp_path):
    assert not found(analysed(tmp_path), "fan.speed_check")
    fast = one(analysed(tmp_path, {"unit.coil.face_area": "11 ft2"}), "fan.speed_check")
    assert fast.text == FAIL and "fails: coil face velocity" in fast.statement


def test_a_sheave_of_zero_is_refused(tmp_path):
    with pytest.raises(InputError, match="motor_sheave"):
        analysed(tmp_path, LOW | BELT | {"unit.fan.motor_sheave": "0 in"})


@pytest.mark.parametrize(("drive", "doubt"), [("belt, fixed", False), ("variable frequency", True)])
def test_a_belt_that_is_typed_is_not_doubted(tmp_path, drive, doubt):
    text = told(checks(tmp_path, LOW | {"unit.fan.drive": drive})["belt and sheaves"].why)
    assert ("see that there is no belt" in text) == doubt and text.endswith(".")
