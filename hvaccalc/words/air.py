"""The air in words: the fan, its speed and what stands against it; outdoor air."""

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.diagnosis.air.air_states import Surface
from hvaccalc.diagnosis.air.fan_check_rows import Checked, CheckName, Load, MotorLoad, MotorReason
from hvaccalc.diagnosis.air.fan_data import Asked, Turns, Wheel
from hvaccalc.diagnosis.air.mixed_air import By, OutdoorAir, Outdoors
from hvaccalc.reason import Amount, Reason, Value
from hvaccalc.rows import complete
from hvaccalc.service.fan.fan_staging_rule import RuleWhy
from hvaccalc.words.said import NOT_SAID, NOT_TOLD, Rows, Said, alike, for_file

OUTDOORS: dict[Outdoors, Said] = complete(
    Outdoors,
    {
        Outdoors.USUAL: for_file("Outdoor air in the mixed air: {share:list}."),
        Outdoors.MUCH: Said(
            "Outdoor air in the mixed air: {share:list}, while a compressor runs: more than a coil is chosen "
            "for. It brings water on humid days, keeps the cooling running on mild mornings, and makes cold "
            "surfaces sweat. Look at damper, actuator, linkage and the economizer's setting.",
            "More outdoor air is drawn in than the unit is chosen for ({share:list}): it brings in water on "
            "humid days and keeps the cooling running on mild mornings.",
        ),
        Outdoors.FREE_COOLING: for_file(
            "Outdoor air in the mixed air: {share:list}, and no compressor runs: cooling by outdoor air."
        ),
        Outdoors.UNSURE: for_file(
            "Outdoor air in the mixed air: {share:list}, too close to tell from too much."
        ),
        Outdoors.CLOSE: for_file(
            "Return and outdoor air lie too close together to tell the outdoor fraction from them: read all "
            "three again on a hotter or a colder day."
        ),
        Outdoors.OUTSIDE: Said(
            "The mixed air lies outside both return and outdoor air, which no mixing makes: a probe is "
            "wrong, not in the mixed stream, or sees the cold coil.",
            "How much outdoor air is drawn in cannot be told: one of its readings has to be taken again.",
        ),
        Outdoors.DISAGREE: Said(
            "Dry bulbs and humidity give outdoor fractions that do not agree ({share:list}): read the mixed "
            "air at several points of the section, it is seldom well mixed.",
            "How much outdoor air is drawn in has to be read again: two ways of reading it do not agree.",
        ),
    },
)
"""With ``{share:list}``."""

_DUCT = "Duct surface less the dew point of the air round it, both as read: {margin:temperature_difference}"

DUCT_SURFACE: dict[Surface, Said] = complete(
    Surface,
    {
        Surface.SWEATS: Said(
            f"{_DUCT}; it sweats while this lasts.",
            "The duct was read colder than the damp air round it can stand: it sweats.",
        ),
        Surface.DRY: for_file(f"{_DUCT}; it stays dry."),
        Surface.CLOSE: for_file(f"{_DUCT}; too close to tell whether it sweats."),
    },
)

BY: dict[By, Said] = complete(
    By,
    {
        By.DRY_BULBS: Said("{share} by dry bulbs", "{share} by temperature"),
        By.HUMIDITY: alike("{share} by humidity"),
    },
)


def share_values(air: OutdoorAir) -> dict[str, Value]:
    """The known fractions, each with its band."""
    dry, wet = air.by_dry_bulb, air.by_humidity
    by_dry = Reason(By.DRY_BULBS, {"share": Amount(dry, "fraction")})
    by_wet = Reason(By.HUMIDITY, {"share": Amount(wet, "fraction")})
    return {"share": tuple(one for one, value in ((by_dry, dry), (by_wet, wet)) if value.known)}


@dataclass(frozen=True, slots=True)
class CheckWords:
    """Words of one check.

    Attributes
    ----------
    title : Said
    out_of_limits : Said
        A check that fails, with ``{value}`` and ``{limit}``; not said where its name says enough.
    """

    title: Said
    out_of_limits: Said


def _for_customer(text: str) -> Said:
    return Said(NOT_TOLD, text)


