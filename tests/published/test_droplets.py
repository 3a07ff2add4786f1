"""Drops in air against measured fall speeds, against an ODE solver, and against hand calculations."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.drag import Clift_Gauvin
from scipy.integrate import solve_ivp

from hvaccalc.physics import droplet_retention, droplets
from hvaccalc.units import si

GUNN_KINZER = np.array(
    # Diameter mm, fall speed m/s, still air of about 20 °C, 1 atm: Gunn and Kinzer, J. Meteorol. 6, 1949.
    [
        (0.1, 0.27),
        (0.2, 0.72),
        (0.4, 1.62),
        (0.6, 2.47),
        (0.8, 3.27),
        (1.0, 4.03),
        (1.4, 5.17),
        (1.8, 6.09),
        (2.2, 6.90),
        (2.6, 7.57),
        (3.0, 8.06),
        (4.0, 8.83),
        (5.0, 9.09),
        (5.8, 9.17),
    ]
)
SMALL = [row for row in GUNN_KINZER if 0.2 <= row[0] <= 1.8]
LARGE = [row for row in GUNN_KINZER if row[0] > 2.0]


@pytest.mark.parametrize("row", SMALL)
def test_rigid_sphere_against_measurement(row):
    """5 % from 0.2 to 1.8 mm: Schiller and Naumann state 5 % of drag, and drops begin to flatten at 1 mm."""
    assert droplets.sphere_terminal_velocity(row[0] * 1e-3) == pytest.approx(row[1], rel=0.05)
    assert droplets.terminal_velocity(row[0] * 1e-3) == pytest.approx(row[1], rel=0.05)


def test_rigid_sphere_at_a_tenth_of_a_millimetre():
    """10 %: the standard drag of spheres, whichever its fit, falls 6 to 8 % short of the measured 0.27 there.

    Neither density nor viscosity of the air explains it (1 % each): the measurement stands high.
    """
    assert droplets.sphere_terminal_velocity(1e-4) == pytest.approx(0.27, rel=0.10)
    assert droplets.terminal_velocity(1e-4) == pytest.approx(0.27, rel=0.10)


@pytest.mark.parametrize("row", LARGE)
def test_fitted_law_against_measurement(row):
    """Atlas, Srivastava and Sekhon (1973) state 2 %."""
    assert droplets.fitted_terminal_velocity(row[0] * 1e-3) == pytest.approx(row[1], rel=0.02)
    assert droplets.terminal_velocity(row[0] * 1e-3) == pytest.approx(row[1], rel=0.02)


def test_a_sphere_is_too_fast_above_two_millimetres():
    """Real drops flatten: the rigid sphere is 5 % fast at 2.2 mm and 30 % at 5.8 mm; the answer is not."""
    for diameter, measured in LARGE:
        assert droplets.sphere_terminal_velocity(diameter * 1e-3) > 1.05 * measured
    assert droplets.sphere_terminal_velocity(5.8e-3) / 9.17 == pytest.approx(1.30, abs=0.02)


@pytest.mark.parametrize(
    ("millimetres", "speed"),
    # Rigid sphere with Schiller and Naumann, solved beside this package and printed to three digits.
    [(0.1, 0.246), (0.2, 0.703), (0.5, 2.02), (1.0, 3.85), (2.0, 6.92), (3.0, 8.59), (5.0, 11.1)],
)
def test_rigid_sphere_as_solved_elsewhere(millimetres, speed):
    """1 %: air of 1.20 or 1.204 kg/m³ and 1.81 or 1.825e-5 Pa s shift it so much."""
    assert droplets.sphere_terminal_velocity(millimetres * 1e-3) == pytest.approx(speed, rel=0.01)


def test_drop_held_up_by_500_feet_a_minute():
    """2.54 m/s, between 0.6 and 0.8 mm of Gunn and Kinzer: 0.62 mm."""
    measured = np.interp(2.54, GUNN_KINZER[:, 1], GUNN_KINZER[:, 0])
    assert measured == pytest.approx(0.62, abs=0.005)
    sizes = np.linspace(0.3e-3, 1e-3, 701)
    own = np.interp(2.54, droplets.terminal_velocity(sizes), sizes)
    assert own == pytest.approx(0.62e-3, rel=0.05)


def test_stokes_limit():
    """10 µm by hand: (998.2 - 1.204) x 9.80665 x 1e-10 / (18 x 1.813e-5) = 2.996 mm/s; drag 2 % above at Re
    0.002."""
    assert droplets.sphere_terminal_velocity(1e-5) == pytest.approx(2.996e-3, rel=0.003)


@pytest.mark.parametrize("reynolds", [0.1, 1.0, 10.0, 100.0, 500.0, 900.0])
def test_drag_against_a_library(reynolds):
    """Clift and Gauvin's curve in the `fluids` library; each states about 5 % of the standard drag."""
    assert droplets.drag_coefficient(reynolds) == pytest.approx(Clift_Gauvin(reynolds), rel=0.05)


