"""The fan's wheel: whether it turns as motor and sheaves ask, and the right way round.

Motor speed times motor sheave over fan sheave is what the wheel should turn at; what it lacks is slip. Up to
3 % is creep, above 5 % the belt slips or another sheave is on than was typed (common practice, no source).
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs_seen import sign
from hvaccalc.ensemble import Band, band, beyond
from hvaccalc.equipment.fan import fan_drive
from hvaccalc.practice.air import BELT_CREEP, BELT_SLIP, LINE_FREQUENCY
from hvaccalc.severity import Severity


class Turns(StrEnum):
    """How the wheel turns beside what its sheaves ask, or its design where no sheaves are typed."""

    AS_ASKED = "as asked"
    AS_DESIGNED = "as designed, not as the typed sheaves ask"
    NEAR = "between creep and slip"
    SLIPS = "belt slips, or another sheave"
    OTHER_SHEAVES = "sheaves of another speed than the design's"
    FAST = "faster than asked"

    @property
    def right(self) -> bool:
        """Whether nothing is left to do at belt and sheaves."""
        return self in (Turns.AS_ASKED, Turns.AS_DESIGNED)

    @property
    def wrong(self) -> bool:
        """Whether belt or sheaves are not as they should be."""
        return self in (Turns.SLIPS, Turns.OTHER_SHEAVES, Turns.FAST)


class Asked(StrEnum):
    """What a wheel's speed is held against."""

    BY_SHEAVES = "by motor and sheaves"
    BY_DESIGN = "by design"


@dataclass(frozen=True, slots=True)
class Wheel:
    """Speed of a belt-driven wheel in one condition.

    Attributes
    ----------
    text : Turns
    read : Band
        [1/s].
    asked : float or None
        By motor speed and both sheaves [1/s]; None where one of them is not typed.
    design : float or None
        Full speed as typed [1/s].
    slip : Band
        1 - read / asked, of the design where no sheaves are typed.
    """

    where: Where
    text: Turns
    read: Band
    asked: float | None
    design: float | None
    slip: Band

    @property
    def severity(self) -> Severity:
        """A belt that slips and wrong sheaves call for work; a doubt is watched."""
        if self.text.wrong:
            return Severity.ACT
        return Severity.WATCH if self.text is Turns.NEAR else Severity.NOTE


def wheel(draws: Draws, where: Where) -> Wheel | None:
    """The wheel of one condition; None without its speed in rpm, or what to hold it against.

    Notes
    -----
    Behind a drive what is asked follows the frequency, which has to be read too; of a motor with two speeds
    nothing tells which of them turns.
    """
    fan, read = draws.job.unit.fan, draws.column(where, "fan_speed")
    typed, share = draws.quantity(where, "fan_speed"), _share_of_line(draws, where)
    if read is None or typed is None or typed.unit != "rpm" or not read[0] > 0.0 or share is None:
        return None
    asked = design = None
    if fan.motor_speed and fan.motor_sheave and fan.fan_sheave:
        sheaves = fan.motor_sheave.value, fan.fan_sheave.value
        asked = share * float(fan_drive.driven_speed(fan.motor_speed.value, *sheaves))
    if fan.full_speed is not None and fan.full_speed.unit == "rpm":
        design = share * fan.full_speed.value
    base = asked if asked is not None else design
    if base is None:
        return None
    slip = 1.0 - read / base
    return Wheel(where, _turns(read, slip, asked, design), band(read), asked, design, band(slip))


def _share_of_line(draws: Draws, where: Where) -> float | None:
    """Motor speed over that of its plate; None where it is not known."""
    fan, frequency = draws.job.unit.fan, draws.quantity(where, "fan_frequency")
    if fan.drive == "belt, fixed":
        return 1.0
    if frequency is not None:
        return frequency.value / LINE_FREQUENCY
    return 1.0 if fan.drive is None and fan.motor_sheave is not None and fan.low_speed is None else None


def _turns(read: Array, slip: Array, asked: float | None, design: float | None) -> Turns:
    low = bool(slip[0] > BELT_SLIP and beyond(slip - BELT_CREEP))
    fast = bool(-slip[0] > BELT_SLIP and beyond(-slip - BELT_CREEP))
    if asked is not None and design is not None:
        if (low or fast) and abs(read[0] / design - 1.0) <= BELT_SLIP:
            return Turns.AS_DESIGNED
        if not (low or fast) and abs(asked / design - 1.0) > BELT_SLIP:
            return Turns.OTHER_SHEAVES
    if low or fast:
        return Turns.SLIPS if low else Turns.FAST
    return Turns.NEAR if np.abs(slip[0]) > BELT_CREEP else Turns.AS_ASKED


def backwards(draws: Draws, where: Where) -> bool:
    """Whether the wheel was seen to turn the wrong way; its current is no guide to that."""
    return "reversed" in sign(draws, where, "fan_rotation")
