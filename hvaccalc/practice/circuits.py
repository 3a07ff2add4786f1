"""Refrigerant circuits: whether they run, what readings and lines may be; charge verdicts and their gates."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, number, span

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
CHART_OFF_LINE = number("5 degF", "temperature_difference", PRACTICE)
"""How far a point of a charging chart may lie from the line of the others."""

LIQUID_ABOVE_BUBBLE = number("5 degF", "temperature_difference", PRACTICE)
"""Liquid above its bubble temperature up to which it is evidence of a shortage."""
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
HIGH_PRESSURE_CUT_OUT = {"R-410A": span("610 psig", "650 psig", "", PRACTICE)}
"""Where high-pressure cut-outs usually open."""
REMARKABLE_SUBCOOLING = number("25 degF", "temperature_difference", PRACTICE)
"""Subcooling beyond which it is remarked."""
STILL_AIR_FILM = span("6 W/(m2 K)", "12 W/(m2 K)", "", PRACTICE)
"""From still air to a line, with radiation."""
FOAM_CONDUCTIVITY = span("0.034 W/(m K)", "0.042 W/(m K)", "", MEMORY)
"""Of elastomeric foam, of its data sheets."""


STEADY_AFTER = number("15 min", "time", PUBLISHED, "California Title 24 RA3.2.2")
"""Running time from which a circuit counts as steady."""
CHARGE_OUTDOOR = span("55 degF", "115 degF", "temperature", PUBLISHED, "California Title 24 RA3.2.2")
"""Outdoor air of a charge check; superheat tables end at 115 °F."""
FLOODING_BELOW = number("70 degF", "temperature", PRACTICE)
"""Outdoor air below which flooding head control holds liquid back."""
ODD_ONE_OUT = number(
    "3 degF", "temperature_difference", PUBLISHED, "California Title 24 RA3.2.2.6, installer"
)
"""Off its target by more than this and than the other, the fuller of two circuits is the odd one."""
COMMON_SUBCOOLING = span("10 degF", "15 degF", "temperature_difference", PRACTICE)
"""Of valve units whose label is lost: never a verdict."""
LOW_DISCHARGE_SUPERHEAT = span("20 degF", "25 degF", "temperature_difference", PRACTICE)
"""Discharge superheat below which liquid came back."""
HIGH_OVER_OUTDOOR = number(
    "30 degF",
    "temperature_difference",
    MEASURED,
    "sound units 17 to 24 °F, one with a blocked condenser 41 °F: NISTIR 7350; ORNL test building",
)
"""Condensing above outdoor air from which the condenser is suspect."""
PLATE_SHARE = number("100 %", "fraction", PRACTICE)
"""Compressor current over the plate's rated load current from which it is remarked."""
OVERLOAD_SHARE = number("110 %", "fraction", PRACTICE)
"""Compressor current over the plate's from which it is overloaded, whatever the meter's band."""
VALVE_BY_PASS = number("5 degF", "temperature_difference", PRACTICE)
"""Suction gas warmer behind a reversing valve than before it from which hot gas by-passes in it."""
CIRCUITS_APART = number("2 degF", "temperature_difference", PRACTICE)
"""Difference between two sound circuits of one unit (sd)."""
OVERFED_SUPERHEAT = number("5 degF", "temperature_difference", PRACTICE)
"""Superheat below which a valve counts as overfeeding."""
UNIT_ABOUT_MODEL = number("2 degF", "temperature_difference", PRACTICE)
"""A sound unit about its model (sd)."""
UNTYPED_CONDENSING_SD = number(
    "5 degF",
    "temperature_difference",
    MEASURED,
    "17 to 24 °F over outdoors: NISTIR 7350; ORNL test building; condensers differ more than two",
)
"""A sound unit's condensing saturation about its model where its rating was not typed (sd)."""
VALVE_SUPERHEAT_SD = number("2.5 degF", "temperature_difference", PRACTICE)
"""Set superheat of a valve about the usual one (sd)."""
DRIER_DROP = number("3 degF", "temperature_difference", PRACTICE)
"""Temperature drop across a drier from which it is restricted."""
MODEL_SUCTION_SD = number("1.2 degF", "temperature_difference", MEASURED, "solver tests against NISTIR 7350")
"""The unit model's suction saturation beside a measured one (sd)."""
HEATING_HEAD_SD = number("2.5 degF", "temperature_difference", PRACTICE)
"""Error of the heating balance's condensing temperature (sd)."""
HEAD_RAISED = number("5 degF", "temperature_difference", PRACTICE)
"""Rise of condensing by the low fan from which the head counts as raised."""
MOST_CAPACITY = number("130 %", "fraction", PRACTICE)
"""Capacity over the rated one that no weather gives."""


