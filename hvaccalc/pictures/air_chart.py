"""Picture of the air panel: a psychrometric chart drawn once, and the states that move on it, as plain SVG.

Written by hand rather than by the plotting library, which takes longer than the eye waits: the chart is a
text that is kept, each new position of a slider adds its few marks.
"""

from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.air.air_states import AirStream
from hvaccalc.diagnosis.trials.air_balance import AirBalance
from hvaccalc.ensemble import band
from hvaccalc.physics import moist_air
from hvaccalc.pictures.canvas import (
    COLOURS,
    FAINT,
    INK,
    QUIET,
    Scale,
    corners,
    drawing,
    path,
    rounded_up,
    tag,
    temperature,
    words,
)
from hvaccalc.pictures.psychrometric_chart import (
    DESCRIBED,
    axis_titles,
    cloud,
    curves,
    ends,
    known,
    ratio,
    scale_step,
    state_words,
)

WIDTH, HEIGHT = 640.0, 430.0
LEFT, RIGHT, TOP, BOTTOM = 14.0, 94.0, 14.0, 46.0
"""Margins: none for an axis at the left, room for the water's bracket and the axis at the right."""

HIGHEST_HUMIDITY = 0.9
"""Relative humidity of the warmest air that the chart has room for; the slider's end."""

LEAST_STEPS = 4
"""Least width of the chart, in steps of its scale."""

RETURN, SUPPLY = COLOURS[1], COLOURS[0]
FRAME, AIR = "url(#{id}-frame)", "url(#{id}-air)"
"""Clips to the chart, and to the part of it where air can be; the id is the picture's own."""


@dataclass(frozen=True)
class Chart:
    """A psychrometric chart: its scales, and the part of the picture that does not move.

    Attributes
    ----------
    x, y : Scale
        Of dry bulb and humidity ratio in the units shown.
    display : str
    fixed : str
        SVG.
    """

    x: Scale
    y: Scale
    display: str
    fixed: str = ""


def chart(read: AirBalance, display: str) -> Chart | None:
    """The chart that has room for the states as read and for every humidity of the slider.

    None where no dry bulb was read.
    """
    streams = [s for s in (read.states.return_air, read.states.supply_air) if known(s)]
    pressure = float(band(read.states.barometer.draws).value)
    if not streams or not np.isfinite(pressure):
        return None
    dry = np.array([s.dry_bulb[0] for s in streams if s is not None])
    shown = temperature(dry, display)
    left, right = ends(shown, display, room=0.3)
    left = min(left, right - LEAST_STEPS * scale_step(display))
    wettest = moist_air.humidity_ratio_from_relative_humidity(dry.max(), HIGHEST_HUMIDITY, pressure)
    x = Scale(left, right, LEFT, WIDTH - RIGHT)
    y = Scale(0.0, 1.12 * float(ratio(wettest, display)), HEIGHT - BOTTOM, TOP)
    return Chart(x, y, display, _fixed(Chart(x, y, display), pressure))


def _fixed(scales: Chart, pressure: float) -> str:
    """Frame, scales, lines of relative humidity, and the place where air cannot be."""
    drawn = curves(scales.x.low, scales.x.high, pressure, scales.display, points=61)
    shown, limit = drawn.dry_bulb, drawn.saturated
    outline = list(zip(scales.x.along(shown), scales.y.along(limit), strict=True))
    sides = (scales.x.end, scales.x.start)
    below = corners([*outline, *((x, scales.y.start) for x in sides)])
    above = corners([*outline, *((x, -900.0) for x in sides)])
    parts = [
        _clip("frame", tag("rect", x=LEFT, y=TOP, width=WIDTH - LEFT - RIGHT, height=HEIGHT - TOP - BOTTOM)),
        _clip("air", tag("polygon", points=below), clip_path=FRAME),
        tag("polygon", points=above, fill="#f1f2ef", clip_path=FRAME),
        _scale_below(scales),
        _scale_beside(scales),
    ]
    for share, curve in drawn.shares.items():
        parts.append(_curve(scales, shown, curve, stroke="#a9b1b7", stroke_width=1, clip_path=AIR))
        parts.append(_named(scales, shown, curve, f"{100 * share:.0f} %", 0.96, size=10, fill=QUIET))
    parts.append(_curve(scales, shown, limit, stroke=INK, stroke_width=2, clip_path=FRAME))
    parts.append(_named(scales, shown, limit, "saturated air", 0.66, size=11.5))
    return "".join(parts)


def _clip(name: str, shape: str, **attributes: object) -> str:
    return tag("clipPath", shape, id=f"{{id}}-{name}", **attributes)


def _curve(scales: Chart, x: Array, y: Array, **style: object) -> str:
    points = corners(zip(scales.x.along(x), scales.y.along(y), strict=True))
    return tag("polyline", points=points, fill="none", **style)


