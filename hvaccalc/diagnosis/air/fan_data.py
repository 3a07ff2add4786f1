"""What a job says of the fan itself: curve, points, speeds; whether its wheel turns as motor and sheaves ask.


Motor speed times motor sheave over fan sheave is what the wheel should turn at; what it lacks is slip. Up to
3 % is creep, above 5 % the belt slips or another sheave is on than was typed (common practice, no source).
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import sign
from hvaccalc.ensemble import Z95, Band, band, beyond
from hvaccalc.equipment.fan import fan_drive
from hvaccalc.equipment.fan.fan_laws import FanCurve
from hvaccalc.job.schema import Job
from hvaccalc.practice.air import BELT_CREEP, BELT_SLIP, LINE_FREQUENCY
from hvaccalc.severity import Severity
from hvaccalc.units import Quantity


@dataclass(frozen=True, slots=True)
class Known:
    """A point at which the airflow was known.

    Attributes
    ----------
    flow : ndarray, shape (N + 1,)
        [m3/s].
    speed : float or None
        Over full speed.
    coil_drop, filter_drop, external_static : ndarray or None
        [Pa].
    """

    flow: Array
    speed: float | None
    coil_drop: Array | None
    filter_drop: Array | None
    external_static: Array | None


def full_rotation(job: Job) -> float | None:
    """The fan's full speed [1/s]: typed, else from the motor's speed over the sheaves; None where neither."""
    fan = job.unit.fan
    if fan.full_speed is not None and fan.full_speed.unit == "rpm":
        return fan.full_speed.value
    if fan.motor_speed and fan.motor_sheave and fan.fan_sheave:
        return float(
            fan_drive.driven_speed(fan.motor_speed.value, fan.motor_sheave.value, fan.fan_sheave.value)
        )
    return None


def share_of_full(job: Job, speed: Quantity | None) -> float | None:
    """A speed as typed over the fan's full speed; None where the two cannot be compared."""
    if speed is None:
        return None
    full = job.unit.fan.full_speed
    if speed.unit == "%":
        return speed.value
    if full is not None and full.unit == speed.unit:
        return speed.value / full.value
    if speed.unit == "Hz":
        return speed.value / LINE_FREQUENCY
    rotation = full_rotation(job)
    return None if rotation is None else speed.value / rotation


def known_points(draws: Draws, volume: Array) -> list[Known]:
    """Points of ``[unit.fan] known`` as draws; `volume` turns standard air into actual [m3/kg]."""
    points = []
    for number, point in enumerate(draws.job.unit.fan.known, 1):
        place = f"known/{number}"
        flow = _known_flow(draws, f"{place}/airflow", point.airflow)
        if point.airflow.standard:
            flow = flow * units.STANDARD_AIR_DENSITY * volume
        drops = {
            key: _drawn(draws, f"{place}/{key}", key, getattr(point, key))
            for key in ("coil_pressure_drop", "filter_pressure_drop", "external_static")
        }
        points.append(Known(flow, share_of_full(draws.job, point.fan_speed), *drops.values()))
    return points


def _known_flow(draws: Draws, place: str, flow: Quantity) -> Array:
    """A typed ± is all that is uncertain of it; else it was a traverse."""
    if flow.plus_minus is not None:
        return draws.ensemble.normal(place, flow.value, flow.plus_minus / Z95)
    return instruments.true_values(draws.ensemble, place, "airflow", flow)


def _drawn(draws: Draws, place: str, key: str, quantity: Quantity | None) -> Array | None:
    return None if quantity is None else instruments.true_values(draws.ensemble, place, key, quantity)


def fan_curve(job: Job) -> FanCurve | None:
    """The fan's curve at full speed; None with fewer than two points whose static and speed are known."""
    rows = []
    for point in job.unit.fan.curve:
        speed = 1.0 if point.speed is None else share_of_full(job, point.speed)
        if point.static is not None and speed:
            power = np.nan if point.power is None else point.power.value
            rows.append((point.airflow.value, point.static.value, speed, power))
    if len({flow / speed for flow, _, speed, _ in rows}) < 2:
        return None
    flow, static, speeds, power = np.array(rows).T
    return FanCurve.from_points(flow, static, speeds, power if np.all(np.isfinite(power)) else None)


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
