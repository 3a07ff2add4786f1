"""Every check of the project, in one command: ``python -m tests.check``.

All steps run even when one fails. With ``CI`` set in the environment, the mutants of the day come on top, and
the newest dependencies where a pin has just changed. Pytest comes last, so that its closing line closes the
output.
"""

import importlib.util
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.newest import pins_changed

ROOT = Path(__file__).resolve().parent.parent

NBVAL = [
    *("pytest", "-p", "tests.nbval_sameness", "--nbval", "--nbval-current-env", "--nbval-cell-timeout=60"),
    "notebooks",
]

LINT_IMPORTS = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()"]
RUN_TIME = ["deptry", "hvaccalc", "--optional-dependencies-dev-groups", "dev"]
"""The package itself imports nothing that only the checks install."""
PYTHON = [sys.executable, "-m"]
CORES = 2


def single() -> dict[str, list[str]]:
    """Name and command of each step that keeps one core busy: two run at a time."""
    return {
        "types": [*PYTHON, "mypy"],
        "selfcheck": [*PYTHON, "hvaccalc", "selfcheck", "--states", "200"],
        "layers": [*LINT_IMPORTS, "--no-logo"],
        "format": [*PYTHON, "ruff", "format", "--check", "."],
        "dependencies": [*PYTHON, "deptry", "."],
        "dependencies at run time": [*PYTHON, *RUN_TIME],
        "lint": [*PYTHON, "ruff", "check", "--output-format", "concise", "."],
    }


def both() -> dict[str, list[str]]:
    """Name and command of each step that keeps all cores busy, in order."""
    # By file, in the order of collection: what a file prepares once for all its tests is not prepared in both
    # workers, and the long files stand before many short ones, so that neither worker waits at the end.
    workers = (
        ["-n", str(CORES), "--dist", "loadfile", "--no-loadscope-reorder"]
        if importlib.util.find_spec("xdist")
        else []
    )
    # If the tests fail without any mutation, every mutant is killed and the last step says why.
    slow = {"mutants": [*PYTHON, "tests.mutants"]}
    return {
        "notebooks": [*PYTHON, *NBVAL, *workers],
        **(slow if os.environ.get("CI") else {}),
        "tests": [*PYTHON, "pytest", *workers, "--durations=30"],
    }


def main() -> int:
    """Run every step and return 1 if any failed."""
    failed: list[str] = []
    # Two workers share the cores already; a linear-algebra library that splits small products among threads
    # takes a third more time of the processor and gains none.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Mostly waiting for downloads, so it goes on beside the other steps; it reports and never fails.
    newest = [*PYTHON, "tests.newest"]
    beside = (
        subprocess.Popen(newest, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        if os.environ.get("CI") and pins_changed()
        else None
    )

    def run(command: list[str]) -> subprocess.CompletedProcess[str]:
        return subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)

    with ThreadPoolExecutor(CORES) as pool:
        for name, done in zip(single(), pool.map(run, single().values()), strict=True):
            print(f"--- {name}\n{done.stdout}", end="", flush=True)
            if done.returncode:
                failed.append(name)
    for name, command in both().items():
        earlier = f" (failed so far: {', '.join(failed)})" if failed else ""
        if name == "tests" and beside is not None:
            print(f"--- newest dependencies\n{beside.communicate()[0]}", flush=True)
        print(f"--- {name}{earlier}", flush=True)
        if subprocess.run(command, cwd=ROOT).returncode:
            failed.append(name)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
