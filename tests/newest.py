"""Would the newest releases of the dependencies do? Reported, never blocking.

``python -m tests.newest`` installs the project without its pins into an environment of its own and runs the
fast tests there. CI does so where a pin or a bound was changed within the last day.
"""

import subprocess
import sys
import tempfile
import venv
from pathlib import Path

from tests import fast
from tests.discovery import ROOT

DAY = 86_400
BOUND = r"[=><]=[0-9]"
"""What a line with a pin or a bound holds."""


def pins_changed(tree: Path = ROOT) -> bool:
    """Whether a pin or a bound was changed within a day up to this commit; yes where git cannot say."""

    def git(*arguments: str) -> str:
        return subprocess.run(
            ["git", *arguments], cwd=tree, capture_output=True, text=True, check=True
        ).stdout

    try:
        since = int(git("show", "-s", "--format=%ct", "HEAD")) - DAY
        changed = git(
            "log", f"--since={since}", "--format=%h", "-G", BOUND, "--", "constraints.txt", "pyproject.toml"
        )
    except (OSError, subprocess.CalledProcessError):
        return True
    return bool(changed)


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
