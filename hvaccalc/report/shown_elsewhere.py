"""Where a severe finding stands if not under what was found: each row a choice, everything else is shown.

A finding that is new to the memo needs no row: it is shown to both readers.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.findings import Finding


class Section(StrEnum):
    """Part of the memo in which a finding stands."""

    FOUND = "what we found"
    QUESTIONS = "what to read next"
    CHARGE = "refrigerant"
    WATER = "where the water comes from"
    FAN = "the fan and its air"
    WIRING = "calls and wiring"
    FORECAST = "at which airflow"
    REPAIR = "permanent repair"
    NOT_TOLD = "not told"


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Findings of a key, all that begin with it where it ends in a full stop, that stand in another part."""

    key: str
    file: Section
    customer: Section
    verdict: str | None = None

    def holds(self, finding: Finding) -> bool:
        """Whether the row speaks of a finding."""
        same = finding.key.startswith(self.key) if self.key.endswith(".") else finding.key == self.key
        return same and self.verdict in (None, finding.text)


CANNOT_TELL = "cannot tell"

ELSEWHERE = (
    Elsewhere("circuit.charge", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("circuit.contrast", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("circuit.standing_pressure", Section.QUESTIONS, Section.CHARGE, CANNOT_TELL),
    Elsewhere("freeze.probability.fin", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("freeze.probability.suction", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("airflow.reconciled", Section.QUESTIONS, Section.QUESTIONS, "not determined"),
    Elsewhere("airflow.temperature_split", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.faults_that_fit", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.other_column", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.flash_margin", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.lines", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.charge_rule", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.standing_pressure", Section.FOUND, Section.CHARGE),
    Elsewhere("drain.overflow_guard", Section.REPAIR, Section.REPAIR),
    Elsewhere("drain.capacity", Section.WATER, Section.NOT_TOLD),
    Elsewhere("fan.staging_rule", Section.FAN, Section.FAN),
    Elsewhere("fan.speed_check", Section.FAN, Section.FAN),
    Elsewhere("forecast.", Section.FORECAST, Section.FORECAST),
    Elsewhere("freeze.forecast.", Section.FOUND, Section.FORECAST),
    Elsewhere("freeze.threshold_airflow.", Section.FOUND, Section.FORECAST),
    Elsewhere("pan.filling", Section.WATER, Section.NOT_TOLD),
    Elsewhere("staging.backfeed", Section.FOUND, Section.FOUND),
    Elsewhere("staging.fault", Section.FOUND, Section.FOUND),
    Elsewhere("staging.measure", Section.FOUND, Section.FOUND),
    Elsewhere("staging.ladder", Section.FOUND, Section.NOT_TOLD),
    Elsewhere("staging.", Section.WIRING, Section.WIRING),
    Elsewhere("trap.", Section.WATER, Section.WATER),
    Elsewhere("water.dominant", Section.FOUND, Section.FOUND),
    Elsewhere("water.", Section.WATER, Section.WATER),
)
"""The first row that speaks of a finding holds."""


def section_of(finding: Finding, plain: bool) -> Section:
    """Part of the memo in which a severe finding stands, for the customer where `plain`."""
    row = next((row for row in ELSEWHERE if row.holds(finding)), None)
    if row is None:
        return Section.FOUND
    return row.customer if plain else row.file
