"""A visit: minutes that each reading takes, and what a return visit asks of a repair."""

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number

VACUUM = number("500 micron", "absolute_pressure", PUBLISHED, "makers' installation manuals of split systems")
"""Pressure that an evacuated circuit must not pass within 20 min of its isolation."""
STANDS = number("1 h", "time", PRACTICE)
"""How long water stands in a pan, or a coil under its pressure, to show it tight."""


ASK = number("5 min", "time", PRACTICE)
"""Asking, or looking a thing up in the papers."""
LOAD = number("10 min", "time", PRACTICE)
"""Loading the van for a call."""
PAN_AND_DRAIN = number("5 min", "time", PRACTICE)
"""Look at drain and pan."""
FILTERS = number("5 min", "time", PRACTICE)
"""Look at the filters."""
RETURN_AIR = number("5 min", "time", PRACTICE)
"""Return air, dry and wet bulb."""
CALLS = number("5 min", "time", PRACTICE)
"""Calls at the thermostat."""
SUPPLY_AIR = number("10 min", "time", PRACTICE)
"""Supply air, dry and wet bulb."""
COIL_LOOK = number("15 min", "time", PRACTICE)
"""Look at the coil."""
FAN_SPEED = number("10 min", "time", PRACTICE)
"""Fan frequency and current."""
GAUGES = number("20 min", "time", PRACTICE)
"""Gauges and clamps on one circuit."""
TRAVERSE = number("30 min", "time", PRACTICE)
"""A traverse of the duct."""
ROOF = number("15 min", "time", PRACTICE)
"""A way to the roof, once."""
LABEL = number("5 min", "time", PRACTICE)
"""A label read off."""
INSTRUMENT = number("10 min", "time", PRACTICE)
"""An instrument compared with another."""
LEAK_SEARCH = number("60 min", "time", PRACTICE)
"""A search for a leak with detector and soap, unit off."""
DRAIN_HOUR = number("60 min", "time", PRACTICE)
"""The drain's water caught for an hour."""
