"""Every sentence by its code, told to one reader; the part a cause sits in, and conditions, by name."""

from collections.abc import Mapping
from enum import StrEnum
from functools import cache

from hvaccalc.job.causes import Cause
from hvaccalc.rows import complete
from hvaccalc.service.in_order import Contrary
from hvaccalc.service.visits import Place
from hvaccalc.words import air, charge_reasons, endings, questions, repairs, today, water, wiring
from hvaccalc.words.said import NOT_SAID, Reader, Rows, Said, Teller, alike

PARTS = complete(
    Cause,
    {
        Cause.FAN_STUCK_LOW: alike("the fan's speed control"),
        Cause.LOW_AIRFLOW: Said("the air's way", "what held the air back"),
        Cause.OUTDOOR_AIR: alike("the outdoor damper"),
        Cause.LOW_CHARGE: Said("the leak", "the refrigerant leak"),
        Cause.OVERCHARGE: Said("the charge", "the amount of refrigerant"),
        Cause.RESTRICTION: Said("the restriction", "what held the refrigerant back"),
        Cause.OVERFEEDING_VALVE: Said("the expansion valve", "the refrigerant's valve"),
        Cause.CONDENSER_AIR: Said("the condenser's air", "the outdoor unit's air"),
        Cause.WEAK_COMPRESSOR: alike("the compressor"),
        Cause.NON_CONDENSABLES: alike("the air in the circuit"),
        Cause.BELT: Said("the belt drive", "the fan's belt drive"),
        Cause.REVERSED_ROTATION: alike("the fan's rotation"),
        Cause.MILD_WEATHER_COOLING: alike("the cooling in mild weather"),
        Cause.COOLING_WITHOUT_FAN: alike("the fan"),
        Cause.DRAIN: alike("the drain"),
        Cause.TRAP: Said("the trap", "the drain's trap"),
        Cause.PAN: Said("the pan", "the drain pan"),
        Cause.CARRY_OVER: Said("the air's speed through the coil", "the air's speed"),
        Cause.SWEATING: alike("the insulation"),
        Cause.PUMP: alike("the condensate pump"),
        Cause.HOT_WATER_COIL: alike("the heating coil"),
        Cause.BACK_FEED: alike("the control wiring"),
        Cause.OUTSIDE_WATER: alike("what leaked above the unit"),
        Cause.NOTHING: NOT_SAID,
    },
)


PLACES = complete(
    Place,
    {
        Place.LABEL: alike("{label}"),
        Place.ANYWHERE: alike("any condition"),
        Place.MORE: alike("{count} more"),
        Place.LABEL_OF_VISIT: Said("{visit}, {label}", "{day}, {label}"),
    },
)


SAID: Mapping[type[StrEnum], Rows] = {
    Cause: PARTS,
    Contrary: endings.CONTRARIES,
    **charge_reasons.SAID,
    **air.SAID,
    Place: PLACES,
    **questions.SAID,
    **repairs.SAID,
    **today.SAID,
    **water.SAID,
    **wiring.SAID,
}


@cache
def teller(reader: Reader, display: str) -> Teller:
    """Who tells a reader, in a display."""
    return Teller(reader, display, SAID)
