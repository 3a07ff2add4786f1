"""What a circuit's charge is held against: its chart, its label's target, or the printed superheat table.

The metering device says which: a thermostatic or electronic valve keeps superheat by itself, so that
subcooling shows the charge; a fixed orifice shows it by superheat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.air_states import stream
from hvaccalc.diagnosis.charge.charge_rules import DASH, REASONS, ChargeRule, linear_rule, superheat_table
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings import air_taken
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.circuits import COMMON_SUBCOOLING

CHART, SUBCOOLING, SUPERHEAT = "the unit's chart", "the target subcooling", "the target superheat"
TABLE = "the target superheat of the printed table"
VALVES = ("TXV", "EEV")

WHICH_DEVICE = (
    "find the metering device at the coil's inlet: a valve with a sensing bulb or a coil on it, or a piston "
    "or capillary tubes"
)


@dataclass(frozen=True, slots=True)
class Target:
    """What the charge is held against, and how far it is off.

    Attributes
    ----------
    name : str
        In words; empty where there is none.
    method : str
        subcooling or superheat.
    deviation : ndarray or None
        Charge indicator over its target [K]; negative = short.
    wanted : ndarray or float or None
        The target itself, of the method's kind [K].
    tolerance : float
        Half width of "as charted" [K].
    provisos : tuple of str
        Under which conditions the target holds.
    why, settle : str
        Where there is none: why, and what would give one.
    note : str
        How the target was come by.
    is_dash : bool
        Whether the printed table has a dash for this air: an answer about the air, whatever the gates say.
    """

    name: str = ""
    method: str = "subcooling"
    deviation: np.ndarray | None = None
    wanted: np.ndarray | float | None = None
    tolerance: float = 0.0
    provisos: tuple[str, ...] = ()
    why: str = ""
    settle: str = ""
    note: str = ""
    is_dash: bool = False

    @property
    def difference(self) -> np.ndarray | None:
        """What was read less the target [K]: superheat above its target means a charge below it."""
        if self.deviation is None or self.method != "superheat":
            return self.deviation
        return -self.deviation


def target(draws: Draws, state: CircuitState, rule: ChargeRule) -> Target:
    """The target that a circuit's metering device demands."""
    circuit = draws.job.circuit[state.where.circuit]
    fixed = circuit.metering == "fixed orifice"
    if state.chart_offset is not None:
        return _by_chart(state, rule)
    if fixed:
        return _by_superheat(draws, state, rule)
    if circuit.target_subcooling is not None and circuit.target_superheat is not None:
        if circuit.metering not in VALVES:
            why = "the metering device is not known, and targets of both kinds were typed"
            return Target(why=why, settle=WHICH_DEVICE)
    if circuit.target_subcooling is None:
        return _nothing(draws, state)
    read = subcooling_outdoors(state)
    if read is None:
        why = "liquid pressure and temperature were not both read"
        return Target(why=why, settle="read liquid pressure and liquid temperature")
    wanted = circuit.target_subcooling.value
    provisos = () if circuit.metering in VALVES else ("if a valve meters, not a fixed orifice",)
    return Target(
        SUBCOOLING,
        deviation=read - wanted,
        wanted=wanted,
        tolerance=rule.tolerances.subcooling,
        provisos=(*provisos, *_liquid_place(state)),
    )


def _by_chart(state: CircuitState, rule: ChargeRule) -> Target:
    assert state.chart_offset is not None
    return Target(
        CHART,
        deviation=-state.chart_offset,
        wanted=None if state.subcooling is None else state.subcooling.draws + state.chart_offset,
        tolerance=rule.tolerances.subcooling,
        provisos=_liquid_place(state),
        note=state.chart_note,
    )


def _liquid_place(state: CircuitState) -> tuple[str, ...]:
    """Charts and targets hold at the outdoor unit's service valve."""
    if state.liquid_measured_at != "metering device":
        return ()
    if state.lines is not None and state.lines.subcooling_outdoors is not None and state.chart_offset is None:
        return ("with the liquid line's loss reckoned from its size",)
    return ("if the liquid line loses little on its way to the metering device, where it was read",)


def subcooling_outdoors(state: CircuitState) -> np.ndarray | None:
    """Subcooling at the outdoor unit, brought back along the line where it was read indoors [K]."""
    if state.lines is not None and state.lines.subcooling_outdoors is not None:
        return state.lines.subcooling_outdoors
    return None if state.subcooling is None else state.subcooling.draws


