"""The coil against chamber tests, closed forms, an independent integration and a published correlation."""

import dataclasses

import numpy as np
import psychrolib
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from hvaccalc.equipment.coil import evaporator
from hvaccalc.equipment.coil.cooling_coil import (
    Coil,
    Rating,
    calibrate,
    march,
    solve,
    wet_effectiveness_total,
)
from hvaccalc.physics.moist_air import (
    enthalpy,
    heat_capacity,
    humidity_ratio_from_wet_bulb,
    saturation_humidity_ratio,
)

SEA_LEVEL = 101325.0
BTU_PER_HOUR = 0.29307107
STANDARD_AIR = 0.075 * 0.45359237 / 60.0  # kg/s dry air in one standard cfm, 0.075 lb/ft³


def fahrenheit(value):
    return (value - 32.0) / 1.8 + 273.15


# --- chamber -----------------------------------------------------------------------------------------------
# Kim, Payne, Domanski, Hermes, NISTIR 7350 (2006), appendix D, tests without fault: R-410A split heat pump of
# 2.5 tons, TXV, steady. [°F, inHg, scfm, W, Btu/h]; capacities are the report's air side, net of fan heat.
COLUMNS = (
    "dry_bulb dew_point barometer coil_exit airflow fan latent sensible evaporator_inlet exit_saturation"
).split()
ROWS = {
    "c2": (70.29, 50.27, 30.69, 49.88, 1043.6, 431.4, 4894, 23298, 45.44, 41.58),
    "c3": (80.12, 60.49, 30.63, 58.74, 1019.6, 419.7, 8542, 23978, 53.51, 49.41),
    "c7": (79.97, 60.84, 30.35, 59.76, 1008.6, 416.9, 7266, 22444, 55.27, 51.93),
    "c9": (79.99, 60.58, 30.44, 60.77, 1010.7, 418.6, 5927, 21382, 55.87, 52.29),
}
CHAMBER = {name: dict(zip(COLUMNS, row, strict=True)) for name, row in ROWS.items()}


def chamber_rating(name):
    """Gross rating: the table is net, its sensible heat closes with the exit temperature behind the fan.

    The evaporator loses 8-11 psi, so the refrigerant enters 3.3-4.1 °F warmer than it saturates at the exit.
    The coil has one refrigerant temperature: the mean of the measured inlet temperature (two-phase there) and
    the exit saturation. The unit is taken as draw-through: the fan heats the air behind the coil.
    """
    test = CHAMBER[name]
    pressure = test["barometer"] * 3386.389
    total = (test["latent"] + test["sensible"]) * BTU_PER_HOUR + test["fan"]
    return Rating(
        total=total,
        sensible_ratio=(test["sensible"] * BTU_PER_HOUR + test["fan"]) / total,
        dry_air_flow=test["airflow"] * STANDARD_AIR,
        dry_bulb=fahrenheit(test["dry_bulb"]),
        humidity_ratio=float(saturation_humidity_ratio(fahrenheit(test["dew_point"]), pressure)),
        pressure=pressure,
        suction_saturation=fahrenheit(0.5 * (test["evaporator_inlet"] + test["exit_saturation"])),
    )


def at_rating(coil, rating, **change):
    """State of the coil with one circuit at the air and saturation of a rating."""
    air = {name: getattr(rating, name) for name in ("dry_bulb", "humidity_ratio", "pressure", "dry_air_flow")}
    saturation = change.pop("saturation", rating.suction_saturation)
    return solve(coil, **(air | change), saturation=[saturation], share=[1.0])


@pytest.mark.parametrize(
    ("known", "other", "tolerance"),
    [("c2", "c3", 0.03), ("c3", "c2", 0.03), ("c7", "c9", 0.045), ("c9", "c7", 0.045)],
)
def test_chamber_test_predicts_another(known, other, tolerance):
    """Measured saturation and airflow in, air side out. 3 % asks no less than the report closes itself: in
    its wet rows mass flow times enthalpy rise exceeds net capacity and fan heat by 3.5-5.7 %. Test c9 takes
    up 8 % less than c7 from nearly the same air at a saturation 0.4-0.6 °F higher, more than a coil with one
    refrigerant temperature can follow, hence 4.5 % there."""
    coil = calibrate(chamber_rating(known))
    rating, test = chamber_rating(other), CHAMBER[other]
    state = at_rating(coil, rating)
    sensible, total = state.sensible[0] - test["fan"], state.total[0] - test["fan"]
    assert sensible == pytest.approx(test["sensible"] * BTU_PER_HOUR, rel=tolerance)
    measured_ratio = test["sensible"] / (test["sensible"] + test["latent"])
    assert sensible / total == pytest.approx(measured_ratio, abs=0.03)
    fan_rise = test["fan"] / (rating.dry_air_flow * heat_capacity(rating.humidity_ratio))
    assert state.leaving_dry_bulb[0] + fan_rise == pytest.approx(fahrenheit(test["coil_exit"]), abs=1.2)


