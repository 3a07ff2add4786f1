"""The coil inside the unit: a superheated zone of every circuit, then boiling segments, with tangents.

The refrigerant leaves where the air enters. A circuit's superheated zone takes the share s of its fins; there
the air film, the fin and a poorer vapour film stand in series, the air hardly cools, and ::

    superheat = (Treturn - Te) (1 - exp(-k s))

in closed form, in the solver's unknowns Te and s. Behind it the march of `coil_march` goes over
the rest of the fins at the boiling temperature. Marching the superheated zone itself against the air would
make errors grow like exp(NTU).

Circuits on the same fins (interlaced) share one stream of air and act by their weighted mean; a face split
has a stream each; in a row split the air goes through one after the other.
"""

from typing import NamedTuple

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.equipment.coil.coil_march import (
    SEGMENTS,
    Air,
    Segment,
    Surface,
    condensate_enthalpy,
    heat_balance_step,
    saturation_and_slope,
    surface_temperature,
    vapour_enthalpy,
)
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR

Surfaces = tuple[Array, ...] | None
"""Of each stream by segment, to start from."""


class Stream(NamedTuple):
    """Air through boiling segments: mean surface, leaving air, their tangents, and what the fins look like.

    `mean_slope`, `dry_bulb_slope`, `humidity_slope` are (5, ...): against refrigerant temperature,
    conductance, transfer units, entering dry bulb, entering humidity ratio.
    """

    mean_surface: Array
    dry_bulb: Array
    humidity_ratio: Array
    mean_slope: Array
    dry_bulb_slope: Array
    humidity_slope: Array
    surface: Array
    condensate: Array
    condensate_enthalpy: Array


class Fins(NamedTuple):
    """Air over the coil and how it is calibrated; arrays (N,), `part` (circuits, N)."""

    dry_bulb: Array
    humidity_ratio: Array
    pressure: Array
    flow: Array
    ntu: Array
    resistance: Array
    part: Array


class Boiling(NamedTuple):
    """Heat boiled by each circuit (circuits, N) [W] and its slopes (circuits, circuits, 3, N).

    The slopes are against suction dew temperature, superheated share and heat of the superheated zone of each
    circuit. `streams` are kept for what is reported.
    """

    heat: Array
    slope: Array
    streams: tuple[Stream, ...]


def boil(
    air: Air,
    ntu: Array,
    conductance: Array,
    refrigerant: Array,
    segments: int = SEGMENTS,
    start: Array | None = None,
    settled: bool = True,
) -> Stream:
    """March air through boiling segments and carry the tangents along.

    Parameters
    ----------
    air : tuple of ndarray
        Entering dry bulb [K], humidity ratio [kg/kg], pressure [Pa], flow [kg/s dry air].
    ntu, conductance, refrigerant : ndarray
        Transfer units of the air film, refrigerant to mean fin surface [W/K], boiling temperature [K].
    segments : int
    start : ndarray, optional
        Surface temperatures (segments, ...) to start from; without, each segment starts from its neighbour.
    settled : bool
        Solve each segment to the end, bracketed; else take a few Newton steps.

    Returns
    -------
    Stream

    Notes
    -----
    The tangent of a segment is the implicit derivative of its heat balance F(Ts; T, W, Tref, e, c) = 0.
    """
    temperature, moisture, pressure, flow = air
    fraction = np.exp(-ntu / segments)
    effectiveness, effectiveness_slope = 1.0 - fraction, fraction / segments
    per_mass = 1.0 / (segments * flow)
    share = conductance * per_mass
    shape = np.broadcast(temperature, ntu, refrigerant).shape
    temperature_slope, moisture_slope = np.zeros((2, 5, *shape))
    temperature_slope[3], moisture_slope[4] = 1.0, 1.0
    anchor = (refrigerant, *saturation_and_slope(refrigerant, pressure))
    mean, mean_slope = np.zeros(shape), np.zeros((5, *shape))
    surfaces, condensate, drained = [], np.zeros(shape), np.zeros(shape)
    for i in range(segments):
        segment = (temperature, moisture, pressure, effectiveness, share, refrigerant)
        if settled:
            anchor = surface_temperature(segment, anchor)
        else:
            anchor = _nearly(segment, anchor, None if start is None else start[i])
        surface, saturated, slope = anchor
        surfaces.append(surface)
        surface_slope, wet, excess, enthalpy = _surface_slope(
            segment, anchor, temperature_slope, moisture_slope, effectiveness_slope, per_mass
        )
        drop = temperature - surface
        temperature_slope = (1.0 - effectiveness) * temperature_slope + effectiveness * surface_slope
        temperature_slope[2] -= drop * effectiveness_slope
        kept = effectiveness * wet
        moisture_slope = (1.0 - kept) * moisture_slope + kept * slope * surface_slope
        moisture_slope[2] -= excess * effectiveness_slope
        water = effectiveness * excess
        temperature, moisture = temperature - effectiveness * drop, moisture - water
        mean, mean_slope = mean + surface, mean_slope + surface_slope
        condensate = condensate + water
        drained = drained + water * enthalpy
    return Stream(
        mean / segments,
        temperature,
        moisture,
        mean_slope / segments,
        temperature_slope,
        moisture_slope,
        np.stack(surfaces),
        condensate * flow,
        drained * flow,
    )


