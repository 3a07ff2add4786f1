"""Older formats of the job file, brought up to the newest step by step."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from hvaccalc.errors import InputError, MissingReading
from hvaccalc.job.fields import shown

NEWEST = 1
"""The newest format that this version reads."""

MIGRATIONS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}
"""From format n to n + 1: plain tables in, plain tables out."""


def migrate(
    tables: dict[str, Any],
    migrations: Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]] | None = None,
    newest: int = NEWEST,
) -> dict[str, Any]:
    """Tables in the newest format.

    Raises
    ------
    InputError
        For a missing, newer or unknown format; the message names the newest that is readable.
    """
    steps = MIGRATIONS if migrations is None else migrations
    allowed = f"format = {newest}, the newest that this version reads"
    if "format" not in tables:
        raise MissingReading("the format is missing", found="nothing", allowed=allowed, key="format")
    number = tables["format"]
    if isinstance(number, bool) or not isinstance(number, int):
        raise InputError("not a format", found=shown(number), allowed=allowed, key="format")
    if number > newest:
        message = f"a newer format; the newest that this version reads is {newest}"
        raise InputError(message, found=shown(number), allowed=allowed, key="format")
    while number < newest:
        if number not in steps:
            raise InputError("no such format", found=shown(number), allowed=allowed, key="format")
        tables = {**steps[number](dict(tables)), "format": number + 1}
        number += 1
    return tables
