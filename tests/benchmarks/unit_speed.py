"""The two-circuit balance by row, beside the coil alone at given saturations on the same rows.

Energy is within 0.1 % on every row given; both stages run unless said. Rows of a batch of ten thousand.
"""

import dataclasses
import time
from collections.abc import Callable, Iterator

import numpy as np

from hvaccalc.equipment.coil import cooling_coil
from hvaccalc.equipment.unit.unit_state import NOT_CONVERGED
from tests.unit_boxes import extreme, realistic, unit, wide

COUNT = 10_000
REPEATS = 3


def best_seconds(work: Callable[[], object]) -> float:
    """Shortest of a few runs [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Microseconds per row."""
    for box in (realistic, wide, extreme):
        conditions, faults = box(COUNT)
        for circuiting in ("interlaced", "face split", "row split"):
            model = unit(circuiting=circuiting)
            cases = {"both stages": None, "one stage": np.array([True, False])}
            for stages, running in cases.items():
                own = dataclasses.replace(conditions, running=running)
                states = model.solve(own, faults)
                seconds = best_seconds(lambda m=model, c=own, f=faults: m.solve(c, f))
                bare = best_seconds(lambda m=model, c=own, s=states: coil_alone(m, c, s))
                note = (
                    f"settled {(states.reason != NOT_CONVERGED).mean():.2%}, "
                    f"energy within {np.nanmax(np.abs(states.energy_residual)):.0e}"
                )
                name = f"unit, {box.__name__}, {circuiting}, {stages}"
                yield name, f"{seconds / COUNT * 1e6:.0f} us", f"{bare / COUNT * 1e6:.0f} us", note
    yield single()


def coil_alone(model, conditions, states) -> cooling_coil.CoilState:
    """The calibrated coil at the solved saturations, rows refused included."""
    return cooling_coil.solve(
        model.constants.coil,
        conditions.return_dry_bulb,
        conditions.return_humidity_ratio,
        conditions.barometer,
        conditions.dry_air_flow,
        list(states.suction_saturation),
        [0.5, 0.5],
        str(model.constants.circuiting[0]),
    )


def single() -> tuple[str, str, str, str]:
    """One row alone: what a slider waits for."""
    conditions, faults = realistic(1)
    model = unit()
    seconds = best_seconds(lambda: model.solve(conditions, faults))
    states = model.solve(conditions, faults)
    bare = best_seconds(lambda: coil_alone(model, conditions, states))
    return "unit, one row alone", f"{seconds * 1e3:.1f} ms", f"{bare * 1e3:.1f} ms", "fixed cost of a call"
