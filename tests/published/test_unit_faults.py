"""How the unit answers faults, against published tests, correlations and rules.

A 20-ton unit, R-410A, at its rating (80/67/95 °F) unless said. Two-circuit symmetry makes each circuit stand
for a single-circuit unit.
"""

import dataclasses
from functools import cache

import numpy as np
import pytest

from hvaccalc.equipment.unit.unit_model import Measured, UnitModel
from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, Faults, UnitRating, UnitStates
from hvaccalc.physics import moist_air
from tests.measured_units import SEA_LEVEL, field, field_rating, kelvin

RETURN = kelvin(80.0)
HUMIDITY = float(moist_air.humidity_ratio_from_wet_bulb(RETURN, kelvin(67.0), SEA_LEVEL))
FLOW, FAN = 4.536, 3200.0
NEUTRAL = 0.5  # [°F]


@cache
def unit(metering: str) -> UnitModel:
    circuit = Circuit(metering=metering, condensing_saturation=kelvin(118.0))
    return UnitModel.from_rating(
        UnitRating(
            net_capacity=70.34e3,
            sensible_ratio=0.72,
            dry_air_flow=FLOW,
            fan_power=FAN,
            dry_bulb=RETURN,
            humidity_ratio=HUMIDITY,
            pressure=SEA_LEVEL,
            outdoor_dry_bulb=kelvin(95.0),
            suction_saturation=kelvin(45.0),
            circuits=(circuit, circuit),
        )
    )


def state(metering: str, airflow: float | np.ndarray = 1.0, **faults: float) -> UnitStates:
    conditions = Conditions(
        RETURN, HUMIDITY, SEA_LEVEL, kelvin(95.0), FLOW * np.asarray(airflow), FAN * np.asarray(airflow)
    )
    found = unit(metering).solve(conditions, Faults(**faults))
    assert found.converged.all()
    return found


def gross(found: UnitStates, airflow: float | np.ndarray = 1.0) -> np.ndarray:
    return found.total_capacity + FAN * np.asarray(airflow)


def charge_ratio(metering: str, charge: float) -> float:
    return float(gross(state(metering, charge=charge)) / gross(state(metering)))


# --- airflow: NREL/EnergyPlus curve sets -------------------------------------------------------------------
@pytest.mark.parametrize("metering", ["TXV", "fixed orifice"])
def test_capacity_follows_airflow_weakly(metering):
    """Total capacity ∝ airflow^0.12-0.20 about the rating: 0.129 to 0.177 in five public curve sets
    (Cutler et al., NREL/TP-5500-56354, 2013, and NREL/EnergyPlus datasets)."""
    airflow = np.array([0.98, 1.02])
    low, high = gross(state(metering, airflow), airflow)
    assert 0.12 < np.log(high / low) / np.log(1.02 / 0.98) < 0.20


@pytest.mark.parametrize("metering", ["TXV", "fixed orifice"])
def test_power_hardly_follows_airflow(metering):
    """Compressor power at 80 % air within 2 %: 0.993 to 1.003 in the same sets."""
    ratio = state(metering, 0.8).compressor_power[0] / state(metering).compressor_power[0]
    assert ratio == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("metering", "limit"), [("TXV", 0.04), ("fixed orifice", 0.04)])
def test_power_at_half_the_airflow(metering, limit):
    """Less than 4 %: Rodriguez, O'Neal, Davis, Kondepudi, Energy and Buildings 24 (1996), two units."""
    ratio = state(metering, 0.5).compressor_power[0] / state(metering).compressor_power[0]
    assert ratio == pytest.approx(1.0, abs=limit)


# --- charge: NIST TN 1848, ASHRAE RP-1173 ------------------------------------------------------------------
def domanski(fraction: float, indoor: float = 26.67, outdoor: float = 35.0) -> float:
    """Capacity ratio of a TXV unit with a charge off by a fraction: Domanski, Henderson, Payne, NIST TN 1848
    (2014); |fraction| up to 0.3, temperatures in °C."""
    if fraction < 0.0:
        a = (-9.46e-1, 4.93e-2, -1.18e-3, -1.15)
    else:
        a = (-1.63e-1, 1.14e-2, -2.10e-4, -1.40e-1)
    return 1.0 + (a[0] + a[1] * indoor + a[2] * outdoor + a[3] * fraction) * fraction


