"""Whether each compressor pumps: asked before its charge, for a worn one looks short of refrigerant.

A compressor that moves too little gas leaves the suction high and the head low, whatever the charge; so does
a reversing valve that lets discharge gas by into the suction. A shortage lowers both (Li and Braun, rule
table of residual signs).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.air.sound_unit import normal
from hvaccalc.diagnosis.charge.charge_reasons import GateWhy, Next, Proviso
from hvaccalc.diagnosis.charge.gates import Gate, GateName, GateState, full_airflow, proved, steady
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import LOOSE_BULB, sign
from hvaccalc.ensemble import beyond
from hvaccalc.equipment.unit.unit_state import UnitStates
from hvaccalc.job.causes import Cause
from hvaccalc.practice.circuits import CIRCUITS_APART, OVERLOAD_SHARE, PLATE_SHARE, VALVE_BY_PASS
from hvaccalc.practice.statements import LEANS, MOST, SURE
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class Pumps(StrEnum):
    """Whether a compressor pumps."""

    YES = "pumps"
    WEAK = "pumps too little"
    BY_PASSES = "gas by-passes in the reversing valve"
    CANNOT_TELL = "cannot tell"

    @property
    def cause(self) -> Cause | None:
        """What it speaks for; None where nothing is wrong or known."""
        return Cause.WEAK_COMPRESSOR if self in (Pumps.WEAK, Pumps.BY_PASSES) else None


@dataclass(frozen=True, slots=True)
class Pumping:
    """Whether one circuit's compressor pumps.

    Attributes
    ----------
    where : Where
    text : Pumps
    suction, head : ndarray or None
        Suction at the coil and condensing saturation above the sound unit's in this weather and air [K],
        (N + 1,); None where it could not be asked.
    beside : str
        Circuit of the same unit beside which suction stands high and head low; empty without.
    valve_rise : ndarray or None
        Suction gas behind the reversing valve above that before it [K].
    plate_share : float or None
        Current over the rated load current of the plate.
    liquid : bool
        Whether liquid comes back to it, which raises the suction and lowers the head of a sound one too.
    """

    where: Where
    text: Pumps
    suction: Array | None = None
    head: Array | None = None
    beside: str = ""
    valve_rise: Array | None = None
    plate_share: float | None = None
    liquid: bool = False

    @property
    def weak(self) -> bool:
        """Whether compressor or reversing valve is at fault."""
        return self.text.cause is not None

    def odder_than(self, other: "Pumping") -> bool:
        """Whether suction leans high here with a low head, and not low in the other circuit."""
        if self.suction is None or self.head is None or other.suction is None or not self.head[0] < 0.0:
            return False
        high, apart = _share_above(self.suction), _share_above(self.suction - other.suction)
        return min(high, apart) >= LEANS and _share_above(other.suction) > 1.0 - LEANS

    @property
    def overloaded(self) -> bool:
        """Whether the compressor draws well above its plate."""
        return self.plate_share is not None and self.plate_share > OVERLOAD_SHARE

    @property
    def severity(self) -> Severity:
        """A compressor that does not pump or is overloaded calls for action; one above its plate: watch."""
        over = self.plate_share is not None and self.plate_share > PLATE_SHARE
        return Severity.ACT if self.weak or self.overloaded else Severity.WATCH if over else Severity.NOTE

    @property
    def gate(self) -> Gate:
        """No charge is judged behind a compressor that does not pump."""
        if self.weak:
            return Gate(GateName.PUMPS, GateState.UNMET, self.why, settle=self._settles)
        if self.liquid:
            return Gate(
                GateName.PUMPS, GateState.UNMET, Reason(GateWhy.LIQUID_BACK), settle=Reason(Next.NO_LIQUID)
            )
        if self.text is Pumps.YES:
            return Gate(GateName.PUMPS, GateState.MET, Reason(GateWhy.PUMPS))
        return Gate(
            GateName.PUMPS, GateState.UNKNOWN, Reason(GateWhy.NOT_ASKED), proviso=Reason(Proviso.PUMPS)
        )

    @property
    def _settles(self) -> Reason:
        """What is to be read of a weak one: what was not yet."""
        if self.plate_share is None:
            return Reason(Next.PUMPING)
        return Reason(Next.VALVE_GAS if self.valve_rise is None else Next.COMPRESSOR_CHECK)

    @property
    def why(self) -> Reason:
        """What shows that it does not pump."""
        if self.text is Pumps.BY_PASSES and self.valve_rise is not None:
            return Reason(GateWhy.BY_PASSES, {"rise": float(self.valve_rise[0])})
        if self.suction is None or self.head is None or not _weak(self.suction, self.head):
            return Reason(GateWhy.WEAK_BESIDE, {"other": self.beside})
        above, below = float(self.suction[0]), -float(self.head[0])
        return Reason(GateWhy.WEAK, {"above": above, "below": below})


def pumping(
    draws: Draws,
    circuits: Mapping[str, CircuitState],
    flow: Airflow | None,
    sound: Callable[[], UnitStates | None],
) -> dict[str, Pumping]:
    """Whether each compressor that runs pumps, by circuit.

    Parameters
    ----------
    circuits : mapping
        Those that run in one condition.
    sound : callable
        Gives `sound_states`; asked only where they can tell.
    """
    return {name: _pumps(draws, state, circuits, flow, sound) for name, state in circuits.items()}


def _pumps(
    draws: Draws,
    state: CircuitState,
    circuits: Mapping[str, CircuitState],
    flow: Airflow | None,
    sound: Callable[[], UnitStates | None],
) -> Pumping:
    where = state.where
    rise, share = _valve_rise(draws, where), _plate_share(draws, where)
    # A circuit that has just started has its suction high and its head low as well.
    settled = (
        steady(draws, where).state is not GateState.UNMET and proved(draws, where).state is GateState.MET
    )
    # With too little air the suction stands where the air puts it: the other circuit alone can tell.
    aired = full_airflow(draws, where, flow).state is not GateState.UNMET
    suction, head = _above_sound(draws, state, sound()) if settled and aired else (None, None)
    beside = _beside(draws, state, circuits, head) if settled else ""
    if rise is not None and np.mean(rise[1:] > VALVE_BY_PASS) >= MOST:
        text = Pumps.BY_PASSES
    elif beside or _weak(suction, head):
        if _liquid_back(draws, state):
            return Pumping(where, Pumps.CANNOT_TELL, suction, head, "", rise, share, liquid=True)
        text = Pumps.CANNOT_TELL if where in dict(draws.doubted) else Pumps.WEAK
    else:
        text = Pumps.CANNOT_TELL if suction is None or head is None else Pumps.YES
    return Pumping(where, text, suction, head, beside, rise, share)


def _liquid_back(draws: Draws, state: CircuitState) -> bool:
    """Whether liquid comes back to a compressor: no superheat, or hardly any beside a sign that shows why."""
    if state.superheat is None:
        return False
    rows = state.superheat.draws
    if not np.isfinite(rows).any() or beyond(rows):
        return False
    frosted = "compressor" in sign(draws, state.where, "frost_on")
    return bool(rows[0] <= 0.0 or frosted or LOOSE_BULB & set(sign(draws, state.where, "sensing_bulb")))


def _valve_rise(draws: Draws, where: Where) -> Array | None:
    before, after = (draws.column(where, f"valve_suction_{side}_temperature") for side in ("in", "out"))
    return None if before is None or after is None else after - before


def _plate_share(draws: Draws, where: Where) -> float | None:
    plate = draws.job.circuit[where.circuit].rated_load_current
    read = draws.quantity(where, "compressor_current")
    return None if plate is None or read is None else float(read.value / plate.value)


def _above_sound(
    draws: Draws, state: CircuitState, sound: UnitStates | None
) -> tuple[Array | None, Array | None]:
    """Suction and condensing saturation above the sound unit's [K]."""
    if sound is None:
        return None, None
    index = list(draws.job.circuit).index(state.where.circuit)
    read = (
        ("suction saturation", state.coil_suction_saturation, sound.suction_saturation),
        ("condensing saturation", state.condensing_saturation, sound.condensing_saturation),
    )
    above = []
    for reading, column, solved in read:
        due = normal(draws, state.where, reading, solved[index])
        above.append(None if due is None or column is None else column - due)
    return above[0], above[1]


