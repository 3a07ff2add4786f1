"""How pictures are made: shapes as SVG text, a page for one of matplotlib, colours and small words.

Lettering is drawn as outlines, so that it prints the same everywhere. Nothing else in the package asks for
matplotlib. Colours stay apart for colour-blind eyes and in grey print they differ in lightness; no picture
leans on colour alone. After the palette of Okabe and Ito (Color Universal Design, 2008), darkened for paper.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import Band
from hvaccalc.words.said import printable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, QUIET, FAINT = "#1b1f23", "#596168", "#d9dcde"
COLOURS = ("#0072b2", "#c04f00", "#007a5c", "#8a4a78", "#7a5c00", "#3a3a3a")
COLD, WARM = COLOURS[0], COLOURS[1]
SMALL = 7.5


def temperature(value: ArrayLike, display: str) -> Array:
    """Kelvin to the degrees shown; scalar or array."""
    return units.to(value, units.display_unit("temperature", display)[0], "temperature")


def degrees(display: str) -> str:
    """Name of the unit of temperature shown."""
    return units.DISPLAY_NAMES[units.display_unit("temperature", display)[0]]


def whisker(
    axes: Axes, y: float, value: Band, display: str, colour: str, shape: str, filled: bool = True
) -> None:
    """A mark with its 95 % band at one height."""
    low, centre, high = (float(temperature(v, display)) for v in value.low_to_high)
    axes.plot([low, high], [y, y], color=colour, linewidth=1.3, solid_capstyle="butt", zorder=3)
    for end in (low, high):
        axes.plot([end, end], [y - 0.17, y + 0.17], color=colour, linewidth=1.3, zorder=3)
    face = colour if filled else "white"
    axes.plot(
        [centre], [y], shape, color=colour, markerfacecolor=face, markersize=6, markeredgewidth=1.4, zorder=4
    )


def above(axes: Axes, x: float, y: float, text: str, **more: Any) -> None:
    """Small words above the axes, in their widths and heights unless a transform says otherwise."""
    settings = {"transform": axes.transAxes, "va": "bottom", "fontsize": SMALL, **more}
    axes.text(x, y, text, **settings)


def beside(axes: Axes, x: float, y: float, text: str, **more: Any) -> None:
    """Words beside the axes: `x` in widths of the axes, `y` on its scale."""
    transform = axes.get_yaxis_transform()
    settings = {"va": "center", "ha": "left", "clip_on": False, **more}
    axes.text(x, y, text, transform=transform, **settings)


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


def rounded_up(value: float) -> float:
    """The next of 1, 2, 5, 10, 20, 50 …; NaN of what is not above zero, or has no end.

    Examples
    --------
    >>> rounded_up(0.3), rounded_up(20.0), rounded_up(51.0), rounded_up(0.0)
    (0.5, 20.0, 100.0, nan)
    """
    if not 0.0 < value < np.inf:
        return float("nan")
    power = 10.0 ** np.floor(np.log10(value))
    steps = (step * power for step in (1.0, 2.0, 5.0) if step * power >= value * (1.0 - 1e-9))
    return float(next(steps, 10.0 * power))


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing: SVG, its title, and the same in words."""

    svg: str
    title: str
    description: str


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: from values between `low` and `high` to places between `start` and `end`."""

    low: float
    high: float
    start: float
    end: float

    def along(self, values: ArrayLike) -> Array:
        """Places of values."""
        return self.start + (np.asarray(values) - self.low) / (self.high - self.low) * (self.end - self.start)

    def at(self, value: ArrayLike) -> float:
        """Place of one value."""
        return float(self.along(value))

    def inside(self, value: ArrayLike) -> float:
        """Place of a value, or the end that it lies beyond."""
        return self.at(np.clip(value, self.low, self.high))

    def ticks(self, most: int) -> Array:
        """Multiples of 1, 2 or 5 times a power of ten, at most so many steps, the far end left out."""
        step = rounded_up((self.high - self.low) / most)
        if not step > 0.0:
            return np.empty(0)
        return np.arange(np.ceil(self.low / step) * step, self.high, step)


def tag(name: str, inner: str = "", /, **attributes: object) -> str:
    """One element; numbers at a tenth, underscores in names become hyphens, None is left out.

    Examples
    --------
    >>> tag("path", d="M0 0h9", stroke_width=2)
    '<path d="M0 0h9" stroke-width="2"/>'
    """
    given = {key.replace("_", "-"): value for key, value in attributes.items() if value is not None}
    told = "".join(f' {key}="{_short(value)}"' for key, value in given.items())
    return f"<{name}{told}>{inner}</{name}>" if inner else f"<{name}{told}/>"


def _short(value: object) -> str:
    return f"{value:.1f}" if isinstance(value, float) else str(value)


def drawing(title: str, description: str, inner: str, width: float, height: float, name: str) -> str:
    """A whole picture with its words; ``{id}`` inside becomes `name`, which keeps ids on a page apart."""
    told = tag("title", escape(title), id="{id}-title") + tag("desc", escape(description), id="{id}-desc")
    return tag(
        "svg",
        told + inner,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:.0f} {height:.0f}",
        width="100%",
        role="img",
        aria_labelledby="{id}-title {id}-desc",
        font_family="Arial, sans-serif",
        fill=INK,
        style=f"background:#fff;max-width:{width:.0f}px",
    ).replace("{id}", name)


def words(x: float, y: float, said: str, size: float = 11.0, **attributes: object) -> str:
    """Words at a place."""
    return tag("text", escape(said), x=float(x), y=float(y), font_size=size, **attributes)


def lettered(x: float, y: float, said: str, size: float, anchor: str, colour: str) -> str:
    """Words at a place, anchored and coloured."""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{colour}">'
        f"{escape(said)}</text>"
    )


def path(*steps: object, **attributes: object) -> str:
    """A path of commands and numbers.

    Examples
    --------
    >>> path("M", 1.0, 2.0, "H", 9.04, stroke="red")
    '<path d="M 1.0 2.0 H 9.0" stroke="red"/>'
    """
    return tag("path", d=" ".join(_short(step) for step in steps), **attributes)


def corners(places: Iterable[tuple[float, float]]) -> str:
    """Places of a polygon or polyline."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
