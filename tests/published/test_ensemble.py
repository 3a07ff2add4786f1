"""Named draws, percentiles and shares against exact quantiles and published intervals.

Sampling scheme: McKay, Beckman, Conover, Technometrics 21(2), 1979, 239-245. Quantiles come from the standard
library's `NormalDist` and from arithmetic; intervals from print and from scipy, none from the package.
"""

import os
import subprocess
import sys
from statistics import NormalDist

import numpy as np
import pytest

from hvaccalc.ensemble import NOT_KNOWN, PERCENTILES, Z95, Band, Ensemble, band, possible_rows, share

SIZE = 512
NAMES = [f"reading {number}" for number in range(40)]


def strata(column: np.ndarray) -> list[int]:
    """Which of the equally likely intervals of 0-1 each value falls into, sorted."""
    return sorted(np.floor(column * column.size).astype(int))


def order_statistic_bounds(percentile: float, size: int) -> tuple[tuple[float, float], ...]:
    """Strata between which a percentile is interpolated: (low, high) below and above, and their weights."""
    place = percentile / 100 * (size - 1)
    below, weight = int(place), place - int(place)
    return (below / size, (below + 1) / size), ((below + 1) / size, (below + 2) / size), (weight, 1 - weight)


@pytest.mark.parametrize("size", [20, 512, 1000])
@pytest.mark.parametrize("name", ["gauge_a", "", "température ± 1", "x" * 500])
def test_each_stratum_exactly_once(size, name):
    """McKay, Beckman, Conover 1979, section 2: one value from each of N equally likely intervals."""
    draws = Ensemble(seed=3, size=size)
    assert strata(draws.uniform(name)[1:]) == list(range(size))
    standard = NormalDist()
    probabilities = np.array([standard.cdf(z) for z in draws.normal(name)[1:]])
    assert strata(probabilities) == list(range(size))


def test_strata_are_in_no_order_and_values_fill_them():
    """Random order of the strata, and a random place inside each: neither sorted nor at the middle."""
    column = Ensemble(seed=1, size=SIZE).uniform("gauge_a")[1:]
    # Rank correlation of N random ranks with their order: mean 0, sd 1/sqrt(N - 1) (Kendall and Stuart).
    assert abs(np.corrcoef(column, np.arange(SIZE))[0, 1]) < 4 / np.sqrt(SIZE - 1)
    inside = column * SIZE % 1.0
    # Mean of N uniforms: 1/2, sd 1/sqrt(12 N); their variance 1/12, sd sqrt(1/180 N).
    assert abs(inside.mean() - 0.5) < 4 / np.sqrt(12 * SIZE)
    assert abs(inside.var() - 1 / 12) < 4 / np.sqrt(180 * SIZE)


def test_central_row():
    draws = Ensemble(seed=1, size=SIZE)
    assert draws.normal("a", mean=4.0, sd=2.0)[0] == 4.0
    assert draws.uniform("b", 2.0, 5.0)[0] == 3.5
    assert draws.uniform("b", 2.0, 5.0, central=2.5)[0] == 2.5
    assert draws.choice("c", 3)[0] == 0
    assert {column.shape for column in (draws.normal("a"), draws.uniform("b"), draws.choice("c", 3))} == {
        (SIZE + 1,)
    }


def test_central_row_stays_out_of_percentiles():
    draws = Ensemble(seed=1, size=SIZE).uniform("a")
    plain = band(draws)
    draws[0] = 1e6
    assert band(draws) == Band(1e6, plain.low, plain.high, plain.masked)


@pytest.mark.parametrize("count", [2, 3, 7])
def test_choice_is_equally_likely(count):
    """Each choice holds N/count strata, of which its two borders may cut one each: less than 2 draws off."""
    chosen = Ensemble(seed=5, size=SIZE).choice("which circuit", count)[1:]
    numbers = np.bincount(chosen, minlength=count)
    assert numbers.size == count
    assert np.all(np.abs(numbers - SIZE / count) < 2)


