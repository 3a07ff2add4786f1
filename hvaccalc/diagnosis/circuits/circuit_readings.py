"""What each refrigerant circuit's readings say: saturations, subcooling, superheat, chart offset."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.diagnosis.readings.limit_text import limit
from hvaccalc.physics.refrigerant import Refrigerant

if TYPE_CHECKING:
    from hvaccalc.diagnosis.circuits.line_set import LineEffects

LIQUID_SHARE_OF_DISCHARGE = (0.94, 0.98)
"""Liquid pressure over discharge pressure where only the latter was read, absolute; assumed: two
measured units give 0.955 to 0.985 (NISTIR 7350; ORNL test building)."""

OUTDOOR_SUCTION_DROP = (1.0 * 5 / 9, 2.0 * 5 / 9)
"""Saturation at the coil's exit above that at the outdoor unit [K]; common practice, no source."""

CHART_REACH = 10.0 * 5 / 9
"""A chart of one point holds this far either side of its liquid temperature [K]."""


@dataclass(frozen=True, slots=True)
class CircuitState:
    """One circuit in one condition; columns of shape (N + 1,), None where not read.

    Attributes
    ----------
    suction_saturation : ndarray or None
        Dew temperature at the place of the suction reading [K].
    coil_suction_saturation : ndarray or None
        The same brought to the coil's exit [K].
    liquid_saturation : ndarray or None
        Bubble temperature at the liquid reading [K].
    condensing_saturation : ndarray or None
        Dew at the discharge reading, else bubble at the liquid one [K].
    over_outdoor : ndarray or None
        Condensing saturation above the outdoor air of a running circuit [K].
    subcooling, superheat : Datum or None
        [K].
    discharge_superheat : ndarray or None
        Discharge temperature above the dew at the discharge pressure [K].
    chart_offset : ndarray or None
        Liquid temperature above the unit's chart at that pressure [K]; positive = short of charge.
    chart_note : str
        How the chart was used, or why not.
    lines : LineEffects or None
        What the line set does between outdoor unit and coil; None until `line_set.with_lines` has put it
        in, and where nothing is known of it.
    """

    where: Where
    refrigerant: str
    suction_saturation: np.ndarray | None
    coil_suction_saturation: np.ndarray | None
    liquid_saturation: np.ndarray | None
    condensing_saturation: np.ndarray | None
    condensing_from: str
    over_outdoor: np.ndarray | None
    subcooling: Datum | None
    superheat: Datum | None
    chart_offset: np.ndarray | None
    chart_note: str
    liquid_measured_at: str
    suction_measured_at: str
    discharge_superheat: np.ndarray | None = None
    lines: LineEffects | None = None


def circuit_state(draws: Draws, where: Where) -> CircuitState | None:
    """State of one circuit; None where its refrigerant is not carried."""
    fluid = draws.refrigerant(where.circuit)
    table = draws.condition(where).circuit.get(where.circuit)
    if fluid is None or table is None:
        return None
    error = draws.saturation_error(fluid.name)
    suction = draws.column(where, "suction_pressure")
    discharge = draws.column(where, "discharge_pressure")
    liquid = _liquid_pressure(draws, where, discharge)
    suction_saturation = None if suction is None else fluid.dew_temperature(suction) + error
    liquid_saturation = None if liquid is None else fluid.bubble_temperature(liquid.draws) + error
    suction_at = table.suction_measured_at or "outdoor unit"
    if discharge is not None:
        condensing, condensing_from = (
            fluid.dew_temperature(discharge) + error,
            "dew at the discharge pressure",
        )
    else:
        condensing, condensing_from = liquid_saturation, "bubble at the liquid pressure"
    offset, note = _chart_offset(draws, where, fluid, liquid, error)
    return CircuitState(
        where=where,
        refrigerant=fluid.name,
        suction_saturation=suction_saturation,
        coil_suction_saturation=_at_coil(draws, where, suction_saturation, suction_at),
        liquid_saturation=liquid_saturation,
        condensing_saturation=condensing,
        condensing_from=condensing_from,
        over_outdoor=_over_outdoor(draws, where, condensing),
        subcooling=_difference(liquid_saturation, draws.column(where, "liquid_temperature"), liquid),
        superheat=_difference(draws.column(where, "suction_temperature"), suction_saturation, None),
        chart_offset=offset,
        chart_note=note,
        liquid_measured_at=table.liquid_measured_at or "outdoor unit",
        suction_measured_at=suction_at,
        discharge_superheat=_discharge_superheat(draws, where, None if discharge is None else condensing),
    )


