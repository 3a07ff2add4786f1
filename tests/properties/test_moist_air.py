"""Moist air: what must hold for any state, whatever the numbers."""

import itertools
import warnings

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hvaccalc.physics import moist_air

PROPERTIES = ("dry_bulb", "wet_bulb", "dew_point", "relative_humidity", "humidity_ratio", "enthalpy")
PAIRS = [pair for pair in itertools.combinations(PROPERTIES, 2) if pair != ("dew_point", "humidity_ratio")]

dry_bulbs = st.floats(253.15, 333.15)
shares = st.floats(0.01, 1.0)
pressures = st.floats(70e3, 105e3)


@settings(max_examples=60, deadline=None)
@given(dry_bulb=dry_bulbs, share=shares, pressure=pressures)
def test_every_pair_returns_to_the_same_state(dry_bulb, share, pressure):
    air = moist_air.state(pressure, dry_bulb=dry_bulb, relative_humidity=share)
    assert air.reason == 0
    assert air.dew_point <= air.wet_bulb + 1e-6 <= air.dry_bulb + 2e-6
    for pair in PAIRS:
        # Wet bulb with enthalpy is refused near 0 °C; from 0 to 0.01 °C water and ice curves part by 1e-4.
        near_zero = abs(air.wet_bulb - 273.15) < (1.01 if pair == ("wet_bulb", "enthalpy") else 0.02)
        if "wet_bulb" in pair and near_zero:
            continue
        again = moist_air.state(pressure, **{name: getattr(air, name) for name in pair})
        # An error e in enthalpy is e/(condensate heat) in humidity ratio: 100 times a direct pair's.
        loose = 100.0 if pair == ("wet_bulb", "enthalpy") else 1.0
        assert again.reason == 0, pair
        assert again.humidity_ratio == pytest.approx(air.humidity_ratio, abs=2e-9 * loose), pair
        assert again.dry_bulb == pytest.approx(air.dry_bulb, abs=5e-6 * loose), pair


@settings(max_examples=100, deadline=None)
@given(temperature=st.floats(173.15, 473.15))
def test_saturation_curve_inverts(temperature):
    back = moist_air.saturation_temperature(moist_air.saturation_pressure(temperature))
    assert back == pytest.approx(temperature, abs=1e-6)


@settings(max_examples=100, deadline=None)
@given(dry_bulb=st.floats(174.0, 473.15), share=st.floats(0.0, 1.0), pressure=pressures)
def test_wet_bulb_satisfies_its_balance(dry_bulb, share, pressure):
    ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, share, pressure)
    assume(np.isfinite(ratio))
    bulb = moist_air.wet_bulb(dry_bulb, ratio, pressure)
    assert bulb <= dry_bulb
    enthalpy, condensed = moist_air.enthalpy(dry_bulb, ratio), moist_air.liquid_water_enthalpy(bulb)
    ice = moist_air.wet_bulb_branch(dry_bulb, ratio, pressure) == "ice"
    curve = moist_air.saturation_pressure_over_ice if ice else moist_air.saturation_pressure_over_water
    saturated = moist_air.humidity_ratio_from_vapour_pressure(curve(bulb), pressure)
    # 1e-6 K of a saturated enthalpy's slope, which near boiling is steep.
    warmer = moist_air.humidity_ratio_from_vapour_pressure(curve(bulb - 0.01), pressure)
    slope = (moist_air.enthalpy(bulb, saturated) - moist_air.enthalpy(bulb - 0.01, warmer)) / 0.01
    gained = enthalpy + (saturated - ratio) * condensed
    assert gained == pytest.approx(moist_air.enthalpy(bulb, saturated), abs=1e-6 * slope * 1.2)


@settings(max_examples=40, deadline=None)
@given(dry_bulb=dry_bulbs, pressure=pressures)
def test_more_vapour_raises_everything(dry_bulb, pressure):
    shares = np.linspace(0.02, 1.0, 50)
    air = moist_air.state(pressure, dry_bulb=dry_bulb, relative_humidity=shares)
    for name in ("wet_bulb", "dew_point", "humidity_ratio", "enthalpy", "specific_volume"):
        assert (np.diff(getattr(air, name)) > 0.0).all(), name
    heavier = moist_air.density(dry_bulb, air.humidity_ratio, pressure)
    assert (np.diff(heavier) < 0.0).all()


def test_saturation_rises_through_both_curves():
    temperature = np.linspace(173.15, 473.15, 30001)
    assert (np.diff(moist_air.saturation_pressure(temperature)) > 0.0).all()


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), pair=st.sampled_from(PAIRS))
def test_broadcasting_equals_a_loop(seed, pair):
    draw = np.random.default_rng(seed)
    dry, share = draw.uniform(255.0, 320.0, (4, 1)), draw.uniform(0.05, 0.95, 3)
    pressure = draw.uniform(75e3, 102e3, 3)
    start = moist_air.state(pressure, dry_bulb=dry, relative_humidity=share)
    two = {name: getattr(start, name) for name in pair}
    whole = moist_air.state(pressure, **two)
    for row, column in np.ndindex(4, 3):
        one = moist_air.state(pressure[column], **{name: value[row, column] for name, value in two.items()})
        for name in (*PROPERTIES, "reason"):
            np.testing.assert_allclose(getattr(one, name), getattr(whole, name)[row, column], rtol=1e-9)


