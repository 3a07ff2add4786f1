"""What any balance must do: converge or say why, conserve, and treat rows, circuits and threads alike."""

import dataclasses
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import numpy as np
import pytest

from hvaccalc.equipment.circuit.refrigerant_curves import curves
from hvaccalc.equipment.coil.cooling_coil import CIRCUITINGS
from hvaccalc.equipment.unit import unit_state
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import (
    AIR_FIELDS,
    BRANCHES,
    CIRCUIT_FIELDS,
    NOT_CONVERGED,
    REASONS,
    Circuit,
    Conditions,
    Faults,
    UnitStates,
)
from hvaccalc.physics.moist_air import enthalpy, saturation_humidity_ratio
from hvaccalc.physics.refrigerant import NAMES, refrigerant
from tests.unit_boxes import RATED_FLOW, SEA_LEVEL, extreme, kelvin, rating, realistic, rows, swapped, unit

WHOLE = 10_000
# Rows 0, 10, 20 … of the box that `tests.studies unit_box` solves whole.
TENTH = np.arange(0, WHOLE, 10)
FIELDS = (*CIRCUIT_FIELDS, *AIR_FIELDS)
BOX = rows(extreme(WHOLE), TENTH)
FAN_PER_FLOW = 3.2e3 / RATED_FLOW


@cache
def solved(circuiting: str = "interlaced", name: str = "R-410A") -> UnitStates:
    return unit(name, circuiting).solve(*BOX)


def assert_same(one: UnitStates, other: UnitStates, order: slice | np.ndarray = slice(None), tolerance=1e-3):
    """Same rows given, same reasons and branches, temperatures within 0.001 K and the rest as close."""
    np.testing.assert_array_equal(one.reason[..., order], other.reason)
    np.testing.assert_array_equal(one.branch[..., order], other.branch)
    for name in set(FIELDS) - {"energy_residual"}:
        size = np.nanmax(np.abs(getattr(other, name)), initial=1e-9)
        np.testing.assert_allclose(
            getattr(one, name)[..., order],
            getattr(other, name),
            rtol=0.0,
            atol=tolerance * max(min(size / 300.0, 1.0), 1e-9 * size),
            err_msg=name,
        )


# --- the extreme box ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_nearly_every_row_of_a_wide_box_is_settled(circuiting):
    """Found, or at a named limit, in 99 % of rows with most faults at once."""
    states = solved(circuiting)
    assert (states.reason == NOT_CONVERGED).mean() <= 0.01
    assert set(np.unique(states.reason)) <= set(REASONS)
    assert set(np.unique(states.branch)) <= set(BRANCHES)
    assert states.converged.mean() > 0.6


@pytest.mark.parametrize("name", NAMES)
def test_every_refrigerant_settles(name):
    states = solved(name=name)
    assert (states.reason == NOT_CONVERGED).mean() <= 0.01
    assert np.nanmax(np.abs(states.energy_residual)) < 1e-3


@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_energy_closes_on_every_row_given(circuiting):
    """First law between the return and the air behind the coil, recomputed here, to 0.1 %; water too."""
    states, conditions = solved(circuiting), BOX[0]
    given = states.converged
    flow = conditions.dry_air_flow
    removed = conditions.return_humidity_ratio - states.supply_humidity_ratio
    np.testing.assert_allclose((flow * removed)[given], states.condensate_rate[given], rtol=1e-6, atol=1e-9)
    fall = enthalpy(conditions.return_dry_bulb, conditions.return_humidity_ratio) - enthalpy(
        states.supply_dry_bulb, states.supply_humidity_ratio
    )
    # What the air gives beyond the capacity left with the condensate: ice at -30 °C to water at 25 °C.
    carried = (flow * fall - states.total_capacity)[given]
    water, gross = states.condensate_rate[given], (states.total_capacity + FAN_PER_FLOW * flow)[given]
    assert (carried > -392e3 * water - 1e-3 * gross).all()
    assert (carried < 105e3 * water + 1e-3 * gross).all()
    warm = states.coldest_surface[given] > 274.0
    assert (carried[warm] > -1e-3 * gross[warm]).all()
    assert np.abs(states.energy_residual[given]).max() < 1e-3


def test_rows_given_are_numbers_and_rows_refused_are_not():
    states = solved()
    for name in FIELDS:
        value = getattr(states, name)
        assert np.isfinite(value[..., states.converged]).all(), name
        assert np.isnan(value[..., ~states.converged]).all(), name
    np.testing.assert_array_equal(states.converged, states.reason == 0)


