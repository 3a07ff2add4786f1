"""What the return visit has to show: one number or sign a line, from the repairs and from this unit.

The repairs' rows say what shows each of them; the targets are the unit's own where the job has them.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc import units
from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.charge.charge_rules import charge_rule
from hvaccalc.diagnosis.charge.charge_target import VALVES, Method
from hvaccalc.diagnosis.charge.gates import GateName
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.diagnosis.water.pan_filling import PanFilling
from hvaccalc.job.causes import CauseAt, Way
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import ENOUGH_AIR, FACE_VELOCITY, FULL_SPEED, MUCH_OUTDOOR_AIR
from hvaccalc.practice.circuits import DRIER_DROP, HIGH_OVER_OUTDOOR
from hvaccalc.practice.visits import STANDS, VACUUM
from hvaccalc.rows import complete
from hvaccalc.service.may_run.running import heats_slow
from hvaccalc.service.repair.repair_rows import Followed, RepairNeeded, Shown
from hvaccalc.service.repair.repairs import Repairs


class Weather(StrEnum):
    """What has to be forced, whatever the weather."""

    ALL_STAGES = "all stages"
    COOLING = "cooling"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Proof:
    """One thing that has to be shown.

    Attributes
    ----------
    needed : RepairNeeded
        The repair that it proves.
    quantity : Shown
    calls : tuple of Call
        Calls that are on together while it is read; empty with the unit off.
    target, low, high : float or None
        In the SI unit of `kind`; None where there is none.
    kind : str
        Kind of quantity; empty for a sign.
    """

    needed: RepairNeeded
    quantity: Shown
    calls: tuple[Call, ...]
    target: float | None = None
    low: float | None = None
    high: float | None = None
    kind: str = ""

    @property
    def cause(self) -> CauseAt | None:
        """The cause that the repair puts right."""
        return self.needed.cause

    @property
    def unit(self) -> str | None:
        """SI unit; None for a sign."""
        return units.KINDS[self.kind].si if self.kind else None


@dataclass(frozen=True, slots=True)
class TrapRun:
    """How long a trap has to be tried, and what a film on a later visit says already.

    Attributes
    ----------
    least : float or None
        As long as the pan may take to fill from empty, in tens of minutes [min]; None where its size is not
        known.
    film : tuple of (int, float, float) or None
        Visit, minutes run, and level that water held back would have reached [m].
    """

    least: float | None
    film: tuple[int, float, float] | None

    @property
    def film_is_shorter(self) -> bool:
        """Whether the run that left a film was shorter than the trial asks for."""
        return self.film is not None and self.least is not None and self.film[1] < self.least


@dataclass(frozen=True, slots=True)
class ReturnVisit:
    """How the return visit goes.

    Attributes
    ----------
    weather : Weather
    ways : tuple of Way
        Of the water, that have to be tried.
    run : TrapRun
    heats : bool
        Whether the fan's speed is read in heating too.
    full_speed, low_speed : str
        As typed; empty where they were not.
    gates : tuple of GateName
        What has to be met before a circuit is read.
    was_wet : bool
        Whether a wet place was noted.
    """

    weather: Weather
    ways: tuple[Way, ...]
    run: TrapRun
    heats: bool
    full_speed: str
    low_speed: str
    gates: tuple[GateName, ...]
    was_wet: bool


def proof(of: Followed, repairs: Repairs) -> tuple[Proof, ...]:
    """What the return visit has to show of every repair, called for or done."""
    those = (*repairs.called, *repairs.proof_due)
    return tuple(one for needed in those for shown in needed.row.shown for one in _lines(of, needed, shown))


def return_visit(of: Followed) -> ReturnVisit:
    """How the return visit of a job goes."""
    fan, budget = of.job.unit.fan, of.water
    ways: tuple[Way, ...] = ()
    above = budget is not None and budget.matched and budget.nothing_in_the_unit
    if above:
        ways = (Way.OUTSIDE,)
    elif budget is not None and budget.matched:
        able = budget.those(Ability.CAN)
        ways = tuple(way for way in able if way in (budget.dominant or way, Way.OUTSIDE))
    staged = highest_stage(of) > 1
    gates = [gate.name for r in of.conditions for charge in r.charges.values() for gate in charge.gates]
    return ReturnVisit(
        weather=Weather.NOTHING if above else Weather.ALL_STAGES if staged else Weather.COOLING,
        ways=ways,
        run=trap_run(budget.filling if budget is not None else None),
        heats=fan_is_read_in_heating(of),
        full_speed=fan.full_speed.text if fan.full_speed is not None else "",
        low_speed=fan.low_speed.text if fan.low_speed is not None else "",
        gates=tuple(dict.fromkeys(gates)),
        was_wet=_was_wet(of),
    )


def fan_is_read_in_heating(of: Followed) -> bool:
    """Whether heating runs the fan slow, or nobody knows whether it does."""
    return of.job.unit.kind == "heat pump" and heats_slow(of) is not False


def highest_stage(of: Followed) -> int:
    """Highest stage of the cooling."""
    return max((of.draws.stage(name) for name in of.job.circuit), default=1)


def trap_run(filling: PanFilling | None) -> TrapRun:
    """How long a trap has to be tried."""
    if filling is None or not filling.typed or not filling.minutes.known:
        return TrapRun(None, None)
    longest = np.nanmax([filling.minutes.high, filling.full_after])
    return TrapRun(float(10.0 * np.ceil(longest / 10.0)), filling.film)


def _was_wet(of: Followed) -> bool:
    """Whether a wet place was noted on any visit."""
    signs = [s for visit in of.job.visit for s in (visit.signs, *(c.signs for c in visit.condition))]
    return any(s.wet for s in signs) or of.job.job.water_seen is not None


# --- one line ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Limits:
    """Target and ends of one quantity in SI."""

    target: float | None = None
    low: float | None = None
    high: float | None = None
    kind: str = ""


class _When(StrEnum):
    """During which calls it is shown."""

    COOLING = "cooling"
    AND_HEATING = "cooling and heating"
    EACH = "fan alone, then stage by stage"
    OFF = "off"


_SIGN = _Limits()

_SPEEDS = {"Hz": "frequency", "rpm": "speed", "%": "fraction"}
"""Kinds of a fan's speed by the unit that was typed."""