def test_correlation_as_printed():
    """Check points of the report's correlation at 26.7/35 °C, to its digits."""
    points = {-0.3: 0.7978, -0.2: 0.8882, -0.1: 0.9556, 0.1: 1.0120, 0.2: 1.0212}
    for fraction, expected in points.items():
        assert domanski(fraction, 26.7) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("fraction", [-0.20, -0.10, 0.10, 0.20])
def test_capacity_against_charge(fraction):
    """4 %, as far as a charge model with assumed volumes can be held to one measured unit."""
    assert charge_ratio("TXV", 1.0 + fraction) == pytest.approx(domanski(fraction), abs=0.04)


def test_capacity_at_three_quarters_of_the_charge(record_property):
    """0.78 to 0.93: several units lost 20 % (Kim and Braun, International Journal of Refrigeration 35, 2012),
    the NIST unit 15 %. This one loses less: its distance to 0.80-0.85 is recorded, not hidden."""
    ratio = charge_ratio("TXV", 0.75)
    record_property("capacity_ratio", ratio)
    record_property("beyond_published", max(ratio - 0.85, 0.0))
    print(f"capacity at 75 % charge {ratio:.3f}, {ratio - 0.85:+.3f} to the published 0.80-0.85")
    assert 0.78 < ratio < 0.93


def test_valve_runs_out_between_85_and_75_percent():
    """ASHRAE RP-1173: valves were wide open and lost control of superheat at 80 % of the charge."""
    held = state("TXV").superheat[0]
    assert state("TXV", charge=0.85).superheat[0] == pytest.approx(held, abs=0.05)
    assert state("TXV", charge=0.75).superheat[0] > held + 1.0


def test_orifice_superheats_at_90_percent():
    """ASHRAE RP-1173: fixed orifices degrade noticeably below 90 % of the charge."""
    assert state("fixed orifice", charge=0.9).superheat[0] > state("fixed orifice").superheat[0] + 2.0


@pytest.mark.parametrize("charge", [0.95, 1.05])
def test_subcooling_follows_charge(charge):
    """2-6 °F for 5 % of the charge on a TXV unit: slopes of the open first-principles model ACHP, 2.0-3.1 °F
    at 3 and 7-13 K of subcooling, and common practice."""
    change = abs(state("TXV", charge=charge).subcooling[0] - state("TXV").subcooling[0]) * 1.8
    assert 2.0 < change < 6.0


def test_overcharge_signs():
    """NIST chamber campaign on two TXV units: subcooling, power and head up, superheat not."""
    sound, over = state("TXV"), state("TXV", charge=1.2)
    assert over.subcooling[0] > sound.subcooling[0] + 2.0
    assert over.compressor_power[0] > 1.03 * sound.compressor_power[0]
    assert over.condensing_saturation[0] > sound.condensing_saturation[0] + 1.0
    assert over.superheat[0] < sound.superheat[0] + 0.05


def test_low_air_and_low_charge_are_less_than_additive():
    """NIST TN 1848, abstract: low indoor airflow with undercharge is weaker than additive."""
    sound = float(gross(state("TXV")))
    loss = [
        1.0 - float(gross(state("TXV", airflow, charge=charge), airflow)) / sound
        for airflow, charge in ((0.6, 1.0), (1.0, 0.75), (0.6, 0.75))
    ]
    assert loss[2] < loss[0] + loss[1]


# --- signs: Rossi and Braun --------------------------------------------------------------------------------
RULES = {
    "leak": ({"charge": 0.8}, 1.0, "-+--+--"),
    "compressor valve leak": ({"compressor_wear": 0.8}, 1.0, "+------"),
    "liquid-line restriction": ({"restriction": 0.2}, 1.0, "-+-++--"),
    "condenser fouling": ({"condenser_fouling": 0.8}, 1.0, "+-+-+ -"),
    "condenser air": ({"condenser_air": 0.8}, 1.0, "+-+-+ -"),
    "evaporator fouling": ({}, 0.8, "------+"),
}
"""Fault, airflow, and the signs of evaporating temperature, superheat, condensing temperature, subcooling,
discharge temperature, condenser air rise and evaporator air drop, measured less normal."""


def residuals(metering: str, airflow: float, **faults: float) -> np.ndarray:
    """The seven residuals [°F]; a condenser's air rise of 20 °F when sound, by its heat."""
    found, sound = state(metering, airflow, **faults), state(metering)
    heat = [(gross(x, a) + x.compressor_power.sum()) for x, a in ((found, airflow), (sound, 1.0))]
    names = (
        "suction_saturation",
        "superheat",
        "condensing_saturation",
        "subcooling",
        "discharge_temperature",
    )
    by_circuit = [(getattr(found, n)[0] - getattr(sound, n)[0]) * 1.8 for n in names]
    air_rise = 20.0 * (heat[0] / heat[1] - 1.0)
    air_drop = (sound.supply_dry_bulb - found.supply_dry_bulb) * 1.8
    return np.array([*by_circuit, float(air_rise), float(air_drop)])


