"""A job without any visit is a phone call: the kit answers with what to ask and what to leave alone."""

import re

import pytest

from hvaccalc import analyse
from hvaccalc.job.load import job_from_text
from hvaccalc.report import html, memo
from tests.behaviour.jobs import demo_text

DEMOS = ("library_hall", "swim_club", "print_shop", "clinic_attic", "archive_vault", "heat_pump_school")


@pytest.mark.parametrize("name", DEMOS)
def test_a_job_without_a_visit_is_answered(name):
    head = demo_text(name).split("[[visit]]")[0]
    analysis = analyse(job_from_text(re.sub(r"(?m)^repaired = .*$", "", head)), 64)
    printed = analysis.as_dict()
    assert printed["today"] and printed["next"]
    assert printed["put_right"] in ([], [end.as_dict() for end in analysis.put_right if end.open])
    for audience in memo.AUDIENCES:
        assert "No visit has been made yet" in html.page(memo.blocks(analysis, audience), name)