CHECKS: dict[CheckName, CheckWords] = complete(
    CheckName,
    {
        CheckName.MOTOR_CURRENT: CheckWords(
            alike("motor current"),
            _for_customer("The fan's motor draws {value}, more than its plate allows ({limit})."),
        ),
        CheckName.SERVICE_FACTOR: CheckWords(
            Said("service factor", "motor reserve"),
            _for_customer("The fan's motor draws {value}, more than its reserve allows ({limit})."),
        ),
        CheckName.BELT: CheckWords(Said("belt and sheaves", "belt and pulleys"), NOT_SAID),
        CheckName.BELT_WRAP: CheckWords(Said("belt wrap", "grip of the belt"), NOT_SAID),
        CheckName.TIP_SPEED: CheckWords(Said("tip speed", "speed of the fan wheel"), NOT_SAID),
        CheckName.COIL_FACE: CheckWords(
            Said("coil face velocity", "air speed through the coil"),
            _for_customer(
                "The air crosses the cooling coil at {value}, so fast that it may carry drops of water "
                "along; {limit} is the common limit."
            ),
        ),
        CheckName.FILTER_FACE: CheckWords(
            Said("filter face velocity", "air speed through the filters"), NOT_SAID
        ),
        CheckName.TRAP: CheckWords(
            Said("trap against pan suction", "the drain's water trap"),
            _for_customer(
                "The fan pulls at the drain pan with {value}: too much for the drain's water trap."
            ),
        ),
        CheckName.STATIC: CheckWords(
            Said("external static", "resistance of the ducts"),
            _for_customer(
                "The ducts resist the air with {value}, more than the unit is rated for ({limit})."
            ),
        ),
        CheckName.FULL_SPEED: CheckWords(Said("full speed", "full speed of the fan"), NOT_SAID),
        CheckName.LEAST_SPEED: CheckWords(Said("least speed", "least speed of the drive"), NOT_SAID),
        CheckName.HEATER: CheckWords(
            Said("least air over an electric heater", "air over an electric heater"), NOT_SAID
        ),
        CheckName.NOISE: CheckWords(alike("noise"), NOT_SAID),
    },
)

RULES = "{rule:number velocity} / {ceiling:number velocity} / {trouble:velocity}"
FACE = "{part} face velocity {velocity:velocity}"
TRAP = (
    "Pan {what} {when} {pressure:air_pressure}: the trap needs {height:length} of height and {seal:length} "
    "of seal and has {has:list}"
)
READ_IT = "Read it on the drive's display or output: at its line side it is not the motor's."

