"""Pictures of the refrigerant by component, the condenser's room over the ambient, and a cylinder."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.ensemble import Band, band
from hvaccalc.pictures.canvas import (
    COLOURS,
    FAINT,
    INK,
    QUIET,
    SMALL,
    Scale,
    beside,
    corners,
    drawing,
    path,
    tag,
    words,
)
from hvaccalc.practice.refrigerant import LEGAL_TEMPERATURE
from hvaccalc.service.refrigerant.cylinder import CylinderChoice
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.inventory_study import InventoryStudy
from hvaccalc.service.refrigerant.pump_down import RoomOver
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


def draw_bars(axes: Axes, rows: Sequence[Bar], display: str) -> None:
    """Draw the bars on axes whose height counts lines from the top."""
    axes.set_xlim(0.0, 1.05 * max(mass(row.value.high, display) for row in rows))
    axes.set_xlabel(f"refrigerant [{units.display_unit('mass', display)[0]}]")
    axes.grid(axis="x", color=FAINT, linewidth=0.6)
    y = 0.0
    for number, row in enumerate(rows):
        if number == 0 or row.group != rows[number - 1].group:
            beside(axes, -0.2, y + 0.55, row.group, fontweight="bold", fontsize=8)
            y += 1.0
        _on_axes(axes, y + 0.45, row, display)
        y += 1.0


def _on_axes(axes: Axes, y: float, row: Bar, display: str) -> None:
    low, value, high = (mass(v, display) for v in row.value.low_to_high)
    colour = INK if row.whole else COLOURS[0]
    axes.barh(y, value, height=0.56, color=colour, alpha=0.85 if row.whole else 0.5, zorder=2)
    axes.plot([low, high], [y, y], color=INK if not row.whole else QUIET, linewidth=1.3, zorder=3)
    for end in (low, high):
        axes.plot([end, end], [y - 0.2, y + 0.2], color=INK if not row.whole else QUIET, linewidth=1.3)
    beside(axes, -0.015, y, row.name, ha="right", fontsize=8)
    beside(axes, 1.02, y, banded(row.value, "mass", display), fontsize=SMALL)


def bars_described(rows: Sequence[Bar], display: str) -> str:
    """The picture in words."""
    told = [f"{row.group}: {row.name} {banded(row.value, 'mass', display)}." for row in rows]
    return "Refrigerant by component, with 95 % bands. " + " ".join(told)


WIDTH, LEFT, RIGHT = 640.0, 132.0, 150.0
ROW, GAP, CHART, BELOW = 17.0, 40.0, 120.0, 40.0
"""Heights: one bar, between two parts, the chart of the pump-down, its scale."""

HELD, ROOM = COLOURS[0], COLOURS[1]
CYLINDER = 16.0


def picture(study: InventoryStudy, name: str, display: str, page: str) -> str:
    """The whole picture as SVG text; the lower part is about circuit `name`; `page` keeps its ids apart."""
    rows, circuit = bars(study.circuits.values()), study.circuits[name]
    drawn, y = _components(rows, display)
    chart, y = _pump_down(study, circuit, display, y + GAP)
    bottle, y = _cylinder(circuit, display, y + GAP)
    title = "Refrigerant on board, pump-down and cylinder"
    inner = drawn + chart + bottle
    return drawing(title, described(study, name, display), inner, WIDTH, y, page)


def _components(rows: list[Bar], display: str) -> tuple[str, float]:
    """Bars of every circuit's components, and where they end."""
    if not rows:
        return words(LEFT, 30.0, "No charge is known.", 12, fill=QUIET), 40.0
    top = 1.03 * max(mass(row.value.high, display) for row in rows)
    parts, y = [], 6.0
    for number, row in enumerate(rows):
        if number == 0 or row.group != rows[number - 1].group:
            y += ROW
            parts.append(words(6.0, y + 4, row.group, 12, font_weight="bold"))
            y += ROW
        parts.append(_bar(row, y, top, display))
        y += ROW
    return "".join(parts), y


def _bar(row: Bar, y: float, top: float, display: str) -> str:
    scale = (WIDTH - RIGHT - LEFT) / top
    low, value, high = (LEFT + scale * mass(v, display) for v in row.value.low_to_high)
    colour = INK if row.whole else HELD
    return (
        words(LEFT - 8, y + 4, row.name, 11.5, text_anchor="end")
        + tag("rect", x=LEFT, y=y - 5, width=value - LEFT, height=10.0, fill=colour, fill_opacity=".45")
        + path("M", low, y, "H", high, stroke=INK, stroke_width=1.5)
        + "".join(path("M", x, y - 4, "v", 8, stroke=INK) for x in (low, high))
        + words(WIDTH - RIGHT + 8, y + 4, banded(row.value, "mass", display), 11)
    )


