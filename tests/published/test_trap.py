"""Condensate traps against the rules of two unit makers, and against hydrostatics."""

import numpy as np
import pytest

from hvaccalc.equipment.drain import trap
from hvaccalc.units import si

INCH = 0.0254
WATER = float(si(1.0, "inH2O", "air_pressure"))


@pytest.mark.parametrize(
    ("suction", "height", "leg"),
    [
        # An air handler's manual, table 3: X = |SP| + 1 in, X/2.
        (1.0, 2.00, 1.00),
        (2.0, 3.00, 1.50),
        (4.0, 5.00, 2.50),
        # Another handler's manual, figure 56: P1 = largest suction + 1 in, outlet leg at least half of it.
        (2.5, 3.50, 1.75),
    ],
)
def test_draw_through_as_printed(suction, height, leg):
    size = trap.required_height(suction * WATER)
    assert size.height / INCH == pytest.approx(height, abs=0.005)
    assert size.seal / INCH == pytest.approx(leg, abs=0.005)


@pytest.mark.parametrize("pipe", [0.0, 0.84, 1.05])
@pytest.mark.parametrize("suction", [0.0, 0.4, 1.5, 3.2])
def test_draw_through_adopts_the_larger_rule(suction, pipe):
    """Coil module, figure 26: H = 1 in per in w.c. + 1 in, J = H/2, L = H + J + pipe; handler: X, X/2, X +
    X/2."""
    height = 1.0 * suction + 1.0
    module = (height, height / 2, height + height / 2 + pipe)
    handler = (abs(-suction) + 1.0, (abs(-suction) + 1.0) / 2, 1.5 * (abs(-suction) + 1.0))
    found = trap.required_height(suction * WATER, pipe * INCH)
    for value, one, other in zip(found, module, handler, strict=True):
        assert value / INCH == pytest.approx(max(one, other))


@pytest.mark.parametrize("pressure", [0.0, 0.7, 1.5, 3.0])
def test_blow_through_adopts_the_larger_rule(pressure):
    """One manual, figure 57: P1 = fan total static; a coil module, figure 27: 1/2 in + total static, K >= 1/2
    in."""
    first, second = pressure, 0.5 + pressure
    found = trap.required_height_blow_through(pressure * WATER)
    assert found.height / INCH == pytest.approx(max(first, second))
    assert (found.depth - found.height) / INCH >= 0.5 - 1e-12


@pytest.mark.parametrize(
    ("suction", "height", "state", "water"),
    [
        # Hydrostatics: one inch of water column holds one inch of water.
        (1.5, 0.0, "dry", 1.5),
        (1.5, 0.0, "none", 1.5),
        (1.5, 3.0, "none", 1.5),  # no trap has a height
        (1.5, 3.0, "dry", 1.5),
        (1.5, 1.0, "present", 0.5),
        (1.5, 2.5, "present", 0.0),
        (0.0, 0.0, "present", 0.0),
    ],
)
def test_standing_water(suction, height, state, water):
    found = trap.standing_water(suction * WATER, height * INCH, state)
    assert found / INCH == pytest.approx(water, abs=1e-9)


def test_the_wrong_sign_is_asked_not_turned():
    """A negative suction is a unit that blows through or a sign typed the other way: no number."""
    for found in (
        trap.head(-1.0),
        *trap.required_height(-100.0),
        *trap.required_height_blow_through(-100.0),
        trap.standing_water(-100.0, 0.05),
        trap.standing_water(100.0, -0.05),
        trap.suction_at_speed(-100.0, 1.0),
        trap.suction_at_speed(100.0, -1.0),
        trap.suction_of_blocked_coil(-100.0, 0.5, 500.0),
        trap.air_jet_velocity(-100.0),
    ):
        assert np.isnan(found)
    assert not trap.seal_is_kept_at_dry_start(-100.0, 0.05)
    assert not trap.seal_is_kept_at_dry_start(100.0, -0.05)


def test_a_state_nobody_knows_has_no_level():
    assert np.isnan(trap.standing_water(100.0, 0.05, "unknown"))
    mixed = trap.standing_water(1.5 * WATER, 1.0 * INCH, np.array(["present", "dry", "none", "unknown"]))
    assert mixed / INCH == pytest.approx([0.5, 1.5, 1.5, np.nan], nan_ok=True)


@pytest.mark.parametrize("suction", [0.3, 1.0, 2.6])
def test_dry_start_by_moving_water(suction):
    """A U of two equal legs, water moved by small steps until the columns differ by the suction head."""
    for seal in np.array([0.45, 0.49, 0.51, 0.6]) * suction:
        fan_leg = outlet_leg = seal
        while fan_leg - outlet_leg < suction and outlet_leg > 0.0:
            fan_leg, outlet_leg = fan_leg + 1e-4, outlet_leg - 1e-4
        kept = trap.seal_is_kept_at_dry_start(suction * WATER, seal * INCH)
        assert bool(kept) is bool(outlet_leg > 0.0)


def test_required_seal_outlives_a_dry_start():
    """Half the height: twice the seal is the suction and an inch more."""
    suction = np.linspace(0.0, 5.0, 51) * WATER
    assert trap.seal_is_kept_at_dry_start(suction, trap.required_height(suction).seal).all()


def test_suction_part_rises_with_the_square_of_speed():
    """36 to 60 Hz: 2.78 times (fan laws). Height less 1 in, by hand: 0.9 in becomes 2.5 in."""
    now = 0.9 * WATER
    full = trap.required_height(trap.suction_at_speed(now, 60.0 / 36.0)).height
    assert (full - INCH) / INCH == pytest.approx(2.5)
    ratios = np.array([0.5, 0.8, 1.0, 1.6])
    parts = trap.required_height(trap.suction_at_speed(now, ratios)).height - INCH
    assert parts / parts[2] == pytest.approx([0.25, 0.64, 1.0, 2.56])


def test_an_iced_coil_raises_the_suction_by_solving_fan_and_system():
    """Fan 3.0 - 2.0 q² in w.c.; 0.4 q² behind the pan; a coil that makes r of the clean flow: hand solution.

    Clean: 3 - 2 = 1.0 total, 0.6 before the pan. At half the flow the fan makes 2.5, of which 0.1 behind.
    """
    found = trap.suction_of_blocked_coil(0.6 * WATER, 0.5, 3.0 * WATER)
    assert found / WATER == pytest.approx(2.5 - 0.1)
    assert trap.required_height(found).height / INCH == pytest.approx(3.4)
    assert trap.required_height(0.6 * WATER).height / INCH == pytest.approx(1.6)
    assert trap.suction_of_blocked_coil(0.6, [1.0, 0.0], 3.0) == pytest.approx([0.6, 3.0])
    assert np.isnan(trap.suction_of_blocked_coil(3.0, 0.5, 0.6))


def test_air_jet():
    """Bernoulli by hand: 373.63 Pa, 1.204 kg/m³, 1.5 heads: sqrt(2 x 373.63 / 1.806) = 20.34 m/s."""
    assert trap.air_jet_velocity(1.5 * WATER) == pytest.approx(20.34, abs=0.005)
