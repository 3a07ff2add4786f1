"""Boiling points printed for the refrigerants carried, and readings on the mountain.

Normal boiling points: ASHRAE Standard 34 and the makers' data sheets, from memory, to 0.1 K.
"""

import numpy as np
import pytest

from hvaccalc.physics.refrigerant import NAMES, refrigerant
from tests import refrigerant_library as library
from tests.behaviour.jobs import analysed, one

FREEZING = 273.15
PSI = 6894.757293168  # [Pa]

# Bubble and dew temperature at 101,325 Pa [°C].
BOILING = {
    "R-22": (-40.8, -40.8),
    "R-32": (-51.7, -51.7),
    "R-134a": (-26.1, -26.1),
    "R-404A": (-46.6, -45.8),
    "R-407C": (-43.8, -36.7),
    "R-410A": (-51.6, -51.5),
    "R-448A": (-45.9, -39.8),
    "R-449A": (-46.0, -39.9),
    "R-452B": (-51.0, -50.3),
    "R-454B": (-50.9, -50.0),
    "R-513A": (-29.2, -29.1),
}


@pytest.mark.parametrize("name", NAMES)
def test_normal_boiling_point(name: str) -> None:
    """Pure ones 0.1 K; blends 0.5 K: the standard's table and today's mixture models differ so, at -50 °C."""
    kit = refrigerant(name)
    found = [kit.bubble_temperature(101325.0), kit.dew_temperature(101325.0)]
    allowed = 0.1 if name in ("R-22", "R-32", "R-134a") else 0.5
    np.testing.assert_allclose(np.array(found) - FREEZING, BOILING[name], rtol=0, atol=allowed)


def standard_atmosphere(feet: float) -> float:
    """Barometer [Pa]; ASHRAE Handbook - Fundamentals (2017), chapter 1, equation 3."""
    return 101325.0 * (1.0 - 2.25577e-5 * feet * 0.3048) ** 5.2559


def typed(kelvin: float) -> str:
    return f"{kelvin * 1.8 - 459.67:.4f} degF"


@pytest.mark.parametrize("feet", [0.0, 900.0, 2500.0, 4100.0])
@pytest.mark.parametrize("name", NAMES)
def test_subcooling_and_superheat_at_elevation(name, feet, tmp_path):
    """Gauges read CoolProp's bubble at 37 °C and dew at 5 °C less the standard atmosphere: within 0.1 K
    of the true 6 K and 7 K, which lie inside the band; a typed job through to its findings."""
    subcooling, superheat, liquid, suction = 6.0, 7.0, FREEZING + 37.0, FREEZING + 5.0
    state = library.ask(name, None, [0, 1], [liquid, suction])[0]
    gauge = (state - standard_atmosphere(feet)) / PSI
    analysis = analysed(
        tmp_path,
        {
            "job.elevation": f"{feet:g} ft",
            "circuit.1.refrigerant": name,
            "1.liquid_pressure": f"{gauge[0]:.4f} psig",
            "1.suction_pressure": f"{gauge[1]:.4f} psig",
            "1.liquid_temperature": typed(liquid - subcooling),
            "1.suction_temperature": typed(suction + superheat),
        },
    )
    for key, truth in (("subcooling", subcooling), ("superheat", superheat)):
        finding = one(analysis, f"circuit.{key}", "1")
        assert finding.value == pytest.approx(truth, abs=0.1)
        assert finding.low < truth < finding.high
