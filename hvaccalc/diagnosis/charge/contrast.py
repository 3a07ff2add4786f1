"""Contrast between circuits: they share air, coil and weather, so their difference cancels most unknowns.

Measured against the difference to be expected, not against zero: different targets shift it, and in a
row-split coil the suction saturations differ by nature, so that they are left out there.
"""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import combinations

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge import gates
from hvaccalc.diagnosis.charge.charge_reasons import Because
from hvaccalc.diagnosis.charge.charge_target import VALVES, Method
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge, unmet_gates
from hvaccalc.diagnosis.charge.gates import Gate, GateName, GateState
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.circuits.standing_pressure import stands_above
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.ensemble import beyond
from hvaccalc.job.causes import Cause
from hvaccalc.practice.circuits import CIRCUITS_APART, ODD_ONE_OUT, OVERFED_SUPERHEAT
from hvaccalc.reason import Reason
from hvaccalc.rows import complete
from hvaccalc.severity import Severity


class Suspicion(StrEnum):
    """What a circuit looks like beside another one.

    Short or restricted where subcooling was not read on both; overfed where no valve meters.
    """

    LOW_CHARGE = "short of charge"
    LOW_CHARGE_OR_RESTRICTION = "short of charge or restriction"
    RESTRICTION = "restriction"
    OVERFEEDING_VALVE = "overfeeding valve"
    OVERFED = "overfed"
    OVERCHARGE = "overcharged"
    WEAK_COMPRESSOR = "does not pump"
    NONE = "none stands out"
    CANNOT_TELL = "cannot tell"

    @property
    def cause(self) -> Cause | None:
        """What it speaks for; None where no circuit stands out."""
        return _CAUSES[self]

    @property
    def telling(self) -> tuple[bool, bool]:
        """What orders comparisons: a circuit that stands out before none, none before "cannot tell"."""
        return self.cause is not None, self is not Suspicion.CANNOT_TELL


_CAUSES = complete(
    Suspicion,
    {
        Suspicion.LOW_CHARGE: Cause.LOW_CHARGE,
        Suspicion.LOW_CHARGE_OR_RESTRICTION: Cause.LOW_CHARGE,
        Suspicion.RESTRICTION: Cause.RESTRICTION,
        Suspicion.OVERFEEDING_VALVE: Cause.OVERFEEDING_VALVE,
        Suspicion.OVERFED: Cause.OVERFEEDING_VALVE,
        Suspicion.OVERCHARGE: Cause.OVERCHARGE,
        Suspicion.WEAK_COMPRESSOR: Cause.WEAK_COMPRESSOR,
        Suspicion.NONE: None,
        Suspicion.CANNOT_TELL: None,
    },
)


@dataclass(frozen=True, slots=True)
class Contrast:
    """What sets two circuits of one condition apart.

    Attributes
    ----------
    suspect : str
        Circuit that stands out, empty where none.
    text : Suspicion
    differences : tuple of (str, ndarray)
        Suspect less the other, beyond the expected difference [K]: subcooling, superheat, suction.
    expected : dict of str to float
        What is to be expected of it by targets or charts [K]; left out where none is.
    reason : Reason
    provisos : tuple of GateName
        Gates that are not known.
    against : str
        The other circuit.
    """

    where: Where
    suspect: str
    against: str
    text: Suspicion
    reason: Reason
    differences: tuple[tuple[str, Array], ...]
    provisos: tuple[GateName, ...]
    expected: dict[str, float] = field(default_factory=dict)

    @property
    def severity(self) -> Severity:
        """A circuit that stands out calls for action."""
        return Severity.ACT if self.suspect else Severity.NOTE


def contrast(draws: Draws, where: Where, charges: dict[str, CircuitCharge]) -> Contrast | None:
    """Compare the circuits that run; None where the unit has fewer than two with readings.

    Of more than two every pair is compared; the pair told is one of the circuit that stands out most often.
    """
    names = [name for name in charges if compressors.runs(draws, where.at(name))]
    pairs = [_pair(draws, where, charges, pair) for pair in combinations(names, 2)]
    if not pairs:
        return None
    suspects = [pair.suspect for pair in pairs if pair.suspect]
    return max(pairs, key=lambda pair: (suspects.count(pair.suspect), pair.text is Suspicion.NONE))


