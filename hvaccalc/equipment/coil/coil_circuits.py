"""A calibrated coil at any air and any refrigerant temperatures, by how its circuits lie."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.coil.coil_march import SEGMENTS, Air, march
from hvaccalc.equipment.coil.coil_state import (
    HIGHEST,
    LOWEST,
    NOT_IN_RANGE,
    Coil,
    CoilState,
    air_reason,
    first_reason,
)
from hvaccalc.physics.moist_air import CP_DRY, CP_VAPOUR, FREEZING_POINT, enthalpy, saturation_humidity_ratio


class _Fins(NamedTuple):
    """Mixed leaving air, and by circuit: surface and the air's humidity ratio (circuits, segments, N)."""

    dry_bulb: Array
    humidity_ratio: Array
    sensible: Array
    latent: Array
    condensate: Array
    condensate_enthalpy: Array
    surface: Array
    air_humidity_ratio: Array


@np.errstate(all="ignore")
def solve(
    coil: Coil,
    dry_bulb: ArrayLike,
    humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dry_air_flow: ArrayLike,
    saturation: Sequence[ArrayLike],
    share: Sequence[ArrayLike],
    circuiting: str = "interlaced",
) -> CoilState:
    """State of a calibrated coil at any air and any refrigerant temperatures.

    Parameters
    ----------
    coil : Coil
        From `calibrate`.
    dry_bulb, humidity_ratio, pressure, dry_air_flow : array_like
        Entering air [K], [kg/kg dry air], total [Pa], [kg/s dry air].
    saturation : sequence of array_like
        Refrigerant saturation of each circuit at the coil [K]; NaN where the circuit does not run.
    share : sequence of array_like
        Each circuit's share of the coil, summing to 1.
    circuiting : str
        "interlaced": every circuit reaches all fins, an idle one leaves them to the others. "face split":
        each has its share of face and air, and air passes an idle one unchanged. "row split": air meets the
        circuits in the order listed, or from the last to the first ("row split, reversed").

    Returns
    -------
    CoilState
        NaN with a reason in rows without airflow, outside 223-353 K or with an uncalibrated coil.

    Raises
    ------
    ValueError
        Unknown circuiting, or not one share for each saturation.

    Notes
    -----
    The air film follows airflow to the coil's film exponent, so transfer units go as flow^(exponent - 1).
    Inside film and fin conduction of a circuit are those of the whole coil divided by its share.
    """
    if circuiting not in CIRCUITINGS:
        raise ValueError(f"circuiting {circuiting!r}: one of {', '.join(CIRCUITINGS)}")
    count = len(saturation)
    if len(share) != count:
        raise ValueError(f"{len(share)} shares for {count} circuits")
    inputs = (dry_bulb, humidity_ratio, pressure, dry_air_flow, coil.ntu, *saturation, *share)
    arrays = np.broadcast_arrays(*(np.atleast_1d(np.asarray(x, float)) for x in inputs))
    temperature, moisture, total_pressure, flow = arrays[:4]
    refrigerant, part = np.stack(arrays[5 : 5 + count]), np.stack(arrays[5 + count :])
    running = ~np.isnan(refrigerant)
    impossible = running & ~((refrigerant > LOWEST) & (refrigerant < HIGHEST)) | ~(part > 0.0)
    reason = np.where(coil.reason != 0, coil.reason, air_reason(temperature, moisture, total_pressure, flow))
    unfit = impossible.any(axis=0) | (np.abs(part.sum(axis=0) - 1.0) > 1e-6)
    reason = first_reason(reason, unfit, NOT_IN_RANGE)
    ntu = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0)
    conductance = np.where(running, part / coil.resistance, 0.0)
    refrigerant = np.where(running, refrigerant, temperature)
    air = (temperature, moisture, total_pressure, flow)
    fins = _LAYOUT[circuiting](air, ntu, conductance, refrigerant, part)
    fin_part = coil.fin_resistance / coil.resistance
    return _state(air, fins, conductance, refrigerant, part, fin_part, reason)


def _interlaced(air: Air, ntu: Array, conductance: Array, refrigerant: Array, part: Array) -> _Fins:
    """All circuits under the same fins: conductances add, the refrigerant acts by their weighted mean."""
    together = conductance.sum(axis=0)
    mean = np.where(together > 0.0, (conductance * refrigerant).sum(axis=0) / together, air[0])
    run = march(*air, ntu, 1.0 / together, mean)
    shape = (len(conductance), *run.surface.shape)
    by_circuit = np.broadcast_to(run.surface, shape), np.broadcast_to(run.air_humidity_ratio, shape)
    return _Fins(*run[:2], *run[3:7], *by_circuit)


