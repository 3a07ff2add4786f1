"""What any coil must do: conserve, respond in the right direction, treat circuits and rows alike, refuse."""

import dataclasses

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hvaccalc.equipment.coil import cooling_coil as equipment
from hvaccalc.equipment.coil.cooling_coil import CIRCUITINGS, REASONS, Coil, Rating, calibrate, solve
from hvaccalc.physics.moist_air import saturation_humidity_ratio

SEA_LEVEL = 101325.0
NAN = float("nan")
# A 20-ton coil: 80/67 °F, 8000 scfm, 45 °F suction saturation.
RATING = Rating(73.9e3, 0.733, 4.536, 299.82, 0.01117, SEA_LEVEL, 280.37)
COIL = calibrate(RATING)

dry_bulbs = st.floats(288.0, 305.0)
humidities = st.floats(0.1, 0.95)
flows = st.floats(1.2, 5.5)
saturations = st.floats(262.0, 285.0)
shares = st.floats(0.2, 0.8)
circuitings = st.sampled_from(CIRCUITINGS)
fields = [field.name for field in dataclasses.fields(equipment.CoilState)]


def moisture(dry_bulb, humidity):
    return humidity * saturation_humidity_ratio(dry_bulb, SEA_LEVEL)


def run(dry_bulb, humidity, flow, saturation, share=(0.5, 0.5), circuiting="interlaced"):
    return solve(COIL, dry_bulb, moisture(dry_bulb, humidity), SEA_LEVEL, flow, saturation, share, circuiting)


def assert_same(one, other, tolerance=1e-9, ignore=()):
    for name in set(fields) - {"energy_residual", *ignore}:
        np.testing.assert_allclose(getattr(one, name), getattr(other, name), rtol=tolerance, err_msg=name)


def random_states(count, seed=7350):
    """Air, coil and refrigerant far beyond practice: 0-35 °C, 5-100 %, down to 45 K below the air."""
    draw = np.random.default_rng(seed).uniform
    dry_bulb, pressure, flow = draw(273.15, 308.0, count), draw(7e4, 103e3, count), draw(0.1, 8.0, count)
    humidity_ratio = draw(0.05, 1.0, count) * saturation_humidity_ratio(dry_bulb, pressure)
    ntu = draw(0.3, 6.0, count)
    resistance = 10.0 ** draw(-1.5, 1.0, count) / (flow * 1010.0 * ntu)
    coil = Coil(ntu, resistance, 0.5 * resistance, flow, np.full(count, 0.6), np.zeros(count, int))
    first, second = dry_bulb - draw(-2.0, 45.0, (2, count))
    share = draw(0.1, 0.9, count)
    air = (dry_bulb, humidity_ratio, pressure, flow * draw(0.2, 1.2, count))
    return coil, air, [first, np.where(draw(size=count) < 0.2, NAN, second)], [share, 1.0 - share]


