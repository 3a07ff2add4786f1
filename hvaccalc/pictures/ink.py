"""Colours, shapes and small words that the pictures share.

Colours stay apart for colour-blind eyes and in grey print they differ in lightness; no picture leans
on colour alone. After the palette of Okabe and Ito (Color Universal Design, 2008), darkened for paper.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.ensemble import Band

if TYPE_CHECKING:
    from matplotlib.axes import Axes

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
