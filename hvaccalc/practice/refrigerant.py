"""Refrigerant on board, in cylinders, hoses and machines."""

from hvaccalc.practice.row import MEMORY, PRACTICE, PUBLISHED, factor, number, span

SIBLING_SD = number("10 %", "fraction", PRACTICE)
"""Charge by capacity of two circuits of one unit about each other (sd)."""
INCLUDED_LINE = span("15 ft", "25 ft", "length", PRACTICE)
"""Line that a factory charge covers where nobody typed it: makers print."""
OUTDOOR_VALVE_SHARE = number("0.53", "", PUBLISHED, "0.32 of 0.60 oz/ft printed for 3/8 in. R-410A")
"""A line behind an outdoor valve over the same line of liquid."""
LIQUID_LINE_TEMPERATURE = span("77 degF", "110 degF", "temperature", PRACTICE)
"""Liquid in a line whose charge is reckoned full."""
WIDE_CHARGE = number("1.5", "", PRACTICE)
"""High end over the likely charge from which cylinders are chosen for the high end."""
COIL_VOLUME = {
    "condenser": factor(
        "2.965116e-7 m3/W", "2.2", "", MEMORY, "sample split unit of 10.3 kW: 24 x 2.252 m of 8.49 mm bore"
    ),
    "evaporator": factor(
        "2.383721e-7 m3/W", "2.0", "", MEMORY, "sample split unit of 10.3 kW: 96 x 0.452 m of 8.49 mm bore"
    ),
}
"""Inside volume of a condenser for each watt of cooling.
Inside volume of an evaporator for each watt of cooling.
"""
LINE_SECTION = {
    "liquid": factor("4.9e-9 m2/W", "1.8", "", PRACTICE),
    "suction": factor("22e-9 m2/W", "1.6", "", PRACTICE),
}
"""Section of a liquid line for each watt: 3/8 in. at 3 tons, 5/8 in. at 7.5 tons.
Section of a suction line for each watt: 3/4 in. at 3 tons, 1-1/8 in. at 7.5 tons.
"""
LABEL_SD = number("2 %", "fraction", PRACTICE)
"""Spread (sd) of a charge as printed or weighed in, share of itself."""
LINE_LENGTH = factor("18 m", "4.5", "length", PRACTICE)
"""Length of a line set that nobody typed."""
HAS_RECEIVER = number("25 %", "fraction", MEMORY)
"""Share of units with a receiver where none is typed."""
RECEIVER_VOLUME = factor("1.5e-7 m3/W", "2", "", MEMORY)
"""Volume of a receiver for each watt."""
OIL_CHARGE = factor("1.1e-5 kg/W", "2.5", "", MEMORY)
"""Refrigerant in the oil or standing in shell and drier for each watt."""
PUMPDOWN_LIQUID = number("80 %", "fraction", PUBLISHED, "AHRI Guideline K")
"""Share of condenser and receiver that liquid fills at most, as the fill rule of cylinders."""
GUIDELINE_TEMPERATURE = number("77 degF", "temperature", PUBLISHED, "AHRI Guideline K")
"""At which a cylinder's fill is reckoned."""
CAUTIOUS_TEMPERATURE = number("130 degF", "temperature", PRACTICE)
"""At which a cylinder must not be full of liquid, cautiously."""
LEGAL_TEMPERATURE = number("131 degF", "temperature", PUBLISHED, "49 CFR 173.301")
"""At which a cylinder must not be full of liquid."""
SERVICE_SHARE = number("1.25", "", MEMORY)
"""Pressure at 131 °F over a cylinder's service pressure, at most: 49 CFR 173.301(a)(8)."""
MOST_ALIKE = number("2 cylinders", "", PRACTICE)
"""Of one size are carried before the next size is."""
HOSE_BORE = number("4.8 mm", "length", PRACTICE)
"""Bore of a charging hose, 1/4 in."""
HOSE_LENGTH = number("1.5 m", "length", PRACTICE)
"""Length of a charging hose, 5 ft."""
HOOK_UPS = span("1", "4", "", PRACTICE)
"""Hoses full of liquid that a repair lets go or leaves in a machine: recover, test, weigh in."""
MACHINE = span("20 g", "150 g", "mass", PRACTICE)
"""Liquid left in a recovery machine that is not purged."""
ZONE_FILMS = {
    "liquid_film": span("30 %", "60 %", "fraction", MEMORY),
    "gas_film": span("25 %", "55 %", "fraction", MEMORY),
    "mean_difference": span("50 %", "72 %", "fraction", MEMORY),
}
"""Transmittance of a liquid zone over that of condensing: films of 1,100 against 4,000 W/(m2 K).
Transmittance of a gas zone over that of condensing or boiling.
Mean over entering temperature difference, air effectiveness of 0.8 to 0.5.
"""
VISCOSITY_RATIO = span("6", "12", "", MEMORY)
"""Liquid over vapour viscosity of R-410A at 45 and 8 °C."""
MASS_FLUX = span("150 kg/(m2 s)", "400 kg/(m2 s)", "", MEMORY)
"""Mass flux in usual coil tubes."""
RECEIVER_FILLED = span("10 %", "50 %", "fraction", MEMORY)
"""Liquid in a receiver in use."""
