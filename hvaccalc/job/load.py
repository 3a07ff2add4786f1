"""Reading a job file, `load_job`, and the user's own price list beside it.

Every problem of a file is an `InputError` with file, line, key, what was found and what is
allowed. The first one (in the order of lines, what is missing after what is wrong) is raised; its
`others` holds the rest.
"""

import csv
import hashlib
import io
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
from hvaccalc.job.checks.cross_checks import cross_checks, wiring_checks
from hvaccalc.job.checks.notices import notices_of, words_taken
from hvaccalc.job.checks.plates import chart_checks, impossible
from hvaccalc.job.checks.refusals import Placed, refusals
from hvaccalc.job.fields import nearest, shown
from hvaccalc.job.schema import Job, Notice, PriceRow
from hvaccalc.job.text.key_lines import Location, key_lines, key_text
from hvaccalc.job.text.syntax import LARGEST_FILE, decode, migrate, parse_what_can_be

COLUMNS = ("item", "unit", "low", "likely", "high", "currency")


def inside(folder: Path, name: str) -> Path | None:
    """The file that a job names, None where it is outside the job's folder (links followed)."""
    path = (folder / name.replace("\\", "/")).resolve()
    return path if path.is_relative_to(folder.resolve()) else None


def read_prices(path: Path) -> tuple[PriceRow, ...]:
    """Rows of a price list.

    Raises
    ------
    InputError
        With the csv file, line, and column as key.
    """
    try:
        return tuple(_rows(decode(path.read_bytes())))
    except InputError as error:
        error.file = str(path)
        raise
    except (OSError, csv.Error) as error:
        raise InputError(f"cannot be read: {error}", allowed="a csv file", file=str(path)) from None


def _rows(text: str) -> list[PriceRow]:
    reader = csv.reader(io.StringIO(text))
    header = [name.strip().lower() for name in next(reader, [])]
    for column in COLUMNS:
        if column not in header:
            message = f'the column "{column}" is missing{nearest(column, header)}'
            raise MissingReading(message, ", ".join(header)[:100], ", ".join(COLUMNS), line=1, key=column)
    rows = []
    for cells in reader:
        if any(cell.strip() for cell in cells):
            rows.append(_row(dict(zip(header, cells, strict=False)), reader.line_num))
    return rows


def _row(cells: dict[str, str], line: int) -> PriceRow:
    low, likely, high = (_money(cells.get(key, ""), key, line) for key in ("low", "likely", "high"))
    if not low <= likely <= high:
        found = f"{low:g}, {likely:g}, {high:g}"
        raise OutOfRange("prices out of order", found, "low, then likely, then high", line=line, key="likely")
    currency = cells.get("currency", "").strip().upper()
    if not (len(currency) == 3 and currency.isalpha()):
        raise WrongKind("not a currency", shown(currency), "a three-letter code", line=line, key="currency")
    return PriceRow(cells["item"].strip(), cells.get("unit", "").strip(), low, likely, high, currency)


def _money(text: str, key: str, line: int) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not (math.isfinite(value) and value >= 0.0):
        raise WrongKind("not a price", shown(text), "a number, not below zero", line=line, key=key)
    return value


MOST_TOLD = 50
"""Problems told of one file; a file with more has one cause."""


def load_job(path: str | Path) -> Job:
    """Read and check a job file with the files that it names.

    Parameters
    ----------
    path : str or Path
        UTF-8 TOML, at most 1 MB.

    Returns
    -------
    Job

    Raises
    ------
    InputError
        Or one of its kinds, with file, line and key; `others` holds the further ones.
    """
    path = Path(path)
    raw = read_bytes(path)
    return job_from_bytes(raw, path)


def no_other_than_a_file(path: Path, allowed: str) -> None:
    """Refuse a folder, a pipe or a device by name: reading one of them may never end.

    Raises
    ------
    InputError
        Where something stands there that is no file; OSError where that cannot be seen.
    """
    if path.exists() and not path.is_file():
        kind = "a folder" if path.is_dir() else "a pipe or a device"
        raise InputError(f"cannot be read: {kind}, not a file", shown(str(path)), allowed, file=str(path))


