"""What must be met before a charge is judged in absolute terms: each gate met, unmet or unknown."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.airflow import Airflow
from hvaccalc.diagnosis.readings import air_taken, compressors
from hvaccalc.diagnosis.readings.compressors import Running
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs_seen import ice, sign
from hvaccalc.practice.air import ENOUGH_AIR, FULL_SPEED
from hvaccalc.practice.circuits import CHARGE_OUTDOOR, FLOODING_BELOW, STEADY_AFTER
from hvaccalc.practice.statements import MOST


class GateState(StrEnum):
    """Whether a precondition holds."""

    MET = "met"
    UNMET = "unmet"
    UNKNOWN = "unknown"


class GateName(StrEnum):
    """What has to hold before a charge is judged."""

    COOLING = "the unit cooling"
    STEADY = "steady for 15 minutes"
    AIRFLOW = "full airflow"
    CALLS = "the stages that the unit's chart demands"
    THAWED = "coil thawed"
    FILTERS = "filters clean"
    OUTDOORS = "outdoors in range"
    CONDENSER = "condenser fans steady, no head-pressure control at work"
    COMPRESSOR = "compressor proved running"
    CONSISTENT = "the circuit's readings agree with each other"


@dataclass(frozen=True, slots=True)
class Gate:
    """One precondition.

    Attributes
    ----------
    name : GateName
    state : GateState
    why : str
        The evidence.
    hard : bool
        Without it no verdict at all; a soft gate that is unknown becomes a condition of the verdict.
    proviso : str
        Condition to state with a verdict where the gate is met or unknown, empty where none.
    settle : str
        What would settle a gate that is open; an unmet one without it asks for the readings again.
    """

    name: GateName
    state: GateState
    why: str
    hard: bool = False
    proviso: str = ""
    settle: str = ""

    @property
    def shut(self) -> bool:
        """Whether no verdict passes it: it is unmet, or hard and not known."""
        return self.state is GateState.UNMET or (self.hard and self.state is GateState.UNKNOWN)


def gates(draws: Draws, where: Where, flow: Airflow | None) -> tuple[Gate, ...]:
    """All gates for one circuit in one condition."""
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
        _consistent(draws, where),
    )


def _cooling(draws: Draws, where: Where) -> Gate:
    """Charts and targets hold for cooling; a heat pump's head in heating says nothing of its charge."""
    name = GateName.COOLING
    if compressors.heating(draws, where):
        return Gate(name, GateState.UNMET, "it heats, and charts and targets hold for cooling")
    return Gate(name, GateState.MET, "no call heats")


def steady(draws: Draws, where: Where) -> Gate:
    """Running at least 15 minutes."""
    condition = draws.condition(where)
    name = GateName.STEADY
    if condition.steady == "no":
        return Gate(name, GateState.UNMET, "the condition was not steady")
    if condition.running_for is not None:
        minutes = condition.running_for.value / 60
        state = GateState.MET if condition.running_for.value >= STEADY_AFTER else GateState.UNMET
        return Gate(name, state, f"running for {minutes:.0f} min")
    if condition.steady == "yes":
        return Gate(name, GateState.MET, "said to be steady")
    return Gate(
        name,
        GateState.UNKNOWN,
        "how long it had run was not noted",
        proviso="if it had run steadily for 15 minutes",
    )


def full_airflow(draws: Draws, where: Where, flow: Airflow | None) -> Gate:
    """Full airflow: the fan at full speed and enough air by another method, or a clean coil and filters."""
    name = GateName.AIRFLOW
    drive = draws.job.unit.fan.drive
    speed = "note the drive's frequency" if drive == "variable frequency" else "read the fan's speed (rpm)"
    if drive is None:
        speed = "read the fan's speed (a drive's frequency, or rpm)"
    read_next = f"measure the airflow (traverse), or {speed} with filters and coil face seen clean"
    if flow is None:
        return Gate(name, GateState.UNMET, "the fan stands still", hard=True)
    ratio = flow.speed_ratio
    read = ratio is not None and ratio.basis == "measured"
    if read and ratio is not None and ratio.draws[0] < FULL_SPEED:
        return Gate(
            name, GateState.UNMET, f"the fan turns at {100 * ratio.draws[0]:.0f} % of full speed", hard=True
        )
    if flow.measured:
        enough = float(np.nanmean(flow.rated_share[1:] >= ENOUGH_AIR))
        percent = f"{100 * flow.rated_share[0]:.0f} % of the rated airflow measured"
        if enough <= 0.5:
            return Gate(name, GateState.UNMET, percent, hard=True)
        if read:
            return Gate(name, GateState.MET, f"fan at full speed and {percent}", hard=True)
        # What a chart asks for is the air; where it was measured for sure, the speed adds nothing.
        proviso = "" if enough >= MOST else "if the fan was at full speed"
        return Gate(name, GateState.MET, percent, hard=True, proviso=proviso)
    if read:
        filters, face = _filters(draws, where).state, sign(draws, where, "coil_face")
        looked = thawed(draws, where).state == GateState.MET
        if filters == GateState.UNMET or set(face) & {"dirty", "bent"}:
            return Gate(
                name, GateState.UNMET, "fan at full speed, but filters or coil face are not clean", hard=True
            )
        if filters == GateState.MET and ("clean" in face or looked):
            why = "fan at full speed, filters clean, coil looked at; the airflow itself was not measured"
            return Gate(
                name, GateState.MET, why, hard=True, proviso="if the coil face is clean through its depth"
            )
        here = Where(where.visit, where.condition)
        drops = [draws.column(here, f"{part}_pressure_drop") for part in ("coil", "filter")]
        if filters == GateState.MET and all(drop is not None and drop[0] > 0.0 for drop in drops):
            why = "fan at full speed, filters clean, coil and filter pressure drops read"
            return Gate(
                name, GateState.MET, why, hard=True, proviso="if the coil's drop is that of a clean coil"
            )
        why = "full fan speed alone does not prove the airflow"
        return Gate(name, GateState.UNKNOWN, why, hard=True, settle=read_next)
    return Gate(
        name, GateState.UNKNOWN, "neither airflow nor fan speed was read", hard=True, settle=read_next
    )


