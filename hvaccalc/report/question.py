"""One open question of the memo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Question:
    """One open question: what it is about, why it is open, what to read next."""

    about: str
    open: str
    next: str
