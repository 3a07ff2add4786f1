"""What turns the fan: motor, drive, belt and sheaves. Speeds are revolutions each second [1/s].

Everything broadcasts; a diameter, a frequency or a number of poles that is nothing or negative gives NaN.

The power of a fan over its flow goes by published part-load curves, or by the parts that make them. A cube
law is the shaft's alone, on a system that holds no static. Drive and motor lose something that does not fall
with speed, and a held static keeps its share of the work: measured fans stand above the cube.
"""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.practice.air import MOST_MAGNETISING


def synchronous_speed(frequency: ArrayLike, poles: ArrayLike) -> Array:
    """Speed of the motor's field [1/s] from frequency [Hz] and number of poles.

    Examples
    --------
    Four poles at 60 Hz, 1800 rpm:

    >>> 60 * float(synchronous_speed(60.0, 4))
    1800.0
    """
    return 2.0 * _positive(frequency) / _positive(poles)


def slip(synchronous: ArrayLike, running: ArrayLike) -> Array:
    """Share by which a motor stays behind its field.

    Examples
    --------
    1750 of 1800 rpm:

    >>> round(100 * float(slip(1800.0, 1750.0)), 2)
    2.78
    """
    return 1.0 - np.asarray(running, dtype=float) / _positive(synchronous)


def running_speed(frequency: ArrayLike, poles: ArrayLike, slip: ArrayLike = 0.0) -> Array:
    """Speed of the shaft [1/s].

    Notes
    -----
    ``120 f / poles * (1 - slip)`` in rpm. The form ``120 f / (poles - slip)`` that some pages print is wrong.

    Examples
    --------
    >>> round(60 * float(running_speed(60.0, 4, 0.0278)))
    1750
    """
    return synchronous_speed(frequency, poles) * (1.0 - np.asarray(slip, dtype=float))


def driven_speed(driver_speed: ArrayLike, driver: ArrayLike, driven: ArrayLike) -> Array:
    """Speed of the driven shaft from the pitch diameters of both sheaves (any one unit).

    Notes
    -----
    Belt speed is the same on both: d1 n1 = d2 n2; creep of 1 % or less is left out.

    Examples
    --------
    1000 rpm over 76.5 and 205.5 mm:

    >>> round(float(driven_speed(1000.0, 76.5, 205.5)))
    372
    """
    return np.asarray(driver_speed, dtype=float) * _positive(driver) / _positive(driven)


def belt_length(centre_distance: ArrayLike, one: ArrayLike, other: ArrayLike) -> Array:
    """Pitch length of a V-belt over two sheaves (any one unit).

    Notes
    -----
    ``2C + pi/2 (D + d) + (D - d)²/(4C)``, the trade's approximation of the open belt.

    Examples
    --------
    >>> round(float(belt_length(20.0, 8.0, 4.0)), 2)
    59.05
    """
    centre, one, other = _positive(centre_distance), _positive(one), _positive(other)
    return 2.0 * centre + np.pi / 2.0 * (one + other) + (one - other) ** 2 / (4.0 * centre)


def wrap_angle(centre_distance: ArrayLike, one: ArrayLike, other: ArrayLike) -> Array:
    """Angle [rad] over which the belt holds the smaller sheave; NaN where the sheaves would touch."""
    centre, one, other = _positive(centre_distance), _positive(one), _positive(other)
    apart = np.where(centre > (one + other) / 2.0, centre, np.nan)
    return np.pi - 2.0 * np.arcsin(np.clip(np.abs(one - other) / (2.0 * apart), 0.0, 1.0))


def rim_speed(diameter: ArrayLike, speed: ArrayLike) -> Array:
    """Speed of a rim [m/s]: belt speed on a sheave, tip speed of a wheel; diameter [m], speed [1/s].

    Examples
    --------
    A 15 inch wheel at 1000 rpm:

    >>> from hvaccalc import units as u
    >>> round(float(u.to(rim_speed(u.si(15, "in", "length"), u.si(1000, "rpm", "speed")), "ft/min")))
    3927
    """
    return np.pi * _positive(diameter) * np.asarray(speed, dtype=float)


def torque(power: ArrayLike, speed: ArrayLike) -> Array:
    """Torque [N m] from shaft power [W] and speed [1/s].

    Notes
    -----
    In inch units 5252 hp / rpm [lb ft], often rounded to 5250.
    """
    return np.asarray(power, dtype=float) / (2.0 * np.pi * _positive(speed))


def electrical_power(
    voltage: ArrayLike, current: ArrayLike, power_factor: ArrayLike, phases: int = 3
) -> Array:
    """Power taken [W] from line voltage [V], line current [A] and power factor.

    Examples
    --------
    >>> round(float(electrical_power(460.0, 10.0, 0.85)))
    6772
    """
    root = np.sqrt(3.0) if phases == 3 else 1.0
    return root * np.asarray(voltage, dtype=float) * np.asarray(current) * np.asarray(power_factor)


def voltage_unbalance(voltages: ArrayLike) -> Array:
    """Largest deviation from the mean over the mean (NEMA MG 1), along the last axis.

    Examples
    --------
    >>> round(100 * float(voltage_unbalance([462.0, 455.0, 448.0])), 2)
    1.54
    """
    volts = np.asarray(voltages, dtype=float)
    mean = volts.mean(axis=-1, keepdims=True)
    return np.abs(volts - mean).max(axis=-1) / mean[..., 0]


