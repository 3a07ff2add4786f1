"""What must be met before a charge is judged in absolute terms: each gate met, unmet or unknown."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.charge.charge_reasons import GateWhy, Next, Proviso
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where, outdoor_read
from hvaccalc.diagnosis.readings.signs import ice, sign, wheel_seen_wrong
from hvaccalc.practice.air import ENOUGH_AIR, FULL_SPEED
from hvaccalc.practice.circuits import CHARGE_OUTDOOR, FLOODING_BELOW, STEADY_AFTER
from hvaccalc.practice.statements import MOST
from hvaccalc.reason import Reason


class GateState(StrEnum):
    """Whether a precondition holds."""

    MET = "met"
    UNMET = "unmet"
    UNKNOWN = "unknown"


class GateName(StrEnum):
    """What has to hold before a charge is judged."""

    COOLING = "the unit cooling"
    STEADY = f"steady for {STEADY_AFTER / 60.0:.0f} minutes"
    AIRFLOW = "full airflow"
    CALLS = "the stages that the unit's chart demands"
    THAWED = "coil thawed"
    FILTERS = "filters clean"
    OUTDOORS = "outdoors in range"
    CONDENSER = "condenser fans steady, no head-pressure control at work"
    COMPRESSOR = "compressor proved running"
    PUMPS = "compressor pumping as it should"
    CONSISTENT = "the circuit's readings agree with each other"


@dataclass(frozen=True, slots=True)
class Gate:
    """One precondition.

    Attributes
    ----------
    name : GateName
    state : GateState
    why : Reason
        The evidence.
    hard : bool
        Without it no verdict at all; a soft gate that is unknown becomes a condition of the verdict.
    proviso : Reason or None
        Condition to state with a verdict where the gate is met or unknown.
    settle : Reason or None
        What would settle a gate that is open; an unmet one without it asks for the readings again.
    """

    name: GateName
    state: GateState
    why: Reason
    hard: bool = False
    proviso: Reason | None = None
    settle: Reason | None = None

    @property
    def shut(self) -> bool:
        """Whether no verdict passes it: it is unmet, or hard and not known."""
        return self.state is GateState.UNMET or (self.hard and self.state is GateState.UNKNOWN)


def gates(draws: Draws, where: Where, flow: Airflow | None) -> tuple[Gate, ...]:
    """All gates for one circuit in one condition but that of its compressor's pumping."""
    return (
        _cooling(draws, where),
        steady(draws, where),
        full_airflow(draws, where, flow),
        _calls(draws, where),
        thawed(draws, where),
        _filters(draws, where),
        _outdoors(draws, where),
        _condenser(draws, where),
        proved(draws, where),
        consistent(draws, where),
    )


def _cooling(draws: Draws, where: Where) -> Gate:
    """Charts and targets hold for cooling; a heat pump's head in heating says nothing of its charge."""
    if compressors.heating(draws, where):
        return Gate(GateName.COOLING, GateState.UNMET, Reason(GateWhy.HEATS))
    return Gate(GateName.COOLING, GateState.MET, Reason(GateWhy.NO_CALL_HEATS))


def steady(draws: Draws, where: Where) -> Gate:
    """Running for long enough."""
    condition = draws.condition(where)
    name = GateName.STEADY
    if condition.steady == "no":
        return Gate(name, GateState.UNMET, Reason(GateWhy.NOT_STEADY))
    if condition.running_for is not None:
        ran = condition.running_for.value
        why = Reason(GateWhy.RUNNING_FOR, {"minutes": ran / 60})
        return Gate(name, GateState.MET if ran >= STEADY_AFTER else GateState.UNMET, why)
    if condition.steady == "yes":
        return Gate(name, GateState.MET, Reason(GateWhy.SAID_STEADY))
    why, proviso = Reason(GateWhy.RUN_NOT_NOTED), Reason(Proviso.STEADY)
    return Gate(name, GateState.UNKNOWN, why, proviso=proviso)


