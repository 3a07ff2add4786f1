"""What became of a cause, as a memo shows it; `service.put_right` decides it."""

from dataclasses import dataclass

from hvaccalc.diagnosis.air.fan_check_rows import CheckName
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.findings import Finding
from hvaccalc.job.causes import Cause, Way
from hvaccalc.report.found import Found, where_of
from hvaccalc.service.put_right import (
    CAUSES_OF_CHECKS,
    Ending,
    PutRight,
    check_read_right,
    ended,
    ice_read_right,
    motor_read_right,
)
from hvaccalc.words import endings as words
from hvaccalc.words.said import Reader, date_text


@dataclass(frozen=True, slots=True)
class Closed:
    """A cause that was repaired or read right after it was found.

    Attributes
    ----------
    visit : int or None
        Of the repair, or of the reading; None where a leak was repaired between visits.
    date : str
        Of that day, in words.
    read : ConditionResult or None
        Condition that reads it right; None where only the work says so.
    plain : bool
        Whether the customer reads it.
    notes : tuple of str
        Of the works that name the cause.
    """

    visit: int | None
    date: str
    read: ConditionResult | None
    plain: bool
    notes: tuple[str, ...] = ()

    @property
    def noted(self) -> str:
        """The repair as a line of the permanent repair."""
        return " ".join([self.done, *self.notes, self.proof_due])

    @property
    def done(self) -> str:
        """What happened to it, and when."""
        said = words.REPAIRED if self.read is None else words.READ_RIGHT
        return said.to(self._reader).format(day=self.date)

    @property
    def proof_due(self) -> str:
        """That its proof is still due."""
        return words.PROOF_DUE.to(self._reader)

    @property
    def _reader(self) -> Reader:
        return Reader.CUSTOMER if self.plain else Reader.FILE


def of_cause(found: Found, cause: Cause, circuit: str | None = None) -> Closed | None:
    """How a cause was closed; None while it is open."""
    end = ended(found.analysis.put_right, cause, circuit)
    return None if end is None or end.open else _closed(found, end)


def of_water(found: Found, way: Way) -> Closed | None:
    """How the cause behind a way of the water was closed, ice by a reading alone; None while it is open."""
    budget = found.analysis.water
    cause = way.cause
    if cause is not None:
        return of_cause(found, cause)
    if budget is None or way != Way.MELT:
        return None
    return _read(found, ice_read_right(found.analysis, max(budget.seen.visits, key=found.turn, default=0)))


def of_finding(found: Found, finding: Finding) -> Closed | None:
    """How the cause that a finding speaks of was closed; None while it is open."""
    if isinstance(finding.about, Way):
        if finding.about is not Way.MELT:
            return None
        return _read(found, ice_read_right(found.analysis, where_of(finding).visit))
    if finding.key.startswith("fan.check."):
        name = CheckName(finding.key.removeprefix("fan.check.").replace("_", " "))
        return of_check(found, name, where_of(finding).visit)
    result = found.result(finding) if finding.key == "fan.motor_load" else None
    if result is not None:
        return _read(found, motor_read_right(found.analysis, result))
    return None if finding.about is None else of_cause(found, finding.about, finding.circuit)


def of_check(found: Found, name: CheckName, visit: int) -> Closed | None:
    """How a check of the fan that failed was read right, or its cause closed; None while it fails."""
    read = _read(found, check_read_right(found.analysis, name, visit))
    cause = CAUSES_OF_CHECKS.get(name)
    return read or (of_cause(found, cause) if cause is not None else None)


def repaired_since(found: Found, finding: Finding) -> Closed | None:
    """The repair of what a finding speaks of, while nobody read it since; None elsewhere."""
    end = of_finding(found, finding)
    return end if end is not None and end.read is None else None


def leak_repaired(found: Found, circuit: str) -> str | None:
    """Day of a leak's latest repair in words, by its own table or by a work that mends it; None without."""
    end = ended(found.analysis.put_right, Cause.LOW_CHARGE, circuit)
    visits = (found.job.visit[ref.visit - 1].date for ref in (end.works if end is not None else ()))
    days = [day for day in (*visits, found.job.circuit[circuit].leak.repaired) if day is not None]
    return date_text(max(days)) if days else None


def came_back(found: Found, finding: Finding) -> PutRight | None:
    """The ending of a cause that was seen again after its repair; None elsewhere."""
    if not isinstance(finding.about, Cause):
        return None
    end = ended(found.analysis.put_right, finding.about, finding.circuit)
    return end if end is not None and end.ending is Ending.CAME_BACK else None


def _closed(found: Found, end: PutRight) -> Closed:
    visits = found.analysis.visits
    notes = [_noted(found, visits.work(ref).note) for ref in end.works]
    read = visits.result(end.read) if end.read is not None else None
    if end.visit is None:
        # Only the table of a leak closes a cause without a visit.
        day = found.job.circuit[end.circuit or ""].leak.repaired
    else:
        day = found.job.visit[end.visit - 1].date
    return Closed(end.visit, date_text(day), read, found.plain, tuple(note for note in notes if note))


def _noted(found: Found, note: str | None) -> str:
    """The words of a work beside its claim."""
    if not note:
        return words.NOT_NOTED.to(found.reader)
    return words.NOTED.to(found.reader).format(note=note.strip().rstrip("."))


def _read(found: Found, right: ConditionResult | None) -> Closed | None:
    if right is None:
        return None
    return Closed(
        right.where.visit, date_text(found.job.visit[right.where.visit - 1].date), right, found.plain
    )
