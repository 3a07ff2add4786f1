"""From conditions to solved states: rows, starts, fallbacks, limits and what is reported."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit.balance_terms import Constants
from hvaccalc.equipment.circuit.circuit_balance import DRIEST, FULLEST, WETTEST
from hvaccalc.equipment.circuit.refrigerant_lines import suction_saturation_loss
from hvaccalc.equipment.coil.coil_state import NOT_IN_RANGE, air_reason, first_reason
from hvaccalc.equipment.coil.evaporator import Fins
from hvaccalc.equipment.unit.solver import Solution
from hvaccalc.equipment.unit.unit_balance import UnitBalance, fan_alone, outcome
from hvaccalc.equipment.unit.unit_start import CHUNK, first_found, first_state, searched
from hvaccalc.equipment.unit.unit_state import (
    AIR_FIELDS,
    CIRCUIT_FIELDS,
    DRY_COIL,
    FLOODED,
    HIGH_PRESSURE,
    LIQUID_FULL,
    LOW_PRESSURE,
    NOT_CALIBRATED,
    NOT_CONVERGED,
    Conditions,
    Faults,
    UnitConstants,
    UnitStates,
    gas_conductance,
)
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR

# What the quick iterations left unsettled shows here, and is solved again.
LARGEST_ENERGY_RESIDUAL = 3e-4
LARGEST_RESIDUAL = 3e-5
OUTDOOR_RANGE = (233.15, 338.15)
ALL_FAULTS = tuple(Faults.__dataclass_fields__)
# A C library may hand every freed array back to the system, and each new one then faults its pages in afresh:
# a seventh of the time. Where glibc has seen this many bytes freed once, it keeps as many for the next.
np.empty(31 * 2**20, np.uint8)

Columns = dict[str, np.ndarray]
"""Fields of the outcome: numbers, codes and truths."""


@dataclass(frozen=True)
class Rows:
    """Conditions and faults of every row, flat: (N,) and (circuits, N), and the calibrated unit's draws."""

    shape: tuple[int, ...]
    draw: Indices
    air: dict[str, Array]
    running: Mask
    faults: dict[str, Array]
    reason: Indices


def solve(unit: UnitConstants, conditions: Conditions, faults: Faults) -> UnitStates:
    """Solve every row; see `UnitModel.solve`."""
    with np.errstate(all="ignore"):
        rows = _rows(unit, conditions, faults)
        count = len(unit.kind.curves)
        out: Columns = {name: np.full((count, rows.draw.size), np.nan) for name in CIRCUIT_FIELDS}
        for name in AIR_FIELDS:
            out[name] = np.full(rows.draw.size, np.nan)
        out["reason"], out["branch"] = rows.reason.copy(), np.zeros(rows.draw.size, int)
        pattern = (rows.running * (1 << np.arange(count))[:, None]).sum(axis=0)
        for word in np.unique(unit.circuiting):
            laid = (rows.reason == 0) & (unit.circuiting == word)[rows.draw]
            for code in np.unique(pattern[laid]):
                circuits = [i for i in range(count) if code >> i & 1]
                _solve_together(unit, rows, circuits, np.flatnonzero(laid & (pattern == code)), out)
    return _states(out, rows.shape)


def _rows(unit: UnitConstants, conditions: Conditions, faults: Faults) -> Rows:
    """Broadcast everything and judge what can be judged before solving."""
    count = len(unit.kind.curves)
    names = [n for n in vars(conditions) if n not in ("fan_power", "running")]
    values = [np.asarray(getattr(conditions, n), float) for n in names]
    fan = conditions.fan_power
    values.append(np.asarray(np.nan if fan is None else fan, float))
    running = np.asarray(True if conditions.running is None else conditions.running, bool)
    by_circuit = [np.asarray(getattr(faults, n), float) for n in ALL_FAULTS]
    draws = unit.reason.shape if unit.reason.size > 1 else ()
    tails = [x.shape[1:] for x in (running, *by_circuit) if x.ndim]
    shape = np.broadcast_shapes(draws, *(x.shape for x in values), *tails)
    flat = [np.broadcast_to(x, shape).reshape(-1) for x in values]
    air = dict(zip([*names, "fan_power"], flat, strict=True))
    spread = [_circuit_rows(x, count, shape) for x in (running, *by_circuit)]
    draw = np.broadcast_to(np.arange(unit.reason.size).reshape(draws or ()) if draws else 0, shape).reshape(
        -1
    )
    if fan is None:
        air["fan_power"] = unit.reference["fan_per_flow"][draw] * air["dry_air_flow"]
    found = dict(zip(ALL_FAULTS, spread[1:], strict=True))
    return Rows(shape, draw, air, spread[0], found, _reason(unit, draw, air, found))


