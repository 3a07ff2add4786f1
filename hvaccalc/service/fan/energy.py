"""What it costs to leave the fan at full speed: power, energy, money, and moisture given back.

Money comes from the job's own price alone; where the job names none, there is none.
"""

from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.call import Mode, highest_stage
from hvaccalc.diagnosis.air.air_states import air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import airflow, speed_ratio
from hvaccalc.diagnosis.air.fan_data import share_of_full
from hvaccalc.diagnosis.readings import compressors, signs
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.ensemble import Band, band
from hvaccalc.equipment.coil import part_load_latent
from hvaccalc.equipment.coil.coil_water import CONDENSATION_HEAT
from hvaccalc.equipment.fan import fan_drive
from hvaccalc.practice.air import (
    EVAPORATION_EXPONENT,
    FULL_SPEED,
    SAME_SPEED,
    STANDING_LOSS,
    START_UP,
    WET_EVAPORATION,
    WET_TIME,
)


def year_condensate(draws: Draws) -> tuple[Array, str] | None:
    """Water of a year [kg], shape (N + 1,), and whose rates it rests on; None without hours of cooling.

    Notes
    -----
    A stage's rate is the mean of what was read with it, over conditions without ice. Where none was read it
    is the rated latent capacity times the share of the circuits that run then: a rating is taken in humid
    air, so that is the most that a year makes rather than the likely amount.
    """
    electricity = draws.job.electricity
    hours = {1: electricity.hours_cool_1, 2: electricity.hours_cool_2}
    known = {stage: h.value for stage, h in hours.items() if h is not None and h.value > 0.0}
    if not known:
        return None
    read = {stage: _read(draws, stage) for stage in known}
    rates = {stage: _rated(draws, stage) if rate is None else rate for stage, rate in read.items()}
    words = {rate is None for rate in read.values()}
    basis = "read and rated" if len(words) > 1 else "rated" if True in words else "read"
    return sum((3600.0 * h * rates[stage] for stage, h in known.items()), np.zeros(1)), basis


def _read(draws: Draws, stage: int) -> Array | None:
    """Condensate as the air shows it with a cooling stage on [kg/s]; None where no condition has it."""
    rates = []
    for where, condition in draws.conditions():
        called = highest_stage(condition.calls or (), Mode.COOL)
        if called == stage and not compressors.heating(draws, where) and not signs.ice(draws, where):
            rate = _rate(draws, where)
            rates += [] if rate is None else [rate]
    return np.mean(rates, axis=0) if rates else None


def _rate(draws: Draws, where: Where) -> Array | None:
    states = air_states(draws, where)
    flow = airflow(draws, states)
    if flow is None or not compressors.running_circuits(draws, where):
        return None
    duty = coil_duty(states, flow.dry_air_flow, True)
    return None if duty.condensate is None else np.where(duty.possible, duty.condensate, np.nan)


def _rated(draws: Draws, stage: int) -> Array:
    share = sum(s for name, s in draws.capacity_shares().items() if draws.stage(name) <= stage)
    latent = np.asarray(draws.rating.total) * (1.0 - np.asarray(draws.rating.sensible_ratio))
    return share * latent / CONDENSATION_HEAT


WEEKS = 365.25 / 7.0


@dataclass(frozen=True, slots=True)
class FanPower:
    """Electrical power at the low and at the full speed.

    Attributes
    ----------
    low_speed : float
        Over full speed.
    low, full : Datum
        [W], shape (N + 1,).
    """

    low_speed: float
    low: Datum
    full: Datum

    @property
    def penalty(self) -> Array:
        """Full above low speed [W]."""
        return self.full.draws - self.low.draws

    @property
    def share(self) -> Band:
        """Low over full power."""
        return band(self.low.draws / self.full.draws)

    @property
    def exponent(self) -> Band:
        """Of power over speed."""
        return band(fan_drive.exponent(self.low_speed, self.low.draws / self.full.draws))

    @property
    def basis(self) -> str:
        """measured where both are, else the weaker of the two."""
        order = ("measured", "nameplate", "computed", "rule of thumb", "assumed")
        return max(self.low.basis, self.full.basis, key=order.index)


@dataclass(frozen=True, slots=True)
class FullSpeedPenalty:
    """Full speed at all times against staged.

    Attributes
    ----------
    power : FanPower
    hours : float or None
        Hours a year that the fan should run at low speed.
    energy : ndarray or None
        [J a year].
    cost, week : ndarray or None
        Money a year and a week, `currency` a three-letter code.
    moisture : ndarray or None
        Water that a fan which never stops gives back at full speed above that at low speed [kg a year].
    moisture_low : ndarray or None
        The same at low speed [kg a year].
    made : ndarray or None
        Water that the coil makes in the year [kg].
    rates : str
        Rates that `made` rests on: read, rated, read and rated.
    stated : bool
        Whether the moisture model is stated for a unit of this size and number of stages.
    missing : tuple of str
        Keys of the job that would complete it.
    """

    power: FanPower
    hours: float | None
    energy: Array | None
    cost: Array | None
    week: Array | None
    currency: str
    moisture: Array | None
    moisture_low: Array | None
    made: Array | None
    rates: str
    stated: bool
    missing: tuple[str, ...]


