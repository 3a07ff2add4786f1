"""Air and fan: speeds, airflow methods, face velocity, what stands for air that was not read."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, number, span, spread

FULL_SPEED = number("97 %", "fraction", "fan speed over full speed from which it counts as full", PRACTICE)
SAME_SPEED = number(
    "3 %",
    "fraction",
    "speeds this close, as a share of full speed, count as the same: torque differs by 6 % at most",
    PRACTICE,
)
STANDS_STILL = number("1 %", "fraction", "fan speed over full speed up to which the fan stands", PRACTICE)
ABOVE_DESIGN_SPEED = number(
    "102 %",
    "fraction",
    "fan speed over design from which it runs too fast: the spread of a tachometer",
    PRACTICE,
)
UNREAD_SPEED = span("50 %", "100 %", "fraction", "fan speed over full where nothing tells it", PRACTICE)
LINE_FREQUENCY = number("60 Hz", "frequency", "full speed of a drive where none is typed", PRACTICE)
ENOUGH_AIR = number("90 %", "fraction", "share of the rated airflow that a charge check needs", PRACTICE)
SHORT_OF_AIR = number(
    "80 %",
    "fraction",
    "measured share of the rated airflow, at full fan speed, below which air is missing",
    PRACTICE,
)
AIRFLOW_PER_TON = span(
    "200 cfm",
    "500 cfm",
    "",
    "usual airflow for each rated ton",
    PUBLISHED,
    "EnergyPlus Engineering Reference, DX coil operating limits",
)

UNREAD_RETURN_DRY_BULB = span("70 degF", "78 degF", "temperature", "return air that was not read", PRACTICE)
UNREAD_RETURN_HUMIDITY = span(
    "6 g/kg", "12 g/kg", "humidity_ratio", "humidity of return air where it was not read", PRACTICE
)
UNREAD_OUTDOOR = span(
    "75 degF", "115 degF", "temperature", "outdoor air of cooling weather where it was not read", PRACTICE
)
USUAL_RETURN = span("60 degF", "90 degF", "temperature", "return dry bulb that needs no remark", PRACTICE)
BAROMETER_SD = number(
    "500 Pa",
    "absolute_pressure",
    "weather's spread of the barometer about the standard atmosphere (sd)",
    MEMORY,
)

DRY_COIL = number(
    "2 %",
    "fraction",
    "latent over sensible heat up to which a coil counts as dry where its band reaches zero",
    PRACTICE,
)
HELD_BACK = span(
    "40 %", "100 %", "fraction", "what loaded filters, a dirty coil face or ice leave of the air", PRACTICE
)
FULL_SPEED_AIRFLOW = spread(
    "93 %",
    "12 %",
    "fraction",
    "airflow at full speed over the rated one with nothing measured; surveys run low",
    PRACTICE,
)
COIL_EXPONENT = span("1.6", "1.9", "", "exponent of a finned coil's pressure drop over airflow", MEMORY)
FILTER_EXPONENT = span("1.2", "1.8", "", "exponent of a pleated filter's pressure drop over airflow", MEMORY)
CLEAN_CHANGE = number(
    "8 %",
    "fraction",
    "spread (sd) of a pressure drop at one airflow between the known point and now, seen clean",
    PRACTICE,
)
UNKNOWN_CHANGE = number(
    "20 %", "fraction", "the same where nobody saw that coil or filters are clean", PRACTICE
)
SYSTEM_CHANGE = number(
    "4 %",
    "fraction",
    "spread (sd) of a fan law from a known point: dampers, filters and a wet coil move",
    PRACTICE,
)
CURVE_SPREAD = number(
    "3 %",
    "fraction",
    "spread (sd) of a fan's own curve about the printed one: the certification tolerance",
    MEMORY,
)
CAPACITY_CLOSURE = number(
    "3 %",
    "fraction",
    "spread (sd) of refrigerant-side against air-side capacity",
    MEASURED,
    "chamber tests of NISTIR 7350 close to within 6 % (95 %)",
)
DUCT_AREA_SPREAD = number("1 %", "fraction", "spread (sd) of a duct's area by tape measure", PRACTICE)
MOST_AIR_MISSING = number(
    "20 %", "fraction", "share of draws without a number beyond which an airflow method has no say", PRACTICE
)
LEAST_RISE = number(
    "2 degF", "temperature_difference", "temperature rise below which a known heat tells no airflow", PRACTICE
)
FACE_VELOCITY = (
    number("500 ft/min", "velocity", "face velocity of a wet coil: rule to avoid carry-over", PRACTICE),
    number("550 ft/min", "velocity", "face velocity of a wet coil: a maker's ceiling", PRACTICE),
    number(
        "600 ft/min",
        "velocity",
        "face velocity of a wet coil: trouble as a balancing firm reports it",
        PRACTICE,
    ),
)
BELT_SPEED = number(
    "6,500 ft/min", "velocity", "highest speed of classical V-belts, of drive catalogues", MEMORY
)
BELT_WRAP = number(
    "2.0943951 rad",
    "",
    "least wrap of a V-belt on the smaller sheave, 120 degrees, of drive catalogues",
    MEMORY,
)
TIP_SPEED = number(
    "5,000 ft/min",
    "velocity",
    "tip speed up to which common forward-curved wheels serve without asking",
    PRACTICE,
)
EVAPORATION_EXPONENT = number(
    "0.8", "", "exponent of a wet coil's evaporation over airflow: turbulent film coefficients", MEMORY
)
WET_TIME = span(
    "720 s",
    "1,000 s",
    "time",
    "time that a coil's water keeps it wet: fitted to suggested",
    MEMORY,
    "FSEC-CR-1537-05; EnergyPlus reference",
)
WET_EVAPORATION = span(
    "0.6",
    "1.5",
    "",
    "evaporation of a stopped coil over its steady latent heat",
    MEMORY,
    "FSEC-CR-1537-05; EnergyPlus reference",
)
START_UP = span(
    "45 s", "75 s", "time", "time constant of a unit's start", MEMORY, "FSEC-CR-1537-05; EnergyPlus reference"
)
TRANSFORMER_SPREAD = number(
    "5 %", "fraction", "spread of a control transformer's voltage and a meter together", PRACTICE
)
SUPPLY_PLACE = {
    "coil": number(
        "3 degF", "temperature_difference", "place error of supply air read at the coil (95 %)", PRACTICE
    ),
    "unit": number(
        "1 degF", "temperature_difference", "place error of supply air read at the unit (95 %)", PRACTICE
    ),
    "duct": number(
        "1 degF", "temperature_difference", "place error of supply air read in the duct (95 %)", PRACTICE
    ),
    "grille": number(
        "1 degF", "temperature_difference", "place error of supply air read at a grille (95 %)", PRACTICE
    ),
}
WEATHER = {
    "mild morning": (
        number("66 degF", "temperature", "return air of the mild morning that the memo speaks of", PRACTICE),
        number("50 %", "fraction", "its relative humidity", PRACTICE),
        number("60 degF", "temperature", "its outdoor air", PRACTICE),
    ),
    "hot afternoon": (
        number("75 degF", "temperature", "return air of the hot afternoon that the memo speaks of", PRACTICE),
        number("50 %", "fraction", "its relative humidity", PRACTICE),
        number("95 degF", "temperature", "its outdoor air", PRACTICE),
    ),
}
MAGNETISING_SHARE = span(
    "25 %", "50 %", "fraction", "magnetising over full-load current of two- to six-pole motors", MEMORY
)
MOST_MAGNETISING = number(
    "80 %",
    "fraction",
    "largest magnetising share of the present current: a fan that turns is loaded",
    PRACTICE,
)
LOCKED_ROTOR = number(
    "6 times", "", "locked-rotor over full-load current of common squirrel-cage motors (NEMA MG 1)", MEMORY
)
SYSTEM_EFFECT = span(
    "0 %",
    "20 %",
    "fraction",
    "share of its catalogue static that an installed fan fails to make",
    MEMORY,
    "AMCA Publication 201",
)
STANDING_LOSS = span(
    "2 %",
    "7 %",
    "fraction",
    "losses of drive and motor that do not fall with the load, over full power",
    MEMORY,
)
LOW_VELOCITY_PRESSURE = number(
    "10 %",
    "fraction",
    "velocity pressure over the highest below which a point counts as low",
    MEMORY,
    "AMCA Publication 203",
)
MOST_LOW_POINTS = number(
    "25 %",
    "fraction",
    "share of low points beyond which a traverse's plane does not serve",
    MEMORY,
    "AMCA Publication 203",
)
LIVE_VOLTAGE = number(
    "85 %", "fraction", "of the supply's voltage from which a reading counts as full", PRACTICE
)
DEAD_VOLTAGE = number(
    "35 %", "fraction", "of the supply's voltage below which a reading counts as none", PRACTICE
)
