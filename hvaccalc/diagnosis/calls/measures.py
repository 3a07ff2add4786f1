"""Recorded measures that must not stand: a bridged safety, an end that has passed, no end at all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Work
from hvaccalc.rows import complete
from hvaccalc.severity import Severity

_DOING = re.compile(r"\b(jump|bridg|by-?pass|defeat|short(ed)? out|tie[ds]? out)", re.IGNORECASE)
_SAFETY = re.compile(
    r"freeze\s?-?(stat|switch|protect)|pressure (switch|control|cut)|cut-?\s?out|high limit|limit switch"
    r"|float|smoke|safety|safeties|\b[lh]p(s|\d| ?switch| ?control)",
    re.IGNORECASE,
)


class Doubtful(StrEnum):
    """What makes a recorded piece of work doubtful."""

    BRIDGED_SAFETY = "bridged safety"
    OVERDUE = "overdue"
    NO_END = "no end"

    @property
    def severity(self) -> Severity:
        """How bad it is."""
        return _SEVERITY[self]


_SEVERITY = complete(
    Doubtful,
    {Doubtful.BRIDGED_SAFETY: Severity.STOP, Doubtful.OVERDUE: Severity.ACT, Doubtful.NO_END: Severity.WATCH},
)


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is wrong with one recorded piece of work.

    Attributes
    ----------
    visit : int
        Counted from 1.
    text : Doubtful
    """

    visit: int
    text: Doubtful


def doubts(job: Job) -> Iterator[Doubt]:
    """Doubts about every piece of work of a job, by the words and dates typed."""
    for number, visit in enumerate(job.visit, 1):
        for work in visit.work:
            yield from (Doubt(number, text) for text in of_work(work, last_date(job)))


def of_work(work: Work, last: date | None) -> Iterator[Doubtful]:
    """Doubts about one piece of work.

    Parameters
    ----------
    work : Work
    last : date or None
        Latest dated visit.
    """
    if not work.removed and reads_as_bridged(work.note or ""):
        # No date makes a bridged safety acceptable: nothing is said of its end.
        yield Doubtful.BRIDGED_SAFETY
        return
    if work.kind != "temporary measure" or work.removed:
        return
    if work.expires is None:
        yield Doubtful.NO_END
    elif last is not None and last > work.expires:
        yield Doubtful.OVERDUE


def reads_as_bridged(note: str) -> bool:
    """Whether a note reads as if a safety were bridged: the one note that is read, to warn, never to close.

    Examples
    --------
    >>> reads_as_bridged("Jumped the freezestat"), reads_as_bridged("Cleaned the float switch")
    (True, False)
    """
    return bool(_DOING.search(note) and _SAFETY.search(note))


def last_date(job: Job) -> date | None:
    """Latest dated visit."""
    return max((visit.date for visit in job.visit if visit.date), default=None)
