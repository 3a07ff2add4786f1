"""Bytes of a job file to plain tables of the newest format; syntax errors as one plain sentence."""

import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import ParseError

from hvaccalc.errors import InputError, MissingReading, OutOfRange
from hvaccalc.job.fields import days_meant, shown
from hvaccalc.job.text.key_lines import KeyLines, key_lines, key_text

LARGEST_FILE = 1_000_000
"""Bytes; a year of weekly visits fits many times over."""

MANY_DOTS = 100
"""Dots in one line that may be a key nested beyond reason."""


def decode(raw: bytes, limit: int = LARGEST_FILE) -> str:
    """Text of a file: UTF-8, with or without byte order mark, at most 1 MB.

    Raises
    ------
    InputError
        With the line of the first byte that is not UTF-8.
    """
    if len(raw) > limit:
        raise InputError(
            "the file is too large", found=f"{len(raw):,} bytes", allowed=f"at most {limit:,} bytes"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            "the file is not UTF-8 text",
            found=f"byte 0x{raw[error.start]:02x}",
            allowed="text saved as UTF-8",
            line=raw.count(b"\n", 0, error.start) + 1,
        ) from None


def parse(text: str) -> dict[str, Any]:
    """Plain tables of a TOML text.

    Raises
    ------
    InputError
        With line and key.
    """
    try:
        if any(line.count(".") > MANY_DOTS for line in text.split("\n")):
            tomlkit.parse(text)  # counts levels; the fast reader below does not
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _told(str(error), text) from None
    except RecursionError:
        raise _too_deep(text) from None
    except ParseError as error:
        if "nested more than" in str(error):
            raise _too_deep(text, error.line) from None
        raise _told(f"{error} (at line {error.line}, column {error.col + 1})", text) from None
    except ValueError:  # a whole number of more digits than the language converts
        raise InputError(
            "a number too long to read",
            found="more than 4,300 digits",
            allowed="numbers that instruments show",
        ) from None


_BARE_VALUE = re.compile(r"(\s*[\w.-]+\s*=\s*)([^\s\"'\[{#][^\"'\[{#]*)(#.*)?")

MOST_UNREAD = 20
"""Values of one file that are told as unreadable together."""


def parse_what_can_be(text: str) -> tuple[dict[str, Any], list[InputError]]:
    """Plain tables, with the refusals of bare values that cannot be read: a date that is none, words without
    quotes. Each stands as text in the tables, so that the other refusals of the file can be told beside.

    Raises
    ------
    InputError
        Where nothing more than such a value is wrong; the first one met.
    """
    unread: list[InputError] = []
    lines = text.split("\n")
    while True:
        try:
            return parse("\n".join(lines)), unread
        except InputError as error:
            bare = _BARE_VALUE.fullmatch(lines[(error.line or 0) - 1].rstrip("\r")) if error.key else None
            if bare is None or len(unread) == MOST_UNREAD:
                raise unread[0] if unread else error from None
            unread.append(error)
            lines[(error.line or 0) - 1] = f'{bare[1]}""'


def _too_deep(text: str, line: int | None = None) -> InputError:
    if line is None:
        depths = [one.count("[") + one.count("{") for one in text.split("\n")]
        line = depths.index(max(depths)) + 1
    error = InputError("tables or lists nested too deep", found=f"line {line}", allowed="at most 100 levels")
    error.line = line
    return error


def _told(message: str, text: str) -> InputError:
    """Plain sentence for the message of the TOML reader."""
    at = re.search(r"\(at line (\d+), column \d+\)", message)
    scan = key_lines(text)
    if re.search(r"overwrite|twice|[Dd]uplicate|immutable|already exists|Redefinition", message):
        return _duplicate(scan, int(at[1]) if at else None, text)
    rows = text.split("\n")
    line = min(int(at[1]) if at else scan.lone_quote or len(rows), len(rows))
    statement = scan.statement_at(line)
    if not at and statement:
        line = statement[0]
    typed = rows[line - 1].strip()
    sentence, allowed, kind = _sentence(message, typed)
    error = kind(sentence, found=shown(typed) if typed else "the end of the line", allowed=allowed, line=line)
    if statement and statement[0] == line:
        error.key = key_text(statement[1]) or None
    return error


_DATE = re.compile(r"=\s*(\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\d{1,2}[./-]\d{2,4})")


def _sentence(message: str, typed: str) -> tuple[str, str, type[InputError]]:
    """What went wrong in a line, guessed from what people type."""
    value = typed.partition("=")[2].strip()
    if _DATE.search(typed):
        allowed = "year-month-day of a day that exists, such as 2026-06-18"
        return "a date that cannot be", allowed + days_meant(value.partition("#")[0]), OutOfRange
    if re.match(r"\d{1,2}:\d{2}", value):
        return "a time that cannot be", "hours, minutes and seconds, such as 10:32:00", OutOfRange
    if re.search(r"[“”„‘’]", typed):
        return "curly quotes", 'straight quotes, such as "80 degF"', InputError
    if re.match(r"(true|false|yes|no|none|null)\b", value, re.I):
        return "a word without quotes", 'true, false, or text in quotes such as "yes"', InputError
    if re.match(r"[+-]?[\d.,]+\s*[^\d\s\],}#]", value):
        return "a value with a unit stands in quotes", 'such as "80 degF"', InputError
    if value[:1] in ('"', "'") or "Illegal character '\\n'" in message:
        return (
            "text that is not closed by its quote, or holds a forbidden character",
            'such as "text"',
            InputError,
        )
    if typed.startswith("[") and "=" not in typed:
        return "a table name that is not closed", "[unit], or [[visit]] for one of several", InputError
    if "=" not in typed:
        return "neither a key with its value nor a table name", 'key = "value", or [table]', InputError
    if not value:
        return "a key without a value", 'key = "value"', InputError
    if re.match(r"[A-Za-z]", value):
        return "text stands in quotes", 'such as "interlaced"', InputError
    return "not readable as TOML", 'lines such as key = "value", [table], # comment', InputError


def _duplicate(scan: KeyLines, line: int | None, text: str) -> InputError:
    if scan.repeated:
        location, first, second = scan.repeated[0]
        key = key_text(location)
        return InputError(
            f"stands twice, in line {first} and line {second}",
            found=shown(str(location[-1])),
            allowed="each key and each table once; a second visit or condition starts with [[ ]]",
            line=second,
            key=key,
        )
    statement = scan.statement_at(line) if line else None
    return InputError(
        "stands twice, or is a value in one place and a table in another",
        found=shown(text.split("\n")[line - 1].strip()) if line else "",
        allowed="each key and each table once",
        line=line,
        key=key_text(statement[1]) if statement else None,
    )


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