def full_airflow(draws: Draws, where: Where, flow: Airflow | None) -> Gate:
    """Full airflow: the fan at full speed and enough air by another method, or a clean coil and filters."""

    def gate(
        state: GateState, why: Reason, proviso: Reason | None = None, settle: Reason | None = None
    ) -> Gate:
        return Gate(GateName.AIRFLOW, state, why, hard=True, proviso=proviso, settle=settle)

    if flow is None:
        return gate(GateState.UNMET, Reason(GateWhy.FAN_STANDS))
    ratio = flow.speed_ratio
    read = ratio is not None and ratio.basis == "measured"
    if read and ratio is not None and ratio.draws[0] < FULL_SPEED:
        share = float(100 * ratio.draws[0])
        return gate(GateState.UNMET, Reason(GateWhy.FAN_SLOW, {"percent": share}))
    if flow.measured:
        enough = float(np.nanmean(flow.rated_share[1:] >= ENOUGH_AIR))
        share = float(100 * flow.rated_share[0])
        why = Reason(GateWhy.AIR_MEASURED, {"percent": share})
        if enough <= 0.5:
            return gate(GateState.UNMET, why)
        if read:
            return gate(GateState.MET, Reason(GateWhy.FULL_SPEED_AND_AIR, {"percent": share}))
        # What a chart asks for is the air; where it was measured for sure, the speed adds nothing.
        return gate(GateState.MET, why, None if enough >= MOST else Reason(Proviso.FULL_SPEED))
    settle = Reason(Next.AIRFLOW, {"speed": _SPEED_OF.get(draws.job.unit.fan.drive, Next.FAN_SPEED)})
    if not read:
        return gate(GateState.UNKNOWN, Reason(GateWhy.AIR_NOT_READ), settle=settle)
    if seen := wheel_seen_wrong(draws, where):
        return gate(GateState.UNMET, Reason(GateWhy.WHEEL_WRONG, {"seen": seen}))
    filters, face = _filters(draws, where).state, sign(draws, where, "coil_face")
    looked = thawed(draws, where).state == GateState.MET
    if filters == GateState.UNMET or set(face) & {"dirty", "bent"}:
        return gate(GateState.UNMET, Reason(GateWhy.NOT_CLEAN))
    if filters == GateState.MET and ("clean" in face or looked):
        return gate(GateState.MET, Reason(GateWhy.CLEAN_AND_LOOKED_AT), Reason(Proviso.FACE_CLEAN))
    here = Where(where.visit, where.condition)
    drops = [draws.column(here, f"{part}_pressure_drop") for part in ("coil", "filter")]
    if filters == GateState.MET and all(drop is not None and drop[0] > 0.0 for drop in drops):
        return gate(GateState.MET, Reason(GateWhy.DROPS_READ), Reason(Proviso.DROP_CLEAN))
    return gate(GateState.UNKNOWN, Reason(GateWhy.SPEED_ALONE), settle=settle)


_SPEED_OF = {None: Next.FREQUENCY_OR_SPEED, "variable frequency": Next.DRIVE_FREQUENCY}
"""How the speed of a drive is read; the fan's own where it is none of these."""


def _calls(draws: Draws, where: Where) -> Gate:
    wanted = tuple(map(str, draws.job.circuit[where.circuit].chart_requires or ()))
    calls = draws.condition(where).calls
    name = GateName.CALLS
    if not wanted:
        return Gate(name, GateState.MET, Reason(GateWhy.NO_CALL_DEMANDED))
    if calls is None:
        why, proviso = (
            Reason(GateWhy.CALLS_NOT_NOTED, {"wanted": wanted}),
            Reason(Proviso.CALLS_ON, {"wanted": wanted}),
        )
        return Gate(name, GateState.UNKNOWN, why, proviso=proviso)
    missing = tuple(call for call in wanted if call not in calls)
    if missing:
        why = Reason(GateWhy.CALLS_OFF, {"wanted": wanted, "missing": missing})
        return Gate(name, GateState.UNMET, why)
    return Gate(name, GateState.MET, Reason(GateWhy.CALLS_ON, {"wanted": wanted}))


def thawed(draws: Draws, where: Where) -> Gate:
    """No ice on the coil."""
    name = GateName.THAWED
    if seen := ice(draws, where):
        return Gate(name, GateState.UNMET, Reason(GateWhy.ICE, {"places": tuple(seen)}), hard=True)
    if "yes" in (draws.condition(where).coil_thawed, *sign(draws, where, "coil_thawed")):
        return Gate(name, GateState.MET, Reason(GateWhy.THAWED), hard=True)
    look = Reason(Next.LOOK_AT_COIL)
    return Gate(name, GateState.UNKNOWN, Reason(GateWhy.COIL_NOT_NOTED), hard=True, settle=look)


