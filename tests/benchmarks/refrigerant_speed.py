"""Refrigerant properties from coefficients beside numpy's own log and exp on the same array."""

import json
from collections.abc import Callable, Iterator

import numpy as np

from hvaccalc.physics.refrigerant import from_record, refrigerant
from hvaccalc.resources import data_path
from tests.benchmarks.timing import best_seconds

COUNT = 1_000_000


def load() -> None:
    """Read the coefficient file and build every refrigerant in it, caches left aside."""
    file = json.loads(data_path("refrigerants.json").read_text("utf-8"))
    for record in file["refrigerants"].values():
        from_record(record)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Million values per second for arrays of a million, and the time to load the file."""
    r410a = refrigerant("R-410A")
    hot = r410a.critical_temperature - 10.0
    temperature = np.random.default_rng(0).uniform(233.15, hot, COUNT)
    pressure = r410a.dew_pressure(temperature)
    baseline = best_seconds(lambda: np.exp(np.log(pressure)))
    work: dict[str, Callable[[], object]] = {
        "dew temperature": lambda: r410a.dew_temperature(pressure),
        "bubble temperature": lambda: r410a.bubble_temperature(pressure),
        "dew pressure": lambda: r410a.dew_pressure(temperature),
        "superheat": lambda: temperature + 10.0 - r410a.dew_temperature(pressure),
        "saturated liquid: density, h, s": lambda: r410a.saturated_liquid(temperature),
        "vapour: density, h, s": lambda: r410a.vapour(pressure, temperature + 10.0),
    }
    for name, run in work.items():
        seconds = best_seconds(run)
        rate, reference = COUNT / seconds / 1e6, COUNT / baseline / 1e6
        note = f"{seconds / baseline:.1f} x the time of np.log then np.exp"
        yield f"refrigerant {name}", f"{rate:.1f} M/s", f"{reference:.1f} M/s", note
    read = best_seconds(lambda: data_path("refrigerants.json").read_bytes())
    yield "refrigerant file load", f"{best_seconds(load) * 1e3:.2f} ms", f"{read * 1e3:.2f} ms", "bare read"
