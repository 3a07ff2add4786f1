"""What speaks beside the charge verdicts: standing pressures, other columns, the temperature split, and which
faults fit each circuit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hvaccalc.diagnosis.charge.temperature_split import SplitScreen, split_screen
from hvaccalc.diagnosis.circuits.standing_pressure import Standing, standing
from hvaccalc.diagnosis.condition import ConditionResult, diagnose
from hvaccalc.diagnosis.contradictions.column_check import ColumnCheck, column_check
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.unit import confusion as confusions
from hvaccalc.diagnosis.unit.confusion import Confusion, confusion, normal_states


@dataclass(frozen=True, slots=True)
class ChargeEvidence:
    """By place in the job; what cannot be said is left out."""

    standing: dict[Where, Standing]
    columns: dict[Where, ColumnCheck]
    split: dict[Where, SplitScreen]
    confusion: dict[Where, Confusion]


def charge_evidence(draws: Draws, results: Sequence[ConditionResult]) -> ChargeEvidence:
    """All of it, for the conditions given."""
    circuits = [result.where.at(name) for result in results for name in draws.condition(result.where).circuit]
    stand = ((where, standing(draws, where)) for where in circuits)
    standings = {where: one for where, one in stand if one is not None}
    read = ((where, column_check(draws, where)) for where in circuits)
    columns = {where: check for where, check in read if check is not None}
    # What a circuit looks like when it is short or full is known for cooling alone.
    cooling = [result for result in results if not compressors.heating(draws, result.where)]
    screened = ((result.where, split_screen(draws, result.where)) for result in cooling)
    splits = {where: screen for where, screen in screened if screen is not None}
    few = Draws(draws.job, confusions.DRAWS).without(draws.excluded)
    normal = normal_states(few, [diagnose(few, result.where) for result in cooling if result.charges])
    fit = {
        result.where.at(name): confusion(draws, result, name, normal.get(result.where), standings)
        for result in cooling
        for name in result.charges
    }
    return ChargeEvidence(standings, columns, splits, fit)
