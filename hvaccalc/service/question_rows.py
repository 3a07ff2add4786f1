"""What may be asked to be read next: each reading, its place and minutes, and what it settles."""

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.diagnosis.water.ways import Seen
from hvaccalc.job.causes import Way
from hvaccalc.practice import visits as minutes
from hvaccalc.reason import Reason
from hvaccalc.rows import complete


class Site(StrEnum):
    """Where a reading is taken."""

    NOWHERE = "by asking"
    HANDLER = "air handler"
    DUCT = "duct"
    THERMOSTAT = "thermostat"
    CIRCUIT = "outdoor unit and lines"
    ABOVE = "above the unit"
    BAG = "instruments"


class Trip(StrEnum):
    """The way to a place; it is gone once for everything there."""

    PHONE = "phone"
    GROUND = "ground"
    ROOF = "roof"
    VAN = "van"


class Care(StrEnum):
    """What to mind at a reading."""

    NONE = "none"
    MOVING_PARTS = "moving parts"
    LIVE_PARTS = "live parts"
    WATER_NEAR_LIVE_PARTS = "water near live parts"
    REFRIGERANT = "refrigerant"
    HEIGHTS = "heights"


class Reading(StrEnum):
    """What can be read next."""

    ASK = "ask"
    RECORD = "record of the work"
    PAN_AND_DRAIN = "pan and drain"
    PAN_TIMED = "pan timed"
    DRAIN_CAUGHT = "drain caught"
    FILTERS = "filters"
    AIR = "return and supply air"
    CALLS = "calls"
    COIL = "coil"
    FAN_SPEED = "fan speed"
    GAUGES = "gauges"
    LEAK_SEARCH = "leak search"
    LABEL = "label"
    AIRFLOW = "airflow"
    LINES_AROUND = "parts around"
    ABOVE = "above the unit"
    INSTRUMENT = "instrument"
    LOAD = "what to load"


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """What code needs of a reading.

    Attributes
    ----------
    place : Site
    trip : Trip
    takes : float
        [s], by common practice; of each circuit for gauges.
    runs : bool
        Whether the compressors have to run for it.
    care : Care
    """

    place: Site
    trip: Trip
    takes: float
    runs: bool
    care: Care


ROWS = complete(
    Reading,
    {
        Reading.ASK: ReadingRow(Site.NOWHERE, Trip.PHONE, minutes.ASK, False, Care.NONE),
        Reading.RECORD: ReadingRow(Site.NOWHERE, Trip.PHONE, minutes.ASK, False, Care.NONE),
        Reading.PAN_AND_DRAIN: ReadingRow(
            Site.HANDLER, Trip.GROUND, minutes.PAN_AND_DRAIN, False, Care.WATER_NEAR_LIVE_PARTS
        ),
        Reading.PAN_TIMED: ReadingRow(
            Site.HANDLER, Trip.GROUND, minutes.DRAIN_HOUR, True, Care.WATER_NEAR_LIVE_PARTS
        ),
        Reading.DRAIN_CAUGHT: ReadingRow(
            Site.HANDLER, Trip.GROUND, minutes.DRAIN_HOUR, True, Care.WATER_NEAR_LIVE_PARTS
        ),
        Reading.FILTERS: ReadingRow(Site.HANDLER, Trip.GROUND, minutes.FILTERS, False, Care.MOVING_PARTS),
        Reading.AIR: ReadingRow(
            Site.DUCT, Trip.GROUND, minutes.RETURN_AIR + minutes.SUPPLY_AIR, False, Care.NONE
        ),
        Reading.CALLS: ReadingRow(Site.THERMOSTAT, Trip.GROUND, minutes.CALLS, False, Care.NONE),
        Reading.COIL: ReadingRow(Site.HANDLER, Trip.GROUND, minutes.COIL_LOOK, True, Care.MOVING_PARTS),
        Reading.FAN_SPEED: ReadingRow(Site.HANDLER, Trip.GROUND, minutes.FAN_SPEED, True, Care.LIVE_PARTS),
        Reading.GAUGES: ReadingRow(Site.CIRCUIT, Trip.GROUND, minutes.GAUGES, True, Care.REFRIGERANT),
        Reading.LEAK_SEARCH: ReadingRow(
            Site.CIRCUIT, Trip.GROUND, minutes.LEAK_SEARCH, False, Care.REFRIGERANT
        ),
        Reading.LABEL: ReadingRow(Site.CIRCUIT, Trip.GROUND, minutes.LABEL, False, Care.NONE),
        Reading.AIRFLOW: ReadingRow(Site.DUCT, Trip.GROUND, minutes.TRAVERSE, False, Care.HEIGHTS),
        Reading.LINES_AROUND: ReadingRow(
            Site.HANDLER, Trip.GROUND, minutes.PAN_AND_DRAIN, False, Care.WATER_NEAR_LIVE_PARTS
        ),
        Reading.ABOVE: ReadingRow(Site.ABOVE, Trip.ROOF, minutes.ROOF, False, Care.HEIGHTS),
        Reading.INSTRUMENT: ReadingRow(Site.BAG, Trip.VAN, minutes.INSTRUMENT, False, Care.NONE),
        Reading.LOAD: ReadingRow(Site.BAG, Trip.VAN, minutes.LOAD, False, Care.NONE),
    },
)

