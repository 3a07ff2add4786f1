"""What the readings of a condition ought to be: pictures of the unit of the rating, sound or with faults.

The unit is solved for the condition's weather and air; every usual fault is put into each circuit at several
sizes, alone and one in either circuit, at several shares of the air.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import air_states
from hvaccalc.diagnosis.air.airflow import airflow
from hvaccalc.diagnosis.air.sound_unit import DRAWS, at_the_coil
from hvaccalc.diagnosis.circuits.circuit_readings import circuit_as_read
from hvaccalc.diagnosis.contradictions.neighbours import Curve, Neighbours, Place
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where, outdoor_read
from hvaccalc.diagnosis.readings.saturation import Saturated, saturations
from hvaccalc.diagnosis.readings.signs import ice
from hvaccalc.equipment.circuit.circuit_balance import KINDS
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Conditions, Faults, UnitStates
from hvaccalc.physics import moist_air
from hvaccalc.practice import circuits as practice
from hvaccalc.practice.circuits import FLOODING_BELOW, STEADY_AFTER, UNTYPED_CONDENSING_SD
from hvaccalc.practice.plates import RATED_SUPERHEAT
from hvaccalc.units import degF

CIRCUIT_KEYS = (
    *("suction_pressure", "suction_temperature", "liquid_pressure", "liquid_temperature"),
    "discharge_pressure",
)
SUPPLY_KEYS = ("supply_dry_bulb", "supply_wet_bulb")

FAULTS = {
    "low charge": ("charge", (0.91, 0.81, 0.68, 0.53)),
    "overcharge": ("charge", (1.07, 1.15, 1.25, 1.38)),
    "condenser air": ("condenser_air", (0.8, 0.65, 0.5, 0.35)),
    "weak compressor": ("compressor_wear", (0.92, 0.8, 0.65, 0.5)),
    "restriction": ("restriction", (0.2, 0.4, 0.7, 1.0)),
    "starved valve": ("valve_capacity", (0.85, 0.7, 0.55, 0.42)),
    "overfeeding valve": ("valve_overfeed", (0.9, 1.05, 1.4, 2.2)),
}
"""Fault: field of the unit's faults, and sizes from hardly felt to severe."""
SHARES = (1.0, 0.85, 0.7, 0.55, 0.42)
"""Air over what is known of it."""
OUTDOORS = degF(np.array([50.0, 65.0, 80.0, 95.0, 110.0, 122.0]))
ENTERING = degF(np.array([60.0, 68.0, 76.0, 84.0, 95.0]))
MOISTURE = np.array([0.5, 0.75, 1.0, 1.25, 1.6])
FLOWS = np.array([0.3, 0.5, 0.7, 1.0, 1.5, 2.2, 3.0])
"""Airflow over the typed one, where that may be mistyped."""
FURTHER = 1.3
"""Of a size that the unit refuses, over the size before it."""


def askable(draws: Draws, where: Where) -> bool:
    """Whether the unit runs so that a model has a say: cooling, steady, without ice or head control."""
    condition, heater = draws.condition(where), draws.reading(where, "electric_heat")
    ran = condition.running_for
    unsteady = condition.steady == "no" or (ran is not None and ran.value < STEADY_AFTER)
    outdoor = outdoor_read(draws, where)
    control = draws.job.unit.protection.head_control
    held = control not in (None, "none") and (outdoor is None or bool(outdoor[0] < FLOODING_BELOW))
    # A heat pump whose calls were not noted may be heating.
    heats = draws.job.unit.kind == "heat pump" and condition.calls is None
    heats = heats or heater is not None or compressors.heating(draws, where)
    return not (unsteady or held or heats or ice(draws, where))


@dataclass(frozen=True)
class _Unit:
    """The unit of a condition, before it is solved."""

    draws: Draws
    model: UnitModel
    standing: Conditions
    flow_share: float
    air: str
    running: tuple[str, ...]


