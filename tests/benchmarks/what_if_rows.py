"""``what-if --rows``, a thousand rows in a cold process, beside what the solver needs for as many states."""

import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.commands import DEMO
from tests.discovery import ROOT

ROWS = 1000
PER_STATE = 60e-6
"""What the coupled unit may take for a state in the realistic box [s]."""

RUNS = (("512 draws", ("--draws", "512"), 513, 40.0), ("no bands", ("--no-bands",), 1, 4.0))


def written(path: Path, count: int) -> Path:
    """A file of rows in weather and at fan speeds that the demo may see."""
    draw = random.Random(1)
    lines = ["outdoor_dry_bulb,return_dry_bulb,return_relative_humidity,fan_frequency,calls"]
    for _ in range(count):
        air = f"{draw.uniform(65, 100):.1f} degF,{draw.uniform(70, 80):.1f} degF,{draw.uniform(35, 65):.0f} %"
        lines.append(f"{air},{draw.uniform(36, 60):.1f} Hz,{draw.choice(('cool 1', 'cool 1;cool 2'))}")
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def spent(*arguments: str) -> tuple[float, float]:
    """Processor time [s] and largest resident memory [MB] of one command."""
    command = [sys.executable, "-m", "hvaccalc", *arguments]
    run = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(run.pid, 0)
    run.returncode = os.waitstatus_to_exitcode(status)
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024.0


def rows() -> Iterator[tuple[str, str, str, str]]:
    """A thousand rows with bands of 512 draws and without; targets 40 s and 4 s."""
    with tempfile.TemporaryDirectory() as folder:
        file = written(Path(folder) / "rows.csv", ROWS)
        for name, options, states, target in RUNS:
            taken, memory = spent("what-if", DEMO, "--rows", str(file), "--json", *options)
            what = f"what-if, {ROWS} rows, {name}, cold"
            note = f"target {target:.0f} s; {memory:.0f} MB; baseline: 60 µs a state"
            yield what, f"{taken:.1f} s", f"{ROWS * states * PER_STATE:.1f} s", note