def _filters(draws: Draws, where: Where) -> Gate:
    name = GateName.FILTERS
    said = draws.condition(where).filters_clean
    seen = tuple(sign(draws, where, "filters"))
    if said == "no" or set(seen) & {"loaded", "wet", "missing"}:
        why = Reason(GateWhy.FILTERS_SEEN, {"seen": seen}) if seen else Reason(GateWhy.FILTERS_NOT_CLEAN)
        return Gate(name, GateState.UNMET, why)
    if said == "yes" or "clean" in seen:
        return Gate(name, GateState.MET, Reason(GateWhy.FILTERS_CLEAN))
    why, proviso = Reason(GateWhy.FILTERS_NOT_NOTED), Reason(Proviso.FILTERS_CLEAN)
    return Gate(name, GateState.UNKNOWN, why, proviso=proviso)


def _outdoors(draws: Draws, where: Where) -> Gate:
    name = GateName.OUTDOORS
    column = outdoor_read(draws, where)
    low, high = CHARGE_OUTDOOR
    if column is None:
        proviso = Reason(Proviso.OUTDOORS, {"low": float(low), "high": float(high)})
        return Gate(name, GateState.UNKNOWN, Reason(GateWhy.OUTDOORS_NOT_READ), proviso=proviso)
    state = GateState.MET if low <= column[0] <= high else GateState.UNMET
    return Gate(name, state, Reason(GateWhy.OUTDOORS, {"outdoors": float(column[0])}))


def _condenser(draws: Draws, where: Where) -> Gate:
    name = GateName.CONDENSER
    table = draws.condition(where).circuit.get(where.circuit)
    fans = table.condenser_fans_running if table is not None else None
    control = draws.job.unit.protection.head_control
    outdoor = outdoor_read(draws, where)
    if fans is not None and (fans.running == 0 or fans.running != (fans.of or fans.running)):
        why = Reason(GateWhy.FANS_RUNNING, {"running": str(fans.running), "of": str(fans.of or "all")})
        return Gate(name, GateState.UNMET, why)
    if control == "flooding" and outdoor is None:
        why, proviso = Reason(GateWhy.FLOODING_UNREAD), Reason(Proviso.NO_FLOODING)
        return Gate(name, GateState.UNKNOWN, why, proviso=proviso)
    if control == "flooding" and outdoor is not None and outdoor[0] < FLOODING_BELOW:
        return Gate(name, GateState.UNMET, Reason(GateWhy.FLOODING))
    # Fans that cycle or slow down may do so between two looks.
    if fans is not None and control not in ("fan speed", "fan cycling"):
        return Gate(name, GateState.MET, Reason(GateWhy.FANS_ON))
    if control in ("none", "flooding"):
        return Gate(name, GateState.MET, Reason(GateWhy.HEAD_CONTROL, {"control": control}))
    why, proviso = Reason(GateWhy.FANS_NOT_NOTED), Reason(Proviso.FANS_STEADY)
    return Gate(name, GateState.UNKNOWN, why, proviso=proviso)


def consistent(draws: Draws, where: Where) -> Gate:
    """The circuit's readings contradict nothing, and none of them may be mistyped."""
    name = GateName.CONSISTENT
    doubted = tuple(sorted(key.replace("_", " ") for place, key in draws.doubted if place == where))
    if doubted:
        why = Reason(GateWhy.DOUBTED, {"odd": doubted})
        return Gate(name, GateState.UNMET, why, settle=Reason(Next.READ_AGAIN))
    odd = tuple(sorted(key.replace("_", " ") for place, key in draws.excluded if place == where))
    if odd:
        why, settle = Reason(GateWhy.LEFT_OUT, {"odd": odd}), Reason(Next.CHECK_GAUGE_AND_LABEL)
        return Gate(name, GateState.UNMET, why, settle=settle)
    return Gate(name, GateState.MET, Reason(GateWhy.AGREES))


def proved(draws: Draws, where: Where) -> Gate:
    """The compressor that was meant to run does."""
    proof = compressors.compressor(draws, where)
    state = {RunState.YES: GateState.MET, RunState.NO: GateState.UNMET}.get(proof.state, GateState.UNKNOWN)
    why, settle = Reason(GateWhy.PROOF, {"how": proof.how}), Reason(Next.COMPRESSOR_CURRENT)
    return Gate(GateName.COMPRESSOR, state, why, hard=True, settle=settle)
