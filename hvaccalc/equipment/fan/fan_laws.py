"""A fan on its duct: affinity laws, density, system curve, fan curve by points, where the two meet.

Everything broadcasts. A fan law holds between two points of one unchanged system; where part of the
resistance is held fixed (a controlled duct static) it does not, and `SystemCurve.fixed` says how much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.practice.air import LOW_VELOCITY_PRESSURE, MOST_LOW_POINTS
from hvaccalc.units import si

STANDARD_DENSITY = float(si(0.075, "lb", "mass") / si(1.0, "ft3", "volume"))
"""Density that fan curves are printed at, 0.075 lb/ft³ [kg/m³] (AMCA 210)."""


def flow_at_speed(flow: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Flow of the same fan on the same system at another speed.

    Parameters
    ----------
    flow : array_like
        At the known speed [any unit of volume flow].
    speed_ratio : array_like
        New speed over known speed, >= 0.

    Returns
    -------
    ndarray
        Same unit; NaN where the ratio is negative.

    Notes
    -----
    First fan law, flow ~ N; any density.

    Examples
    --------
    A university exercise, 6000 cfm at 2000 rpm slowed to 1500 rpm:

    >>> float(flow_at_speed(6000.0, 1500 / 2000))
    4500.0
    """
    return np.asarray(flow, dtype=float) * _ratio(speed_ratio)


def pressure_at_speed(pressure: ArrayLike, speed_ratio: ArrayLike, density_ratio: ArrayLike = 1.0) -> Array:
    """Pressure at another speed and density: second fan law, p ~ rho N².

    Examples
    --------
    4 inches of water at 2000 rpm slowed to 1500 rpm:

    >>> float(pressure_at_speed(4.0, 1500 / 2000))
    2.25
    """
    return np.asarray(pressure, dtype=float) * _ratio(speed_ratio) ** 2 * np.asarray(density_ratio)


def power_at_speed(power: ArrayLike, speed_ratio: ArrayLike, density_ratio: ArrayLike = 1.0) -> Array:
    """Shaft power at another speed and density: third fan law, P ~ rho N³. Not electrical power.

    Examples
    --------
    6 hp at 2000 rpm slowed to 1500 rpm:

    >>> round(float(power_at_speed(6.0, 1500 / 2000)), 2)
    2.53
    """
    return np.asarray(power, dtype=float) * _ratio(speed_ratio) ** 3 * np.asarray(density_ratio)


def shaft_power(flow: ArrayLike, pressure: ArrayLike, efficiency: ArrayLike) -> Array:
    """Shaft power [W] from flow [m³/s], pressure rise [Pa] and efficiency (0-1); NaN outside.

    With total pressure the total efficiency, with static pressure the static one.

    Examples
    --------
    4000 cfm against 1.2 inches of water at 60 %, by the trade's formula cfm inH2O / (6356 eff):

    >>> from hvaccalc import units as u
    >>> round(float(u.to(shaft_power(u.cfm(4000), u.si(1.2, "inH2O"), 0.6), "hp")), 2)
    1.26
    """
    efficiency = np.asarray(efficiency, dtype=float)
    good = np.where((efficiency > 0.0) & (efficiency <= 1.0), efficiency, np.nan)
    return np.asarray(flow, dtype=float) * np.asarray(pressure, dtype=float) / good


def efficiency(flow: ArrayLike, pressure: ArrayLike, power: ArrayLike) -> Array:
    """Efficiency (0-1) from flow [m³/s], pressure rise [Pa] and shaft power [W]; NaN without power."""
    power = np.asarray(power, dtype=float)
    return np.asarray(flow, dtype=float) * np.asarray(pressure) / np.where(power > 0.0, power, np.nan)


def density_ratio(pressure: ArrayLike, temperature: ArrayLike = 294.26) -> Array:
    """Density of dry air over the standard 0.075 lb/ft³, for fan curves and constants.

    Parameters
    ----------
    pressure : array_like
        Barometer [Pa].
    temperature : array_like
        Dry bulb [K]; 70 °F by default, at which indoor air is taken.

    Returns
    -------
    ndarray
        1 at sea level and 70 °F.

    Notes
    -----
    Air at an altitude is as warm indoors as at sea level: only the pressure counts. Tables at the
    temperature of the standard atmosphere (0.838 at 6000 ft) do not hold for a fan indoors (0.801).

    Examples
    --------
    6000 ft, 23.98 inHg (USBR, Design Guide for HVAC Systems, table 6a: 0.801):

    >>> round(float(density_ratio(23.98 * 3386.389)), 3)
    0.801
    """
    return np.asarray(pressure, dtype=float) / 101325.0 * (294.26 / np.asarray(temperature, dtype=float))


