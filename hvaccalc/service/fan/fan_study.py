"""One condition's fan as a whole: airflow by every way, fan and system curve, the fan at another speed."""

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.diagnosis.air.air_states import air_states
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.air.fan_check_rows import SpeedCheck
from hvaccalc.diagnosis.air.fan_checks import speed_check
from hvaccalc.diagnosis.air.fan_data import fan_curve
from hvaccalc.diagnosis.air.mixed_air import OutdoorAir, outdoor_air
from hvaccalc.diagnosis.contradictions.screening import Flag, screen
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.equipment.fan.fan_laws import FanCurve, SystemCurve, density_ratio
from hvaccalc.job.schema import Job
from hvaccalc.service.fan.energy import FullSpeedPenalty, electrical_power, full_speed_penalty
from hvaccalc.service.fan.fan_staging_rule import StagingRule, staging_rule


@dataclass(frozen=True, slots=True)
class FanStudy:
    """The fan in one condition, as read and at a wanted speed.

    Attributes
    ----------
    draws : Draws
    where : Where
    airflow : Airflow or None
        None where the fan stands still.
    curve : FanCurve or None
        The fan's own, at full speed and standard density.
    static : Band
        External static as read [Pa].
    density : float
        Of the air over the standard one.
    penalty : FullSpeedPenalty or None
    rule : StagingRule
    flags : tuple of Flag
        Contradicting readings of this condition, left out of all the rest.
    wanted : float
        Speed over full speed that is asked about.
    checks : SpeedCheck or None
        What that speed asks.
    outdoors : OutdoorAir or None
        None where return, mixed and outdoor air were not all read.
    """

    draws: Draws
    where: Where
    airflow: Airflow | None
    curve: FanCurve | None
    static: Band
    density: float
    penalty: FullSpeedPenalty | None
    rule: StagingRule
    flags: tuple[Flag, ...]
    wanted: float
    checks: SpeedCheck | None
    outdoors: OutdoorAir | None

    @property
    def present(self) -> float:
        """Speed as read over full speed; NaN where it is not known."""
        ratio = self.airflow.speed_ratio if self.airflow is not None else None
        return float(ratio.draws[0]) if ratio is not None else float("nan")

    @property
    def flow(self) -> Band:
        """Airflow as read [m3/s]."""
        return band(self.airflow.flow) if self.airflow is not None else NOT_KNOWN

    @property
    def wanted_flow(self) -> Band:
        """Airflow at the wanted speed [m3/s]: in proportion to the speed."""
        if self.airflow is None or self.airflow.speed_ratio is None:
            return NOT_KNOWN
        return band(self.airflow.flow * self.wanted / self.airflow.speed_ratio.draws)

    @property
    def wanted_power(self) -> Band:
        """Electrical power at the wanted speed [W]."""
        return band(electrical_power(self.draws, self.wanted))

    @property
    def price_lacks(self) -> tuple[str, ...]:
        """Keys of the job without which full speed has no price."""
        return self.penalty.missing if self.penalty is not None else ("unit.fan.low_speed",)

    @property
    def system(self) -> SystemCurve | None:
        """The duct through the point as read, with nothing held; None where it was not read."""
        if not (self.flow.known and self.static.known and self.static.value > 0.0):
            return None
        return SystemCurve.through(self.flow.value, self.static.value)


def fan_study(job: Job, where: Where, draws: int = 512) -> FanStudy:
    """The fan of one condition as read: the same draws, and so the same numbers, as `analyse` has."""
    everything = Draws(job, draws)
    screening = screen(everything)
    kept = everything.without(screening.excluded)
    states = air_states(kept, where)
    flow = airflow(kept, states)
    static = kept.column(where, "external_static")
    penalty = full_speed_penalty(kept)
    checks = speed_check(kept, where, flow)
    return FanStudy(
        draws=kept,
        where=where,
        airflow=flow,
        curve=fan_curve(job),
        static=band(static),
        density=float(np.nan_to_num(density_ratio(states.barometer.draws[0]), nan=1.0)),
        penalty=penalty,
        rule=staging_rule(kept, penalty.power if penalty else None),
        flags=tuple(flag for flag in screening.flags if flag.where == where),
        wanted=checks.wanted if checks is not None else 1.0,
        checks=checks,
        outdoors=outdoor_air(kept, states),
    )


def at_speed(study: FanStudy, wanted: float) -> FanStudy:
    """The same fan asked about another speed, over full speed and above zero."""
    checks = speed_check(study.draws, study.where, study.airflow, wanted)
    return replace(study, wanted=wanted, checks=checks)
