"""What a fault would set between two circuits at the job's own condition, by the coupled unit.

Every usual fault is put into either circuit of the pair at several sizes, all solved in one batch; the size
that comes nearest to the readings stands for the fault. Both circuits are taken as their rating says: what
is compared is how they differ, in which air, weather, coil and rating cancel, and the sound unit's own
difference (shares, targets, circuiting) stands beside it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge.contrast import Contrast, Suspicion, measured_differences
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.unit import unit_build
from hvaccalc.diagnosis.unit.unit_build import Calibrated
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.equipment.unit.unit_model import UnitModel
from hvaccalc.equipment.unit.unit_state import Conditions, Faults, UnitStates
from hvaccalc.practice.statements import FAULT_FELT, MOST_REFUSED

FAULTS = {
    CircuitFault.LOW_CHARGE: ("charge", (0.92, 0.85, 0.75, 0.60)),
    CircuitFault.RESTRICTION: ("restriction", (0.2, 0.4, 0.6, 0.85)),
    CircuitFault.STARVED_VALVE: ("valve_capacity", (0.85, 0.70, 0.55, 0.40)),
    CircuitFault.OVERFEEDING_VALVE: ("valve_overfeed", (0.9, 1.05, 1.25, 1.5)),
    CircuitFault.OVERCHARGE: ("charge", (1.05, 1.12, 1.20, 1.30)),
}
"""Fault: field of the unit's faults, and sizes from hardly felt to severe; common practice, no source."""

READINGS = {"subcooling": "subcooling", "superheat": "superheat", "suction saturation": "suction_saturation"}
"""What is compared, with its field of the unit's states."""

DRAWS = 40
"""Draws behind each modelled difference: enough for a band, few enough to solve every fault of every pair."""

BETWEEN = 5
"""Steps tried between two solved sizes."""


class Explains(StrEnum):
    """Whether a fault explains what sets the circuits apart.

    Not in size: the reading against it lies on the side to which the fault moves it, only further. So does a
    restriction with more liquid held back than the unit has: it keeps the liquid line full down to the
    metering device, where a restriction at the line's beginning drains it into the condenser.
    """

    YES = "explains it"
    NO = "does not"
    NOT_IN_SIZE = "not in size"
    CANNOT_TELL = "cannot tell"


class Explained(StrEnum):
    """Whether any usual fault alone explains it."""

    YES = "explained"
    NO = "not explained"
    CANNOT_TELL = "cannot tell"


class NotModelled(StrEnum):
    """Why the unit could not be asked."""

    UNREAD = "return air with humidity, outdoor air and airflow are needed for it"
    NO_UNIT = "no unit has this rating"


@dataclass(frozen=True, slots=True)
class Explanation:
    """One fault in one circuit, at the size that comes nearest to the readings; of the sizes that are felt.

    Attributes
    ----------
    fault : CircuitFault
        Of `FAULTS`.
    circuit : str
        Where it sits.
    differences : dict of str to Band
        Suspect less the other as the unit would have them [K]; empty where no size could be solved.
    verdict : Explains
    against : tuple of str
        Readings that the fault cannot meet at the size that meets the others best.
    own_subcooling : Band
        What the faulty circuit's own subcooling would be [K]: where the fault sits in the pair.
    """

    fault: CircuitFault
    circuit: str
    differences: dict[str, Band]
    verdict: Explains
    against: tuple[str, ...]
    own_subcooling: Band


