"""Refrigerant on board, in cylinders, hoses and machines."""

from hvaccalc.practice.row import MEMORY, PRACTICE, PUBLISHED, factor, number, span

SIBLING_SD = number(
    "10 %", "fraction", "charge by capacity of two circuits of one unit about each other (sd)", PRACTICE
)
INCLUDED_LINE = span(
    "15 ft",
    "25 ft",
    "length",
    "line that a factory charge covers where nobody typed it: makers print",
    PRACTICE,
)
OUTDOOR_VALVE_SHARE = number(
    "0.53",
    "",
    "a line behind an outdoor valve over the same line of liquid",
    PUBLISHED,
    "0.32 of 0.60 oz/ft printed for 3/8 in. R-410A",
)
LIQUID_LINE_TEMPERATURE = span(
    "77 degF", "110 degF", "temperature", "liquid in a line whose charge is reckoned full", PRACTICE
)
WIDE_CHARGE = number(
    "1.5", "", "high end over the likely charge from which cylinders are chosen for the high end", PRACTICE
)
COIL_VOLUME = {
    "condenser": factor(
        "2.965116e-7 m3/W",
        "2.2",
        "",
        "inside volume of a condenser for each watt of cooling",
        MEMORY,
        "sample split unit of 10.3 kW: 24 x 2.252 m of 8.49 mm bore",
    ),
    "evaporator": factor(
        "2.383721e-7 m3/W",
        "2.0",
        "",
        "inside volume of an evaporator for each watt of cooling",
        MEMORY,
        "sample split unit of 10.3 kW: 96 x 0.452 m of 8.49 mm bore",
    ),
}
LINE_SECTION = {
    "liquid": factor(
        "4.9e-9 m2/W",
        "1.8",
        "",
        "section of a liquid line for each watt: 3/8 in. at 3 tons, 5/8 in. at 7.5 tons",
        PRACTICE,
    ),
    "suction": factor(
        "22e-9 m2/W",
        "1.6",
        "",
        "section of a suction line for each watt: 3/4 in. at 3 tons, 1-1/8 in. at 7.5 tons",
        PRACTICE,
    ),
}
LABEL_SD = number(
    "2 %", "fraction", "spread (sd) of a charge as printed or weighed in, share of itself", PRACTICE
)
LINE_LENGTH = factor("18 m", "4.5", "length", "length of a line set that nobody typed", PRACTICE)
HAS_RECEIVER = number("25 %", "fraction", "share of units with a receiver where none is typed", MEMORY)
RECEIVER_VOLUME = factor("1.5e-7 m3/W", "2", "", "volume of a receiver for each watt", MEMORY)
OIL_CHARGE = factor(
    "1.1e-5 kg/W", "2.5", "", "refrigerant in the oil or standing in shell and drier for each watt", MEMORY
)
PUMPDOWN_LIQUID = number(
    "80 %",
    "fraction",
    "share of condenser and receiver that liquid fills at most, as the fill rule of cylinders",
    PUBLISHED,
    "AHRI Guideline K",
)
GUIDELINE_TEMPERATURE = number(
    "77 degF", "temperature", "at which a cylinder's fill is reckoned", PUBLISHED, "AHRI Guideline K"
)
CAUTIOUS_TEMPERATURE = number(
    "130 degF", "temperature", "at which a cylinder must not be full of liquid, cautiously", PRACTICE
)
LEGAL_TEMPERATURE = number(
    "131 degF", "temperature", "at which a cylinder must not be full of liquid", PUBLISHED, "49 CFR 173.301"
)
SERVICE_SHARE = number(
    "1.25", "", "pressure at 131 °F over a cylinder's service pressure, at most: 49 CFR 173.301(a)(8)", MEMORY
)
MOST_ALIKE = number("2 cylinders", "", "of one size are carried before the next size is", PRACTICE)
HOSE_BORE = number("4.8 mm", "length", "bore of a charging hose, 1/4 in.", PRACTICE)
HOSE_LENGTH = number("1.5 m", "length", "length of a charging hose, 5 ft", PRACTICE)
HOOK_UPS = span(
    "1",
    "4",
    "",
    "hoses full of liquid that a repair lets go or leaves in a machine: recover, test, weigh in",
    PRACTICE,
)
MACHINE = span("20 g", "150 g", "mass", "liquid left in a recovery machine that is not purged", PRACTICE)
ZONE_FILMS = {
    "liquid_film": span(
        "30 %",
        "60 %",
        "fraction",
        "transmittance of a liquid zone over that of condensing: films of 1,100 against 4,000 W/(m2 K)",
        MEMORY,
    ),
    "gas_film": span(
        "25 %", "55 %", "fraction", "transmittance of a gas zone over that of condensing or boiling", MEMORY
    ),
    "mean_difference": span(
        "50 %",
        "72 %",
        "fraction",
        "mean over entering temperature difference, air effectiveness of 0.8 to 0.5",
        MEMORY,
    ),
}
VISCOSITY_RATIO = span("6", "12", "", "liquid over vapour viscosity of R-410A at 45 and 8 °C", MEMORY)
MASS_FLUX = span("150 kg/(m2 s)", "400 kg/(m2 s)", "", "mass flux in usual coil tubes", MEMORY)
RECEIVER_FILLED = span("10 %", "50 %", "fraction", "liquid in a receiver in use", MEMORY)
