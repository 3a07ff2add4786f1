"""Verdicts about water: of a way, of what it was matched with, of drain and trap; and what decided."""

from __future__ import annotations

from enum import StrEnum, auto


class Ability(StrEnum):
    """Whether a way can make the water that was seen."""

    CAN = "can make it"
    CANNOT_TELL = "cannot tell"
    NOT_ALONE = "cannot by itself"
    CANNOT = "cannot"


class Match(StrEnum):
    """Whether a way brings the amount, the times or the places seen."""

    YES = "yes"
    PART = "part"
    NO = "no"
    OPEN = "not known"
    LATE = "later than seen"


class Against(StrEnum):
    """What speaks against a way that cannot make the water."""

    SIGHT = "what was seen or read"
    TIME = "time"
    PLACE = "place"
    AMOUNT = "amount"


class Grade(StrEnum):
    """How far an amount can be trusted."""

    PHYSICS = "physics"
    SCREENING = "screening"
    RULE = "rule of thumb"


class Event(StrEnum):
    """What a way's time is counted from."""

    START = "start"
    STOP = "stop"
    STAGE_OFF = "stage off"
    ANY = "any"


class Met(StrEnum):
    """Whether a size or a height is what is asked for."""

    MET = "met"
    NOT_MET = "not met"
    NOT_KNOWN = "not known"


class Guard(StrEnum):
    """State of what stops the cooling, or catches the water, before the pan runs over."""

    NONE = "none"
    NOT_NOTED = "not noted"
    FITTED = "fitted"
    DID_NOT_STOP = "did not stop the cooling"


class Standing(StrEnum):
    """What the water does that the fan's suction holds in the pan."""

    NOT_KNOWN = "not known"
    NONE = "none stands"
    STANDS = "stands"
    OVER_THE_PAN = "runs over the pan"
    OVER_MOST_PANS = "runs over most pans"


class Why(StrEnum):
    """What decided about a way."""

    ELSEWHERE = auto()
    TOO_LITTLE = auto()
    HARDLY_ACTS = auto()
    NOTHING_NOTED = auto()
    RUNS_OFF = auto()
    CHANCE = auto()
    NOTHING_TELLS = auto()
    NEEDS_NO_RAIN = auto()
    NEEDS_COOLING = auto()
    NOT_THEN = auto()
    PART_OF_TIMES = auto()
    PART_OF_PLACES = auto()
    PART_OF_BOTH = auto()


TO_SETTLE = (Why.CHANCE, Why.NOTHING_TELLS)
"""What leaves a way to be looked at."""


class Left(StrEnum):
    """What no way that can make the water explains."""

    NO_WAY = auto()
    PLACES = auto()
    PHASE = auto()
    AMOUNT = auto()
