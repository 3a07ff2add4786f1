"""What stands for a rating that was not typed, and how far a typed one may be off."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, number, span, spread

RATED_RETURN_DRY_BULB = number("80 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Return dry bulb at the rating where none is typed."""
RATED_RETURN_WET_BULB = number("67 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Return wet bulb at the rating where none is typed."""
RATED_OUTDOOR = number("95 degF", "temperature", PUBLISHED, "AHRI 340/360")
"""Outdoor air at the rating where none is typed."""
RATED_SUCTION_SATURATION = spread("48 degF", "3 degF", "temperature", PRACTICE)
"""Suction saturation at the rating where none is typed."""
TYPED_SUCTION_SD = number("1.5 degF", "temperature_difference", PRACTICE)
"""Spread (sd) of a typed rated suction saturation."""
RATED_SENSIBLE_RATIO = spread("72 %", "4 %", "fraction", PRACTICE)
"""Sensible heat ratio at the rating where none is typed."""
TYPED_SENSIBLE_SD = number("2 %", "fraction", PRACTICE)
"""Spread (sd) of a typed sensible heat ratio."""
RATED_CAPACITY_SD = number("3 %", "fraction", PRACTICE)
"""Spread (sd) of a typed capacity, share of itself."""
RATED_FAN_POWER = spread(
    "0.40 W/cfm", "0.08 W/cfm", "", MEASURED, "0.41 and 0.48: NISTIR 7350; ORNL test building"
)
"""Fan power for each airflow where none is typed."""
TYPED_FAN_POWER_SD = number("5 %", "fraction", PRACTICE)
"""Spread (sd) of a typed fan power, share of itself."""
FIN_EFFICIENCY = span("75 %", "90 %", "fraction", MEMORY)
"""Efficiency of plain and enhanced fins at usual film coefficients."""
FILM_EXPONENT = span("0.45", "0.80", "", MEMORY)
"""Exponent of the air film over airflow."""
LOCAL_AIRFLOW = span("80 %", "100 %", "fraction", PRACTICE)
"""Airflow at the coldest part of the coil over the mean."""
RATED_SUBCOOLING = spread("12 degF", "2 degF", "temperature_difference", PRACTICE)
"""Subcooling at the rating where none is typed."""
RATED_SUPERHEAT = spread("10 degF", "1.5 degF", "temperature_difference", PRACTICE)
"""Superheat at the rating where none is typed."""
TYPED_SUBCOOLING_SD = number("1 degF", "temperature_difference", PRACTICE)
"""Spread (sd) of a typed or charted subcooling at the rating."""
LEAST_SUPERHEAT = number("1 K", "temperature_difference", PRACTICE)
"""Least superheat that a draw of the rating takes."""
LEAST_SUBCOOLING = number("0.5 K", "temperature_difference", PRACTICE)
"""Least subcooling that a draw of the rating takes."""
RATED_CONDENSING_OVER_OUTDOOR = spread(
    "12.5 K",
    "2 K",
    "temperature_difference",
    MEASURED,
    "17 to 24 °F on sound units: NISTIR 7350; ORNL rooftop unit",
)
"""Condensing saturation over outdoor air at the rating where none is typed."""
RATED_DISCHARGE_SUPERHEAT = spread("54 degF", "10.2 degF", "temperature_difference", PRACTICE)
"""Discharge superheat of a sound circuit at its rating."""
MAP_SUPERHEAT = number("20 degF", "temperature_difference", PRACTICE)
"""Superheat that a compressor map is for where it does not say."""
