"""A jumper is judged before it is recorded; a safety is never defeated. Common practice, no source."""

import pytest

from hvaccalc.diagnosis.calls.measures import Doubtful, of_work
from hvaccalc.equipment.wiring.netlist import Circuit, Contact, FanInput, Netlist, Speed, Supply
from hvaccalc.equipment.wiring.temporary_measure import judge
from hvaccalc.job.visit_tables import Work
from hvaccalc.report.sections.wiring import _first as first
from tests.behaviour.jobs import one, told
from tests.behaviour.test_wiring_faults import GUARDED, JUMPER, OUTDOOR_Y2, Y2_WIRE, but
from tests.standard_wirings import STANDARD, Wiring, analysed

SPLIT = STANDARD["two stages, gas heat"]
DRIVE = STANDARD["drive with two inputs"]
TWO_SUPPLIES = STANDARD["split supply"]
PUMP_B = STANDARD["heat pump with B, two stages"]
PUMP_O = STANDARD["heat pump with O, two stages"]
LIFTED = {"found": but(SPLIT, Y2_WIRE, OUTDOOR_Y2)}


@pytest.mark.parametrize(
    ("wiring", "jumper", "how", "why"),
    [
        (GUARDED, ("float.in", "float.out"), {}, "bridges a safety (float switch)"),
        (GUARDED, ("handler.Y1", "outdoor.Y1"), {}, "bridges a safety (float switch)"),
        (SPLIT, ("outdoor.Y1", "outdoor.C"), {}, "across a load (compressor 1)"),
        (SPLIT, ("outdoor.Y1", "handler.C"), {}, "across a load (compressor 1)"),
        (
            SPLIT,
            ("handler.R", "handler.C"),
            {},
            "short circuit of the control transformer: handler.R meets handler.C",
        ),
        (TWO_SUPPLIES, ("thermostat.Rh", "thermostat.Rc"), {}, "joins two supplies"),
        (TWO_SUPPLIES, ("furnace.R", "handler.C"), {}, "joins two supplies"),
        (
            DRIVE,
            ("handler.Y2", "drive.enable"),
            {"dry": ["drive.enable"]},
            "into a dry contact (drive.enable)",
        ),
        (SPLIT, JUMPER, {"found": but(SPLIT, Y2_WIRE)}, "starts compressor 2 at fan, cool 1"),
        (SPLIT, ("handler.G", "handler.W1"), {}, "starts heat 1 at fan, cool 1, cool 2"),
        (SPLIT, ("thermostat.R", "thermostat.Y1"), {}, "starts compressor 1 at no call"),
        (SPLIT, ("thermostat.G", "handler.G"), {}, "changes nothing"),
    ],
)
def test_refused(wiring, jumper, how, why):
    analysis = analysed(wiring, temporary=[jumper], **how)
    finding = one(analysis, "staging.measure")
    assert (finding.text, finding.severity) == ("refused", "stop" if "bridges" in why else "act")
    assert why in finding.statement


NAMED = [
    ("handler.float_in", "handler.float_out"),
    ("outdoor.LP1", "outdoor.LP2"),
    ("outdoor.HP1", "outdoor.HP2"),
    ("handler.freeze_a", "handler.freeze_b"),
    ("smoke.1", "smoke.2"),
]


@pytest.mark.parametrize("jumper", NAMED)
def test_terminals_named_after_a_safety_are_never_bridged(jumper):
    """No table of safeties is typed: the name is enough, and moving a conductor does not mend it."""
    analysis = analysed(SPLIT, temporary=[jumper], terminals=jumper)
    finding = one(analysis, "staging.measure")
    assert (finding.text, finding.severity) == ("refused", "stop")
    assert "bridges a safety" in finding.statement and "moved off first" not in finding.statement
    told = " ".join(item.text for item in first(analysis.calls, analysis.calls.measure))
    assert "Judge the jumper again" not in told and "find out why the safety acts" in told


def test_no_end_is_agreed_for_a_bridged_safety():
    note = "float switch jumpered, low pressure cut-out bypassed"
    for words in (note, "LP1 to LP2 jumpered", "freeze switch bypassed"):
        told = list(of_work(Work(kind="temporary measure", note=words), None))
        assert told == [Doubtful.BRIDGED_SAFETY]
    harmless = Work(kind="temporary measure", note="G jumpered to Y2 so that the coil does not freeze")
    assert list(of_work(harmless, None)) == [Doubtful.NO_END]


def test_refusal_names_the_conductor_to_move_first():
    measure = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER]).calls.measure
    assert measure.lifted == ("handler.Y2 to outdoor.Y2",)


def test_allowed_with_the_proof_at_every_call():
    """Fan alone no compressor, cool 1 and cool 2 the first alone (the second is out); 60 Hz each."""
    measure = analysed(SPLIT, temporary=[JUMPER], **LIFTED).calls.measure
    assert not measure.refused
    assert measure.lifted == ("handler.Y2 to outdoor.Y2",)
    assert measure.out_of_service == ("compressor 2",)
    proofs = {p.call: (p.loads, p.speed) for p in measure.proofs}
    assert proofs["fan"] == ((), "60 Hz")
    assert proofs["cool 1"] == (("compressor 1",), "60 Hz")
    assert proofs["cool 2"] == (("compressor 1",), "60 Hz")


