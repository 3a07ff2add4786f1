"""Condensate traps: heights they need, water held in the pan, seals lost, and the suction they stand against.

Hydrostatics. Heights are in metres of the conventional water of pressure gauges (9806.65 N/m³), so that one
inch of water column is one inch of height as in the published rules; cold condensate stands 0.05 % higher. A
suction is positive below the room's pressure; a negative one is a unit that blows through, or a sign typed
the other way round: every answer is then NaN and the diagnosis asks. Everything broadcasts.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Mask
from hvaccalc.practice.water import BLOW_THROUGH_MARGIN, TRAP_MARGIN

SPECIFIC_WEIGHT = 9806.65
"""Of the water in inches or millimetres of water column [N/m³]."""

STATES = ("present", "dry", "none")


class TrapSize(NamedTuple):
    """What a trap needs.

    Attributes
    ----------
    height : ndarray
        Pan outlet down to the trap's overflow [m].
    seal : ndarray
        Water standing in each leg at rest, overflow down to the lower bend's inside [m].
    depth : ndarray
        Pan outlet down to the bottom of the pipe, the room it takes below the outlet [m].
    """

    height: Array
    seal: Array
    depth: Array


def head(pressure: ArrayLike) -> Array:
    """Column of water that a pressure holds [m]; NaN where negative [Pa].

    Examples
    --------
    >>> round(float(head(373.63)), 4)
    0.0381
    """
    pressure = np.asarray(pressure, dtype=float)
    return np.where(pressure >= 0.0, pressure, np.nan) / SPECIFIC_WEIGHT


def required_height(suction: ArrayLike, pipe_diameter: ArrayLike = 0.0) -> TrapSize:
    """Trap of a unit whose fan draws through the coil.

    Parameters
    ----------
    suction : array_like
        Largest at the pan, below the room: with dirty filter, iced coil and full fan speed, >= 0 [Pa].
    pipe_diameter : array_like
        Outside diameter of the trap's pipe [m].

    Returns
    -------
    TrapSize
        Height, seal and depth; NaN where the suction is negative.

    Notes
    -----
    Two published rules, of an air handler (height |SP| + 1 in; outlet leg half of it) and of a coil module
    (height 1 in per in w.c. + 1 in, seal half of it, depth height + seal + pipe diameter). They agree on
    height and seal; the second also counts the pipe in the depth, the larger, which is adopted.

    Examples
    --------
    2.5 in of suction ask for 3.5 in, with a seal of 1.75 in:

    >>> [round(float(part) / 0.0254, 2) for part in required_height(2.5 * 249.08891)]
    [3.5, 1.75, 5.25]
    """
    height = head(suction) + TRAP_MARGIN
    seal = 0.5 * height
    return TrapSize(height, seal, height + seal + np.asarray(pipe_diameter, dtype=float))


def required_height_blow_through(pressure: ArrayLike) -> TrapSize:
    """Trap of a unit whose fan blows through the coil, so that the pan stands above the room's pressure.

    Parameters
    ----------
    pressure : array_like
        Largest static at the pan, above the room, >= 0 [Pa].

    Returns
    -------
    TrapSize
        `height` is the water that the outlet leg holds against the air, which is the `seal` too; `depth` is
        from the pan outlet down to the lower bend's inside. NaN where the pressure is negative.

    Notes
    -----
    Two published rules differ: the fan's total static alone, and total static + 1/2 in with the overflow at
    least 1/2 in below the outlet. The larger, the second, is adopted.

    Examples
    --------
    >>> [round(float(part) / 0.0254, 2) for part in required_height_blow_through(2.0 * 249.08891)]
    [2.5, 2.5, 3.0]
    """
    height = head(pressure) + BLOW_THROUGH_MARGIN
    return TrapSize(height, height, height + BLOW_THROUGH_MARGIN)


def standing_water(suction: ArrayLike, trap_height: ArrayLike, state: ArrayLike = "present") -> Array:
    """Water held above the pan's outlet by fan suction while the unit runs.

    Parameters
    ----------
    suction : array_like
        At the pan, below the room, >= 0 [Pa].
    trap_height : array_like
        Pan outlet down to the trap's overflow; no matter where there is no trap [m].
    state : array_like of str
        ``present`` (sealed), ``dry`` or ``none``.

    Returns
    -------
    ndarray
        [m]; NaN where the suction is negative, the height of a sealed trap is, or the state is another.

    Notes
    -----
    Sealed: ``max(0, suction head - trap_height)``. Without a seal air rushes in through the drain, and no
    water leaves before it stands as high as the suction head; the air also throws it about (geysering), so
    the level is the most that stands still. Holds while the drain passes the flow, and up to the pan's rim.

    Examples
    --------
    A fan pulling 1.5 inches of water over a dry outlet holds 1.5 inches:

    >>> round(float(standing_water(1.5 * 249.08891, 0.0, "dry")) / 0.0254, 3)
    1.5
    """
    sealed = np.isin(state, "present")
    height = np.asarray(trap_height, dtype=float)
    held_down = np.where(sealed, np.where(height >= 0.0, height, np.nan), 0.0)
    water = np.maximum(head(suction) - held_down, 0.0)
    return np.where(np.isin(state, STATES), water, np.nan)


def seal_is_kept_at_dry_start(suction: ArrayLike, seal: ArrayLike) -> Mask:
    """Whether a filled trap keeps its seal when the fan starts over a dry pan.

    Parameters
    ----------
    suction : array_like
        At the pan, below the room, >= 0 [Pa].
    seal : array_like
        Water in each leg at rest [m].

    Returns
    -------
    ndarray of bool
        False where suction or seal is negative or not known.

    Notes
    -----
    Nothing runs in yet: suction draws the water up the pan's leg and down the outlet's by half the suction
    head each, until the outlet leg is empty. So the seal is lost beyond twice its depth.

    Examples
    --------
    >>> bool(seal_is_kept_at_dry_start(2.0 * 249.08891, 0.0254 * 1.01))
    True
    >>> bool(seal_is_kept_at_dry_start(2.0 * 249.08891, 0.0254 * 0.99))
    False
    """
    seal = np.asarray(seal, dtype=float)
    with np.errstate(invalid="ignore"):
        return (seal >= 0.0) & (head(suction) <= 2.0 * seal)


def suction_at_speed(suction: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Pan suction of the same unit at another fan speed.

    Parameters
    ----------
    suction : array_like
        At the known speed, >= 0 [Pa].
    speed_ratio : array_like
        New speed over known speed, >= 0.

    Returns
    -------
    ndarray
        [Pa]; NaN where either is negative.

    Notes
    -----
    Square of the speed (fan affinity laws at one system and density).

    Examples
    --------
    >>> round(float(suction_at_speed(100.0, 60 / 36)), 1)
    277.8
    """
    suction, ratio = np.asarray(suction, dtype=float), np.asarray(speed_ratio, dtype=float)
    return np.where((suction >= 0.0) & (ratio >= 0.0), suction * ratio**2, np.nan)