def _pair(draws: Draws, where: Where, charges: dict[str, CircuitCharge], names: tuple[str, str]) -> Contrast:
    first, second = names
    checked = _gates(draws, where, (first, second))
    if _orifice(draws, *(charges[name].state for name in names)):
        # Too little air lowers the superheat of orifices, not of both alike: the air first.
        checked += [g for g in charges[first].gates if g.name is GateName.AIRFLOW]
    # A condenser fan that stands raises its own circuit's head and moves its liquid: the fan first.
    stands = [charges[name] for name in names if charges[name].state.fans_stand is not None]
    checked += [g for charge in stands for g in charge.gates if g.name is GateName.CONDENSER]
    unmet = [g for g in checked if g.state is GateState.UNMET]
    if unmet:
        reason = Reason(Because.SEVERAL, {"parts": unmet_gates(unmet)})
        return Contrast(where, "", "", Suspicion.CANNOT_TELL, reason, (), ())
    provisos = tuple(dict.fromkeys(g.name for g in checked if g.state is GateState.UNKNOWN))
    differences = _differences(draws, where, charges[first], charges[second])
    if weak := [name for name in names if charges[name].pumping.weak]:
        return _weak(where, names, weak, charges, differences)
    if not {"subcooling", "superheat"} & set(differences):
        reason = Reason(Because.NEITHER_ON_BOTH)
        return Contrast(where, "", "", Suspicion.CANNOT_TELL, reason, (), provisos)
    found = _judge(where, first, second, charges, differences, provisos)
    if found.text is Suspicion.OVERCHARGE and stands_above(draws, where.at(found.suspect)):
        return Contrast(where, "", "", Suspicion.CANNOT_TELL, Reason(Because.GAS_INSIDE), (), provisos)
    turn = -1.0 if found.suspect == second else 1.0
    read = measured_differences(draws, where, charges[first], charges[second])
    expected = {name: turn * float(read[name][0] - column[0]) for name, column in differences.items()}
    if found.text is Suspicion.OVERFEEDING_VALVE and draws.job.circuit[found.suspect].metering not in VALVES:
        found = replace(found, text=Suspicion.OVERFED)
    return replace(found, expected=expected)


def _orifice(draws: Draws, *states: CircuitState) -> bool:
    """Whether an orifice meters any of some circuits."""
    return any(draws.job.circuit[state.where.circuit].metering == ORIFICE for state in states)


def _weak(
    where: Where,
    names: tuple[str, str],
    weak: list[str],
    charges: dict[str, CircuitCharge],
    differences: dict[str, Array],
) -> Contrast:
    """A compressor that does not pump accounts for it; the sound circuit beside it is not accused."""
    if len(weak) > 1:
        reason = Reason(
            Because.SEVERAL, {"parts": unmet_gates([charges[name].pumping.gate for name in names])}
        )
        return Contrast(where, "", "", Suspicion.CANNOT_TELL, reason, (), ())
    (suspect,) = weak
    other = names[1] if suspect == names[0] else names[0]
    turn = 1.0 if suspect == names[0] else -1.0
    rows = tuple((name, turn * column) for name, column in differences.items())
    return Contrast(where, suspect, other, Suspicion.WEAK_COMPRESSOR, charges[suspect].pumping.why, rows, ())


def _gates(draws: Draws, where: Where, names: tuple[str, str]) -> list[Gate]:
    checked = [gates.steady(draws, where.at(names[0])), gates.thawed(draws, where.at(names[0]))]
    # A reading that was left out is missed where it is needed; one that may be mistyped is there.
    doubted = [
        gates.consistent(draws, place) for name in names if (place := where.at(name)) in dict(draws.doubted)
    ]
    return checked + doubted + [gates.proved(draws, where.at(name)) for name in names]


def measured_differences(
    draws: Draws, where: Where, first: CircuitCharge, second: CircuitCharge
) -> dict[str, Array]:
    """First less second as read [K], with the discrepancy of two sound circuits added.

    Without the subcooling where an orifice meters either.
    """
    a, b = first.state, second.state
    found: dict[str, Array] = {}
    if a.subcooling is not None and b.subcooling is not None and not _orifice(draws, a, b):
        found["subcooling"] = a.subcooling.draws - b.subcooling.draws
    if a.superheat is not None and b.superheat is not None:
        found["superheat"] = a.superheat.draws - b.superheat.draws
    if a.coil_suction_saturation is not None and b.coil_suction_saturation is not None:
        found["suction saturation"] = a.coil_suction_saturation - b.coil_suction_saturation
    # One pair has one discrepancy: the other way round it has the other sign.
    turn = 1.0 if a.where.circuit < b.where.circuit else -1.0
    return {
        name: column + turn * draws.ensemble.normal(f"contrast/{where.path}/{name}", 0.0, CIRCUITS_APART)
        for name, column in found.items()
    }


