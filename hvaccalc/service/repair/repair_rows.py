"""The repairs, one row each: what code needs of them; and one repair as a diagnosis calls for it.

Which repair puts a cause right is common practice, without a source.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from hvaccalc.job.causes import Cause, CauseAt, Way
from hvaccalc.reason import Reason, Value
from hvaccalc.rows import complete
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.put_right import PutRight, ended


class Repair(StrEnum):
    """One piece of lasting work."""

    OPEN_DRAIN = "open_drain"
    LARGER_DRAIN = "larger_drain"
    REBUILD_TRAP = "rebuild_trap"
    PAN = "pan"
    SLOWER_AIR = "slower_air"
    INSULATE = "insulate"
    PUMP = "pump"
    HEATING_COIL = "heating_coil"
    ABOVE_THE_UNIT = "above_the_unit"
    FIT_GUARD = "fit_guard"
    FIND_GUARD = "find_guard"
    TRY_FLOAT_SWITCH = "try_float_switch"
    FAN_TO_SPEED = "fan_to_speed"
    FAN_RUNS = "fan_runs"
    FREE_THE_AIR = "free_the_air"
    BELT = "belt"
    UNLOAD_MOTOR = "unload_motor"
    TURN_ROUND = "turn_round"
    OUTDOOR_DAMPER = "outdoor_damper"
    FIND_WHAT_FREEZES = "find_what_freezes"
    MEND_WIRING = "mend_wiring"
    TAKE_JUMPER_OFF = "take_jumper_off"
    FIND_WHAT_STARTS_IT = "find_what_starts_it"
    FIND_WHAT_HOLDS_OFF = "find_what_holds_off"
    STOP_FLOODBACK = "stop_floodback"
    CLEAN_CONDENSER = "clean_condenser"
    CONDENSER_FAN = "condenser_fan"
    TRY_COMPRESSOR = "try_compressor"
    PROVE_GAS = "prove_gas"
    FIND_LEAK = "find_leak"
    FIND_LEAK_OR_RESTRICTION = "find_leak_or_restriction"
    MEND_LEAK = "mend_leak"
    WEIGH_OUT = "weigh_out"
    CONFIRM_OVERCHARGE = "confirm_overcharge"
    REPLACE_DRIER = "replace_drier"
    CLEAR_RESTRICTION = "clear_restriction"
    SEAT_BULB = "seat_bulb"
    CHECK_VALVE = "check_valve"
    CHECK_ORIFICE = "check_orifice"


class Who(StrEnum):
    """Who may do it."""

    SERVICE = "service technician"
    LICENSED = "technician licensed for refrigerant"
    OWNER = "owner of what lies above the unit"


class First(StrEnum):
    """What has to be seen before it."""

    SPEED_CHECKS = "speed checks"
    CONDENSER = "condenser"
    FULL_AIRFLOW = "full airflow"
    DRIER_DROP = "drier drop"
    COMPRESSOR = "compressor"
    SENSING_BULB = "sensing bulb"


class Opens(StrEnum):
    """What it does to the refrigerant circuit."""

    NOTHING = "nothing"
    WEIGHED_OUT = "weighed out"
    PUMPED_DOWN = "pumped down"
    EMPTIED = "emptied"


class Part(StrEnum):
    """One line of a quote."""

    DRAIN_CLEARED = "drain cleared"
    DRAIN_LINE = "drain line"
    TRAP = "trap"
    PAN = "pan"
    FAN_SPEED = "fan speed"
    INSULATION = "insulation"
    CONDENSATE_PUMP = "condensate pump"
    HEATING_COIL = "heating coil"
    OVERFLOW_GUARD = "overflow guard"
    CONTROL_WIRING = "control wiring"
    CLEANING = "cleaning"
    BELT = "belt"
    CONDENSER_CLEANING = "condenser cleaning"
    CONDENSER_FAN = "condenser fan"
    LEAK_SEARCH = "leak search and repair"
    LEAK_REPAIR = "leak repair"
    RECOVERY = "recovery"
    REFRIGERANT = "refrigerant"
    FILTER_DRIER = "filter-drier"
    DRIER_CHANGE = "drier change"
    PRESSURE_AND_VACUUM = "pressure test and vacuum"
    WEIGHING_OUT = "weighing out"


class Shown(StrEnum):
    """What shows afterwards that it holds."""

    FAN_SPEED = "fan speed"
    AIRFLOW = "airflow"
    FACE_VELOCITY = "face velocity"
    DUCT_DRY = "duct dry"
    TRAP_HEIGHT = "trap height"
    TRAP_SEAL = "trap seal"
    PAN_RUN = "run with the pan staying empty"
    DRAIN_POURED = "water poured into the pan runs off"
    PAN_HOLDS = "water stands in the pan, the floor below dry"
    BELOW_DRY = "everything below the unit dry"
    SURFACE_OVER_DEW_POINT = "surface above the dew point of the air round it"
    PUMP_STARTS = "pump starts, and its alarm stops the cooling"
    COIL_HOLDS = "heating coil under pressure, its joints dry"
    OFF_AND_DRY = "unit off, everything dry"
    PAN_FILLED = "pan filled until the cooling stops"
    COLDEST_METAL = "coldest metal of the coil"
    COMPRESSORS_BY_CALL = "compressors running, call by call"
    COMPRESSOR_RUNS = "compressor runs when called"
    SUPERHEAT = "superheat"
    CONDENSER_FANS = "condenser fans turning, all of them"
    CONDENSING_OVER_OUTDOOR = "condensing above the outdoor air"
    STANDING_PRESSURE = "standing pressure agrees with ambient"
    SUBCOOLING = "subcooling"
    VACUUM = "vacuum held"
    DRIER_DROP = "temperature drop across the drier"
    BELT_SLIP = "speed of the fan wheel"
    OUTDOOR_SHARE = "share of outdoor air"
    MOTOR_CURRENT = "current of the fan's motor"


@dataclass(frozen=True, slots=True)
class RepairRow:
    """What code needs of one repair.

    Attributes
    ----------
    causes : tuple of Cause
        That it puts right; none for a protection, or where what is behind it is still to be found.
    who : Who
    first : tuple of First
    opens : Opens
    today : bool
        Whether it needs neither a part nor an open circuit, so that it can be done on the visit.
    parts : tuple of Part
        What is quoted for it; none where it is looking alone, or somebody else's.
    shown : tuple of Shown
        What shows it again.
    """

    causes: tuple[Cause, ...]
    who: Who
    first: tuple[First, ...]
    opens: Opens
    today: bool
    parts: tuple[Part, ...]
    shown: tuple[Shown, ...]


_EMPTIED = (Part.RECOVERY, Part.REFRIGERANT, Part.FILTER_DRIER, Part.PRESSURE_AND_VACUUM)
_FULL = (Shown.VACUUM, Shown.SUBCOOLING)


def _row(
    causes: tuple[Cause, ...],
    parts: tuple[Part, ...],
    shown: tuple[Shown, ...],
    today: bool = False,
    first: tuple[First, ...] = (),
    who: Who = Who.SERVICE,
) -> RepairRow:
    """A repair that leaves the refrigerant alone."""
    return RepairRow(causes, who, first, Opens.NOTHING, today, parts, shown)


def _refrigerant(
    cause: Cause,
    parts: tuple[Part, ...],
    shown: tuple[Shown, ...],
    opens: Opens = Opens.NOTHING,
    first: tuple[First, ...] = (),
    today: bool = False,
) -> RepairRow:
    """A repair for hands that are licensed."""
    return RepairRow((cause,), Who.LICENSED, first, opens, today, parts, shown)


ROWS: dict[Repair, RepairRow] = complete(
    Repair,
    {
        Repair.OPEN_DRAIN: _row((Cause.DRAIN,), (Part.DRAIN_CLEARED,), (Shown.DRAIN_POURED,), today=True),
        Repair.LARGER_DRAIN: _row((Cause.DRAIN,), (Part.DRAIN_LINE,), (Shown.DRAIN_POURED,)),
        Repair.REBUILD_TRAP: _row(
            (Cause.TRAP,), (Part.TRAP,), (Shown.TRAP_HEIGHT, Shown.TRAP_SEAL, Shown.PAN_RUN)
        ),
        Repair.PAN: _row((Cause.PAN,), (Part.PAN,), (Shown.PAN_HOLDS, Shown.BELOW_DRY)),
        Repair.SLOWER_AIR: _row(
            (Cause.CARRY_OVER,), (Part.FAN_SPEED,), (Shown.FACE_VELOCITY, Shown.DUCT_DRY)
        ),
        Repair.INSULATE: _row((Cause.SWEATING,), (Part.INSULATION,), (Shown.SURFACE_OVER_DEW_POINT,)),
        Repair.PUMP: _row((Cause.PUMP,), (Part.CONDENSATE_PUMP,), (Shown.PUMP_STARTS,)),
        Repair.HEATING_COIL: _row((Cause.HOT_WATER_COIL,), (Part.HEATING_COIL,), (Shown.COIL_HOLDS,)),
        Repair.ABOVE_THE_UNIT: _row((Cause.OUTSIDE_WATER,), (), (Shown.OFF_AND_DRY,), who=Who.OWNER),
        Repair.FIT_GUARD: _row((), (Part.OVERFLOW_GUARD,), (Shown.PAN_FILLED,)),
        Repair.FIND_GUARD: _row((), (), (Shown.PAN_FILLED,), today=True),
        Repair.TRY_FLOAT_SWITCH: _row((), (), (Shown.PAN_FILLED,), today=True),
        Repair.FAN_TO_SPEED: _row(
            (Cause.FAN_STUCK_LOW,),
            (Part.CONTROL_WIRING,),
            (Shown.FAN_SPEED, Shown.AIRFLOW, Shown.COLDEST_METAL),
            first=(First.SPEED_CHECKS,),
            today=True,
        ),
        Repair.FAN_RUNS: _row(
            (Cause.COOLING_WITHOUT_FAN,),
            (Part.CONTROL_WIRING,),
            (Shown.FAN_SPEED, Shown.AIRFLOW, Shown.COLDEST_METAL),
            today=True,
        ),
        Repair.FREE_THE_AIR: _row(
            (Cause.LOW_AIRFLOW,), (Part.CLEANING,), (Shown.AIRFLOW, Shown.COLDEST_METAL), today=True
        ),
        Repair.BELT: _row((Cause.BELT,), (Part.BELT,), (Shown.BELT_SLIP, Shown.AIRFLOW)),
        Repair.OUTDOOR_DAMPER: _row((Cause.OUTDOOR_AIR,), (), (Shown.OUTDOOR_SHARE,), today=True),
        Repair.TURN_ROUND: _row(
            (Cause.REVERSED_ROTATION,), (), (Shown.AIRFLOW, Shown.COLDEST_METAL), today=True
        ),
        Repair.UNLOAD_MOTOR: _row((), (), (Shown.MOTOR_CURRENT, Shown.FAN_SPEED), today=True),
        Repair.FIND_WHAT_FREEZES: _row((), (), (Shown.COLDEST_METAL,), today=True),
        Repair.MEND_WIRING: _row(
            (), (Part.CONTROL_WIRING,), (Shown.FAN_SPEED, Shown.COMPRESSORS_BY_CALL), today=True
        ),
        Repair.TAKE_JUMPER_OFF: _row((Cause.BACK_FEED,), (), (Shown.COMPRESSORS_BY_CALL,), today=True),
        Repair.FIND_WHAT_STARTS_IT: _row((Cause.BACK_FEED,), (), (Shown.COMPRESSORS_BY_CALL,), today=True),
        Repair.FIND_WHAT_HOLDS_OFF: _row((), (), (Shown.COMPRESSOR_RUNS,), today=True),
        Repair.STOP_FLOODBACK: _row(
            (), (), (Shown.SUPERHEAT,), today=True, first=(First.COMPRESSOR,), who=Who.LICENSED
        ),
        Repair.CLEAN_CONDENSER: _row(
            (Cause.CONDENSER_AIR,), (Part.CONDENSER_CLEANING,), (Shown.CONDENSING_OVER_OUTDOOR,), today=True
        ),
        Repair.CONDENSER_FAN: _row(
            (Cause.CONDENSER_AIR,),
            (Part.CONDENSER_FAN,),
            (Shown.CONDENSER_FANS, Shown.CONDENSING_OVER_OUTDOOR),
        ),
        Repair.TRY_COMPRESSOR: _refrigerant(
            Cause.WEAK_COMPRESSOR, (), (Shown.COMPRESSORS_BY_CALL,), today=True
        ),
        Repair.PROVE_GAS: _refrigerant(
            Cause.NON_CONDENSABLES, (), (Shown.STANDING_PRESSURE,), first=(First.CONDENSER,), today=True
        ),
        Repair.FIND_LEAK: _refrigerant(Cause.LOW_CHARGE, (Part.LEAK_SEARCH, *_EMPTIED), _FULL, Opens.EMPTIED),
        Repair.FIND_LEAK_OR_RESTRICTION: _refrigerant(
            Cause.LOW_CHARGE, (Part.LEAK_SEARCH, *_EMPTIED), _FULL, Opens.EMPTIED, first=(First.DRIER_DROP,)
        ),
        Repair.MEND_LEAK: _refrigerant(Cause.LOW_CHARGE, (Part.LEAK_REPAIR, *_EMPTIED), _FULL, Opens.EMPTIED),
        Repair.WEIGH_OUT: _refrigerant(
            Cause.OVERCHARGE,
            (Part.WEIGHING_OUT,),
            (Shown.SUBCOOLING,),
            Opens.WEIGHED_OUT,
            first=(First.CONDENSER,),
        ),
        Repair.CONFIRM_OVERCHARGE: _refrigerant(
            Cause.OVERCHARGE, (), (Shown.SUBCOOLING,), first=(First.FULL_AIRFLOW,)
        ),
        Repair.REPLACE_DRIER: _refrigerant(
            Cause.RESTRICTION, (Part.DRIER_CHANGE,), (Shown.VACUUM, Shown.DRIER_DROP), Opens.PUMPED_DOWN
        ),
        Repair.CLEAR_RESTRICTION: _refrigerant(
            Cause.RESTRICTION,
            (Part.DRIER_CHANGE,),
            (Shown.VACUUM, Shown.DRIER_DROP, Shown.SUPERHEAT),
            Opens.PUMPED_DOWN,
            first=(First.DRIER_DROP,),
        ),
        Repair.SEAT_BULB: _row((Cause.OVERFEEDING_VALVE,), (), (Shown.SUPERHEAT,), today=True),
        Repair.CHECK_VALVE: _refrigerant(
            Cause.OVERFEEDING_VALVE, (), (Shown.SUPERHEAT,), first=(First.SENSING_BULB,), today=True
        ),
        Repair.CHECK_ORIFICE: _refrigerant(
            Cause.OVERFEEDING_VALVE, (), (Shown.SUPERHEAT,), first=(First.COMPRESSOR,), today=True
        ),
    },
)


class Followed(Diagnosed, Protocol):
    """A diagnosis of which it is known what became of each cause."""

    @property
    def put_right(self) -> tuple[PutRight, ...]: ...


class Due(StrEnum):
    """What is due of a repair."""

    REPAIR = "repair"
    PROOF = "proof"
    ADVICE = "advice"


class Detail(StrEnum):
    """What a repair says beyond its scope."""

    AND_HEATING = "and heating"
    NO_DRAIN_WORK = "no drain work"
    TRAP_SIZE = "trap size"
    CODE_IS_MET = "code is met"
    FOLLOW_THE_CALL = "follow the call"
    WIRES_DEAD = "wires, power off"
    WIRES_LIVE = "speeds, power on"
    JUMPER_OFF = "jumper off"
    LAND_WIRE = "land wire"
    MEND_WIRE = "mend wire"
    SET_PRESET = "set preset"
    PROVE_CALLS = "prove calls"
    SEEN = "seen"
    VALVE_BULB = "valve bulb"
    ORIFICE = "orifice"
    AT = "at a place"
    KNOWN = "known"
    DEVICE_UNKNOWN = "device not known"


@dataclass(frozen=True, slots=True)
class RepairNeeded:
    """One repair.

    Attributes
    ----------
    repair : Repair
    cause : CauseAt or None
        That it puts right; None for a protection, or while the cause behind it is still to be found.
    circuit : str or None
        Where the work is; None for the unit.
    due : Due
        The repair, after it was put right its proof alone, or advice that nothing calls for.
    way : Way or None
        Of the water, where one calls for it: its row holds the words.
    under_pressure : bool
        Whether the way's words of a coil under pressure hold.
    values : mapping of str to Value
        What the words of its scope ask for.
    details : tuple of Reason
        What it says beyond its scope, in order.
    """

    repair: Repair
    cause: CauseAt | None = None
    circuit: str | None = None
    due: Due = Due.REPAIR
    way: Way | None = None
    under_pressure: bool = False
    values: Mapping[str, Value] = field(default_factory=dict)
    details: tuple[Reason, ...] = ()

    @property
    def row(self) -> RepairRow:
        """What code needs of it."""
        return ROWS[self.repair]


def due(of: Followed, cause: Cause, circuit: str | None = None) -> Due:
    """What is due of a repair by what became of its cause; the repair where nothing did."""
    end = ended(of.put_right, cause, circuit)
    return Due.REPAIR if end is None or end.open else Due.PROOF


def found(of: Followed, cause: Cause, circuit: str | None = None) -> bool:
    """Whether a cause was found at all, open or not."""
    return ended(of.put_right, cause, circuit) is not None
