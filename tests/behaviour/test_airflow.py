"""Airflow: each method by itself, reconciled, and what is said where nothing is known.

Hand arithmetic; 1 cfm = 4.719474e-4 m³/s. The fan law takes 0.93 of the rated airflow at full speed with
sd 0.12 (common practice, no source); standard air is 0.075 lb/ft³ of dry air.
"""

import numpy as np
import pytest

from tests.behaviour.jobs import HUMID, WIDE_AIRFLOW, analysed, found, one

CFM = 4.719474e-4
Z95 = 1.959964


def cfm(value: float) -> float:
    return value / CFM


@pytest.mark.parametrize(
    ("speed", "ratio"),
    [
        ({"air.fan_frequency": "36 Hz"}, 0.6),
        ({"air.fan_frequency": "60 Hz"}, 1.0),
        ({"air.fan_frequency": None, "air.fan_speed": "75 %"}, 0.75),
        ({"air.fan_frequency": None, "air.fan_speed": "450 rpm", "unit.fan.full_speed": "900 rpm"}, 0.5),
        ({"air.fan_frequency": None, "unit.fan.drive": "belt, fixed"}, 1.0),
    ],
)
def test_fan_law(tmp_path, speed, ratio):
    """0.93 x 8000 x ratio, sd 0.12 x 8000 x ratio; 60 Hz: 7440 (5558 to 9322) cfm.

    The drive's own ± 0.1 Hz and the tachometer's ± 0.5 % are lost in it.
    """
    law = one(analysed(tmp_path, {"air.airflow": None} | speed), "airflow.fan_law")
    half = Z95 * 0.12 * 8000 * ratio
    assert cfm(law.value) == pytest.approx(0.93 * 8000 * ratio, rel=1e-4)
    assert cfm(law.low) == pytest.approx(0.93 * 8000 * ratio - half, rel=0.02)
    assert cfm(law.high) == pytest.approx(0.93 * 8000 * ratio + half, rel=0.02)
    assert law.basis == "rule of thumb"


def test_actual_cfm_is_taken_as_it_stands(tmp_path):
    reading = one(analysed(tmp_path, {"air.airflow": "7600 cfm"} | HUMID), "airflow.reading")
    assert cfm(reading.value) == pytest.approx(7600, rel=1e-4)
    assert reading.unit == "m3/s"


def test_the_traverse_carries_its_default_accuracy(tmp_path):
    """± 7 % calibration and ± 2 % repeatability: together ± 7.28 %."""
    reading = one(analysed(tmp_path), "airflow.reading")
    assert cfm(reading.high - reading.low) / 2 == pytest.approx(0.0728 * 7600, rel=0.05)


@pytest.mark.parametrize(
    ("elevation", "volume"),
    [
        # ft³ per lb dry air at 80 °F, 67 °F wet bulb: 13.84 at sea level (ASHRAE psychrometric chart no. 1);
        # 5000 ft (24.90 inHg, W 0.0127 on chart no. 4) 16.70.
        ("0 ft", 13.84),
        ("5000 ft", 16.70),
    ],
)
def test_standard_cfm_becomes_actual_at_the_return_state(tmp_path, elevation, volume):
    """scfm x 0.075 lb/ft³ x specific volume."""
    changes = HUMID | {
        "job.elevation": elevation,
        "air.airflow": "7600 scfm",
        "air.return_dry_bulb": "80 degF",
        "air.return_wet_bulb": "67 degF",
    }
    reading = one(analysed(tmp_path, changes), "airflow.reading")
    assert cfm(reading.value) == pytest.approx(7600 * 0.075 * volume, rel=0.003)


