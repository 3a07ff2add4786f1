"""Freeze forecast by the coupled unit: at which airflow does this coil freeze, in which weather.

Before and after one measured state: draws of the rating are weighted by how well their unit repeats the
suction saturation that was read (importance weights), so that both answers come from the same solves. The
measured state narrows the suction criterion much and the metal criterion hardly: capacity and sensible ratio
pin the metal's temperature already. Where no sound unit of the rating shows what was read, the answers
are those of the sound unit, and say so.

Before a forecast may speak of the unit as it stands, its suction and metal must be among those that the model
gives for the rating. Where they are not, something that the rating does not know holds them.
"""

from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.freeze import frosts
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.diagnosis.unit.unit_build import Calibrated
from hvaccalc.ensemble import PERCENTILES, Z95, Band, band
from hvaccalc.equipment.unit.unit_state import Conditions, UnitStates
from hvaccalc.physics import moist_air
from hvaccalc.physics.moist_air_properties import dew_point
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import FULL_SPEED, WEATHER
from hvaccalc.practice.circuits import MODEL_SUCTION_SD
from hvaccalc.practice.statements import MOST_REFUSED
from hvaccalc.severity import Severity, worst


@dataclass(frozen=True, slots=True)
class Beside:
    """One temperature as read, beside that of the sound unit.

    Attributes
    ----------
    circuit : str
        Whose suction saturation; empty for the coldest metal.
    read, sound : Band
        [K]
    deviation : float
        Sound less read, over the standard deviation of their difference; positive where read colder.
    freezing : bool
        Whether the reading is more likely below freezing than not.
    """

    circuit: str
    read: Band
    sound: Band
    deviation: float
    freezing: bool


def beside(circuits: list[str], result: ConditionResult, here: UnitStates, slow: UnitStates) -> list[Beside]:
    """Suctions that were read and the metal worked out from them, each beside the sound unit's.

    Parameters
    ----------
    circuits : list of str
        In the unit's order.
    result : ConditionResult
    here, slow : UnitStates
        Of the rating alone, at the airflow as found and at that of the coil's slowest air, (draws,).
    """
    risk = result.freeze
    if risk is None:
        return []
    pairs = [
        (name, risk.suction[name], here.suction_saturation[index])
        for index, name in enumerate(circuits)
        if name in risk.suction
    ]
    if risk.coldest is not None:
        pairs.append(("", risk.coldest, slow.coldest_root))
    return [one for pair in pairs if (one := _beside(*pair)) is not None]


def _beside(circuit: str, read: Array, sound: Array) -> Beside | None:
    difference = (sound - read)[1:]
    difference = difference[np.isfinite(difference)]
    if difference.size < 20:
        return None
    spread = float(np.hypot(np.std(difference), MODEL_SUCTION_SD))
    known = read[1:][np.isfinite(read[1:])]
    return Beside(
        circuit,
        band(read),
        band(sound),
        float(np.median(difference)) / spread,
        bool(np.mean(known < FREEZING_POINT) >= 0.5),
    )


def standing_apart(found: list[Beside], few: bool) -> tuple[Beside, ...]:
    """Those that no sound unit shows.

    Parameters
    ----------
    found : list of Beside
    few : bool
        Whether next to no draw of the rating repeats the suctions together: then the one farthest off counts,
        though each by itself may lie within its band.
    """
    told = [one for one in found if abs(one.deviation) > Z95]
    if not told and few and found:
        told = [max(found, key=lambda one: abs(one.deviation))]
    return tuple(told)


SHARES = np.array([0.25, 0.32, 0.4, 0.5, 0.6, 0.7, 0.85, 1.0, 1.2])
"""Airflows tried, as shares of the rated one."""

LEAST_EFFECTIVE = 30.0


@dataclass(frozen=True, slots=True)
class Threshold:
    """Airflow at which a criterion reaches freezing [m3/s at the return state], 5, 50 and 95 %.

    Attributes
    ----------
    before, after : Band
        By the rating alone, and weighted by the measured state; low and high are 5 and 95 %.
    never : float
        Share of draws that do not freeze at any airflow tried.
    """

    before: Band
    after: Band
    never: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """Freeze forecast from one condition.

    Attributes
    ----------
    where : Where
        The condition it starts from.
    fin, suction : Threshold
    metal : Band
        Coldest metal of the same unit in this weather at the airflow found [K].
    full_speed_metal : Band or None
        Coldest metal in the same weather with the fan at full speed [K].
    weather : dict of str to Band
        Probability of frost on the metal at the airflow found, all stages on, by kind of day.
    grams_per_kilogram : tuple of float
        Condensate for each kilogram of dry air at the airflow found and at full speed [kg/kg].
    effective : float
        Effective number of draws behind `after`; 0 where no state was measured.
    refused : float
        Share of draws that no unit has, or that the unit refused.
    circuitings : tuple of str
        How the circuits may lie in the coil: the draws are spread over these.
    apart : tuple of Beside
        What was read and no sound unit of the rating shows; empty where the rating speaks of this unit.
    airflow_measured : bool
        Whether the airflow it starts from was measured, so that low air cannot be behind `apart`.
    """

    where: Where
    fin: Threshold
    suction: Threshold
    metal: Band
    full_speed_metal: Band | None
    weather: dict[str, Band]
    grams_per_kilogram: tuple[float, float]
    effective: float
    refused: float
    circuitings: tuple[str, ...]
    apart: tuple[Beside, ...]
    airflow_measured: bool

    @property
    def held(self) -> tuple[Beside, ...]:
        """What stands colder than a sound unit's, suctions before the metal."""
        return tuple(one for one in self.apart if one.deviation > 0.0)

    @property
    def severity(self) -> Severity:
        """A unit that stands colder than a sound one is watched."""
        return Severity.WATCH if self.held else Severity.NOTE

    def day_severity(self, day: str) -> Severity:
        """Of a kind of day: watched too where the metal rather freezes than not."""
        return worst((self.severity, Severity.WATCH if self.weather[day].value >= 0.5 else Severity.NOTE))