def neighbours(draws: Draws, where: Where, felt: float) -> Neighbours | None:
    """The readings of one condition beside what they would be; None where no model has a say.

    Parameters
    ----------
    draws : Draws
        With contradicting readings left out.
    where : Where
        A condition.
    felt : float
        Evidence to be gained below which the faults are not solved: None is the answer then, too.
    """
    unit = _unit(draws, where) if askable(draws, where) else None
    if unit is None:
        return None
    columns = dict(_columns(draws, where, unit.running))
    places = tuple(columns)
    if len(places) < practice.FEWEST_READINGS:
        return None
    states = _in_coordinates(draws, unit, places, unit.model.solve(unit.standing))
    solved = np.asarray(np.isfinite(states).all(axis=0))
    if not solved[0] or solved[1:].sum() < DRAWS // 2:
        return None
    read = np.array(list(columns.values()))
    instruments = np.cov(read[:, 1:][:, np.isfinite(read[:, 1:]).all(axis=0)])
    covariance = np.cov(states[:, 1:][:, solved[1:]]) + instruments + _discrepancy(draws, places)
    row = {name: float(np.asarray(getattr(unit.standing, name))[0]) for name in _WEATHER}
    sound = Neighbours(
        places=places,
        read=read[:, 0],
        sound=states[:, 0],
        moves=np.zeros((1, len(places))),
        weights=np.log(np.array([1.0 - practice.ONE_FAULT - practice.TWO_FAULTS])),
        covariance=covariance,
        outdoors=Curve(OUTDOORS, np.zeros((OUTDOORS.size, len(places)))),
        entering=Curve(ENTERING, np.zeros((ENTERING.size, len(places)))),
        moisture=Curve(MOISTURE, np.zeros((MOISTURE.size, len(places)))),
        flow=Curve(FLOWS, np.zeros((FLOWS.size, len(places)))),
        humidity_ratio=row["return_humidity_ratio"],
        barometer=row["barometer"],
        flow_share=unit.flow_share,
        air=unit.air,
    )
    as_typed = _in_range(draws, unit, where, row)
    if as_typed and sound.best - sound.held(sound.read).evidence < felt:
        return None
    return _with_faults(draws, unit, sound, row)


_WEATHER = ("outdoor_dry_bulb", "return_dry_bulb", "return_humidity_ratio", "barometer", "dry_air_flow")


def _in_range(draws: Draws, unit: _Unit, where: Where, row: dict[str, float]) -> bool:
    """Whether the unit was solved for weather and airflow as typed."""
    outdoor, back = outdoor_read(draws, where), draws.column(where, f"{unit.air}_dry_bulb")
    return bool(
        outdoor is not None
        and back is not None
        and np.isclose(outdoor[0], row["outdoor_dry_bulb"])
        and np.isclose(back[0], row["return_dry_bulb"])
        and np.isclose(unit.flow_share, 1.0)
    )


def _unit(draws: Draws, where: Where) -> _Unit | None:
    few = draws.few(DRAWS)
    names = [
        name
        for name in draws.condition(where).circuit
        if draws.refrigerant(name) is not None
        and compressors.runs(draws, where.at(name))
        and not _levelled(draws, where.at(name))
    ]
    model = rated_unit.model(few) if names else None
    if model is None:
        return None
    # The air as it is known without what is judged.
    judged = {(where, key) for key in SUPPLY_KEYS}
    judged |= {(where.at(name), key) for name in draws.job.circuit for key in CIRCUIT_KEYS}
    alone = few.without(few.excluded | judged)
    air = air_states(alone, where)
    standing = at_the_coil(alone, air, airflow(alone, air))
    if standing is None:
        return None
    running = np.array([name in names for name in draws.job.circuit])
    mixed = draws.column(where, "mixed_dry_bulb") is not None
    rated = float(np.asarray(few.rating.dry_air_flow)[0])
    usual = _usual(standing, running, rated)
    share = float(np.asarray(standing.dry_air_flow)[0] / np.asarray(usual.dry_air_flow)[0])
    return _Unit(few, model, usual, share, "mixed" if mixed else "return", tuple(names))


def _levelled(draws: Draws, where: Where) -> bool:
    """Whether a circuit reads as one at rest: no pressure difference, at about the warmth of the air."""
    suction = saturations(draws, where).suction
    airs = [outdoor_read(draws, where), draws.column(where.air, "return_dry_bulb")]
    coldest = min((float(air[0]) for air in airs if air is not None), default=-np.inf)
    warm = suction is not None and bool(suction.dew[0] > coldest - practice.GAS_ABOVE_AIR)
    return warm and compressors.level(draws, where)


def _usual(standing: Conditions, running: Array, rated: float) -> Conditions:
    """Weather and airflow in which the unit can be solved: a mistyped one hides nothing else then."""

    def within(value: object, ends: tuple[float, float]) -> Array:
        column = np.asarray(value, float)
        return np.asarray(column + np.clip(column[0], *ends) - column[0])

    flow = np.asarray(standing.dry_air_flow, float)
    dry_bulb = within(standing.return_dry_bulb, practice.SOLVED_ENTERING)
    most = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, dry_bulb, np.asarray(standing.barometer))
    humidity = np.asarray(standing.return_humidity_ratio, float)
    humidity = np.where(np.isfinite(humidity), humidity, np.mean(practice.SOLVED_HUMIDITY))
    return replace(
        standing,
        outdoor_dry_bulb=within(standing.outdoor_dry_bulb, practice.SOLVED_OUTDOORS),
        return_dry_bulb=dry_bulb,
        return_humidity_ratio=np.minimum(np.clip(humidity, *practice.SOLVED_HUMIDITY), 0.95 * most),
        dry_air_flow=flow * np.clip(flow[0] / rated, *practice.SOLVED_AIRFLOW) * rated / flow[0],
        running=running,
    )


