"""What turns the fan: motor, drive, belt and sheaves. Speeds are revolutions each second [1/s].

Everything broadcasts; a diameter, a frequency or a number of poles that is nothing or negative gives NaN.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.practice.air import MOST_MAGNETISING


def synchronous_speed(frequency: ArrayLike, poles: ArrayLike) -> np.ndarray:
    """Speed of the motor's field [1/s] from frequency [Hz] and number of poles.

    Examples
    --------
    Four poles at 60 Hz, 1800 rpm:

    >>> 60 * float(synchronous_speed(60.0, 4))
    1800.0
    """
    return 2.0 * _positive(frequency) / _positive(poles)


def slip(synchronous: ArrayLike, running: ArrayLike) -> np.ndarray:
    """Share by which a motor stays behind its field.

    Examples
    --------
    1750 of 1800 rpm:

    >>> round(100 * float(slip(1800.0, 1750.0)), 2)
    2.78
    """
    return 1.0 - np.asarray(running, dtype=float) / _positive(synchronous)


def running_speed(frequency: ArrayLike, poles: ArrayLike, slip: ArrayLike = 0.0) -> np.ndarray:
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


def driven_speed(driver_speed: ArrayLike, driver: ArrayLike, driven: ArrayLike) -> np.ndarray:
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


def belt_length(centre_distance: ArrayLike, one: ArrayLike, other: ArrayLike) -> np.ndarray:
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


def wrap_angle(centre_distance: ArrayLike, one: ArrayLike, other: ArrayLike) -> np.ndarray:
    """Angle [rad] over which the belt holds the smaller sheave; NaN where the sheaves would touch."""
    centre, one, other = _positive(centre_distance), _positive(one), _positive(other)
    apart = np.where(centre > (one + other) / 2.0, centre, np.nan)
    return np.pi - 2.0 * np.arcsin(np.clip(np.abs(one - other) / (2.0 * apart), 0.0, 1.0))


def rim_speed(diameter: ArrayLike, speed: ArrayLike) -> np.ndarray:
    """Speed of a rim [m/s]: belt speed on a sheave, tip speed of a wheel; diameter [m], speed [1/s].

    Examples
    --------
    A 15 inch wheel at 1000 rpm:

    >>> from hvaccalc import units as u
    >>> round(float(u.to(rim_speed(u.si(15, "in", "length"), u.si(1000, "rpm", "speed")), "ft/min")))
    3927
    """
    return np.pi * _positive(diameter) * np.asarray(speed, dtype=float)


def torque(power: ArrayLike, speed: ArrayLike) -> np.ndarray:
    """Torque [N m] from shaft power [W] and speed [1/s].

    Notes
    -----
    In inch units 5252 hp / rpm [lb ft], often rounded to 5250.
    """
    return np.asarray(power, dtype=float) / (2.0 * np.pi * _positive(speed))


def electrical_power(
    voltage: ArrayLike, current: ArrayLike, power_factor: ArrayLike, phases: int = 3
) -> np.ndarray:
    """Power taken [W] from line voltage [V], line current [A] and power factor.

    Examples
    --------
    >>> round(float(electrical_power(460.0, 10.0, 0.85)))
    6772
    """
    root = np.sqrt(3.0) if phases == 3 else 1.0
    return root * np.asarray(voltage, dtype=float) * np.asarray(current) * np.asarray(power_factor)


def voltage_unbalance(voltages: ArrayLike) -> np.ndarray:
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
) -> np.ndarray:
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


def _positive(value: ArrayLike) -> np.ndarray:
    value = np.asarray(value, dtype=float)
    return np.where(value > 0.0, value, np.nan)
