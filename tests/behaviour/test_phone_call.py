"""A job without any visit is a phone call: what to ask, what to load, what not to touch; nothing may run."""

import re

import pytest

from hvaccalc import analyse
from hvaccalc.job.load import job_from_text
from hvaccalc.report import html, memo
from tests.behaviour.jobs import demo_text

DEMOS = ("library_hall", "swim_club", "print_shop", "clinic_attic", "archive_vault", "heat_pump_school")

BARE = """format = 1
[job]
title = "Call: water at the ceiling"
elevation = "600 ft"
[unit]
rated_capacity = "120 kBtu/h"
rated_airflow = "4000 cfm"
[circuit.1]
refrigerant = "R-410A"
"""
"""What no job can do without, and no more."""

VISIT = "[[visit]]\ndate = 2026-06-18\n"
NOTHING_READ = {
    "bare": BARE,
    "a leak on record": BARE + '[circuit.1.leak]\nat = "indoor coil"\ndate = 2026-05-01\n',
    "gas that burns": BARE.replace("R-410A", "R-32"),
    "a note": BARE + VISIT + 'note = "Rang the bell, nobody there. Runs fine, says the neighbour."\n',
    "a sign": BARE + VISIT + '[visit.signs]\nwater_on = "ceiling below"\n',
    "a condition without a reading": BARE + VISIT + '[[visit.condition]]\ncalls = ["cool 1"]\n',
}


def page(analysis, audience):
    """A memo as words alone."""
    text = html.page(memo.blocks(analysis, audience), "call")
    return re.sub(r"\s+", " ", re.sub(r"<(style|svg).*?</\1>|<[^>]+>", " ", text, flags=re.DOTALL))


@pytest.mark.parametrize("name", DEMOS)
def test_a_job_without_a_visit_is_answered(name):
    head = demo_text(name).split("[[visit]]")[0]
    analysis = analyse(job_from_text(re.sub(r"(?m)^repaired = .*$", "", head)), 64)
    printed = analysis.as_dict()
    assert analysis.today and not any(one.decision.startswith("run") for one in analysis.today)
    assert {"phone", "van", "ground"} == {one["trip"] for one in printed["next"]}
    assert printed["put_right"] in ([], [end.as_dict() for end in analysis.put_right if end.open])
    for audience in memo.AUDIENCES:
        assert "No visit has been made yet" in page(analysis, audience)


@pytest.mark.parametrize("what", NOTHING_READ)
def test_where_nothing_was_read_nothing_may_run(what):
    analysis = analyse(job_from_text(NOTHING_READ[what]), 64)
    printed = analysis.as_dict()
    assert {one["decision"] for one in printed["today"]} <= {"stop"}
    assert {one.decision for one in analysis.today} <= {"not decided", "stop"}
    assert all(
        "Nobody opens a panel, chips ice or bridges a switch." in one["do"]
        for one in (*printed["today"], *printed["not_decided"])
    )
    assert len(printed["today"]) + len(printed["not_decided"]) == len(analysis.today)
    read = " ".join(one["reading"] for one in printed["next"])
    assert "Gauges, clamps" in read and "Read first: return and supply air" in read
    for audience in memo.AUDIENCES:
        text = page(analysis, audience)
        assert "out of order" not in text and not re.search(r"(today|cooling|alone)[^.]{0,40} run ", text)
        assert "Open nothing" in text or "Nobody opens a panel" in text


def test_the_first_page_of_a_call_is_short():
    """A customer's page holds about 500 words; the file's answer stands before everything else."""
    analysis = analyse(job_from_text(NOTHING_READ["bare"]), 64)
    assert len(page(analysis, "customer").split()) < 400
    text = page(analysis, "file")
    spots = [text.index(lead) for lead in ("Ask on the phone:", "not to touch:", "To load:", "On site:")]
    assert spots == sorted(spots) and len(text[: spots[-1]].split()) < 400


def test_a_call_asks_for_what_it_does_not_say_and_loads_for_what_it_does():
    asked = {
        what: " ".join(one["reading"] for one in analyse(job_from_text(text), 64).as_dict()["next"])
        for what, text in NOTHING_READ.items()
    }
    assert "When does it come" in asked["bare"] and "How much in how long" in asked["bare"]
    said = BARE.replace("[unit]", 'water_seen = "2 gal/day"\nwater_when = ["rain"]\n[unit]', 1)
    known = " ".join(one["reading"] for one in analyse(job_from_text(said), 64).as_dict()["next"])
    assert "When does it come" not in known and "How much in how long" not in known
    assert "leak on record" in asked["a leak on record"] and "leak on record" not in asked["bare"]
    assert "circuit 1 burns" in asked["gas that burns"] and "burns" not in asked["bare"]