def _columns(draws: Draws, where: Where, running: tuple[str, ...]) -> Iterator[tuple[Place, Array]]:
    """Every reading with a say, as a temperature."""
    for name in running:
        at = where.at(name)
        state = circuit_as_read(draws, at)
        if state is None:
            continue
        coil, gas = state.coil_suction_saturation, state.superheat
        found = {
            "suction_pressure": coil,
            "liquid_pressure": state.liquid_saturation if state.fans_stand is None else None,
            "liquid_temperature": draws.column(at, "liquid_temperature"),
            "discharge_pressure": state.condensing_saturation if state.fans_stand is None else None,
        }
        if coil is not None and gas is not None and draws.job.circuit[name].metering in KINDS:
            lines = state.lines.superheat_at_coil if state.lines is not None else None
            found["suction_temperature"] = coil + (gas.draws if lines is None else lines)
        for key in CIRCUIT_KEYS:
            column = found.get(key)
            if column is not None and draws.reading(at, key) is not None and np.isfinite(column[0]):
                yield (at, key), column
    if (draws.condition(where).air.supply_measured_at or "unit") != "coil":
        for key in SUPPLY_KEYS:
            column = draws.column(where, key)
            if column is not None:
                yield (where, key), column


def _in_coordinates(draws: Draws, unit: _Unit, places: tuple[Place, ...], states: UnitStates) -> Array:
    """What the readings would be of solved states, (R, ...) [K]."""
    names, rows = list(draws.job.circuit), []
    for where, key in places:
        if key == "supply_dry_bulb":
            rows.append(states.supply_dry_bulb)
            continue
        if key == "supply_wet_bulb":
            pressure = float(np.asarray(unit.standing.barometer)[0])
            rows.append(moist_air.wet_bulb(states.supply_dry_bulb, states.supply_humidity_ratio, pressure))
            continue
        index, fluid = names.index(where.circuit), draws.refrigerant(where.circuit)
        assert fluid is not None
        dew, condensing = states.suction_saturation[index], states.condensing_saturation[index]
        bubble = Saturated(fluid, fluid.dew_pressure(condensing), np.zeros(())).bubble
        left = bubble + states.exit_quality[index] * (condensing - bubble)
        rows.append(
            {
                "suction_pressure": dew,
                "suction_temperature": dew + states.superheat[index],
                "liquid_pressure": bubble,
                "liquid_temperature": left - states.subcooling[index],
                "discharge_pressure": condensing,
            }[key]
        )
    return np.array(rows)


_MOVED_BY = {
    "suction saturation": {"suction_pressure": 1.0, "suction_temperature": 1.0},
    "superheat": {"suction_temperature": 1.0},
    "condensing saturation": {"liquid_pressure": 1.0, "liquid_temperature": 1.0, "discharge_pressure": 1.0},
    "subcooling": {"liquid_temperature": -1.0},
    "loss of the condenser": {"discharge_pressure": 1.0},
    "supply": {"supply_dry_bulb": 1.0, "supply_wet_bulb": 1.0},
    "supply humidity": {"supply_wet_bulb": 1.0},
}
"""Which readings an error of the model moves, and by how much."""


def _discrepancy(draws: Draws, places: tuple[Place, ...]) -> Array:
    """Covariance of what the model gets wrong: of both circuits alike, and of each by itself [K2]."""
    typed = all(one.rated_condensing_saturation is not None for one in draws.job.circuit.values())
    whole = np.zeros((len(places), len(places)))
    for what, common in practice.ALIKE_WRONG.items():
        moved = np.array([_MOVED_BY[what].get(key, 0.0) for _, key in places])
        own = practice.EACH_WRONG.get(what, 0.0)
        if what == "condensing saturation" and not typed:
            common = UNTYPED_CONDENSING_SD
        whole += common**2 * np.outer(moved, moved)
        for circuit in {where.circuit for where, _ in places}:
            alone = moved * np.array([where.circuit == circuit for where, _ in places])
            whole += own**2 * np.outer(alone, alone)
    return whole


