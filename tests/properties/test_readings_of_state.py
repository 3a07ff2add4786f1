"""From a solved state to readings: outside libraries read the same state back, and so does the diagnosis."""

import CoolProp
import numpy as np
import psychrolib
import pytest

from hvaccalc import analyse, load_job
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.unit.readings_of_state import READ, Level, TrueState, readings, true_state
from hvaccalc.ensemble import Z95
from hvaccalc.equipment.unit.unit_state import Conditions, Faults, UnitStates
from hvaccalc.errors import NotConverged
from tests.behaviour.jobs import SOUND, job_text
from tests.compare.generated_jobs import rated_flow, unit
from tests.refrigerant_library import library_state

SEA_LEVEL, ZERO = 101325.0, 273.15
LIBRARY = 0.05
"""Largest distance of the package's saturation from the library's [K]."""

CASES = [
    ("R-410A", Faults()),
    ("R-407C", Faults(charge=np.array([0.8, 1.0]))),
    ("R-134a", Faults(valve_overfeed=np.array([0.0, 1.2]))),
    ("R-454B", Faults(charge=np.array([1.0, 0.6]))),
]
IDS = [fluid for fluid, _ in CASES]


def solved(fluid: str, faults: Faults, running=(True, True)) -> tuple[Conditions, UnitStates, TrueState]:
    conditions = Conditions(297.0, 0.0098, SEA_LEVEL, 303.0, rated_flow(), running=np.array(running))
    states = unit("interlaced", fluid).solve(conditions, faults)
    return conditions, states, true_state({"1": fluid, "2": fluid}, conditions, states)


@pytest.mark.parametrize(("fluid", "faults"), CASES, ids=IDS)
def test_a_property_library_reads_the_circuits_back(fluid: str, faults: Faults) -> None:
    """CoolProp's dew and bubble at the pressures read: saturation, superheat and subcooling of the state."""
    _, states, truth = solved(fluid, faults)
    library = library_state(fluid)

    def saturation(pressure: float, vapour: int) -> float:
        library.update(CoolProp.PQ_INPUTS, pressure, vapour)
        return library.T()

    for index, table in enumerate(truth.circuits.values()):
        dew = saturation(table["suction_pressure"], 1)
        bubble = saturation(table["liquid_pressure"], 0)
        assert dew == pytest.approx(states.suction_saturation[index], abs=LIBRARY)
        if states.superheat[index] > 0.0:
            superheat = table["suction_temperature"] - dew
            assert superheat == pytest.approx(states.superheat[index], abs=LIBRARY)
        else:
            assert saturation(table["suction_pressure"], 0) - LIBRARY < table["suction_temperature"]
            assert table["suction_temperature"] < dew + LIBRARY
        if states.subcooling[index] > 0.0:
            subcooling = bubble - table["liquid_temperature"]
            assert subcooling == pytest.approx(states.subcooling[index], abs=LIBRARY)
        else:
            high = saturation(table["liquid_pressure"], 1)
            assert bubble - LIBRARY < table["liquid_temperature"] < high + LIBRARY


def test_the_cases_hold_a_wet_suction_and_uncondensed_liquid() -> None:
    """Otherwise two branches of the test above would prove nothing."""
    states = [solved(fluid, faults)[1] for fluid, faults in CASES]
    assert any((one.superheat == 0.0).any() for one in states)
    assert any((one.exit_quality > 0.0).any() for one in states)


@pytest.mark.parametrize(("fluid", "faults"), CASES, ids=IDS)
def test_water_and_energy_are_kept_between_the_readings(fluid: str, faults: Faults) -> None:
    """Psychrolib (ASHRAE Handbook of Fundamentals 2017) reckons condensate and capacity from the air as read.

    Within 1 %: the two reckon a wet bulb differently in the third digit.
    """
    psychrolib.SetUnitSystem(psychrolib.SI)
    _, states, truth = solved(fluid, faults)
    air = truth.air
    back, supply = air["return_dry_bulb"] - ZERO, air["supply_dry_bulb"] - ZERO
    before = psychrolib.GetHumRatioFromTWetBulb(back, air["return_wet_bulb"] - ZERO, SEA_LEVEL)
    after = psychrolib.GetHumRatioFromTWetBulb(supply, air["supply_wet_bulb"] - ZERO, SEA_LEVEL)
    dry_air = air["airflow"] / psychrolib.GetMoistAirVolume(back, before, SEA_LEVEL)
    condensate = dry_air * (before - after)
    assert condensate == pytest.approx(air["condensate_rate"], rel=0.01)
    drop = psychrolib.GetMoistAirEnthalpy(back, before) - psychrolib.GetMoistAirEnthalpy(supply, after)
    drained = condensate * 4186.0 * supply
    assert dry_air * drop - drained == pytest.approx(float(states.total_capacity), rel=0.01)


