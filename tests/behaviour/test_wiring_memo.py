"""Calls and wiring in the memo: every call side by side, the drawing, a jumper's judgement, its tag."""

import re
from dataclasses import replace

import numpy as np
import pytest

from hvaccalc import analyse, load_job
from hvaccalc.job.load import job_from_text
from hvaccalc.pictures.wiring_drawing import MOST_TERMINALS, picture
from hvaccalc.report import html, memo
from hvaccalc.report.blocks import Caution, Figure, Heading, Paragraph, Table, Tag
from hvaccalc.report.found import Found
from hvaccalc.report.sections.wiring import jumper
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import blocks_of, one
from tests.behaviour.jobs import found as of_key
from tests.behaviour.test_wiring_faults import DRIVE, JUMPER, OUTDOOR_Y2, SPLIT, Y2_WIRE, but
from tests.standard_wirings import analysed, chain

WORK = """
[[visit]]
date = 2026-06-18
by = "the <office>"
[[visit.work]]
kind = "temporary measure"
note = "jumper landed"
hazards = ["louder"]
expires = 2026-07-02
"""


@pytest.fixture(scope="module")
def school():
    return jobs.demo("heat_pump_school")


def section(blocks, title):
    """Blocks from a heading to the next."""
    start = next(n for n, b in enumerate(blocks) if isinstance(b, Heading) and b.text == title)
    end = next(
        (n for n, b in enumerate(blocks) if n > start and isinstance(b, Heading) and b.level <= 2),
        len(blocks),
    )
    return blocks[start:end]


def test_every_call_side_by_side(school):
    table = next(b for b in section(blocks_of(school, "file"), "Calls and wiring") if isinstance(b, Table))
    assert table.header == ("Call", "As designed", "As found", "With the temporary pair")
    rows = {row[0]: row[1:] for row in table.rows}
    assert set(rows) == {"fan", "cool 1", "cool 2", "heat 1", "heat 2", "defrost"}
    designed, found, jumped = rows["heat 1"]
    assert "fan full (60 Hz)" in designed and "fan low (36 Hz)" in found and "fan full (60 Hz)" in jumped


def test_the_school_tells_the_wire_in_cooling_and_in_heating(school):
    """What is behind the demo: heat_pump_school.truth.toml."""
    place = "relays.out to drive.input_2"
    assert [(f.kind, f.place) for f in school.calls.faults] == [("wire never landed", place)]
    told = {(f.visit, f.condition): f for f in of_key(school, "staging.fault")}
    assert {place_of: f.text for place_of, f in told.items()} == {
        (1, 1): "fan low while heating",
        (2, 1): "fan low with second stage",
    }
    assert all(place in f.statement for f in told.values())
    assert one(school, "staging.measure").text == "allowed with conditions"
    assert not of_key(school, "staging.backfeed")
    ladders = {(f.visit, f.condition): f.text for f in of_key(school, "staging.ladder")}
    assert ladders == {(2, 1): "as found", (2, 3): "with the temporary pair"}
    assert {f.text for f in of_key(school, "circuit.charge") if f.condition == 3} == {"as charted"}


def test_the_tag_says_all_that_a_stranger_needs(school):
    (tag,) = [b for b in blocks_of(school, "file") if isinstance(b, Tag)]
    rows = dict(tag.rows)
    assert rows["What"] == "jumper handler.G to drive.input_2"
    assert "relays.out to drive.input_2" in rows["Why"]
    assert (rows["Landed on"], rows["Out by"]) == ("6 May 2026", "20 May 2026")
    assert "music room" in rows["Hazards"]
    assert rows["Proved"] == "cool 2: compressors 1 and 2 running, fan 60.0 Hz (6 May 2026)"
    for call in ("fan: no load", "cool 1: compressor 1", "heat 1: ", "heat 2: ", "defrost: "):
        assert call in rows["To be read"], call
    assert "cool 2" not in rows["To be read"]
    assert "lock out" in rows["How to remove"] and "heating off until the repair" in rows["How to remove"]
    assert "Never" in tag.last and "safety" in tag.last


SCHOOL = data_path("jobs", "heat_pump_school.toml").read_text()


