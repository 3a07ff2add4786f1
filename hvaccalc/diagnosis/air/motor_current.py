"""The fan motor's current: which reading tells most of a speed, and what a current of unknown place tells."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, auto

import numpy as np

from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import band
from hvaccalc.practice.air import SAME_SPEED
from hvaccalc.reason import Reason


class MotorReason(StrEnum):
    """What a current says of the fan motor."""

    NOT_THE_MOTORS = auto()
    NOT_THE_MOTORS_YET = auto()
    AT_THE_LINE_SIDE = auto()
    PLACE_NOT_NOTED = auto()
    READ_AT = auto()
    BELOW_THE_PLATE = auto()
    ABOVE_THE_PLATE = auto()
    NEAR_THE_PLATE = auto()


OF_THE_MOTOR = ("drive display", "drive output")
"""Places at which a drive shows the motor's own current; its line side carries another."""


@dataclass(frozen=True, slots=True)
class MotorReading:
    """A fan motor's current as read in one condition.

    Attributes
    ----------
    where : Where
    current, ratio : ndarray, shape (N + 1,)
        [A], fan speed over full speed.
    at : str or None
        drive display, drive output or line; None where not noted.
    text : str
        Current and speed as typed, such as "5.3 A at 60.0 Hz".
    near : bool
        Whether it was read at the speed asked about.
    """

    where: Where
    current: np.ndarray
    ratio: np.ndarray
    at: str | None
    text: str
    near: bool


def motor_reading(draws: Draws, where: Where, wanted: float) -> MotorReading | None:
    """The highest current read at a speed in any condition, else that of the condition itself.

    Parameters
    ----------
    where : Where
        Condition asked about.
    wanted : float
        Speed over full speed.
    """
    those = [one for place, _ in draws.conditions() if (one := _read(draws, place, wanted)) is not None]
    near = [one for one in those if one.near]
    if near:
        return max(near, key=lambda one: one.current[0])
    return next((one for one in those if one.where == where), None)


def _read(draws: Draws, where: Where, wanted: float) -> MotorReading | None:
    current, ratio = draws.column(where, "fan_current"), speed_ratio(draws, where)
    if current is None or ratio is None or not current[0] > 0.0 or not ratio.draws[0] > 0.0:
        return None
    typed = draws.quantity(where, "fan_current")
    speed = draws.quantity(where, "fan_frequency") or draws.quantity(where, "fan_speed")
    text = typed.text if typed is not None else ""
    text += f" at {speed.text}" if speed is not None else ""
    near = ratio.basis == "measured" and abs(float(ratio.draws[0]) - wanted) <= SAME_SPEED
    at = draws.condition(where).air.fan_current_at
    return MotorReading(where, current, ratio.draws, at, text, near)


def on_a_drive(reading: MotorReading, plate: float) -> Reason:
    """What a current tells that was not read behind a drive: its number beside the plate, and why no more."""
    line = reading.at == "line"
    place = Reason(MotorReason.AT_THE_LINE_SIDE if line else MotorReason.PLACE_NOT_NOTED)
    if not reading.near:
        return Reason(MotorReason.NOT_THE_MOTORS, {"reading": read_at(reading), "place": place})
    beside = _beside(reading, plate)
    return Reason(
        MotorReason.NOT_THE_MOTORS_YET, {"reading": read_at(reading), "beside": beside, "place": place}
    )


def read_at(reading: MotorReading) -> Reason:
    """A reading as typed and where it stands."""
    return Reason(
        MotorReason.READ_AT,
        {"text": reading.text, "visit": reading.where.visit, "condition": reading.where.condition},
    )


def _beside(reading: MotorReading, plate: float) -> Reason:
    read = band(reading.current)
    if read.high <= plate:
        return Reason(MotorReason.BELOW_THE_PLATE, {"plate": plate})
    above = read.low > plate
    return Reason(MotorReason.ABOVE_THE_PLATE if above else MotorReason.NEAR_THE_PLATE, {"plate": plate})
