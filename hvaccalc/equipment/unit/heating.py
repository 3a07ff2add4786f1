"""A heat pump heating: the indoor coil condenses, the outdoor coil boils, in one simple balance per circuit.

Two unknowns for each circuit, suction and condensing dew temperature, from two balances ::

    outdoor   m (h1 - h3) = C_o e_o (Toutdoor - Te)
    indoor    m hfg       = x C_i e_i (Tc - Treturn),   x = 1 - desuperheating - subcooling

with the compressor, the coils' conductances and the refrigerant of the unit calibrated in cooling: the
indoor coil's air film and fins carry the condensing zones (`condenser.zones`), the rated condenser with all
of its air is the outdoor coil. Less indoor air has to carry the same heat away, so the condensing temperature
rises until it does; where that would pass the critical point there is no state. Every running
circuit has its share of fins and air.

Simple, and where: superheat and subcooling are given, not found from valve and charge (liquid backing up with
the head would raise it further); no frost on the outdoor coil and no latent heat of the outdoor air, so that
suction reads a little low on humid days; return humidity counts as heat capacity alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit import condenser
from hvaccalc.equipment.circuit.compressor import corrected, isentropic_efficiency, volumetric_efficiency
from hvaccalc.equipment.circuit.refrigerant_curves import Curves
from hvaccalc.equipment.unit.solver import Limits, newton
from hvaccalc.equipment.unit.unit_state import Conditions, UnitConstants
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR

STEPS = 1e-3
ITERATIONS = 40
BELOW_CRITICAL = 4.0
LOWEST, LOWEST_CONDENSING = 222.0, 262.0
MOST_SUBCOOLED = 0.95


@dataclass(frozen=True)
class HeatingStates:
    """Solved states; circuits along a first axis, NaN where idle or not found.

    Attributes
    ----------
    suction_saturation, condensing_saturation : ndarray, (circuits, N)
        Dew temperatures [K].
    head_pressure : ndarray, (circuits, N)
        At the indoor coil [Pa absolute].
    refrigerant_mass_flow, compressor_power, heat : ndarray, (circuits, N)
        [kg/s], electrical [W], given to the indoor air [W].
    discharge_temperature : ndarray, (circuits, N)
        At the indoor coil's inlet [K].
    supply_dry_bulb : ndarray, (N,)
        After the fan [K].
    energy_residual : ndarray, (circuits, N)
        (heat to the air - heat from outdoors - power in the gas) / heat to the air.
    """

    suction_saturation: Array
    condensing_saturation: Array
    head_pressure: Array
    refrigerant_mass_flow: Array
    compressor_power: Array
    heat: Array
    discharge_temperature: Array
    supply_dry_bulb: Array
    energy_residual: Array


@dataclass(frozen=True)
class _Circuit:
    """One circuit of a unit with both airs; a `solver.System` of Te and Tc; arrays (N,)."""

    unit: UnitConstants
    index: int
    indoor: Array
    outdoor: Array
    air: condenser.AirSide
    subcooling: Array
    rows: Indices

    def take(self, rows: Indices | Mask) -> _Circuit:
        own = condenser.AirSide(*(x[rows] for x in self.air))
        columns = (self.indoor[rows], self.outdoor[rows], own, self.subcooling[rows], self.rows[rows])
        return _Circuit(self.unit, self.index, *columns)

    def evaluate(self, flat: Array) -> tuple[Array, Array]:
        """Residuals (2, N) and Jacobian (N, 2, 2) by differences."""
        base = self.parts(flat)[0]
        slopes = [(self.parts(flat + STEPS * np.eye(2)[:, [k]])[0] - base) / STEPS for k in (0, 1)]
        return base, np.ascontiguousarray(np.stack(slopes, axis=1).transpose(2, 0, 1))

    def parts(self, flat: Array) -> tuple[Array, dict[str, Array]]:
        """Residuals over the rated heat, and what the states report."""
        own = {name: getattr(self.unit.circuits, name)[self.index][self.rows] for name in _NEEDED}
        fluid: Curves = self.unit.kind.curves[self.index]
        dew, condensing = flat
        root = fluid.root(condensing)
        sat = fluid.condenser(root)
        flow, work, inlet = self._compress(own, fluid, dew, root)
        outlet = inlet + (1.0 - own["shell_loss"]) * work
        gas_heat = np.maximum(outlet - sat.vapour_enthalpy, 0.0)
        over = np.maximum(fluid.discharge_superheat(root, gas_heat), 0.0)
        reachable = MOST_SUBCOOLED * condenser.drive(sat.bubble_temperature, self.indoor)
        subcooling = np.minimum(self.subcooling, reachable)
        liquid = fluid.liquid_enthalpy(root, subcooling)
        capacity = (sat.liquid_enthalpy - liquid) / np.maximum(subcooling, 0.1)
        lines = self.air.capacity * self.air.subcooling / (flow * capacity)
        filled = -np.log1p(-subcooling / condenser.drive(sat.bubble_temperature, self.indoor)) / lines
        zone = condenser.zones(
            self.air, flow, gas_heat, over, condensing, sat.bubble_temperature, self.indoor, capacity, filled
        )
        to_condense = flow * (sat.vapour_enthalpy - sat.liquid_enthalpy)
        boiled = flow * (inlet - liquid)
        side = condenser.air_side(own["air_capacity"], own["air_ntu"], np.ones_like(dew), np.ones_like(dew))
        from_outdoors = side.capacity * side.condensing * (self.outdoor - dew)
        residual = np.stack([boiled - from_outdoors, to_condense - zone.heat]) / own["rated_heat"]
        heat = flow * (outlet - liquid)
        return residual, {
            "head_pressure": np.exp(sat.log_pressure),
            "refrigerant_mass_flow": flow,
            "compressor_power": flow * work,
            "heat": heat,
            "discharge_temperature": condensing + over,
            "energy_residual": (heat - from_outdoors - flow * work * (1.0 - own["shell_loss"])) / heat,
        }

    def _compress(
        self, own: dict[str, Array], fluid: Curves, dew: Array, root: Array
    ) -> tuple[Array, Array, Array]:
        """Flow [kg/s], electrical work [J/kg] and enthalpy of the gas at the inlet."""
        sat, at_inlet = fluid.condenser(root), dew - own["suction_loss"]
        gas = fluid.vapour(at_inlet, own["superheat_set"] + own["suction_loss"])
        log_suction = fluid.evaporator(at_inlet).log_pressure
        rise = fluid.isentropic_enthalpy(root, gas.entropy - sat.vapour_entropy)
        work = sat.vapour_enthalpy + rise - gas.enthalpy
        given = self.unit.kind.maps[self.index]
        if given is None:
            ratio = sat.log_pressure - log_suction
            swept = volumetric_efficiency(np.exp(ratio), own["volumetric_slope"]) * own["displacement"]
            return (
                swept * np.exp(gas.log_density),
                work / isentropic_efficiency(ratio, own["efficiency"], own["peak_ratio"]),
                gas.enthalpy,
            )
        flow, power = given.at(at_inlet, fluid.critical_temperature - root**2)
        usual = fluid.vapour(at_inlet, np.full_like(dew, given.superheat))
        usual_rise = fluid.isentropic_enthalpy(root, usual.entropy - sat.vapour_entropy)
        usual_work = sat.vapour_enthalpy + usual_rise - usual.enthalpy
        actual, _ = corrected(flow, power, np.exp(gas.log_density - usual.log_density), np.ones_like(flow))
        return (
            actual * own["displacement"],
            power / (flow * usual_work) * work / own["efficiency"],
            gas.enthalpy,
        )


_NEEDED = (
    *("displacement", "efficiency", "peak_ratio", "volumetric_slope", "shell_loss", "suction_loss"),
    *("superheat_set", "air_capacity", "air_ntu", "rated_heat"),
)


@np.errstate(all="ignore")
def solve(unit: UnitConstants, conditions: Conditions, subcooling: ArrayLike) -> HeatingStates:
    """Heating states of a unit that was calibrated in cooling.

    Parameters
    ----------
    unit : UnitConstants
        Draws (D,).
    conditions : Conditions
        Numbers or (D,); `return_*` is the indoor air, `outdoor_dry_bulb` that at the outdoor coil;
        `running` is (circuits,).
    subcooling : array_like
        Of the liquid leaving the indoor coil [K].

    Returns
    -------
    HeatingStates
    """
    count, size = len(unit.kind.curves), unit.reason.size
    wide = {
        name: np.broadcast_to(np.asarray(value, float), (size,))
        for name, value in vars(conditions).items()
        if name != "running" and value is not None
    }
    running = np.ones(count, bool) if conditions.running is None else np.asarray(conditions.running, bool)
    flow = wide["dry_air_flow"]
    fan = wide.get("fan_power", unit.reference["fan_per_flow"] * flow)
    capacity = flow * (CP_DRY + CP_VAPOUR * wide["return_humidity_ratio"])
    out = {name: np.full((count, size), np.nan) for name in HeatingStates.__dataclass_fields__}
    faces = (unit.circuiting == "face split") & np.ones(size, bool)
    shares = unit.part / np.where(faces, 1.0, unit.part[running].sum(axis=0))
    for i in np.flatnonzero(running):
        side = _indoor_coil(unit, int(i), flow, capacity * shares[i], shares[i])
        circuit = _Circuit(
            unit, int(i), wide["return_dry_bulb"], wide["outdoor_dry_bulb"], side,
            np.broadcast_to(np.asarray(subcooling, float), (size,)), np.arange(size),
        )  # fmt: skip
        start = np.stack([wide["outdoor_dry_bulb"] - 7.0, wide["return_dry_bulb"] + 20.0])
        solution = newton(circuit, start, _limits(unit, int(i), size), ITERATIONS)
        found = solution.converged & (unit.reason == 0) & (flow > 0.0)
        known = circuit.parts(solution.state)[1]
        known |= {"suction_saturation": solution.state[0], "condensing_saturation": solution.state[1]}
        for name, value in known.items():
            out[name][i] = np.where(found, value, np.nan)
    warm = (out["heat"][running].sum(axis=0) + fan) / capacity
    out["supply_dry_bulb"] = wide["return_dry_bulb"] + warm
    return HeatingStates(**out)


def _indoor_coil(
    unit: UnitConstants, index: int, flow: Array, capacity: Array, share: Array
) -> condenser.AirSide:
    """The circuit's part of the indoor coil as a condenser: air film and fins in series."""
    coil = unit.coil
    film = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0) * capacity
    conductance = 1.0 / (1.0 / film + coil.resistance / unit.part[index])
    ntu = conductance / capacity
    films = (condenser.DESUPERHEATING_FILM, 1.0, condenser.SUBCOOLING_FILM)
    return condenser.AirSide(capacity, *(-np.expm1(-film_ratio * ntu) for film_ratio in films))


def _limits(unit: UnitConstants, index: int, size: int) -> Limits:
    ceiling = unit.kind.curves[index].critical_temperature - BELOW_CRITICAL
    low = np.array([[LOWEST], [LOWEST_CONDENSING]]) * np.ones(size)
    high = np.array([[307.0], [ceiling]]) * np.ones(size)
    return Limits(np.array([12.0, 12.0]), np.array([4.0, 6.0]), low, high, np.ones(size), np.zeros(2, bool))