def test_newton_range():
    """0.44 as printed above Re 1000."""
    assert droplets.drag_coefficient([2e3, 1e4]) == pytest.approx([0.44, 0.44])


@pytest.mark.parametrize("temperature", [263.15, 273.15, 293.15, 313.15, 373.15])
def test_viscosity_of_air(temperature):
    """CoolProp's dry air; 1 % of the 2 % that White states for Sutherland's law."""
    expected = PropsSI("V", "T", temperature, "P", 101325.0, "Air")
    assert droplets.air_viscosity(temperature) == pytest.approx(expected, rel=0.01)


def test_density_scaling():
    """(1.204/density)^0.4 of the fit: 1.0961 at 0.957 kg/m³, 6000 ft. The sphere: 0 for Stokes, 1/2 for
    Newton."""
    thin = 1.204 * 0.795
    assert (0.795**-0.4) == pytest.approx(1.0961, abs=1e-3)
    ratio = droplets.fitted_terminal_velocity(3e-3, thin) / droplets.fitted_terminal_velocity(3e-3)
    assert ratio == pytest.approx(1.0961, abs=1e-3)

    def exponent(diameter):
        speeds = droplets.sphere_terminal_velocity(diameter, np.array([thin, 1.204]))
        return np.log(speeds[0] / speeds[1]) / np.log(1.204 / thin)

    assert exponent(2e-5) == pytest.approx(0.0, abs=0.02)
    assert exponent(6e-3) == pytest.approx(0.5, abs=0.01)
    # Foote and du Toit's 0.4 is a mean over rain drops of a millimetre and more.
    assert 0.3 < exponent(1.5e-3) < 0.5


def test_no_jump_where_the_laws_meet():
    sizes = np.linspace(0.05e-3, 6e-3, 2000)
    speeds = droplets.terminal_velocity(sizes)
    assert (np.diff(speeds) > 0.0).all() and np.diff(speeds).max() < 0.02


def landing(diameter, wind, height):
    """Landing by scipy's solver of the full equation, drag as printed, scaled to the fall speed."""
    mass = np.pi / 6.0 * diameter**3 * 998.2
    weight = mass * 9.80665 * (1.0 - 1.204 / 998.2)

    def drag(speed):
        reynolds = max(1.204 * speed * diameter / 1.813e-5, 1e-9)
        coefficient = 24.0 / reynolds * (1.0 + 0.15 * reynolds**0.687) if reynolds < 1e3 else 0.44
        return coefficient * 0.5 * 1.204 * speed**2 * np.pi / 4.0 * diameter**2

    scale = weight / drag(float(droplets.terminal_velocity(diameter)))

    def motion(_, state):
        along, down = wind - state[2], -state[3]
        speed = np.hypot(along, down) + 1e-12
        pull = scale * drag(speed) / mass / speed
        return [state[2], state[3], pull * along, pull * down + weight / mass]

    def floor(_, state):
        return state[1] - height

    floor.terminal = True
    path = solve_ivp(motion, (0.0, 100.0), [0.0] * 4, events=floor, rtol=1e-8, atol=1e-10)
    return path.y[0, -1]


@pytest.mark.parametrize("diameter", [1e-4, 5e-4, 1e-3, 2e-3, 5e-3])
@pytest.mark.parametrize(("wind", "height"), [(2.5, 0.3), (4.0, 0.05), (1.0, 1.0)])
def test_trajectory_against_a_solver_and_a_finer_path(diameter, wind, height):
    """1 % of scipy's solver, and of its own path in four times the steps."""
    found = droplets.carried_distance(diameter, wind, height)
    assert found == pytest.approx(landing(diameter, wind, height), rel=0.01)
    assert found == pytest.approx(droplets.carried_distance(diameter, wind, height, steps=256), rel=0.01)


