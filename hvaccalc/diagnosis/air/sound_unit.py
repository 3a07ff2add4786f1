"""What the unit of the rating, sound, would show in the weather and air of a condition."""

from dataclasses import replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStates, air_states
from hvaccalc.diagnosis.air.airflow import Airflow, airflow
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where, usual_return_humidity
from hvaccalc.equipment.unit.unit_state import Conditions, UnitStates
from hvaccalc.practice.air import FULL_SPEED, FULL_SPEED_AIRFLOW
from hvaccalc.practice.circuits import UNIT_ABOUT_MODEL, UNTYPED_CONDENSING_SD, VALVE_SUPERHEAT_SD

DRAWS = 24
"""Draws of the unit behind what would be normal; their mean and spread are used."""


def conditions(draws: Draws, air: AirStates, flow: Airflow | None) -> Conditions | None:
    """A read condition for the unit, drawn; None where entering air, outdoors or airflow is not known.

    The coil meets the mixed air where that was read: outdoor air raises suction as a worn compressor would. A
    return humidity that was not read is drawn about what is usual, that of mixed air is not.
    """
    back = air.entering
    if (
        back is None
        or (air.mixed_air is not None and not back.humid)
        or air.outdoor_dry_bulb is None
        or flow is None
    ):
        return None
    unread = not back.humid
    humidity = usual_return_humidity(draws, air.where) if unread else back.humidity_ratio
    return Conditions(
        return_dry_bulb=back.dry_bulb,
        return_humidity_ratio=humidity,
        barometer=air.barometer.draws,
        outdoor_dry_bulb=air.outdoor_dry_bulb,
        dry_air_flow=flow.dry_air_flow,
        fan_power=draws.column(air.where, "fan_power"),
        running=np.array([compressors.runs(draws, air.where.at(name)) for name in draws.job.circuit]),
    )


def sound_states(draws: Draws, where: Where) -> UnitStates | None:
    """The sound unit in a condition, solved once for few draws; None where it cannot be asked.

    Of heating nothing is known here.
    """
    if compressors.heating(draws, where):
        return None
    few = draws.few(DRAWS)
    left_out = sorted(f"{at.path}/{key}" for at, key in draws.excluded)
    return few.once(f"sound unit/{where.air.path}/{left_out}", lambda: _solved(few, where.air))


def _solved(draws: Draws, where: Where) -> UnitStates | None:
    air = air_states(draws, where)
    standing = at_the_coil(draws, air, airflow(draws, air))
    unit = rated_unit.model(draws) if standing is not None and np.any(standing.running) else None
    return None if standing is None or unit is None else unit.solve(standing)


def at_the_coil(draws: Draws, air: AirStates, flow: Airflow | None) -> Conditions | None:
    """What the coil of a sound unit meets in a condition; None where it is not known."""
    standing = conditions(draws, air, flow)
    return None if standing is None or flow is None else _with_due_air(draws, flow, standing)


def _with_due_air(draws: Draws, flow: Airflow, standing: Conditions) -> Conditions:
    """The airflow as known; what full speed usually gives where nothing shows how far it falls short.

    An airflow that is only supposed must not swallow the very fault that is looked for.
    """
    slow = flow.speed_ratio is not None and flow.speed_ratio.draws[0] < FULL_SPEED
    if flow.measured or slow:
        return standing
    return replace(standing, dry_air_flow=FULL_SPEED_AIRFLOW[0] * np.asarray(draws.rating.dry_air_flow))


def normal(draws: Draws, where: Where, reading: str, solved: Array) -> Array | None:
    """What would be normal of a reading: mean and spread of the solved draws with the model's own error."""
    rows = np.atleast_1d(solved)
    rows = rows[np.isfinite(rows)]
    if rows.size < DRAWS // 2:
        return None
    own = VALVE_SUPERHEAT_SD if reading == "superheat" else UNIT_ABOUT_MODEL
    typed = draws.job.circuit[where.circuit].rated_condensing_saturation if where.circuit else None
    if reading == "condensing saturation" and typed is None:
        own = UNTYPED_CONDENSING_SD
    spread = float(np.hypot(np.std(rows), own))
    return draws.ensemble.normal(f"confusion/{where.path}/{reading}", float(rows[0]), spread)