def test_z95():
    """0.975 quantile of the standard normal, 1.959964 (any table)."""
    assert Z95 == pytest.approx(NormalDist().inv_cdf(0.975), abs=1e-12)
    assert round(Z95, 6) == 1.959964
    assert PERCENTILES == (2.5, 97.5)


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("percentile_side", ["low", "high"])
@pytest.mark.parametrize("family", ["uniform", "normal"])
def test_percentiles_lie_between_their_strata(seed, percentile_side, family):
    """No chance in it: stratification pins each percentile between exact quantiles of adjacent strata.

    Hence within 2/N of the exact quantile in probability: 0.067 sd for the normal at N = 512.
    """
    draws = Ensemble(seed, SIZE)
    percentile = {"low": 2.5, "high": 97.5}[percentile_side]
    quantile = (lambda p: 10 + 4 * p) if family == "uniform" else NormalDist(70.0, 0.5).inv_cdf
    column = draws.uniform("a", 10.0, 14.0) if family == "uniform" else draws.normal("a", 70.0, 0.5)
    below, above, (weight, rest) = order_statistic_bounds(percentile, SIZE)
    lowest = rest * quantile(below[0]) + weight * quantile(above[0])
    highest = rest * quantile(below[1]) + weight * quantile(above[1])
    found = getattr(band(column), percentile_side)
    assert lowest <= found <= highest
    exact = quantile(percentile / 100)
    scale = 4.0 if family == "uniform" else 0.5
    assert found == pytest.approx(exact, abs=scale * (2 / SIZE if family == "uniform" else 0.067))


def test_means_are_far_steadier_than_random_sampling():
    """What stratification is for (McKay et al. 1979): a random mean has sd 1/sqrt(N), here under a tenth."""
    draws = Ensemble(seed=1, size=SIZE)
    means = [draws.normal(name)[1:].mean() for name in NAMES]
    assert 0.0 < np.std(means) < 0.1 / np.sqrt(SIZE)


def test_names_are_independent():
    """Correlation of two random columns has sd 1/sqrt(N - 1): 780 pairs, none beyond 4.5 of them."""
    draws = Ensemble(seed=1, size=SIZE)
    correlations = np.corrcoef([draws.normal(name)[1:] for name in NAMES])
    pairs = correlations[np.triu_indices(len(NAMES), 1)] * np.sqrt(SIZE - 1)
    assert np.abs(pairs).max() < 4.5
    # A chance deviate of sd 1: their spread is 1 within 4/sqrt(2 * 780), their mean 0 within 4/sqrt(780).
    assert abs(pairs.std() - 1.0) < 4 / np.sqrt(2 * pairs.size)
    assert abs(pairs.mean()) < 4 / np.sqrt(pairs.size)


def test_same_name_is_the_same_draw_however_it_is_used():
    """One name, one column: normal and uniform views rise together, and each call gives a fresh copy."""
    draws = Ensemble(seed=1, size=SIZE)
    first = draws.normal("gauge_a", 0.0, 1.0)
    assert np.array_equal(draws.normal("gauge_a", 10.0, 2.0)[1:], 10.0 + 2.0 * first[1:])
    assert np.array_equal(np.argsort(draws.uniform("gauge_a")[1:]), np.argsort(first[1:]))
    first[:] = 0.0
    assert draws.normal("gauge_a").std() > 0.9


def test_adding_names_disturbs_nothing():
    alone = Ensemble(seed=7, size=SIZE).normal("suction")
    crowd = Ensemble(seed=7, size=SIZE)
    for name in NAMES:
        crowd.uniform(name)
    assert np.array_equal(crowd.normal("suction"), alone)


def test_seed_and_name_both_count():
    columns = [Ensemble(seed, SIZE).uniform(name)[1:] for seed in (1, 2) for name in ("a", "b", "A", "a ")]
    assert len({column.tobytes() for column in columns}) == len(columns)


@pytest.mark.slow
def test_same_digits_in_another_process():
    """A stable hash: not Python's own, which differs from process to process."""
    program = (
        "from hvaccalc.ensemble import Ensemble, band\n"
        "draws = Ensemble(11, 64)\n"
        "draws.choice('first', 5)\n"
        "print([value.hex() for value in draws.normal('gauge_a', 301.0, 2.0).tolist()])\n"
        "print(band(draws.uniform('scale')))\n"
    )
    printed = {
        subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("0", "1", "4711")
    }
    here = Ensemble(11, 64)
    digits = [value.hex() for value in here.normal("gauge_a", 301.0, 2.0).tolist()]
    assert printed == {f"{digits}\n{band(here.uniform('scale'))}\n"}


