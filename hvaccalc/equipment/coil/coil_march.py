"""The march through a coil: heat and moisture segment by segment along the air path."""

from typing import NamedTuple

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.physics.moist_air import (
    CP_DRY,
    CP_ICE,
    CP_VAPOUR,
    CP_WATER,
    FREEZING_POINT,
    LATENT_HEAT_0C,
    RATIO,
    SUBLIMATION_HEAT,
)
from hvaccalc.physics.water_vapour import ICE, TRIPLE_POINT, WATER, log_pressure_and_slope

SEGMENTS = 8
# Five steps from the neighbour's tangent close energy to 0.1 % on every row of a wide box (four miss it on 4
# rows in 10,000). The count is the same for all, so that a row does not depend on the batch it is in.
INNER_STEPS = 5
MATCH_STEPS = 25
# Frost and water coexist over this half width, so that the heat of fusion is not a jump [K].
FREEZING_BLEND = 0.25
FUSION_HEAT = SUBLIMATION_HEAT - LATENT_HEAT_0C

Air = tuple[Array, Array, Array, Array]

Segment = tuple[Array, Array, Array, Array, Array, Array]
"""Air, its pressure, effectiveness, conductance per flow and the refrigerant."""

Surface = tuple[Array, Array, Array]
"""Temperature, saturation humidity ratio there and its slope."""


class March(NamedTuple):
    """One stream of air through the segments; `surface` and `air_humidity_ratio` are (segments, ...)."""

    dry_bulb: Array
    humidity_ratio: Array
    total: Array
    sensible: Array
    latent: Array
    condensate: Array
    condensate_enthalpy: Array
    surface: Array
    air_humidity_ratio: Array


@np.errstate(all="ignore")
def march(
    dry_bulb: Array,
    humidity_ratio: Array,
    pressure: Array,
    dry_air_flow: Array,
    ntu: Array,
    resistance: Array,
    refrigerant: Array,
    segments: int = SEGMENTS,
) -> March:
    """Lead air through the segments of a coil (or of a part of one), without any check of range.

    Parameters
    ----------
    dry_bulb, humidity_ratio, pressure, dry_air_flow : ndarray
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    ntu, resistance : ndarray
        Of the air film; from the refrigerant to the mean fin surface, infinite where idle [K/W].
    refrigerant : ndarray
        Saturation temperature; finite also where idle [K].
    segments : int
        Number of segments.

    Returns
    -------
    March
        Leaving air, heat by segment summed [W], condensate [kg/s] and its enthalpy [W].

    Notes
    -----
    The equation in the module's head. `total` is the refrigerant's side of it, so that an air-side balance
    tests the solution.
    """
    temperature, moisture = dry_bulb, humidity_ratio
    effectiveness = -np.expm1(-ntu / segments)
    conductance = 1.0 / (resistance * segments * dry_air_flow)
    anchor = (refrigerant, *saturation_and_slope(refrigerant, pressure))
    total = sensible = latent = condensate = drained = np.zeros(())
    surfaces, moistures = [], []
    for _ in range(segments):
        air = (temperature, moisture, pressure, effectiveness, conductance, refrigerant)
        surface, saturated, slope = anchor = surface_temperature(air, anchor)
        moistures.append(moisture)
        surfaces.append(surface)
        sensible_drop = effectiveness * (temperature - surface)
        condensed = effectiveness * np.maximum(0.0, moisture - saturated)
        total = total + dry_air_flow * conductance * (surface - refrigerant)
        sensible = sensible + dry_air_flow * (CP_DRY + CP_VAPOUR * moisture) * sensible_drop
        temperature, moisture = temperature - sensible_drop, moisture - condensed
        water = condensate_enthalpy(surface)[0]
        latent = latent + dry_air_flow * condensed * (vapour_enthalpy(temperature) - water)
        condensate = condensate + dry_air_flow * condensed
        drained = drained + dry_air_flow * condensed * water
    stacked = np.stack(np.broadcast_arrays(*surfaces)), np.stack(np.broadcast_arrays(*moistures))
    return March(temperature, moisture, total, sensible, latent, condensate, drained, *stacked)


