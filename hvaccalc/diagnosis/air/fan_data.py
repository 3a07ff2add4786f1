"""What a job says of the fan itself, turned into a curve, known points and speeds."""

from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import Z95
from hvaccalc.equipment.fan import fan_drive
from hvaccalc.equipment.fan.fan_laws import FanCurve
from hvaccalc.job.schema import Job
from hvaccalc.practice.air import LINE_FREQUENCY
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
