"""What ``import hvaccalc`` costs beside a bare ``import numpy``."""

import statistics
import subprocess
import sys
from collections.abc import Iterator

from tests.discovery import ROOT

REPEATS = 7


def seconds(statement: str) -> float:
    """Time of one statement in a fresh interpreter, the interpreter's own start left out [s]."""
    code = (
        f"from time import perf_counter\nstart = perf_counter()\n{statement}\nprint(perf_counter() - start)"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return float(run.stdout)


def medians(*statements: str) -> list[float]:
    """Median time of each statement, taken in turns so that a slow moment hits them all alike [s]."""
    for statement in statements:
        seconds(statement)
    turns = [[seconds(statement) for statement in statements] for _ in range(REPEATS)]
    return [statistics.median(times) for times in zip(*turns, strict=True)]


def rows() -> Iterator[tuple[str, str, str, str]]:
    """The bare import, and the first use of the array code, against numpy."""
    statements = ["import hvaccalc", "from hvaccalc import units, errors"]
    baseline, *measured = medians("import numpy", *statements)
    for statement, time in zip(statements, measured, strict=True):
        yield statement, f"{time * 1e3:.1f} ms", f"{baseline * 1e3:.1f} ms", f"{time / baseline:.2f} x"
