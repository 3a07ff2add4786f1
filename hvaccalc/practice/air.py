"""Air and fan: speeds, airflow methods, face velocity, what stands for air that was not read."""

from hvaccalc.practice.row import MEASURED, MEMORY, PRACTICE, PUBLISHED, number, span, spread

FULL_SPEED = number("97 %", "fraction", PRACTICE)
"""Fan speed over full speed from which it counts as full."""
SAME_SPEED = number("3 %", "fraction", PRACTICE)
"""Speeds this close, as a share of full speed, count as the same: torque differs by 6 % at most."""
SAME_CURRENT = number("25 %", "fraction", PRACTICE)
"""Motor current by the fan law over one read at the other speed beyond which the two do not fit."""
STANDS_STILL = number("1 %", "fraction", PRACTICE)
"""Fan speed over full speed up to which the fan stands."""
ABOVE_DESIGN_SPEED = number("102 %", "fraction", PRACTICE)
"""Fan speed over design from which it runs too fast: the spread of a tachometer."""
UNREAD_SPEED = span("50 %", "100 %", "fraction", PRACTICE)
"""Fan speed over full where nothing tells it."""
LINE_FREQUENCY = number("60 Hz", "frequency", PRACTICE)
"""Full speed of a drive where none is typed."""
MOST_SPEED = number("150 %", "fraction", PRACTICE)
"""Fan speed over full speed beyond which no fan is asked what it would do: 90 Hz on a 60 Hz drive."""
MOST_AIRFLOW = number("200 %", "fraction", PRACTICE)
"""Airflow over the rated one beyond which a unit is not asked what it would do."""
MOST_FAN_POWER = number("30 %", "fraction", PRACTICE)
"""Fan power over the rated capacity beyond which a unit is not asked; usual fans take 3 to 10 %."""
ENOUGH_AIR = number("90 %", "fraction", PRACTICE)
"""Share of the rated airflow that a charge check needs."""
SHORT_OF_AIR = number("80 %", "fraction", PRACTICE)
"""Measured share of the rated airflow, at full fan speed, below which air is missing."""
AIRFLOW_PER_TON = span(
    "200 cfm", "500 cfm", "", PUBLISHED, "EnergyPlus Engineering Reference, DX coil operating limits"
)
"""Usual airflow for each rated ton."""

UNREAD_RETURN_DRY_BULB = span("70 degF", "78 degF", "temperature", PRACTICE)
"""Return air that was not read."""
UNREAD_RETURN_HUMIDITY = span("6 g/kg", "12 g/kg", "humidity_ratio", PRACTICE)
"""Humidity of return air where it was not read."""
UNREAD_OUTDOOR = span("75 degF", "115 degF", "temperature", PRACTICE)
"""Outdoor air of cooling weather where it was not read."""
USUAL_RETURN = span("60 degF", "90 degF", "temperature", PRACTICE)
"""Return dry bulb that needs no remark."""
BAROMETER_SD = number("500 Pa", "absolute_pressure", MEMORY)
"""Weather's spread of the barometer about the standard atmosphere (sd)."""

