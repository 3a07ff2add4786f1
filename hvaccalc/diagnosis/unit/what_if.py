"""What the calibrated unit would do at changed conditions: one change, or thousands of rows.

A change is typed in the words of the job file (air readings, calls); what it leaves out stays as it was in
the condition it starts from. Every answer has its band: of the readings that calibrated the unit, and of what
was assumed about it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.call import Mode, highest_stage
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.diagnosis.unit.unit_build import Calibrated
from hvaccalc.diagnosis.unit.what_if_typed import (
    COOLING,
    HUMIDITY,
    Change,
    faulted,
    faults_of,
    impossible,
    speed_share,
)
from hvaccalc.ensemble import Band, band
from hvaccalc.equipment.unit.unit_state import BRANCHES, REASONS, Conditions, Faults, UnitStates
from hvaccalc.errors import InputError, MissingReading
from hvaccalc.physics import moist_air
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import FULL_SPEED_AIRFLOW
from hvaccalc.units import Quantity

AIR = {
    "supply_dry_bulb": "supply_dry_bulb",
    "total_capacity": "total_capacity",
    "sensible_capacity": "sensible_capacity",
    "condensate_rate": "condensate_rate",
    "coldest_fin": "coldest_root",
}
CIRCUIT = (
    *("suction_saturation", "condensing_saturation", "superheat", "subcooling"),
    *("refrigerant_mass_flow", "compressor_power"),
)
MOST_AT_ONCE = 20_000


@dataclass(frozen=True)
class Answer:
    """State of one row.

    Attributes
    ----------
    row : int
        From 1.
    converged : bool
        Whether the central draw was found and lies within the model's limits.
    reason, branch : str
        Why not, and which of several states; empty otherwise.
    air, circuit : dict
        Bands [SI] by the names of ``what-if --json``.
    """

    row: int
    converged: bool
    reason: str
    branch: str
    air: dict[str, Band]
    circuit: dict[str, dict[str, Band]]

    @property
    def ices(self) -> bool | None:
        """Whether the coldest metal takes water out of the air below freezing; None where it may."""
        metal, water = self.air["coldest_fin"], self.air["condensate_rate"]
        if not metal.known or water.high <= 0.0 or metal.low >= FREEZING_POINT:
            return False
        return True if metal.value < FREEZING_POINT and water.value > 0.0 else None


DRAWS = 40
"""Draws behind a what-if: enough for a band, few enough to calibrate each on the job's conditions."""


@dataclass(frozen=True)
class WhatIf:
    """Answers, with what the unit was calibrated on and the condition they start from.

    Attributes
    ----------
    answers : list of Answer
    unit : Calibrated
    base : ConditionResult
    running : tuple of str
        Circuits that run in it.
    """

    answers: list[Answer]
    unit: Calibrated
    base: ConditionResult
    running: tuple[str, ...]


def what_if(
    draws: Draws,
    results: Sequence[ConditionResult],
    changes: Sequence[Change],
    faults: Iterable[str] = (),
    calibrate_on: Sequence[str] | None = None,
) -> WhatIf:
    """Calibrate a job's unit on its own conditions and ask it.

    Parameters
    ----------
    draws : Draws
    results : sequence of ConditionResult
        Of the same draws.
    changes : sequence of Change
    faults : iterable of str
        As typed, see `read_fault`.
    calibrate_on : sequence of str, optional
        Labels of conditions; None: all with enough readings; empty: the rating alone.

    Raises
    ------
    InputError
        A refrigerant that is not carried, a label that no condition has, or one without enough readings;
        changes of which the unit can be none, a fault on a circuit that runs in no row.
    MissingReading
        No condition to start from.
    """
    faults = tuple(faults)
    wrong = faults_of(draws.job.circuit, faults)
    cannot = [impossible(draws.job.unit, change) for change in changes]
    if cannot and all(cannot):
        raise next(error for error in cannot if error)
    unit = unit_build.from_rating(draws)
    if unit is None:
        names = [c.refrigerant for n, c in draws.job.circuit.items() if draws.refrigerant(n) is None]
        raise InputError("no properties for a refrigerant of this unit", ", ".join(names))
    chosen = [r for r in results if unit_build.enough(draws, r)] if calibrate_on is None else []
    for label in calibrate_on or ():
        chosen.append(_labelled(draws, results, label))
    base = start(draws, results, chosen)
    resting = [_resting(draws, base, change, faulted(draws.job.circuit, faults)) for change in changes]
    if resting and all(resting):
        raise InputError(f"a fault on a circuit that rests: {resting[0]}", key="--fault")
    unit = unit_build.recalibrated(draws, unit, tuple(chosen))
    asked = [Change() if error else change for error, change in zip(cannot, changes, strict=True)]
    answers = answer(draws, unit, base, asked, wrong)
    refusals = (str(error) if error else why for error, why in zip(cannot, resting, strict=True))
    told = [_refused(one, why) if why else one for one, why in zip(answers, refusals, strict=True)]
    return WhatIf(told, unit, base, _running(draws, base, Change()))


