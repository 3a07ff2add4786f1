"""What speaks against a way of the water, in words."""

from __future__ import annotations

from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.words.said import joined
from hvaccalc.words.water import AGAINST, NOT_THE_WHOLE_STORY, WAYS


def ruled_out_plainly(budget: WaterBudget) -> list[str]:
    """Sentences on the ways that are ruled out, and on those that could only add to it."""
    if not budget.matched:
        return []
    told = []
    leads = {against: said.customer for against, said in AGAINST.items()}
    for lead_of, ways in ((leads, budget.ruled_out), (NOT_THE_WHOLE_STORY, budget.beside)):
        for against, lead in lead_of.items():
            names = [WAYS[way].title.customer for way in ways if budget.weighed[way].against is against]
            if names := [name for name in names if name]:
                told.append(f"{lead}: {joined(names)}.")
    return told