CHECKED = complete(
    Checked,
    {
        Checked.CANNOT_BE_WORKED_OUT: for_file("{what} cannot be worked out from the readings."),
        Checked.WITHIN: for_file("{what} {number}: within {of} ({top})."),
        Checked.ABOVE: for_file("{what} {number}: above {of} ({top})."),
        Checked.TOO_CLOSE: for_file("{what} {number}: too close to tell from {of} ({top})."),
        Checked.AT_PRESENT_SPEED: for_file("at the present speed"),
        Checked.AT_NEW_SPEED: for_file("at the new speed"),
        Checked.AT_A_SPEED: for_file("at {share:fraction} of full speed"),
        Checked.MOTOR_CURRENT: for_file("Motor current {when}"),
        Checked.BELT_SPEED: for_file("Belt speed"),
        Checked.TIP_SPEED: for_file("Tip speed"),
        Checked.EXTERNAL_STATIC: for_file("External static {when}"),
        Checked.THE_PLATE: for_file("the plate"),
        Checked.PLATE_TIMES_FACTOR: for_file("plate times service factor {factor:.6g}"),
        Checked.V_BELTS: for_file("what V-belts stand"),
        Checked.NO_QUESTION: for_file("what serves without asking the maker for the wheel's highest speed"),
        Checked.RATED: for_file("the rating"),
        Checked.LACKS_PLATE: for_file("Read the motor's full-load current (plate)."),
        Checked.LACKS_CURRENT: for_file("Read the fan motor's current."),
        Checked.FOLLOWS_FROM_BOTH: for_file("Follows from the motor's current and its plate."),
        Checked.FOLLOWS_FROM_CURRENT: for_file("Follows from the motor's current."),
        Checked.FOLLOWS_FROM_THAT: for_file("Follows from that reading."),
        Checked.TWO_SPEEDS: for_file(
            "A two-speed motor has a plate current for each speed: read the current at the higher one."
        ),
        Checked.READ_ELSEWHERE: for_file("{said} Read: {reading}."),
        Checked.READ_ON_ANOTHER_VISIT: for_file("{said} Read on another visit, not on this one: {reading}."),
        Checked.DOES_NOT_FIT: for_file(
            "{said} By the fan law the {reading} become {number}: the two do not fit, so neither is a pass. "
            "Read both again, on every phase, doors closed; where both hold, find out what changed between "
            "them (belt, sheave, damper, filters)."
        ),
        Checked.NO_SERVICE_FACTOR: for_file(
            "The motor's service factor is not typed; without it the plate's current is the limit."
        ),
        Checked.READ_SHEAVES: for_file("Read both sheaves' pitch diameters and the motor's speed."),
        Checked.READ_SHEAVES_IF_ANY: for_file(
            "Read both sheaves' pitch diameters and the motor's speed, or see that there is no belt."
        ),
        Checked.READ_WHEEL_SPEED: for_file("{said} Read the wheel's speed by tachometer too: it shows slip."),
        Checked.WHEEL_TURNS: for_file("{said} The wheel turns {turns} (slip {slip})."),
        Checked.WHEEL_OFF: for_file("{said} The wheel: {turns} (slip {slip})."),
        Checked.SHEAVES_TOUCH: for_file(
            "The sheaves would touch at the typed centre distance: one of the three is wrong."
        ),
        Checked.WRAP: for_file("The belt holds the smaller sheave over {degrees:.0f}°; 120° is the least."),
        Checked.READ_WHEEL: for_file("Read the wheel's diameter and the fan's speed in rpm."),
        Checked.MEASURE_FACE: for_file("Measure the {part}'s face (width times height)."),
        Checked.FACE_WITHIN: for_file(f"{FACE}: within the rule of {RULES}."),
        Checked.FACE_NEAR: for_file(f"{FACE}: near the limit, its band reaches across the first of {RULES}."),
        Checked.FACE_UNCERTAIN: for_file(f"{FACE}: too uncertain to tell from {RULES}."),
        Checked.FACE_BETWEEN: for_file(f"{FACE}: between the rules of one maker and another, {RULES}."),
        Checked.FACE_ABOVE: for_file(f"{FACE}: above both makers' rules, {RULES}."),
        Checked.FACE_BEYOND: for_file(f"{FACE}: beyond all three rules of {RULES}."),
        Checked.BLOWS_OFF: for_file("{said} Water may be blown off the coil."),
        Checked.SUCTION: for_file("suction"),
        Checked.PRESSURE: for_file("pressure"),
        Checked.TRIED: for_file(
            "Tried: the pan drained with {how} (visit {visit}), with the filters of that day."
        ),
        Checked.READ_PAN: for_file(
            "Read the {what} at the pan with all panels on; it grows with the square of the speed."
        ),
        Checked.TYPED_NOT_NEGATIVE: for_file(
            "The suction at the pan is typed as {suction}: above the room it is negative."
        ),
        Checked.TYPED_NOT_POSITIVE: for_file(
            "The suction at the pan is typed as {suction}: below the room it is positive."
        ),
        Checked.OPEN_HOLDS: for_file(
            "Without water in a trap the pan's suction {when} holds {held:length} of water in the pan."
        ),
        Checked.OPEN_BLOWS: for_file(
            "Without water in a trap the pan's pressure {when} blows air out at the drain."
        ),
        Checked.TRAP_ENOUGH: for_file(f"{TRAP}: enough."),
        Checked.TRAP_NOT_ENOUGH: for_file(f"{TRAP}: not enough."),
        Checked.TRAP_NOT_MEASURED: for_file(f"{TRAP}: measure what is missing."),
        Checked.HAS_HEIGHT: for_file("height {size:length}"),
        Checked.NO_HEIGHT: for_file("height not measured"),
        Checked.HAS_SEAL: for_file("seal {size:length}"),
        Checked.NO_SEAL: for_file("seal not measured"),
        Checked.READ_RATED_STATIC: for_file("Read the unit's rated external static."),
        Checked.READ_STATIC: for_file("Read the total external static."),
        Checked.LOUDER: for_file(
            "The fan will be about {decibels:.0f} dB louder (50 times the logarithm of the speeds). Tell "
            "the people below before it runs so."
        ),
        Checked.READ_HEATER: for_file("Read the heater's least airflow off its label."),
        Checked.READ_HEATER_IF_ANY: for_file(
            "Read the heater's least airflow off its label, or see that there is none."
        ),
        Checked.HEATER_ABOVE: for_file(
            "Airflow {when} {airflow:airflow}: above the heater's least ({least})."
        ),
        Checked.HEATER_BELOW: for_file(
            "Airflow {when} {airflow:airflow}: below the heater's least ({least})."
        ),
        Checked.HEATER_TOO_CLOSE: for_file(
            "Airflow {when} {airflow:airflow}: too close to tell from the heater's least ({least})."
        ),
        Checked.ABOVE_FULL: for_file(
            "{share:fraction} of full speed is asked for: above it neither drive nor motor is rated."
        ),
        Checked.BELOW_LEAST: for_file(
            "The drive's least speed is {least}; {share:fraction} of full speed lies below it."
        ),
    },
)