@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_energy_and_water_close_on_every_row(circuiting):
    """First law on moist air: m (h_in - h_out) = refrigerant + condensate, to 0.1 %; water exactly."""
    coil, air, saturation, share = random_states(5000)
    state = solve(coil, *air, saturation, share, circuiting)
    assert (state.reason == 0).all()
    assert (np.abs(state.energy_residual) < 1e-3).all()
    removed = air[3] * (air[1] - state.leaving_humidity_ratio)
    np.testing.assert_allclose(removed, state.condensate, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(state.circuit_total.sum(axis=0), state.total, rtol=1e-9, atol=1e-6)
    parts_of_total = state.sensible + state.latent
    assert (np.abs(parts_of_total / state.total - 1.0) < 1e-3)[np.abs(state.total) > 100.0].all()
    assert (state.root[0] < 273.15).mean() > 0.3
    assert ((state.frosted_share > 0.0) & (state.frosted_share < 1.0)).mean() > 0.05


def test_returns_its_rating_or_refuses():
    draw = np.random.default_rng(45).normal
    count = 513
    rating = Rating(
        total=draw(73.9e3, 3e3, count),
        sensible_ratio=draw(0.733, 0.03, count),
        dry_air_flow=draw(4.536, 0.3, count),
        dry_bulb=draw(299.8, 0.3, count),
        humidity_ratio=draw(0.0112, 2e-4, count),
        pressure=np.full(count, SEA_LEVEL),
        suction_saturation=draw(280.4, 1.5, count),
    )
    coil = calibrate(rating)
    air = (rating.dry_bulb, rating.humidity_ratio, rating.pressure, rating.dry_air_flow)
    state = solve(coil, *air, [rating.suction_saturation] * 2, [0.4, 0.6])
    found = coil.reason == 0
    assert found.mean() > 0.6
    assert set(coil.reason[~found]) <= {equipment.NO_SOLUTION, equipment.NO_INSIDE_FILM}
    np.testing.assert_allclose(state.total[found], rating.total[found], rtol=1e-3)
    ratio = state.sensible[found] / state.total[found]
    np.testing.assert_allclose(ratio, rating.sensible_ratio[found], rtol=1e-3)
    assert np.isnan(state.total[~found]).all()
    assert (state.reason == coil.reason).all()


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, flows, saturations)
def test_one_circuit_equals_two_equal_ones(dry_bulb, humidity, flow, saturation):
    one = run(dry_bulb, humidity, flow, [saturation], [1.0])
    for circuiting in CIRCUITINGS:
        for share in ((0.5, 0.5), (0.3, 0.7)):
            if circuiting.startswith("row") and share != (0.5, 0.5):
                continue  # rows of unequal share have unequal segments
            two = run(dry_bulb, humidity, flow, [saturation, saturation], share, circuiting)
            assert_same(one, two, ignore=("root", "circuit_total"))
            np.testing.assert_allclose(two.root.min(axis=0), one.root[0], rtol=1e-12)
            np.testing.assert_allclose(two.circuit_total.sum(axis=0), one.total, rtol=1e-9)


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, flows, saturations, saturations | st.just(NAN), shares, circuitings)
def test_circuits_may_change_places(dry_bulb, humidity, flow, first, second, share, circuiting):
    turned = {"row split": "row split, reversed", "row split, reversed": "row split"}
    there = run(dry_bulb, humidity, flow, [first, second], [share, 1.0 - share], circuiting)
    back = run(
        dry_bulb,
        humidity,
        flow,
        [second, first],
        [1.0 - share, share],
        turned.get(circuiting, circuiting),
    )
    assert_same(there, back, ignore=("root", "circuit_total"))
    np.testing.assert_allclose(there.root, back.root[::-1], rtol=1e-12)
    np.testing.assert_allclose(there.circuit_total, back.circuit_total[::-1], rtol=1e-9, atol=1e-6)


@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_batch_equals_loop(circuiting):
    coil, air, saturation, share = random_states(60, seed=5)
    batch = solve(coil, *air, saturation, share, circuiting)
    for row in range(60):
        one = Coil(*(getattr(coil, field.name)[row : row + 1] for field in dataclasses.fields(coil)))
        alone = solve(
            one, *(x[row] for x in air), [x[row] for x in saturation], [x[row] for x in share], circuiting
        )
        for name in set(fields) - {"energy_residual"}:
            of_batch, single = getattr(batch, name)[..., row], getattr(alone, name)[..., 0]
            np.testing.assert_allclose(of_batch, single, rtol=1e-12, atol=1e-12, err_msg=name)