def test_altitude_thins_the_air_not_the_fan_law(tmp_path):
    """A fan moves the same volume at any density; the heat it carries falls with the barometer.

    8,000 ft: 22.22 of 29.92 inHg (US Standard Atmosphere 1976), so 0.743 of the sensible heat, a little
    less for the moister air. A circuit without its suction temperature leaves the fan law alone.
    """
    drive = HUMID | {"air.airflow": None, "2.suction_temperature": None}
    high_up = analysed(tmp_path, drive | {"job.elevation": "8000 ft"})
    at_sea = analysed(tmp_path, drive)
    volumes = [one(a, "airflow.fan_law").value for a in (high_up, at_sea)]
    assert volumes[0] == pytest.approx(volumes[1])
    heats = [one(a, "capacity.sensible").value for a in (high_up, at_sea)]
    assert heats[0] / heats[1] == pytest.approx(0.743, abs=0.008)


def test_agreeing_methods_are_reconciled_within_the_better_one(tmp_path):
    analysis = analysed(tmp_path)
    both = one(analysis, "airflow.reconciled")
    reading, law = one(analysis, "airflow.reading"), one(analysis, "airflow.fan_law")
    assert both.basis == "measured"
    assert law.value < both.value < reading.value
    assert both.high - both.low <= reading.high - reading.low
    # Independent errors, 3.7 % against 12.9 %: the reading weighs 0.92.
    assert (both.value - law.value) / (reading.value - law.value) == pytest.approx(0.92, abs=0.04)


def test_a_disagreeing_method_is_named_and_not_averaged(tmp_path):
    """4000 cfm read at full speed; the fan law says 7440 ± 1882: 3440 off are 1.8 of that."""
    analysis = analysed(tmp_path, {"air.airflow": "4000 cfm"})
    both = one(analysis, "airflow.reconciled")
    assert cfm(both.value) == pytest.approx(4000, rel=1e-4)
    assert "fan law differs from reading by 1.8 times its own band" in both.statement
    assert both.severity == "watch"


def test_nothing_known_is_assumed_and_wide(tmp_path):
    """Anything from half speed with a bad fan to full speed with a good one."""
    analysis = analysed(tmp_path, WIDE_AIRFLOW)
    both = one(analysis, "airflow.reconciled")
    assert (both.basis, both.severity) == ("assumed", "watch")
    assert cfm(both.low) < 4200
    assert cfm(both.high) > 8000
    assert "from half to full speed" in both.statement
    assert not found(analysis, "airflow.reading") and not found(analysis, "airflow.fan_law")
    assert one(analysis, "capacity.sensible").basis == "assumed"


def test_a_fan_that_stands_still_moves_no_air(tmp_path):
    analysis = analysed(tmp_path, {"air.airflow": None, "air.fan_frequency": "0 Hz"})
    assert one(analysis, "airflow.reconciled").value is None
    assert "no airflow" in one(analysis, "airflow.reconciled").statement
    assert not found(analysis, "capacity.sensible")


def test_a_unit_that_is_off_is_not_given_an_airflow(tmp_path):
    off = WIDE_AIRFLOW | {"condition.calls": [], "condition.compressors_running": []}
    off |= {f"{name}.compressor_current": None for name in ("1", "2")}
    off |= {f"{name}.liquid_pressure": "118 psig" for name in ("1", "2")}
    statement = one(analysed(tmp_path, off), "airflow.reconciled").statement
    assert "half to full speed" not in statement


@pytest.mark.parametrize(("flow", "told"), [("3900 cfm", True), ("7600 cfm", False), ("10400 cfm", True)])
def test_unusual_airflow_for_each_ton_is_noticed(tmp_path, flow, told):
    """200 to 500 cfm for each rated ton; 20 tons."""
    notices = analysed(tmp_path, {"air.airflow": flow, "air.fan_frequency": None}).notices
    assert any(n.code == "unusual.airflow" for n in notices) is told


def test_one_unit_has_one_airflow_at_full_speed(tmp_path):
    """The fan law's factor is the unit's: conditions share it."""
    extra = '[[visit.condition]]\ncalls = ["cool 1"]\n[visit.condition.air]\nfan_frequency = "30 Hz"\n'
    analysis = analysed(tmp_path, {"air.airflow": None}, extra=extra)
    first, second = (condition.airflow.flow[1:] for condition in analysis.conditions)
    assert np.std(first / second) < 0.01
