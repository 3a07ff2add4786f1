"""How sure a statement is, and what is worth a sentence."""

from hvaccalc.practice.row import PRACTICE, number

MOST = number("90 %", "fraction", PRACTICE)
"""Share of the draws that a verdict or a statement needs."""
SURE = number("95 %", "fraction", PRACTICE)
"""Share of the draws or probability from which one answer stands alone."""
LEANS = number("75 %", "fraction", PRACTICE)
"""Probability from which a fault is called the likelier."""
LIKELY = number("50 %", "fraction", PRACTICE)
"""Chance from which something calls for action."""
HARDLY = number("5 %", "fraction", PRACTICE)
"""Chance below which something calls for nothing."""
FROST_MISSED = number("20 %", "fraction", PRACTICE)
"""Share of freezing coils on which nobody sees frost after a proved run."""
MOST_REFUSED = number("50 %", "fraction", PRACTICE)
"""Share of draws without a solution beyond which a unit model says nothing."""
FALSE_ALARMS = number("3 %", "fraction", PRACTICE)
"""Share of jobs without a wrong airflow method in which one may be accused."""
MASKED_WORTH_SAYING = number("1 %", "fraction", PRACTICE)
"""Share of draws that contradict physics from which it is said."""
OFF_THE_AIRFLOW = number("15 %", "fraction", PRACTICE)
"""Distance of a method without a say from the airflow from which it is told."""
THERMOMETER_STEP = number("0.5 degF", "temperature_difference", PRACTICE)
"""Expected difference from which it is told: no thermometer reads less."""
NARROW_BAND = number("0.2 degF", "temperature_difference", PRACTICE)
"""Width of a band below which it is not told: no thermometer reads it."""
ALL_GIVEN_BACK = number("99 %", "fraction", PRACTICE)
"""Share given back from which it counts as all."""
EDGE_OF_BAND = number("15 %", "fraction", PRACTICE)
"""Share of a band's width from its end that counts as its edge."""
NO_WATER = number("0.5 mm", "length", PRACTICE)
"""Height of water below which there is none, as heights are shown."""
FAULT_FELT = number("3 degF", "temperature_difference", PRACTICE)
"""Change of some reading from which a fault counts as felt: less makes no circuit stand out."""
SCREENING_SLACK = number("2 times", "", PRACTICE)
"""Factor to which amounts of water are good: a way is too small only beyond it."""
