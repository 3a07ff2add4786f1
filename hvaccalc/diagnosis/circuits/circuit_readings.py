"""What each refrigerant circuit's readings say: saturations, subcooling, superheat, chart offset."""

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.circuits.line_set import with_lines
from hvaccalc.diagnosis.readings import air_taken, compressors, saturation
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated
from hvaccalc.practice.circuits import CHART_REACH, OUTDOOR_SUCTION_DROP


def circuit_state(draws: Draws, where: Where) -> CircuitState | None:
    """State of one circuit with what its lines do; None where its refrigerant is not carried."""
    fluid = draws.refrigerant(where.circuit)
    table = draws.condition(where).circuit.get(where.circuit)
    if fluid is None or table is None:
        return None
    read = saturation.saturations(draws, where)
    suction_saturation = None if read.suction is None else read.suction.dew
    liquid, source = saturation.liquid_or_assumed(draws, where) or (None, None)
    liquid_saturation = None if liquid is None else liquid.bubble
    suction_at = table.suction_measured_at or "outdoor unit"
    condensing, condensing_from = liquid_saturation, "bubble at the liquid pressure"
    if read.discharge is not None:
        condensing, condensing_from = read.discharge.dew, "dew at the discharge pressure"
    offset, note = _chart_offset(draws, where, liquid)
    state = CircuitState(
        where=where,
        refrigerant=fluid.name,
        suction_saturation=suction_saturation,
        coil_suction_saturation=_at_coil(draws, where, suction_saturation, suction_at),
        liquid_saturation=liquid_saturation,
        condensing_saturation=condensing,
        condensing_from=condensing_from,
        over_outdoor=_over_outdoor(draws, where, condensing),
        subcooling=_difference(liquid_saturation, draws.column(where, "liquid_temperature"), source),
        superheat=_difference(draws.column(where, "suction_temperature"), suction_saturation, None),
        chart_offset=offset,
        chart_note=note,
        liquid_measured_at=table.liquid_measured_at or "outdoor unit",
        suction_measured_at=suction_at,
        discharge_superheat=_discharge_superheat(draws, where, read.discharge),
    )
    return with_lines(draws, state)


def _over_outdoor(draws: Draws, where: Where, condensing: Array | None) -> Array | None:
    outdoor = air_taken.outdoor(draws, where)
    if (
        outdoor is None
        or condensing is None
        or not compressors.runs(draws, where)
        or compressors.heating(draws, where)
    ):
        return None
    return condensing - outdoor


def _discharge_superheat(draws: Draws, where: Where, discharge: Saturated | None) -> Array | None:
    hot = draws.column(where, "discharge_temperature")
    return None if hot is None or discharge is None else hot - discharge.dew


def _at_coil(draws: Draws, where: Where, saturation: Array | None, measured_at: str) -> Array | None:
    if saturation is None or measured_at == "coil":
        return saturation
    # One suction line has one pressure drop: the same draw in all conditions of the circuit.
    return saturation + draws.ensemble.uniform(f"suction line/{where.circuit}", *OUTDOOR_SUCTION_DROP)


def _difference(upper: Array | None, lower: Array | None, source: Datum | None) -> Datum | None:
    if upper is None or lower is None:
        return None
    return Datum(upper - lower, source.basis if source else "measured", source.note if source else "")


def _chart_offset(draws: Draws, where: Where, liquid: Saturated | None) -> tuple[Array | None, str]:
    """Liquid temperature above the chart's at the same pressure, and how the chart was used.

    The chart's points are joined by their subcooling over pressure, which is nearly straight, rather
    than by temperature. The chart is exact: the property model's error cancels where one point serves.
    """
    chart = saturation.chart(draws, where.circuit, draws.barometer(where).draws[0])
    temperature = draws.column(where, "liquid_temperature")
    if chart is None or liquid is None or temperature is None:
        return None, "" if chart else "no chart of the unit typed"
    reach = units.limit_text(CHART_REACH, "temperature_difference", draws.job.display)
    if chart.pressure.size == 1:
        if abs(temperature[0] - chart.temperature[0]) > CHART_REACH:
            return None, f"the liquid is more than {reach} from the chart's only point"
        target = np.full_like(temperature, chart.subcooling[0])
        note = f"a chart of one point: its subcooling is taken as constant within {reach} of it"
    else:
        if not chart.pressure[0] <= liquid.pressure[0] <= chart.pressure[-1]:
            return None, "the liquid pressure lies outside the chart"
        target = np.interp(liquid.pressure, chart.pressure, chart.subcooling)
        note = f"interpolated between {chart.pressure.size} points of the unit's chart"
    return temperature - (liquid.bubble - liquid.error - target), note
