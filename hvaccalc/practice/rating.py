"""What stands for a rating that was not typed, and how far a typed one may be off."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, number, span, spread

RATED_RETURN_DRY_BULB = number(
    "80 degF", "temperature", "return dry bulb at the rating where none is typed", PUBLISHED, "AHRI 340/360"
)
RATED_RETURN_WET_BULB = number(
    "67 degF", "temperature", "return wet bulb at the rating where none is typed", PUBLISHED, "AHRI 340/360"
)
RATED_OUTDOOR = number(
    "95 degF", "temperature", "outdoor air at the rating where none is typed", PUBLISHED, "AHRI 340/360"
)
RATED_SUCTION_SATURATION = spread(
    "48 degF", "3 degF", "temperature", "suction saturation at the rating where none is typed", PRACTICE
)
TYPED_SUCTION_SD = number(
    "1.5 degF", "temperature_difference", "spread (sd) of a typed rated suction saturation", PRACTICE
)
RATED_SENSIBLE_RATIO = spread(
    "72 %", "4 %", "fraction", "sensible heat ratio at the rating where none is typed", PRACTICE
)
TYPED_SENSIBLE_SD = number("2 %", "fraction", "spread (sd) of a typed sensible heat ratio", PRACTICE)
RATED_CAPACITY_SD = number("3 %", "fraction", "spread (sd) of a typed capacity, share of itself", PRACTICE)
RATED_FAN_POWER = spread(
    "0.40 W/cfm",
    "0.08 W/cfm",
    "",
    "fan power for each airflow where none is typed",
    MEASURED,
    "0.41 and 0.48: NISTIR 7350; ORNL test building",
)
TYPED_FAN_POWER_SD = number("5 %", "fraction", "spread (sd) of a typed fan power, share of itself", PRACTICE)
FIN_EFFICIENCY = span(
    "75 %", "90 %", "fraction", "efficiency of plain and enhanced fins at usual film coefficients", MEMORY
)
FILM_EXPONENT = span("0.45", "0.80", "", "exponent of the air film over airflow", MEMORY)
LOCAL_AIRFLOW = span(
    "80 %", "100 %", "fraction", "airflow at the coldest part of the coil over the mean", PRACTICE
)
RATED_SUBCOOLING = spread(
    "12 degF", "2 degF", "temperature_difference", "subcooling at the rating where none is typed", PRACTICE
)
RATED_SUPERHEAT = spread(
    "10 degF", "1.5 degF", "temperature_difference", "superheat at the rating where none is typed", PRACTICE
)
TYPED_SUBCOOLING_SD = number(
    "1 degF", "temperature_difference", "spread (sd) of a typed or charted subcooling at the rating", PRACTICE
)
LEAST_SUPERHEAT = number(
    "1 K", "temperature_difference", "least superheat that a draw of the rating takes", PRACTICE
)
LEAST_SUBCOOLING = number(
    "0.5 K", "temperature_difference", "least subcooling that a draw of the rating takes", PRACTICE
)
RATED_CONDENSING_OVER_OUTDOOR = spread(
    "12.5 K",
    "2 K",
    "temperature_difference",
    "condensing saturation over outdoor air at the rating where none is typed",
    MEASURED,
    "17 to 24 °F on sound units: NISTIR 7350; ORNL rooftop unit",
)
RATED_DISCHARGE_SUPERHEAT = spread(
    "54 degF",
    "10.2 degF",
    "temperature_difference",
    "discharge superheat of a sound circuit at its rating",
    PRACTICE,
)
MAP_SUPERHEAT = number(
    "20 degF",
    "temperature_difference",
    "superheat that a compressor map is for where it does not say",
    PRACTICE,
)