def forecast(draws: Draws, results: tuple[ConditionResult, ...]) -> Forecast | None:
    """The forecast from the condition that lies nearest to freezing; None where no unit can be solved."""
    result = _chosen(draws, results)
    unit = unit_build.from_rating(draws) if result is not None else None
    if result is None or unit is None or unit.refused > MOST_REFUSED:
        return None
    standing = unit_build.conditions(draws, result)
    assert standing is not None and result.airflow is not None
    rated = np.asarray(draws.rating.dry_air_flow)
    swept = unit.unit.solve(_at(standing, SHARES[:, None] * rated))
    # The coldest metal stands where the air is slowest; suction answers to all the air.
    slow = unit.unit.solve(_at(standing, SHARES[:, None] * rated * draws.local_airflow))
    here = unit.unit.solve(standing)
    at_slow_air = unit.unit.solve(_at(standing, np.asarray(standing.dry_air_flow) * draws.local_airflow))
    weights, effective = _weights(draws, result, here)
    compared = beside(list(draws.job.circuit), result, here, at_slow_air)
    apart = standing_apart(compared, few=bool(compared) and effective == 0.0)
    if apart:
        # Draws that bend towards readings of another unit would be neither this one nor a sound one.
        weights, effective = np.ones_like(weights), 0.0
    volume = result.airflow.flow / result.airflow.dry_air_flow
    flows = SHARES[:, None] * rated * volume
    with np.errstate(invalid="ignore"):
        coldest_suction = np.nanmin(
            np.where(np.isfinite(swept.suction_saturation), swept.suction_saturation, 999.0), axis=0
        )
    coldest_suction = np.where(coldest_suction > 900.0, np.nan, coldest_suction)
    full = _full_speed(draws, result)
    there = None if full is None else unit.unit.solve(_at(standing, full * draws.local_airflow))
    return Forecast(
        where=result.where,
        fin=_threshold(flows, slow.coldest_root, weights),
        suction=_threshold(flows, coldest_suction, weights),
        metal=weighted(at_slow_air.coldest_root, weights, PERCENTILES),
        full_speed_metal=None if there is None else weighted(there.coldest_root, weights, PERCENTILES),
        weather={name: _chance(draws, unit, result, day, weights) for name, day in WEATHER.items()},
        grams_per_kilogram=_grams(unit, here, standing, full),
        effective=effective,
        refused=float(np.mean(~np.isfinite(here.coldest_root[1:]))),
        circuitings=rated_unit.possible_circuitings(draws),
        apart=apart,
        airflow_measured=result.airflow.measured,
    )


def _chosen(draws: Draws, results: tuple[ConditionResult, ...]) -> ConditionResult | None:
    """The condition nearest to freezing among those that hold all a unit needs, all stages first."""
    usable = [r for r in results if r.freeze is not None and unit_build.conditions(draws, r) is not None]
    usable = [r for r in usable if r.freeze is not None and not r.freeze.ice_seen]

    def nearness(result: ConditionResult) -> tuple[int, float]:
        chance = result.freeze.fin.value if result.freeze is not None and result.freeze.fin.known else -1.0
        return len(result.freeze.running) if result.freeze is not None else 0, chance

    return max(usable, key=nearness, default=None)


def _at(standing: Conditions, dry_air_flow: Array) -> Conditions:
    """The same weather at other airflows, (rows, draws); fan power follows the rated one for each airflow."""
    running = np.asarray(standing.running, bool)
    return Conditions(
        standing.return_dry_bulb,
        standing.return_humidity_ratio,
        standing.barometer,
        standing.outdoor_dry_bulb,
        dry_air_flow,
        None,
        running.reshape(running.shape[0], *([1] * np.ndim(dry_air_flow))),
    )


