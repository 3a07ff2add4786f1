"""The water in words: every way, what decided about it, what is left, what has to be asked."""

from enum import StrEnum

from hvaccalc.diagnosis.readings.signs import SeenWrong
from hvaccalc.diagnosis.readings.water_seen import ToldBy, Tried, WetAgain
from hvaccalc.diagnosis.water.mechanism import Against, Event, Left, Met, Why
from hvaccalc.diagnosis.water.mechanisms_around import AroundReason
from hvaccalc.diagnosis.water.mechanisms_coil import CoilReason
from hvaccalc.diagnosis.water.mechanisms_pan import PanReason
from hvaccalc.diagnosis.water.water_case import Asked
from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.words.said import NOT_SAID, Rows, Said, alike, for_file
from hvaccalc.words.ways import around, coil, pan
from hvaccalc.words.ways.way_words import WayWords

WAYS: dict[Way, WayWords] = complete(Way, {**coil.WAYS, **pan.WAYS, **around.WAYS})

LOW_FAN = "the low fan"
"""What brings a way about where only the fan's low speed does."""

NO_DRAIN_WORK = Said("; no drain work", "; the drain needs no work")
"""Clause of a repair beside which neither trap nor drain line is put right."""

ASK_SUCTION = "unit.drain.pan_suction is {suction}: "
AIR_GOES_WRONG = (
    "Air was {{air}} at the drain (drain_air), which does not go with unit.air_path ({path}): look on which "
    "side of the fan the pan stands. The trap belongs on that side, with the heights of that side; nothing "
    "was concluded from the suction."
)
IT_MAY_ADD = "; it may add to what reaches every time and place seen: {others}"

WHY = complete(
    Why,
    {
        Why.ELSEWHERE: for_file("it would not be seen on {places}"),
        Why.TOO_LITTLE: for_file("too little"),
        Why.HARDLY_ACTS: for_file("it hardly acts here: {how}"),
        Why.NOTHING_NOTED: for_file("neither amount nor time nor place of the water was noted"),
        Why.RUNS_OFF: WAYS[Way.CONDENSATE].usual.cannot,
        Why.CHANCE: for_file("chance that it acts: {chance:fraction}"),
        Why.CHANCE_READ: for_file(
            "chance that it acts: {chance:chance} as read; {mild:chance} on a mild morning by the forecast, "
            "which outranks no reading"
        ),
        Why.ANOTHER_DAY: for_file(
            "hardly as read; {mild:chance} on a mild morning by the forecast, which outranks no reading"
        ),
        Why.NOTHING_TELLS: NOT_SAID,
        Why.NEEDS_NO_RAIN: for_file("it does not wait for rain"),
        Why.NEEDS_COOLING: for_file("water comes with cooling off, and this needs the cooling"),
        Why.NOT_THEN: for_file("it does not run {phases}"),
        Why.PART_OF_TIMES: for_file(f"it reaches only part of the times{IT_MAY_ADD}"),
        Why.PART_OF_PLACES: for_file(f"it reaches only part of the places{IT_MAY_ADD}"),
        Why.PART_OF_BOTH: for_file(f"it reaches only part of the times and places{IT_MAY_ADD}"),
    },
)
"""What decided; where a look is to decide, the look of the way follows."""

LEFT = complete(
    Left,
    {
        Left.NO_WAY: alike("no mechanism is shown to make this water"),
        Left.PLACES: alike("water on {places}"),
        Left.PHASE: alike("water {phase}"),
        Left.AMOUNT: alike("the amount: what can make it most likely brings less than was seen"),
    },
)

ASKED = complete(
    Asked,
    {
        Asked.PAN_SHOULD_BLOW_OUT: alike(
            f"{ASK_SUCTION}a positive suction lies below the room's pressure, but unit.air_path says that "
            "the fan blows through, which lifts the pan above it. Type it negative if the pan blows out, or "
            "correct unit.air_path; it was not used."
        ),
        Asked.PAN_SHOULD_DRAW_IN: alike(
            f"{ASK_SUCTION}a suction below the room's pressure is typed positive, and unit.air_path says "
            "that the fan draws through. Type it positive if the pan draws in, or say that the unit blows "
            "through; it was not used."
        ),
        Asked.PAN_DRAWS_IN_BY_DEFAULT: alike(
            f"{ASK_SUCTION}a suction below the room's pressure is typed positive, and unit.air_path is not "
            "typed. Type it positive if the pan draws in, or say that the unit blows through; it was not "
            "used."
        ),
        Asked.AIR_AT_THE_DRAIN: alike(AIR_GOES_WRONG.format(path="{path}")),
        Asked.AIR_AT_THE_DRAIN_BY_DEFAULT: alike(
            AIR_GOES_WRONG.format(path="draw through, as nothing else was typed")
        ),
    },
)

TOLD_BY: Rows = complete(
    ToldBy,
    {
        ToldBy.VISIT: alike("visit {visit}"),
        ToldBy.UNIT_TABLE: alike("unit table"),
        ToldBy.JOB_TABLE: alike("job table"),
    },
)

TRIED = complete(
    Tried,
    {
        Tried.FAN_AT_FULL_SPEED: alike("the fan at full speed"),
        Tried.FAN: alike("the fan {state}"),
        Tried.FAN_NOT_NOTED: alike("the fan's state not noted"),
        Tried.WITH_DOOR: alike("{fan} and the door {door}"),
    },
)

