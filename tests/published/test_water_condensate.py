"""Condensate of a whole unit over weather: what the water budget starts from.

Source of the limits: hand calculation. 240 kBtu/h at a sensible ratio of 0.72 are 67.2 kBtu/h of latent heat;
over 1,061 Btu/lb (2.468 MJ/kg, heat of condensation at 55 °F) 63.3 lb/h, at 8.33 lb/gal 7.6 gal/h. Trade
range of a 20-ton unit over weather: 0 to 13 gal/h (common practice, no source).
"""

import numpy as np
import pytest

from hvaccalc import units
from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.job.load import job_from_text
from hvaccalc.physics import moist_air
from tests.behaviour.jobs import SOUND, job_text

PRESSURE = 101325.0


@pytest.fixture(scope="module")
def unit():
    draws = Analysis(job_from_text(job_text(base=SOUND)), 20).draws
    return unit_build.from_rating(draws).unit


def gallons(unit, return_air, humidity, outdoor) -> np.ndarray:
    """Condensate [gal/h] of the central draw at the rated airflow."""
    flow = units.si(8000.0, "cfm", "airflow") * units.STANDARD_AIR_DENSITY
    shape = (np.size(return_air), 1)
    states = unit.solve(
        Conditions(
            np.reshape(return_air, shape) * np.ones((1, 21)),
            np.reshape(humidity, shape) * np.ones((1, 21)),
            PRESSURE,
            np.reshape(outdoor, shape) * np.ones((1, 21)),
            flow,
            None,
            None,
        )
    )
    return units.to(np.asarray(states.condensate_rate)[:, 0], "gal/h", "water_flow")


def test_at_the_rating(unit):
    """80/67 °F, 95 °F outdoors: 7.2 to 8.0 gal/h."""
    dry = units.degF(80.0)
    humidity = moist_air.humidity_ratio_from_wet_bulb(dry, units.degF(67.0), PRESSURE)
    (made,) = gallons(unit, [dry], [humidity], [units.degF(95.0)])
    assert 7.2 <= made <= 8.0


def test_over_weather(unit):
    """Return 66 to 80 °F at 20 to 60 % (dew point up to 65 °F), outdoors 60 to 105 °F: 0 to 13 gal/h.

    Rooms are not that warm and wet while it is far colder outside: no more than 12 °F below the return.
    """
    grid = np.array(
        [
            (units.degF(back), moist, units.degF(out))
            for back in (66.0, 72.0, 76.0, 80.0)
            for moist in (0.20, 0.35, 0.50, 0.60)
            for out in (60.0, 80.0, 105.0)
            if out >= back - 12.0
        ]
    )
    humidity = moist_air.humidity_ratio_from_relative_humidity(grid[:, 0], grid[:, 1], PRESSURE)
    made = gallons(unit, grid[:, 0], humidity, grid[:, 2])
    known = made[np.isfinite(made)]
    assert known.size >= 0.9 * made.size
    assert known.min() >= 0.0 and known.max() <= 13.0
    assert known.min() < 0.5 and known.max() > 9.0


def test_where_nothing_was_read_the_budget_takes_the_rating(unit):
    text = job_text({"job.water_seen": "1 gal/day", "air.supply_dry_bulb": None}, base=SOUND)
    made = Analysis(job_from_text(text), 20).water.case.made
    assert made.basis == "assumed"
    assert 7.2 <= float(units.to(made.draws[0], "gal/h", "water_flow")) <= 8.0
