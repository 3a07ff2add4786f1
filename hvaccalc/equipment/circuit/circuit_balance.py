"""One refrigerant circuit between coil and outdoor air: its residuals for four unknowns, and their slopes.

Unknowns of a circuit, along the first axis of every state array:

* dew temperature at the coil's exit Te [K];
* s: superheated share of its fins where positive, wetness of the leaving refrigerant (1 - quality) where
  negative;
* t: condensing dew temperature Tc [K]; below a held head, the measure of how far the fans are turned down;
* z: subcooled share of the condenser where positive, quality leaving it where negative.

Residuals: heat boiled (with the coil, in `unit_balance`), condenser, metering, charge. Every physical limit
is a complementarity, so that rows converge and are then refused by name. The capacity is reckoned with the
gas at the compressor's inlet (an adiabatic line).

Metering devices as complementarity: a valve that holds superheat until it is wide open, and a fixed hole.

Flows are compared as squares, K^2 density drop - m^2: no square root, so a drop below zero has a value too.

Thermostatic valve: min(superheat - set, capacity - flow) = 0; where it can close no further than an opening
o, max(that, flow at o - flow) = 0. An electronic valve does the same at its own set point. A fixed orifice is
choked: its throat holds a share of the liquid's own saturation pressure (short tubes; 0.85 is from memory),
whatever the pressure behind it.

Flashing liquid: the mixture's homogeneous density takes the liquid's place.
"""

from types import EllipsisType
from typing import Any

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.equipment.circuit import balance_terms, condenser, refrigerant_lines
from hvaccalc.equipment.circuit.balance_terms import Balance, Condensing, Constants, Kind, Linearised, Suction
from hvaccalc.equipment.circuit.compressor import (
    CompressorMap,
    corrected,
    isentropic_efficiency,
    volumetric_efficiency,
)
from hvaccalc.equipment.circuit.refrigerant_curves import Curves, SaturatedCondenser

KINDS = ("TXV", "EEV", "fixed orifice")
# Largest flow of a valve over its rated flow at rated pressures, usual 1.1-1.5; common practice, no source.
RESERVE = 1.3
THROAT_SHARE = 0.85
# Which of two unmet conditions a Newton step works on is decided by their scales: with 8 K one row in ten of
# a wide box cycles between them, from 16 K on hardly any.
SUPERHEAT_SCALE = 30.0


def inlet_density(quality: Array, liquid: Array, vapour: Array) -> Array:
    """Density of what reaches the device [kg/m3]: liquid, or a homogeneous mixture.

    Examples
    --------
    5 % vapour by mass takes a third of the density:

    >>> round(float(inlet_density(0.05, 1000.0, 110.0)))
    712
    """
    return 1.0 / ((1.0 - quality) / liquid + quality / vapour)


def driving_pressure(inlet: Array, evaporator: Array, liquid_saturation: Array, orifice: Mask) -> Array:
    """Pressure drop that drives the flow [Pa]; of an orifice, down to its choked throat."""
    throat = np.maximum(evaporator, THROAT_SHARE * np.minimum(liquid_saturation, inlet))
    return inlet - np.where(orifice, throat, evaporator)


def valve_residual(
    superheat: Array, set_point: Array, largest: Array, smallest: Array, flow: Array, orifice: Mask
) -> Array:
    """Zero where the device is content.

    Parameters
    ----------
    superheat, set_point : ndarray
        At the coil's exit, below zero where wet; held by the valve [K].
    largest, smallest, flow : ndarray
        Squares of flow over the rated one: wide open, at its least opening, actual.
    orifice : ndarray of bool
        A fixed orifice: `largest` is its flow.

    Examples
    --------
    Superheat held, with capacity to spare:

    >>> float(valve_residual(5.6, 5.6, 1.7, 0.0, 1.0, False))
    0.0
    """
    held = np.minimum((superheat - set_point) / SUPERHEAT_SCALE, largest - flow)
    held = np.maximum(held, smallest - flow)
    return np.where(orifice, np.maximum(largest, smallest) - flow, held)


# Steps of the finite differences: Te [K], s, t [K], z.
STEPS = np.array([1e-3, 1e-5, 1e-3, 1e-5])
LIMIT_SCALE = 15.0
DRIEST, FULLEST = 0.97, 0.95
WETTEST = 0.5
LEAST_CONDENSING = 258.15


