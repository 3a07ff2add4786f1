"""Picture: suction and liquid line of each circuit against saturation, and the target."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import Band, band
from hvaccalc.pictures.canvas import COLD, INK, WARM, Place, above, beside, degrees, temperature, whisker
from hvaccalc.words.said import banded, cut

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINES_EACH = 2
"""Lines of height that each circuit takes."""


@dataclass(frozen=True, slots=True)
class Line:
    """One circuit in one condition; temperatures and differences [K].

    Attributes
    ----------
    group, name : str
        Condition and circuit.
    suction_saturation, suction, liquid_saturation, liquid : Band
    target : float or None
        Where the liquid line belongs.
    words : tuple of str
        Superheat, subcooling and target with their bands.
    """

    group: str
    name: str
    suction_saturation: Band
    suction: Band
    liquid_saturation: Band
    liquid: Band
    target: float | None
    words: tuple[str, ...]

    @property
    def known(self) -> bool:
        """Whether a saturation is known."""
        return self.suction_saturation.known or self.liquid_saturation.known


def lines(results: Sequence[ConditionResult], draws: Draws, place: Place) -> list[Line]:
    """Lines of the picture: each running circuit of each condition."""
    return [
        _line(draws, f"{number}  {cut(place(result.where))}", name, result.circuits[name])
        for number, result in enumerate(results, 1)
        for name in result.charges
    ]


def _line(draws: Draws, group: str, name: str, state: CircuitState) -> Line:
    display = draws.job.display
    superheat = band(state.superheat.draws if state.superheat else None)
    subcooling = band(state.subcooling.draws if state.subcooling else None)
    target, belongs = _target(draws, state)
    return Line(
        group=group,
        name=f"circuit {cut(name, 8)}",
        suction_saturation=band(state.suction_saturation),
        suction=band(draws.column(state.where, "suction_temperature")),
        liquid_saturation=band(state.liquid_saturation),
        liquid=band(draws.column(state.where, "liquid_temperature")),
        target=target,
        words=(
            f"superheat {banded(superheat, 'temperature_difference', display)}",
            f"subcooling {banded(subcooling, 'temperature_difference', display)}",
            belongs,
        ),
    )


def _target(draws: Draws, state: CircuitState) -> tuple[float | None, str]:
    """Temperature at which the liquid line belongs, and words for it."""
    circuit = draws.job.circuit[state.where.circuit]
    liquid = draws.column(state.where, "liquid_temperature")
    if state.chart_offset is not None and liquid is not None and np.isfinite(state.chart_offset[0]):
        off = banded(band(state.chart_offset), "temperature_difference", draws.job.display)
        return float(liquid[0] - state.chart_offset[0]), f"off the chart {off}"
    if circuit.target_subcooling is None or state.liquid_saturation is None:
        return None, "target not known"
    wanted = units.value_text(circuit.target_subcooling.value, "temperature_difference", draws.job.display)
    return float(state.liquid_saturation[0] - circuit.target_subcooling.value), f"target subcooling {wanted}"


def draw(axes: Axes, rows: Sequence[Line], display: str) -> None:
    """Draw the lines on axes whose height counts lines from the top."""
    bands = [
        b for r in rows for b in (r.suction_saturation, r.suction, r.liquid_saturation, r.liquid) if b.known
    ]
    ends = [float(temperature(v, display)) for b in bands for v in (b.low, b.high)]
    ends += [float(temperature(r.target, display)) for r in rows if r.target is not None]
    reach = 0.05 * (max(ends) - min(ends)) + 1.0
    axes.set_xlim(min(ends) - reach, max(ends) + reach)
    axes.set_xlabel(f"temperature [{degrees(display)}]")
    axes.locator_params(axis="x", nbins=8, steps=[1, 2, 5, 10])
    above(axes, 0.0, 1.02, "● suction line ○", color=COLD)
    above(axes, 1.0, 1.02, "□ liquid line ■", color=WARM, ha="right")
    y = 0.0
    for group, those in groupby(rows, lambda row: row.group):
        beside(axes, -0.222, y + 0.55, group, fontweight="bold", fontsize=8, bbox=_WHITE, zorder=5)
        y += 1.0
        for row in those:
            _pair(axes, y + LINES_EACH / 2, row, display)
            y += LINES_EACH


_WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}


def _pair(axes: Axes, y: float, row: Line, display: str) -> None:
    beside(axes, -0.025, y, row.name, ha="right", fontsize=8)
    for number, words in enumerate(row.words):
        beside(axes, 1.03, y + 0.58 * (number - 1), words, fontsize=7)
    if row.target is not None:
        at = float(temperature(row.target, display))
        axes.plot([at, at], [y - 0.75, y + 0.75], color=INK, linewidth=2.2, zorder=2)
    for saturation, pipe, colour, shape in (
        (row.suction_saturation, row.suction, COLD, "o"),
        (row.liquid_saturation, row.liquid, WARM, "s"),
    ):
        if saturation.known and pipe.known:
            ends = [float(temperature(b.value, display)) for b in (saturation, pipe)]
            axes.plot(ends, [y, y], color=colour, alpha=0.22, linewidth=7, solid_capstyle="butt", zorder=1)
        for value, filled in ((saturation, True), (pipe, False)):
            if value.known:
                whisker(axes, y, value, display, colour, shape, filled)


def described(rows: Sequence[Line]) -> str:
    """The picture in words."""
    told = [f"{row.group.strip()}, {row.name}: {'; '.join(row.words)}." for row in rows]
    return "Pipe temperatures of each circuit beside saturation, with 95 % bands. " + " ".join(told)
