"""What must hold of drains, traps, drops and sweating surfaces, whatever the numbers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaccalc.equipment.coil import coil_water
from hvaccalc.equipment.drain import drain_line, trap
from hvaccalc.physics import droplets, moist_air, pipe_flow
from hvaccalc.physics import surface_condensation as sweating

P = 101325.0
SIZES = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0)
MATERIALS = tuple(pipe_flow.ROUGHNESS_BANDS)

temperatures = st.floats(285.0, 312.0)
humidities = st.floats(0.05, 0.99)
films = st.floats(5.3, 40.0)
resistances = st.floats(0.0, 3.0)
suctions = st.floats(0.0, 1500.0)
ratios = st.floats(0.0, 2.0)


def pairs(values):
    """Two values, the smaller first."""
    return st.tuples(values, values).map(sorted)


@settings(max_examples=100, deadline=None)
@given(
    sizes=pairs(st.sampled_from(SIZES)),
    slopes=pairs(st.floats(0.0, 0.1)),
    material=st.sampled_from(MATERIALS),
    filled=st.floats(0.0, 1.0),
    head=pairs(st.floats(-0.05, 0.2)),
)
def test_a_steeper_or_larger_drain_never_carries_less(sizes, slopes, material, filled, head):
    small, large = (size * 0.0254 for size in sizes)
    gentle, steep = slopes
    least = drain_line.drain_capacity(small, gentle, material, filled)
    assert 0.0 <= least <= drain_line.drain_capacity(small, steep, material, filled)
    assert least <= drain_line.drain_capacity(large, gentle, material, filled)
    low, high = head
    assert drain_line.outlet_capacity(small, low, material) <= drain_line.outlet_capacity(
        large, high, material
    )


@settings(max_examples=100, deadline=None)
@given(st.floats(1e-3, 0.2), st.floats(0.0, 0.1), st.floats(0.005, 0.03))
def test_half_full_is_half(diameter, slope, roughness):
    half, full = (pipe_flow.manning_flow(diameter, slope, roughness, filled) for filled in (0.5, 1.0))
    assert half == pytest.approx(0.5 * full, rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(pairs(st.floats(0.0, 1.6e6)))
def test_more_cooling_never_needs_a_smaller_drain(cooling):
    for table in (drain_line.CODE_TABLE, drain_line.HYDRAULIC_TABLE):
        less, more = drain_line.minimum_size(np.array(cooling), table)
        assert np.isnan(more) or less <= more
        covered = np.array(cooling) <= table.cooling[-1]
        assert (np.isfinite([less, more]) == covered).all()


@settings(max_examples=150, deadline=None)
@given(pairs(suctions), pairs(ratios), pairs(st.floats(0.0, 1.0)), st.floats(0.0, 0.2))
def test_more_suction_never_needs_less_trap(suction, ratio, share, height):
    low, high = suction
    for rule in (trap.required_height, trap.required_height_blow_through):
        for less, more in zip(rule(low), rule(high), strict=True):
            assert less <= more
    assert trap.suction_at_speed(low, ratio[0]) <= trap.suction_at_speed(high, ratio[1])
    shut_off = high + 200.0
    choked, open_ = (trap.suction_of_blocked_coil(low, part, shut_off) for part in share)
    # Rounding of the difference to shut-off.
    assert low - 1e-9 <= open_ <= choked + 1e-9 <= shut_off + 2e-9
    for state in trap.STATES:
        assert trap.standing_water(low, height, state) <= trap.standing_water(high, height, state)


@settings(max_examples=150, deadline=None)
@given(suctions, pairs(st.floats(0.0, 0.3)))
def test_a_trap_only_helps(suction, heights):
    """A taller trap never holds more water up, none holds the most; the required one holds none."""
    short, tall = (trap.standing_water(suction, height) for height in heights)
    assert tall <= short <= trap.standing_water(suction, heights[0], "none")
    needed = trap.required_height(suction)
    assert trap.standing_water(suction, needed.height) == 0.0
    assert trap.seal_is_kept_at_dry_start(suction, needed.seal)


@settings(max_examples=150, deadline=None)
@given(temperatures, humidities, st.floats(1e-6, 20.0), films, st.floats(0.05, 0.9))
def test_nothing_condenses_above_the_dew_point(room, relative, above, film, emissivity):
    humid = moist_air.humidity_ratio_from_relative_humidity(room, relative, P)
    dew = moist_air.dew_point(humid, P)
    surface = dew + above
    assert sweating.sweat_rate(surface, humid, P, film, 1.0, emissivity) == 0.0
    assert sweating.sweat_rate(dew - 0.01 - above, humid, P, film, 1.0, 0.05) > 0.0


@settings(max_examples=80, deadline=None)
@given(temperatures, humidities, st.floats(0.5, 30.0), pairs(resistances), films)
def test_thicker_insulation_never_sweats_more(room, relative, colder, insulation, film):
    cold = room - colder
    humid = moist_air.humidity_ratio_from_relative_humidity(room, relative, P)
    thin, thick = insulation
    dry = [sweating.surface_temperature(room, cold, layer, film) for layer in insulation]
    wet = [sweating.wet_surface_temperature(room, cold, humid, P, layer, film) for layer in insulation]
    assert cold - 1e-9 <= dry[0] <= dry[1] + 1e-9 <= room + 2e-9
    for surfaces in (dry, wet):
        rates = [sweating.sweat_rate(t, humid, P, film) for t in surfaces]
        # The bisection stops at 1e-7 K.
        assert rates[1] <= rates[0] + 1e-12
    for before, after in zip(dry, wet, strict=True):
        assert before - 1e-9 <= after <= room + 1e-9


@settings(max_examples=80, deadline=None)
@given(temperatures, humidities, st.floats(0.5, 30.0), films)
def test_required_insulation_is_just_enough(room, relative, colder, film):
    humid = moist_air.humidity_ratio_from_relative_humidity(room, relative, P)
    dew, cold = moist_air.dew_point(humid, P), room - colder
    needed = sweating.required_resistance(room, cold, dew, film)
    surface = sweating.surface_temperature(room, cold, needed, film)
    assert surface >= dew - 1e-6
    if needed > 0.0:
        assert surface == pytest.approx(dew, abs=1e-6)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.01, 0.1), pairs(st.floats(0.0, 0.05)), films)
def test_a_thicker_sleeve_never_sweats_more_along_the_line(pipe, sleeves, film):
    """Whole line, area and all, on pipes wider than twice the critical radius, conductivity over film."""
    humid, k = 0.0146, 0.5 * min(0.04, pipe / 2.0 * film / 2.0)
    rates = []
    for thickness in sleeves:
        layer = sweating.cylinder_resistance(pipe, thickness, k)
        surface = sweating.wet_surface_temperature(300.0, 278.0, humid, P, layer, film)
        rates.append(sweating.sweat_rate(surface, humid, P, film, np.pi * (pipe + 2.0 * thickness)))
    assert rates[1] <= rates[0] * (1.0 + 1e-6) + 1e-12


@settings(max_examples=60, deadline=None)
@given(
    pairs(st.floats(5e-5, 6e-3)),
    pairs(st.floats(0.0, 6.0)),
    pairs(st.floats(0.02, 1.5)),
    st.floats(0.8, 1.3),
)
def test_smaller_drops_faster_air_and_higher_coils_carry_farther(sizes, winds, heights, density):
    def carried(size, wind, height):
        return float(droplets.carried_distance(size, wind, height, air_density=density))

    least = carried(sizes[1], winds[0], heights[0])
    # The promise of the path is 1 %.
    for more in (
        carried(sizes[0], winds[0], heights[0]),
        carried(sizes[1], winds[1], heights[0]),
        carried(sizes[1], winds[0], heights[1]),
    ):
        assert least <= more * 1.01 + 1e-9
    assert least <= winds[0] * 1e3


@settings(max_examples=60, deadline=None)
@given(st.floats(1e-5, 6e-3), st.floats(0.6, 1.4))
def test_thinner_air_never_slows_a_drop(size, density):
    thick, thin = (droplets.terminal_velocity(size, value) for value in (density, 0.9 * density))
    assert thick <= thin * (1.0 + 1e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 20.0), temperatures, pairs(st.floats(0.0, 1.0)))
def test_wetter_air_never_melts_less(airflow, room, relative):
    dry, wet = (moist_air.humidity_ratio_from_relative_humidity(room, value, P) for value in relative)
    less, more = (coil_water.melt_rate_bound(airflow, room, value, P) for value in (dry, wet))
    # Moist air is lighter: at one volume a very little less of it passes while nothing condenses.
    assert 0.0 <= less <= more * 1.01
    if relative[0] > 0.5:
        assert less <= more * (1.0 + 1e-9)


def test_broadcast_equals_loop():
    """Every law on a grid of shapes (3, 1) and (4,) against one call each."""
    first, second = np.array([0.3, 0.6, 0.9])[:, None], np.array([0.1, 0.4, 0.7, 1.0])
    laws = [
        lambda a, b: pipe_flow.manning_flow(0.02 * a, 0.01 * b, 0.01, b),
        lambda a, b: drain_line.outlet_capacity(0.01905, a * b),
        lambda a, b: trap.required_height(500.0 * a, b).depth,
        lambda a, b: trap.standing_water(500.0 * a, 0.1 * b),
        lambda a, b: trap.suction_of_blocked_coil(100.0 * a, b, 500.0),
        lambda a, b: droplets.terminal_velocity(3e-3 * a, 1.2 * b),
        lambda a, b: droplets.carried_distance(3e-3 * a, 4.0 * b, 0.3),
        lambda a, b: droplets.retained_diameter_under_drag(4.0 * a, air_density=b),
        lambda a, b: droplets.retained_diameter_on_slope(a * b),
        lambda a, b: sweating.surface_temperature(300.0, 280.0, a, 8.0 * b),
        lambda a, b: sweating.wet_surface_temperature(300.0, 280.0, 0.02 * a, P, b, 8.0),
        lambda a, b: coil_water.melt_rate_bound(a, 294.0, 0.01 * b, P),
        lambda a, b: coil_water.first_drip_time(a, 1e-3 * b),
    ]
    for law in laws:
        loop = [[float(law(a, b)) for b in second] for a in first[:, 0]]
        assert law(first, second) == pytest.approx(np.array(loop), rel=1e-12)
