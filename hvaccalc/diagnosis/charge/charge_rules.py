"""Rules by which a charge is verified, by edition, and the printed tables that they refer to.

The editions stand in ``data/charge_rules.toml``; one edition and one role serve a job, never a mixture.

Tables (target superheat of a fixed orifice, target temperature split) are read between their cells by
straight lines both ways; beside a dash, or beyond the table, there is no answer.
"""

import difflib
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array, Indices
from hvaccalc.job.schema import Job
from hvaccalc.resources import data_path

ROLES = ("installer", "verifier")
METHODS = ("superheat", "subcooling", "split")


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Half widths about the target and the range of a working valve's superheat [K].

    Attributes
    ----------
    superheat, subcooling, split : float
    valve : tuple of float
    standing : dict
        published or memory, by the names above.
    """

    superheat: float
    subcooling: float
    split: float
    valve: tuple[float, float]
    standing: dict[str, str]


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition of the rules."""

    name: str
    title: str
    year: int
    outdoor_from: float
    weigh_in: str
    roles: dict[str, Tolerances]


@dataclass(frozen=True, slots=True)
class ChargeRule:
    """The edition and role that serve a job.

    Attributes
    ----------
    edition : Edition
    role : str
    notice : str
        How they were chosen where the job does not say; empty where it does.
    """

    edition: Edition
    role: str
    notice: str

    @property
    def tolerances(self) -> Tolerances:
        """Tolerances of the role."""
        return self.edition.roles[self.role]


@lru_cache(maxsize=1)
def editions() -> dict[str, Edition]:
    """Editions of the data file by their word."""
    table = tomllib.loads(data_path("charge_rules.toml").read_text("utf-8"))
    return {name: _edition(name, row) for name, row in table.items()}


def _kelvin(text: str) -> float:
    return units.parse(text, "temperature_difference").value


def _edition(name: str, row: dict[str, Any]) -> Edition:
    return Edition(
        name=name,
        title=row["title"],
        year=row["year"],
        outdoor_from=units.parse(row["outdoor_from"], "temperature").value,
        weigh_in=row["weigh_in"],
        roles={role: _tolerances(row[role]) for role in ROLES},
    )


def _tolerances(row: dict[str, Any]) -> Tolerances:
    valve = row["valve"]
    return Tolerances(
        **{method: _kelvin(row[method]["within"]) for method in METHODS},
        valve=(_kelvin(valve["from"]), _kelvin(valve["to"])),
        standing={name: figure["standing"] for name, figure in row.items()},
    )


def chosen_by(word: str | None, role: str | None) -> ChargeRule:
    """The edition and role named; the newest edition and the installer where they are not."""
    known = editions()
    folded = {name.casefold(): name for name in known}
    newest = max(known.values(), key=lambda edition: edition.year)
    notices = []
    if word is None:
        edition = newest
        notices.append(f"no edition of the charge rules is named: the newest was taken, {newest.name}")
    elif word.casefold() in folded:
        edition = known[folded[word.casefold()]]
    else:
        edition = newest
        near = difflib.get_close_matches(word.casefold(), folded, 1)
        hint = f"nearest: {folded[near[0]]}" if near else f"carried: {', '.join(known)}"
        notices.append(
            f'the charge rules "{word}" are not carried ({hint}): the newest were taken, {newest.name}'
        )
    if role is None:
        notices.append("no role is named: the installer's tolerances were taken")
    return ChargeRule(edition, role or "installer", "; ".join(notices))


def charge_rule(job: Job) -> ChargeRule:
    """Rule of a job."""
    return chosen_by(job.rules.charge_edition, job.rules.role)


INSIDE, BEYOND, DASH = range(3)
"""Whether a printed table answers for an air: inside it, beyond it, or beside a dash."""


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
    rows: Array
    columns: Array
    cells: Array
    misprints: tuple[Misprint, ...] = ()

    def at(self, dry_bulb: Array | float, wet_bulb: Array | float) -> Array:
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

    def drawn(self, dry_bulb: Array, wet_bulb: Array) -> tuple[Array, float]:
        """Value of each draw [K], one beyond the table at its edge; and the share of those, 0-1."""
        dry, wet = (np.clip(v, a[0], a[-1]) for v, a in ((dry_bulb, self.rows), (wet_bulb, self.columns)))
        off = np.maximum(np.abs(dry - dry_bulb), np.abs(wet - wet_bulb))
        return self.at(dry, wet), float(np.mean(off[1:] > ROUNDING))

    def reason(self, dry_bulb: float, wet_bulb: float) -> int:
        """Why there is no value: `INSIDE`, `BEYOND` or `DASH`."""
        if np.isnan(_between(self.rows, dry_bulb)[1]) or np.isnan(_between(self.columns, wet_bulb)[1]):
            return BEYOND
        return DASH if np.isnan(self.at(dry_bulb, wet_bulb)) else INSIDE


ROUNDING = 1e-6
"""What another unit makes of one temperature [K]: 10 °C is the edge that is printed as 50 °F."""


def _between(axis: Array, typed: Array | float) -> tuple[Indices, Array]:
    """Index of the cell below, and the share of the way to the next; NaN beyond the axis."""
    value = np.clip(typed, axis[0], axis[-1])
    index = np.clip(np.searchsorted(axis, value, side="right") - 1, 0, len(axis) - 2)
    share = (value - axis[index]) / (axis[index + 1] - axis[index])
    return index, np.where(np.abs(value - typed) > ROUNDING, np.nan, share)


def _cells(rows: dict[str, str]) -> Array:
    printed = [[np.nan if cell == "-" else float(cell) for cell in row.split()] for row in rows.values()]
    return np.array(printed) / 1.8


def _read(file: str, key: str) -> tuple[dict[str, Any], PrintedTable]:
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


def linear_rule(outdoor_dry_bulb: Array | float, wet_bulb: Array | float) -> Array:
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
