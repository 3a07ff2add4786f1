"""What may be done today, in words: decisions, what speaks against a way of running, and what to do."""

from enum import StrEnum

from hvaccalc.call import Mode
from hvaccalc.rows import complete
from hvaccalc.service.may_run.concern import Do, MeasureName, Why
from hvaccalc.service.may_run.running import Running
from hvaccalc.service.today import Decision, Today
from hvaccalc.words.said import NOT_TOLD, Rows, Said, Teller, alike
from hvaccalc.words.steps import STEPS, lead_of

DECISIONS = complete(
    Decision,
    {
        Decision.RUN: Said("run", "may run"),
        Decision.RUN_REDUCED: Said("run reduced", "may run reduced"),
        Decision.STOP: Said("stop", "stays off"),
        Decision.NOT_DECIDED: Said("not decided", "not decided yet"),
    },
)

MODES = complete(
    Mode,
    {
        Mode.OFF: Said("off", "switched off"),
        Mode.FAN: alike("fan alone"),
        Mode.COOL: Said("cooling", "cooling"),
        Mode.HEAT: alike("heating"),
        Mode.DEFROST: Said("defrost", "defrosting"),
    },
)

MEASURES = complete(
    MeasureName,
    {
        MeasureName.JUMPER: alike("The jumper"),
        MeasureName.OTHER: alike("The temporary measure"),
    },
)

