"""What speaks against a way of the water, and a guard of the pan that is missing, in words."""

from __future__ import annotations

from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.verdicts import Guard
from hvaccalc.words.said import joined
from hvaccalc.words.water import AGAINST, NOT_THE_WHOLE_STORY, WAYS

_CODE = (
    "The mechanical code asks for one of them where an overflow can damage the building (IMC 307.2.3, from "
    "memory; the edition adopted on site counts)."
)

GUARDS = {
    Guard.NONE: (
        "Overflow protection.",
        "There is none. Fit a float switch above the pan's outlet and below its rim that stops the cooling, "
        f"or an auxiliary pan with its own drain, ending where it is seen. {_CODE} Prove it: fill the pan "
        "until the cooling stops.",
        "Fit a switch that stops the cooling before the drain pan runs over, or a second pan with its own "
        "drain.",
    ),
    Guard.NOT_NOTED: (
        "Float switch.",
        "None was noted, nor an auxiliary pan: look for one. Where there is none, fit a float switch that "
        f"stops the cooling, or an auxiliary pan with its own drain. {_CODE}",
        "See whether a switch stops the cooling before the drain pan is full; if there is none, have one "
        "fitted, or a second pan with its own drain.",
    ),
    Guard.DID_NOT_STOP: (
        "Float switch.",
        "It is fitted, and the pan ran over all the same: fill the pan by hand and see that it stops the "
        "cooling; find out whether it was bridged, stuck, or set above the rim. Never bridge it.",
        "The switch that should stop the cooling before the drain pan runs over did not: it has to be tried "
        "and mended.",
    ),
}
"""A guard of the pan that is missing: its lead, and what to do, for the file and for the customer."""


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
