"""Sentences of a charge's gates, provisos, verdicts, next steps, pump-down; the owner reads next steps."""

from enum import StrEnum
from typing import Any

from hvaccalc.diagnosis.charge.charge_reasons import Because, GateWhy, Line, Next, Proviso
from hvaccalc.diagnosis.charge.charge_target import Method, Yardstick
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.charge.gates import GateName
from hvaccalc.diagnosis.circuits.standing_pressure import RestWhy
from hvaccalc.diagnosis.unit.confusion import Known
from hvaccalc.practice.circuits import STEADY_AFTER
from hvaccalc.rows import complete
from hvaccalc.service.refrigerant.pump_down import Advice
from hvaccalc.words.said import NOT_SAID, Rows, Said, alike, for_file


def _for_file(codes: type[StrEnum], texts: dict[Any, str | Said]) -> dict[StrEnum, Said]:
    """A sentence for each code; one that stands as text is for the file alone."""
    rows = complete(codes, texts)
    return {code: for_file(said) if isinstance(said, str) else said for code, said in rows.items()}


GATES = _for_file(
    GateWhy,
    {
        GateWhy.HEATS: "it heats, and charts and targets hold for cooling",
        GateWhy.NO_CALL_HEATS: "no call heats",
        GateWhy.NOT_STEADY: "the condition was not steady",
        GateWhy.SAID_STEADY: "said to be steady",
        GateWhy.RUNNING_FOR: "running for {minutes:.0f} min",
        GateWhy.RUN_NOT_NOTED: "how long it had run was not noted",
        GateWhy.FAN_STANDS: "the fan stands still",
        GateWhy.FAN_SLOW: "the fan turns at {percent:.0f} % of full speed",
        GateWhy.AIR_MEASURED: "{percent:.0f} % of the rated airflow measured",
        GateWhy.FULL_SPEED_AND_AIR: "fan at full speed and {percent:.0f} % of the rated airflow measured",
        GateWhy.NOT_CLEAN: "fan at full speed, but filters or coil face are not clean",
        GateWhy.WHEEL_WRONG: "seen: {seen:list}",
        GateWhy.CLEAN_AND_LOOKED_AT: (
            "fan at full speed, filters clean, coil looked at; the airflow itself was not measured"
        ),
        GateWhy.DROPS_READ: "fan at full speed, filters clean, coil and filter pressure drops read",
        GateWhy.SPEED_ALONE: "full fan speed alone does not prove the airflow",
        GateWhy.AIR_NOT_READ: "neither airflow nor fan speed was read",
        GateWhy.NO_CALL_DEMANDED: "the chart demands none",
        GateWhy.CALLS_NOT_NOTED: "the calls were not noted; the chart wants {wanted}",
        GateWhy.CALLS_OFF: "the chart wants {wanted}; {missing} was off",
        GateWhy.CALLS_ON: "{wanted} on",
        GateWhy.ICE: "ice on {places}",
        GateWhy.THAWED: "seen thawed",
        GateWhy.COIL_NOT_NOTED: "nobody noted the coil",
        GateWhy.FILTERS_SEEN: "filters {seen}",
        GateWhy.FILTERS_NOT_CLEAN: "filters not clean",
        GateWhy.FILTERS_CLEAN: "seen clean",
        GateWhy.FILTERS_NOT_NOTED: "look at the filters",
        GateWhy.OUTDOORS_NOT_READ: "outdoor temperature not read",
        GateWhy.OUTDOORS: "{outdoors:temperature} outdoors",
        GateWhy.FANS_RUNNING: "condenser fans running: {running} of {of}",
        GateWhy.FLOODING_UNREAD: "flooding head control; outdoor temperature not read",
        GateWhy.FLOODING: "flooding head control may hold liquid back in the condenser",
        GateWhy.FANS_ON: "condenser fans on",
        GateWhy.HEAD_CONTROL: "head control: {control}",
        GateWhy.FANS_NOT_NOTED: "condenser fans not noted",
        GateWhy.LEFT_OUT: "left out as contradicting: {odd:list}",
        GateWhy.DOUBTED: "may be mistyped: {odd:list}",
        GateWhy.AGREES: "no contradiction among them",
        GateWhy.PROOF: "{how}",
        GateWhy.PUMPS: "suction and head are not those of a compressor that moves too little",
        GateWhy.NOT_ASKED: "not to be told without return air, outdoor air, full airflow and a steady run",
        GateWhy.WEAK: (
            "suction {above:temperature_difference} above the sound unit's and head "
            "{below:temperature_difference} below it: a worn or unloaded compressor, or a reversing valve "
            "that lets gas by, never a shortage"
        ),
        GateWhy.WEAK_BESIDE: (
            "suction stands high and head low beside circuit {other}: a worn or unloaded compressor, or a "
            "reversing valve that lets gas by, never a shortage"
        ),
        GateWhy.BY_PASSES: (
            "suction gas leaves the reversing valve {rise:temperature_difference} warmer than it enters: hot "
            "gas by-passes in it"
        ),
        GateWhy.LIQUID_BACK: (
            "liquid comes back to it, which raises the suction and lowers the head of a sound one too"
        ),
        GateWhy.NOT_EVERY_CIRCUIT: "not every circuit runs",
    },
)