@pytest.mark.parametrize("name", CHAMBER)
def test_calibration_returns_the_chamber_capacity(name):
    rating = chamber_rating(name)
    state = at_rating(calibrate(rating), rating)
    assert state.total[0] == pytest.approx(rating.total, rel=1e-3)
    assert state.sensible[0] / state.total[0] == pytest.approx(rating.sensible_ratio, rel=1e-3)


# --- closed forms ------------------------------------------------------------------------------------------
def test_dry_coil_is_the_textbook_effectiveness():
    """Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 11: 1 - exp(-NTU) with one fluid
    at constant temperature, resistances in series (from memory). Segments of one surface temperature each
    miss it by the square of their size: 0.3 % at 8, 1e-6 at 512."""
    flow, ntu, capacity = 2.0, np.array([0.5, 1.5, 3.0, 5.0]), 2.0 * heat_capacity(0.001)
    resistance = np.array([0.6, 0.3, 0.1, 0.02]) / capacity
    overall = 1.0 / (1.0 / ntu + capacity * resistance)
    expected = capacity * -np.expm1(-overall) * 20.0
    air = (np.full(4, 297.0), np.full(4, 0.001), np.full(4, SEA_LEVEL), np.full(4, flow))
    for segments, tolerance in ((8, 3e-3), (512, 1e-6)):
        run = march(*air, ntu, resistance, np.full(4, 277.0), segments)
        np.testing.assert_allclose(run.total, expected, rtol=tolerance)
        np.testing.assert_allclose(run.sensible, expected, rtol=tolerance)


def test_fin_resistance_is_the_surface_efficiency():
    """Incropera and DeWitt, chapter 3: q = efficiency hA (air - root) for a finned surface (from memory), so
    with the refrigerant at the root a dry coil has the transfer units efficiency x NTU."""
    coil = calibrate(RATED, fin_efficiency=0.8)
    air = (300.0, RATED.humidity_ratio, SEA_LEVEL, RATED.dry_air_flow)
    run = march(*(np.array([x]) for x in air), coil.ntu, coil.fin_resistance, np.array([290.0]), 512)
    assert run.condensate[0] == 0.0
    assert run.dry_bulb[0] == pytest.approx(290.0 + 10.0 * np.exp(-0.8 * coil.ntu[0]), abs=1e-4)


def test_wet_coil_is_the_enthalpy_potential():
    """Braun, Klein, Mitchell, ASHRAE Transactions 95(2), 1989, 164-174: 1 - exp(-NTU*) on enthalpy (from
    memory). 1 % is what its one saturation slope for the whole coil allows."""
    draw = np.random.default_rng(1989).uniform
    count = 2000
    pressure, dry_bulb, flow = np.full(count, SEA_LEVEL), draw(292.0, 300.0, count), draw(0.5, 5.0, count)
    moisture = draw(0.45, 0.7, count) * saturation_humidity_ratio(dry_bulb, pressure)
    ntu, refrigerant = draw(1.0, 3.0, count), draw(274.5, 284.0, count)
    resistance = draw(0.05, 0.4, count) / (flow * 1020.0)
    run = march(dry_bulb, moisture, pressure, flow, ntu, resistance, refrigerant, 64)
    wet = (run.air_humidity_ratio > saturation_humidity_ratio(run.surface, pressure)).all(axis=0)
    assert wet.mean() > 0.7
    air_side = flow * (enthalpy(dry_bulb, moisture) - enthalpy(run.dry_bulb, run.humidity_ratio))
    closed = wet_effectiveness_total(ntu, resistance, dry_bulb, moisture, pressure, flow, refrigerant)
    np.testing.assert_allclose(air_side[wet], closed[wet], rtol=0.01)
    # The air side has the condensate's enthalpy in it, the refrigerant's total has not.
    np.testing.assert_allclose(run.total[wet], closed[wet], rtol=0.01)


