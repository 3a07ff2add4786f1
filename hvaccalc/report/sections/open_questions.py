"""What cannot be told yet, and the reading that would settle it, as the service finds it."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc.report.blocks import Item
from hvaccalc.report.found import Found
from hvaccalc.service.next_readings import MOST_WAYS, About, Question
from hvaccalc.words.questions import about, how
from hvaccalc.words.said import capital
from hvaccalc.words.water import WAYS

NOT_KNOWN_BY_NAME = "It has to be watched while the unit cools and after."
LOOK_NEXT = "Not ruled out; look next, the likeliest way first:"


def questions(found: Found) -> list[Item]:
    """Open questions; for the file the ways of the water are a checklist, for the customer one sentence."""
    asked = found.analysis.questions
    ways = [one for one in asked if one.about is About.WAY]
    heads = [one for one in asked if one.about is About.WATER]
    items: list[Item] = []
    for one in asked:
        if one.about is About.WAY:
            if one is ways[0]:
                items += _plainly(found, heads, ways) if found.plain else _checklist(found, heads, ways)
        elif not (ways and one.about is About.WATER) and (words := _told(found, one)):
            items.append(Item(words, about(one, found.teller)))
    return items


def _told(found: Found, one: Question) -> str:
    """Why it is open, and how the reading is taken that settles it."""
    return f"{found.teller.tell(one.open)} {how(one, found.analysis.water, found.teller)}".strip()


def _head(found: Found, heads: Sequence[Question], then: str) -> Item:
    """The water's own line, with what comes next of it."""
    return Item(" ".join([*(_told(found, one) for one in heads), then]), found.teller.tell(About.WATER))


def _checklist(found: Found, heads: Sequence[Question], ways: Sequence[Question]) -> list[Item]:
    """The likeliest ways, each with its look; the rest in one line."""
    to = found.teller
    first, rest = ways[:MOST_WAYS], ways[MOST_WAYS:]
    told = [
        Item(how(one, found.analysis.water, to), f"{number}. {capital(to.tell(one.way))}.")
        for number, one in enumerate(first, 1)
        if one.way is not None
    ]
    names = to.slot(tuple(one.way for one in rest if one.way is not None))
    others = [Item(f"{capital(names)}.", "Not ruled out either.")] if rest else []
    return [_head(found, heads, LOOK_NEXT), *told, *others]


def _plainly(found: Found, heads: Sequence[Question], ways: Sequence[Question]) -> list[Item]:
    words = [WAYS[one.way] for one in ways if one.way is not None]
    told = [f"{one.title.customer} ({one.usual.look.customer})" for one in words if one.title.customer]
    more = f" and {len(told) - MOST_WAYS} other ways" if len(told) > MOST_WAYS else ""
    if not told:
        return [_head(found, heads, NOT_KNOWN_BY_NAME)]
    return [_head(found, heads, f"Not ruled out yet: {'; '.join(told[:MOST_WAYS])}{more}.")]
