"""What a solved balance means: air behind the fan, circuits, metal temperatures, closure of energy."""

from __future__ import annotations

import numpy as np

from hvaccalc.equipment.circuit.circuit_balance import balance
from hvaccalc.equipment.coil.coil_march import CP_DRY, CP_VAPOUR
from hvaccalc.equipment.coil.evaporator import Boiling, boiling_heat
from hvaccalc.equipment.unit.unit_balance import UnitBalance
from hvaccalc.equipment.unit.unit_constants import UnitConstants
from hvaccalc.physics.moist_air import enthalpy


def fan_alone(air: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
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
    unit: UnitConstants,
    problem: UnitBalance,
    flat: np.ndarray,
    air: dict[str, np.ndarray],
    draw: np.ndarray,
) -> tuple[dict[str, np.ndarray], np.ndarray]:
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


def _metal(
    problem: UnitBalance, boiling: Boiling, dew: np.ndarray, fin_part: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Coldest root of each circuit, and coldest mean surface."""
    surfaces = [stream.surface for stream in boiling.streams]
    if len(surfaces) == 1:
        shared = surfaces[0].ndim == 2
        by_circuit = [surfaces[0] if shared else surfaces[0][:, i] for i in range(len(dew))]
    else:
        by_circuit = surfaces
    roots = [(own - fin_part * (own - t)).min(axis=0) for own, t in zip(by_circuit, dew, strict=True)]
    return np.stack(roots), np.min([own.min(axis=0) for own in by_circuit], axis=0)


def _mixed(problem: UnitBalance, boiling: Boiling) -> tuple[np.ndarray, ...]:
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
    air: dict[str, np.ndarray],
    total: np.ndarray,
    root: np.ndarray,
    surface: np.ndarray,
) -> dict[str, np.ndarray]:
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