def tag_of(text):
    told = jumper(Found(analyse(job_from_text(text), draws=64)))
    (tag,) = [b for b in told if isinstance(b, Tag)]
    return dict(tag.rows)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        # The fan ran, but nothing says which compressor did.
        ('label = "with the temporary jumper, both stages"', None),
        # The fan was read at another speed than the pair gives.
        ('fan_frequency = { value = "60.0 Hz"', 'fan_frequency = { value = "48.0 Hz"'),
        # Read before anything was landed.
        ('kind = "temporary measure"', 'kind = "cleaned"'),
    ],
    ids=["compressor idle", "another speed", "no measure noted"],
)
def test_a_call_not_read_with_the_measure_in_place_is_never_proved(old, new):
    """Common practice: proof is a reading with the jumper on, by call."""
    text = SCHOOL
    if new is None:
        start = text.index(old)
        later = text[start:].replace(
            'compressor_current = { value = "13.3 A"', 'compressor_current = { value = "0.2 A"'
        )
        text = text[:start] + later
    else:
        assert old in text
        text = text.replace(old, new)
    rows = tag_of(text)
    assert "cool 2" not in rows["Proved"] and "cool 2" in rows["To be read"]


def test_the_finding_tells_proved_from_expected(school):
    told = one(school, "staging.measure").statement
    proved, expected = told.split("Still to be read, with what is expected:")
    assert "cool 2: compressors 1 and 2 running, fan 60.0 Hz" in proved
    assert "heat 2" in expected and "cool 2" not in expected and "heat 2" not in proved


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_the_jumper_comes_off_before_the_wire_is_landed(school, audience):
    """A wire landed beside the jumper ties the relay's output to whatever the jumper reaches."""
    text = " ".join(html.page(section(blocks_of(school, audience), "Permanent repair"), "memo").split())
    steps = ("locked out", "take the temporary jumper off", "land the wire from", "prove every call")
    places = [text.index(step) for step in steps]
    assert places == sorted(places)


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_a_locked_out_second_stage_leaves_no_heat_pump_heating_on_a_slow_fan(school, audience):
    text = html.page(blocks_of(school, audience), "memo")
    assert "protects cooling alone" in text and "no heating call has been read with it" in text
    assert ("keep the heat pump" in text.lower()) and "heating off" in text


def test_a_unit_that_does_not_heat_by_its_compressors_is_told_nothing_of_heating():
    text = html.page(
        memo.blocks(analysed(SPLIT, found=but(SPLIT, Y2_WIRE, OUTDOOR_Y2), temporary=[JUMPER])), "m"
    )
    assert "protects cooling alone" not in text


def test_the_safer_choice_comes_first_and_money_a_week_is_told(school):
    blocks = blocks_of(school, "file")
    start = next(n for n, b in enumerate(blocks) if isinstance(b, Heading) and b.text == "The jumper, judged")
    first = blocks[start + 1]
    assert isinstance(first, Paragraph) and first.lead == "Safer first:"
    assert "lock the second stage out" in first.text and "first stage alone" in first.text
    long = next(b for b in blocks[start:] if isinstance(b, Paragraph) and b.lead == "How long.")
    assert "until 20 May 2026" in long.text and "USD a week" in long.text


def test_the_customer_gets_no_terminals(school):
    blocks = blocks_of(school, "customer")
    assert not [b for b in blocks if isinstance(b, Tag)]
    assert "Calls and wiring" not in [b.text for b in blocks if isinstance(b, Heading)]
    text = html.page(blocks, "memo")
    assert "20 May 2026" in text and "relays.out" not in text and "ghost" not in text


def test_the_customer_is_told_what_is_out_of_service_and_what_was_refused():
    found = but(SPLIT, Y2_WIRE, OUTDOOR_Y2)
    text = html.page(
        memo.blocks(analysed(SPLIT, found=found, temporary=[JUMPER], visit=WORK), "customer"), "m"
    )
    assert "second stage of cooling is out of service" in text and "2 July 2026" in text
    refused = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER])
    assert "considered and refused" in html.page(memo.blocks(refused, "customer"), "m")


def test_a_refused_jumper_gets_no_tag_and_what_to_move_first():
    analysis = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER])
    blocks = blocks_of(analysis, "file")
    assert not [b for b in blocks if isinstance(b, Tag)]
    text = html.page(blocks, "memo")
    assert "handler.Y2 to outdoor.Y2: move this conductor off the jumped terminal" in text
    assert "second stage out of service" in text
    assert "Back-feed." in text


def cautions_of(analysis):
    box = next(b for b in blocks_of(analysis, "file") if isinstance(b, Caution))
    return [item.lead for item in box.items]


def test_the_back_feed_is_warned_of_where_this_jumper_can_cause_it(school):
    """The school's jumper reaches no conductor of a compressor; the split's does unless one is lifted."""
    assert "Back-feed." not in cautions_of(school) and "Jumper." in cautions_of(school)
    fed = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER])
    lifted = analysed(SPLIT, found=but(SPLIT, Y2_WIRE, OUTDOOR_Y2), temporary=[JUMPER])
    assert "Back-feed." in cautions_of(fed) and "Back-feed." in cautions_of(lifted)


