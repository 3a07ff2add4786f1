"""Target temperature split: a screen of the airflow by how much the air cools, from a table out of memory.

A screen, not an airflow: an overcharged, a weak or a half-called unit moves the split as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge import gates
from hvaccalc.diagnosis.charge.charge_rules import DASH, REASONS, ChargeRule, charge_rule, split_table
from hvaccalc.diagnosis.charge.charge_target import entering_wet_bulb
from hvaccalc.diagnosis.charge.gates import GateState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.statements import MOST
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
    reason, settle : str
    rule : ChargeRule
    """

    where: Where
    text: Split
    excess: Array | None
    reason: str
    settle: str
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
        why = "the table prints no target there" if reason == DASH else REASONS[reason]
        return SplitScreen(
            where, Split.CANNOT_TELL, None, f"the target split: {why}", "measure the airflow", rule
        )
    excess = back - supply - grid.at(back, wet_bulb)
    first = where.at(cooled[0])
    checked = (gates.steady(draws, first), gates.thawed(draws, first))
    short = [gate.why for gate in checked if gate.state is GateState.UNMET]
    if set(cooled) != set(draws.job.circuit):
        short.append("not every circuit runs")
    if short:
        settle = "repeat it steady, thawed, with every stage on"
        return SplitScreen(where, Split.CANNOT_TELL, excess, "; ".join(short), settle, rule)
    return SplitScreen(where, *_judged(draws, excess, rule), rule)


def _judged(draws: Draws, excess: Array, rule: ChargeRule) -> tuple[Split, Array, str, str]:
    tolerance = rule.tolerances.split
    near = units.value_text(tolerance, "temperature_difference", draws.job.display)
    rows = excess[1:][np.isfinite(excess[1:])]
    if np.mean(rows > tolerance) >= MOST:
        why = f"the air cools more than {near} beyond the target: too little of it"
        return Split.LOW_AIR, excess, why, "measure the airflow, look at filters and coil"
    if np.mean(rows < -tolerance) >= MOST:
        why = f"the air cools more than {near} less than the target"
        return (
            Split.WEAK,
            excess,
            why,
            "read return and supply again; if it stays, the capacity is likely low",
        )
    if np.mean(np.abs(rows) <= tolerance) >= MOST:
        return Split.PASSES, excess, f"within {near} of the target", ""
    why = f"the band reaches across the limit of {near}"
    return Split.CANNOT_TELL, excess, why, "measure the airflow"
