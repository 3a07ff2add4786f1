"""Picture of the water budget: a bar for each mechanism against the water seen, when and where it shows.

Bars lie on a logarithmic scale. Full bars can make it, hollow ones cannot tell, dashed ones cannot by
themselves, thin lines cannot; words say so too. Plain SVG, so that a slider can redraw it at once.
"""

from collections.abc import Iterator
from html import escape

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.water_seen import COOLING, OFF, PLACES, STOPPING
from hvaccalc.diagnosis.water.budget import WaterBudget, Weighed
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.ensemble import Band
from hvaccalc.pictures.canvas import COLOURS, FAINT, INK, QUIET, Picture, lettered
from hvaccalc.words.water import WAYS

WIDTH, LEFT, RIGHT = 720.0, 162.0, 396.0
TOP, ROW = 104.0, 23.0
WORD, STRIP, STEP = 404.0, 496.0, 21.0
TEXT = 12.0
"""Least size of letters: 11 px and more on a screen 1024 px wide, where the panel gives it 700 px."""

SHOWN_PLACES = tuple(place for place in PLACES if place != "coil face")
COLUMNS = ((COOLING, "cooling"), (STOPPING, "after stop"), (OFF, "cooling off"))
DECADES = (1e-2, 1e3)
"""Ends of the scale in gallons or litres a day, or an hour."""

LEGEND = (
    "Bars hold 5 to 95 %, the stroke is the middle; blue: as seen. Full bar: can make it; hollow: cannot",
    "tell; dashed: cannot by itself, may add to another way; dotted line: cannot.",
)


def picture(budget: WaterBudget, display: str, name: str = "water") -> Picture:
    """The whole picture; `name` keeps its ids apart from others on the page."""
    title = "Where the water can come from"
    rows = list(budget.weighed.values())
    height = TOP + ROW * len(rows) + 48.0
    parts = [
        *_scale(budget, display, height),
        *_heads(budget),
        *(part for n, one in enumerate(rows) for part in _row(budget, one, TOP + ROW * n, display)),
        *_legend(height - 24.0),
    ]
    told = described(budget, display)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {height:.0f}" role="img" '
        f'aria-labelledby="{name}-title {name}-text" font-family="Arial, sans-serif" font-size="{TEXT:g}" '
        f'fill="{INK}" style="background:#fff"><title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-text">{escape(told)}</desc>'
    )
    return Picture(head + "".join(parts) + "</svg>", title, told)


def unit_of(budget: WaterBudget, display: str) -> str:
    """Unit of the bars: by the day where the water was told so, or not at all."""
    by_day = budget.seen.by_day
    volume = "gal" if display == "us" else "L"
    return f"{volume}/day" if by_day else f"{volume}/h"


def _bar(budget: WaterBudget, one: Weighed) -> Band:
    by_day = budget.seen.by_day
    return one.mechanism.day_band if by_day else one.mechanism.band


def described(budget: WaterBudget, display: str) -> str:
    """The picture in words."""
    unit = unit_of(budget, display)
    told = []
    if budget.seen.amount is not None:
        told.append(f"Seen: {budget.seen.amount.text}.")
    for one in budget.weighed.values():
        value = _bar(budget, one)
        ends = [float(units.to(end, unit, "water_flow")) for end in value.low_to_high]
        low, middle, high = (f"{float(f'{end:.2g}'):g}" for end in ends)
        told.append(f"{WAYS[one.way].title.file}: {middle} {unit} ({low} to {high}), {one.said.value}.")
    return " ".join(told)


def _x(value: float) -> float:
    low, high = np.log10(DECADES)
    share = (np.log10(max(value, DECADES[0])) - low) / (high - low)
    return float(LEFT + np.clip(share, 0.0, 1.0) * (RIGHT - LEFT))


def _scale(budget: WaterBudget, display: str, height: float) -> Iterator[str]:
    unit, below = unit_of(budget, display), height - 46.0
    amount = budget.seen.amount
    if amount is not None:
        ends = [amount.low or amount.value, amount.high or amount.value]
        left, right = (_x(float(units.to(end, unit, "water_flow"))) for end in ends)
        yield (
            f'<rect x="{left:.1f}" y="{TOP - 14:.1f}" width="{max(right - left, 2.0):.1f}" '
            f'height="{below - TOP + 14:.1f}" fill="{COLOURS[0]}" fill-opacity=".16"/>'
        )
        yield lettered(0.5 * (left + right), TOP - 31.0, f"seen: {amount.text}", TEXT, "middle", COLOURS[0])
    for power in range(int(np.log10(DECADES[0])), int(np.log10(DECADES[1])) + 1):
        x = _x(10.0**power)
        yield f'<path d="M{x:.1f} {TOP - 14:.1f}V{below:.1f}" stroke="{FAINT}"/>'
        yield lettered(x, TOP - 18.0, f"{10.0**power:g}", TEXT, "middle", QUIET)
    yield lettered(LEFT - 26.0, TOP - 18.0, unit, TEXT, "end", QUIET)


