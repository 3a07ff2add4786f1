"""What a circuit's charge is held against: its chart, its label's target, or the printed superheat table.

The metering device says which: a thermostatic or electronic valve keeps superheat by itself, so that
subcooling shows the charge; a fixed orifice shows it by superheat.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import stream
from hvaccalc.diagnosis.charge.charge_reasons import Because, Next, Proviso
from hvaccalc.diagnosis.charge.charge_rules import DASH, ChargeRule, linear_rule, superheat_table
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings.draws import Draws, Where, outdoor_read
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.practice.circuits import COMMON_SUBCOOLING
from hvaccalc.practice.statements import MASKED_WORTH_SAYING
from hvaccalc.reason import Reason

VALVES = ("TXV", "EEV")


class Yardstick(StrEnum):
    """What a charge is held against."""

    CHART = "the unit's chart"
    SUBCOOLING = "the target subcooling"
    SUPERHEAT = "the target superheat"
    TABLE = "the target superheat of the printed table"


class Method(StrEnum):
    """What shows the charge."""

    SUBCOOLING = "subcooling"
    SUPERHEAT = "superheat"


@dataclass(frozen=True, slots=True)
class Target:
    """What the charge is held against, and how far it is off.

    Attributes
    ----------
    name : Yardstick or None
        None where there is none.
    method : Method
    deviation : ndarray or None
        Charge indicator over its target [K]; negative = short.
    wanted : ndarray or float or None
        The target itself, of the method's kind [K].
    tolerance : float
        Half width of "as charted" [K].
    provisos : tuple of Reason
        Under which conditions the target holds.
    why, settle : Reason or None
        Where there is none: why, and what would give one.
    note : Reason or None
        How the target was come by.
    is_dash : bool
        Whether the printed table has a dash for this air: an answer about the air, whatever the gates say.
    """

    name: Yardstick | None = None
    method: Method = Method.SUBCOOLING
    deviation: Array | None = None
    wanted: Array | float | None = None
    tolerance: float = 0.0
    provisos: tuple[Reason, ...] = ()
    why: Reason | None = None
    settle: Reason | None = None
    note: Reason | None = None
    is_dash: bool = False

    @property
    def difference(self) -> Array | None:
        """What was read less the target [K]: superheat above its target means a charge below it."""
        if self.deviation is None or self.method is not Method.SUPERHEAT:
            return self.deviation
        return -self.deviation


def target(draws: Draws, state: CircuitState, rule: ChargeRule) -> Target:
    """The target that a circuit's metering device demands."""
    circuit = draws.job.circuit[state.where.circuit]
    if circuit.metering == ORIFICE:
        return _by_superheat(draws, state, rule)
    if state.chart_offset is not None:
        return _by_chart(state, rule)
    if circuit.target_subcooling is not None and circuit.target_superheat is not None:
        if circuit.metering not in VALVES:
            return Target(why=Reason(Because.DEVICE_NOT_KNOWN), settle=Reason(Next.DEVICE))
    if circuit.target_subcooling is None:
        return _nothing(draws, state)
    read = subcooling_outdoors(state)
    if read is None:
        return Target(why=Reason(Because.LIQUID_NOT_READ), settle=Reason(Next.LIQUID))
    wanted = circuit.target_subcooling.value
    provisos = () if circuit.metering in VALVES else (Reason(Proviso.VALVE_METERS),)
    return Target(
        Yardstick.SUBCOOLING,
        deviation=read - wanted,
        wanted=wanted,
        tolerance=rule.tolerances.subcooling,
        provisos=(*provisos, *_liquid_place(state)),
    )


def _by_chart(state: CircuitState, rule: ChargeRule) -> Target:
    assert state.chart_offset is not None
    return Target(
        Yardstick.CHART,
        deviation=-state.chart_offset,
        wanted=None if state.subcooling is None else state.subcooling.draws + state.chart_offset,
        tolerance=rule.tolerances.subcooling,
        provisos=_liquid_place(state),
        note=Reason(Because.AS_NOTED, {"note": state.chart_note}) if state.chart_note else None,
    )


def _liquid_place(state: CircuitState) -> tuple[Reason, ...]:
    """Charts and targets hold at the outdoor unit's service valve."""
    if state.liquid_measured_at != "metering device":
        return ()
    if state.lines is not None and state.lines.subcooling_outdoors is not None and state.chart_offset is None:
        return (Reason(Proviso.LIQUID_LINE_RECKONED),)
    return (Reason(Proviso.LIQUID_LINE_LOSES_LITTLE),)


def subcooling_outdoors(state: CircuitState) -> Array | None:
    """Subcooling at the outdoor unit, brought back along the line where it was read indoors [K]."""
    if state.lines is not None and state.lines.subcooling_outdoors is not None:
        return state.lines.subcooling_outdoors
    return None if state.subcooling is None else state.subcooling.draws