def _differences(draws: Draws, where: Where, first: CircuitCharge, second: CircuitCharge) -> dict[str, Array]:
    """First less second beyond what is expected."""
    found = measured_differences(draws, where, first, second)
    if "subcooling" in found:
        wanted = [_wanted_subcooling(draws, c.state) for c in (first, second)]
        found["subcooling"] = found["subcooling"] - _expected(*wanted)
    if "superheat" in found:
        wanted = [_wanted_superheat(draws, c.state) for c in (first, second)]
        found["superheat"] = found["superheat"] - _expected(*wanted)
    if draws.job.unit.circuiting not in ("interlaced", "face split"):
        found.pop("suction saturation", None)
    return found


def _wanted_subcooling(draws: Draws, state: CircuitState) -> Array | float | None:
    """Subcooling that the unit's chart asks for, else the target [K]."""
    if state.chart_offset is not None and state.subcooling is not None:
        return state.subcooling.draws + state.chart_offset
    target = draws.job.circuit[state.where.circuit].target_subcooling
    return None if target is None else target.value


def _wanted_superheat(draws: Draws, state: CircuitState) -> float | None:
    target = draws.job.circuit[state.where.circuit].target_superheat
    return None if target is None else target.value


def _expected(first: Array | float | None, second: Array | float | None) -> Array | float:
    return 0.0 if first is None or second is None else first - second


def _sign(column: Array | None) -> int:
    """+1 or -1 where the difference lies beyond its band, else 0."""
    if column is None:
        return 0
    return 1 if beyond(column) else -1 if beyond(-column) else 0


def _judge(
    where: Where,
    first: str,
    second: str,
    charges: dict[str, CircuitCharge],
    differences: dict[str, Array],
    provisos: tuple[GateName, ...],
) -> Contrast:
    signs = {name: _sign(column) for name, column in differences.items()}
    cool, heat = signs.get("subcooling", 0), signs.get("superheat", 0)
    if not cool and not heat:
        rows = tuple(differences.items())
        orifice = Method.SUPERHEAT in (charges[name].held.method for name in (first, second))
        wanted = ("superheat",) if orifice else ("subcooling", "superheat")
        missing = [name for name in wanted if name not in differences]
        if missing:
            reason = Reason(Because.ONE_NOT_ON_BOTH, {"what": missing[0]})
            return Contrast(where, "", "", Suspicion.CANNOT_TELL, reason, rows, provisos)
        reason = Reason(Because.WITHIN_BAND)
        return Contrast(where, "", "", Suspicion.NONE, reason, rows, provisos)
    suspect, text = _suspect(first, second, charges, cool, heat)
    blocked = charges[suspect].state.drier_restricted
    if text is Suspicion.RESTRICTION and "subcooling" not in differences and not blocked:
        text = Suspicion.LOW_CHARGE_OR_RESTRICTION
    other = second if suspect == first else first
    odder = charges[other].pumping.odder_than(charges[suspect].pumping)
    if text is Suspicion.RESTRICTION and odder:
        # A restriction lowers the suction of its own circuit; it raises nothing in the other.
        reason = Reason(Because.OTHER_HIGH, {"other": other})
        return Contrast(where, "", "", Suspicion.CANNOT_TELL, reason, tuple(differences.items()), provisos)
    turn = 1.0 if suspect == first else -1.0
    rows = tuple((name, turn * column) for name, column in differences.items())
    return Contrast(where, suspect, other, text, _apart(signs, turn), rows, provisos)


def _suspect(
    first: str, second: str, charges: dict[str, CircuitCharge], cool: int, heat: int
) -> tuple[str, Suspicion]:
    """Which of two unlike circuits is the odd one, and what its pattern looks like.

    Less subcooling with more superheat is a shortage; more superheat otherwise a restriction or a starved
    valve, unless the other circuit has next to no superheat, then that one is overfed (Li and Braun, rule
    table of residual signs). With subcooling alone the circuit further from its own target is the odd one.
    """
    if heat:
        more, less = (first, second) if heat > 0 else (second, first)
        if cool == -heat:
            return more, Suspicion.LOW_CHARGE
        superheat = charges[less].state.superheat
        flooded = superheat is not None and superheat.draws[0] < OVERFED_SUPERHEAT
        return (less, Suspicion.OVERFEEDING_VALVE) if flooded else (more, Suspicion.RESTRICTION)
    more, less = (first, second) if cool > 0 else (second, first)
    away = [charges[name].deviation for name in (more, less)]
    if away[0] is not None and away[1] is not None and abs(away[0][0]) > max(abs(away[1][0]), ODD_ONE_OUT):
        return more, Suspicion.OVERCHARGE
    return less, Suspicion.LOW_CHARGE


def _apart(signs: dict[str, int], turn: float) -> Reason:
    told = tuple(
        Reason(Because.MORE if sign * turn > 0 else Because.LESS, {"what": name})
        for name, sign in signs.items()
        if sign
    )
    return Reason(Because.APART, {"apart": told})
