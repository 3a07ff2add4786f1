"""Refrigerant circuits: whether they run, what their readings may be, their lines and how they stand."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, number, span

CLEAR_RATIO = number("1.25", "", "pressure ratio that only a running compressor keeps up", PRACTICE)
LEVEL_RATIO = number("1.1", "", "pressure ratio below which there is no difference worth the name", PRACTICE)
IDLE_CURRENT = number(
    "1 A",
    "current",
    "current below which a commercial compressor does not turn; crankcase heat draws less",
    PRACTICE,
)
LIQUID_SHARE_OF_DISCHARGE = span(
    "0.94",
    "0.98",
    "",
    "liquid pressure over discharge pressure where only one was read, absolute",
    MEASURED,
    "two units give 0.955 to 0.985: NISTIR 7350; ORNL test building",
)
OUTDOOR_SUCTION_DROP = span(
    "1 degF",
    "2 degF",
    "temperature_difference",
    "suction saturation at the coil above that at the outdoor unit",
    PRACTICE,
)
CHART_REACH = number(
    "10 degF",
    "temperature_difference",
    "how far a chart of one point holds either side of its temperature",
    PRACTICE,
)

LIQUID_ABOVE_BUBBLE = number(
    "5 degF",
    "temperature_difference",
    "liquid above its bubble temperature up to which it is evidence of a short circuit",
    PRACTICE,
)
MOST_SUPERHEAT = number(
    "35 degF",
    "temperature_difference",
    "superheat that no running circuit shows with much subcooling; beyond it one may be all but empty",
    PRACTICE,
)
MOST_SUBCOOLING = number(
    "35 degF",
    "temperature_difference",
    "subcooling that no running circuit shows with much superheat",
    PRACTICE,
)
BELOW_SATURATION = number(
    "3 degF",
    "temperature_difference",
    "suction gas further below its saturation, beyond the band, cannot be",
    PRACTICE,
)
LIQUID_BELOW_AIR = number(
    "15 degF",
    "temperature_difference",
    "liquid below the outdoor air that a subcooler, a cool room or a small restriction can make on its way",
    PRACTICE,
)
GAS_ABOVE_AIR = number(
    "20 degF",
    "temperature_difference",
    "suction gas above the hottest air read, warmed by sun or roof",
    PRACTICE,
)
PLAUSIBLE_SUPERHEAT = span(
    "2 degF", "30 degF", "temperature_difference", "superheat of a circuit that works", PRACTICE
)
PLAUSIBLE_SUBCOOLING = span(
    "2 degF", "25 degF", "temperature_difference", "subcooling of a circuit that works", PRACTICE
)
PLAUSIBLE_OVER_OUTDOOR = span(
    "8 degF",
    "45 degF",
    "temperature_difference",
    "condensing above the outdoor air of a circuit that works",
    PRACTICE,
)
EDGES_APART = number(
    "1 degF",
    "temperature_difference",
    "difference between dew and bubble from which the wrong column matters",
    PRACTICE,
)

LONGEST_LINE = number(
    "500 ft", "length", "line beyond which no split system is built; makers end at 150 to 250 ft", PRACTICE
)
HIGHEST_RISE = number(
    "300 ft", "length", "rise or fall beyond which no building carries one split system", PRACTICE
)
FITTINGS = span("1.1", "1.6", "", "equivalent over measured length, for elbows, valves and drier", PRACTICE)
LIQUID_VISCOSITY = span(
    "0.9e-4 Pa s",
    "1.8e-4 Pa s",
    "",
    "of liquid refrigerants at usual states; friction follows its fifth root",
    MEMORY,
)
VAPOUR_VISCOSITY = span("1.0e-5 Pa s", "1.4e-5 Pa s", "", "of refrigerant vapours at usual states", MEMORY)
UNREAD_LOAD = span(
    "75 %",
    "110 %",
    "fraction",
    "heat of a running circuit over its share of the rating where its flow is not known",
    PRACTICE,
)
UNREAD_INSULATION = span(
    "9 mm", "19 mm", "length", "insulation on a suction line where none is typed", PRACTICE
)
LIQUID_HEAT_CAPACITY = number(
    "1700 J/(kg K)", "", "of liquid refrigerants at 40 °C, within 15 %; the correction is small", MEMORY
)
UNREAD_SUPERHEAT = number(
    "5 K", "temperature_difference", "superheat of suction gas whose temperature was not read", PRACTICE
)
MAP_SPREAD = number(
    "2.5 %",
    "fraction",
    "spread (sd) of a compressor's flow about its published map: ± 5 % of AHRI 540",
    MEMORY,
)
SIZED_SPREAD = number(
    "5 %",
    "fraction",
    "spread (sd) of a sound compressor's flow about what its circuit's rating says",
    PRACTICE,
    "NISTIR 7350: 5 % over the tests of one compressor",
)
METAL_SD = number(
    "1.5 degF",
    "temperature_difference",
    "metal beside the air read at it, after a long stand in the shade (sd)",
    PRACTICE,
)
HIGH_PRESSURE_CUT_OUT = {
    "R-410A": span("610 psig", "650 psig", "", "where high-pressure cut-outs usually open", PRACTICE)
}
REMARKABLE_SUBCOOLING = number(
    "25 degF", "temperature_difference", "subcooling beyond which it is remarked", PRACTICE
)
STILL_AIR_FILM = span("6 W/(m2 K)", "12 W/(m2 K)", "", "from still air to a line, with radiation", PRACTICE)
FOAM_CONDUCTIVITY = span(
    "0.034 W/(m K)", "0.042 W/(m K)", "", "of elastomeric foam, of its data sheets", MEMORY
)
