"""The whole unit against twelve chamber tests: calibrated on some, predicting the others.

Kim, Payne, Domanski, Hermes, NISTIR 7350 (2006), appendix D, tests without fault, from
``data/measured/chamber.toml``. Inputs of a prediction: indoor and outdoor air, airflow, fan power. The bars
are what a first-principles unit can be asked for, given what the data leave open themselves: in the wet rows
the refrigerant side exceeds net capacity and fan heat by 3.5-5.7 %, in the dry ones it lies 0.8 % below to
2.3 % above, so that capacity and mass flow cannot both be met. Wet and dry rows are scored apart for that
reason.
"""

from functools import cache

import numpy as np
import pytest

from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import UnitStates
from hvaccalc.physics import moist_air
from tests.measured_units import chamber, chamber_rating

WET = ("c2", "c3", "c4", "c6", "c7", "c9")
DRY = ("c10", "c12", "c13", "c14", "c16", "c17")
CALIBRATED_ON = {"three": ("c2", "c9", "c12"), "one": ("c9",), "nameplate": ()}


@cache
def solved(known: str) -> UnitStates:
    unit = UnitModel.from_rating(chamber_rating())
    if CALIBRATED_ON[known]:
        unit = unit.recalibrate(chamber(CALIBRATED_ON[known]))
    states = unit.solve(chamber((*WET, *DRY)).conditions)
    assert states.converged.all()
    return states


def model(known: str, key: str) -> np.ndarray:
    value = getattr(solved(known), key)
    return value[0] if value.ndim == 2 else value


def measured(key: str) -> np.ndarray:
    value = chamber((*WET, *DRY)).readings[key]
    return value[0] if value.ndim == 2 else value


def others(known: str, among: tuple[str, ...] = (*WET, *DRY)) -> list[int]:
    """Rows that the calibration has not seen."""
    return [i for i, label in enumerate((*WET, *DRY)) if label in among and label not in CALIBRATED_ON[known]]


def relative(known: str, key: str, among: tuple[str, ...] = (*WET, *DRY)) -> np.ndarray:
    return (model(known, key) / measured(key) - 1.0)[others(known, among)]


def difference(known: str, key: str) -> np.ndarray:
    return (model(known, key) - measured(key))[others(known)] * 1.8


def root_mean_square(x: np.ndarray) -> float:
    return float(np.sqrt(np.mean(x**2)))


def sensible_ratio(sensible: np.ndarray, total: np.ndarray) -> np.ndarray:
    return np.minimum(sensible / total, 1.0)


# --- calibrated on c2, c9 and c12 --------------------------------------------------------------------------
def test_dry_capacity():
    assert np.abs(relative("three", "total_capacity", DRY)).max() < 0.04


def test_wet_capacity():
    error = relative("three", "total_capacity", WET)
    assert np.abs(error).max() < 0.06
    assert root_mean_square(error) < 0.04


def test_compressor_power():
    assert np.abs(relative("three", "compressor_power")).max() < 0.04


def test_refrigerant_mass_flow():
    error = relative("three", "refrigerant_mass_flow")
    assert np.abs(error).max() < 0.04
    assert root_mean_square(error) < 0.025


@pytest.mark.parametrize("key", ["suction_saturation", "condensing_saturation"])
def test_saturations(key):
    assert np.abs(difference("three", key)).max() < 1.5


def test_sensible_heat_ratio():
    predicted = sensible_ratio(model("three", "sensible_capacity"), model("three", "total_capacity"))
    reported = sensible_ratio(measured("sensible_capacity"), measured("total_capacity"))
    assert np.abs(predicted - reported)[others("three")].max() < 0.03


def test_leaving_dry_bulb():
    assert np.abs(difference("three", "supply_dry_bulb")).max() < 1.2


def test_leaving_dew_point():
    barometer = chamber((*WET, *DRY)).conditions.barometer
    predicted, read = (
        moist_air.dew_point(humidity, barometer)
        for humidity in (model("three", "supply_humidity_ratio"), measured("supply_humidity_ratio"))
    )
    assert np.abs(predicted - read)[others("three")].max() * 1.8 < 1.0


def test_every_row_closes():
    assert np.abs(model("three", "energy_residual")).max() < 1e-3


# --- calibrated on c9 alone, with gauges -------------------------------------------------------------------
def test_one_condition_gives_capacity_and_power():
    assert np.abs(relative("one", "total_capacity")).max() < 0.06
    assert np.abs(relative("one", "compressor_power")).max() < 0.04


@pytest.mark.parametrize("key", ["suction_saturation", "condensing_saturation"])
def test_one_condition_gives_saturations(key):
    assert np.abs(difference("one", key)).max() < 2.0


# --- from the nameplate alone ------------------------------------------------------------------------------
@pytest.mark.parametrize("key", ["suction_saturation", "condensing_saturation"])
def test_nameplate_gives_changes_of_saturation(key):
    """Relative to c9: an assumed rating is an offset, the changes are physics."""
    error = (model("nameplate", key) - measured(key)) * 1.8
    assert np.abs(error - error[WET.index("c9")]).max() < 2.0


def test_nameplate_gives_capacity():
    assert np.abs(relative("nameplate", "total_capacity")).max() < 0.07
