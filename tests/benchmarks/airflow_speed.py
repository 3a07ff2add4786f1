"""Reconciliation of the airflow methods beside one plain mean of the same draws."""

from collections.abc import Iterator

import numpy as np

from hvaccalc.diagnosis.air.reconcile import Method, reconcile
from hvaccalc.ensemble import Ensemble
from tests.benchmarks.timing import best_seconds

DRAWS, METHODS = 512, 8


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Eight methods with a shared instrument, one of them wrong; target 50 ms."""
    ensemble = Ensemble(1, DRAWS)
    shared = ensemble.normal("shared", 0.0, 0.03)
    flows = [np.exp(shared + ensemble.normal(str(n), 0.3 * (n == 0), 0.04)) for n in range(METHODS)]
    methods = [Method(str(n), flow, "measured", "") for n, flow in enumerate(flows)]
    taken, mean = best_seconds(lambda: reconcile(methods)), best_seconds(lambda: np.mean(flows, axis=0))
    what = f"reconcile {METHODS} methods, {DRAWS} draws"
    yield what, f"{taken * 1e3:.2f} ms", f"{mean * 1e3:.2f} ms", "target 50 ms; baseline: their plain mean"
