"""A fixed tenth of the coverage study: 95 % bands hold the truth as often as they say.

The whole study runs by ``python -m tests.studies coverage``; here the band about 95 % is widened to three
sampling errors of the smaller number of jobs.
"""

import pytest

from tests.studies import coverage


@pytest.fixture(scope="module")
def shares() -> dict:
    return coverage.run(seed=7, jobs=coverage.JOBS // 10)["shares"]


def test_bands_hold_the_truth(shares: dict) -> None:
    for name, row in shares.items():
        assert abs(row["share"] - coverage.CLAIM) <= coverage.allowed(name, row["jobs"]), (name, row)


def test_bands_are_given(shares: dict) -> None:
    """A band withheld would hide a miss: only readings that contradict each other may leave one out."""
    for name, row in shares.items():
        assert row["no band"] <= 0.05 * row["jobs"], (name, row)
