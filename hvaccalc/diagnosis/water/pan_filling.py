"""How long the pan takes to fill while nothing drains, against when it was seen full; and what stops it."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.call import Mode
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import FULL_PAN, LOW_PAN
from hvaccalc.diagnosis.readings.water_seen import WaterSeen
from hvaccalc.diagnosis.water.mechanism import Guard, percentiles, water_made
from hvaccalc.diagnosis.water.water_case import WaterCase
from hvaccalc.ensemble import Band
from hvaccalc.job.schema import Job
from hvaccalc.practice.water import PAN_AREA, PAN_DEPTH
from hvaccalc.units import WATER_DENSITY


@dataclass(frozen=True, slots=True)
class PanFilling:
    """Filling of the pan from empty to its rim, all condensate kept in it.

    Attributes
    ----------
    minutes : Band
        5 / 50 / 95 % [min].
    typed : bool
        Whether area and depth of the pan were typed; a pan that was assumed contradicts nobody.
    full_after : float
        Longest run of the visit that saw it full [min]; NaN where none did.
    film : tuple of (int, float, float) or None
        A later visit that saw a film at most: its number, minutes run, and the level that water held back
        would have reached by then [m].
    """

    minutes: Band
    typed: bool
    full_after: float
    film: tuple[int, float, float] | None

    @property
    def late(self) -> bool:
        """Whether it was seen full sooner than it fills from empty."""
        return self.typed and self.minutes.known and self.full_after < self.minutes.low


def pan_depth(case: WaterCase) -> Array:
    """Depth of the pan above its outlet [m]."""
    typed = case.job.unit.pan.depth
    if typed is not None:
        return np.full(case.ensemble.size + 1, typed.value)
    return case.uniform("pan depth", *PAN_DEPTH)


def pan_area(case: WaterCase) -> Array:
    """Area of the pan [m²]."""
    typed = case.job.unit.pan.area
    if typed is not None:
        return np.full(case.ensemble.size + 1, typed.value)
    tons = float(units.to(case.job.unit.rated_capacity.value, "ton", "heat"))
    return tons * case.uniform("pan area", *PAN_AREA)


def fill_minutes(case: WaterCase, rate: Array) -> Array:
    """Minutes until a rate [kg/s] fills the pan from empty; infinite where none comes."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return pan_area(case) * pan_depth(case) * WATER_DENSITY / rate / 60.0


def pan_filling(draws: Draws, case: WaterCase) -> PanFilling:
    """The filling of a case, with what its visits saw of the pan."""
    typed = case.job.unit.pan
    full = [run for v in case.seen.visits for run, words in _pans(draws, v) if words & FULL_PAN]
    later = (v for v in range(1, len(case.job.visit) + 1) if v not in case.seen.visits)
    films = [(run, v) for v in later for run, words in _pans(draws, v) if words and words <= LOW_PAN]
    run, visit = max(films, default=(float("nan"), 0))
    level = run * 60.0 * float(water_made(case)[0]) / float(WATER_DENSITY * pan_area(case)[0])
    return PanFilling(
        minutes=percentiles(fill_minutes(case, water_made(case))),
        typed=typed.area is not None and typed.depth is not None,
        full_after=max(full, default=float("nan")),
        film=(visit, run, min(level, float(pan_depth(case)[0]))) if visit else None,
    )


def _pans(draws: Draws, visit: int) -> Iterable[tuple[float, set[str]]]:
    """Minutes run in each condition that cooled, and what was seen of the pan in it or on its visit."""
    those = draws.job.visit[visit - 1]
    for number, condition in enumerate(those.condition, 1):
        run = draws.condition(Where(visit, number)).running_for
        sign = condition.signs.pan_water or those.signs.pan_water
        cooled = any(call.mode is Mode.COOL for call in condition.calls or ())
        if run is not None and sign is not None and cooled:
            yield run.value / 60.0, set(sign.values)


SECOND_WAYS = ("pan", "drain", "float switch")


def overflow_guard(job: Job, seen: WaterSeen) -> Guard:
    """State of the guard.

    A float switch as a visit saw it counts before the table; an auxiliary pan or a second drain is a guard
    too. A switch that is fitted and not tripped beside a pan that ran over did not stop the cooling.
    """
    switch, second = seen.words("float_switch"), job.unit.pan.secondary
    by_switch = bool({"fitted", "tripped"} & set(switch)) or second == "float switch"
    if by_switch and "tripped" not in switch and seen.has("pan_water", "overflowing"):
        return Guard.DID_NOT_STOP
    if by_switch or second in SECOND_WAYS:
        return Guard.FITTED
    return Guard.NONE if "none" in switch else Guard.NOT_NOTED