def fan_powers(draws: Draws) -> FanPower | None:
    """Power at low and full speed: as read, else the rated power and the fan on its fixed system.

    None where no low speed is typed that compares with full speed.
    """
    low = share_of_full(draws.job, draws.job.unit.fan.low_speed)
    if low is None or not 0.0 < low < 1.0:
        return None
    full = full_power(draws)
    read = _read_at(draws, low, SAME_SPEED)
    if read is not None:
        return FanPower(low, read, full)
    basis = "computed" if full.basis in ("measured", "nameplate") else full.basis
    note = "by the fan laws with drive and motor losses"
    return FanPower(low, Datum(electrical_power(draws, low), basis, note), full)


def full_power(draws: Draws) -> Datum:
    """Electrical power at full speed [W]: as read, else as rated."""
    return _read_at(draws, 1.0, 1.0 - FULL_SPEED) or draws.rated_fan_power


def electrical_power(draws: Draws, speed: float) -> Array:
    """Electrical power [W] at a speed over full speed, on the fan's own system."""
    loss = draws.ensemble.uniform("standing loss", *STANDING_LOSS)
    return full_power(draws).draws * fan_drive.electrical_power_ratio(speed, 0.0, loss)


def _read_at(draws: Draws, speed: float, reach: float) -> Datum | None:
    """Fan power read in a condition near a speed."""
    for where, _ in draws.conditions():
        power, ratio = draws.column(where, "fan_power"), speed_ratio(draws, where)
        read = ratio is not None and ratio.basis == "measured" and abs(ratio.draws[0] - speed) <= reach
        if power is not None and read and power[0] > 0.0:
            return Datum(power, "measured", f"read in visit {where.visit}, condition {where.condition}")
    return None


def full_speed_penalty(draws: Draws, power: FanPower | None = None) -> FullSpeedPenalty | None:
    """What full speed at all times costs over a year; None where no low speed is known.

    Notes
    -----
    ``[electricity] hours_*`` are hours a year by the highest call: the fan alone, the first stage, the
    second. A unit of two stages runs its fan low for the first two, a unit of one stage for the fan alone.
    The heat of the larger fan power, which the cooling has to carry away again, is left out.
    """
    power = fan_powers(draws) if power is None else power
    if power is None:
        return None
    electricity = draws.job.electricity
    hours = _low_hours(draws)
    energy = None if hours is None else power.penalty * hours * 3600.0
    price = electricity.price
    cost = None if energy is None or price is None else energy / 3.6e6 * price.per_kwh
    made, rates = year_condensate(draws) or (None, "")
    above, low = _moisture(draws, power.low_speed, made)
    wanted = {"electricity.price": price, "electricity.hours_fan": electricity.hours_fan}
    if _stages(draws) > 1:
        wanted["electricity.hours_cool_1"] = electricity.hours_cool_1
    return FullSpeedPenalty(
        power=power,
        hours=hours,
        energy=energy,
        cost=cost,
        week=None if cost is None else cost / WEEKS,
        currency=price.currency if price is not None else "",
        moisture=above,
        moisture_low=low,
        made=made,
        rates=rates,
        stated=bool(
            _stages(draws) == 1 and np.asarray(draws.rating.total)[0] < part_load_latent.STATED_CAPACITY
        ),
        missing=tuple(key for key, value in wanted.items() if value is None),
    )


def _stages(draws: Draws) -> int:
    return max(draws.stage(name) for name in draws.job.circuit)


def _low_hours(draws: Draws) -> float | None:
    electricity = draws.job.electricity
    calls = [electricity.hours_fan]
    if _stages(draws) > 1:
        calls.append(electricity.hours_cool_1)
    return None if any(h is None for h in calls) else sum(h.value for h in calls if h is not None)


def _moisture(draws: Draws, low_speed: float, made: Array | None) -> tuple[Array | None, Array | None]:
    """Water given back in a year [kg]: at full speed above low speed, and at low speed.

    Never more than the coil makes, draw by draw: the model gives back a share of it.
    """
    electricity = draws.job.electricity
    cooling = [h.value for h in (electricity.hours_cool_1, electricity.hours_cool_2) if h is not None]
    if electricity.hours_fan is None or made is None:
        return None, None
    hours = sum(cooling)
    runtime = hours / (hours + electricity.hours_fan.value)
    full, low = (made * (1.0 - _multiplier(draws, runtime, speed)) for speed in (1.0, low_speed))
    return full - low, low


def _multiplier(draws: Draws, runtime: float, speed: float) -> Array:
    ranges = {"wet_time": WET_TIME, "evaporation": WET_EVAPORATION, "start_up": START_UP}
    values = {key: draws.ensemble.uniform(f"retention/{key}", *ends) for key, ends in ranges.items()}
    values["evaporation"] = values["evaporation"] * speed**EVAPORATION_EXPONENT
    return part_load_latent.latent_multiplier(runtime, part_load_latent.Retention(**values))
