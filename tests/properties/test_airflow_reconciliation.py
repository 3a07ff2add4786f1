"""A fixed tenth of the airflow study, and what must always hold of the reconciliation.

The whole study (2,000 jobs) runs by ``python -m tests.studies airflow`` and is kept in ``docs/studies``; a
test here holds the kept result to its limits. For the tenth they are widened by three sampling errors.
"""

import json
import math

import numpy as np
import pytest

from hvaccalc.diagnosis.air.reconcile import Method, reconcile
from hvaccalc.ensemble import Ensemble
from tests.discovery import ROOT
from tests.studies import airflow as study

TENTH = study.JOBS // 10


@pytest.fixture(scope="module")
def tenth() -> dict:
    return study.run(seed=7, jobs=TENTH)


@pytest.fixture(scope="module")
def whole() -> dict:
    return json.loads((ROOT / "docs" / "studies" / "airflow.json").read_text("utf-8"))["result"]


def sampling(share: float, jobs: int) -> float:
    return 3.0 * math.sqrt(share * (1.0 - share) / jobs)


def check(result: dict, slack: int) -> None:
    """The limits, widened by the sampling error of a number of jobs (0: as they stand)."""
    wide = sampling(0.95, slack) if slack else 0.0
    assert abs(result["reconciled band holds"] - study.CLAIM) <= max(study.TOLERANCE, wide)
    assert result["wrong method named"] >= study.NAMED_AT_LEAST - wide
    assert result["accused with nothing wrong"] <= study.ACCUSED_AT_MOST + wide
    assert result["good method accused beside a wrong one"] <= study.ACCUSED_AT_MOST + wide
    assert result["band of independent weights holds"] < result["reconciled band holds"]


def test_the_whole_study(whole):
    assert whole["jobs"] == study.JOBS
    check(whole, 0)


def test_independent_weights_are_overconfident(whole, tenth):
    """Where all methods hang on one known point, their 95 % band holds the truth far less often."""
    for result in (whole, tenth):
        assert result["same, all methods from one known point"] < study.CLAIM - 0.05


def test_a_tenth_of_the_study(tenth):
    check(tenth, TENTH)


def draws(name: str, sd: float, middle: float = 1.0) -> np.ndarray:
    return middle * np.exp(Ensemble(1, 512).normal(name, 0.0, sd))


def method(name: str, flow: np.ndarray) -> Method:
    return Method(name, flow, "measured", "")


def test_independent_methods_weigh_by_their_variance():
    """Textbook case: sd 3 % and 6 % weigh 4 to 1, the band is that of 1/sqrt(1/9 + 1/36) = 2.68 %."""
    flow, used, off = reconcile([method("a", draws("a", 0.03)), method("b", draws("b", 0.06, 1.05))])
    assert used == ("a", "b") and off == ()
    assert math.log(flow[0]) == pytest.approx(0.2 * math.log(1.05), abs=0.004)
    assert np.log(flow[1:]).std() == pytest.approx(0.0268, rel=0.05)


def test_a_shared_error_does_not_average_out():
    """Both carry one calibration error of 5 %: no number of such methods brings the band below it."""
    shared = draws("gauge", 0.05)
    same = [method(n, shared * draws(n, 0.02)) for n in "abcd"]
    flow, *_ = reconcile(same)
    assert np.log(flow[1:]).std() == pytest.approx(math.hypot(0.05, 0.01), rel=0.05)


def test_order_of_the_methods_plays_no_part():
    three = [method("a", draws("a", 0.03)), method("b", draws("b", 0.06)), method("c", draws("c", 0.05, 1.5))]
    one, other = reconcile(three), reconcile(three[::-1])
    assert one[0] == pytest.approx(other[0])
    assert [d.name for d in one[2]] == [d.name for d in other[2]] == ["c"]


def test_the_disagreement_is_in_its_own_sigmas():
    """1.5 against 1 with an own sd of 5 %: ln 1.5 / 0.05 = 8.1 sigmas."""
    exact = [method("a", draws("a", 0.001)), method("b", draws("b", 0.001))]
    (off,) = reconcile([*exact, method("c", draws("c", 0.05, 1.5))])[2]
    assert off.sigmas == pytest.approx(8.1, abs=0.15)
    assert off.against == ("a", "b")


def test_of_two_at_odds_the_less_certain_is_left_out():
    flow, used, off = reconcile([method("a", draws("a", 0.03)), method("b", draws("b", 0.08, 1.6))])
    assert (used, off[0].name) == (("a",), "b")
    assert flow[0] == 1.0


def test_all_equal_is_no_riddle():
    """Two methods that are one and the same, draws included."""
    one = draws("a", 0.03)
    flow, used, off = reconcile([method("a", one), method("b", one.copy())])
    assert off == () and flow == pytest.approx(one)


def test_bands_never_widen_by_a_further_method():
    few = [method("a", draws("a", 0.04)), method("b", draws("b", 0.05))]
    more = [*few, method("c", draws("c", 0.2))]
    wide, narrow = (np.log(reconcile(these)[0][1:]).std() for these in (few, more))
    assert narrow <= wide * (1 + 1e-9)


def test_two_methods_on_one_gauge_do_not_outvote_a_third():
    """One 5 % for both and 2 % each, together 5.20 %; the third has 5 % and weighs 0.52, not 0.37."""
    shared = draws("gauge", 0.05)
    pair = [method(n, shared * draws(n, 0.02)) for n in "ab"]
    flow, *_ = reconcile([*pair, method("c", draws("c", 0.05, 1.05))])
    assert math.log(flow[0]) / math.log(1.05) == pytest.approx(0.52, abs=0.04)


def test_a_shared_error_does_not_hide_a_difference():
    """10 % in common and 1 % each: 8 % between the two is 5.7 sigmas of their difference."""
    shared = draws("gauge", 0.10)
    pair = [method("a", shared * draws("a", 0.01)), method("b", shared * draws("b", 0.01, 1.08))]
    off = reconcile([*pair, method("c", draws("c", 0.10))])[2]
    assert len(off) == 1 and off[0].name in "ab"
