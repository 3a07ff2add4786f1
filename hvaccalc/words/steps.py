"""What to do or to leave today, in words: every step, and the words that lead to it."""

from collections.abc import Sequence

from hvaccalc.job.causes import Way
from hvaccalc.rows import complete
from hvaccalc.service.may_run.concern import Action, Do
from hvaccalc.words.said import NOT_TOLD, Said, Teller, alike, joined
from hvaccalc.words.water import WAYS
from hvaccalc.words.ways.way_words import CATCH, PAN_FULL

_HEAT_ELSEWHERE = Said(
    "keep the heat pump's heating off until the repair, and heat by a source that does not need this fan at "
    "full speed.",
    "keep the heat pump's heating off until the repair, and heat by another source.",
)

STEPS = complete(
    Do,
    {
        Do.GAS: Said(
            "Flammable refrigerant may stand indoors: everybody leaves, nobody goes into a basement, pit or "
            "shaft; no flame, no spark, touch no switch there; let fresh air in from outside. Cooling off "
            "from outside the space, licensed hands alone; the fan stays as it is, its air thins the gas. In "
            "only once a detector for this gas shows it clear; then find the leak and mend it before the "
            "circuit runs. What else is to be done waits for that.",
            "Flammable refrigerant may stand indoors: everybody leaves, nobody goes into the basement. No "
            "flame, no spark, touch no switch there; let fresh air in from outside and call licensed help "
            "from outside. The cooling stays off until the leak is repaired. All else waits for that.",
        ),
        Do.TAKE_BRIDGE_OUT: Said(
            "A safety is never bridged, not for an hour: take the bridge out before the unit runs again, and "
            "find out why the safety acted.",
            "A protective switch is bridged. The unit stays off until a qualified person has taken the "
            "bridge out and found why the switch acted.",
        ),
        Do.STOP_VACUUM: Said(
            "stop its compressor and find out: a shut valve, a blocked line, an empty circuit, or a gauge "
            "that is off.",
            "it stays off until a technician has found why it was read almost empty.",
        ),
        Do.REMOVE_FEED: Said(
            "a compressor or heat runs without its call: take the feed off today, with the power off, locked "
            "out and proved dead.",
            "a part runs without its call; the wire that feeds it has to come off today.",
        ),
        Do.OFF_WITHOUT_CALL: Said(
            "it runs without its call and without full air: off at the disconnect today, locked out and "
            "proved dead, until the feed is found and taken off. The fan alone may run once it is off.",
            "it runs without its call and without full air; it is switched off at its disconnect by a "
            "qualified person today, and the fan alone may run then.",
        ),
        Do.OFF_FOR_MOTOR: Said(
            "The fan motor's current is over what its plate allows. Before you leave: off and locked out, "
            "cooling and heating with it, until what loads it is put right (sheave, belt, voltage, a door "
            "left open) and its current, read on every phase with all panels on, is within the plate. The "
            "overload stays set at the plate's current.",
            "The fan's motor is overloaded: the unit stays off until that is put right.",
        ),
        Do.SLOW_FAN: Said(
            "The fan motor's current is over what its plate allows: lower the drive's highest speed until it "
            "is not, write the old value down, and read the coil's temperature again before cooling is left "
            "on; else off.",
            "The fan's motor is overloaded: its speed has to be lowered before the unit is left running.",
        ),
        Do.READ_FIRST: Said(
            "Nothing was read yet, so no way of running is cleared. Until then: cooling off and fan on where "
            "ice shows; all off where water comes near live parts. Nobody opens a panel, chips ice or "
            "bridges a switch. On site as found first: no refrigerant added, no drain blown out, no filter "
            "changed before it was read and looked at.",
            "until somebody has looked: switch the cooling off and leave the fan on if ice shows; switch all "
            "off if water comes near wiring. Open nothing and touch nothing that is wet.",
        ),
        Do.OUTSIDE: WAYS[Way.OUTSIDE].today,
        Do.PAN_FULL: PAN_FULL,
        Do.CATCH: CATCH,
        Do.KEEP_MEASURE: Said(
            "{measure} stays until {expires} at the latest; if it comes off or expires, lock the second "
            "stage out. It was read to work in cooling ({place}).",
            "{measure} stays until {expires} at the latest; if it comes off or expires, lock stage 2 out. It "
            "was read to work in cooling ({place}).",
        ),
        Do.MEASURE_HOLDS: Said(
            'The temporary measure of {when} stands and repairs nothing: the cause stays ("{note}"). Look at '
            "it on every round; when it fails or comes off, what was found is back.",
            "the temporary measure of {when} repairs nothing: the cause stays, and is back when the measure "
            "fails or comes off.",
        ),
        Do.MEASURE_TRAP: Said(
            'The temporary measure of {when} stands and repairs nothing: the trap stays as found ("{note}"). '
            "One filled by hand dries out, or the fan sucks it empty at a dry start: then the pan no longer "
            "drains while the fan runs. Look at its water and at the pan on every round, fill it again, and "
            "keep the cooling off where the pan fills.",
            "the temporary measure of {when} repairs nothing: a trap filled by hand dries out, and then the "
            "pan fills again. Look for water every day; have the cooling switched off where it comes.",
        ),
        Do.THAW: alike(
            "Cooling off, fan on until the coil is thawed, and catch the water. Never chip or scrape; see to "
            "live parts below before it drips."
        ),
        Do.FAN_STANDS: alike("Leave it off until the fan runs."),
        Do.TURN_ROUND: Said(
            "Compressors off until the wheel turns with its arrow and the air is measured; locked out and "
            "proved dead before two leads change places.",
            "the cooling stays off until the fan turns the right way round.",
        ),
        Do.BELT: Said(
            "See to belt and sheaves first, the control wiring after: locked out and at rest, tension, wear, "
            "both sheaves' sizes; then read the wheel and the motor's current again. Until then off at the "
            "first frost.",
            "the fan's belt and pulleys are seen to before it is left running; off at the first frost.",
        ),
        Do.LOCK_OUT: Said(
            "lock the second stage out at the thermostat and leave the first stage on: it was read to keep "
            "the coil above freezing ({place}).",
            "lock the second stage out at the thermostat and leave the first stage on: it was read to keep "
            "the coil free of ice ({place}).",
        ),
        Do.LOCK_OUT_UNREAD: Said(
            "lock the second stage out at the thermostat and leave the first stage on, once it was read "
            "alone: no reading yet shows that it keeps the coil above freezing.",
            "lock the second stage out at the thermostat and leave the first stage on, once it was read "
            "alone: no reading shows yet that it keeps the coil free of ice.",
        ),
        Do.READ_FULL_COOLING: Said(
            "read the fan with all cooling stages on before the second one is left on.",
            "before it cools with both stages, the fan's speed has to be read with them.",
        ),
        Do.SECOND_ALONE: Said(
            "lock the second stage out until the wiring starts the first stage with it.",
            "the second stage stays out of use until its wiring is put right.",
        ),
        Do.HEATING_OFF: Said(
            "what is done for cooling protects cooling alone: heating calls run the fan slow too, so "
            + _HEAT_ELSEWHERE.file,
            "what is done for cooling protects cooling alone: heating runs the fan slow too, so "
            + _HEAT_ELSEWHERE.customer,
        ),
        Do.HEATING_UNPROVED: Said(
            "the fan was read right in cooling alone, and heating runs it low by the wiring table or as it "
            "was read. Keep the heat pump's heating off, and heat by another source, until the fan is read "
            "at full speed as it heats.",
            "the fan was read right in cooling alone. Keep the heat pump's heating off, and heat by another "
            "source, until the fan's speed is read in heating too.",
        ),
        Do.HEATING_UNREAD: Said(
            "what is done for cooling protects cooling alone: read the fan's speed at a heating call before "
            "it heats.",
            "what is done for cooling protects cooling alone: before it heats, the fan's speed in heating "
            "has to be read.",
        ),
        Do.HEATING_WITH_MEASURE: alike(
            "the temporary measure was read in cooling alone: no heating call has been read with it yet; "
            "read the fan before it heats."
        ),
        Do.PROVE_FAN: Said(
            "repaired and not read since: read the fan's speed at this call before it is left so.",
            "repaired and not checked since: the fan's speed has to be read before it is left so.",
        ),
        Do.PROVE_DRY: Said(
            "Look at the pan and at every place that was wet after an hour of cooling, fan at full speed and "
            "door closed, before it is left alone; off where water shows.",
            "the drain pan and every place that was wet are looked at after an hour of cooling, before it is "
            "left alone; off where water shows.",
        ),
        Do.PROVE_CIRCUIT: Said(
            "Circuit {circuit}: read it again before it is left so; off with frost, liquid back or a hot "
            "compressor.",
            "circuit {circuit} has to be read again before it is left running.",
        ),
        Do.CHECK_TABLE: Said(
            "the fan was read right or repaired since, and the wiring table still has the fault: compare the "
            "table with the wires, and read the fan at each call.",
            NOT_TOLD,
        ),
        Do.KEEP_OFF_COLD: Said(
            "Keep this cooling off: the coil was read to freeze. Put right what holds its air or charge "
            "down, then read it again.",
            "this cooling stays off: the cooling coil would freeze. It is read again once the cause is put "
            "right.",
        ),
        Do.LESS_COLD: Said(
            "Lock stage {stage} out, with which the coil was read to freeze, and read the coil without it.",
            "stage {stage} is locked out: the cooling coil would freeze with it.",
        ),
        Do.COLD_CIRCUIT: Said(
            "it stays off: its suction was read below freezing for a cause of its own, which less cooling "
            "does not warm. Find what starves it, then read it again.",
            "it stays off: its refrigerant was read below freezing. It is read again once the cause is put "
            "right.",
        ),
        Do.WATCH_COLD: Said(
            "Look at the coil after half an hour with all stages on; off at the first frost, and thaw it "
            "with the fan.",
            "the cooling coil is looked at after half an hour; off at the first frost.",
        ),
        Do.PROVE_COLD: Said(
            "The coil was read to freeze, and what is said to be repaired was not read since. It runs so for "
            "the proof alone: somebody at the coil, read after half an hour, off at the first frost. Until "
            "then this stage stays locked out; without one below it, cooling off.",
            "the cooling coil was read to freeze before the repair. Until it is read again it cools so only "
            "while a technician stands by; off at the first frost.",
        ),
        Do.AIR: Said(
            "See to {parts} before it is left; off at the first frost.",
            "what holds the air back ({parts}) is seen to before it is left running; off at the first frost.",
        ),
        Do.OUTDOOR_AIR: Said(
            "Bring the outdoor damper to its minimum before it is left, by its own control or linkage; not "
            "below the ventilation that the space asks for.",
            "the damper for outdoor air is brought to its minimum before it is left running.",
        ),
        Do.MOTOR_WARM: Said(
            "The motor runs above its plate within its service factor: it is not left so for long. Read "
            "voltage and current of each phase.",
            "the fan's motor is loaded to its limit and is not left so for long.",
        ),
        Do.CHECK: Said("See to this before it is left: {check}.", "this has to be seen to: {check}."),
        Do.NOT_FASTER: Said(
            "Do not raise the fan's speed before these are put right: {checks}.",
            "the fan's speed is not raised before these are put right: {checks}.",
        ),
        Do.FASTER_NOW: Said(
            "The fan should run faster since its repair: put these right before it is left so: {checks}.",
            "the fan should run faster since its repair: these have to be put right: {checks}.",
        ),
        Do.FOLLOW_CALL: Said(
            "Follow the call from terminal to terminal and mend its way; control side only, nothing bridged.",
            "the control wiring has to be followed and mended.",
        ),
        Do.MEND_WIRING: Said(
            "Mend the control wiring before it is left: off, locked out, proved dead.",
            "the control wiring has to be mended.",
        ),
        Do.MEASURE_REFUSED: Said(
            "The jumper is refused: do not land it, and take it off today where it is landed.",
            "A temporary wire was refused: it is not landed, or comes off today.",
        ),
        Do.MEASURE_OVERDUE: Said(
            "Its end has passed: take the temporary measure out today, or agree on a new end and write it on "
            "the tag.",
            "the temporary measure is past its agreed end and comes out today.",
        ),
        Do.FIND_HOLD: Said(
            "find out which control or protection holds its compressor off, and never bridge one.",
            "a technician finds out what holds it off; no protection is bridged.",
        ),
        Do.FLOODBACK_OFF: Said(
            "keep it off until it is shown that no liquid comes back to its compressor.",
            "it stays off until it is shown that no liquid reaches its compressor.",
        ),
        Do.FLOODBACK_CONFIRM: Said(
            "before it is left running, read its discharge temperature: a low discharge superheat or a cold, "
            "frosted compressor means off.",
            "before it is left running, a technician makes sure that no liquid reaches its compressor.",
        ),
        Do.LEAK_OFF: Said(
            "it stays off until its leak is repaired: {against}. It is not topped up to run meanwhile.",
            "it stays off until its leak is repaired.",
        ),
        Do.LEAK_MAY_RUN: Said(
            "it may run until its leak is repaired, which comes first, as it was read last ({place}): "
            "suction above freezing, no liquid back. Look at it often; off at once with frost, short cycling "
            "or a hot compressor. Top up only where the law allows it, once, weighed, no further than the "
            "label, and written down.",
            "it may run until its leak is repaired, which comes first; it is switched off at once if frost "
            "shows or it starts and stops often. Whether it may be topped up until then is for a licensed "
            "technician and local law.",
        ),
        Do.LOW: Said(
            "weigh in no more than brings it to the label, only to bridge the days to the repair, and write "
            "the amount down. Topping up alone is no repair, and the leak comes first where the law asks for "
            "it.",
            "if it has to cool until the repair, only what is missing is weighed in and written down.",
        ),
        Do.HIGH: Said(
            "take nothing out before the condenser is seen clean and non-condensables are ruled out.",
            "nothing is taken out before the outdoor unit is checked.",
        ),
        Do.CANNOT_TELL: Said(
            "add nothing and take nothing out: its charge cannot be told from these readings.",
            "nothing is added or taken out yet: the amount cannot be judged from these readings.",
        ),
        Do.CONTRAST: Said(
            "add nothing and take nothing out on the comparison of the circuits alone.",
            "nothing is added or taken out on a comparison alone.",
        ),
        Do.WEAK: Said(
            "add nothing, take nothing out, look for no leak: current against the plate first, and a "
            "reversing valve's two suction temperatures; off where it draws more than its plate, is noisy or "
            "trips.",
            "no refrigerant is added or taken out; the compressor is checked first. Switch it off where it "
            "is loud or keeps stopping.",
        ),
        Do.DRIER: Said(
            "add nothing and take nothing out before its drier is replaced; where it runs until then: off "
            "with frost or a hot compressor.",
            "nothing is added or taken out before its filter is replaced.",
        ),
        Do.CONDENSER_FANS: Said(
            "keep it off until its condenser fans turn; add nothing and take nothing out before, and never "
            "bridge the high-pressure cut-out.",
            "it stays off until its outdoor fan turns; nothing is added or taken out before.",
        ),
        Do.OVERLOADED: Said(
            "keep it off until what loads its compressor is put right: head, condenser, voltage of each "
            "phase; then read its current again. The overload stays set at the plate's current.",
            "it stays off until a technician has found why its compressor draws so much.",
        ),
        Do.CIRCUIT_OUT: Said(
            "off at its disconnect, locked out and proved dead. Circuit {left} was read sound and may cool "
            "meanwhile with all stages called; off at the first frost.",
            "a qualified person locks it out; circuit {left} may cool meanwhile, off at the first frost.",
        ),
        Do.STANDING_PRESSURE: Said(
            "add nothing and take nothing out before what stands in it is known.",
            "nothing is added or taken out before it is known what it holds.",
        ),
        Do.NO_SUBCOOLING: Said(
            "look at it often while it runs; off at once with frost, short cycling or a hot compressor.",
            "it is switched off at once if frost shows or it starts and stops often.",
        ),
        Do.TRAP: Said(
            "Watch the pan for an hour with the fan at this speed, panels on; off before it runs over.",
            "watch for water below the unit; switch the cooling off before the pan runs over.",
        ),
        Do.GUARD: Said(
            "Look at the pan on every round until a float switch is fitted.",
            NOT_TOLD,
        ),
        Do.GUARD_FAILED: Said(
            "Do not rely on the float switch: it did not stop the cooling. Try it by hand, and look at the "
            "pan on every round until it does.",
            "do not rely on the switch that should stop the cooling at a full pan until it was tried.",
        ),
    },
)

