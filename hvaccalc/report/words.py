"""Dates, lists and noted signs in words."""

from __future__ import annotations

import re

from hvaccalc.job.schema import Job
from hvaccalc.job.signs import Sign
from hvaccalc.words.said import date_text, joined

RANGES = "Ranges in brackets show how far the readings could be off."
"""Said to the customer where there are any."""


def has_range(text: str) -> bool:
    """Whether a text holds a range in brackets.

    Examples
    --------
    >>> has_range("about 31 °F (29 to 34)"), has_range("visit 1 (the first)")
    (True, False)
    """
    return re.search(r"\(-?[\d,.]+ to -?[\d,.]+\)", text) is not None


def grouped(text: str) -> str:
    """Whole numbers of four digits and more with their commas.

    Examples
    --------
    >>> grouped("8000 cfm"), grouped("0.0125 in and 12500 Pa")
    ('8,000 cfm', '0.0125 in and 12,500 Pa')
    """
    return re.sub(r"(?<![\d.,])\d{4,}(?![\d.])", lambda number: f"{int(number[0]):,}", text)


def signs_seen(job: Job) -> list[tuple[str, str]]:
    """What was seen, visit by visit and condition by condition: place and words."""
    told = []
    for number, visit in enumerate(job.visit, 1):
        label = date_text(visit.date) if visit.date else f"visit {number}"
        for place, signs in (
            (label, visit.signs),
            *((f"{label}, {c.label or 'a condition'}", c.signs) for c in visit.condition),
        ):
            text = _signs(signs)
            if signs is visit.signs and visit.note:
                text = " ".join(part for part in (f"{visit.note.strip().rstrip('.')}.", text) if part)
            if text:
                told.append((f"{place[0].upper()}{place[1:]}.", text))
    return told


def _signs(signs) -> str:
    parts = []
    for key in type(signs).model_fields:
        sign: Sign | None = getattr(signs, key)
        if sign is not None:
            parts.append(f"{key.replace('_', ' ')}: {joined(sign.values)}")
    text = "; ".join(parts)
    if not text:
        return ""
    text += "."
    fan = signs.tested_with_fan.values if signs.tested_with_fan else ("off",)
    if (signs.drain_flow or signs.pour_test) and "full" not in fan:
        text += " A drain tried with the fan off or low says nothing about its trap with the fan running."
    return text
