"""The same demo, notebooks and measurements from a wheel, an editable install and the checkout.

Each way gets a virtual environment of its own outside the checkout. Dependencies come from the running
environment by a ``.pth`` file: it adds that directory to the path but runs no ``.pth`` of its, so that the
package itself comes only from the way under test. What is proved is the package and its files, not that
its list of dependencies is complete; the clean install of the README's first line proves that.
"""

import json
import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

from tests.discovery import ROOT

PROBE = """
import hashlib, json, pathlib
import hvaccalc
from hvaccalc.resources import data_path, notebooks_path
def hashes(folder, pattern):
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.glob(pattern))}
job = hvaccalc.load_job(data_path("jobs", "library_hall.toml"))
found = {f.id: [f.value, f.text] for f in hvaccalc.analyse(job).findings}
print(json.dumps({
    "package": str(pathlib.Path(hvaccalc.__file__).parent),
    "places": [str(data_path()), str(notebooks_path())],
    "found": found,
    "files": {
        "jobs": hashes(data_path("jobs"), "*.toml"),
        "measured": hashes(data_path("measured"), "*"),
        "data": hashes(data_path(), "*.*"),
        "notebooks": hashes(notebooks_path(), "*"),
    },
}))
"""


def run(command: list[object], folder: Path, **environment: str) -> str:
    """Standard output of a command that must succeed, with no path of the checkout but those given."""
    clean = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env={**clean, **environment},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def pip(*arguments: object, folder: Path) -> None:
    options = ["--no-deps", "--no-build-isolation", "--no-index", "--disable-pip-version-check", "-q"]
    run([sys.executable, "-m", "pip", *arguments, *options], folder)


def environment(folder: Path) -> Path:
    """A fresh virtual environment that sees the running one's libraries; its interpreter."""
    venv.create(folder, with_pip=False, symlinks=True)
    python = folder / "bin" / "python"
    site = run([python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], folder).strip()
    libraries = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (Path(site) / "libraries.pth").write_text("".join(f"{path}\n" for path in sorted(libraries)))
    return python


@pytest.fixture(scope="module")
def probed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict]:
    """What each way of having the package finds."""
    outside = tmp_path_factory.mktemp("outside")
    pip("wheel", ROOT, "-w", outside / "wheels", folder=outside)
    (wheel,) = (outside / "wheels").glob("hvaccalc-*.whl")
    pythons = {way: environment(outside / way) for way in ("wheel", "editable", "checkout")}
    install = ["--python", pythons["wheel"], "install", wheel]
    pip(*install, folder=outside)
    pip("--python", pythons["editable"], "install", "-e", ROOT, folder=outside)
    paths = {"checkout": {"PYTHONPATH": str(ROOT)}}
    return {
        way: json.loads(run([python, "-c", PROBE], outside, **paths.get(way, {})))
        for way, python in pythons.items()
    } | {"outside": {"path": str(outside)}}


def test_each_way_finds_the_same_demo_notebooks_and_measurements(probed: dict[str, dict]) -> None:
    wheel, editable, checkout = (probed[way] for way in ("wheel", "editable", "checkout"))
    assert wheel["files"] == editable["files"] == checkout["files"]
    assert wheel["found"] == editable["found"] == checkout["found"]
    assert "library_hall.toml" in wheel["files"]["jobs"]
    assert {"chamber.toml", "field_outcome.csv"} <= set(wheel["files"]["measured"])
    notebooks = {path.name for path in (ROOT / "notebooks").glob("*.ipynb")}
    assert notebooks and notebooks <= set(wheel["files"]["notebooks"])


def test_each_way_runs_from_where_it_should(probed: dict[str, dict]) -> None:
    """A wheel carries its own; an editable install and the checkout use the checkout, never a copy."""
    own = Path(probed["outside"]["path"]) / "wheel"
    package = Path(probed["wheel"]["package"])
    assert package.is_relative_to(own)
    assert probed["wheel"]["places"] == [str(package / "data"), str(package / "notebooks")]
    for way in ("editable", "checkout"):
        assert probed[way]["package"] == str(ROOT / "hvaccalc")
        assert probed[way]["places"] == [str(ROOT / "data"), str(ROOT / "notebooks")]


def test_command_of_the_wheel_copies_the_notebooks(probed: dict[str, dict]) -> None:
    outside = Path(probed["outside"]["path"])
    command = outside / "wheel" / "bin" / "hvaccalc"
    run([command, "notebooks", "mine"], outside)
    assert {p.name for p in (outside / "mine").glob("*.ipynb")} == {
        p.name for p in (ROOT / "notebooks").glob("*.ipynb")
    }
