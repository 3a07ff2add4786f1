"""The memo's pictures with their captions.

Four pictures: the air on a psychrometric chart, each circuit's temperatures against saturation, the
coil against freezing, and where the refrigerant lies. Each tells in words what it shows. Shapes and
words carry what the colours carry.
"""

from collections.abc import Sequence

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.pictures import circuit_lines, coil_lines, psychrometric_chart, pump_down_chart
from hvaccalc.pictures.canvas import axes_on_a_page, line_axes
from hvaccalc.report.blocks import Figure
from hvaccalc.report.found import Found
from hvaccalc.service.refrigerant.inventory import TONNAGE

MOST_CONDITIONS = 6
MOST_FOR_THE_CUSTOMER = 3


def air(found: Found) -> Figure | None:
    """Return and supply air of each condition on a psychrometric chart; None where no air was read."""
    results = _chosen(found, [r for r in found.analysis.conditions if psychrometric_chart.drawable(r)])
    if not results:
        return None
    title = "The air, as read"
    described = psychrometric_chart.described(results, found.place, found.display)

    def draw() -> str:
        with axes_on_a_page(3.7, (0.02, 0.125, 0.88, 0.865)) as (axes, save):
            psychrometric_chart.draw(axes, results, found.display)
            return save("air", title, described)

    caption = (
        "R is return air, S is supply air; the number is that of the condition: "
        + "; ".join(f"{n} {found.place(r.where)}" for n, r in enumerate(results, 1))
        + ". The shaded area round a point holds 95 % of what the readings allow."
    )
    return Figure(draw, title, described, caption + _left_out(found, results))


def circuits(found: Found) -> Figure | None:
    """Suction and liquid line of each circuit against saturation; None where no pressure was read."""
    results = _chosen(found, [r for r in found.analysis.conditions if r.charges])
    lines = circuit_lines.lines(results, found.analysis.draws, found.place)
    if not any(line.known for line in lines):
        return None
    title = "Refrigerant lines against saturation"
    described = circuit_lines.described(lines)

    def draw() -> str:
        with line_axes(len(lines) * circuit_lines.LINES_EACH + len(results), (0.125, 0.54)) as (axes, save):
            circuit_lines.draw(axes, lines, found.display)
            return save("circuits", title, described)

    caption = (
        "A filled mark is the temperature at which the refrigerant boils or condenses at the pressure "
        "read; an open mark is the temperature of the pipe. Their distance is the superheat (circles) and "
        "the subcooling (squares). The upright stroke shows where the liquid line belongs. Whiskers hold "
        "95 % of what the readings allow."
    )
    return Figure(draw, title, described, caption + _left_out(found, results))


def coil(found: Found) -> Figure | None:
    """The coil of each condition against freezing; None where no compressor cooled."""
    results = _chosen(found, [r for r in found.analysis.conditions if r.freeze is not None])
    lines = coil_lines.lines(results, found.place, found.plain)
    if not lines:
        return None
    title = "How cold the coil was"
    described = coil_lines.described(lines, found.display, found.plain)

    def draw() -> str:
        with line_axes(len(lines) + len(results), (0.2, 0.6)) as (axes, save):
            coil_lines.draw(axes, lines, found.display)
            return save("coil", title, described)

    caption = "Each mark is the best value, its whisker holds 95 % of what the readings allow."
    if any(not line.metal and line.known for line in lines):
        caption += " Suction saturation is the temperature at which the refrigerant boils in the coil."
    return Figure(draw, title, described, caption + _left_out(found, results))


def inventory(found: Found) -> Figure | None:
    """Where each circuit's refrigerant lies; None where all of it would be guessed from the capacity."""
    circuits = found.analysis.inventory.values()
    bars = pump_down_chart.bars(circuit for circuit in circuits if circuit.method != TONNAGE)
    if not bars:
        return None
    title = "Refrigerant on board"
    described = pump_down_chart.bars_described(bars, found.display)

    def draw() -> str:
        with line_axes(len(bars) + len({bar.group for bar in bars}), (0.2, 0.58)) as (axes, save):
            pump_down_chart.draw_bars(axes, bars, found.display)
            return save("inventory", title, described)

    caption = (
        "Bars are the best values, whiskers hold 95 % of what volumes, void fraction and label leave open. "
        "The parts are reckoned; the whole is the label's where there is one."
    )
    return Figure(draw, title, described, caption)


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
