"""What a return visit asks of a repair."""

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number

VACUUM = number("500 micron", "absolute_pressure", PUBLISHED, "makers' installation manuals of split systems")
"""Pressure that an evacuated circuit must not pass within 20 min of its isolation."""
STANDS = number("1 h", "time", PRACTICE)
"""How long water stands in a pan, or a coil under its pressure, to show it tight."""
