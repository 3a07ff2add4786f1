"""Findings and conditions of an analysis, looked up by key and place, and named for a reader."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from hvaccalc.analysis import Analysis
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.findings import Finding
from hvaccalc.job.causes import Cause
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Sign, Signs
from hvaccalc.service.diagnosed import ranked
from hvaccalc.service.put_right import PutRight, ended
from hvaccalc.words.said import Reader, Teller, cut, date_text, joined
from hvaccalc.words.speak import teller

LONGEST_PLAIN = 40
MOST_PLACES, MOST_PLACES_PLAIN = 6, 2
"""Conditions named in one sentence, for the file and for the customer."""


@dataclass(frozen=True)
class Found:
    """What an analysis found, for one reader's memo.

    Attributes
    ----------
    analysis : Analysis
    plain : bool
        Whether the customer reads it: plain words, whole numbers.
    """

    analysis: Analysis
    plain: bool = False

    @property
    def job(self) -> Job:
        """The job."""
        return self.analysis.job

    @property
    def display(self) -> str:
        """Units shown."""
        return self.job.display

    @property
    def reader(self) -> Reader:
        """Who reads the memo."""
        return Reader.CUSTOMER if self.plain else Reader.FILE

    @property
    def teller(self) -> Teller:
        """Who puts reasons into this reader's words."""
        return teller(self.reader, self.display)

    @cached_property
    def _by_place(self) -> dict[tuple[str, Where], Finding]:
        return {(f.key, where_of(f).at(f.circuit or "")): f for f in self.analysis.findings}

    def at(self, key: str, where: Where) -> Finding | None:
        """The finding of a key at a place, or None."""
        return self._by_place.get((key, where))

    def known(self, key: str, where: Where) -> Finding | None:
        """The finding of a key at a place where it has a number, or None."""
        finding = self.at(key, where)
        return finding if finding is not None and finding.value is not None else None

    def of(self, key: str) -> Iterator[Finding]:
        """All findings of a key, in the file's order."""
        return (f for f in self.analysis.findings if f.key == key)

    @property
    def water_noted(self) -> bool:
        """Whether anything was noted of water: when it comes, how much, where, or what shows it."""
        return self.analysis.water is not None and self.analysis.water.matched

    @property
    def visits(self) -> tuple[int, ...]:
        """Numbers of the visits, by date."""
        return self.analysis.visits.order

    def turn(self, visit: int) -> tuple[date, int]:
        """What orders visits."""
        return self.analysis.visits.turn(visit)

    @property
    def by_time(self) -> list[ConditionResult]:
        """Conditions by date and time."""
        return self.analysis.visits.by_time

    def left_out(self, circuit: str) -> str:
        """That a circuit's readings could not be used, and why; empty where they could."""
        out = {n.where for n in self.analysis.notices if n.code == "refrigerant_not_carried"}
        if f"circuit.{circuit}" not in out:
            return ""
        name = self.job.circuit[circuit].refrigerant
        why = " is not known" if name == "unknown" else f", {name}, is not carried"
        return f"Circuit {circuit}'s readings could not be used: its refrigerant{why}."

    def place(self, where: Where) -> str:
        """A condition by its label, the visit added where there are several, a number where labels repeat."""
        if not where.condition:
            return self._visit(where.visit) if where.visit else "the job"
        labels = [r.label for r in self.analysis.conditions]
        result = self.analysis.visits.result(where)
        label = result.label if result is not None else f"condition {where.condition}"
        shown = cut(label, LONGEST_PLAIN) if self.plain else label
        if labels.count(label) > 1:
            return f"{shown} ({where.visit}.{where.condition})"
        several = sum(bool(visit.condition) for visit in self.job.visit) > 1
        return f"{self._visit(where.visit)}, {shown}" if several else shown

    def _visit(self, number: int) -> str:
        """A visit by its day for the customer, where days tell the visits apart; else by its number."""
        days = [visit.date for visit in self.job.visit]
        if self.plain and all(days) and len(set(days)) == len(days):
            return date_text(days[number - 1])
        return f"visit {number}"

    def places(self, wheres: Iterable[Where]) -> str:
        """Several conditions in a sentence, the first few by their labels."""
        names = [self.place(where) for where in dict.fromkeys(wheres)]
        most = MOST_PLACES_PLAIN if self.plain else MOST_PLACES
        more = f" and {len(names) - most} more" if len(names) > most else ""
        return "; ".join(names[:most]) + more

    @property
    def decisive(self) -> ConditionResult | None:
        """The condition that carries the explanation; None without any."""
        return self.analysis.decisive

    def ranked(self, results: Sequence[ConditionResult]) -> list[ConditionResult]:
        """Conditions, the most severe first."""
        return ranked(self.analysis, results)

    def freezing(self, where: Where) -> Finding | None:
        """Probability of freezing in a condition: of the metal, else of the suction saturation."""
        return self.known("freeze.probability.fin", where) or self.known("freeze.probability.suction", where)

    def cold(self, where: Where) -> list[Finding]:
        """What speaks for freezing in a condition: ice seen, else either criterion that is likely met."""
        if (seen := self.at("coil.ice_seen", where)) is not None:
            return [seen]
        both = (self.known(f"freeze.probability.{criterion}", where) for criterion in ("fin", "suction"))
        return [chance for chance in both if chance is not None and chance.severity.asks_for_work]

    def warm(self, where: Where) -> bool:
        """Whether every known criterion stays above freezing and no ice was seen."""
        both = [self.known(f"freeze.probability.{criterion}", where) for criterion in ("fin", "suction")]
        known = [chance for chance in both if chance is not None]
        calm = bool(known) and not any(chance.severity.notable for chance in known)
        return calm and self.at("coil.ice_seen", where) is None

    def ice_on(self, visit: int | None) -> Finding | None:
        """Ice that was seen on a visit."""
        return next((f for f in self.of("coil.ice_seen") if f.visit == visit), None)

    @cached_property
    def freezes(self) -> bool:
        """Whether freezing was seen or is likely in the decisive condition."""
        return self.decisive is not None and bool(self.cold(self.decisive.where))

    @cached_property
    def staged_wrong(self) -> bool:
        """Whether the fan did not follow the calls in the decisive condition."""
        return self.decisive is not None and self.decisive.staging is not None

    @cached_property
    def fan_read_right(self) -> ConditionResult | None:
        """A later condition that reads the fan of the decisive one right; None without."""
        worst = self.decisive
        if worst is None or worst.staging is None:
            return None
        causes = (Cause.FAN_STUCK_LOW, Cause.COOLING_WITHOUT_FAN)
        ends = (ended(self.analysis.put_right, cause) for cause in causes)
        return next((self._reads(end) for end in ends if end is not None), None)

    def _reads(self, end: PutRight) -> ConditionResult | None:
        return self.analysis.visits.result(end.read) if end.read is not None else None

    def full_call(self, result: ConditionResult) -> bool:
        """Whether every stage of the unit ran in a condition."""
        return self.analysis.visits.full_call(result)

    def charge(self, circuit: str) -> Finding | None:
        """The finding of the charge that counts for a circuit."""
        counts = self.analysis.visits.charge(circuit)
        return self.at("circuit.charge", counts.state.where) if counts is not None else None

    def result(self, finding: Finding) -> ConditionResult | None:
        """The condition that a finding speaks of."""
        return next((r for r in self.analysis.conditions if r.where == where_of(finding)), None)

    def judged(self, finding: Finding) -> CircuitCharge | None:
        """The typed result behind a charge finding."""
        result = self.result(finding)
        return result.charges.get(finding.circuit or "") if result is not None else None

    @cached_property
    def contrast(self) -> Finding | None:
        """The most telling comparison of the circuits: one with a suspect before "none stands out"."""
        return max(
            self.of("circuit.contrast"),
            key=lambda f: (Suspicion(f.text or "").telling, self.decided(f)),
            default=None,
        )

    def decided(self, finding: Finding) -> bool:
        """Whether it was read in the decisive condition."""
        return self.decisive is not None and self.decisive.where == where_of(finding)


