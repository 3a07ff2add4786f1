"""Refrigerant properties for a solver: polynomials over the tables of `physics.refrigerant`, total and quick.

A table answers NaN outside its range, which would end a Newton iteration that only passes through. These
curves go on smoothly instead; what a solved state may claim is judged afterwards. They are fitted when a
refrigerant is first asked for, to the tables themselves: saturation within 0.01 K, enthalpies within 0.2 % of
the latent heat, densities within 0.2 %, from -48 °C to 6 K below the critical temperature.

Properties near the critical point grow like square roots of the distance to it: on the condensing side the
variable is r = sqrt(Tcritical - T).
"""

from functools import cache
from typing import NamedTuple

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.physics.refrigerant import Refrigerant, refrigerant

COLDEST = 221.15
HOTTEST_SUCTION = 308.15
COLDEST_CONDENSING = 253.15
# The tables end 3 K below the critical temperature, a limit of pressure is to be met before [K].
CRITICAL_MARGIN = 3.1
LARGEST_SUPERHEAT = 78.0
LARGEST_SUBCOOLING = 28.0


class SaturatedEvaporator(NamedTuple):
    """At a suction dew temperature: ln p, vapour and liquid enthalpy, ln of gas density, liquid density."""

    log_pressure: Array
    vapour_enthalpy: Array
    liquid_enthalpy: Array
    log_vapour_density: Array
    liquid_density: Array


class SaturatedCondenser(NamedTuple):
    """At a dew temperature, liquid at the bubble temperature of the same pressure."""

    log_pressure: Array
    bubble_temperature: Array
    vapour_enthalpy: Array
    vapour_entropy: Array
    liquid_enthalpy: Array
    liquid_density: Array
    vapour_density: Array


class Vapour(NamedTuple):
    """Ln of density, enthalpy, entropy of superheated vapour."""

    log_density: Array
    enthalpy: Array
    entropy: Array


class Fit:
    """Several polynomials of x, or of x and y, fitted by least squares and evaluated together."""

    def __init__(
        self, x: Array, outputs: list[Array], degree: int, y: Array | None = None, y_degree: int = 0
    ):
        self.x_range = float(x.min()), float(x.max())
        self.y_range = (0.0, 1.0) if y is None else (float(y.min()), float(y.max()))
        u = _scaled(x, self.x_range)
        v = np.zeros_like(u) if y is None else _scaled(y, self.y_range)
        terms = [u**i * v**j for j in range(y_degree + 1) for i in range(degree + 1)]
        matrix = np.stack(terms, axis=1)
        solution = np.linalg.lstsq(matrix, np.stack(outputs, axis=1), rcond=None)[0]
        self.degree, self.y_degree = degree, y_degree
        self.coefficients = np.ascontiguousarray(
            solution.T.reshape(len(outputs), y_degree + 1, degree + 1).transpose(1, 0, 2)
        )

    def __call__(self, x: Array, y: Array | None = None) -> Array:
        """Values, the outputs along the first axis."""
        shape = x.shape
        powers = np.empty((self.degree + 1, x.size))
        powers[0] = 1.0
        u = _scaled(x.reshape(-1), self.x_range)
        for i in range(self.degree):
            np.multiply(powers[i], u, out=powers[i + 1])
        rows = self.coefficients.reshape(-1, self.degree + 1) @ powers
        rows = rows.reshape(self.y_degree + 1, -1, x.size)
        value = rows[-1]
        if y is not None:
            v = _scaled(y.reshape(-1), self.y_range)
            for row in rows[-2::-1]:
                value *= v
                value += row
        return value.reshape(-1, *shape)


def _scaled(x: Array, limits: tuple[float, float]) -> Array:
    low, high = limits
    return (x - 0.5 * (low + high)) * (2.0 / (high - low))


