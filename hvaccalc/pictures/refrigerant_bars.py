"""Picture: where each circuit's refrigerant lies, component by component."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaccalc import units
from hvaccalc.ensemble import Band, band
from hvaccalc.pictures.ink import COLOURS, FAINT, INK, QUIET, SMALL, beside
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.words.said import banded, cut

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LEAST_SHARE = 0.005
"""A component whose band ends below this share of the charge is not drawn."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One component of one circuit, or the whole of it; [kg]."""

    group: str
    name: str
    whole: bool
    value: Band


def bars(circuits: Iterable[CircuitInventory]) -> list[Bar]:
    """Bars of the picture, circuit by circuit, the whole first."""
    rows: list[Bar] = []
    for circuit in circuits:
        if circuit.full is None or not circuit.parts:
            continue
        group = cut(f"circuit {circuit.name}, {circuit.refrigerant}", 32)
        whole = band(circuit.full.draws)
        rows.append(Bar(group, "whole charge", True, whole))
        if circuit.on_board is not None:
            rows.append(Bar(group, "when last read", True, band(circuit.on_board.charge.draws)))
        parts = {name: band(column) for name, column in circuit.parts.items()}
        rows += [
            Bar(group, f"{name}, if any" if value.low == 0.0 else name, False, value)
            for name, value in parts.items()
            if value.high > LEAST_SHARE * whole.value
        ]
    return rows


def mass(value: float, display: str) -> float:
    """Kilograms as shown."""
    return float(units.to(value, units.display_unit("mass", display)[0], "mass"))


def draw(axes: Axes, rows: Sequence[Bar], display: str) -> None:
    """Draw the bars on axes whose height counts lines from the top."""
    axes.set_xlim(0.0, 1.05 * max(mass(row.value.high, display) for row in rows))
    axes.set_xlabel(f"refrigerant [{units.display_unit('mass', display)[0]}]")
    axes.grid(axis="x", color=FAINT, linewidth=0.6)
    y = 0.0
    for number, row in enumerate(rows):
        if number == 0 or row.group != rows[number - 1].group:
            beside(axes, -0.2, y + 0.55, row.group, fontweight="bold", fontsize=8)
            y += 1.0
        _bar(axes, y + 0.45, row, display)
        y += 1.0


def _bar(axes: Axes, y: float, row: Bar, display: str) -> None:
    low, value, high = (mass(v, display) for v in row.value.low_to_high)
    colour = INK if row.whole else COLOURS[0]
    axes.barh(y, value, height=0.56, color=colour, alpha=0.85 if row.whole else 0.5, zorder=2)
    axes.plot([low, high], [y, y], color=INK if not row.whole else QUIET, linewidth=1.3, zorder=3)
    for end in (low, high):
        axes.plot([end, end], [y - 0.2, y + 0.2], color=INK if not row.whole else QUIET, linewidth=1.3)
    beside(axes, -0.015, y, row.name, ha="right", fontsize=8)
    beside(axes, 1.02, y, banded(row.value, "mass", display), fontsize=SMALL)


def described(rows: Sequence[Bar], display: str) -> str:
    """The picture in words."""
    told = [f"{row.group}: {row.name} {banded(row.value, 'mass', display)}." for row in rows]
    return "Refrigerant by component, with 95 % bands. " + " ".join(told)