# --- the same law, written again ---------------------------------------------------------------------------
def integrate(dry_bulb, moisture, pressure, ntu, capacity_resistance, refrigerant):
    """Leaving air by an adaptive integrator on psychrolib's properties [°C], Lewis number 1.

    dT/dx = -NTU (T - Ts), dW/dx = -NTU max(0, W - Wsat(Ts)); Ts from the heat balance of the surface, water
    leaving as liquid (4.186 kJ/(kg K)) or, below 0 °C, ice (-333.5 kJ/kg + 2.1 kJ/(kg K), from memory).
    """
    psychrolib.SetUnitSystem(psychrolib.SI)

    def surface(t, w):
        def imbalance(ts):
            condensing = max(0.0, w - psychrolib.GetSatHumRatio(ts, pressure))
            water = 4186.0 * ts if ts > 0.0 else 2100.0 * ts - 333.5e3
            heat = (1006.0 + 1860.0 * w) * (t - ts) + condensing * (2501e3 + 1860.0 * t - water)
            return ntu * heat - (ts - refrigerant) / capacity_resistance

        return brentq(imbalance, refrigerant, t, xtol=1e-10)

    def slope(_, state):
        t, w = state
        ts = surface(t, w)
        return [-ntu * (t - ts), -ntu * max(0.0, w - psychrolib.GetSatHumRatio(ts, pressure))]

    solution = solve_ivp(slope, (0.0, 1.0), [dry_bulb, moisture], rtol=1e-8, atol=1e-10)
    return solution.y[:, -1]


@pytest.mark.parametrize(
    ("case", "dry_bulb", "moisture", "pressure", "ntu", "capacity_resistance", "refrigerant"),
    [
        ("wet", 26.7, 0.0112, 101325.0, 1.7, 3.0e-4, 7.2),
        ("wet at 1500 m", 24.0, 0.0110, 84556.0, 2.3, 1.5e-4, 5.0),
        ("wet only behind the first rows", 26.0, 0.0085, 101325.0, 2.0, 3.0e-4, 7.5),
        ("dry", 21.0, 0.0040, 101325.0, 2.2, 2.0e-4, 4.0),
        ("frosting", 20.0, 0.0080, 101325.0, 2.5, 1.0e-4, -12.0),
    ],
)
def test_march_agrees_with_an_independent_integration(
    case, dry_bulb, moisture, pressure, ntu, capacity_resistance, refrigerant
):
    """Heat and mass between a wall and moist air, Threlkeld, Thermal Environmental Engineering (from memory);
    256 segments. Below freezing the two heats of fusion differ by 1.4 %, of latent heat by 0.2 %."""
    expected = integrate(dry_bulb, moisture, pressure, ntu, capacity_resistance, refrigerant)
    inputs = (dry_bulb + 273.15, moisture, pressure, 1.0, ntu, capacity_resistance, refrigerant + 273.15)
    run = march(*(np.array([x]) for x in inputs), 256)
    assert run.dry_bulb[0] - 273.15 == pytest.approx(expected[0], abs=0.02)
    assert run.humidity_ratio[0] == pytest.approx(expected[1], abs=1e-5)
    wet = run.air_humidity_ratio[:, 0] > saturation_humidity_ratio(run.surface[:, 0], pressure)
    assert (wet.all(), wet.any()) == {
        "dry": (False, False),
        "wet only behind the first rows": (False, True),
    }.get(case, (True, True))


# --- sensible ratio against airflow ------------------------------------------------------------------------
RATED = Rating(
    total=36000.0 * BTU_PER_HOUR,
    sensible_ratio=0.7175,
    dry_air_flow=1200.0 * STANDARD_AIR,
    dry_bulb=fahrenheit(80.0),
    humidity_ratio=float(humidity_ratio_from_wet_bulb(fahrenheit(80.0), fahrenheit(67.0), SEA_LEVEL)),
    pressure=SEA_LEVEL,
    suction_saturation=fahrenheit(45.0),
)