OF_LOOKS: dict[Seen, Reading] = complete(
    Seen,
    {
        Seen.AIR: Reading.AIR,
        Seen.COIL: Reading.COIL,
        Seen.PAN_AND_DRAIN: Reading.PAN_AND_DRAIN,
        Seen.PARTS_AROUND: Reading.LINES_AROUND,
        Seen.ABOVE: Reading.ABOVE,
    },
)
"""The reading that decides about a way of the water; how it is taken stands with the way's words."""


class About(StrEnum):
    """What an open question is about."""

    EVERYTHING = "everything"
    CALL = "to ask on the phone"
    LOAD = "to load"
    WATER = "water"
    WATER_AGAIN = "water again"
    ASKED = "to be asked"
    TIME = "time"
    WAY = "way of the water"
    AMOUNT = "amount"
    FAN = "fan"
    COIL = "coil"
    CHARGE = "charge"
    AIRFLOW = "airflow"
    READINGS = "readings"
    WORK = "work"


class Open(StrEnum):
    """Why something is open."""

    NOTHING_READ = "nothing read"
    PLAIN = "nothing more to say"
    NOTHING_MATCHED = "nothing matched"
    SEEN_AGAIN = "seen again"
    FULL_TOO_SOON = "full too soon"
    UNEXPLAINED = "unexplained"
    NONE_STANDS_OUT = "none stands out"
    NOT_RULED_OUT = "not ruled out"
    AMOUNT = "amount"
    SPEED = "speed not read"
    FREEZING = "freezing cannot be told"
    CHARGE = "charge cannot be told"
    NOT_USABLE = "no readings that can be used"
    AIRFLOW = "airflow not measured"
    LEAK_SIGN = "a sign of a leak"
    HELD = "right under a measure"
    CONTRADICTION = "a contradiction"
    CONTRADICTIONS = "contradictions"
    MISTYPED = "perhaps mistyped"
    MENDS = "what a work mended"
    NEVER_FOUND = "mended and never found"
    OTHER_CIRCUIT = "mended in one circuit, found in another"
    FOUND_LATER = "mended before it was found"


class Reach(StrEnum):
    """Whether water that was seen again fits what was found."""

    NO_PLACE = "no place"
    FITS = "fits"
    OTHERS_FIT = "others fit"
    NONE_FITS = "none fits"


class Take(StrEnum):
    """How a reading is taken."""

    FIRST_ROUND = "first round"
    ASK_WHEN = "when the water comes"
    ASK_AMOUNT = "how much water"
    ASK_PLACE = "where the water shows"
    ASK_ICE = "whether ice shows"
    ASK_DONE = "what was done before"
    ASK_GUARD = "whether anything guards the pan"
    ASK_ACCESS = "how to get there"
    ASK_LEAK = "what became of a leak"
    LOAD = "what to load"
    LOAD_FOR_LEAK = "what to load for a leak"
    LOAD_FLAMMABLE = "what to load for gas that burns"
    NOTE_WATER = "note the water"
    LOOK_AGAIN = "look again"
    TYPE_IT = "type it"
    TIME_THE_PAN = "time the pan"
    LOOK_OF_WAY = "look of the way"
    CATCH_THE_DRAIN = "catch the drain"
    DRIVE = "drive's frequency"
    DRIVE_OR_SPEED = "drive's frequency or speed"
    SPEED = "fan's speed"
    MISSING = "what is missing"
    NOT_TO_READ = "not to be read"
    SETTLE = "what settles it"
    PRESSURES = "pressures and temperatures"
    MEASURE_AIR = "measure the air"
    SEARCH = "search for the leak"
    WITHOUT_MEASURE = "read without the measure"
    CHECK = "check and read again"
    SAY_MENDS = "say what it mends"
    SAY_SHOWN = "say what showed it"
    SAY_CIRCUIT = "say which circuit"
    SAY_DATE = "say which day"


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that is open.

    Attributes
    ----------
    about : About
    open : Reason
        Why it is open.
    reading : Reading or None
        What settles it; None where nothing can be read for it as things stand.
    take : Reason or None
        How it is taken.
    circuits : tuple of str
    way : Way or None
        The way of the water that it is about.
    """

    about: About
    open: Reason
    reading: Reading | None
    take: Reason | None
    circuits: tuple[str, ...] = ()
    way: Way | None = None

    @property
    def minutes(self) -> float:
        """How long it takes [min]; NaN where nothing can be read."""
        if self.reading is None:
            return float("nan")
        times = max(1, len(self.circuits)) if self.reading is Reading.GAUGES else 1
        return ROWS[self.reading].takes * times / 60.0
