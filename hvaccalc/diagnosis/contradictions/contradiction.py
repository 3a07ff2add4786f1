"""Kinds of readings that cannot be true together."""

from __future__ import annotations

from enum import StrEnum


class Contradiction(StrEnum):
    """What contradicts what."""

    WET_ABOVE_DRY = "wet_above_dry"
    DEAD_CHANNEL = "dead_channel"
    SUCTION_ABOVE_HEAD = "suction_above_head"
    NO_RATIO_WHILE_RUNNING = "no_ratio_while_running"
    OUTSIDE_SATURATION = "outside_saturation"
    VACUUM = "vacuum"
    CLAMPS_SWAPPED = "clamps_swapped"
    BELOW_SATURATION = "below_saturation"
    LIQUID_ABOVE_BUBBLE = "liquid_above_bubble"
    SUPPLY_ABOVE_RETURN = "supply_above_return"
    SUPPLY_MORE_HUMID = "supply_more_humid"
    AIR_WITHOUT_FAN = "air_without_fan"
    BELOW_OUTDOORS = "below_outdoors"
    GAS_ABOVE_AIR = "gas_above_air"
    LIQUID_BELOW_AIR = "liquid_below_air"
    UNEVEN_TRAVERSE = "uneven_traverse"
    ABOVE_LOCKED_ROTOR = "above_locked_rotor"
