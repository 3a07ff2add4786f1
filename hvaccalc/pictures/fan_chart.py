"""Picture of the fan panel: airflow by every way above, fan and system curve below, as plain SVG."""

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.ensemble import Band, band
from hvaccalc.pictures.canvas import COLOURS, FAINT, INK, QUIET, Scale, corners, drawing, path, tag, words
from hvaccalc.service.fan.fan_study import FanStudy
from hvaccalc.words.said import banded

WIDTH, LEFT, RIGHT = 640.0, 116.0, 14.0
ROW, GAP, CHART, BELOW = 19.0, 34.0, 190.0, 46.0
"""Heights: one bar, the gap under the bars, the chart, what stands below it."""

READ, ASKED = COLOURS[0], COLOURS[1]


def _flow(value: ArrayLike, display: str) -> Array:
    return units.to(value, units.display_unit("airflow", display)[0], "airflow")


def _static(value: ArrayLike, display: str) -> Array:
    return units.to(value, units.display_unit("air_pressure", display)[0], "air_pressure")


def picture(study: FanStudy, display: str, name: str) -> str:
    """The whole picture as SVG text; `name` keeps its ids apart from others on the page."""
    flows = _scale(study, display)
    top = 22.0 + ROW * len(rows(study)) + GAP
    frame = (top, top + CHART)
    title = "Airflow by every way, and the fan on its duct"
    inner = _methods(study, display, flows) + _chart(study, display, flows, frame)
    return drawing(title, described(study, display), inner, WIDTH, frame[1] + BELOW, name)


def _scale(study: FanStudy, display: str) -> Scale:
    highest = [study.flow.high, study.wanted_flow.high, study.draws.job.unit.rated_airflow.value]
    highest += [band(m.flow).high for m in study.airflow.methods] if study.airflow else []
    top = 1.08 * max(float(_flow(h, display)) for h in highest if np.isfinite(h))
    return Scale(0.0, top, LEFT, WIDTH - RIGHT)


def rows(study: FanStudy) -> list[tuple[str, Band, str]]:
    """Name, band and colour of each bar."""
    if study.airflow is None:
        return []
    marks = {off.name: " (off)" for off in study.airflow.disagreeing}
    marks |= {m.name: " (no say)" for m in study.airflow.idle}
    bars = [
        (m.name.replace("_", " ") + marks.get(m.name, ""), band(m.flow), QUIET) for m in study.airflow.methods
    ]
    return [
        *bars,
        ("together", study.flow, READ),
        (f"at {100 * study.wanted:.0f} %", study.wanted_flow, ASKED),
    ]


def _methods(study: FanStudy, display: str, flows: Scale) -> str:
    parts, y = [], 22.0
    for name, value, colour in rows(study):
        parts.append(words(LEFT - 8, y + 4, name, 11.5, text_anchor="end"))
        if value.known:
            low, mark, high = (flows.at(_flow(v, display)) for v in value.low_to_high)
            parts.append(path("M", low, y, "H", high, stroke=colour, stroke_width=3, stroke_opacity=".55"))
            parts += [path("M", x, y - 5, "v", 10, stroke=colour) for x in (low, high)]
            parts.append(_mark(mark, y, name, colour))
        else:
            parts.append(words(LEFT + 4, y + 4, "not known", fill=QUIET))
        y += ROW
    rated = flows.at(_flow(study.draws.job.unit.rated_airflow.value, display))
    parts.append(path("M", rated, 12.0, "V", y - 4, stroke=INK, stroke_dasharray="2 3"))
    parts.append(words(rated, y + 8, "rated", 10, text_anchor="middle", fill=QUIET))
    return "".join(parts)


def _mark(x: float, y: float, name: str, colour: str) -> str:
    """A ring for one way, a filled circle for all together, a diamond for the speed asked about."""
    if name == "together":
        return tag("circle", cx=x, cy=y, r=5.5, fill=colour)
    if name.startswith("at "):
        return tag("polygon", points=corners([(x - 7, y), (x, y - 7), (x + 7, y), (x, y + 7)]), fill=colour)
    return tag("circle", cx=x, cy=y, r=4, fill="#fff", stroke=colour, stroke_width=2)


