"""Signs: what was seen, in fixed words. One value, a list, or a table with value, by, at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, get_args

from pydantic_core import core_schema

from hvaccalc.errors import InputError, MissingReading, WrongKind
from hvaccalc.job.fields import Refused, Table, not_a_word, quoted, said, shown, unknown_key, yes_or_no

Timing = Literal["while cooling", "after shut-down", "always", "mild days", "humid days", "rain", "unknown"]
"""When the water comes."""

SIGN_KEYS = ("value", "by", "at")


@dataclass(frozen=True, slots=True)
class Sign:
    """What was seen, by whom and when."""

    values: tuple[str, ...]
    by: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """Annotation of a sign: the words that it may take; unknown is always one of them."""

    words: tuple[str, ...]

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def describe(self) -> str:
        return "one or a list of: " + quoted(self.words)

    def read(self, value: object) -> Sign:
        """The sign read, or `Refused`."""
        if not isinstance(value, dict):
            return Sign(self._values(value, ()))
        for key in value:
            if key not in SIGN_KEYS:
                raise Refused(unknown_key(key, SIGN_KEYS, "a sign"), (key,))
        if "value" not in value:
            error = MissingReading("a sign without its value", "nothing", self.describe())
            raise Refused(error, ("value",))
        beside = {key: said(value[key], key) for key in SIGN_KEYS[1:] if key in value}
        return Sign(self._values(value["value"], ("value",)), **beside)

    def _values(self, value: object, inner: tuple[str | int, ...]) -> tuple[str, ...]:
        if isinstance(value, list) and not value:
            message = "an empty list says nothing; leave the key out or write unknown"
            raise Refused(InputError(message, found="[]", allowed=self.describe()), inner)
        seen = []
        for place, word in enumerate(value if isinstance(value, list) else [value]):
            word = yes_or_no(word) if "yes" in self.words else word
            at = (*inner, place) if isinstance(value, list) else inner
            if not isinstance(word, str):
                raise Refused(WrongKind("not a word", found=shown(word), allowed=self.describe()), at)
            if word not in self.words:
                raise Refused(not_a_word(word, self.words), at)
            seen.append(word)
        return tuple(seen)


def _sign(*words: str) -> Words:
    return Words((*words, "unknown"))


YES_NO = _sign("yes", "no")
FITTED = _sign("none", "fitted", "tripped")


class Signs(Table):
    """``[visit.signs]`` and ``[visit.condition.signs]``."""

    water_on: (
        Annotated[
            Sign, _sign("coil face", "filters", "pan rim", "cabinet floor", "duct", "pipe", "above the unit")
        ]
        | None
    ) = None
    pan_water: Annotated[Sign, _sign("dry", "film", "standing", "full", "overflowing")] | None = None
    drain_flow: Annotated[Sign, _sign("free", "slow", "blocked")] | None = None
    trap: Annotated[Sign, _sign("none", "dry", "sealed", "present")] | None = None
    drain_air: Annotated[Sign, _sign("drawn in", "blown out", "none")] | None = None
    frost_on: Annotated[Sign, _sign("none", "tubes", "suction line", "coil face", "compressor")] | None = None
    filters: Annotated[Sign, _sign("clean", "loaded", "missing", "wet")] | None = None
    coil_face: Annotated[Sign, _sign("clean", "dirty", "bent")] | None = None
    fan_on_second_stage: Annotated[Sign, _sign("rises", "stays")] | None = None
    oil_trace: Annotated[Sign, _sign("none", "seen")] | None = None
    leak_detector: Annotated[Sign, _sign("none", "alarm")] | None = None
    pump: Annotated[Sign, _sign("none", "runs", "stopped")] | None = None
    sweating_on: Annotated[Sign, _sign("cabinet", "duct", "suction line", "pan")] | None = None
    timing: Annotated[Sign, Words(get_args(Timing))] | None = None
    pour_test: Annotated[Sign, _sign("drains", "backs up")] | None = None
    tested_with_fan: Annotated[Sign, _sign("off", "low", "full")] | None = None
    tested_with_door: Annotated[Sign, _sign("open", "closed")] | None = None
    coil_thawed: Annotated[Sign, YES_NO] | None = None
    water_with_cooling_off: Annotated[Sign, YES_NO] | None = None
    hot_water_coil: Annotated[Sign, _sign("none", "dry", "wet")] | None = None
    sensing_bulb: Annotated[Sign, _sign("tight", "loose", "uninsulated")] | None = None
    float_switch: Annotated[Sign, FITTED] | None = None
    freezestat: Annotated[Sign, FITTED] | None = None
