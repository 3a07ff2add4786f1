"""``python -m tests.compare REV [NAME …] [--draws N]``: what changed since a revision.

A name, or a part of one, chooses among the jobs. Ends with 1 where a reader would see a change.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.compare.generated_jobs import generated_jobs
from tests.compare.two_visits import two_visit_jobs
from tests.discovery import ROOT
from tests.outputs import DATA, demos
from tests.sameness import data_differences, page_differences

DRAWS = 96
"""Enough for every branch of the memo; the demos of the package are checked with more by the tests."""

MOST = 12
"""Changes named of one output."""

_MOVED = re.compile(r"(.+?): was: (-?[\d.]+(?:e[-+]?\d+)?) \| now: (-?[\d.]+(?:e[-+]?\d+)?)$")
_OF_A_FINDING = re.compile(r"^\.findings\.[^:]*\.(?=\w+: )")

Outputs = dict[str, dict[str, str]]


def jobs(folder: Path, wanted: list[str]) -> dict[str, Path]:
    """Job files by name: of this tree's data, then generated into the folder."""
    files = {path.stem: path for path in demos()}
    for name, text in {**generated_jobs(), **two_visit_jobs()}.items():
        files[name] = folder / f"{name}.toml"
        files[name].write_text(text, "utf-8")
    chosen = {name: path for name, path in files.items() if not wanted or any(w in name for w in wanted)}
    return chosen


def started(tree: Path, files: dict[str, Path], draws: int) -> subprocess.Popen[str]:
    """A run of one tree's package over the jobs; its own copy of the demos where it has one."""
    paths = [tree / path.relative_to(ROOT) if path.is_relative_to(DATA) else path for path in files.values()]
    return subprocess.Popen(
        [sys.executable, "-P", str(ROOT / "tests" / "outputs.py"), str(draws), *map(str, paths)],
        env={**os.environ, "PYTHONPATH": str(tree), "OPENBLAS_NUM_THREADS": "1"},
        stdout=subprocess.PIPE,
        text=True,
    )


def ended(run: subprocess.Popen[str], tree: Path, files: dict[str, Path]) -> Outputs:
    """Outputs by the name of the job."""
    printed, _ = run.communicate()
    if run.returncode:
        sys.exit(f"the package in {tree} does not run")
    data = json.loads(printed)
    assert Path(data["package"]) == tree / "hvaccalc", "another package was found"
    return dict(zip(files, data["outputs"].values(), strict=True))


def changes(was: dict[str, str], now: dict[str, str]) -> Iterator[tuple[str, str, list[str]]]:
    """Name, state and differences of each output of one job."""
    for name in {**was, **now}:
        if name not in was or name not in now:
            state = f"only {'now' if name in now else 'before'}"
            yield name, state, [(now if name in now else was)[name]] if name == "refused" else []
        elif was[name] == now[name]:
            yield name, "identical", []
        else:
            found = differences(name, was[name], now[name])
            yield name, "changed" if found else "same to a reader", found


def differences(name: str, was: str, now: str) -> list[str]:
    """What a reader of the output sees changed; an output on which the package broke is data."""
    pages = name.startswith("memo") and was.startswith("<") and now.startswith("<")
    if pages:
        return page_differences(was, now)
    if name == "refused" or was.startswith("<") or now.startswith("<"):
        return [f"was: {was[:300]} | now: {now[:300]}"]
    return together(data_differences(by_id(json.loads(was)), by_id(json.loads(now)), most=100_000))


def by_id(value: object) -> object:
    """Lists of findings as tables by their id, so that one more does not shift all that follow."""
    if isinstance(value, dict):
        return {key: by_id(one) for key, one in value.items()}
    if isinstance(value, list) and value and all(isinstance(one, dict) and "id" in one for one in value):
        ids = [one["id"] for one in value]
        if len(set(ids)) == len(ids):
            return {one["id"]: by_id(one) for one in value}
    return value


def together(found: list[str]) -> list[str]:
    """The same change in many findings, once; raw numbers by how far they moved."""
    alike: dict[str, list[str]] = {}
    moved: list[tuple[float, str]] = []
    for one in found:
        if number := _MOVED.match(one):
            was, now = float(number[2]), float(number[3])
            moved.append((abs(now - was) / max(abs(was), abs(now)), number[1]))
        else:
            alike.setdefault(_OF_A_FINDING.sub(".findings.*.", one), []).append(one)
    told = [
        every[0] if len(every) == 1 else f"{pattern} ({len(every)} times)" for pattern, every in alike.items()
    ]
    if moved:
        share, place = max(moved)
        told.append(f"{len(moved)} numbers moved, by {share:.2g} of themselves at most: {place}")
    return told


def report(was: Outputs, now: Outputs) -> int:
    """Print what changed; how many outputs did."""
    counted = {"identical": 0, "same to a reader": 0, "changed": 0}
    for job in now:
        for name, state, found in changes(was[job], now[job]):
            counted[state if state in counted else "changed"] += 1
            if state in ("identical", "same to a reader"):
                continue
            print(f"{job}, {name}: {state}")
            for one in found[:MOST]:
                print(f"    {one}")
            if len(found) > MOST:
                print(f"    … and {len(found) - MOST} more")
    told = ", ".join(f"{number} {state}" for state, number in counted.items())
    print(f"{len(now)} jobs, {sum(counted.values())} outputs: {told}")
    return counted["changed"]


def main() -> int:
    """Compare this tree with a revision."""
    parser = argparse.ArgumentParser(prog="python -m tests.compare", description=__doc__)
    parser.add_argument("revision")
    parser.add_argument("names", nargs="*", metavar="NAME", help="a part of a job's name")
    parser.add_argument("--draws", type=int, default=DRAWS)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        files = jobs(folder, chosen.names)
        if not files:
            parser.error(f"no job is named like {', '.join(chosen.names)}")
        tree = folder / "tree"
        git = ["git", "-C", str(ROOT), "worktree"]
        subprocess.run([*git, "add", "-q", "--detach", str(tree), chosen.revision], check=True)
        try:
            runs = {place: started(place, files, chosen.draws) for place in (tree, ROOT)}
            outputs = [ended(run, place, files) for place, run in runs.items()]
        finally:
            subprocess.run([*git, "remove", "--force", str(tree)], check=True)
    return 1 if report(*outputs) else 0


if __name__ == "__main__":
    sys.exit(main())