def _with_faults(draws: Draws, unit: _Unit, sound: Neighbours, row: dict[str, float]) -> Neighbours:
    """The same with every fault, share of the air and weather, solved in one batch for the central rating."""
    circuits = list(draws.job.circuit)
    faulty = [
        (circuits.index(name), field, size)
        for name in unit.running
        for field, sizes in FAULTS.values()
        for size in sizes
    ]
    some = (len(faulty), len(SHARES), OUTDOORS.size, ENTERING.size, MOISTURE.size, FLOWS.size)
    ends = np.cumsum(some)
    faults = {
        field: np.full((len(circuits), ends[-1], 1), getattr(Faults(), field)) for field, _ in FAULTS.values()
    }
    for i, (index, field, size) in enumerate(faulty):
        faults[field][index, i, 0] = size
    varied = {name: np.full(ends[-1], value) for name, value in row.items()}
    varied["dry_air_flow"][ends[0] : ends[1]] *= SHARES
    varied["outdoor_dry_bulb"][ends[1] : ends[2]] = OUTDOORS
    varied["return_dry_bulb"][ends[2] : ends[3]] = ENTERING
    varied["return_humidity_ratio"][ends[3] : ends[4]] *= MOISTURE
    varied["dry_air_flow"][ends[4] :] *= FLOWS
    most = moist_air.humidity_ratio_from_wet_bulb(
        varied["return_dry_bulb"], varied["return_dry_bulb"], row["barometer"]
    )
    varied["return_humidity_ratio"] = np.minimum(varied["return_humidity_ratio"], 0.95 * most)
    power, running = unit.standing.fan_power, np.asarray(unit.standing.running)
    weather = Conditions(
        **{name: column[:, None] for name, column in varied.items()},
        fan_power=None if power is None else float(np.asarray(power).flat[0]),
        running=running.reshape(len(circuits), 1, 1),
    )
    central = UnitModel(unit.model.constants.take(np.zeros(1, int)))
    states = central.solve(weather, Faults(**faults))
    solved = _in_coordinates(draws, unit, sound.places, states)
    moves = solved[..., 0].T - sound.sound
    parts = np.split(moves, ends[:-1])
    points = (OUTDOORS, ENTERING, MOISTURE, FLOWS)
    outdoors, entering, moisture, flow = (_curve(x, part) for x, part in zip(points, parts[2:], strict=True))
    hypotheses, weights = _hypotheses(sound.places, unit.running, parts[0], parts[1])
    return replace(
        sound,
        moves=hypotheses,
        weights=weights,
        outdoors=outdoors,
        entering=entering,
        moisture=moisture,
        flow=flow,
    )


def _curve(points: Array, moves: Array) -> Curve:
    solved = np.isfinite(moves).all(axis=1)
    return Curve(points[solved], moves[solved])


def _hypotheses(
    places: tuple[Place, ...], running: tuple[str, ...], faulty: Array, air: Array
) -> tuple[Array, Array]:
    """Moves and log weights: nothing, one fault, one in each of two circuits; each at every share of air."""
    count = len(places)
    alone, full = [], []
    for name, moves in zip(running, np.split(faulty, len(running)), strict=True):
        sizes, start = [], 0
        for _, some in FAULTS.values():
            sizes.append(_further(moves[start : start + len(some)]))
            start += len(some)
        beyond = [_moved(places, name, moved) for moved in _UNSOLVED]
        alone.append(np.vstack([*sizes, beyond]))
        # Of two faults at once every other size: what lies between is within the spread of a fault.
        full.append(np.vstack([*(part[1::2] for part in sizes), beyond]))
    one = np.vstack(alone)
    kinds = [np.zeros((1, count)), one]
    shares = [1.0 - practice.ONE_FAULT - practice.TWO_FAULTS, practice.ONE_FAULT]
    if len(full) > 1:
        kinds.append((full[0][:, None] + full[1][None]).reshape(-1, count))
        shares.append(practice.TWO_FAULTS)
    moves = np.vstack(kinds)
    weights = np.concatenate(
        [np.full(len(kind), np.log(share / len(kind))) for kind, share in zip(kinds, shares, strict=True)]
    )
    solved = np.isfinite(air).all(axis=1)
    of_air = np.log(np.array(practice.SHARES_OF_AIR)[solved])
    both = (moves[None] + air[solved][:, None]).reshape(-1, count)
    weights = (weights[None] + of_air[:, None]).ravel()
    known = np.isfinite(both).all(axis=1)
    return both[known], weights[known]


def _further(moves: Array) -> Array:
    """Sizes of one fault, refused ones taken on from those before them."""
    filled = moves.copy()
    for i in range(1, len(filled)):
        if not np.isfinite(filled[i]).all():
            filled[i] = FURTHER * filled[i - 1]
    return filled


_UNSOLVED: tuple[dict[str, float], ...] = (
    *({"liquid_pressure": by, "discharge_pressure": by} for by in practice.AIR_INSIDE),
    *({"suction_temperature": by} for by in practice.HIGH_SETTING),
    *({"suction_pressure": by, "suction_temperature": by - RATED_SUPERHEAT[0]} for by in practice.WIDE_OPEN),
)
"""Faults that the unit does not know: air in a circuit, a valve set too high, one that stands open."""


def _moved(places: tuple[Place, ...], circuit: str, moved: dict[str, float]) -> Array:
    return np.array([moved.get(key, 0.0) if where.circuit == circuit else 0.0 for where, key in places])