def test_calibration_of_a_batch_equals_loop():
    suction = np.array([275.0, 279.0, 280.37, 286.0, NAN])
    batch = calibrate(dataclasses.replace(RATING, suction_saturation=suction))
    assert len(set(batch.reason)) == 3
    for row, value in enumerate(suction):
        alone = calibrate(dataclasses.replace(RATING, suction_saturation=value))
        for name in ("ntu", "resistance", "fin_resistance", "reason"):
            np.testing.assert_allclose(getattr(batch, name)[row], getattr(alone, name)[0], rtol=1e-12)


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, st.floats(0.01, 0.5), flows, saturations, circuitings)
def test_drier_air_leaves_drier_from_a_colder_coil(dry_bulb, humidity, less, flow, saturation, circuiting):
    pair = [saturation, saturation + 2.0]
    wetter, drier = (
        run(dry_bulb, x, flow, pair, circuiting=circuiting) for x in (humidity, humidity * (1.0 - less))
    )
    assert drier.leaving_humidity_ratio[0] <= wetter.leaving_humidity_ratio[0] + 1e-9
    assert drier.surface[0] <= wetter.surface[0] + 1e-6
    assert drier.total[0] <= wetter.total[0] * (1.0 + 1e-9)


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, flows, saturations, shares, circuitings)
def test_one_stage_takes_less_than_both(dry_bulb, humidity, flow, saturation, share, circuiting):
    parts = [share, 1.0 - share]
    both = run(dry_bulb, humidity, flow, [saturation, saturation], parts, circuiting)
    stage = run(dry_bulb, humidity, flow, [saturation, NAN], parts, circuiting)
    assert stage.total[0] < both.total[0]
    assert stage.circuit_total[0, 0] >= both.circuit_total[0, 0] * (1.0 - 1e-9)
    assert stage.circuit_total[1, 0] == 0.0
    assert np.isnan(stage.root[1, 0])


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, flows, st.floats(0.3, 0.95), saturations, circuitings)
def test_less_air_makes_a_colder_fin(dry_bulb, humidity, flow, part, saturation, circuiting):
    pair = [saturation, saturation]
    full, low = (run(dry_bulb, humidity, x, pair, circuiting=circuiting) for x in (flow, flow * part))
    assert low.surface[0] < full.surface[0]
    assert low.coldest_root[0] < full.coldest_root[0]
    assert low.leaving_dry_bulb[0] < full.leaving_dry_bulb[0]
    assert low.total[0] < full.total[0]


@settings(deadline=None, max_examples=40)
@given(dry_bulbs, humidities, flows, saturations, circuitings)
def test_temperatures_lie_in_order(dry_bulb, humidity, flow, saturation, circuiting):
    """Refrigerant < fin root < mean fin surface < entering air: heat flows one way."""
    assume(dry_bulb - saturation > 3.0)
    state = run(dry_bulb, humidity, flow, [saturation, saturation], circuiting=circuiting)
    assert saturation < state.coldest_root[0] < state.surface[0] < dry_bulb


def test_the_idle_half_of_a_split_face_hides_the_cold_half():
    """Face split: the running half is at its full-load state, and half the air passes unchanged."""
    both = run(297.0, 0.5, 4.5, [280.0, 280.0], circuiting="face split")
    stage = run(297.0, 0.5, 4.5, [280.0, NAN], circuiting="face split")
    assert stage.coldest_root[0] == pytest.approx(both.coldest_root[0], abs=1e-9)
    assert stage.total[0] == pytest.approx(0.5 * both.total[0], rel=1e-9)
    assert stage.leaving_dry_bulb[0] == pytest.approx(0.5 * (297.0 + both.leaving_dry_bulb[0]), abs=0.05)


def test_the_downstream_row_is_colder():
    """Row split at one saturation: colder air reaches the second circuit, which takes less and is colder."""
    state = run(297.0, 0.5, 4.5, [280.0, 280.0], circuiting="row split")
    assert state.circuit_total[1, 0] < state.circuit_total[0, 0]
    assert state.root[1, 0] < state.root[0, 0]


