"""What may be done today about water that still comes."""

from __future__ import annotations

from hvaccalc.diagnosis.water.verdicts import Ability
from hvaccalc.job.causes import Way
from hvaccalc.report import endings
from hvaccalc.report.blocks import Item
from hvaccalc.report.found import Found
from hvaccalc.words.water import WAYS
from hvaccalc.words.way_words import CATCH, PAN_FULL


def items(found: Found) -> list[Item]:
    """Steps against water that nothing has stopped yet; none where each way at work was put right."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return []
    able = budget.those(Ability.CAN)
    if able and all(endings.of_water(found, way) is not None for way in able) and not budget.seen.fresh:
        return []
    if Way.OUTSIDE in able:
        text = WAYS[Way.OUTSIDE].today.to(found.reader)
        return [Item(text, "Water from above:" if found.plain else "Water from above.")]
    full = budget.seen.has("pan_water", "full", "overflowing")
    text = (PAN_FULL if full else CATCH).to(found.reader)
    return [Item(text, "Water:" if found.plain else "Water.")]
