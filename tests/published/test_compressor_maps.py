"""Published ten-coefficient compressor maps, evaluated by hand elsewhere.

Coefficients in the order of AHRI Standard 540. Maps a and b: the open first-principles model ACHP; map c: Lee
et al., IOP Conf. Series: Materials Science and Engineering 1180 (2021) 012041, table 5 (CC BY 3.0). Expected
values are the polynomials evaluated outside this package, to the digits printed.
"""

import numpy as np
import pytest

from hvaccalc.equipment.circuit.compressor import CompressorMap, corrected
from hvaccalc.physics.refrigerant import refrigerant

R410A_THREE_TONS = CompressorMap(
    (
        217.3163128,
        5.094492028,
        -0.593170311,
        4.38e-2,
        -2.14e-2,
        1.04e-2,
        7.90e-5,
        -5.73e-5,
        1.79e-4,
        -8.08e-5,
    ),
    (
        *(-561.3615705, -15.62601841, 46.92506685, -0.217949552, 0.435062616, -0.442400826),
        *(2.25e-4, 2.37e-3, -3.32e-3, 2.50e-3),
    ),
)
R134A = CompressorMap(
    (78.45705988, 8.105620464, 3.590099771, -0.0236, -0.0313, -0.0345, 4.58e-4, 4.98e-4, 3.23e-5, 1.06e-4),
    (
        *(563.4903564, -0.8502641320, 15.87519932, 0.186075896, -0.03718422, -0.05676081),
        *(-4.96735e-6, -1.735431e-3, 5.94752e-4, 5.98663e-4),
    ),
)
FIXED_SPEED = CompressorMap(
    (
        *(1.8187e1, 2.5048e-1, -3.2905e-1, -1.8153e-3, 3.9346e-4, 2.4886e-3),
        *(3.1050e-5, 2.9808e-6, -4.7693e-6, -6.3590e-6),
    ),
    (
        *(5.2021e2, 5.3703e-1, -3.9258e0, 1.2128e-1, -1.2666e-1, 7.2308e-2),
        *(-3.5722e-4, -9.4307e-4, 1.1574e-3, -2.6292e-4),
    ),
    fahrenheit=False,
    flow_unit=1e-3,
)
POUND_PER_HOUR = 0.45359237 / 3600.0


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.parametrize(
    ("one", "suction", "discharge", "flow", "power"),
    [
        (R410A_THREE_TONS, 45, 130, 459.448, 3074.97),
        (R410A_THREE_TONS, 45, 120, 467.928, 2668.95),
        (R410A_THREE_TONS, 45, 100, 478.992, 2026.83),
        (R410A_THREE_TONS, 30, 120, 344.761, 2748.16),
        (R134A, 45, 130, 526.258, 3099.29),
        (R134A, 45, 100, 531.695, 2269.04),
    ],
)
def test_maps_in_fahrenheit(one, suction, discharge, flow, power):
    """1e-3: coefficients are printed to three to ten digits."""
    kilogram, watt = one.at(kelvin(suction), kelvin(discharge))
    assert kilogram / POUND_PER_HOUR == pytest.approx(flow, rel=1e-3)
    assert watt == pytest.approx(power, rel=1e-3)


@pytest.mark.parametrize(
    ("suction", "discharge", "flow", "power"),
    [(13.3, 58.1, 9.426, 456.79), (12.3, 48.4, 10.352, 445.11), (11.6, 40.2, 11.388, 441.69)],
)
def test_map_in_celsius(suction, discharge, flow, power):
    kilogram, watt = FIXED_SPEED.at(suction + 273.15, discharge + 273.15)
    assert kilogram * 1e3 == pytest.approx(flow, rel=1e-3)
    assert watt == pytest.approx(power, rel=1e-3)


@pytest.mark.parametrize(
    ("suction", "discharge", "efficiency"), [(45, 130, 0.676), (45, 100, 0.718), (30, 120, 0.637)]
)
def test_overall_efficiency_is_plausible(suction, discharge, efficiency):
    """At 20 °F superheat with CoolProp's R-410A: 0.64-0.72, and 0.45-0.75 is the band a map must lie in.
    The three printed digits."""
    fluid = refrigerant("R-410A")
    found = R410A_THREE_TONS.overall_efficiency(fluid, kelvin(suction), kelvin(discharge))
    assert found == pytest.approx(efficiency, abs=0.001)
    assert 0.45 < found < 0.75


def test_wrong_units_show_in_the_efficiency():
    """A map in °F read as °C leaves the band."""
    wrong = CompressorMap(R410A_THREE_TONS.mass_flow, R410A_THREE_TONS.power, fahrenheit=False)
    found = wrong.overall_efficiency(refrigerant("R-410A"), kelvin(45), kelvin(130))
    assert not 0.45 < found < 0.75


def test_superheat_correction():
    """m = m_map (1 + 0.75 (v_map / v - 1)), W = W_map (m / m_map) (dh / dh_map), as ACHP has it. From 20 °F
    to 5 K of superheat at 45 °F CoolProp 8.0's R-410A becomes 1.0421 times as dense: by hand flow +3.15 %,
    and power with work 4 % less, 0.9903. The digits printed here."""
    fluid = refrigerant("R-410A")
    pressure = fluid.dew_pressure(kelvin(45.0))
    usual, actual = (fluid.vapour(pressure, kelvin(45.0) + above).density for above in (20.0 / 1.8, 5.0))
    assert actual / usual == pytest.approx(1.0421, abs=1e-4)
    flow, power = corrected(np.float64(1.0), np.float64(1.0), actual / usual, np.float64(0.96))
    assert flow == pytest.approx(1.0315, abs=1e-4)
    assert power == pytest.approx(0.9903, abs=1e-4)
