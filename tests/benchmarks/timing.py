"""Time of a piece of work: the shortest of a few runs, which the rest of the machine disturbs least."""

import time
from collections.abc import Callable

REPEATS = 5


def best_seconds(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """Shortest of a few runs [s]."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)