FEWEST_READINGS = number("4 readings", "", PRACTICE)
"""Readings that a model can be held against, below which none is judged by the others."""
TAILS = number("6 degrees of freedom", "", PRACTICE)
"""Of Student's t: readings miss a model by much more often than a normal distribution has it."""
FAULT_SPREAD = number("30 %", "fraction", PRACTICE)
"""How far a fault moves a reading more or less than its model (sd)."""
ONE_FAULT = number("40 %", "fraction", PRACTICE)
"""Units called for that have one fault."""
TWO_FAULTS = number("12 %", "fraction", PRACTICE)
"""Units called for that have a fault in each of two circuits."""
AIR_INSIDE = (
    number("5 degF", "temperature_difference", PRACTICE),
    number("10 degF", "temperature_difference", PRACTICE),
    number("15 degF", "temperature_difference", PRACTICE),
)
"""How far air in a circuit raises its condensing temperature: a little, much, most."""
HIGH_SETTING = (
    number("5 degF", "temperature_difference", PRACTICE),
    number("8 degF", "temperature_difference", PRACTICE),
)
"""How far a valve may be set above the usual superheat."""
WIDE_OPEN = (
    number("5 degF", "temperature_difference", PRACTICE),
    number("9 degF", "temperature_difference", PRACTICE),
)
"""How far a valve that stands open raises the suction saturation of its circuit."""
SOLVED_OUTDOORS = span("60 degF", "112 degF", "temperature", PRACTICE)
"""Outdoor air for which the unit is solved where what was typed lies beyond."""
SOLVED_ENTERING = span("64 degF", "88 degF", "temperature", PRACTICE)
"""Entering air for which the unit is solved where what was typed lies beyond."""
SOLVED_HUMIDITY = span("4 g/kg", "18 g/kg", "humidity_ratio", PRACTICE)
"""Entering humidity for which the unit is solved where what was typed lies beyond."""
SHARES_OF_AIR = (
    number("62 %", "fraction", PRACTICE),
    number("14 %", "fraction", PRACTICE),
    number("10 %", "fraction", PRACTICE),
    number("9 %", "fraction", PRACTICE),
    number("5 %", "fraction", PRACTICE),
)
"""How often the air is what it should be, and 85, 70, 55 and 42 % of that, where it was not measured."""
SOLVED_AIRFLOW = span("40 %", "125 %", "fraction", PRACTICE)
"""Airflow over the rated one for which the unit is solved where what was typed lies beyond."""
ALIKE_WRONG = {
    "suction saturation": number("1.9 degF", "temperature_difference", PRACTICE),
    "superheat": number("2.3 degF", "temperature_difference", PRACTICE),
    "condensing saturation": number("2 degF", "temperature_difference", PRACTICE),
    "subcooling": number("2.3 degF", "temperature_difference", PRACTICE),
    "loss of the condenser": number("1.5 degF", "temperature_difference", PRACTICE),
    "supply": number("1.5 degF", "temperature_difference", PRACTICE),
    "supply humidity": number("1 degF", "temperature_difference", PRACTICE),
}
"""How far the model of a unit is off in all of its circuits alike (sd)."""
EACH_WRONG = {
    "suction saturation": number("0.9 degF", "temperature_difference", PRACTICE),
    "superheat": number("1.5 degF", "temperature_difference", PRACTICE),
    "condensing saturation": number("1.3 degF", "temperature_difference", PRACTICE),
    "subcooling": number("1.5 degF", "temperature_difference", PRACTICE),
    "loss of the condenser": number("0.5 degF", "temperature_difference", PRACTICE),
}
"""How far a sound circuit is off by itself (sd)."""

MISTYPED = number("3 %", "fraction", PRACTICE)
"""Conditions with a mistyped reading."""
MISTAKES = {
    "another unit of pressure": number("20 %", "fraction", PRACTICE),
    "degrees C for F": number("15 %", "fraction", PRACTICE),
    "a digit dropped or exchanged": number("20 %", "fraction", PRACTICE),
    "probes exchanged": number("15 %", "fraction", PRACTICE),
    "outdoor and entering air exchanged": number("3 %", "fraction", PRACTICE),
    "read on the other circuit": number("20 %", "fraction", PRACTICE),
    "unknown": number("7 %", "fraction", PRACTICE),
}
"""How often a mistake is of each way, over all the places where it can happen."""
MISTYPED_BY = number("100 degF", "temperature_difference", PRACTICE)
"""Range over which a reading may lie of whose mistake nothing is known."""
MISTYPED_MAYBE = number("3 %", "fraction", PRACTICE)
"""Probability of one mistake from which its reading is asked for again."""
MISTYPED_UNEXPLAINED = number("10 %", "fraction", PRACTICE)
"""The same where no slip explains it."""
MISTYPED_SURE = number("75 %", "fraction", PRACTICE)
"""Probability of one mistake from which nothing is concluded from its reading."""