LEADS = complete(
    Do,
    {
        **dict.fromkeys((Do.GAS, Do.TAKE_BRIDGE_OUT, Do.STOP_VACUUM), alike("Stop")),
        **dict.fromkeys((Do.REMOVE_FEED, Do.OFF_WITHOUT_CALL), alike("Without a call")),
        **dict.fromkeys((Do.OFF_FOR_MOTOR, Do.SLOW_FAN, Do.MOTOR_WARM), alike("Fan motor")),
        Do.READ_FIRST: alike("First"),
        Do.OUTSIDE: alike("Water from above"),
        **dict.fromkeys((Do.PAN_FULL, Do.CATCH, Do.PROVE_DRY), alike("Water")),
        **dict.fromkeys(
            (Do.KEEP_MEASURE, Do.LOCK_OUT, Do.LOCK_OUT_UNREAD, Do.READ_FULL_COOLING),
            alike("Until the fan is repaired"),
        ),
        Do.THAW: alike("Ice"),
        **dict.fromkeys(
            (Do.FAN_STANDS, Do.TURN_ROUND, Do.BELT, Do.PROVE_FAN, Do.CHECK, Do.NOT_FASTER, Do.FASTER_NOW),
            alike("Fan"),
        ),
        Do.SECOND_ALONE: alike("Second stage"),
        **dict.fromkeys(
            (Do.HEATING_OFF, Do.HEATING_UNPROVED, Do.HEATING_UNREAD, Do.HEATING_WITH_MEASURE),
            alike("Heating"),
        ),
        **dict.fromkeys((Do.CHECK_TABLE, Do.FOLLOW_CALL, Do.MEND_WIRING), alike("Wiring")),
        **dict.fromkeys((Do.KEEP_OFF_COLD, Do.LESS_COLD, Do.WATCH_COLD, Do.PROVE_COLD), alike("Coil")),
        **dict.fromkeys((Do.AIR, Do.OUTDOOR_AIR), alike("Air")),
        **dict.fromkeys(
            (Do.MEASURE_REFUSED, Do.MEASURE_OVERDUE, Do.MEASURE_HOLDS, Do.MEASURE_TRAP),
            alike("Temporary measure"),
        ),
        **dict.fromkeys(
            (
                *(
                    Do.OVERLOADED,
                    Do.CIRCUIT_OUT,
                    Do.COLD_CIRCUIT,
                    Do.FIND_HOLD,
                    Do.FLOODBACK_OFF,
                    Do.FLOODBACK_CONFIRM,
                    Do.LEAK_OFF,
                    Do.LEAK_MAY_RUN,
                ),
                *(
                    Do.PROVE_CIRCUIT,
                    Do.LOW,
                    Do.HIGH,
                    Do.CANNOT_TELL,
                    Do.CONTRAST,
                    Do.WEAK,
                    Do.DRIER,
                    Do.CONDENSER_FANS,
                    Do.OVERLOADED,
                    Do.STANDING_PRESSURE,
                    Do.NO_SUBCOOLING,
                ),
            ),
            alike("Refrigerant"),
        ),
        Do.TRAP: alike("Trap"),
        **dict.fromkeys((Do.GUARD, Do.GUARD_FAILED), alike("Drain pan")),
    },
)
"""What stands before a step; the circuit does where it belongs to one."""


def lead_of(step: Action, teller: Teller, circuits: Sequence[str] = ()) -> str:
    """What stands before a step: its circuit, or those that share it; else its subject."""
    names = circuits or ((step.circuit,) if step.circuit is not None else ())
    if names:
        return f"{'Circuit' if len(names) == 1 else 'Circuits'} {joined(list(names))}:"
    subject = LEADS[Do(step.what.code)].to(teller.reader)
    return f"{subject}{'.' if teller.tell(step.what)[:1].isupper() else ':'}"
