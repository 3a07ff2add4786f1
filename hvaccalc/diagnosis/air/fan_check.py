"""A check before the fan's speed goes up: its name, its state, and what it says."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum, auto

from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import NOT_KNOWN, Band
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class CheckName(StrEnum):
    """What is looked at before the speed goes up."""

    MOTOR_CURRENT = "motor current"
    SERVICE_FACTOR = "service factor"
    BELT = "belt and sheaves"
    BELT_WRAP = "belt wrap"
    TIP_SPEED = "tip speed"
    COIL_FACE = "coil face velocity"
    FILTER_FACE = "filter face velocity"
    TRAP = "trap against pan suction"
    STATIC = "external static"
    FULL_SPEED = "full speed"
    LEAST_SPEED = "least speed"
    HEATER = "least air over an electric heater"
    NOISE = "noise"


class CheckState(StrEnum):
    """Whether a check is passed."""

    PASS = "pass"
    FAIL = "fail"
    NOT_YET = "not known"
    NOTE = "note"


class Checked(StrEnum):
    """What a check says."""

    CANNOT_BE_WORKED_OUT = auto()
    WITHIN = auto()
    ABOVE = auto()
    TOO_CLOSE = auto()
    AT_PRESENT_SPEED = auto()
    AT_NEW_SPEED = auto()
    AT_A_SPEED = auto()
    MOTOR_CURRENT = auto()
    BELT_SPEED = auto()
    TIP_SPEED = auto()
    EXTERNAL_STATIC = auto()
    THE_PLATE = auto()
    PLATE_TIMES_FACTOR = auto()
    V_BELTS = auto()
    NO_QUESTION = auto()
    RATED = auto()
    LACKS_PLATE = auto()
    LACKS_CURRENT = auto()
    FOLLOWS_FROM_BOTH = auto()
    FOLLOWS_FROM_CURRENT = auto()
    FOLLOWS_FROM_THAT = auto()
    TWO_SPEEDS = auto()
    READ_ELSEWHERE = auto()
    NO_SERVICE_FACTOR = auto()
    READ_SHEAVES = auto()
    READ_SHEAVES_IF_ANY = auto()
    SHEAVES_TOUCH = auto()
    WRAP = auto()
    READ_WHEEL = auto()
    MEASURE_FACE = auto()
    FACE_WITHIN = auto()
    FACE_NEAR = auto()
    FACE_UNCERTAIN = auto()
    FACE_BETWEEN = auto()
    FACE_ABOVE = auto()
    FACE_BEYOND = auto()
    BLOWS_OFF = auto()
    SUCTION = auto()
    PRESSURE = auto()
    TRIED = auto()
    READ_PAN = auto()
    TYPED_NOT_NEGATIVE = auto()
    TYPED_NOT_POSITIVE = auto()
    OPEN_HOLDS = auto()
    OPEN_BLOWS = auto()
    TRAP_ENOUGH = auto()
    TRAP_NOT_ENOUGH = auto()
    TRAP_NOT_MEASURED = auto()
    HAS_HEIGHT = auto()
    NO_HEIGHT = auto()
    HAS_SEAL = auto()
    NO_SEAL = auto()
    READ_RATED_STATIC = auto()
    READ_STATIC = auto()
    LOUDER = auto()
    READ_HEATER = auto()
    READ_HEATER_IF_ANY = auto()
    HEATER_ABOVE = auto()
    HEATER_BELOW = auto()
    HEATER_TOO_CLOSE = auto()
    ABOVE_FULL = auto()
    BELOW_LEAST = auto()


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at before the speed goes up.

    Attributes
    ----------
    name : CheckName
    state : CheckState
        A note where there is nothing to pass.
    why : Reason
        The number and its limit, or what to read.
    value : Band
        At the new speed [SI of `kind`], not known where a reading lacks.
    limit : float or None
        [SI of `kind`].
    kind : str
        Kind of quantity, empty where there is no number.
    fitted : bool
        Whether the job says in any way that the part is there at all.
    """

    name: CheckName
    state: CheckState
    why: Reason
    value: Band = NOT_KNOWN
    limit: float | None = None
    kind: str = ""
    fitted: bool = True

    @property
    def severity(self) -> Severity:
        """A check that fails calls for action before the speed goes up."""
        return Severity.ACT if self.fails else Severity.NOTE

    @property
    def fails(self) -> bool:
        """Whether it is not passed."""
        return self.state is CheckState.FAIL

    @property
    def open(self) -> bool:
        """Whether a reading lacks to say so."""
        return self.state is CheckState.NOT_YET


@dataclass(frozen=True, slots=True)
class SpeedCheck:
    """All checks of one condition for one new speed.

    Attributes
    ----------
    where : Where
    present, wanted : float
        Speed over full speed, as read and as asked for.
    checks : tuple of Check
    """

    where: Where
    present: float
    wanted: float
    checks: tuple[Check, ...]

    @property
    def state(self) -> CheckState:
        """fail where one fails, else not known where one is, else pass."""
        states = {check.state for check in self.checks}
        return (
            CheckState.FAIL
            if CheckState.FAIL in states
            else CheckState.NOT_YET
            if CheckState.NOT_YET in states
            else CheckState.PASS
        )

    @property
    def raises(self) -> bool:
        """Whether the speed goes up at all."""
        return self.wanted > self.present * 1.005


def to_show(checks: Iterable[SpeedCheck | None]) -> SpeedCheck | None:
    """The checks that matter most: those of the slowest fan, else of a fan that fails one at its speed."""
    known = [check for check in checks if check is not None]
    slow = [check for check in known if check.raises]
    failing = [check for check in known if check.state == CheckState.FAIL]
    return min(slow, key=lambda c: c.present) if slow else failing[0] if failing else None
