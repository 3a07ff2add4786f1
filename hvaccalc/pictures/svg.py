"""Shapes and pictures as SVG text."""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.pictures.canvas import INK


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
