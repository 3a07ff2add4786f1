"""A heat pump heating with the air it has: the head that the balance expects, and at full fan speed."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where, usual_return_humidity
from hvaccalc.diagnosis.readings.saturation import pressures
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.ensemble import Band, band
from hvaccalc.equipment.unit import heating
from hvaccalc.equipment.unit.unit_state import Conditions
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.practice.circuits import HEAD_RAISED, HEATING_HEAD_SD, HIGH_PRESSURE_CUT_OUT
from hvaccalc.practice.statements import MOST_REFUSED


class HeadVerdict(StrEnum):
    """What a head in heating means."""

    LOW_FAN = "low fan, no proof of overcharge"
    AS_THE_AIR = "as the air asks for"


@dataclass(frozen=True, slots=True)
class HeatingHead:
    """One heating condition; bands of the hottest circuit.

    Attributes
    ----------
    where : Where
    head, condensing, supply : Band
        At the airflow found: head [Pa absolute], condensing and supply temperature [K]; not known where no
        state lies below the critical point.
    full_head, full_condensing, full_supply : Band or None
        With the fan at full speed and the same charge; None where it is, or its speed is not known.
    read_head, read_supply : Band or None
        [Pa absolute], [K].
    barometer : float
        [Pa]
    share : float
        Fan speed over full speed; NaN where not known.
    cut_out : tuple of float or None
        Where its refrigerant's cut-outs usually open, from and to [Pa absolute].
    """

    where: Where
    head: Band
    condensing: Band
    supply: Band
    full_head: Band | None
    full_condensing: Band | None
    full_supply: Band | None
    read_head: Band | None
    read_supply: Band | None
    barometer: float
    share: float
    cut_out: tuple[float, ...] | None = None

    @property
    def verdict(self) -> HeadVerdict:
        """Low fan where full speed would condense clearly lower, or nothing condenses as the fan runs."""
        full = self.full_condensing
        raised = full is not None and full.known and not self.condensing.value - full.value <= HEAD_RAISED
        return HeadVerdict.LOW_FAN if raised else HeadVerdict.AS_THE_AIR

    @property
    def trips(self) -> str:
        """Whether the head, as read or else by the balance, opens the usual cut-outs: yes, no or unclear.

        yes also where the balance finds no head below the critical point, no where the whole band lies below.
        """
        head = self.read_head if self.read_head is not None and self.read_head.known else self.head
        if not head.known:
            return "yes"
        if self.cut_out is None:
            return "unclear"
        if head.high < self.cut_out[0]:
            return "no"
        return "yes" if head.low > self.cut_out[-1] else "unclear"


def heating_heads(draws: Draws, results: Sequence[ConditionResult]) -> tuple[HeatingHead, ...]:
    """Every condition in which a heat pump's compressors heat and its air is known."""
    those = [r for r in results if _heats(draws, r)]
    unit = unit_build.from_rating(draws) if those else None
    if unit is None or unit.refused > MOST_REFUSED:
        return ()
    return tuple(head for r in those if (head := _head(draws, unit, r)) is not None)


def _heats(draws: Draws, result: ConditionResult) -> bool:
    """A heating call of a heat pump, without defrost, with both airs and an airflow."""
    known = result.air.return_air is not None and result.air.outdoor_dry_bulb is not None
    return (
        draws.job.unit.kind == "heat pump"
        and compressors.heats(draws, result.where)
        and known
        and result.airflow is not None
    )


def _head(draws: Draws, unit: unit_build.Calibrated, result: ConditionResult) -> HeatingHead | None:
    flow, air = result.airflow, result.air
    assert flow is not None and air.return_air is not None
    ran = np.array([compressors.runs(draws, result.where.at(name)) for name in draws.job.circuit])
    if not ran.any():
        return None
    now = _solved(draws, unit, result, flow.dry_air_flow, ran)
    ratio = flow.speed_ratio
    share = float(ratio.draws[0]) if ratio is not None else np.nan
    full = None
    if share < FULL_SPEED:
        full = _solved(draws, unit, result, unit_build.airflow_at(draws, flow, 1.0), ran)
    read = [pressures(draws, result.where.at(name)).discharge for name in draws.job.circuit]
    heads = [column for column in read if column is not None]
    supply = air.supply_air.dry_bulb if air.supply_air is not None and air.after_fan else None
    return HeatingHead(
        result.where,
        band(now["head"]),
        band(now["condensing"]),
        band(now["supply"]),
        None if full is None else band(full["head"]),
        None if full is None else band(full["condensing"]),
        None if full is None else band(full["supply"]),
        band(np.max(heads, axis=0)) if heads else None,
        None if supply is None else band(supply),
        float(air.barometer.draws[0]),
        share,
        _cut_out(draws, _first_running(draws, ran), float(air.barometer.draws[0])),
    )


def _first_running(draws: Draws, ran: Array) -> str:
    return list(draws.job.circuit)[int(np.argmax(ran))]


def _cut_out(draws: Draws, circuit: str, barometer: float) -> tuple[float, ...] | None:
    usual = HIGH_PRESSURE_CUT_OUT.get(draws.job.circuit[circuit].refrigerant or "")
    return None if usual is None else tuple(float(units.psig(end, barometer)) for end in usual)


def _solved(
    draws: Draws, unit: unit_build.Calibrated, result: ConditionResult, flow: Array, ran: Array
) -> dict[str, Array]:
    """Draws of the hottest circuit's head and condensing, and of the supply."""
    air = result.air
    assert air.return_air is not None and air.outdoor_dry_bulb is not None
    unread = usual_return_humidity(draws, result.where)
    moisture = air.return_air.humidity_ratio if air.return_air.humid else unread
    barometer = air.barometer.draws
    conditions = Conditions(
        air.return_air.dry_bulb, moisture, barometer, air.outdoor_dry_bulb, flow, None, ran
    )
    name = _first_running(draws, ran)
    states = heating.solve(unit.unit.constants, conditions, rated_unit.subcooling(draws, name))
    hottest = states.condensing_saturation[ran].max(axis=0)
    error = draws.ensemble.normal("heating head", 0.0, HEATING_HEAD_SD)
    fluid = draws.refrigerant(name)
    assert fluid is not None
    return {
        "head": fluid.dew_pressure(hottest + error),
        "condensing": hottest + error,
        "supply": states.supply_dry_bulb,
    }
