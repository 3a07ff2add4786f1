"""One repair as a diagnosis calls for it, and what such a decision rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from hvaccalc.job.causes import Cause, CauseAt, Way
from hvaccalc.reason import Reason, Value
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.put_right import PutRight, ended
from hvaccalc.service.repair.repair_rows import ROWS, Repair, RepairRow


class Followed(Diagnosed, Protocol):
    """A diagnosis of which it is known what became of each cause."""

    @property
    def put_right(self) -> tuple[PutRight, ...]: ...


class Due(StrEnum):
    """What is due of a repair."""

    REPAIR = "repair"
    PROOF = "proof"
    ADVICE = "advice"


class Detail(StrEnum):
    """What a repair says beyond its scope."""

    AND_HEATING = "and heating"
    NO_DRAIN_WORK = "no drain work"
    TRAP_SIZE = "trap size"
    CODE_IS_MET = "code is met"
    FOLLOW_THE_CALL = "follow the call"
    WIRES_DEAD = "wires, power off"
    WIRES_LIVE = "speeds, power on"
    JUMPER_OFF = "jumper off"
    LAND_WIRE = "land wire"
    MEND_WIRE = "mend wire"
    SET_PRESET = "set preset"
    PROVE_CALLS = "prove calls"
    SEEN = "seen"
    VALVE_BULB = "valve bulb"
    ORIFICE = "orifice"
    AT = "at a place"
    KNOWN = "known"
    DEVICE_UNKNOWN = "device not known"


@dataclass(frozen=True, slots=True)
class RepairNeeded:
    """One repair.

    Attributes
    ----------
    repair : Repair
    cause : CauseAt or None
        That it puts right; None for a protection, or while the cause behind it is still to be found.
    circuit : str or None
        Where the work is; None for the unit.
    due : Due
        The repair, after it was put right its proof alone, or advice that nothing calls for.
    way : Way or None
        Of the water, where one calls for it: its row holds the words.
    under_pressure : bool
        Whether the way's words of a coil under pressure hold.
    values : mapping of str to Value
        What the words of its scope ask for.
    details : tuple of Reason
        What it says beyond its scope, in order.
    """

    repair: Repair
    cause: CauseAt | None = None
    circuit: str | None = None
    due: Due = Due.REPAIR
    way: Way | None = None
    under_pressure: bool = False
    values: Mapping[str, Value] = field(default_factory=dict)
    details: tuple[Reason, ...] = ()

    @property
    def row(self) -> RepairRow:
        """What code needs of it."""
        return ROWS[self.repair]


def due(of: Followed, cause: Cause, circuit: str | None = None) -> Due:
    """What is due of a repair by what became of its cause; the repair where nothing did."""
    end = ended(of.put_right, cause, circuit)
    return Due.REPAIR if end is None or end.open else Due.PROOF


def found(of: Followed, cause: Cause, circuit: str | None = None) -> bool:
    """Whether a cause was found at all, open or not."""
    return ended(of.put_right, cause, circuit) is not None
