"""What the package shows of a job: its findings as data, both memos as pages.

``python tests/outputs.py DRAWS FILE …`` prints them as JSON, with whichever package Python finds.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from hvaccalc import analyse, load_job
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
    analysis = analyse(job, draws)
    pages = {f"memo, {who}": html.page(memo.blocks(analysis, who), "memo") for who in AUDIENCES}
    return {"findings": json.dumps(analysis.as_dict(), indent=1), **pages}


if __name__ == "__main__":
    draws, *files = sys.argv[1:]
    print(json.dumps({Path(file).stem: shown(load_job(file), int(draws)) for file in files}))
