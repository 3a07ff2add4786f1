"""The memo as a reader meets it: sections, pictures with words, nothing fetched, user text as text."""

import hashlib
import math
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from itertools import takewhile
from pathlib import Path

import pytest

from hvaccalc.analysis import analyse
from hvaccalc.errors import FileChanged, InputError
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.pictures import psychrometric_chart
from hvaccalc.report import html, memo
from hvaccalc.report.blocks import Caution, Figure, Heading, Items, KeyValues, Table
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import SOUND, blocks_of, found, job_text, write_job

DEMO = data_path("jobs") / "library_hall.toml"

SECTIONS = [
    "What was reported",
    "What we found",
    "Why it happened",
    "Where the water comes from",
    "Calls and wiring",
    "What else we looked at",
    "What this does not explain, and what to read next",
    "What was done, and how long it may stay",
    "What may be done today",
    "Permanent repair",
    "Refrigerant",
    "How the return visit will prove it",
    "Cautions",
    "Readings as found and as left",
]

HOSTILE = "</title><script>alert(1)</script> [bold]x[/bold] ${x} $a$ --> <!-- {y} & \"q\" 'r'"

LEAST = """
format = 1
[job]
title = {title}
elevation = "640 ft"
[unit]
rated_capacity = "240 kBtu/h"
rated_airflow = "8000 cfm"
[circuit.1]
refrigerant = {refrigerant}
"""

WRONG_BULBS = """
[[visit]]
[[visit.condition]]
label = "bulbs swapped"
calls = ["cool 1"]
[visit.condition.air]
return_dry_bulb = "61 degF"
return_wet_bulb = "74 degF"
supply_dry_bulb = "55 degF"
[visit.condition.circuit.1]
suction_pressure = "118 psig"
liquid_pressure = "300 psig"
"""


