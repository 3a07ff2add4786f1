"""Newton for many small systems at once, each row on its own path.

A row's answer does not depend on its neighbours: its steps, damping and end are its own, rows only share the
array operations. Rows that are done leave the batch.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from hvaccalc.arrays import Array, Indices, Mask

TOLERANCE = 1e-5
PATIENCE = 3
LEAST_DAMPING = 0.05
JUST_BEYOND = 2e-3


@dataclass(frozen=True)
class Limits:
    """How unknowns may move; (U,) and (U, N).

    Attributes
    ----------
    step, scale : ndarray, shape (U,)
        Largest Newton step, and usual size.
    lowest, highest : ndarray, shape (U, N)
        Range.
    pace : ndarray, shape (N,)
        Factor on the largest step of a row.
    kink : ndarray of bool, shape (U,)
        Unknowns whose equations bend at 0: a step that would cross ends just beyond.
    """

    step: Array
    scale: Array
    lowest: Array
    highest: Array
    pace: Array
    kink: Array

    def take(self, rows: Indices | Mask) -> Limits:
        """Some rows."""
        return replace(self, lowest=self.lowest[:, rows], highest=self.highest[:, rows], pace=self.pace[rows])

    def moved(self, state: Array, step: Array) -> Array:
        """A state after a step, within the range, at most just across a kink."""
        trial = np.clip(state + step, self.lowest, self.highest)
        bent = trial[self.kink]
        before = state[self.kink]
        crossing = (bent * before < 0.0) & (np.abs(before) > JUST_BEYOND)
        trial[self.kink] = np.where(crossing, np.copysign(np.minimum(np.abs(bent), JUST_BEYOND), bent), bent)
        return trial


class System(Protocol):
    """Rows of equations."""

    def take(self, rows: Indices | Mask) -> System:
        """Some rows."""

    def evaluate(self, flat: Array) -> tuple[Array, Array]:
        """Residuals (U, N) and Jacobian (N, U, U) at a state (U, N)."""


@dataclass
class Solution:
    """States (U, N); by row whether it is found, the sign of the Jacobian's determinant, iterations."""

    state: Array
    converged: Mask
    orientation: Array
    iterations: Indices


def empty(start: Array) -> Solution:
    """Nothing found yet."""
    total = start.shape[1]
    return Solution(start.copy(), np.zeros(total, bool), np.ones(total), np.zeros(total, int))


def newton(
    system: System, start: Array, limits: Limits, count: int, tolerance: float = TOLERANCE
) -> Solution:
    """Damped Newton.

    Parameters
    ----------
    system : System
    start : ndarray, shape (U, N)
    limits : Limits
    count : int
        Most iterations.
    tolerance : float
        Largest residual of a row that is found, before the last step is taken.

    Returns
    -------
    Solution
        With the last step taken on convergence, so that the error is that of the next iteration.

    Notes
    -----
    After a few iterations a row that does not get on is damped: its factor halves where the residual fell by
    less than 30 %, else doubles up to 1. That ends cycles between the branches of a minimum or maximum.
    """
    result, total = empty(start), start.shape[1]
    state = result.state
    rows, factor, previous = np.arange(total), np.ones(total), np.full(total, np.inf)
    part, bounds = system, limits
    for iteration in range(count):
        residual, jacobian = part.evaluate(state[:, rows])
        error = np.abs(residual).max(axis=0)
        error = np.where(np.isfinite(error), error, np.inf)
        result.iterations[rows] = iteration + 1
        if iteration >= PATIENCE:
            halve = error > 0.7 * previous
            factor = np.clip(np.where(halve, 0.5 * factor, 2.0 * factor), LEAST_DAMPING, 1.0)
        step = _solve(jacobian, -residual)
        done = error < tolerance
        result.converged[rows] = done
        largest = bounds.step[:, None] * bounds.pace
        step = np.clip(step * np.where(done, 1.0, factor), -largest, largest)
        state[:, rows] = bounds.moved(state[:, rows], step)
        if done.any():
            result.orientation[rows[done]] = np.linalg.slogdet(jacobian[done])[0]
            keep = ~done
            rows, factor, error = rows[keep], factor[keep], error[keep]
            if rows.size == 0:
                break
            part, bounds = part.take(keep), bounds.take(keep)
        previous = error
    return result


def _solve(jacobian: Array, right: Array) -> np.ndarray:
    """Solve each row; a singular or broken one takes no step."""
    try:
        return np.linalg.solve(jacobian, right.T[..., None])[..., 0].T
    except np.linalg.LinAlgError:
        determinant = np.linalg.det(jacobian)
        solvable = np.isfinite(determinant) & (determinant != 0.0)
        step = np.zeros_like(right)
        step[:, solvable] = np.linalg.solve(jacobian[solvable], right.T[solvable][..., None])[..., 0].T
        return step