def _pump_down(
    study: InventoryStudy, circuit: CircuitInventory, display: str, top: float
) -> tuple[str, float]:
    """Room of the condenser over the ambient against the charge, with the ambient asked about."""
    title = words(6.0, top - 16, f"Pump-down of circuit {circuit.name}: {circuit.pump_down.text}", 12)
    held = study.room_over(circuit.name)
    if held is None or circuit.full is None:
        said = "What the condenser holds is not known: bring a cylinder."
        return title + words(LEFT, top + 4, said, 12, fill=QUIET), top + 10
    ambients = held.ambient
    charge, base, right = band(circuit.full.draws), top + CHART, WIDTH - RIGHT
    x = Scale(float(ambients[0]), float(ambients[-1]), LEFT, right)
    y = Scale(0.0, 1.15 * max(float(held.high.max()), charge.high), base, top)

    def line(kilograms: Array) -> list[tuple[float, float]]:
        return list(zip(x.along(ambients), y.along(kilograms), strict=True))

    def area(first: Array, last: Array, colour: str) -> str:
        outline = corners([*line(first), *reversed(line(last))])
        return tag("polygon", points=outline, fill=colour, fill_opacity=".25")

    flat = np.ones(ambients.size)
    at, dashes = x.inside(study.ambient), corners(line(held.value))
    parts = [
        title,
        path("M", LEFT, base, "H", right, stroke=QUIET),
        _ambients(x, held, base, top, display),
        area(charge.low * flat, charge.high * flat, HELD),
        path("M", LEFT, y.at(charge.value), "H", right, stroke=HELD, stroke_width=2),
        area(held.low, held.high, ROOM),
        tag("polyline", points=dashes, fill="none", stroke=ROOM, stroke_width=2, stroke_dasharray="6 3"),
        path("M", at, top - 4, "V", base, stroke=INK, stroke_dasharray="2 3"),
        words(
            right + 8,
            y.at(charge.value) + 4,
            f"charge {units.value_text(charge.value, 'mass', display)}",
            11,
            fill=HELD,
        ),
        words(
            LEFT + 4, y.at(max(held.high[0], charge.high)) - 6, _room(study, circuit, display), 11, fill=ROOM
        ),
    ]
    return "".join(parts), base + BELOW


def _room(study: InventoryStudy, circuit: CircuitInventory, display: str) -> str:
    assert circuit.pump_down.room is not None
    at = units.value_text(study.ambient, "temperature", display)
    return f"room, 80 % full (dashed): {banded(band(circuit.pump_down.room.draws), 'mass', display)} at {at}"


def _ambients(x: Scale, held: RoomOver, base: float, top: float, display: str) -> str:
    unit = units.display_unit("temperature", display)[0]
    step = 20.0 if display == "us" else 10.0
    first, last = (float(units.to(t, unit, "temperature")) for t in held.ambient[[0, -1]])
    parts = []
    for degrees in np.arange(np.ceil(first / step) * step, last + 1e-6, step):
        place = x.at(units.si(degrees, unit, "temperature"))
        parts.append(path("M", place, top, "V", base + 4, stroke=FAINT))
        parts.append(words(place, base + 16, f"{degrees:.0f}", 11, text_anchor="middle"))
    named = f"outdoor air [{units.DISPLAY_NAMES[unit]}]"
    return "".join(parts) + words((LEFT + WIDTH - RIGHT) / 2, base + 32, named, 11.5, text_anchor="middle")


def _cylinder(circuit: CircuitInventory, display: str, top: float) -> tuple[str, float]:
    """One of the cylinders, filled with its share, with the limits marked."""
    choice = circuit.cylinder
    if choice is None:
        return words(6.0, top, "Which cylinder is needed cannot be told.", 12, fill=QUIET), top + 12
    title = f"{choice.count} x {choice.cylinder.name} cylinder, each filled with"
    share = choice.amount / choice.count
    scale = (WIDTH - RIGHT - LEFT) / choice.fill.liquid_full
    parts = [
        words(6.0, top - 16, f"{title} {units.value_text(share, 'mass', display)}", 12),
        tag("rect", x=LEFT, y=top, width=scale * share, height=CYLINDER, fill=HELD, fill_opacity=".45"),
        tag(
            "rect",
            x=LEFT,
            y=top,
            width=WIDTH - RIGHT - LEFT,
            height=CYLINDER,
            rx=7.0,
            fill="none",
            stroke=INK,
            stroke_width=2,
        ),
        *_limits(choice, display, top, scale),
    ]
    return "".join(parts), top + CYLINDER + 36


def _limits(choice: CylinderChoice, display: str, top: float, scale: float) -> list[str]:
    marks = (("cautious", choice.fill.cautious, 14.0), ("guideline", choice.fill.guideline, 28.0))
    parts = []
    for name, limit, down in marks:
        x = LEFT + scale * limit
        parts.append(path("M", x, top - 4, "V", top + CYLINDER + down - 8, stroke=INK))
        said = f"{name} {units.value_text(limit, 'mass', display)}"
        parts.append(words(x - 4, top + CYLINDER + down, said, 11, text_anchor="end"))
    full = units.value_text(choice.fill.liquid_full, "mass", display)
    hot = units.value_text(LEGAL_TEMPERATURE, "temperature", display)
    parts.append(words(WIDTH - RIGHT + 8, top + 12, f"liquid-full at {hot}: {full}", 10.5))
    return parts


def described(study: InventoryStudy, name: str, display: str) -> str:
    """The picture in words."""
    rows = bars(study.circuits.values())
    told = [f"{row.group}: {row.name} {banded(row.value, 'mass', display)}" for row in rows]
    at = units.value_text(study.ambient, "temperature", display)
    told.append(f"pump-down of circuit {name} at {at}: {study.circuits[name].pump_down.text}")
    choice = study.circuits[name].cylinder
    if choice is not None:
        told.append(f"{choice.count} x {choice.cylinder.name} cylinder")
    return "Refrigerant with 95 % bands. " + "; ".join(told) + "."
