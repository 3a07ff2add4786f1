"""How cold the coil is in a measured condition, and how likely it freezes.

Two criteria apart: the coldest fin root at 32 °F, and suction saturation at 32 °F. The suction saturation
is the measured one; where it was not read it is not invented.
"""

from dataclasses import dataclass, replace

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.air.air_states import AirStates, AirStream
from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings import compressors, rated_unit
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import ice, sign
from hvaccalc.ensemble import NOT_KNOWN, Band, share
from hvaccalc.equipment.coil import cooling_coil
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.circuits import STEADY_AFTER
from hvaccalc.practice.statements import FROST_MISSED, HARDLY, LIKELY, MOST_REFUSED
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class FreezeRisk:
    """Coil temperature and freezing in one condition.

    Attributes
    ----------
    suction : dict of str to ndarray
        Suction saturation at the coil by running circuit [K].
    coldest : ndarray or None
        Coldest fin root, at the local airflow [K]; NaN rows were refused by the coil.
    coldest_circuit : str or None
        Circuit whose tubes are coldest in the central row.
    fin, suction_probability : Band
        Probability that frost can be there, 0-1: the criterion below freezing and, where the humidity was
        read, below the dew point of the air; lowered where no frost was seen after a proved run.
    metal : Band
        Probability that the coldest metal lies below freezing, wet or dry, 0-1.
    refused : float
        Share of draws whose rating has no coil, 0-1.
    missing, suction_missing : tuple of str
        Readings without which the coldest metal, and the suction criterion, cannot be told; empty where
        something else stands in the way.
    reason : str
        Why nothing can be told, empty otherwise.
    ice_seen : tuple of str
        Where ice was seen.
    seen_free : bool
        Whether the coil was seen free of frost after a proved run.
    """

    where: Where
    running: tuple[str, ...]
    suction: dict[str, Array]
    coldest: Array | None
    coldest_circuit: str | None
    fin: Band
    suction_probability: Band
    refused: float
    missing: tuple[str, ...]
    suction_missing: tuple[str, ...]
    reason: str = ""
    ice_seen: tuple[str, ...] = ()
    metal: Band = NOT_KNOWN
    seen_free: bool = False

    @property
    def _known(self) -> tuple[Band, ...]:
        return tuple(chance for chance in (self.fin, self.suction_probability) if chance.known)

    @property
    def fin_severity(self) -> Severity:
        """How much the coldest metal matters."""
        return _severity(self.fin)

    @property
    def suction_severity(self) -> Severity:
        """How much the suction saturation matters: where the metal is known, ice is the metal's to tell."""
        severity = _severity(self.suction_probability)
        warmer = self.fin.known and self.fin.value < LIKELY
        return Severity.WATCH if warmer and severity is Severity.ACT else severity

    @property
    def ice_severity(self) -> Severity:
        """Ice that was seen outranks what is computed."""
        return Severity.ACT if self.ice_seen else Severity.NOTE

    @property
    def tells(self) -> bool:
        """Whether ice was seen, or either criterion is known."""
        return bool(self.ice_seen or self._known)

    @property
    def likely(self) -> bool:
        """Whether ice was seen, or is likely: on the metal where that is known, else by the suction."""
        return bool(self.ice_seen) or any(chance.value >= LIKELY for chance in self._known[:1])

    @property
    def clear(self) -> bool:
        """Whether every known criterion stays above freezing, one at least is known, and no ice was seen."""
        calm = all(chance.value < HARDLY for chance in self._known)
        return bool(self._known) and calm and not self.ice_seen


def _severity(chance: Band) -> Severity:
    """Likely freezing calls for action; what cannot be told, or is not excluded, is watched."""
    if chance.known and chance.value >= LIKELY:
        return Severity.ACT
    return Severity.NOTE if chance.known and chance.value < HARDLY else Severity.WATCH


