"""The repairs in words, one row each: what is done, what warns, what is quoted.

Repairs are common practice, without a source. What a way of the water calls for stands with the way.
"""

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.job.causes import Way
from hvaccalc.reason import Value
from hvaccalc.rows import complete
from hvaccalc.service.repair.repair_rows import Detail, First, Repair, RepairNeeded
from hvaccalc.words.said import NOT_TOLD, Rows, Said, Teller, alike, capital
from hvaccalc.words.water import NO_DRAIN_WORK, WAYS


@dataclass(frozen=True, slots=True)
class RepairWords:
    """Words of one repair.

    Attributes
    ----------
    lead : Said
        Before its line.
    scope : Said
        What is done.
    caution : Said
        What warns of the harm that this work can do.
    """

    lead: Said
    scope: Said
    caution: Said


_CIRCUIT = alike("Circuit {circuit}.")
_CODE = (
    "The mechanical code asks for one of them where an overflow can damage the building (IMC 307.2.3, from "
    "memory; the edition adopted on site counts)."
)
_OFF = Said("Unit locked out and proved dead, nothing live below the water.", NOT_TOLD)
_TOP_UP = alike("Topping up alone is no repair.")
_EMPTIED = (
    "recover the charge, repair, pressure test with nitrogen{finds}, evacuate and prove the vacuum holds, "
    "weigh the charge in."
)
_DRIER = (
    "pump the circuit down into its condenser where that fits, else recover; change it with nitrogen "
    "flowing, evacuate what was open and prove the vacuum holds."
)
_RECOVERED = Said("Recovered, never vented; licensed hands.", NOT_TOLD)
_NEVER_BRIDGE = alike("Never bridge one.")


def _of(way: Way) -> Said:
    """Scope that stands with the way of the water."""
    return WAYS[way].usual.repair


