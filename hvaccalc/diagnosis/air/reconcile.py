"""Several measurements of one airflow: combined by the covariance of their draws, outliers named.

Methods share instruments and known points, so their errors go together; weights that take them for
independent claim a band that is too narrow.
"""

from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.practice.statements import FALSE_ALARMS

LEAST_ROWS = 50
_RIDGE = 1e-6


@dataclass(frozen=True, slots=True)
class Method:
    """Airflow by one method, at the return state [m3/s], shape (N + 1,)."""

    name: str
    flow: Array
    basis: str
    note: str


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A method left out, because it cannot be true together with the others.

    Attributes
    ----------
    name : str
    sigmas : float
        How far it lies from what the others say, in its own standard deviations.
    against : tuple of str
        The others.
    """

    name: str
    sigmas: float
    against: tuple[str, ...]


def reconcile(methods: list[Method]) -> tuple[Array, tuple[str, ...], tuple[Disagreement, ...]]:
    """Best linear combination of methods, those left out that disagree.

    Parameters
    ----------
    methods : list of Method
        At least one.

    Returns
    -------
    flow : ndarray, shape (N + 1,)
        [m3/s].
    used : tuple of str
    disagreeing : tuple of Disagreement
        Worst first.

    Notes
    -----
    Generalised least squares on the logarithms (Aitken, Proc. R. Soc. Edinburgh 55, 1936, 42-48), weights
    kept from going negative. A method is tested against all others by its standardised shift (Cook and
    Weisberg, Residuals and Influence in Regression, 1982, section 2.2.2), errors that it shares with them
    cancelling. What shift is too much is read from the draws: the largest one among the methods passes it
    in 3 % of jobs that have nothing wrong. Of two methods at odds the less certain one is left out.
    """
    kept = list(methods)
    disagreeing: list[Disagreement] = []
    while len(kept) > 1:
        worst = _worst(kept)
        if worst is None:
            break
        others = [m for m in kept if m is not worst]
        disagreeing.append(_disagreement(worst, others))
        kept = others
    return _combine(kept), tuple(m.name for m in kept), tuple(disagreeing)


def _logs(methods: list[Method]) -> tuple[Array, Mask]:
    """Logarithms, shape (methods, N + 1), and which draws all methods have."""
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(np.array([m.flow for m in methods]))
    finite = np.all(np.isfinite(logs), axis=0)
    finite[0] = False
    return logs, finite


def _covariance(logs: Array, finite: Mask) -> Array:
    covariance = np.atleast_2d(np.cov(logs[:, finite]))
    return covariance + _RIDGE * np.trace(covariance) * np.eye(len(covariance)) + 1e-15 * np.eye(len(logs))


def _worst(methods: list[Method]) -> Method | None:
    """The method with the largest standardised shift where that is too large to be chance."""
    logs, finite = _logs(methods)
    if np.count_nonzero(finite) < LEAST_ROWS:
        return None
    precision = np.linalg.inv(_covariance(logs, finite))
    total = precision.sum(axis=1)
    residual = precision - np.outer(total, total) / total.sum()
    spread = np.sqrt(np.maximum(np.diag(residual), 1e-300))[:, None]
    centred = logs[:, finite] - logs[:, finite].mean(axis=1, keepdims=True)
    by_chance = np.abs(residual @ centred / spread).max(axis=0)
    shifts = np.abs(residual @ logs[:, :1] / spread)[:, 0]
    if shifts.max() <= np.quantile(by_chance, 1.0 - FALSE_ALARMS):
        return None
    widths = logs[:, finite].std(axis=1)
    return methods[max(range(len(methods)), key=lambda i: (round(float(shifts[i]), 6), widths[i]))]


def _disagreement(method: Method, others: list[Method]) -> Disagreement:
    logs, finite = _logs([method])
    off = logs[0, 0] - np.log(_combine(others)[0])
    own = logs[0, finite].std()
    sigmas = float(abs(off) / own) if own > 0.0 else float("inf")
    return Disagreement(method.name, sigmas, tuple(other.name for other in others))


def _combine(methods: list[Method]) -> Array:
    if len(methods) == 1:
        return methods[0].flow
    logs, finite = _logs(methods)
    if np.count_nonzero(finite) < LEAST_ROWS:
        return min(methods, key=lambda m: np.nanstd(np.log(m.flow[1:]))).flow
    weights = _weights(_covariance(logs, finite))
    # A method without weight has no say, nor do the draws in which it fails.
    return np.exp(weights[weights > 0.0] @ logs[weights > 0.0])


def _weights(covariance: Array) -> Array:
    """Weights of least variance that sum to 1, none below zero."""
    active = np.ones(len(covariance), dtype=bool)
    while True:
        solved = np.linalg.solve(covariance[np.ix_(active, active)], np.ones(active.sum()))
        weights = np.zeros(len(covariance))
        weights[active] = solved / solved.sum()
        if weights.min() >= 0.0:
            return weights
        active[np.argmin(weights)] = False