def _nearly(segment: Segment, anchor: Surface, start: Array | None) -> Surface:
    """A segment's surface by a plain step or two, with saturation there.

    From an earlier surface one step, and saturation along its tangent: as the outer iteration settles, so do
    both. From the neighbour, a step more.
    """
    temperature, _, pressure, _, _, refrigerant = segment
    low, high = np.minimum(refrigerant, temperature), np.maximum(refrigerant, temperature) + 10.0
    if start is None:
        start = anchor[0] + heat_balance_step(segment, *anchor)[0]
    surface = np.minimum(np.maximum(start, low), high)
    saturated, slope = saturation_and_slope(surface, pressure)
    step, _ = heat_balance_step(segment, surface, saturated, slope)
    settled = np.minimum(np.maximum(surface + step, low), high)
    return settled, saturated + slope * (settled - surface), slope


def _surface_slope(
    segment: Segment,
    solved: Surface,
    temperature_slope: Array,
    moisture_slope: Array,
    effectiveness_slope: Array,
    per_mass: Array,
) -> tuple[Array, Array, Array, Array]:
    """Tangent of a segment's surface (5, ...), where it is wet (0 or 1), its excess of moisture, and the
    enthalpy of condensate there."""
    temperature, moisture, _, effectiveness, share, refrigerant = segment
    surface, saturated, slope = solved
    drop, excess = temperature - surface, moisture - saturated
    wet = (excess > 0.0).astype(float)
    excess = excess * wet
    condensate, condensate_slope = condensate_enthalpy(surface)
    heat_of_change = vapour_enthalpy(temperature - effectiveness * drop) - condensate
    capacity = CP_DRY + CP_VAPOUR * moisture
    fall = effectiveness * (
        capacity + wet * slope * heat_of_change + excess * (condensate_slope - CP_VAPOUR * effectiveness)
    )
    inverse = 1.0 / (fall + share)
    by_temperature = effectiveness * (capacity + excess * CP_VAPOUR * (1.0 - effectiveness)) * inverse
    by_moisture = effectiveness * (CP_VAPOUR * drop + wet * heat_of_change) * inverse
    result = by_temperature * temperature_slope + by_moisture * moisture_slope
    result[0] += share * inverse
    result[1] += (refrigerant - surface) * per_mass * inverse
    by_effectiveness = drop * (capacity - effectiveness * excess * CP_VAPOUR) + excess * heat_of_change
    result[2] += by_effectiveness * effectiveness_slope * inverse
    return result, wet, excess, condensate


def boiling_heat(
    layout: str, fins: Fins, suction: Array, share: Array, superheating: Array, start: Surfaces = None
) -> Boiling:
    """Heat that each running circuit boils with.

    Parameters
    ----------
    layout : str
        One of `coil.CIRCUITINGS`.
    fins : Fins
    suction, share, superheating : ndarray, shape (circuits, N)
        Dew temperature in the coil [K], superheated share of the circuit's fins 0-1, heat taken up there [W].
    start : tuple of ndarray, optional
        None: settle every segment. Else a few steps from these surface temperatures of each stream; empty:
        from the neighbouring segment's.

    Returns
    -------
    Boiling
    """
    return _LAYOUT[layout](fins, suction, share, superheating, start)


def _air_capacity(flow: Array, moisture: Array) -> Array:
    return flow * (CP_DRY + CP_VAPOUR * moisture)


def _interlaced(fins: Fins, suction: Array, share: Array, superheating: Array, start: Surfaces) -> Boiling:
    """One stream; the refrigerant acts by its mean, weighted with the conductances."""
    weight = fins.part / fins.part.sum(axis=0)
    full = fins.part / fins.resistance
    own = full * (1.0 - share)
    together = own.sum(axis=0)
    mean = (own * suction).sum(axis=0) / together
    ntu = fins.ntu * (1.0 - (weight * share).sum(axis=0))
    capacity = _air_capacity(fins.flow, fins.humidity_ratio)
    entering = fins.dry_bulb - superheating.sum(axis=0) / capacity
    air = (entering, fins.humidity_ratio, fins.pressure, fins.flow)
    stream = boil(air, ntu, together, mean, SEGMENTS, start[0] if start else None, start is None)
    d_mean, d_conductance, d_ntu, d_entering, _ = stream.mean_slope
    count = len(suction)
    slope = np.zeros((count, count, 3, suction.shape[1]))
    for j in range(count):
        towards = d_mean * (suction[j] - mean) / together + d_conductance
        slope[:, j, 0] = own * (d_mean * own[j] / together)
        slope[:, j, 1] = own * (-full[j] * towards - fins.ntu * weight[j] * d_ntu)
        slope[:, j, 2] = own * (-d_entering / capacity)
        slope[j, j, 0] -= own[j]
        slope[j, j, 1] -= full[j] * (stream.mean_surface - suction[j])
    return Boiling(own * (stream.mean_surface - suction), slope, (stream,))


