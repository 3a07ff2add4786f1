"""The circuits of one condition side by side: readings, target, gates, verdicts and the faults that fit.

For one who changes the readings of a single condition: what does not hang on them (the sound unit in this
weather) is solved once and handed on.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air import sound_unit
from hvaccalc.diagnosis.air.air_states import air_states, coil_duty
from hvaccalc.diagnosis.air.airflow import airflow
from hvaccalc.diagnosis.charge.charge_rules import ROLES, ChargeRule, charge_rule, editions
from hvaccalc.diagnosis.charge.charge_target import Method, Yardstick
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, circuit_charge
from hvaccalc.diagnosis.charge.contrast import Contrast, contrast
from hvaccalc.diagnosis.charge.pumping import pumping
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_as_read
from hvaccalc.diagnosis.circuits.standing_pressure import standing
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.screening import Flag, screen
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated, chart, saturations
from hvaccalc.diagnosis.trials.air_balance import with_tables
from hvaccalc.diagnosis.unit.confusion import Confusion, confusion
from hvaccalc.equipment.unit.unit_state import UnitStates
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job

POINTS = 41


@dataclass(frozen=True, slots=True)
class TargetLine:
    """Where a pipe's temperature belongs over its pressure, and saturation beside it.

    Attributes
    ----------
    side : str
        liquid or suction: which pipe shows the charge.
    pressure, saturation : ndarray
        [Pa] absolute, [K].
    target : ndarray or None
        Temperature where the charge is as charted [K]; NaN beyond the chart.
    tolerance : float
        Half width about it [K].
    points : tuple of (float, float)
        Pressure and temperature of the chart's own points [Pa], [K].
    """

    side: str
    pressure: Array
    saturation: Array
    target: Array | None
    tolerance: float
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class ChargeStudy:
    """One condition's circuits.

    Attributes
    ----------
    draws : Draws
        With contradicting readings left out.
    where : Where
    charges : dict of str to CircuitCharge
        Of the circuits that run and were read.
    lines : dict of str to TargetLine
    faults : dict of str to Confusion
    contrast : Contrast or None
    flags : tuple of Flag
        Contradicting readings of this condition.
    barometer : float
        [Pa]
    rule : ChargeRule
        Edition and role by which the charges are judged.
    """

    draws: Draws
    where: Where
    charges: dict[str, CircuitCharge]
    lines: dict[str, TargetLine]
    faults: dict[str, Confusion]
    contrast: Contrast | None
    flags: tuple[Flag, ...]
    barometer: float
    rule: ChargeRule


def rules_to_choose(job: Job) -> tuple[ChargeRule, tuple[str, ...], tuple[str, ...]]:
    """The rule that serves a job, and the editions and roles that could."""
    return charge_rule(job), tuple(editions()), ROLES


def normal_unit(job: Job, where: Where) -> UnitStates | None:
    """The sound unit in the weather and airflow of one condition; None where that was not read."""
    few = Draws(job, sound_unit.DRAWS)
    return sound_unit.sound_states(few.without(screen(few).excluded), where)


def charge_study(job: Job, where: Where, normal: UnitStates | None = None, draws: int = 512) -> ChargeStudy:
    """The circuits of one condition as read: the same draws, and so the same numbers, as `analyse` has.

    Parameters
    ----------
    job : Job
    where : Where
        A visit and a condition.
    normal : UnitStates or None
        From `normal_unit`; without it suction and condensing saturation accuse nobody.
    draws : int
    """
    everything = Draws(job, draws)
    screening = screen(everything)
    kept = everything.without(screening.excluded)
    air = air_states(kept, where)
    flow = airflow(kept, air)
    found = {name: circuit_as_read(kept, where.at(name)) for name in kept.condition(where).circuit}
    circuits = {name: state for name, state in found.items() if state is not None}
    active = {name: state for name, state in circuits.items() if compressors.runs(kept, where.at(name))}
    pumps = pumping(kept, active, flow, lambda: normal)
    charges = {name: circuit_charge(kept, state, flow, pumps[name]) for name, state in active.items()}
    duty = coil_duty(air, flow.dry_air_flow if flow else None)
    result = ConditionResult(
        where,
        "",
        air,
        flow,
        duty,
        circuits,
        charges,
        contrast(kept, where, charges),
        None,
        None,
        None,
        None,
        None,
        None,
        None,
        {},
    )
    places = [at.at(name) for at, condition in kept.conditions() for name in condition.circuit]
    standings = {at: one for at in places if (one := standing(kept, at)) is not None}
    barometer = float(kept.barometer(where).draws[0])
    return ChargeStudy(
        draws=kept,
        where=where,
        charges=charges,
        lines={n: line for n, c in charges.items() if (line := _line(kept, c, barometer)) is not None},
        faults={name: confusion(kept, result, name, normal, standings) for name in charges},
        contrast=result.contrast,
        flags=tuple(flag for flag in screening.flags if replace(flag.where, circuit="") == where),
        barometer=barometer,
        rule=charge_rule(job),
    )


def _line(draws: Draws, charge: CircuitCharge, barometer: float) -> TargetLine | None:
    """The line that the reading is held against, about the reading."""
    where = charge.state.where
    sides = saturations(draws, where)
    side = "suction" if charge.held.method is Method.SUPERHEAT else "liquid"
    read = sides.suction if side == "suction" else sides.head
    if read is None:
        return None
    shown = (
        chart(draws, where.circuit, barometer)
        if charge.held.name is Yardstick.CHART or side == "liquid"
        else None
    )
    points = [] if shown is None else list(zip(shown.pressure, shown.temperature, strict=True))
    # The chart's own ends belong to the line, or it would stop short of them.
    ends = [read.pressure[0] / 1.25, read.pressure[0] * 1.25, *(p for p, _ in points)]
    pressure = np.unique([*np.geomspace(min(ends), max(ends), POINTS), *(p for p, _ in points)])
    curve = Saturated(read.fluid, pressure, np.zeros_like(pressure))
    saturation = curve.dew if side == "suction" else curve.bubble
    target = None
    if shown is not None:
        first, last = points[0][0], points[-1][0]
        inside = (pressure >= first) & (pressure <= last) | (len(points) == 1)
        target = np.where(inside, saturation - np.interp(pressure, shown.pressure, shown.subcooling), np.nan)
    elif charge.held.wanted is not None:
        wanted = float(np.atleast_1d(charge.held.wanted)[0])
        target = saturation + wanted if side == "suction" else saturation - wanted
    return TargetLine(
        side,
        pressure,
        saturation,
        target,
        charge.held.tolerance,
        tuple((float(p), float(t)) for p, t in points),
    )


def retyped(job: Job, where: Where, readings: Mapping[tuple[str, str], Reading | None]) -> Job:
    """The same job with other circuit readings in one condition.

    Parameters
    ----------
    readings : mapping
        Circuit and key of ``[visit.condition.circuit.N]``; None takes a reading out.
    """
    tables = dict(job.visit[where.visit - 1].condition[where.condition - 1].circuit)
    for (name, key), reading in readings.items():
        if name in tables:
            tables[name] = tables[name].model_copy(update={key: reading})
    return with_tables(job, where, circuit=tables)