def _by_refrigerant(kind: Kind, method: str, *arguments: Array) -> Any:
    """Call a method of each circuit's curves; circuits lie along the last axis but one."""
    if all(one is kind.curves[0] for one in kind.curves):
        return getattr(kind.curves[0], method)(*arguments)
    parts = [getattr(c, method)(*(a[..., i, :] for a in arguments)) for i, c in enumerate(kind.curves)]
    if isinstance(parts[0], tuple):
        columns = [np.stack(column, axis=-2) for column in zip(*parts, strict=True)]
        return type(parts[0])(*columns) if hasattr(parts[0], "_fields") else tuple(columns)
    return np.stack(parts, axis=-2)


def suction_side(kind: Kind, constants: Constants, dew: Array, signed: Array, air: Array) -> Suction:
    """Gas between coil and compressor.

    Parameters
    ----------
    kind, constants
    dew, signed : ndarray
        Unknowns Te [K] and s.
    air : ndarray
        Temperature of the air that meets the superheated zone [K].
    """
    saturated = _by_refrigerant(kind, "evaporator", dew)
    vapour_density = np.exp(saturated.log_vapour_density)
    units = constants.gas_conductance / (constants.gas_heat * vapour_density)
    gap = constants.gap * (air - dew)
    superheat = gap * np.where(signed > 0.0, -np.expm1(-units * signed), units * signed)
    inlet_dew = dew - constants.suction_loss
    gas = _by_refrigerant(kind, "vapour", inlet_dew, np.maximum(superheat, 0.0) + constants.suction_loss)
    inlet = _by_refrigerant(kind, "evaporator", inlet_dew)
    wetness = np.minimum(np.maximum(-signed, 0.0), WETTEST + 0.1)
    latent = saturated.vapour_enthalpy - saturated.liquid_enthalpy
    return Suction(
        superheat=superheat,
        wetness=wetness,
        pressure=np.exp(saturated.log_pressure),
        inlet_log_pressure=inlet.log_pressure,
        inlet_pressure=np.exp(inlet.log_pressure),
        inlet_dew=inlet_dew,
        density=np.exp(gas.log_density) / (1.0 - wetness),
        enthalpy=gas.enthalpy - wetness * latent,
        dry_enthalpy=gas.enthalpy,
        entropy=gas.entropy,
        gas_heat=gas.enthalpy - saturated.vapour_enthalpy,
        vapour_density=vapour_density,
        liquid_density=saturated.liquid_density,
        liquid_enthalpy=saturated.liquid_enthalpy,
        latent_heat=latent,
        superheated=np.maximum(signed, 0.0),
        slip=balance_terms.slip_factor(saturated.liquid_density, vapour_density),
    )


def condensing_side(kind: Kind, constants: Constants, unknown: Array) -> Condensing:
    """Saturated states and air of the condenser at the unknown t [K]."""
    held = constants.held_condensing
    temperature = np.maximum(np.maximum(unknown, held), LEAST_CONDENSING)
    turned = np.exp(np.minimum(unknown - held, 0.0) / condenser.FAN_TURN_DOWN)
    root = _by_refrigerant(kind, "root", temperature)
    saturated = _by_refrigerant(kind, "condenser", root)
    cooler = _by_refrigerant(kind, "liquid_enthalpy", root, np.full_like(root, 10.0))
    air = condenser.air_side(
        constants.air_capacity, constants.air_ntu, constants.air * turned, constants.fouling
    )
    return Condensing(
        temperature,
        root,
        saturated,
        (saturated.liquid_enthalpy - cooler) / 10.0,
        air,
        np.exp(saturated.log_pressure),
        balance_terms.slip_factor(saturated.liquid_density, saturated.vapour_density),
    )


