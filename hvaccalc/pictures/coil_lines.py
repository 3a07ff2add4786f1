"""Picture: the coil of each condition against freezing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.ensemble import Band, band
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.pictures.canvas import (
    COLD,
    INK,
    QUIET,
    SMALL,
    WARM,
    Place,
    above,
    beside,
    degrees,
    temperature,
    whisker,
)
from hvaccalc.words.said import banded, chance, cut, rounded

if TYPE_CHECKING:
    from matplotlib.axes import Axes


@dataclass(frozen=True, slots=True)
class Line:
    """One temperature of one condition.

    Attributes
    ----------
    group : str
        The condition.
    name : str
    metal : bool
        The coil's metal; else a circuit's suction saturation.
    value : Band
        [K].
    why : str
        Why it is not known.
    chance : str
        How likely it lies below freezing, empty where told elsewhere.
    """

    group: str
    name: str
    metal: bool
    value: Band
    why: str
    chance: str

    @property
    def known(self) -> bool:
        """Whether there is a value."""
        return self.value.known


def lines(results: Sequence[ConditionResult], place: Place, metal_alone: bool) -> list[Line]:
    """Lines of the picture, condition by condition; for the customer the metal alone where it is known."""
    rows: list[Line] = []
    for number, result in enumerate(results, 1):
        group = f"{number}  {cut(place(result.where))}"
        metal = _metal(result, group)
        rows.append(metal)
        if not (metal_alone and metal.known):
            rows += _suctions(result, group)
    return rows


def _metal(result: ConditionResult, group: str) -> Line:
    risk = result.freeze
    assert risk is not None
    told = f"{chance(risk.fin.value)}" if risk.fin.known else "not known"
    value = band(risk.coldest)
    return Line(group, "coldest metal", True, value, _short(risk.reason or "not computed"), told)


LONGEST_REASON = 48


def _short(reason: str) -> str:
    """A reason that fits its line, ended where its words end.

    Examples
    --------
    >>> _short("ice was seen on the tubes and the coil face: it was frozen")
    'ice was seen on the tubes and the coil face'
    """
    if len(reason) <= LONGEST_REASON:
        return reason
    ends = [i for i, sign in enumerate(reason[: LONGEST_REASON + 1]) if sign in ":;,"]
    return reason[: ends[-1]] if ends else cut(reason, LONGEST_REASON)


def _suctions(result: ConditionResult, group: str) -> list[Line]:
    risk = result.freeze
    assert risk is not None
    rows = []
    read = {name: column[0] for name, column in risk.suction.items()}
    coldest = min(read, key=lambda name: read[name]) if len(read) == len(risk.running) else None
    for number, name in enumerate(risk.running):
        value = band(risk.suction.get(name))
        told = ""
        if name == coldest or (coldest is None and number == 0):
            told = chance(risk.suction_probability.value) if risk.suction_probability.known else "not known"
        rows.append(
            Line(group, f"suction, circuit {cut(name, 6)}", False, value, "suction pressure not read", told)
        )
    return rows


def draw(axes: Axes, rows: Sequence[Line], display: str) -> None:
    """Draw the lines on axes whose height counts lines from the top."""
    freezing = float(temperature(FREEZING_POINT, display))
    known = [
        float(temperature(v, display)) for row in rows if row.known for v in (row.value.low, row.value.high)
    ]
    low, high = min([freezing - 4, *known]), max([freezing + 4, *known])
    reach = 0.06 * (high - low)
    axes.set_xlim(low - reach, high + reach)
    axes.set_xlabel(f"temperature [{degrees(display)}]")
    axes.locator_params(axis="x", nbins=8, steps=[1, 2, 5, 10])
    freezes = f"water freezes at {freezing:.0f} {degrees(display)}"
    above(axes, freezing, 1.01, freezes, transform=axes.get_xaxis_transform(), ha="center")
    above(axes, 1.03, 1.01, "chance below freezing", color=QUIET)
    for start, end in stretches(rows):
        cold = [low - reach, freezing]
        axes.fill_between(
            cold, start, end, facecolor="#e7eef3", edgecolor="#b7c8d4", hatch="////", linewidth=0, zorder=0
        )
        axes.plot([freezing, freezing], [start, end], color=INK, linewidth=1.2, zorder=2)
    y = 0.0
    for group, those in groupby(rows, lambda row: row.group):
        _group(axes, y + 0.55, group)
        y += 1.0
        for row in those:
            _line(axes, y + 0.45, row, display, (low + high) / 2)
            y += 1.0


def stretches(rows: Sequence[Line]) -> list[tuple[float, float]]:
    """Heights that hold temperatures: the freezing line leaves the names of the conditions alone."""
    told: list[tuple[float, float]] = []
    y = 0.0
    for _, those in groupby(rows, lambda row: row.group):
        start, y = y + 1.0, y + 1.0 + len(list(those))
        told.append((start, y))
    return told


def _group(axes: Axes, y: float, label: str) -> None:
    beside(
        axes, -0.325, y, label, fontweight="bold", fontsize=8, backgroundcolor="white", zorder=5, bbox=_WHITE
    )


_WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}


def _line(axes: Axes, y: float, row: Line, display: str, middle: float) -> None:
    beside(axes, -0.025, y, row.name, ha="right", fontsize=8)
    if row.chance:
        beside(axes, 1.03, y, row.chance, fontsize=8)
    if row.known:
        whisker(
            axes, y, row.value, display, WARM if row.metal else COLD, "s" if row.metal else "o", row.metal
        )
    else:
        text = f"not known: {row.why}"
        axes.text(
            middle,
            y,
            text,
            ha="center",
            va="center",
            fontsize=SMALL,
            style="italic",
            color=QUIET,
            bbox=_WHITE,
        )


def described(rows: Sequence[Line], display: str, whole: bool) -> str:
    """The picture in words; in whole numbers for the customer."""
    write = rounded if whole else banded
    told = []
    for row in rows:
        value = write(row.value, "temperature", display) if row.known else f"not known ({row.why})"
        below = f", chance of lying below freezing {row.chance}" if row.chance and row.known else ""
        told.append(f"{row.group.strip()}: {row.name} {value}{below}.")
    freezing = f"{float(temperature(FREEZING_POINT, display)):.0f} {degrees(display)}"
    return f"Temperatures of the coil against freezing at {freezing}, with 95 % bands. " + " ".join(told)
