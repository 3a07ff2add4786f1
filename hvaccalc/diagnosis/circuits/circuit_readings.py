"""What each circuit's readings say (saturations, subcooling, superheat), brought through its line set.

The line set of a circuit: a reading taken outdoors brought to the coil and to the metering device.

Suction: saturation lost and heat taken up between coil and outdoor unit. Liquid: friction, lift and heat
between condenser and device, and what is left of the subcooling there. All from the tubes' sizes and lengths
as typed; without them the usual 1 to 2 °F stand for the suction line, and nothing is said of the liquid line.
"""

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.circuits import circuit_state
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState, LineEffects
from hvaccalc.diagnosis.readings import compressors, saturation
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where, outdoor_read, usual_outdoor
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.diagnosis.readings.saturation import Saturated, Sides, saturations
from hvaccalc.equipment.circuit import refrigerant_lines
from hvaccalc.equipment.circuit.refrigerant_lines import tube
from hvaccalc.job.unit_tables import Lines
from hvaccalc.job.visit_tables import FansRunning
from hvaccalc.practice.circuits import (
    CHART_REACH,
    FITTINGS,
    FOAM_CONDUCTIVITY,
    HIGHEST_RISE,
    LIQUID_HEAT_CAPACITY,
    LIQUID_VISCOSITY,
    LONGEST_LINE,
    OUTDOOR_SUCTION_DROP,
    STILL_AIR_FILM,
    UNREAD_INSULATION,
    UNREAD_LOAD,
    UNREAD_SUPERHEAT,
    VAPOUR_VISCOSITY,
)
from hvaccalc.practice.statements import MASKED_WORTH_SAYING
from hvaccalc.severity import Severity
from hvaccalc.units import Quantity

ODD_LINE = Severity.WATCH
"""How much a line matters that cannot be what was typed."""


def oddities(lines: Lines) -> dict[str, str]:
    """Typed sizes, lengths and rises that cannot be a line set's, by key, each with why."""
    odd = {}
    for side in ("liquid", "suction"):
        size, length = getattr(lines, f"{side}_size"), getattr(lines, f"{side}_length")
        if size is not None and tube(size.value) is None:
            odd[f"{side}_size"] = (
                f"no copper tube of {size.text} is made (sizes are outside diameters, 1/4 to 2-5/8 in)"
            )
        if length is not None and length.value == 0.0:
            odd[f"{side}_length"] = "a line has a length"
        elif length is not None and length.value > LONGEST_LINE:
            odd[f"{side}_length"] = f"{length.text} is longer than any split system is built"
    odd |= _rise(lines)
    small, large = lines.suction_size, lines.liquid_size
    if small is not None and large is not None and small.value <= large.value:
        for key in ("liquid_size", "suction_size"):
            odd.setdefault(key, "the suction line is not the larger of the two: typed the wrong way round?")
    return odd


def _rise(lines: Lines) -> dict[str, str]:
    rise = lines.rise
    if rise is None:
        return {}
    if abs(rise.value) > HIGHEST_RISE:
        return {"rise": f"{rise.text} is no building of one split system"}
    lengths = [one for one in (lines.liquid_length, lines.suction_length) if one is not None]
    shorter = [one for one in lengths if 0.0 < one.value < abs(rise.value)]
    if shorter:
        return {"rise": f"{rise.text} is more than the line's own {shorter[0].text}"}
    return {}


@dataclass(frozen=True, slots=True)
class _Line:
    """One line that can be reckoned with: diameters and length [m]."""

    outside: float
    inside: float
    length: float


def _line(lines: Lines, side: str, odd: dict[str, str]) -> _Line | None:
    size: Quantity | None = getattr(lines, f"{side}_size")
    length: Quantity | None = getattr(lines, f"{side}_length")
    if size is None or length is None or odd.keys() & {f"{side}_size", f"{side}_length"}:
        return None
    made = tube(size.value)
    return None if made is None else _Line(made.outside, made.inside, length.value)


def with_lines(draws: Draws, state: CircuitState) -> CircuitState:
    """The same state with what its lines do; the suction saturation at the coil follows them."""
    effects = line_effects(draws, state)
    if effects is None:
        return state
    if state.suction_measured_at == "coil" or effects.suction_drop is None:
        return replace(state, lines=effects)
    assert state.suction_saturation is not None
    return replace(
        state, lines=effects, coil_suction_saturation=state.suction_saturation + effects.suction_drop
    )


