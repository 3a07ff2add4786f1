"""Within a session the same unit in the same conditions is solved once: most jobs of the tests share theirs.

Calibration and solver are pure. A test that patches anything solves anew and keeps nothing; the tests of the
laws, and commands in processes of their own, never meet this.
"""

import hashlib
import pickle
from collections.abc import Callable, Iterator
from functools import wraps
from typing import Any

import pytest

from hvaccalc.equipment.unit import unit_model, unit_solution

MOST_KEPT = 500


def once(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function, its results kept by the content of what it is given."""
    kept: dict[bytes, Any] = {}

    @wraps(function)
    def answer(*given: object) -> Any:
        key = hashlib.sha256(pickle.dumps(given)).digest()
        if key not in kept:
            if len(kept) == MOST_KEPT:
                del kept[next(iter(kept))]
            kept[key] = function(*given)
        return kept[key]

    return answer


SOLVING = [(unit_model, "from_rating"), (unit_solution, "solve")]
PLAIN = [getattr(module, name) for module, name in SOLVING]
KEPT = [once(function) for function in PLAIN]


def _use(functions: list[Callable[..., Any]]) -> None:
    for (module, name), function in zip(SOLVING, functions, strict=True):
        setattr(module, name, function)


@pytest.fixture(scope="module", autouse=True)
def solved_once() -> Iterator[None]:
    _use(KEPT)
    yield
    _use(PLAIN)


@pytest.fixture(autouse=True)
def solved_anew_where_patched(request: pytest.FixtureRequest) -> Iterator[None]:
    patches = "monkeypatch" in request.fixturenames
    if patches:
        _use(PLAIN)
    yield
    if patches:
        _use(KEPT)