def where_of(finding: Finding) -> Where:
    """Condition of a finding."""
    return Where(finding.visit or 0, finding.condition or 0)


RANGES = "Ranges in brackets show how far the readings could be off."
"""Said to the customer where there are any."""


def has_range(text: str) -> bool:
    """Whether a text holds a range in brackets.

    Examples
    --------
    >>> has_range("about 31 °F (29 to 34)"), has_range("visit 1 (the first)")
    (True, False)
    """
    return re.search(r"\(-?[\d,.]+ to -?[\d,.]+\)", text) is not None


def grouped(text: str) -> str:
    """Whole numbers of four digits and more with their commas.

    Examples
    --------
    >>> grouped("8000 cfm"), grouped("0.0125 in and 12500 Pa")
    ('8,000 cfm', '0.0125 in and 12,500 Pa')
    """
    return re.sub(r"(?<![\d.,])\d{4,}(?![\d.])", lambda number: f"{int(number[0]):,}", text)


def signs_seen(job: Job) -> list[tuple[str, str]]:
    """What was seen, visit by visit and condition by condition: place and words."""
    told = []
    for number, visit in enumerate(job.visit, 1):
        label = date_text(visit.date) if visit.date else f"visit {number}"
        for place, signs in (
            (label, visit.signs),
            *((f"{label}, {c.label or 'a condition'}", c.signs) for c in visit.condition),
        ):
            text = _signs(signs)
            if signs is visit.signs and visit.note:
                text = " ".join(part for part in (f"{visit.note.strip().rstrip('.')}.", text) if part)
            if text:
                told.append((f"{place[0].upper()}{place[1:]}.", text))
    return told


def _signs(signs: Signs) -> str:
    parts = []
    for key in type(signs).model_fields:
        sign: Sign | None = getattr(signs, key)
        if sign is not None:
            parts.append(f"{key.replace('_', ' ')}: {joined(sign.values)}")
    text = "; ".join(parts)
    if not text:
        return ""
    text += "."
    fan = signs.tested_with_fan.values if signs.tested_with_fan else ("off",)
    if (signs.drain_flow or signs.pour_test) and "full" not in fan:
        text += " A drain tried with the fan off or low says nothing about its trap with the fan running."
    return text
