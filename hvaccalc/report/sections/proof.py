"""How the return visit proves the repair: by the causes that were found, not by one list for all."""

from __future__ import annotations

from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.service.repair.proof import Weather
from hvaccalc.words import proof as words
from hvaccalc.words.said import date_text


def return_visit(found: Found) -> list[Block]:
    """What the return visit has to show."""
    visit = found.analysis.return_visit
    told = words.of_ways(found.teller, visit, _film_day(found))
    if visit.weather is not Weather.NOTHING:
        told += words.steps(found.teller, visit, plain.freezing(found))
    return [
        Heading("How the return visit will prove it"),
        Paragraph(found.teller.fill(words.EASY[visit.weather], {})),
        Items(tuple(Item(text) for text in told), ordered=True),
    ]


def _film_day(found: Found) -> str:
    """Day of the visit that saw a film at most."""
    film = found.analysis.return_visit.run.film
    if film is None:
        return ""
    day = found.job.visit[film[0] - 1].date
    return date_text(day) if day else f"visit {film[0]}"
