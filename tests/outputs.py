"""What the package shows of a job: its findings as data, both memos as pages.

``python -P tests/outputs.py DRAWS FILE …`` prints them as JSON, with whichever package Python finds; what
that package refuses, or breaks on, stands in place of the output.
"""

from __future__ import annotations

import json
import sys
import traceback
from collections.abc import Callable
from pathlib import Path

import hvaccalc
from hvaccalc import analyse, load_job
from hvaccalc.errors import HvacCalcError
from hvaccalc.job.schema import Job
from hvaccalc.report import html, memo

AUDIENCES = ("customer", "file")

DATA = Path(__file__).resolve().parent.parent / "data"


def demos() -> list[Path]:
    """Every job file that travels with the package."""
    files = sorted([*(DATA / "jobs").glob("*.toml"), *(DATA / "measured").glob("*.toml")])
    return [path for path in files if not path.name.endswith(".truth.toml")]


def shown(job: Job, draws: int = 512) -> dict[str, str]:
    """Findings and memos of a job, by name. Without the second opinion, which has a process of its own."""
    return {name: make() for name, make in _makers(job, draws).items()}


def _makers(job: Job, draws: int) -> dict[str, Callable[[], str]]:
    analysis = analyse(job, draws)

    def page(who: str) -> Callable[[], str]:
        return lambda: html.page(memo.blocks(analysis, who), "memo")

    data = {"findings": lambda: json.dumps(analysis.as_dict(), indent=1)}
    return data | {f"memo, {who}": page(who) for who in AUDIENCES}


def _shown_of_file(path: str, draws: int) -> dict[str, str]:
    try:
        makers = _makers(load_job(path), draws)
    except HvacCalcError as error:
        return {"refused": str(error)}
    return {name: _made(make) for name, make in makers.items()}


def _made(make: Callable[[], str]) -> str:
    """An output, or where the package broke: the last frame names no line, which moves with every edit."""
    try:
        return make()
    except Exception as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        return json.dumps({"broke": f"{type(error).__name__}: {error}", "in": frame.name})


if __name__ == "__main__":
    draws, *files = sys.argv[1:]
    of_files = {file: _shown_of_file(file, int(draws)) for file in files}
    print(json.dumps({"package": str(Path(hvaccalc.__file__).parent), "outputs": of_files}))
