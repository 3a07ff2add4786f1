"""Where the search for a balance starts, and what is tried when it fails."""

from dataclasses import replace

import numpy as np

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit.balance_terms import Constants
from hvaccalc.equipment.unit.solver import Limits, Solution, empty, newton
from hvaccalc.equipment.unit.unit_balance import UnitBalance
from hvaccalc.equipment.unit.unit_state import UnitConstants
from hvaccalc.physics.moist_air import enthalpy

CHUNK = 5000
FIRST_ITERATIONS = 6
MORE_ITERATIONS = 8
RETRY_ITERATIONS = 12
# Quadratic convergence makes of it 1e-6 or less; what it does not is found out when the state is reported.
QUICK_TOLERANCE = 1e-3
# Te [K], s, t [K], z.
LARGEST_STEP = np.array([16.0, 0.24, 24.0, 0.24])
LOWEST = np.array([215.0, -0.65, 225.0, -1.0])
HIGHEST = np.array([307.0, 0.995, 360.0, 1.2])
SCALE = np.array([4.0, 0.1, 6.0, 0.1])
KINK = np.array([False, True, False, True])
# A valve that can close holds some superheat: the leaving refrigerant is never wet.
DRY_ENOUGH = 2e-3


def first_state(unit: UnitConstants, problem: UnitBalance, circuits: list[int], draw: Indices) -> Array:
    """A first guess (4 circuits, N) from the rated state and what is different, by rough sensitivities."""
    rated = unit.start[:, circuits][:, :, draw]
    constants, fins = problem.constants, problem.fins
    rating = {name: value[draw] for name, value in unit.reference.items()}
    wetter = enthalpy(fins.dry_bulb, fins.humidity_ratio) - enthalpy(
        rating["dry_bulb"], rating["humidity_ratio"]
    )
    airflow = fins.flow / unit.coil.rated_dry_air_flow[draw]
    missing = constants.charge - 1.0
    filled = np.clip(rated[3] + np.where(missing < 0.0, 0.9, 1.1) * missing, -0.3, 0.6)
    dirty = constants.air**0.75 * constants.fouling**0.5
    over = (rated[2] - rating["outdoor_dry_bulb"]) / dirty + 25.0 * np.maximum(filled - rated[3], 0.0)
    condensing = np.minimum(problem.outdoor + over * airflow**0.15, constants.highest_condensing + 2.0)
    hotter = problem.outdoor - rating["outdoor_dry_bulb"]
    fed = 0.23e-3 * wetter + 6.0 * np.log(airflow) + 0.08 * hotter
    need = constants.displacement / unit.circuits.displacement[circuits][:, draw] * np.exp(0.034 * fed)
    through = _largest_flow(unit, constants, circuits, draw, condensing - rated[2], fed, filled)
    starved = np.clip(through / need, 0.2, 1.0)
    dew = rated[0] + fed + 12.0 * np.log(starved)
    dry = np.clip(rated[1] + 1.1 * (1.0 - starved), 0.0, 0.7)
    state = np.stack([dew, np.broadcast_to(dry, dew.shape), condensing, filled])
    return state.reshape(-1, state.shape[2])


def _largest_flow(
    unit: UnitConstants,
    constants: Constants,
    circuits: list[int],
    draw: Indices,
    hotter: Array,
    warmer: Array,
    filled: Array,
) -> Array:
    """What the device lets through, over the rated flow: a guess from condensing and suction temperature.

    Pressures rise by 2.3 and 3.2 % per kelvin; that of the evaporator is a third of the condenser's at
    rating.
    """
    drop = np.maximum((np.exp(0.023 * hotter) - 0.36 * np.exp(0.032 * warmer)) / 0.64, 0.05)
    open_square = constants.valve_area / unit.circuits.valve_area[circuits][:, draw]
    open_square = open_square * unit.reserve[circuits][:, draw] ** 2
    sound = unit.circuits.liquid_resistance[circuits][:, draw]
    restriction = (constants.liquid_resistance - sound) / unit.restriction[circuits][:, draw]
    square = open_square * drop / (1.0 + open_square * restriction)
    return np.sqrt(square / (1.0 + 8.0 * np.maximum(-filled, 0.0)))


def first_found(problem: UnitBalance, start: Array) -> Solution:
    """A few iterations from a start, which settle nearly every row, in chunks that stay in the cache.

    They end a step early, and each lets a segment of the coil take one step only: whoever reports the state
    finds out the few rows where that was not enough.
    """
    solution = empty(start)
    limits = _limits(problem)
    for first in range(0, start.shape[1], CHUNK):
        rows = np.arange(first, min(first + CHUNK, start.shape[1]))
        own = problem.take(rows), start[:, rows], limits.take(rows)
        chunk = newton(*own, FIRST_ITERATIONS, QUICK_TOLERANCE)
        _adopt(solution, rows, chunk, np.ones(rows.size, bool))
    return solution