def _named(
    scales: Chart, x: Array, y: Array, said: str, highest: float, size: float, fill: str | None = None
) -> str:
    """Words at the upper end of a curve, where the chart shows it."""
    inside = np.flatnonzero(y < highest * scales.y.high)
    if not inside.size:
        return ""
    at = int(inside[-1])
    place = scales.x.at(x[at]) - 4, scales.y.at(y[at]) - 3
    return words(*place, said, size, text_anchor="end", fill=fill)


def _scale_below(scales: Chart) -> str:
    step = int(scale_step(scales.display))
    base, parts = HEIGHT - BOTTOM, []
    for value in range(int(scales.x.low), int(scales.x.high) + 1, step):
        x = scales.x.at(value)
        parts.append(path("M", x, TOP, "V", base + 4, stroke=FAINT))
        parts.append(words(x, base + 17, f"{value}", text_anchor="middle"))
    title = axis_titles(scales.display)[0]
    parts.append(path("M", LEFT, base, "H", WIDTH - RIGHT, stroke=QUIET))
    parts.append(words((LEFT + WIDTH - RIGHT) / 2, base + 36, title, 12, text_anchor="middle"))
    return "".join(parts)


def _scale_beside(scales: Chart) -> str:
    edge, parts = WIDTH - RIGHT, []
    for value in scales.y.ticks(8):
        y = scales.y.at(value)
        parts.append(path("M", edge, y, "h", 4, stroke=QUIET))
        parts.append(words(edge + 7, y + 4, f"{value:g}"))
    title = axis_titles(scales.display)[1]
    parts.append(path("M", edge, TOP, "V", HEIGHT - BOTTOM, stroke=QUIET))
    parts.append(_upright(WIDTH - 6, (TOP + HEIGHT - BOTTOM) / 2, title))
    return "".join(parts)


def _upright(x: float, y: float, said: str, **style: object) -> str:
    turned = f"translate({x:.1f},{y:.1f}) rotate(-90)"
    return words(0, 0, said, 12, transform=turned, text_anchor="middle", **style)


def picture(scales: Chart, read: AirBalance, now: AirBalance, name: str) -> str:
    """The whole picture as SVG text.

    Parameters
    ----------
    scales : Chart
        From `chart` of the balance as read.
    read, now : AirBalance
        As read, and as varied.
    name : str
        Keeps the ids of this picture apart from others on the page.
    """
    was, entering, leaving = read.states.return_air, now.states.return_air, now.states.supply_air
    marks = [_gauge(scales, read, now)]
    if entering is not was and was is not None and was.humid:
        marks.append(_ghost(scales, was))
    above = -14.0 if _close(scales, entering, leaving) else 26.0
    marks += [_state(scales, entering, "R", RETURN, above), _state(scales, leaving, "S", SUPPLY)]
    if entering is not None and leaving is not None and entering.humid and leaving.humid:
        marks += [_process(scales, entering, leaving), _water(scales, now)]
    title = "The air on a psychrometric chart"
    inner = scales.fixed + "".join(marks)
    return drawing(title, described(now, scales.display), inner, WIDTH, HEIGHT, name)


def _point(scales: Chart, stream: AirStream) -> tuple[float, float]:
    x = scales.x.at(temperature(_middle(stream.dry_bulb, stream.possible), scales.display))
    return x, scales.y.at(ratio(_middle(stream.humidity_ratio, stream.possible), scales.display))


def _middle(draws: Array, possible: Mask) -> float:
    """Central value of a column; its percentiles, which take longer, only where it is not possible itself."""
    return float(draws[0]) if possible[0] else band(draws, possible).value


def _close(scales: Chart, one: AirStream | None, other: AirStream | None) -> bool:
    """Whether the words below two states would run into each other."""
    if one is None or other is None or not (one.humid and other.humid):
        return False
    (x, y), (x_other, y_other) = _point(scales, one), _point(scales, other)
    return abs(x - x_other) < 70.0 and abs(y - y_other) < 32.0


def _state(scales: Chart, stream: AirStream | None, letter: str, colour: str, below: float = 26.0) -> str:
    """Mark, letter and 95 % area of one state; an upright line where only the dry bulb is known."""
    if stream is None or not known(stream):
        return ""
    if not band(stream.humidity_ratio, stream.possible).known:
        x = scales.x.at(temperature(stream.dry_bulb[0], scales.display))
        line = path("M", x, TOP, "V", HEIGHT - BOTTOM, stroke=colour, stroke_width=2, stroke_dasharray="5 4")
        return line + _letter(x + 6, HEIGHT - BOTTOM - 10, f"{letter}: humidity not known", colour, "start")
    x, y = _point(scales, stream)
    dry, wet = cloud(stream, scales.display)
    area = corners(zip(scales.x.along(dry), scales.y.along(wet), strict=True))
    ring = tag("polygon", points=area, fill=colour, fill_opacity=".15", stroke=colour, clip_path=AIR)
    if letter == "R":
        return ring + tag("circle", cx=x, cy=y, r=6, fill=colour) + _letter(x, y + below, "R return", colour)
    square = tag("rect", x=x - 5.5, y=y - 5.5, width=11, height=11, fill=colour)
    return ring + square + _letter(x, y + below, "S supply", colour)


