"""What may be done today about water that still comes."""

from __future__ import annotations

from hvaccalc.diagnosis.water.budget import CAN
from hvaccalc.report import since
from hvaccalc.report.blocks import Item
from hvaccalc.report.found import Found

FROM_ABOVE = (
    "Call the owner of the pipe, drain or roof above now: close its valve or stop what feeds it. Move what "
    "stands below and catch the water. Where it reaches the unit: off at the disconnect and isolated by a "
    "qualified person, nobody reaching over wet parts; then cover its electrical parts. Back on only once "
    "it is dry and was looked at.",
    "call the owner of the pipe, drain or roof above now, so that the water is turned off. Move what stands "
    "below and catch the water. Where it reaches the unit, have a qualified person switch it off, isolate "
    "and cover it; touch nothing that is wet.",
)
"""Live water from above drips onto a unit and what stands below; common practice, no source."""

PAN_FULL = (
    "Keep the cooling off while the pan stands full: lock out and prove dead before it is emptied. Catch "
    "what runs over and move what stands below.",
    "keep the cooling off while the drain pan is full. Catch what runs over and move what stands below.",
)
CATCH = (
    "Until it has stopped: catch the water, move what stands below, and switch the unit off where water "
    "comes near live parts.",
    "catch the water and move what stands below; have the unit switched off where water comes near its "
    "wiring.",
)
"""Water whose way is not shown or not mended; common practice, no source."""


def items(found: Found) -> list[Item]:
    """Steps against water that nothing has stopped yet; none where each way at work was put right."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return []
    able = budget.those(CAN)
    if able and all(since.of_water(found, way) is not None for way in able) and not budget.seen.fresh:
        return []
    if "outside" in able:
        return [Item(FROM_ABOVE[found.plain], "Water from above:" if found.plain else "Water from above.")]
    full = budget.seen.has("pan_water", "full", "overflowing")
    return [Item((PAN_FULL if full else CATCH)[found.plain], "Water:" if found.plain else "Water.")]
