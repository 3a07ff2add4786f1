"""Refrigerant on board: 2,000 draws of both circuits, and one step of the panel's slider.

The baseline is the bare library: the void fractions of as many draws, qualities and coils, nothing else.
"""

from collections.abc import Iterator

import numpy as np

from hvaccalc import load_job, units
from hvaccalc.diagnosis.condition import diagnose
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.equipment.circuit.charge_inventory import GAUSS_POINTS, MODELS, mean_void_fraction
from hvaccalc.resources import data_path
from hvaccalc.service.refrigerant.inventory import inventory
from hvaccalc.service.refrigerant.inventory_study import at_ambient, inventory_study, retyped
from tests.benchmarks.timing import best_seconds

DRAWS = 2000


def bare() -> None:
    """Void fractions of two coils of two circuits, each draw by one of the models."""
    share = np.ones(4 * DRAWS // len(MODELS))
    for name in MODELS:
        mean_void_fraction(name, 0.2 * share, share, 950.0 * share, 110.0 * share)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Milliseconds."""
    job = load_job(data_path("jobs", "library_hall.toml"))
    draws = Draws(job, DRAWS)
    results = tuple(diagnose(draws, where) for where, _ in draws.conditions())
    seconds = best_seconds(lambda: inventory(draws, results))
    note = f"two circuits, three states each, {GAUSS_POINTS} qualities"
    yield f"inventory, {DRAWS} draws", f"{seconds * 1e3:.0f} ms", f"{best_seconds(bare) * 1e3:.0f} ms", note
    study = retyped(inventory_study(job), "2", {"volume": units.parse("0.8 ft3", "volume")})
    seconds = best_seconds(lambda: at_ambient(study, 305.0))
    yield "inventory, slider to another ambient", f"{seconds * 1e3:.1f} ms", "30 ms asked", "512 draws"