def combine(
    kind: Kind,
    constants: Constants,
    suction: Suction,
    condensing: Condensing,
    unknown_condensing: Array,
    signed: Array,
    outdoor: Array,
) -> Balance:
    """Compressor, condenser, liquid line, device and charge at one trial state.

    Parameters
    ----------
    kind, constants, suction, condensing
    unknown_condensing, signed : ndarray
        Unknowns t [K] and z.
    outdoor : ndarray
        Air entering the condenser [K].
    """
    sat = condensing.saturated
    flow, work = _compress(kind, constants, suction, condensing)
    work = work * (1.0 - suction.wetness)
    outlet = suction.enthalpy + (1.0 - constants.shell_loss) * work
    gas_heat = np.maximum(outlet - sat.vapour_enthalpy, 0.0)
    gas_superheat = np.maximum(_by_refrigerant(kind, "discharge_superheat", condensing.root, gas_heat), 0.0)
    liquid_share = np.maximum(signed, 0.0)
    quality = np.minimum(np.maximum(-signed, 0.0), 1.0)
    zone = condenser.zones(
        condensing.air,
        flow,
        gas_heat,
        gas_superheat,
        condensing.temperature,
        sat.bubble_temperature,
        outdoor,
        condensing.liquid_heat_capacity,
        liquid_share,
    )
    latent = sat.vapour_enthalpy - sat.liquid_enthalpy
    subcooling = sat.bubble_temperature - zone.liquid_temperature
    liquid_enthalpy = _by_refrigerant(kind, "liquid_enthalpy", condensing.root, subcooling)
    leaving = np.where(signed >= 0.0, liquid_enthalpy, sat.liquid_enthalpy + quality * latent)
    to_condense = flow * (np.minimum(outlet, sat.vapour_enthalpy) - sat.liquid_enthalpy - quality * latent)
    condenser_residual = (to_condense - zone.heat) / constants.rated_heat
    over_limit = (constants.highest_condensing - unknown_condensing) / LIMIT_SCALE
    heat = flow * (suction.enthalpy - leaving)
    valve = _meter(kind, constants, suction, condensing, flow, leaving, zone.liquid_temperature)
    valve = np.maximum(valve, 10.0 * (suction.superheated - DRIEST))
    valve = np.minimum(valve, 10.0 * (WETTEST - suction.wetness))
    inventory = _inventory(constants, suction, condensing, zone, liquid_share, quality, leaving)
    return Balance(
        heat,
        flow * suction.gas_heat,
        np.minimum(condenser_residual, over_limit),
        valve,
        np.maximum(inventory - constants.charge, signed - FULLEST),
        flow,
        flow * work,
        condensing.temperature + gas_superheat,
        zone.liquid_temperature,
    )


def _compress(
    kind: Kind, constants: Constants, suction: Suction, condensing: Condensing
) -> tuple[Array, Array]:
    """Mass flow [kg/s] and electrical work per mass of gas [J/kg]; liquid rides along and takes none."""
    sat = condensing.saturated
    log_ratio = sat.log_pressure - suction.inlet_log_pressure
    isentropic = _by_refrigerant(
        kind, "isentropic_enthalpy", condensing.root, suction.entropy - sat.vapour_entropy
    )
    work = sat.vapour_enthalpy + isentropic - suction.dry_enthalpy
    slope = constants.volumetric_slope
    flow = (
        volumetric_efficiency(condensing.pressure / suction.inlet_pressure, slope)
        * constants.displacement
        * suction.density
    )
    electrical = work / isentropic_efficiency(log_ratio, constants.efficiency, constants.peak_ratio)
    for i, one in enumerate(kind.maps):
        if one is not None:
            at = (..., i, slice(None))
            mapped = _mapped(kind.curves[i], one, suction, condensing, at)
            flow = np.broadcast_to(flow, log_ratio.shape).copy()
            electrical = np.broadcast_to(electrical, log_ratio.shape).copy()
            flow[at] = mapped[0] * constants.displacement[i] / (1.0 - suction.wetness[at])
            electrical[at] = mapped[1] * work[at] / constants.efficiency[i]
    return flow, electrical


def _mapped(
    curves: Curves,
    one: CompressorMap,
    suction: Suction,
    condensing: Condensing,
    at: tuple[EllipsisType, int, slice],
) -> tuple[Array, Array]:
    """Flow [kg/s] of a map at the actual superheat, and its electrical over its isentropic work."""
    inlet_dew = np.broadcast_to(suction.inlet_dew, condensing.temperature.shape)[at]
    flow, power = one.at(inlet_dew, condensing.temperature[at])
    usual = curves.vapour(inlet_dew, np.full_like(inlet_dew, one.superheat))
    above = usual.entropy - condensing.saturated.vapour_entropy[at]
    isentropic = curves.isentropic_enthalpy(condensing.root[at], above)
    usual_work = isentropic + condensing.saturated.vapour_enthalpy[at] - usual.enthalpy
    dry_density = suction.density[at] * (1.0 - suction.wetness[at])
    actual, _ = corrected(flow, power, dry_density / np.exp(usual.log_density), np.ones_like(flow))
    return actual, power / (flow * usual_work)


