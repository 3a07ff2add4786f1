"""The memo's pictures, as SVG text. Nothing else in the package asks for matplotlib.

Four pictures: the air on a psychrometric chart, each circuit's temperatures against saturation, the
coil against freezing, and where the refrigerant lies. Each tells in words what it shows. Shapes and
words carry what the colours carry; lettering is drawn as outlines, so that it prints the same everywhere.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from html import escape
from typing import TYPE_CHECKING, Any

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.report import circuit_picture, coil_picture, inventory_picture, psychrometric
from hvaccalc.report.blocks import Figure
from hvaccalc.report.found import Found
from hvaccalc.report.ink import FAINT, INK, QUIET
from hvaccalc.report.words import printable
from hvaccalc.service.refrigerant.inventory import TONNAGE

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH = 7.0
"""Width of every picture [in], the text width of a letter page."""

MOST_CONDITIONS = 6
MOST_FOR_THE_CUSTOMER = 3
LINE = 0.21
"""Height of one line of a picture made of lines [in]."""

_SETTINGS: dict[Any, Any] = {
    "svg.hashsalt": "hvaccalc",
    "svg.fonttype": "path",
    "text.parse_math": False,
    "font.family": ["DejaVu Sans"],
    "font.size": 8.5,
    "hatch.linewidth": 0.5,
    "axes.edgecolor": QUIET,
    "axes.linewidth": 0.8,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
}


def air(found: Found) -> Figure | None:
    """Return and supply air of each condition on a psychrometric chart; None where no air was read."""
    results = _chosen(found, [r for r in found.analysis.conditions if psychrometric.drawable(r)])
    if not results:
        return None
    with _axes(3.7, (0.02, 0.125, 0.88, 0.865)) as (axes, save):
        psychrometric.draw(axes, results, found.display)
        svg = save("air", "The air, as read", psychrometric.described(results, found))
    caption = (
        "R is return air, S is supply air; the number is that of the condition: "
        + _numbered(results, found)
        + ". The shaded area round a point holds 95 % of what the readings allow."
    )
    return Figure(
        svg, "The air, as read", psychrometric.described(results, found), caption + _left_out(found, results)
    )


def circuits(found: Found) -> Figure | None:
    """Suction and liquid line of each circuit against saturation; None where no pressure was read."""
    results = _chosen(found, [r for r in found.analysis.conditions if r.charges])
    lines = circuit_picture.lines(results, found)
    if not any(line.known for line in lines):
        return None
    title = "Refrigerant lines against saturation"
    described = circuit_picture.described(lines)
    with _line_axes(len(lines) * circuit_picture.LINES_EACH + len(results), (0.125, 0.54)) as (axes, save):
        circuit_picture.draw(axes, lines, found.display)
        svg = save("circuits", title, described)
    caption = (
        "A filled mark is the temperature at which the refrigerant boils or condenses at the pressure "
        "read; an open mark is the temperature of the pipe. Their distance is the superheat (circles) and "
        "the subcooling (squares). The upright stroke shows where the liquid line belongs. Whiskers hold "
        "95 % of what the readings allow."
    )
    return Figure(svg, title, described, caption + _left_out(found, results))


def coil(found: Found) -> Figure | None:
    """The coil of each condition against freezing; None where no compressor cooled."""
    results = _chosen(found, [r for r in found.analysis.conditions if r.freeze is not None])
    lines = coil_picture.lines(results, found)
    if not lines:
        return None
    title = "How cold the coil was"
    described = coil_picture.described(lines, found.display, found.plain)
    with _line_axes(len(lines) + len(results), (0.2, 0.6)) as (axes, save):
        coil_picture.draw(axes, lines, found.display)
        svg = save("coil", title, described)
    caption = "Each mark is the best value, its whisker holds 95 % of what the readings allow."
    if any(not line.metal and line.known for line in lines):
        caption += " Suction saturation is the temperature at which the refrigerant boils in the coil."
    return Figure(svg, title, described, caption + _left_out(found, results))


def inventory(found: Found) -> Figure | None:
    """Where each circuit's refrigerant lies; None where all of it would be guessed from the capacity."""
    circuits = found.analysis.inventory.values()
    bars = inventory_picture.bars(circuit for circuit in circuits if circuit.method != TONNAGE)
    if not bars:
        return None
    title = "Refrigerant on board"
    described = inventory_picture.described(bars, found.display)
    with _line_axes(len(bars) + len({bar.group for bar in bars}), (0.2, 0.58)) as (axes, save):
        inventory_picture.draw(axes, bars, found.display)
        svg = save("inventory", title, described)
    caption = (
        "Bars are the best values, whiskers hold 95 % of what volumes, void fraction and label leave open. "
        "The parts are reckoned; the whole is the label's where there is one."
    )
    return Figure(svg, title, described, caption)


