"""What people write, and the one form of it that everything inside knows.

No rule, caution or page may depend on the spelling that was typed: words are brought into form where the
file is read, and `check` says how each was taken.
"""

import re
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import core_schema

_REFRIGERANT = re.compile(r"(?:R|HFC|HCFC|HFO|HC)?(\d{2,4})([A-Z]{0,3})(\([EZ]\))?", re.I)
_ZEOTROPES = ("4", "5")
"""First digit of blends, whose letters are capitals; the letters of a single substance are small
(ANSI/ASHRAE 34, clause 4)."""


def _fold(word: str) -> str:
    """A word without what carries no meaning: case, spaces, hyphens, underscores."""
    return re.sub(r"[\s_-]+", "", word).lower()


def refrigerant_name(typed: str) -> str:
    """Designation of a refrigerant in the form of ANSI/ASHRAE 34; other text stays as it is.

    Examples
    --------
    >>> [refrigerant_name(typed) for typed in ("R454B", "r 410a", "R-134A", "22", "R1234ze(e)", "mixed")]
    ['R-454B', 'R-410A', 'R-134a', 'R-22', 'R-1234ze(E)', 'mixed']
    """
    match = _REFRIGERANT.fullmatch(re.sub(r"[\s_-]+", "", typed))
    if match is None:
        return typed
    number, letters, isomer = match[1], match[2], match[3] or ""
    blend = len(number) == 3 and number.startswith(_ZEOTROPES)
    return f"R-{number}{letters.upper() if blend else letters.lower()}{isomer.upper()}"


_NOMINAL = {"15": "1/2", "20": "3/4", "25": "1", "32": "1-1/4", "40": "1-1/2", "50": "2", "65": "2-1/2"}
"""Nominal pipe sizes, DN beside inches (ISO 6708 and ASME B36.10M, from memory)."""


def nominal_size(typed: str) -> str | None:
    """Nominal size in inches of a size typed as DN; None for anything else.

    Examples
    --------
    >>> nominal_size("DN 32"), nominal_size("dn25"), nominal_size("32 mm")
    ('1-1/4 in', '1 in', None)
    """
    match = re.fullmatch(r"\s*DN\s*-?(\d{2})\s*", typed, re.I)
    inches = _NOMINAL.get(match[1]) if match else None
    return f"{inches} in" if inches else None


_LETTERS = {name.lower(): name for name in "R Rh Rc C G Y Y1 Y2 W W1 W2 O B O/B".split()}
_DEVICES = {
    **dict.fromkeys(("tstat", "stat"), "thermostat"),
    **dict.fromkeys(("ahu", "airhandler", "indoor"), "handler"),
    **dict.fromkeys(("odu", "outdoorunit", "condensingunit"), "outdoor"),
}


def terminal_name(typed: str) -> str:
    """A terminal whose device and letter mean the same however they are written.

    Examples
    --------
    >>> [terminal_name(typed) for typed in ("Thermostat.y1", "AHU.G", "drive.Input_2", "ODU.Y2")]
    ['thermostat.Y1', 'handler.G', 'drive.input_2', 'outdoor.Y2']
    """
    device, _, letter = typed.partition(".")
    device = _DEVICES.get(_fold(device), device.lower())
    return f"{device}.{_LETTERS.get(letter.lower(), letter.lower())}"


@dataclass(frozen=True, slots=True)
class AlsoWritten:
    """Annotation of a key of fixed words: other words that people write, each with the one it means."""

    words: tuple[tuple[str, str], ...] = ()

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        return core_schema.no_info_before_validator_function(self.in_form, handler(source))

    def in_form(self, typed: object) -> object:
        """The word that is meant; anything else stays as typed."""
        if not isinstance(typed, str):
            return typed
        folded = _fold(typed)
        return next((meant for written, meant in self.words if _fold(written) == folded), typed)

    def describe(self) -> str:
        """What else is accepted, for the reference."""
        return "".join(f'; "{written}" for "{meant}"' for written, meant in self.words)


def also_written(words: dict[str, str]) -> AlsoWritten:
    """Annotation of a key by what is written, with what it means."""
    return AlsoWritten(tuple(words.items()))
