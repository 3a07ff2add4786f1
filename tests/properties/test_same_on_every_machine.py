"""The same job shows the same on every machine, shown on one.

Another machine rounds the last bits otherwise. Here they are moved in two ways: every reading of every
demo is shifted by 1e-12 of itself, and the whole is computed as an older processor would, by other
instructions of numpy, of the linear algebra and of the system's mathematics, with more threads.
"""

import dataclasses
import json
import os
import platform
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from pydantic import BaseModel

from hvaccalc import analyse, load_job
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from tests.discovery import ROOT
from tests.outputs import demos, shown
from tests.sameness import data_differences, page_differences

DRAWS = 64
DEMOS = demos()

OLDER_PROCESSOR = {
    "NPY_DISABLE_CPU_FEATURES": "X86_V3 X86_V4 AVX512_ICL AVX512_SPR",
    "OPENBLAS_CORETYPE": "Prescott",
    "OPENBLAS_NUM_THREADS": "2",
    "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX2,-FMA,-AVX,-AVX512F",
}


def shifted(value, share: float):
    """A job, or any part of one, whose readings all differ by a share of themselves."""
    if isinstance(value, Reading):
        quantity = value.quantity
        ends = {key: getattr(quantity, key) for key in ("value", "low", "high")}
        moved = {key: end * (1.0 + share) for key, end in ends.items() if end is not None}
        return dataclasses.replace(value, quantity=dataclasses.replace(quantity, **moved))
    if isinstance(value, BaseModel):
        given = {key: shifted(getattr(value, key), share) for key in value.model_fields_set}
        return value.model_copy(update=given)
    if isinstance(value, dict):
        return {key: shifted(one, share) for key, one in value.items()}
    return tuple(shifted(one, share) for one in value) if isinstance(value, tuple) else value


def changed(was: dict[str, str], now: dict[str, str]) -> list[str]:
    """Every difference that a reader or a program would see."""
    assert was.keys() == now.keys()
    found = data_differences(json.loads(was["findings"]), json.loads(now["findings"]))
    for name in was:
        if name.startswith("memo"):
            found += [f"{name}: {one}" for one in page_differences(was[name], now[name])]
    return found


@pytest.fixture(scope="module")
def as_typed() -> dict[str, dict[str, str]]:
    """Of every demo what it shows here."""
    return {path.stem: shown(load_job(path), DRAWS) for path in DEMOS}


@pytest.fixture(scope="module")
def elsewhere() -> dict[str, dict[str, str]]:
    """Of every demo what it shows on an older processor."""
    command = [sys.executable, "-P", str(ROOT / "tests" / "outputs.py"), str(DRAWS), *map(str, DEMOS)]
    env = {**os.environ, **OLDER_PROCESSOR, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, env=env, capture_output=True, text=True, check=True)
    outputs = json.loads(done.stdout)["outputs"]
    return {Path(file).stem: of_file for file, of_file in outputs.items()}


def job_of(path: Path) -> Job:
    return shifted(load_job(path), 1e-12)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_readings_shifted_in_their_last_bits_change_nothing(path: Path, as_typed) -> None:
    job = job_of(path)
    assert job != load_job(path)
    assert changed(as_typed[path.stem], shown(job, DRAWS)) == []


@pytest.mark.skipif(platform.machine() != "x86_64", reason="names instructions of this kind of processor")
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_an_older_processor_and_two_threads_change_nothing(path: Path, as_typed, elsewhere) -> None:
    assert changed(as_typed[path.stem], elsewhere[path.stem]) == []


def test_analyses_side_by_side_do_not_disturb_each_other(as_typed) -> None:
    """In two threads, each with a job of its own, as a program of one's own may run them."""
    jobs = {path.stem: load_job(path) for path in DEMOS[:4]}
    with ThreadPoolExecutor(2) as pool:
        found = dict(
            zip(jobs, pool.map(lambda job: analyse(job, DRAWS).as_dict(), jobs.values()), strict=True)
        )
    for name, data in found.items():
        assert data_differences(json.loads(as_typed[name]["findings"]), json.loads(json.dumps(data))) == []
