"""Every sentence by its code, told to one reader."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import cache

from hvaccalc.words import causes, fan, places, questions, repairs, today, water, wiring
from hvaccalc.words.said import Reader, Rows, Teller

SAID: Mapping[type[StrEnum], Rows] = {
    **causes.SAID,
    **fan.SAID,
    **places.SAID,
    **questions.SAID,
    **repairs.SAID,
    **today.SAID,
    **water.SAID,
    **wiring.SAID,
}


@cache
def teller(reader: Reader, display: str) -> Teller:
    """Who tells a reader, in a display."""
    return Teller(reader, display, SAID)