def test_large_mixed_arrays_equal_small_pieces():
    """Blocks that hold both ice and water, and an array longer than one block."""
    draw = np.random.default_rng(7)
    dry, pressure = draw.uniform(253.15, 300.0, 20000), 95e3
    ratio = moist_air.humidity_ratio_from_relative_humidity(dry, draw.uniform(0.05, 1.0, dry.size), pressure)
    whole = moist_air.wet_bulb(dry, ratio, pressure)
    assert len(set(moist_air.wet_bulb_branch(dry, ratio, pressure))) == 2
    pieces = [moist_air.wet_bulb(dry[i : i + 7], ratio[i : i + 7], pressure) for i in range(0, dry.size, 7)]
    np.testing.assert_allclose(whole, np.concatenate(pieces), rtol=0.0, atol=1e-6)


@pytest.mark.parametrize(
    ("two", "words"),
    [
        ({"dry_bulb": 293.15, "wet_bulb": 294.15}, "more vapour"),
        ({"dry_bulb": 293.15, "dew_point": 294.15}, "more vapour"),
        ({"dry_bulb": 293.15, "relative_humidity": 1.01}, "more vapour"),
        ({"dry_bulb": 293.15, "humidity_ratio": 0.016}, "more vapour"),
        ({"dry_bulb": 293.15, "enthalpy": 70e3}, "more vapour"),
        ({"wet_bulb": 290.0, "dew_point": 291.0}, "more vapour"),
        ({"humidity_ratio": 0.015, "enthalpy": 50e3}, "more vapour"),
        ({"dry_bulb": 303.15, "wet_bulb": 278.15}, "less than no vapour"),
        ({"dry_bulb": 293.15, "enthalpy": 10e3}, "less than no vapour"),
        ({"dry_bulb": 293.15, "humidity_ratio": -0.001}, "less than no vapour"),
        ({"dry_bulb": 293.15, "relative_humidity": -0.1}, "less than no vapour"),
        ({"dry_bulb": 500.0, "humidity_ratio": 0.01}, "-100 to 200"),
        ({"dry_bulb": 170.0, "relative_humidity": 0.5}, "-100 to 200"),
        ({"humidity_ratio": 0.01, "enthalpy": 300e3}, "-100 to 200"),
        ({"dry_bulb": np.nan, "wet_bulb": 290.0}, "missing"),
        ({"dry_bulb": 293.15, "relative_humidity": np.inf}, "missing"),
        ({"wet_bulb": 273.5, "enthalpy": 10e3}, "do not fix"),
        ({"relative_humidity": 0.0, "humidity_ratio": 0.0}, "do not fix"),
    ],
)
def test_impossible_air_says_why(two, words):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        air = moist_air.state(101325.0, **two)
    assert words in moist_air.REASONS[int(air.reason)]
    assert all(np.isnan(getattr(air, name)) for name in (*PROPERTIES, "specific_volume"))


def test_one_impossible_row_leaves_the_others_alone():
    air = moist_air.state(101325.0, dry_bulb=[293.15, 293.15], wet_bulb=[288.15, 299.0])
    assert air.reason.tolist() == [0, 3]
    assert np.isfinite(air.humidity_ratio[0]) and np.isnan(air.humidity_ratio[1])


@pytest.mark.parametrize(
    ("two", "words"),
    [
        ({"dew_point": 280.0, "humidity_ratio": 0.01}, "not independent"),
        ({"dry_bulb": 293.15}, "exactly two"),
        ({"dry_bulb": 293.15, "wet_bulb": 290.0, "enthalpy": 1.0}, "exactly two"),
        ({"dry_bulb": 293.15, "wetbulb": 290.0}, "wetbulb"),
    ],
)
def test_wrong_pairs_are_refused_by_name(two, words):
    with pytest.raises(ValueError, match=words):
        moist_air.state(101325.0, **two)


def test_functions_stay_silent_outside_their_range():
    bad = np.array([100.0, np.nan, 500.0])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        results = [
            moist_air.saturation_pressure(bad),
            moist_air.saturation_pressure_over_water(bad),
            moist_air.saturation_pressure_over_ice(np.array([100.0, np.nan, 280.0])),
            moist_air.saturation_temperature(np.array([-1.0, 0.0, 1e9])),
            moist_air.dew_point(np.array([-0.1, 0.0, np.inf]), 101325.0),
            moist_air.wet_bulb(bad, 0.01, 101325.0),
            moist_air.wet_bulb(293.15, np.array([-0.01, np.nan, 0.03]), 101325.0),
            moist_air.wet_bulb(293.15, 0.01, np.array([-1.0, 0.0, np.nan])),
            moist_air.humidity_ratio_from_wet_bulb(293.15, np.array([294.0, np.nan, 270.0]), 101325.0),
            moist_air.humidity_ratio_from_vapour_pressure(np.array([-1.0, 2e5, np.nan]), 101325.0),
            moist_air.enthalpy(bad, 0.01),
            moist_air.specific_volume(bad, 0.01, 101325.0),
            moist_air.density(293.15, 0.01, np.array([0.0, -1.0, np.nan])),
            moist_air.pressure_at_elevation(np.array([-6000.0, 12000.0, np.nan])),
        ]
    assert np.isnan(results).all()


@settings(max_examples=60, deadline=None)
@given(wet_bulb=st.floats(272.35, 273.95), pressure=pressures)
def test_near_freezing_the_branch_is_said(wet_bulb, pressure):
    """Either branch answers its own balance: ice below 0 °C, liquid from 0 °C up."""
    dry_bulb = 277.15
    ratio = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, pressure)
    bulb = moist_air.wet_bulb(dry_bulb, ratio, pressure)
    branch = moist_air.wet_bulb_branch(dry_bulb, ratio, pressure)
    assert (branch == "ice") == (bulb < 273.15)
    again = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, bulb, pressure)
    assert again == pytest.approx(ratio, abs=1e-9)
    if wet_bulb >= 273.15:
        assert branch == "water"
        assert bulb == pytest.approx(wet_bulb, abs=1e-6)
