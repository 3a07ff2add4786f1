"""How sure a statement is, and what is worth a sentence."""

from hvaccalc.practice.row import PRACTICE, number

MOST = number("90 %", "fraction", "share of the draws that a verdict or a statement needs", PRACTICE)
SURE = number(
    "95 %", "fraction", "share of the draws or probability from which one answer stands alone", PRACTICE
)
LEANS = number("75 %", "fraction", "probability from which a fault is called the likelier", PRACTICE)
LIKELY = number("50 %", "fraction", "chance from which something calls for action", PRACTICE)
HARDLY = number("5 %", "fraction", "chance below which something calls for nothing", PRACTICE)
MOST_REFUSED = number(
    "50 %", "fraction", "share of draws without a solution beyond which a unit model says nothing", PRACTICE
)
FALSE_ALARMS = number(
    "3 %", "fraction", "share of jobs without a wrong airflow method in which one may be accused", PRACTICE
)
MASKED_WORTH_SAYING = number(
    "1 %", "fraction", "share of draws that contradict physics from which it is said", PRACTICE
)
OFF_THE_AIRFLOW = number(
    "15 %", "fraction", "distance of a method without a say from the airflow from which it is told", PRACTICE
)
THERMOMETER_STEP = number(
    "0.5 degF",
    "temperature_difference",
    "expected difference from which it is told: no thermometer reads less",
    PRACTICE,
)
NARROW_BAND = number(
    "0.2 degF",
    "temperature_difference",
    "width of a band below which it is not told: no thermometer reads it",
    PRACTICE,
)
ALL_GIVEN_BACK = number("99 %", "fraction", "share given back from which it counts as all", PRACTICE)
EDGE_OF_BAND = number(
    "15 %", "fraction", "share of a band's width from its end that counts as its edge", PRACTICE
)
NO_WATER = number(
    "0.5 mm", "length", "height of water below which there is none, as heights are shown", PRACTICE
)
FAULT_FELT = number(
    "3 degF",
    "temperature_difference",
    "change of some reading from which a fault counts as felt: less makes no circuit stand out",
    PRACTICE,
)
SCREENING_SLACK = number(
    "2 times", "", "factor to which amounts of water are good: a way is too small only beyond it", PRACTICE
)
