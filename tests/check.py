"""Every check of the project, in one command: ``python -m tests.check``.

All steps run even when one fails. With ``CI`` set in the environment, a rotating third of the mutants and the
newest dependencies come on top. Pytest comes last, so that its closing line closes the output.
"""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

NBVAL = [
    *("pytest", "--nbval", "--nbval-current-env", "--nbval-cell-timeout=60"),
    *("--nbval-sanitize-with", "tests/nbval.cfg", "notebooks"),
]

LINT_IMPORTS = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()"]


def steps() -> dict[str, list[str]]:
    """Name and command of each step, in order."""
    python = [sys.executable, "-m"]
    # By file: what a file prepares once for all its tests is not prepared in both workers.
    workers = ["-n", "2", "--dist", "loadfile"] if importlib.util.find_spec("xdist") else []
    # Without a baseline of their own: if the tests fail unmutated, the last step says so.
    slow = {"mutants": [*python, "tests.mutants", "--today", "--no-baseline"]}
    return {
        "format": [*python, "ruff", "format", "--check", "."],
        "lint": [*python, "ruff", "check", "--output-format", "concise", "."],
        "types": [*python, "mypy"],
        "layers": [*LINT_IMPORTS, "--no-logo"],
        "selfcheck": [*python, "hvaccalc", "selfcheck", "--states", "200"],
        "notebooks": [*python, *NBVAL, *workers],
        **(slow if os.environ.get("CI") else {}),
        "tests": [*python, "pytest", *workers],
    }


def main() -> int:
    """Run every step and return 1 if any failed."""
    failed: list[str] = []
    # Two workers share the cores already; a linear-algebra library that splits small products among threads
    # takes a third more time of the processor and gains none.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Mostly waiting for downloads, so it goes on beside the other steps; it reports and never fails.
    newest = [sys.executable, "-m", "tests.newest"]
    beside = (
        subprocess.Popen(newest, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        if os.environ.get("CI")
        else None
    )
    for name, command in steps().items():
        earlier = f" (failed so far: {', '.join(failed)})" if failed else ""
        if name == "tests" and beside is not None:
            print(f"--- newest dependencies\n{beside.communicate()[0]}", flush=True)
        print(f"--- {name}{earlier}", flush=True)
        if subprocess.run(command, cwd=ROOT).returncode:
            failed.append(name)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
