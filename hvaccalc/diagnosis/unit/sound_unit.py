"""Readings beside what a sound unit of the rating would show in the same weather at the same airflow.

Before a forecast may speak of the unit as it stands, its suction and metal must be among those that the model
gives for the rating. Where they are not, something that the rating does not know holds them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.ensemble import Z95, Band, band
from hvaccalc.equipment.unit.unit_state import UnitStates
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.charge import MODEL_SUCTION_SD


@dataclass(frozen=True, slots=True)
class Beside:
    """One temperature as read, beside that of the sound unit.

    Attributes
    ----------
    circuit : str
        Whose suction saturation; empty for the coldest metal.
    read, sound : Band
        [K]
    deviation : float
        Sound less read, over the standard deviation of their difference; positive where read colder.
    freezing : bool
        Whether the reading is more likely below freezing than not.
    """

    circuit: str
    read: Band
    sound: Band
    deviation: float
    freezing: bool


def beside(circuits: list[str], result: ConditionResult, here: UnitStates, slow: UnitStates) -> list[Beside]:
    """Suctions that were read and the metal worked out from them, each beside the sound unit's.

    Parameters
    ----------
    circuits : list of str
        In the unit's order.
    result : ConditionResult
    here, slow : UnitStates
        Of the rating alone, at the airflow as found and at that of the coil's slowest air, (draws,).
    """
    risk = result.freeze
    if risk is None:
        return []
    pairs = [
        (name, risk.suction[name], here.suction_saturation[index])
        for index, name in enumerate(circuits)
        if name in risk.suction
    ]
    if risk.coldest is not None:
        pairs.append(("", risk.coldest, slow.coldest_root))
    return [one for pair in pairs if (one := _beside(*pair)) is not None]


def _beside(circuit: str, read: np.ndarray, sound: np.ndarray) -> Beside | None:
    difference = (sound - read)[1:]
    difference = difference[np.isfinite(difference)]
    if difference.size < 20:
        return None
    spread = float(np.hypot(np.std(difference), MODEL_SUCTION_SD))
    known = read[1:][np.isfinite(read[1:])]
    return Beside(
        circuit,
        band(read),
        band(sound),
        float(np.median(difference)) / spread,
        bool(np.mean(known < FREEZING_POINT) >= 0.5),
    )


def apart(found: list[Beside], few: bool) -> tuple[Beside, ...]:
    """Those that no sound unit shows.

    Parameters
    ----------
    found : list of Beside
    few : bool
        Whether next to no draw of the rating repeats the suctions together: then the one farthest off counts,
        though each by itself may lie within its band.
    """
    told = [one for one in found if abs(one.deviation) > Z95]
    if not told and few and found:
        told = [max(found, key=lambda one: abs(one.deviation))]
    return tuple(told)