WORDS: dict[Repair, RepairWords] = complete(
    Repair,
    {
        Repair.OPEN_DRAIN: RepairWords(alike("Drain."), _of(Way.PAN_OVERFLOW), _OFF),
        Repair.LARGER_DRAIN: RepairWords(
            alike("Drain line."),
            alike("The drain line that suits this unit is {size:length} and falls 1 % at least."),
            _OFF,
        ),
        Repair.REBUILD_TRAP: RepairWords(alike("Trap."), _of(Way.TRAP), _OFF),
        Repair.PAN: RepairWords(alike("Pan."), _of(Way.PAN_LEAK), _OFF),
        Repair.SLOWER_AIR: RepairWords(
            alike("Water blown off the coil."),
            _of(Way.CARRY_OVER),
            Said("Not so slow that the coil freezes: read its coldest metal after it.", NOT_TOLD),
        ),
        Repair.INSULATE: RepairWords(
            alike("Sweating."),
            _of(Way.SWEATING),
            Said("What is wet is dried and looked at for mould before it is covered.", NOT_TOLD),
        ),
        Repair.PUMP: RepairWords(
            alike("Condensate pump."),
            _of(Way.PUMP),
            Said("Its plug is pulled before a hand goes into the tank.", NOT_TOLD),
        ),
        Repair.HEATING_COIL: RepairWords(
            alike("Hot-water coil."),
            _of(Way.HOT_WATER_COIL),
            Said("Hot water under pressure: isolated, cooled and drained first.", NOT_TOLD),
        ),
        Repair.ABOVE_THE_UNIT: RepairWords(
            alike("Water from outside the unit."),
            _of(Way.OUTSIDE),
            Said("Ladders and roof edges; nobody under a wet ceiling.", NOT_TOLD),
        ),
        Repair.FIT_GUARD: RepairWords(
            alike("Overflow protection."),
            Said(
                "There is none. Fit a float switch above the pan's outlet and below its rim that stops the "
                f"cooling, or an auxiliary pan with its own drain, ending where it is seen. {_CODE} Prove "
                "it: fill the pan until the cooling stops.",
                "Fit a switch that stops the cooling before the drain pan runs over, or a second pan with "
                "its own drain.",
            ),
            _OFF,
        ),
        Repair.FIND_GUARD: RepairWords(
            alike("Float switch."),
            Said(
                "None was noted, nor an auxiliary pan: look for one. Where there is none, fit a float "
                f"switch that stops the cooling, or an auxiliary pan with its own drain. {_CODE}",
                "See whether a switch stops the cooling before the drain pan is full; if there is none, have "
                "one fitted, or a second pan with its own drain.",
            ),
            _OFF,
        ),
        Repair.TRY_FLOAT_SWITCH: RepairWords(
            alike("Float switch."),
            Said(
                "It is fitted, and the pan ran over all the same: fill the pan by hand and see that it "
                "stops the cooling; find out whether it was bridged, stuck, or set above the rim.",
                "The switch that should stop the cooling before the drain pan runs over did not: it has to "
                "be tried and mended.",
            ),
            Said("Never bridge it.", NOT_TOLD),
        ),
        Repair.FAN_TO_SPEED: RepairWords(
            alike("Fan."),
            Said(
                "Make the fan reach {expected} whenever all stages are called{heating}, and prove it.",
                "Make the fan reach {expected} whenever the whole cooling runs{heating}, and prove it.",
            ),
            Said("A drive's capacitors stay charged for minutes after it is locked out.", NOT_TOLD),
        ),
        Repair.FAN_RUNS: RepairWords(
            alike("Fan."),
            Said(
                "Find out why the fan stands while a compressor runs (call, drive, motor, overload, belt), "
                "and make it run at {expected} whenever all stages are called{heating}; prove it.",
                "Find out why the fan stands, and make it reach {expected} whenever the whole cooling "
                "runs{heating}.",
            ),
            Said("The compressors stay off until it runs; never bridge an overload.", NOT_TOLD),
        ),
        Repair.FREE_THE_AIR: RepairWords(
            alike("Air."),
            alike(
                "Find what holds the air back ({parts:list}) and put it right, then measure the airflow and "
                "read again."
            ),
            Said("Fan locked out before a panel comes off.", NOT_TOLD),
        ),
        Repair.BELT: RepairWords(
            alike("Belt."),
            Said(
                "Belt and sheaves: sheaves of the data sheet, the belt tight and in line, the wheel's speed "
                "read by tachometer beside the motor's, and the motor's current against its plate.",
                "Renew or tighten the fan's belt, with pulleys of the data sheet.",
            ),
            Said("Fan locked out and at rest before a hand goes to the belt; guard back on.", NOT_TOLD),
        ),
        Repair.OUTDOOR_DAMPER: RepairWords(
            alike("Outdoor air."),
            Said(
                "Free the outdoor damper, its linkage and actuator, and set minimum position and economizer "
                "so that it closes to its minimum while compressors run; then read return, mixed and outdoor "
                "air again. Not below the ventilation that the space asks for.",
                "Set the damper for outdoor air so that it lets in what the rooms need and no more.",
            ),
            Said("Fan locked out before a hand goes between the blades; they close by spring.", NOT_TOLD),
        ),
        Repair.TURN_ROUND: RepairWords(
            alike("Fan rotation."),
            Said(
                "Make the wheel turn with its arrow: of a three-phase motor two leads change places (behind "
                "a drive at its output), of a single-phase one by its diagram. See it start, then measure "
                "the air; the current is no guide.",
                "Make the fan turn the right way round, and measure its air.",
            ),
            Said("Fan locked out and proved dead; a drive's capacitors stay charged for minutes.", NOT_TOLD),
        ),
        Repair.UNLOAD_MOTOR: RepairWords(
            alike("Fan motor."),
            Said(
                "Find what loads it: voltage and current of each phase, a door or panel left open (more air, "
                "more load), the sheaves and speed against the data sheet, bearings. Slow the wheel until "
                "the current is within the plate, then measure the air; a motor that has to give more is "
                "replaced by one sized for it.",
                "Find out why the fan's motor draws more than it may, and put that right.",
            ),
            Said("Never a larger fuse or a higher overload setting.", NOT_TOLD),
        ),
        Repair.FIND_WHAT_FREEZES: RepairWords(
            alike("Air."),
            alike(
                "The coil freezes, or its refrigerant does, though no fault of the fan's speed was read: "
                "look for what holds the air or the refrigerant back ({parts:list}, charge)."
            ),
            Said("Thaw with the fan first; never chip.", NOT_TOLD),
        ),
        Repair.MEND_WIRING: RepairWords(
            alike("Control wiring."),
            Said("Bring the control wiring back to its design.", "Put the control wiring right."),
            Said("Never a wire across a safety.", NOT_TOLD),
        ),
        Repair.TAKE_JUMPER_OFF: RepairWords(
            alike("Jumper."),
            Said(
                "Take the jumper off both terminals: it runs a compressor by a call that is not its own. "
                "Power off, locked out, proved dead; then prove at every call which compressor runs.",
                "Take the temporary wire off: it switches cooling on when nobody asks for it.",
            ),
            Said("Until then that call stays off.", NOT_TOLD),
        ),
        Repair.FIND_WHAT_STARTS_IT: RepairWords(
            alike("Compressor."),
            Said(
                "A compressor runs without a call for cooling: find its feed (contactor, jumper, wire) and "
                "take it off; then prove at every call which compressor runs.",
                "Cooling runs when nobody asks for it: have its feed found and taken off.",
            ),
            Said("Contactors are line voltage: locked out and proved dead.", NOT_TOLD),
        ),
        Repair.FIND_WHAT_HOLDS_OFF: RepairWords(
            _CIRCUIT,
            alike(
                "Find out which control or protection holds its compressor off (call, contactor, pressure "
                "switches, overload) and why."
            ),
            _NEVER_BRIDGE,
        ),
        Repair.STOP_FLOODBACK: RepairWords(
            _CIRCUIT,
            Said(
                "Then look at the airflow, {device} and the charge.",
                "Then the metering device and the airflow are looked at.",
            ),
            Said("Off at once where the compressor is cold or frosted.", NOT_TOLD),
        ),
        Repair.CLEAN_CONDENSER: RepairWords(
            _CIRCUIT,
            Said(
                "The condenser first: its face, its fans by count and direction, and air that returns to it; "
                "clean it and read again. Only if the head stays high, the standing pressure against ambient "
                "(air in the circuit), then the charge.",
                "The outdoor unit first: clean its coil, make sure that all its fans blow, then read again.",
            ),
            Said("Its fans start by themselves: disconnect locked out.", NOT_TOLD),
        ),
        Repair.CONDENSER_FAN: RepairWords(
            _CIRCUIT,
            Said(
                "Of its condenser fans {running} of {all} ran: find out why the other stands (capacitor, "
                "motor, contactor, blade), mend it, and see that all turn the right way; then read again, "
                "before the coil is judged dirty or the charge wrong.",
                "A fan of the outdoor unit stands: it is repaired, then the circuit is read again.",
            ),
            Said("Fans start by themselves and capacitors stay charged: locked out, discharged.", NOT_TOLD),
        ),
        Repair.TRY_COMPRESSOR: RepairWords(
            _CIRCUIT,
            Said(
                "Its suction stands above a sound unit's, which no shortage does: read the compressor's "
                "current against its plate, and the suction gas before and after a reversing valve, before "
                "anything is added or a leak is looked for.",
                "Its compressor has to be checked before any refrigerant is added.",
            ),
            Said("Current is read live: protective equipment, covers back on.", NOT_TOLD),
        ),
        Repair.PROVE_GAS: RepairWords(
            _CIRCUIT,
            Said(
                "Prove what is in it (label, identifier), then let it stand until all metal has the air's "
                "warmth and read the standing pressure again. Only where that stays high is it emptied, "
                "evacuated and weighed in.",
                "It has to be proved what is in this circuit before anything else is done to it.",
            ),
            Said("A gas of which nobody knows what it is goes into a cylinder of its own.", NOT_TOLD),
        ),
        Repair.FIND_LEAK: RepairWords(
            _CIRCUIT,
            Said(
                f"Find the leak and repair it: {_EMPTIED.format(finds='')}",
                "Find the leak and repair it, then weigh the right amount of refrigerant in.",
            ),
            _TOP_UP,
        ),
        Repair.FIND_LEAK_OR_RESTRICTION: RepairWords(
            _CIRCUIT,
            Said(
                f"Find the leak (or the restriction) and repair it: {_EMPTIED.format(finds='')}",
                "Find the leak (or what holds the refrigerant back) and repair it, then weigh the right "
                "amount of refrigerant in.",
            ),
            _TOP_UP,
        ),
        Repair.MEND_LEAK: RepairWords(
            _CIRCUIT,
            Said(
                f"Repair the leak {{at}}: {_EMPTIED.format(finds=' (it finds the next leak too)')}",
                "Repair the leak {at}, then weigh the right amount of refrigerant in.",
            ),
            _TOP_UP,
        ),
        Repair.WEIGH_OUT: RepairWords(
            _CIRCUIT,
            Said(
                "Weigh out what is too much into a recovery cylinder, down to the unit's own label, and read "
                "again.",
                "Take out what is too much and read again.",
            ),
            _RECOVERED,
        ),
        Repair.CONFIRM_OVERCHARGE: RepairWords(
            _CIRCUIT,
            Said(
                "If confirmed, weigh out what is too much into a recovery cylinder.",
                "If confirmed, take out what is too much.",
            ),
            _RECOVERED,
        ),
        Repair.REPLACE_DRIER: RepairWords(
            _CIRCUIT,
            Said(
                f"Replace its restricted filter-drier: {_DRIER} Then read subcooling and superheat again: "
                "the charge is judged only behind it.",
                "Replace its clogged filter-drier, then read the circuit again.",
            ),
            _RECOVERED,
        ),
        Repair.CLEAR_RESTRICTION: RepairWords(
            _CIRCUIT,
            Said(
                f"Replace the drier or free the valve, as proved: {_DRIER}",
                "Find what holds the refrigerant back (drier or valve) and replace it.",
            ),
            _RECOVERED,
        ),
        Repair.CHECK_VALVE: RepairWords(
            _CIRCUIT,
            Said(
                "Confirm by superheat; replace the valve only then.",
                "Replace the valve only if it proves faulty.",
            ),
            _RECOVERED,
        ),
        Repair.SEAT_BULB: RepairWords(
            alike("Sensing bulb{of_circuit}."),
            Said(
                "Clamp the sensing bulb tight and flat on a clean, straight suction line, insulate it, and "
                "read the superheat again, before the valve is judged.",
                "The valve's sensing bulb is fastened and insulated, then read again.",
            ),
            Said("Hot and turning parts near: unit locked out.", NOT_TOLD),
        ),
        Repair.CHECK_ORIFICE: RepairWords(
            _CIRCUIT,
            Said(
                "Look at the orifice (size, seat), the airflow and the charge.",
                "Look at the metering device and the airflow.",
            ),
            _RECOVERED,
        ),
    },
)

