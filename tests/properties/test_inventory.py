"""What must always hold of refrigerant on board, line adders, cylinders and pump-down."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.equipment.circuit.charge_inventory import (
    MODELS,
    Closures,
    State,
    Volumes,
    component_charges,
    mean_void_fraction,
    tuned,
    void_fraction,
)
from hvaccalc.equipment.circuit.refrigerant_lines import TUBES, line_volume, reason
from hvaccalc.job.load import job_from_text
from hvaccalc.physics.refrigerant import NAMES, refrigerant
from hvaccalc.service.refrigerant.cylinder import choose, cylinders, fill, weighed
from hvaccalc.service.refrigerant.inventory import inventory
from hvaccalc.service.refrigerant.inventory_draws import added_charge
from hvaccalc.service.refrigerant.pump_down import AMBIENTS, room
from tests.behaviour.jobs import job_text

VOLUMES = Volumes(3.1e-3, 2.5e-3, 3.8e-4, 1.8e-3, 1e-3, 0.1)
models = st.sampled_from(range(len(MODELS)))
fluids = st.sampled_from(NAMES)


def state(subcooling, superheat=5.0, over=10.0) -> State:
    shape = np.asarray(subcooling, dtype=float)
    return State(
        308.15 + over + 0 * shape,
        281.0 + 0 * shape,
        308.15,
        297.0,
        shape,
        superheat + 0 * shape,
        30.0 + 0 * shape,
    )


def closures(model=0, outdoors=False, filled=0.3) -> Closures:
    return Closures(np.array(model), 0.45, 0.4, 0.6, 8.0, 300.0, filled, np.array(outdoors))


def whole(name: str, at: State, close: Closures) -> np.ndarray:
    return np.sum(list(component_charges(refrigerant(name), VOLUMES, at, close).values()), axis=0)


@settings(deadline=None, max_examples=40)
@given(fluids, models, st.floats(0.0, 8.0), st.floats(0.1, 1.5))
def test_more_subcooling_is_more_charge(name, model, subcooling, more):
    close = closures(model)
    low, high = (whole(name, state(np.array([s])), close) for s in (subcooling, subcooling + more))
    assert (high > low).all()


@settings(deadline=None, max_examples=20)
@given(fluids, models, st.lists(st.floats(0.0, 9.0), min_size=2, max_size=6))
def test_broadcast_is_the_loop(name, model, subcoolings):
    together = whole(name, state(np.array(subcoolings)), closures(model))
    apart = [whole(name, state(np.array([s])), closures(model))[0] for s in subcoolings]
    assert together == pytest.approx(apart, rel=1e-12)


@settings(deadline=None, max_examples=20)
@given(fluids, models)
def test_a_line_behind_the_valve_holds_less(name, model):
    lines = [
        component_charges(refrigerant(name), VOLUMES, state(np.array([5.0])), closures(model, outdoors))[
            "liquid line"
        ]
        for outdoors in (False, True)
    ]
    assert 0.0 < lines[1] < lines[0]


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from(MODELS),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(700.0, 1300.0),
    st.floats(5.0, 150.0),
)
def test_void_fraction_grows_with_quality(model, one, other, liquid, vapour):
    low, high = sorted((one, other))
    first, last = (float(void_fraction(model, q, liquid, vapour)) for q in (low, high))
    assert -1e-9 <= first <= last + 1e-9 and last <= 1.0 + 1e-9
    mean = float(mean_void_fraction(model, low, high, liquid, vapour))
    assert first - 1e-6 <= mean <= last + 1e-6


@given(st.floats(0.5, 3.0), st.floats(1.05, 2.0), st.floats(0.5, 3.0), st.floats(1.05, 2.0))
def test_tuning_meets_its_points(first, model_ratio, known, known_ratio):
    points, charges = (first, first * model_ratio), (known, known * known_ratio)
    for at, wanted in zip(points, charges, strict=True):
        assert float(tuned(at, points, charges)) == pytest.approx(wanted)


@given(st.sampled_from(TUBES), st.floats(0.01, 200.0))
def test_volume_is_section_times_length(tube, length):
    assert float(line_volume(tube.outside, length)) == pytest.approx(tube.bore * length)


@given(st.floats(-1.0, 1.0), st.floats(-10.0, 500.0))
def test_a_volume_or_a_reason(outside, length):
    assert np.isnan(line_volume(outside, length)) == (reason(outside, length) != 0)


@given(st.floats(0.001, 0.5), st.floats(0.1, 100.0), st.floats(0.0, 100.0))
def test_adder_by_the_length_beyond(adder, length, included):
    assert float(added_charge(adder, length, included)) == pytest.approx(adder * (length - included))
    assert float(added_charge(adder, included or 1.0, included or 1.0)) == 0.0


@settings(deadline=None)
@given(fluids, st.floats(0.5, 60.0))
def test_room_shrinks_as_it_warms(name, volume):
    held = room(refrigerant(name), volume, AMBIENTS)
    assert (np.diff(held) < 0.0).all()


@settings(deadline=None)
@given(fluids, st.floats(0.1, 400.0), st.floats(1.0, 2.0))
def test_cylinders_hold_what_they_are_for(name, amount, ratio):
    choice = choose(refrigerant(name), amount, ratio * amount)
    assert choice.count * choice.fill.cautious >= amount * (1 - 1e-6)
    assert (choice.count - 1) * choice.fill.cautious < amount
    assert choice.count_high * choice.fill.cautious >= ratio * amount * (1 - 1e-6)


@settings(deadline=None)
@given(fluids, st.sampled_from(cylinders()), st.floats(0.0, 1.3))
def test_state_by_weight_follows_the_limits(name, size, share):
    fluid = refrigerant(name)
    may = fill(fluid, size.water_capacity)
    found = weighed(fluid, size.tare + share * may.guideline, size.tare, size.water_capacity)
    assert (found.state == "overfilled") == (found.content > min(may.guideline, may.legal))
    assert (found.room > 0.0) == (found.state == "room left")
    assert found.content == pytest.approx(share * may.guideline, abs=1e-9)


def test_circuits_swap_with_their_names():
    """Twins by name: each keeps its own draws of what only it has, the shared ones agree."""
    changes = {f"circuit.{n}.nameplate_charge": "30 lb" for n in "12"}
    found = inventory(Draws(job_from_text(job_text(changes)), 512), ())
    assert list(found) == ["1", "2"]
    first, second = (found[name].full.draws for name in "12")
    assert first[0] == second[0] and not np.array_equal(first, second)
    assert np.sort(first) == pytest.approx(np.sort(second), rel=0.02)


@pytest.mark.parametrize("reverse", [False, True])
def test_order_of_keys_does_not_matter(reverse):
    changes = {"circuit.1.nameplate_charge": "30 lb", "circuit.1.lines.liquid_size": "5/8 in"}
    changes |= {"circuit.1.lines.liquid_length": "80 ft"}
    found = inventory(Draws(job_from_text(job_text(changes, reverse=reverse)), 64), ())
    other = inventory(Draws(job_from_text(job_text(changes)), 64), ())
    assert np.array_equal(found["1"].full.draws, other["1"].full.draws)