def searched(problem: UnitBalance, start: Array, reached: Array) -> tuple[Solution, Indices]:
    """More iterations for rows that are not settled, then from elsewhere for the rest; branch of each row.

    Parameters
    ----------
    problem : UnitBalance
    start, reached : ndarray, shape (4 circuits, N)
        Where the first iterations began, and where they ended.

    Notes
    -----
    All such rows are pooled, since an iteration costs the same few milliseconds for one row as for a hundred:
    first on from where they are, then from several starts at once.

    A Jacobian whose determinant turns its sign marks the middle one of three states, which no unit would stay
    in: such a row is searched from elsewhere too, and keeps its answer only if no other is found.
    """
    limits = _limits(problem)
    solution = newton(problem, reached, limits, MORE_ITERATIONS)
    return solution, _start_elsewhere(problem, start, limits, solution)


def _start_elsewhere(problem: UnitBalance, start: Array, limits: Limits, solution: Solution) -> Indices:
    """Several starts in one batch for rows not found or found in the middle; the branch of each row.

    Of the starts that find a balance the first counts that is not the middle one, else the first.
    """
    branch = np.zeros(start.shape[1], int)
    middle = solution.converged & (solution.orientation <= 0.0)
    left = np.flatnonzero(~solution.converged | middle)
    if left.size == 0:
        return branch
    low, high = _low_head(problem, start), _high_head(problem, start)
    starts = ((low, 1.0), (start, 0.3), (high, 1.0), (low, 0.3))
    many = np.tile(left, len(starts))
    paced = replace(limits.take(many), pace=np.repeat([pace for _, pace in starts], left.size))
    begin = np.concatenate([state[:, left] for state, _ in starts], axis=1)
    again = newton(problem.take(many), begin, paced, RETRY_ITERATIONS)
    sound = np.zeros(left.size, bool)
    for i in range(len(starts)):
        part = np.arange(i * left.size, (i + 1) * left.size)
        one = Solution(
            again.state[:, part], again.converged[part], again.orientation[part], again.iterations[part]
        )
        better = one.converged & ((one.orientation > 0.0) | ~solution.converged[left]) & ~sound
        _adopt(solution, left, one, better)
        sound |= better & (one.orientation > 0.0)
    branch[left[sound & middle[left]]] = 1
    branch[solution.converged & (solution.orientation <= 0.0)] = 2
    return branch


def _limits(problem: UnitBalance) -> Limits:
    """Ranges of the unknowns (4 circuits, N)."""
    count = len(problem.kind.curves)
    shape = (4, *problem.constants.charge.shape)
    lowest = np.broadcast_to(LOWEST[:, None, None], shape).copy()
    closes = (problem.constants.least_opening == 0.0) & ~problem.constants.orifice
    lowest[1] = np.where(closes & (problem.constants.superheat_set > 0.5), DRY_ENOUGH, lowest[1])
    highest = np.broadcast_to(HIGHEST[:, None, None], shape)
    return Limits(
        step=np.repeat(LARGEST_STEP, count),
        scale=np.repeat(SCALE, count),
        lowest=lowest.reshape(4 * count, -1),
        highest=highest.reshape(4 * count, -1),
        pace=np.ones(shape[2]),
        kink=np.repeat(KINK, count),
    )


def _adopt(solution: Solution, rows: Indices, other: Solution, where: Mask) -> None:
    """Take some rows of another solution over."""
    solution.state[:, rows[where]] = other.state[:, where]
    solution.converged[rows[where]] = other.converged[where]
    solution.orientation[rows[where]] = other.orientation[where]
    solution.iterations[rows] += other.iterations


def _low_head(problem: UnitBalance, start: Array) -> Array:
    """No subcooling, little head, half the coil dry where the device is starved."""
    state = start.reshape(4, len(problem.kind.curves), -1).copy()
    state[1] = np.where(state[1] > 0.2, 0.5, 0.1)
    state[2] = np.maximum(problem.outdoor + 8.0, problem.constants.held_condensing)
    state[3] = 0.02
    return state.reshape(start.shape)


def _high_head(problem: UnitBalance, start: Array) -> Array:
    """Much liquid in the condenser, close to the high-pressure limit."""
    state = start.reshape(4, len(problem.kind.curves), -1).copy()
    state[2] = np.maximum(problem.constants.highest_condensing - 3.0, problem.outdoor + 15.0)
    state[3] = 0.5
    return state.reshape(start.shape)
