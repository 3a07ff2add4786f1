"""Picture of the freeze panel: lines of equal metal temperature over outdoor air and fan speed."""

from functools import lru_cache

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.unit.freeze_map import FreezeMap
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.pictures.canvas import (
    COLD,
    COLOURS,
    FAINT,
    INK,
    QUIET,
    Scale,
    corners,
    degrees,
    drawing,
    path,
    tag,
    temperature,
    words,
)

SPEEDS, OUTDOORS = FreezeMap.speeds, FreezeMap.outdoors
WIDTH, HEIGHT = 640.0, 380.0
LEFT, RIGHT, TOP, BASE = 62.0, 76.0, 18.0, 326.0
_x = Scale(OUTDOORS[0], OUTDOORS[-1], LEFT, WIDTH - RIGHT).inside
_y = Scale(SPEEDS[0], SPEEDS[-1], BASE, TOP).inside
ASKED = COLOURS[1]
HALO = {"stroke": "#fff", "stroke_width": 4, "paint_order": "stroke"}
"""White about words that lines would cross."""

LEVELS = {"us": (20.0, 26.0, 32.0, 38.0, 44.0), "si": (-6.0, -3.0, 0.0, 3.0, 6.0)}
"""Metal temperatures with a line, in the degrees shown."""


def picture(told: FreezeMap, stage: int, speed: float, outdoor: float, display: str, name: str) -> str:
    """The whole picture as SVG text; `name` keeps its ids apart from others on the page."""
    title = "Coldest metal over outdoor air and fan speed"
    inner = _ground(told, stage, display) + _marks(told, speed, outdoor)
    return drawing(title, described(told, stage, speed, outdoor, display), inner, WIDTH, HEIGHT, name)


@lru_cache(maxsize=16)
def _ground(told: FreezeMap, stage: int, display: str) -> str:
    """What a slider does not move."""
    lines = "".join(_line(told, stage, level, display) for level in LEVELS[display])
    return _hatch() + _ice(told, stage) + _axes(told, display) + lines


def described(told: FreezeMap, stage: int, speed: float, outdoor: float, display: str) -> str:
    """The picture in words."""
    here = float(told.at(stage, speed, outdoor)[0])
    limit = told.threshold(stage, outdoor)
    said = f"Outdoors {_degrees(outdoor, display)}, fan at {100 * speed:.0f} %: "
    said += f"coldest metal {_degrees(here, display)}. " if np.isfinite(here) else "no such state. "
    if np.isfinite(limit):
        return said + f"The line of {_degrees(FREEZING_POINT, display)} is crossed at {100 * limit:.0f} %."
    return said + f"The line of {_degrees(FREEZING_POINT, display)} is not crossed on the map."


def _degrees(kelvin: float, display: str) -> str:
    return units.value_text(kelvin, "temperature", display)


def _hatch() -> str:
    stripe = path("M", 0.0, 0.0, "V", 8.0, stroke=COLD, stroke_width=1.4, stroke_opacity=".35")
    stripes = tag(
        "pattern", stripe, id="{id}-ice", width=8, height=8, patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )  # fmt: skip
    return tag("defs", stripes)


def _crossing(told: FreezeMap, stage: int, level: float) -> list[tuple[float, float]]:
    """Places of a temperature along the outdoor air; where all is warmer or colder the line runs out."""
    found = [(o, told.threshold(stage, float(o), level)) for o in np.linspace(OUTDOORS[0], OUTDOORS[-1], 21)]
    return [(_x(o), _y(s)) for o, s in found if np.isfinite(s)]


def _ice(told: FreezeMap, stage: int) -> str:
    """What lies below freezing, hatched and named."""
    edge = []
    for outdoor in np.linspace(OUTDOORS[0], OUTDOORS[-1], 21):
        metal = np.array([told.at(stage, s, float(outdoor))[0] for s in (SPEEDS[0], SPEEDS[-1])])
        limit = told.threshold(stage, float(outdoor))
        if not np.isfinite(limit):
            limit = SPEEDS[-1] if metal[1] < FREEZING_POINT else SPEEDS[0]
        edge.append((_x(outdoor), _y(limit)))
    area = [(edge[0][0], BASE), *edge, (edge[-1][0], BASE)]
    return tag("polygon", points=corners(area), fill="url(#{id}-ice)") + words(
        LEFT + 8, BASE - 8, "metal below freezing", 12, fill=INK, **HALO
    )


def _line(told: FreezeMap, stage: int, level: float, display: str) -> str:
    unit = units.display_unit("temperature", display)[0]
    kelvin = float(units.si(level, unit, "temperature"))
    places = _crossing(told, stage, kelvin)
    if len(places) < 2:
        return ""
    freezing = abs(kelvin - FREEZING_POINT) < 0.01
    line = tag(
        "polyline",
        points=corners(places),
        fill="none",
        stroke=COLD if freezing else QUIET,
        stroke_width=3 if freezing else 1,
        stroke_dasharray=None if freezing else "4 4",
    )
    x, y = places[-1]
    weight = {"font_weight": "bold"} if freezing else {}
    return line + words(x + 5, min(y + 4, BASE - 8), f"{level:.0f} {degrees(display)}", 12, **weight)


def _axes(told: FreezeMap, display: str) -> str:
    parts = [path("M", LEFT, TOP, "V", BASE, "H", WIDTH - RIGHT, stroke=QUIET, fill="none")]
    step = 10 if display == "us" else 5
    low, high = (float(temperature(o, display)) for o in OUTDOORS[[0, -1]])
    unit = units.display_unit("temperature", display)[0]
    for value in range(int(np.ceil(low / step)) * step, int(high) + 1, step):
        x = _x(units.si(value, unit, "temperature"))
        parts.append(path("M", x, TOP, "V", BASE + 4, stroke=FAINT))
        parts.append(words(x, BASE + 17, f"{value}", text_anchor="middle"))
    for speed in SPEEDS[1::2]:
        parts.append(path("M", LEFT - 4, _y(speed), "H", WIDTH - RIGHT, stroke=FAINT))
        parts.append(words(LEFT - 8, _y(speed) + 4, f"{100 * speed:.0f}", text_anchor="end"))
    middle = (LEFT + WIDTH - RIGHT) / 2
    parts.append(words(middle, BASE + 38, f"outdoor air [{degrees(display)}]", 12, text_anchor="middle"))
    what = "fan speed [% of full]" if told.by_speed else "airflow [% of rated]"
    turned = f"translate(18.0,{(TOP + BASE) / 2:.1f}) rotate(-90)"
    return "".join(parts) + words(0, 0, what, 12, transform=turned, text_anchor="middle")


def _marks(told: FreezeMap, speed: float, outdoor: float) -> str:
    """A ring where the job's condition stands, a diamond where the sliders stand."""
    x, y = _x(told.outdoor), _y(told.speed)
    ring = tag("circle", cx=x, cy=y, r=7, fill="#fff", stroke=INK, stroke_width=2.5)
    ring += words(x + 11, y - 6, "as read", 12, **HALO)
    x, y = _x(outdoor), _y(speed)
    asked = [(x - 7, y), (x, y - 7), (x + 7, y), (x, y + 7)]
    return ring + tag("polygon", points=corners(asked), fill=ASKED, stroke="#fff")
