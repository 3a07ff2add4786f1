"""Saving loses nothing: not comments, not the version before, not another's change."""

import dataclasses
import datetime
import difflib
import signal
import subprocess
import sys

import pytest

from hvaccalc import units
from hvaccalc.errors import FileChanged, InputError
from hvaccalc.job import save
from hvaccalc.job.checks.cross_checks import values_of
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.job.save import open_document, previous_version, save_job
from hvaccalc.job.starter import starter_text
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB

COMMENTED = SMALL_JOB.replace('label = "as found"', '# before\nlabel = "as found"   # beside')


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(COMMENTED.encode())
    return path


def changed_lines(before, after):
    return [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]


def leftovers(folder):
    return sorted(p.name for p in folder.iterdir() if p.name not in ("job.toml", "job.toml.previous"))


@pytest.mark.parametrize("text", [COMMENTED, FULL_JOB, starter_text()])
@pytest.mark.parametrize("end, mark", [("\n", b""), ("\r\n", b""), ("\n", b"\xef\xbb\xbf")])
def test_saved_unchanged_is_the_same_bytes(text, end, mark, path):
    raw = mark + text.replace("\n", end).encode()
    path.write_bytes(raw)
    open_document(path).save()
    assert path.read_bytes() == raw
    save_job(load_job(path))
    assert path.read_bytes() == raw


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_one_key_set_changes_one_line(end, path):
    path.write_bytes(COMMENTED.replace("\n", end).encode())
    file = open_document(path)
    file.set("visit[1].condition[1].label", "as left")
    file.save()
    text = path.read_bytes().decode()
    assert text.count(end) == text.count("\n")
    assert changed_lines(COMMENTED, text) == [
        '- label = "as found"   # beside',
        '+ label = "as left"   # beside',
    ]
    assert load_job(path).visit[0].condition[0].label == "as left"


@pytest.mark.parametrize(
    "place, value",
    [
        ("visit[1].condition[1].air.airflow", "7900 cfm"),
        ("visit[1].condition[2].air.return_dry_bulb", "74 degF"),
        ("visit[2].date", datetime.date(2026, 7, 1)),
        ("unit.pan.depth", "2 in"),
        ("circuit.north.refrigerant", "R-22"),
        ("circuit.2.chart[1]", {"liquid_temperature": "80 degF", "liquid_pressure": "284 psig"}),
        ("job.water_when", ["while cooling", "rain"]),
        ("wiring.found", []),
        ("visit[1].condition[1].circuit.1.suction_pressure", {"value": "118 psig", "instrument": "gauge_a"}),
        ("instruments.vane", {"kind": "traverse"}),
        ("visit[1].condition[1].air.traverse", ["500 ft/min"]),
        ("unit.fan.curve[1].airflow", "8000 cfm"),
        ("visit[1].work[1].hazards[1]", "wet floor"),
        (("unit", "coil", "rows"), 4),
    ],
)
def test_keys_lists_and_tables_that_are_new(place, value, path):
    file = open_document(path)
    file.set(place, value)
    assert all(line[0] == "+" or "pressure" in line for line in changed_lines(COMMENTED, file.text))
    file.save()
    file.job()
    assert load_job(path).job.title


def test_remove(path):
    file = open_document(path)
    file.remove("visit[1].condition[1].circuit.1.suction_pressure")
    file.remove("visit[1].condition[1].signs")
    removed = changed_lines(COMMENTED, file.text)
    assert '- suction_pressure = "118 psig"' in removed and all(line[0] == "-" for line in removed)


@pytest.mark.parametrize(
    "place", ["job.nowhere", "visit[3].date", "format.x", "visit[1].condition[9].air.airflow"]
)
def test_places_that_are_not_there(place, path):
    file = open_document(path)
    with pytest.raises(InputError) as caught:
        (file.remove if place == "job.nowhere" else lambda where: file.set(where, "x"))(place)
    assert caught.value.key and file.text == COMMENTED


def test_a_job_that_was_changed_keeps_comments(path):
    job = load_job(path)
    visit = job.visit[0]
    condition = visit.condition[0].model_copy(update={"label": "as left", "running_for": None})
    pan = job.unit.pan.model_copy(update={"depth": units.parse("2 in", "length")})
    changed = job.model_copy(
        update={
            "visit": (visit.model_copy(update={"condition": (condition,)}),),
            "unit": job.unit.model_copy(update={"pan": pan}),
        }
    )
    save_job(changed, path)
    text = path.read_text()
    assert "# before" in text and '"as left"   # beside' in text and "running_for" not in text
    assert load_job(path).unit.pan.depth.text == "2 in"


def test_a_job_from_text_makes_a_new_file(tmp_path):
    job = job_from_text(FULL_JOB)
    save_job(job, tmp_path / "new.toml")
    assert dict(load_job(tmp_path / "new.toml")) == dict(job)
    with pytest.raises(FileChanged):
        save_job(job, tmp_path / "new.toml")


def test_the_version_before_is_kept(path):
    file = open_document(path)
    file.set("job.title", "second")
    file.save()
    assert previous_version(path).read_bytes() == COMMENTED.encode()
    second = path.read_bytes()
    file.set("job.title", "third")
    file.save()
    assert previous_version(path).read_bytes() == second
    assert leftovers(path.parent) == []


@pytest.mark.parametrize("how", ["edited", "gone"])
@pytest.mark.parametrize("who", ["file", "job"])
def test_another_change_on_disk_is_never_overwritten(how, who, path):
    file, job = open_document(path), load_job(path)
    file.set("job.title", "mine")
    if how == "edited":
        path.write_text(COMMENTED + "# another hand\n")
    else:
        path.unlink()
    with pytest.raises(FileChanged):
        save_job(file if who == "file" else job)
    assert path.exists() == (how == "edited")
    if how == "edited":
        assert path.read_text().endswith("# another hand\n")
    assert leftovers(path.parent) == []