def _chart(study: FanStudy, display: str, flows: Scale, frame: tuple[float, float]) -> str:
    """Fan and system curve with the point as read and the one asked about."""
    top, base = frame
    parts = [path("M", LEFT, base, "H", WIDTH - RIGHT, stroke=QUIET), _flow_scale(flows, display, frame)]
    system = study.system
    if system is None:
        said = "No external static was read with an airflow: fan and system curve are not drawn."
        return "".join([*parts, words(LEFT + 8, base - 60, said, 12, fill=QUIET)])
    asked = study.wanted_flow.value if study.wanted_flow.known else study.flow.value
    tops = [study.static.high, float(system.pressure(asked))]
    if study.curve is not None:
        tops.append(float(study.curve.static.max()) * max(study.wanted, study.present) ** 2 * study.density)
    statics = Scale(0.0, 1.08 * float(_static(max(tops), display)), base, top)
    parts.append(_static_scale(statics, display))
    # Ten pixels apart: places half way between two printed ones would round by the processor.
    line = np.linspace(
        0.0, float(units.si(flows.high, units.display_unit("airflow", display)[0], "airflow")), 52
    )
    parts.append(_curve(line, system.pressure(line), flows, statics, display, INK, "duct"))
    for speed, colour, dash in ((study.present, READ, None), (study.wanted, ASKED, "6 4")):
        again = colour == ASKED and abs(speed - study.present) < 0.005
        if study.curve is not None and np.isfinite(speed) and not again:
            parts.append(_fan_curve(study, speed, flows, statics, display, colour, dash))
    now = (study.flow.value, study.static.value)
    then = (asked, float(system.pressure(asked)))
    for (flow, static), name, colour in ((then, "at ", ASKED), (now, "together", READ)):
        x, y = flows.at(_flow(flow, display)), statics.at(_static(static, display))
        parts.append(_mark(x, y, name, colour))
    return "".join(parts)


def _fan_curve(
    study: FanStudy, speed: float, flows: Scale, statics: Scale, display: str, colour: str, dash: str | None
) -> str:
    assert study.curve is not None
    flow = study.curve.flow * speed
    static = study.curve.static * speed**2 * study.density
    said = f"fan, {100 * speed:.0f} %"
    return _curve(flow, static, flows, statics, display, colour, said, dash)


def _curve(
    flow: Array,
    static: Array,
    flows: Scale,
    statics: Scale,
    display: str,
    colour: str,
    said: str,
    dash: str | None = None,
) -> str:
    x, y = flows.along(_flow(flow, display)), statics.along(_static(static, display))
    inside = (y >= statics.end - 2) & (x <= WIDTH - RIGHT + 1)
    places = list(zip(x[inside], y[inside], strict=True))
    if len(places) < 2:
        return ""
    line = tag(
        "polyline", points=corners(places), fill="none", stroke=colour, stroke_width=2, stroke_dasharray=dash
    )
    end_x, end_y = places[-1] if said == "duct" else places[0]
    anchor, shift = ("end", -4.0) if said == "duct" else ("start", -6.0)
    return line + words(end_x, end_y + shift, said, 11, text_anchor=anchor, fill=colour)


def _flow_scale(flows: Scale, display: str, frame: tuple[float, float]) -> str:
    top, base = frame
    parts = []
    for value in flows.ticks(6):
        x = flows.at(value)
        parts.append(path("M", x, top, "V", base + 4, stroke=FAINT))
        parts.append(words(x, base + 17, f"{value:,.10g}", text_anchor="middle"))
    title = f"airflow [{units.display_unit('airflow', display)[0]}]"
    return "".join(parts) + words((LEFT + WIDTH - RIGHT) / 2, base + 36, title, 12, text_anchor="middle")


def _static_scale(statics: Scale, display: str) -> str:
    parts = []
    for value in statics.ticks(6):
        y = statics.at(value)
        parts.append(path("M", LEFT - 4, y, "H", WIDTH - RIGHT, stroke=FAINT))
        parts.append(words(LEFT - 8, y + 4, f"{value:.4g}", text_anchor="end"))
    title = f"external static [{units.display_unit('air_pressure', display)[0]}]"
    turned = f"translate(18.0,{(statics.start + statics.end) / 2:.1f}) rotate(-90)"
    return "".join(parts) + words(0, 0, title, 12, transform=turned, text_anchor="middle")


def described(study: FanStudy, display: str) -> str:
    """The picture in words."""
    told = []
    for name, value, _ in rows(study):
        if value.known:
            shown = banded(value, "airflow", display)
            told.append(f"{name} {shown}")
    if study.system is not None:
        told.append(f"external static {units.value_text(study.static.value, 'air_pressure', display)}")
    # The unit "in w.c." brings its own full stop.
    return f"Airflow with 95 % bands: {'; '.join(told).rstrip('.')}." if told else "No airflow is known."
