"""Water that a visit saw after the repair: an open question for both readers."""

from __future__ import annotations

from hvaccalc.diagnosis.readings.water_seen import Fresh
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.verdicts import Ability
from hvaccalc.report.found import Found
from hvaccalc.report.question import Question
from hvaccalc.report.words import date_text
from hvaccalc.words.said import joined


def questions(found: Found) -> list[Question]:
    """What later visits saw, and what it says of the way that was put right."""
    budget = found.analysis.water
    return [_question(found, budget, fresh) for fresh in budget.seen.fresh] if budget is not None else []


def _question(found: Found, budget: WaterBudget, fresh: Fresh) -> Question:
    day = found.job.visit[fresh.visit - 1].date
    when = f"on {date_text(day)}" if day else f"on visit {fresh.visit}"
    seen = [f"water on the {joined(list(fresh.places))}"] if fresh.places else []
    text = f"Seen {when}, with or after the repair: {joined([*seen, *map(found.teller.tell, fresh.shows)])}."
    if fresh.places:
        text += f" {_reach(found, budget, fresh)}"
    look = (
        "it has to be looked at again after hours of cooling, with the place wiped dry before."
        if found.plain
        else "wipe it dry, cool for hours and look again, with the drain's rate against what the air loses."
    )
    return Question("Water again.", f"{text} It may be left from before, or come anew:", look)


def _reach(found: Found, budget: WaterBudget, fresh: Fresh) -> str:
    """Whether the way that was found would wet that place, and which others would."""
    places, ways = set(fresh.places), budget.weighed.values()
    known = [one for one in ways if one.text is Ability.CAN and places & one.mechanism.places]
    if known:
        names = joined([name for one in known if (name := found.teller.tell(one.way))])
        return f"It would fit {names} again: the repair is not proved."
    others = [
        name
        for one in ways
        if places & one.mechanism.places
        and one.way in (*budget.open, *budget.beside)
        and (name := found.teller.tell(one.way))
    ]
    told = f"; {joined(others)} would" if others else ""
    return f"What was found before would not wet that place{told}."