def _letter(x: float, y: float, said: str, colour: str, anchor: str = "middle") -> str:
    halo = {"stroke": "#fff", "stroke_width": 3, "paint_order": "stroke"}
    return words(x, y, said, 13, text_anchor=anchor, font_weight="bold", fill=colour, **halo)


def _ghost(scales: Chart, stream: AirStream) -> str:
    """The return air as read, where the slider has left it."""
    x, y = _point(scales, stream)
    ring = tag("circle", cx=x, cy=y, r=6, fill="#fff", stroke=RETURN, stroke_width=2, stroke_dasharray="3 2")
    return ring + _letter(x + 11, y + 4, "as read", QUIET, "start")


def _process(scales: Chart, entering: AirStream, leaving: AirStream) -> str:
    """The way from return to supply, with a head at its end."""
    start, end = np.array(_point(scales, entering)), np.array(_point(scales, leaving))
    length = float(np.hypot(*(end - start)))
    if not length > 24.0:
        return ""
    along = (end - start) / length
    tip, tail, wing = end - 9 * along, start + 8 * along, 4 * np.array([-along[1], along[0]])
    head = corners([tuple(tip), tuple(tip - 9 * along + wing), tuple(tip - 9 * along - wing)])
    line = path("M", *map(float, tail), "L", *map(float, tip), stroke=INK, stroke_width=1.5)
    return line + tag("polygon", points=head, fill=INK)


def _water(scales: Chart, now: AirBalance) -> str:
    """Bracket at the humidity scale: the water that each mass of dry air loses between the two states."""
    entering, leaving = now.states.return_air, now.states.supply_air
    assert entering is not None and leaving is not None
    (x_in, y_in), (x_out, y_out) = _point(scales, entering), _point(scales, leaving)
    if not np.isfinite(y_in + y_out):
        return ""
    edge, at = WIDTH - RIGHT, WIDTH - RIGHT + 34
    guides = "".join(
        path("M", x + 9, y, "H", edge, stroke=colour, stroke_dasharray="2 3")
        for x, y, colour in ((x_in, y_in, RETURN), (x_out, y_out, SUPPLY))
    )
    bracket = path(
        *("M", at - 5, y_in, "h", 5, "V", y_out, "h", -5),
        fill="none",
        stroke=INK,
        stroke_width=2.5,
        stroke_dasharray="4 3" if now.supply_wetter else None,
    )
    said = "gains" if y_in > y_out else "water out"
    return guides + bracket + _upright(at + 15, (y_in + y_out) / 2, said, font_weight="bold")


GAUGE = (LEFT + 16.0, TOP + 34.0, 230.0)
"""Left end, height and length of the water gauge: it stands where no air can be."""


def _gauge(scales: Chart, read: AirBalance, now: AirBalance) -> str:
    """Condensate on a scale from nothing to well above what was read, with its band."""
    was, rate = read.condensate, now.condensate
    if not (was.known and rate.known):
        return ""
    unit = units.display_unit("water_flow", scales.display)[0]
    top = rounded_up(1.5 * float(units.to(max(was.high, 1e-4), unit, "water_flow")))
    left, height, length = GAUGE
    shown = units.to(np.array(rate.low_to_high), unit, "water_flow") / top
    low, mark, high = (left + length * min(float(share), 1.0) for share in shown)
    beyond = ", beyond this scale" if shown[1] > 1.0 else ""
    said = f"condensate {units.value_text(rate.value, 'water_flow', scales.display)}{beyond}"
    return "".join(
        (
            path(*("M", left, height, "h", length), stroke=QUIET),
            *(path("M", x, height - 5, "v", 10, stroke=QUIET) for x in (left, left + length)),
            tag("rect", x=low, y=height - 5, width=high - low, height=10, fill=SUPPLY, fill_opacity=".35"),
            path("M", mark, height - 8, "v", 16, stroke=SUPPLY, stroke_width=4),
            words(left, height - 13, said, 12, font_weight="bold"),
            words(left, height + 20, "0"),
            words(left + length, height + 20, f"{top:g} {unit}", text_anchor="end"),
        )
    )


def described(now: AirBalance, display: str) -> str:
    """The picture in words."""
    told = []
    for name, stream in (("Return", now.states.return_air), ("Supply", now.states.supply_air)):
        told.append(f"{name} air {'not read' if stream is None else state_words(stream, display)}.")
    return DESCRIBED + " ".join(told)