PROVISOS = _for_file(
    Proviso,
    {
        Proviso.STEADY: f"if it had run steadily for {STEADY_AFTER / 60.0:.0f} minutes",
        Proviso.FULL_SPEED: "if the fan was at full speed",
        Proviso.FACE_CLEAN: "if the coil face is clean through its depth",
        Proviso.DROP_CLEAN: "if the coil's drop is that of a clean coil",
        Proviso.CALLS_ON: "if {wanted} were on",
        Proviso.FILTERS_CLEAN: "if the filters are clean",
        Proviso.OUTDOORS: (
            "if it was between {low:number limit temperature} and {high:limit temperature} outdoors"
        ),
        Proviso.NO_FLOODING: "if no head control flooded",
        Proviso.FANS_STEADY: "if the condenser fans ran steadily",
        Proviso.PUMPS: "if the compressor pumps as it should",
        Proviso.LIQUID_LINE_RECKONED: "with the liquid line's loss reckoned from its size",
        Proviso.LIQUID_LINE_LOSES_LITTLE: (
            "if the liquid line loses little on its way to the metering device, where it was read"
        ),
        Proviso.SUCTION_LINE_RECKONED: "with the suction line's part reckoned from its size",
        Proviso.SUCTION_LINE_ADDS_LITTLE: "if the suction line adds little to the superheat read at the coil",
        Proviso.NO_OTHER_TARGET: "if the unit's own label gives no other target superheat",
        Proviso.VALVE_METERS: "if a valve meters, not a fixed orifice",
        Proviso.ESTIMATED: "with the {note}",
    },
)