def _face_split(air: Air, ntu: Array, conductance: Array, refrigerant: Array, part: Array) -> _Fins:
    """Parallel streams, mixed by their enthalpy."""
    dry_bulb, moisture, pressure, flow = air
    run = march(dry_bulb, moisture, pressure, flow * part, ntu, 1.0 / conductance, refrigerant)
    capacity = part * (CP_DRY + CP_VAPOUR * run.humidity_ratio)
    mixed = (capacity * run.dry_bulb).sum(axis=0) / capacity.sum(axis=0)
    summed = (x.sum(axis=0) for x in run[3:7])
    by_circuit = (np.swapaxes(x, 0, 1) for x in run[7:])
    return _Fins(mixed, (part * run.humidity_ratio).sum(axis=0), *summed, *by_circuit)


def _row_split(air: Air, ntu: Array, conductance: Array, refrigerant: Array, part: Array) -> _Fins:
    """The same air through one circuit after the other; together they have the segments of one coil."""
    segments = max(1, SEGMENTS // len(part))
    dry_bulb, moisture, pressure, flow = air
    runs = []
    for share, own, saturation in zip(part, conductance, refrigerant, strict=True):
        run = march(dry_bulb, moisture, pressure, flow, ntu * share, 1.0 / own, saturation, segments)
        dry_bulb, moisture = run.dry_bulb, run.humidity_ratio
        runs.append(run)
    summed = (np.sum([run[field] for run in runs], axis=0) for field in (3, 4, 5, 6))
    by_circuit = (np.stack([run[field] for run in runs]) for field in (7, 8))
    return _Fins(dry_bulb, moisture, *summed, *by_circuit)


def _row_split_reversed(air: Air, ntu: Array, *by_circuit: Array) -> _Fins:
    """The last circuit listed meets the entering air."""
    fins = _row_split(air, ntu, *(x[::-1] for x in by_circuit))
    return fins._replace(surface=fins.surface[::-1], air_humidity_ratio=fins.air_humidity_ratio[::-1])


_LAYOUT: dict[str, Callable[..., _Fins]] = {
    "interlaced": _interlaced,
    "face split": _face_split,
    "row split": _row_split,
    "row split, reversed": _row_split_reversed,
}
CIRCUITINGS = tuple(_LAYOUT)


def _state(
    air: Air,
    fins: _Fins,
    conductance: Array,
    refrigerant: Array,
    part: Array,
    fin_part: Array,
    reason: Indices,
) -> CoilState:
    """Heat by circuit, roots and shares from the temperatures of the fins, each circuit's by its share."""
    dry_bulb, moisture, pressure, flow = air
    running = conductance > 0.0
    drive = fins.surface - refrigerant[:, None]
    circuit_total = (conductance[:, None] * drive).mean(axis=1)
    total = circuit_total.sum(axis=0)
    root = np.where(running[:, None], fins.surface - fin_part * drive, fins.surface)
    coldest, surface = root.min(axis=1), fins.surface.min(axis=(0, 1))
    frosted = (root < FREEZING_POINT) & _condenses(root, fins.air_humidity_ratio, pressure)
    air_side = flow * (enthalpy(dry_bulb, moisture) - enthalpy(fins.dry_bulb, fins.humidity_ratio))
    imbalance = air_side - fins.condensate_enthalpy - total
    fields = {
        "leaving_dry_bulb": fins.dry_bulb,
        "leaving_humidity_ratio": fins.humidity_ratio,
        "total": total,
        "sensible": fins.sensible,
        "latent": fins.latent,
        "circuit_total": circuit_total,
        "condensate": fins.condensate,
        "surface": surface,
        "root": np.where(running, coldest, np.nan),
        "coldest_root": np.minimum(coldest.min(axis=0), surface),
        "wet_share": _share(part, _condenses(fins.surface, fins.air_humidity_ratio, pressure)),
        "frosted_share": _share(part, frosted),
        "energy_residual": imbalance / np.maximum(np.abs(total), 0.1 * flow * CP_DRY),
    }
    return CoilState(**{name: np.where(reason == 0, x, np.nan) for name, x in fields.items()}, reason=reason)


def _condenses(metal: Array, air_humidity_ratio: Array, pressure: Array) -> Mask:
    return air_humidity_ratio > saturation_humidity_ratio(metal, pressure)


def _share(part: Array, where: Mask) -> Array:
    return (part * where.mean(axis=1)).sum(axis=0)