def line_effects(draws: Draws, state: CircuitState) -> LineEffects | None:
    """Effects of a running circuit's lines; None where nothing is known of them."""
    where = state.where
    typed = draws.job.circuit[where.circuit].lines
    odd = oddities(typed)
    if not compressors.runs(draws, where) or compressors.heating(draws, where):
        return None
    read = saturations(draws, where)
    flow = _flow(draws, where, read)
    suction, liquid = _line(typed, "suction", odd), _line(typed, "liquid", odd)
    effects = LineEffects()
    if flow is not None and suction is not None:
        effects = _suction(draws, state, read.suction, flow, suction, effects)
    return _liquid(draws, state, read.head, flow, liquid, "rise" in odd, effects)


def _flow(draws: Draws, where: Where, read: Sides[Saturated]) -> Array | None:
    """Refrigerant flow [kg/s]: read, by the compressor's map, else from the circuit's share of the rating."""
    suction, head = read.suction, read.head
    liquid = draws.column(where, "liquid_temperature")
    if suction is None or liquid is None or head is None:
        return draws.column(where, "refrigerant_mass_flow")
    gas = _gas(draws, where, suction)
    known = circuit_state.mass_flow(draws, where, suction, gas)
    if known is not None:
        return known
    heat = np.asarray(draws.rating.total) * draws.capacity_shares()[where.circuit]
    heat = heat * draws.ensemble.uniform(f"load/{where.path}", *UNREAD_LOAD)
    return heat / (suction.vapour(gas).enthalpy - head.liquid(liquid).enthalpy)


def _gas(draws: Draws, where: Where, suction: Saturated) -> Array:
    """Temperature of the suction gas [K]: read, where it is gas, else a usual superheat."""
    gas = draws.column(where, "suction_temperature")
    return suction.dew + UNREAD_SUPERHEAT if gas is None else np.maximum(gas, suction.dew + 0.1)


def _around(draws: Draws, where: Where) -> Array:
    outdoor = outdoor_read(draws, where)
    return usual_outdoor(draws, where) if outdoor is None else outdoor


def _equivalent(draws: Draws, circuit: str, line: _Line) -> Array:
    return line.length * draws.ensemble.uniform(f"line fittings/{circuit}", *FITTINGS)


def _conductance(draws: Draws, circuit: str, line: _Line, thickness: Array | float) -> Array:
    """Of a whole line [W/K]."""
    film = draws.ensemble.uniform(f"line film/{circuit}", *STILL_AIR_FILM)
    foam = draws.ensemble.uniform(f"line foam/{circuit}", *FOAM_CONDUCTIVITY)
    return line.length * refrigerant_lines.conductance_per_length(line.outside, thickness, foam, film)


def _suction(
    draws: Draws, state: CircuitState, suction: Saturated | None, flow: Array, line: _Line, known: LineEffects
) -> LineEffects:
    where, circuit = state.where, state.where.circuit
    if suction is None:
        return known
    gas = _gas(draws, where, suction)
    here = suction.vapour(gas)
    viscosity = draws.ensemble.uniform("vapour viscosity", *VAPOUR_VISCOSITY)
    loss = refrigerant_lines.friction_loss(
        flow, line.inside, _equivalent(draws, circuit, line), here.density, viscosity
    )
    if state.suction_measured_at == "coil":
        drop = suction.dew - suction.moved(-loss).dew
    else:
        drop = suction.moved(loss).dew - suction.dew
    typed = draws.job.unit.cabinet.suction_line_insulation
    thickness: Array | float = (
        draws.ensemble.uniform(f"line insulation/{circuit}", *UNREAD_INSULATION)
        if typed is None
        else typed.value
    )
    capacity = (suction.vapour(gas + 5.0).enthalpy - here.enthalpy) / 5.0
    conductance = _conductance(draws, circuit, line, thickness)
    gain = refrigerant_lines.warming(flow, capacity, conductance, _around(draws, where), gas)
    superheat = None
    if state.superheat is not None:
        at_coil = state.suction_measured_at == "coil"
        superheat = state.superheat.draws if at_coil else state.superheat.draws - gain - drop
    return replace(known, suction_drop=drop, suction_gain=gain, superheat_at_coil=superheat)


