"""Typed values back to what stands in a file."""

from __future__ import annotations

from typing import Any

import tomlkit

from hvaccalc.job.accuracy import Accuracy
from hvaccalc.job.causes import CauseAt
from hvaccalc.job.fields import READING_KEYS, Reading, Table
from hvaccalc.job.reference import typed_name
from hvaccalc.job.schema import EnergyPrice
from hvaccalc.job.signs import SIGN_KEYS, Sign
from hvaccalc.job.visit_tables import FansRunning, Traverse
from hvaccalc.units import Quantity


def plain(value: Any) -> Any:
    """Text, number, list or table as typed in a file; keys that are None are left out."""
    if isinstance(value, Quantity):
        return _number(value.text) if value.kind == "ratio" else value.text
    if isinstance(value, (Accuracy, EnergyPrice)):
        return value.text
    if isinstance(value, CauseAt):
        return str(value)
    if isinstance(value, Reading):
        return _inline({"value": plain(value.quantity)}, value, READING_KEYS[1:])
    if isinstance(value, Sign):
        words = value.values[0] if len(value.values) == 1 else list(value.values)
        return _inline({"value": words}, value, SIGN_KEYS[1:])
    if isinstance(value, FansRunning):
        return value.running if value.of is None else f"{value.running} of {value.of}"
    if isinstance(value, Traverse) and value.area is None:
        return [plain(velocity) for velocity in value.velocities]
    if isinstance(value, Table):
        return _table(value)
    if isinstance(value, dict):
        return {name: plain(entry) for name, entry in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(entry) for entry in value]
    return value


def _number(text: str) -> Any:
    """A plain number without quotes; with a band it stays text."""
    for convert in (int, float):
        try:
            return convert(text)
        except ValueError:
            continue
    return text


def _inline(table: dict[str, Any], value: object, keys: tuple[str, ...]) -> Any:
    """The bare value, or an inline table where more is said."""
    said = {key: getattr(value, key) for key in keys if getattr(value, key) is not None}
    if not said:
        return table["value"]
    inline = tomlkit.inline_table()
    inline.update({**table, **said})
    return inline


def _table(table: Table) -> dict[str, Any]:
    fields = type(table).model_fields
    return {
        typed_name(name, fields[name]): plain(getattr(table, name))
        for name in fields
        if name in table.model_fields_set and getattr(table, name) is not None
    }
