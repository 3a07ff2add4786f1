"""The calibrated unit: coil, circuits and outdoor air in balance at any conditions and faults.

>>> from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, UnitRating
>>> rating = UnitRating(70.3e3, 0.72, 4.53, 3.2e3, 299.8, 0.0112, 101325.0, 308.15, 280.4,
...                     circuits=(Circuit(), Circuit()))
>>> unit = UnitModel.from_rating(rating)
>>> state = unit.solve(Conditions(299.8, 0.0112, 101325.0, 308.15, 4.53))
>>> round(float(state.total_capacity) / 1e3, 1), bool(state.converged)
(70.3, True)

`fitted` makes a unit repeat measured states: least squares on its constants. Each constant moves against a
prior, so that one condition with gauges already says something and nothing that was not measured runs away.
Weights are the bands of the readings and of the model together.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices
from hvaccalc.equipment.unit import unit_solution
from hvaccalc.equipment.unit.unit_calibration import from_rating
from hvaccalc.equipment.unit.unit_state import (
    CIRCUIT_FIELDS,
    Conditions,
    Faults,
    UnitConstants,
    UnitRating,
    UnitStates,
)

COIL_PRIOR = {"ntu": 0.3, "resistance": 0.4}
"""Standard deviation of ln of the coil's constants."""

CIRCUIT_PRIOR = {
    "displacement": 0.15,
    "efficiency": 0.15,
    "volumetric_slope": 0.8,
    "peak_ratio": 0.3,
    "air_capacity": 0.3,
    "charge": 0.15,
}
"""Standard deviation of ln of a circuit's constants; that of the superheat held is `SUPERHEAT_PRIOR`."""

SUPERHEAT_PRIOR = 3.0
ABSOLUTE_SD = {
    "suction_saturation": 0.3,
    "condensing_saturation": 0.3,
    "superheat": 0.6,
    "subcooling": 0.6,
    "discharge_temperature": 3.0,
    "supply_dry_bulb": 0.35,
    "supply_humidity_ratio": 2e-4,
}
"""Default standard deviations of reading and model together [K], [kg/kg]."""

RELATIVE_SD = {
    "refrigerant_mass_flow": 0.015,
    "compressor_power": 0.015,
    "total_capacity": 0.025,
    "sensible_capacity": 0.025,
}
"""The same as a share of the reading."""

ITERATIONS = 12
STEP = 1e-2
NEW_SLOPES = (0, 1, 3, 6)
REFUSED = 5.0
# Steps in standard deviations of the prior; a damping beyond which no step helps.
SMALL, HOPELESS = 1e-2, 1e4


@dataclass(frozen=True)
class Measured:
    """Measured states; NaN or left out where not read.

    Attributes
    ----------
    conditions : Conditions
        Of M measurements: arrays (M,), or (M, D) where they are drawn.
    readings : dict
        By name of a field of `UnitStates`: arrays (M,) or (M, D), those of circuits with the circuit first.
    sd : dict
        Standard deviations that replace the default ones, in the unit of the field; of relative fields a
        share.
    faults : Faults
        Known to be there while measuring.
    """

    conditions: Conditions
    readings: dict[str, ArrayLike]
    sd: dict[str, float] = field(default_factory=dict)
    faults: Faults = field(default_factory=Faults)


