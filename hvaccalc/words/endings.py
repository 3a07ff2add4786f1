"""What became of a cause, and what else is not in order, in words."""

from hvaccalc.rows import complete
from hvaccalc.service.in_order import Contrary
from hvaccalc.words.said import NOT_TOLD, Rows, Said, alike

REPAIRED = alike("Repaired on {day}.")
READ_RIGHT = Said("Read right on {day}.", "Checked and found right on {day}.")
AT_FIRST = alike("At first.")
"""Before a finding that is over, for the customer: it calls for nothing now."""

NOTED = Said('Noted of it: "{note}".', "{note}.")
"""The words of a work that is said to mend it."""

NOT_NOTED = Said("No note says what was done.", NOT_TOLD)
PROOF_DUE = Said("Proof still due.", "The return visit has to show that it lasts.")
WAS_OUT = Said(
    "As found on {day}, out of its limits: {checks}. {done} The proof still has to be given.",
    "On {day} this was not as it should be: {checks}. {done} The return visit has to show that it lasts.",
)
BEFORE_FASTER = Said("Before the fan's speed is raised", "Before the fan is sped up")
FASTER_NOW = Said(
    "What full speed asks of the fan, which should have it since its repair",
    "As the fan should run faster since its repair",
)
LEAK_REPAIRED = alike("Leak repaired on {day}.")
LEAK_AGAIN = Said(
    "Leak repaired on {day}, and the charge low again since.",
    "Leak repaired on {day}, and too little refrigerant again since.",
)
CHARGE_BEFORE = Said(
    "read before its repair of {day}: read it again",
    "Cooling circuit {circuit} was repaired on {day} and has to be read again; what was read before: it "
    "{verdict}.",
)


CONTRARIES: Rows = complete(
    Contrary,
    {
        Contrary.CAUSE_OPEN: alike("Found wrong and not put right: {part}."),
        Contrary.AIR_SHORT: Said(
            "{share:fraction} of the rated air with all stages called: read the fan's speed, then look at "
            "what holds the air back.",
            "With the whole cooling on, {share:fraction} of the air that the unit should move was measured: "
            "the reason has to be found.",
        ),
        Contrary.WATER_LOST: Said(
            "Part of what the coil makes does not reach the drain's outlet: find where it goes.",
            "Part of the water that the unit makes does not come out of its drain: it has to be found where "
            "it goes.",
        ),
        Contrary.WATER_WITH_COOLING_OFF: alike(
            "Water was seen with the cooling off: it is not the coil's own, look for another source."
        ),
        Contrary.PAN_FULL: Said("Water stands in the pan.", "Water stands in the drain pan."),
        Contrary.WATER_SEEN: alike("Water was seen where it does not belong: {places}."),
    },
)
