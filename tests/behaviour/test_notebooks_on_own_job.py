"""Every notebook runs on a reader's own job: little typed, one condition, no wiring."""

import json
import re

import pytest

from tests.behaviour.jobs import HUMID, write_job
from tests.discovery import ROOT

NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
LITTLE = {
    "job.title": "A dance school",
    "job.elevation": "300 ft",
    "unit.rated_capacity": "120 kBtu/h",
    "unit.rated_airflow": "4000 cfm",
    "circuit.1.refrigerant": "R-410A",
}
READ = LITTLE | {
    "condition.calls": ["cool 1"],
    "air.return_dry_bulb": "73 degF",
    "air.supply_dry_bulb": "52 degF",
    "air.outdoor_dry_bulb": "78 degF",
    "1.suction_pressure": "112 psig",
    "1.suction_temperature": "48 degF",
    "1.liquid_pressure": "290 psig",
    "1.liquid_temperature": "82 degF",
}


@pytest.mark.parametrize("entries", [READ, READ | HUMID], ids=["dry bulbs alone", "with humidity"])
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs_to_its_end(path, entries, tmp_path) -> None:
    """The cells as they stand, but for the job's file in the first one."""
    job = write_job(tmp_path, entries, base={})
    cells = [c for c in json.loads(path.read_text("utf-8"))["cells"] if c["cell_type"] == "code"]
    sources = ["".join(cell["source"]) for cell in cells]
    first, count = re.subn(
        r"^job = load_job\(.*?\)(?=  #)", f"job = load_job({str(job)!r})", sources[0], flags=re.M
    )
    assert count == 1
    names: dict = {}
    for source in (first, *sources[1:]):
        exec(compile(source, path.name, "exec"), names)
    assert names["job"].job.title == "A dance school"
