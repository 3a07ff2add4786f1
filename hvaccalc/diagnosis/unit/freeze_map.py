"""Map of the coldest metal over fan speed and outdoor air, solved once and read between its points."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.ensemble import Band, band
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.physics import moist_air
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import WEATHER

SPEEDS = np.array([0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1])
"""Fan speeds over full speed (over the rated airflow where no speed was read)."""

OUTDOORS = np.array([283.15, 288.15, 294.15, 300.15, 306.15, 312.15])
"""Outdoor air [K]."""

AS_READ = "as read"


@dataclass(frozen=True, slots=True)
class FreezeAnswer:
    """What the map says of one way of running.

    Attributes
    ----------
    metal : Band
        Coldest metal [K].
    probability : float
        Share of draws below freezing; NaN where too few are known.
    one_stage_less : float
        The same with a stage less; NaN with the first stage alone too.
    threshold : float
        Speed at which the metal reaches freezing; NaN where it does not on the map.
    frozen : bool
        Whether the metal lies below freezing, by its central value.
    """

    metal: Band
    probability: float
    one_stage_less: float
    threshold: float
    frozen: bool


@dataclass(frozen=True, eq=False)
class FreezeMap:
    """Coldest metal of one unit with one return air.

    Attributes
    ----------
    speeds, outdoors : ndarray
        Axes of every map: speed over full speed, outdoor air [K].
    days : tuple of str
        Return airs to choose from: as read, and those of kinds of days.
    metal : ndarray, (stages, speeds, outdoors, draws)
        Fin root of the coldest segment [K]; NaN where the unit was refused.
    outdoor, speed : float
        Where the condition itself stands [K], over full speed; NaN where not read.
    day_outdoor : float
        Outdoor air that goes with the return air: as read, or that of the kind of day [K].
    stage : int
        How many stages ran in it.
    by_speed : bool
        Whether `speed` is the fan's; else it is airflow over the rated one.
    airflow : float
        Airflow for a speed of 1, central [m3/s].
    calibrated : bool
        Whether the unit repeats the readings of the condition; else it is that of the rating alone.
    """

    speeds: ClassVar[Array] = SPEEDS
    outdoors: ClassVar[Array] = OUTDOORS
    days: ClassVar[tuple[str, ...]] = (AS_READ, *WEATHER)

    metal: Array
    outdoor: float
    speed: float
    day_outdoor: float
    stage: int
    by_speed: bool
    airflow: float
    calibrated: bool

    def at(self, stage: int, speed: float, outdoor: float) -> Array:
        """Coldest metal of every draw between the points of the map [K]; NaN beside a refused point."""
        i, s = _between(SPEEDS, speed)
        j, t = _between(OUTDOORS, outdoor)
        table = self.metal[stage - 1]
        low = table[i, j] * (1 - t) + table[i, j + 1] * t
        high = table[i + 1, j] * (1 - t) + table[i + 1, j + 1] * t
        return low * (1 - s) + high * s

    def answer(self, stage: int, speed: float, outdoor: float) -> FreezeAnswer:
        """What the metal does at a number of stages, a fan speed and an outdoor air [K]."""
        rows = self.at(stage, speed, outdoor)
        metal = band(rows)
        less = _share_frozen(self.at(stage - 1, speed, outdoor)) if stage > 1 else np.nan
        return FreezeAnswer(
            metal,
            _share_frozen(rows),
            less,
            self.threshold(stage, outdoor),
            bool(metal.known and metal.value < FREEZING_POINT),
        )

    def threshold(self, stage: int, outdoor: float, level: float = FREEZING_POINT) -> float:
        """Speed at which the central draw reaches a temperature; NaN where it does not within the map."""
        metal = np.array([self.at(stage, speed, outdoor)[0] for speed in SPEEDS])
        keep = np.isfinite(metal)
        if keep.sum() < 2 or not metal[keep][0] <= level <= metal[keep][-1]:
            return np.nan
        return float(np.interp(level, np.maximum.accumulate(metal[keep]), SPEEDS[keep]))


def _share_frozen(rows: Array) -> float:
    """Share of the known draws below freezing; NaN where fewer than 20 are known."""
    known = rows[1:][np.isfinite(rows[1:])]
    return float(np.mean(known < FREEZING_POINT)) if known.size >= 20 else float("nan")


def _between(axis: Array, value: float) -> tuple[int, float]:
    index = int(np.clip(np.searchsorted(axis, value) - 1, 0, axis.size - 2))
    share = (value - axis[index]) / (axis[index + 1] - axis[index])
    return index, float(np.clip(share, 0.0, 1.0))


def freeze_map(draws: Draws, result: ConditionResult, weather: str = AS_READ) -> FreezeMap | None:
    """The map from a condition, with its return air or that of a kind of day; None without a unit.

    Parameters
    ----------
    draws : Draws
        Few are enough: every point is solved for each.
    result : ConditionResult
        Of the same draws.
    weather : str
        `AS_READ`, or a key of `WEATHER`: only its return air is taken, the outdoor air is an axis.
    """
    standing, rated = unit_build.conditions(draws, result), unit_build.from_rating(draws)
    if standing is None or rated is None or result.airflow is None:
        return None
    unit = unit_build.recalibrated(draws, rated, (result,))
    dry_bulb, humidity = np.asarray(standing.return_dry_bulb), np.asarray(standing.return_humidity_ratio)
    barometer = np.asarray(standing.barometer)
    outdoor = day_outdoor = float(np.atleast_1d(standing.outdoor_dry_bulb)[0])
    if weather != AS_READ:
        warm, relative, day_outdoor = WEATHER[weather]
        dry_bulb = np.full_like(dry_bulb, warm)
        humidity = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative, barometer)
    ratio = speed_ratio(draws, result.where)
    now = ratio.draws if ratio is not None else result.airflow.flow / draws.job.unit.rated_airflow.value
    full = result.airflow.flow / now
    # The coldest part of the coil gets less than its share of the air.
    mass = full * draws.local_airflow / moist_air.specific_volume(dry_bulb, humidity, barometer)
    stages = np.array([draws.stage(name) for name in draws.job.circuit])
    running = np.stack([stages <= stage for stage in range(1, stages.max() + 1)], axis=1)
    states = unit.unit.solve(
        Conditions(
            dry_bulb,
            humidity,
            barometer,
            OUTDOORS[:, None],
            SPEEDS[:, None, None] * mass,
            None,
            running[:, :, None, None, None],
        )
    )
    ran = np.asarray(standing.running, bool).reshape(len(stages), -1)[:, 0]
    return FreezeMap(
        np.asarray(states.coldest_root),
        outdoor,
        float(now[0]),
        day_outdoor,
        int(stages[ran].max()) if ran.any() else 1,
        ratio is not None,
        float(full[0]),
        bool(unit.on),
    )
