"""What the water budget calls for: the way at work, the trap, the drain line, a guard of the pan."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.verdicts import Ability, Met
from hvaccalc.job.causes import Way
from hvaccalc.report.blocks import Item
from hvaccalc.report.found import Found
from hvaccalc.report.water_words import GUARDS
from hvaccalc.words.said import NOT_SAID, capital
from hvaccalc.words.water import NO_DRAIN_WORK, WAYS


def repairs(found: Found) -> list[Item]:
    """What the budget calls for."""
    budget = found.analysis.water
    if budget is None:
        return []
    items = []
    failed, line = budget.trap.verdict is Met.NOT_MET, _drain_repair(budget, found)
    for name in budget.those(Ability.CAN):
        one = budget.weighed[name]
        if one.explained_by or not (one.mechanism.confirmed or budget.dominant is name):
            continue
        if name is not Way.TRAP:
            # The drain does need work where its trap or its line is put right below.
            clause = NOT_SAID if failed or line else NO_DRAIN_WORK
            words = {"no_drain_work": clause.to(found.reader)}
            if text := found.teller.fill(WAYS[name].usual.repair, words):
                items.append(Item(text, f"{capital(WAYS[name].title.file)}."))
        elif not failed:
            items.append(_trap_repair(budget, found))
    # A trap that fails its own check is put right whichever way the water takes; so is a drain too small.
    trap = [_trap_repair(budget, found)] if failed else []
    return [*items, *trap, *line, *_guard(found, budget)]


def _trap_repair(budget: WaterBudget, found: Found) -> Item:
    """What the trap needs."""

    def length(value: float) -> str:
        return units.value_text(value, "length", found.display)

    trap = budget.trap
    words = WAYS[Way.TRAP]
    text = words.case(trap.blow_through).repair.to(found.reader)
    if trap.required_height.known:
        height, seal = length(trap.required_height.value), length(trap.required_seal.value)
        text += f" At full fan speed it needs {height} of height and {seal} of seal at least."
    return Item(text, "Trap.")


def _drain_repair(budget: WaterBudget, found: Found) -> list[Item]:
    """The size of the drain line, where it is short of the code or of the water."""
    drain = budget.drain
    if Met.NOT_MET not in (drain.code, drain.hydraulic):
        return []
    at_work = budget.trap.verdict is Met.NOT_MET or budget.dominant is Way.PAN_OVERFLOW
    if found.plain and drain.code is not Met.NOT_MET and not at_work:
        # Advice on a line that had no part in it is for the file.
        return []
    size = units.value_text(max(drain.code_size, drain.hydraulic_size), "length", found.display)
    text = f"The drain line that suits this unit is {size} and falls 1 % at least."
    if not found.plain and drain.code is not Met.NOT_MET:
        text += " As found it meets the mechanical code: the larger size is hydraulic design, not law."
    return [Item(text, "Drain line.")]


def _guard(found: Found, budget: WaterBudget) -> list[Item]:
    """What stops the cooling before the pan runs over, where it is missing or nobody noted it."""
    words = GUARDS.get(budget.guard)
    if words is None:
        return []
    lead, *texts = words
    return [Item(texts[found.plain], lead)]