def test_spliced_conductor_keeps_the_second_stage():
    found = but(SPLIT, Y2_WIRE, OUTDOOR_Y2, plus=[("thermostat.Y2", "outdoor.Y2")])
    measure = analysed(SPLIT, found=found, temporary=[JUMPER]).calls.measure
    assert not measure.refused and not measure.out_of_service
    proofs = {p.call: p.loads for p in measure.proofs}
    assert proofs["cool 1"] == ("compressor 1",)
    assert proofs["cool 2"] == ("compressor 1", "compressor 2")


def test_splice_that_was_not_isolated_from_the_jumper_still_back_feeds():
    """The thermostat's conductor left on the jumped terminal carries the fan call to the splice."""
    found = but(SPLIT, OUTDOOR_Y2, plus=[("thermostat.Y2", "outdoor.Y2")])
    assert Y2_WIRE in found
    measure = analysed(SPLIT, found=found, temporary=[JUMPER]).calls.measure
    assert any("starts compressor 2" in told(why) for why in measure.refused)


HEATS = "energises the reversing valve at "


@pytest.mark.parametrize(
    ("wiring", "jumper", "calls"),
    [
        (PUMP_B, ("handler.Y1", "handler.B"), "cool 1, cool 2, defrost"),
        (PUMP_B, ("handler.R", "handler.B"), "no call, fan, cool 1, cool 2, defrost"),
        (PUMP_B, ("thermostat.R", "outdoor.B"), "no call, fan, cool 1, cool 2, defrost"),
        (PUMP_B, ("handler.Y2", "outdoor.B"), "cool 2"),
        (PUMP_O, ("handler.Y1", "handler.O"), "heat 1, heat 2"),
        (PUMP_O, ("handler.Y2", "handler.O"), "heat 2"),
    ],
)
def test_a_jumper_that_turns_the_reversing_valve_is_refused(wiring, jumper, calls):
    """B is on in heating alone, O in cooling and defrost alone (terminal tables of thermostats)."""
    finding = one(analysed(wiring, temporary=[jumper]), "staging.measure")
    assert (finding.text, finding.severity) == ("refused", "act")
    assert f"{HEATS}{calls}, against the design" in finding.statement


def test_the_valve_is_guarded_where_the_outdoor_units_terminal_was_not_typed():
    """The table ends at the handler's B: it leads to the valve all the same."""
    pairs = tuple(pair for pair in PUMP_B.pairs if pair != ("handler.B", "outdoor.B"))
    coil = (*pairs, ("handler.B", "drive.input_2"), ("handler.C", "drive.C"))
    short = Wiring(coil, {}, {}, {}, kind="heat pump")
    finding = one(analysed(short, temporary=[("handler.R", "handler.B")]), "staging.measure")
    assert finding.text == "refused"
    assert f"{HEATS}no call, fan, cool 1, cool 2, defrost" in finding.statement


def test_a_jumper_that_restores_the_reversing_valve_is_not_refused_for_it():
    """The thermostat's O conductor never landed: a wire beside it gives what the design gives."""
    lost = ("thermostat.O", "handler.O")
    measure = analysed(
        PUMP_O, found=but(PUMP_O, lost), temporary=[("thermostat.O", "outdoor.O")]
    ).calls.measure
    assert not measure.refused


def test_a_fan_that_runs_with_no_call_has_to_be_proved_there():
    """R on the second input: the supply is live with no call on, and so is the input."""
    apart = but(DRIVE, ("handler.Y2", "drive.input_2"))
    proofs = analysed(DRIVE, found=apart, temporary=[("handler.R", "drive.input_2")]).calls.measure.proofs
    assert (proofs[0].call, proofs[0].loads, proofs[0].speed) == ("none", (), "60 Hz")
    told = one(analysed(DRIVE, found=apart, temporary=[("handler.R", "drive.input_2")]), "staging.measure")
    assert "no call: no load, fan 60 Hz" in told.statement
    assert "the fan runs with no call at all (60 Hz)" in told.statement
    still = analysed(DRIVE, found=apart, temporary=[("handler.G", "drive.input_2")]).calls.measure.proofs
    assert (still[0].call, still[0].loads, still[0].speed) == ("none", (), "off")


@pytest.mark.parametrize(
    "how",
    [
        {"temporary": [("handler.R", "handler.C")]},
        {"found": but(DRIVE, ("handler.R", "thermostat.R"))},
    ],
)
def test_where_nothing_runs_no_slow_fan_is_named(how):
    """A shorted transformer, or a thermostat without its R, moves neither compressor nor fan."""
    calls = analysed(DRIVE, **how).calls
    assert not calls.now.answer("cool 2").loads and calls.now.answer("cool 2").speed is None
    assert calls.combination("cool 2") is None


@pytest.mark.parametrize("motor", [True, False])
def test_both_speeds_of_a_two_speed_motor_are_never_fed_together(motor):
    """Both contactors pull in; a drive takes the higher input. Common practice, no source."""
    inputs = (
        FanInput("starter.low", "handler.C", Speed(0.67, "600 rpm")),
        FanInput("starter.high", "handler.C", Speed(1.0, "900 rpm")),
    )
    fan = Contact(("handler.R", "handler.G"), frozenset({"fan", "cool 1", "cool 2"}), "")
    supply = Supply("handler.R", "handler.C", 24.0)
    wires = (("handler.G", "starter.low"),)
    wiring = Circuit(Netlist(wires=wires, supplies=(supply,), contacts=(fan,), inputs=inputs))
    measure = judge(wiring, wiring, [("handler.G", "starter.high")], two_speed_motor=motor)
    assert any("two speeds of a two-speed motor" in told(why) for why in measure.refused) is motor
