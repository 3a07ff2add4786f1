"""The call wiring in words: each kind of fault and its effect, and why a temporary pair is refused."""

from enum import StrEnum

from hvaccalc.diagnosis.calls.measures import Doubtful
from hvaccalc.equipment.wiring.fault_kinds import FaultKind
from hvaccalc.equipment.wiring.temporary_measure import Refusal
from hvaccalc.equipment.wiring.wiring_faults import Effect
from hvaccalc.rows import complete
from hvaccalc.words.said import Rows, alike, for_file

FAULTS = complete(
    FaultKind,
    {
        FaultKind.NEVER_LANDED: alike("wire never landed"),
        FaultKind.HEAT_NEVER_LANDED: alike("heat wire never landed"),
        FaultKind.WRONG_TERMINAL: alike("wire on the wrong terminal"),
        FaultKind.SWAPPED: alike("wires swapped"),
        FaultKind.COMMON_LIFTED: alike("common lifted"),
        FaultKind.DRIVE_COMMON_BROKEN: alike("common of the drive broken"),
        FaultKind.EXTRA_WIRE: alike("extra wire"),
        FaultKind.PRESET_NOT_ASSIGNED: alike("preset not assigned"),
        FaultKind.PRESET_WRONG: alike("preset wrong"),
        FaultKind.SUPPLY_SHORTED: alike("supply shorted"),
        FaultKind.SUPPLIES_TIED: alike("supplies tied"),
        FaultKind.DRY_CONTACT_FED: alike("dry contact fed"),
        FaultKind.SAFETY_BRIDGED: alike("safety bridged"),
        FaultKind.CONTACT_BRIDGED: alike("contact welded or bridged"),
        FaultKind.WRONG_SUPPLY: alike("wrong supply"),
    },
)

EFFECTS = complete(
    Effect,
    {
        Effect.CHANGES: for_file("{changes:clauses}"),
        Effect.AT_CALLS: for_file("at {calls:list}: {parts:list}"),
        Effect.STAYS_OFF: for_file("{load} stays off"),
        Effect.COMES_ON: for_file("{load} comes on"),
        Effect.FAN: for_file("fan {now} instead of {was}"),
        Effect.SHORT_ALWAYS: for_file("always: {hot} meets {common}"),
        Effect.SHORT_AT: for_file("at {calls:list}: {hot} meets {common}"),
        Effect.JOINED: for_file("{one} and {two} of two transformers are joined"),
        Effect.SEES_VOLTAGE: for_file("it sees {voltage:.0f} V by {way}"),
        Effect.STOPS_NOTHING: for_file("it can no longer stop anything"),
        Effect.STAYS_CLOSED: for_file("it stays closed: {parts:list}"),
        Effect.STAYS_CLOSED_NO_LOAD: for_file("it stays closed: no load follows"),
        Effect.FED_FROM: for_file("at {call}: {load} is fed from {hot}, its return is another's"),
    },
)

REFUSALS = complete(
    Refusal,
    {
        Refusal.NAMED_SAFETY: for_file(
            "it bridges a safety (by its name {terminal}): a safety is never bridged, not for an hour"
        ),
        Refusal.SAFETY: for_file("it bridges a safety ({name}): a safety is never bridged, not for an hour"),
        Refusal.ACROSS_LOAD: for_file("it lies across a load ({load}): whatever feeds that load is shorted"),
        Refusal.SHORT: for_file(
            "it is a short circuit of the control transformer: {hot} meets {common}; nothing runs then, and "
            "its fuse or its winding burns"
        ),
        Refusal.SHORT_AT: for_file(
            "it is a short circuit of the control transformer: {hot} meets {common} at {call}; nothing runs "
            "then, and its fuse or its winding burns"
        ),
        Refusal.TIES_SUPPLIES: for_file(
            "it joins two supplies: use an isolating relay, or take the call from the supply that the "
            "terminal belongs to"
        ),
        Refusal.DRY_CONTACT: for_file(
            "it leads voltage into a dry contact ({terminal}): use an isolating relay, or change the drive's "
            "preset and write the old value down"
        ),
        Refusal.BRINGS: for_file("it brings {mismatch} at {call}"),
        Refusal.ENERGISES_VALVE: for_file(
            "it energises the {valve} at {calls:list}, against the design: the unit would heat where it "
            "should cool, cool where it should heat, or not defrost"
        ),
        Refusal.DROPS_VALVE: for_file(
            "it drops the {valve} at {calls:list}, against the design: the unit would heat where it should "
            "cool, cool where it should heat, or not defrost"
        ),
        Refusal.STARTS: for_file("it starts {load} at {calls:list}, by {way}"),
        Refusal.TWO_SPEEDS: for_file(
            "it energises two speeds of a two-speed motor at {calls:list}: both contactors pull in, and its "
            "windings are shorted or burn"
        ),
        Refusal.CHANGES_NOTHING: for_file("it changes nothing: no load and no fan input follows it"),
    },
)

DOUBTFUL = complete(
    Doubtful,
    {
        Doubtful.BRIDGED_SAFETY: alike(
            "This note reads as if a safety were bridged. That is never a measure: take it out before the "
            "unit runs again, and find out why the safety acted."
        ),
        Doubtful.OVERDUE: alike(
            "Its end has passed and no removal was noted: take it out now, or say why it stays."
        ),
        Doubtful.NO_END: alike("No end date was noted: agree on one and write it on a tag at the unit."),
    },
)

SAID: dict[type[StrEnum], Rows] = {FaultKind: FAULTS, Effect: EFFECTS, Refusal: REFUSALS, Doubtful: DOUBTFUL}
