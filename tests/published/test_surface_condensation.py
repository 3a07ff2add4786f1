"""Sweating surfaces against the handbook's films, printed cases and hand calculations."""

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI

from hvaccalc import units as u
from hvaccalc.physics import moist_air
from hvaccalc.physics import surface_condensation as sweating

R = 0.3048**2 * 5.0 / 9.0 * 3600.0 / 1055.05585262  # ft² h °F/Btu in m² K/W
FILM = 1.5 / R  # 1.5 Btu/(h ft² °F)
P = 101325.0


def humidity(dry_bulb, relative):
    return moist_air.humidity_ratio_from_relative_humidity(u.degF(dry_bulb), relative, P)


@pytest.mark.parametrize(
    ("dry_bulb", "relative", "printed"),
    [(75, 0.50, 55.1), (80, 0.70, 69.3), (85, 0.80, 78.1), (90, 0.70, 78.9)],
)
def test_dew_points(dry_bulb, relative, printed):
    """PsychroLib, printed to a tenth."""
    assert u.to(moist_air.dew_point(humidity(dry_bulb, relative), P), "degF") == pytest.approx(
        printed, abs=0.06
    )


@pytest.mark.parametrize(("r_value", "printed"), [(1, 73.0), (4, 80.7), (6, 82.0)])
def test_surface_of_a_duct(r_value, printed):
    """55 °F air, 85 °F outside, 1.5 Btu/(h ft² °F). By hand for R-4: 85 - 30 x 0.6667 / 4.6667 = 80.71."""
    found = sweating.surface_temperature(u.degF(85), u.degF(55), r_value * R, FILM)
    assert u.to(found, "degF") == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(("room", "relative", "printed"), [(85, 0.80, 2.25), (90, 0.70, 1.43)])
def test_least_insulation(room, relative, printed):
    """By hand: (30 / (85 - 78.13) - 1) / 1.5 = 2.245; (35 / (90 - 78.89) - 1) / 1.5 = 1.433.

    Dew points of PsychroLib; held to the printed hundredth and a hundredth of a degree.
    """
    dew = moist_air.dew_point(humidity(room, relative), P)
    found = sweating.required_resistance(u.degF(room), u.degF(55), dew, FILM) / R
    assert found == pytest.approx(printed, abs=0.008)
    at = sweating.surface_temperature(u.degF(room), u.degF(55), found * R, FILM)
    assert at == pytest.approx(dew, abs=1e-9)


def test_bare_sheet_metal():
    """No insulation: the surface is as cold as the air, 55 °F, right at the dew point of 75 °F and 50 %,
    55.1."""
    bare = sweating.surface_temperature(u.degF(75), u.degF(55), 0.0, FILM)
    assert bare == pytest.approx(u.degF(55))
    room = humidity(75, 0.50)
    assert sweating.sweat_rate(bare, room, P, FILM) > 0.0
    assert sweating.sweat_rate(bare + u.delta_degF(0.3), room, P, FILM) == 0.0


def test_limits_of_insulation():
    room, cold = u.degF(80), u.degF(55)
    assert sweating.required_resistance(room, cold, cold - 1.0, FILM) == 0.0
    assert np.isinf(sweating.required_resistance(room, cold, room, FILM))
    assert np.isnan(sweating.required_resistance(room, cold, room + 1.0, FILM))
    assert np.isnan(sweating.surface_temperature(room, cold, -0.1, FILM))
    assert np.isnan(sweating.surface_temperature(room, cold, 0.1, 0.0))


INCH_POUND_FILMS = {
    # ASHRAE Handbook - Fundamentals, chapter 26, films of still air [Btu/(h ft² °F)], from
    # memory: emissivity 0.05, 0.20, 0.90. The metric edition prints its own column.
    "underside": (0.76, 0.91, 1.63),
    "sloping underside": (0.73, 0.88, 1.60),
    "side": (0.59, 0.74, 1.46),
    "sloping top": (0.45, 0.60, 1.32),
    "top": (0.22, 0.37, 1.08),
}


@pytest.mark.parametrize("facing", sweating.FACINGS)
def test_films_of_the_two_editions(facing):
    """Metric and inch columns agree to half a digit of the inch column."""
    found = sweating.still_air_film(facing, sweating.EMISSIVITIES) * R
    assert found == pytest.approx(INCH_POUND_FILMS[facing], abs=0.0055)


@pytest.mark.parametrize("facing", sweating.FACINGS)
def test_radiation_within_the_films(facing):
    """4 σ T³ at the table's 70 °F, 5.77 W/(m² K), times the emissivity, to the digits of the inch table.

    What is left, convection, is the same in all three columns to two roundings of 0.005 Btu/(h ft² °F):
    the table was not remembered wrongly.
    """
    exact = 4.0 * 5.670374e-8 * u.degF(70.0) ** 3
    assert pytest.approx(exact, rel=0.005) == sweating.RADIATION
    emissivity = np.array(sweating.EMISSIVITIES)
    convection = sweating.still_air_film(facing, emissivity) - exact * emissivity
    assert np.ptp(convection) <= 0.01 / R + 0.005
    assert convection.min() > 0.7


def test_film_between_and_outside():
    assert np.isnan(sweating.still_air_film("side", [0.04, 0.91])).all()
    assert sweating.still_air_film("side", 0.55) == pytest.approx((4.20 + 8.29) / 2.0)


