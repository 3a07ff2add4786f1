"""Amounts and chances of the ways of the water: pans, drains, drips, sweating, melting."""

from hvaccalc.practice.row import PRACTICE, PUBLISHED, number, span

COOLING_HOURS = span("2 h", "16 h", "", "of cooling on a day on which water was seen", PRACTICE)
STARTS = span("3", "30", "", "starts of cooling on a day on which water was seen", PRACTICE)
WEATHER_FACTOR = span(
    "0.2",
    "1.6",
    "",
    "condensate over that of the rating where no humidity was read: dry to very humid days",
    PRACTICE,
)
WARMER_ROOM = span(
    "0 K",
    "8 K",
    "temperature_difference",
    "space around the unit over return air where it was not read",
    PRACTICE,
)
WETTER_ROOM = span(
    "90 %",
    "150 %",
    "fraction",
    "humidity of the space around the unit over return air where it was not read",
    PRACTICE,
)
SUPPLY_EXPONENT = number(
    "0.7",
    "",
    "exponent by which supply air comes nearer to return air with more airflow",
    PUBLISHED,
    "curves of NREL/TP-5500-56354; screening",
)
CONDENSATE_EXPONENT = number(
    "-0.25",
    "",
    "exponent of condensate over airflow: coupled unit on a mild day -0.05, constant bypass -0.5",
    PRACTICE,
)
DRAIN_SLOPE = span(
    "0.5 %",
    "2 %",
    "fraction",
    "fall of a drain where none is typed: half the code's least to twice it",
    PRACTICE,
)

CABINET_AREA = span(
    "0.5 m2", "1.5 m2", "area", "cold outside of a cabinet by rated ton where none is typed", PRACTICE
)
DUCT_AREA = span(
    "0.5 m2",
    "5 m2",
    "area",
    "cold duct in the space round the unit by rated ton where none is typed",
    PRACTICE,
)
DUCT_INSULATION = span(
    "0.1 m2K/W",
    "1.1 m2K/W",
    "thermal_resistance",
    "insulation of a duct where none is typed, R-0.6 to R-6",
    PRACTICE,
)
CABINET_LINING = span("6 mm", "25 mm", "length", "lining of a cabinet where none is typed", PRACTICE)
LINE_INSULATION = span(
    "0 mm", "19 mm", "length", "insulation of a suction line in the space where none is typed", PRACTICE
)
LINE_DIAMETER = number(
    "35 mm", "length", "outside of a suction line in the space where none is typed", PRACTICE
)
SPACE_LINE_LENGTH = span(
    "3 m", "12 m", "length", "suction line within the space where none is typed", PRACTICE
)
GAPS = span(
    "0.3 %",
    "20 %",
    "fraction",
    "share of a surface that gaps and wet insulation leave bare; even in the logarithm",
    PRACTICE,
)
WET_METAL = span(
    "2e-6 kg/(m2 s)",
    "4e-5 kg/(m2 s)",
    "",
    "water on bare cold metal: 1.6e-5 at 16 K below room air of 60 %; even in the logarithm",
    PRACTICE,
)
PIPE_LEAK = span(
    "0.02 gal/h",
    "10 gal/h",
    "water_flow",
    "a leaking joint, from a drop every few seconds to a spray; even in the logarithm",
    PRACTICE,
)

MELT_CONTACT = span(
    "6 %",
    "30 %",
    "fraction",
    "share of the air's heat that reaches the ice: 0.2 to 1.0 gal/min melt in 4,000 cfm",
    PRACTICE,
)
ICE_PER_TON = span(
    "30 g",
    "1.3 kg",
    "mass",
    "ice that falls after a run by rated ton, a film to a coil that trips; even in the logarithm",
    PRACTICE,
)
MELTS = span("1", "4", "", "melts a day", PRACTICE)
LOCAL_VELOCITY = span("1.0", "1.2", "", "fastest air over the mean of the face", PRACTICE)
CARRY_SLOPE = span(
    "20 %", "60 %", "fraction", "share of the condensate blown off for each m/s above the limit", PRACTICE
)
MOST_CARRIED = number("80 %", "fraction", "share of the condensate that is blown off at most", PRACTICE)
DRIP_SHARE = span(
    "2 %",
    "50 %",
    "fraction",
    "share of the condensate that falls short of the pan once drops leave a slanted coil",
    PRACTICE,
)
BRIDGES = span(
    "1.0",
    "2.5",
    "",
    "largest water body on a finned face over the largest drop on one upright fin: fins are bridged",
    PRACTICE,
)
FREE_SECTION = span("55 %", "65 %", "fraction", "air between fins and tubes over the coil's face", PRACTICE)
FALLING_SHARE = span(
    "20 %",
    "60 %",
    "fraction",
    "share of the retained water that falls when the air stops; the rest dries",
    PRACTICE,
)
FALL_TIME = span("2 min", "15 min", "time", "over which the retained water falls", PRACTICE)

DRAIN_LEFT = {
    "free": span("100 %", "100 %", "fraction", "of a clean line's capacity that a free drain has", PRACTICE),
    "slow": span(
        "1 %", "40 %", "fraction", "of a clean line's capacity that is left to a slow drain", PRACTICE
    ),
    "blocked": span(
        "0 %", "2 %", "fraction", "of a clean line's capacity that is left to a blocked drain", PRACTICE
    ),
}
LIFTS_DROPS = number(
    "9.2 m/s",
    "velocity",
    "air that lifts every drop: fall speed of the largest",
    PUBLISHED,
    "Gunn and Kinzer, 1949",
)
SEEN_CHANCE = number(
    "90 %", "fraction", "chance of a way whose makings were seen though no law reckons it", PRACTICE
)
PAN_DEPTH = span(
    "38 mm",
    "76 mm",
    "length",
    "depth of a drain pan above its outlet where none is typed: 1.5 to 3 in.",
    PRACTICE,
)
PAN_AREA = span(
    "0.05 m2",
    "0.19 m2",
    "area",
    "area of a drain pan by rated ton where none is typed: 0.5 to 2 ft²",
    PRACTICE,
)
RETURN_DUCT_SUCTION = span(
    "0 Pa",
    "75 Pa",
    "air_pressure",
    "of the return duct before the filters, where only coil and filter were read",
    PRACTICE,
)
TYPED_SUCTION_SHARE = number(
    "2 %", "fraction", "95 % half width of a typed suction that states none, as a manometer's", PRACTICE
)
TYPED_SUCTION_LEAST = number("2.5 Pa", "air_pressure", "the least of that half width", PRACTICE)
TRAP_SHARE = span(
    "30 %", "100 %", "fraction", "share of the condensate that a trap that fails lets pass", PRACTICE
)
BLOWN_TRAP_SHARE = span(
    "5 %",
    "60 %",
    "fraction",
    "share of the condensate that air through an open drain throws out of the pan",
    PRACTICE,
)
PAN_LEAK_SHARE = span(
    "1 %", "100 %", "fraction", "share of the condensate that a cracked pan loses", PRACTICE
)
PUMP_SHARE = span(
    "30 %", "100 %", "fraction", "share of the condensate that a pump that fails lets pass", PRACTICE
)
UNREAD_SUPPLY_DROP = span(
    "8 K", "14 K", "temperature_difference", "supply air below the room where it was not read", PRACTICE
)
GONE_AT_FULL_SPEED = number(
    "35 %",
    "fraction",
    "chance at full speed over that as found below which a way comes with the low fan",
    PRACTICE,
)