def _weights(draws: Draws, result: ConditionResult, here: UnitStates) -> tuple[Array, float]:
    """Weight of each draw by the suction saturations that were read; equal where none was."""
    names = list(draws.job.circuit)
    logs = np.zeros(draws.ensemble.size + 1)
    read = 0
    for index, name in enumerate(names):
        column = result.freeze.suction.get(name) if result.freeze is not None else None
        if column is None:
            continue
        # Reading error is in the column's draws; only the model's own error is left.
        logs += -0.5 * ((here.suction_saturation[index] - column) / MODEL_SUCTION_SD) ** 2
        read += 1
    if not read:
        return np.ones_like(logs), 0.0
    # Circuits of one unit share the model's error: their readings count as one.
    logs = np.where(np.isfinite(logs), logs / read, -np.inf)
    if not np.isfinite(logs[1:]).any():
        return np.ones_like(logs), 0.0
    weights = np.exp(logs - logs[1:].max())
    effective = float(weights[1:].sum() ** 2 / (weights[1:] ** 2).sum())
    return (weights, effective) if effective >= LEAST_EFFECTIVE else (np.ones_like(logs), 0.0)


def weighted(column: Array, weights: Array, ends: tuple[float, float]) -> Band:
    """Weighted median and percentiles of the draws that are finite."""
    rows, w = column[1:], weights[1:]
    keep = np.isfinite(rows) & (w > 0.0)
    if np.count_nonzero(keep) < 20:
        return Band(np.nan, np.nan, np.nan)
    order = np.argsort(rows[keep])
    values, cumulated = rows[keep][order], np.cumsum(w[keep][order])
    at = (cumulated - 0.5 * w[keep][order]) / cumulated[-1]
    middle, low, high = np.interp([0.5, ends[0] / 100.0, ends[1] / 100.0], at, values)
    return Band(float(middle), float(low), float(high), float(1.0 - keep.mean()))


def _threshold(flows: Array, temperature: Array, weights: Array) -> Threshold:
    """Airflow at which each draw reaches freezing; colder with less air.

    A draw that freezes at all airflows tried counts as the largest, one that never does as the smallest.
    """
    size = flows.shape[1]
    found = np.full(size, np.nan)
    never = 0
    for draw in range(size):
        t, f = temperature[:, draw], flows[:, draw]
        keep = np.isfinite(t)
        if np.count_nonzero(keep) < 3:
            continue
        # Monotone by physics; a running maximum takes out what the solver's tolerance leaves.
        found[draw] = np.interp(FREEZING_POINT, np.maximum.accumulate(t[keep]), f[keep])
        never += int(draw > 0 and t[keep][0] > FREEZING_POINT)
    ones = np.ones_like(weights)
    return Threshold(
        weighted(found, ones, (5.0, 95.0)), weighted(found, weights, (5.0, 95.0)), never / max(size - 1, 1)
    )


def _full_speed(draws: Draws, result: ConditionResult) -> Array | None:
    """Dry air flow at full speed [kg/s]; None where the fan's speed was not read or is full already."""
    flow = result.airflow
    if flow is None or flow.speed_ratio is None or flow.speed_ratio.draws[0] >= FULL_SPEED:
        return None
    return unit_build.airflow_at(draws, flow, 1.0)


def _chance(
    draws: Draws, unit: Calibrated, result: ConditionResult, day: tuple[float, float, float], weights: Array
) -> Band:
    """Probability of frost on the metal on a kind of day at the airflow found, all stages on."""
    dry_bulb, relative, outdoor = day
    barometer = result.air.barometer.draws
    humidity = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative, barometer)
    assert result.airflow is not None
    flow = result.airflow.flow / moist_air.specific_volume(dry_bulb, humidity, barometer)
    states = unit.unit.solve(
        Conditions(dry_bulb, humidity, barometer, outdoor, flow * draws.local_airflow, None, None)
    )
    cold, w = states.coldest_root[1:], weights[1:]
    keep = np.isfinite(cold)
    if np.count_nonzero(keep) < 20:
        return Band(np.nan, np.nan, np.nan)
    frost = frosts(np.where(keep, cold, 999.0), dew_point(humidity, barometer)[1:])
    share = float((w * keep * frost).sum() / (w * keep).sum())
    effective = float((w * keep).sum() ** 2 / ((w * keep) ** 2).sum())
    half = 1.96 * np.sqrt(max(share * (1 - share), 0.25 / effective) / effective)
    return Band(share, float(max(0.0, share - half)), float(min(1.0, share + half)), float(1.0 - keep.mean()))


def _grams(
    unit: Calibrated, here: UnitStates, standing: Conditions, full: Array | None
) -> tuple[float, float]:
    """Condensate for each kilogram of air, now and at full speed (central draw)."""
    now = float(here.condensate_rate[0] / np.asarray(standing.dry_air_flow)[0])
    if full is None:
        return now, np.nan
    there = unit.unit.solve(_at(standing, full))
    return now, float(there.condensate_rate[0] / full[0])
