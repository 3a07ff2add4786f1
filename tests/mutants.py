"""Proof that the tests can fail: mutations drawn over the whole package, which the tests have to notice.

``python -m tests.mutants [--seed N] [--count N] [--limit SECONDS]`` makes each in a copy and runs the tests
there: first the files that import what is mutated, or else what imports that; then the notebooks, whose
stored outputs are tests; then what imports what imports it, and so on. A mutant that no test has noticed
within the limit lives. A tenth of those drawn may, and one of a few. CI draws two anew each day; eighty, with
survivors, stand in ``docs/studies/mutants.json`` (``python -m tests.studies mutants``).
"""

import argparse
import ast
import datetime
import math
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import grimp

from tests import fast
from tests.check import NBVAL
from tests.discovery import ROOT
from tests.mutations import Mutant, drawn, mutated

SURVIVORS_SHARE = 0.1
FEW = 2
LIMIT = 60.0
"""Longest that the tests of one mutant run in CI [s of the processor]."""
ENDLESS = ("-o", "faulthandler_timeout=200", "-o", "faulthandler_exit_on_timeout=true")
"""A single test that takes longer [s] never ends, and has failed."""
PLAIN = ("-x", "-rfE", "-p", "no:cacheprovider", *ENDLESS)
COPIED = ("hvaccalc", "tests", "data", "docs", "notebooks", "pyproject.toml", "README.md", "LICENSE")
TESTS = ("published", "properties", "behaviour")
COPIES = ("test_packaging.py", "test_compare.py", "test_notebooks.py", "test_thirteenth_way.py")
"""Test files that build trees of their own."""


@cache
def importers() -> dict[str, set[str]]:
    """Modules of the package that import each module of it."""
    graph = grimp.build_graph("hvaccalc", cache_dir=None)
    return {name: graph.find_modules_that_directly_import(name) for name in graph.modules}


@cache
def imported() -> dict[str, set[str]]:
    """What each test file imports of the package, itself; those that import least come first."""
    files = [path for folder in TESTS for path in (ROOT / "tests" / folder).glob("test_*.py")]
    found = {
        str(path.relative_to(ROOT)): {
            name
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("hvaccalc")
            for name in (node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names))
        }
        for path in sorted(files)
        if path.name not in COPIES
    }
    return dict(sorted(found.items(), key=lambda one: len(one[1])))


def rings(file: str) -> Iterator[list[str]]:
    """Test files that import a module, then those that import what imports it, and so on; none twice."""
    ring = seen = {file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")}
    named: set[str] = set()
    while ring:
        if found := [path for path, names in imported().items() if names & ring and path not in named]:
            yield found
        named.update(found)
        ring = {other for name in ring for other in importers().get(name, ())} - seen
        seen = seen | ring


def killer(mutant: Mutant, folder: Path, limit: float) -> str | None:
    """What went red on a mutation, made in a copy and taken back after; None if nothing did in time."""
    path = folder / mutant.file
    text, as_copied = path.read_text("utf-8"), path.stat()
    path.write_text(mutated(text, mutant), "utf-8")
    nearest, *further = rings(mutant.file)
    runs = [fast.options(*PLAIN, *nearest), [sys.executable, "-m", *NBVAL, *PLAIN]]
    runs += [fast.options(*PLAIN, *(one for ring in further for one in ring))] if further else []
    left = limit
    try:
        for command in runs:
            red, used = _red(command, folder, left)
            if red or (left := left - used) < 1.0:
                return red
        return None
    finally:
        path.write_text(text, "utf-8")
        # What was compiled before the mutation counts again; what was compiled with it does not.
        os.utime(path, ns=(as_copied.st_atime_ns, as_copied.st_mtime_ns))


def _red(command: Sequence[str], folder: Path, limit: float) -> tuple[str | None, float]:
    """The test that failed in a copy before the time was up, and the time that all took [s]."""
    # The copy comes first on the path, before an installed package.
    environment = {**os.environ, "PYTHONPATH": str(folder)}
    most = math.ceil(limit)
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    run = subprocess.run(
        command,
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (most, most)),
    )
    used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
    named = [line.split()[1] for line in run.stdout.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    # 0: all passed; 5: nothing was collected; a signal: the time was up.
    passed = run.returncode in (0, 5, -signal.SIGXCPU, -signal.SIGKILL)
    return None if passed else (*named, "it ended early")[0], used


def tried(mutants: Sequence[Mutant], limit: float = LIMIT) -> Iterator[tuple[Mutant, str | None]]:
    """Each mutant and the test that killed it, if one did."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for part in COPIED:
            if (source := ROOT / part).is_dir():
                shutil.copytree(source, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(source, folder / part)
        for mutant in mutants:
            yield mutant, killer(mutant, folder, limit)


def main() -> int:
    """Draw, try, and return 1 if too many survive."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument(
        "--seed", type=int, default=datetime.date.today().toordinal(), help="today's, if not named"
    )
    parser.add_argument("--count", type=int, default=FEW)
    parser.add_argument("--limit", type=float, default=LIMIT, help="of one mutant [s of the processor]")
    options = parser.parse_args()
    survivors = 0
    for mutant, by in tried(drawn(options.seed, options.count), options.limit):
        print(f"{'killed  ' if by else 'SURVIVED'} {mutant.kind}: {mutant.name}; {by}", flush=True)
        survivors += by is None
    print(f"seed {options.seed}: {options.count - survivors} of {options.count} mutants killed")
    return 1 if survivors > max(1, SURVIVORS_SHARE * options.count) else 0


if __name__ == "__main__":
    sys.exit(main())
