"""A condenser fan that was typed as standing comes before a dirty coil, a charge and the other circuit.

Common practice, no source.
"""

import pytest

from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.service.repair.repair_rows import Repair
from tests.behaviour.jobs import HUMID, analysis_of, blocks_of, job_text

HIGH = HUMID | {"2.liquid_pressure": "430 psig", "2.liquid_temperature": "98 degF"}
"""Condensing 37 °F above the outdoor air, with 24 °F of subcooling."""


@pytest.mark.parametrize("fans", ["1 of 2", "0 of 2", 0])
def test_the_fan_comes_first(fans) -> None:
    analysis = analysis_of(job_text(HIGH | {"2.condenser_fans_running": fans}))
    assert [one.repair for one in analysis.repairs.called] == [Repair.CONDENSER_FAN]
    fits = analysis.charge_evidence.confusion[Where(1, 1, "2")]
    assert fits.text == CircuitFault.CONDENSER_AIR and not fits.faults
    (result,) = analysis.conditions
    assert result.contrast is not None and result.contrast.text is Suspicion.CANNOT_TELL
    for audience in ("file", "customer"):
        text = repr(blocks_of(analysis, audience))
        assert "Its coil is looked at first" not in text and "a dirty or short-aired condenser" not in text


def test_with_all_fans_on_the_coil_and_the_charge_are_looked_at() -> None:
    analysis = analysis_of(job_text(HIGH))
    assert Repair.CONDENSER_FAN not in {one.repair for one in analysis.repairs.called}
    (result,) = analysis.conditions
    assert result.contrast is not None and result.contrast.suspect == "2"
    assert "a dirty or short-aired condenser" in repr(blocks_of(analysis, "file"))


def test_fans_that_cycle_on_purpose_accuse_nobody() -> None:
    cycling = {"unit.protection.head_control": "fan cycling", "2.condenser_fans_running": "1 of 2"}
    analysis = analysis_of(job_text(HUMID | cycling))
    assert not analysis.repairs.called