@dataclass(frozen=True, slots=True)
class ContrastModel:
    """The measured contrast of a pair beside what the unit makes of each fault.

    Attributes
    ----------
    where : Where
    suspect, other : str
        Differences are the first's less the second's.
    subcooling : dict of str to Band
        Read of each circuit [K]; where it was.
    measured : dict of str to Band
        With the discrepancy of two sound circuits in the band [K].
    sound : dict of str to Band
        Of the unit without a fault [K].
    explanations : tuple of Explanation
        Of the suspect first, then of the other circuit.
    reason : NotModelled or None
        Why the unit could not be asked.
    """

    where: Where
    suspect: str
    other: str
    subcooling: dict[str, Band]
    measured: dict[str, Band]
    sound: dict[str, Band]
    explanations: tuple[Explanation, ...]
    reason: NotModelled | None = None

    @property
    def explaining(self) -> tuple[Explanation, ...]:
        """Faults that explain the readings."""
        return tuple(e for e in self.explanations if e.verdict is Explains.YES)

    @property
    def verdict(self) -> Explained:
        """Whether any of the faults alone explains it."""
        if self.explaining:
            return Explained.YES
        told = {e.verdict for e in self.explanations}
        excluded = bool(told) and told <= {Explains.NO, Explains.NOT_IN_SIZE}
        return Explained.NO if excluded else Explained.CANNOT_TELL


def contrast_models(draws: Draws, results: Sequence[ConditionResult]) -> tuple[ContrastModel, ...]:
    """Every condition in which a circuit stands out, explained."""
    those = [r for r in results if r.contrast is not None and r.contrast.suspect]
    # A compressor that does not pump was found against the sound unit already.
    odd = [r for r in those if r.contrast is not None and r.contrast.text is not Suspicion.WEAK_COMPRESSOR]
    unit = unit_build.from_rating(draws) if odd else None
    return tuple(_explained(draws, unit, result, result.contrast) for result in odd if result.contrast)


def _explained(
    draws: Draws, unit: Calibrated | None, result: ConditionResult, found: Contrast
) -> ContrastModel:
    charges = result.charges
    raw = measured_differences(draws, result.where, charges[found.suspect], charges[found.against])
    read = {n: band(d.draws) for n, c in charges.items() if (d := c.state.subcooling) is not None}
    measured = {name: band(column) for name, column in raw.items()}
    raw = {name: column[: DRAWS + 1] for name, column in raw.items()}
    head = (result.where, found.suspect, found.against, read, measured)
    standing = unit_build.conditions(draws, result)
    if unit is None or standing is None or unit.refused > MOST_REFUSED:
        return ContrastModel(*head, {}, (), NotModelled.UNREAD if standing is None else NotModelled.NO_UNIT)
    pair = [list(draws.job.circuit).index(name) for name in (found.suspect, found.against)]
    states = _solved(unit, standing, pair, len(draws.job.circuit))
    modelled = {n: f[pair[0]] - f[pair[1]] for n, f in _fields(states).items() if n in raw}
    sound = {name: rows[0] for name, rows in modelled.items()}
    enough = _fits(raw, sound)
    explanations = []
    row = 1
    for name, index in zip((found.suspect, found.against), pair, strict=True):
        for fault, (_, sizes) in FAULTS.items():
            some = [0, *range(row, row + len(sizes))]
            own = {n: rows[some] for n, rows in modelled.items()}
            explanations.append(
                _judged(raw, own, (fault, name), enough, _between(states.subcooling[index][some]))
            )
            row += len(sizes)
    bands = {name: band(column) for name, column in sound.items()}
    return ContrastModel(*head, bands, tuple(explanations))


def _solved(unit: Calibrated, standing: Conditions, pair: list[int], circuits: int) -> UnitStates:
    """The sound unit in row 0, then every fault and size in the first of the pair, then in the second."""
    columns = {
        name: value if value is None or np.ndim(value) == 0 else np.asarray(value)[: DRAWS + 1]
        for name, value in vars(standing).items()
        if name != "running"
    }
    count = 1 + len(pair) * sum(len(sizes) for _, sizes in FAULTS.values())
    faults = {
        field: np.full((circuits, count, 1), float(getattr(Faults(), field))) for field, _ in FAULTS.values()
    }
    row = 1
    for index in pair:
        for field, sizes in FAULTS.values():
            faults[field][index, row : row + len(sizes), 0] = sizes
            row += len(sizes)
    few = UnitModel(unit.unit.constants.take(np.arange(DRAWS + 1)))
    running = np.asarray(standing.running, bool).reshape(circuits, 1, 1)
    return few.solve(Conditions(**columns, running=running), Faults(**faults))


