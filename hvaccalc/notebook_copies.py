"""Copies of the notebooks in a folder of the user's, where no change of theirs is ever lost.

A small file beside the copies records the hash of each as it was copied. A copy that still has that hash
may be brought up to date; any other file is the user's and is kept.
"""

import contextlib
import hashlib
import json
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from hvaccalc.errors import InputError
from hvaccalc.resources import notebooks_path, only_a_folder

RECORD = ".hvaccalc-notebooks.json"


@dataclass(frozen=True, slots=True)
class Copies:
    """What became of each notebook, by file name.

    Attributes
    ----------
    written, updated, same, kept : tuple of str
        New; brought up to date; as shipped already; changed by the user, or not ours, and left alone.
    """

    written: tuple[str, ...]
    updated: tuple[str, ...]
    same: tuple[str, ...]
    kept: tuple[str, ...]


def copy_notebooks(folder: Path, source: Path | None = None) -> Copies:
    """Copy every notebook into a folder, which is made where it does not exist.

    Parameters
    ----------
    folder : Path
    source : Path, optional
        Folder of the notebooks; the package's own by default.

    Raises
    ------
    InputError
        Where `folder` is a file, or is the folder that the notebooks come from.
    """
    source = source or notebooks_path()
    _check(folder, source)
    folder.mkdir(parents=True, exist_ok=True)
    record = _read_record(folder)
    became: dict[str, list[str]] = {"written": [], "updated": [], "same": [], "kept": []}
    for shipped in sorted(source.glob("*.ipynb")):
        content = shipped.read_bytes()
        fate = _place(folder / shipped.name, content, record.get(shipped.name))
        became[fate].append(shipped.name)
        if fate != "kept":
            record[shipped.name] = _digest(content)
            _replace(folder / RECORD, json.dumps(record, indent=1, sort_keys=True).encode() + b"\n")
    return Copies(**{fate: tuple(names) for fate, names in became.items()})


def _check(folder: Path, source: Path) -> None:
    only_a_folder(folder)
    if folder.resolve() == source.resolve():
        raise InputError(
            "the notebooks come from this folder", found=str(folder), allowed="a folder of your own"
        )


def _place(target: Path, content: bytes, recorded: str | None) -> str:
    """Write one copy where that loses nothing, and say what became of it."""
    try:
        with target.open("xb") as new:
            new.write(content)
        return "written"
    except FileExistsError:
        pass
    if not target.is_file() or target.is_symlink():
        return "kept"
    found = _digest(target.read_bytes())
    if found == _digest(content):
        return "same"
    if found != recorded:
        return "kept"
    _replace(target, content)
    return "updated"


def _replace(target: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            os.fchmod(out.fileno(), 0o644)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def _read_record(folder: Path) -> dict[str, str]:
    """Hashes of earlier copies; nothing where the record is missing or has been spoilt."""
    try:
        known = json.loads((folder / RECORD).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(known, dict):
        return {}
    return {name: digest for name, digest in known.items() if isinstance(digest, str)}


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