def test_saving_over_a_file_that_was_not_read_is_refused(path, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text("precious")
    with pytest.raises(FileChanged):
        save_job(load_job(path), other)
    assert other.read_text() == "precious"


@pytest.mark.parametrize("failing", ["replace", "fsync"])
def test_interrupted_before_the_rename_loses_nothing(failing, path, monkeypatch):
    file = open_document(path)
    file.set("job.title", "never arrives")

    def fail(*arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(save.os, failing, fail)
    with pytest.raises(InputError, match="cannot be written: No space left"):
        file.save()
    monkeypatch.undo()
    assert path.read_bytes() == COMMENTED.encode() and leftovers(path.parent) == []
    file.save()
    assert load_job(path).job.title == "never arrives"


KILLED = """
import os, sys, time
from hvaccalc.job import save
from hvaccalc.job.checks.cross_checks import values_of
rename = os.replace
def slow(source, target):
    if str(target).endswith(sys.argv[2]):
        print("ready", flush=True)
        time.sleep(60)
    rename(source, target)
save.os.replace = slow
file = save.open_document(sys.argv[1])
file.set("job.title", "never arrives")
file.save()
"""


@pytest.mark.parametrize("before", ["job.toml.previous", "job.toml"])
def test_killed_before_either_rename_loses_nothing(before, path):
    command = [sys.executable, "-c", KILLED, str(path), before]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout.readline() == "ready\n"
        process.send_signal(signal.SIGKILL)
    assert path.read_bytes() == COMMENTED.encode()
    file = open_document(path)
    file.set("job.title", "arrives")
    file.save()
    assert load_job(path).job.title == "arrives"


def test_a_link_stays_a_link(path, tmp_path):
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    file = open_document(link)
    file.set("job.title", "through the link")
    file.save()
    assert link.is_symlink() and "through the link" in path.read_text()


def test_permissions_stay(path):
    path.chmod(0o640)
    file = open_document(path)
    file.set("job.title", "x")
    file.save()
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_folder_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match="cannot be written") as caught:
        save_job(job_from_text(SMALL_JOB), tmp_path / "nowhere" / "job.toml")
    assert caught.value.file and caught.value.found


def test_a_new_file_without_a_name():
    with pytest.raises(InputError, match="needs a name"):
        save_job(job_from_text(SMALL_JOB))


def test_a_document_need_not_be_complete_but_must_be_toml(path):
    path.write_text("format = 1\n")
    file = open_document(path)
    file.set("job.title", "started")
    file.save()
    with pytest.raises(InputError):
        file.job()
    path.write_text("format = \n")
    with pytest.raises(InputError) as caught:
        open_document(path)
    assert caught.value.line == 1 and caught.value.file == str(path)


PRESSURE = "visit[1].condition[1].circuit.1.liquid_pressure"


@pytest.mark.parametrize("way", ["open file", "changed job"])
def test_editing_a_reading_keeps_its_instrument_and_every_other_byte(way, path):
    before = path.read_bytes()
    if way == "open file":
        file = open_document(path)
        file.set(PRESSURE, "305 psig")
        file.save()
    else:
        job = load_job(path)
        visit = job.visit[0]
        condition = visit.condition[0]
        table = condition.circuit["1"]
        reading = dataclasses.replace(table.liquid_pressure, quantity=units.parse("305 psig", "pressure"))
        table = table.model_copy(update={"liquid_pressure": reading})
        condition = condition.model_copy(update={"circuit": {**condition.circuit, "1": table}})
        visit = visit.model_copy(update={"condition": (condition,)})
        save_job(job.model_copy(update={"visit": (visit,)}))
    assert path.read_bytes() == before.replace(b"301 psig", b"305 psig")
    assert load_job(path).visit[0].condition[0].circuit["1"].liquid_pressure.instrument == "gauge_a"


def test_setting_any_one_key_changes_its_own_line_alone():
    """Every seventh key of the full job: set to another text, no other line may differ."""
    places = [place for place, _ in values_of(job_from_text(FULL_JOB)) if isinstance(place[-1], str)]
    assert len(places) > 150
    for place in places[::7]:
        file = save.JobFile(FULL_JOB.encode())
        file.set(place, "another")
        changed = changed_lines(FULL_JOB, file.text)
        assert len(changed) == 2 and "another" in changed[1], (place, changed)


@pytest.mark.parametrize(
    ("table", "update"),
    [
        (lambda job: job.unit, {"rated_airflow": "8000 cfm"}),
        (lambda job: job.unit, {"rated_airflow": 3.7}),
        (lambda job: job.unit, {"circuiting": "interlacd"}),
        (lambda job: job.unit, {"rated_air": units.parse("8000 cfm", "airflow")}),
        (lambda job: job.unit, {"fan": {"full_speed": "60 Hz"}}),
        (lambda job: job.unit, {"rated_airflow": units.parse("80 degF", "temperature")}),
        (lambda job: job, {"display": "metric"}),
        (lambda job: job, {"visit": "none"}),
        (lambda job: job.visit[0], {"date": "2026-06-18"}),
        (lambda job: job.visit[0].condition[0].air, {"return_dry_bulb": "75 degF"}),
        (lambda job: job.visit[0].condition[0].signs, {"trap": "dry"}),
    ],
)
def test_a_copy_of_a_table_refuses_what_it_could_not_hold(table, update):
    """At once, and not in the middle of a calculation that meets text."""
    with pytest.raises(InputError) as refusal:
        table(job_from_text(SMALL_JOB)).model_copy(update=update)
    assert refusal.value.key == next(iter(update)) and refusal.value.found and refusal.value.allowed