def correlated_ratio(airflow, dry_bulb=80.0, wet_bulb=67.0, outdoor=95.0):
    """California Residential ACM, sensible heat ratio of split systems [°F, scfm per ton]; as in the public
    simulation engine CSE, credited there to A. Conant: a fit to catalogue data."""
    return (
        1.5085285
        + 0.0242020 * dry_bulb
        - 0.0592153 * wet_bulb
        + 0.0012651 * outdoor
        + 0.0016375 * airflow
        - 0.0000165 * wet_bulb * airflow
        + 0.0002021 * wet_bulb**2
    )


def correlated_capacity(flow):
    """Total capacity against airflow, Cutler et al., NREL/TP-5500-56354 (2013), single-speed units."""
    return 0.718605468 + 0.410099989 * flow - 0.128705457 * flow**2


@pytest.mark.parametrize("suction", [42.0, 45.0, 48.0])
def test_sensible_ratio_follows_airflow(suction):
    """At 400 scfm per ton the coil is calibrated on the correlation; away from it the saturation is whatever
    gives the published capacity, so that only the split between sensible and latent is predicted. 0.06 and
    the slope 0.0004-0.0007 per cfm per ton are the scatter of units about the correlation. An exponent of
    capacity against airflow at fixed saturation has no published counterpart: published ones are of whole
    units, whose saturation falls with the airflow."""
    rating = dataclasses.replace(RATED, suction_saturation=fahrenheit(suction))
    coil = calibrate(rating)

    def ratio(airflow):
        flow = airflow / 400.0
        wanted = rating.total * correlated_capacity(flow) / correlated_capacity(1.0)

        def state(saturation):
            return at_rating(coil, rating, dry_air_flow=rating.dry_air_flow * flow, saturation=saturation)

        found = state(brentq(lambda x: state(x).total[0] - wanted, 255.0, 290.0, xtol=1e-4))
        return found.sensible[0] / found.total[0]

    airflows = np.array([450.0, 400.0, 350.0, 300.0, 250.0, 200.0])
    ratios = np.array([ratio(x) for x in airflows])
    np.testing.assert_allclose(ratios, correlated_ratio(airflows), atol=0.06)
    slopes = np.diff(ratios) / np.diff(airflows)
    assert slopes.min() > 0.0004
    assert slopes.max() < 0.0007


def test_correlation_is_the_published_table():
    """The correlation's values at 450-300 scfm per ton, 80/67 °F, 95 °F outdoors, to the fourth digit."""
    np.testing.assert_allclose(
        correlated_ratio(np.array([450.0, 400.0, 350.0, 300.0])),
        [0.7441, 0.7175, 0.6909, 0.6643],
        atol=1e-4,
    )


def test_film_exponent_is_that_of_the_flow():
    """hA ∝ flow^n makes NTU ∝ flow^(n - 1); with no other resistance the dry leaving air shows it."""
    coil = Coil(*(np.array([x]) for x in (2.0, 1e-12, 0.0, 1.0, 0.6)), reason=np.array([0]))
    state = solve(coil, 300.0, 0.001, SEA_LEVEL, 0.5, [280.0], [1.0])
    assert state.leaving_dry_bulb[0] == pytest.approx(280.0 + 20.0 * np.exp(-2.0 * 0.5**-0.4), abs=1e-6)


@pytest.mark.parametrize("moisture", [0.0112, 0.004])
@pytest.mark.parametrize("number", range(5))
def test_tangents_are_central_differences(number, moisture):
    """Wet and dry, against refrigerant temperature, conductance, transfer units and entering air."""
    at = np.array([280.4, 9000.0, 1.6, 299.8, moisture])
    step = np.array([1e-3, 0.1, 1e-5, 1e-3, 1e-7])[number]

    def state(by):
        refrigerant, conductance, ntu, dry_bulb, humidity = at[:, None] + by * np.eye(5)[number][:, None]
        air = dry_bulb, humidity, np.array([101325.0]), np.array([4.3])
        return evaporator.boil(air, ntu, conductance, refrigerant)

    low, here, high = (state(by) for by in (-step, 0.0, step))
    for value, slope in (
        ("mean_surface", "mean_slope"),
        ("dry_bulb", "dry_bulb_slope"),
        ("humidity_ratio", "humidity_slope"),
    ):
        wanted = (getattr(high, value) - getattr(low, value)) / (2.0 * step)
        np.testing.assert_allclose(getattr(here, slope)[number], wanted, rtol=1e-6, atol=1e-12)
