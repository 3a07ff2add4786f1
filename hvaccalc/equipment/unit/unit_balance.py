"""All running circuits on one coil: residuals and Jacobian of the whole unit for `solver`."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from hvaccalc.equipment.circuit.circuit_balance import LIMIT_SCALE, linearised
from hvaccalc.equipment.circuit.circuit_state import Constants, Kind, Linearised
from hvaccalc.equipment.coil.evaporator import Boiling, Fins, boiling_heat


@dataclass(frozen=True)
class UnitBalance:
    """Rows with the same circuits running.

    Attributes
    ----------
    kind : Kind
    constants : Constants
        Arrays (circuits, N).
    fins : Fins
    layout : str
        Circuiting.
    outdoor : ndarray
        Air entering the condensers, (N,) [K].

    Notes
    -----
    A segment of the coil takes a step or two at each evaluation, from where it was at the one before.
    """

    kind: Kind
    constants: Constants
    fins: Fins
    layout: str
    outdoor: np.ndarray
    memory: dict = field(default_factory=dict)

    def take(self, rows: np.ndarray) -> UnitBalance:
        """Some rows."""
        everyone = list(range(len(self.kind.curves)))
        fins = Fins(*(x[..., rows] for x in self.fins))
        surfaces = self.memory.get("surfaces")
        return replace(
            self,
            constants=self.constants.take(everyone, rows),
            fins=fins,
            outdoor=self.outdoor[rows],
            memory={} if surfaces is None else {"surfaces": tuple(x[..., rows] for x in surfaces)},
        )

    def evaluate(self, flat: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residuals (4 circuits, N) and Jacobian (N, 4 circuits, 4 circuits) at a state (4 circuits, N)."""
        count = len(self.kind.curves)
        state = flat.reshape(4, count, -1)
        circuits, boiling = self.parts(state)
        residual = np.empty_like(state)
        jacobian = np.zeros((4, count, 4, count, state.shape[2]))
        residual[0] = self._heat(state, circuits, boiling, jacobian)
        local = circuits.base[2:5]
        for equation in (1, 2, 3):
            residual[equation] = local[equation - 1]
            for i in range(count):
                jacobian[equation, i, :, i] = circuits.slopes[equation + 1][:, i]
        size = 4 * count
        matrix = jacobian.reshape(size, size, -1).transpose(2, 0, 1)
        return residual.reshape(size, -1), np.ascontiguousarray(matrix)

    def parts(self, state: np.ndarray) -> tuple[Linearised, Boiling]:
        """Circuits and coil at a state (4, circuits, N)."""
        circuits = linearised(self.kind, self.constants, state, self.fins.dry_bulb, self.outdoor)
        share = circuits.suction.superheated
        start = self.memory.get("surfaces", ())
        boiling = boiling_heat(self.layout, self.fins, state[0], share, circuits.base.superheating, start)
        self.memory["surfaces"] = tuple(stream.surface for stream in boiling.streams)
        return circuits, boiling

    def _heat(
        self, state: np.ndarray, circuits: Linearised, boiling: Boiling, jacobian: np.ndarray
    ) -> np.ndarray:
        """Heat needed less heat from the air, bound by the limit of low pressure; fills the slopes."""
        scale = self.constants.rated_heat
        base = circuits.base
        residual = (base.heat - base.superheating - boiling.heat) / scale
        need, gas = circuits.slopes[0], circuits.slopes[1]
        slope = jacobian[0]
        for j in range(len(scale)):
            slope[:, :, j] = -boiling.slope[:, j, 2][:, None] * gas[:, j]
            slope[:, 0, j] -= boiling.slope[:, j, 0]
            # The superheated share acts where it is positive, to the right of its kink.
            slope[:, 1, j] -= boiling.slope[:, j, 1] * (state[1, j] >= 0.0)
            slope[j, :, j] += need[:, j] - gas[:, j]
        slope /= scale[:, None, None]
        limit = (state[0] - self.constants.lowest_suction) / LIMIT_SCALE
        bound = limit < residual
        slope *= ~bound[:, None, None]
        for i in range(len(scale)):
            slope[i, 0, i] += bound[i] / LIMIT_SCALE
        return np.where(bound, limit, residual)