NEXT = _for_file(
    Next,
    {
        Next.STEPS: alike("{steps:clauses}"),
        Next.AIRFLOW: alike(
            "measure the airflow (traverse), or {speed} with filters and coil face seen clean"
        ),
        Next.DRIVE_FREQUENCY: alike("note the drive's frequency"),
        Next.FAN_SPEED: alike("read the fan's speed (rpm)"),
        Next.FREQUENCY_OR_SPEED: alike("read the fan's speed (a drive's frequency, or rpm)"),
        Next.LOOK_AT_COIL: alike("look at the coil: no frost at start and end of the readings"),
        Next.CHECK_GAUGE_AND_LABEL: alike(
            "check gauge, clamp and the refrigerant on the label, and read again"
        ),
        Next.COMPRESSOR_CURRENT: alike("read the compressor's current"),
        # Common practice, no source.
        Next.READ_AGAIN: alike("take the reading that may be mistyped again"),
        Next.PUMPING: Said(
            "read the compressor's current against its plate and, where there is a reversing valve, the "
            "suction gas before and behind it",
            "have the compressor checked",
        ),
        Next.VALVE_GAS: Said(
            "have the compressor checked; where there is a reversing valve, read the suction gas before and "
            "behind it",
            "have the compressor checked",
        ),
        Next.COMPRESSOR_CHECK: alike("have the compressor checked"),
        Next.NO_LIQUID: Said(
            "stop the liquid that comes back (sensing bulb, valve, orifice), then read suction, head and "
            "current again",
            "stop the liquid that comes back to the compressor, then read it again",
        ),
        Next.REPEAT_WITH: alike("repeat the readings with {gates:list}"),
        Next.WEIGH_IN: alike("or recover and weigh the charge in ({edition}: {weigh_in})"),
        Next.DEVICE: alike(
            "find the metering device at the coil's inlet: a valve with a sensing bulb or a coil on it, or a "
            "piston or capillary tubes"
        ),
        Next.SUCTION: alike("read suction pressure and temperature"),
        Next.LIQUID: alike("read liquid pressure and liquid temperature"),
        Next.TARGET_OR_AIR: Said(
            "read the target superheat off the unit's label for this return and outdoor air, or read {lacks}",
            "read the target off the unit's label for this return and outdoor air, or read {lacks}",
        ),
        Next.WARM_AIR: alike("warm the indoor air and read again, or weigh in"),
        Next.INSIDE_CHART: alike("read again inside the chart's range"),
        Next.LABEL: alike("read the target off the unit's label"),
        Next.GAUGE_UNIT: alike("check the gauge and its unit"),
        # Common practice, no source; so is the next.
        Next.LEAK: alike(
            "where it leaks: detector, soap, nitrogen; how much is missing only recovering and weighing tells"
        ),
        Next.DRIER_AND_DEVICE: (
            "the temperature before and after the drier and the metering device, and frost at either, which "
            "tell a restriction from a short charge; or recover and weigh"
        ),
        Next.THAWED: alike("repeat with the coil thawed and suction above freezing"),
        Next.DRIER_AND_VALVE: alike("read the temperature before and after the drier, and at the valve"),
        Next.DRIER_RENEWED: Said(
            "renew the drier, then read the circuit again",
            "read it again once its clogged filter is replaced",
        ),
        Next.PROVE_GAS: Said(
            "prove what stands in the circuit, then read it again", "prove what is in it, then read it again"
        ),
        Next.CONDENSER_AND_CURRENT: alike(
            "look at the condenser's face and fans, read the compressor's current, and read again"
        ),
        Next.CHECKED_INSTRUMENTS: alike(
            "repeat the {line} temperature and pressure with checked instruments, or recover and weigh"
        ),
        Next.MEASURE_AIRFLOW: alike("measure the airflow"),
        Next.STEADY_AND_THAWED: alike("repeat it steady, thawed, with every stage on"),
        Next.AIRFLOW_AND_COIL: alike("measure the airflow, look at filters and coil"),
        Next.RETURN_AND_SUPPLY: ("read return and supply again; if it stays, the capacity is likely low"),
    },
)

_COMMON = (
    "the {low:number limit temperature_difference} to {high:limit temperature_difference} of common practice "
    "(no source; no verdict follows)"
)
_TABLE = (
    "the table of target superheat at {outdoors:temperature} outdoors and {wet_bulb:temperature} wet bulb: "
)