def _fan_speed(of: Followed, _: RepairNeeded) -> _Limits:
    full = of.job.unit.fan.full_speed
    if full is None:
        return _Limits(1.0, FULL_SPEED, None, "fraction")
    return _Limits(full.value, FULL_SPEED * full.value, None, _SPEEDS[full.unit])


def _airflow(of: Followed, _: RepairNeeded) -> _Limits:
    rated = of.job.unit.rated_airflow.value
    return _Limits(rated, ENOUGH_AIR * rated, None, "airflow")


def _motor_current(of: Followed, _: RepairNeeded) -> _Limits:
    plate = of.job.unit.fan.motor_full_load_current
    return _SIGN if plate is None else _Limits(None, None, plate.value, "current")


def _trap_height(of: Followed, _: RepairNeeded) -> _Limits:
    known = of.water.trap.required_height if of.water is not None else None
    return _at_least(known.value, "length") if known is not None and known.known else _SIGN


def _trap_seal(of: Followed, _: RepairNeeded) -> _Limits:
    known = of.water.trap.required_seal if of.water is not None else None
    return _at_least(known.value, "length") if known is not None and known.known else _SIGN


def _pan_run(of: Followed, _: RepairNeeded) -> _Limits:
    least = trap_run(of.water.filling if of.water is not None else None).least
    return _SIGN if least is None else _at_least(60.0 * least, "time")


def _superheat(of: Followed, needed: RepairNeeded) -> _Limits:
    """The range of a working valve, of one that nobody named too; else only that liquid stays away."""
    if needed.circuit is not None and of.job.circuit[needed.circuit].metering not in VALVES:
        return _at_least(0.0, "temperature_difference")
    low, high = charge_rule(of.job).tolerances.valve
    return _Limits(None, low, high, "temperature_difference")


def _charge(of: Followed, needed: RepairNeeded) -> _Limits:
    """The target of the circuit's own method, where its readings or its label give one."""
    name = needed.circuit or ""
    charge, typed = of.visits.charge(name), of.job.circuit[name].target_subcooling
    typed = None if of.job.circuit[name].metering == ORIFICE else typed
    held = charge.held if charge is not None else None
    if held is not None and held.wanted is not None and held.method is Method.SUBCOOLING:
        wanted, tolerance = float(np.atleast_1d(held.wanted)[0]), held.tolerance
    elif typed is not None:
        wanted, tolerance = typed.value, charge_rule(of.job).tolerances.subcooling
    else:
        return _SIGN
    return _Limits(wanted, wanted - tolerance, wanted + tolerance, "temperature_difference")