def test_trajectory_closed_forms():
    """A mist drop goes with the air: wind x height / fall speed; a large one in a short fall hardly at
    all."""
    slow = droplets.sphere_terminal_velocity(3e-5)
    assert droplets.carried_distance(3e-5, 2.5, 0.3) == pytest.approx(2.5 * 0.3 / slow, rel=0.01)
    path = droplets.trajectory(5e-3, 0.0, 0.02)
    # Without air drag worth the name: g t² / 2.
    early = path.time < 0.05
    assert path.fall[early] == pytest.approx(4.903 * path.time[early] ** 2, rel=0.02, abs=1e-7)
    assert (path.distance == 0.0).all()


def test_face_velocity_rules():
    """Coil suppliers: 500, 550; a balancing firm: 600 ft/min. 1 ft/min is 0.00508 m/s."""
    printed = {"design limit": 500, "never exceed": 550, "trouble": 600}
    assert {
        name: round(value / 0.00508, 6) for name, value in droplets.FACE_VELOCITY_RULES.items()
    } == printed
    assert float(si(500.0, "ft/min")) == pytest.approx(2.54)


def test_retention_by_hand():
    """ElSherbini and Jacobi (2006): 24/π³ = 0.77404; 0.0742 N/m, 4 mm, angles 85 and 35: by hand 168.1 µN."""
    hand = 0.77404 * 0.0742 * 4e-3 * (0.81915 - 0.08716)
    assert hand == pytest.approx(168.1e-6, rel=1e-3)
    angles = np.radians([85.0, 35.0])
    assert droplets.retention_force(4e-3, *angles, 0.0742) == pytest.approx(hand, rel=1e-4)
    assert np.isnan(droplets.retention_force(4e-3, angles[1], angles[0], 0.0742))


def test_drop_on_a_fin_by_hand():
    """Half a sphere (mean angle 90 deg: 120 and 60), d: 0.77404 x 0.0742 x 1 x d = 998.2 g π d³ / 12: 4.73
    mm.

    In the air at 5 m/s, coefficient 1: 0.057434 d = 0.5 x 1.204 x 25 x π d² / 8: 9.7 mm.
    """
    angles = np.radians([120.0, 60.0])
    hand = np.sqrt(0.77404 * 0.0742 / (998.2 * 9.80665 * np.pi / 12.0))
    assert hand == pytest.approx(4.73e-3, abs=5e-6)
    assert droplets.retained_diameter_on_slope(0.0, *angles) == pytest.approx(hand, rel=1e-4)
    pushed = 0.057434 / (0.5 * 1.204 * 25.0 * np.pi / 8.0)
    assert pushed == pytest.approx(9.72e-3, abs=5e-6)
    assert droplets.retained_diameter_under_drag(5.0, *angles) == pytest.approx(pushed, rel=1e-4)


def test_gravity_along_the_slope():
    """cos 60 deg is a half: the drop may weigh twice as much along it, so √2 times as wide."""
    found = droplets.retained_diameter_on_slope(np.radians([0.0, 60.0]))
    assert found[1] / found[0] == pytest.approx(np.sqrt(2.0))
    assert np.isnan(droplets.retained_diameter_on_slope([-0.1, np.pi / 2])).all()
    assert np.isinf(droplets.retained_diameter_under_drag(0.0))
    assert np.isnan(droplets.retained_diameter_under_drag(-1.0))


def test_cap_by_summing_slices():
    """Silhouette and volume of a cap at 60 deg, summed over thin slices of its height."""
    angle, n = np.radians(60.0), 200001
    radius = 0.5 / np.sin(angle)
    height = np.linspace(0.0, radius * (1.0 - np.cos(angle)), n)
    half_width = np.sqrt(np.maximum(radius**2 - (radius * np.cos(angle) + height) ** 2, 0.0))
    area, volume = droplet_retention.cap_shape(angle)
    assert area == pytest.approx(np.trapezoid(2.0 * half_width, height), rel=1e-4)
    assert volume == pytest.approx(np.trapezoid(np.pi * half_width**2, height), rel=1e-6)


def test_outside_the_range():
    for diameter in (0.0, -1e-3, 7e-3, np.nan):
        assert np.isnan(droplets.terminal_velocity(diameter))
        assert np.isnan(droplets.carried_distance(diameter, 2.5, 0.3))
    assert np.isnan(droplets.carried_distance(1e-3, 2.5, -0.3))
    assert np.isnan(droplets.fitted_terminal_velocity(0.5e-3))