def _heads(budget: WaterBudget) -> Iterator[str]:
    """Headings of the strip; what was seen is underlaid."""
    yield lettered(STRIP, 12.0, "when", TEXT, "start", QUIET)
    yield lettered(STRIP + STEP * 3.6, 12.0, "where", TEXT, "start", QUIET)
    seen = [phase in budget.seen.phases for phase, _ in COLUMNS]
    seen += [place in budget.seen.places for place in SHOWN_PLACES]
    words = [word for _, word in COLUMNS] + [place.replace(" the unit", "") for place in SHOWN_PLACES]
    below = TOP + ROW * len(budget.weighed) - 14.0
    for n, (word, there) in enumerate(zip(words, seen, strict=True)):
        x = _column(n)
        if there:
            yield (
                f'<rect x="{x - 8:.1f}" y="{TOP - 14:.1f}" width="16" height="{below - TOP + 16:.1f}" '
                f'fill="{COLOURS[0]}" fill-opacity=".16"/>'
            )
        weight = "bold" if there else "normal"
        yield (
            f'<text x="{x + 3:.1f}" y="{TOP - 18:.1f}" font-size="{TEXT:g}" font-weight="{weight}" '
            f'transform="rotate(-58 {x + 3:.1f} {TOP - 18:.1f})">{escape(word)}</text>'
        )


def _column(n: int) -> float:
    return STRIP + 8.0 + STEP * n + (9.0 if n >= len(COLUMNS) else 0.0)


def _row(budget: WaterBudget, one: Weighed, y: float, display: str) -> Iterator[str]:
    colour = {Ability.CAN: COLOURS[1], Ability.CANNOT: QUIET}.get(one.said, INK)
    label = WAYS[one.way].label
    strong = "bold" if budget.dominant is one.way else "normal"
    yield (
        f'<text x="{LEFT - 8:.1f}" y="{y + 4:.1f}" text-anchor="end" font-weight="{strong}" '
        f'fill="{QUIET if one.said is Ability.CANNOT else INK}">{escape(label)}</text>'
    )
    yield lettered(WORD, y + 4.0, one.said.value, TEXT, "start", colour)
    yield from _bars(_bar(budget, one), one, y, unit_of(budget, display), colour)
    marks = [(phase in one.mechanism.phases) for phase, _ in COLUMNS]
    marks += [place in one.mechanism.places for place in SHOWN_PLACES]
    for n, there in enumerate(marks):
        if there:
            fill = "#fff" if one.text is Ability.CANNOT else colour
            yield f'<circle cx="{_column(n):.1f}" cy="{y:.1f}" r="4" fill="{fill}" stroke="{colour}"/>'


def _bars(value: Band, one: Weighed, y: float, unit: str, colour: str) -> Iterator[str]:
    if not value.known:
        return
    low, middle, high = (float(units.to(part, unit, "water_flow")) for part in value.low_to_high)
    if high < DECADES[0]:
        yield lettered(LEFT + 3.0, y + 4.0, "0", TEXT, "start", QUIET)
        return
    left, mark, right = (_x(part) for part in (low, middle, high))
    if one.said is Ability.CANNOT:
        yield f'<path d="M{left:.1f} {y:.1f}H{right:.1f}" stroke="{colour}" stroke-dasharray="2 2"/>'
    else:
        fill = colour if one.text is Ability.CAN else "#fff"
        dashes = ' stroke-dasharray="4 2"' if one.said is Ability.NOT_ALONE else ""
        yield (
            f'<rect x="{left:.1f}" y="{y - 5:.1f}" width="{max(right - left, 1.5):.1f}" height="10" '
            f'fill="{fill}" fill-opacity=".75" stroke="{colour}"{dashes}/>'
        )
    yield f'<path d="M{mark:.1f} {y - 7:.1f}v14" stroke="{INK}" stroke-width="1.6"/>'


def _legend(y: float) -> Iterator[str]:
    for n, said in enumerate(LEGEND):
        yield lettered(8.0, y + 16.0 * n, said, TEXT, "start", INK)
