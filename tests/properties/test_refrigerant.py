"""What must hold of refrigerant properties everywhere: order, monotony, thermodynamics, NaN with a reason."""

import subprocess
import sys
import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from hvaccalc.physics import refrigerant as module
from hvaccalc.physics.refrigerant import (
    DESIGNATIONS,
    FLAMMABLE_NOT_CARRIED,
    NAMES,
    REASONS,
    Properties,
    refrigerant,
)
from tests.discovery import ROOT

names = st.sampled_from(NAMES)
shares = st.floats(0.0, 1.0)
anything = st.one_of(st.floats(), st.floats(-1e7, 1e7), st.floats(150.0, 450.0))

each = pytest.mark.parametrize("name", NAMES)

# kg/kmol: ASHRAE Standard 34, from memory.
MOLAR_MASS = {
    "R-22": 86.47,
    "R-32": 52.02,
    "R-134a": 102.03,
    "R-404A": 97.6,
    "R-407C": 86.2,
    "R-410A": 72.585,
    "R-448A": 86.3,
    "R-449A": 87.2,
    "R-452B": 63.5,
    "R-454B": 62.6,
    "R-513A": 108.4,
}


def temperatures(name: str, count: int) -> np.ndarray:
    return np.linspace(*refrigerant(name).temperature_range, count)


def test_names_are_carried_and_others_refused_with_the_list() -> None:
    assert [refrigerant(name).name for name in NAMES] == list(NAMES)
    assert refrigerant("R-22") is refrigerant("R-22")
    with pytest.raises(ValueError, match="R-22, R-32, .*R-410A, .*R-513A"):
        refrigerant("R-12345")


@each
def test_bubble_pressure_is_never_below_dew_nor_bubble_temperature_above(name: str) -> None:
    kit, temperature = refrigerant(name), temperatures(name, 40_001)
    assert np.all(kit.bubble_pressure(temperature) >= kit.dew_pressure(temperature) * (1 - 1e-12))
    cold, hot = kit.temperature_range
    pressure = np.geomspace(kit.bubble_pressure(cold), kit.dew_pressure(hot), 40_001)  # where both exist
    assert np.all(kit.bubble_temperature(pressure) <= kit.dew_temperature(pressure) + 1e-9)


@each
def test_every_saturation_curve_rises(name: str) -> None:
    kit, temperature = refrigerant(name), temperatures(name, 40_001)
    for edge in ("dew", "bubble"):
        pressure = getattr(kit, f"{edge}_pressure")(temperature)
        assert np.all(np.diff(pressure) > 0)
        assert np.all(np.diff(getattr(kit, f"{edge}_temperature")(pressure)) > 0)


@given(names, shares, st.sampled_from(["dew", "bubble"]))
def test_saturation_round_trip(name: str, share: float, edge: str) -> None:
    """There and back within twice the promised 0.01 K, the ends of the range included."""
    kit = refrigerant(name)
    cold, hot = kit.temperature_range
    temperature = cold + share * (hot - cold)
    back = getattr(kit, f"{edge}_temperature")(getattr(kit, f"{edge}_pressure")(temperature))
    assert back == pytest.approx(temperature, abs=0.02)


@each
def test_liquid_is_denser_and_the_latent_heat_falls_towards_the_critical_point(name: str) -> None:
    kit, temperature = refrigerant(name), temperatures(name, 5001)
    liquid, vapour = kit.saturated_liquid(temperature), kit.saturated_vapour(temperature)
    assert np.all(liquid.density > vapour.density)
    assert np.all(np.diff(liquid.density) < 0) and np.all(np.diff(vapour.density) > 0)
    latent = kit.latent_heat(temperature)
    assert np.all(np.diff(latent) < 0) and latent[-1] > 0
    assert_array_equal(latent, vapour.enthalpy - liquid.enthalpy)


@each
def test_saturated_state_is_the_edge_of_the_phase_table(name: str) -> None:
    """0.02 K of saturation error times the largest heat capacity in range is below 0.1 % of latent heat."""
    kit = refrigerant(name)
    temperature = np.linspace(233.15, kit.critical_temperature - 10.0, 501)
    latent = kit.latent_heat(temperature)
    pairs = (
        (kit.saturated_liquid(temperature), kit.liquid(kit.bubble_pressure(temperature), temperature)),
        (kit.saturated_vapour(temperature), kit.vapour(kit.dew_pressure(temperature), temperature)),
    )
    for saturated, edge in pairs:
        assert_allclose(edge.density, saturated.density, rtol=1e-3)
        assert_allclose((edge.enthalpy - saturated.enthalpy) / latent, 0.0, atol=1e-3)


