"""What a thermostat calls for."""

from collections.abc import Iterable
from enum import StrEnum


class Mode(StrEnum):
    """What a call wants of the unit."""

    OFF = "off"
    FAN = "fan"
    COOL = "cool"
    HEAT = "heat"
    DEFROST = "defrost"


class Call(StrEnum):
    """A call, the lower stage first.

    Examples
    --------
    >>> Call.COOL_2.mode is Mode.COOL, Call.COOL_2.stage, Call.DEFROST.stage
    (True, 2, 0)
    """

    NONE = "none"
    FAN = "fan"
    COOL_1 = "cool 1"
    COOL_2 = "cool 2"
    HEAT_1 = "heat 1"
    HEAT_2 = "heat 2"
    DEFROST = "defrost"

    @property
    def mode(self) -> Mode:
        """What it wants of the unit."""
        return _MEANING[self][0]

    @property
    def stage(self) -> int:
        """Stage that it asks for, from 1; 0 where it asks for none."""
        return _MEANING[self][1]


_MEANING = {
    Call.NONE: (Mode.OFF, 0),
    Call.FAN: (Mode.FAN, 0),
    Call.COOL_1: (Mode.COOL, 1),
    Call.COOL_2: (Mode.COOL, 2),
    Call.HEAT_1: (Mode.HEAT, 1),
    Call.HEAT_2: (Mode.HEAT, 2),
    Call.DEFROST: (Mode.DEFROST, 0),
}

CALLS = tuple(Call)
TYPED = CALLS[1:]
"""Calls that a job file names: none of them is an empty list there."""


def highest_stage(calls: Iterable[Call], *modes: Mode) -> int:
    """Highest stage that calls ask for in some modes; 0 where none does.

    Examples
    --------
    >>> highest_stage((Call.FAN, Call.COOL_1, Call.HEAT_2), Mode.COOL), highest_stage((), Mode.COOL)
    (1, 0)
    """
    return max((call.stage for call in calls if call.mode in modes), default=0)


def highest(calls: Iterable[Call]) -> Call:
    """The call that stands for several: the last in the order of `Call`, none where there is none.

    Examples
    --------
    >>> highest((Call.COOL_1, Call.COOL_2)) is Call.COOL_2, highest(()) is Call.NONE
    (True, True)
    """
    return max(calls, key=CALLS.index, default=Call.NONE)