def fitted(unit: UnitConstants, measured: Measured) -> UnitConstants:
    """Constants of the unit that repeats measured states best.

    Parameters
    ----------
    unit : UnitConstants
        Where to start from; draws (D,) are fitted together, each by itself.
    measured : Measured

    Returns
    -------
    UnitConstants

    Raises
    ------
    ValueError
        A reading that no state has.

    Notes
    -----
    Levenberg-Marquardt with finite differences, slopes kept for some steps: all conditions, draws and shifted
    constants are solved in one batch, and a draw that has settled leaves it. A condition which the unit
    refuses counts as five standard deviations.
    """
    unknown = sorted(set(measured.readings) - set(ABSOLUTE_SD) - set(RELATIVE_SD))
    if unknown:
        raise ValueError(f"no such reading of a unit: {', '.join(unknown)}")
    prior = _prior(len(unit.kind.curves))
    best = np.zeros((prior.size, unit.reason.size))
    damping = np.full(unit.reason.size, 1e-3)
    going = np.flatnonzero(unit.reason == 0)
    error, jacobian = _errors_and_slopes(unit.take(going), _of_draws(measured, going), best[:, going], prior)
    for iteration in range(ITERATIONS):
        before = best[:, going]
        step = _step(error, jacobian, before, damping[going])
        own = unit.take(going), _of_draws(measured, going), before + step, prior
        if iteration in NEW_SLOPES:
            new_error, new_jacobian = _errors_and_slopes(*own)
        else:
            new_error, new_jacobian = _errors_at(*own)[:, 0], jacobian
        better = _cost(new_error, before + step) < _cost(error, before)
        best[:, going] = np.where(better, before + step, before)
        error = np.where(better, new_error, error)
        jacobian = np.where(better, new_jacobian, jacobian)
        damping[going] *= np.where(better, 0.3, 10.0)
        keep = (np.abs(step).max(axis=0) > SMALL) & (damping[going] < HOPELESS)
        going, error, jacobian = going[keep], error[:, keep], jacobian[..., keep]
        if going.size == 0:
            break
    return _moved(unit, best * prior[:, None])


def _of_draws(measured: Measured, draws: Indices) -> Measured:
    """Measured states of some draws; what is not drawn stays as it is."""

    def some(value: Any, lead: int) -> Any:
        array = None if value is None else np.asarray(value)
        return value if array is None or array.ndim <= lead or array.shape[-1] == 1 else array[..., draws]

    conditions = {n: some(v, 2 if n == "running" else 1) for n, v in vars(measured.conditions).items()}
    readings = {n: some(v, 2 if n in CIRCUIT_FIELDS else 1) for n, v in measured.readings.items()}
    return replace(measured, conditions=Conditions(**conditions), readings=readings)


def _prior(circuits: int) -> Array:
    own = np.array([*CIRCUIT_PRIOR.values(), SUPERHEAT_PRIOR])
    return np.concatenate([list(COIL_PRIOR.values()), np.tile(own, circuits)])


def _moved(unit: UnitConstants, change: Array) -> UnitConstants:
    """A unit with its constants changed by (parameters, D)."""
    ntu, resistance = np.exp(change[:2])
    coil = replace(
        unit.coil,
        ntu=unit.coil.ntu * ntu,
        resistance=unit.coil.resistance * resistance,
        fin_resistance=unit.coil.fin_resistance * resistance,
    )
    own = change[2:].reshape(len(unit.kind.curves), -1, change.shape[1]).swapaxes(0, 1)
    factors = dict(zip(CIRCUIT_PRIOR, np.exp(own[:-1]), strict=True))
    circuits = replace(
        unit.circuits,
        superheat_set=np.maximum(unit.circuits.superheat_set + own[-1], 0.6),
        **{name: getattr(unit.circuits, name) * factor for name, factor in factors.items()},
    )
    return replace(unit, coil=coil, circuits=circuits)


def _errors_and_slopes(
    unit: UnitConstants, measured: Measured, scaled: Array, prior: Array
) -> tuple[Array, Array]:
    """Errors over their standard deviations (R, D), and slopes against scaled parameters (R, P, D)."""
    shifts = np.concatenate([np.zeros((1, len(scaled))), np.eye(len(scaled)) * STEP])
    errors = _errors_at(unit, measured, scaled, prior, shifts)
    slopes = (errors[:, 1:] - errors[:, :1]) / STEP
    return errors[:, 0], np.where(np.abs(slopes) < 1e3, slopes, 0.0)