MOST_NAMED = 6
"""Job files named beside one that is not there."""


def read_bytes(path: Path) -> bytes:
    """Bytes of a job file; one byte more than allowed is enough to refuse it."""
    allowed = "a job file, TOML text in UTF-8"
    try:
        no_other_than_a_file(path, allowed)
        with open(path, "rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        there = sorted(one.name for one in Path(path).parent.glob("*.toml"))[:MOST_NAMED]
        here = shown(", ".join(there)) if there else "no job file in that folder"
        raise InputError("no such file", here, allowed, file=str(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"cannot be read: {reason}", shown(str(path)), allowed, file=str(path)) from None


def job_from_bytes(raw: bytes, path: Path | None = None) -> Job:
    """Job from the bytes of a file; `path` names it and is where the files it names are sought."""
    try:
        text = decode(raw)
        tables, unread = parse_what_can_be(text)
    except InputError as error:
        raise _with_file(error, path) from None
    job = _validated(tables, text, path, unread)
    rows, notices = _named_files(job, text, path)
    job._path = path
    job._digest = hashlib.sha256(raw).hexdigest()
    job._price_rows = rows
    job._notices = (*job.notices, *notices_of(job), *notices)
    return job


def job_from_text(text: str, path: Path | None = None) -> Job:
    """Job from text."""
    return job_from_bytes(text.encode("utf-8", "surrogatepass"), path)


def _with_file(error: InputError, path: Path | None) -> InputError:
    error.file = error.file or (str(path) if path is not None else None)
    return error


def _validated(tables: dict[str, Any], text: str, path: Path | None, unread: list[InputError]) -> Job:
    try:
        tables = migrate(tables)
        job = Job.model_validate(tables)
    except InputError as error:
        _raise([(("format",), error)], text, path, unread)
    except ValidationError as error:
        _raise(refusals(error), text, path, unread)
    found = [*cross_checks(job), *chart_checks(job), *wiring_checks(job), *impossible(job)]
    if found or unread:
        _raise(found, text, path, unread)
    job._notices = tuple(words_taken(job, tables))
    return job


def _raise(found: list[Placed], text: str, path: Path | None, unread: Sequence[InputError] = ()) -> Any:
    """Raise the first of several refusals, with file, line and key; the rest in `others`.

    A value that was `unread` is told once, by what is wrong with its writing.
    """
    scan = key_lines(text)
    errors = [_with_file(error, path) for error in unread]
    told = {error.key for error in unread}
    for location, error in found[:MOST_TOLD]:
        error.key = key_text(location) or None
        error.line = scan.line_of(location)
        if error.key not in told:
            errors.append(_with_file(error, path))
    errors.sort(key=lambda one: (isinstance(one, MissingReading), one.line or 0))
    errors[0].others = tuple(errors[1:])
    raise errors[0]


def _named_files(job: Job, text: str, path: Path | None) -> tuple[tuple[PriceRow, ...], tuple[Notice, ...]]:
    """Price rows, and a notice for each named file that is missing."""
    if path is None:
        return (), ()
    folder = path.parent
    rows: tuple[PriceRow, ...] = ()
    notices: list[Notice] = []
    named: list[tuple[Location, str]] = [
        (("visit", v, "photo", p, "file"), photo.file)
        for v, visit in enumerate(job.visit)
        for p, photo in enumerate(visit.photo)
    ]
    if job.prices.file is not None:
        named.append((("prices", "file"), job.prices.file))
    for location, name in named:
        target = inside(folder, name)
        if target is None:
            allowed = "a file inside the folder of the job file"
            error = InputError("outside the folder of the job file", found=shown(name), allowed=allowed)
            _raise([(location, error)], text, path)
        elif not target.is_file():
            notices.append(Notice("missing_file", key_text(location), f'no such file: "{name}"'))
        elif location[0] == "prices":
            rows = read_prices(target)
    return rows, tuple(notices)
