"""Refrigerant circuits: whether they run, what their readings may be, their lines and how they stand."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, number, span

CLEAR_RATIO = number("1.25", "", PRACTICE)
"""Pressure ratio that only a running compressor keeps up."""
LEVEL_RATIO = number("1.1", "", PRACTICE)
"""Pressure ratio below which there is no difference worth the name."""
IDLE_CURRENT = number("1 A", "current", PRACTICE)
"""Current below which a commercial compressor does not turn; crankcase heat draws less."""
LIQUID_SHARE_OF_DISCHARGE = span(
    "0.94", "0.98", "", MEASURED, "two units give 0.955 to 0.985: NISTIR 7350; ORNL test building"
)
"""Liquid pressure over discharge pressure where only one was read, absolute."""
OUTDOOR_SUCTION_DROP = span("1 degF", "2 degF", "temperature_difference", PRACTICE)
"""Suction saturation at the coil above that at the outdoor unit."""
CHART_REACH = number("10 degF", "temperature_difference", PRACTICE)
"""How far a chart of one point holds either side of its temperature."""

LIQUID_ABOVE_BUBBLE = number("5 degF", "temperature_difference", PRACTICE)
"""Liquid above its bubble temperature up to which it is evidence of a short circuit."""
MOST_SUPERHEAT = number("35 degF", "temperature_difference", PRACTICE)
"""Superheat that no running circuit shows with much subcooling; beyond it one may be all but empty."""
MOST_SUBCOOLING = number("35 degF", "temperature_difference", PRACTICE)
"""Subcooling that no running circuit shows with much superheat."""
BELOW_SATURATION = number("3 degF", "temperature_difference", PRACTICE)
"""Suction gas further below its saturation, beyond the band, cannot be."""
LIQUID_BELOW_AIR = number("15 degF", "temperature_difference", PRACTICE)
"""Liquid below the outdoor air that a subcooler, a cool room or a small restriction can make on its way."""
GAS_ABOVE_AIR = number("20 degF", "temperature_difference", PRACTICE)
"""Suction gas above the hottest air read, warmed by sun or roof."""
PLAUSIBLE_SUPERHEAT = span("2 degF", "30 degF", "temperature_difference", PRACTICE)
"""Superheat of a circuit that works."""
PLAUSIBLE_SUBCOOLING = span("2 degF", "25 degF", "temperature_difference", PRACTICE)
"""Subcooling of a circuit that works."""
PLAUSIBLE_OVER_OUTDOOR = span("8 degF", "45 degF", "temperature_difference", PRACTICE)
"""Condensing above the outdoor air of a circuit that works."""
EDGES_APART = number("1 degF", "temperature_difference", PRACTICE)
"""Difference between dew and bubble from which the wrong column matters."""

LONGEST_LINE = number("500 ft", "length", PRACTICE)
"""Line beyond which no split system is built; makers end at 150 to 250 ft."""
HIGHEST_RISE = number("300 ft", "length", PRACTICE)
"""Rise or fall beyond which no building carries one split system."""
FITTINGS = span("1.1", "1.6", "", PRACTICE)
"""Equivalent over measured length, for elbows, valves and drier."""
LIQUID_VISCOSITY = span("0.9e-4 Pa s", "1.8e-4 Pa s", "", MEMORY)
"""Of liquid refrigerants at usual states; friction follows its fifth root."""
VAPOUR_VISCOSITY = span("1.0e-5 Pa s", "1.4e-5 Pa s", "", MEMORY)
"""Of refrigerant vapours at usual states."""
UNREAD_LOAD = span("75 %", "110 %", "fraction", PRACTICE)
"""Heat of a running circuit over its share of the rating where its flow is not known."""
UNREAD_INSULATION = span("9 mm", "19 mm", "length", PRACTICE)
"""Insulation on a suction line where none is typed."""
LIQUID_HEAT_CAPACITY = number("1700 J/(kg K)", "", MEMORY)
"""Of liquid refrigerants at 40 °C, within 15 %; the correction is small."""
UNREAD_SUPERHEAT = number("5 K", "temperature_difference", PRACTICE)
"""Superheat of suction gas whose temperature was not read."""
MAP_SPREAD = number("2.5 %", "fraction", MEMORY)
"""Spread (sd) of a compressor's flow about its published map: ± 5 % of AHRI 540."""
SIZED_SPREAD = number("5 %", "fraction", PRACTICE, "NISTIR 7350: 5 % over the tests of one compressor")
"""Spread (sd) of a sound compressor's flow about what its circuit's rating says."""
METAL_SD = number("1.5 degF", "temperature_difference", PRACTICE)
"""Metal beside the air read at it, after a long stand in the shade (sd)."""
HIGH_PRESSURE_CUT_OUT = {
    "R-410A": span("610 psig", "650 psig", "", PRACTICE),
}
"""Where high-pressure cut-outs usually open."""
REMARKABLE_SUBCOOLING = number("25 degF", "temperature_difference", PRACTICE)
"""Subcooling beyond which it is remarked."""
STILL_AIR_FILM = span("6 W/(m2 K)", "12 W/(m2 K)", "", PRACTICE)
"""From still air to a line, with radiation."""
FOAM_CONDUCTIVITY = span("0.034 W/(m K)", "0.042 W/(m K)", "", MEMORY)
"""Of elastomeric foam, of its data sheets."""