MOTOR = complete(
    MotorReason,
    {
        MotorReason.NOT_THE_MOTORS: for_file(f"{{reading}}; {{place}}. {READ_IT}"),
        MotorReason.NOT_THE_MOTORS_YET: for_file(f"{{reading}}, {{beside}}; {{place}}. {READ_IT}"),
        MotorReason.AT_THE_LINE_SIDE: for_file(
            "read at the drive's line side, which is not the motor's current"
        ),
        MotorReason.PLACE_NOT_NOTED: for_file("where it was measured is not noted"),
        MotorReason.READ_AT: for_file("{text} (visit {visit}, condition {condition})"),
        MotorReason.BELOW_THE_PLATE: for_file("below the plate's {plate:current}"),
        MotorReason.ABOVE_THE_PLATE: for_file("above the plate's {plate:current}"),
        MotorReason.NEAR_THE_PLATE: for_file("too close to tell from the plate's {plate:current}"),
    },
)

LOADS: dict[Load, Said] = complete(
    Load,
    {
        Load.WITHIN: Said(
            "The fan's motor draws {current}, within its plate ({plate:current}).",
            "The fan's motor draws no more than its plate allows.",
        ),
        Load.NEAR: Said(
            "The fan's motor draws {current}: too close to tell from its plate ({plate:current}).",
            "The fan's motor draws about what its plate allows.",
        ),
        Load.ABOVE_PLATE: Said(
            "The fan's motor draws {current}, above its plate ({plate:current}) and within the plate times "
            "its service factor ({limit:current}): a reserve, not a rating to be left at.",
            "The fan's motor draws {current}, more than its plate says ({plate:current}), and lives on its "
            "reserve.",
        ),
        Load.OVERLOADED: Said(
            "The fan's motor draws {current} where its plate ({plate:current}) and service factor allow "
            "{limit:current}: it overheats. Stop it, or slow it before anybody leaves.",
            "The fan's motor is overloaded: it draws {current} where {limit:current} is the most it may.",
        ),
    },
)
"""With ``{current}``, ``{plate}`` and ``{limit}``."""


