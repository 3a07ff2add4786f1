"""Writing a job file: comments, order and line endings stay, nothing is ever lost.

A save writes a temporary file in the same folder, puts it on the disk, keeps the version before
as ``NAME.previous`` and renames. It refuses where the file is no longer the one that was read.
"""

import contextlib
import copy
import hashlib
import os
import secrets
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.container import OutOfOrderTableProxy
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Array, InlineTable, Item

from hvaccalc.errors import FileChanged, HvacCalcError, InputError
from hvaccalc.job.accuracy import Accuracy
from hvaccalc.job.causes import CauseAt
from hvaccalc.job.fields import READING_KEYS, Reading, Table, shown
from hvaccalc.job.load import job_from_text, read_bytes
from hvaccalc.job.reference import typed_name
from hvaccalc.job.schema import EnergyPrice, Job
from hvaccalc.job.text.key_lines import Location, key_location, key_text
from hvaccalc.job.text.syntax import decode, parse
from hvaccalc.job.visit_tables import SIGN_KEYS, FansRunning, Sign, Traverse
from hvaccalc.units import Quantity


def plain(value: Any) -> Any:
    """Text, number, list or table as typed in a file; keys that are None are left out."""
    if isinstance(value, Quantity):
        return _number(value.text) if value.kind == "ratio" else value.text
    if isinstance(value, (Accuracy, EnergyPrice)):
        return value.text
    if isinstance(value, CauseAt):
        return str(value)
    if isinstance(value, Reading):
        return _inline({"value": plain(value.quantity)}, value, READING_KEYS[1:])
    if isinstance(value, Sign):
        words = value.values[0] if len(value.values) == 1 else list(value.values)
        return _inline({"value": words}, value, SIGN_KEYS[1:])
    if isinstance(value, FansRunning):
        return value.running if value.of is None else f"{value.running} of {value.of}"
    if isinstance(value, Traverse) and value.area is None:
        return [plain(velocity) for velocity in value.velocities]
    if isinstance(value, Table):
        return _table(value)
    if isinstance(value, dict):
        return {name: plain(entry) for name, entry in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(entry) for entry in value]
    return value


def _number(text: str) -> Any:
    """A plain number without quotes; with a band it stays text."""
    for convert in (int, float):
        try:
            return convert(text)
        except ValueError:
            continue
    return text


def _inline(table: dict[str, Any], value: object, keys: tuple[str, ...]) -> Any:
    """The bare value, or an inline table where more is said."""
    said = {key: getattr(value, key) for key in keys if getattr(value, key) is not None}
    if not said:
        return table["value"]
    inline = tomlkit.inline_table()
    inline.update({**table, **said})
    return inline


def _table(table: Table) -> dict[str, Any]:
    fields = type(table).model_fields
    return {
        typed_name(name, fields[name]): plain(getattr(table, name))
        for name in fields
        if name in table.model_fields_set and getattr(table, name) is not None
    }


BOM = "\ufeff"