def _face_split(fins: Fins, suction: Array, share: Array, superheating: Array, start: Surfaces) -> Boiling:
    """A stream for each circuit, in proportion to its share of the face."""
    flow = fins.flow * fins.part
    capacity = _air_capacity(flow, fins.humidity_ratio)
    air = (fins.dry_bulb - superheating / capacity, fins.humidity_ratio, fins.pressure, flow)
    dry_bulb, moisture, pressure, flow = (np.broadcast_to(x, suction.shape) for x in air)
    full = fins.part / fins.resistance
    own, ntu = full * (1.0 - share), fins.ntu * (1.0 - share)
    wide = (dry_bulb, moisture, pressure, flow)
    stream = boil(wide, ntu, own, suction, SEGMENTS, start[0] if start else None, start is None)
    d_mean, d_conductance, d_ntu, d_entering, _ = stream.mean_slope
    drive = stream.mean_surface - suction
    slope = np.zeros((len(suction), len(suction), 3, suction.shape[1]))
    for j in range(len(suction)):
        slope[j, j, 0] = own[j] * (d_mean[j] - 1.0)
        towards = -full[j] * d_conductance[j] - fins.ntu * d_ntu[j]
        slope[j, j, 1] = own[j] * towards - full[j] * drive[j]
        slope[j, j, 2] = -own[j] * d_entering[j] / capacity[j]
    return Boiling(own * drive, slope, (stream,))


def _row_split(
    fins: Fins, suction: Array, share: Array, superheating: Array, start: Surfaces, order: int = 1
) -> Boiling:
    """The same air through one circuit after the other; together they have the segments of one coil."""
    count = len(suction)
    segments = max(1, SEGMENTS // count)
    full = fins.part / fins.resistance
    own = full * (1.0 - share)
    heat = np.empty_like(suction)
    slope = np.zeros((count, count, 3, suction.shape[1]))
    dry_bulb, moisture = fins.dry_bulb, fins.humidity_ratio
    d_dry_bulb, d_moisture = np.zeros((2, count, 3, suction.shape[1]))
    streams: dict[int, Stream] = {}
    for i in range(count)[::order]:
        capacity = _air_capacity(fins.flow, moisture)
        cooled = superheating[i] / capacity
        air = (dry_bulb - cooled, moisture, fins.pressure, fins.flow)
        ntu = fins.ntu * fins.part[i] * (1.0 - share[i])
        stream = boil(air, ntu, own[i], suction[i], segments, start[i] if start else None, start is None)
        streams[i] = stream
        dry_bulb, moisture = stream.dry_bulb, stream.humidity_ratio
        seed = np.zeros((5, count, 3, suction.shape[1]))
        seed[0, i, 0] = 1.0
        seed[1, i, 1], seed[2, i, 1] = -full[i], -fins.ntu * fins.part[i]
        seed[3], seed[4] = d_dry_bulb + cooled * fins.flow * CP_VAPOUR / capacity * d_moisture, d_moisture
        seed[3, i, 2] -= 1.0 / capacity
        heat[i] = own[i] * (stream.mean_surface - suction[i])
        slope[i] = own[i] * np.einsum("kn,kjvn->jvn", stream.mean_slope, seed)
        slope[i, i, 0] -= own[i]
        slope[i, i, 1] -= full[i] * (stream.mean_surface - suction[i])
        d_dry_bulb = np.einsum("kn,kjvn->jvn", stream.dry_bulb_slope, seed)
        d_moisture = np.einsum("kn,kjvn->jvn", stream.humidity_slope, seed)
    return Boiling(heat, slope, tuple(streams[i] for i in range(count)))


def _row_split_reversed(
    fins: Fins, suction: Array, share: Array, superheating: Array, start: Surfaces
) -> Boiling:
    """The last circuit listed meets the entering air."""
    return _row_split(fins, suction, share, superheating, start, -1)


_LAYOUT = {
    "interlaced": _interlaced,
    "face split": _face_split,
    "row split": _row_split,
    "row split, reversed": _row_split_reversed,
}
