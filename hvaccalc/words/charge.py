"""Words for a circuit's charge: verdicts, what speaks beside them, circuits side by side; pumping down."""

from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict, Evidence
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.rows import complete
from hvaccalc.words.said import NOT_TOLD, Said

VERDICTS = complete(
    ChargeVerdict,
    {
        ChargeVerdict.LOW: Said("low", "holds too little refrigerant"),
        ChargeVerdict.LOW_OR_RESTRICTED: Said(
            "low or restricted", "holds too little refrigerant, or something holds it back"
        ),
        ChargeVerdict.AS_CHARTED: Said("as charted", "holds the refrigerant that its label asks for"),
        ChargeVerdict.HIGH: Said("high", "holds more refrigerant than its label asks for"),
        ChargeVerdict.CANNOT_TELL: Said("cannot tell", "could not be judged yet"),
    },
)

LOOKS = complete(
    Suspicion,
    {
        Suspicion.LOW_CHARGE: Said("It looks short of charge.", "it looks short of refrigerant"),
        Suspicion.LOW_CHARGE_OR_RESTRICTION: Said(
            "It looks short of charge or restricted.",
            "it looks short of refrigerant, or something seems to hold it back",
        ),
        Suspicion.RESTRICTION: Said("It looks restricted.", "something seems to hold its refrigerant back"),
        Suspicion.OVERFEEDING_VALVE: Said(
            "Its valve looks to overfeed.", "its valve seems to let too much refrigerant through"
        ),
        Suspicion.OVERFED: Said(
            "It looks overfed: more refrigerant reaches its coil than boils off there.",
            "more refrigerant seems to reach its coil than boils off there",
        ),
        Suspicion.OVERCHARGE: Said("It looks overcharged.", "it seems to hold too much refrigerant"),
        Suspicion.WEAK_COMPRESSOR: Said(
            "It does not pump as it should.", "its compressor does not seem to pump as it should"
        ),
        Suspicion.NONE: Said("none stands out", "the two circuits behave alike"),
        Suspicion.CANNOT_TELL: Said("cannot tell", "the circuits could not be compared yet"),
    },
)
"""How a circuit looks beside the other one."""

PUMPS = complete(
    Pumps,
    {
        Pumps.YES: Said("pumps: {why}", NOT_TOLD),
        Pumps.WEAK: Said(
            "does not pump as it should: {why}. No refrigerant for it and no leak search; {next}",
            "does not seem to pump as it should. It is checked before any refrigerant is added.",
        ),
        Pumps.BY_PASSES: Said(
            "works against its own gas: {why}. No refrigerant for it and no leak search; {next}",
            "seems to lose hot gas through a valve inside the outdoor unit. It is checked before any "
            "refrigerant is added.",
        ),
        Pumps.CANNOT_TELL: Said("may or may not pump: {why}", NOT_TOLD),
    },
)
"""Whether a compressor pumps."""

FEED_OFF = Said(
    "Circuit {circuit}: its compressor runs without a call for it ({how}). Find what feeds it (jumper, "
    "contactor, wire) and take that off today, with the power off, locked out and proved dead.",
    "The compressor of circuit {circuit} runs though nothing asks for cooling. What feeds it has to come off "
    "today.",
)
STOP_UNCALLED = Said(
    "Circuit {circuit}: its compressor runs without a call for it ({how}), and without full air the coil "
    "freezes and liquid comes back to it: off at the disconnect, locked out and proved dead, until its feed "
    "(jumper, contactor, wire) is found and taken off.",
    "The compressor of circuit {circuit} runs though nothing asks for cooling and the fan gives it too "
    "little air, which can ruin it. It has to be switched off at its disconnect by a qualified person.",
)
"""A compressor that runs without a call: common practice, no source."""

PLATE = Said(
    " It draws {share:.0f} % of the current on its plate.",
    "draws {share:.0f} % of the current on its plate.",
)
"""A compressor's current; the customer reads it where that alone is out of order."""

RESTS = complete(
    Rest,
    {
        Rest.AGREES: Said("agrees with ambient", NOT_TOLD),
        Rest.ABOVE: Said(
            "above ambient",
            "seems to hold air or a wrong refrigerant; that has to be settled before anything is added.",
        ),
        Rest.BELOW: Said("below ambient", "seems to be all but empty, or to hold another refrigerant."),
        Rest.CANNOT_TELL: Said("cannot tell", "could not be judged at rest."),
    },
)
"""A circuit at rest."""

