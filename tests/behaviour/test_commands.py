"""The commands: what they print, where, and with which exit status."""

import io
import json
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest

from hvaccalc import analysis, cli
from hvaccalc.errors import NotConverged
from hvaccalc.job.load import load_job
from hvaccalc.resources import data_path
from tests.behaviour.jobs import HUMID, job_text, write_job

DEMO = Path(__file__).parents[2] / "data" / "jobs" / "library_hall.toml"

FINDING_FIELDS = {
    "id",
    "key",
    "visit",
    "condition",
    "circuit",
    "statement",
    "value",
    "low",
    "high",
    "kind",
    "unit",
    "text",
    "basis",
    "sources",
    "severity",
    "inputs",
}
SI_UNIT = {
    "site.barometer": "Pa",
    "air.return.humidity_ratio": "kg/kg",
    "air.supply.humidity_ratio": "kg/kg",
    "air.return.dew_point": "K",
    "air.return.wet_bulb": "K",
    "air.supply.dew_point": "K",
    "airflow.reading": "m3/s",
    "airflow.fan_law": "m3/s",
    "airflow.reconciled": "m3/s",
    "capacity.total": "W",
    "capacity.sensible": "W",
    "condensate.rate": "kg/s",
    "circuit.subcooling": "K",
    "circuit.superheat": "K",
    "circuit.chart_offset": "K",
    "circuit.liquid_saturation": "K",
    "circuit.suction_saturation": "K",
    "circuit.condensing_saturation": "K",
    "coil.coldest_surface": "K",
    "coil.suction_saturation": "K",
    "freeze.probability.fin": "1",
    "freeze.probability.suction": "1",
    "circuit.charge": None,
    "circuit.contrast": None,
    "staging.fault": None,
}
"""Keys that other programs rely upon, with the SI unit of the value; None for verdicts in words."""


def hvaccalc(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "hvaccalc", *map(str, arguments)],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, **environment},
        timeout=60,
    )


@dataclass
class Result:
    """What a command left behind."""

    code: int
    out: str
    err: str


