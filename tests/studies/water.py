"""The water budget on synthetic sites with one true way: is it ever ruled out, and how many others are."""

from collections import defaultdict

from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.water.budget import water_budget
from hvaccalc.diagnosis.water.mechanism import Ability
from tests.water_sites import NAMES, Site, sites

COUNT, DRAWS = 300, 128


def verdicts(site: Site) -> tuple[dict[str, str], str | None]:
    """Verdict of every mechanism on a site, and the one that stands out.

    Without the freeze forecast, which would only add to what the readings say of ice.
    """
    analysis = Analysis(site.job, DRAWS)
    budget = water_budget(analysis.draws, analysis.conditions, None)
    assert budget is not None
    return {name: one.text for name, one in budget.weighed.items()}, budget.dominant


def summary(those: list[Site]) -> dict:
    """Shares over sites."""
    outcomes = [(site.truth, *verdicts(site)) for site in those]
    by_truth: dict[str, list[str]] = defaultdict(list)
    for truth, texts, _ in outcomes:
        by_truth[truth].append(texts[truth])
    others = [
        text == Ability.CANNOT
        for truth, texts, _ in outcomes
        for name, text in texts.items()
        if name != truth
    ]
    told = [dominant for _, _, dominant in outcomes]
    return {
        "sites": len(those),
        "true way called cannot": sum(texts[truth] == Ability.CANNOT for truth, texts, _ in outcomes),
        "true way called can make it": sum(texts[truth] == Ability.CAN for truth, texts, _ in outcomes),
        "share of the others ruled out": round(sum(others) / len(others), 4),
        "stands out": sum(one is not None for one in told),
        "stands out and true": sum(d == truth for truth, _, d in outcomes),
        "true way": {
            name: {text: texts.count(text) for text in dict.fromkeys(texts)}
            for name in NAMES
            if (texts := by_truth[name])
        },
    }


def run(seed: int) -> dict:
    """300 sites, with signs noted and with amount, time and place alone."""
    those = sites(COUNT, seed)
    return {"noted": summary(those), "amount, time and place alone": summary([one.bare() for one in those])}
