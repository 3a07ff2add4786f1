"""Water drops in air: how fast they fall, how far a stream carries them.

Screening grade. Fall speeds follow measurements within a few percent; which drops leave a coil, and at
what speed, nobody measures on site: drop size, contact angles and local velocity are rules of thumb, so
that a distance is known to a factor of two at best. Everything broadcasts; outside the range NaN.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.physics.droplet_retention import (
    CONTACT_ANGLES,
    DROP_DENSITY,
    GRAVITY,
    SURFACE_TENSION,
    retained_diameter_on_slope,
    retained_diameter_under_drag,
    retention_force,
)
from hvaccalc.units import si

__all__ = [
    "CONTACT_ANGLES",
    "DROP_DENSITY",
    "FACE_VELOCITY_RULES",
    "GRAVITY",
    "LARGEST_DROP",
    "REFERENCE_DENSITY",
    "REFERENCE_VISCOSITY",
    "SURFACE_TENSION",
    "Trajectory",
    "air_viscosity",
    "carried_distance",
    "drag_coefficient",
    "fitted_terminal_velocity",
    "retained_diameter_on_slope",
    "retained_diameter_under_drag",
    "retention_force",
    "sphere_terminal_velocity",
    "terminal_velocity",
    "trajectory",
]

REFERENCE_DENSITY = 1.204
"""Dry air at 20 °C and 101.325 kPa, the still air of the measured fall speeds [kg/m³]."""

REFERENCE_VISCOSITY = 1.813e-5
"""Of that air [Pa s]."""

LARGEST_DROP = 6e-3
"""Above about this size falling drops break up: the end of the measured table [m]."""

FACE_VELOCITY_RULES: dict[str, float] = {
    "design limit": float(si(500.0, "ft/min")),
    "never exceed": float(si(550.0, "ft/min")),
    "trouble": float(si(600.0, "ft/min")),
}
"""Carry-over by mean face velocity [m/s]: two coil suppliers and a balancing firm. Rules of thumb: gaps,
dirt and pan geometry whip water off at lower mean velocity, a clean coated coil holds it at higher."""

_SHAPE_FROM = 1e-3
_REYNOLDS_NEWTON = 1000.0


def air_viscosity(temperature: ArrayLike) -> Array:
    """Dynamic viscosity of air [Pa s] at a temperature [K], 200-400 K.

    Notes
    -----
    Sutherland: ``1.716e-5 (T/273.15)^1.5 (273.15 + 110.4) / (T + 110.4)`` (White, Viscous Fluid Flow).

    Examples
    --------
    >>> round(float(air_viscosity(293.15)) * 1e5, 3)
    1.813
    """
    t = np.asarray(temperature, dtype=float)
    t = np.where((t >= 200.0) & (t <= 400.0), t, np.nan)
    return 1.716e-5 * (t / 273.15) ** 1.5 * (273.15 + 110.4) / (t + 110.4)


def drag_coefficient(reynolds: ArrayLike) -> Array:
    """Drag coefficient of a rigid sphere.

    Parameters
    ----------
    reynolds : array_like
        Relative velocity times diameter over kinematic viscosity, > 0.

    Notes
    -----
    Schiller and Naumann (1933): ``24/Re (1 + 0.15 Re^0.687)`` below 1000, then 0.44.

    Examples
    --------
    >>> round(float(drag_coefficient(100.0)), 3)
    1.092
    """
    reynolds = np.asarray(reynolds, dtype=float)
    return 24.0 / reynolds * _beyond_stokes(reynolds)


def _beyond_stokes(reynolds: Array) -> Array:
    """Drag over Stokes' drag; finite at rest."""
    slow = 1.0 + 0.15 * np.minimum(reynolds, _REYNOLDS_NEWTON) ** 0.687
    return np.where(reynolds < _REYNOLDS_NEWTON, slow, 0.44 * reynolds / 24.0)


def _drag_rate(
    speed: float | Array, diameter: Array, air_density: float | Array, air_viscosity: float | Array
) -> Array:
    """Drag acceleration of a rigid sphere over its relative velocity [1/s]."""
    reynolds = air_density * speed * diameter / air_viscosity
    return 18.0 * air_viscosity / (DROP_DENSITY * diameter**2) * _beyond_stokes(reynolds)


def _in_range(diameter: ArrayLike) -> Array:
    diameter = np.asarray(diameter, dtype=float)
    return np.where((diameter > 0.0) & (diameter <= LARGEST_DROP), diameter, np.nan)