@pytest.mark.parametrize("fault", RULES)
def test_signs_of_a_fixed_orifice_unit(fault):
    """Rossi and Braun's rules as Li and Braun tabulate them (table 1-1); below 0.5 °F a residual is neutral.

    A fouled condenser may be lost surface or lost air: both are tried. With 20 % less air subcooling rises by
    0.47 °F, just within the neutral band, where the rules say it falls; with 58 % less by 1.7 °F, where a
    field test (the blocked condenser below) found it unchanged: the validation page says so.
    """
    faults, airflow, signs = RULES[fault]
    found = residuals("fixed orifice", airflow, **faults)
    for residual, sign in zip(found, signs, strict=True):
        if sign != " " and abs(residual) >= NEUTRAL:
            assert np.sign(residual) == {"+": 1.0, "-": -1.0}[sign], (fault, found.round(2))
    # At least the strong ones must be there, or nothing was tested.
    assert (np.abs(found) >= NEUTRAL).sum() >= 3


@pytest.mark.parametrize("metering", ["TXV", "fixed orifice"])
def test_a_restriction_holds_liquid_back(metering):
    """Subcooling + at a fixed charge (the same table): what the coil gives up stands in the condenser."""
    suction, superheat, _, subcooling, *_ = residuals(metering, 1.0, restriction=0.6)
    assert subcooling > NEUTRAL and superheat > NEUTRAL and suction < -NEUTRAL


@pytest.mark.parametrize(
    "fault", ["leak", "liquid-line restriction", "condenser fouling", "evaporator fouling"]
)
def test_a_valve_keeps_superheat_neutral(fault):
    """Until the valve saturates, superheat carries no sign; 20 % faults do not get it there."""
    faults, airflow, _ = RULES[fault]
    assert abs(residuals("TXV", airflow, **faults)[1]) < NEUTRAL


def test_cut_condenser_air_warms_it():
    """The rule's condenser air rise: + with the air cut, its heat through less air."""
    found, sound = state("fixed orifice", condenser_air=0.8), state("fixed orifice")
    heat = (gross(found) + found.compressor_power.sum()) / (gross(sound) + sound.compressor_power.sum())
    assert heat / 0.8 > 1.1
    assert found.condensing_saturation[0] > sound.condensing_saturation[0] + NEUTRAL / 1.8


# --- blocked condenser: Oak Ridge test building ------------------------------------------------------------
SOUND = ("no fault 09:45", "no fault 18:00", "no fault 14:15", "no fault 14:45", "no fault, cool day 18:45")
SOUND_AT_75 = ("no fault 14:15", "no fault 14:45")
BLOCKED_AT_75 = ("blocked 11:15", "blocked 11:45")
BLOCKED_AIR = 0.42


@cache
def rooftop(metering: str) -> UnitModel:
    """Fitted on the five quarter hours without fault."""
    model = UnitModel.from_rating(field_rating(metering))
    known: Measured = field(SOUND)
    return model.recalibrate(known)


@cache
def change(metering: str) -> dict[str, float]:
    """Blocked rows less sound ones, each at its own weather and return air, 75 °F outdoors [°F, ratio]."""
    model = rooftop(metering)
    sound = model.solve(field(SOUND_AT_75).conditions)
    blocked = model.solve(field(BLOCKED_AT_75).conditions, Faults(condenser_air=BLOCKED_AIR))
    assert sound.converged.all() and blocked.converged.all()
    degrees = ("condensing_saturation", "suction_saturation", "subcooling", "superheat")
    ratios = ("compressor_power", "refrigerant_mass_flow", "total_capacity")
    mean = {
        key: [np.mean(np.atleast_2d(getattr(states, key))[0]) for states in (sound, blocked)]
        for key in (*degrees, *ratios)
    }
    found = {key: (mean[key][1] - mean[key][0]) * 1.8 for key in degrees}
    found |= {key: mean[key][1] / mean[key][0] - 1.0 for key in ratios}
    found["superheat left"] = mean["superheat"][1] * 1.8
    return found