class JobFile:
    """A job file open for editing.

    Parameters
    ----------
    raw : bytes
        As read.
    path : Path or None
        Where it was read; None for a new file.

    Attributes
    ----------
    document : tomlkit document
        Change it through `set` and `remove`, which check that nothing else changes with it.
    digest : str
        sha256 of the file on disk that this one replaces; empty for a new file.
    """

    def __init__(self, raw: bytes, path: Path | None = None) -> None:
        self.path = path
        self.digest = hashlib.sha256(raw).hexdigest() if path is not None else ""
        self._bom = raw.startswith(BOM.encode())
        try:
            self._text = decode(raw)
            self._tables = parse(self._text)
        except InputError as error:
            error.file = str(path) if path is not None else None
            raise
        self._crlf = "\r\n" in self._text and "\n" not in self._text.replace("\r\n", "")
        self.document = self._document(self._text)

    @property
    def text(self) -> str:
        """The file's text as it now stands."""
        return self._text

    def job(self) -> Job:
        """The job that the text as it now stands describes."""
        return job_from_text(self._text, self.path)

    def set(self, place: str | Location, value: Any) -> None:
        """Set a key; tables on the way are made, a list grows by one where its next number is named.

        Parameters
        ----------
        place : str or tuple
            ``"visit[1].condition[2].air.airflow"`` (lists count from 1), or the same as a tuple
            with lists counted from 0.
        value : str, bool, int, float, date, time, list or dict
            As it stands in a file: quantities as text with their unit. A reading or sign that says more
            (instrument, by, at, note) keeps that where its value alone is set.
        """
        location = key_location(place) if isinstance(place, str) else place
        if not isinstance(value, dict) and _says_more(self._tables, location):
            location = (*location, "value")
        self._change(location, lambda root, where: _put(root, where, value))

    def remove(self, place: str | Location) -> None:
        """Take a key, a table or an entry of a list away."""
        location = key_location(place) if isinstance(place, str) else place
        self._change(location, _take_away)

    def save(self, path: str | Path | None = None) -> None:
        """Write to the file that was read, or to another name that is still free.

        Raises
        ------
        FileChanged
            The file on disk is not the one that was read; nothing was written.
        InputError
            The file cannot be written.
        """
        target = Path(path) if path is not None else self.path
        if target is None:
            raise InputError("a new file needs a name", allowed="the path to save to")
        same = self.path is not None and target.resolve() == self.path.resolve()
        raw = ((BOM if self._bom else "") + self._text).encode()
        write_atomically(target, raw, self.digest if same else "")
        self.path, self.digest = target, hashlib.sha256(raw).hexdigest()

    def _document(self, text: str) -> tomlkit.TOMLDocument:
        try:
            return tomlkit.parse(text)
        except (TOMLKitError, ValueError, RecursionError) as error:
            message = f"the file cannot be edited as it is laid out: {error}"
            raise InputError(message, allowed="each table in one place", file=str(self.path)) from None

    def _change(self, location: Location, change: Callable[[Any, Location], None]) -> None:
        """Change document and plain tables alike; keep both only where they still agree."""
        place = key_text(location)
        tables = copy.deepcopy(self._tables)
        try:
            change(tables, location)
        except (LookupError, TypeError, AttributeError) as error:
            raise InputError(f"no such place in the file ({error})", found=place, key=place) from None
        tables = _unwrapped(tables)
        try:
            change(self.document, location)
            text = self.document.as_string()
            agrees = parse(text) == tables
        except (HvacCalcError, TOMLKitError, LookupError, TypeError, ValueError, AttributeError):
            agrees = False
        if not agrees:
            self.document = self._document(self._text)
            message = "tables laid out in a way that cannot be edited safely"
            raise InputError(message, found=place, allowed="edit the file by hand", key=place)
        if self._crlf:
            text = text.replace("\r\n", "\n").replace("\n", "\r\n")
        self._text, self._tables = text, tables


def _unwrapped(value: Any) -> Any:
    """Plain tables and lists, also where a part came from tomlkit."""
    if hasattr(value, "unwrap"):
        return value.unwrap()
    if isinstance(value, dict):
        return {key: _unwrapped(entry) for key, entry in value.items()}
    return [_unwrapped(entry) for entry in value] if isinstance(value, list) else value


def _says_more(root: Any, location: Location) -> bool:
    """Whether a reading or sign stands in a place as a table: its value with what, when and by whom."""
    try:
        for part in location:
            root = root[part]
    except (LookupError, TypeError):
        return False
    return isinstance(root, dict) and "value" in root and root.keys() <= {*READING_KEYS}


def _put(root: Any, location: Location, value: Any) -> None:
    holder = root
    for depth, part in enumerate(location[:-1]):
        following, tables = location[depth + 1], depth + 2 < len(location) or isinstance(value, dict)
        if isinstance(part, int):
            if part == len(holder):
                holder.append(_new(holder, {}))
        elif part not in holder:
            holder[part] = _new(holder, [] if isinstance(following, int) else {}, tables)
        holder = holder[part]
    last = location[-1]
    if isinstance(last, int) and last == len(holder):
        holder.append(_new(holder, value))
    else:
        holder[last] = _new(holder, value)


def _new(holder: Any, value: Any, tables: bool = False) -> Any:
    """A value, list or table of the kind that its holder takes; `tables`: a list that will hold tables."""
    if not isinstance(holder, (Item, tomlkit.TOMLDocument, OutOfOrderTableProxy)):
        return copy.deepcopy(_unwrapped(value))
    if isinstance(holder, (Array, InlineTable)) and isinstance(value, dict):
        inline = tomlkit.inline_table()
        inline.update(_unwrapped(value))
        return inline
    rows = tables and value == [] and not isinstance(holder, InlineTable)
    return tomlkit.aot() if rows else tomlkit.item(value)


def _take_away(root: Any, location: Location) -> None:
    holder = root
    for part in location[:-1]:
        holder = holder[part]
    del holder[location[-1]]


def open_document(path: str | Path) -> JobFile:
    """Open a job file for editing; it need not be complete, but must be TOML."""
    path = Path(path)
    return JobFile(read_bytes(path), path)


