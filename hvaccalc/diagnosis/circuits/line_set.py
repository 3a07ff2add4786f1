"""The line set of a circuit: a reading taken outdoors brought to the coil and to the metering device.

Suction: saturation lost and heat taken up between coil and outdoor unit. Liquid: friction, lift and heat
between condenser and device, and what is left of the subcooling there. All from the tubes' sizes and lengths
as typed; without them the usual 1 to 2 °F stand for the suction line, and nothing is said of the liquid line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.circuits import refrigerant_side
from hvaccalc.diagnosis.circuits.circuit_readings import CircuitState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.circuit import line_losses
from hvaccalc.equipment.circuit.copper_tube import FOOT, tube
from hvaccalc.job.circuit_tables import Lines
from hvaccalc.job.fields import Quantity
from hvaccalc.physics.refrigerant import Refrigerant

LONGEST = 500.0 * FOOT
"""Line length beyond which no split system is built; common practice, no source (makers end at 150 to
250 ft)."""

HIGHEST = 300.0 * FOOT
"""Rise or fall beyond which no building carries one split system; common practice, no source."""

FITTINGS = (1.1, 1.6)
"""Equivalent over measured length, for elbows, valves and drier; common practice, no source."""

LIQUID_VISCOSITY = (0.9e-4, 1.8e-4)
VAPOUR_VISCOSITY = (1.0e-5, 1.4e-5)
"""Of the refrigerants carried, at usual states [Pa s], from memory; friction follows its fifth root."""

LOAD = (0.75, 1.10)
"""Heat of a running circuit over its share of the rated capacity where its flow is not known; assumed."""

INSULATION = (9e-3, 19e-3)
"""Thickness on a suction line where none is typed [m]: 3/8 to 3/4 in.; common practice, no source."""

LIQUID_HEAT_CAPACITY = 1700.0
"""Of liquid refrigerants at 40 °C, within 15 % [J/kgK], from memory; the correction is small."""

UNREAD_AROUND = (units.degF(75.0), units.degF(100.0))
"""Air around the lines where the outdoor air was not read [K]."""


@dataclass(frozen=True, slots=True)
class LineEffects:
    """What the lines do between outdoor unit and coil; columns of shape (N + 1,), None where not known.

    Attributes
    ----------
    suction_drop : ndarray or None
        Saturation temperature lost from coil to outdoor unit [K].
    suction_gain : ndarray or None
        Warming of the gas on the same way [K].
    superheat_at_coil : ndarray or None
        [K]
    liquid_friction, liquid_lift : ndarray or None
        Pressure lost on the way to the device [Pa]; a fall makes the lift negative.
    flash_margin : ndarray or None
        Subcooling left at the metering device [K]; below zero vapour enters it.
    subcooling_outdoors : ndarray or None
        Subcooling at the outdoor unit of a reading taken at the device [K].
    """

    suction_drop: np.ndarray | None = None
    suction_gain: np.ndarray | None = None
    superheat_at_coil: np.ndarray | None = None
    liquid_friction: np.ndarray | None = None
    liquid_lift: np.ndarray | None = None
    flash_margin: np.ndarray | None = None
    subcooling_outdoors: np.ndarray | None = None


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
        elif length is not None and length.value > LONGEST:
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
    if abs(rise.value) > HIGHEST:
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
    fluid = draws.refrigerant(where.circuit)
    if fluid is None or not compressors.runs(draws, where) or compressors.heating(draws, where):
        return None
    flow = _flow(draws, where, fluid)
    suction, liquid = _line(typed, "suction", odd), _line(typed, "liquid", odd)
    effects = LineEffects()
    if flow is not None and suction is not None:
        effects = _suction(draws, state, fluid, flow, suction, effects)
    return _liquid(draws, state, fluid, flow, liquid, "rise" in odd, effects)


def _flow(draws: Draws, where: Where, fluid: Refrigerant) -> np.ndarray | None:
    """Refrigerant flow [kg/s]: read, by the compressor's map, else from the circuit's share of the rating."""
    suction = draws.column(where, "suction_pressure")
    liquid = draws.column(where, "liquid_temperature")
    head = refrigerant_side.head_pressure(draws, where)
    gas = draws.column(where, "suction_temperature")
    if suction is None or liquid is None or head is None:
        return draws.column(where, "refrigerant_mass_flow")
    dew = fluid.dew_temperature(suction)
    gas = dew + 5.0 if gas is None else np.maximum(gas, dew + 0.1)
    known = refrigerant_side.mass_flow(draws, where, fluid, suction, gas, head)
    if known is not None:
        return known
    heat = np.asarray(draws.rating.total) * draws.capacity_shares()[where.circuit]
    heat = heat * draws.ensemble.uniform(f"load/{where.path}", *LOAD)
    cold = np.minimum(liquid, fluid.bubble_temperature(head))
    return heat / (fluid.vapour(suction, gas).enthalpy - fluid.liquid(head, cold).enthalpy)


def _around(draws: Draws, where: Where) -> np.ndarray:
    outdoor = draws.column(Where(where.visit, where.condition), "outdoor_dry_bulb")
    return (
        draws.ensemble.uniform(f"around lines/{where.path}", *UNREAD_AROUND) if outdoor is None else outdoor
    )


def _equivalent(draws: Draws, circuit: str, line: _Line) -> np.ndarray:
    return line.length * draws.ensemble.uniform(f"line fittings/{circuit}", *FITTINGS)


def _conductance(draws: Draws, circuit: str, line: _Line, thickness: np.ndarray | float) -> np.ndarray:
    """Of a whole line [W/K]."""
    film = draws.ensemble.uniform(f"line film/{circuit}", *line_losses.STILL_AIR_FILM)
    foam = draws.ensemble.uniform(f"line foam/{circuit}", *line_losses.FOAM)
    return line.length * line_losses.conductance_per_length(line.outside, thickness, foam, film)


def _suction(
    draws: Draws, state: CircuitState, fluid: Refrigerant, flow: np.ndarray, line: _Line, known: LineEffects
) -> LineEffects:
    where, circuit = state.where, state.where.circuit
    pressure, gas = draws.column(where, "suction_pressure"), draws.column(where, "suction_temperature")
    if pressure is None or state.suction_saturation is None:
        return known
    dew = fluid.dew_temperature(pressure)
    gas_state = dew + 5.0 if gas is None else np.maximum(gas, dew + 0.1)
    here = fluid.vapour(pressure, gas_state)
    viscosity = draws.ensemble.uniform("vapour viscosity", *VAPOUR_VISCOSITY)
    loss = line_losses.friction_loss(
        flow, line.inside, _equivalent(draws, circuit, line), here.density, viscosity
    )
    if state.suction_measured_at == "coil":
        drop = dew - fluid.dew_temperature(pressure - loss)
    else:
        drop = fluid.dew_temperature(pressure + loss) - dew
    typed = draws.job.unit.cabinet.suction_line_insulation
    thickness: np.ndarray | float = (
        draws.ensemble.uniform(f"line insulation/{circuit}", *INSULATION) if typed is None else typed.value
    )
    capacity = (fluid.vapour(pressure, gas_state + 5.0).enthalpy - here.enthalpy) / 5.0
    conductance = _conductance(draws, circuit, line, thickness)
    gain = line_losses.warming(flow, capacity, conductance, _around(draws, where), gas_state)
    superheat = None
    if state.superheat is not None:
        at_coil = state.suction_measured_at == "coil"
        superheat = state.superheat.draws if at_coil else state.superheat.draws - gain - drop
    return replace(known, suction_drop=drop, suction_gain=gain, superheat_at_coil=superheat)


def _liquid(
    draws: Draws,
    state: CircuitState,
    fluid: Refrigerant,
    flow: np.ndarray | None,
    line: _Line | None,
    odd_rise: bool,
    known: LineEffects,
) -> LineEffects | None:
    where, circuit = state.where, state.where.circuit
    at_device = state.liquid_measured_at == "metering device"
    margin = state.subcooling.draws if at_device and state.subcooling is not None else None
    temperature = draws.column(where, "liquid_temperature")
    pressure = refrigerant_side.head_pressure(draws, where)
    if flow is None or line is None or odd_rise or temperature is None or pressure is None:
        known = replace(known, flash_margin=margin)
        return None if margin is None and known.suction_drop is None else known
    bubble = fluid.bubble_temperature(pressure)
    density = fluid.liquid(pressure, np.minimum(temperature, bubble)).density
    viscosity = draws.ensemble.uniform("liquid viscosity", *LIQUID_VISCOSITY)
    friction = line_losses.friction_loss(
        flow, line.inside, _equivalent(draws, circuit, line), density, viscosity
    )
    rise = draws.job.circuit[circuit].lines.rise
    lift = line_losses.lift_loss(0.0 if rise is None else rise.value, density)
    bare = _conductance(draws, circuit, line, 0.0)
    gain = line_losses.warming(flow, LIQUID_HEAT_CAPACITY, bare, _around(draws, where), temperature)
    error = draws.saturation_error(fluid.name)
    outdoors = None
    if at_device:
        outdoors = fluid.bubble_temperature(pressure + friction + lift) + error - (temperature - gain)
    else:
        margin = fluid.bubble_temperature(pressure - friction - lift) + error - (temperature + gain)
    return replace(
        known,
        liquid_friction=friction,
        liquid_lift=lift,
        flash_margin=margin,
        subcooling_outdoors=outdoors,
    )
