"""A compressor that does not pump is no shortage: pumping before charge, alone and beside a sound circuit.

Signs of a worn compressor: suction up, head down (Li and Braun, rule table of residual signs). The limit at a
reversing valve is common practice, no source.
"""

import pytest

from hvaccalc.diagnosis.charge.charge_reasons import GateWhy
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.gates import GateState
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.job.causes import Cause
from hvaccalc.service.repair.repair_rows import Repair
from tests.behaviour.jobs import HUMID, SOUND, analysis_of, blocks_of, found, job_text
from tests.consistency import contradictions

HIGH_AND_LOW = {
    "2.suction_pressure": "150 psig",
    "2.suction_temperature": "66 degF",
    "2.liquid_pressure": "262 psig",
    "2.liquid_temperature": "84 degF",
}
"""Suction 53 °F, head 87 °F, little subcooling: by its subcooling alone it is short."""

SINGLE = dict.fromkeys(key for key in SOUND if key.startswith(("circuit.2.", "2.")))
ALONE = (
    SINGLE
    | {f"1.{key[2:]}": value for key, value in HIGH_AND_LOW.items()}
    | {"condition.compressors_running": ["1"], "condition.calls": ["cool 1"]}
)
VALVE = {
    "unit.kind": "heat pump",
    "1.valve_suction_in_temperature": "50 degF",
    "1.valve_suction_out_temperature": "59 degF",
}


def charge(changes: dict, name: str) -> CircuitCharge:
    (result,) = analysis_of(job_text(changes)).conditions
    return result.charges[name]


SUCTION_LEANS_HIGH = {
    "air.return_dry_bulb": "76 degF",
    "air.return_wet_bulb": "64 degF",
    "air.supply_dry_bulb": "58 degF",
    "air.outdoor_dry_bulb": "90 degF",
    **{
        f"{name}.{key}": value
        for name in "12"
        for key, value in {
            "suction_pressure": "128 psig",
            "suction_temperature": "55 degF",
            "liquid_pressure": "352 psig",
            "liquid_temperature": "96 degF",
            "compressor_current": "17.2 A",
        }.items()
    },
}
"""44 °F suction, 107 °F condensing at 90 °F outdoors, 11 °F superheat, 11 °F subcooling: ordinary numbers."""


def test_ordinary_numbers_accuse_no_compressor() -> None:
    """The suction lies 4.5 °F above the sound unit's, within what is known of its rating; the head is not low
    beyond its band."""
    for name in "12":
        assert charge(SUCTION_LEANS_HIGH, name).pumping.text is Pumps.YES


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        (HIGH_AND_LOW | HUMID, "2"),
        # Without humidity the band is wider; the other circuit, in the same air, says it as well.
        (HIGH_AND_LOW, "2"),
        (ALONE | HUMID, "1"),
        # No sound unit can be asked without outdoor air.
        (HIGH_AND_LOW | {"air.outdoor_dry_bulb": None}, "2"),
    ],
)
def test_high_suction_with_low_head_is_no_shortage(changes, name) -> None:
    judged = charge(changes, name)
    assert judged.pumping.text is Pumps.WEAK
    assert judged.verdict is ChargeVerdict.CANNOT_TELL
    analysis = analysis_of(job_text(changes))
    assert {(one.repair, one.circuit) for one in analysis.repairs.called} == {(Repair.TRY_COMPRESSOR, name)}
    assert not analysis.quote
    assert [end.cause for end in analysis.put_right if end.open] == [Cause.WEAK_COMPRESSOR]


def test_the_sound_circuit_beside_it_is_not_accused() -> None:
    (result,) = analysis_of(job_text(HIGH_AND_LOW | HUMID)).conditions
    assert result.contrast is not None
    assert (result.contrast.suspect, result.contrast.text) == ("2", Suspicion.WEAK_COMPRESSOR)
    assert result.charges["1"].pumping.text is Pumps.YES


