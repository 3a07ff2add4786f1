"""Whole commands in cold processes, beside what their libraries alone cost to import."""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from hvaccalc.second_opinion.process import WORKER
from tests.discovery import ROOT

REPEATS = 5
DEMO = "data/jobs/library_hall.toml"
CONDITIONS = 200
BIG_BYTES = 600_000

FINDINGS_BASE = "import numpy, pydantic, tomlkit, typer"
MEMO_BASE = FINDINGS_BASE + ", matplotlib.figure"
# The second opinion's libraries load in a process of their own, beside the rest.
OPINION_BASE = "import psychrolib, CoolProp"
QUESTION = b'{"dew": {"ask": "dew", "of": {"fluid": "R410A", "pressure": 1e6}}}\n'


def cold(*arguments: str) -> float:
    """Wall time of one process [s]."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True, check=True)
    return time.perf_counter() - start


def pair(arguments: list[str], base: str, repeats: int = REPEATS) -> tuple[float, float]:
    """Median of a command and of its baseline, taken in turns [s]."""
    turns = [(cold(*arguments), cold("-c", base)) for _ in range(repeats)]
    return statistics.median(t for t, _ in turns), statistics.median(b for _, b in turns)


def peak(*arguments: str, stdin: bytes = b"") -> float:
    """Largest resident memory of one process [MB]."""
    with tempfile.TemporaryFile() as given:
        given.write(stdin)
        given.seek(0)
        run = subprocess.Popen([sys.executable, *arguments], cwd=ROOT, stdin=given, stdout=subprocess.DEVNULL)
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
    return usage.ru_maxrss / 1024.0


def memory(folder: str) -> tuple[str, str, str, str]:
    """Both processes of a memo at once, at most: the sum of their own peaks."""
    memo = peak("-m", "hvaccalc", "memo", DEMO, "-o", folder, "--for", "customer")
    libraries = peak(str(WORKER), "psychrolib", "CoolProp", stdin=QUESTION)
    base = peak("-c", MEMO_BASE)
    name, note = "memo with second opinion, demo, memory", f"{libraries:.0f} MB of it the libraries'"
    return name, f"{memo + libraries:.0f} MB", f"{base:.0f} MB", note


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
    """``findings`` and ``memo`` on the demo, and ``findings`` on a large job; memory of a memo."""
    with tempfile.TemporaryDirectory() as folder:
        big = Path(folder) / "big.toml"
        big.write_text(big_job(), "utf-8")
        runs = [
            ("findings, demo, cold", ["-m", "hvaccalc", "findings", DEMO], FINDINGS_BASE),
            (
                "memo for the customer, demo, cold",
                ["-m", "hvaccalc", "memo", DEMO, "-o", folder, "--for", "customer"],
                MEMO_BASE,
            ),
            (
                "memo with second opinion, demo, cold",
                ["-m", "hvaccalc", "memo", DEMO, "-o", folder],
                OPINION_BASE,
            ),
            (
                f"findings, {CONDITIONS} conditions, {big.stat().st_size / 1e6:.2f} MB, cold",
                ["-m", "hvaccalc", "findings", str(big)],
                FINDINGS_BASE,
            ),
        ]
        for name, arguments, base in runs:
            # The big job takes a minute: once tells enough.
            measured, baseline = pair(arguments, base, 1 if str(big) in arguments else REPEATS)
            yield name, f"{measured:.2f} s", f"{baseline:.2f} s", f"{measured / baseline:.1f} x the imports"
        yield memory(folder)