MUCH_OUTDOOR_AIR = number("30 %", "fraction", PRACTICE)
"""Outdoor air in the mixed air above which, with a compressor on, it is too much."""
WIDEST_FRACTION = number("40 %", "fraction", PRACTICE)
"""Width of an outdoor fraction's band beyond which return and outdoors lie too close for a number."""
DRY_COIL = number("2 %", "fraction", PRACTICE)
"""Latent over sensible heat up to which a coil counts as dry where its band reaches zero."""
HELD_BACK = span("40 %", "100 %", "fraction", PRACTICE)
"""What loaded filters, a dirty coil face or ice leave of the air."""
BACKWARDS = span("30 %", "60 %", "fraction", PRACTICE)
"""What a centrifugal wheel that turns the wrong way round leaves of the air."""
FULL_SPEED_AIRFLOW = spread("93 %", "12 %", "fraction", PRACTICE)
"""Airflow at full speed over the rated one with nothing measured; surveys run low."""
COIL_EXPONENT = span("1.6", "1.9", "", MEMORY)
"""Exponent of a finned coil's pressure drop over airflow."""
FILTER_EXPONENT = span("1.2", "1.8", "", MEMORY)
"""Exponent of a pleated filter's pressure drop over airflow."""
CLEAN_CHANGE = number("8 %", "fraction", PRACTICE)
"""Spread (sd) of a pressure drop at one airflow between the known point and now, seen clean."""
UNKNOWN_CHANGE = number("20 %", "fraction", PRACTICE)
"""The same where nobody saw that coil or filters are clean."""
SYSTEM_CHANGE = number("4 %", "fraction", PRACTICE)
"""Spread (sd) of a fan law from a known point: dampers, filters and a wet coil move."""
CURVE_SPREAD = number("3 %", "fraction", MEMORY)
"""Spread (sd) of a fan's own curve about the printed one: the certification tolerance."""
CAPACITY_CLOSURE = number(
    "3 %", "fraction", MEASURED, "chamber tests of NISTIR 7350 close to within 6 % (95 %)"
)
"""Spread (sd) of refrigerant-side against air-side capacity."""
DUCT_AREA_SPREAD = number("1 %", "fraction", PRACTICE)
"""Spread (sd) of a duct's area by tape measure."""
MOST_AIR_MISSING = number("20 %", "fraction", PRACTICE)
"""Share of draws without a number beyond which an airflow method has no say."""
LEAST_RISE = number("2 degF", "temperature_difference", PRACTICE)
"""Temperature rise below which a known heat tells no airflow."""
FACE_VELOCITY = (
    number("500 ft/min", "velocity", PRACTICE),
    number("550 ft/min", "velocity", PRACTICE),
    number("600 ft/min", "velocity", PRACTICE),
)
"""Face velocity of a wet coil: rule to avoid carry-over.
Face velocity of a wet coil: a maker's ceiling.
Face velocity of a wet coil: trouble as a balancing firm reports it.
"""
BELT_SPEED = number("6,500 ft/min", "velocity", MEMORY)
"""Highest speed of classical V-belts, of drive catalogues."""
BELT_WRAP = number("2.0943951 rad", "", MEMORY)
"""Least wrap of a V-belt on the smaller sheave, 120 degrees, of drive catalogues."""
TIP_SPEED = number("5,000 ft/min", "velocity", PRACTICE)
"""Tip speed up to which common forward-curved wheels serve without asking."""
BELT_CREEP = number("3 %", "fraction", PRACTICE)
"""Slip of a V-belt up to which it creeps as every belt does."""
BELT_SLIP = number("5 %", "fraction", PRACTICE)
"""Slip beyond which a belt slips, or another sheave is on than was typed."""
EVAPORATION_EXPONENT = number("0.8", "", MEMORY)
"""Exponent of a wet coil's evaporation over airflow: turbulent film coefficients."""
WET_TIME = span("720 s", "1,000 s", "time", MEMORY, "FSEC-CR-1537-05; EnergyPlus reference")
"""Time that a coil's water keeps it wet: fitted to suggested."""
WET_EVAPORATION = span("0.6", "1.5", "", MEMORY, "FSEC-CR-1537-05; EnergyPlus reference")
"""Evaporation of a stopped coil over its steady latent heat."""
START_UP = span("45 s", "75 s", "time", MEMORY, "FSEC-CR-1537-05; EnergyPlus reference")
"""Time constant of a unit's start."""
TRANSFORMER_SPREAD = number("5 %", "fraction", PRACTICE)
"""Spread of a control transformer's voltage and a meter together."""
SUPPLY_PLACE = {
    "coil": number("3 degF", "temperature_difference", PRACTICE),
    "unit": number("1 degF", "temperature_difference", PRACTICE),
    "duct": number("1 degF", "temperature_difference", PRACTICE),
    "grille": number("1 degF", "temperature_difference", PRACTICE),
}
"""Place error of supply air read at the coil (95 %).
Place error of supply air read at the unit (95 %).
Place error of supply air read in the duct (95 %).
Place error of supply air read at a grille (95 %).
"""
WEATHER = {
    "mild morning": (
        number("66 degF", "temperature", PRACTICE),
        number("50 %", "fraction", PRACTICE),
        number("60 degF", "temperature", PRACTICE),
    ),
    "hot afternoon": (
        number("75 degF", "temperature", PRACTICE),
        number("50 %", "fraction", PRACTICE),
        number("95 degF", "temperature", PRACTICE),
    ),
}
"""Return air of the mild morning that the memo speaks of.
Its relative humidity.
Its outdoor air.
Return air of the hot afternoon that the memo speaks of.
Its relative humidity.
Its outdoor air.
"""
MAGNETISING_SHARE = span("25 %", "50 %", "fraction", MEMORY)
"""Magnetising over full-load current of two- to six-pole motors."""
MOST_MAGNETISING = number("80 %", "fraction", PRACTICE)
"""Largest magnetising share of the present current: a fan that turns is loaded."""
LOCKED_ROTOR = number("6 times", "", MEMORY)
"""Locked-rotor over full-load current of common squirrel-cage motors (NEMA MG 1)."""
SYSTEM_EFFECT = span("0 %", "20 %", "fraction", MEMORY, "AMCA Publication 201")
"""Share of its catalogue static that an installed fan fails to make."""
STANDING_LOSS = span("2 %", "7 %", "fraction", MEMORY)
"""Losses of drive and motor that do not fall with the load, over full power."""
LOW_VELOCITY_PRESSURE = number("10 %", "fraction", MEMORY, "AMCA Publication 203")
"""Velocity pressure over the highest below which a point counts as low."""
MOST_LOW_POINTS = number("25 %", "fraction", MEMORY, "AMCA Publication 203")
"""Share of low points beyond which a traverse's plane does not serve."""
LIVE_VOLTAGE = number("85 %", "fraction", PRACTICE)
"""Of the supply's voltage from which a reading counts as full."""
DEAD_VOLTAGE = number("35 %", "fraction", PRACTICE)
"""Of the supply's voltage below which a reading counts as none."""
