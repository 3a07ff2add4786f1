"""What the water budget calls for: the way at work, the trap, the drain line, a guard of the pan."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.water.budget import CAN, WaterBudget
from hvaccalc.diagnosis.water.drain_check import FAILS
from hvaccalc.job.causes import Way
from hvaccalc.report.blocks import Item
from hvaccalc.report.found import Found
from hvaccalc.report.water_words import GUARDS
from hvaccalc.words.said import NOT_TOLD
from hvaccalc.words.water import WAYS


def repairs(found: Found) -> list[Item]:
    """What the budget calls for."""
    budget = found.analysis.water
    if budget is None:
        return []
    items = []
    failed, line = budget.trap.verdict == FAILS, _drain_repair(budget, found)
    for name in budget.those(CAN):
        one = budget.weighed[name]
        if one.explained_by or not (one.mechanism.confirmed or budget.dominant == name):
            continue
        if name != "trap":
            title, words = one.mechanism.title, WAYS[Way(name)]
            # The drain does need work where its trap or its line is put right below.
            otherwise = words.repair_otherwise.to(found.reader) if failed or line else NOT_TOLD
            if text := otherwise or words.repair.to(found.reader):
                items.append(Item(text, f"{title[0].upper()}{title[1:]}."))
        elif not failed:
            items.append(_trap_repair(budget, found))
    # A trap that fails its own check is put right whichever way the water takes; so is a drain too small.
    trap = [_trap_repair(budget, found)] if failed else []
    return [*items, *trap, *line, *_guard(found)]


def _trap_repair(budget: WaterBudget, found: Found) -> Item:
    """What the trap needs."""

    def length(value: float) -> str:
        return units.value_text(value, "length", found.display)

    trap = budget.trap
    words = WAYS[Way.TRAP]
    text = (words.repair_otherwise if trap.blow_through else words.repair).to(found.reader)
    if trap.required_height.known:
        height, seal = length(trap.required_height.value), length(trap.required_seal.value)
        text += f" At full fan speed it needs {height} of height and {seal} of seal at least."
    return Item(text, "Trap.")


def _drain_repair(budget: WaterBudget, found: Found) -> list[Item]:
    """The size of the drain line, where it is short of the code or of the water."""
    drain = budget.drain
    if FAILS not in (drain.code, drain.hydraulic):
        return []
    at_work = budget.trap.verdict == FAILS or budget.dominant == "pan_overflow"
    if found.plain and drain.code != FAILS and not at_work:
        # Advice on a line that had no part in it is for the file.
        return []
    size = units.value_text(max(drain.code_size, drain.hydraulic_size), "length", found.display)
    text = f"The drain line that suits this unit is {size} and falls 1 % at least."
    if not found.plain and drain.code != FAILS:
        text += " As found it meets the mechanical code: the larger size is hydraulic design, not law."
    return [Item(text, "Drain line.")]


def _guard(found: Found) -> list[Item]:
    """What stops the cooling before the pan runs over, where it is missing or nobody noted it."""
    guard = found.at("drain.overflow_guard", Where())
    if guard is None or guard.text not in GUARDS:
        return []
    lead, *texts = GUARDS[guard.text]
    return [Item(texts[found.plain], lead)]