FIRST: dict[First, Said] = complete(
    First,
    {
        First.SPEED_CHECKS: Said(
            "Before the fan is sped up: motor current against the plate at the new speed, belt, filters, the "
            "coil's face velocity, and the trap: suction at the pan grows with the square of the speed.",
            NOT_TOLD,
        ),
        First.CONDENSER: Said(
            "First rule out a dirty or short-aired condenser and non-condensables, which look alike.",
            "First make sure the outdoor unit is clean.",
        ),
        First.FULL_AIRFLOW: Said(
            "Compare with the label under full airflow.", "Check again under full airflow."
        ),
        First.DRIER_DROP: Said("Measure the temperature drop across drier and line.", NOT_TOLD),
        First.COMPRESSOR: Said(
            "Compressor first, by the discharge temperature and by hand: is liquid coming back?",
            "A technician checks first that no liquid comes back to its compressor.",
        ),
        First.SENSING_BULB: Said(
            "Check the sensing bulb (tight, in place, insulated) before the valve.",
            "Check the valve's sensing bulb first.",
        ),
    },
)

_STEPS = "{steps:clauses}"

DETAILS: dict[Detail, Said] = complete(
    Detail,
    {
        Detail.AND_HEATING: Said(" and at every heating call", " and whenever it heats"),
        Detail.NO_DRAIN_WORK: NO_DRAIN_WORK,
        Detail.TRAP_SIZE: alike(
            "At full fan speed it needs {height:length} of height and {seal:length} of seal at least."
        ),
        Detail.CODE_IS_MET: Said(
            "As found it meets the mechanical code: the larger size is hydraulic design, not law.", NOT_TOLD
        ),
        Detail.FOLLOW_THE_CALL: Said(
            "Follow the call from the thermostat through the air handler's terminal to the drive's input, "
            "mend the break or assign the drive's preset (note the old value).",
            NOT_TOLD,
        ),
        Detail.WIRES_DEAD: alike(f"Power off, locked out, proved dead: {_STEPS}."),
        Detail.WIRES_LIVE: alike(f"Then, with the power on again, {_STEPS}."),
        Detail.JUMPER_OFF: alike("take the temporary jumper off both terminals first"),
        Detail.LAND_WIRE: alike("land the wire from {place:terminals}"),
        Detail.MEND_WIRE: alike("mend the wiring: {fault} ({place:terminals})"),
        Detail.SET_PRESET: alike("give the drive's input its speed ({place:terminals}), the old value noted"),
        Detail.PROVE_CALLS: alike("prove every call"),
        Detail.SEEN: alike("Seen: {seen}."),
        Detail.VALVE_BULB: alike("the valve's sensing bulb"),
        Detail.ORIFICE: alike("the orifice and its size"),
        Detail.AT: alike("at the {place}"),
        Detail.KNOWN: alike("that is known"),
        Detail.DEVICE_UNKNOWN: alike("the metering device (its kind is to be read)"),
    },
)

