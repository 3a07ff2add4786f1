"""A service round: minutes that each reading takes."""

from hvaccalc.practice.row import PRACTICE, number

ASK = number("5 min", "time", "asking, or looking a thing up in the papers", PRACTICE)
PAN_AND_DRAIN = number("5 min", "time", "look at drain and pan", PRACTICE)
FILTERS = number("5 min", "time", "look at the filters", PRACTICE)
RETURN_AIR = number("5 min", "time", "return air, dry and wet bulb", PRACTICE)
CALLS = number("5 min", "time", "calls at the thermostat", PRACTICE)
SUPPLY_AIR = number("10 min", "time", "supply air, dry and wet bulb", PRACTICE)
COIL_LOOK = number("15 min", "time", "look at the coil", PRACTICE)
FAN_SPEED = number("10 min", "time", "fan frequency and current", PRACTICE)
GAUGES = number("20 min", "time", "gauges and clamps on one circuit", PRACTICE)
TRAVERSE = number("30 min", "time", "a traverse of the duct", PRACTICE)
ROOF = number("15 min", "time", "a way to the roof, once", PRACTICE)
LABEL = number("5 min", "time", "a label read off", PRACTICE)
INSTRUMENT = number("10 min", "time", "an instrument compared with another", PRACTICE)
DRAIN_HOUR = number("60 min", "time", "the drain's water caught for an hour", PRACTICE)
