"""A jumper is judged before it is recorded; a safety is never defeated. Common practice, no source."""

import pytest

from hvaccalc.diagnosis.measures import BRIDGED, NO_END, of_work
from hvaccalc.job.visit_tables import Work
from hvaccalc.report.wiring_section import _first as first
from tests.behaviour.jobs import one
from tests.behaviour.test_wiring_faults import GUARDED, JUMPER, OUTDOOR_Y2, Y2_WIRE, but
from tests.standard_wirings import STANDARD, analysed

SPLIT = STANDARD["two stages, gas heat"]
DRIVE = STANDARD["drive with two inputs"]
TWO_SUPPLIES = STANDARD["split supply"]
LIFTED = {"found": but(SPLIT, Y2_WIRE, OUTDOOR_Y2)}


@pytest.mark.parametrize(
    ("wiring", "jumper", "how", "why"),
    [
        (GUARDED, ("float.in", "float.out"), {}, "bridges a safety (float switch)"),
        (GUARDED, ("handler.Y1", "outdoor.Y1"), {}, "bridges a safety (float switch)"),
        (SPLIT, ("outdoor.Y1", "outdoor.C"), {}, "across a load (compressor 1)"),
        (SPLIT, ("outdoor.Y1", "handler.C"), {}, "across a load (compressor 1)"),
        (SPLIT, ("handler.R", "handler.C"), {}, "shorts a supply"),
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
        (SPLIT, ("thermostat.R", "thermostat.Y1"), {}, "starts compressor 1 at none"),
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
    told = " ".join(item.text for item in first(analysis.calls.measure))
    assert "Judge the jumper again" not in told and "find out why the safety acts" in told


def test_no_end_is_agreed_for_a_bridged_safety():
    note = "float switch jumpered, low pressure cut-out bypassed"
    for words in (note, "LP1 to LP2 jumpered", "freeze switch bypassed"):
        told = list(of_work(Work(kind="temporary measure", note=words), None))
        assert told == [("bridged safety", BRIDGED)]
    harmless = Work(kind="temporary measure", note="G jumpered to Y2 so that the coil does not freeze")
    assert list(of_work(harmless, None)) == [("no end", NO_END)]


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
    assert any("starts compressor 2" in why for why in measure.refused)