def freeze_risk(
    draws: Draws, states: AirStates, flow: Airflow | None, circuits: dict[str, CircuitState]
) -> FreezeRisk | None:
    """Freezing in one condition; None where no compressor cools."""
    where = states.where
    names = compressors.running_circuits(draws, where)
    if not names or compressors.heating(draws, where):
        return None
    suction = _suction(names, circuits)
    unread = tuple(f"suction pressure of circuit {name}" for name in names if name not in suction)
    missing = unread + _missing_air(states)
    probability = NOT_KNOWN
    free = seen_free(draws, where)
    if len(suction) == len(names):
        probability = _frost(np.min(list(suction.values()), axis=0), states.entering, free)
    empty = FreezeRisk(
        *(where, names, suction, None, None, NOT_KNOWN, probability, 0.0, missing, unread), seen_free=free
    )
    foreign = [name for name in names if draws.refrigerant(name) is None]
    if foreign:
        told = ", ".join(f"{draws.job.circuit[name].refrigerant} (circuit {name})" for name in foreign)
        reason = f"properties not carried yet: {told}"
        return replace(empty, missing=(), suction_missing=(), reason=reason)
    if flow is None:
        reason = "the fan stands still: without air the coil freezes or floods back"
        return replace(empty, missing=(), reason=reason)
    if seen := ice(draws, where):
        reason = f"ice was seen on {' and '.join(seen)}: it froze, and readings on an iced coil tell no more"
        return replace(empty, missing=(), ice_seen=seen, reason=reason)
    air = states.entering
    if missing or air is None:
        return replace(empty, reason="not read: " + ", ".join(missing))
    state = coil_state(draws, air, states.barometer.draws, flow, suction)
    roots = np.asarray(state.root)
    with np.errstate(invalid="ignore"):
        coldest = np.asarray(state.coldest_root)
    refused = float(np.mean(~np.isfinite(coldest[1:])))
    if not np.isfinite(coldest[0]) or refused > MOST_REFUSED:
        told = cooling_coil.REASONS.get(int(np.atleast_1d(state.reason)[0]), "")
        reason = told or "no coil fits the rating and these readings"
        return replace(empty, reason=reason)
    # Circuits that are equally cold are told by name, whatever their order in the file.
    cold = zip(np.round(np.nan_to_num(roots[:, 0], nan=np.inf), 6), draws.job.circuit, strict=True)
    circuit = min(cold)[1]
    return replace(
        empty,
        coldest=coldest,
        coldest_circuit=circuit,
        fin=_frost(coldest, air, free),
        metal=share(coldest < FREEZING_POINT, np.isfinite(coldest)),
        refused=refused,
    )


def frosts(temperature: Array, dew_point: Array) -> Mask:
    """Where frost grows: below freezing, and below the dew point of the air.

    Examples
    --------
    At 10 °F dew point metal of 29 °F is cold and dry:

    >>> frosts(np.array([271.5, 271.5, 274.0]), np.array([280.0, 260.9, 280.0])).tolist()
    [True, False, False]
    """
    return (temperature < FREEZING_POINT) & (dew_point > temperature)


def _frost(temperature: Array, air: AirStream | None, free: bool) -> Band:
    """Probability of frost at a temperature; of freezing alone where no humidity was read."""
    dew_point = np.full_like(temperature, np.inf)
    if air is not None and air.humid:
        # Air masked as impossible proves nothing dry.
        dew_point = np.where(air.possible, air.dew_point, np.inf)
    chance = share(frosts(temperature, dew_point), np.isfinite(temperature))
    if not free or not chance.known:
        return chance

    def unseen(p: float) -> float:
        return p * FROST_MISSED / (p * FROST_MISSED + 1.0 - p)

    return Band(unseen(chance.value), unseen(chance.low), unseen(chance.high), chance.masked)


def seen_free(draws: Draws, where: Where) -> bool:
    """Whether the coil was looked at after a run long enough to tell, and no frost was on it."""
    condition = draws.condition(where)
    ran = condition.running_for is not None and condition.running_for.value >= STEADY_AFTER
    return ran and sign(draws, where, "frost_on") == ("none",) and not ice(draws, where)


def coil_state(
    draws: Draws, air: AirStream, barometer: Array, flow: Airflow, suction: dict[str, Array]
) -> cooling_coil.CoilState:
    """The calibrated coil at the measured saturations, at its coldest spot's airflow.

    Where the circuiting is not known every kind is as likely as the others.
    """
    shares = draws.capacity_shares()
    idle = np.full(draws.ensemble.size + 1, np.nan)
    saturation = [suction.get(name, idle) for name in draws.job.circuit]
    share_list = [shares[name] for name in draws.job.circuit]
    inputs = (air.dry_bulb, air.humidity_ratio, barometer, flow.dry_air_flow * draws.local_airflow)
    return _by_kind(draws, rated_unit.circuitings(draws), inputs, saturation, share_list)


def _by_kind(
    draws: Draws,
    own: Array,
    inputs: tuple[Array, Array, Array, Array],
    saturation: list[Array],
    shares: list[float],
) -> cooling_coil.CoilState:
    """Solve each circuiting once and take from each draw its own."""
    kinds = np.unique(own)
    solved = {k: cooling_coil.solve(draws.coil, *inputs, saturation, shares, str(k)) for k in kinds}
    if len(kinds) == 1:
        return solved[kinds[0]]
    fields = {
        name: np.choose(np.searchsorted(kinds, own), [np.asarray(getattr(solved[k], name)) for k in kinds])
        for name in cooling_coil.CoilState.__dataclass_fields__
    }
    return cooling_coil.CoilState(**fields)


def _suction(names: tuple[str, ...], circuits: dict[str, CircuitState]) -> dict[str, Array]:
    read = {name: circuits[name].coil_suction_saturation for name in names if name in circuits}
    return {name: column for name, column in read.items() if column is not None and np.isfinite(column[0])}


def _missing_air(states: AirStates) -> tuple[str, ...]:
    air, name = states.entering, states.entering_name
    if air is None:
        return ("return dry bulb", "return humidity")
    return () if air.humid else (f"{name} humidity",)