def _running(draws: Draws, base: ConditionResult, change: Change) -> tuple[str, ...]:
    """Circuits that run in a row."""
    standing = unit_build.conditions(draws, base)
    assert standing is not None
    on = np.asarray(_row(draws, base, standing, change)["running"], bool)
    return tuple(name for name, runs in zip(draws.job.circuit, on, strict=True) if runs)


def _resting(draws: Draws, base: ConditionResult, change: Change, wrong: Sequence[str]) -> str:
    """Why a fault asked for would change nothing in a row; empty where every faulted circuit runs."""
    running = _running(draws, base, change) if wrong else ()
    idle = [name for name in wrong if name not in running]
    if not idle:
        return ""
    stage = max(draws.stage(name) for name in idle)
    calls = ";".join(call for call in COOLING if call.stage <= stage)
    names = f"circuit {idle[0]} does" if len(idle) == 1 else f"circuits {' and '.join(idle)} do"
    return f'{names} not run with these calls; add --calls "{calls}"'


def _refused(one: Answer, why: str) -> Answer:
    unknown = Band(np.nan, np.nan, np.nan)
    circuit = {name: dict.fromkeys(bands, unknown) for name, bands in one.circuit.items()}
    return Answer(one.row, False, why, "", dict.fromkeys(one.air, unknown), circuit)


def labels_in(text: str, draws: Draws) -> list[str]:
    """Labels of conditions typed with commas between them; a label may hold commas itself."""
    known = _labels(draws)
    found = []
    rest = text.strip()
    while rest:
        label = max((k for k in known if rest == k or rest.startswith(f"{k},")), key=len, default=None)
        label = label or rest.partition(",")[0].strip()
        found.append(label)
        rest = rest[len(label) :].lstrip().removeprefix(",").lstrip()
    return found


def known_labels(draws: Draws, labels: Iterable[str]) -> None:
    """Refuse a label that no condition has; costs nothing, unlike the results of the conditions.

    Raises
    ------
    InputError
    """
    known = _labels(draws)
    for label in labels:
        if label not in known:
            told = ", ".join(f'"{k}"' for k in known)
            raise InputError("no condition of that label", f'"{label}"', told, key="--calibrate-on")


def _labels(draws: Draws) -> list[str]:
    return [condition.label or f"condition {where.condition}" for where, condition in draws.conditions()]


def _labelled(draws: Draws, results: Sequence[ConditionResult], label: str) -> ConditionResult:
    known_labels(draws, [label])
    found = [r for r in results if r.label == label]
    if not unit_build.enough(draws, found[0]):
        needs = "; ".join(unit_build.NEEDED)
        raise InputError(
            "a condition without enough readings to calibrate on", f'"{label}"', needs, key="--calibrate-on"
        )
    return found[0]


def start(draws: Draws, results: Sequence[ConditionResult], on: Sequence[ConditionResult]) -> ConditionResult:
    """What changes start from: of the conditions calibrated on, else of the complete ones, the fullest.

    Where several run as many circuits it is the last of them.


    Raises
    ------
    MissingReading
        No condition holds return air, outdoor air and airflow.
    """
    places = [r.where for r in on]
    wanted = [r for r in results if r.where in places and unit_build.enough(draws, r)] or [
        r for r in results if unit_build.conditions(draws, r) is not None
    ]
    if not wanted:
        raise MissingReading(
            "no condition of the job to start from",
            allowed="a condition with " + "; ".join(unit_build.NEEDED),
        )
    return max(reversed(wanted), key=lambda r: len(_running(draws, r, Change())))