def _circuit_rows(value: np.ndarray, count: int, shape: tuple[int, ...]) -> np.ndarray:
    """A number, (circuits,) or (circuits, ...) as (circuits, N)."""
    if value.ndim == 0:
        return np.broadcast_to(value, (count, int(np.prod(shape, dtype=int))))
    tail = value.shape[1:]
    padded = value.reshape(value.shape[0], *(1,) * (len(shape) - len(tail)), *tail)
    return np.broadcast_to(padded, (count, *shape)).reshape(count, -1)


def _reason(unit: UnitConstants, draw: Indices, air: dict[str, Array], faults: dict[str, Array]) -> Indices:
    reason = air_reason(
        air["return_dry_bulb"], air["return_humidity_ratio"], air["barometer"], air["dry_air_flow"]
    )
    outdoor, fan = air["outdoor_dry_bulb"], air["fan_power"]
    known = (outdoor > OUTDOOR_RANGE[0]) & (outdoor < OUTDOOR_RANGE[1]) & (fan >= 0.0)
    for name, value in faults.items():
        allowed = value >= 0.0 if name in ("restriction", "valve_overfeed") else value > 0.0
        known &= (allowed & np.isfinite(value)).all(axis=0)
    reason = first_reason(reason, ~known, NOT_IN_RANGE)
    return first_reason(reason, unit.reason[draw] != 0, NOT_CALIBRATED)


def _problem(unit: UnitConstants, rows: Rows, circuits: list[int], chosen: Indices) -> UnitBalance:
    """The balance of some rows of one circuiting with their faults in the constants."""
    draw = rows.draw[chosen]
    layout = str(unit.circuiting[draw[0]])
    air = _air(rows, chosen)
    fault = {name: value[circuits][:, chosen] for name, value in rows.faults.items()}
    flow = air["dry_air_flow"]
    capacity = flow * (CP_DRY + CP_VAPOUR * air["return_humidity_ratio"])
    blown = unit.air_path == "blow through"
    entering = air["return_dry_bulb"] + (air["fan_power"] / capacity if blown else 0.0)
    coil = replace(unit.coil, **{n: getattr(unit.coil, n)[draw] for n in vars(unit.coil)})
    part = unit.part[circuits][:, draw]
    ntu = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0)
    fins = Fins(entering, air["return_humidity_ratio"], air["barometer"], flow, ntu, coil.resistance, part)
    base = unit.circuits.take(circuits, draw)
    conductance = part * gas_conductance(coil, flow, capacity)
    constants = _faulty(
        base,
        fault,
        unit.reserve[circuits][:, draw],
        unit.restriction[circuits][:, draw],
        gas_conductance=conductance,
        gap=_gap(layout, part, ntu, circuits),
    )
    return UnitBalance(unit.kind.take(circuits), constants, fins, layout, air["outdoor_dry_bulb"])


def _gap(layout: str, part: Array, ntu: Array, circuits: list[int]) -> Array:
    """What the rows before a circuit leave of the air's temperature over the refrigerant's.

    A wetted coil cools its air by about three quarters of the way that transfer units alone would.
    """
    gap = np.ones_like(part)
    if not layout.startswith("row split"):
        return gap
    order = range(len(circuits))[:: -1 if layout.endswith("reversed") else 1]
    before = np.zeros_like(ntu)
    for i in order:
        gap[i] = np.exp(-0.6 * ntu * before)
        before = before + part[i]
    return gap