def in_process(*arguments: object) -> Result:
    """The entry point itself, in this process: quicker than one of its own."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["hvaccalc", *map(str, arguments)])
        try:
            cli.main()
            code: object = 0
        except SystemExit as end:
            code = end.code or 0
    assert isinstance(code, int)
    return Result(code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="module")
def demo():
    return hvaccalc("findings", DEMO, "--json")


def test_json_stands_alone_on_standard_output(demo):
    assert demo.returncode == 0
    assert list(json.loads(demo.stdout)) == [
        *("format", "job", "findings", "causes", "next", "today", "not_decided", "repairs", "quote"),
        *("proof", "put_right", "not_in_order", "notices"),
    ]
    assert "notice" in demo.stderr


def test_json_findings_have_exactly_the_fields_relied_upon(demo):
    printed = json.loads(demo.stdout)
    assert printed["format"] == 1
    assert printed["job"] == "Water under the reading hall's air handler"
    for finding in printed["findings"]:
        assert set(finding) == FINDING_FIELDS
        place = [finding["visit"], finding["condition"], finding["circuit"]]
        assert finding["id"] == "/".join([finding["key"], *("-" if p is None else str(p) for p in place)])
        assert finding["severity"] in ("note", "watch", "act", "stop")
        assert finding["basis"] in ("measured", "nameplate", "computed", "rule of thumb", "assumed")
        assert finding["statement"].endswith(".")
        assert all(isinstance(n, (int, type(None))) for n in place[:2])
    for notice in printed["notices"]:
        assert set(notice) == {"code", "where", "text"}


def test_json_findings_are_in_si_with_a_band_or_in_words(demo):
    findings = json.loads(demo.stdout)["findings"]
    assert set(SI_UNIT) <= {f["key"] for f in findings}
    for finding in findings:
        if finding["key"] in SI_UNIT and finding["text"] is None:
            assert finding["unit"] == SI_UNIT[finding["key"]]
        if finding["value"] is not None:
            assert finding["text"] is None
            assert finding["low"] <= finding["value"] <= finding["high"]
        else:
            assert finding["text"] is not None


def test_ids_are_unique_and_inputs_exist(demo):
    findings = json.loads(demo.stdout)["findings"]
    ids = [f["id"] for f in findings]
    assert len(set(ids)) == len(ids)
    assert {i for f in findings for i in f["inputs"]} <= set(ids)


def test_demo_tells_its_story(demo):
    """What is behind it: the fan stays at 36 Hz with both stages, circuit 2 leaks, the coil freezes."""
    findings = {f["id"]: f for f in json.loads(demo.stdout)["findings"]}
    assert findings["staging.fault/1/1/-"]["text"] == "fan low with second stage"
    assert "staging.fault/1/2/-" not in findings
    assert "staging.fault/2/1/-" not in findings
    assert findings["circuit.charge/1/1/1"]["text"] == "cannot tell"
    assert findings["circuit.charge/1/1/2"]["text"] == "cannot tell"
    assert findings["circuit.contrast/1/1/2"]["text"] == "short of charge"
    assert findings["circuit.charge/2/1/1"]["text"] == "as charted"
    assert findings["circuit.charge/2/1/2"]["text"] == "low"
    assert findings["freeze.probability.fin/1/1/-"]["value"] > 0.2
    assert findings["freeze.probability.fin/2/1/-"]["value"] < 0.05


def test_the_same_job_twice_gives_the_same_json(demo):
    assert hvaccalc("findings", DEMO, "--json", PYTHONHASHSEED="7").stdout == demo.stdout


def test_order_of_keys_in_the_file_is_irrelevant(tmp_path):
    forwards, backwards = tmp_path / "a.toml", tmp_path / "b.toml"
    forwards.write_text(job_text(HUMID), encoding="utf-8")
    backwards.write_text(job_text(HUMID, reverse=True), encoding="utf-8")
    results = [
        json.loads(in_process("findings", path, "--json").out)["findings"] for path in (forwards, backwards)
    ]
    first, second = ({f["id"]: f for f in findings} for findings in results)
    assert first.keys() == second.keys()
    for name, finding in first.items():
        # Sums over circuits run in the file's order: equal to the printed digits, not to the last bit.
        assert finding["statement"] == second[name]["statement"]
        for number in ("value", "low", "high"):
            assert (finding[number] is None) == (second[name][number] is None)
            if finding[number] is not None:
                assert finding[number] == pytest.approx(second[name][number], rel=1e-9)
        assert finding["text"] == second[name]["text"]
        assert finding["severity"] == second[name]["severity"]


def test_new_writes_what_check_accepts(tmp_path):
    path = tmp_path / "hall.toml"
    assert in_process("new", path).code == 0
    checked = in_process("check", path)
    assert checked.code == 0, checked.err
    load_job(path)
    assert in_process("findings", path).code == 0


def test_new_never_overwrites(tmp_path):
    path = tmp_path / "hall.toml"
    path.write_text("precious", encoding="utf-8")
    again = in_process("new", path)
    assert again.code == 2
    assert str(path) in again.err
    assert path.read_text(encoding="utf-8") == "precious"


@pytest.mark.parametrize("command", ["check", "findings", "memo"])
@pytest.mark.parametrize(
    "bad", ["missing", "directory", "not toml", "bytes", "unknown key", "bare number", "newer"]
)
def test_bad_input_is_a_sentence_and_exit_2(tmp_path, command, bad):
    path = tmp_path / "bad.toml"
    content = {
        "not toml": b"format = \n[[[",
        "bytes": b"\xff\xfe\x00format",
        "unknown key": job_text({"air.return_dri_bulb": "75 degF"}).encode(),
        "bare number": job_text({"air.return_dry_bulb": 75}).encode(),
        "newer": job_text().replace("format = 1", "format = 99").encode(),
    }
    if bad == "directory":
        path.mkdir()
    elif bad != "missing":
        path.write_bytes(content[bad])
    result = in_process(command, path)
    assert result.code == 2
    assert "bad.toml" in result.err
    assert "Traceback" not in result.err + result.out
    assert result.out == ""


@pytest.mark.parametrize("arguments", [["findings"], ["nonsense"], ["findings", "a", "--fail-on", "panic"]])
def test_wrong_usage_is_exit_2(arguments):
    result = in_process(*arguments)
    assert result.code == 2
    assert "Traceback" not in result.err


@pytest.mark.parametrize(
    ("changes", "limit", "code"),
    [
        ({}, "act", 0),
        ({}, "note", 1),
        ({"air.airflow": None, "air.fan_frequency": "36 Hz"}, "act", 1),
        ({"air.airflow": None, "air.fan_frequency": "36 Hz"}, "stop", 0),
        ({"air.airflow": None, "air.fan_frequency": "0 Hz"}, "stop", 1),
    ],
)
def test_fail_on(tmp_path, changes, limit, code):
    assert in_process("findings", write_job(tmp_path, changes), "--fail-on", limit).code == code


def test_what_cannot_be_computed_is_exit_3_without_a_traceback(tmp_path, monkeypatch):
    def fails(job, draws=512):
        raise NotConverged("no state found")

    monkeypatch.setattr(analysis, "analyse", fails)
    result = in_process("findings", write_job(tmp_path))
    assert result.code == 3
    assert "no state found" in result.err
    assert "Traceback" not in result.err


MARKUP = "[bold red]Leak[/] <b>&amp; {0} %s \\u0041 `x` ‑ 水"


def test_text_of_the_job_is_never_markup(tmp_path):
    path = write_job(tmp_path, {"job.title": MARKUP, "condition.label": MARKUP})
    shown = in_process("findings", path)
    assert shown.code == 0
    assert shown.out.count(MARKUP) == 2
    assert json.loads(in_process("findings", path, "--json").out)["job"] == MARKUP


ESCAPES = "\x1b[31mred\x1b[0m \x07 \x1b]0;title\x07 \x9b1m \u202egnorw\u202c \u2066 \u200f \x85 \u2028"


def works_on_a_terminal(text):
    """Control characters but the line's end, and the marks that turn the direction of writing."""
    turns = "\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    return any(ord(c) < 32 and c != "\n" or 0x7F <= ord(c) < 0xA0 or c in turns for c in text)


