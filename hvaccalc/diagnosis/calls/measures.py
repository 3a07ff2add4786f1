"""Temporary measures: recorded ones that must not stand, and the calls that were read with a pair landed."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from hvaccalc.call import Call, highest
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.wiring.netlist import Circuit
from hvaccalc.equipment.wiring.temporary_measure import CallProof, Measure
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Work
from hvaccalc.practice.air import SAME_SPEED
from hvaccalc.rows import complete
from hvaccalc.severity import Severity

_DOING = re.compile(r"\b(jump|bridg|b(y|i)-?pass|defeat|short(ed)? out|tie[ds]? out)", re.IGNORECASE)
_SAFETY = re.compile(
    r"freeze\s?-?(stat|switch|protect)|press(ure|\.)? ?(sw|control|cut)|cut-?\s?out|high limit|limit switch"
    r"|float|smoke|safety|safeties|\b[lh]p(s|\d| ?sw| ?control)",
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


@dataclass(frozen=True, slots=True)
class ReadCall:
    """One call as read with the temporary pair landed, fan and compressors as the wiring has them.

    Attributes
    ----------
    call : Call
    where : Where
    day : date or None
        Of the visit.
    speed : str
        Fan speed as read.
    circuits : tuple of str
        Circuits whose compressor ran, proved or stated.
    """

    call: Call
    where: Where
    day: date | None
    speed: str
    circuits: tuple[str, ...]


def read_calls(draws: Draws, found: Circuit, now: Circuit, measure: Measure) -> tuple[ReadCall, ...]:
    """Calls that were read with the measure in place, the latest reading of each.

    Notes
    -----
    A condition counts where a temporary measure was noted on its visit or an earlier one and still stands,
    the fan's speed was read, what is known of every compressor fits the wiring with the pair, and, on the
    day of the measure itself, the fan does not fit the wiring without it.
    """
    read: dict[str, ReadCall] = {}
    for proof in measure.proofs:
        for where, condition in draws.conditions():
            if condition.calls is None:
                continue
            landed = _landed(draws, where)
            if not landed or _called(draws, where) != proof.call:
                continue
            apart = landed != where.visit or _differs(draws, where, found)
            if apart and _fits(draws, where, now, proof):
                read[proof.call] = _read(draws, where, proof)
    return tuple(read.values())


def _read(draws: Draws, where: Where, proof: CallProof) -> ReadCall:
    frequency = draws.quantity(where, "fan_frequency") or draws.quantity(where, "fan_speed")
    speed = frequency.text if frequency is not None else proof.speed
    day = draws.job.visit[where.visit - 1].date
    return ReadCall(proof.call, where, day, speed, compressors.running_circuits(draws, where))


def _landed(draws: Draws, where: Where) -> int:
    """Visit on which the measure was landed that stood in a condition; 0 where none did."""
    visits = draws.job.visit
    here = visits[where.visit - 1].date
    for number, visit in enumerate(visits, 1):
        earlier = visit.date <= here if visit.date and here else number <= where.visit
        if earlier and any(w.kind == "temporary measure" and not w.removed for w in visit.work):
            return number
    return 0


def _read_share(draws: Draws, where: Where) -> float | None:
    ratio = speed_ratio(draws, where)
    return float(ratio.draws[0]) if ratio is not None and ratio.basis == "measured" else None


def _called(draws: Draws, where: Where) -> Call:
    """The call that stands for several: the highest."""
    return highest(draws.condition(where).calls or ())


def _differs(draws: Draws, where: Where, found: Circuit) -> bool:
    share = _read_share(draws, where)
    return share is not None and abs(share - found.answer(_called(draws, where)).share) > SAME_SPEED


def _fits(draws: Draws, where: Where, now: Circuit, proof: CallProof) -> bool:
    """Fan read and every compressor known, both as the wiring with the pair has them at that call."""
    share = _read_share(draws, where)
    if share is None or abs(share - now.answer(proof.call).share) > SAME_SPEED:
        return False
    wanted = {
        load.stage for load in now.netlist.loads if load.kind == "compressor" and load.name in proof.loads
    }
    for name in draws.job.circuit:
        state = compressors.compressor(draws, where.at(name)).state
        if state is RunState.UNKNOWN or (state is not RunState.NO) != (draws.stage(name) in wanted):
            return False
    return True
