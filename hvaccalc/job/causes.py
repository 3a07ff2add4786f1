"""What can be wrong, by name: causes, ways of the water, and which cause stands behind a way.

``mends`` of a work names causes by these words; a way of the water is read as its cause.
"""

import difflib
import heapq
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.errors import InputError, WrongKind
from hvaccalc.job.fields import Check, Refused, shown
from hvaccalc.rows import complete


class Cause(StrEnum):
    """One fault that explains readings and signs."""

    FAN_STUCK_LOW = "fan_stuck_low"
    LOW_AIRFLOW = "low_airflow"
    OUTDOOR_AIR = "outdoor_air"
    LOW_CHARGE = "low_charge"
    OVERCHARGE = "overcharge"
    RESTRICTION = "restriction"
    OVERFEEDING_VALVE = "overfeeding_valve"
    CONDENSER_AIR = "condenser_air"
    WEAK_COMPRESSOR = "weak_compressor"
    NON_CONDENSABLES = "non_condensables"
    BELT = "belt"
    REVERSED_ROTATION = "reversed_rotation"
    MILD_WEATHER_COOLING = "mild_weather_cooling"
    COOLING_WITHOUT_FAN = "cooling_without_fan"
    DRAIN = "drain"
    TRAP = "trap"
    PAN = "pan"
    CARRY_OVER = "carry_over"
    SWEATING = "sweating"
    PUMP = "pump"
    HOT_WATER_COIL = "hot_water_coil"
    BACK_FEED = "back_feed"
    OUTSIDE_WATER = "outside_water"
    NOTHING = "nothing"


OF_A_CIRCUIT = frozenset(
    {
        Cause.LOW_CHARGE,
        Cause.OVERCHARGE,
        Cause.RESTRICTION,
        Cause.OVERFEEDING_VALVE,
        Cause.CONDENSER_AIR,
        Cause.WEAK_COMPRESSOR,
        Cause.NON_CONDENSABLES,
    }
)
"""Causes that sit in one refrigerant circuit; the others are the unit's."""


class Way(StrEnum):
    """One way for water to get out of the unit."""

    CONDENSATE = "condensate"
    MELT = "melt"
    PAN_OVERFLOW = "pan_overflow"
    TRAP = "trap"
    CARRY_OVER = "carry_over"
    COIL_DRIP = "coil_drip"
    SWEATING = "sweating"
    PAN_LEAK = "pan_leak"
    PUMP = "pump"
    HOT_WATER_COIL = "hot_water_coil"
    OUTSIDE = "outside"
    SHUT_DOWN_DRAIN = "shut_down_drain"

    @property
    def cause(self) -> Cause | None:
        """The one cause that stands behind it; None where several can make it."""
        causes = CAUSES_OF_WAYS[self]
        return causes[0] if len(causes) == 1 else None


_ICE = (
    Cause.FAN_STUCK_LOW,
    Cause.LOW_AIRFLOW,
    Cause.LOW_CHARGE,
    Cause.RESTRICTION,
    Cause.MILD_WEATHER_COOLING,
    Cause.COOLING_WITHOUT_FAN,
    Cause.BELT,
    Cause.REVERSED_ROTATION,
    Cause.BACK_FEED,
)

CAUSES_OF_WAYS: dict[Way, tuple[Cause, ...]] = complete(
    Way,
    {
        Way.CONDENSATE: (Cause.OUTDOOR_AIR, Cause.DRAIN, Cause.TRAP),
        Way.MELT: _ICE,
        Way.PAN_OVERFLOW: (Cause.DRAIN,),
        Way.TRAP: (Cause.TRAP,),
        Way.CARRY_OVER: (Cause.CARRY_OVER,),
        Way.COIL_DRIP: (Cause.FAN_STUCK_LOW, Cause.LOW_AIRFLOW, Cause.PAN),
        Way.SWEATING: (Cause.SWEATING,),
        Way.PAN_LEAK: (Cause.PAN,),
        Way.PUMP: (Cause.PUMP,),
        Way.HOT_WATER_COIL: (Cause.HOT_WATER_COIL,),
        Way.OUTSIDE: (Cause.OUTSIDE_WATER,),
        Way.SHUT_DOWN_DRAIN: (Cause.PAN,),
    },
)
"""What brings a way about. With one cause the way's name stands for it; with several it names none."""


@dataclass(frozen=True, slots=True, order=True)
class CauseAt:
    """A cause, and its circuit where it sits in one; None for the unit, or where none was typed.

    >>> str(CauseAt(Cause.LOW_CHARGE, "2")), str(CauseAt(Cause.TRAP))
    ('low_charge:2', 'trap')
    """

    cause: Cause
    circuit: str | None = None

    def __str__(self) -> str:
        return self.cause.value if self.circuit is None else f"{self.cause.value}:{self.circuit}"


MENDABLE = tuple(cause.value for cause in Cause if cause is not Cause.NOTHING)

