"""Water that the coil makes in a year: the hours of each stage times the rate read with it, else as rated."""

from __future__ import annotations

import numpy as np

from hvaccalc.call import Mode, highest_stage
from hvaccalc.diagnosis.air.air_states import air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import airflow
from hvaccalc.diagnosis.readings import compressors, signs_seen
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.coil.coil_water import CONDENSATION_HEAT


def year_condensate(draws: Draws) -> tuple[np.ndarray, str] | None:
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


def _read(draws: Draws, stage: int) -> np.ndarray | None:
    """Condensate as the air shows it with a cooling stage on [kg/s]; None where no condition has it."""
    rates = []
    for where, condition in draws.conditions():
        called = highest_stage(condition.calls or (), Mode.COOL)
        if called == stage and not compressors.heating(draws, where) and not signs_seen.ice(draws, where):
            rate = _rate(draws, where)
            rates += [] if rate is None else [rate]
    return np.mean(rates, axis=0) if rates else None


def _rate(draws: Draws, where: Where) -> np.ndarray | None:
    states = air_states(draws, where)
    flow = airflow(draws, states)
    if flow is None or not compressors.running_circuits(draws, where):
        return None
    duty = coil_duty(states, flow.dry_air_flow, True)
    return None if duty.condensate is None else np.where(duty.possible, duty.condensate, np.nan)


def _rated(draws: Draws, stage: int) -> np.ndarray:
    share = sum(s for name, s in draws.capacity_shares().items() if draws.stage(name) <= stage)
    latent = np.asarray(draws.rating.total) * (1.0 - np.asarray(draws.rating.sensible_ratio))
    return share * latent / CONDENSATION_HEAT