def _at_least(low: float, kind: str) -> _Limits:
    return _Limits(None, float(low), None, kind)


def _fixed(limits: _Limits) -> Callable[[Followed, RepairNeeded], _Limits]:
    return lambda of, needed: limits


_sign = _fixed(_SIGN)
_hour = _fixed(_at_least(STANDS, "time"))

_ROWS: dict[Shown, tuple[_When, Callable[[Followed, RepairNeeded], _Limits]]] = complete(
    Shown,
    {
        Shown.FAN_SPEED: (_When.AND_HEATING, _fan_speed),
        Shown.AIRFLOW: (_When.COOLING, _airflow),
        Shown.FACE_VELOCITY: (_When.COOLING, _fixed(_Limits(None, None, FACE_VELOCITY[0], "velocity"))),
        Shown.DUCT_DRY: (_When.COOLING, _sign),
        Shown.TRAP_HEIGHT: (_When.OFF, _trap_height),
        Shown.TRAP_SEAL: (_When.OFF, _trap_seal),
        Shown.PAN_RUN: (_When.COOLING, _pan_run),
        Shown.DRAIN_POURED: (_When.COOLING, _sign),
        Shown.PAN_HOLDS: (_When.OFF, _hour),
        Shown.BELOW_DRY: (_When.COOLING, _sign),
        Shown.SURFACE_OVER_DEW_POINT: (_When.COOLING, _fixed(_at_least(0.0, "temperature_difference"))),
        Shown.PUMP_STARTS: (_When.COOLING, _sign),
        Shown.COIL_HOLDS: (_When.OFF, _hour),
        Shown.OFF_AND_DRY: (_When.OFF, _sign),
        Shown.PAN_FILLED: (_When.COOLING, _sign),
        Shown.COLDEST_METAL: (_When.COOLING, _fixed(_at_least(FREEZING_POINT, "temperature"))),
        Shown.COMPRESSORS_BY_CALL: (_When.EACH, _sign),
        Shown.COMPRESSOR_RUNS: (_When.COOLING, _sign),
        Shown.SUPERHEAT: (_When.COOLING, _superheat),
        Shown.CONDENSER_FANS: (_When.COOLING, _sign),
        Shown.CONDENSING_OVER_OUTDOOR: (
            _When.COOLING,
            _fixed(_Limits(None, None, HIGH_OVER_OUTDOOR, "temperature_difference")),
        ),
        Shown.STANDING_PRESSURE: (_When.OFF, _sign),
        Shown.SUBCOOLING: (_When.COOLING, _charge),
        Shown.VACUUM: (_When.OFF, _fixed(_Limits(None, None, VACUUM, "absolute_pressure"))),
        Shown.DRIER_DROP: (_When.COOLING, _fixed(_Limits(None, None, DRIER_DROP, "temperature_difference"))),
        Shown.BELT_SLIP: (_When.COOLING, _fan_speed),
        Shown.OUTDOOR_SHARE: (_When.COOLING, _fixed(_Limits(None, None, MUCH_OUTDOOR_AIR, "fraction"))),
        Shown.MOTOR_CURRENT: (_When.COOLING, _motor_current),
    },
)


def _lines(of: Followed, needed: RepairNeeded, shown: Shown) -> Iterator[Proof]:
    when, limits = _ROWS[shown]
    found = limits(of, needed)
    for calls in _calls(of, when):
        yield Proof(needed, shown, calls, found.target, found.low, found.high, found.kind)


def _calls(of: Followed, when: _When) -> tuple[tuple[Call, ...], ...]:
    """Sets of calls that are on together, one after another."""
    highest = highest_stage(of)
    cooling, heating = (
        tuple(call for call in Call if call.mode is mode and call.stage <= highest)
        for mode in (Mode.COOL, Mode.HEAT)
    )
    if when is _When.OFF:
        return ((),)
    if when is _When.EACH:
        return ((Call.FAN,), *(cooling[: n + 1] for n in range(len(cooling))))
    return (cooling, heating) if when is _When.AND_HEATING and fan_is_read_in_heating(of) else (cooling,)