def save_job(job: Job | JobFile, path: str | Path | None = None) -> str:
    """Save a job, or a file open for editing.

    A `Job` that was loaded is written over the text it came from: only keys that differ change,
    comments and order stay.

    Parameters
    ----------
    job : Job or JobFile
    path : str or Path, optional
        Absent, the file that was read.

    Returns
    -------
    str
        sha256 of the file written.

    Raises
    ------
    FileChanged
        The file on disk is not the one that was read; nothing was written.
    """
    file = job if isinstance(job, JobFile) else _edited(job)
    file.save(path)
    return file.digest


def _edited(job: Job) -> JobFile:
    if job.path is None:
        return JobFile(tomlkit.dumps(plain(job)).encode())
    try:
        file = open_document(job.path)
    except InputError as error:
        raise FileChanged(f"{job.path} can no longer be read ({error.message})") from None
    if file.digest != job.digest:
        raise FileChanged(f"{job.path} changed on disk since it was read; read it again")
    for location, value in list(_differences(file.job(), job, ())):
        if value is None:
            file.remove(location)
        else:
            file.set(location, value)
    return file


def _differences(old: Any, new: Any, place: Location) -> Iterator[tuple[Location, Any]]:
    """Places that differ with their new plain value, None where they are gone."""
    if old == new:
        return
    if isinstance(old, Table) and type(old) is type(new) and not _short_form(old, new):
        for name, field in type(old).model_fields.items():
            was, now = (_typed(table, name) for table in (old, new))
            yield from _differences(was, now, (*place, typed_name(name, field)))
    elif isinstance(old, dict) and isinstance(new, dict):
        for name in {**old, **new}:
            yield from _differences(old.get(name), new.get(name), (*place, name))
    elif _is_rows(old) and _is_rows(new):
        for number in range(max(len(old), len(new)) - 1, len(new) - 1, -1):
            yield (*place, number), None
        for number, entry in enumerate(new):
            yield from _differences(old[number] if number < len(old) else None, entry, (*place, number))
    elif isinstance(old, Reading) and isinstance(new, Reading) and _beside(old) == _beside(new):
        yield place, plain(new.quantity)
    else:
        yield place, None if new is None else plain(new)


def _beside(reading: Reading) -> tuple[str | None, ...]:
    return tuple(getattr(reading, key) for key in READING_KEYS[1:])


def _typed(table: Table, name: str) -> Any:
    """Value of a field that the file holds; None where it is left to its default."""
    return getattr(table, name) if name in table.model_fields_set else None


def _short_form(old: Table, new: Table) -> bool:
    """Whether either is written without its keys (a traverse as a bare list)."""
    return not all(isinstance(plain(table), dict) or not table.given for table in (old, new))


def _is_rows(value: Any) -> bool:
    return isinstance(value, tuple) and len(value) > 0 and all(isinstance(entry, Table) for entry in value)


def write_atomically(path: Path, raw: bytes, expected: str) -> None:
    """Replace a file in one step, keeping the version before beside it.

    Parameters
    ----------
    path : Path
        A link is followed.
    raw : bytes
        New content.
    expected : str
        sha256 of the file that is replaced; empty where none may exist yet.

    Raises
    ------
    FileChanged, InputError
        Nothing was written.
    """
    path = path.resolve()
    try:
        with contextlib.ExitStack() as temporary:
            fresh = _temporary(path, raw, temporary)
            before = _unchanged(path, expected)
            if before is not None:
                kept = _temporary(path, before, temporary)
                shutil.copymode(path, fresh)
                shutil.copymode(path, kept)
                os.replace(kept, previous_version(path))
            os.replace(fresh, path)
            _settle(path.parent)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(f"cannot be written: {reason}", shown(str(path)), file=str(path)) from None


def previous_version(path: Path) -> Path:
    """Where the version before the last save is kept."""
    return path.with_name(path.name + ".previous")


def _temporary(path: Path, raw: bytes, stack: contextlib.ExitStack) -> Path:
    """A file beside the target, safely on the disk; removed with the stack if still there."""
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(6)}.writing")
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    stack.callback(fresh.unlink, missing_ok=True)
    with os.fdopen(handle, "wb") as file:
        file.write(raw)
        file.flush()
        os.fsync(file.fileno())
    return fresh


def _unchanged(path: Path, expected: str) -> bytes | None:
    """Bytes on disk where they are the ones expected; None where there is no file and none expected."""
    if not path.exists():
        if expected:
            raise FileChanged(f"{path} is no longer there")
        return None
    if not expected:
        raise FileChanged(f"{path} exists and was not read before")
    before = path.read_bytes()
    if hashlib.sha256(before).hexdigest() != expected:
        raise FileChanged(f"{path} changed on disk since it was read; read it again")
    return before


def _settle(folder: Path) -> None:
    """Put the rename itself on the disk, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
