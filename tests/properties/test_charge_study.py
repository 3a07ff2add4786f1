"""A fixed tenth of the charge study; the kept result of the whole is held to its limits.

The whole study (2,000 circuits) runs by ``python -m tests.studies charge`` and is kept in ``docs/studies``.
For the tenth the limits are widened by three sampling errors, 3 sqrt(p (1 - p) / n).
"""

import json
import math

import pytest

from tests.discovery import ROOT
from tests.studies import charge as study

TENTH = study.CIRCUITS // 10


@pytest.fixture(scope="module")
def tenth() -> dict:
    return study.run(seed=7, circuits=TENTH)


@pytest.fixture(scope="module")
def whole() -> dict:
    return json.loads((ROOT / "docs" / "studies" / "charge.json").read_text("utf-8"))["result"]


def sampling(share: float, count: int) -> float:
    return 3.0 * math.sqrt(share * (1.0 - share) / count)


def check(result: dict, widened: bool) -> None:
    """The limits as they stand, or widened by the sampling error of the circuits behind each share."""
    wrong, told = study.WRONG_AT_MOST, study.TOLD_AT_LEAST
    if widened:
        wrong += sampling(wrong, result["circuits"])
        told -= sampling(told, result["gates met and charge off by a fifth or more"])
    assert result["wrong of all circuits"] <= wrong
    assert result["of those with a verdict"] >= told
    assert result["of those with a verdict, low air"] == 0.0
    assert result["of those called as charted"] == 0.0


def test_the_whole_study_keeps_its_limits(whole):
    assert whole["circuits"] == study.CIRCUITS
    assert whole["wrong of the verdicts low or high"] <= study.WRONG_AT_MOST
    check(whole, widened=False)


def test_a_tenth_keeps_them_but_for_sampling(tenth):
    assert tenth["circuits"] >= TENTH and tenth["short circuits at low air"] > 10
    check(tenth, widened=True)


def test_a_tenth_looks_like_the_whole(tenth, whole):
    """Shares agree within three sampling errors of the tenth."""
    for key, count in (
        ("of those with a verdict", "gates met and charge off by a fifth or more"),
        ("of those called as charted, sound", "sound circuits, gates met"),
    ):
        assert tenth[key] == pytest.approx(whole[key], abs=sampling(whole[key], tenth[count]) + 1e-3)
