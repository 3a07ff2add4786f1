"""Every key of the job file with its kind and words, read off the models themselves."""

import json
import types
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from hvaccalc.job.fields import READING_KEYS, Check, OneOf, Refused, Table, Value
from hvaccalc.job.schema import Job
from hvaccalc.job.spelling import AlsoWritten
from hvaccalc.job.text.key_lines import Location
from hvaccalc.job.visit_tables import SIGN_KEYS, Words


@dataclass(frozen=True, slots=True)
class KeyReference:
    """One key: its table as typed, what it accepts, whether it must stand."""

    table: str
    key: str
    accepts: str
    words: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    required: bool = False
    default: str = ""


def _alternatives(annotation: Any) -> Iterator[Any]:
    """The parts of an annotation, through unions, lists and ``Annotated``, outermost first."""
    yield annotation
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from get_args(annotation)[1:]
        yield from _alternatives(get_args(annotation)[0])
    elif origin in (Union, types.UnionType):
        for part in get_args(annotation):
            yield from _alternatives(part)
    elif origin in (tuple, dict):
        for part in get_args(annotation):
            yield from _alternatives(part)


def _parts(field: FieldInfo) -> list[Any]:
    return [*field.metadata, *_alternatives(field.annotation)]


def _is_list(field: FieldInfo) -> bool:
    return any(get_origin(part) is tuple for part in _parts(field))


def typed_name(name: str, field: FieldInfo) -> str:
    """Name of a field as it stands in the file."""
    return field.alias or name


def keys_of(table: type[Table]) -> dict[str, FieldInfo]:
    """Keys of a table as typed."""
    return {typed_name(name, field): field for name, field in table.model_fields.items()}


def table_below(field: FieldInfo) -> type[Table] | None:
    """Table class that a key holds, alone, listed or named; None where it holds values."""
    for part in _parts(field):
        if isinstance(part, type) and issubclass(part, Table):
            return part
    return None


def shape(field: FieldInfo) -> Literal["table", "rows", "named", "value"]:
    """How a key holds what it holds."""
    if table_below(field) is None:
        return "value"
    origins = [get_origin(part) for part in _parts(field)]
    return "named" if dict in origins else "rows" if tuple in origins else "table"


def tables_along(location: Location) -> list[tuple[Location, type[Table]]]:
    """Tables that a place runs through, the whole job first."""
    tables: list[tuple[Location, type[Table]]] = [((), Job)]
    skip = False
    for end, part in enumerate(location, start=1):
        if skip or isinstance(part, int):
            tables[-1] = (location[:end], tables[-1][1])
            skip = False
            continue
        field = keys_of(tables[-1][1]).get(part)
        below = table_below(field) if field else None
        if field is None or below is None:
            break
        tables.append((location[:end], below))
        skip = shape(field) == "named"
    return tables


def table_name(location: Location) -> str:
    """A table as its header stands in the file: ``[[visit.condition]]``."""
    if not location:
        return "the file"
    names = ".".join(part for part in location if isinstance(part, str))
    return f"[[{names}]]" if isinstance(location[-1], int) else f"[{names}]"


def accepted(field: FieldInfo) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """What a key accepts in words, its list of words, its kinds of quantity."""
    for part in _parts(field):
        if isinstance(part, Value):
            keys = f"; or a table with {', '.join(READING_KEYS)}" if part.reading else ""
            return part.describe() + keys, part.words, part.kinds
        if isinstance(part, Words):
            return part.describe() + f"; or a table with {', '.join(SIGN_KEYS)}", part.words, ()
        if isinstance(part, Check):
            return part.describe(), (), ()
        if get_origin(part) is Literal or isinstance(part, OneOf):
            known = part.words if isinstance(part, OneOf) else get_args(part)
            words = tuple(str(word) for word in known)
            typed = [json.dumps(word, ensure_ascii=False) for word in known]
            several = "a list of: " if _is_list(field) else ""
            also = "".join(one.describe() for one in _parts(field) if isinstance(one, AlsoWritten))
            return several + ", ".join(typed) + also, words, ()
    plain = {str: "text", int: "whole number", float: "number"}
    for part in _parts(field):
        if isinstance(part, type) and part in plain:
            several = "list of " if _is_list(field) else ""
            return several + plain[part], (), ()
    return "value", (), ()


def read_as(table: type[Table], key: str, typed: object) -> Any:
    """What a key of a table, one that carries a unit, makes of a value.

    Raises
    ------
    InputError
        As the file would be refused, without file, line and key.
    """
    value = next(part for part in _parts(keys_of(table)[key]) if isinstance(part, Value))
    try:
        return value.read(typed)
    except Refused as refused:
        raise refused.error from None


def schema_reference() -> tuple[KeyReference, ...]:
    """Every key of the job file in the order of its tables.

    Returns
    -------
    tuple of KeyReference
    """
    return tuple(_rows_of(Job, "top"))


def _rows_of(table: type[Table], title: str) -> Iterator[KeyReference]:
    below: list[tuple[type[Table], str]] = []
    for key, field in keys_of(table).items():
        inner = table_below(field)
        if inner is None:
            text, words, kinds = accepted(field)
            default = "" if field.default is None or field.is_required() else str(field.default)
            yield KeyReference(title, key, text, words, kinds, field.is_required(), default)
            continue
        name = key if title == "top" else f"{title.strip('[]')}.{key}"
        name += ".N" if shape(field) == "named" else ""
        below.append((inner, f"[[{name}]]" if shape(field) == "rows" else f"[{name}]"))
    for inner, name in below:
        yield from _rows_of(inner, name)