def sphere_terminal_velocity(
    diameter: ArrayLike,
    air_density: ArrayLike = REFERENCE_DENSITY,
    air_viscosity: ArrayLike = REFERENCE_VISCOSITY,
) -> Array:
    """Fall speed in still air of a drop that stays a sphere.

    Parameters
    ----------
    diameter : array_like
        0-6 mm [m].
    air_density, air_viscosity : array_like
        [kg/m³], [Pa s].

    Returns
    -------
    ndarray
        [m/s]; NaN outside.

    Notes
    -----
    Weight less buoyancy against `drag_coefficient`. Against Gunn and Kinzer (1949) within 5 % from 0.2 to
    1.8 mm, 8 % slow at 0.1 mm; larger drops flatten and fall slower than it says, 30 % at 5.8 mm.

    Examples
    --------
    >>> round(float(sphere_terminal_velocity(1e-3)), 2)
    3.86
    """
    diameter = _in_range(diameter)
    density, viscosity = np.asarray(air_density, dtype=float), np.asarray(air_viscosity, dtype=float)
    weight = GRAVITY * (1.0 - density / DROP_DENSITY)
    speed = weight / _drag_rate(0.0, diameter, density, viscosity)
    fast = np.sqrt(weight * diameter * DROP_DENSITY / (0.33 * density))
    speed = np.minimum(speed, fast)
    # v rate(v) rises with a power of 1 to 2: halving the step in ln v settles within a few turns.
    for _ in range(25):
        speed = np.sqrt(speed * weight / _drag_rate(speed, diameter, density, viscosity))
    return speed


def fitted_terminal_velocity(diameter: ArrayLike, air_density: ArrayLike = REFERENCE_DENSITY) -> Array:
    """Fall speed in still air of real drops, fitted to measurement.

    Parameters
    ----------
    diameter : array_like
        1 to 6 mm [m].
    air_density : array_like
        [kg/m³].

    Returns
    -------
    ndarray
        [m/s]; NaN outside.

    Notes
    -----
    ``(9.65 - 10.3 exp(-0.6 D)) (1.204/density)^0.4``, D in mm (Atlas, Srivastava and Sekhon, Rev. Geophys.
    11, 1973, with the density exponent of Foote and du Toit, 1969).

    Examples
    --------
    >>> round(float(fitted_terminal_velocity(3e-3)), 2)
    7.95
    """
    diameter = _in_range(diameter)
    fit = 9.65 - 10.3 * np.exp(-0.6e3 * np.where(diameter >= _SHAPE_FROM, diameter, np.nan))
    return fit * (REFERENCE_DENSITY / np.asarray(air_density, dtype=float)) ** 0.4


def terminal_velocity(
    diameter: ArrayLike,
    air_density: ArrayLike = REFERENCE_DENSITY,
    air_viscosity: ArrayLike = REFERENCE_VISCOSITY,
) -> Array:
    """Fall speed of a drop in still air.

    Parameters
    ----------
    diameter : array_like
        0-6 mm [m].
    air_density, air_viscosity : array_like
        [kg/m³], [Pa s].

    Returns
    -------
    ndarray
        [m/s]; NaN outside.

    Notes
    -----
    The slower of the rigid sphere and, from 1 mm, the fit: a flattened drop never outruns a sphere. They
    cross near 1.5 mm, so that nothing jumps.

    Examples
    --------
    >>> [round(float(v), 2) for v in terminal_velocity([0.5e-3, 1e-3, 3e-3])]
    [2.02, 3.86, 7.95]
    """
    sphere = sphere_terminal_velocity(diameter, air_density, air_viscosity)
    fit = fitted_terminal_velocity(diameter, air_density)
    return np.where(np.isnan(fit), sphere, np.minimum(sphere, fit))


class Trajectory(NamedTuple):
    """Path of drops; the first axis runs along it.

    Attributes
    ----------
    time, distance, fall : ndarray
        Since release [s]; downstream, and down, from there [m].
    """

    time: Array
    distance: Array
    fall: Array


