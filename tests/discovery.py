"""Finds the modules of a test package that offer a given function."""

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent


def offering(package: str, function: str) -> Iterator[tuple[str, Callable[..., Any]]]:
    """Yield (module name, function) of every module in `package` that defines `function`, by name."""
    paths = importlib.import_module(package).__path__
    for name in sorted(info.name for info in pkgutil.iter_modules(paths)):
        if name == "__main__":
            continue
        found = getattr(importlib.import_module(f"{package}.{name}"), function, None)
        if found is not None:
            yield name, found
