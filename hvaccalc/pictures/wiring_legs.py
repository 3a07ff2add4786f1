"""Lines of a wiring picture between terminals: none runs through a terminal that it is not landed on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.equipment.wiring.netlist import Ends

Place = tuple[float, float]

CLEAR = 11.0
"""Least distance from another terminal's middle; its circle has a radius of 4.5."""

BULGES = (26.0, -26.0, 45.0, -45.0, 65.0, -65.0, 90.0, -90.0)
"""How far a line may be bent aside, tried in this order."""


def legs(places: Mapping[str, Place], wires: Sequence[Ends]) -> Iterator[tuple[Ends, str, Place]]:
    """Each wire with its path and the place for its words."""
    for wire in wires:
        if wire[0] in places and wire[1] in places:
            yield wire, *_leg(places, wire)


def _leg(places: Mapping[str, Place], wire: Ends) -> tuple[str, Place]:
    (x1, y1), (x2, y2) = places[wire[0]], places[wire[1]]
    if x1 == x2:
        bulge = x1 - 26.0
        line = f"M{x1:.1f} {y1:.1f}C{bulge:.1f} {y1:.1f} {bulge:.1f} {y2:.1f} {x2:.1f} {y2:.1f}"
        # Words stand between two rows, not on one.
        return line, (bulge + 6.0, y1 + 0.26 * (y2 - y1))
    start, end = np.array((x1, y1)), np.array((x2, y2))
    control = _control(places, wire, start, end)
    words = _between_rows(places, _curve(start, control, end, np.linspace(0.5, 0.7, 21)))
    if np.allclose(control, (start + end) / 2):
        return f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}", words
    return f"M{x1:.1f} {y1:.1f}Q{control[0]:.1f} {control[1]:.1f} {x2:.1f} {y2:.1f}", words


def _between_rows(places: Mapping[str, Place], points: Array) -> Place:
    """The point farthest from the rows of terminals, so that its words cross no line."""
    rows = np.array(sorted({y for _, y in places.values()}))
    x, y = points[int(np.argmax(np.abs(points[:, 1:] - rows).min(axis=1)))]
    return float(x), float(y)


def _control(places: Mapping[str, Place], wire: Ends, start: Array, end: Array) -> Array:
    """Control point of the first curve that keeps clear of other terminals; within a row it is straight."""
    middle = (start + end) / 2
    others = np.array([p for t, p in places.items() if t not in wire])
    if start[1] == end[1] or not len(others):
        return middle
    along = (end - start) / np.linalg.norm(end - start)
    aside = np.array((-along[1], along[0]))
    tried = [middle + 2.0 * bulge * aside for bulge in (0.0, *BULGES)]
    room = [_room(start, control, end, others) for control in tried]
    return next((c for c, r in zip(tried, room, strict=True) if r >= CLEAR), tried[int(np.argmax(room))])


def _room(start: Array, control: Array, end: Array, others: Array) -> float:
    """Distance of a curve from the nearest other terminal."""
    points = _curve(start, control, end, np.linspace(0.0, 1.0, 41))
    return float(np.linalg.norm(points[:, None, :] - others[None, :, :], axis=2).min())


def _curve(start: Array, control: Array, end: Array, at: Array) -> Array:
    """Points of a quadratic Bézier curve."""
    t = at[:, None]
    return (1.0 - t) ** 2 * start + 2.0 * t * (1.0 - t) * control + t**2 * end