def superheat_outdoors(state: CircuitState) -> tuple[Array | None, tuple[Reason, ...]]:
    """Superheat at the outdoor unit's suction valve [K], and what it takes for granted."""
    if state.superheat is None:
        return None, ()
    read = state.superheat.draws
    if state.suction_measured_at != "coil":
        return read, ()
    lines = state.lines
    if lines is None or lines.suction_gain is None or lines.suction_drop is None:
        return read, (Reason(Proviso.SUCTION_LINE_ADDS_LITTLE),)
    return read + lines.suction_gain + lines.suction_drop, (Reason(Proviso.SUCTION_LINE_RECKONED),)


def _by_superheat(draws: Draws, state: CircuitState, rule: ChargeRule) -> Target:
    circuit = draws.job.circuit[state.where.circuit]
    read, provisos = superheat_outdoors(state)
    tolerance = rule.tolerances.superheat
    if read is None:
        why, settle = Reason(Because.SUCTION_NOT_READ), Reason(Next.SUCTION)
        return Target(method=Method.SUPERHEAT, why=why, settle=settle)
    if circuit.target_superheat is not None:
        wanted = circuit.target_superheat.value
        return Target(Yardstick.SUPERHEAT, Method.SUPERHEAT, wanted - read, wanted, tolerance, provisos)
    here = state.where.air
    outdoor, wet_bulb = outdoor_read(draws, here), entering_wet_bulb(draws, here)
    if outdoor is None or wet_bulb is None:
        both = ((Because.OUTDOOR_DRY_BULB, outdoor), (Because.RETURN_WET_BULB, wet_bulb))
        lacks = tuple(one for one, column in both if column is None)
        why, settle = (
            Reason(Because.TABLE_LACKS, {"lacks": lacks}),
            Reason(Next.TARGET_OR_AIR, {"lacks": lacks}),
        )
        return Target(method=Method.SUPERHEAT, why=why, settle=settle)
    return _by_table(read, outdoor, wet_bulb, tolerance, provisos)


def _by_table(
    read: Array,
    outdoor: Array,
    wet_bulb: Array,
    tolerance: float,
    provisos: tuple[Reason, ...],
) -> Target:
    grid = superheat_table()
    reason = grid.reason(outdoor[0], wet_bulb[0])
    rule = float(linear_rule(outdoor[0], wet_bulb[0]))
    if reason:
        out, wet = float(outdoor[0]), float(wet_bulb[0])
        why = Reason(Because.BEYOND_TABLE, {"outdoors": out, "wet_bulb": wet})
        if reason == DASH:
            why = Reason(Because.DASH, {"outdoors": out, "wet_bulb": wet, "rule": rule})
        return Target(method=Method.SUPERHEAT, why=why, settle=Reason(Next.WARM_AIR), is_dash=True)
    wanted, beyond = grid.drawn(outdoor, wet_bulb)
    provisos = (*provisos, Reason(Proviso.NO_OTHER_TARGET))
    note = at_the_edge(Reason(Because.INTERPOLATED, {"rule": rule}), beyond)
    return Target(Yardstick.TABLE, Method.SUPERHEAT, wanted - read, wanted, tolerance, provisos, note=note)


def at_the_edge(note: Reason, beyond: float) -> Reason:
    """What is said of a table, with the share of the draws that lie beyond it where it is worth saying."""
    return (
        Reason(Because.AT_THE_EDGE, {"note": note, "beyond": beyond})
        if beyond > MASKED_WORTH_SAYING
        else note
    )


def entering_wet_bulb(draws: Draws, here: Where) -> Array | None:
    """Wet bulb of the air entering the coil [K]: mixed air where it was read, else return air."""
    mixed = draws.column(here, "mixed_wet_bulb")
    if mixed is not None:
        return mixed
    read = draws.column(here, "return_wet_bulb")
    if read is not None:
        return read
    back = stream(draws, here, "return", draws.barometer(here).draws)
    return back.wet_bulb if back is not None and back.humid else None


def _nothing(draws: Draws, state: CircuitState) -> Target:
    circuit = draws.job.circuit[state.where.circuit]
    if circuit.chart and state.subcooling is None:
        return Target(why=Reason(Because.LIQUID_NOT_READ), settle=Reason(Next.LIQUID))
    if circuit.chart and state.chart_note:
        why, settle = Reason(Because.AS_NOTED, {"note": state.chart_note}), Reason(Next.INSIDE_CHART)
        return Target(why=why, settle=settle)
    steps = (Next.LABEL,) if circuit.metering in VALVES else (Next.LABEL, Next.DEVICE)
    return Target(why=Reason(Because.NO_TARGET), settle=Reason(Next.STEPS, {"steps": steps}))


def against_common(state: CircuitState, why: Reason) -> Reason:
    """Why there is no verdict, and how a subcooling without target stands to common practice."""
    if state.subcooling is None or not np.isfinite(state.subcooling.draws[0]):
        return why
    (low, high), value = COMMON_SUBCOOLING, state.subcooling.draws[0]
    stands = Because.WITHIN_COMMON
    if not low <= value <= high:
        stands = Because.BELOW_COMMON if value < low else Because.ABOVE_COMMON
    return Reason(Because.BESIDE_COMMON, {"why": why, "stands": stands, "low": low, "high": high})
