"""What stops the cooling, or catches the water, before the drain pan runs over."""

from __future__ import annotations

from hvaccalc.diagnosis.readings.water_seen import WaterSeen
from hvaccalc.diagnosis.water.verdicts import Guard
from hvaccalc.job.schema import Job

SECOND_WAYS = ("pan", "drain", "float switch")


def overflow_guard(job: Job, seen: WaterSeen) -> Guard:
    """State of the guard.

    A float switch as a visit saw it counts before the table; an auxiliary pan or a second drain is a guard
    too. A switch that is fitted and not tripped beside a pan that ran over did not stop the cooling.
    """
    switch, second = seen.words("float_switch"), job.unit.pan.secondary
    by_switch = bool({"fitted", "tripped"} & set(switch)) or second == "float switch"
    if by_switch and "tripped" not in switch and seen.has("pan_water", "overflowing"):
        return Guard.DID_NOT_STOP
    if by_switch or second in SECOND_WAYS:
        return Guard.FITTED
    return Guard.NONE if "none" in switch else Guard.NOT_NOTED
