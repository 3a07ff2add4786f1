"""Subcooling of a fixed orifice gives no verdict on its charge, nor a comparison of two: the air first.

A fixed orifice is charged by superheat (California Title 24 RA3.2.2, superheat method).
"""

import pytest

from hvaccalc.diagnosis.charge.charge_target import Method
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.fault_signs import consistent
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict, Evidence
from hvaccalc.service.repair.repair_rows import Repair
from tests.behaviour.jobs import HUMID, analysis_of, blocks_of, found, job_text

ORIFICES = HUMID | {f"circuit.{name}.metering": "fixed orifice" for name in "12"}
SHORT_BY_SUBCOOLING = {"2.liquid_temperature": "99 degF"}
NONE_LEFT = {"2.liquid_temperature": "101 degF"}
CHART = {
    "circuit.2.chart": [
        {"liquid_temperature": "70 degF", "liquid_pressure": "244 psig"},
        {"liquid_temperature": "100 degF", "liquid_pressure": "376 psig"},
    ]
}
"""By it the liquid of circuit 2 is 11 °F too warm."""


@pytest.mark.parametrize("changes", [SHORT_BY_SUBCOOLING, NONE_LEFT, SHORT_BY_SUBCOOLING | CHART])
def test_subcooling_is_no_measure_of_it(changes) -> None:
    analysis = analysis_of(job_text(ORIFICES | changes))
    (result,) = analysis.conditions
    judged = result.charges["2"]
    assert judged.held.method is Method.SUPERHEAT and judged.verdict is not ChargeVerdict.LOW
    assert Evidence.NO_SUBCOOLING not in judged.evidence
    assert result.contrast is not None and result.contrast.text is Suspicion.NONE
    assert "subcooling" not in dict(result.contrast.differences)
    assert not analysis.repairs.called
    (finding,) = found(analysis, "circuit.subcooling", "2")
    assert "no measure of the charge" in finding.statement
    assert not found(analysis, "circuit.chart_offset", "2")


def test_the_same_on_valves_is_short() -> None:
    analysis = analysis_of(job_text(HUMID | SHORT_BY_SUBCOOLING))
    assert {one.repair for one in analysis.repairs.called} == {Repair.FIND_LEAK}


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_no_copy_calls_it_short(audience) -> None:
    text = repr(blocks_of(analysis_of(job_text(ORIFICES | NONE_LEFT)), audience)).lower()
    for word in (
        "charge: low",
        "looks short",
        "short of refrigerant",
        "looks to be missing",
        "short circuit",
    ):
        assert word not in text


def test_with_too_little_air_their_superheat_is_not_compared() -> None:
    low = ORIFICES | {"2.suction_temperature": "62 degF"}
    (full,) = analysis_of(job_text(low)).conditions
    assert full.contrast is not None and full.contrast.text is Suspicion.LOW_CHARGE_OR_RESTRICTION
    (slow,) = analysis_of(job_text(low | {"air.fan_frequency": "36 Hz", "air.airflow": None})).conditions
    assert slow.contrast is not None and slow.contrast.text is Suspicion.CANNOT_TELL
    # Valves hold their superheat whatever the air.
    valves = HUMID | {"2.suction_temperature": "62 degF", "air.fan_frequency": "36 Hz", "air.airflow": None}
    (held,) = analysis_of(job_text(valves)).conditions
    assert held.contrast is not None and held.contrast.suspect == "2"


def low_to_high(device: str | None) -> list[float]:
    """Superheat of circuit 1 at the low fan, from the lowest to the highest that its readings allow [K]."""
    devices = {f"circuit.{name}.metering": device for name in "12"}
    unit = analysis_of(job_text(HUMID | devices))
    (answer,) = unit.what_if(({"fan_frequency": "36 Hz"},)).answers
    return list(answer.circuit["1"]["superheat"].low_to_high)


@pytest.mark.parametrize("device", ["unknown", None])
def test_a_device_that_is_not_known_is_drawn_as_either_and_said(device) -> None:
    """A valve holds its superheat at the low fan, an orifice floods the coil: not known spans both."""
    drawn, valve, orifice = map(low_to_high, (device, "TXV", "fixed orifice"))
    assert drawn[0] < valve[0] - 3.0 and drawn[0] == pytest.approx(orifice[0], abs=1.0)
    assert drawn[1] == pytest.approx(valve[1], abs=1.0)
    unit = analysis_of(job_text(HUMID | {"circuit.2.metering": device}))
    (said,) = found(unit, "assumed.metering")
    assert "circuit 2 is not known: a valve and a fixed orifice" in said.statement and said.basis == "assumed"
    assert not found(analysis_of(job_text(HUMID)), "assumed.metering")


def test_faults_of_either_device_fit_one_that_is_not_known() -> None:
    flooded = {"suction saturation": 1, "superheat": -1, "subcooling": 0, "condensing saturation": 0}
    either = set(consistent(flooded, None, airflow_proved=True))
    apart = [set(consistent(flooded, one, airflow_proved=True)) for one in ("TXV", "fixed orifice")]
    assert either == apart[0] | apart[1] and apart[0] != apart[1]