def test_a_tag_leaves_lines_where_nothing_was_noted_and_escapes_what_was():
    found = but(SPLIT, Y2_WIRE, OUTDOOR_Y2)
    analysis = analysed(SPLIT, found=found, temporary=[JUMPER])
    (tag,) = [b for b in blocks_of(analysis, "file") if isinstance(b, Tag)]
    rows = dict(tag.rows)
    assert rows["Out by"] == rows["Landed on"] == rows["By"] == ""
    assert "compressor 2 out of service" in rows["Hazards"]
    assert rows["Conductors moved"] == "handler.Y2 to outdoor.Y2"
    analysis = analysed(SPLIT, found=found, temporary=[JUMPER], visit=WORK)
    text = html.page(blocks_of(analysis, "file"), "memo")
    assert "the &lt;office&gt;" in text and "2 July 2026" in text
    assert re.search(r'<aside class="tag" aria-label="TEMPORARY', text)


def test_without_a_wiring_table_nothing_is_said(tmp_path):
    bare = analyse(load_job(data_path("measured", "chamber.toml")), draws=64)
    assert "Calls and wiring" not in [b.text for b in memo.blocks(bare) if isinstance(b, Heading)]


# --- the drawing ------------------------------------------------------------------------------------------


def drawn(call, **how):
    return picture(analysed(SPLIT, **how).calls, call)


def test_the_drawing_marks_the_break_and_the_back_feed_by_words_and_style():
    broken = drawn("cool 2", found=but(SPLIT, Y2_WIRE))
    assert "not landed" in broken.svg and "stroke-dasharray" in broken.svg
    assert "Missing: thermostat.Y2 to handler.Y2." in broken.description
    assert "The way to compressor 2 ends at thermostat.Y2." in broken.description
    fed = drawn("fan", found=but(SPLIT, Y2_WIRE), temporary=[JUMPER])
    assert ">▸ back-feed<" in fed.svg and ">jumper<" in fed.svg
    assert "Back-feed to compressor 2: handler.R - thermostat.R - thermostat.G" in fed.description


def test_the_drawing_of_a_sound_wiring_marks_nothing():
    sound = drawn("cool 2")
    assert "not landed" not in sound.svg and "▸" not in sound.svg and "Missing" not in sound.description


def test_the_drawing_stands_in_the_memo_with_its_words(school):
    (figure,) = [b for b in section(blocks_of(school, "file"), "Calls and wiring") if isinstance(b, Figure)]
    assert re.search(r'role="img" aria-labelledby="\S+ \S+"', figure.svg)
    assert figure.description in figure.svg.replace("&#x27;", "'")
    assert "with the temporary jumper landed: handler.G to drive.input_2" in figure.caption


def test_no_line_runs_through_a_terminal_that_it_is_not_landed_on(school):
    """By the drawn path itself: no point of the jumper comes within a terminal's circle, save at its ends."""
    shown = picture(school.calls, "cool 2")
    (path,) = re.findall(
        r'<path d="([^"]+)"[^>]*stroke-width="2.8" stroke-dasharray="8 3 2 3"[^>]*/>(?=<text[^>]*>jumper<)',
        shown.svg,
    )
    numbers = np.array([float(n) for n in re.findall(r"-?[\d.]+", path)]).reshape(-1, 2)
    start, end = numbers[0], numbers[-1]
    control = numbers[1] if len(numbers) == 3 else (start + end) / 2
    t = np.linspace(0.0, 1.0, 400)[:, None]
    line = (1 - t) ** 2 * start + 2 * t * (1 - t) * control + t**2 * end
    circles = re.findall(
        r'<circle cx="([\d.]+)" cy="([\d.]+)" r="4.5" fill="[^"]+" stroke="[^"]+" stroke-width="1.5"',
        shown.svg,
    )
    places = np.array(circles, dtype=float)
    ends = (np.abs(places - start).sum(axis=1) < 0.2) | (np.abs(places - end).sum(axis=1) < 0.2)
    assert ends.sum() == 2
    away = np.linalg.norm(line[:, None, :] - places[~ends][None, :, :], axis=2).min()
    assert away > 9.0
    straight = start + t * (end - start)
    assert np.linalg.norm(straight[:, None, :] - places[~ends][None, :, :], axis=2).min() < 9.0
    assert "jumper landed" in shown.title and "jumper landed" in shown.svg


def test_a_drawing_too_large_for_a_page_is_left_out():
    many = chain(*(f"device_{n}.x" for n in range(MOST_TERMINALS + 5)))
    large = replace(DRIVE, pairs=(*DRIVE.pairs, *many))
    assert picture(analysed(large).calls, "fan") is None