def _over_outdoor(draws: Draws, where: Where, condensing: np.ndarray | None) -> np.ndarray | None:
    outdoor = draws.column(Where(where.visit, where.condition), "outdoor_dry_bulb")
    if (
        outdoor is None
        or condensing is None
        or not compressors.runs(draws, where)
        or compressors.heating(draws, where)
    ):
        return None
    return condensing - outdoor


def _discharge_superheat(draws: Draws, where: Where, dew: np.ndarray | None) -> np.ndarray | None:
    hot = draws.column(where, "discharge_temperature")
    return None if hot is None or dew is None else hot - dew


def _liquid_pressure(draws: Draws, where: Where, discharge: np.ndarray | None) -> Datum | None:
    column = draws.column(where, "liquid_pressure")
    if column is not None:
        return Datum(column, "measured")
    if discharge is None:
        return None
    share = draws.ensemble.uniform(f"liquid share/{where.path}", *LIQUID_SHARE_OF_DISCHARGE)
    return Datum(discharge * share, "assumed", "liquid pressure taken as 0.96 of the discharge pressure")


def _at_coil(
    draws: Draws, where: Where, saturation: np.ndarray | None, measured_at: str
) -> np.ndarray | None:
    if saturation is None or measured_at == "coil":
        return saturation
    # One suction line has one pressure drop: the same draw in all conditions of the circuit.
    return saturation + draws.ensemble.uniform(f"suction line/{where.circuit}", *OUTDOOR_SUCTION_DROP)


def _difference(upper: np.ndarray | None, lower: np.ndarray | None, source: Datum | None) -> Datum | None:
    if upper is None or lower is None:
        return None
    return Datum(upper - lower, source.basis if source else "measured", source.note if source else "")


def _chart_offset(
    draws: Draws, where: Where, fluid: Refrigerant, liquid: Datum | None, error: np.ndarray
) -> tuple[np.ndarray | None, str]:
    """Liquid temperature above the chart's at the same pressure, and how the chart was used.

    The chart's points are joined by their subcooling over pressure, which is nearly straight, rather
    than by temperature. The chart is exact: the property model's error cancels where one point serves.
    """
    chart = draws.job.circuit[where.circuit].chart
    temperature = draws.column(where, "liquid_temperature")
    if not chart or liquid is None or temperature is None:
        return None, "" if chart else "no chart of the unit typed"
    barometer = draws.barometer(where).draws
    points = sorted((p.liquid_pressure.absolute(barometer[0]), p.liquid_temperature.value) for p in chart)
    pressures = np.array([p for p, _ in points])
    charted = np.array([t for _, t in points])
    subcoolings = fluid.bubble_temperature(pressures) - charted
    reach = limit(CHART_REACH, "temperature_difference", draws.job.display)
    if len(points) == 1:
        if abs(temperature[0] - charted[0]) > CHART_REACH:
            return None, f"the liquid is more than {reach} from the chart's only point"
        target = np.full_like(temperature, subcoolings[0])
        note = f"a chart of one point: its subcooling is taken as constant within {reach} of it"
    else:
        if not pressures[0] <= liquid.draws[0] <= pressures[-1]:
            return None, "the liquid pressure lies outside the chart"
        target = np.interp(liquid.draws, pressures, subcoolings)
        note = f"interpolated between {len(points)} points of the unit's chart"
    return temperature - (fluid.bubble_temperature(liquid.draws) - target), note