WHYS = complete(
    Why,
    {
        Why.NOTHING_READ: alike("nothing was read yet"),
        Why.GAS: Said(
            "leak detector in alarm; the refrigerant of circuit {circuits} burns",
            "the leak detector gave its alarm, and the refrigerant of circuit {circuits} can burn",
        ),
        Why.BRIDGED_SAFETY: alike("a safety is bridged"),
        Why.VACUUM: Said(
            "suction of circuit {circuit} near or below the atmosphere's with its compressor running "
            "({place})",
            "circuit {circuit} was read almost empty or shut while it ran ({place})",
        ),
        Why.WITHOUT_CALL: Said(
            "compressor of circuit {circuits} runs without a call for it ({place})",
            "the compressor of circuit {circuits} runs though nothing asks for it ({place})",
        ),
        Why.FED_WITHOUT_CALL: Said(
            "by the wiring table {load} is energised by a call that should not start it",
            "the wiring starts a part that should not run",
        ),
        Why.FAN: Said(
            "{fault}: {found} read ({place})", "the fan did not run as it should ({found}, {place})"
        ),
        Why.FAN_OPEN: Said(
            "the fan was found not to follow the calls", "the fan was found not to run as it should"
        ),
        Why.FAN_MENDED: Said(
            "the fan was repaired and not read since", "the fan was repaired and not checked since"
        ),
        Why.REPAIRED: Said(
            "{part} was repaired and not read since", "{part} was repaired and not checked since"
        ),
        Why.CIRCUIT_REPAIRED: Said(
            "circuit {circuit}: {part} was repaired and not read since",
            "circuit {circuit}: {part} was repaired and not checked since",
        ),
        Why.HEAT_UNREAD: Said(
            "the fan was not read right at a heating call", "the fan was not checked while it heats"
        ),
        Why.WIRED: Said("by the wiring table: {combination}", "by its wiring: {combination}"),
        Why.TABLE: Said("the wiring table still has {shows}, read right or repaired since", NOT_TOLD),
        Why.NOT_REACHED: Said(
            "{call} does not give by the wiring table what it was designed for",
            "a call does not start all that it should",
        ),
        Why.FAULT: Said("fault of the wiring: {fault} ({ends})", "a fault in the control wiring"),
        Why.BREAK: Said("by the voltages read: {segments}", "a break in the control wiring"),
        Why.ICE: Said("ice was seen ({place})", "ice was seen ({place})"),
        Why.FREEZES: Said(
            "the coil likely stands below freezing ({place})", "the cooling coil likely freezes ({place})"
        ),
        Why.SHORT_OF_AIR: Said(
            "air is missing at full fan speed ({place}): {share:fraction} of the rated was measured",
            "too little air at full fan speed ({place}): {share:fraction} of what the unit is rated for",
        ),
        Why.MOTOR: Said(
            "fan motor at {read:current} ({place}), its plate says {plate:current}",
            "the fan's motor draws more than its plate allows ({place}): {read:current} where "
            "{plate:current} is the limit",
        ),
        Why.WHEEL: Said(
            "belt drive: {turns} ({place})", "the fan's belt drive is not as it should be ({place})"
        ),
        Why.OUTDOOR_AIR: Said("too much outdoor air ({place})", "too much outdoor air is drawn in ({place})"),
        Why.BACKWARDS: Said("the wheel turns backwards", "the fan turns the wrong way round"),
        Why.CHECK: Said("{check} fails ({place})", "{check}: not as it should be ({place})"),
        Why.CHECK_FASTER: Said(
            "at full fan speed {checks} would fail ({place})",
            "not yet fit for a faster fan ({place}): {checks}",
        ),
        Why.FLOODBACK: Said(
            "circuit {circuit}: floodback ({place})",
            "circuit {circuit}: liquid may reach the compressor ({place})",
        ),
        Why.FLOODBACK_OPEN: Said(
            "circuit {circuit}: floodback not excluded ({place})",
            "circuit {circuit}: liquid at the compressor is not excluded ({place})",
        ),
        Why.NO_SUBCOOLING: Said(
            "circuit {circuit}: no subcooling ({place})",
            "circuit {circuit}: gas where liquid belongs ({place})",
        ),
        Why.LOW: Said(
            "circuit {circuit}: charge low ({place})",
            "circuit {circuit} holds too little refrigerant ({place})",
        ),
        Why.HIGH: Said(
            "circuit {circuit}: charge high ({place})",
            "circuit {circuit} holds too much refrigerant ({place})",
        ),
        Why.CANNOT_TELL: Said(
            "circuit {circuit}: charge cannot be told ({place})",
            "circuit {circuit}: the amount of refrigerant cannot be judged yet ({place})",
        ),
        Why.COLD_SUCTION: Said(
            "circuit {circuit}: suction below freezing ({place})",
            "circuit {circuit}: its refrigerant stands below freezing ({place})",
        ),
        Why.CONTRAST: Said(
            "circuit {circuit} stands out against the other ({place})",
            "circuit {circuit} does not run like the other ({place})",
        ),
        Why.WEAK: Said(
            "circuit {circuit}: suction high and head low, so its compressor pumps too little ({place})",
            "circuit {circuit}: its compressor does not seem to pump as it should ({place})",
        ),
        Why.DRIER: Said(
            "circuit {circuit}: drier restricted ({place})",
            "circuit {circuit}: its refrigerant filter is clogged ({place})",
        ),
        Why.CONDENSER_FANS: Said(
            "circuit {circuit}: a condenser fan stands ({place})",
            "circuit {circuit}: a fan of the outdoor unit stands ({place})",
        ),
        Why.OVERLOADED: Said(
            "circuit {circuit}: compressor at {share:fraction} of its plate's current ({place})",
            "circuit {circuit}: its compressor draws {share:fraction} of what its plate allows ({place})",
        ),
        Why.STANDING_PRESSURE: Said(
            "circuit {circuit}: standing pressure off the air's saturation",
            "circuit {circuit}: its pressure at rest does not fit",
        ),
        Why.IDLE: Said(
            "circuit {circuit}: called and not running ({place})",
            "circuit {circuit} does not start ({place})",
        ),
        Why.MEASURE: Said(
            "a temporary measure stands ({place})", "a temporary measure is in place ({place})"
        ),
        Why.REFUSED: Said("the temporary jumper is refused", "the temporary wire is not safe"),
        Why.OVERDUE: Said(
            "a temporary measure is past its end", "a temporary measure is past its agreed end"
        ),
        Why.PAN_FULL: alike("the drain pan was seen full"),
        Why.WATER: alike("water still comes"),
        Why.OUTSIDE: alike("water comes from outside the unit"),
        Why.NO_GUARD: alike("nothing stops the cooling before the pan runs over"),
        Why.GUARD_FAILED: alike("the float switch did not stop the cooling"),
        Why.TRAP: Said(
            "the trap does not hold against the fan", "the drain's water trap does not hold against the fan"
        ),
    },
)

SAID: dict[type[StrEnum], Rows] = {
    Decision: DECISIONS,
    Mode: MODES,
    MeasureName: MEASURES,
    Why: WHYS,
    Do: STEPS,
}


def running_name(running: Running, teller: Teller) -> str:
    """A way of running in words.

    Examples
    --------
    >>> running_name(Running(Mode.COOL, 2), Teller("file", "us", SAID))
    'cooling, stages 1 and 2'
    """
    stages = {0: "", 1: ", stage 1"}.get(running.stage, f", stages 1 and {running.stage}")
    return f"{teller.tell(running.mode)}{stages}"


def as_dict(one: Today, teller: Teller) -> dict[str, object]:
    """Plain data for JSON."""
    why = "; ".join(text for reason in one.why if (text := teller.tell(reason)))
    steps = [f"{lead_of(step, teller)} {text}" for step in one.do if (text := teller.tell(step.what))]
    return {
        "decision": one.decision.value,
        "where": [call.value for call in one.where],
        "why": f"{why[:1].upper()}{why[1:]}." if why else "",
        "do": " ".join(steps),
    }