WHEELS: dict[Turns, Said] = complete(
    Turns,
    {
        Turns.AS_ASKED: Said("{read} read at the wheel, {off}: no more than creep.", NOT_TOLD),
        Turns.AS_DESIGNED: Said(
            "{read} read at the wheel, as designed ({design:speed}), {off}: type the sheaves now on it.",
            NOT_TOLD,
        ),
        Turns.NEAR: Said(
            "{read} read at the wheel, {off}: more than creep, no proved slip. Look at the belt's tension "
            "and read wheel and motor again.",
            "The fan's belt may slip a little: its tension has to be looked at.",
        ),
        Turns.SLIPS: Said(
            "{read} read at the wheel, {off}: the belt slips, or another sheave is on than was typed. Look "
            "at tension, wear and both sheaves before anybody follows the control wiring.",
            "The fan's wheel turns more slowly than its belt and pulleys should drive it: the belt slips, or "
            "a pulley is not the right one.",
        ),
        Turns.OTHER_SHEAVES: Said(
            "{read} read at the wheel, as its sheaves ask and not as designed ({design:speed}): the sheaves "
            "are not those of the design.",
            "The fan's pulleys are not those it was designed with, so it turns at the wrong speed.",
        ),
        Turns.FAST: Said(
            "{read} read at the wheel, {off}: another sheave is on than was typed, or another motor speed. "
            "Read the motor's current before it is left.",
            "The fan's wheel turns faster than its pulleys should drive it: one of them is the wrong one.",
        ),
    },
)
"""With ``{read}``, ``{off}`` and ``{design}``."""

ASKED: dict[Asked, Said] = complete(
    Asked,
    {
        Asked.BY_SHEAVES: for_file("where motor and sheaves ask {asked:speed} (slip {slip})"),
        Asked.BY_DESIGN: for_file("where {asked:speed} is designed ({slip} below it)"),
    },
)

BACKWARDS = Said(
    "The fan's wheel was seen to turn against its arrow: far less air, and the current is no guide to it. "
    "What a fan law says of the airflow does not hold.",
    "The fan's wheel turns the wrong way round and moves far less air than it should.",
)


def wheel_values(wheel: Wheel) -> dict[str, Value]:
    """What the words of a wheel's speed ask for."""
    asked = wheel.design if wheel.asked is None else wheel.asked
    off = Reason(
        Asked.BY_DESIGN if wheel.asked is None else Asked.BY_SHEAVES,
        {"asked": asked or 0.0, "slip": Amount(wheel.slip, "fraction")},
    )
    return {"read": Amount(wheel.read, "speed"), "off": off, "design": wheel.design or 0.0}


def load_values(load: MotorLoad) -> dict[str, Value]:
    """What the words of a motor's load ask for."""
    return {"current": Amount(load.current, "current"), "plate": load.plate, "limit": load.limit}


CHECK_THE_CODE = "Check the adopted code: the edition and amendments in force when the unit was installed."
_CAPACITY = "{capacity:heat} of direct-expansion cooling"
_LIMIT = "the {limit:heat} of {edition} (from {day})"

RULES_OF_STAGING = complete(
    RuleWhy,
    {
        RuleWhy.BELOW_EVERY: for_file(f"{_CAPACITY} is below every threshold of {{edition}}"),
        RuleWhy.DATE_UNKNOWN: for_file(
            f"{_CAPACITY} may be above the threshold of {{edition}}, and the unit's date is not known"
        ),
        RuleWhy.BEFORE_EDITION: for_file("the unit was installed ({installed}) before {edition}"),
        RuleWhy.BELOW: for_file(f"{_CAPACITY} is below {_LIMIT}"),
        RuleWhy.NOT_BELOW: for_file(f"{_CAPACITY} is not below {_LIMIT}"),
        RuleWhy.NO_CODE_NAMED: for_file(
            "No energy code is named: the newest of the data file{at} was taken, {newest}."
        ),
        RuleWhy.CODE_NOT_CARRIED: for_file(
            'The energy code "{word}" is not carried{hint}: the newest{at} was taken, {newest}.'
        ),
        RuleWhy.WHEN_INSTALLED: for_file(" when the unit was installed"),
        RuleWhy.NEAREST: for_file(" (nearest: {name})"),
        RuleWhy.CARRIED: for_file(" (carried: {names:list})"),
    },
)
"""Whether an energy code asks for a staged fan, and which edition was taken."""

SAID: dict[type[StrEnum], Rows] = {
    Asked: ASKED,
    By: BY,
    Turns: {turns: alike(turns.value) for turns in Turns},
    CheckName: {name: words.title for name, words in CHECKS.items()},
    Checked: CHECKED,
    RuleWhy: RULES_OF_STAGING,
    MotorReason: MOTOR,
}