WET_AGAIN = complete(
    WetAgain,
    {
        WetAgain.PAN: alike("the pan {state}"),
        WetAgain.DRAIN: alike("the drain {state}"),
        WetAgain.POURED_BACKS_UP: alike("water poured into the pan backs up"),
        WetAgain.AIR_DRAWN_IN: alike("air drawn in at the drain"),
        WetAgain.TRAP_DRY: alike("the trap dry"),
        WetAgain.NO_TRAP: alike("no trap"),
    },
)

AGAINST = complete(
    Against,
    {
        Against.SIGHT: Said("what was seen or read", "Ruled out by what was seen or measured"),
        Against.TIME: Said("time", "Ruled out, as it does not come when the water comes"),
        Against.PLACE: Said("place", "Ruled out, as it would wet other places"),
        Against.AMOUNT: Said("amount", "Ruled out, as it brings too little"),
    },
)
"""What rules a way out; the customer reads it before the list of those ways."""

NOT_EXCLUDED = "so not the whole story, but not excluded"
NOT_THE_WHOLE_STORY = {
    Against.PLACE: f"Would not reach every place where water was seen, {NOT_EXCLUDED}",
    Against.TIME: f"Would not come every time that water came, {NOT_EXCLUDED}",
}
"""The same of ways that may add to another, for the customer."""

AFTER = complete(
    Event,
    {
        Event.START: alike("after a start"),
        Event.STOP: alike("after a stop"),
        Event.STAGE_OFF: alike("after a stage stops"),
        Event.ANY: alike("at any time"),
    },
)

ENOUGH = complete(
    Met,
    {
        Met.MET: for_file("enough"),
        Met.NOT_MET: for_file("not enough"),
        Met.NOT_KNOWN: for_file("not to be told yet"),
    },
)
"""A height or a seal of the trap."""

SEEN: dict[SeenWrong, Said] = complete(
    SeenWrong,
    {
        SeenWrong.DRAIN_SLOW: Said("The drain was seen to run slow.", "The drain runs slow."),
        SeenWrong.DRAIN_BLOCKED: Said("The drain was seen blocked.", "The drain is blocked."),
        SeenWrong.POUR_BACKS_UP: Said(
            "Water poured into the pan backed up.", "Water poured into the drain pan does not run off."
        ),
        SeenWrong.NO_TRAP: Said("The drain was seen to have no trap.", "The drain has no water trap."),
        SeenWrong.TRAP_DRY: Said("The trap was seen dry.", "The drain's water trap is dry."),
        SeenWrong.AIR_DRAWN_IN: Said(
            "Air was drawn in at the drain: its trap holds no seal.", "The drain's water trap lets air in."
        ),
        SeenWrong.AIR_BLOWN_OUT: Said(
            "Air blew out of the drain: its trap holds no seal.", "The drain's water trap lets air out."
        ),
        SeenWrong.PUMP_STOPPED: Said("The condensate pump was seen to stand.", "The drain's pump stands."),
        SeenWrong.HEATING_COIL_WET: Said(
            "The hot-water coil was seen wet.", "The heating coil looks to be leaking."
        ),
        SeenWrong.CABINET_SWEATS: Said("The cabinet was seen to sweat.", "The unit's outside sweats."),
        SeenWrong.DUCT_SWEATS: Said("The duct was seen to sweat.", "The air duct sweats."),
        SeenWrong.SUCTION_LINE_SWEATS: Said(
            "The suction line was seen to sweat.", "The cold refrigerant pipe sweats."
        ),
        SeenWrong.PAN_SWEATS: Said("The pan was seen to sweat.", "The drain pan sweats."),
        SeenWrong.COIL_DIRTY: Said("The coil's face was seen dirty.", "The cooling coil is dirty."),
        SeenWrong.COIL_BENT: Said("The coil's fins were seen bent.", "The cooling coil's fins are bent."),
        SeenWrong.FILTERS_LOADED: Said("The filters were seen loaded.", "The air filters are clogged."),
        SeenWrong.FAN_STAYS: Said(
            "The fan was seen not to rise with the second stage.",
            "The fan does not speed up when the whole cooling runs.",
        ),
        SeenWrong.BELT_LOOSE: Said("The belt was seen loose.", "The fan's belt is loose."),
        SeenWrong.BELT_WORN: Said("The belt was seen worn.", "The fan's belt is worn."),
        SeenWrong.DAMPER_STUCK: Said(
            "The outdoor damper was seen stuck.", "The damper for outdoor air is stuck."
        ),
        SeenWrong.BULB_LOOSE: Said(
            "A sensing bulb was seen loose: its valve may feed too much until it sits tight.",
            "A sensor of the cooling's valve sits loose, so that the valve may let too much through.",
        ),
        SeenWrong.BULB_BARE: Said(
            "A sensing bulb was seen bare: its valve may feed too much until it is insulated.",
            "A sensor of the cooling's valve is bare, so that the valve may let too much through.",
        ),
        SeenWrong.OIL: Said(
            "A trace of oil was seen, as a leak of refrigerant leaves one.",
            "A trace of oil was seen, as a leak of refrigerant leaves one.",
        ),
        SeenWrong.LEAK_ALARM: Said(
            "A leak detector gave its alarm: air the space, then search circuit by circuit.",
            "A leak detector gave its alarm: a technician searches for the leak.",
        ),
    },
)
"""What was seen wrong."""

SAID: dict[type[StrEnum], Rows] = {
    SeenWrong: SEEN,
    Way: {way: words.title for way, words in WAYS.items()},
    CoilReason: coil.REASONS,
    PanReason: pan.REASONS,
    AroundReason: around.REASONS,
    Why: WHY,
    Left: LEFT,
    Asked: ASKED,
    Tried: TRIED,
    ToldBy: TOLD_BY,
    WetAgain: WET_AGAIN,
    Against: AGAINST,
    Event: AFTER,
}
