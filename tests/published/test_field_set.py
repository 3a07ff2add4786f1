"""Ten quarter hours of a logged rooftop unit, without fault and with its condenser blocked, job to findings.

Oak Ridge National Laboratory, Flexible Research Platform, in NREL/OpenStudio-fault-models; Granderson et al.,
Scientific Data 7 (2020), 398: typed in ``data/measured/field.toml``. What the readings come to by CoolProp
and psychrolib stands in ``field_outcome.csv``; the refrigerant's flow meter checks the air side.
"""

import CoolProp.CoolProp as CoolProp
import numpy as np
import pytest
from scipy.constants import hour, pound, psi

from tests.measured_sets import analysis, conditions, field_values, found, outcome

EXPECTED = outcome("field")
COOLING_KNOWN = tuple(label for label, row in EXPECTED.items() if "air_side_cooling_kw" in row)
DEAD = "no fault 18:00"
# Rows of either day at nearly the same outdoor temperature, 74.6 to 75.6 °F.
SOUND, BLOCKED = ("no fault 14:15", "no fault 14:45"), ("blocked 11:15", "blocked 11:45")


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def change(key: str) -> float:
    """Mean of the blocked rows less that of the sound ones at the same outdoor temperature."""
    means = [np.mean([field_values(label)[key] for label in rows]) for rows in (BLOCKED, SOUND)]
    return float(means[0] - means[1])


def test_every_condition_is_there():
    assert [condition.label for _, condition in conditions("field")] == list(EXPECTED)
    assert len(EXPECTED) == 10


@pytest.mark.parametrize(
    "key", ["superheat_degf", "subcooling_degf", "condensing_saturation_degf", "suction_saturation_degf"]
)
@pytest.mark.parametrize("label", EXPECTED)
def test_saturation_superheat_subcooling(label, key):
    """0.4 °F: printed digits of the log and what property formulations differ by."""
    assert field_values(label)[key] == pytest.approx(EXPECTED[label][key], abs=0.4)


@pytest.mark.parametrize("label", EXPECTED)
def test_subcooling_without_a_liquid_pressure_is_an_assumption(label):
    """Bubble at 0.96 of the discharge pressure: named, and not sold as measured."""
    finding = found("field")[label]["circuit.subcooling"]
    assert finding.basis == "assumed"
    assert "0.96" in finding.statement


def test_dead_channel_alone_is_flagged():
    """−565.9 psia where a logger's channel is dead: said by name, left out, and nothing else contradicts."""
    (flag,) = analysis("field").screening.flags
    place = next(place for place, condition in conditions("field") if condition.label == DEAD)
    assert flag.code == "dead_channel"
    assert flag.keys == ("liquid_pressure",)
    assert (flag.where.visit, flag.where.condition, flag.where.circuit) == (*place, "1")


def test_the_rest_of_that_condition_goes_on():
    """The same findings as a condition without the dead channel, and the contradiction on top.

    All but the temperature split: its table starts at 70 °F, and here the return air has 69.8 °F.
    """
    other = set(found("field")["no fault 14:15"]) - {"airflow.split_excess"}
    assert set(found("field")[DEAD]) - other == {"reading.contradiction"}
    assert other <= set(found("field")[DEAD])


@pytest.mark.parametrize("label", COOLING_KNOWN)
def test_air_side_cooling(label):
    """3 %: between return and supply, net of the fan's heat; psychrolib on the log's unrounded digits."""
    expected = EXPECTED[label]["air_side_cooling_kw"]
    assert field_values(label)["air_side_cooling_kw"] == pytest.approx(expected, rel=0.03)


def test_a_coil_that_reads_as_if_it_moistened_the_air_is_told_dry():
    """By the log 61.4 gr/lb go in and 64.7 come out, within the probes' band; by hand 4338 scfm are 19,520
    lb/h, times 0.244 Btu/(lb °F) times 15.7 °F: 74,800 Btu/h or 21.9 kW sensible, which counts."""
    here = found("field")["blocked 17:30"]
    assert here["capacity.sensible"].value / 1000.0 == pytest.approx(21.9, abs=0.2)
    assert "gives no water to the air" in here["capacity.total"].statement


@pytest.mark.parametrize("label", [label for label in COOLING_KNOWN if label.startswith("no fault")])
def test_air_side_and_fan_close_with_the_refrigerant_side(label):
    """Air side plus fan heat against the flow meter times CoolProp's enthalpies; 5 % is common practice."""
    condition = next(condition for _, condition in conditions("field") if condition.label == label)
    circuit = {
        key: float(reading.quantity.text.split()[0]) for key, reading in condition.circuit["1"] if key in READ
    }
    vapour = CoolProp.PropsSI(
        "H", "P", circuit["suction_pressure"] * psi, "T", kelvin(circuit["suction_temperature"]), "R410A"
    )
    liquid = CoolProp.PropsSI(
        "H",
        "P",
        0.96 * circuit["discharge_pressure"] * psi,
        "T",
        kelvin(circuit["liquid_temperature"]),
        "R410A",
    )
    refrigerant_side = circuit["refrigerant_mass_flow"] * pound / hour * (vapour - liquid) / 1000.0
    fan = float(condition.air.fan_power.quantity.text.split()[0]) / 1000.0
    assert field_values(label)["air_side_cooling_kw"] + fan == pytest.approx(refrigerant_side, rel=0.05)


READ = (
    "suction_pressure",
    "suction_temperature",
    "discharge_pressure",
    "liquid_temperature",
    "refrigerant_mass_flow",
)


@pytest.mark.parametrize(
    ("key", "expected", "tolerance"),
    [
        ("condensing_saturation_degf", 17.1, 0.8),
        ("superheat_degf", -11.2, 0.8),
        ("suction_saturation_degf", 3.3, 0.8),
        ("subcooling_degf", -0.2, 0.8),
    ],
)
def test_what_a_blocked_condenser_changes(key, expected, tolerance):
    """Head up 17 °F, superheat gone, subcooling unchanged: CoolProp on the log; two values of 0.4 °F each."""
    assert change(key) == pytest.approx(expected, abs=tolerance)


def test_blocked_condenser_cools_less():
    """Air-side cooling falls from 21.9 to 20.1 kW, −8.2 %; 3 % of either."""
    sound = np.mean([field_values(label)["air_side_cooling_kw"] for label in SOUND])
    assert change("air_side_cooling_kw") / sound == pytest.approx(-0.082, abs=0.03)


@pytest.mark.parametrize("label", EXPECTED)
def test_wet_suction_is_named(label):
    """Superheat about zero on the blocked day, 10 to 15 °F without; the log's discharge gas of
    132.6 to 155.3 °F stands 26 to 31 °F above the dew at its pressure, more than 20 to 25 °F: no floodback
    is confirmed."""
    superheat = found("field")[label]["circuit.superheat"]
    wet = label.startswith("blocked")
    assert ("floodback" in superheat.statement.lower()) == wet
    assert superheat.severity == ("watch" if wet else "note")
