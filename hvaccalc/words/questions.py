"""What is open, in words: what it is about, why, what to read next and what to mind."""

from enum import StrEnum

from hvaccalc import units
from hvaccalc.diagnosis.contradictions.mistyped import Mistake, Slip
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.rows import complete
from hvaccalc.service.question_rows import ROWS, About, Care, Open, Question, Reach, Site, Take, Trip
from hvaccalc.words.said import NOT_SAID, Rows, Said, Teller, alike, capital, for_file, joined
from hvaccalc.words.water import WAYS

ABOUT = complete(
    About,
    {
        About.EVERYTHING: alike("On site."),
        About.CALL: Said("Ask on the phone.", "Please tell us."),
        About.LOAD: for_file("To load."),
        About.WATER: alike("The water."),
        About.WATER_AGAIN: alike("Water again."),
        About.ASKED: alike("To be asked."),
        About.TIME: alike("The time."),
        About.WAY: alike("Not ruled out."),
        About.AMOUNT: alike("The amount."),
        About.FAN: alike("The fan."),
        About.COIL: alike("The coil."),
        About.CHARGE: alike("Refrigerant."),
        About.AIRFLOW: alike("The airflow."),
        About.READINGS: alike("Readings."),
        About.WORK: alike("The repair."),
    },
)

OPEN = complete(
    Open,
    {
        Open.NOTHING_READ: alike("Nothing was read yet."),
        Open.PLAIN: NOT_SAID,
        Open.NOTHING_MATCHED: alike(
            "No water was noted, so none of its ways (drain, trap, pan, drops or ice off the coil, sweating, "
            "a leak elsewhere) was weighed, and none is ruled out."
        ),
        Open.SEEN_AGAIN: alike(
            "Seen on {when}, with or after the repair: {seen}.{reach} It may be left from before, or come "
            "anew."
        ),
        Open.FULL_TOO_SOON: alike(
            "The pan was seen full after {after:.0f} min of cooling; from empty it takes {fills:.0f} min "
            "({low:.0f} to {high:.0f}) to fill: it was not empty at the start, or holds less, or more water "
            "came."
        ),
        Open.UNEXPLAINED: alike("Not explained: {left:clauses}."),
        Open.NONE_STANDS_OUT: alike("More than one way can bring it; which one is still open."),
        Open.NOT_RULED_OUT: NOT_SAID,
        Open.AMOUNT: NOT_SAID,
        Open.SPEED: alike("Its speed was not read with all stages on ({places})."),
        Open.FREEZING: Said(
            "Whether its coldest metal freezes cannot be told ({places}).",
            "Whether the cooling coil freezes cannot be told ({places}).",
        ),
        Open.CHARGE: Said("The charge cannot be told yet: {why}.", "The charge cannot be told yet."),
        Open.NOT_USABLE: for_file("no readings that can be used ({refrigerant})"),
        Open.AIRFLOW: for_file("It was not measured ({place}): {note}."),
        Open.HELD: alike("Read right while a temporary measure stands, which closes nothing: {part}."),
        Open.LEAK_SIGN: alike("{sign} Which circuit leaks is not known."),
        Open.CONTRADICTION: alike(
            "One reading contradicts others; it was left out and marked in the tables."
        ),
        Open.CONTRADICTIONS: alike(
            "{count} sets of readings contradict others; they were left out and marked in the tables."
        ),
        Open.MISTYPED: alike("A reading does not fit those beside it; it may be mistyped."),
        Open.MENDS: Said(
            "Work noted as {kind} on {when} does not say which cause it put right.",
            "The work of {when} does not say what it put right.",
        ),
        Open.NEVER_FOUND: Said(
            "Work on {when} is said to mend {part}, and no reading or sign before it shows that.",
            "The work of {when} is noted as a repair of {part}; nothing read before shows a need of it.",
        ),
        Open.OTHER_CIRCUIT: Said(
            "Work on {when} is said to mend {part} of this circuit, where no reading shows it; it stands in "
            "circuit {found}.",
            "The work of {when} is noted as a repair of {part} of this circuit; what was read shows it in "
            "circuit {found}.",
        ),
        Open.FOUND_LATER: Said(
            "Work on {when} is said to mend {part}, which was found only after it.",
            "The work of {when} is noted as a repair of {part}, which was found only later.",
        ),
    },
)

REACH = complete(
    Reach,
    {
        Reach.NO_PLACE: NOT_SAID,
        Reach.FITS: alike(" It would fit {ways} again: the repair is not proved."),
        Reach.OTHERS_FIT: alike(" What was found before would not wet that place; {ways} would."),
        Reach.NONE_FITS: alike(" What was found before would not wet that place."),
    },
)