def _chosen(found: Found, results: Sequence[ConditionResult]) -> list[ConditionResult]:
    """The most severe conditions and the last one, in the file's order."""
    most = MOST_FOR_THE_CUSTOMER if found.plain else MOST_CONDITIONS
    kept = found.ranked(results)[:most]
    if results and results[-1] not in kept:
        kept[-1] = results[-1]
    return [result for result in results if result in kept]


def _left_out(found: Found, shown: Sequence[ConditionResult]) -> str:
    more = len(found.analysis.conditions) - len(shown)
    if more <= 0 or found.plain:
        return ""
    return (
        f" {more} of {len(found.analysis.conditions)} conditions are not drawn; their readings stand in "
        "the tables."
    )


def _numbered(results: Sequence[ConditionResult], found: Found) -> str:
    return "; ".join(f"{n} {found.place(r.where)}" for n, r in enumerate(results, 1))


@contextmanager
def _line_axes(lines: int, left_and_width: tuple[float, float]) -> Iterator[tuple[Axes, Saver]]:
    """Axes of a picture made of lines, with room for an axis below and words at both sides."""
    below, above = 0.46, 0.26
    height = below + above + lines * LINE
    left, width = left_and_width
    with _axes(height, (left, below / height, width, lines * LINE / height)) as (axes, save):
        axes.set_ylim(lines, 0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.grid(axis="x", color=FAINT, linewidth=0.6)
        yield axes, save


@contextmanager
def _axes(height: float, place: tuple[float, float, float, float]) -> Iterator[tuple[Axes, Saver]]:
    """Axes on a page of their own, and what saves them."""
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure as Page

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)
        page = Page(figsize=(WIDTH, height))
        axes = page.add_axes(place)
        axes.set_axisbelow(True)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        yield axes, Saver(FigureCanvasSVG(page))


class Saver:
    """Prints a finished page as SVG text that stands by itself."""

    def __init__(self, canvas) -> None:
        self._canvas = canvas

    def __call__(self, name: str, title: str, description: str) -> str:
        """SVG text; `name` keeps its ids apart from those of other pictures on the same page."""
        out = io.StringIO()
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        with warnings.catch_warnings():
            # A letter that the font lacks is drawn as a box; the words stand in the description.
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            self._canvas.print_svg(out, metadata=nothing)
        return _labelled(out.getvalue(), name, title, printable(description))


def _labelled(svg: str, name: str, title: str, description: str) -> str:
    """The picture alone, its ids its own, with its text for those who cannot see it."""
    svg = re.sub("<!--.*?-->\n?", "", svg[svg.index("<svg") :], flags=re.S).strip()
    svg = re.sub(r'\bid="', f'id="{name}-', svg)
    svg = re.sub(r'href="#', f'href="#{name}-', svg)
    svg = svg.replace("url(#", f"url(#{name}-")
    label = f' role="img" aria-labelledby="{name}-title {name}-desc"'
    words = (
        f'<title id="{name}-title">{escape(title)}</title>\n'
        f'<desc id="{name}-desc">{escape(description)}</desc>\n'
    )
    head, rest = svg.split(">", 1)
    return f"{head}{label}>\n{words}{rest.lstrip()}"
