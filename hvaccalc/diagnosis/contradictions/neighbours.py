"""Readings of a condition against every picture that a unit, sound or with faults, makes of them.

Readings are compared as temperatures, a refrigerant pressure by its saturation, so that each typed reading
moves one of them. What model, rating and instruments leave open stands as a covariance; its tails are those
of Student's t.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import lgamma, pi

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.physics import moist_air
from hvaccalc.practice.circuits import FAULT_SPREAD, TAILS

Place = tuple[Where, str]


@dataclass(frozen=True, slots=True)
class Curve:
    """How the readings move with one thing of the weather; points (P,), moves (P, R) [K]."""

    points: Array
    moves: Array

    def at(self, value: float) -> Array:
        """Moves at a value, straight between the points and on beyond them."""
        i = int(np.clip(np.searchsorted(self.points, value) - 1, 0, self.points.size - 2))
        share = (value - self.points[i]) / (self.points[i + 1] - self.points[i])
        return np.asarray(self.moves[i] + share * (self.moves[i + 1] - self.moves[i]))


@dataclass(frozen=True)
class Neighbours:
    """The readings of a condition and what they would be; R readings, H hypotheses.

    Attributes
    ----------
    places : tuple of (Where, str)
        Of each reading.
    read : ndarray, shape (R,)
        As temperatures [K], pressures by their saturation.
    sound : ndarray, shape (R,)
        Of the sound unit at the weather it was solved for [K].
    moves : ndarray, shape (H, R)
        What each hypothesis adds to it [K]; the sound unit is the first.
    weights : ndarray, shape (H,)
        Natural logarithm of the hypotheses' probabilities.
    covariance : ndarray, shape (R, R)
        Of the sound unit's readings about `sound` [K2].
    outdoors, entering, moisture, flow : Curve
        Against outdoor and entering dry bulb [K], and humidity ratio and airflow over those solved for.
    humidity_ratio, barometer : float
        Of the entering air as solved [kg/kg], [Pa].
    flow_share : float
        Airflow as known over the solved one.
    air : str
        Name of the air that enters the coil: return or mixed.
    """

    places: tuple[Place, ...]
    read: Array
    sound: Array
    moves: Array
    weights: Array
    covariance: Array
    outdoors: Curve
    entering: Curve
    moisture: Curve
    flow: Curve
    humidity_ratio: float
    barometer: float
    flow_share: float
    air: str

    @cached_property
    def _precision(self) -> tuple[Array, Array]:
        """Inverse covariance and its log determinant by hypothesis: faults move more or less than solved."""
        spread = (FAULT_SPREAD * self.moves)[:, :, None] ** 2 * np.eye(len(self.read))
        whole = self.covariance + spread
        return np.asarray(np.linalg.inv(whole), float), np.asarray(np.linalg.slogdet(whole)[1], float)

    def under_weather(
        self, outdoor: float | None, dry_bulb: float | None, wet_bulb: float | None, share: float
    ) -> Array:
        """Moves of the readings by weather and share of the air (R,) [K].

        None where not read, NaN where it cannot be.
        """
        moved = self.flow.at(share) if share != 1.0 else np.zeros(len(self.read))
        if outdoor is not None:
            moved = moved + self.outdoors.at(outdoor)
        if dry_bulb is not None:
            moved = moved + self.entering.at(dry_bulb)
        if dry_bulb is not None and wet_bulb is not None:
            ratio = float(moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, self.barometer))
            moved = moved + self.moisture.at(ratio / self.humidity_ratio)
        return moved

    def held(self, read: Array) -> Held:
        """A set of readings (R,), weather taken off, against every hypothesis."""
        inverse, log_det = self._precision
        left = read - self.sound - self.moves
        pulls = np.einsum("hij,hj->hi", inverse, left)
        return Held(self, read, np.sum(left * pulls, axis=1), pulls, inverse, log_det)

    @property
    def best(self) -> float:
        """The most evidence that any set of readings can have."""
        return self.held(self.sound).evidence


@dataclass(frozen=True, slots=True)
class Held:
    """A set of readings against every hypothesis; evidence is a natural logarithm of probability density.

    Attributes
    ----------
    beside : Neighbours
    read : ndarray, shape (R,)
        [K]
    squares : ndarray, shape (H,)
        Squared distance, in standard deviations.
    pulls : ndarray, shape (H, R)
        Half the slope of it with each reading.
    inverse, log_det : ndarray, shapes (H, R, R) and (H,)
        Of the covariance of each hypothesis.
    """

    beside: Neighbours
    read: Array
    squares: Array
    pulls: Array
    inverse: Array
    log_det: Array

    @property
    def evidence(self) -> float:
        """Of the set as it is."""
        return float(_summed(self._log_density(self.squares, len(self.read), self.log_det)))

    def with_one(self, index: int, values: Array) -> Array:
        """Evidence with one reading at other values (K,) [K]."""
        step = (values - self.read[index])[:, None]
        squares = self.squares + step * (2.0 * self.pulls[:, index] + step * self.inverse[:, index, index])
        return _summed(self._log_density(squares, len(self.read), self.log_det))

    def without(self, index: int) -> tuple[float, float, float]:
        """Evidence of the others, and what they expect of one reading: middle and standard deviation [K]."""
        pull, precision = self.pulls[:, index], self.inverse[:, index, index]
        log_det = self.log_det + np.log(precision)
        others = self._log_density(self.squares - pull**2 / precision, len(self.read) - 1, log_det)
        share = np.exp(others - others.max())
        share /= share.sum()
        due = self.read[index] - pull / precision
        middle = float(share @ due)
        spread = float(np.sqrt(share @ (1.0 / precision + (due - middle) ** 2)))
        return float(_summed(others)), middle, spread

    def _log_density(self, squares: Array, count: int, log_det: Array) -> Array:
        """Student's t of several readings, with the weight of each hypothesis."""
        start = lgamma((TAILS + count) / 2.0) - lgamma(TAILS / 2.0) - count / 2.0 * np.log(TAILS * pi)
        far = (TAILS + count) / 2.0 * np.log1p(squares / TAILS)
        return np.asarray(start - log_det / 2.0 - far + self.beside.weights)


def _summed(logs: Array) -> Array:
    """Logarithm of the sum over the last axis."""
    top = logs.max(axis=-1, keepdims=True)
    return np.asarray(top[..., 0] + np.log(np.exp(logs - top).sum(axis=-1)))