TAKE = complete(
    Take,
    {
        Take.FIRST_ROUND: Said(
            "Read first: return and supply air, dry bulb and wet bulb; the fan's frequency or speed with no "
            "call, with each stage alone, and with all stages; suction and liquid pressure, suction and "
            "liquid temperature of each circuit, with all stages on; outdoor temperature, compressor "
            "currents, how long it had been running; coil face, filters, pan and drain: looked at before, "
            "during and after a run; thawed or iced.",
            "On the first visit the air, the fan's speed and each cooling circuit are read with all of the "
            "cooling on; coil, filters, pan and drain are looked at before, during and after a run.",
        ),
        Take.ASK_PLACE: Said(
            "Where does it show: filters, pan, cabinet floor, duct, ceiling, grille, pipe, above the unit?",
            "Where does the water show?",
        ),
        Take.ASK_WHEN: Said(
            "When does it come: while it cools, after it stops, with the cooling off, in rain, on mild, hot "
            "or humid days?",
            "When does it come: while it cools, after it stops, or in rain as well?",
        ),
        Take.ASK_AMOUNT: alike("How much in how long: cups or buckets, in an hour or in a day?"),
        Take.ASK_ICE: Said(
            "Is ice or frost seen, on the coil or on a line? Does the air feel weaker than it did?",
            "Can you see ice or frost on it, without opening anything? Does less air come than before?",
        ),
        Take.ASK_DONE: alike(
            "What was done to it before this began and since: filters, drain, refrigerant, fan, settings, "
            "a power failure? When?"
        ),
        Take.ASK_GUARD: Said(
            "Is there a float switch, or a second pan with its own drain, below the unit?",
            "Is there a second drain pan below the unit, and does it hold water?",
        ),
        Take.ASK_ACCESS: alike(
            "Who lets us in, where does the unit hang, is a ladder or a lift needed, what stands below, and "
            "does water come near anything electrical?"
        ),
        Take.ASK_LEAK: Said(
            "Circuit {circuits} has a leak on record: was it repaired, and when? How much was added since?",
            "A leak of cooling circuit {circuits} was noted: was it repaired, and when?",
        ),
        Take.LOAD: for_file(
            "Gauges, clamps, thermometers with wet bulb, clamp meter, manometer, torch and ladder, towels "
            "and a measuring jug."
        ),
        Take.LOAD_FOR_LEAK: for_file(
            "For the leak on record at circuit {circuits}: leak detector and soap, scale, recovery machine "
            "and cylinder, nitrogen with its regulator, vacuum pump and gauge, drier, valve cores and caps."
        ),
        Take.LOAD_FLAMMABLE: for_file(
            "The refrigerant of circuit {circuits} burns: a detector for it, hoses, tools and machines rated "
            "for it, a fan to air the space."
        ),
        Take.NOTE_WATER: alike(
            "Where there is some, note when it comes, how much in how long, where it is seen and what was "
            "running."
        ),
        Take.LOOK_AGAIN: Said(
            "Wipe it dry, cool for hours and look again, with the drain's rate against what the air loses.",
            "It has to be looked at again after hours of cooling, with the place wiped dry before.",
        ),
        Take.TYPE_IT: NOT_SAID,
        Take.TIME_THE_PAN: for_file(
            "Start with an empty pan, note the minutes until it runs over, and measure its area and depth."
        ),
        Take.LOOK_OF_WAY: NOT_SAID,
        Take.CATCH_THE_DRAIN: for_file(
            "Catch the drain's water for an hour while the water comes, with the humidity of both airs read; "
            "what the air loses and the drain does not bring went elsewhere. Note what is caught below in "
            "that hour."
        ),
        Take.DRIVE: alike("Read the drive's frequency with all stages called."),
        Take.DRIVE_OR_SPEED: alike("Read the drive's frequency (or the fan's speed) with all stages called."),
        Take.SPEED: alike("Read the fan's speed with all stages called."),
        Take.MISSING: Said("Read {missing}.", "More readings are needed."),
        Take.NOT_TO_READ: Said(
            "Not to be read now: it has to stay off, or thaw, first.",
            "It is read once the unit may run again.",
        ),
        Take.SETTLE: alike("To settle it: {settle}."),
        Take.PRESSURES: alike("Read its pressures and line temperatures."),
        Take.MEASURE_AIR: for_file("Measure it by a traverse, or by a pressure drop with a known point."),
        Take.WITHOUT_MEASURE: Said(
            "Read it again once the measure is off and what it stands in for is repaired.",
            "It is read again once the temporary measure is off.",
        ),
        Take.SEARCH: Said(
            "Search each circuit with detector and soap, unit off, the place aired, and type where it was "
            "found in the circuit's leak table.",
            "A technician searches each circuit.",
        ),
        Take.CHECK: alike("Check the instrument and read again."),
        Take.SAY_MENDS: Said(
            "Which cause did it put right? Type it as mends, or read the thing again.",
            "Which cause did it put right?",
        ),
        Take.SAY_SHOWN: Said(
            "What showed it? Type that reading or sign with its date, or correct mends.", "What showed it?"
        ),
        Take.SAY_CIRCUIT: Said(
            "Which circuit was it? Correct mends, or read both circuits again.", "Which circuit was it?"
        ),
        Take.SAY_DATE: Said(
            "Which day is right? Correct the date; with the date as it stands the repair did not hold.",
            "On which day was it done?",
        ),
    },
)

