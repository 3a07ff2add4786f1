"""Readings of the fan that cannot be: a traverse in a bad plane, a current that no turning motor draws."""

from collections.abc import Iterator
from enum import StrEnum

from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.fan import fan_laws
from hvaccalc.practice.air import LOCKED_ROTOR


class Contradiction(StrEnum):
    """What contradicts what."""

    WET_ABOVE_DRY = "wet_above_dry"
    WET_BELOW_DRY_AIR = "wet_below_dry_air"
    DEAD_CHANNEL = "dead_channel"
    SUCTION_ABOVE_HEAD = "suction_above_head"
    NO_RATIO_WHILE_RUNNING = "no_ratio_while_running"
    OUTSIDE_SATURATION = "outside_saturation"
    VACUUM = "vacuum"
    CLAMPS_SWAPPED = "clamps_swapped"
    BELOW_SATURATION = "below_saturation"
    LIQUID_ABOVE_BUBBLE = "liquid_above_bubble"
    SHOWN_OTHERWISE = "shown_otherwise"
    SUPPLY_ABOVE_RETURN = "supply_above_return"
    SUPPLY_MORE_HUMID = "supply_more_humid"
    AIR_WITHOUT_FAN = "air_without_fan"
    BELOW_OUTDOORS = "below_outdoors"
    GAS_ABOVE_AIR = "gas_above_air"
    LIQUID_BELOW_AIR = "liquid_below_air"
    UNEVEN_TRAVERSE = "uneven_traverse"
    ABOVE_LOCKED_ROTOR = "above_locked_rotor"
    MISTYPED = "mistyped"
    MISTYPED_MAYBE = "mistyped_maybe"


def impossible(draws: Draws, where: Where) -> Iterator[tuple[Contradiction, tuple[str, ...], str]]:
    """Code, keys and a sentence for each contradiction in the fan's readings."""
    yield from _uneven_traverse(draws, where)
    yield from _locked_rotor(draws, where)


def _uneven_traverse(draws: Draws, where: Where) -> Iterator[tuple[Contradiction, tuple[str, ...], str]]:
    table = draws.condition(where).air.traverse
    if table is None:
        return
    speeds = [velocity.quantity.value for velocity in table.velocities]
    if max(speeds) <= 0.0 or fan_laws.too_uneven(speeds):
        texts = sorted((v.quantity for v in table.velocities), key=lambda q: q.value)
        yield (
            Contradiction.UNEVEN_TRAVERSE,
            ("traverse",),
            f"The velocities of the traverse ({texts[0].text} to {texts[-1].text}) are too uneven for its "
            "plane to serve: more than a quarter of the velocity pressures lie below a tenth of the highest. "
            "Read it in a straight duct, 7.5 diameters behind and 3 before a fitting, or look for a value "
            "mistyped.",
        )


def _locked_rotor(draws: Draws, where: Where) -> Iterator[tuple[Contradiction, tuple[str, ...], str]]:
    current, plate = draws.quantity(where, "fan_current"), draws.job.unit.fan.motor_full_load_current
    if current is not None and plate is not None and current.value >= LOCKED_ROTOR * plate.value:
        yield (
            Contradiction.ABOVE_LOCKED_ROTOR,
            ("fan_current",),
            f"The fan motor's current ({current.text}) is {current.value / plate.value:.0f} times the "
            f"plate's {plate.text}, as a stalled motor draws: wrong conductor or range, or stop the motor "
            "at once.",
        )


def traverse_note(draws: Draws, where: Where) -> str:
    """What to know of a traverse's points; empty where they are a standard set."""
    table = draws.condition(where).air.traverse
    if table is None:
        return ""
    if fan_laws.grid(len(table.velocities)) is not None:
        return ""
    return (
        f"A traverse of {table.counted} fits neither a rectangular duct (5 by 5 to 7 by 7 points) nor a "
        "round one (6, 8 or 10 points on 2 or 3 diameters): points missing or taken elsewhere make its mean "
        "less sure than stated."
    )