class Curves:
    """Curves of one refrigerant; get it with `curves`. Temperatures [K], pressures as ln of [Pa], SI
    otherwise.

    Attributes
    ----------
    name : str
    hottest : float
        Condensing temperature up to which the curves are fitted [K].
    """

    def __init__(self, table: Refrigerant) -> None:
        self.name = table.name
        self.critical_temperature = table.critical_temperature
        self.hottest = table.critical_temperature - CRITICAL_MARGIN
        self._fit_evaporator(table)
        self._fit_condenser(table)
        self._fit_liquid(table)
        self._fit_discharge(table)

    def _fit_evaporator(self, table: Refrigerant) -> None:
        dew = np.linspace(COLDEST, HOTTEST_SUCTION, 120)
        # A blend's bubble temperature leaves the table before its dew temperature does.
        dew = dew[
            np.isfinite(table.saturated_liquid(table.bubble_temperature(table.dew_pressure(dew))).density)
        ]
        pressure = table.dew_pressure(dew)
        gas = table.saturated_vapour(dew)
        liquid = table.saturated_liquid(table.bubble_temperature(pressure))
        outputs = [np.log(pressure), gas.enthalpy, liquid.enthalpy, np.log(gas.density), liquid.density]
        self._evaporator = Fit(dew, outputs, 5)
        saturation, superheat = (x.ravel() for x in np.meshgrid(dew, np.linspace(0.0, LARGEST_SUPERHEAT, 60)))
        state = table.vapour(table.dew_pressure(saturation), saturation + superheat)
        known = np.isfinite(state.density)
        outputs = [np.log(state.density), state.enthalpy, state.entropy]
        self._vapour = Fit(saturation[known], [x[known] for x in outputs], 4, superheat[known], 4)

    def _fit_condenser(self, table: Refrigerant) -> None:
        root = np.linspace(
            np.sqrt(CRITICAL_MARGIN), np.sqrt(self.critical_temperature - COLDEST_CONDENSING), 160
        )
        dew = self.critical_temperature - root**2
        pressure = table.dew_pressure(dew)
        bubble = table.bubble_temperature(pressure)
        gas, liquid = table.saturated_vapour(dew), table.saturated_liquid(bubble)
        outputs = [
            np.log(pressure),
            bubble,
            gas.enthalpy,
            gas.entropy,
            liquid.enthalpy,
            liquid.density,
            gas.density,
        ]
        self._condenser = Fit(root, outputs, 6)
        self._liquid_pressure = Fit(root, [np.log(table.bubble_pressure(dew))], 8)
        self._bubble = Fit(np.log(pressure), [bubble], 7)

    def _fit_discharge(self, table: Refrigerant) -> None:
        roots = np.linspace(np.sqrt(CRITICAL_MARGIN), np.sqrt(self.critical_temperature - 263.15), 50)
        root, superheat = (x.ravel() for x in np.meshgrid(roots, np.linspace(0.0, LARGEST_SUPERHEAT, 60)))
        dew = self.critical_temperature - root**2
        state, gas = table.vapour(table.dew_pressure(dew), dew + superheat), table.saturated_vapour(dew)
        known = np.isfinite(state.density)
        rise, gain = (state.enthalpy - gas.enthalpy)[known], (state.entropy - gas.entropy)[known]
        self._isentropic = Fit(root[known], [rise], 4, gain, 5)
        self._superheat = Fit(root[known], [superheat[known]], 4, rise, 5)
        self._isentropic_ends = (0.0, float(gain.max()))
        self._superheat_ends = (0.0, float(rise.max()))

    def _fit_liquid(self, table: Refrigerant) -> None:
        roots = np.linspace(np.sqrt(CRITICAL_MARGIN), np.sqrt(self.critical_temperature - 263.15), 50)
        steps = np.linspace(0.0, LARGEST_SUBCOOLING, 30)
        root, subcooling = (x.ravel() for x in np.meshgrid(roots, steps))
        pressure = table.dew_pressure(self.critical_temperature - root**2)
        state = table.liquid(pressure, table.bubble_temperature(pressure) - subcooling)
        known = np.isfinite(state.enthalpy)
        self._liquid = Fit(root[known], [state.enthalpy[known]], 5, subcooling[known], 4)

    def root(self, temperature: Array) -> Array:
        """The condensing side's variable r."""
        return np.sqrt(self.critical_temperature - np.minimum(temperature, self.hottest))

    def evaporator(self, dew: Array) -> SaturatedEvaporator:
        """Saturated states at a suction dew temperature."""
        return SaturatedEvaporator(*self._evaporator(np.clip(dew, *self._evaporator.x_range)))

    def vapour(self, dew: Array, superheat: Array) -> Vapour:
        """Superheated suction vapour."""
        inside = np.clip(dew, *self._vapour.x_range)
        return Vapour(*self._vapour(inside, np.clip(superheat, 0.0, LARGEST_SUPERHEAT)))

    def condenser(self, root: Array) -> SaturatedCondenser:
        """Saturated states at a condensing dew temperature given by its `root`."""
        return SaturatedCondenser(*self._condenser(root))

    def liquid_enthalpy(self, root: Array, subcooling: Array) -> Array:
        """Enthalpy of liquid at the condensing pressure; straight beyond 28 K of subcooling."""
        return _with_straight_ends(self._liquid, root, subcooling, (0.0, LARGEST_SUBCOOLING))

    def liquid_log_pressure(self, temperature: Array) -> Array:
        """Ln of the bubble pressure that belongs to a liquid's temperature."""
        return self._liquid_pressure(self.root(np.maximum(temperature, COLDEST_CONDENSING)))[0]

    def bubble_temperature(self, log_pressure: Array) -> Array:
        """Bubble temperature."""
        low, high = self._bubble.x_range
        return self._bubble(np.clip(log_pressure, low, high))[0]

    def isentropic_enthalpy(self, root: Array, entropy_above_dew: Array) -> Array:
        """Enthalpy above that of dew on the isobar, from entropy above it; straight beyond the fit."""
        return _with_straight_ends(self._isentropic, root, entropy_above_dew, self._isentropic_ends)

    def discharge_superheat(self, root: Array, enthalpy_above_dew: Array) -> Array:
        """Superheat of discharge gas from enthalpy above dew; straight beyond the fit."""
        return _with_straight_ends(self._superheat, root, enthalpy_above_dew, self._superheat_ends)


def _with_straight_ends(fit: Fit, x: Array, y: Array, ends: tuple[float, float]) -> Array:
    """A fit that goes on along its mean slope beyond its ends in y."""
    inside = np.clip(y, *ends)
    value = fit(x, inside)[0]
    beyond = np.nonzero(y != inside)
    if beyond[0].size:
        edge = x[beyond]
        low, high = (fit(edge, np.full_like(edge, end))[0] for end in ends)
        value[beyond] += (high - low) / (ends[1] - ends[0]) * (y - inside)[beyond]
    return value


@cache
def curves(name: str) -> Curves:
    """Curves of the refrigerant of that ASHRAE 34 designation; ValueError where it is not carried."""
    return Curves(refrigerant(name))