@pytest.mark.parametrize("name", ["R-22", "R-32", "R-134a"])
def test_clausius_clapeyron_of_a_pure_refrigerant(name: str) -> None:
    """dp/dT = h_fg / (T (v_g - v_f)) and h_fg = T s_fg; not for blends; 0.2 %."""
    r22 = refrigerant(name)
    temperature = np.linspace(233.15, r22.critical_temperature - 10.0, 300)
    liquid, vapour = r22.saturated_liquid(temperature), r22.saturated_vapour(temperature)
    slope = (r22.dew_pressure(temperature + 0.05) - r22.dew_pressure(temperature - 0.05)) / 0.1
    change = 1.0 / vapour.density - 1.0 / liquid.density
    assert_allclose(r22.latent_heat(temperature) / (temperature * change), slope, rtol=2e-3)
    assert_allclose(temperature * (vapour.entropy - liquid.entropy), r22.latent_heat(temperature), rtol=2e-3)


@each
@pytest.mark.parametrize("phase", ["liquid", "vapour"])
def test_enthalpy_and_entropy_belong_together(name: str, phase: str) -> None:
    """At constant pressure dh = T ds; over 4 K steps, 1 % of the step."""
    kit = refrigerant(name)
    saturation = np.linspace(243.15, kit.critical_temperature - 15.0, 40)[:, None]
    departure = np.arange(1.0, 28.0, 4.0)
    if phase == "liquid":
        temperature, pressure = saturation - departure, kit.bubble_pressure(saturation)
    else:
        temperature, pressure = saturation + departure, kit.dew_pressure(saturation)
    state = getattr(kit, phase)(pressure, temperature)
    middle = 0.5 * (temperature[:, 1:] + temperature[:, :-1])
    assert_allclose(middle * np.diff(state.entropy), np.diff(state.enthalpy), rtol=0.01)


@each
def test_thin_vapour_nears_an_ideal_gas(name: str) -> None:
    """At the lowest pressure and 80 K superheat p v / (R T) is 0.98 to 1, R from the molar mass."""
    kit = refrigerant(name)
    constant = 8314.46 / MOLAR_MASS[name]
    pressure = kit.dew_pressure(kit.temperature_range[0])
    temperature = kit.temperature_range[0] + 80.0
    factor = pressure / (kit.vapour(pressure, temperature).density * constant * temperature)
    assert 0.98 < factor < 1.0


@given(names, st.lists(st.tuples(anything, anything), max_size=8))
def test_nan_has_a_reason_an_answer_has_none_and_nothing_warns(name: str, states: list) -> None:
    kit = refrigerant(name)
    pressure, temperature = np.array(states, float).reshape(-1, 2).T
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for phase in ("liquid", "vapour"):
            reason = kit.reason(pressure, temperature, phase)
            for values in getattr(kit, phase)(pressure, temperature):
                assert_array_equal(np.isnan(values), reason != module.INSIDE)
        for edge in ("dew", "bubble"):
            values = getattr(kit, f"{edge}_temperature")(pressure)
            assert_array_equal(np.isnan(values), kit.reason(pressure, np.nan, edge) != module.INSIDE)
            cold, hot = kit.temperature_range
            inside = (temperature >= cold) & (temperature <= hot)
            assert_array_equal(np.isnan(getattr(kit, f"{edge}_pressure")(temperature)), ~inside)


@each
def test_reasons_by_name_and_no_answer_beside_one(name: str) -> None:
    kit = refrigerant(name)
    pressure, bubble = float(kit.dew_pressure(280.0)), float(kit.bubble_pressure(280.0))
    cases: list[tuple[float, float, module.Phase, int]] = [
        (np.nan, 290.0, "vapour", module.NOT_A_NUMBER),
        (pressure, np.nan, "liquid", module.NOT_A_NUMBER),
        (-1.0, 290.0, "vapour", module.LOW_PRESSURE),
        (kit.critical_pressure, 400.0, "vapour", module.NEAR_CRITICAL),
        (pressure, 279.8, "vapour", module.WRONG_SIDE),
        (bubble, 280.2, "liquid", module.WRONG_SIDE),
        (pressure, 280.0 + 80.1, "vapour", module.FAR_FROM_SATURATION),
        (bubble, 280.0 - 30.3, "liquid", module.FAR_FROM_SATURATION),
        (pressure, 280.0, "vapour", module.INSIDE),
        (pressure, 280.0 + 80.0, "vapour", module.INSIDE),
        (bubble, 279.8, "liquid", module.INSIDE),
        (bubble, 280.0 - 30.0, "liquid", module.INSIDE),
    ]
    for p, t, phase, code in cases:
        assert kit.reason(p, t, phase) == code, (p, t, phase)
        assert np.isnan(getattr(kit, phase)(p, t).enthalpy) == (code != module.INSIDE), (p, t, phase)
    assert kit.reason(0.0, np.nan, "dew") == module.LOW_PRESSURE
    assert kit.reason(kit.critical_pressure, np.nan, "bubble") == module.NEAR_CRITICAL
    assert len(REASONS) == 7 and REASONS[module.TOO_COLD].startswith("colder")