def motor_current_at_load(
    current: ArrayLike,
    torque_ratio: ArrayLike,
    full_load_current: ArrayLike,
    magnetising_share: ArrayLike = 0.375,
) -> Array:
    """Motor current when its torque changes, flux held.

    Parameters
    ----------
    current : array_like
        Motor current now [A].
    torque_ratio : array_like
        New torque over present torque: speed ratio squared with a drive (volts follow hertz), cubed with
        new sheaves at line frequency.
    full_load_current : array_like
        On the plate [A].
    magnetising_share : array_like
        Magnetising over full-load current.

    Returns
    -------
    ndarray
        [A]; the present current where nothing changes.

    Notes
    -----
    Magnetising and load current stand at right angles: the magnetising part stays, the load part follows
    the torque. Above the motor's own frequency flux is not held and the current is higher than this.

    Examples
    --------
    No magnetising current: current follows torque.

    >>> float(motor_current_at_load(4.0, 2.0, 10.0, 0.0))
    8.0
    """
    now = np.asarray(current, dtype=float)
    idle = np.minimum(np.asarray(magnetising_share) * np.asarray(full_load_current), MOST_MAGNETISING * now)
    loading = np.sqrt(np.maximum(now**2 - idle**2, 0.0)) * np.asarray(torque_ratio, dtype=float)
    return np.hypot(idle, loading)


def _positive(value: ArrayLike) -> Array:
    value = np.asarray(value, dtype=float)
    return np.where(value > 0.0, value, np.nan)


PART_LOAD = {
    "90.1 method 2": (0.0013, 0.1470, 0.9506, -0.0998),
    "variable speed": (0.0015302446, 0.0052080574, 1.1086242, -0.11635563),
    "inlet vane": (0.35071223, 0.30850535, -0.54137364, 0.87198823),
    "discharge damper": (0.37073425, 0.97250253, -0.34240761, 0.0),
    "measured drive": (0.059, -0.19567, 0.766, 0.4),
}
"""Power over full power as a polynomial of flow over full flow.

``90.1 method 2``: ASHRAE 90.1, table G3.1.3.15, variable speed with reset static; its coefficients sum to
0.9991. ``variable speed``, ``inlet vane``, ``discharge damper``: DOE-2 supply fan curves. ``measured drive``:
a page on drive savings citing a maker's bulletin B-851, percent of kW over percent of flow; 1.029 at full
flow, its coefficients being rounded."""


def part_load_power(flow_fraction: ArrayLike, curve: str) -> Array:
    """Power over full power by a published curve; NaN outside 0 to 1.

    Parameters
    ----------
    flow_fraction : array_like
        Flow over full flow.
    curve : str
        A key of `PART_LOAD`.

    Examples
    --------
    >>> round(float(part_load_power(0.5, "variable speed")), 4)
    0.2667
    """
    f = np.asarray(flow_fraction, dtype=float)
    a, b, c, d = PART_LOAD[curve]
    return np.where((f >= 0.0) & (f <= 1.0), a + f * (b + f * (c + f * d)), np.nan)


def electrical_power_ratio(
    flow_fraction: ArrayLike, held_share: ArrayLike = 0.0, standing_loss: ArrayLike = 0.0
) -> Array:
    """Electrical power over full power of a fan whose speed is changed.

    Parameters
    ----------
    flow_fraction : array_like
        Flow over full flow, >= 0; on a system that holds no static also speed over full speed.
    held_share : array_like
        Share of the full static that is held whatever the flow, 0-1.
    standing_loss : array_like
        Losses that do not fall with the load, over full power.

    Returns
    -------
    ndarray
        1 at full flow; NaN where the flow is negative.

    Notes
    -----
    Air power is flow times pressure, ``f (s + (1 - s) f²)``; the fan's own efficiency stays on one system.

    Examples
    --------
    The cube, 66 % speed without losses, and with 4 % of standing losses:

    >>> round(float(electrical_power_ratio(0.66)), 4), round(float(electrical_power_ratio(0.66, 0, 0.04)), 4)
    (0.2875, 0.316)
    """
    f, held = np.asarray(flow_fraction, dtype=float), np.asarray(held_share, dtype=float)
    loss = np.asarray(standing_loss, dtype=float)
    air = np.where(f >= 0.0, f, np.nan) * (held + (1.0 - held) * f**2)
    return loss + (1.0 - loss) * air


def exponent(flow_fraction: ArrayLike, power_ratio: ArrayLike) -> Array:
    """Exponent n of ``power ~ flow^n`` between a part flow and full flow; NaN outside 0 to 1.

    Examples
    --------
    >>> round(float(exponent(0.5, 0.125)), 6)
    3.0
    """
    f, power = np.asarray(flow_fraction, dtype=float), np.asarray(power_ratio, dtype=float)
    inside = (f > 0.0) & (f < 1.0) & (power > 0.0)
    return np.log(np.where(inside, power, np.nan)) / np.log(np.where(inside, f, np.nan))