def test_states_are_physical():
    """Order of temperatures, and the discharge hotter than condensing; only where rows are given. Roots above
    the refrigerant where each circuit has its own air: under shared fins the colder one may cool the
    other."""
    states, conditions = solved("face split"), BOX[0]
    given = states.converged
    take = {name: getattr(states, name)[..., given] for name in FIELDS}
    assert (take["suction_saturation"] < conditions.return_dry_bulb[given]).all()
    assert (take["condensing_saturation"] > conditions.outdoor_dry_bulb[given]).all()
    assert (take["circuit_root"] >= take["suction_saturation"] - 1e-6).all()
    assert (take["coldest_surface"] >= take["coldest_root"] - 1e-9).all()
    assert (take["discharge_temperature"] >= take["condensing_saturation"] - 1e-6).all()
    assert (take["subcooling"] * take["exit_quality"] == 0.0).all()
    assert (take["superheat"] * (1.0 - take["coil_exit_quality"]) == 0.0).all()
    assert (take["refrigerant_mass_flow"] > 0.0).all()
    # The coil does not settle fog, and mixing two saturated streams makes more of it.
    saturated = saturation_humidity_ratio(take["supply_dry_bulb"], conditions.barometer[given])
    assert (take["supply_humidity_ratio"] < 1.15 * saturated).all()
    assert (take["supply_humidity_ratio"] < 1.02 * saturated).mean() > 0.95


# --- rows do not know each other ---------------------------------------------------------------------------
@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_alone_as_in_a_batch(circuiting):
    chosen = np.arange(0, TENTH.size, 197)
    model, states = unit(circuiting=circuiting), solved(circuiting)
    for i in chosen:
        alone = model.solve(*rows(BOX, np.array([i])))
        assert_same(states, alone, np.array([i]))


def test_order_does_not_matter():
    order = np.random.default_rng(7).permutation(TENTH.size)
    assert_same(solved(), unit().solve(*rows(BOX, order)), order)


def test_threads_do_not_matter():
    model = unit()
    parts = np.array_split(np.arange(TENTH.size), 4)
    with ThreadPoolExecutor(4) as pool:
        pieces = list(pool.map(lambda part: model.solve(*rows(BOX, part)), parts))
    for part, piece in zip(parts, pieces, strict=True):
        assert_same(solved(), piece, part)


@pytest.mark.parametrize("circuiting", ["interlaced", "face split"])
def test_circuits_can_be_swapped(circuiting):
    """Two equal circuits: faults exchanged, results exchanged. Rows with several balances may differ."""
    conditions, faults = BOX
    one, other = solved(circuiting), unit(circuiting=circuiting).solve(conditions, swapped(faults))
    single = (one.branch == 0) & (other.branch == 0) & one.converged & other.converged
    assert single.mean() > 0.98 * one.converged.mean()
    for name in CIRCUIT_FIELDS:
        mine, theirs = getattr(one, name)[:, single], getattr(other, name)[::-1][:, single]
        close = np.abs(mine - theirs) <= 1e-3 * np.maximum(np.abs(theirs) / 300.0, 1e-3)
        assert close.mean() > 0.998, name


def test_reversing_a_row_split_swaps_its_circuits():
    conditions, faults = rows(BOX, np.arange(200))
    one = unit(circuiting="row split").solve(conditions, faults)
    other = unit(circuiting="row split, reversed").solve(conditions, swapped(faults))
    both = one.converged & other.converged & (one.branch == 0) & (other.branch == 0)
    np.testing.assert_allclose(
        one.suction_saturation[:, both], other.suction_saturation[::-1][:, both], atol=2e-3
    )


# --- what runs ---------------------------------------------------------------------------------------------
def one_row(**change) -> Conditions:
    base = Conditions(kelvin(75.0), 0.0093, SEA_LEVEL, kelvin(95.0), RATED_FLOW)
    return dataclasses.replace(base, **change)


def test_the_fan_alone_warms_the_air():
    states = unit().solve(one_row(running=[False, False]))
    assert states.converged
    assert states.total_capacity == pytest.approx(-3200.0)
    assert np.isnan(states.suction_saturation).all()
    assert states.supply_dry_bulb > kelvin(75.0)


