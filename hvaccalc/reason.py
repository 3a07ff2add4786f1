"""Why something holds, before it is put into words: a code and the values that belong to it.

The sentence of each code stands in `hvaccalc.words`, for both readers.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Union

from hvaccalc.ensemble import Band


@dataclass(frozen=True, slots=True)
class Amount:
    """A number or a band in SI with its kind of unit, where a sentence is of several kinds."""

    value: float | Band
    kind: str


Value = Union[float, str, date, Band, Amount, StrEnum, "Reason", tuple["Value", ...]]
"""A number in SI, a text as typed, a day, a band, a word of an enum, a reason within a reason, or several."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason.

    Attributes
    ----------
    code : StrEnum
        Its sentence's key.
    values : mapping of str to Value
        By the name of the sentence's slot.

    Examples
    --------
    >>> Kept = StrEnum("Kept", ["UPRIGHT", "SLANTED"])
    >>> Reason(Kept.SLANTED, {"slope": 0.5}) == Reason(Kept.SLANTED, {"slope": 0.6})
    False
    """

    code: StrEnum
    values: Mapping[str, Value] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((self.code, tuple(sorted(self.values))))

    def __format__(self, spec: str) -> str:
        # Written into a sentence without its words it would show its code to a reader.
        raise TypeError("a reason is put into words by hvaccalc.words")
