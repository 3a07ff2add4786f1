"""Laws of the water budget on a set of draws: paths of drops beside a solver, sweating, drain and trap."""

from collections.abc import Iterator

import numpy as np

from hvaccalc.equipment.drain import drain_line, trap
from hvaccalc.physics import droplets
from hvaccalc.physics import surface_condensation as sweating
from tests.benchmarks.timing import best_seconds
from tests.published.test_droplets import landing

DRAWS = 512


def rows() -> Iterator[tuple[str, str, str, str]]:
    """The whole budget has 300 ms for 512 draws: these laws are to take a tenth of it."""
    spread = np.random.default_rng(1)
    sizes, winds = spread.uniform(0.3e-3, 5e-3, DRAWS), spread.uniform(1.5, 4.0, DRAWS)
    paths = best_seconds(lambda: droplets.carried_distance(sizes, winds, 0.3))
    solver = best_seconds(lambda: [landing(*pair, 0.3) for pair in zip(sizes[:8], winds[:8], strict=True)])
    yield (
        f"{DRAWS} drops carried",
        f"{paths * 1e3:.2f} ms",
        f"{solver * DRAWS / 8 * 1e3:.0f} ms",
        "baseline: scipy's solve_ivp, 8 drops scaled up",
    )
    humid = spread.uniform(0.008, 0.018, DRAWS)
    wet = best_seconds(
        lambda: sweating.wet_surface_temperature(300.0, 285.0, humid, 101325.0, 0.3, spread.uniform(7, 10))
    )
    yield f"{DRAWS} sweating surfaces", f"{wet * 1e3:.2f} ms", "–", "by bisection"
    suction, slope = spread.uniform(50.0, 700.0, DRAWS), spread.uniform(0.005, 0.02, DRAWS)

    def drain_and_trap():
        return drain_line.drain_capacity(0.01905, slope), trap.required_height(suction)

    yield f"{DRAWS} drains and traps", f"{best_seconds(drain_and_trap) * 1e3:.3f} ms", "–", ""
