"""Drain lines, traps and pans: least sizes of codes and published rules."""

from hvaccalc.practice.row import PUBLISHED, number

MINIMUM_SLOPE = number(
    "1/8 in/ft", "slope", "least fall of a condensate drain", PUBLISHED, "IMC 307.2.1; Baltimore 314.2.1"
)
AUXILIARY_PAN_DEPTH = number(
    "1.5 in", "length", "least depth of the pan below the unit", PUBLISHED, "IRC M1411.3.1, 2018; IMC 307.2.3"
)
AUXILIARY_PAN_EXCESS = number(
    "3 in",
    "length",
    "by which that pan is larger than unit or coil",
    PUBLISHED,
    "IRC M1411.3.1, 2018; IMC 307.2.3",
)
TRAP_MARGIN = number(
    "1 in",
    "length",
    "added to the suction head of a draw-through trap",
    PUBLISHED,
    "both trap rules of `sources`",
)
BLOW_THROUGH_MARGIN = number(
    "0.5 in",
    "length",
    "added to the pressure of a blow-through trap by one of two rules",
    PUBLISHED,
    "trap rules of `sources`",
)
