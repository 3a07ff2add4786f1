"""All running circuits on one coil: residuals and Jacobian of the whole unit for `solver`, and what they mean
once solved.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit.balance_terms import Constants, Kind, Linearised
from hvaccalc.equipment.circuit.circuit_balance import LIMIT_SCALE, balance, linearised
from hvaccalc.equipment.coil.evaporator import Boiling, Fins, boiling_heat
from hvaccalc.equipment.unit.unit_state import UnitConstants
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR, enthalpy


@dataclass(frozen=True)
class UnitBalance:
    """Rows with the same circuits running.

    Attributes
    ----------
    kind : Kind
    constants : Constants
        Arrays (circuits, N).
    fins : Fins
    layout : str
        Circuiting.
    outdoor : ndarray
        Air entering the condensers, (N,) [K].

    Notes
    -----
    A segment of the coil takes a step or two at each evaluation, from where it was at the one before.
    """

    kind: Kind
    constants: Constants
    fins: Fins
    layout: str
    outdoor: Array
    memory: dict[str, tuple[Array, ...]] = field(default_factory=dict)

    def take(self, rows: Indices | Mask) -> UnitBalance:
        """Some rows."""
        everyone = list(range(len(self.kind.curves)))
        fins = Fins(*(x[..., rows] for x in self.fins))
        surfaces = self.memory.get("surfaces")
        return replace(
            self,
            constants=self.constants.take(everyone, rows),
            fins=fins,
            outdoor=self.outdoor[rows],
            memory={} if surfaces is None else {"surfaces": tuple(x[..., rows] for x in surfaces)},
        )

    def evaluate(self, flat: Array) -> tuple[Array, Array]:
        """Residuals (4 circuits, N) and Jacobian (N, 4 circuits, 4 circuits) at a state (4 circuits, N)."""
        count = len(self.kind.curves)
        state = flat.reshape(4, count, -1)
        circuits, boiling = self.parts(state)
        residual = np.empty_like(state)
        jacobian = np.zeros((4, count, 4, count, state.shape[2]))
        residual[0] = self._heat(state, circuits, boiling, jacobian)
        local = circuits.base[2:5]
        for equation in (1, 2, 3):
            residual[equation] = local[equation - 1]
            for i in range(count):
                jacobian[equation, i, :, i] = circuits.slopes[equation + 1][:, i]
        size = 4 * count
        matrix = jacobian.reshape(size, size, -1).transpose(2, 0, 1)
        return residual.reshape(size, -1), np.ascontiguousarray(matrix)

    def parts(self, state: Array) -> tuple[Linearised, Boiling]:
        """Circuits and coil at a state (4, circuits, N)."""
        circuits = linearised(self.kind, self.constants, state, self.fins.dry_bulb, self.outdoor)
        share = circuits.suction.superheated
        start = self.memory.get("surfaces", ())
        boiling = boiling_heat(self.layout, self.fins, state[0], share, circuits.base.superheating, start)
        self.memory["surfaces"] = tuple(stream.surface for stream in boiling.streams)
        return circuits, boiling

    def _heat(self, state: Array, circuits: Linearised, boiling: Boiling, jacobian: Array) -> Array:
        """Heat needed less heat from the air, bound by the limit of low pressure; fills the slopes."""
        scale = self.constants.rated_heat
        base = circuits.base
        residual = (base.heat - base.superheating - boiling.heat) / scale
        need, gas = circuits.slopes[0], circuits.slopes[1]
        slope = jacobian[0]
        for j in range(len(scale)):
            slope[:, :, j] = -boiling.slope[:, j, 2][:, None] * gas[:, j]
            slope[:, 0, j] -= boiling.slope[:, j, 0]
            # The superheated share acts where it is positive, to the right of its kink.
            slope[:, 1, j] -= boiling.slope[:, j, 1] * (state[1, j] >= 0.0)
            slope[j, :, j] += need[:, j] - gas[:, j]
        slope /= scale[:, None, None]
        limit = (state[0] - self.constants.lowest_suction) / LIMIT_SCALE
        bound = limit < residual
        slope *= ~bound[:, None, None]
        for i in range(len(scale)):
            slope[i, 0, i] += bound[i] / LIMIT_SCALE
        return np.where(bound, limit, residual)


def fan_alone(air: dict[str, Array]) -> dict[str, Array]:
    """No compressor: return air warmed by the fan."""
    moisture, zero = air["return_humidity_ratio"], np.zeros_like(air["return_dry_bulb"])
    capacity = air["dry_air_flow"] * (CP_DRY + CP_VAPOUR * moisture)
    return {
        "supply_dry_bulb": air["return_dry_bulb"] + air["fan_power"] / capacity,
        "supply_humidity_ratio": moisture,
        "total_capacity": -air["fan_power"],
        "sensible_capacity": -air["fan_power"],
        "condensate_rate": zero,
        "coldest_surface": air["return_dry_bulb"],
        "coldest_root": air["return_dry_bulb"],
        "energy_residual": zero,
    }


def outcome(
    unit: UnitConstants, problem: UnitBalance, flat: Array, air: dict[str, Array], draw: Indices
) -> tuple[dict[str, Array], Array]:
    """Fields of `UnitStates` at a solved state (4 circuits, N), those of circuits (circuits, N).

    Beside them the largest residual of the circuits' own equations, (N,).
    """
    state = flat.reshape(4, len(problem.kind.curves), -1)
    solved, suction, condensing = balance(
        problem.kind, problem.constants, state, problem.fins.dry_bulb, problem.outdoor
    )
    boiling = boiling_heat(problem.layout, problem.fins, state[0], suction.superheated, solved.superheating)
    fin_part = (unit.coil.fin_resistance / unit.coil.resistance)[draw]
    root, surface = _metal(problem, boiling, state[0], fin_part)
    liquid_full = state[3] >= 0.0
    bubble = condensing.saturated.bubble_temperature
    by_circuit = {
        "suction_saturation": state[0],
        "condensing_saturation": condensing.temperature,
        "superheat": np.maximum(suction.superheat, 0.0),
        "subcooling": np.where(liquid_full, bubble - solved.liquid_temperature, 0.0),
        "exit_quality": np.clip(-state[3], 0.0, 1.0),
        "coil_exit_quality": 1.0 - suction.wetness,
        "refrigerant_mass_flow": solved.flow,
        "compressor_power": solved.power,
        "discharge_temperature": solved.discharge_temperature,
        "liquid_temperature": solved.liquid_temperature,
        "circuit_root": root,
    }
    total = solved.heat.sum(axis=0)
    own = (solved.condenser_residual, solved.valve_residual, solved.charge_residual)
    largest = np.max([np.abs(x).max(axis=0) for x in own], axis=0)
    return by_circuit | _air(unit, problem, boiling, air, total, root, surface), largest


def _metal(problem: UnitBalance, boiling: Boiling, dew: Array, fin_part: Array) -> tuple[Array, Array]:
    """Coldest root of each circuit, and coldest mean surface."""
    surfaces = [stream.surface for stream in boiling.streams]
    if len(surfaces) == 1:
        shared = surfaces[0].ndim == 2
        by_circuit = [surfaces[0] if shared else surfaces[0][:, i] for i in range(len(dew))]
    else:
        by_circuit = surfaces
    roots = [(own - fin_part * (own - t)).min(axis=0) for own, t in zip(by_circuit, dew, strict=True)]
    return np.stack(roots), np.min([own.min(axis=0) for own in by_circuit], axis=0)


def _mixed(problem: UnitBalance, boiling: Boiling) -> tuple[Array, ...]:
    """Leaving dry bulb and humidity ratio, condensate and its enthalpy, idle faces mixed in."""
    fins = problem.fins
    if problem.layout == "face split":
        (stream,) = boiling.streams
        idle = 1.0 - fins.part.sum(axis=0)
        weights = np.concatenate([fins.part, idle[None]])
        moisture = np.concatenate([stream.humidity_ratio, fins.humidity_ratio[None]])
        dry_bulb = np.concatenate([stream.dry_bulb, fins.dry_bulb[None]])
        capacity = weights * (CP_DRY + CP_VAPOUR * moisture)
        mixed = (capacity * dry_bulb).sum(axis=0) / capacity.sum(axis=0)
        sums = stream.condensate.sum(axis=0), stream.condensate_enthalpy.sum(axis=0)
        return mixed, (weights * moisture).sum(axis=0), *sums
    last = boiling.streams[0 if problem.layout.endswith("reversed") else -1]
    condensate = np.sum([stream.condensate for stream in boiling.streams], axis=0)
    drained = np.sum([stream.condensate_enthalpy for stream in boiling.streams], axis=0)
    return last.dry_bulb, last.humidity_ratio, condensate, drained


def _air(
    unit: UnitConstants,
    problem: UnitBalance,
    boiling: Boiling,
    air: dict[str, Array],
    total: Array,
    root: Array,
    surface: Array,
) -> dict[str, Array]:
    fins = problem.fins
    dry_bulb, moisture, condensate, drained = _mixed(problem, boiling)
    capacity = fins.flow * (CP_DRY + CP_VAPOUR * moisture)
    through = unit.air_path == "draw through"
    supply = dry_bulb + (air["fan_power"] / capacity if through else 0.0)
    air_side = fins.flow * (enthalpy(fins.dry_bulb, fins.humidity_ratio) - enthalpy(dry_bulb, moisture))
    return {
        "supply_dry_bulb": supply,
        "supply_humidity_ratio": moisture,
        "total_capacity": total - air["fan_power"],
        "sensible_capacity": capacity * (air["return_dry_bulb"] - supply),
        "condensate_rate": condensate,
        "coldest_surface": surface,
        "coldest_root": np.minimum(root.min(axis=0), surface),
        "energy_residual": (air_side - drained - total) / total,
    }
