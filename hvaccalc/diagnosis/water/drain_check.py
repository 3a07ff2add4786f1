"""Drain line and trap as typed, against the code, against hydraulics, and at full fan speed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.water.mechanism import Met, Standing
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.equipment.drain import drain_line as drain_law
from hvaccalc.equipment.drain import trap as trap_law
from hvaccalc.physics.pipe_flow import ROUGHNESS_BANDS
from hvaccalc.practice.statements import NO_WATER
from hvaccalc.practice.water import MINIMUM_SLOPE, PAN_DEPTH
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class DrainCheck:
    """The drain line.

    Attributes
    ----------
    size : float
        Nominal [m]; the code's least where it was not typed.
    size_typed, slope_typed : bool
    material : str
    slope : float
        Fall over run.
    half, full : Band
        What the clean line carries half full and just full [kg/s].
    code_size, hydraulic_size : float
        Least nominal sizes for this unit by the mechanical code and by the 1 % design table [m].
    load : Band
        Condensate as found [kg/s].
    """

    size: float
    size_typed: bool
    slope_typed: bool
    material: str
    slope: float
    half: Band
    full: Band
    code_size: float
    hydraulic_size: float
    load: Band

    @property
    def code(self) -> Met:
        """Whether size and slope meet the code's least."""
        if not self.size_typed:
            return Met.NOT_KNOWN
        if self.size < 0.99 * self.code_size or (self.slope_typed and self.slope < 0.99 * MINIMUM_SLOPE):
            return Met.NOT_MET
        return Met.MET if self.slope_typed else Met.NOT_KNOWN

    @property
    def severity(self) -> Severity:
        """A line below the code's least is watched."""
        return Severity.WATCH if self.code is Met.NOT_MET else Severity.NOTE

    @property
    def hydraulic(self) -> Met:
        """Whether the size meets the design table."""
        if not self.size_typed:
            return Met.NOT_KNOWN
        return Met.MET if self.size >= 0.99 * self.hydraulic_size else Met.NOT_MET


@dataclass(frozen=True, slots=True)
class TrapCheck:
    """The trap.

    Attributes
    ----------
    state : str or None
        none, dry or present; None where nobody looked.
    blow_through : bool
    height, seal, pan_depth : float
        As typed, NaN where not [m].
    suction, full_suction : Band
        At the pan as found and at full fan speed, in the sense of the air path [Pa].
    basis : str
        Of the suction.
    required_height, required_seal : Band
        What full speed asks for [m].
    required_now : Band
        The height that the speed as found asks for [m].
    standing, full_standing : Band
        Water held above the outlet as found and at full speed [m]; blow through: none is.
    seal_kept : Met
        Whether the seal outlives a dry start at full speed.
    asked : tuple of Reason
        What has to be asked before anything is said, each with its key.
    water_seen : bool
        Whether somebody saw water in it; one that is only typed as present may be dry.
    what_if : bool
        Whether suction or speed may be other than found.
    """

    state: str | None
    blow_through: bool
    height: float
    seal: float
    pan_depth: float
    suction: Band
    full_suction: Band
    basis: str
    required_height: Band
    required_seal: Band
    required_now: Band
    standing: Band
    full_standing: Band
    seal_kept: Met
    asked: tuple[Reason, ...]
    water_seen: bool
    what_if: bool = False

    @property
    def verdict(self) -> Met:
        """Whether it holds at full fan speed: height and seal both."""
        if self.state in ("none", "dry"):
            return Met.NOT_MET
        if self.state is None:
            return Met.NOT_KNOWN
        parts = (self.height_met, self.seal_met)
        return Met.NOT_MET if Met.NOT_MET in parts else Met.NOT_KNOWN if Met.NOT_KNOWN in parts else Met.MET

    @property
    def severity(self) -> Severity:
        """A trap that does not hold at full speed calls for action."""
        return Severity.ACT if self.verdict is Met.NOT_MET else Severity.NOTE

    @property
    def standing_severity(self) -> Severity:
        """Water that the suction holds in the pan calls for action."""
        return Severity.ACT if self.standing.value > 0.0 else Severity.NOTE

    @property
    def asked_severity(self) -> Severity:
        """What has to be asked is watched."""
        return Severity.WATCH if self.asked else Severity.NOTE

    @property
    def height_met(self) -> Met:
        """Whether its height is what full speed asks for."""
        return _met(self.height, self.required_height)

    @property
    def seal_met(self) -> Met:
        """Whether its seal is what full speed asks for and outlives a dry start."""
        return Met.NOT_MET if self.seal_kept == Met.NOT_MET else _met(self.seal, self.required_seal)

    @property
    def pan(self) -> Standing:
        """What the water does that the suction holds above the outlet."""
        if not self.standing.known:
            return Standing.NOT_KNOWN
        height = self.standing.value
        if height <= NO_WATER:
            return Standing.NONE
        if np.isfinite(self.pan_depth):
            return Standing.OVER_THE_PAN if height > self.pan_depth else Standing.STANDS
        return Standing.OVER_MOST_PANS if height > PAN_DEPTH[1] else Standing.STANDS


def _met(typed: float, required: Band) -> Met:
    if not (np.isfinite(typed) and required.known):
        return Met.NOT_KNOWN
    return Met.MET if typed >= required.value else Met.NOT_MET


