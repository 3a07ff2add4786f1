"""Codes of what is said of a charge: what a gate shows, what a verdict takes for granted, why, what is next.

Their sentences stand in `hvaccalc.words.charge_reasons`.
"""

from enum import StrEnum, auto


class Line(StrEnum):
    """A refrigerant line."""

    SUCTION = auto()
    LIQUID = auto()


class GateWhy(StrEnum):
    """What a gate shows."""

    HEATS = auto()
    NO_CALL_HEATS = auto()
    NOT_STEADY = auto()
    SAID_STEADY = auto()
    RUNNING_FOR = auto()
    RUN_NOT_NOTED = auto()
    FAN_STANDS = auto()
    FAN_SLOW = auto()
    AIR_MEASURED = auto()
    FULL_SPEED_AND_AIR = auto()
    NOT_CLEAN = auto()
    CLEAN_AND_LOOKED_AT = auto()
    DROPS_READ = auto()
    SPEED_ALONE = auto()
    AIR_NOT_READ = auto()
    NO_CALL_DEMANDED = auto()
    CALLS_NOT_NOTED = auto()
    CALLS_OFF = auto()
    CALLS_ON = auto()
    ICE = auto()
    THAWED = auto()
    COIL_NOT_NOTED = auto()
    FILTERS_SEEN = auto()
    FILTERS_NOT_CLEAN = auto()
    FILTERS_CLEAN = auto()
    FILTERS_NOT_NOTED = auto()
    OUTDOORS_NOT_READ = auto()
    OUTDOORS = auto()
    FANS_RUNNING = auto()
    FLOODING_UNREAD = auto()
    FLOODING = auto()
    FANS_ON = auto()
    HEAD_CONTROL = auto()
    FANS_NOT_NOTED = auto()
    LEFT_OUT = auto()
    AGREES = auto()
    PROOF = auto()
    NOT_EVERY_CIRCUIT = auto()


class Proviso(StrEnum):
    """Under which condition a verdict holds."""

    STEADY = auto()
    FULL_SPEED = auto()
    FACE_CLEAN = auto()
    DROP_CLEAN = auto()
    CALLS_ON = auto()
    FILTERS_CLEAN = auto()
    OUTDOORS = auto()
    NO_FLOODING = auto()
    FANS_STEADY = auto()
    LIQUID_LINE_RECKONED = auto()
    LIQUID_LINE_LOSES_LITTLE = auto()
    SUCTION_LINE_RECKONED = auto()
    SUCTION_LINE_ADDS_LITTLE = auto()
    NO_OTHER_TARGET = auto()
    VALVE_METERS = auto()
    ESTIMATED = auto()


class Next(StrEnum):
    """What to read or do next."""

    STEPS = auto()
    AIRFLOW = auto()
    DRIVE_FREQUENCY = auto()
    FAN_SPEED = auto()
    FREQUENCY_OR_SPEED = auto()
    LOOK_AT_COIL = auto()
    CHECK_GAUGE_AND_LABEL = auto()
    COMPRESSOR_CURRENT = auto()
    REPEAT_WITH = auto()
    WEIGH_IN = auto()
    DEVICE = auto()
    SUCTION = auto()
    LIQUID = auto()
    TARGET_OR_AIR = auto()
    WARM_AIR = auto()
    INSIDE_CHART = auto()
    LABEL = auto()
    GAUGE_UNIT = auto()
    LEAK = auto()
    DRIER_AND_DEVICE = auto()
    THAWED = auto()
    DRIER_AND_VALVE = auto()
    CONDENSER_AND_CURRENT = auto()
    CHECKED_INSTRUMENTS = auto()
    MEASURE_AIRFLOW = auto()
    STEADY_AND_THAWED = auto()
    AIRFLOW_AND_COIL = auto()
    RETURN_AND_SUPPLY = auto()


class Because(StrEnum):
    """Why a charge, circuits side by side, or a temperature split are judged so."""

    NOT_MET = auto()
    NOT_KNOWN = auto()
    GATE_UNMET = auto()
    GATE_OPEN = auto()
    DEVICE_NOT_KNOWN = auto()
    SUCTION_NOT_READ = auto()
    LIQUID_NOT_READ = auto()
    TABLE_LACKS = auto()
    OUTDOOR_DRY_BULB = auto()
    RETURN_WET_BULB = auto()
    BEYOND_TABLE = auto()
    DASH = auto()
    AS_NOTED = auto()
    INTERPOLATED = auto()
    NO_TARGET = auto()
    BESIDE_COMMON = auto()
    BELOW_COMMON = auto()
    WITHIN_COMMON = auto()
    ABOVE_COMMON = auto()
    OUTSIDE_TABLES = auto()
    SUPERHEAT_ABOVE = auto()
    SUBCOOLING_BELOW = auto()
    WOULD_HOLD_BACK = auto()
    FREEZING = auto()
    HELD_BACK = auto()
    CONDENSER_FIRST = auto()
    LITTLE_SUPERHEAT = auto()
    STANDS_ABOVE = auto()
    MEETS = auto()
    ACROSS_LIMIT = auto()
    NEITHER_ON_BOTH = auto()
    ONE_NOT_ON_BOTH = auto()
    WITHIN_BAND = auto()
    APART = auto()
    MORE = auto()
    LESS = auto()
    SEVERAL = auto()
    SPLIT_DASH = auto()
    SPLIT_BEYOND = auto()
    SPLIT_ABOVE = auto()
    SPLIT_BELOW = auto()
    SPLIT_MEETS = auto()
    SPLIT_ACROSS = auto()
