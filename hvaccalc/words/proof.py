"""Repairs, what a quote holds and how the return visit goes: in words, and as plain data for JSON."""

from enum import StrEnum

from hvaccalc.practice.circuits import STEADY_AFTER
from hvaccalc.reason import Value
from hvaccalc.rows import complete
from hvaccalc.service.refrigerant.inventory import FULL, LABEL, LABEL_AND_LINE, SIBLING, TONNAGE, VOLUMES
from hvaccalc.service.repair.proof import Proof, ReturnVisit, TrapRun, Weather
from hvaccalc.service.repair.repair_rows import Part, RepairNeeded
from hvaccalc.service.repair.repairs import QuoteLine
from hvaccalc.words.repairs import whole
from hvaccalc.words.said import NOT_TOLD, Reader, Said, Teller, alike
from hvaccalc.words.speak import teller
from hvaccalc.words.water import WAYS

EASY: dict[Weather, Said] = complete(
    Weather,
    {
        Weather.ALL_STAGES: alike(
            "Dry days in easy weather prove nothing: all stages have to be forced, long enough to matter."
        ),
        Weather.COOLING: alike(
            "Dry days in easy weather prove nothing: the cooling has to be forced, long enough to matter."
        ),
        Weather.NOTHING: alike("The unit has no part in it: what has to be proved lies above it."),
    },
)


class Step(StrEnum):
    """One step that every unit takes."""

    LOOK = "look"
    FORCE = "force"
    SPEEDS = "speeds"
    AIR = "air"
    CIRCUITS = "circuits"
    COIL = "coil"
    DRY = "dry"


STEPS: dict[Step, Said] = complete(
    Step,
    {
        Step.LOOK: Said(
            "Coil thawed and looked at, filters clean, drain poured with the fan at full speed and the door "
            "closed.",
            NOT_TOLD,
        ),
        Step.FORCE: Said(
            "Force {forced}, whatever the weather, and hold {it}; nothing but the thermostat's own calls, no "
            "jumper.",
            "{switched}, whatever the weather; the fan's speed is written down each time{heating}.",
        ),
        Step.SPEEDS: Said(
            "Note the fan's speed (frequency, or by tachometer at the wheel) at each call: none, fan, "
            "{stages}{heating}{speeds}; which compressor runs, by current.",
            NOT_TOLD,
        ),
        Step.AIR: Said("Measure the airflow by something other than the fan's speed.", NOT_TOLD),
        Step.CIRCUITS: Said(
            "Read each circuit{met}.",
            "The air is measured, and each cooling circuit is read again once everything runs steadily.",
        ),
        Step.COIL: Said(
            "The coil's coldest metal above {freezing} and no frost on its face at the end of the run; write "
            "the weather beside it. On a mild day the suction saturation of a sound unit may lie a little "
            "below without ice: it is read, not a test.",
            NOT_TOLD,
        ),
        Step.DRY: Said(
            "Filters, cabinet floor{wet}: dry at the end of the run, and again after shut-down, when a melt "
            "would come.",
            "The coil is looked at after a long run and must carry no frost; {wet} must be dry, also after "
            "the unit stops.",
        ),
    },
)

STAGED = {
    True: {
        "forced": alike("all stages"),
        "it": alike("them"),
        "switched": alike("Both the whole cooling and each part of it are switched on in turn"),
        "stages": alike("each stage alone, all stages"),
    },
    False: {
        "forced": alike("the cooling"),
        "it": alike("it"),
        "switched": alike("The cooling is switched on"),
        "stages": alike("cooling"),
    },
}
"""Of a unit with several stages, and with one."""

HEATING = Said(", each heating call, defrost", ", and while it heats")
ONE_SPEED = alike(" (full speed: {full})")
TWO_SPEEDS = alike(" (full speed: {full}; low speed: {low})")
GATES = alike(" with every gate met: {gates:clauses}")
NO_GATES = alike(f" after {STEADY_AFTER / 60.0:.0f} steady minutes, coil thawed, filters clean")
WAS_WET = Said(" and every place that was wet", "every place that was wet")
WAS_DRY = Said(NOT_TOLD, "the unit's floor and what stands below")

RUN = alike("for {least:.0f} min at least, as long as the pan may take to fill from empty")
RUN_LONG = alike("until well past the time after which it ran over, the minutes noted")
FILM = alike(
    " The film after {minutes:.0f} min ({when}) speaks for it already: held back, {level:length} of water "
    "would have stood there{shorter}."
)
SHORTER = alike("; it was shorter than this run")


def of_ways(teller: Teller, visit: ReturnVisit, when: Value) -> list[str]:
    """Steps that try the ways of the water; `when` is the day of a film that a later visit saw."""
    run = _run(teller, visit.run, when)
    return [teller.fill(step, run) for way in visit.ways for step in WAYS[way].proof]


def steps(teller: Teller, visit: ReturnVisit, freezing: str) -> list[str]:
    """Steps that every unit takes; `freezing` is where water freezes, as the reader has it."""
    staged = STAGED[visit.weather is Weather.ALL_STAGES]
    speeds = TWO_SPEEDS if visit.low_speed else ONE_SPEED
    values: dict[str, Value] = {name: teller.fill(said, {}) for name, said in staged.items()}
    values |= {
        "heating": teller.fill(HEATING, {}) if visit.heats else "",
        "speeds": teller.fill(speeds, {"full": visit.full_speed, "low": visit.low_speed})
        if visit.full_speed
        else "",
        "met": teller.fill(
            GATES if visit.gates else NO_GATES, {"gates": tuple(gate.value for gate in visit.gates)}
        ),
        "freezing": freezing,
        "wet": teller.fill(WAS_WET if visit.was_wet else WAS_DRY, {}),
    }
    told = (teller.fill(said, values) for said in STEPS.values())
    return [text for text in told if text]


