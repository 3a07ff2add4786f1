"""What speaks against a way of the water, and a guard of the pan that is missing, in words."""

from __future__ import annotations

from hvaccalc.diagnosis.water.budget import BY_AMOUNT, BY_PLACE, BY_SIGHT, BY_TIME, WaterBudget
from hvaccalc.job.causes import Way
from hvaccalc.words.said import joined
from hvaccalc.words.water import WAYS

_CODE = (
    "The mechanical code asks for one of them where an overflow can damage the building (IMC 307.2.3, from "
    "memory; the edition adopted on site counts)."
)

GUARDS = {
    "none": (
        "Overflow protection.",
        "There is none. Fit a float switch above the pan's outlet and below its rim that stops the cooling, "
        f"or an auxiliary pan with its own drain, ending where it is seen. {_CODE} Prove it: fill the pan "
        "until the cooling stops.",
        "Fit a switch that stops the cooling before the drain pan runs over, or a second pan with its own "
        "drain.",
    ),
    "not noted": (
        "Float switch.",
        "None was noted, nor an auxiliary pan: look for one. Where there is none, fit a float switch that "
        f"stops the cooling, or an auxiliary pan with its own drain. {_CODE}",
        "See whether a switch stops the cooling before the drain pan is full; if there is none, have one "
        "fitted, or a second pan with its own drain.",
    ),
    "did not stop the cooling": (
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
    for leads, ways in ((RULED_OUT, budget.ruled_out), (NOT_ALONE, budget.beside)):
        for against, lead in leads.items():
            names = [_short(way) for way in ways if budget.weighed[way].against == against]
            if names := [name for name in names if name]:
                told.append(f"{lead}: {joined(names)}.")
    return told


def _short(way: str) -> str:
    """A way in a list for the customer; empty for one that is left out of it."""
    return WAYS[Way(way)].title.customer


RULED_OUT = {
    BY_SIGHT: "Ruled out by what was seen or measured",
    BY_TIME: "Ruled out, as it does not come when the water comes",
    BY_PLACE: "Ruled out, as it would wet other places",
    BY_AMOUNT: "Ruled out, as it brings too little",
}
NOT_ALONE = {
    BY_PLACE: "Would not reach every place where water was seen, so not the whole story, but not excluded",
    BY_TIME: "Would not come every time that water came, so not the whole story, but not excluded",
}
"""What speaks against a way, for the customer."""
