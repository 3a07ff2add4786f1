"""What is not in order, in words."""

from hvaccalc.rows import complete
from hvaccalc.service.in_order import Contrary
from hvaccalc.words.said import Rows, Said, alike

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
