"""Would the newest releases of the dependencies do? Reported, never blocking.

``python -m tests.newest`` installs the project without its pins into an environment of its own and runs the
fast tests there.
"""

import subprocess
import sys
import tempfile
import venv
from pathlib import Path

from tests import fast
from tests.discovery import ROOT


def main() -> int:
    """Install, test, say how it went; always 0."""
    with tempfile.TemporaryDirectory() as name:
        venv.create(name, with_pip=True)
        python = str(Path(name) / "bin" / "python")
        install = [python, "-m", "pip", "install", "-q", f"{ROOT}[dev]"]
        if subprocess.run(install, stderr=subprocess.DEVNULL).returncode:
            print("newest dependencies: they do not install together")
            return 0
        frozen = subprocess.run([python, "-m", "pip", "freeze"], capture_output=True, text=True).stdout
        run = subprocess.run(
            [python, *fast.command("-p", "no:cacheprovider")[1:]], cwd=ROOT, capture_output=True, text=True
        )
    pins = set((ROOT / "constraints.txt").read_text("utf-8").split())
    newer = [line for line in frozen.split() if "==" in line and line not in pins]
    print(f"newer than pinned: {', '.join(newer) or 'nothing'}")
    print(f"newest dependencies: {'the fast tests pass' if run.returncode == 0 else 'the fast tests FAIL'}")
    if run.returncode:
        print("\n".join(run.stdout.splitlines()[-15:]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