SAID: dict[type[StrEnum], Rows] = {Detail: DETAILS, First: FIRST}


def scope(teller: Teller, needed: RepairNeeded) -> str:
    """What is done, with what is known of it."""
    if needed.way is None:
        done = teller.fill(WORDS[needed.repair].scope, needed.values)
    else:
        done = teller.fill(WAYS[needed.way].case(needed.under_pressure).repair, needed.values)
    return _sentences(done, *(teller.tell(detail) for detail in needed.details))


def whole(teller: Teller, needed: RepairNeeded) -> str:
    """What comes first, what is done, and what warns."""
    first = (teller.tell(one) for one in needed.row.first)
    caution = teller.fill(WORDS[needed.repair].caution, {})
    return _sentences(*first, scope(teller, needed), caution)


def _sentences(*parts: str) -> str:
    return " ".join(part for part in parts if part)


def lead(teller: Teller, needed: RepairNeeded) -> str:
    """What stands before its line: the way of the water, the part, or the circuit."""
    if needed.way is not None:
        return f"{capital(WAYS[needed.way].title.file)}."
    of_circuit = f" of circuit {needed.circuit}" if needed.circuit else ""
    values: dict[str, Value] = {"circuit": needed.circuit or "", "of_circuit": of_circuit}
    return teller.fill(WORDS[needed.repair].lead, values)
