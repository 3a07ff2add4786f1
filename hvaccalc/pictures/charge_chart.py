"""Picture of the charge panel: each circuit's reading beside saturation and target, as plain SVG."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.trials.charge_study import ChargeStudy, TargetLine
from hvaccalc.ensemble import Band, band
from hvaccalc.pictures.canvas import (
    COLOURS,
    FAINT,
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
from hvaccalc.words.said import banded

WIDTH, LEFT, RIGHT, GAP = 640.0, 52.0, 8.0, 52.0
TOP, HEIGHT, BELOW = 40.0, 220.0, 44.0
READ, TARGET = COLOURS[0], COLOURS[1]


@dataclass(frozen=True)
class Pane:
    """One circuit's frame with its scales, in the units shown."""

    pressures: Scale
    temperatures: Scale


def _pressure(value: ArrayLike, study: ChargeStudy) -> Array:
    unit = units.display_unit("pressure", study.draws.job.display)[0]
    return units.to(value, unit, "pressure", study.barometer)


def picture(study: ChargeStudy, name: str) -> str:
    """The whole picture as SVG text; `name` keeps its ids apart from others on the page."""
    circuits = list(study.lines)
    rows = max((len(circuits) + 1) // 2, 1)
    each = TOP + HEIGHT + BELOW
    parts = [_pane(study, circuit, number, len(circuits), each) for number, circuit in enumerate(circuits)]
    if not parts:
        parts = [words(LEFT, 60.0, "No circuit runs with the pressures that its charge is judged by.", 13)]
    title = "Charge of each circuit against its target"
    inner = "".join(parts)
    return drawing(title, described(study), inner, WIDTH, rows * each, name)


def _reading(study: ChargeStudy, circuit: str) -> tuple[Band, Band]:
    """Pressure and temperature as read, with their bands [Pa, K]."""
    side, where = study.lines[circuit].side, study.where.at(circuit)
    pressure, pipe = (study.draws.column(where, f"{side}_{what}") for what in ("pressure", "temperature"))
    return band(pressure), band(pipe)


def _pane(study: ChargeStudy, circuit: str, number: int, count: int, each: float) -> str:
    line, display = study.lines[circuit], study.draws.job.display
    pressure, read = _reading(study, circuit)
    whole = WIDTH - LEFT - RIGHT
    width = whole if count == 1 else (whole - GAP) / 2.0
    left = LEFT + (number % 2) * (width + GAP)
    top = (number // 2) * each + TOP
    across, up = _scales(study, line.side)
    pane = Pane(Scale(*across, left, left + width), Scale(*up, top + HEIGHT, top))
    verdict = study.charges[circuit].told
    parts = [
        words(left, top - 22.0, f"Circuit {circuit}: {verdict}", 14, font_weight="bold"),
        words(left, top - 7.0, _told(study, circuit), 11, fill=QUIET),
        _frame(pane, line, display),
        _curve(pane, study, line.pressure, line.saturation, QUIET, "3 3", "saturation"),
    ]
    if line.target is not None:
        parts += [
            _tolerance(pane, study, line),
            _curve(pane, study, line.pressure, line.target, TARGET, None, ""),
        ]
        for p, t in line.points:
            x, y = pane.pressures.at(_pressure(p, study)), pane.temperatures.at(temperature(t, display))
            parts.append(tag("rect", x=x - 3.5, y=y - 3.5, width=7.0, height=7.0, fill="#fff", stroke=TARGET))
    if pressure.known and read.known:
        parts.append(_mark(pane, study, pressure, read))
    return "".join(parts)


def _scales(study: ChargeStudy, side: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Pressures and temperatures shown: the same for all circuits that are judged on one pipe."""
    display = study.draws.job.display
    pressures, kelvins = [], []
    for circuit, line in study.lines.items():
        if line.side != side:
            continue
        read = _reading(study, circuit)[1]
        pressures += [line.pressure[0], line.pressure[-1]]
        for column in (line.saturation, line.target, np.array([read.low, read.high])):
            kelvins += [] if column is None else list(column[np.isfinite(column)])
    across = _pressure(np.array([min(pressures), max(pressures)]), study)
    up = temperature(np.array([min(kelvins), max(kelvins)]), display)
    return (float(across[0]), float(across[1])), (float(up[0]) - 2.0, float(up[1]) + 2.0)


def _told(study: ChargeStudy, circuit: str) -> str:
    held = study.charges[circuit].held
    if held.difference is None:
        return "no target"
    value = band(held.difference)
    if not value.known:
        return "outside the tables"
    return f"{held.method} less target {banded(value, 'temperature_difference', study.draws.job.display)}"


def _frame(pane: Pane, line: TargetLine, display: str) -> str:
    across, up = pane.pressures, pane.temperatures
    left, right, base, top = across.start, across.end, up.start, up.end
    parts = [path("M", left, base, "H", right, stroke=QUIET)]
    for value in across.ticks(5):
        x = across.at(value)
        parts.append(path("M", x, top, "V", base + 4.0, stroke=FAINT))
        anchor = "end" if x > WIDTH - 14.0 else "middle"
        at = min(x, WIDTH - 1.0) if anchor == "middle" else WIDTH - 1.0
        parts.append(words(at, base + 16.0, f"{value:,.10g}", text_anchor=anchor))
    for value in up.ticks(6):
        y = up.at(value)
        parts.append(path("M", left - 4.0, y, "H", right, stroke=FAINT))
        parts.append(words(left - 7.0, y + 4.0, f"{value:.4g}", text_anchor="end"))
    unit = units.DISPLAY_NAMES.get(units.display_unit("pressure", display)[0], "")
    unit = unit or units.display_unit("pressure", display)[0]
    title = f"{line.side} pressure [{unit}]"
    parts.append(words((left + right) / 2.0, base + 33.0, title, 11.5, text_anchor="middle"))
    side = f"{line.side} line [{degrees(display)}]"
    turned = f"translate({left - 38.0:.1f},{(top + base) / 2:.1f}) rotate(-90)"
    return "".join(parts) + words(0, 0, side, 11.5, transform=turned, text_anchor="middle")


def _places(pane: Pane, study: ChargeStudy, pressure: Array, kelvin: Array) -> list[tuple[float, float]]:
    good = np.isfinite(kelvin)
    x = pane.pressures.along(_pressure(pressure[good], study))
    y = pane.temperatures.along(temperature(kelvin[good], study.draws.job.display))
    return list(zip(x, y, strict=True))


def _curve(
    pane: Pane, study: ChargeStudy, pressure: Array, kelvin: Array, colour: str, dash: str | None, said: str
) -> str:
    places = _places(pane, study, pressure, kelvin)
    if len(places) < 2:
        return ""
    drawn = tag(
        "polyline", points=corners(places), fill="none", stroke=colour, stroke_width=2, stroke_dasharray=dash
    )
    x, y = places[-1]
    return drawn + (words(x - 2.0, y - 6.0, said, 10.5, text_anchor="end", fill=colour) if said else "")


def _tolerance(pane: Pane, study: ChargeStudy, line: TargetLine) -> str:
    """Band of "as charted" about the target."""
    assert line.target is not None
    above = _places(pane, study, line.pressure, line.target + line.tolerance)
    below = _places(pane, study, line.pressure, line.target - line.tolerance)
    if len(above) < 2:
        return ""
    return tag("polygon", points=corners([*above, *reversed(below)]), fill=TARGET, fill_opacity=".16")


def _mark(pane: Pane, study: ChargeStudy, pressure: Band, read: Band) -> str:
    """The reading: a filled circle with its band both ways."""
    display = study.draws.job.display
    across, up = pane.pressures, pane.temperatures
    left, x, right = (across.at(_pressure(v, study)) for v in pressure.low_to_high)
    low, y, high = (up.at(temperature(v, display)) for v in read.low_to_high)
    cross = path("M", left, y, "H", right, stroke=READ, stroke_width=2)
    cross += path("M", x, low, "V", high, stroke=READ, stroke_width=2)
    return cross + tag("circle", cx=x, cy=y, r=5.0, fill=READ, stroke="#fff")


def described(study: ChargeStudy) -> str:
    """The picture in words."""
    told = [f"Circuit {name}: {study.charges[name].told}, {_told(study, name)}" for name in study.lines]
    if not told:
        return "No circuit can be drawn."
    return (
        "Pipe temperature over pressure: filled circle as read with 95 % bands, solid line with a shaded "
        "band where the charge is as charted, squares the chart's points, dashed line saturation. "
        + "; ".join(told)
        + "."
    )
