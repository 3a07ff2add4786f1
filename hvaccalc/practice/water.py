"""Amounts and chances of the ways of the water: pans, drains, drips, sweating; least sizes of drains."""

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number, span

COOLING_HOURS = span("2 h", "16 h", "", PRACTICE)
"""Of cooling on a day on which water was seen."""
STARTS = span("3", "30", "", PRACTICE)
"""Starts of cooling on a day on which water was seen."""
WEATHER_FACTOR = span("0.2", "1.6", "", PRACTICE)
"""Condensate over that of the rating where no humidity was read: dry to very humid days."""
WARMER_ROOM = span("0 K", "8 K", "temperature_difference", PRACTICE)
"""Space around the unit over return air where it was not read."""
WETTER_ROOM = span("90 %", "150 %", "fraction", PRACTICE)
"""Humidity of the space around the unit over return air where it was not read."""
SUPPLY_EXPONENT = number("0.7", "", PUBLISHED, "curves of NREL/TP-5500-56354; screening")
"""Exponent by which supply air comes nearer to return air with more airflow."""
CONDENSATE_EXPONENT = number("-0.25", "", PRACTICE)
"""Exponent of condensate over airflow: coupled unit on a mild day -0.05, constant bypass -0.5."""
DRAIN_SLOPE = span("0.5 %", "2 %", "fraction", PRACTICE)
"""Fall of a drain where none is typed: half the code's least to twice it."""

CABINET_AREA = span("0.5 m2", "1.5 m2", "area", PRACTICE)
"""Cold outside of a cabinet by rated ton where none is typed."""
DUCT_AREA = span("0.5 m2", "5 m2", "area", PRACTICE)
"""Cold duct in the space round the unit by rated ton where none is typed."""
DUCT_INSULATION = span("0.1 m2K/W", "1.1 m2K/W", "thermal_resistance", PRACTICE)
"""Insulation of a duct where none is typed, R-0.6 to R-6."""
CABINET_LINING = span("6 mm", "25 mm", "length", PRACTICE)
"""Lining of a cabinet where none is typed."""
LINE_INSULATION = span("0 mm", "19 mm", "length", PRACTICE)
"""Insulation of a suction line in the space where none is typed."""
LINE_DIAMETER = number("35 mm", "length", PRACTICE)
"""Outside of a suction line in the space where none is typed."""
SPACE_LINE_LENGTH = span("3 m", "12 m", "length", PRACTICE)
"""Suction line within the space where none is typed."""
GAPS = span("0.3 %", "20 %", "fraction", PRACTICE)
"""Share of a surface that gaps and wet insulation leave bare; even in the logarithm."""
WET_METAL = span("2e-6 kg/(m2 s)", "4e-5 kg/(m2 s)", "", PRACTICE)
"""Water on bare cold metal: 1.6e-5 at 16 K below room air of 60 %; even in the logarithm."""
PIPE_LEAK = span("0.02 gal/h", "10 gal/h", "water_flow", PRACTICE)
"""A leaking joint, from a drop every few seconds to a spray; even in the logarithm."""

MELT_CONTACT = span("6 %", "30 %", "fraction", PRACTICE)
"""Share of the air's heat that reaches the ice: 0.2 to 1.0 gal/min melt in 4,000 cfm."""
ICE_PER_TON = span("30 g", "1.3 kg", "mass", PRACTICE)
"""Ice that falls after a run by rated ton, a film to a coil that trips; even in the logarithm."""
MELTS = span("1", "4", "", PRACTICE)
"""Melts a day."""
LOCAL_VELOCITY = span("1.0", "1.2", "", PRACTICE)
"""Fastest air over the mean of the face."""
CARRY_SLOPE = span("20 %", "60 %", "fraction", PRACTICE)
"""Share of the condensate blown off for each m/s above the limit."""
MOST_CARRIED = number("80 %", "fraction", PRACTICE)
"""Share of the condensate that is blown off at most."""
DRIP_SHARE = span("2 %", "50 %", "fraction", PRACTICE)
"""Share of the condensate that falls short of the pan once drops leave a slanted coil."""
BRIDGES = span("1.0", "2.5", "", PRACTICE)
"""Largest water body on a finned face over the largest drop on one upright fin: fins are bridged."""
FREE_SECTION = span("55 %", "65 %", "fraction", PRACTICE)
"""Air between fins and tubes over the coil's face."""
FALLING_SHARE = span("20 %", "60 %", "fraction", PRACTICE)
"""Share of the retained water that falls when the air stops; the rest dries."""
FALL_TIME = span("2 min", "15 min", "time", PRACTICE)
"""Over which the retained water falls."""