def _errors_at(
    unit: UnitConstants, measured: Measured, scaled: Array, prior: Array, shifts: Array | None = None
) -> Array:
    """Errors (R, copies, D) at parameters (P, D) and at copies of them shifted by (copies, P)."""
    count, draws = scaled.shape
    moves = np.zeros((1, count)) if shifts is None else shifts
    copies = len(moves)
    many = (scaled[:, None, :] + moves.T[:, :, None]).reshape(count, -1)
    expanded = _moved(unit.take(np.tile(np.arange(draws), copies)), many * prior[:, None])
    states = unit_solution.solve(expanded, _tiled(measured.conditions, copies, draws), measured.faults)
    return _errors(states, measured, copies, draws)


def _tiled(conditions: Conditions, copies: int, draws: int) -> Conditions:
    """Conditions (M,) or (M, D) against constants (copies D,)."""
    columns = {}
    for name, value in vars(conditions).items():
        if name == "running":
            columns[name] = value if value is None or np.ndim(value) < 2 else np.asarray(value)[..., None]
        elif value is not None:
            array = np.atleast_1d(np.asarray(value, float))
            wide = np.broadcast_to(array[:, None] if array.ndim == 1 else array, (array.shape[0], draws))
            columns[name] = np.tile(wide, (1, copies))
    return Conditions(**columns)


def _errors(states: UnitStates, measured: Measured, copies: int, draws: int) -> Array:
    """(readings, copies, D); 0 where nothing was read."""
    rows = []
    for name, reading in measured.readings.items():
        model = getattr(states, name)
        array = np.asarray(reading, float)
        lead = 2 if name in CIRCUIT_FIELDS else 1
        read = array[..., None] if array.ndim == lead else array
        read = np.tile(np.broadcast_to(read, (*read.shape[:-1], draws)), copies)
        sd = measured.sd.get(name, ABSOLUTE_SD.get(name, RELATIVE_SD.get(name)))
        scale = np.abs(read) * sd if name in RELATIVE_SD else sd
        error = (model - read) / scale
        error = np.where(np.isnan(model) & ~np.isnan(read), REFUSED, np.nan_to_num(error))
        rows.append(error.reshape(-1, copies, draws))
    return np.concatenate(rows)


def _cost(error: Array, scaled: Array) -> Array:
    return (error**2).sum(axis=0) + (scaled**2).sum(axis=0)


def _step(error: Array, jacobian: Array, scaled: Array, damping: Array) -> Array:
    """Damped least-squares step with the prior, (P, D)."""
    normal = np.einsum("rpd,rqd->dpq", jacobian, jacobian)
    identity = np.eye(len(scaled))
    normal = normal + identity + identity * (damping[:, None] * np.einsum("dpp->dp", normal))[:, None, :]
    gradient = np.einsum("rpd,rd->dp", jacobian, error) + scaled.T
    return np.clip(-np.linalg.solve(normal, gradient[..., None])[..., 0].T, -1.0, 1.0)


__all__ = ["UnitModel"]


@dataclass(frozen=True)
class UnitModel:
    """A unit ready to be asked what happens if; one unit, or a draw of units (D,).

    Attributes
    ----------
    constants : UnitConstants
    """

    constants: UnitConstants

    @classmethod
    def from_rating(cls, rating: UnitRating) -> UnitModel:
        """The unit that has a rating; ValueError names an unknown word."""
        return cls(from_rating(rating))

    def solve(self, conditions: Conditions, faults: Faults | None = None) -> UnitStates:
        """States at conditions with faults.

        Parameters
        ----------
        conditions : Conditions
            Broadcast with each other and with the draws.
        faults : Faults, optional
            None: sound.

        Returns
        -------
        UnitStates
            Every row converged or refused with a reason.
        """
        return unit_solution.solve(self.constants, conditions, faults or Faults())

    def recalibrate(self, measured: Measured) -> UnitModel:
        """The unit that best repeats measured states, starting from this one; see `fitted`."""
        return replace(self, constants=fitted(self.constants, measured))