def surface_temperature(air: Segment, anchor: Surface, steps: int = INNER_STEPS) -> Surface:
    """Mean surface temperature of a segment, with saturation humidity ratio and slope there.

    `anchor` is a surface temperature near by with the same two. Newton from the anchor's tangent, inside a
    bracket that shrinks by the sign of the residual: the jump of slope at freezing makes plain Newton cycle.
    A step below 1e-6 K is accepted even if it leaves the bracket.
    """
    temperature, moisture, pressure, effectiveness, conductance, refrigerant = air
    surface = anchor[0] + heat_balance_step(air, *anchor)[0]
    # Supersaturated air may hold its surface above its own temperature, by its excess of water.
    low = np.minimum(refrigerant, temperature)
    high = np.maximum(refrigerant, temperature) + 10.0
    surface = np.clip(surface, low, high)
    for _ in range(steps):
        step, residual = heat_balance_step(air, surface, *saturation_and_slope(surface, pressure))
        low, high = np.where(residual > 0.0, surface, low), np.where(residual > 0.0, high, surface)
        trial = surface + step
        accepted = ((trial > low) & (trial < high)) | (np.abs(step) < 1e-6)
        surface = np.where(accepted, trial, 0.5 * (low + high))
    return (surface, *saturation_and_slope(surface, pressure))


def heat_balance_step(air: Segment, surface: Array, saturated: Array, slope: Array) -> tuple[Array, Array]:
    """Newton step [K] and residual [J/kg dry air] of a segment's heat balance."""
    temperature, moisture, _, effectiveness, conductance, refrigerant = air
    leaving = temperature - effectiveness * (temperature - surface)
    condensate, condensate_slope = condensate_enthalpy(surface)
    heat_of_change = vapour_enthalpy(leaving) - condensate
    excess = moisture - saturated
    wet = excess > 0.0
    excess = np.where(wet, excess, 0.0)
    capacity = CP_DRY + CP_VAPOUR * moisture
    residual = effectiveness * (capacity * (temperature - surface) + excess * heat_of_change)
    residual = residual - conductance * (surface - refrigerant)
    fall = capacity + np.where(wet, slope * heat_of_change, 0.0)
    fall = effectiveness * (fall + excess * (condensate_slope - CP_VAPOUR * effectiveness)) + conductance
    return residual / fall, residual


def vapour_enthalpy(temperature: Array) -> Array:
    """Enthalpy of water vapour [J/kg], 0 for liquid at 0 °C."""
    return LATENT_HEAT_0C + CP_VAPOUR * (temperature - FREEZING_POINT)


def condensate_enthalpy(surface: Array) -> tuple[Array, Array | float]:
    """Enthalpy of water or frost at the surface [J/kg] and its slope [J/(kg K)], blended about 0 °C."""
    celsius = surface - FREEZING_POINT
    if np.all(celsius > FREEZING_BLEND):
        return CP_WATER * celsius, CP_WATER
    ice = np.minimum(np.maximum(0.5 - celsius / (2.0 * FREEZING_BLEND), 0.0), 1.0)
    difference = (CP_ICE - CP_WATER) * celsius - FUSION_HEAT
    ramp = np.where(np.abs(celsius) < FREEZING_BLEND, -0.5 / FREEZING_BLEND, 0.0)
    slope = CP_WATER + ice * (CP_ICE - CP_WATER) + ramp * difference
    return CP_WATER * celsius + ice * difference, slope


def saturation_and_slope(temperature: Array, pressure: Array) -> tuple[Array, Array]:
    """Saturation humidity ratio [kg/kg dry air] and its slope [1/K]; over ice up to the triple point."""
    log_pressure, slope = log_pressure_and_slope(WATER, temperature)
    icy = np.nonzero(temperature <= TRIPLE_POINT)
    if icy[0].size:
        log_pressure[icy], slope[icy] = log_pressure_and_slope(ICE, temperature[icy])
    vapour = np.exp(log_pressure)
    ratio = RATIO * vapour / (pressure - vapour)
    return ratio, ratio * slope * (1.0 + ratio / RATIO)
