"""What speaks against "nothing out of order": an all-clear has to be earned."""

from collections.abc import Iterator
from enum import StrEnum, auto

import numpy as np

from hvaccalc.diagnosis.readings.signs import FULL_PAN, sign
from hvaccalc.diagnosis.water.drain_check import drain_balances
from hvaccalc.practice.air import SHORT_OF_AIR
from hvaccalc.practice.statements import MOST
from hvaccalc.reason import Reason
from hvaccalc.service.repair.repair_rows import Followed


class Contrary(StrEnum):
    """What was typed or read and is not in order."""

    CAUSE_OPEN = auto()
    AIR_SHORT = auto()
    WATER_LOST = auto()
    WATER_WITH_COOLING_OFF = auto()
    PAN_FULL = auto()
    WATER_SEEN = auto()


def contraries(of: Followed) -> tuple[Reason, ...]:
    """Everything that is not in order, whether or not a finding calls for action on it."""
    return (*_causes(of), *_air(of), *_water(of))


def _causes(of: Followed) -> Iterator[Reason]:
    for end in of.put_right:
        if end.open:
            yield Reason(Contrary.CAUSE_OPEN, {"part": end.cause})


def _air(of: Followed) -> Iterator[Reason]:
    """Little air with the whole cooling called, in the latest such condition."""
    full = [r for r in of.visits.by_time if of.visits.full_call(r) and r.airflow is not None]
    flow = full[-1].airflow if full else None
    if flow is None or not flow.measured:
        return
    share = flow.rated_share[1:]
    if np.mean(share[np.isfinite(share)] < SHORT_OF_AIR) >= MOST:
        yield Reason(Contrary.AIR_SHORT, {"share": float(flow.rated_share[0])})


def _water(of: Followed) -> Iterator[Reason]:
    latest = of.visits.by_time[-1:]
    if any(balance.lost for balance in drain_balances(of.draws, latest)):
        yield Reason(Contrary.WATER_LOST)
    for result in latest:
        if "yes" in sign(of.draws, result.where, "water_with_cooling_off"):
            yield Reason(Contrary.WATER_WITH_COOLING_OFF)
        if FULL_PAN & set(sign(of.draws, result.where, "pan_water")):
            yield Reason(Contrary.PAN_FULL)
        seen = sign(of.draws, result.where, "water_on")
        wet = tuple(place for place in seen if place not in ("coil face", "none"))
        if wet:
            yield Reason(Contrary.WATER_SEEN, {"places": wet})
