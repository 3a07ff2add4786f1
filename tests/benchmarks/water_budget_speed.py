"""The whole water budget with 512 draws, and once more at another fan speed as a slider asks."""

import statistics
import time
from collections.abc import Iterator

from hvaccalc import analyse, load_job
from hvaccalc.diagnosis.water.budget import water_budget, weigh
from hvaccalc.diagnosis.water.water_case import changed
from hvaccalc.resources import data_path

REPEATS = 9


def _median(call) -> float:
    """Median time of a call [ms]."""
    taken = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        call()
        taken.append(1e3 * (time.perf_counter() - start))
    return statistics.median(taken)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Budget beside the conditions that it stands on."""
    for name in ("library_hall", "clinic_attic"):
        job = load_job(data_path("jobs", f"{name}.toml"))
        analysis = analyse(job)
        start = time.perf_counter()
        conditions = analysis.conditions
        base = 1e3 * (time.perf_counter() - start)
        outlook = analysis.forecast
        found = water_budget(analysis.draws, conditions, outlook)
        assert found is not None
        whole = _median(lambda: water_budget(analysis.draws, conditions, outlook))  # noqa: B023
        slid = _median(lambda: weigh(changed(found.case, speed=0.8)))  # noqa: B023
        note = "target 300 ms with 512 draws"
        yield f"water budget, {name}", f"{whole:.0f} ms", f"{base:.0f} ms conditions", note
        yield f"water budget at another speed, {name}", f"{slid:.0f} ms", f"{whole:.0f} ms", "slider: 30 ms"
