"""The calibrated unit: coil, circuits and outdoor air in balance at any conditions and faults.

>>> from hvaccalc.equipment.unit.unit_state import Circuit, Conditions, UnitRating
>>> rating = UnitRating(70.3e3, 0.72, 4.53, 3.2e3, 299.8, 0.0112, 101325.0, 308.15, 280.4,
...                     circuits=(Circuit(), Circuit()))
>>> unit = UnitModel.from_rating(rating)
>>> state = unit.solve(Conditions(299.8, 0.0112, 101325.0, 308.15, 4.53))
>>> round(float(state.total_capacity) / 1e3, 1), bool(state.converged)
(70.3, True)
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from hvaccalc.equipment.unit import unit_solution
from hvaccalc.equipment.unit.unit_calibration import from_rating
from hvaccalc.equipment.unit.unit_constants import UnitConstants
from hvaccalc.equipment.unit.unit_recalibration import Measured, fitted
from hvaccalc.equipment.unit.unit_state import Conditions, Faults, UnitRating, UnitStates

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
        """The unit that best repeats measured states, starting from this one; see `unit_recalibration`."""
        return replace(self, constants=fitted(self.constants, measured))