def test_the_diagnosis_of_perfect_readings_finds_the_state(tmp_path) -> None:
    _, states, truth = solved("R-407C", Faults(charge=np.array([0.85, 1.0])))
    unread = {key: None for key in SOUND if key.split(".")[0] in ("air", "1", "2")}
    typed = {f"{place}.{key}": q.text for place, table in readings(truth).items() for key, q in table.items()}
    at_coil = {f"{name}.suction_measured_at": "coil" for name in ("1", "2")}
    fluid = {f"circuit.{name}.refrigerant": "R-407C" for name in ("1", "2")}
    (tmp_path / "job.toml").write_text(job_text(unread | typed | at_coil | fluid), "utf-8")
    analysis = analyse(load_job(tmp_path / "job.toml"), 64)
    assert analysis.screening.excluded == frozenset()
    (result,) = analysis.conditions
    for index, name in enumerate(("1", "2")):
        found = result.circuits[name]
        assert found.superheat.draws[0] == pytest.approx(states.superheat[index], abs=1e-4)
        assert found.subcooling.draws[0] == pytest.approx(states.subcooling[index], abs=1e-4)
        assert found.coil_suction_saturation[0] == pytest.approx(states.suction_saturation[index], abs=1e-4)
    assert result.air.supply_air.humidity_ratio[0] == pytest.approx(
        float(states.supply_humidity_ratio), rel=1e-4
    )


def test_levels_hold_each_other() -> None:
    *_, truth = solved(*CASES[0])
    read = {level: readings(truth, level) for level in Level}
    for less, more in ((Level.GAUGES, Level.USUAL), (Level.USUAL, Level.FULL)):
        assert set(READ[less]) < set(READ[more])
        for place, table in read[less].items():
            assert table.items() <= read[more][place].items()
    assert {key for table in read[Level.FULL].values() for key in table} == set(READ[Level.FULL])


def test_a_circuit_that_rests_is_not_read() -> None:
    *_, truth = solved("R-410A", Faults(), running=(True, False))
    assert set(truth.circuits) == {"1"} == set(readings(truth)) - {"air"}


def test_errors_are_drawn_by_seed_with_the_width_of_the_instrument() -> None:
    """Standard deviation of 600 drawn readings, within 10 % (its own error: 3 %); gauges are shared."""
    *_, truth = solved(*CASES[0])

    def read(seed: int) -> dict:
        return readings(truth, Level.GAUGES, np.random.default_rng(seed))

    assert read(7) == read(7) != read(8)
    drawn = [read(seed) for seed in range(600)]
    exact = readings(truth, Level.GAUGES)
    low = np.array([[one[name]["suction_pressure"].value for name in ("1", "2")] for one in drawn])
    spread = instruments.widths("suction_pressure", exact["1"]["suction_pressure"], None)
    expected = np.hypot(spread.calibration, spread.repeatability) / Z95
    assert low[:, 0].std() == pytest.approx(expected, rel=0.1)
    assert low[:, 0].mean() == pytest.approx(
        exact["1"]["suction_pressure"].value, abs=4.0 * expected / 600**0.5
    )
    apart = (low[:, 0] - low[:, 1]).std()
    assert apart == pytest.approx(spread.repeatability * 2**0.5 / Z95, rel=0.1)


def test_a_refused_state_is_not_read() -> None:
    conditions = Conditions(297.0, 0.0098, SEA_LEVEL, 303.0, 0.0)
    states = unit("interlaced", "R-410A").solve(conditions)
    with pytest.raises(NotConverged, match="air"):
        true_state({"1": "R-410A", "2": "R-410A"}, conditions, states)