def _faulty(
    base: Constants, fault: dict[str, Array], reserve: Array, restriction: Array, **own: Any
) -> Constants:
    """Sound constants with the faults of each row in them."""
    wear, opening = fault["compressor_wear"], fault["valve_capacity"]
    return replace(
        base,
        displacement=base.displacement * wear,
        suction_loss=suction_saturation_loss(base.suction_loss, wear),
        gas_heat=base.gas_heat * wear,
        valve_area=base.valve_area * opening**2,
        least_opening=(fault["valve_overfeed"] / (reserve * opening)) ** 2,
        liquid_resistance=base.liquid_resistance + fault["restriction"] * restriction,
        air=base.air * fault["condenser_air"],
        fouling=base.fouling * fault["condenser_fouling"],
        charge=base.charge * fault["charge"],
        **own,
    )


def _solve_together(
    unit: UnitConstants, rows: Rows, circuits: list[int], chosen: Indices, out: Columns
) -> None:
    """Solve rows with the same circuiting and the same circuits running, and write them into the outcome."""
    if not circuits:
        _write(out, fan_alone(_air(rows, chosen)), circuits, chosen, np.zeros(chosen.size, int))
        return
    problem = _problem(unit, rows, circuits, chosen)
    start = first_state(unit, problem, circuits, rows.draw[chosen])
    found = first_found(problem, start)
    sound = found.converged & (found.orientation > 0.0)
    open_rows = ~sound | _report(unit, rows, circuits, chosen, problem, found, 0, out)
    if open_rows.any():
        left, own = problem.take(open_rows), chosen[open_rows]
        again, branch = searched(left, start[:, open_rows], found.state[:, open_rows])
        _report(unit, rows, circuits, own, left, again, branch, out)


def _report(
    unit: UnitConstants,
    rows: Rows,
    circuits: list[int],
    chosen: Indices,
    problem: UnitBalance,
    solution: Solution,
    branch: Indices | int,
    out: Columns,
) -> Mask:
    """Outcome of solved rows, in chunks that stay in the cache.

    Returns which rows do not close well enough, (N,): they are refused as not found.
    """
    open_rows = np.zeros(chosen.size, bool)
    reason = _limits(problem, solution)
    for first in range(0, chosen.size, CHUNK):
        part = np.arange(first, min(first + CHUNK, chosen.size))
        own = chosen[part]
        reported, largest = outcome(
            unit, problem.take(part), solution.state[:, part], _air(rows, own), rows.draw[own]
        )
        energy = np.abs(reported["energy_residual"])
        settled = (energy < LARGEST_ENERGY_RESIDUAL) & (largest < LARGEST_RESIDUAL)
        open_rows[part] = (reason[part] == 0) & ~settled
        reason[part[open_rows[part]]] = NOT_CONVERGED
        _write(out, reported, circuits, own, reason[part])
    out["branch"][chosen] = np.where(reason == 0, branch, 0)
    return open_rows


def _air(rows: Rows, chosen: Indices) -> dict[str, Array]:
    return {name: value[chosen] for name, value in rows.air.items()}


def _write(
    out: Columns, reported: dict[str, Array], circuits: list[int], chosen: Indices, reason: Indices
) -> None:
    out["reason"][chosen] = reason
    for name, value in reported.items():
        place = np.ix_(np.array(circuits), chosen) if name in CIRCUIT_FIELDS else chosen
        out[name][place] = np.where(reason == 0, value, np.nan)


def _limits(problem: UnitBalance, solution: Solution) -> Indices:
    """Reason of every row: not found, or at which limit."""
    dew, dry, condensing, full = solution.state.reshape(4, len(problem.kind.curves), -1)
    constants = problem.constants
    reason = np.where(solution.converged, 0, NOT_CONVERGED)
    reached = (
        (HIGH_PRESSURE, condensing > constants.highest_condensing - 0.02),
        (LOW_PRESSURE, dew < constants.lowest_suction + 0.02),
        (LIQUID_FULL, full > FULLEST - 1e-3),
        (FLOODED, dry < 1e-3 - WETTEST),
        (DRY_COIL, dry > DRIEST - 1e-3),
    )
    for code, where in reached:
        reason = first_reason(reason, np.any(where, axis=0), code)
    return reason


def _states(out: Columns, shape: tuple[int, ...]) -> UnitStates:
    """Fields in the common shape."""
    out["converged"] = out["reason"] == 0
    return UnitStates(**{name: value.reshape((*value.shape[:-1], *shape)) for name, value in out.items()})
