"""From a solved state of the unit to what instruments would read of it.

The one way from the model to readings: true values where the instruments stand, then what is read of them
on a visit, with the error of each instrument or without. Gauges and clamps stand at the coil's suction header
and at the condenser's outlet, the supply probe behind the fan; the model loses no pressure in the condenser.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.diagnosis.readings import instruments
from hvaccalc.diagnosis.readings.instruments import Planned
from hvaccalc.equipment.unit.unit_state import REASONS, Conditions, UnitStates
from hvaccalc.errors import NotConverged
from hvaccalc.job.accuracy import InstrumentKind
from hvaccalc.physics import moist_air
from hvaccalc.physics.refrigerant import Refrigerant, refrigerant
from hvaccalc.units import Quantity


class Level(StrEnum):
    """How much is read on a visit."""

    GAUGES = "gauges"
    USUAL = "usual"
    FULL = "full"


_GAUGES = {
    "return_dry_bulb": "degF",
    "supply_dry_bulb": "degF",
    "outdoor_dry_bulb": "degF",
    "suction_pressure": "psig",
    "suction_temperature": "degF",
    "liquid_pressure": "psig",
    "liquid_temperature": "degF",
}
_USUAL = _GAUGES | {"return_wet_bulb": "degF", "supply_wet_bulb": "degF"}
_FULL = _USUAL | {
    "barometer": "inHg",
    "airflow": "cfm",
    "condensate_rate": "gal/h",
    "discharge_pressure": "psig",
    "discharge_temperature": "degF",
    "coldest_tube_temperature": "degF",
    "refrigerant_mass_flow": "lb/h",
    "compressor_power": "kW",
}
READ: dict[Level, dict[str, str]] = {Level.GAUGES: _GAUGES, Level.USUAL: _USUAL, Level.FULL: _FULL}
"""Keys of the job file read at each level, with the unit in which the instrument shows them."""


@dataclass(frozen=True, slots=True)
class TrueState:
    """True values where instruments stand, by the keys of the job file [SI; pressures absolute].

    Attributes
    ----------
    air : dict
    circuits : dict of dict
        Of each circuit that runs, by its name.
    bubbles : dict of bool
        Whether vapour leaves the condenser with the liquid: what a sight glass shows.
    """

    air: dict[str, float]
    circuits: dict[str, dict[str, float]]
    bubbles: dict[str, bool]


def true_state(
    refrigerants: Mapping[str, str], conditions: Conditions, states: UnitStates, row: tuple[int, ...] = ()
) -> TrueState:
    """What is true at the places of the instruments.

    Parameters
    ----------
    refrigerants : mapping of str to str
        Refrigerant by the circuit's name, in the unit's order.
    conditions : Conditions
        Numbers, or arrays of the states' shape.
    states : UnitStates
        As solved for them.
    row : tuple of int
        Which of them.

    Raises
    ------
    NotConverged
        The state was refused; the message says why.
    """
    if reason := int(states.reason[row]):
        raise NotConverged(REASONS[reason])

    def given(value: object) -> float:
        return float(np.broadcast_to(np.asarray(value, float), states.reason.shape)[row])

    barometer, back = given(conditions.barometer), given(conditions.return_dry_bulb)
    moisture = given(conditions.return_humidity_ratio)
    supply, left = float(states.supply_dry_bulb[row]), float(states.supply_humidity_ratio[row])
    volume = float(moist_air.specific_volume(back, moisture, barometer))
    air = {
        "barometer": barometer,
        "return_dry_bulb": back,
        "return_wet_bulb": float(moist_air.wet_bulb(back, moisture, barometer)),
        "supply_dry_bulb": supply,
        "supply_wet_bulb": float(moist_air.wet_bulb(supply, left, barometer)),
        "outdoor_dry_bulb": given(conditions.outdoor_dry_bulb),
        "airflow": given(conditions.dry_air_flow) * volume,
        "condensate_rate": float(states.condensate_rate[row]),
    }
    running = {
        name: (fluid, index)
        for index, (name, fluid) in enumerate(refrigerants.items())
        if np.isfinite(states.suction_saturation[(index, *row)])
    }
    return TrueState(
        air,
        {name: _circuit(refrigerant(fluid), states, (i, *row)) for name, (fluid, i) in running.items()},
        {name: bool(states.exit_quality[(i, *row)] > 0.0) for name, (_, i) in running.items()},
    )


def _circuit(fluid: Refrigerant, states: UnitStates, place: tuple[int, ...]) -> dict[str, float]:
    dew, condensing = float(states.suction_saturation[place]), float(states.condensing_saturation[place])
    low, high = float(fluid.dew_pressure(dew)), float(fluid.dew_pressure(condensing))
    # Straight over the glide: what is wet lies between bubble and dew by its share of vapour.
    wet = 1.0 - float(states.coil_exit_quality[place])
    suction = dew + float(states.superheat[place]) - wet * (dew - float(fluid.bubble_temperature(low)))
    bubble, vapour = float(fluid.bubble_temperature(high)), float(states.exit_quality[place])
    liquid = bubble + vapour * (condensing - bubble) - float(states.subcooling[place])
    return {
        "suction_pressure": low,
        "suction_temperature": suction,
        "liquid_pressure": high,
        "liquid_temperature": liquid,
        "discharge_pressure": high,
        "discharge_temperature": float(states.discharge_temperature[place]),
        "coldest_tube_temperature": float(states.circuit_root[place]),
        "refrigerant_mass_flow": float(states.refrigerant_mass_flow[place]),
        "compressor_power": float(states.compressor_power[place]),
    }


def readings(
    state: TrueState, level: Level = Level.FULL, generator: np.random.Generator | None = None
) -> dict[str, dict[str, Quantity]]:
    """What is read of a true state on a visit.

    Parameters
    ----------
    state : TrueState
    level : Level
    generator : numpy.random.Generator, optional
        Draws the errors, one set of instruments for the whole visit; None: perfect instruments.

    Returns
    -------
    dict of dict of str to Quantity
        By ``air`` or the circuit's name, then by the key of the job file; what the state does not give is
        left out.

    Notes
    -----
    Default accuracies of ``data/instruments.toml``. The supply probe's place error is that of ``unit``: the
    state is of the mixed stream behind the fan.
    """
    places = {"air": state.air, **state.circuits}
    truth = {
        f"{place}/{key}": value
        for place, values in places.items()
        for key, value in values.items()
        if key in READ[level] and np.isfinite(value)
    }
    plan = {name: Planned(key := name.rpartition("/")[2], READ[level][key], _KIT.get(key)) for name in truth}
    barometer = state.air["barometer"]
    if generator is None:
        shown = {name: instruments.exact(value, plan[name], barometer) for name, value in truth.items()}
    else:
        shown = instruments.read(truth, plan, generator, barometer)
    return {
        place: {name.rpartition("/")[2]: q for name, q in shown.items() if name.startswith(f"{place}/")}
        for place in places
    }


_PSYCHROMETER = instruments.Instrument("psychrometer", InstrumentKind.PSYCHROMETER)
_LOW, _HIGH, _CLAMP = (
    instruments.Instrument(name, kind)
    for name, kind in (
        ("low gauge", InstrumentKind.GAUGE_DIGITAL),
        ("high gauge", InstrumentKind.GAUGE_DIGITAL),
        ("clamp", InstrumentKind.PIPE_CLAMP),
    )
)
_KIT = {
    "return_wet_bulb": _PSYCHROMETER,
    "supply_wet_bulb": _PSYCHROMETER,
    "suction_pressure": _LOW,
    "liquid_pressure": _HIGH,
    "discharge_pressure": _HIGH,
    "suction_temperature": _CLAMP,
    "liquid_temperature": _CLAMP,
    "discharge_temperature": _CLAMP,
    "coldest_tube_temperature": _CLAMP,
}
"""One bag of instruments: what shares one shares its calibration error."""