def _meter(
    kind: Kind,
    constants: Constants,
    suction: Suction,
    condensing: Condensing,
    flow: Array,
    leaving: Array,
    liquid: Array,
) -> Array:
    """Residual of the device."""
    orifice, sat = constants.orifice, condensing.saturated
    loss = constants.liquid_resistance * flow**2 / sat.liquid_density
    inlet = refrigerant_lines.liquid_line_outlet(condensing.pressure, loss)
    boiling = _by_refrigerant(kind, "bubble_temperature", np.log(inlet))
    latent = sat.vapour_enthalpy - sat.liquid_enthalpy
    at_inlet = sat.liquid_enthalpy - condensing.liquid_heat_capacity * (sat.bubble_temperature - boiling)
    flash = np.minimum(np.maximum((leaving - at_inlet) / latent, 0.0), 0.95)
    vapour = sat.vapour_density * inlet / condensing.pressure
    density = inlet_density(flash, sat.liquid_density, vapour)
    throat = condensing.pressure
    if np.any(orifice):
        throat = np.exp(_by_refrigerant(kind, "liquid_log_pressure", liquid))
    drop = driving_pressure(inlet, suction.pressure, throat, orifice)
    largest = constants.valve_area * density * drop
    square = (flow / constants.rated_flow) ** 2
    smallest = largest * constants.least_opening
    return valve_residual(suction.superheat, constants.superheat_set, largest, smallest, square, orifice)


def _inventory(
    constants: Constants,
    suction: Suction,
    condensing: Condensing,
    zone: condenser.Zones,
    liquid_share: Array,
    quality: Array,
    leaving: Array,
) -> Array:
    """Charge held by the circuit over the rated charge."""
    sat = condensing.saturated
    one = np.ones_like(quality)
    condensing_density = balance_terms.two_phase_density(
        one, quality, sat.liquid_density, sat.vapour_density, condensing.slip
    )
    in_condenser = (
        liquid_share * sat.liquid_density
        + zone.desuperheating * sat.vapour_density
        + zone.condensing * condensing_density
    )
    in_line = balance_terms.local_density(quality, sat.liquid_density, sat.vapour_density, condensing.slip)
    entering = np.clip((leaving - suction.liquid_enthalpy) / suction.latent_heat, 0.0, 0.98)
    boiling_density = balance_terms.two_phase_density(
        entering, 1.0 - suction.wetness, suction.liquid_density, suction.vapour_density, suction.slip
    )
    dry = suction.superheated
    in_evaporator = (1.0 - dry) * boiling_density + dry * suction.vapour_density
    return (
        constants.condenser_volume * in_condenser
        + constants.line_volume * in_line
        + constants.evaporator_volume * in_evaporator
        + constants.rest
    )


def balance(
    kind: Kind, constants: Constants, state: Array, air: Array, outdoor: Array
) -> tuple[Balance, Suction, Condensing]:
    """Circuit at a state (4, circuits, N) with entering air `air` and `outdoor` air [K], without slopes."""
    suction = suction_side(kind, constants, state[0], state[1], air)
    condensing = condensing_side(kind, constants, state[2])
    return combine(kind, constants, suction, condensing, state[2], state[3], outdoor), suction, condensing


def linearised(kind: Kind, constants: Constants, state: Array, air: Array, outdoor: Array) -> Linearised:
    """Circuit at a state and its finite differences, stacked: suction x 3, condensing x 2, the whole x 5.

    Parameters
    ----------
    kind, constants
    state : ndarray, shape (4, circuits, N)
    air, outdoor : ndarray, shape (N,)
        Air entering the coil and the condenser [K].
    """
    dew, signed, condensing, filled = state
    on_suction = suction_side(
        kind,
        constants,
        np.stack([dew, dew + STEPS[0], dew]),
        np.stack([signed, signed, signed + STEPS[1]]),
        air,
    )
    on_condensing = condensing_side(kind, constants, np.stack([condensing, condensing + STEPS[2]]))
    five = Suction(*(x[[0, 1, 2, 0, 0]] for x in (np.broadcast_to(y, (3, *dew.shape)) for y in on_suction)))
    pick = [0, 0, 0, 1, 0]
    saturated = SaturatedCondenser(*(x[pick] for x in on_condensing.saturated))
    air_five = condenser.AirSide(*(np.broadcast_to(x, (2, *dew.shape))[pick] for x in on_condensing.air))
    shifted = Condensing(
        on_condensing.temperature[pick],
        on_condensing.root[pick],
        saturated,
        on_condensing.liquid_heat_capacity[pick],
        air_five,
        on_condensing.pressure[pick],
        on_condensing.slip[pick],
    )
    unknown = np.stack([condensing, condensing, condensing, condensing + STEPS[2], condensing])
    filling = np.stack([filled, filled, filled, filled, filled + STEPS[3]])
    result = combine(kind, constants, five, shifted, unknown, filling, outdoor)
    slopes = tuple((x[1:] - x[0]) / STEPS[:, None, None] for x in result[:5])
    return Linearised(Balance(*(x[0] for x in result)), Suction(*(x[0] for x in five)), slopes)