def velocity_from_pressure(velocity_pressure: ArrayLike, density: ArrayLike = STANDARD_DENSITY) -> Array:
    """Velocity by a Pitot tube [m/s] from velocity pressure [Pa] and density [kg/m³]; NaN below zero.

    Notes
    -----
    Bernoulli, v = sqrt(2 p / rho); in inch units 1096.7 sqrt(p / rho), at 0.075 lb/ft³ 4005 sqrt(p). Those
    constants take an inch of warm water, 0.2 % less than the conventional inch: velocities 0.1 % lower.

    Examples
    --------
    >>> from hvaccalc import units as u
    >>> round(float(u.to(velocity_from_pressure(u.si(0.0625, "inH2O")), "ft/min")), -1)
    1000.0
    """
    pressure = np.asarray(velocity_pressure, dtype=float)
    return np.sqrt(2.0 * np.where(pressure >= 0.0, pressure, np.nan) / np.asarray(density, dtype=float))


@dataclass(frozen=True)
class SystemCurve:
    """What the duct asks of the fan: ``fixed + coefficient * flow²``.

    Attributes
    ----------
    fixed : array_like
        Held whatever the flow, such as a controlled duct static [Pa].
    coefficient : array_like
        [Pa s²/m⁶].
    """

    fixed: ArrayLike
    coefficient: ArrayLike

    @classmethod
    def through(cls, flow: ArrayLike, pressure: ArrayLike, fixed: ArrayLike = 0.0) -> SystemCurve:
        """The curve through one point [m³/s], [Pa]; NaN without flow, or where less is asked than held."""
        flow, left = np.asarray(flow, dtype=float), np.asarray(pressure, dtype=float) - np.asarray(fixed)
        possible = (flow > 0.0) & (left >= 0.0)
        return cls(fixed, np.where(possible, left, np.nan) / np.where(flow > 0.0, flow, np.nan) ** 2)

    def pressure(self, flow: ArrayLike) -> Array:
        """Pressure that a flow takes [Pa]."""
        return np.asarray(self.fixed) + np.asarray(self.coefficient) * np.asarray(flow, dtype=float) ** 2


@dataclass(frozen=True)
class FanCurve:
    """A fan by points of its maker's table, at one speed and standard density; straight between points.

    Attributes
    ----------
    flow, static : ndarray, shape (P,)
        Flow rising [m³/s] and the static made there [Pa]; at least two points.
    power : ndarray or None, shape (P,)
        Shaft power [W].
    """

    flow: Array
    static: Array
    power: Array | None = None

    @classmethod
    def from_points(
        cls, flow: ArrayLike, static: ArrayLike, speed_ratio: ArrayLike = 1.0, power: ArrayLike | None = None
    ) -> FanCurve:
        """A curve from points in any order, each brought to full speed by the fan laws.

        Parameters
        ----------
        flow, static, power : array_like, shape (P,)
            [m³/s], [Pa], [W], each at its own speed.
        speed_ratio : array_like
            Speed of each point over full speed.

        Raises
        ------
        ValueError
            Fewer than two points of different flow.
        """
        ratio = np.broadcast_to(np.asarray(speed_ratio, dtype=float), np.shape(flow))
        at_full, order = np.unique(np.asarray(flow, dtype=float) / ratio, return_index=True)
        if at_full.size < 2:
            raise ValueError("a fan curve takes at least two points of different airflow")
        power = None if power is None else (np.asarray(power, dtype=float) / ratio**3)[order]
        return cls(at_full, (np.asarray(static, dtype=float) / ratio**2)[order], power)

    @property
    def stable(self) -> slice:
        """Points from the highest static on: to its left one static has two flows, and fans surge."""
        return slice(int(np.argmax(self.static)), None)

    def pressure(
        self, flow: ArrayLike, speed_ratio: ArrayLike = 1.0, density_ratio: ArrayLike = 1.0
    ) -> Array:
        """Static made [Pa] at a flow [m³/s]; NaN outside the points."""
        ratio = _ratio(speed_ratio)
        at_full = np.asarray(flow, dtype=float) / np.where(ratio > 0.0, ratio, np.nan)
        static = np.interp(at_full, self.flow, self.static, left=np.nan, right=np.nan)
        return pressure_at_speed(static, ratio, density_ratio)

    def flow_at(
        self, static: ArrayLike, speed_ratio: ArrayLike = 1.0, density_ratio: ArrayLike = 1.0
    ) -> Array:
        """Flow [m³/s] where the fan makes a static [Pa], right of its highest; NaN outside the points."""
        ratio = _ratio(speed_ratio)
        scale = np.where(ratio > 0.0, ratio, np.nan) ** 2 * np.asarray(density_ratio)
        at_full = np.asarray(static, dtype=float) / scale
        falling, flow = self.static[self.stable][::-1], self.flow[self.stable][::-1]
        return ratio * np.interp(at_full, falling, flow, left=np.nan, right=np.nan)

    def shaft_power_at(
        self, flow: ArrayLike, speed_ratio: ArrayLike = 1.0, density_ratio: ArrayLike = 1.0
    ) -> Array:
        """Shaft power [W] at a flow [m³/s]; NaN outside the points, and where no powers were printed."""
        ratio = _ratio(speed_ratio)
        at_full = np.asarray(flow, dtype=float) / np.where(ratio > 0.0, ratio, np.nan)
        if self.power is None:
            return np.full(np.shape(at_full), np.nan)
        power = np.interp(at_full, self.flow, self.power, left=np.nan, right=np.nan)
        return power_at_speed(power, ratio, density_ratio)