def _weak(suction: Array | None, head: Array | None) -> bool:
    """Suction above the sound unit's band and the head below it."""
    return (
        suction is not None and head is not None and min(_share_above(suction), _share_above(-head)) >= SURE
    )


def _share_above(column: Array) -> float:
    rows = column[1:][np.isfinite(column[1:])]
    return float(np.mean(rows > 0.0)) if rows.size else 0.0


def _beside(
    draws: Draws, state: CircuitState, circuits: Mapping[str, CircuitState], head: Array | None
) -> str:
    """The other circuit of the same air beside which suction stands high and head low; empty without.

    Not in a row split, whose circuits meet different air, nor where this one's head is not low by itself:
    then the other one's is high.
    """
    own = (state.coil_suction_saturation, state.condensing_saturation)
    if draws.job.unit.circuiting not in ("interlaced", "face split") or compressors.heating(
        draws, state.where
    ):
        return ""
    if head is not None and not head[0] < 0.0:
        return ""
    for name, other in circuits.items():
        theirs = (other.coil_suction_saturation, other.condensing_saturation)
        if name == state.where.circuit:
            continue
        if own[0] is None or own[1] is None or theirs[0] is None or theirs[1] is None:
            continue
        pair = sorted((state.where.circuit, name))
        turn = 1.0 if pair[0] == name else -1.0
        apart = [
            turn * draws.ensemble.normal(f"pumping/{state.where.air.path}/{pair}/{side}", 0.0, CIRCUITS_APART)
            for side in ("suction", "head")
        ]
        if beyond(own[0] - theirs[0] + apart[0]) and beyond(theirs[1] - own[1] + apart[1]):
            return name
    return ""
