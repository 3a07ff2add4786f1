"""Tables of readings and results in the file copy: words and display units, bands in the unit typed."""

import pytest

from hvaccalc.analysis import Analysis, analyse
from hvaccalc.errors import OutOfRange
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.report.found import Found
from hvaccalc.report.readings import NAMES, readings
from tests.behaviour.jobs import SOUND, job_text
from tests.discovery import ROOT

JOBS = sorted(
    path
    for folder in ("jobs", "measured")
    for path in (ROOT / "data" / folder).glob("*.toml")
    if not path.name.endswith(".truth.toml")
)


def cells(changes: dict) -> list[tuple[str, ...]]:
    """Rows of all tables of the file copy."""
    analysis = Analysis(job_from_text(job_text(SOUND | changes)), 64)
    blocks = readings(Found(analysis))
    return [row for block in blocks for row in getattr(block, "rows", ())]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_result_has_words(path):
    """No key of the program and no bare SI number is printed."""
    for finding in Analysis(load_job(path), 64).findings:
        if finding.visit is not None and finding.value is not None:
            way = finding.key.startswith("airflow.") and finding.unit == "m3/s"
            assert finding.key in NAMES or way, finding.key


def test_a_band_stands_in_the_unit_that_was_typed():
    """Absolute stays absolute: a gauge reading would lie some 14 psi lower."""
    rows = {row[0]: row for row in cells({"1.suction_pressure": "133.6 psia"})}
    name, read, shown, _ = rows["circuit 1, suction pressure"]
    low, high = (float(end) for end in shown.removesuffix(" psia").split(" to "))
    assert read == "133.6 psia" and low < 133.6 < high and high - low < 10.0


def test_standard_air_is_not_called_actual():
    rows = {row[0]: row for row in cells({"air.airflow": "7000 scfm"})}
    low, high = rows["air, airflow"][2].removesuffix(" scfm").split(" to ")
    assert float(low.replace(",", "")) < 7000.0 < float(high.replace(",", ""))


def test_the_split_is_a_difference_of_temperature():
    humid = {"air.return_wet_bulb": "63 degF", "air.supply_wet_bulb": "53 degF"}
    split = next(row for row in cells(humid) if row[0] == "air's drop less the target split")
    assert "°F" in split[1] and "cfm" not in split[1]


def test_too_few_draws_for_a_band_are_refused():
    with pytest.raises(OutOfRange, match="64 or more"):
        analyse(job_from_text(job_text(SOUND)), draws=16)
