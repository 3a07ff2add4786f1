"""What the memo makes of the water: steps for today, what came again, what stays open, how it is proved."""

import re

import pytest

from hvaccalc.report import memo
from tests.behaviour.jobs import analysis_of, job_text
from tests.behaviour.test_memo_visits import AUDIENCES, analysed, changed, section, whole
from tests.behaviour.test_water import BASE

OPEN = "What this does not explain, and what to read next"
PROOF = "How the return visit will prove it"
TODAY = {"file": "What may be done today", "customer": "What was done, and how long it may stay"}


# --- today ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("audience", AUDIENCES)
def test_live_water_from_above_has_steps_for_today(audience):
    told = section(analysed("archive_vault"), TODAY[audience], audience).lower()
    assert "no step today" not in told
    for word in ("owner of the pipe", "move what stands below", "catch the water", "qualified person"):
        assert word in told
    assert "isolate" in told


@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_pan_that_stands_full_keeps_the_cooling_off_until_it_is_mended(audience):
    assert "eep the cooling off while the" not in section(analysed("swim_club"), TODAY[audience], audience)
    full = {"visit.signs.pan_water": "full", "visit.signs.trap": "dry"}
    told = section(analysis_of(job_text(full, base=BASE)), TODAY[audience], audience)
    assert "eep the cooling off while the" in told


# --- water again ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("audience", AUDIENCES)
def test_water_after_the_repair_is_open(audience):
    told = section(analysed("print_shop"), OPEN, audience)
    assert "17 July 2026" in told and "water on the pan rim" in told
    assert "would not wet that place" in told
    dry = changed("print_shop", ('water_on = "pan rim"\n', ""))
    assert "Water again." not in section(dry, OPEN, audience)


@pytest.mark.parametrize("audience", AUDIENCES)
def test_water_again_where_it_was_is_no_proof(audience):
    wet = changed("print_shop", ('water_on = "pan rim"\n', 'water_on = "duct"\n'))
    assert "the repair is not proved" in section(wet, OPEN, audience)


# --- what is open ---------------------------------------------------------------------------------------


def test_the_open_list_is_a_checklist_and_stands_once():
    school = analysed("heat_pump_school")
    told = section(school, OPEN, "file")
    assert re.findall(r"^(\d)\. ", told, re.MULTILINE) == ["1", "2", "3"]
    assert whole(school, "file").count("Not ruled out; look next") == 1
    assert "Not ruled out: " not in whole(school, "file")
    assert "Not ruled out either." in told


def test_what_a_later_test_settled_is_not_asked_again():
    for audience in AUDIENCES:
        told = section(analysed("swim_club"), OPEN, audience)
        assert "pour" not in told and "blocked drain" not in told and "Pan running over" not in told
    looked = section(analysed("swim_club"), "What else we looked at", "file")
    assert "Settled since: pan running over, as left the pan drained with the fan at full speed" in looked


@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_pan_full_too_soon_is_told_and_the_proof_names_minutes(audience):
    club = analysed("swim_club")
    assert "seen full after 70 min" in section(club, OPEN, audience)
    proof = section(club, PROOF, audience)
    (least,) = (int(m) for m in re.findall(r"for (\d+) min at least", proof))
    assert least >= club.water.filling.minutes.high > 90
    assert "after 90 min (9 July 2026)" in proof and "longer than it took" not in proof


# --- words for the customer -----------------------------------------------------------------------------


def test_the_customer_reads_why_a_way_is_not_the_whole_story():
    """The hall: a full pan would bring twelve times the water, but not onto the filters."""
    told = section(analysed("library_hall"), "Where the water comes from", "customer")
    (place,) = re.findall(r"Would not reach every place[^:]*: ([^.]*)\.", told)
    assert "a blocked drain" in place and "the trap" in place
    (time,) = re.findall(r"Would not come every time[^:]*: ([^.]*)\.", told)
    assert "clings to the coil" in time
    for name in ("library_hall", "print_shop", "swim_club"):
        assert "Not enough by itself" not in whole(analysed(name), "customer")
    club = section(analysed("swim_club"), "Where the water comes from", "customer")
    assert "as it brings too little: sweating." in club


def test_a_trap_that_was_rebuilt_is_told_in_the_past():
    told = section(analysed("swim_club"), "Where the water comes from", "customer")
    assert "was not enough for the fan" in told and "Repaired on 9 July 2026" in told
    assert "is not enough" not in told
    # The note speaks of the trap; the work does not say that it mends it.
    still = changed("swim_club", ('mends = ["trap"]\n', ""))
    assert "is not enough" in section(still, "Where the water comes from", "customer")


def test_no_way_is_said_to_bring_all_that_brings_less():
    """The shop's carry-over, 0.38 times what was seen, reaches every place and not the amount."""
    told = whole(analysed("print_shop"), "file")
    assert "would bring all that was seen" not in told and "reaches every time and place seen" in told
    assert "Air and drain." in told


# --- repair, ice, proof ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, lead",
    [
        ("swim_club", "Overflow protection."),
        ("library_hall", "Overflow protection."),
        ("heat_pump_school", "Float switch."),
        ("print_shop", None),
    ],
)
@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_pan_without_a_guard_gets_one(name, lead, audience):
    told = section(analysed(name), "Permanent repair", audience)
    assert ("Overflow protection." in told) == (lead == "Overflow protection.")
    assert ("Float switch." in told) == (lead == "Float switch.")
    if lead and audience == "file":
        assert "IMC 307.2.3, from memory" in told
    if audience == "customer":
        quoted = "Protection against an overflow of the pan." in told
        assert quoted == (lead == "Overflow protection.")


def test_ice_that_plays_no_part_takes_no_room():
    for name in ("print_shop", "archive_vault", "swim_club"):
        told = section(analysed(name), "Why it happened", "file")
        assert "A hot afternoon." not in told and "Ice has no part in this water" in told
        assert "freezes is" not in section(analysed(name), "Why it happened", "customer")
    assert "A hot afternoon." in section(analysed("clinic_attic"), "Why it happened", "file")


@pytest.mark.parametrize("audience", AUDIENCES)
def test_the_proof_speaks_of_this_unit(audience):
    one, two = (section(analysed(name), PROOF, audience) for name in ("swim_club", "library_hall"))
    for words in ("all stages have", "all stages,", "each part of it", "each stage alone"):
        assert words not in one
    assert "all stages have to be forced" in two
    silent = {"job.water_seen": None, "job.water_when": None, "visit.signs.water_on": None}
    dry = "\n".join(str(block) for block in memo.blocks(analysis_of(job_text(silent, base=BASE)), audience))
    assert "every place that was wet" not in dry and "every place that was wet" in one


def test_two_ways_that_fit_together_are_not_none():
    told = section(analysed("clinic_attic"), "Where the water comes from", "file")
    assert "Fit together." in told and "None stands out." not in told
    assert "None stands out." in section(analysed("library_hall"), "Where the water comes from", "file")