def test_control_characters_reach_no_terminal(tmp_path):
    """They are shown as they are spelled, none is lost and none works."""
    path = write_job(tmp_path, {"job.title": ESCAPES, "condition.label": ESCAPES})
    shown = in_process("findings", path)
    assert shown.code == 0
    for text in (shown.out, shown.err):
        assert not works_on_a_terminal(text)
    assert shown.out.count("\\x1b[31mred\\x1b[0m") == 2
    printed = in_process("findings", path, "--json").out
    assert not works_on_a_terminal(printed)
    assert json.loads(printed)["job"] == ESCAPES


def test_control_characters_of_a_refused_value_reach_no_terminal(tmp_path):
    result = in_process("check", write_job(tmp_path, {"air.return_dry_bulb": ESCAPES}))
    assert result.code == 2
    assert not works_on_a_terminal(result.err)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name on this system")
@pytest.mark.parametrize("command", ["check", "findings", "memo", "what-if", "new"])
def test_a_pipe_or_a_device_is_named_and_refused(tmp_path, command):
    """Opening a pipe that nobody writes to would wait for ever."""
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for path in (pipe, Path("/dev/zero")):
        result = in_process(command, path)
        assert result.code == 2 and str(path) in result.err, result.err


def test_rows_from_a_pipe_are_refused(tmp_path):
    pipe = tmp_path / "rows.csv"
    os.mkfifo(pipe)
    result = in_process("what-if", DEMO, "--rows", pipe)
    assert result.code == 2 and "rows.csv" in result.err and "pipe" in result.err


@pytest.mark.parametrize("inside", ["", "deeper"])
@pytest.mark.parametrize("command", [["memo", DEMO, "-o"], ["notebooks"]])
def test_a_file_in_place_of_the_output_folder_is_named_and_refused(tmp_path, command, inside):
    taken = tmp_path / "taken"
    taken.write_text("mine", encoding="utf-8")
    result = in_process(*command, taken / inside)
    assert result.code == 2 and str(taken) in result.err and "not a folder" in result.err
    assert taken.read_text(encoding="utf-8") == "mine"