@pytest.mark.parametrize(
    "changes",
    [
        HUMID,
        # Short of charge: suction and head both fall.
        {
            "2.suction_pressure": "100 psig",
            "2.liquid_pressure": "285 psig",
            "2.liquid_temperature": "92 degF",
        },
        # Just started, the suction has not come down yet.
        HIGH_AND_LOW | {"condition.running_for": "3 min"},
        # Too much charge, and a condenser short of air: the head stands high.
        HIGH_AND_LOW | {"2.liquid_pressure": "400 psig", "2.liquid_temperature": "100 degF"},
    ],
)
def test_a_compressor_that_pumps_is_not_accused(changes) -> None:
    assert not charge(HUMID | changes, "2").pumping.weak


def test_gas_that_by_passes_in_a_reversing_valve_comes_before_the_charge() -> None:
    judged = charge(VALVE, "1")
    assert judged.pumping.text is Pumps.BY_PASSES
    assert judged.verdict is ChargeVerdict.CANNOT_TELL
    tight = VALVE | {"1.valve_suction_out_temperature": "52 degF"}
    assert not charge(tight, "1").pumping.weak


def test_the_current_stands_beside_the_plate() -> None:
    plate = HIGH_AND_LOW | HUMID | {"circuit.2.rated_load_current": "30 A"}
    (finding,) = found(analysis_of(job_text(plate)), "circuit.pumping", "2")
    assert "60 % of the current on its plate" in finding.statement
    # 18 A: 106 % of 17 A is remarked, 120 % of 15 A is an overload.
    for amperes, severity in (("17 A", "watch"), ("15 A", "act")):
        over = analysis_of(job_text({"circuit.1.rated_load_current": amperes}))
        assert [f.severity.value for f in found(over, "circuit.pumping", "1")] == [severity]


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_neither_copy_looks_for_a_leak(audience) -> None:
    text = repr(blocks_of(analysis_of(job_text(HIGH_AND_LOW | HUMID)), audience)).lower()
    assert "compressor" in text
    for word in ("find the leak", "leak search and repair", "short of charge", "too little refrigerant"):
        assert word not in text


REPAIRED = """
[[visit]]
date = 2026-06-25
[[visit.work]]
kind = "repaired"
mends = ["weak_compressor:2"]
"""


def test_a_new_compressor_closes_it_until_it_is_read() -> None:
    analysis = analysis_of(job_text(HIGH_AND_LOW | HUMID, extra=REPAIRED))
    assert not analysis.repairs.called
    assert [one.repair for one in analysis.repairs.proof_due] == [Repair.TRY_COMPRESSOR]


@pytest.mark.parametrize(
    "sees",
    [
        {"signs.sensing_bulb": "loose"},
        {"signs.frost_on": ["compressor"]},
        {"2.suction_temperature": "46 degF"},
    ],
)
def test_liquid_that_comes_back_is_no_weak_compressor(sees) -> None:
    """140 psig is 48 °F on the card: at 49.5 °F hardly any superheat. Liquid raises suction, lowers head."""
    back = {
        "2.suction_pressure": "140 psig",
        "2.suction_temperature": "49.5 degF",
        "2.liquid_pressure": "290 psig",
    }
    analysis = analysis_of(job_text(HUMID | back | {"2.liquid_temperature": "82 degF"} | sees))
    pumps = analysis.conditions[0].charges["2"].pumping
    assert pumps.text is Pumps.CANNOT_TELL and pumps.liquid
    assert pumps.gate.state is GateState.UNMET and pumps.gate.why.code is GateWhy.LIQUID_BACK
    assert not any(end.cause is Cause.WEAK_COMPRESSOR for end in analysis.put_right)
    called = {one.repair for one in analysis.repairs.called}
    assert Repair.TRY_COMPRESSOR not in called and called & {Repair.SEAT_BULB, Repair.STOP_FLOODBACK}
    assert contradictions(analysis) == []
