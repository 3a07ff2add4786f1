"""Faults put into the coupled unit, read by exact instruments, typed into a job: the true one is on the list.

Expectations are those of Rossi and Braun's rules, of the NIST campaign on two valve units (146 of 278 tests
with low air looked like a restriction to a classifier of residuals) and of ASHRAE RP-1173; the unit model
only makes the readings.
"""

from dataclasses import replace

import numpy as np
import pytest

from hvaccalc import units as u
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.air.sound_unit import normal
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.confusion import Fit
from hvaccalc.job.load import job_from_text
from hvaccalc.physics import moist_air
from tests.behaviour import jobs
from tests.studies import charge as study

SOUND = study.Truth("TXV", "R-410A", np.ones(2), ("", ""), np.zeros(2), 1.0, False, False, 95.0, 78.0, 0.50)
BLIND = ("airflow = ", "fan_frequency = ")
"""Lines of the job that would prove the airflow."""


class _Exact:
    """A generator that draws no error."""

    def standard_normal(self) -> float:
        return 0.0


def confusion(truth: study.Truth, blind: bool = True, drop: tuple[str, ...] = ()):
    """What the package says of circuit 1."""
    model = study.unit(truth.metering, truth.fluid)
    states = model.solve(study.conditions([truth]), study.faults([truth]))
    assert states.converged.all()
    label = [study.chart(model, truth.fluid)] * 2
    if truth.metering == "fixed orifice":
        sound = model.solve(study.conditions([truth], full=True))
        label = [f'target_superheat = "{float(sound.superheat[0, 0] + 0.6) * 1.8:.0f} degF"'] * 2
    text = study.job_text(truth, study.shown(truth, states, 0, _Exact()), label, 1)
    lines = [line for line in text.splitlines() if not (blind and line.startswith(BLIND))]
    lines = [line for line in lines if not line.startswith(drop)] if drop else lines
    moisture = float(study.conditions([truth]).return_humidity_ratio[0])
    wet_bulb = moist_air.wet_bulb(u.degF(truth.back), moisture, study.SEA_LEVEL)
    extra = f'return_wet_bulb = "{float(u.to(wet_bulb, "degF", "temperature")):.2f} degF"'
    typed = "\n".join(lines).replace("[visit.condition.air]", f"[visit.condition.air]\n{extra}")
    typed = typed.replace("[unit.fan]", 'rated_suction_saturation = "45 degF"\n[unit.fan]', 1)
    evidence = analyse(job_from_text(typed)).charge_evidence
    return evidence.confusion[Where(1, 1, "1")]


def faulty(other: str = "", size: float = 0.3, charge: float = 1.0, **more):
    return replace(SOUND, charge=np.array([charge, 1.0]), other=(other, ""), size=np.full(2, size), **more)


def test_a_sound_unit_accuses_nobody():
    assert confusion(SOUND, blind=False).text == "nothing stands out"


@pytest.mark.parametrize("metering", ["TXV", "fixed orifice"])
@pytest.mark.parametrize(
    ("fault", "changes"),
    [
        (CircuitFault.LOW_CHARGE, {"charge": 0.75}),
        (CircuitFault.OVERCHARGE, {"charge": 1.3}),
        (CircuitFault.CONDENSER_AIR, {"other": "condenser_air", "size": 0.6}),
        (CircuitFault.LOW_AIRFLOW, {"airflow": 0.6}),
    ],
)
def test_the_true_fault_is_on_the_list(metering, fault, changes):
    found = confusion(faulty(metering=metering, **changes))
    assert fault in found.faults, (found.signs, found.faults)


def test_a_starved_valve_and_a_restriction_are_not_told_apart_by_signs():
    for other, size in (("valve_capacity", 0.5), ("restriction", 0.9)):
        found = confusion(faulty(other=other, size=size))
        assert {CircuitFault.STARVED_VALVE, CircuitFault.RESTRICTION} <= set(found.faults)
        assert any("drier" in reading for reading in found.next)


def test_low_air_and_restriction_are_ambiguous_with_three_readings():
    """Suction saturation, superheat and subcooling alone: each is on the other's list."""
    low_air = confusion(faulty(airflow=0.55))
    held = confusion(faulty(other="valve_capacity", size=0.5))
    for found in (low_air, held):
        assert found.text == Fit.AMBIGUOUS
        assert {CircuitFault.LOW_AIRFLOW, CircuitFault.RESTRICTION} <= set(found.faults), (
            found.signs,
            found.faults,
        )
        assert any("airflow" in reading for reading in found.next)


def test_a_proved_airflow_ends_that_ambiguity():
    found = confusion(faulty(other="valve_capacity", size=0.5), blind=False)
    assert CircuitFault.LOW_AIRFLOW not in found.faults and CircuitFault.STARVED_VALVE in found.faults


def test_a_valve_unit_short_by_a_tenth_keeps_its_superheat():
    """RP-1173: valves hold superheat down to 80 % of the charge, so that subcooling alone speaks."""
    found = confusion(faulty(charge=0.85), blind=False)
    assert found.signs["superheat"] == 0 and found.signs["subcooling"] == -1
    assert CircuitFault.LOW_CHARGE in found.faults and CircuitFault.RESTRICTION not in found.faults


@pytest.mark.parametrize(("reading", "spread"), [("superheat", 2.5), ("suction saturation", 2.0)])
def test_a_sound_unit_is_spread_about_its_model_as_practice_has_it(reading, spread):
    """Standard deviations in °F of common practice, no source: a valve is set a little off, a model errs."""
    column = normal(jobs.demo().draws, Where(1, 1, "1"), reading, np.full(24, 10.0))
    assert column[0] == 10.0 and np.std(column[1:]) * 1.8 == pytest.approx(spread, rel=0.03)
