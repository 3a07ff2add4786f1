"""``hvaccalc notebooks``: copies that never cost anybody their work."""

import json
import subprocess
from pathlib import Path

import pytest

from hvaccalc import cli
from hvaccalc.errors import InputError
from hvaccalc.resources import RECORD, copy_notebooks, notebooks_path
from tests.behaviour.test_commands import in_process


@pytest.fixture
def source(tmp_path: Path) -> Path:
    folder = tmp_path / "shipped"
    folder.mkdir()
    (folder / "01_a.ipynb").write_text("a, first edition")
    (folder / "02_b.ipynb").write_text("b, first edition")
    return folder


def test_new_folder_gets_every_notebook(tmp_path: Path, source: Path) -> None:
    copies = copy_notebooks(tmp_path / "deep" / "mine", source)
    assert copies.written == ("01_a.ipynb", "02_b.ipynb")
    assert (tmp_path / "deep" / "mine" / "02_b.ipynb").read_text() == "b, first edition"


def test_unchanged_copy_is_updated_and_a_changed_one_kept(tmp_path: Path, source: Path) -> None:
    mine = tmp_path / "mine"
    copy_notebooks(mine, source)
    (mine / "01_a.ipynb").write_text("a, with my readings")
    for name in ("01_a.ipynb", "02_b.ipynb"):
        (source / name).write_text(f"{name}, second edition")
    copies = copy_notebooks(mine, source)
    assert (copies.updated, copies.kept) == (("02_b.ipynb",), ("01_a.ipynb",))
    assert (mine / "01_a.ipynb").read_text() == "a, with my readings"
    assert (mine / "02_b.ipynb").read_text() == "02_b.ipynb, second edition"
    assert copy_notebooks(mine, source).kept == ("01_a.ipynb",)


def test_a_file_that_was_there_before_is_kept(tmp_path: Path, source: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "01_a.ipynb").write_text("mine, from long ago")
    (mine / "02_b.ipynb").write_text("b, first edition")
    copies = copy_notebooks(mine, source)
    assert (copies.kept, copies.same) == (("01_a.ipynb",), ("02_b.ipynb",))
    assert (mine / "01_a.ipynb").read_text() == "mine, from long ago"


@pytest.mark.parametrize("record", ["", "{", "[]", '{"01_a.ipynb": 7}', "\udcff"])
def test_a_spoilt_record_costs_nothing(tmp_path: Path, source: Path, record: str) -> None:
    mine = tmp_path / "mine"
    copy_notebooks(mine, source)
    (mine / RECORD).write_bytes(record.encode("utf-8", "surrogateescape"))
    (source / "01_a.ipynb").write_text("a, second edition")
    assert copy_notebooks(mine, source).kept == ("01_a.ipynb",)
    assert (mine / "01_a.ipynb").read_text() == "a, first edition"


def test_a_link_is_never_written_through(tmp_path: Path, source: Path) -> None:
    mine, elsewhere = tmp_path / "mine", tmp_path / "elsewhere.ipynb"
    copy_notebooks(mine, source)
    elsewhere.write_text("a, first edition")
    (mine / "01_a.ipynb").unlink()
    (mine / "01_a.ipynb").symlink_to(elsewhere)
    (source / "01_a.ipynb").write_text("a, second edition")
    assert "01_a.ipynb" in copy_notebooks(mine, source).kept
    assert elsewhere.read_text() == "a, first edition"


def test_the_record_holds_what_was_copied(tmp_path: Path, source: Path) -> None:
    copy_notebooks(tmp_path / "mine", source)
    assert sorted(json.loads((tmp_path / "mine" / RECORD).read_text())) == ["01_a.ipynb", "02_b.ipynb"]


def test_the_source_itself_is_refused(source: Path) -> None:
    with pytest.raises(InputError, match="come from this folder"):
        copy_notebooks(source, source)


def test_command(tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    first = in_process("notebooks", mine)
    names = [path.name for path in sorted(notebooks_path().glob("*.ipynb"))]
    assert first.code == 0
    assert names and all(f"Wrote: {mine / name}" in first.out for name in names)
    with (mine / names[0]).open("a") as file:
        file.write("\n")
    again = in_process("notebooks", mine)
    assert again.code == 0
    assert f"Kept, for it was changed: {mine / names[0]}" in again.err
    assert (mine / names[0]).read_text("utf-8").endswith("\n\n")


def test_a_file_in_place_of_the_folder_is_bad_input(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("a file")
    result = in_process("notebooks", tmp_path / "mine")
    assert result.code == 2
    assert "not a folder" in result.err


@pytest.mark.parametrize(("status", "code"), [(0, 0), (1, 3)])
def test_open_starts_jupyterlab_on_the_folder(tmp_path: Path, monkeypatch, status: int, code: int) -> None:
    """For this computer alone, with a token of its own in a file of the user's alone, and no news."""
    started, tokens = [], []

    def run(command):
        settings = Path(next(part for part in command if part.startswith("--config=")).partition("=")[2])
        tokens.append(json.loads(settings.read_text("utf-8"))["IdentityProvider"]["token"])
        assert settings.parent.stat().st_mode & 0o077 == 0
        started.append(command)
        return subprocess.CompletedProcess(command, status)

    monkeypatch.setattr(cli.subprocess, "run", run)
    for _ in range(2):
        assert in_process("notebooks", tmp_path / "mine", "--open").code == code
    for command in started:
        assert command[1:4] == ["-m", "jupyterlab", str(tmp_path / "mine")]
        assert {"--ServerApp.ip=127.0.0.1", "--LabApp.news_url=None"} <= set(command)
    first, second = tokens
    assert first != second and min(len(first), len(second)) >= 32
    assert not any(first in part for part in started[0])
