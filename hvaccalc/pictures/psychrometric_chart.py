"""The psychrometric chart: its curves and states, and the memo's picture of each condition on it.

The panel draws the same curves and states in `air_chart`, without the plotting library.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStream
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.ensemble import band
from hvaccalc.physics import moist_air
from hvaccalc.pictures.canvas import COLOURS, INK, QUIET, SMALL, Place, degrees, temperature
from hvaccalc.words.said import banded

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.patches import Polygon

WITHIN_95 = float(np.sqrt(-2.0 * np.log(0.05)))
"""Half axis of the ellipse that holds 95 % of a two-dimensional normal cloud, in standard deviations:
the square root of the 0.95 quantile of chi-squared with two degrees of freedom."""

ROUND = np.linspace(0.0, 2.0 * np.pi, 73)


SHARES = (0.2, 0.4, 0.6, 0.8)
"""Lines of relative humidity, 0-1."""


@dataclass(frozen=True, slots=True)
class Curves:
    """What stands on every psychrometric chart at one barometer, in the units shown.

    Attributes
    ----------
    dry_bulb, saturated : ndarray, (points,)
        Dry bulb, and humidity ratio of saturated air.
    shares : dict of float to ndarray
        Humidity ratio at each of `SHARES`.
    """

    dry_bulb: Array
    saturated: Array
    shares: dict[float, Array]


def curves(left: float, right: float, pressure: float, display: str, points: int) -> Curves:
    """Curves between two dry bulbs in the units shown, at a barometer [Pa]."""
    shown = np.linspace(left, right, points)
    kelvin = units.si(shown, units.display_unit("temperature", display)[0], "temperature")
    shares = {
        share: ratio(moist_air.humidity_ratio_from_relative_humidity(kelvin, share, pressure), display)
        for share in SHARES
    }
    return Curves(shown, ratio(moist_air.saturation_humidity_ratio(kelvin, pressure), display), shares)


def ends(dry_bulb: Array, display: str, room: float) -> tuple[float, float]:
    """Ends of the scale round some dry bulbs in the units shown, with room in steps of the scale."""
    step = scale_step(display)
    low, high = np.floor(dry_bulb.min() / step - room), np.ceil(dry_bulb.max() / step + room)
    return float(step * low), float(step * high)


def scale_step(display: str) -> float:
    """Step of the dry-bulb scale."""
    return 10.0 if display == "us" else 5.0


def axis_titles(display: str) -> tuple[str, str]:
    """Titles of the two scales."""
    humidity = units.display_unit("humidity_ratio", display)[0]
    return f"dry-bulb temperature [{degrees(display)}]", f"humidity ratio [{humidity}]"


def ratio(value: ArrayLike, display: str) -> Array:
    """Humidity ratio in the units shown; scalar or array."""
    return units.to(value, units.display_unit("humidity_ratio", display)[0], "humidity_ratio")


def known(stream: AirStream | None) -> bool:
    """Whether its dry bulb is known."""
    return stream is not None and bool(np.isfinite(stream.dry_bulb[0]))


def state_words(stream: AirStream, display: str) -> str:
    """Dry bulb and humidity ratio of a stream, with their bands."""
    dry = banded(band(stream.dry_bulb), "temperature", display)
    humidity = banded(band(stream.humidity_ratio, stream.possible), "humidity_ratio", display)
    return f"{dry}, {humidity if stream.humid else 'humidity not read'}"


DESCRIBED = "Dry-bulb temperature and humidity ratio, with 95 % bands. "


def drawable(result: ConditionResult) -> bool:
    """Whether a dry bulb of return or supply air is known."""
    return any(known(stream) for stream in (result.air.return_air, result.air.supply_air))


def _humid(stream: AirStream) -> bool:
    return bool(np.isfinite(stream.humidity_ratio[0]))


def _streams(result: ConditionResult) -> list[tuple[str, AirStream]]:
    pairs = (("R", result.air.return_air), ("S", result.air.supply_air))
    return [(letter, stream) for letter, stream in pairs if stream is not None and known(stream)]


def draw(axes: Axes, results: Sequence[ConditionResult], display: str) -> None:
    """Draw the chart and the states of each condition."""
    pressure = float(results[0].air.barometer.draws[0])
    streams = [stream for result in results for _, stream in _streams(result)]
    dry = temperature(np.array([s.dry_bulb[0] for s in streams]), display)
    wet = ratio(np.array([s.humidity_ratio[0] for s in streams if _humid(s)]), display)
    left, right = ends(dry, display, room=0.4)
    top = 1.45 * (wet.max() if wet.size else float(ratio(0.012, display)))
    axes.set_xlim(left, right)
    axes.set_ylim(0.0, top)
    saturation = _chart(axes, pressure, display)
    for number, result in enumerate(results, 1):
        _states(axes, number, result, display, saturation)
    _label(axes, results, display)


def _chart(axes: Axes, pressure: float, display: str) -> Polygon:
    """Saturation curve and lines of relative humidity; returns the area that air can be in, for clipping."""
    left, right = axes.get_xlim()
    chart = curves(left, right, pressure, display, points=121)
    top = axes.get_ylim()[1]
    # Above boiling air holds any amount of water.
    shown, limit = chart.dry_bulb, np.where(np.isfinite(chart.saturated), chart.saturated, 2 * top)
    for share, curve in chart.shares.items():
        axes.plot(shown, curve, color="#a9b1b7", linewidth=0.7, zorder=1)
        inside = np.flatnonzero(curve < 0.97 * top)
        if inside.size == 0:
            continue
        at = inside[-1]
        axes.text(
            shown[at], curve[at], f"{100 * share:.0f} %", fontsize=6.5, color=QUIET, ha="right", va="bottom"
        )
    axes.plot(shown, limit, color=INK, linewidth=1.5, zorder=2)
    below = np.flatnonzero(limit < 0.9 * top)
    if below.size:
        at = int(below[-1])
        axes.text(
            shown[at] - 0.012 * (right - left),
            limit[at],
            "saturated air",
            fontsize=SMALL,
            ha="right",
            va="bottom",
        )
    axes.fill_between(shown, limit, 2 * top + limit, color="#f4f5f3", zorder=0)
    below_title, beside_title = axis_titles(display)
    axes.set_xlabel(below_title)
    axes.yaxis.set_label_position("right")
    axes.yaxis.tick_right()
    axes.spines["left"].set_visible(False)
    axes.spines["right"].set_visible(True)
    axes.set_ylabel(beside_title)
    return axes.fill(np.append(shown, [right, left]), np.append(limit, [0.0, 0.0]), visible=False)[0]


def _states(axes: Axes, number: int, result: ConditionResult, display: str, air_can_be: Polygon) -> None:
    colour = COLOURS[(number - 1) % len(COLOURS)]
    points = []
    for letter, stream in _streams(result):
        x = float(temperature(stream.dry_bulb[0], display))
        if not _humid(stream):
            axes.axvline(x, color=colour, linewidth=1.0, linestyle=(0, (2, 2)), zorder=2)
            continue
        y = float(ratio(stream.humidity_ratio[0], display))
        points.append((x, y))
        ring = axes.fill(
            *cloud(stream, display), facecolor=colour, edgecolor=colour, alpha=0.16, linewidth=1, zorder=2
        )
        ring[0].set_clip_path(air_can_be)
        axes.plot([x], [y], "o" if letter == "R" else "s", color=colour, markersize=5.5, zorder=5)
    if len(points) == 2:
        axes.annotate(
            "", points[1], points[0], zorder=4,
            arrowprops={"arrowstyle": "-|>", "color": colour, "linewidth": 1.0, "shrinkA": 4, "shrinkB": 5},
        )  # fmt: skip


def cloud(stream: AirStream, display: str) -> tuple[Array, Array]:
    """Outline of the ellipse that holds 95 % of the draws."""
    rows = np.stack([temperature(stream.dry_bulb, display), ratio(stream.humidity_ratio, display)])[:, 1:]
    rows = rows[:, np.all(np.isfinite(rows), axis=0)]
    root = np.linalg.cholesky(np.cov(rows) + 1e-9 * np.eye(2))
    outline = rows.mean(axis=1)[:, None] + WITHIN_95 * root @ np.stack([np.cos(ROUND), np.sin(ROUND)])
    return outline[0], outline[1]


def _label(axes: Axes, results: Sequence[ConditionResult], display: str) -> None:
    """Name each point where there is room: at the first free place on rings round it."""
    marks = [
        (f"{letter}{number}", COLOURS[(number - 1) % len(COLOURS)], _point(axes, stream, display))
        for number, result in enumerate(results, 1)
        for letter, stream in _streams(result)
    ]
    taken = [_on_paper(axes, point) for _, _, point in marks]
    for text, colour, point in marks:
        here = _on_paper(axes, point)
        away = next((o for o in RINGS if _free(here + o, taken)), RINGS[-1])
        taken.append(here + away)
        axes.annotate(
            text, point, (away[0], away[1]), textcoords="offset points", ha="center", va="center",
            fontweight="bold", color=colour, fontsize=8.5, zorder=6, bbox=HALO,
            arrowprops={"arrowstyle": "-", "color": colour, "linewidth": 0.6, "shrinkA": 5, "shrinkB": 3},
        )  # fmt: skip


HALO = {"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.6}

RINGS = [
    radius * np.array([np.cos(angle), np.sin(angle)])
    for radius in (17.0, 26.0, 36.0, 48.0)
    for angle in np.radians([-60, -120, 0, 180, 60, 120, -30, -150, -90, 30, 150, 90])
]
"""Places of a label round its point [points of 1/72 in], nearest first."""


def _free(place: Array, taken: Sequence[Array]) -> bool:
    """Whether a label of two letters fits beside everything drawn so far."""
    return all(abs(place[0] - other[0]) > 18.0 or abs(place[1] - other[1]) > 12.0 for other in taken)


def _point(axes: Axes, stream: AirStream, display: str) -> tuple[float, float]:
    y = float(ratio(stream.humidity_ratio[0], display)) if _humid(stream) else 0.06 * axes.get_ylim()[1]
    return float(temperature(stream.dry_bulb[0], display)), y


def _on_paper(axes: Axes, point: tuple[float, float]) -> Array:
    """Place on the page [points]."""
    return axes.transData.transform(point) * 72.0 / axes.figure.dpi


def described(results: Sequence[ConditionResult], place: Place, display: str) -> str:
    """The picture in words."""
    told = []
    for number, result in enumerate(results, 1):
        parts = []
        for letter, stream in _streams(result):
            name = "return" if letter == "R" else "supply"
            parts.append(f"{name} air {state_words(stream, display)}")
        told.append(f"{number} {place(result.where)}: {'; '.join(parts)}.")
    return DESCRIBED + " ".join(told)
