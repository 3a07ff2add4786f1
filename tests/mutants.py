"""Proof that the tests can fail: mutations drawn over the whole package, which the tests have to notice.

``python -m tests.mutants [--seed N] [--count N]`` makes each in a copy of the tree and runs the tests there:
first the files that import what is mutated, or else what imports that, then the rest of the fast set. A tenth
of those drawn may survive, and one of a few. CI draws two anew each day; eighty, with survivors, stand in
``docs/studies/mutants.json`` (``python -m tests.studies mutants``).
"""

import argparse
import ast
import datetime
import os
import queue
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import grimp

from tests import fast
from tests.discovery import ROOT
from tests.mutations import Mutant, drawn, mutated

SURVIVORS_SHARE = 0.1
FEW = 2
ENDLESS = ("-o", "faulthandler_timeout=120", "-o", "faulthandler_exit_on_timeout=true")
"""A single test that takes longer [s] ends the run."""
TIMEOUT = 3600
"""Longest that a run may take [s]: a module that loops while it is imported."""
AT_ONCE = 2
COPIED = ("hvaccalc", "tests", "data", "pyproject.toml", "README.md", "docs", "notebooks")
TESTS = ("published", "properties", "behaviour")


@cache
def importers() -> dict[str, set[str]]:
    """Modules of the package that import each module of it."""
    graph = grimp.build_graph("hvaccalc", cache_dir=None)
    return {name: graph.find_modules_that_directly_import(name) for name in graph.modules}


@cache
def imported() -> dict[str, set[str]]:
    """What each test file imports of the package, itself: modules, and names that may be modules."""
    files = [path for folder in TESTS for path in (ROOT / "tests" / folder).glob("test_*.py")]
    return {
        str(path.relative_to(ROOT)): {
            name
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("hvaccalc")
            for name in (node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names))
        }
        for path in sorted(files)
    }


def nearest(file: str) -> list[str]:
    """Test files that import a module, or else those that import what imports it, and so on."""
    ring = seen = {file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")}
    while ring:
        if found := [path for path, names in imported().items() if names & ring]:
            return found
        ring = {other for name in ring for other in importers().get(name, ())} - seen
        seen = seen | ring
    return []


def killed(mutant: Mutant, folder: Path) -> bool:
    """Whether the tests go red on a mutation, made in a copy and taken back after."""
    path = folder / mutant.file
    text = path.read_text("utf-8")
    path.write_text(mutated(text, mutant), "utf-8")
    first = nearest(mutant.file)
    rest = [file for file in fast.FAST if file not in first]
    try:
        return any(_red(files, folder) for files in (first, rest) if files)
    finally:
        path.write_text(text, "utf-8")


def _red(files: Sequence[str], folder: Path) -> bool:
    """Whether test files fail in a copy; a test that runs for ever has failed."""
    # The copy comes first on the path, before an installed package; a module that was mutated, taken back and
    # mutated again within one second would else run as it was compiled before.
    environment = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [*fast.options("-x", "-p", "no:cacheprovider", *ENDLESS), *files]
    try:
        run = subprocess.run(command, cwd=folder, env=environment, capture_output=True, timeout=TIMEOUT)
    except subprocess.TimeoutExpired:
        return True
    # 1: a test failed. 2: a module no longer imports, which stops the collection.
    return run.returncode in (1, 2)


def _copy(folder: Path) -> Path:
    """A copy of what the tests need."""
    for part in COPIED:
        if (source := ROOT / part).is_dir():
            shutil.copytree(source, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, folder / part)
    return folder


def tried(mutants: Sequence[Mutant]) -> Iterator[tuple[Mutant, bool]]:
    """Each mutant and whether the tests killed it."""
    with tempfile.TemporaryDirectory() as name, ThreadPoolExecutor(AT_ONCE) as pool:
        copies: queue.Queue[Path] = queue.Queue()
        for number in range(AT_ONCE):
            copies.put(_copy(Path(name) / str(number)))

        def one(mutant: Mutant) -> bool:
            folder = copies.get()
            try:
                return killed(mutant, folder)
            finally:
                copies.put(folder)

        yield from zip(mutants, pool.map(one, mutants), strict=True)


def main() -> int:
    """Draw, try, and return 1 if too many survive."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument(
        "--seed", type=int, default=datetime.date.today().toordinal(), help="today's, if not named"
    )
    parser.add_argument("--count", type=int, default=FEW)
    options = parser.parse_args()
    survivors = 0
    for mutant, dead in tried(drawn(options.seed, options.count)):
        print(f"{'killed  ' if dead else 'SURVIVED'} {mutant.kind}: {mutant.name}", flush=True)
        survivors += not dead
    print(f"seed {options.seed}: {options.count - survivors} of {options.count} mutants killed")
    return 1 if survivors > max(1, SURVIVORS_SHARE * options.count) else 0


if __name__ == "__main__":
    sys.exit(main())
