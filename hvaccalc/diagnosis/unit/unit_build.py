"""From a job to the coupled unit: its rating as draws, its conditions, what was measured there."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air import sound_unit
from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.unit.unit_model import Measured, UnitModel
from hvaccalc.equipment.unit.unit_state import Conditions

NEEDED = (
    "return air with its humidity",
    "outdoor air",
    "suction and liquid readings of every running circuit",
)
"""What a condition needs before a unit can be calibrated on it."""


@dataclass(frozen=True, slots=True)
class Calibrated:
    """A unit with what it was calibrated on.

    Attributes
    ----------
    unit : UnitModel
        Draws (N + 1,), row 0 central.
    on : tuple of Where
        Conditions it repeats; empty: the rating alone.
    refused : float
        Share of the draws of the rating that no unit has, 0-1.
    """

    unit: UnitModel
    on: tuple[Where, ...]
    refused: float


def from_rating(draws: Draws) -> Calibrated | None:
    """The unit of the rating; None where a refrigerant is not carried."""
    unit = rated_unit.model(draws)
    if unit is None:
        return None
    return Calibrated(unit, (), float(np.mean(np.asarray(unit.constants.reason)[1:] != 0)))


def conditions(draws: Draws, result: ConditionResult) -> Conditions | None:
    """A read condition for the unit, drawn; None where humid return, outdoors or airflow is not known."""
    back = result.air.entering
    if back is None or not back.humid:
        return None
    return sound_unit.conditions(draws, result.air, result.airflow)


def readings(draws: Draws, result: ConditionResult) -> dict[str, Array]:
    """What was measured of a condition, by fields of the unit's states; NaN where not read."""
    size = draws.ensemble.size + 1
    names = list(draws.job.circuit)
    unread = np.full(size, np.nan)

    def of_circuits(pick: Callable[[CircuitState], Array | None]) -> Array:
        columns = [result.circuits.get(name) for name in names]
        return np.stack([unread if c is None or (v := pick(c)) is None else v for c in columns])

    def column(key: str) -> Array:
        found = [draws.column(result.where.at(name), key) for name in names]
        return np.stack([unread if c is None else c for c in found])

    found = {
        "suction_saturation": of_circuits(lambda c: c.coil_suction_saturation),
        "condensing_saturation": of_circuits(lambda c: c.condensing_saturation),
        "superheat": of_circuits(lambda c: None if c.superheat is None else c.superheat.draws),
        "subcooling": of_circuits(
            lambda c: None if c.subcooling is None else np.maximum(c.subcooling.draws, 0.0)
        ),
        "refrigerant_mass_flow": column("refrigerant_mass_flow"),
        "compressor_power": column("compressor_power"),
    }
    air = result.air
    if air.supply_air is not None and air.after_fan:
        found["supply_dry_bulb"] = air.supply_air.dry_bulb
        if air.supply_air.humid:
            found["supply_humidity_ratio"] = air.supply_air.humidity_ratio
    return {name: values for name, values in found.items() if np.isfinite(values).any()}


def enough(draws: Draws, result: ConditionResult) -> bool:
    """Whether a condition can calibrate a unit: see `NEEDED`."""
    if conditions(draws, result) is None or result.staging is not None and result.staging.text.without_fan:
        return False
    names = compressors.running_circuits(draws, result.where)
    read = [result.circuits.get(name) for name in names]
    return bool(read) and all(
        c is not None and c.coil_suction_saturation is not None and c.condensing_saturation is not None
        for c in read
    )


def recalibrated(draws: Draws, base: Calibrated, results: tuple[ConditionResult, ...]) -> Calibrated:
    """The unit that repeats the conditions given; each draw by its own readings."""
    usable = [result for result in results if enough(draws, result)]
    if not usable:
        return base
    each = [c for result in usable if (c := conditions(draws, result)) is not None]
    size = draws.ensemble.size + 1
    stacked = Conditions(
        **{
            name: np.stack([np.broadcast_to(np.asarray(getattr(c, name), float), (size,)) for c in each])
            for name in (
                "return_dry_bulb",
                "return_humidity_ratio",
                "barometer",
                "outdoor_dry_bulb",
                "dry_air_flow",
            )
        },
        fan_power=None,
        running=np.stack([np.asarray(c.running) for c in each], axis=1),
    )
    measured = [readings(draws, result) for result in usable]
    names = dict.fromkeys(name for found in measured for name in found)
    shape = {name: next(found[name].shape for found in measured if name in found) for name in names}
    table: dict[str, ArrayLike] = {
        name: np.stack([found.get(name, np.full(shape[name], np.nan)) for found in measured], axis=-2)
        for name in names
    }
    unit = base.unit.recalibrate(Measured(stacked, table))
    return Calibrated(unit, tuple(result.where for result in usable), base.refused)


def airflow_at(draws: Draws, flow: Airflow, ratio: float) -> Array:
    """Dry air flow of a condition at another share of full speed [kg/s]: flow follows speed."""
    now = flow.speed_ratio
    return flow.dry_air_flow * ratio / (now.draws if now is not None else 1.0)
