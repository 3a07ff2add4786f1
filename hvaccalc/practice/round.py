"""A service round: minutes that each reading takes."""

from hvaccalc.practice.row import PRACTICE, number

ASK = number("5 min", "time", PRACTICE)
"""Asking, or looking a thing up in the papers."""
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
DRAIN_HOUR = number("60 min", "time", PRACTICE)
"""The drain's water caught for an hour."""