def answer(
    draws: Draws, unit: Calibrated, base: ConditionResult, changes: Sequence[Change], faults: Faults
) -> list[Answer]:
    """Answers for all changes, solved in batches.

    Parameters
    ----------
    draws : Draws
    unit : Calibrated
    base : ConditionResult
        What changes start from.
    changes : sequence of Change
    faults : Faults
        The same in every row.
    """
    size = draws.ensemble.size + 1
    step = max(1, MOST_AT_ONCE // size)
    answers: list[Answer] = []
    for first in range(0, len(changes), step):
        some = changes[first : first + step]
        states = unit.unit.solve(_conditions(draws, base, some), _by_circuit(faults))
        answers += [_told(draws, states, row, first + row + 1, base) for row in range(len(some))]
    return answers


def _by_circuit(faults: Faults) -> Faults:
    """Faults with room for rows and draws behind the circuit."""
    columns = {name: np.asarray(value, float) for name, value in vars(faults).items()}
    return Faults(**{n: v[:, None, None] if v.ndim == 1 else v for n, v in columns.items()})


def _conditions(draws: Draws, base: ConditionResult, changes: Sequence[Change]) -> Conditions:
    standing = unit_build.conditions(draws, base)
    assert standing is not None
    rows = [_row(draws, base, standing, change) for change in changes]
    return Conditions(
        **{name: np.stack([row[name] for row in rows]) for name in rows[0] if name != "running"},
        running=np.stack([row["running"] for row in rows], axis=1)[..., None],
    )


def _row(draws: Draws, base: ConditionResult, standing: Conditions, change: Change) -> dict[str, Array]:
    size = draws.ensemble.size + 1
    values = change.values

    def column(key: str, otherwise: ArrayLike) -> Array:
        typed = values.get(key)
        return np.full(size, typed.value) if typed is not None else np.broadcast_to(otherwise, (size,))

    barometer = column("barometer", standing.barometer)
    dry_bulb = column("return_dry_bulb", standing.return_dry_bulb)
    humidity = _humidity(values, dry_bulb, barometer, np.asarray(standing.return_humidity_ratio))
    flow = _flow(draws, base, values, dry_bulb, humidity, barometer)
    running = np.asarray(standing.running, bool)
    if change.calls is not None:
        stage = highest_stage(change.calls, Mode.COOL)
        running = np.array([draws.stage(name) <= stage for name in draws.job.circuit])
    row = {
        "return_dry_bulb": dry_bulb,
        "return_humidity_ratio": humidity,
        "barometer": barometer,
        "outdoor_dry_bulb": column("outdoor_dry_bulb", standing.outdoor_dry_bulb),
        "dry_air_flow": flow,
        "fan_power": column("fan_power", np.nan),
        "running": running,
    }
    row["fan_power"] = np.where(
        np.isfinite(row["fan_power"]), row["fan_power"], _power_per_flow(draws) * flow
    )
    return row


def _power_per_flow(draws: Draws) -> Array:
    """Fan power for each airflow at the rating [W s/kg]."""
    return draws.rated_fan_power.draws / np.asarray(draws.rating.dry_air_flow)


def _humidity(values: Mapping[str, Quantity], dry_bulb: Array, barometer: Array, otherwise: Array) -> Array:
    key = next((key for key in HUMIDITY if key in values), None)
    if key is None:
        return otherwise
    state = moist_air.state(barometer, dry_bulb=dry_bulb, **{key.removeprefix("return_"): values[key].value})
    return np.asarray(state.humidity_ratio)


def _flow(
    draws: Draws,
    base: ConditionResult,
    values: Mapping[str, Quantity],
    dry_bulb: Array,
    humidity: Array,
    barometer: Array,
) -> Array:
    """Dry air flow [kg/s] by what the change says of it."""
    flow = base.airflow
    assert flow is not None
    volume = moist_air.specific_volume(dry_bulb, humidity, barometer)
    if (typed := values.get("airflow")) is not None:
        density = units.STANDARD_AIR_DENSITY if typed.standard else 1.0 / volume
        return typed.value * density * np.ones(draws.ensemble.size + 1)
    ratio = speed_share(draws.job.unit, Change(dict(values)))
    if ratio is None:
        return flow.flow / volume
    now = speed_ratio(draws, base.where)
    if now is not None:
        return flow.flow * ratio / now.draws / volume
    full = np.maximum(draws.ensemble.normal("full speed airflow", *FULL_SPEED_AIRFLOW), 0.2)
    return full * draws.job.unit.rated_airflow.value * ratio / volume


def _told(draws: Draws, states: UnitStates, row: int, number: int, base: ConditionResult) -> Answer:
    reason = int(states.reason[row, 0])
    air = {name: band(getattr(states, attribute)[row]) for name, attribute in AIR.items()}
    pressure = base.air.barometer.draws
    air["supply_dew_point"] = band(moist_air.dew_point(states.supply_humidity_ratio[row], pressure))
    circuit = {
        name: {key: band(getattr(states, key)[index, row]) for key in CIRCUIT}
        for index, name in enumerate(draws.job.circuit)
    }
    if reason:
        unknown = Band(np.nan, np.nan, np.nan)
        air = dict.fromkeys(air, unknown)
        circuit = {name: dict.fromkeys(CIRCUIT, unknown) for name in circuit}
    return Answer(number, not reason, REASONS[reason], BRANCHES[int(states.branch[row, 0])], air, circuit)
