"""How the return visit proves the repair: by the causes that were found, not by one list for all."""

from __future__ import annotations

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.water.pan_filling import PanFilling
from hvaccalc.diagnosis.water.verdicts import Ability
from hvaccalc.job.causes import Way
from hvaccalc.reason import Value
from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.report.words import date_text
from hvaccalc.service.slow_calls import heats_slow
from hvaccalc.words.water import WAYS

EASY = "Dry days in easy weather prove nothing: {} to be forced, long enough to matter."
EASY_OUTSIDE = "The unit has no part in it: what has to be proved lies above it."


def return_visit(found: Found) -> list[Block]:
    """What the return visit has to show."""
    budget = found.analysis.water
    heading = Heading("How the return visit will prove it")
    if budget is not None and budget.matched and budget.nothing_in_the_unit:
        steps = tuple(Item(step.to(found.reader)) for step in WAYS[Way.OUTSIDE].proof)
        return [heading, Paragraph(EASY_OUTSIDE), Items(steps, ordered=True)]
    usual = _plain_proof(found) if found.plain else _proof(found)
    told = [Item(text) for text in _of_ways(found)]
    easy = EASY.format("all stages have" if _staged(found) else "the cooling has")
    return [heading, Paragraph(easy), Items((*told, *usual), ordered=True)]


def _staged(found: Found) -> bool:
    """Whether the cooling has more than one stage."""
    return max((found.analysis.draws.stage(name) for name in found.job.circuit), default=1) > 1


def _of_ways(found: Found) -> list[str]:
    """Proofs of the ways of the water at work: the one that stands out, else all that can make it."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return []
    able = budget.those(Ability.CAN)
    ways = [way for way in able if way in (budget.dominant or way, Way.OUTSIDE)]
    run = _run(found, budget.filling)
    return [found.teller.fill(step, run) for way in ways for step in WAYS[way].proof]


def _run(found: Found, filling: PanFilling | None) -> dict[str, Value]:
    """How long the trap has to be tried, and what a film on a later visit says already."""
    if filling is None or not filling.typed or not filling.minutes.known:
        time = "until well past the time after which it ran over, the minutes noted"
        return {"time": time, "film": ""}
    least = 10.0 * np.ceil(np.nanmax([filling.minutes.high, filling.full_after]) / 10.0)
    time = f"for {least:.0f} min at least, as long as the pan may take to fill from empty"
    if filling.film is None:
        return {"time": time, "film": ""}
    visit, run, level = filling.film
    day, shown = found.job.visit[visit - 1].date, units.value_text(level, "length", found.display)
    when = date_text(day) if day else f"visit {visit}"
    film = (
        f" The film after {run:.0f} min ({when}) speaks for it already: held back, {shown} of water would "
        "have stood there"
    )
    return {"time": time, "film": f"{film}; it was shorter than this run." if run < least else f"{film}."}


def _proof(found: Found) -> list[Item]:
    fan, staged = found.job.unit.fan, _staged(found)
    full = f" (full speed: {fan.full_speed.text})" if fan.full_speed else ""
    low = f"; low speed: {fan.low_speed.text}" if fan.low_speed and full else ""
    full = full[:-1] + low + ")" if low else full
    steps = [
        Item(
            "Coil thawed and looked at, filters clean, drain poured with the fan at full speed and "
            "the door closed."
        ),
        Item(
            f"Force {'all stages' if staged else 'the cooling'}, whatever the weather, and hold "
            f"{'them' if staged else 'it'}; nothing but the thermostat's own calls, no jumper."
        ),
        Item(
            "Note the fan's speed (frequency, or by tachometer at the wheel) at each call: none, fan, "
            f"{'each stage alone, all stages' if staged else 'cooling'}{_heating_calls(found)}{full}; which "
            "compressor runs, by current."
        ),
        Item("Measure the airflow by something other than the fan's speed."),
    ]
    gates = list(
        dict.fromkeys(g.name for r in found.analysis.conditions for c in r.charges.values() for g in c.gates)
    )
    needed = (
        f" with every gate met: {'; '.join(gates)}"
        if gates
        else " after 15 steady minutes, coil thawed, filters clean"
    )
    steps.append(Item(f"Read each circuit{needed}."))
    steps += [
        Item(
            f"The coil's coldest metal above {plain.freezing(found)} and no frost on its face at the end of "
            "the run; write the weather beside it. On a mild day the suction saturation of a sound unit may "
            "lie a little below without ice: it is read, not a test."
        ),
        Item(
            f"Filters, cabinet floor{' and every place that was wet' if _was_wet(found) else ''}: dry at the "
            "end of the run, and again after shut-down, when a melt would come."
        ),
    ]
    return steps


def _was_wet(found: Found) -> bool:
    """Whether a wet place was noted on any visit."""
    signs = [s for visit in found.job.visit for s in (visit.signs, *(c.signs for c in visit.condition))]
    return any(s.water_on is not None for s in signs) or found.job.job.water_seen is not None


def _heating_calls(found: Found) -> str:
    """Heating is proved too where its calls run the fan slow, or nobody knows whether they do."""
    if found.job.unit.kind != "heat pump" or heats_slow(found.analysis) is False:
        return ""
    return ", and while it heats" if found.plain else ", each heating call, defrost"


def _plain_proof(found: Found) -> list[Item]:
    switched = (
        "Both the whole cooling and each part of it are switched on in turn"
        if _staged(found)
        else "The cooling is switched on"
    )
    wet = "every place that was wet" if _was_wet(found) else "the unit's floor and what stands below"
    return [
        Item(
            f"{switched}, whatever the weather; the fan's speed is written down each time"
            f"{_heating_calls(found)}."
        ),
        Item("The air is measured, and each cooling circuit is read again once everything runs steadily."),
        Item(
            f"The coil is looked at after a long run and must carry no frost; {wet} must be dry, also after "
            "the unit stops."
        ),
    ]
