"""Charge of each circuit: verdict behind its gates, and the contrast between circuits."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hvaccalc.diagnosis import running
from hvaccalc.diagnosis.airflow import Airflow
from hvaccalc.diagnosis.build import Draws
from hvaccalc.diagnosis.circuit import CircuitState
from hvaccalc.diagnosis.gates import Gate, gates
from hvaccalc.diagnosis.rule_text import limit
from hvaccalc.units import degF

TOLERANCE = 3.0 * 5 / 9
"""Half width of "as charted" [K]: California Title 24 RA3.2.2.6, subcooling method, installer."""

MOST = 0.90
"""Share of the draws that a verdict needs."""

FREEZING = degF(32.0)


@dataclass(frozen=True, slots=True)
class CircuitCharge:
    """Verdict on one circuit in one condition.

    Attributes
    ----------
    verdict : str
        low, as charted, high or cannot tell.
    reason : str
        Why, one clause.
    settle : str
        The reading that would settle it, empty where nothing is open.
    provisos : tuple of str
        Conditions under which the verdict holds.
    gates : tuple of Gate
    deviation : ndarray or None
        Charge indicator over its target [K]; negative = short.
    target : str
        What it was held against.
    evidence : tuple of str
        What speaks beside the verdict: no subcooling, floodback, suction below freezing, no pressure
        difference.
    """

    state: CircuitState
    verdict: str
    reason: str
    settle: str
    provisos: tuple[str, ...]
    gates: tuple[Gate, ...]
    deviation: np.ndarray | None
    target: str
    evidence: tuple[str, ...] = field(default=())


def circuit_charge(draws: Draws, state: CircuitState, flow: Airflow | None) -> CircuitCharge:
    """Judge one circuit."""
    checked = gates(draws, state.where, flow)
    deviation, target = deviation_from_target(draws, state)
    evidence = _evidence(draws, state)
    verdict, reason, settle = _verdict(draws, state, checked, deviation, target)
    told = verdict != "cannot tell"
    provisos = tuple(g.proviso for g in checked if g.proviso) if told else ()
    if told and state.subcooling is not None and state.subcooling.note:
        provisos += (f"with the {state.subcooling.note}",)
    return CircuitCharge(state, verdict, reason, settle, provisos, checked, deviation, target, evidence)


def deviation_from_target(draws: Draws, state: CircuitState) -> tuple[np.ndarray | None, str]:
    """Charge indicator over its target [K], negative = short, and the target in words."""
    circuit = draws.job.circuit[state.where.circuit]
    if state.chart_offset is not None:
        return -state.chart_offset, "the unit's chart"
    fixed = circuit.metering == "fixed orifice"
    if not fixed and circuit.target_subcooling is not None and state.subcooling is not None:
        return state.subcooling.draws - circuit.target_subcooling.value, "the target subcooling"
    if fixed and circuit.target_superheat is not None and state.superheat is not None:
        return circuit.target_superheat.value - state.superheat.draws, "the target superheat"
    return None, ""


def _verdict(
    draws: Draws, state: CircuitState, checked: tuple[Gate, ...], deviation: np.ndarray | None, target: str
) -> tuple[str, str, str]:
    unmet = [g for g in checked if g.state == "unmet"]
    if unmet:
        why = "; ".join(f"{g.name}: {g.why}" for g in unmet)
        names = ", ".join(g.name for g in unmet if not g.settle)
        steps = [g.settle for g in unmet if g.settle]
        steps += [f"repeat the readings with {names}"] if names else []
        return "cannot tell", f"not met: {why}", "; ".join(steps)
    open_hard = [g for g in checked if g.hard and g.state == "unknown"]
    if open_hard:
        why = "; ".join(f"{g.name} ({g.why})" for g in open_hard)
        return "cannot tell", f"not known: {why}", "; ".join(g.settle for g in open_hard)
    if deviation is None:
        return "cannot tell", *_no_target(draws, state)
    if not np.isfinite(deviation[0]):
        return (
            "cannot tell",
            "the readings lie outside the refrigerant's tables",
            "check the gauge and its unit",
        )
    rows = deviation[1:][np.isfinite(deviation[1:])]
    display = draws.job.display
    near = limit(TOLERANCE, "temperature_difference", display)
    frozen = state.coil_suction_saturation is not None and state.coil_suction_saturation[0] < FREEZING
    if np.mean(rows < -TOLERANCE) >= MOST:
        return "low", f"the {_indicator(target)} stands below {target}", ""
    if frozen:
        cold = limit(FREEZING, "temperature", display)
        why = f"suction saturation below {cold}: the coil may be freezing, which hides a full or high charge"
        return "cannot tell", why, "repeat with the coil thawed and suction above freezing"
    if np.mean(rows > TOLERANCE) >= MOST:
        return "high", f"the {_indicator(target)} stands above {target}", ""
    if np.mean(np.abs(rows) <= TOLERANCE) >= MOST:
        return "as charted", f"the {_indicator(target)} meets {target} within {near}", ""
    line = "suction" if target == "the target superheat" else "liquid"
    settle = f"repeat the {line} temperature and pressure with checked instruments, or recover and weigh"
    return "cannot tell", f"the band reaches across the limit of {near} about {target}", settle


def _indicator(target: str) -> str:
    return "margin of superheat" if target == "the target superheat" else "subcooling"


def _no_target(draws: Draws, state: CircuitState) -> tuple[str, str]:
    circuit = draws.job.circuit[state.where.circuit]
    if circuit.metering == "fixed orifice" and not circuit.chart:
        if circuit.target_superheat is None:
            return "a fixed orifice is judged by its superheat, and no target was typed", (
                "read the target superheat off the unit's label for this return and outdoor air"
            )
        return "suction pressure and temperature were not both read", "read suction pressure and temperature"
    if state.subcooling is None and (circuit.target_subcooling is not None or circuit.chart):
        return (
            "liquid pressure and temperature were not both read",
            "read liquid pressure and liquid temperature",
        )
    if circuit.chart and state.chart_note:
        return state.chart_note, "read again inside the chart's range"
    return "the job gives no chart and no target", "read the target off the unit's label"


def _evidence(draws: Draws, state: CircuitState) -> tuple[str, ...]:
    if running.stands(draws, state.where):
        return ("no pressure difference",) if running.level(draws, state.where) else ()
    found = []
    if state.subcooling is not None and state.subcooling.draws[0] <= 0.0:
        found.append("no subcooling")
    if state.superheat is not None:
        rows = state.superheat.draws
        if rows[0] <= 0.0:
            found.append("floodback")
        elif np.nanpercentile(rows[1:], 2.5) <= 0.0:
            found.append("floodback not excluded")
    cold = state.coil_suction_saturation
    # In heating the suction side is outdoors, where frost is ordinary.
    if cold is not None and cold[0] < FREEZING and not running.heating(draws, state.where):
        found.append("suction below freezing")
    return tuple(found)