BECAUSE = _for_file(
    Because,
    {
        Because.NOT_MET: "not met: {gates:clauses}",
        Because.NOT_KNOWN: "not known: {gates:clauses}",
        Because.GATE_UNMET: "{gate}: {why}",
        Because.GATE_OPEN: "{gate} ({why})",
        Because.DEVICE_NOT_KNOWN: "the metering device is not known, and targets of both kinds were typed",
        Because.SUCTION_NOT_READ: "suction pressure and temperature were not both read",
        Because.LIQUID_NOT_READ: "liquid pressure and temperature were not both read",
        Because.TABLE_LACKS: (
            "a fixed orifice is judged by its superheat; no target superheat was typed, and the printed "
            "table lacks {lacks}"
        ),
        Because.OUTDOOR_DRY_BULB: alike("the outdoor dry bulb"),
        Because.RETURN_WET_BULB: alike("the return air's wet bulb"),
        Because.BEYOND_TABLE: f"{_TABLE}the air lies beyond the table",
        Because.DASH: (
            f"{_TABLE}the table prints a dash there: do not charge by superheat in this air; warm the indoor "
            "air and read again, or weigh the charge in (the linear rule would say "
            "{rule:temperature_difference}: the table wins)"
        ),
        Because.AS_NOTED: "{note}",
        Because.INTERPOLATED: (
            "interpolated in the printed superheat table; the linear rule says {rule:temperature_difference}"
        ),
        Because.AT_THE_EDGE: (
            "{note}; {beyond:fraction} of the possible readings lie beyond the table and were taken at its "
            "edge"
        ),
        Because.NO_TARGET: "the job gives no chart and no target",
        Because.BESIDE_COMMON: f"{{why}}; subcooling stands {{stands}} {_COMMON}",
        Because.BELOW_COMMON: "below",
        Because.WITHIN_COMMON: "within",
        Because.ABOVE_COMMON: "above",
        Because.OUTSIDE_TABLES: "the readings lie outside the refrigerant's tables",
        Because.SUPERHEAT_ABOVE: (
            "the superheat of {read:limit temperature_difference} stands "
            "{above:limit temperature_difference} above {target} of {wanted:limit temperature_difference}"
        ),
        Because.SUBCOOLING_BELOW: "the subcooling stands below {target}",
        Because.WOULD_HOLD_BACK: (
            "{why}; a restriction behind the condenser would hold liquid back and raise it"
        ),
        Because.FREEZING: (
            "suction saturation below {cold:limit temperature}: the coil may be freezing, which hides a full "
            "or high charge"
        ),
        Because.DRIER_RESTRICTED: (
            "its drier is restricted, which reads the same here as a short charge, and explains it"
        ),
        Because.GAS_INSIDE: (
            "the standing pressure is above what the refrigerant can have: gas that does not condense raises "
            "the subcooling as too much charge does"
        ),
        Because.HELD_BACK: (
            "the subcooling stands above {target} and the superheat above "
            "{valve:limit temperature_difference}: liquid is held back by a restriction or a starved valve "
            "before it is too much"
        ),
        Because.CONDENSER_FIRST: (
            "little superheat, and condensing more than {over:limit temperature_difference} above the "
            "outdoor air: the condenser first"
        ),
        Because.LITTLE_SUPERHEAT: (
            "little superheat without more than {usual:limit temperature_difference} of subcooling (common "
            "practice): a condenser short of air or a worn compressor does the same"
        ),
        Because.STANDS_ABOVE: "the {what} stands above {target}",
        Because.MEETS: "the {what} meets {target} within {near:limit temperature_difference}",
        Because.ACROSS_LIMIT: (
            "the band reaches across the limit of {near:limit temperature_difference} about {target}"
        ),
        Because.NEITHER_ON_BOTH: "neither subcooling nor superheat was read on both circuits",
        Because.ONE_NOT_ON_BOTH: "{what} is not known on both circuits, and the rest lies within the band",
        Because.WITHIN_BAND: "differences within the band",
        Because.APART: "{apart}",
        Because.MORE: "more {what}",
        Because.LESS: "less {what}",
        Because.OTHER_HIGH: (
            "more superheat, but it is the suction of circuit {other} that stands high for this weather"
        ),
        Because.SEVERAL: "{parts:clauses}",
        Because.SPLIT_DASH: "the target split: the table prints no target there",
        Because.SPLIT_BEYOND: "the target split: the air lies beyond the table",
        Because.SPLIT_ABOVE: (
            "the air cools more than {near:temperature_difference} beyond the target: too little of it"
        ),
        Because.SPLIT_BELOW: "the air cools more than {near:temperature_difference} less than the target",
        Because.SPLIT_MEETS: "within {near:temperature_difference} of the target",
        Because.SPLIT_ACROSS: "the band reaches across the limit of {near:temperature_difference}",
    },
)