def test_shared_calibration_cancels_in_a_difference():
    """Two readings with one gauge: its calibration drops out, the repeatabilities add in squares.

    Calibration 3 psi (sd), repeatability 0.25 psi each: the difference has sd 0.25 * sqrt(2), against
    sqrt(2 * (3**2 + 0.25**2)) with two gauges. Tolerance: a 2.5 % point of 512 random rows has a standard
    error of sqrt(0.025 * 0.975 / 512) / 0.0584 = 0.118 sd (Kendall and Stuart, order statistics), the width
    between two 4.3 %; three of those.
    """
    draws = Ensemble(seed=1, size=SIZE)

    def reading(value, gauge, name):
        return (
            value + draws.normal(f"calibration/{gauge}", 0.0, 3.0) + draws.normal(f"repeat/{name}", 0.0, 0.25)
        )

    one_gauge = band(reading(301.0, "a", "liquid") - reading(118.0, "a", "suction"))
    two_gauges = band(reading(301.0, "a", "liquid") - reading(118.0, "b", "suction"))
    assert one_gauge.value == two_gauges.value == 183.0
    width = one_gauge.high - one_gauge.low
    assert width == pytest.approx(2 * 1.959964 * 0.25 * 2**0.5, rel=0.13)
    apart = two_gauges.high - two_gauges.low
    assert apart == pytest.approx(2 * 1.959964 * (2 * (3.0**2 + 0.25**2)) ** 0.5, rel=0.13)
    # Without the repeatability nothing at all is left.
    calibration = draws.normal("calibration/a", 0.0, 3.0)
    left = band((301.0 + calibration) - (118.0 + calibration))
    assert (left.low, left.high) == pytest.approx((183.0, 183.0), abs=1e-9)


def test_rows_that_are_masked_or_not_finite_are_left_out():
    draws = np.array([5.0, *np.linspace(0.0, 10.0, 1001)])
    mask = draws <= 5.0
    mask[0] = True
    cut = band(draws, mask)
    # Uniform on 0-5: quantiles 0.125 and 4.875; 501 of 1001 rows remain.
    assert (cut.value, cut.low, cut.high) == pytest.approx((5.0, 0.125, 4.875), abs=1e-9)
    assert cut.masked == pytest.approx(500 / 1001, abs=1e-12)
    gaps = np.where(mask, draws, np.nan)
    assert band(gaps) == cut
    assert band(np.where(mask, draws, np.inf)) == cut
    assert possible_rows(gaps, draws >= 1.0).sum() == 1 + np.count_nonzero(
        (draws[1:] >= 1.0) & (draws[1:] <= 5.0)
    )


@pytest.mark.parametrize("central", [5.2, np.nan, np.inf])
def test_central_row_that_cannot_be_gives_way_to_the_median(central):
    """Uniform on 0-10: median 5, quantiles 0.25 and 9.75."""
    draws = np.array([central, *np.linspace(0.0, 10.0, 1001)])
    result = band(draws, np.arange(1002) > 0)
    assert (result.value, result.low, result.high) == pytest.approx((5.0, 0.25, 9.75), abs=1e-9)
    assert result.masked == 0.0


def test_not_known():
    draws = np.array([5.0, *np.linspace(0.0, 10.0, 100)])
    assert not band(draws, np.arange(101) < 20).known
    assert band(draws, np.arange(101) < 21).known
    assert not band(np.where(np.arange(101) < 20, draws, np.nan)).known
    assert not band(5.0).known and not NOT_KNOWN.known
    assert all(np.isnan([NOT_KNOWN.value, NOT_KNOWN.low, NOT_KNOWN.high]))


def column_with(successes: int, trials: int) -> np.ndarray:
    return np.array([False] + [True] * successes + [False] * (trials - successes))


# Wilson's score interval without continuity correction, as printed in Newcombe, Statistics in Medicine 17,
# 1998, 857-872, table I, method 3 (typed from memory; the next test confirms by another library).
@pytest.mark.parametrize(
    ("successes", "trials", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0000, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_interval_as_printed(successes, trials, low, high):
    result = share(column_with(successes, trials))
    assert result.value == pytest.approx(successes / trials, abs=1e-12)
    assert (result.low, result.high) == pytest.approx((low, high), abs=0.5e-4)


def wilson(successes: int, trials: int):
    """SciPy's interval of 95 %; the module takes a second to load."""
    from scipy.stats import binomtest

    return binomtest(successes, trials).proportion_ci(confidence_level=0.95, method="wilson")


@pytest.mark.parametrize(
    ("successes", "trials"), [(0, 512), (1, 512), (256, 512), (511, 512), (512, 512), (7, 20)]
)
def test_wilson_interval_against_scipy(successes, trials):
    expected = wilson(successes, trials)
    result = share(column_with(successes, trials))
    assert (result.low, result.high) == pytest.approx((expected.low, expected.high), abs=1e-12)
    assert 0.0 <= result.low <= result.value <= result.high <= 1.0


def test_share_counts_possible_rows_only():
    condition = column_with(30, 100)
    possible = np.array([False] + [True] * 60 + [False] * 40)
    result = share(condition, possible)
    assert result.value == 0.5 and result.masked == pytest.approx(0.4)
    expected = wilson(30, 60)
    assert (result.low, result.high) == pytest.approx((expected.low, expected.high), abs=1e-12)
    condition[0] = True
    assert share(condition, possible) == result
    assert not share(condition, np.arange(101) < 20).known
