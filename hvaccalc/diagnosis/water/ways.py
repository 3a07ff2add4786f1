"""Every way of the water, one row each: how it is computed, and how it stands to the others.

Its words stand in `hvaccalc.words.ways`, the causes behind it in `hvaccalc.job.causes`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.diagnosis.water.mechanism import Mechanism
from hvaccalc.diagnosis.water.mechanisms_around import hot_water_coil, outside, sweating
from hvaccalc.diagnosis.water.mechanisms_coil import carry_over, coil_drip, condensate, melt, shut_down_drain
from hvaccalc.diagnosis.water.mechanisms_pan import pan_leak, pan_overflow, pump, trap
from hvaccalc.diagnosis.water.water_case import WaterCase
from hvaccalc.job.causes import Way
from hvaccalc.rows import complete


class Seen(StrEnum):
    """What has to be looked at to decide about a way."""

    AIR = "air"
    COIL = "coil"
    PAN_AND_DRAIN = "pan and drain"
    PARTS_AROUND = "parts around"
    ABOVE = "above the unit"


@dataclass(frozen=True, slots=True)
class WayRow:
    """What code needs of one way.

    Attributes
    ----------
    compute : function of WaterCase to Mechanism
    rank : int
        Among ways of which nothing else tells which is likelier, the commonest 1; common practice, no source.
    off_coil : bool
        Whether it gives what the coil took out of the air: together no more than the coil made.
    by_the_drain : bool
        Whether its water leaves by the drain, so that by itself it wets nothing else.
    inside : bool
        Whether it is in the unit.
    looked_at : Seen
    sources : tuple of str
        Keys of `data/SOURCES.md` behind its amount.
    """

    compute: Callable[[WaterCase], Mechanism]
    rank: int
    off_coil: bool
    by_the_drain: bool
    inside: bool
    looked_at: Seen
    sources: tuple[str, ...]


def _row(
    compute: Callable[[WaterCase], Mechanism],
    rank: int,
    looked_at: Seen,
    *sources: str,
    off_coil: bool,
    by_the_drain: bool = False,
    inside: bool = True,
) -> WayRow:
    return WayRow(compute, rank, off_coil, by_the_drain, inside, looked_at, sources)


WAYS: dict[Way, WayRow] = complete(
    Way,
    {
        Way.CONDENSATE: _row(condensate, 12, Seen.AIR, "ashrae_moist_air", off_coil=True, by_the_drain=True),
        Way.MELT: _row(melt, 3, Seen.COIL, "melt_bound", off_coil=True),
        Way.PAN_OVERFLOW: _row(pan_overflow, 2, Seen.PAN_AND_DRAIN, "manning", "drain_tables", off_coil=True),
        Way.TRAP: _row(trap, 1, Seen.PAN_AND_DRAIN, "trap_rules", off_coil=True),
        Way.CARRY_OVER: _row(carry_over, 8, Seen.COIL, "carry_over_rules", "drop_fall", off_coil=True),
        Way.COIL_DRIP: _row(coil_drip, 4, Seen.COIL, "drop_retention", off_coil=True),
        Way.SWEATING: _row(sweating, 5, Seen.PARTS_AROUND, "sweating", off_coil=False),
        Way.PAN_LEAK: _row(pan_leak, 6, Seen.PAN_AND_DRAIN, "water_practice", off_coil=True),
        Way.PUMP: _row(pump, 7, Seen.PARTS_AROUND, "water_practice", off_coil=True),
        Way.HOT_WATER_COIL: _row(hot_water_coil, 11, Seen.PARTS_AROUND, "water_practice", off_coil=False),
        Way.OUTSIDE: _row(outside, 10, Seen.ABOVE, "water_practice", off_coil=False, inside=False),
        Way.SHUT_DOWN_DRAIN: _row(shut_down_drain, 9, Seen.COIL, "retained_water", off_coil=True),
    },
)
