"""Where the data files and the notebooks are, what may be written into, and the user's copies of notebooks.

They live beside the package in a checkout and inside it in a wheel. An editable install leaves a copy of
``data/`` in site-packages that goes stale with the first edit, so the place is worked out from this file,
never from the installed distribution: an editable install runs this file from the checkout.

No change of the user's is ever lost: a small file beside the copies records the hash of each as it was
copied. A copy that still has that hash may be brought up to date; any other file is the user's and is kept.
"""

import contextlib
import hashlib
import json
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from hvaccalc.errors import InputError


def _root() -> Path:
    package = Path(__file__).resolve().parent
    checkout = package.parent
    is_checkout = (checkout / "pyproject.toml").is_file() and (checkout / "data").is_dir()
    return checkout if is_checkout else package


def data_path(*parts: str) -> Path:
    """Path below ``data/``; the file need not exist.

    >>> data_path("SOURCES.md").is_file()
    True
    """
    return _root().joinpath("data", *parts)


def notebooks_path() -> Path:
    """Path of ``notebooks/``; the directory need not exist."""
    return _root() / "notebooks"


def only_a_folder(path: Path) -> None:
    """Refuse an output folder that is a file or a device, or would stand in one.

    Raises
    ------
    InputError
        With what stands there.
    """
    there = next(one for one in (path, *path.absolute().parents) if one.exists())
    if not there.is_dir():
        raise InputError("not a folder", found=str(there), allowed="a folder, or a new name")


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