def superheat_outdoors(state: CircuitState) -> tuple[np.ndarray | None, tuple[str, ...]]:
    """Superheat at the outdoor unit's suction valve [K], and what it takes for granted."""
    if state.superheat is None:
        return None, ()
    read = state.superheat.draws
    if state.suction_measured_at != "coil":
        return read, ()
    lines = state.lines
    if lines is None or lines.suction_gain is None or lines.suction_drop is None:
        return read, ("if the suction line adds little to the superheat read at the coil",)
    return read + lines.suction_gain + lines.suction_drop, (
        "with the suction line's part reckoned from its size",
    )


def _by_superheat(draws: Draws, state: CircuitState, rule: ChargeRule) -> Target:
    circuit = draws.job.circuit[state.where.circuit]
    read, provisos = superheat_outdoors(state)
    tolerance = rule.tolerances.superheat
    if read is None:
        why = "suction pressure and temperature were not both read"
        return Target(method="superheat", why=why, settle="read suction pressure and temperature")
    if circuit.target_superheat is not None:
        wanted = circuit.target_superheat.value
        return Target(SUPERHEAT, "superheat", wanted - read, wanted, tolerance, provisos)
    here = state.where.air
    outdoor, wet_bulb = air_taken.outdoor(draws, here), entering_wet_bulb(draws, here)
    if outdoor is None or wet_bulb is None:
        lacks = [
            words
            for words, column in (("the outdoor dry bulb", outdoor), ("the return air's wet bulb", wet_bulb))
            if column is None
        ]
        why = (
            "a fixed orifice is judged by its superheat; no target superheat was typed, and the printed "
            f"table lacks {' and '.join(lacks)}"
        )
        settle = (
            "read the target superheat off the unit's label for this return and outdoor air, or read "
            f"{' and '.join(lacks)}"
        )
        return Target(method="superheat", why=why, settle=settle)
    return _by_table(read, outdoor, wet_bulb, tolerance, provisos, draws.job.display)


def _by_table(
    read: np.ndarray,
    outdoor: np.ndarray,
    wet_bulb: np.ndarray,
    tolerance: float,
    provisos: tuple[str, ...],
    display: str,
) -> Target:
    grid = superheat_table()
    reason = grid.reason(outdoor[0], wet_bulb[0])
    rule = float(linear_rule(outdoor[0], wet_bulb[0]))
    shown = units.value_text(rule, "temperature_difference", display)
    if reason:
        air = (
            f"{units.value_text(outdoor[0], 'temperature', display)} outdoors and "
            f"{units.value_text(wet_bulb[0], 'temperature', display)} wet bulb"
        )
        beside = f" (the linear rule would say {shown}: the table wins)" if reason == DASH else ""
        why = f"the table of target superheat at {air}: {REASONS[reason]}{beside}"
        return Target(
            method="superheat",
            why=why,
            settle="warm the indoor air and read again, or weigh in",
            is_dash=True,
        )
    wanted = grid.at(outdoor, wet_bulb)
    note = f"interpolated in the printed superheat table; the linear rule says {shown}"
    provisos = (*provisos, "if the unit's own label gives no other target superheat")
    return Target(TABLE, "superheat", wanted - read, wanted, tolerance, provisos, note=note)


def entering_wet_bulb(draws: Draws, here: Where) -> np.ndarray | None:
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
        why = "liquid pressure and temperature were not both read"
        return Target(why=why, settle="read liquid pressure and liquid temperature")
    if circuit.chart and state.chart_note:
        return Target(why=state.chart_note, settle="read again inside the chart's range")
    settle = "read the target off the unit's label"
    if circuit.metering not in VALVES:
        settle += f"; {WHICH_DEVICE}"
    return Target(why="the job gives no chart and no target", settle=settle)


def against_common(state: CircuitState, display: str) -> str:
    """How a subcooling without target stands to common practice, in words; never a verdict."""
    if state.subcooling is None or not np.isfinite(state.subcooling.draws[0]):
        return ""
    low, high = COMMON_SUBCOOLING
    value = state.subcooling.draws[0]
    stands = "below" if value < low else "above" if value > high else "within"
    usual = units.limits_text(low, high, "temperature_difference", display)
    return f"subcooling stands {stands} the {usual} of common practice (no source; no verdict follows)"