def test_a_terminal_without_utf_8_does_not_break_the_output(tmp_path):
    path = write_job(tmp_path, {"job.title": "水 ± °F", "air.return_dry_bulb": "94 degF"})
    printed = hvaccalc("findings", path, "--json", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert printed.returncode == 0, printed.stderr
    assert "unusual.return" in printed.stderr
    assert json.loads(printed.stdout)["job"] == "水 ± °F"


def test_display_si(tmp_path):
    path = write_job(tmp_path, HUMID | {"condition.filters_clean": None})
    shown = in_process("findings", path, "--display", "si")
    assert shown.code == 0
    assert "°C" in shown.out
    for us in ("°F", "cfm", "in w.c.", "kBtu", "gal/h", "psi", "inHg", "gr/lb"):
        assert us not in shown.out, us
    plain = in_process("findings", path)
    assert "°F" in plain.out
    both = [in_process("findings", path, "--json", "--display", how) for how in ("us", "si")]
    values = [[f["value"] for f in json.loads(b.out)["findings"]] for b in both]
    assert values[0] == values[1]


def test_check_counts_and_tells_notices(tmp_path):
    result = in_process("check", write_job(tmp_path))
    assert result.code == 0
    assert "1 visit, 1 condition." in result.out
    assert "default_accuracy" in result.out


ABSURD = {
    "circuit.1.lines.suction_size": ("9 in", "unusual.line", "not taken"),
    "circuit.1.lines.liquid_length": ("0 ft", "unusual.line", "not taken"),
    "circuit.1.lines.rise": ("4000 ft", "unusual.line", "not taken"),
    "circuit.1.nameplate_charge": ("900 lb", "unusual.plate", "used as typed"),
    "unit.drain.trap_seal": ("9 ft", "unusual.plate", "used as typed"),
}
"""What an engineer typed to see whether anybody looks; no split system of 20 tons has any of them."""


@pytest.mark.parametrize("key", ABSURD)
def test_check_tells_an_absurd_value(tmp_path, key):
    typed, code, done = ABSURD[key]
    result = in_process("check", write_job(tmp_path, {key: typed}))
    said = " ".join(result.out.split())
    assert result.code == 0
    assert f"notice {code} ({key})" in said and done in said
    assert "fine" not in said and "look again at 1 value above" in said


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("R-410AA", "R-410A"),
        ("R410", "R-410A"),
        ("R-454E", "R-454B"),
        ("R-41OA", "R-410A"),
        ("the usual one", "R-22"),
        ("water", "R-134a"),
        ("", "R-32"),
    ],
)
def test_check_refuses_what_is_no_refrigerant_with_the_nearest_names(tmp_path, typed, near):
    result = in_process("check", write_job(tmp_path, {"circuit.2.refrigerant": typed}))
    assert result.code == 2 and "circuit.2.refrigerant: no such refrigerant" in result.err
    assert near in result.err


@pytest.mark.parametrize("typed", ["R-502", "R-1234yf", "R-290", "R-744", "unknown"])
def test_check_leaves_out_a_refrigerant_that_is_not_carried_and_says_so(tmp_path, typed):
    result = in_process("check", write_job(tmp_path, {"circuit.2.refrigerant": typed}))
    said = " ".join(result.out.split())
    assert result.code == 0 and "fine" not in said
    assert "left out, for its refrigerant is not carried: circuit.2" in said
    assert f"{typed} is not carried" in said


RECOVERED = '[[visit.work]]\nkind = "recovered refrigerant"\ncircuit = "1"\namount = "{} lb"\n'


@pytest.mark.parametrize(("pounds", "told"), [(90, True), (28, False)])
def test_check_tells_more_recovered_than_the_circuit_holds(tmp_path, pounds, told):
    """28 lb on the plate and 50 ft of 5/8 in line, about 5 lb more: 90 lb were never in it."""
    path = write_job(
        tmp_path,
        {"circuit.1.nameplate_charge": "28 lb", "circuit.1.lines.liquid_length": "50 ft"},
        extra=RECOVERED.format(pounds),
    )
    said = " ".join(in_process("check", path).out.split())
    assert ("unusual.recovered (visit[1].work[1].amount)" in said) == told
    assert ("fine" not in said) == told


@pytest.mark.parametrize("name", ["library_hall", "clinic_attic", "swim_club", "heat_pump_school"])
def test_check_calls_a_usual_job_usual(name):
    said = in_process("check", data_path("jobs", f"{name}.toml")).out
    assert not any(f"unusual.{what}" in said for what in ("line", "plate", "recovered"))


def test_within_each_place_what_needs_doing_stands_first(tmp_path):
    """stop, act, watch, note; findings of one severity and those of the JSON keep their order."""
    path = write_job(tmp_path, HUMID | {"air.airflow": None, "air.fan_frequency": "36 Hz"})
    rows = in_process("findings", path).out.splitlines()
    places = [[]]
    for row in rows:
        if row == "":
            places.append([])
        elif (word := row[:8].strip()) in ("note", "watch", "act", "stop"):
            places[-1].append(word)
    order = ["stop", "act", "watch", "note"]
    told = [place for place in places if place]
    assert any("act" in place and "note" in place for place in told)
    for place in told:
        assert place == sorted(place, key=order.index)
    printed = json.loads(in_process("findings", path, "--json").out)["findings"]
    assert [f["severity"] for f in printed] != sorted((f["severity"] for f in printed), key=order.index)
