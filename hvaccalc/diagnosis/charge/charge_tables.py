"""Printed tables of charging: target superheat of a fixed orifice, target temperature split.

Read between their cells by straight lines both ways; beside a dash, or beyond the table, there is no answer.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hvaccalc import units
from hvaccalc.resources import data_path

INSIDE, BEYOND, DASH = range(3)
REASONS = {
    INSIDE: "",
    BEYOND: "the air lies beyond the table",
    DASH: (
        "the table prints a dash there: do not charge by superheat in this air; warm the indoor air "
        "and read again, or weigh the charge in"
    ),
}


@dataclass(frozen=True, slots=True)
class Misprint:
    """A cell that some printings have wrong [K of difference]; rows and columns in °F as printed."""

    row: float
    column: float
    read: float
    holds: float
    why: str


@dataclass(frozen=True)
class PrintedTable:
    """A grid of temperature differences; NaN where it prints a dash.

    Attributes
    ----------
    title : str
    rows, columns : ndarray
        Dry bulb and wet bulb [K].
    cells : ndarray, shape (rows, columns)
        [K]
    misprints : tuple of Misprint
    """

    title: str
    rows: np.ndarray
    columns: np.ndarray
    cells: np.ndarray
    misprints: tuple[Misprint, ...] = ()

    def at(self, dry_bulb: np.ndarray | float, wet_bulb: np.ndarray | float) -> np.ndarray:
        """Value between the cells [K]; NaN beyond the table and beside a dash.

        Parameters
        ----------
        dry_bulb, wet_bulb : array_like
            [K]

        Examples
        --------
        Outdoors 95 °F, indoor wet bulb 67 °F: between the printed 10 and 14.

        >>> round(float(superheat_table().at(units.degF(95), units.degF(67)) * 1.8), 2)
        12.0
        """
        row, up = _between(self.rows, np.asarray(dry_bulb, float))
        column, along = _between(self.columns, np.asarray(wet_bulb, float))
        total = np.zeros(np.broadcast(up, along).shape)
        for i, weight in ((0, 1.0 - up), (1, up)):
            for j, share in ((0, 1.0 - along), (1, along)):
                part = weight * share
                # A cell without weight has no say: a dash beside a printed cell does not blot it out.
                total = total + np.where(part > 0.0, part * self.cells[row + i, column + j], 0.0)
        return np.where(np.isnan(up) | np.isnan(along), np.nan, total)

    def reason(self, dry_bulb: float, wet_bulb: float) -> int:
        """Why there is no value: a key of `REASONS`."""
        outside = not (
            self.rows[0] <= dry_bulb <= self.rows[-1] and self.columns[0] <= wet_bulb <= self.columns[-1]
        )
        if outside:
            return BEYOND
        return DASH if np.isnan(self.at(dry_bulb, wet_bulb)) else INSIDE


def _between(axis: np.ndarray, value: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Index of the cell below, and the share of the way to the next; NaN beyond the axis."""
    index = np.clip(np.searchsorted(axis, value, side="right") - 1, 0, len(axis) - 2)
    share = (value - axis[index]) / (axis[index + 1] - axis[index])
    return index, np.where((value < axis[0]) | (value > axis[-1]), np.nan, share)


def _cells(rows: dict[str, str]) -> np.ndarray:
    printed = [[np.nan if cell == "-" else float(cell) for cell in row.split()] for row in rows.values()]
    return np.array(printed) / 1.8


def _read(file: str, key: str) -> tuple[dict, PrintedTable]:
    table = tomllib.loads(data_path(file).read_text("utf-8"))
    misprints = tuple(
        Misprint(
            float(row["outdoor"]),
            float(row["wet_bulb"]),
            units.parse(row["read"], "temperature_difference").value,
            units.parse(row["holds"], "temperature_difference").value,
            row["why"],
        )
        for row in table.get("misprints", ())
    )
    grid = PrintedTable(
        table["title"],
        units.degF(np.array([float(name) for name in table[key]])),
        units.degF(np.array(table["wet_bulb"], float)),
        _cells(table[key]),
        misprints,
    )
    return table, grid


@lru_cache(maxsize=1)
def superheat_table() -> PrintedTable:
    """Target superheat by outdoor dry bulb and indoor wet bulb."""
    return _read("superheat_table.toml", "superheat")[1]


@lru_cache(maxsize=1)
def split_table() -> PrintedTable:
    """Target temperature split by return dry and wet bulb; from memory."""
    return _read("temperature_split.toml", "split")[1]


def linear_rule(outdoor_dry_bulb: np.ndarray | float, wet_bulb: np.ndarray | float) -> np.ndarray:
    """Target superheat by the rule (3 wet bulb - 80 - outdoor) / 2 in °F [K].

    A cross-check of the table, which beats it: the rule also answers where the table prints a dash.

    Examples
    --------
    Trade-training example: wet bulb 64 °F, outdoors 96 °F.

    >>> round(float(linear_rule(units.degF(96), units.degF(64)) * 1.8), 6)
    8.0
    """
    dry = np.asarray(units.to(outdoor_dry_bulb, "degF", "temperature"))
    wet = np.asarray(units.to(wet_bulb, "degF", "temperature"))
    return (3.0 * wet - 80.0 - dry) / 2.0 / 1.8