EVIDENCE = complete(
    Evidence,
    {
        Evidence.NO_SUBCOOLING: Said(
            "No subcooling at the liquid reading: the sign of a circuit short of refrigerant.", NOT_TOLD
        ),
        Evidence.FLOODBACK: Said(
            "Floodback: no superheat, liquid may reach the compressor; confirm by a discharge superheat "
            "below {low_superheat} or a cold, frosted compressor.",
            NOT_TOLD,
        ),
        Evidence.FLOODBACK_NOT_EXCLUDED: Said(
            "Floodback not excluded: the band reaches zero; confirm by a discharge superheat below "
            "{low_superheat} or a cold, frosted compressor.",
            NOT_TOLD,
        ),
        Evidence.FLOODBACK_CONFIRMED: Said(
            "Floodback: liquid comes back to the compressor; the discharge superheat of {discharge} lies "
            "below {low_superheat} and confirms it.",
            NOT_TOLD,
        ),
        Evidence.FLOODBACK_SEEN: Said(
            "Floodback: superheat is nil within its band, and the frost seen on a compressor confirms it.",
            NOT_TOLD,
        ),
        Evidence.FLOODBACK_NOT_CONFIRMED: Said(
            "Superheat is nil within its band; the discharge superheat of {discharge}, above "
            "{low_superheat}, does not confirm floodback.",
            NOT_TOLD,
        ),
        Evidence.SUCTION_BELOW_FREEZING: Said(
            "Suction below freezing: read promptly, then stop, or the coil ices up under the readings.",
            NOT_TOLD,
        ),
        Evidence.NO_PRESSURE_DIFFERENCE: Said(
            "No pressure difference: the compressor stands, or does not pump.", NOT_TOLD
        ),
        Evidence.SUPERHEAT_OUT_OF_RANGE: Said(
            "The valve does not keep its superheat within {valve}: check its bulb and what arrives at its "
            "inlet.",
            NOT_TOLD,
        ),
        Evidence.BUBBLES: Said("The sight glass shows bubbles.", NOT_TOLD),
        Evidence.BUBBLES_BESIDE_THE_VERDICT: Said(
            "The sight glass shows bubbles all the same: flash gas on the line, a restriction before the "
            "glass, or a reading that is off.",
            NOT_TOLD,
        ),
    },
)
"""What speaks beside a verdict, for the file; the customer reads of it in `report`."""

DISCHARGE_AT_LIMIT = Said(" It was read as {discharge}, which lies at that limit: read it again.", NOT_TOLD)

BUBBLES_OF_A_SHORT_CHARGE = Said(
    "The sight glass shows bubbles, which goes with it; a restriction before the glass makes bubbles too, "
    "but with liquid to spare at the condenser.",
    NOT_TOLD,
)


CAUTIONS = (
    "Stop above atmospheric pressure: below it the low side draws in air and moisture through the leak.",
    "Never with a bypassed cut-out: where the low-pressure cut-out stops the compressor first, the rest is "
    "recovered by machine.",
    "A scroll compressor overheats and may be ruined in a deep pull-down: keep to the maker's lowest suction "
    "pressure and shortest time, and watch the head pressure all the while.",
    "Only where the maker's instruction allows it; stop at once where the head pressure climbs towards its "
    "cut-out.",
)
"""Common practice, no source."""

MODELLED_FAULTS = {
    CircuitFault.LOW_CHARGE: "low charge",
    CircuitFault.RESTRICTION: "a restriction",
    CircuitFault.STARVED_VALVE: "a starved valve",
    CircuitFault.OVERFEEDING_VALVE: "an overfeeding valve",
    CircuitFault.OVERCHARGE: "an overcharge",
}
"""Faults that the coupled model is asked for, in the file's sentences."""

NO_TARGET = Said(
    " Without the label's target there is no verdict.",
    "could not be judged: what its label asks for is not known yet.",
)
NOT_SETTLED = Said(
    " Its charge cannot be told from these readings; what would tell it stands with the open questions.",
    "could not be judged from these readings.",
)
"""Why there is no verdict on a circuit that stands out, after what stands out of it."""
