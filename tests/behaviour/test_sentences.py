"""No "nan", empty clause or doubled word in anything that is said of a job; no value outside its own band.

Everything that a fixed sample prints is read: findings, notices, the JSON's texts, both memos. What the user
typed himself is his own.
"""

import re
from collections.abc import Iterator

import pytest

from hvaccalc.analysis import Analysis, analyse
from hvaccalc.job.load import job_from_text
from hvaccalc.report import memo
from hvaccalc.report.blocks import Block, Caution, Heading, Items, Paragraph, Table
from hvaccalc.words.said import Said
from tests.architecture.test_words import modules, said
from tests.behaviour.jobs import HUMID, analysis_of, blocks_of, demo, job_text
from tests.studies import fuzz

WRONG = {
    "no number": r"\bnan\b|\binf\b|[a-z(] None\b",
    "two spaces": r"  ",
    "space before a stop": r" [,;:](?!\d)| \.(?![\d.])",
    "empty clause": r"[;,:]\.|\(\s*\)|(?<!\.)\.\.(?!\.)|;\s*;|,\s*,|:\s*[;,]|\(,|,\)|;\)|\?\.",
    "doubled word": r"\b([A-Za-z]+) \1\b",
    "one of many": r"(?<![\d.,/-])\b1 (visits|conditions|circuits|velocities|readings|rows|values)\b",
}
PATTERNS = {name: re.compile(pattern) for name, pattern in WRONG.items()}
ENDS = re.compile(r"[.?!:…)\"”]$")

LEAK = """
[circuit.2.leak]
at = "sight glass"
date = 2026-06-18
note = "flare nut"
found_by = "bubbles"
"""
JOBS = {
    "a traverse of one point": {"air.traverse": "500 ft/min", "air.duct_area": "16 ft2", "air.airflow": None},
    "hardly anything read": {
        **dict.fromkeys(("air.airflow", "air.supply_dry_bulb", "2.suction_pressure", "1.liquid_pressure")),
        "circuit.1.metering": "unknown",
    },
    "floodback and ice": {"1.suction_temperature": "40 degF", "signs.frost_on": ["tubes", "compressor"]},
    "water by itself": HUMID | {"visit.signs.water_on": "filters", "visit.signs.pan_water": "dry"},
    "an orifice at the table's edge": {
        "circuit.1.metering": "fixed orifice",
        "air.return_wet_bulb": "10 degC",
        "air.outdoor_dry_bulb": "55 degF",
    },
    "heat pump": {"unit.kind": "heat pump", "condition.calls": ["heat 1"], "air.supply_dry_bulb": "95 degF"},
}
DEMOS = ("library_hall", "swim_club", "print_shop", "clinic_attic", "archive_vault", "heat_pump_school")


def texts(analysis: Analysis) -> Iterator[tuple[str, bool]]:
    """Everything said, each with whether it has to end as a sentence."""
    data = analysis.as_dict()
    for name in ("next", "today", "repairs", "proof", "notices", "findings"):
        for entry in data[name]:
            for key in ("reading", "why", "caution", "do", "scope", "text", "statement"):
                if isinstance(entry.get(key), str):
                    yield entry[key], key in ("why", "do", "scope", "statement")
    for audience in memo.AUDIENCES:
        for block in blocks_of(analysis, audience):
            yield from of_block(block)


def of_block(block: Block) -> Iterator[tuple[str, bool]]:
    """Texts of one block of a memo."""
    if isinstance(block, Paragraph) and not block.quoted:
        yield f"{block.lead} {block.text}".strip(), True
    elif isinstance(block, Items | Caution):
        yield from ((f"{item.lead} {item.text}".strip(), True) for item in block.items)
    elif isinstance(block, Table):
        yield from ((str(cell), False) for row in block.rows for cell in row)
    elif isinstance(block, Heading):
        yield block.text, False


def wrong(text: str, sentence: bool) -> list[str]:
    """What is wrong with a text."""
    found = [name for name, pattern in PATTERNS.items() if pattern.search(text)]
    return found + ["no stop"] * (sentence and bool(text) and not ENDS.search(text))


def sampled(name: str) -> Analysis:
    """A demonstration, or a small job with one thing odd about it."""
    return (
        demo(name)
        if name in DEMOS
        else analysis_of(job_text(JOBS[name], extra=LEAK if "point" in name else ""))
    )


@pytest.mark.parametrize("name", [*DEMOS, *JOBS])
def test_everything_said_is_whole(name: str) -> None:
    faults = {text[:200]: why for text, sentence in texts(sampled(name)) if (why := wrong(text, sentence))}
    assert not faults


def test_a_drain_that_ran_free_without_how_it_was_tried_is_said_whole() -> None:
    """The 501st of the fuzz study's jobs: its words alone name a drain's flow, no test of it."""
    analysis = analyse(job_from_text(fuzz.drawn(7, 501)), 64)
    assert not {text[:200]: why for text, sentence in texts(analysis) if (why := wrong(text, sentence))}


@pytest.mark.parametrize("name", [*DEMOS, *JOBS])
def test_a_value_lies_within_its_own_band(name: str) -> None:
    with_number = [one for one in sampled(name).findings if one.value is not None]
    assert with_number
    assert not [one.id for one in with_number if not one.low <= one.value <= one.high]


def test_no_sentence_of_the_package_is_misspelt_before_it_is_filled() -> None:
    rows: list[Said] = [one for module in modules() for table in vars(module).values() for one in said(table)]
    assert len(rows) > 500
    filled = [re.sub(r"{[^}]*}", "0", text).strip() for one in rows for text in (one.file, one.customer)]
    for name in ("two spaces", "space before a stop", "doubled word", "empty clause"):
        bad = [text for text in filled if PATTERNS[name].search(text)]
        assert bad == [], name


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Airflow nan cfm.", "no number"),
        ("The  fan.", "two spaces"),
        ("low , high.", "space before a stop"),
        ("It reads ().", "empty clause"),
        ("What reads: .", "space before a stop"),
        ("Look;.", "empty clause"),
        ("the the fan.", "doubled word"),
        ("Seen on 1 visits.", "one of many"),
        ("Mean of 1 velocities.", "one of many"),
        ("It runs", "no stop"),
    ],
)
def test_the_patterns_see_what_they_are_for(text: str, why: str) -> None:
    assert why in wrong(text, True)
