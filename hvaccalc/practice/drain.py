"""Drain lines, traps and pans: least sizes of codes and published rules."""

from hvaccalc.practice.row import PUBLISHED, number

MINIMUM_SLOPE = number("1/8 in/ft", "slope", PUBLISHED, "IMC 307.2.1; Baltimore 314.2.1")
"""Least fall of a condensate drain."""
AUXILIARY_PAN_DEPTH = number("1.5 in", "length", PUBLISHED, "IRC M1411.3.1, 2018; IMC 307.2.3")
"""Least depth of the pan below the unit."""
AUXILIARY_PAN_EXCESS = number("3 in", "length", PUBLISHED, "IRC M1411.3.1, 2018; IMC 307.2.3")
"""By which that pan is larger than unit or coil."""
TRAP_MARGIN = number("1 in", "length", PUBLISHED, "both trap rules of `sources`")
"""Added to the suction head of a draw-through trap."""
BLOW_THROUGH_MARGIN = number("0.5 in", "length", PUBLISHED, "trap rules of `sources`")
"""Added to the pressure of a blow-through trap by one of two rules."""
