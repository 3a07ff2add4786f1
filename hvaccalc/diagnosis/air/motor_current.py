"""The fan motor's current: which reading tells most of a speed, and what a current of unknown place tells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import band
from hvaccalc.practice.air import SAME_SPEED

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


def on_a_drive(reading: MotorReading, plate: float, display: str) -> str:
    """What a current tells that was not read behind a drive: its number beside the plate, and why no more."""
    place = (
        "read at the drive's line side, which is not the motor's current"
        if reading.at == "line"
        else "where it was measured is not noted"
    )
    beside = f", {_beside(reading, plate, display)}" if reading.near else ""
    return (
        f"{reading.text}{told(reading)}{beside}; {place}. Read it on the drive's display or output: "
        "at its line side it is not the motor's."
    )


def told(reading: MotorReading) -> str:
    """Where a reading stands."""
    return f" (visit {reading.where.visit}, condition {reading.where.condition})"


def _beside(reading: MotorReading, plate: float, display: str) -> str:
    read, shown = band(reading.current), units.value_text(plate, "current", display)
    if read.high <= plate:
        return f"below the plate's {shown}"
    return f"above the plate's {shown}" if read.low > plate else f"too close to tell from the plate's {shown}"