def _fields(states: UnitStates) -> dict[str, Array]:
    return {name: getattr(states, field) for name, field in READINGS.items()}


def _medians(rows: Array) -> Array:
    """Median of each row over the draws that are solved; NaN where none is."""
    solved = np.isfinite(rows).any(axis=1)
    medians = np.full(len(rows), np.nan)
    medians[solved] = np.nanmedian(rows[solved], axis=1)
    return medians


def _judged(
    raw: dict[str, Array],
    sizes: dict[str, Array],
    what: tuple[CircuitFault, str],
    sound_fits: bool,
    own_subcooling: Array,
) -> Explanation:
    """The fault at its best size; a reading is met where the band of what is left holds zero."""
    tried = {name: _between(rows) for name, rows in sizes.items()}
    steps = range(len(own_subcooling))
    costs = np.array([_cost(raw, {n: rows[i] for n, rows in tried.items()}) for i in steps])
    felt = np.max([np.abs(_medians(rows - rows[:1])) for rows in tried.values()], axis=0) >= FAULT_FELT
    costs = np.where(felt, costs, np.nan)
    if not np.isfinite(costs).any():
        return Explanation(*what, {}, Explains.CANNOT_TELL, (), NOT_KNOWN)
    best = int(np.nanargmin(costs))
    rows = {name: column[best] for name, column in tried.items()}
    against = tuple(name for name in rows if not _holds_zero(raw[name] - rows[name]))
    verdict = Explains.NO if against else Explains.YES
    if what[0] is CircuitFault.RESTRICTION and _by_sign_alone(against) and _further(raw, rows, sizes):
        verdict = Explains.NOT_IN_SIZE
    if len(rows) < 2 or (sound_fits and not against):
        verdict = Explains.CANNOT_TELL
    bands = {name: band(column) for name, column in rows.items()}
    return Explanation(*what, bands, verdict, against, band(own_subcooling[best]))


def _by_sign_alone(against: tuple[str, ...]) -> bool:
    """Whether the liquid held back speaks against it; where the model lacks it, it starves the more."""
    return "subcooling" in against and set(against) <= {"subcooling", "superheat"}


def _further(raw: dict[str, Array], rows: dict[str, Array], sizes: dict[str, Array]) -> bool:
    """Whether the subcooling was read beyond the model's on the side to which the fault moves it."""
    moved = np.nanmedian(rows["subcooling"] - sizes["subcooling"][0])
    starved = np.nanmedian(rows["superheat"]) if "superheat" in rows else 0.0
    other_way = "superheat" in raw and band(np.sign(starved) * raw["superheat"]).high < 0.0
    return bool(moved * np.nanmedian(raw["subcooling"] - rows["subcooling"]) > 0.0 and not other_way)


def _between(rows: Array) -> Array:
    """Differences (sizes, draws) with steps between neighbouring sizes; NaN beside a refused one."""
    share = np.arange(BETWEEN)[:, None, None] / BETWEEN
    steps = rows[:-1] * (1.0 - share) + rows[1:] * share
    return np.concatenate([steps.swapaxes(0, 1).reshape(-1, rows.shape[1]), rows[-1:]])


def _cost(raw: dict[str, Array], rows: dict[str, Array]) -> float:
    """Sum over the readings of (mean / sd)^2 of what the model leaves."""
    total = 0.0
    for name, column in rows.items():
        left = (raw[name] - column)[1:]
        left = left[np.isfinite(left)]
        if left.size < (1.0 - MOST_REFUSED) * DRAWS:
            return np.nan
        total += float((left.mean() / left.std()) ** 2)
    return total


def _fits(raw: dict[str, Array], rows: dict[str, Array]) -> bool:
    return all(_holds_zero(raw[name] - column) for name, column in rows.items())


def _holds_zero(left: Array) -> bool:
    found = band(left)
    return found.known and found.low <= 0.0 <= found.high