def test_lewis_number():
    """CoolProp's moist air at 25 °C, 50 %, over 2.505e-5 m²/s: Marrero and Mason (1972), 1.87e-10 T^2.072.

    2 %, their stated accuracy is 5. The diffusivity's fit is from memory.
    """
    conductivity, heat, volume = (
        HAPropsSI(name, "T", 298.15, "P", P, "R", 0.5) for name in ("K", "cp_ha", "Vha")
    )
    diffusivity = conductivity * volume / heat
    assert diffusivity / (1.87e-10 * 298.15**2.072) == pytest.approx(sweating.LEWIS, rel=0.02)


def test_sweat_by_hand():
    """A bare duct side at 50 °F in a room at 80 °F and 60 %.

    Room: p_ws(80 °F) 3496 Pa (ASHRAE, table 3: 0.5074 psi), p_w 2099, W = 0.621945 x 2099 / (101325 - 2099) =
    0.013157. Surface: p_ws(50 °F) 1228 Pa (0.1781 psi), W_s = 0.621945 x 1228 / 100097 = 0.007630.
    Film 8.29, of it 5.77 x 0.9 = 5.193 radiation: 3.097 W/(m² K). c_p = 1006 + 0.013157 x 1860 = 1030.5;
    Le^(2/3) = 0.87^0.6667 = 0.9113. Rate = 3.097 / (1030.5 x 0.9113) x 0.005527 = 1.823e-5 kg/(m² s).
    """
    room = humidity(80, 0.60)
    assert room == pytest.approx(0.013157, rel=0.002)
    found = sweating.sweat_rate(u.degF(50), room, P, sweating.still_air_film("side"), 4.0)
    assert found == pytest.approx(4.0 * 1.823e-5, rel=0.005)


def test_wet_surface_balances_heat():
    """Heat through the insulation = film + heat of condensing, written out beside the code."""
    room, cold, relative = u.degF(85), u.degF(55), 0.80
    humid = humidity(85, relative)
    film, resistance = 8.29, 1.0 * R
    wet = sweating.wet_surface_temperature(room, cold, humid, P, resistance, film)
    dry = sweating.surface_temperature(room, cold, resistance, film)
    saturated = 0.621945 / (P / moist_air.saturation_pressure(wet) - 1.0)
    condensing = (8.29 - 5.77 * 0.9) / ((1006.0 + 1860.0 * humid) * 0.87 ** (2 / 3)) * (humid - saturated)
    through, from_air = (wet - cold) / resistance, film * (room - wet)
    assert through == pytest.approx(from_air + 2.45e6 * condensing, rel=1e-4)
    assert dry < wet < moist_air.dew_point(humid, P)


def test_wet_surface_where_nothing_condenses():
    """R-6 in the same attic: the dry surface, 82.0 °F, is above the dew point."""
    humid = humidity(85, 0.80)
    dry = sweating.surface_temperature(u.degF(85), u.degF(55), 6.0 * R, FILM)
    assert sweating.wet_surface_temperature(u.degF(85), u.degF(55), humid, P, 6.0 * R, FILM) == dry
    bare = sweating.wet_surface_temperature(u.degF(85), u.degF(55), humid, P, 0.0, FILM)
    assert bare == pytest.approx(u.degF(55))
    assert np.isnan(sweating.wet_surface_temperature(np.nan, u.degF(55), humid, P, R, FILM))


def test_r_value_and_layers():
    """R-6 is 1.057 m² K/W (NIST SP 811: 0.1761102 each); 1 in at 0.27 Btu in/(h ft² °F) is R-3.7."""
    assert sweating.r_value(6.0 * 0.1761102) == pytest.approx(6.0, rel=1e-6)
    conductivity = 0.27 * 0.1442279
    assert sweating.r_value(sweating.layer_resistance(0.0254, conductivity)) == pytest.approx(3.70, abs=0.005)
    low, high = 0.25 * 0.1442279, 0.29 * 0.1442279
    central, least, most = sweating.CONDUCTIVITY_BANDS["cabinet lining"]
    assert least < low < central < high < most


def test_suction_line_by_hand():
    """1-1/8 in line, 3/4 in of elastomer at 0.038: r 33.338 mm over 14.288: r ln 2.3333 / k = 0.7433 m² K/W.

    Line at 40 °F, room at 80 °F, film 8.29 (0.1206 m² K/W): 80 - 40 x 0.1206 / 0.8639 = 74.4 °F.
    """
    resistance = sweating.cylinder_resistance(1.125 * 0.0254, 0.75 * 0.0254, 0.038)
    assert resistance == pytest.approx(0.7433, rel=1e-3)
    surface = sweating.surface_temperature(u.degF(80), u.degF(40), resistance, 8.29)
    assert u.to(surface, "degF") == pytest.approx(74.4, abs=0.05)
    # Thin on a large pipe is flat.
    thin = sweating.cylinder_resistance(10.0, 1e-3, 0.04)
    assert thin == pytest.approx(sweating.layer_resistance(1e-3, 0.04), rel=2e-4)
    assert np.isnan(sweating.cylinder_resistance(0.0, 0.01, 0.04))
    assert np.isnan(sweating.cylinder_resistance(0.02, -0.01, 0.04))
