"""What the calibrated unit would do at changed conditions: one change, or thousands of rows.

A change is typed in the words of the job file (air readings, calls); what it leaves out stays as it was in
the condition it starts from. Every answer has its band: of the readings that calibrated the unit, and of what
was assumed about it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array, Mask
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
    possible,
    speed_share,
)
from hvaccalc.ensemble import NOT_KNOWN, Band, bands
from hvaccalc.equipment.unit.unit_state import BRANCHES, REASONS, Conditions, Faults, UnitStates
from hvaccalc.errors import InputError, MissingReading
from hvaccalc.physics import moist_air
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import FULL_SPEED_AIRFLOW

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
MOST_AT_ONCE, MOST_ROWS_AT_ONCE = 20_000, 500
"""States, and rows, of one batch: about a second's work."""


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
        coldest = metal.low if np.isfinite(metal.low) else metal.value
        wettest = water.high if np.isfinite(water.high) else water.value
        if not metal.known or wettest <= 0.0 or coldest >= FREEZING_POINT:
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


@dataclass(frozen=True)
class Ready:
    """A calibrated unit, ready to be asked.

    Attributes
    ----------
    draws : Draws
    unit : Calibrated
    base : ConditionResult
        What changes start from.
    faults : Faults
        The same in every row.
    faulty : tuple of str
        Circuits that carry one.
    """

    draws: Draws
    unit: Calibrated
    base: ConditionResult
    faults: Faults
    faulty: tuple[str, ...]

    @property
    def running(self) -> tuple[str, ...]:
        """Circuits that run in the condition that changes start from."""
        return _running(self.draws, self.base, Change())

    def faults_run(self, changes: Iterable[Change]) -> None:
        """Refuse a fault that would change nothing in any row.

        Raises
        ------
        InputError
        """
        told = ""
        for change in changes if self.faulty else ():
            told = _resting(self.draws, self.base, change, self.faulty)
            if not told:
                return
        if told:
            raise InputError(f"a fault on a circuit that rests: {told}", key="--fault")

    def answers(self, changes: Iterable[Change], bands: bool = True) -> Iterator[Answer]:
        """Answers in the order of the changes, solved in batches; no more than a batch is held at a time.

        Parameters
        ----------
        changes : iterable of Change
        bands : bool
            Without them the central draw alone is solved: a band's ends are NaN.
        """
        size = self.draws.ensemble.size + 1 if bands else 1
        model = self.unit.unit
        if not bands:
            model = replace(model, constants=model.constants.take(np.array([0])))
        first, rows = 1, iter(changes)
        at_once = min(MOST_ROWS_AT_ONCE, max(1, MOST_AT_ONCE // size))
        while some := list(islice(rows, at_once)):
            cannot = [impossible(self.draws.job.unit, change) for change in some]
            asked = [Change() if error else change for error, change in zip(cannot, some, strict=True)]
            conditions = _conditions(self.draws, self.base, asked, size)
            states = model.solve(conditions, _by_circuit(self.faults))
            told = _told(self.draws, states, np.asarray(conditions.barometer), first)
            for error, change, one in zip(cannot, some, told, strict=True):
                resting = _resting(self.draws, self.base, change, self.faulty) if self.faulty else ""
                why = str(error) if error else resting
                yield _refused(one, why) if why else one
            first += len(some)


def what_if(
    draws: Draws,
    results: Sequence[ConditionResult],
    changes: Sequence[Change],
    faults: Iterable[str] = (),
    calibrate_on: Sequence[str] | None = None,
) -> WhatIf:
    """Calibrate a job's unit on its own conditions and ask it; parameters as `ready` has them.

    Raises
    ------
    InputError
        What `ready` refuses; changes of which the unit can be none, a fault on a circuit that runs in no row.
    MissingReading
        No condition to start from.
    """
    possible(draws.job.unit, changes)
    unit = ready(draws, results, faults, calibrate_on)
    unit.faults_run(changes)
    return WhatIf(list(unit.answers(changes)), unit.unit, unit.base, unit.running)


def ready(
    draws: Draws,
    results: Sequence[ConditionResult],
    faults: Iterable[str] = (),
    calibrate_on: Sequence[str] | None = None,
) -> Ready:
    """A job's unit, calibrated on its own conditions.

    Parameters
    ----------
    draws : Draws
    results : sequence of ConditionResult
        Of the same draws.
    faults : iterable of str
        As typed, see `read_fault`.
    calibrate_on : sequence of str, optional
        Labels of conditions; None: all with enough readings; empty: the rating alone.

    Raises
    ------
    InputError
        A refrigerant that is not carried, a label that no condition has, or one without enough readings.
    MissingReading
        No condition to start from.
    """
    faults = tuple(faults)
    wrong = faults_of(draws.job.circuit, faults)
    unit = unit_build.from_rating(draws)
    if unit is None:
        names = [c.refrigerant for n, c in draws.job.circuit.items() if draws.refrigerant(n) is None]
        raise InputError("no properties for a refrigerant of this unit", ", ".join(names))
    chosen = [r for r in results if unit_build.enough(draws, r)] if calibrate_on is None else []
    for label in calibrate_on or ():
        chosen.append(_labelled(draws, results, label))
    base = start(draws, results, chosen)
    unit = unit_build.recalibrated(draws, unit, tuple(chosen))
    return Ready(draws, unit, base, wrong, faulted(draws.job.circuit, faults))


def _running(draws: Draws, base: ConditionResult, change: Change) -> tuple[str, ...]:
    """Circuits that run in a row."""
    standing = unit_build.conditions(draws, base)
    assert standing is not None
    on = _on(draws, standing, change)
    return tuple(name for name, runs in zip(draws.job.circuit, on, strict=True) if runs)


def _on(draws: Draws, standing: Conditions, change: Change) -> Mask:
    """Whether each circuit runs in a row."""
    if change.calls is None:
        return np.asarray(standing.running, bool)
    stage = highest_stage(change.calls, Mode.COOL)
    return np.array([draws.stage(name) <= stage for name in draws.job.circuit])


def _resting(draws: Draws, base: ConditionResult, change: Change, wrong: Sequence[str]) -> str:
    """Why a fault asked for would change nothing in a row; empty where every faulted circuit runs."""
    running = _running(draws, base, change)
    idle = [name for name in wrong if name not in running]
    if not idle:
        return ""
    stage = max(draws.stage(name) for name in idle)
    calls = ";".join(call for call in COOLING if call.stage <= stage)
    names = f"circuit {idle[0]} does" if len(idle) == 1 else f"circuits {' and '.join(idle)} do"
    return f'{names} not run with these calls; add --calls "{calls}"'


def _refused(one: Answer, why: str, branch: str = "") -> Answer:
    unknown = NOT_KNOWN
    circuit = {name: dict.fromkeys(bands, unknown) for name, bands in one.circuit.items()}
    return Answer(one.row, False, why, branch, dict.fromkeys(one.air, unknown), circuit)


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


def _by_circuit(faults: Faults) -> Faults:
    """Faults with room for rows and draws behind the circuit."""
    columns = {name: np.asarray(value, float) for name, value in vars(faults).items()}
    return Faults(**{n: v[:, None, None] if v.ndim == 1 else v for n, v in columns.items()})


def _conditions(draws: Draws, base: ConditionResult, changes: Sequence[Change], size: int) -> Conditions:
    """Rows of changes over the first `size` draws, each quantity of shape (rows, size)."""
    standing = unit_build.conditions(draws, base)
    assert standing is not None

    def as_read(value: ArrayLike) -> Array:
        return np.broadcast_to(np.asarray(value, float), (draws.ensemble.size + 1,))[:size]

    def column(key: str, otherwise: ArrayLike) -> Array:
        typed = _typed(changes, key)
        return np.where(np.isfinite(typed), typed, as_read(otherwise))

    barometer = column("barometer", standing.barometer)
    dry_bulb = column("return_dry_bulb", standing.return_dry_bulb)
    humidity = _humidity(changes, dry_bulb, barometer, as_read(standing.return_humidity_ratio))
    flow = _flow(draws, base, changes, moist_air.specific_volume(dry_bulb, humidity, barometer))
    per_flow = draws.rated_fan_power.draws / np.asarray(draws.rating.dry_air_flow)
    power = column("fan_power", np.nan)
    return Conditions(
        return_dry_bulb=dry_bulb,
        return_humidity_ratio=humidity,
        barometer=barometer,
        outdoor_dry_bulb=column("outdoor_dry_bulb", standing.outdoor_dry_bulb),
        dry_air_flow=flow,
        fan_power=np.where(np.isfinite(power), power, as_read(per_flow) * flow),
        running=np.stack([_on(draws, standing, change) for change in changes], axis=1)[..., None],
    )


def _typed(changes: Sequence[Change], key: str) -> Array:
    """What each row sets [SI], shape (rows, 1); NaN where it says nothing."""
    found = (change.values.get(key) for change in changes)
    return np.array([np.nan if one is None else one.value for one in found])[:, None]


def _humidity(changes: Sequence[Change], dry_bulb: Array, barometer: Array, otherwise: Array) -> Array:
    """Humidity ratio of each row; a row says it in one way at most."""
    found = np.broadcast_to(otherwise, dry_bulb.shape).copy()
    for key in HUMIDITY:
        typed = _typed(changes, key)
        rows = np.flatnonzero(np.isfinite(typed))
        if rows.size:
            said = {key.removeprefix("return_"): typed[rows]}
            state = moist_air.state(barometer[rows], dry_bulb=dry_bulb[rows], **said)
            found[rows] = state.humidity_ratio
    return found


def _flow(draws: Draws, base: ConditionResult, changes: Sequence[Change], volume: Array) -> Array:
    """Dry air flow of each row [kg/s] by what it says of it: an airflow, else a speed, else as read."""
    flow, job, size = base.airflow, draws.job, volume.shape[1]
    assert flow is not None
    now = speed_ratio(draws, base.where)
    if now is not None:
        full = flow.flow / now.draws
    else:
        share = np.maximum(draws.ensemble.normal("full speed airflow", *FULL_SPEED_AIRFLOW), 0.2)
        full = share * job.unit.rated_airflow.value
    shares = [speed_share(job.unit, change) for change in changes]
    speed = np.array([np.nan if share is None else share for share in shares])[:, None]
    at_speed = np.where(np.isfinite(speed), full[:size] * speed, flow.flow[:size]) / volume
    typed = _typed(changes, "airflow")
    standard = [(one := change.values.get("airflow")) is not None and one.standard for change in changes]
    density = np.where(np.array(standard)[:, None], units.STANDARD_AIR_DENSITY, 1.0 / volume)
    return np.where(np.isfinite(typed), typed * density, at_speed)


def _told(draws: Draws, states: UnitStates, barometer: Array, first: int) -> list[Answer]:
    """Answers of a batch whose first row is `first`."""
    air = {name: bands(getattr(states, attribute)) for name, attribute in AIR.items()}
    air["supply_dew_point"] = bands(moist_air.dew_point(states.supply_humidity_ratio, barometer))
    circuits = {
        name: {key: bands(getattr(states, key)[index]) for key in CIRCUIT}
        for index, name in enumerate(draws.job.circuit)
    }
    answers = []
    for row, (reason, branch) in enumerate(zip(states.reason[:, 0], states.branch[:, 0], strict=True)):
        one = Answer(
            first + row,
            not reason,
            REASONS[int(reason)],
            BRANCHES[int(branch)],
            {name: those[row] for name, those in air.items()},
            {name: {key: those[row] for key, those in rows.items()} for name, rows in circuits.items()},
        )
        answers.append(_refused(one, one.reason, one.branch) if reason else one)
    return answers
