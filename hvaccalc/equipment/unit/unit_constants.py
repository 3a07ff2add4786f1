"""What a calibrated unit is: its constants, by draw."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.equipment.circuit.circuit_state import Constants, Kind
from hvaccalc.equipment.coil import cooling_coil as coils

# Inside film of superheating gas over that of boiling, as a resistance; 2-6 moves starved superheats by 2.5
# °F.
GAS_FILM_RESISTANCE = 4.0


@dataclass(frozen=True)
class UnitConstants:
    """A calibrated unit without faults; arrays (D,), by circuit (circuits, D).

    Attributes
    ----------
    kind : Kind
    circuits : Constants
        At rated airflow.
    coil : Coil
        The whole coil: what `coil.solve` would have without superheat.
    part, reserve : ndarray, shape (circuits, D)
        Shares of the coil; largest over rated flow of the device.
    restriction : ndarray, shape (circuits, D)
        `liquid_resistance` that loses the rated difference of condenser and evaporator pressure.
    start : ndarray, shape (4, circuits, D)
        Solved state at the rating.
    circuiting : ndarray of str
        One of `coil.CIRCUITINGS` for each draw, (D,).
    air_path : str
    reference : dict
        Return air, outdoor air and fan power per airflow at the rating.
    reason : ndarray
        0, or why there is none (`coil.REASONS`).
    """

    kind: Kind
    circuits: Constants
    coil: coils.Coil
    part: np.ndarray
    reserve: np.ndarray
    restriction: np.ndarray
    start: np.ndarray
    circuiting: np.ndarray
    air_path: str
    reference: dict[str, np.ndarray]
    reason: np.ndarray

    def take(self, draws: np.ndarray) -> UnitConstants:
        """Some draws, in any order and number."""
        everyone = list(range(len(self.kind.curves)))
        return replace(
            self,
            circuits=self.circuits.take(everyone, draws),
            coil=replace(self.coil, **{n: getattr(self.coil, n)[draws] for n in vars(self.coil)}),
            part=self.part[:, draws],
            reserve=self.reserve[:, draws],
            restriction=self.restriction[:, draws],
            start=self.start[..., draws],
            circuiting=self.circuiting[draws],
            reference={name: value[draws] for name, value in self.reference.items()},
            reason=self.reason[draws],
        )


def gas_conductance(coil: coils.Coil, flow: np.ndarray, capacity: np.ndarray) -> np.ndarray:
    """Air to superheating gas if all fins superheated [W/K], at an airflow [kg/s] and its capacity [W/K]."""
    ntu = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0)
    inside = coil.resistance - coil.fin_resistance
    return 1.0 / (1.0 / (ntu * capacity) + coil.fin_resistance + GAS_FILM_RESISTANCE * inside)
