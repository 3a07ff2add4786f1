"""A corpus of broken job files, each one fault away from a good one.

`CASES` maps a name to (text or bytes, what the error must tell). An expectation names the kind of
error, the key and the line where they exist, and words that `found` or the message must hold. The
line is that of the edited text, counted here by searching the text, not by the code under test.
"""

from __future__ import annotations

from dataclasses import dataclass

from hvaccalc.errors import InputError
from tests.behaviour.job_texts import SMALL_JOB


@dataclass(frozen=True)
class Expected:
    """What the error of a broken file must tell."""

    kind: type[InputError]
    key: str | None
    line: int | None
    words: tuple[str, ...] = ()


CASES: dict[str, tuple[bytes, Expected]] = {}


def add(name: str, text: str | bytes, expected: Expected) -> None:
    assert name not in CASES, name
    CASES[name] = (text if isinstance(text, bytes) else text.encode(), expected)


def line_in(text: str, piece: str) -> int:
    assert text.count(piece) == 1, (piece, text.count(piece))
    return text[: text.index(piece)].count("\n") + 1


def swap(name, base, old, new, kind, key, words=(), at=None) -> None:
    """Replace one line of a good file; the error must stand on it."""
    assert base.count(old) == 1, (name, old, base.count(old))
    text = base.replace(old, new)
    line = line_in(text, at if at is not None else new) if new or at else None
    add(name, text, Expected(kind, key, line, tuple(words)))


def air(name, typed, kind, words=(), inner="") -> None:
    """Another key of the air table in place of the good reading."""
    key = typed.partition("=")[0].strip()
    good = 'return_dry_bulb = "74.5 ± 0.5 degF"'
    swap(f"{name}", SMALL_JOB, good, typed, kind, f"visit[1].condition[1].air.{key}{inner}", words)


AIR = "visit[1].condition[1].air"
CIRCUIT = "visit[1].condition[1].circuit.1"
