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
    *(
        "pytest",
        "-p",
        "nbval",
        "-p",
        "tests.nbval_sameness",
        "--nbval",
        "--nbval-current-env",
        "--nbval-cell-timeout=60",
    ),
    "notebooks",
]

LINT_IMPORTS = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()"]
RUN_TIME = ["deptry", "hvaccalc", "--optional-dependencies-dev-groups", "dev"]
"""The package itself imports nothing that only the checks install."""
PYTHON = [sys.executable, "-m"]
CORES = 2


def single() -> dict[str, list[str]]:
    """Name and command of each step that keeps one core busy, the longest first: two run at a time."""
    in_ci = bool(os.environ.get("CI"))
    # If the tests fail without any mutation, every mutant is killed and the tests say why.
    return {
        **({"mutants": [*PYTHON, "tests.mutants"]} if in_ci else {}),
        # It reports and never fails.
        **({"newest dependencies": [*PYTHON, "tests.newest"]} if in_ci and pins_changed() else {}),
        "notebooks": [*PYTHON, *NBVAL],
        "types": [*PYTHON, "mypy"],
        "selfcheck": [*PYTHON, "hvaccalc", "selfcheck", "--states", "200"],
        "dependencies": [*PYTHON, "deptry", "."],
        "dependencies at run time": [*PYTHON, *RUN_TIME],
        "layers": [*LINT_IMPORTS, "--no-logo"],
        "format": [*PYTHON, "ruff", "format", "--check", "."],
        "lint": [*PYTHON, "ruff", "check", "--output-format", "concise", "."],
    }


def tests() -> list[str]:
    """Pytest over everything, on all cores."""
    # By file, in the order of collection: what a file prepares once for all its tests is not prepared in both
    # workers, and the long files stand before many short ones, so that neither worker waits at the end.
    workers = (
        ["-n", str(CORES), "--dist", "loadfile", "--no-loadscope-reorder"]
        if importlib.util.find_spec("xdist")
        else []
    )
    return [*PYTHON, "pytest", *workers, "--durations=30"]


def main() -> int:
    """Run every step and return 1 if any failed."""
    failed: list[str] = []
    # Two workers share the cores already; a linear-algebra library that splits small products among threads
    # takes a third more time of the processor and gains none.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

    def run(command: list[str]) -> subprocess.CompletedProcess[str]:
        return subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)

    print("Each step is shown when it has ended, the tests last: some minutes.", flush=True)
    with ThreadPoolExecutor(CORES) as pool:
        # The tests start beside the last of the others, so that no core waits.
        steps = {**single(), "tests": tests()}
        for name, done in zip(steps, pool.map(run, steps.values()), strict=True):
            earlier = f" (failed so far: {', '.join(failed)})" if failed else ""
            print(f"--- {name}{earlier}\n{done.stdout}", end="", flush=True)
            if done.returncode:
                failed.append(name)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
