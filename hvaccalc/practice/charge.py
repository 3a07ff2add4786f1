"""Charge verdicts, their gates, and what tells one fault from another."""

from hvaccalc.practice.row import MEASURED, PRACTICE, PUBLISHED, number, span

STEADY_AFTER = number(
    "15 min",
    "time",
    "running time from which a circuit counts as steady",
    PUBLISHED,
    "California Title 24 RA3.2.2",
)
CHARGE_OUTDOOR = span(
    "55 degF",
    "115 degF",
    "temperature",
    "outdoor air of a charge check; superheat tables end at 115 °F",
    PUBLISHED,
    "California Title 24 RA3.2.2",
)
FLOODING_BELOW = number(
    "70 degF", "temperature", "outdoor air below which flooding head control holds liquid back", PRACTICE
)
TOLERANCE = number(
    "3 degF",
    "temperature_difference",
    "half width of 'as charted' by subcooling",
    PUBLISHED,
    "California Title 24 RA3.2.2.6, installer",
)
COMMON_SUBCOOLING = span(
    "10 degF",
    "15 degF",
    "temperature_difference",
    "of valve units whose label is lost: never a verdict",
    PRACTICE,
)
LOW_DISCHARGE_SUPERHEAT = span(
    "20 degF",
    "25 degF",
    "temperature_difference",
    "discharge superheat below which liquid came back",
    PRACTICE,
)
HIGH_OVER_OUTDOOR = number(
    "30 degF",
    "temperature_difference",
    "condensing above outdoor air from which the condenser is suspect",
    MEASURED,
    "sound units 17 to 24 °F, one with a blocked condenser 41 °F: NISTIR 7350; ORNL test building",
)
CIRCUITS_APART = number(
    "2 degF", "temperature_difference", "difference between two sound circuits of one unit (sd)", PRACTICE
)
OVERFED_SUPERHEAT = number(
    "5 degF", "temperature_difference", "superheat below which a valve counts as overfeeding", PRACTICE
)
UNIT_ABOUT_MODEL = number("2 degF", "temperature_difference", "a sound unit about its model (sd)", PRACTICE)
UNTYPED_CONDENSING_SD = number(
    "5 degF",
    "temperature_difference",
    "a sound unit's condensing saturation about its model where its rating was not typed (sd)",
    MEASURED,
    "17 to 24 °F over outdoors: NISTIR 7350; ORNL test building; condensers differ more than two",
)
VALVE_SUPERHEAT_SD = number(
    "2.5 degF", "temperature_difference", "set superheat of a valve about the usual one (sd)", PRACTICE
)
DRIER_DROP = number(
    "3 degF",
    "temperature_difference",
    "temperature drop across a drier from which it is restricted",
    PRACTICE,
)
MODEL_SUCTION_SD = number(
    "1.2 degF",
    "temperature_difference",
    "the unit model's suction saturation beside a measured one (sd)",
    MEASURED,
    "solver tests against NISTIR 7350",
)
HEATING_HEAD_SD = number(
    "2.5 degF",
    "temperature_difference",
    "error of the heating balance's condensing temperature (sd)",
    PRACTICE,
)
HEAD_RAISED = number(
    "5 degF",
    "temperature_difference",
    "rise of condensing by the low fan from which the head counts as raised",
    PRACTICE,
)
MOST_CAPACITY = number("130 %", "fraction", "capacity over the rated one that no weather gives", PRACTICE)