def test_fit_repeats_the_sound_rows():
    """Saturations within 2 °F, power 3 %, flow 5 %, air-side cooling 3 %: the set's own closure is 2-3 %."""
    known = field(SOUND)
    states = rooftop("fixed orifice").solve(known.conditions)
    for key, limit in {"suction_saturation": 2.0, "condensing_saturation": 2.0}.items():
        assert np.abs(getattr(states, key)[0] - known.readings[key][0]).max() * 1.8 < limit
    for key, limit in {"compressor_power": 0.03, "refrigerant_mass_flow": 0.05}.items():
        assert np.abs(getattr(states, key)[0] / known.readings[key][0] - 1.0).max() < limit
    assert np.nanmax(np.abs(states.total_capacity / known.readings["total_capacity"] - 1.0)) < 0.03


def test_blocked_condenser():
    """Measured: condensing +17 °F, power +20 %, capacity -4 to -9 %, superheat to nothing. What share of the
    air was really left, and the coil's effectiveness, are not in the log: -4/+8 °F and -4/+14 % for that."""
    found = change("fixed orifice")
    assert 13.0 < found["condensing_saturation"] < 25.0
    assert 0.16 < found["compressor_power"] < 0.34
    assert -0.09 < found["total_capacity"] < -0.04
    assert found["superheat left"] < 0.5


def test_blocked_condenser_feeds_an_orifice_more():
    """Measured: mass flow +10 %, suction saturation +3.3 °F; half to one and a half times that."""
    found = change("fixed orifice")
    assert 0.05 < found["refrigerant_mass_flow"] < 0.15
    assert 1.6 < found["suction_saturation"] < 5.0


def test_blocked_condenser_with_a_valve():
    """A valve instead holds its superheat and lets subcooling rise."""
    found = change("TXV")
    assert abs(found["superheat"]) < 0.1
    assert found["subcooling"] > 0.5


# --- charge shares: ACHP sample ----------------------------------------------------------------------------
def test_condensing_rises_with_subcooling():
    """ACHP's 3-ton sample: 5.2 °F more condensing from 3 to 10 K of subcooling, and evaporating 0.6 °F less.
    Sign, and 2-10 °F: another geometry."""
    points = [state("TXV", charge=c) for c in (0.9, 1.15)]
    less, more = ((p.subcooling[0], p.condensing_saturation[0], p.suction_saturation[0]) for p in points)
    scale = 7.0 / (more[0] - less[0])
    assert 2.0 < (more[1] - less[1]) * 1.8 * scale < 10.0
    assert -2.0 < (more[2] - less[2]) * 1.8 * scale < 0.0


@pytest.mark.parametrize(
    ("outdoor", "humidity", "change"), [(45.0, 0.5, +1.7), (35.0, 0.4, -2.3)], ids=["hot", "dry"]
)
def test_evaporating_temperature_against_weather(outdoor, humidity, change):
    """ACHP's sample at 23.9 °C: from 35 to 45 °C outdoors evaporating +0.95 K (1.7 °F), from 50 to 40 %
    return humidity -1.28 K (2.3 °F); within 1.5 °F, as different coils differ."""
    room = 297.04
    saturated = float(moist_air.saturation_humidity_ratio(room, SEA_LEVEL))
    suction = [
        unit("TXV").solve(Conditions(room, rh * saturated, SEA_LEVEL, t + 273.15, FLOW)).suction_saturation[0]
        for t, rh in ((35.0, 0.5), (outdoor, humidity))
    ]
    assert (suction[1] - suction[0]) * 1.8 == pytest.approx(change, abs=1.5)


def test_draws_are_solved_like_single_units():
    """A unit of three draws answers like three units."""
    rating = unit("TXV").constants
    assert rating.reason.shape == (1,)
    circuits = tuple(
        dataclasses.replace(c, subcooling=np.array([5.0, 6.0, 7.0])) for c in (Circuit(), Circuit())
    )
    base = UnitRating(
        70.3e3, 0.72, FLOW, FAN, RETURN, HUMIDITY, SEA_LEVEL, kelvin(95.0), kelvin(45.0), circuits
    )
    conditions = Conditions(297.0, 0.0093, SEA_LEVEL, 305.0, 4.0)
    together = UnitModel.from_rating(base).solve(conditions, Faults(charge=0.9))
    for i, subcooling in enumerate((5.0, 6.0, 7.0)):
        alone = dataclasses.replace(
            base, circuits=tuple(dataclasses.replace(c, subcooling=subcooling) for c in circuits)
        )
        one = UnitModel.from_rating(alone).solve(conditions, Faults(charge=0.9))
        assert together.suction_saturation[0, i] == pytest.approx(one.suction_saturation[0], abs=1e-3)