def _calls(draws: Draws, where: Where) -> Gate:
    required = draws.job.circuit[where.circuit].chart_requires
    calls = draws.condition(where).calls
    name = GateName.CALLS
    if not required:
        return Gate(name, GateState.MET, "the chart demands none")
    wanted = " and ".join(required)
    if calls is None:
        return Gate(
            name,
            GateState.UNKNOWN,
            f"the calls were not noted; the chart wants {wanted}",
            proviso=f"if {wanted} were on",
        )
    missing = [call for call in required if call not in calls]
    if missing:
        return Gate(name, GateState.UNMET, f"the chart wants {wanted}; {' and '.join(missing)} was off")
    return Gate(name, GateState.MET, f"{wanted} on")


def thawed(draws: Draws, where: Where) -> Gate:
    """No ice on the coil."""
    name = GateName.THAWED
    if seen := ice(draws, where):
        return Gate(name, GateState.UNMET, f"ice on {' and '.join(seen)}", hard=True)
    if "yes" in (draws.condition(where).coil_thawed, *sign(draws, where, "coil_thawed")):
        return Gate(name, GateState.MET, "seen thawed", hard=True)
    look = "look at the coil: no frost at start and end of the readings"
    return Gate(name, GateState.UNKNOWN, "nobody noted the coil", hard=True, settle=look)


def _filters(draws: Draws, where: Where) -> Gate:
    name = GateName.FILTERS
    said = draws.condition(where).filters_clean
    seen = sign(draws, where, "filters")
    if said == "no" or set(seen) & {"loaded", "wet", "missing"}:
        return Gate(name, GateState.UNMET, f"filters {' and '.join(seen) or 'not clean'}")
    if said == "yes" or "clean" in seen:
        return Gate(name, GateState.MET, "seen clean")
    return Gate(name, GateState.UNKNOWN, "look at the filters", proviso="if the filters are clean")


def _outdoors(draws: Draws, where: Where) -> Gate:
    name = GateName.OUTDOORS
    column = air_taken.outdoor(draws, where)
    low, high = CHARGE_OUTDOOR
    if column is None:
        span = units.limits_text(low, high, "temperature", draws.job.display, "and")
        proviso = f"if it was between {span} outdoors"
        return Gate(name, GateState.UNKNOWN, "outdoor temperature not read", proviso=proviso)
    shown = units.value_text(column[0], "temperature", draws.job.display)
    return Gate(name, GateState.MET if low <= column[0] <= high else GateState.UNMET, f"{shown} outdoors")


def _condenser(draws: Draws, where: Where) -> Gate:
    name = GateName.CONDENSER
    table = draws.condition(where).circuit.get(where.circuit)
    fans = table.condenser_fans_running if table is not None else None
    control = draws.job.unit.protection.head_control
    outdoor = air_taken.outdoor(draws, where)
    if fans is not None and (fans.running == 0 or fans.running != (fans.of or fans.running)):
        return Gate(name, GateState.UNMET, f"condenser fans running: {fans.running} of {fans.of or 'all'}")
    if control == "flooding" and outdoor is None:
        why, proviso = "flooding head control; outdoor temperature not read", "if no head control flooded"
        return Gate(name, GateState.UNKNOWN, why, proviso=proviso)
    if control == "flooding" and outdoor is not None and outdoor[0] < FLOODING_BELOW:
        return Gate(name, GateState.UNMET, "flooding head control may hold liquid back in the condenser")
    # Fans that cycle or slow down may do so between two looks.
    if fans is not None and control not in ("fan speed", "fan cycling"):
        return Gate(name, GateState.MET, "condenser fans on")
    if control in ("none", "flooding"):
        return Gate(name, GateState.MET, f"head control: {control}")
    return Gate(
        name, GateState.UNKNOWN, "condenser fans not noted", proviso="if the condenser fans ran steadily"
    )


def _consistent(draws: Draws, where: Where) -> Gate:
    name = GateName.CONSISTENT
    odd = sorted(key.replace("_", " ") for place, key in draws.excluded if place == where)
    if odd:
        settle = "check gauge, clamp and the refrigerant on the label, and read again"
        return Gate(name, GateState.UNMET, f"left out as contradicting: {', '.join(odd)}", settle=settle)
    return Gate(name, GateState.MET, "no contradiction among them")


def proved(draws: Draws, where: Where) -> Gate:
    """The compressor that was meant to run does."""
    proof = compressors.compressor(draws, where)
    state = {Running.YES: GateState.MET, Running.NO: GateState.UNMET}.get(proof.state, GateState.UNKNOWN)
    return Gate(GateName.COMPRESSOR, state, proof.how, hard=True, settle="read the compressor's current")