def test_liquid_colder_than_the_library_is_refused() -> None:
    """CoolProp's R-410A equation starts at 200 K; 220 K bubble less 25 K is colder."""
    r410a = refrigerant("R-410A")
    pressure = r410a.bubble_pressure(220.0)
    assert r410a.reason(pressure, 195.0, "liquid") == module.TOO_COLD
    assert np.isnan(r410a.liquid(pressure, 195.0).density)
    assert np.isfinite(r410a.liquid(pressure, 201.0).density)


@given(names, st.lists(shares, min_size=1, max_size=5), st.lists(shares, min_size=1, max_size=4))
def test_broadcast_is_the_same_as_a_loop(name: str, over_saturation: list, over_superheat: list) -> None:
    kit = refrigerant(name)
    cold, hot = kit.temperature_range
    saturation = cold + np.array(over_saturation)[:, None] * (hot - cold)
    pressure = kit.dew_pressure(saturation)
    temperature = saturation + 80.0 * np.array(over_superheat)
    together = kit.vapour(pressure, temperature)
    assert together.enthalpy.shape == temperature.shape
    for place in np.ndindex(temperature.shape):
        alone = kit.vapour(float(pressure[place[0], 0]), float(temperature[place]))
        assert isinstance(alone, Properties) and np.ndim(alone.density) == 0
        assert_allclose([values[place] for values in together], alone, rtol=1e-11)


def test_pieces_of_a_long_array_join_without_a_seam() -> None:
    r22 = refrigerant("R-22")
    temperature = temperatures("R-22", 2 * module.CHUNK + 7)
    pressure = r22.dew_pressure(temperature)
    backwards = r22.dew_pressure(temperature[::-1])[::-1]
    assert_allclose(pressure, backwards, rtol=1e-13)
    assert r22.dew_temperature([]).shape == (0,)
    assert r22.vapour(pressure, temperature + 5.0).density.shape == temperature.shape


def test_only_numpy_is_needed() -> None:
    """Of what is installed, a process that uses the properties imports numpy alone."""
    code = (
        "import sys; from hvaccalc.physics.refrigerant import refrigerant; "
        "refrigerant('R-22').vapour(5e5, 290.0); "
        "heavy = {'CoolProp', 'scipy', 'pandas', 'matplotlib', 'pydantic', 'psychrolib'}; "
        "sys.exit(bool(heavy & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


# Safety group of ASHRAE Standard 34; critical temperature [°C] and pressure [MPa]: reference equations of
# the pure ones and R-410A, else manufacturers' data sheets. All from memory.
FACTS = {
    "R-22": ("A1", 96.1, 4.99),
    "R-32": ("A2L", 78.1, 5.78),
    "R-134a": ("A1", 101.1, 4.06),
    "R-404A": ("A1", 72.1, 3.73),
    "R-407C": ("A1", 86.2, 4.63),
    "R-410A": ("A1", 71.3, 4.90),
    "R-448A": ("A1", 83.7, 4.66),
    "R-449A": ("A1", 81.5, 4.45),
    "R-452B": ("A2L", 77.1, 5.22),
    "R-454B": ("A2L", 78.1, 5.27),
    "R-513A": ("A1", 94.9, 3.65),
}


@each
def test_facts_about_the_refrigerant(name: str) -> None:
    """Data sheets give mixtures' critical points to a degree or so: 1.5 K and 0.1 MPa where modelled."""
    kit = refrigerant(name)
    safety_class, celsius, megapascal = FACTS[name]
    modelled = name in ("R-448A", "R-449A", "R-452B", "R-454B", "R-513A")
    assert kit.safety_class == safety_class
    assert kit.critical_temperature - 273.15 == pytest.approx(celsius, abs=1.5 if modelled else 0.1)
    assert kit.critical_pressure / 1e6 == pytest.approx(megapascal, abs=0.1 if modelled else 0.01)
    assert kit.temperature_range[0] <= 223.15
    assert kit.temperature_range[1] >= kit.critical_temperature - 10.0
    assert 0.05 <= kit.saturation_band <= 0.3 and kit.saturation_band_basis and kit.composition


@each
def test_composition_gives_the_molar_mass(name: str) -> None:
    """Half a printed digit of the standard's molar mass, and its rounding of the composition."""
    constant = refrigerant(name).tables["vapour"].gas_constant
    assert 8314.46 / constant == pytest.approx(MOLAR_MASS[name], abs=0.06)


@each
def test_glide_is_said_where_bubble_and_dew_lie_apart(name: str) -> None:
    """More than 1 K at 0 °C; such blends, and all from a mixture model, carry 0.3 K of band."""
    kit = refrigerant(name)
    apart = kit.dew_temperature(kit.bubble_pressure(273.15)) - 273.15
    assert kit.glide == (apart > 1.0)
    assert kit.saturation_band == 0.3 or not (kit.glide or any(kit.holes.values()))


def test_every_refrigerant_carried_or_grouped_is_one_that_there_is():
    assert {*NAMES, *FLAMMABLE_NOT_CARRIED} <= {*DESIGNATIONS}
    assert len({*DESIGNATIONS}) == len(DESIGNATIONS)