def _run(teller: Teller, run: TrapRun, when: Value) -> dict[str, Value]:
    if run.least is None:
        return {"time": teller.fill(RUN_LONG, {}), "film": ""}
    time = teller.fill(RUN, {"least": run.least})
    if run.film is None:
        return {"time": time, "film": ""}
    _, minutes, level = run.film
    shorter = teller.fill(SHORTER, {}) if run.film_is_shorter else ""
    values: dict[str, Value] = {"minutes": minutes, "when": when, "level": level, "shorter": shorter}
    return {"time": time, "film": teller.fill(FILM, values)}


PARTS: dict[Part, Said] = complete(
    Part,
    {
        Part.DRAIN_CLEARED: alike("the drain opened over its whole length"),
        Part.DRAIN_LINE: alike("a drain line of the size named above"),
        Part.TRAP: alike("a rebuilt trap with a plug for filling"),
        Part.PAN: alike("work on the drain pan"),
        Part.FAN_SPEED: alike("sheave or fan speed of the data sheet"),
        Part.INSULATION: alike("insulation of what sweats"),
        Part.CONDENSATE_PUMP: alike("repair or replacement of the condensate pump, with its alarm"),
        Part.HEATING_COIL: alike("repair of the heating coil"),
        Part.OVERFLOW_GUARD: alike("protection against an overflow of the pan"),
        Part.CONTROL_WIRING: alike("work on the fan's control wiring or drive"),
        Part.CLEANING: alike("work on what holds the air back ({parts:list})"),
        Part.BELT: alike("belt, with sheaves where they are not those of the data sheet"),
        Part.CONDENSER_CLEANING: alike("cleaning of the outdoor coil, its fans tried"),
        Part.CONDENSER_FAN: alike("repair of the outdoor unit's fan, motor and capacitor tried"),
        Part.LEAK_SEARCH: alike("search for its leak and repair of it"),
        Part.LEAK_REPAIR: alike("repair of its leak {at}"),
        Part.RECOVERY: alike("recovery of the refrigerant inside"),
        Part.REFRIGERANT: Said(
            "{gas}, all new: {low:mass} low, {likely:mass} likely, {high:mass} high, {method}",
            "about {amount:whole_mass} of {gas} refrigerant if all of it has to be new",
        ),
        Part.FILTER_DRIER: alike("a new filter-drier, as the circuit is opened"),
        Part.DRIER_CHANGE: alike("change of the filter-drier, with the vacuum after it"),
        Part.PRESSURE_AND_VACUUM: alike("a pressure test and proof that a vacuum holds"),
        Part.WEIGHING_OUT: alike("taking out what is too much refrigerant, weighed"),
    },
)

METHODS = {
    LABEL: "by its label",
    FULL: "as noted when charged",
    LABEL_AND_LINE: "by label and field line",
    VOLUMES: "by volumes",
    SIBLING: "by the other circuit",
    TONNAGE: "guessed from its capacity, read the label first",
}
"""What a charge rests on, by its method."""

BY_WEIGHT = alike("refrigerant by weight, as the label asks for")
A_GUESS = Said(NOT_TOLD, "a guess until the label is read")
IF_REUSED = Said(
    "where what is recovered is clean and goes back into the same circuit: {missing:mass} new instead",
    "about {missing:whole_mass} if what is recovered is clean and goes back",
)
"""What is said of the refrigerant of a quote."""


def part(teller: Teller, line: QuoteLine) -> str:
    """One line of a quote."""
    if line.part is not Part.REFRIGERANT:
        return teller.fill(PARTS[line.part], line.needed.values)
    if line.quantity is None:
        return teller.fill(BY_WEIGHT, {})
    amount = line.quantity
    values: dict[str, Value] = {"amount": amount, "gas": line.gas, "method": METHODS[line.method]}
    values |= {"low": amount.low, "likely": amount.value, "high": amount.high}
    told = [teller.fill(PARTS[line.part], values)]
    told += [teller.fill(A_GUESS, {})] if line.method == TONNAGE else []
    told += [teller.fill(IF_REUSED, {"missing": line.if_reused})] if line.if_reused is not None else []
    return ", ".join(one for one in told if one)


def repair_dict(needed: RepairNeeded, display: str) -> dict[str, object]:
    """A repair that is called for, its scope in the words of the file."""
    return {
        "cause": None if needed.cause is None else str(needed.cause),
        "repair": needed.repair.value,
        "scope": whole(teller(Reader.FILE, display), needed),
        "who": needed.row.who.value,
        "today": needed.row.today,
    }


def quote_dict(line: QuoteLine) -> dict[str, object]:
    """A line of the quote; its money stands open, as the job's prices are not read against it."""
    amount = line.quantity
    return {
        "cause": None if line.cause is None else str(line.cause),
        "repair": line.repair.value,
        "item": line.part.value,
        "quantity": None if amount is None else list(amount.low_to_high),
        "unit": line.unit,
        "low": None,
        "likely": None,
        "high": None,
        "currency": None,
    }


def proof_dict(one: Proof) -> dict[str, object]:
    """One thing that the return visit has to show."""
    return {
        "cause": None if one.cause is None else str(one.cause),
        "calls": [call.value for call in one.calls],
        "quantity": one.quantity.value,
        "target": one.target,
        "low": one.low,
        "high": one.high,
        "unit": one.unit,
        "kind": one.kind or None,
    }