@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_no_circuit_running_changes_nothing(circuiting):
    state = run(297.0, 0.5, 4.5, [NAN, NAN], circuiting=circuiting)
    assert state.reason[0] == 0
    assert state.leaving_dry_bulb[0] == pytest.approx(297.0, abs=1e-9)
    assert state.leaving_humidity_ratio[0] == pytest.approx(moisture(297.0, 0.5), abs=1e-12)
    assert state.total[0] == state.condensate[0] == state.wet_share[0] == 0.0
    assert state.coldest_root[0] == pytest.approx(297.0, abs=1e-9)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"dry_air_flow": 0.0}, equipment.NO_AIRFLOW),
        ({"dry_air_flow": -1.0}, equipment.NO_AIRFLOW),
        ({"dry_air_flow": NAN}, equipment.NOT_IN_RANGE),
        ({"dry_bulb": NAN}, equipment.NOT_IN_RANGE),
        ({"humidity_ratio": -1e-3}, equipment.NOT_IN_RANGE),
        ({"humidity_ratio": 0.03}, equipment.SUPERSATURATED),
        ({"pressure": 14.7}, equipment.NOT_IN_RANGE),
        ({"saturation": [7.0, 7.0]}, equipment.NOT_IN_RANGE),
        ({"share": [0.5, 0.6]}, equipment.NOT_IN_RANGE),
        ({"share": [0.0, 1.0]}, equipment.NOT_IN_RANGE),
    ],
)
@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_refused_row_leaves_its_neighbours_alone(change, reason, circuiting):
    good = {
        "dry_bulb": 299.0,
        "humidity_ratio": 0.011,
        "pressure": SEA_LEVEL,
        "dry_air_flow": 4.5,
        "saturation": [280.0, 281.0],
        "share": [0.5, 0.5],
    }
    bad = good | change
    mixed = {
        name: [np.array(pair) for pair in zip(good[name], bad[name], strict=True)]
        if name in ("saturation", "share")
        else np.array([good[name], bad[name]])
        for name in good
    }
    alone = solve(COIL, **good, circuiting=circuiting)
    state = solve(COIL, **mixed, circuiting=circuiting)
    assert list(state.reason) == [0, reason]
    assert REASONS[reason]
    for name in set(fields) - {"reason", "energy_residual"}:
        values = getattr(state, name)
        assert np.isnan(values[..., 1]).all(), name
        np.testing.assert_allclose(values[..., 0], getattr(alone, name)[..., 0], rtol=1e-12, err_msg=name)


@pytest.mark.parametrize(
    ("change", "efficiency", "reason"),
    [
        ({"suction_saturation": 283.15, "sensible_ratio": 0.65}, 0.83, equipment.NO_SOLUTION),
        ({"suction_saturation": 300.5}, 0.83, equipment.NO_SOLUTION),
        ({}, 0.5, equipment.NO_INSIDE_FILM),
        ({"sensible_ratio": 1.0}, 0.83, equipment.DRY_RATING),
        ({"dry_air_flow": 0.0}, 0.83, equipment.NO_AIRFLOW),
        ({"total": NAN}, 0.83, equipment.NOT_IN_RANGE),
        ({"humidity_ratio": 0.03}, 0.83, equipment.SUPERSATURATED),
    ],
)
def test_impossible_ratings_are_refused(change, efficiency, reason):
    """50 °F suction with a sensible ratio of 0.65 has no coil: its surface would be below the refrigerant."""
    coil = calibrate(dataclasses.replace(RATING, **change), fin_efficiency=efficiency)
    assert coil.reason[0] == reason
    assert np.isnan([coil.ntu[0], coil.resistance[0], coil.fin_resistance[0]]).all()


def test_unknown_circuiting_is_named():
    with pytest.raises(ValueError, match="interlaced, face split, row split"):
        run(297.0, 0.5, 4.5, [280.0, 280.0], circuiting="series")


def test_every_circuit_needs_its_share():
    with pytest.raises(ValueError, match="1 shares for 2 circuits"):
        run(297.0, 0.5, 4.5, [280.0, 280.0], share=[1.0])