@pytest.mark.parametrize("circuiting", CIRCUITINGS)
def test_one_stage_of_two(circuiting):
    """The idle circuit has no numbers, the other more than half the capacity, face split exactly half."""
    model = unit(circuiting=circuiting)
    both, one = (model.solve(one_row(running=r)) for r in ([True, True], [True, False]))
    assert np.isnan(one.suction_saturation[1])
    gross = one.total_capacity + 3200.0, both.total_capacity + 3200.0
    if circuiting == "face split":
        assert gross[0] == pytest.approx(0.5 * gross[1], rel=1e-6)
        assert one.suction_saturation[0] == pytest.approx(both.suction_saturation[0], abs=1e-4)
    else:
        assert gross[0] > 0.5 * gross[1]
        assert one.suction_saturation[0] > both.suction_saturation[0] - 0.01


@pytest.mark.parametrize("running", [[True, True], [True, False]])
def test_a_circuiting_for_each_draw(running):
    """Draws of unlike circuiting, solved together, answer like units of one kind each."""
    mixed = UnitModel.from_rating(dataclasses.replace(rating(), circuiting=np.array(CIRCUITINGS)))
    together = mixed.solve(one_row(running=running), Faults(charge=[0.9, 1.0]))
    for i, circuiting in enumerate(CIRCUITINGS):
        alone = unit(circuiting=circuiting).solve(one_row(running=running), Faults(charge=[0.9, 1.0]))
        for name in FIELDS:
            np.testing.assert_allclose(
                getattr(together, name)[..., i], getattr(alone, name), rtol=1e-6, atol=1e-9, err_msg=name
            )


def test_mixed_stages_in_one_batch():
    running = np.array([[True, True, False, False], [True, False, True, False]])
    states = unit().solve(one_row(running=running))
    assert states.converged.all()
    np.testing.assert_array_equal(np.isfinite(states.suction_saturation), running)
    assert states.suction_saturation[0, 1] == pytest.approx(states.suction_saturation[1, 2], abs=1e-4)


def test_circuits_with_different_refrigerants():
    """Each circuit by its own properties: saturation pressure of the answer is not mixed up."""
    circuits = tuple(
        dataclasses.replace(c, refrigerant=name)
        for c, name in zip(rating().circuits, ("R-410A", "R-22"), strict=True)
    )
    model = UnitModel.from_rating(dataclasses.replace(rating(), circuits=circuits))
    states = model.solve(one_row(), Faults(charge=[0.9, 1.0]))
    assert states.converged
    assert abs(states.energy_residual) < 1e-3


# --- limits have names -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("change", "faults", "reason"),
    [
        ({"dry_air_flow": 0.0}, {}, unit_state.NO_AIRFLOW),
        ({"outdoor_dry_bulb": float("nan")}, {}, unit_state.NOT_IN_RANGE),
        ({"return_humidity_ratio": 0.05}, {}, unit_state.SUPERSATURATED),
        ({}, {"charge": 0.0}, unit_state.NOT_IN_RANGE),
        ({"outdoor_dry_bulb": kelvin(125.0)}, {"condenser_air": 0.3}, unit_state.HIGH_PRESSURE),
        ({}, {"charge": 1.9}, unit_state.HIGH_PRESSURE),
        ({"dry_air_flow": 0.4}, {}, unit_state.LOW_PRESSURE),
    ],
)
def test_limits_are_named(change, faults, reason):
    """With a low-pressure limit at 0 °F, some 50 psig of R-410A."""
    circuits = tuple(dataclasses.replace(c, lowest_suction=kelvin(0.0)) for c in rating().circuits)
    model = UnitModel.from_rating(dataclasses.replace(rating(), circuits=circuits))
    states = model.solve(one_row(**change), Faults(**faults))
    assert states.reason == reason, REASONS[int(states.reason)]
    assert not states.converged
    assert np.isnan(states.suction_saturation).all()


def test_unknown_words_are_refused():
    with pytest.raises(ValueError, match="interlaced"):
        unit(circuiting="series")
    with pytest.raises(ValueError, match="TXV"):
        unit(metering="capillary")
    with pytest.raises(ValueError, match="carried"):
        unit("R-9999")
    with pytest.raises(ValueError, match="shares"):
        UnitModel.from_rating(dataclasses.replace(rating(), circuits=(Circuit(), Circuit(), Circuit())))