def _ratio(speed_ratio: ArrayLike) -> Array:
    ratio = np.asarray(speed_ratio, dtype=float)
    return np.where(ratio >= 0.0, ratio, np.nan)


LOG_TCHEBYCHEFF = {
    5: (0.074, 0.288, 0.500, 0.712, 0.926),
    6: (0.061, 0.235, 0.437, 0.563, 0.765, 0.939),
    7: (0.053, 0.203, 0.366, 0.500, 0.634, 0.797, 0.947),
}
"""Rectangular duct, share of the side by number of lines: printed in a hood and duct manual (PH731,
appendix B), the positions of ISO 3966."""

LOG_LINEAR = {
    6: (0.032, 0.135, 0.321, 0.679, 0.865, 0.968),
    8: (0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979),
    10: (0.019, 0.077, 0.153, 0.217, 0.361, 0.639, 0.783, 0.847, 0.923, 0.981),
}
"""Round duct, share of the diameter by points a diameter: same manual. A misprint of the first of six as 0.32
and of the last of eight as 0.981 is in circulation; each set mirrors about the middle."""

ROUND_DIAMETERS = (2, 3)
"""Diameters traversed in a round duct: two at 90° or three at 60°."""


def lines_for_side(side: float) -> int:
    """Lines across one side of a rectangular duct [m]: 5 below 30 in, 6 up to 36 in, then 7."""
    inches = side / 0.0254
    return 5 if inches < 30.0 else 6 if inches <= 36.0 else 7


def grid(count: int) -> str | None:
    """Which standard traverse has this number of points; None where none has.

    Examples
    --------
    >>> grid(25), grid(20), grid(23)
    ('rectangular, 5 by 5', 'round, 10 on 2 diameters', None)
    """
    for a in LOG_TCHEBYCHEFF:
        for b in LOG_TCHEBYCHEFF:
            if a <= b and a * b == count:
                return f"rectangular, {a} by {b}"
    for diameters in ROUND_DIAMETERS:
        for points in LOG_LINEAR:
            if diameters * points == count:
                return f"round, {points} on {diameters} diameters"
    return None


def mean_velocity(velocity_pressures: ArrayLike, density: ArrayLike = STANDARD_DENSITY) -> float:
    """Mean velocity [m/s] of a traverse from its velocity pressures [Pa].

    Notes
    -----
    Velocities are averaged, not pressures: the root of the mean pressure reads high.
    """
    return float(np.mean(velocity_from_pressure(velocity_pressures, density)))


def too_uneven(velocities: ArrayLike) -> bool:
    """Whether too many velocity pressures lie far below the highest for the plane to serve.

    Examples
    --------
    >>> too_uneven([5.0, 5.2, 4.8, 4.0]), too_uneven([10.0, 1.0, 1.0, 1.0])
    (False, True)
    """
    pressure = np.asarray(velocities, dtype=float) ** 2
    return bool(np.mean(pressure < LOW_VELOCITY_PRESSURE * pressure.max()) > MOST_LOW_POINTS)