def suction_of_blocked_coil(
    suction: ArrayLike, airflow_share: ArrayLike, shut_off_pressure: ArrayLike
) -> Array:
    """Pan suction when ice, dirt or a loaded filter before the pan cuts the airflow, at one fan speed.

    Parameters
    ----------
    suction : array_like
        Of the clean unit at this speed, >= 0 [Pa].
    airflow_share : array_like
        Airflow over that of the clean unit at this speed, 0-1.
    shut_off_pressure : array_like
        What the fan makes at this speed with no flow, at least the clean suction [Pa].

    Returns
    -------
    ndarray
        [Pa], from the clean suction up to shut-off; NaN outside.

    Notes
    -----
    A fan falling from shut-off P0 with the square of the flow r, and the parts behind the pan needing r² of
    their drop, leave ``P0 - (P0 - s) r²`` before the pan: what those parts need at r = 1 cancels. Screening:
    a real fan may peak or stall before shut-off.

    Examples
    --------
    Half the air through an iced coil, fan shut-off 3 in, clean suction 1 in: 2.5 in.

    >>> float(suction_of_blocked_coil(1.0, 0.5, 3.0))
    2.5
    """
    suction, share = np.asarray(suction, dtype=float), np.asarray(airflow_share, dtype=float)
    shut_off = np.asarray(shut_off_pressure, dtype=float)
    valid = (suction >= 0.0) & (share >= 0.0) & (share <= 1.0) & (shut_off >= suction)
    return np.where(valid, shut_off - (shut_off - suction) * share**2, np.nan)


def air_jet_velocity(suction: ArrayLike, air_density: ArrayLike = 1.204, loss: ArrayLike = 1.5) -> Array:
    """Speed of the room's air drawn in through an unsealed drain.

    Parameters
    ----------
    suction : array_like
        At the pan, below the room, >= 0 [Pa].
    air_density : array_like
        [kg/m³].
    loss : array_like
        Velocity heads lost in the line, with the outlet's one; 1.5 is a short open line, from memory.

    Returns
    -------
    ndarray
        [m/s]; NaN where the suction is negative.

    Notes
    -----
    ``sqrt(2 dp / (density loss))``. Far above the 9 m/s at which the largest rain drops fall: water at the
    outlet is thrown up.

    Examples
    --------
    >>> round(float(air_jet_velocity(1.5 * 249.08891)), 1)
    20.3
    """
    pressure = head(suction) * SPECIFIC_WEIGHT
    return np.sqrt(2.0 * pressure / (np.asarray(air_density, dtype=float) * np.asarray(loss, dtype=float)))
