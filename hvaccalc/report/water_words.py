"""The ways of the water in plain words, and what each calls for."""

from __future__ import annotations

from hvaccalc.diagnosis.water.budget import BY_AMOUNT, BY_PLACE, BY_SIGHT, BY_TIME, WaterBudget
from hvaccalc.words.said import joined

PLAIN = {
    "condensate": "the unit's ordinary condensate at the end of its drain",
    "melt": "ice on the cooling coil that melts",
    "pan_overflow": "a drain pan that runs over because its drain takes too little",
    "trap": "a drain trap that cannot hold against the fan, so that the pan cannot empty while it runs",
    "carry_over": "drops that too fast air blows off the cooling coil into the duct",
    "coil_drip": "water that drips off the slanted cooling coil beside its pan",
    "sweating": "room air that sweats on cold surfaces of the unit or its duct",
    "pan_leak": "a cracked or crooked drain pan",
    "pump": "the condensate pump",
    "hot_water_coil": "a leaking heating coil",
    "outside": "water from outside the unit, such as a pipe or the roof",
    "shut_down_drain": "water that the coil lets go when the unit stops",
}

SHORT = {
    "melt": "ice",
    "pan_overflow": "a blocked drain",
    "trap": "the trap",
    "carry_over": "water blown off the coil",
    "coil_drip": "drip off the coil",
    "sweating": "sweating",
    "pan_leak": "the pan itself",
    "pump": "the pump",
    "hot_water_coil": "the heating coil",
    "outside": "water from outside the unit",
    "shut_down_drain": "the film of water that clings to the coil until the unit stops",
}
"""For a list of what is ruled out; ordinary condensate is left out of it."""

NO_DRAIN_WORK = "; no drain work", "; the drain needs no work"
"""Said of air that blows water off the coil, for the file and for the customer."""

BLOWN_TRAP = (
    "Rebuild the trap so that its seal holds the fan's pressure at full speed with clean filters, with a "
    "plug for filling and cleaning; fill it, and prove that no air blows out and the pan is dry.",
    "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
)
"""Of a coil that the fan blows through."""

REPAIRS = {
    "pan_overflow": (
        "Open the drain over its whole length, see that it falls 1 % and is as large as the pan's outlet, "
        "and prove it with the fan at full speed and the door closed.",
        "Open the drain line over its whole length and prove it with the unit running.",
    ),
    "trap": (
        "Rebuild the trap for the suction with loaded filters, with a plug for filling and cleaning; fill "
        "it, and prove the pan dry with the fan at full speed and all panels on.",
        "Rebuild the drain's water trap so that it holds against the fan, and fill it.",
    ),
    "carry_over": (
        "Bring the air through the coil below 500 ft/min (2.5 m/s): fan speed or sheave of the data sheet"
        f"{NO_DRAIN_WORK[0]}. Prove it by a dry duct on a humid day and by the water at the drain against "
        "what the air loses.",
        f"Bring the air through the coil back to what it can hold{NO_DRAIN_WORK[1]}.",
    ),
    "coil_drip": (
        "Bring the pan, or a lip on it, under the whole slanted face of the coil.",
        "Bring the drain pan under the whole cooling coil.",
    ),
    "sweating": (
        "Insulate what sweats, joints and hangers too, with its vapour retarder closed and no gap; then see "
        "whether the air inside is colder than it should be.",
        "Insulate the cold surfaces that sweat, without gaps.",
    ),
    "pan_leak": (
        "Level the pan or replace it; prove it with water standing for an hour.",
        "Level or replace the drain pan.",
    ),
    "pump": (
        "Mend or replace the condensate pump, with its alarm wired to stop the cooling.",
        "Mend or replace the condensate pump.",
    ),
    "hot_water_coil": (
        "Isolate the heating coil, find the joint or tube that leaks, mend it and prove it under pressure.",
        "Mend the leaking heating coil.",
    ),
    "outside": (
        "No work on the unit: open what lies above it and find the pipe, drain or roof that leaks, with its "
        "owner. Cover the unit's electrical parts until then.",
        "No work on the unit: the pipe, drain or roof above it has to be found and mended.",
    ),
    "shut_down_drain": (
        "Bring the pan under all of the coil, so that what it lets go at a stop falls into it.",
        "Bring the drain pan under the whole cooling coil.",
    ),
}
"""What a way of the water calls for, for the file and for the customer; common practice, no source."""


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
    for against, lead in RULED_OUT.items():
        names = [n for n in budget.ruled_out if n in SHORT and budget.weighed[n].against == against]
        told += [f"{lead}: {joined([SHORT[name] for name in names])}."] if names else []
    for against, lead in NOT_ALONE.items():
        names = [n for n in budget.beside if n in SHORT and budget.weighed[n].against == against]
        told += [f"{lead}: {joined([SHORT[name] for name in names])}."] if names else []
    return told


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