PLAIN = complete(
    Cause,
    {
        Cause.FAN_STUCK_LOW: "the fan does not rise with the stages",
        Cause.LOW_AIRFLOW: "filters, coil face, dampers or duct hold the air back",
        Cause.OUTDOOR_AIR: "too much outdoor air",
        Cause.LOW_CHARGE: "too little refrigerant, a leak",
        Cause.OVERCHARGE: "too much refrigerant",
        Cause.RESTRICTION: "something holds the refrigerant back: liquid line, drier or valve",
        Cause.OVERFEEDING_VALVE: "the expansion valve lets too much through",
        Cause.CONDENSER_AIR: "the outdoor unit's coil (condenser) dirty or short of air",
        Cause.WEAK_COMPRESSOR: "the compressor pumps too little",
        Cause.NON_CONDENSABLES: "air or nitrogen in the circuit",
        Cause.BELT: "belt or sheaves of the fan",
        Cause.REVERSED_ROTATION: "the fan turns backwards",
        Cause.MILD_WEATHER_COOLING: "cooling in weather too mild for it",
        Cause.COOLING_WITHOUT_FAN: "the fan stands while it cools",
        Cause.DRAIN: "the drain line runs slow or is blocked",
        Cause.TRAP: "the drain's trap is missing, dry or too short",
        Cause.PAN: "the pan is cracked, out of level or too small",
        Cause.CARRY_OVER: "air blows drops off the coil",
        Cause.SWEATING: "cabinet, duct or line without enough insulation",
        Cause.PUMP: "the condensate pump does not lift the water",
        Cause.HOT_WATER_COIL: "the hot-water coil leaks",
        Cause.BACK_FEED: "wiring starts a compressor or heat without its call",
        Cause.OUTSIDE_WATER: "roof, pipe or drain above the unit",
        Cause.NOTHING: "nothing is wrong",
    },
)
"""Each cause in plain words, for who types its name."""

FOUND = {**PLAIN, Cause.LOW_AIRFLOW: "something holds the air back"}
"""The same for who reads that it was found: which of several it is may be known there."""

_ALLOWED = (
    "one or a list of: " + ", ".join(MENDABLE) + "; a circuit's cause with its circuit, such as low_charge:2"
)
_LISTED = "a cause by its name; `hvaccalc new` writes the list of them into a new file, beside mends"
LEAK = ("leak", "leaks", "refrigerant leak")
MOST_NEAR = 3
"""Causes named as the nearest to a word that is none."""


def _not_a_cause(word: str) -> InputError:
    """Refusal of a word that names no cause, with the nearest in plain words."""

    def near(name: str) -> float:
        known = (name, *re.findall("[a-z-]+", PLAIN[Cause(name)]))
        return max(difflib.SequenceMatcher(None, word[:80].lower(), one).ratio() for one in known)

    nearest = heapq.nlargest(MOST_NEAR, MENDABLE, key=near)
    told = "; ".join(f"{name} ({PLAIN[Cause(name)]})" for name in nearest)
    return InputError(f"not one of the causes known here; nearest: {told}", shown(word), _LISTED)


def _leak(word: str, circuit: str) -> InputError:
    """Refusal of a leak, which has a table of its own."""
    message = "a leak is closed by repaired in its own table, or by a work that mends low_charge"
    name = circuit or "N"
    allowed = f'repaired = 2026-06-18 in [circuit.{name}.leak], or mends = ["low_charge:{name}"]'
    return InputError(message, shown(word), allowed)


def read_cause(word: object) -> CauseAt:
    """A cause as typed after ``mends``.

    Parameters
    ----------
    word : object
        Name of a cause, or of a way of the water that one cause stands behind; with ``:circuit`` where it
        sits in a circuit.

    Returns
    -------
    CauseAt

    Raises
    ------
    Refused
        An unknown name, ``nothing``, a way that several causes make, a circuit on a cause of the whole unit.

    Examples
    --------
    >>> str(read_cause("low_charge:2")), str(read_cause("outside"))
    ('low_charge:2', 'outside_water')
    """
    if not isinstance(word, str):
        raise Refused(WrongKind("not the name of a cause", shown(word), _LISTED))
    name, colon, circuit = (part.strip() for part in word.partition(":"))
    way = Way(name) if name in (way.value for way in Way) else None
    if way is not None and way.cause is None:
        behind = "; ".join(f"{cause.value} ({PLAIN[cause]})" for cause in CAUSES_OF_WAYS[way])
        message = "a way of the water that several causes can make; name the cause that was put right"
        raise Refused(InputError(message, found=shown(word), allowed=behind))
    if name.lower().replace("_", " ") in LEAK:
        raise Refused(_leak(word, circuit))
    if way is None and name not in MENDABLE:
        raise Refused(_not_a_cause(name))
    cause = Cause(name) if way is None or way.cause is None else way.cause
    if colon and (cause not in OF_A_CIRCUIT or not circuit):
        message = "a cause of the whole unit has no circuit" if circuit else "no circuit after the colon"
        raise Refused(InputError(message, found=shown(word), allowed=_LISTED))
    return CauseAt(cause, circuit if colon else None)


def _read_causes(value: object) -> tuple[CauseAt, ...]:
    words: Iterable[object] = value if isinstance(value, (list, tuple)) else (value,)
    causes = []
    for place, word in enumerate(words):
        try:
            causes.append(read_cause(word))
        except Refused as refused:
            raise Refused(refused.error, (place,) if isinstance(value, (list, tuple)) else ()) from None
    if not causes:
        message = "an empty list mends nothing; leave the key out"
        raise Refused(InputError(message, found="[]", allowed=_LISTED))
    return tuple(causes)


MENDS = Check(_ALLOWED, _read_causes)
