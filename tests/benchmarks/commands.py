"""Whole commands in cold processes, beside what their libraries alone cost to import."""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.discovery import ROOT

REPEATS = 5
DEMO = "data/jobs/library_hall.toml"
CONDITIONS = 200
BIG_BYTES = 600_000

FINDINGS_BASE = "import numpy, scipy.special, pydantic, tomlkit, typer"
MEMO_BASE = FINDINGS_BASE + ", matplotlib.figure"


def cold(*arguments: str) -> float:
    """Wall time of one process [s]."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True, check=True)
    return time.perf_counter() - start


def pair(arguments: list[str], base: str) -> tuple[float, float]:
    """Median of a command and of its baseline, taken in turns [s]."""
    turns = [(cold(*arguments), cold("-c", base)) for _ in range(REPEATS)]
    return statistics.median(t for t, _ in turns), statistics.median(b for _, b in turns)


def big_job() -> str:
    """A job of 200 conditions in about 0.6 MB, written like the demo's."""
    text = (ROOT / DEMO).read_text("utf-8")
    head, _, visits = text.partition("[[visit]]")
    # A second part of the demo's first visit: its first condition, with all its readings.
    condition = "[[visit.condition]]" + visits.split("[[visit.condition]]")[1]
    body = head + "[[visit]]\ndate = 2026-06-18\n\n" + condition * CONDITIONS
    padding = "# a note of the engineer's, as people leave them in files\n"
    return body + padding * max(0, (BIG_BYTES - len(body.encode())) // len(padding))


def rows() -> Iterator[tuple[str, str, str, str]]:
    """``findings`` and ``memo`` on the demo, and ``findings`` on a large job."""
    with tempfile.TemporaryDirectory() as folder:
        big = Path(folder) / "big.toml"
        big.write_text(big_job(), "utf-8")
        runs = [
            ("findings, demo, cold", ["-m", "hvaccalc", "findings", DEMO], FINDINGS_BASE),
            ("memo, demo, cold", ["-m", "hvaccalc", "memo", DEMO, "-o", folder], MEMO_BASE),
            (
                f"findings, {CONDITIONS} conditions, {big.stat().st_size / 1e6:.2f} MB, cold",
                ["-m", "hvaccalc", "findings", str(big)],
                FINDINGS_BASE,
            ),
        ]
        for name, arguments, base in runs:
            measured, baseline = pair(arguments, base)
            yield name, f"{measured:.2f} s", f"{baseline:.2f} s", f"{measured / baseline:.1f} x the imports"