KNOWN = _for_file(
    Known,
    {
        Known.OF_FAULT: "{fault}: {why}",
        Known.SIGHT_GLASS: "sight glass: {seen}",
        Known.FANS: "condenser fans running: {running} of {of}",
        Known.NONE_FITTED: "none is fitted",
        Known.STANDING_AGREES: "the standing pressure agrees with ambient",
        Known.DRIER_COOLS: "the drier cools the liquid by more than a clean one does",
        Known.NOT_BESIDE: "circuit {circuit}, in the same air, does not show it",
        Known.LEAK: "a leak was found",
        Known.LEAK_AT: "a leak was found ({at})",
    },
)

REST = _for_file(
    RestWhy,
    {
        RestWhy.NOT_EQUALISED: "its two sides have not come together: not equalised yet",
        RestWhy.OUTDOORS_NOT_READ: "the outdoor air was not read with it",
        RestWhy.NOT_LONG_ENOUGH: "it had not stood long enough",
        RestWhy.ABOVE: "it stands above what its refrigerant can have in this air",
        RestWhy.BELOW: "it stands below what liquid would keep in this air{indoors}",
        RestWhy.AGREES: "no sign of non-condensables beyond the band{indoors}",
        RestWhy.INDOORS_NOT_READ: "; the indoor air was not read: a colder indoor coil pulls it down",
    },
)
AFTER_REST = _for_file(
    RestWhy,
    {
        RestWhy.NOT_EQUALISED: "let it stand until both gauges read alike",
        RestWhy.OUTDOORS_NOT_READ: "read the outdoor dry bulb beside the condenser",
        RestWhy.NOT_LONG_ENOUGH: "read again when all metal has come to the air's warmth",
        RestWhy.ABOVE: (
            "let it stand in the shade until all metal has the air's warmth and read again; then take "
            "non-condensables or another refrigerant in the circuit for likely: recover it, evacuate, "
            "weigh in new"
        ),
        RestWhy.BELOW: (
            "no liquid is left (all but empty), or it is another refrigerant, or it has not equalised"
        ),
        RestWhy.AGREES: NOT_SAID,
        RestWhy.INDOORS_NOT_READ: NOT_SAID,
    },
)
"""What to do next where a circuit at rest shows it."""

ADVICE = _for_file(
    Advice,
    {
        Advice.DOWNSTREAM: "the leak at the {at} lies downstream of the liquid valve",
        Advice.MAYBE_DOWNSTREAM: (
            "the leak at the {at} lies downstream of the liquid valve (make sure that it stands after the "
            "liquid valve)"
        ),
        Advice.TOO_MUCH: "recover into a cylinder instead",
        Advice.OUTDOOR_COIL: "the leak is at the outdoor coil, which a pump-down fills instead of empties",
        Advice.ROOM_NOT_KNOWN: "bring a cylinder: what the condenser holds is not known well enough",
        Advice.NO_LEAK_KNOWN: "no leak downstream of the liquid valve is known: find it first",
    },
)

SAID: dict[type[StrEnum], Rows] = {
    GateWhy: GATES,
    Proviso: PROVISOS,
    Next: NEXT,
    Because: BECAUSE,
    Known: KNOWN,
    CircuitFault: {fault: for_file(fault) for fault in CircuitFault},
    RestWhy: REST,
    Advice: ADVICE,
    GateName: {name: alike(name) for name in GateName},
    Yardstick: {one: for_file(one) for one in Yardstick},
    Line: {line: alike(line) for line in Line},
    # What of a reading is held against its target.
    Method: {Method.SUBCOOLING: for_file("subcooling"), Method.SUPERHEAT: for_file("margin of superheat")},
}