def toml_text(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def least(title: str = "Water", refrigerant: str = "R-410A", more: str = "") -> str:
    return LEAST.format(title=toml_text(title), refrigerant=toml_text(refrigerant)) + more


class Page(HTMLParser):
    """What a page holds, as a browser would see it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self.by_id: dict[str, str] = {}
        self.headings: list[tuple[str, str]] = []
        self._open: list[tuple[str, str]] = []
        self._skip = 0
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        attributes = {name: value or "" for name, value in attrs}
        self.tags.append((tag, attributes))
        self._open.append((tag, attributes.get("id", "")))
        self._skip += tag == "style"
        if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
            self.headings.append((tag, ""))

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag):
        self._skip -= tag == "style"
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data):
        if self._skip:
            return
        self.words.append(data)
        for tag, name in self._open[-1:]:
            if name:
                self.by_id[name] = self.by_id.get(name, "") + data
            if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
                self.headings[-1] = (tag, self.headings[-1][1] + data)

    @property
    def text(self) -> str:
        return " ".join(self.words)

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.tags if name == tag]


def page_of(job, audience: str) -> str:
    return html.page(memo.blocks(analyse(job), audience), "memo")


@pytest.fixture(scope="module")
def demo():
    return jobs.demo()


@pytest.fixture(scope="module")
def texts(demo):
    return {audience: html.page(blocks_of(demo, audience), "Water - memo") for audience in memo.AUDIENCES}


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_sections_in_order(texts, audience):
    page = Page(texts[audience])
    wanted = [*SECTIONS, "Method, assumptions, limits, sources"]
    if audience == "customer":
        wanted = [title for title in SECTIONS if title not in ("What may be done today", "Calls and wiring")]
    assert [text for tag, text in page.headings if tag == "h2"] == wanted
    assert [text for tag, text in page.headings if tag == "h1"] == [
        "Water under the reading hall's air handler"
    ]
    assert page.all("html") == [{"lang": "en"}]


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_no_heading_skips_a_level(texts, audience):
    """As WCAG asks of headings (technique G141): a reader by ear goes from one to the next below."""
    levels = [int(tag[1]) for tag, _ in Page(texts[audience]).headings]
    assert levels[0] == 1 and max(levels) == 3
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:], strict=False))


def test_seven_pictures_each_told_in_words(texts, demo):
    page = Page(texts["file"])
    pictures = page.all("svg")
    assert len(pictures) == 7
    for picture in pictures:
        assert picture["role"] == "img"
        title, description = (page.by_id[name] for name in picture["aria-labelledby"].split())
        assert title and len(description) > 100
    coldest = [f for f in demo.findings if f.key == "coil.coldest_surface"]
    number = re.search(r"\d+\.\d °F \([^)]*\)", coldest[0].statement)
    assert number and number[0] in " ".join(page.by_id[p["aria-labelledby"].split()[1]] for p in pictures)


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_nothing_is_fetched(texts, audience):
    page = Page(texts[audience])
    allowed = re.compile(r"#[\w-]+")
    for tag, attributes in page.tags:
        assert tag not in ("script", "link", "img", "iframe", "object", "base", "form"), tag
        for name in ("src", "href", "xlink:href", "action", "data"):
            assert name not in attributes or allowed.fullmatch(attributes[name]), (tag, attributes)
    assert "@import" not in texts[audience] and "@font-face" not in texts[audience]
    assert all(target.startswith("#") for target in re.findall(r"url\((.*?)\)", texts[audience]))


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_inner_links_lead_somewhere_and_ids_are_unique(texts, audience):
    page = Page(texts[audience])
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    links = [a.get("href") or a.get("xlink:href") for tag, a in page.tags if tag in ("a", "use")]
    assert links and all(link.removeprefix("#") in ids for link in links)


def test_tables_repeat_their_header_and_scroll_by_keyboard(texts):
    page = Page(texts["file"])
    tables = len(page.all("table"))
    assert tables >= 4 and len(page.all("thead")) == len(page.all("caption")) == tables
    assert all(a["scope"] in ("col", "row") for a in page.all("th"))
    regions = [a for a in page.all("div") if a.get("class") == "table"]
    assert len(regions) == tables and all(a["tabindex"] == "0" and a["aria-label"] for a in regions)
    assert "display: table-header-group" in texts["file"] and "@page" in texts["file"]


def test_user_text_comes_out_as_text():
    more = f"""
[[visit]]
note = {toml_text(HOSTILE)}
[[visit.condition]]
label = {toml_text(HOSTILE)}
calls = ["cool 1"]
[visit.condition.air]
return_dry_bulb = {{ value = "74 degF", note = {toml_text(HOSTILE)} }}
return_wet_bulb = "61 degF"
supply_dry_bulb = "55 degF"
[visit.condition.circuit.1]
suction_pressure = "118 psig"
liquid_pressure = "300 psig"
liquid_temperature = "80 degF"
[[visit.work]]
note = {toml_text(HOSTILE)}
"""
    job = job_from_text(least(HOSTILE, more=more))
    for audience in memo.AUDIENCES:
        text = html.page(memo.blocks(analyse(job), audience), HOSTILE)
        page = Page(text)
        assert not page.all("script") and "<!--" not in text
        assert HOSTILE in page.text
        assert page.headings[0] == ("h1", HOSTILE)
        assert len(page.all("title")) == 1 + len(page.all("svg"))


def test_same_job_same_bytes_whatever_the_hash_seed(tmp_path, demo):
    here = memo.write(demo, tmp_path, "file").read_bytes()
    code = (
        "import sys; from hvaccalc.analysis import analyse; from hvaccalc.job.load import load_job;"
        "from hvaccalc.report import memo; memo.write(analyse(load_job(sys.argv[1])), sys.argv[2])"
    )
    other = tmp_path / "other"
    environment = {**os.environ, "PYTHONHASHSEED": "4711"}
    subprocess.run([sys.executable, "-c", code, DEMO, other], check=True, env=environment)
    there = (other / "library_hall.memo.html").read_bytes()
    assert hashlib.sha256(there).hexdigest() == hashlib.sha256(here).hexdigest()


def test_the_customer_reads_no_ids_and_no_needless_decimals(texts, demo):
    words = Page(texts["customer"]).text
    for key in {finding.key for finding in demo.findings}:
        assert key not in words
    assert not re.search(r"\w+/\d+/\d+/", words)
    assert not re.search(r"\d\.\d+ ?(°F|cfm|%)", words)
    for jargon in ("kg/s", "superheat", "subcooling", "saturation", "humidity ratio", "sigma", "sha256"):
        assert jargon not in words, jargon


def test_the_chain_runs_from_the_call_to_the_wet_place(demo):
    blocks = blocks_of(demo, "file")
    start = blocks.index(Heading("Why it happened"))
    chain = next(b for b in blocks[start:] if isinstance(b, Items))
    assert [item.lead for item in chain.items] == [
        "The calls.", "The fan.", "The drive.", "The air.", "The coil.", "Freezing.", "The water.",
    ]  # fmt: skip
    said = {f.key: f.statement for f in demo.findings if (f.visit, f.condition) == (1, 1)}
    assert [item.text for item in chain.items][1] == said["staging.fault"]
    assert [item.text for item in chain.items][3:6] == [
        said["airflow.reconciled"], said["coil.coldest_surface"], said["freeze.probability.fin"],
    ]  # fmt: skip
    last = chain.items[-1].text
    assert "Melting ice" in last and "Drip off the coil without ice" in last and "1 to 4 gal/day seen" in last


@pytest.mark.parametrize("audience", memo.AUDIENCES)
@pytest.mark.parametrize("name", ["library_hall", "clinic_attic", "heat_pump_school"])
def test_headings_go_down_one_level_at_a_time(name, audience):
    levels = [block.level for block in blocks_of(jobs.demo(name), audience) if isinstance(block, Heading)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(below <= above + 1 for above, below in zip(levels, levels[1:], strict=False))


def test_circuits_are_called_alike_only_where_they_are(demo):
    """In the library hall circuit 2 stands out; in the other job both hold their charge."""
    alike = analyse(job_from_text(job_text(SOUND)))
    assert found(demo, "circuit.contrast")[0].circuit == "2"
    for analysis, said in ((demo, False), (alike, True)):
        blocks = blocks_of(analysis, "file")
        start = blocks.index(Heading("What else we looked at")) + 1
        section = takewhile(lambda block: not isinstance(block, Heading), blocks[start:])
        statement = found(analysis, "circuit.contrast")[0].statement
        assert (statement in str(list(section))) is said


def test_what_was_found_is_told_once_and_the_worst_first(demo):
    """Five of the readings, and the alarm of the leak detector."""
    blocks = blocks_of(demo, "file")
    start = blocks.index(Heading("What we found"))
    found = blocks[start + 1]
    assert isinstance(found, Items)
    leads = [item.lead for item in found.items]
    assert leads == sorted(leads, key=["Stop.", "Act.", "Watch.", "Note."].index)
    assert len({item.text for item in found.items}) == len(found.items)
    alarm = [item for item in found.items if item.text.startswith("A leak detector gave its alarm")]
    assert len(alarm) == 1 and len(found.items) - len(alarm) <= 5
    assert "fan low with the second stage" in found.items[0].text


@pytest.mark.parametrize("audience", memo.AUDIENCES)
def test_the_emptiest_job_still_helps(audience):
    job = job_from_text(least())
    page = Page(page_of(job, audience))
    assert not page.all("svg")
    assert "nothing was read, so nothing is found and nothing is cleared" in page.text
    assert ("Read first" if audience == "file" else "On the first visit") in page.text


def test_contradicting_readings_are_marked_in_their_table():
    analysis = analyse(job_from_text(least(more=WRONG_BULBS)))
    blocks = blocks_of(analysis, "file")
    tables = [b for b in blocks if isinstance(b, Table) and b.header[0] == "Reading"]
    marked = {row[0]: row[1] for table in tables for row in table.rows if row[3].startswith("†")}
    assert marked == {"air, return dry bulb": "61 degF", "air, return wet bulb": "74 degF"}
    assert "left out" in Page(html.page(blocks, "memo")).text


def test_what_is_not_known_is_drawn_as_not_known():
    analysis = analyse(job_from_text(least(more=WRONG_BULBS)))
    coil = [b for b in blocks_of(analysis, "file") if isinstance(b, Figure) and "coil" in b.title]
    assert len(coil) == 1
    assert "coldest metal not known" in coil[0].description


def cautions_of(text: str) -> str:
    blocks = memo.blocks(analyse(job_from_text(text)), "file")
    box = next(b for b in blocks if isinstance(b, Caution))
    return " ".join(f"{item.lead} {item.text}" for item in box.items)


def test_cautions_belong_to_the_job():
    plain = cautions_of(least())
    assert "Jumper" not in plain and "flammable" not in plain and "Nitrogen" not in plain
    assert "Electricity" in plain and "Local code" in plain
    jumper = '[wiring]\nterminals = ["handler.G", "handler.Y2"]\ntemporary = [["handler.G", "handler.Y2"]]\n'
    assert "never across a safety" in cautions_of(least(more=jumper))
    assert "left-hand" in cautions_of(least(refrigerant="R-454B"))
    leak = '[circuit.1.leak]\nat = "sight glass"\n'
    assert "never oxygen" in cautions_of(least(more=leak))


def test_unknown_reader_is_refused(demo):
    with pytest.raises(InputError, match="customer, file"):
        memo.blocks(demo, "everybody")


def test_names_of_the_files(tmp_path, demo):
    assert memo.write(demo, tmp_path / "new").name == "library_hall.memo.html"
    assert memo.write(demo, tmp_path / "new", "customer").name == "library_hall.memo.customer.html"
    assert sorted(p.name for p in (tmp_path / "new").iterdir()) == [
        "library_hall.memo.customer.html", "library_hall.memo.html",
    ]  # fmt: skip


def test_only_an_untouched_memo_is_replaced(tmp_path):
    analysis = analyse(job_from_text(least()))
    target = memo.write(analysis, tmp_path)
    other = analyse(job_from_text(least("Another title")))
    assert memo.write(other, tmp_path) == target and b"Another title" in target.read_bytes()

    edited = target.read_text(encoding="utf-8").replace("Another title", "My own words")
    for mine in (edited.encode(), b"my notes", b"\xff\xfe\x00"):
        target.write_bytes(mine)
        with pytest.raises(FileChanged, match="left as it is"):
            memo.write(other, tmp_path)
        assert target.read_bytes() == mine
    assert [p.name for p in tmp_path.iterdir()] == [target.name]


def test_a_link_is_no_memo(tmp_path):
    analysis = analyse(job_from_text(least()))
    aim = memo.write(analysis, tmp_path / "elsewhere")
    link = tmp_path / aim.name
    link.symlink_to(aim)
    with pytest.raises(FileChanged):
        memo.write(analysis, tmp_path)
    assert link.is_symlink()


def test_the_shaded_area_holds_95_percent():
    # Distribution of chi-squared with two degrees of freedom: 1 - exp(-x / 2) (Abramowitz and Stegun,
    # Handbook of Mathematical Functions, 26.4); printed to five digits.
    assert 1.0 - math.exp(-(psychrometric_chart.WITHIN_95**2) / 2.0) == pytest.approx(0.95, abs=2e-6)


def test_importing_the_memo_does_not_load_the_plotting_library():
    code = "import sys, hvaccalc.report.memo; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=Path(__file__).parent).returncode == 0


IDENTITY = {
    "job.customer": "County library",
    "job.work_order": "WO 17",
    "job.company": "Workshop",
    "job.licence": "L 12",
    "unit.model": "AHX",
    "unit.serial": "S 1",
    "unit.location": "attic",
    "circuit.2.outdoor_model": "ODX",
    "circuit.2.outdoor_serial": "S 2",
}


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_who_and_what_a_memo_is_about_stands_at_its_head(tmp_path, audience):
    """As typed, to both readers; nothing is announced as not computed with."""
    analysis = analyse(load_job(write_job(tmp_path, IDENTITY)), draws=64)
    head = dict(next(b for b in memo.blocks(analysis, audience) if isinstance(b, KeyValues)).rows)
    assert head["Customer"] == "County library" and head["Work order"] == "WO 17"
    assert head["Unit"].endswith("attic, model AHX, serial S 1")
    assert head["Outdoor unit, circuit 2"] == "model ODX, serial S 2"
    assert "Outdoor unit, circuit 1" not in head
    assert head["Prepared by"].endswith("Workshop, licence L 12")
    assert not any(n.code in ("printed_only", "not_used_yet") for n in analysis.notices)
