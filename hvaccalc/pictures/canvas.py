"""A page for one picture of matplotlib, saved as SVG text that stands by itself.

Lettering is drawn as outlines, so that it prints the same everywhere. Nothing else in the package asks for
matplotlib.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from typing import TYPE_CHECKING, Any

from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.pictures.ink import FAINT, INK, QUIET
from hvaccalc.words.said import printable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Place = Callable[[Where], str]
"""How a condition is called for the reader of the picture."""

WIDTH = 7.0
"""Width of every picture [in], the text width of a letter page."""

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


@contextmanager
def line_axes(lines: int, left_and_width: tuple[float, float]) -> Iterator[tuple[Axes, Saver]]:
    """Axes of a picture made of lines, with room for an axis below and words at both sides."""
    below, above = 0.46, 0.26
    height = below + above + lines * LINE
    left, width = left_and_width
    with axes_on_a_page(height, (left, below / height, width, lines * LINE / height)) as (axes, save):
        axes.set_ylim(lines, 0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.grid(axis="x", color=FAINT, linewidth=0.6)
        yield axes, save


@contextmanager
def axes_on_a_page(height: float, place: tuple[float, float, float, float]) -> Iterator[tuple[Axes, Saver]]:
    """Axes on a page of their own, and what saves them."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)
        page = Figure(figsize=(WIDTH, height))
        axes = page.add_axes(place)
        axes.set_axisbelow(True)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        yield axes, Saver(page)


class Saver:
    """Prints a finished page as SVG text that stands by itself."""

    def __init__(self, page: Figure) -> None:
        self._page = page

    def __call__(self, name: str, title: str, description: str) -> str:
        """SVG text; `name` keeps its ids apart from those of other pictures on the same page."""
        out = io.StringIO()
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        with warnings.catch_warnings():
            # A letter that the font lacks is drawn as a box; the words stand in the description.
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            self._page.savefig(out, format="svg", metadata=nothing)
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