def trap_state(case: WaterCase) -> str | None:
    """State of the trap in the words of the law: a visit before the table; None where nobody looked."""
    words = case.seen.words("trap")
    return {"sealed": "present"}.get(words[0], words[0]) if words else None


def capacity(case: WaterCase, filled: float) -> Array:
    """What the clean line carries [kg/s], by draws of its roughness."""
    typed = case.job.unit.drain
    material = typed.material or "PVC"
    roughness = case.banded("roughness", ROUGHNESS_BANDS[material])
    return drain_law.drain_capacity(_size(case), case.drain_slope, material, filled, roughness)


def _size(case: WaterCase) -> float:
    """Nominal size: as typed, else the code's least for the unit [m]."""
    typed = case.job.unit.drain.size
    if typed is not None:
        return typed.value
    return float(drain_law.code_minimum_size(case.job.unit.rated_capacity.value))


def drain_check(case: WaterCase) -> DrainCheck:
    """The drain line of a case."""
    typed, rated = case.job.unit.drain, case.job.unit.rated_capacity.value
    return DrainCheck(
        size=_size(case),
        size_typed=typed.size is not None,
        slope_typed=typed.slope is not None,
        material=typed.material or "PVC",
        slope=float(case.drain_slope[0]),
        half=_holding(capacity(case, 0.5)),
        full=_holding(capacity(case, 1.0)),
        code_size=float(drain_law.code_minimum_size(rated)),
        hydraulic_size=float(drain_law.hydraulic_minimum_size(rated)),
        load=band(case.made.draws),
    )


def _holding(draws: Array) -> Band:
    """Band widened to its central value, which lies at the smooth end of the roughness."""
    found = band(draws)
    return replace(found, low=min(found.low, found.value), high=max(found.high, found.value))


def trap_check(case: WaterCase) -> TrapCheck:
    """The trap of a case."""
    drain, blows = case.job.unit.drain, case.blow_through
    state = trap_state(case)
    height = drain.trap_height.value if drain.trap_height is not None else np.nan
    seal = drain.trap_seal.value if drain.trap_seal is not None else np.nan
    suction = case.suction.draws if case.suction is not None else None
    faster = at_full_speed(case).suction
    full = faster.draws if faster is not None else None
    now, then = (_required(pressure, blows) for pressure in (suction, full))
    kept = Met.NOT_KNOWN
    if full is not None and np.isfinite(seal):
        # Under pressure the outlet leg alone holds: it is lost beyond its own depth.
        holds = trap_law.head(full) <= seal if blows else trap_law.seal_is_kept_at_dry_start(full, seal)
        kept = Met.MET if np.mean(holds[1:]) > 0.5 else Met.NOT_MET
    return TrapCheck(
        state=state,
        blow_through=blows,
        height=height,
        seal=seal,
        pan_depth=case.job.unit.pan.depth.value if case.job.unit.pan.depth is not None else np.nan,
        suction=band(suction),
        full_suction=band(full),
        basis=case.suction.basis if case.suction is not None else "assumed",
        required_height=band(then and then.height),
        required_seal=band(then and then.seal),
        required_now=band(now and now.height),
        standing=_standing(suction, height, state, blows),
        full_standing=_standing(full, height, state, blows),
        seal_kept=kept,
        asked=case.asked,
        water_seen=case.seen.has("trap", "sealed"),
        what_if=case.what_if,
    )


def _required(pressure: Array | None, blows: bool) -> trap_law.TrapSize | None:
    if pressure is None:
        return None
    return trap_law.required_height_blow_through(pressure) if blows else trap_law.required_height(pressure)


def _standing(suction: Array | None, height: float, state: str | None, blows: bool) -> Band:
    if blows or suction is None or state is None or (state == "present" and not np.isfinite(height)):
        return NOT_KNOWN
    return band(trap_law.standing_water(suction, np.nan_to_num(height), state))


@dataclass(frozen=True, slots=True)
class DrainBalance:
    """The balance of one condition; bands hold 95 % [kg/s].

    Attributes
    ----------
    where : Where
    made : Band
        Off the air: its drop in humidity times the airflow.
    drained : Band
        Caught at the drain's outlet.
    missing : Band
        The one less the other.
    """

    where: Where
    made: Band
    drained: Band
    missing: Band

    @property
    def lost(self) -> bool:
        """Whether water went elsewhere: the band lies clear of nothing."""
        return self.missing.low > 0.0

    @property
    def closed(self) -> bool:
        """Whether the band holds nothing missing."""
        return self.missing.low <= 0.0 <= self.missing.high


def drain_balances(draws: Draws, results: Sequence[ConditionResult]) -> tuple[DrainBalance, ...]:
    """The balance of each condition in which the drain was caught and the humidity of both airs read."""
    found = []
    for result in results:
        drained, made = draws.column(result.where, "condensate_rate"), result.duty.condensate
        if drained is None or made is None:
            continue
        made = np.where(result.duty.possible, made, np.nan)
        parts = [band(one[np.isfinite(one)]) for one in (made, drained, made - drained)]
        found.append(DrainBalance(result.where, *parts))
    return tuple(found)
