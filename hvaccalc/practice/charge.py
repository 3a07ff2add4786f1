"""Charge verdicts, their gates, and what tells one fault from another."""

from hvaccalc.practice.row import MEASURED, PRACTICE, PUBLISHED, number, span

STEADY_AFTER = number("15 min", "time", PUBLISHED, "California Title 24 RA3.2.2")
"""Running time from which a circuit counts as steady."""
CHARGE_OUTDOOR = span("55 degF", "115 degF", "temperature", PUBLISHED, "California Title 24 RA3.2.2")
"""Outdoor air of a charge check; superheat tables end at 115 °F."""
FLOODING_BELOW = number("70 degF", "temperature", PRACTICE)
"""Outdoor air below which flooding head control holds liquid back."""
TOLERANCE = number("3 degF", "temperature_difference", PUBLISHED, "California Title 24 RA3.2.2.6, installer")
"""Half width of 'as charted' by subcooling."""
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
