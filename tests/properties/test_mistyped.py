"""A small sample of the study of typing errors: one of every way, on one sound unit."""

import numpy as np
import pytest

from tests.compare.generated_jobs import Case
from tests.studies.mistyped import MOST_SILENT, WAYS, definite, drawn, hidden, outcome, typed

SOUND_UNIT = Case("sound", outdoor=95.0)


@pytest.mark.parametrize("way", WAYS)
def test_a_typing_error_makes_no_other_definite_verdict_in_silence(way):
    change = WAYS[way](typed(SOUND_UNIT), np.random.default_rng(2))
    assert all(typed(SOUND_UNIT)[key] != value for key, value in change.items())
    assert outcome(SOUND_UNIT, change) in ("refused", "told", "same", "another")


@pytest.mark.parametrize(
    "change",
    [
        {"1.suction_temperature": "60.2 degC"},
        {"unit.rated_airflow": "80000 cfm"},
        {"2.liquid_pressure": "37.3 psig"},
        {"air.return_dry_bulb": "57.0 degF", "air.supply_dry_bulb": "75.0 degF"},
    ],
)
def test_what_no_neighbour_goes_with_is_told(change):
    assert outcome(SOUND_UNIT, change) == "told"


def test_few_verdicts_of_a_fixed_sample_change_in_silence():
    """Two of every way; the study has the share, which so few jobs hold within three deviations."""
    jobs = list(drawn(1, 2 * len(WAYS)))
    silent = sum(outcome(case, change).startswith("another") for _, _, case, change in jobs)
    spread = np.sqrt(MOST_SILENT * (1.0 - MOST_SILENT) / len(jobs))
    assert silent / len(jobs) <= MOST_SILENT + 3.0 * spread


def test_what_no_neighbour_can_tell_lies_within_what_they_expect():
    """In a sound unit half a degree between two liquid lines is nothing, 14.7 psi of suction much."""
    read = typed(SOUND_UNIT)
    suction = str(read["2.suction_pressure"])
    assert hidden(SOUND_UNIT, {"1.liquid_temperature": read["2.liquid_temperature"]})
    assert not hidden(SOUND_UNIT, {"2.suction_pressure": suction.replace("psig", "psia")})
    assert not hidden(SOUND_UNIT, {"unit.rated_airflow": "80000 cfm"})


def test_another_verdict_is_definite_where_both_are():
    before = {"charge 1": "low", "today cool 1": "run", "water": "none"}
    assert definite(before, before | {"charge 1": "high"})
    assert not definite(before, before | {"charge 1": "cannot tell"})
    assert not definite(before, before | {"today cool 1": "do not run"})