DRAIN_LEFT = {
    "free": span("100 %", "100 %", "fraction", PRACTICE),
    "slow": span("1 %", "40 %", "fraction", PRACTICE),
    "blocked": span("0 %", "2 %", "fraction", PRACTICE),
}
"""Of a clean line's capacity that a free drain has.
Of a clean line's capacity that is left to a slow drain.
Of a clean line's capacity that is left to a blocked drain.
"""
LIFTS_DROPS = number("9.2 m/s", "velocity", PUBLISHED, "Gunn and Kinzer, 1949")
"""Air that lifts every drop: fall speed of the largest."""
SEEN_CHANCE = number("90 %", "fraction", PRACTICE)
"""Chance of a way whose makings were seen though no law reckons it."""
PAN_DEPTH = span("38 mm", "76 mm", "length", PRACTICE)
"""Depth of a drain pan above its outlet where none is typed: 1.5 to 3 in."""
PAN_AREA = span("0.05 m2", "0.19 m2", "area", PRACTICE)
"""Area of a drain pan by rated ton where none is typed: 0.5 to 2 ft²."""
RETURN_DUCT_SUCTION = span("0 Pa", "75 Pa", "air_pressure", PRACTICE)
"""Of the return duct before the filters, where only coil and filter were read."""
TYPED_SUCTION_SHARE = number("2 %", "fraction", PRACTICE)
"""95 % half width of a typed suction that states none, as a manometer's."""
TYPED_SUCTION_LEAST = number("2.5 Pa", "air_pressure", PRACTICE)
"""The least of that half width."""
TRAP_SHARE = span("30 %", "100 %", "fraction", PRACTICE)
"""Share of the condensate that a trap that fails lets pass."""
BLOWN_TRAP_SHARE = span("5 %", "60 %", "fraction", PRACTICE)
"""Share of the condensate that air through an open drain throws out of the pan."""
PAN_LEAK_SHARE = span("1 %", "100 %", "fraction", PRACTICE)
"""Share of the condensate that a cracked pan loses."""
PUMP_SHARE = span("30 %", "100 %", "fraction", PRACTICE)
"""Share of the condensate that a pump that fails lets pass."""
UNREAD_SUPPLY_DROP = span("8 K", "14 K", "temperature_difference", PRACTICE)
"""Supply air below the room where it was not read."""
GONE_AT_FULL_SPEED = number("35 %", "fraction", PRACTICE)
"""Chance at full speed over that as found below which a way comes with the low fan."""


MINIMUM_SLOPE = number("1/8 in/ft", "slope", PUBLISHED, "IMC 307.2.1; Baltimore 314.2.1")
"""Least fall of a condensate drain."""
AUXILIARY_PAN_DEPTH = number("1.5 in", "length", PUBLISHED, "IRC M1411.3.1, 2018; IMC 307.2.3")
"""Least depth of the pan below the unit."""
AUXILIARY_PAN_EXCESS = number("3 in", "length", PUBLISHED, "IRC M1411.3.1, 2018; IMC 307.2.3")
"""By which that pan is larger than unit or coil."""
TRAP_MARGIN = number("1 in", "length", PUBLISHED, "both trap rules of `sources`")
"""Added to the suction head of a draw-through trap."""
BLOW_THROUGH_MARGIN = number("0.5 in", "length", PUBLISHED, "trap rules of `sources`")
"""Added to the pressure of a blow-through trap by one of two rules."""
