"""What a return visit asks of a repair."""

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number

VACUUM = number(
    "500 micron",
    "absolute_pressure",
    "pressure that an evacuated circuit must not pass within 20 min of its isolation",
    PUBLISHED,
    "makers' installation manuals of split systems",
)
STANDS = number(
    "1 h", "time", "how long water stands in a pan, or a coil under its pressure, to show it tight", PRACTICE
)
