"""How much air moves: each method by itself, then reconciled with the covariance of the draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air import AirStates
from hvaccalc.diagnosis.build import Datum, Draws, Where
from hvaccalc.physics import moist_air

FULL_SPEED_AIRFLOW = (0.93, 0.12)
"""Airflow at full speed over the rated one with nothing measured, mean and sd: field surveys run low.
Common practice, no source."""

FULL = 0.97
"""Speed over full speed from which the fan counts as at full speed."""

UNKNOWN_SPEED = (0.5, 1.0)
DISAGREEMENT = 2.0
"""A method this many of its own sigmas off the others is named and left to the reader."""


@dataclass(frozen=True, slots=True)
class Method:
    """Airflow by one method, at the return state [m3/s], shape (N + 1,)."""

    name: str
    flow: np.ndarray
    basis: str
    note: str


@dataclass(frozen=True, slots=True)
class Airflow:
    """Airflow of one condition.

    Attributes
    ----------
    methods : tuple of Method
    flow : ndarray
        Reconciled, at the return state [m3/s].
    dry_air_flow : ndarray
        The same as dry air [kg/s].
    basis : str
        measured, rule of thumb or assumed.
    note : str
        What it rests on.
    disagreeing : tuple of (str, float)
        Methods left out with their disagreement in sigmas.
    speed_ratio : Datum or None
        Fan speed over full speed.
    rated_share : ndarray
        Volume flow over the rated one: a fan moves the same volume at any density.
    """

    methods: tuple[Method, ...]
    flow: np.ndarray
    dry_air_flow: np.ndarray
    basis: str
    note: str
    disagreeing: tuple[tuple[str, float], ...]
    speed_ratio: Datum | None
    rated_share: np.ndarray

    @property
    def measured(self) -> bool:
        """Whether a method other than the fan law stands behind it."""
        return self.basis == "measured"


def airflow(draws: Draws, states: AirStates) -> Airflow | None:
    """Airflow of one condition; None where the fan stands still, as it does in a unit that is off."""
    where = states.where
    ratio = speed_ratio(draws, where)
    if ratio is not None and ratio.draws[0] <= 0.0:
        return None
    off = draws.condition(where).calls == ()
    if off and draws.reading(where, "airflow") is None and (ratio is None or ratio.basis != "measured"):
        return None
    volume = return_volume(draws, states)
    methods = []
    if (reading := _reading(draws, where, volume)) is not None:
        methods.append(reading)
    if ratio is not None:
        methods.append(_fan_law(draws, where, ratio))
    if methods:
        flow, used, disagreeing = reconcile(methods)
        basis = "measured" if "reading" in used else methods[-1].basis
        note = "from " + " and ".join(name.replace("_", " ") for name in used)
    else:
        guess = Datum(draws.ensemble.uniform(f"speed/{where.path}", *UNKNOWN_SPEED, central=0.75), "assumed")
        flow, basis, disagreeing = _fan_law(draws, where, guess).flow, "assumed", ()
        note = "neither airflow nor fan speed read: anything from half to full speed"
    dry = flow / volume
    rated = draws.job.unit.rated_airflow.value
    return Airflow(tuple(methods), flow, dry, basis, note, disagreeing, ratio, flow / rated)


def return_volume(draws: Draws, states: AirStates) -> np.ndarray:
    """Volume of return air for each kilogram of dry air [m3/kg]; ordinary room air where not read."""
    air = states.return_air
    if air is not None and air.humid:
        return np.where(air.possible, air.specific_volume, np.nan)
    name = states.where.path
    dry_bulb = air.dry_bulb if air is not None else draws.ensemble.normal(f"room/{name}", 297.0, 1.5)
    humidity = draws.ensemble.uniform(f"room humidity/{name}", 0.006, 0.012)
    return moist_air.specific_volume(dry_bulb, humidity, states.barometer.draws)


def speed_ratio(draws: Draws, where: Where) -> Datum | None:
    """Fan speed over full speed; None where nothing tells."""
    fan = draws.job.unit.fan
    full = fan.full_speed
    frequency = draws.column(where, "fan_frequency")
    if frequency is not None:
        if full is not None and full.unit == "Hz":
            return Datum(frequency / full.value, "measured", "drive frequency")
        return Datum(frequency / 60.0, "measured", "drive frequency, full speed assumed 60 Hz")
    read, speed = draws.quantity(where, "fan_speed"), draws.column(where, "fan_speed")
    if read is not None and speed is not None:
        if full is not None and full.unit == read.unit:
            return Datum(speed / full.value, "measured", "fan speed")
        # Nothing is nothing in any unit.
        if read.unit == "%" or read.value == 0.0:
            return Datum(speed, "measured", "fan speed")
    if fan.drive == "belt, fixed":
        return Datum(np.ones(draws.ensemble.size + 1), "nameplate", "fixed belt drive")
    return None


def _reading(draws: Draws, where: Where, volume: np.ndarray) -> Method | None:
    column, reading = draws.column(where, "airflow"), draws.reading(where, "airflow")
    if column is None or reading is None:
        return None
    standard = reading.quantity.standard
    flow = column * units.STANDARD_AIR_DENSITY * volume if standard else column
    return Method("reading", flow, "measured", "as read" + (", from standard air" if standard else ""))


def _fan_law(draws: Draws, where: Where, ratio: Datum) -> Method:
    mean, sd = FULL_SPEED_AIRFLOW
    # One unit has one airflow at full speed: the same draw in all its conditions.
    factor = np.maximum(draws.ensemble.normal("full speed airflow", mean, sd), 0.2)
    flow = factor * draws.job.unit.rated_airflow.value * ratio.draws
    note = "fan law from the rated airflow (flow proportional to speed; 0.93 of rated at full speed)"
    return Method("fan_law", flow, "rule of thumb", note)


def reconcile(
    methods: list[Method],
) -> tuple[np.ndarray, tuple[str, ...], tuple[tuple[str, float], ...]]:
    """Best linear combination of methods by the covariance of their draws.

    Returns
    -------
    flow : ndarray, shape (N + 1,)
        [m3/s].
    used : tuple of str
    disagreeing : tuple of (str, float)
        Methods left out, with the disagreement in their own sigmas.

    Notes
    -----
    Generalised least squares on the logarithms (Aitken, Proc. R. Soc. Edinburgh 55, 1936, 42-48). With
    two methods at odds the less certain one is left out; nothing is averaged away.
    """
    kept = list(methods)
    disagreeing: list[tuple[str, float]] = []
    while len(kept) > 1:
        sigmas = [_disagreement(m, [o for o in kept if o is not m]) for m in kept]
        if max(sigmas) <= DISAGREEMENT:
            break
        worst = max(kept, key=lambda m: (round(sigmas[kept.index(m)], 6), np.nanstd(np.log(m.flow[1:]))))
        disagreeing.append((worst.name, sigmas[kept.index(worst)]))
        kept.remove(worst)
    return _combine(kept), tuple(m.name for m in kept), tuple(disagreeing)


def _combine(methods: list[Method]) -> np.ndarray:
    logs = np.log([m.flow for m in methods])
    if len(methods) == 1:
        return methods[0].flow
    finite = np.all(np.isfinite(logs), axis=0)
    finite[0] = False
    covariance = np.cov(logs[:, finite])
    weights = np.linalg.solve(covariance + 1e-12 * np.eye(len(methods)), np.ones(len(methods)))
    return np.exp(weights / weights.sum() @ logs)


def _disagreement(method: Method, others: list[Method]) -> float:
    difference = np.log(method.flow) - np.log(_combine(others))
    spread = np.nanstd(difference[1:])
    return float(abs(difference[0]) / spread) if spread > 0 else 0.0
