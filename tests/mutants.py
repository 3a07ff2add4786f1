"""Proof that the tests can fail: mutations drawn over the whole package, which the tests have to notice.

``python -m tests.mutants [--seed N] [--count N] [--limit SECONDS]`` makes each in a copy and runs the tests
there: first the examples of its own module, the files that import it and a few that share its rarest words;
then the notebooks, whose stored outputs are tests; then the other files. A mutant that no test has noticed
within the limit lives. A tenth of those drawn may, and one of a few. CI draws two anew each day; eighty, with
survivors, stand in ``docs/studies/mutants.json`` (``python -m tests.studies mutants``).
"""

import argparse
import ast
import datetime
import math
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from tests.check import NBVAL, PYTHON
from tests.discovery import ROOT
from tests.mutations import Mutant, drawn, mutated

SURVIVORS_SHARE = 0.1
A_DAY = 2
FEW = 8
"""Test files that run before the notebooks, if no more import the mutated module."""
LIMIT = 60.0
"""Longest that the tests of one mutant run in CI [s of the processor]."""
ENDLESS = ("-o", "faulthandler_timeout=200", "-o", "faulthandler_exit_on_timeout=true")
"""A single test that takes longer [s] never ends, and has failed."""
PLAIN = ("-q", "-x", "-rfE", "-p", "no:cacheprovider", *ENDLESS)
PYTEST = (*PYTHON, "pytest", *PLAIN)
COPIED = ("hvaccalc", "tests", "data", "docs", "notebooks", "pyproject.toml", "README.md", "LICENSE")
TESTS = (
    "published/test_*.py",
    "properties/test_*.py",
    "behaviour/test_*.py",
    # Of these two nothing looks at the form of the source, which a mutation changes.
    "architecture/test_practice.py",
    "architecture/test_words.py",
)
COPIES = ("test_packaging.py", "test_compare.py", "test_notebooks.py")
"""Test files that build trees of their own."""


@cache
def test_files() -> dict[str, tuple[set[str], set[str]]]:
    """What each test file imports of the package, itself, and the words in it."""
    found = {}
    for path in sorted(path for pattern in TESTS for path in (ROOT / "tests").glob(pattern)):
        text = path.read_text("utf-8")
        imports = {
            name
            for node in ast.walk(ast.parse(text))
            if isinstance(node, ast.ImportFrom)
            for name in (node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names))
        }
        if path.name not in COPIES:
            found[str(path.relative_to(ROOT))] = imports, _words(text)
    return found


def _words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{4,}", text.lower()))


def nearest(mutant: Mutant) -> tuple[list[str], list[str]]:
    """Test files before the notebooks, and after them.

    Those come first that import the mutated module, then those that share the rarest words of the function,
    or else the statement, that is mutated.
    """
    text = (ROOT / mutant.file).read_text("utf-8")
    parts = [n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.FunctionDef)]
    parts += ast.parse(text).body
    around = next(n for n in parts if n.lineno <= mutant.line <= (n.end_lineno or n.lineno))
    words = _words(f"{mutant.file} {ast.unparse(around)}")
    files = test_files()
    in_files = Counter(word for _, known in files.values() for word in known & words)

    def share(file: str) -> float:
        return sum(1.0 / in_files[word] ** 2 for word in files[file][1] & words)

    order = sorted(files, key=share, reverse=True)
    module = mutant.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    order.sort(key=lambda file: module not in files[file][0])
    direct = sum(module in imports for imports, _ in files.values())
    return order[: max(direct, FEW)], order[max(direct, FEW) :]


def killer(mutant: Mutant, folder: Path, limit: float) -> str | None:
    """What went red on a mutation, made in a copy and taken back after; None if nothing did in time."""
    path = folder / mutant.file
    text, as_copied = path.read_text("utf-8"), path.stat()
    near, others = nearest(mutant)
    path.write_text(mutated(text, mutant), "utf-8")
    runs = [
        [*PYTEST, mutant.file, *near],
        [*PYTHON, *NBVAL, *PLAIN],
        [*PYTEST, *others],
    ]
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
    parser.add_argument("--count", type=int, default=A_DAY)
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