PLACES = complete(
    Site,
    {
        Site.NOWHERE: alike("by asking"),
        Site.HANDLER: alike("air handler"),
        Site.DUCT: alike("return and supply duct"),
        Site.THERMOSTAT: alike("thermostat"),
        Site.CIRCUIT: alike("outdoor unit and lines"),
        Site.ABOVE: alike("above the unit"),
        Site.BAG: alike("instruments"),
    },
)

CARE = complete(
    Care,
    {
        Care.NONE: NOT_SAID,
        Care.MOVING_PARTS: for_file(
            "Fan and belt start without warning: hands and clothes clear, lock out to reach in."
        ),
        Care.LIVE_PARTS: for_file(
            "Live parts behind the cover: off, locked out and proved dead to open it; a drive's capacitors "
            "stay charged for minutes."
        ),
        Care.WATER_NEAR_LIVE_PARTS: for_file(
            "Water near live parts: off and locked out before reaching over it."
        ),
        Care.REFRIGERANT: for_file(
            "Licensed work: goggles and gloves, low-loss hoses, nothing vented; no ignition source beside a "
            "flammable refrigerant."
        ),
        Care.HEIGHTS: for_file("Ladders and roofs: secured, never alone, never in a storm."),
    },
)

TRIPS = complete(
    Trip,
    {
        Trip.PHONE: alike("phone"),
        Trip.GROUND: alike("ground"),
        Trip.ROOF: alike("roof"),
        Trip.VAN: alike("van"),
    },
)

FITS = complete(
    Mistake,
    {
        Mistake.UNIT: for_file(" {meant} would fit: another unit than typed?"),
        Mistake.CELSIUS: for_file(" {meant} would fit: another unit than typed?"),
        Mistake.DIGIT: for_file(" {meant} would fit: two digits exchanged, or one left out?"),
        Mistake.PROBES: for_file(" The two fit the other way round: probes exchanged?"),
        Mistake.OUTDOORS: for_file(" The two fit the other way round: exchanged?"),
        Mistake.CIRCUITS: for_file(" The two fit the other way round: each read on the other circuit?"),
        Mistake.UNKNOWN: NOT_SAID,
    },
)
"""What would explain a reading that does not belong to its neighbours."""

SAID: dict[type[StrEnum], Rows] = {
    About: ABOUT,
    Open: OPEN,
    Reach: REACH,
    Take: TAKE,
    Site: PLACES,
    Care: CARE,
    Trip: TRIPS,
}


def read_again(slip: Slip, to: Teller) -> str:
    """A reading that does not belong to its neighbours: what they expect, what would explain it."""
    named = [
        f"{key.replace('_', ' ')}{f' of circuit {where.circuit}' * bool(where.circuit)} ({typed})"
        for (where, key), typed in zip(slip.places, slip.typed, strict=True)
    ]
    text = f"{capital(joined(named))} {'does' if len(named) == 1 else 'do'} not fit the readings beside "
    text += "it" if len(named) == 1 else "them"
    if slip.expected.known and len(named) == 1:
        ends = (units.to(end, slip.unit, slip.kind, barometer=0.0) for end in slip.expected.low_to_high)
        low, middle, high = (f"{float(end):.0f}" for end in ends)
        text += f", which expect about {middle} {slip.unit} ({low} to {high})"
    return f"{text}.{to.fill(FITS[slip.way], {'meant': slip.meant})} Read again before acting on it."


def about(one: Question, to: Teller) -> str:
    """What a question is about: its circuits where it belongs to some."""
    if one.circuits:
        return f"{'Circuit' if len(one.circuits) == 1 else 'Circuits'} {joined(list(one.circuits))}."
    return to.tell(one.about)


def how(one: Question, budget: WaterBudget | None, to: Teller) -> str:
    """How the reading is taken; the look of a way with what is doubtful about it."""
    if one.way is None or budget is None or one.take is None or one.take.code is not Take.LOOK_OF_WAY:
        return to.tell(one.take) if one.take is not None else ""
    made = budget.weighed[one.way].mechanism
    words = WAYS[one.way].case(made.under_pressure).look.to(to.reader)
    text = ": ".join([*(to.tell(doubt) for doubt in made.doubts), words])
    return f"{capital(text)}." if text else ""


def open_and_how(one: Question, budget: WaterBudget | None, to: Teller) -> str:
    """Why it is open, and how the reading is taken that settles it."""
    return f"{to.tell(one.open)} {how(one, budget, to)}".strip()


def as_dict(one: Question, budget: WaterBudget | None, to: Teller) -> dict[str, object]:
    """Plain data of a reading that is offered, for JSON."""
    assert one.reading is not None
    row = ROWS[one.reading]
    why = [about(one, to), capital(to.tell(one.way)) + "." if one.way is not None else "", to.tell(one.open)]
    return {
        "reading": capital(how(one, budget, to)) or to.tell(one.open),
        "place": to.tell(row.place),
        "trip": to.tell(row.trip),
        "minutes": one.minutes,
        "gain_bits": None,
        "why": " ".join(part for part in why if part),
        "caution": to.tell(row.care),
    }
