"""What the validator found, as `InputError`s with key, found and allowed."""

import re
from typing import Any

from pydantic import ValidationError

from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
from hvaccalc.job.fields import Refused, nearest, not_a_word, shown, unknown_key
from hvaccalc.job.reference import accepted, keys_of, shape, table_below, table_name, tables_along
from hvaccalc.job.text.key_lines import Location

Placed = tuple[Location, InputError]

_EXPECTED = {
    "string_type": ("not text", "text in quotes"),
    "int_type": ("not a whole number", "a whole number without quotes"),
    "int_from_float": ("not a whole number", "a whole number without quotes"),
    "float_type": ("not a number", "a number without quotes"),
    "finite_number": ("not a finite number", "a finite number"),
    "tuple_type": ("not a list", "a list in square brackets"),
    "dict_type": ("not a table", "a table"),
}


def refusals(error: ValidationError) -> list[Placed]:
    """Every refusal of a validation with its place."""
    return [_refusal(found) for found in error.errors(include_url=False)]


def _refusal(found: Any) -> Placed:
    location: Location = tuple(part for part in found["loc"] if part != "[key]")
    kind, value, context = found["type"], found["input"], found.get("ctx", {})
    if isinstance(refused := context.get("error"), Refused):
        return (*location, *refused.inner), refused.error
    if kind == "extra_forbidden":
        return location, _unknown(location)
    if kind == "missing":
        return location, _missing(location)
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        return location, not_a_word(value, words) if words else _not_a_number(value, context["expected"])
    if kind in ("model_type", "tuple_type", "dict_type") and (error := _shape(location, value)):
        return location, error
    if kind in ("greater_than_equal", "less_than_equal", "too_short", "too_long"):
        return location, OutOfRange(_limit(kind, context), found=shown(value), allowed=_allowed(location))
    message, allowed = _EXPECTED.get(kind, ("not a value of this key", _allowed(location)))
    return location, WrongKind(message, found=shown(value), allowed=allowed)


def _not_a_number(value: object, numbers: str) -> InputError:
    """Refusal of a number that is not in the list."""
    if isinstance(value, int) and not isinstance(value, bool):
        return InputError("not one of the numbers known here", found=shown(value), allowed=numbers)
    return WrongKind("not a whole number", found=shown(value), allowed=f"{numbers} without quotes")


def _limit(kind: str, context: dict[str, Any]) -> str:
    if kind == "greater_than_equal":
        return f"less than {context['ge']}"
    if kind == "less_than_equal":
        return f"more than {context['le']}"
    if kind == "too_short":
        return f"fewer than {context['min_length']} entries"
    return f"more than {context['max_length']} entries"


def _field(location: Location) -> Any:
    """Field of a place, or None."""
    names = [place for place, part in enumerate(location) if isinstance(part, str)]
    if not names:
        return None
    upto = location[: names[-1]]
    return keys_of(tables_along(upto)[-1][1]).get(str(location[names[-1]]))


def _allowed(location: Location) -> str:
    field = _field(location)
    if field is None:
        return "see the list of keys"
    if (below := table_below(field)) is not None:
        return ", ".join(keys_of(below))
    return accepted(field)[0]


def _unknown(location: Location) -> InputError:
    """An unknown key, with the table that it may belong to."""
    key = str(location[-1])
    tables = tables_along(location[:-1])
    place, table = tables[-1]
    error = unknown_key(key, keys_of(table), table_name(place))
    for upper_place, upper in reversed(tables[:-1]):
        if key in keys_of(upper) and upper_place:
            error.message = (
                f"unknown key in {table_name(place)}: it belongs to {table_name(upper_place)} and stands "
                f"after a later header; move it up, before the first {_first_header(upper_place, tables)}"
            )
            return error
    for name, below in ((n, table_below(f)) for n, f in keys_of(table).items()):
        if below is not None and key in keys_of(below) and not nearest(key, keys_of(table)):
            error.message += f"; it belongs to the table {name} below"
            return error
    return error


def _first_header(upper_place: Location, tables: list[tuple[Location, Any]]) -> str:
    """Header of the first table below the one that a stray key belongs to."""
    for place, _ in tables:
        if len(place) > len(upper_place):
            return table_name(place)
    return "header below it"


def _missing(location: Location) -> InputError:
    field = _field(location)
    allowed = _allowed(location)
    table = table_name(location[:-1])
    if field is not None and table_below(field) is not None:
        header = f"[{location[-1]}.1]" if shape(field) == "named" else f"[{location[-1]}]"
        return MissingReading(f"the table {header} is missing", found="nothing", allowed=allowed)
    message = f"missing in {table}; a job cannot do without it"
    return MissingReading(message, found="nothing", allowed=allowed)


def _shape(location: Location, value: object) -> InputError | None:
    """A table where a list stands, and the other ways round."""
    field = _field(location)
    below = table_below(field) if field is not None else None
    if field is None or below is None:
        if isinstance(location[-1], str) and len(location) > 1:
            holder = _field(location[:-1])
            if holder is not None and shape(holder) == "named":
                names = ".".join(str(part) for part in location[:-1] if isinstance(part, str))
                name = "1" if names == "circuit" else "gauge_a"
                message = f"a key outside a named table; write [{names}.{name}] and put it there"
                return WrongKind(message, found=shown(value), allowed=f"[{names}.NAME]")
        return None
    names = ".".join(part for part in location if isinstance(part, str))
    header = {"rows": f"[[{names}]]", "named": f"[{names}.NAME]"}.get(shape(field), f"[{names}]")
    allowed = f"{header} with {', '.join(keys_of(below))}"
    if shape(field) == "rows" and isinstance(value, dict):
        return WrongKind("one of several; its header stands in double brackets", shown(value), allowed)
    if isinstance(value, (list, tuple)):
        return WrongKind("there is one of it; its header stands in single brackets", shown(value), allowed)
    return WrongKind("a table stands here", found=shown(value), allowed=allowed)
