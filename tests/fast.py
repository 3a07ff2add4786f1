"""The fast tests: those that a developer runs after every edit.

``python -m tests.fast`` runs them; extra arguments go to pytest.
"""

import os
import subprocess
import sys

from tests.discovery import ROOT

FAST = (
    "tests/published/test_units.py",
    "tests/behaviour/test_units_parsing.py",
    "tests/published/test_ensemble.py",
    "tests/published/test_moist_air.py",
    "tests/published/test_refrigerant.py",
    "tests/published/test_coil.py",
    "tests/published/test_trap.py",
    "tests/published/test_drain.py",
    "tests/published/test_cylinder.py",
    "tests/published/test_charge.py",
    "tests/published/test_inventory.py",
    "tests/behaviour/test_charge.py",
    "tests/behaviour/test_inventory.py",
    "tests/behaviour/test_water.py",
    "tests/behaviour/test_wiring_faults.py",
    "tests/behaviour/test_voltage_ladder.py",
    "tests/behaviour/test_speed_check.py",
    "tests/behaviour/test_gates.py",
    "tests/behaviour/test_contrast.py",
    "tests/behaviour/test_screening.py",
    "tests/behaviour/test_staging.py",
    "tests/behaviour/test_airflow.py",
)


def command(*extra: str) -> list[str]:
    """Pytest over the fast files, without the tests that they mark slow."""
    pytest = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile"]
    return [*pytest, "-m", "not slow", *extra, *FAST]


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(subprocess.run(command(*sys.argv[1:]), cwd=ROOT).returncode)