def _liquid(
    draws: Draws,
    state: CircuitState,
    head: Saturated | None,
    flow: Array | None,
    line: _Line | None,
    odd_rise: bool,
    known: LineEffects,
) -> LineEffects | None:
    where, circuit = state.where, state.where.circuit
    at_device = state.liquid_measured_at == "metering device"
    margin = state.subcooling.draws if at_device and state.subcooling is not None else None
    temperature = draws.column(where, "liquid_temperature")
    if flow is None or line is None or odd_rise or temperature is None or head is None:
        known = replace(known, flash_margin=margin)
        return None if margin is None and known.suction_drop is None else known
    density = head.liquid(temperature).density
    viscosity = draws.ensemble.uniform("liquid viscosity", *LIQUID_VISCOSITY)
    friction = refrigerant_lines.friction_loss(
        flow, line.inside, _equivalent(draws, circuit, line), density, viscosity
    )
    rise = draws.job.circuit[circuit].lines.rise
    lift = refrigerant_lines.lift_loss(0.0 if rise is None else rise.value, density)
    bare = _conductance(draws, circuit, line, 0.0)
    gain = refrigerant_lines.warming(flow, LIQUID_HEAT_CAPACITY, bare, _around(draws, where), temperature)
    outdoors = None
    if at_device:
        outdoors = head.moved(friction + lift).bubble - (temperature - gain)
    else:
        margin = head.moved(-friction - lift).bubble - (temperature + gain)
    return replace(
        known, liquid_friction=friction, liquid_lift=lift, flash_margin=margin, subcooling_outdoors=outdoors
    )


def circuit_as_read(draws: Draws, where: Where) -> CircuitState | None:
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
    pairs = {
        "subcooling": _difference(liquid_saturation, draws.column(where, "liquid_temperature"), source),
        "superheat": _difference(draws.column(where, "suction_temperature"), suction_saturation, None),
    }
    state = CircuitState(
        where=where,
        refrigerant=fluid.name,
        suction_saturation=suction_saturation,
        coil_suction_saturation=_at_coil(draws, where, suction_saturation, suction_at),
        liquid_saturation=liquid_saturation,
        condensing_saturation=condensing,
        condensing_from=condensing_from,
        over_outdoor=_over_outdoor(draws, where, condensing),
        subcooling=pairs["subcooling"] or _shown(draws, where, "subcooling"),
        superheat=pairs["superheat"] or _shown(draws, where, "superheat"),
        chart_offset=offset,
        chart_note=note,
        liquid_measured_at=table.liquid_measured_at or "outdoor unit",
        suction_measured_at=suction_at,
        discharge_superheat=_discharge_superheat(draws, where, read.discharge),
        drier_drop=_drier_drop(draws, where),
        fans_stand=_fans_stand(draws, where, table.condenser_fans_running),
        shown=tuple(key for key, pair in pairs.items() if pair is None),
    )
    return with_lines(draws, state)


def _cools(draws: Draws, where: Where) -> bool:
    return compressors.runs(draws, where) and not compressors.heating(draws, where)


def _over_outdoor(draws: Draws, where: Where, condensing: Array | None) -> Array | None:
    outdoor = outdoor_read(draws, where)
    if outdoor is None or condensing is None or not _cools(draws, where):
        return None
    return condensing - outdoor


SWITCHES_FANS = ("fan cycling", "fan speed")
"""Head control that lets a condenser fan stand or crawl on purpose."""


def _fans_stand(draws: Draws, where: Where, fans: FansRunning | None) -> FansRunning | None:
    """Condenser fans of which some stand for no reason that was typed; None else."""
    on_purpose = draws.job.unit.protection.head_control in SWITCHES_FANS
    if fans is None or on_purpose or not _cools(draws, where):
        return None
    return fans if fans.running == 0 or fans.running < (fans.of or 0) else None


def _drier_drop(draws: Draws, where: Where) -> Array | None:
    before, after = (draws.column(where, f"drier_{side}_temperature") for side in ("in", "out"))
    return None if before is None or after is None or not _cools(draws, where) else before - after


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


def _shown(draws: Draws, where: Where, key: str) -> Datum | None:
    """A difference as a digital manifold showed it, where the pair of readings was not typed."""
    read = draws.column(where, key)
    return None if read is None else Datum(read, "measured", "")


def _chart_offset(draws: Draws, where: Where, liquid: Saturated | None) -> tuple[Array | None, str]:
    """Liquid temperature above the chart's at the same pressure, and how the chart was used.

    The chart's points are joined by their subcooling over pressure, which is nearly straight, rather
    than by temperature. The chart is exact: the property model's error cancels where one point serves.
    """
    chart = saturation.chart(draws, where.circuit, draws.barometer(where).draws[0])
    temperature = draws.column(where, "liquid_temperature")
    if chart is None or liquid is None or temperature is None:
        return None, "" if chart else "no chart of the unit typed"
    if draws.job.circuit[where.circuit].metering == ORIFICE:
        return None, "a fixed orifice shows its charge by the superheat"
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
        read = liquid.pressure[1:]
        beyond = np.mean((read < chart.pressure[0]) | (read > chart.pressure[-1]))
        if beyond > MASKED_WORTH_SAYING:
            note += f", {100 * beyond:.0f} % of the possible readings beyond it and taken at its end"
    return temperature - (liquid.bubble - liquid.error - target), note
