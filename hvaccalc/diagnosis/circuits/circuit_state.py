"""A circuit in one condition as its readings have it, and what its lines do: the records alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.readings.draws import Datum, Where
from hvaccalc.ensemble import OUTSIDE
from hvaccalc.severity import Severity


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

    @property
    def flashing(self) -> float:
        """Share of the draws in which vapour enters the metering device, 0-1."""
        if self.flash_margin is None:
            return 0.0
        rows = self.flash_margin[1:][np.isfinite(self.flash_margin[1:])]
        return float(np.mean(rows < 0.0)) if rows.size else 0.0

    @property
    def flash_severity(self) -> Severity:
        """Flash gas that is not excluded is watched."""
        return Severity.WATCH if self.flashing > OUTSIDE / 2.0 else Severity.NOTE


@dataclass(frozen=True, slots=True)
class CircuitState:
    """One circuit in one condition; columns of shape (N + 1,), None where not read.

    Attributes
    ----------
    suction_saturation : ndarray or None
        Dew temperature at the place of the suction reading [K].
    coil_suction_saturation : ndarray or None
        The same brought to the coil's exit [K].
    liquid_saturation : ndarray or None
        Bubble temperature at the liquid reading [K].
    condensing_saturation : ndarray or None
        Dew at the discharge reading, else bubble at the liquid one [K].
    over_outdoor : ndarray or None
        Condensing saturation above the outdoor air of a running circuit [K].
    subcooling, superheat : Datum or None
        [K].
    discharge_superheat : ndarray or None
        Discharge temperature above the dew at the discharge pressure [K].
    chart_offset : ndarray or None
        Liquid temperature above the unit's chart at that pressure [K]; positive = short of charge.
    chart_note : str
        How the chart was used, or why not.
    lines : LineEffects or None
        What the line set does between outdoor unit and coil; None where nothing is known of it.
    """

    where: Where
    refrigerant: str
    suction_saturation: np.ndarray | None
    coil_suction_saturation: np.ndarray | None
    liquid_saturation: np.ndarray | None
    condensing_saturation: np.ndarray | None
    condensing_from: str
    over_outdoor: np.ndarray | None
    subcooling: Datum | None
    superheat: Datum | None
    chart_offset: np.ndarray | None
    chart_note: str
    liquid_measured_at: str
    suction_measured_at: str
    discharge_superheat: np.ndarray | None = None
    lines: LineEffects | None = None
