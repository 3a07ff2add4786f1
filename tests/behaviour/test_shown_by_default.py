"""What the memo does not show is a written choice; a finding that nobody thought of is shown to both."""

from dataclasses import replace

import pytest

from hvaccalc import analyse
from hvaccalc.analysis import Analysis
from hvaccalc.job.load import job_from_text
from hvaccalc.report import memo
from hvaccalc.report.sections.what_was_found import ELSEWHERE, Section
from hvaccalc.severity import Severity
from tests.behaviour.test_memo_visits import analysed, source

NEW = "Something that no list of keys knows calls for action."


@pytest.mark.parametrize("audience", memo.AUDIENCES)
@pytest.mark.parametrize("visit", [1, None])
@pytest.mark.parametrize("severity", [Severity.WATCH, Severity.ACT, Severity.STOP])
def test_a_finding_of_a_new_kind_is_shown(audience, visit, severity):
    analysis: Analysis = analyse(job_from_text(source("swim_club")), 64)
    first = analysis.findings[0]
    condition = 1 if visit else None
    new = replace(
        first, id="new", key="new.kind", visit=visit, condition=condition, statement=NEW, severity=severity
    )
    analysis.__dict__["findings"] = (*analysis.findings, new)
    assert NEW in str(memo.blocks(analysis, audience))


def test_every_row_holds_for_something_and_none_hides_behind_another():
    """A row whose findings an earlier row takes would be a choice that nobody made."""
    for number, row in enumerate(ELSEWHERE):
        sample = replace(analysed("swim_club").findings[0], key=row.key.rstrip("."), text=row.verdict)
        if row.key.endswith("."):
            sample = replace(sample, key=f"{row.key}anything")
        assert next(at for at, one in enumerate(ELSEWHERE) if one.holds(sample)) == number, row


@pytest.mark.parametrize("name", ["library_hall", "swim_club", "clinic_attic", "heat_pump_school"])
def test_what_the_customer_is_not_told_is_never_a_stop(name):
    hidden = [row for row in ELSEWHERE if Section.NOT_TOLD in (row.file, row.customer)]
    for finding in analysed(name).findings:
        if any(row.holds(finding) for row in hidden):
            assert finding.severity is not Severity.STOP