# --- directions --------------------------------------------------------------------------------------------
def test_rated_point_is_returned():
    """Net capacity, sensible ratio, saturations, superheat and subcooling as rated, for every circuiting."""
    own = rating()
    for circuiting in ("interlaced", "face split"):
        states = unit(circuiting=circuiting).solve(
            Conditions(own.dry_bulb, own.humidity_ratio, SEA_LEVEL, own.outdoor_dry_bulb, RATED_FLOW)
        )
        assert states.total_capacity == pytest.approx(own.net_capacity, rel=1e-4)
        assert states.sensible_capacity / states.total_capacity == pytest.approx(0.72, abs=3e-3)
        assert states.suction_saturation == pytest.approx(own.suction_saturation, abs=0.01)
        assert states.condensing_saturation == pytest.approx(kelvin(118.0), abs=0.01)
        assert states.superheat == pytest.approx(10.0 / 1.8, abs=0.01)
        assert states.subcooling == pytest.approx(12.0 / 1.8, abs=0.02)


def test_less_air_is_colder_and_steady():
    """Suction, fin and supply fall with the airflow without a jump, and capacity with them."""
    airflow = np.linspace(1.1, 0.35, 40)
    states = unit().solve(one_row(dry_air_flow=RATED_FLOW * airflow))
    for name in ("suction_saturation", "coldest_root", "supply_dry_bulb"):
        value = np.atleast_2d(getattr(states, name))[0]
        assert (np.diff(value) < 0.0).all(), name
        assert np.abs(np.diff(value)).max() < 1.0, name


def test_held_head_stays_held():
    """Head-pressure control at 95 °F on a 50 °F day; without it the head falls with the weather."""
    held = tuple(dataclasses.replace(c, held_condensing=kelvin(95.0)) for c in rating().circuits)
    cold = one_row(outdoor_dry_bulb=kelvin(50.0))
    controlled = UnitModel.from_rating(dataclasses.replace(rating(), circuits=held)).solve(cold)
    free = unit().solve(cold)
    assert controlled.condensing_saturation == pytest.approx(kelvin(95.0), abs=0.01)
    assert (free.condensing_saturation < kelvin(80.0)).all()
    assert abs(controlled.energy_residual) < 1e-3


@pytest.mark.parametrize("metering", ["TXV", "EEV", "fixed orifice"])
def test_realistic_rows_all_settle(metering):
    states = unit(metering=metering).solve(*realistic(500))
    assert (states.reason != NOT_CONVERGED).all()


# --- the curves under it -----------------------------------------------------------------------------------
@pytest.mark.parametrize("name", NAMES)
def test_curves_follow_the_tables(name):
    """As `refrigerant_curves` promises, over random states of the refrigerant's own table."""
    table, fitted = refrigerant(name), curves(name)
    draw = np.random.default_rng(3).uniform
    dew, superheat = draw(226.0, 305.0, 2000), draw(0.0, 70.0, 2000)
    latent = table.latent_heat(280.0)
    pressure = table.dew_pressure(dew)
    gas, known = fitted.vapour(dew, superheat), table.vapour(pressure, dew + superheat)
    assert np.abs(table.dew_temperature(np.exp(fitted.evaporator(dew).log_pressure)) - dew).max() < 0.01
    assert np.nanmax(np.abs(np.exp(gas.log_density) / known.density - 1.0)) < 2e-3
    assert np.nanmax(np.abs(gas.enthalpy - known.enthalpy)) < 1e-3 * latent
    hot = draw(276.0, table.critical_temperature - 6.0, 2000)
    root, subcooling = fitted.root(hot), draw(0.0, 25.0, 2000)
    pressure = table.dew_pressure(hot)
    bubble = table.bubble_temperature(pressure)
    liquid = table.liquid(pressure, bubble - subcooling).enthalpy
    assert np.nanmax(np.abs(fitted.liquid_enthalpy(root, subcooling) - liquid)) < 2e-3 * latent
    state, edge = table.vapour(pressure, hot + superheat), table.saturated_vapour(hot)
    rise = fitted.isentropic_enthalpy(root, state.entropy - edge.entropy)
    assert np.nanmax(np.abs(rise - (state.enthalpy - edge.enthalpy))) < 1e-3 * latent
    found = fitted.discharge_superheat(root, state.enthalpy - edge.enthalpy)
    assert np.nanmax(np.abs(found - superheat)) < 0.05
