"""Moisture given back by a rested coil, against the check table of the latent part-load model.

Henderson and Rengarajan (ASHRAE Transactions 102(1), 1996), equations and suggested values of the EnergyPlus
Engineering Reference: wet time 1000 s, evaporation 1.5, 3 cycles an hour, 45 s; sensible heat ratio 0.75.
"""

import numpy as np
import pytest

from hvaccalc import units as u
from hvaccalc.equipment.coil.part_load_latent import (
    SUGGESTED,
    cycle_times,
    evaporated,
    latent_multiplier,
    rested_coil,
    retention_at,
)
from hvaccalc.physics import moist_air

TABLE = [
    # runtime, on time, off time, multiplier, effective sensible heat ratio
    (0.40, 500.0, 750.0, 0.0, 1.0000),
    (0.50, 600.0, 600.0, 0.0, 1.0000),
    (0.60, 750.0, 500.0, 0.1356, 0.9661),
    (0.70, 1000.0, 428.6, 0.4350, 0.8912),
    (0.80, 1500.0, 375.0, 0.6678, 0.8331),
    (0.90, 3000.0, 333.3, 0.8519, 0.7870),
]


@pytest.mark.parametrize(("runtime", "on", "off", "multiplier", "ratio"), TABLE)
def test_multiplier(runtime, on, off, multiplier, ratio):
    """To 1e-3, the stated tolerance of a tight iteration."""
    assert cycle_times(runtime) == pytest.approx((on, off), abs=0.05)
    found = latent_multiplier(runtime)
    assert found == pytest.approx(multiplier, abs=1e-3)
    assert 1.0 - 0.25 * found == pytest.approx(ratio, abs=1e-3)


def test_the_table_at_once():
    runtime, *_ = zip(*TABLE, strict=True)
    assert latent_multiplier(runtime) == pytest.approx([row[3] for row in TABLE], abs=1e-3)


def test_outside_and_at_the_end():
    assert latent_multiplier(1.0) == 1.0
    assert np.isnan(latent_multiplier([0.0, -0.1, 1.1])).all()


def test_nothing_left_below_half_runtime():
    """Shirey, Henderson, Raustad (FSEC-CR-1537-05), from memory: none below 40 to 50 % runtime."""
    assert np.all(latent_multiplier(np.linspace(0.05, 0.5, 10)) == 0.0)


@pytest.mark.parametrize(("tons", "ratio", "kilograms"), [(3, 0.75, "1.08"), (5, 0.72, "2.0")])
def test_water_held(tons, ratio, kilograms):
    """Wet time times latent capacity over 2.45 MJ/kg: 1.08 kg on 3 tons, 2.0 kg on 5."""
    latent = (1 - ratio) * u.si(tons, "ton", "heat")
    assert SUGGESTED.wet_time * latent / 2.45e6 == pytest.approx(float(kilograms), abs=0.05)


def test_no_more_is_given_back_than_was_held():
    """All of the wet time, and nothing after it is gone."""
    assert evaporated([1e9, 5000.0]) == pytest.approx(SUGGESTED.wet_time)


def test_drier_air_evaporates_faster():
    """Rated depression 26.7 - 19.4 K: at it nothing changes, at twice of it twice the rate."""
    assert retention_at(1.0, 7.3, 1.0).evaporation == pytest.approx(1.5)
    assert retention_at(1.0, 14.6, 1.0).evaporation == pytest.approx(3.0)


@pytest.mark.parametrize("celsius", [20.0, 24.0, 28.0])
@pytest.mark.parametrize("humidity", [0.3, 0.5, 0.6])
def test_rested_coil_cools_as_much_as_it_wets(celsius, humidity):
    """ASHRAE Journal, April 2004: off-cycle sensible cooling is equal and opposite to the moisture added.

    Within 5 %, the source's own limit. Heat capacity 1.006 + 1.86 W and latent heat 2501 kJ/kg are the
    handbook's (Fundamentals 2017, ch. 1).
    """
    dry, pressure = celsius + 273.15, 101325.0
    w = moist_air.humidity_ratio_from_relative_humidity(dry, humidity, pressure)
    left, wetter = rested_coil(dry, w, pressure, 0.001)
    sensible = (1006.0 + 1860.0 * w) * (dry - left)
    # Vapour at the leaving temperature out of water at the wet bulb.
    wet = moist_air.wet_bulb(dry, w, pressure) - 273.15
    latent = (2501e3 + 1860.0 * (left - 273.15) - 4186.0 * wet) * (wetter - w)
    assert sensible - latent == pytest.approx(0.0, abs=0.05 * latent)
    assert moist_air.wet_bulb(left, wetter, pressure) == pytest.approx(wet + 273.15, abs=0.05)


def test_air_takes_up_no_more_than_it_can():
    w = moist_air.humidity_ratio_from_relative_humidity(297.15, 0.9, 101325.0)
    assert np.isnan(rested_coil(297.15, w, 101325.0, 0.01)).all()