def trajectory(
    diameter: ArrayLike,
    air_velocity: ArrayLike,
    drop_height: ArrayLike,
    launch_velocity: ArrayLike = 0.0,
    air_density: ArrayLike = REFERENCE_DENSITY,
    air_viscosity: ArrayLike = REFERENCE_VISCOSITY,
    steps: int = 40,
) -> Trajectory:
    """Path of a drop released into a level stream of air, until about it has fallen a height.

    Parameters
    ----------
    diameter : array_like
        0-6 mm [m].
    air_velocity, launch_velocity : array_like
        Of the air and of the drop at release, downstream [m/s].
    drop_height : array_like
        Fall wanted, > 0 [m].
    air_density, air_viscosity : array_like
        [kg/m³], [Pa s].
    steps : int
        Finer near release, where speeds change most.

    Returns
    -------
    Trajectory
        Arrays (steps + 1, ...); NaN outside.

    Notes
    -----
    Drag along the relative velocity, ``dv/dt = k (u - v) + g``, with k of `drag_coefficient`, scaled so that
    a flattened drop settles at its `terminal_velocity`. Within a step k is held at its middle value and the
    straight equation is solved exactly, so that small drops cannot make it unstable.
    """
    diameter, wind, height, launch, density, viscosity = np.broadcast_arrays(
        _in_range(diameter), air_velocity, drop_height, launch_velocity, air_density, air_viscosity
    )
    settled = terminal_velocity(diameter, density, viscosity)
    weight = GRAVITY * (1.0 - density / DROP_DENSITY)
    flattening = weight / (settled * _drag_rate(settled, diameter, density, viscosity))
    height = np.where(height > 0.0, height, np.nan)
    end = 1.5 * (np.sqrt(2.0 * height / weight) + height / settled)

    def rate(along: Array, down: Array) -> Array:
        speed = np.hypot(wind - along, down)
        return flattening * _drag_rate(speed, diameter, density, viscosity)

    along, down = launch * 1.0, np.zeros_like(settled)
    times = end * (np.linspace(0.0, 1.0, steps + 1) ** 2).reshape(-1, *[1] * settled.ndim)
    distance, fall = np.zeros_like(times), np.zeros_like(times)
    for n, step in enumerate(np.diff(times, axis=0)):
        k = rate(along, down)
        half = np.exp(-0.5 * k * step)
        k = rate(wind + (along - wind) * half, weight / k + (down - weight / k) * half)
        left, steady = np.exp(-k * step), weight / k
        lag = (1.0 - left) / k
        distance[n + 1] = distance[n] + wind * step + (along - wind) * lag
        fall[n + 1] = fall[n] + steady * step + (down - steady) * lag
        along, down = wind + (along - wind) * left, steady + (down - steady) * left
    return Trajectory(times, distance, fall)


def carried_distance(
    diameter: ArrayLike,
    air_velocity: ArrayLike,
    drop_height: ArrayLike,
    launch_velocity: ArrayLike = 0.0,
    air_density: ArrayLike = REFERENCE_DENSITY,
    air_viscosity: ArrayLike = REFERENCE_VISCOSITY,
    steps: int = 40,
) -> Array:
    """How far downstream a drop lands that left the coil at a height above the pan.

    Parameters
    ----------
    diameter : array_like
        0-6 mm [m].
    air_velocity : array_like
        Level, behind the coil [m/s].
    drop_height : array_like
        Of the place it leaves, above the pan, > 0 [m].
    launch_velocity, air_density, air_viscosity, steps
        As in `trajectory`.

    Returns
    -------
    ndarray
        [m]; NaN outside. Within 1 % of a finer path.

    Notes
    -----
    The air is taken as even and level: no swirl behind the coil, no walls. Screening.

    Examples
    --------
    A drop of 1 mm falling 0.3 m in a stream of 2.5 m/s lands about 0.14 m downstream:

    >>> round(float(carried_distance(1e-3, 2.5, 0.3)), 2)
    0.14
    """
    path = trajectory(diameter, air_velocity, drop_height, launch_velocity, air_density, air_viscosity, steps)
    height = np.broadcast_to(np.asarray(drop_height, dtype=float), path.fall.shape[1:])
    landed = path.fall >= height
    # Not quite down at the end of the path: it goes on in a straight line.
    last = np.where(landed.any(axis=0), np.argmax(landed, axis=0), steps)[None]

    def ends(values: Array) -> tuple[Array, Array]:
        pair = [np.take_along_axis(values, at, axis=0)[0] for at in (last - 1, last)]
        return pair[0], pair[1] - pair[0]

    (fall, more_fall), (distance, more) = ends(path.fall), ends(path.distance)
    return distance + more * (height - fall) / more_fall
