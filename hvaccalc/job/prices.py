"""The user's own price list, a csv file beside the job."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

from hvaccalc.errors import InputError, MissingReading, OutOfRange, WrongKind
from hvaccalc.job.fields import nearest, shown
from hvaccalc.job.schema import PriceRow
from hvaccalc.job.text.syntax import decode

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
            hint = nearest(column, header)
            message = f'the column "{column}" is missing' + (f"; {hint}" if hint else "")
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
