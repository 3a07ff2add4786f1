"""Target temperature split: a screen of the airflow by how much the air cools, from a table out of memory.

A screen, not an airflow: an overcharged, a weak or a half-called unit moves the split as well.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge import gates
from hvaccalc.diagnosis.charge.charge_reasons import Because, GateWhy, Next
from hvaccalc.diagnosis.charge.charge_rules import DASH, ChargeRule, charge_rule, split_table
from hvaccalc.diagnosis.charge.charge_target import at_the_edge, entering_wet_bulb
from hvaccalc.diagnosis.charge.gates import GateState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.statements import MOST
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class Split(StrEnum):
    """What the temperature split says."""

    PASSES = "passes"
    LOW_AIR = "low airflow"
    WEAK = "capacity likely low"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class SplitScreen:
    """The split of one condition.

    Attributes
    ----------
    where : Where
    text : Split
    excess : ndarray or None
        Split above its target [K], (N + 1,).
    reason, settle : Reason or None
        Why, and what to read next; None where nothing is open.
    rule : ChargeRule
    """

    where: Where
    text: Split
    excess: Array | None
    reason: Reason
    settle: Reason | None
    rule: ChargeRule

    @property
    def severity(self) -> Severity:
        """Low air is watched: a screen is no airflow."""
        return Severity.WATCH if self.text is Split.LOW_AIR else Severity.NOTE


def split_screen(draws: Draws, where: Where) -> SplitScreen | None:
    """Screen of one condition; None where return or supply air was not read, or nothing cools."""
    back, supply = draws.column(where, "return_dry_bulb"), draws.column(where, "supply_dry_bulb")
    wet_bulb = entering_wet_bulb(draws, where)
    cooled = compressors.running_circuits(draws, where)
    if back is None or supply is None or wet_bulb is None or not cooled or compressors.heating(draws, where):
        return None
    rule = charge_rule(draws.job)
    grid = split_table()
    if reason := grid.reason(back[0], wet_bulb[0]):
        why = Reason(Because.SPLIT_DASH if reason == DASH else Because.SPLIT_BEYOND)
        return SplitScreen(where, Split.CANNOT_TELL, None, why, Reason(Next.MEASURE_AIRFLOW), rule)
    target, beyond = grid.drawn(back, wet_bulb)
    excess = back - supply - target
    first = where.at(cooled[0])
    checked = (gates.steady(draws, first), gates.thawed(draws, first))
    short = [gate.why for gate in checked if gate.state is GateState.UNMET]
    if set(cooled) != set(draws.job.circuit):
        short.append(Reason(GateWhy.NOT_EVERY_CIRCUIT))
    if short:
        why = Reason(Because.SEVERAL, {"parts": tuple(short)})
        return SplitScreen(where, Split.CANNOT_TELL, excess, why, Reason(Next.STEADY_AND_THAWED), rule)
    text, why, settle = _judged(excess, rule)
    return SplitScreen(where, text, excess, at_the_edge(why, beyond), settle, rule)


def _judged(excess: Array, rule: ChargeRule) -> tuple[Split, Reason, Reason | None]:
    near = rule.tolerances.split
    rows = excess[1:][np.isfinite(excess[1:])]
    if np.mean(rows > near) >= MOST:
        why = Reason(Because.SPLIT_ABOVE, {"near": near})
        return Split.LOW_AIR, why, Reason(Next.AIRFLOW_AND_COIL)
    if np.mean(rows < -near) >= MOST:
        return Split.WEAK, Reason(Because.SPLIT_BELOW, {"near": near}), Reason(Next.RETURN_AND_SUPPLY)
    if np.mean(np.abs(rows) <= near) >= MOST:
        return Split.PASSES, Reason(Because.SPLIT_MEETS, {"near": near}), None
    why = Reason(Because.SPLIT_ACROSS, {"near": near})
    return Split.CANNOT_TELL, why, Reason(Next.MEASURE_AIRFLOW)
