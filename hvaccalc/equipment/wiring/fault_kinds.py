"""Every kind of wiring fault, one row each: how bad it is, and whether it is mended with the power on.

Its words stand in `hvaccalc.words.wiring`.
"""

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.rows import complete
from hvaccalc.severity import Severity


class FaultKind(StrEnum):
    """What is wrong with a wiring at one place."""

    NEVER_LANDED = "wire never landed"
    HEAT_NEVER_LANDED = "heat wire never landed"
    WRONG_TERMINAL = "wire on the wrong terminal"
    SWAPPED = "wires swapped"
    COMMON_LIFTED = "common lifted"
    DRIVE_COMMON_BROKEN = "common of the drive broken"
    EXTRA_WIRE = "extra wire"
    PRESET_NOT_ASSIGNED = "preset not assigned"
    PRESET_WRONG = "preset wrong"
    SUPPLY_SHORTED = "supply shorted"
    SUPPLIES_TIED = "supplies tied"
    DRY_CONTACT_FED = "dry contact fed"
    SAFETY_BRIDGED = "safety bridged"
    CONTACT_BRIDGED = "contact welded or bridged"
    WRONG_SUPPLY = "wrong supply"


@dataclass(frozen=True, slots=True)
class FaultRow:
    """What code needs of one kind.

    Attributes
    ----------
    severity : Severity
        Where it changes what a call does.
    without_effect : Severity
        Where it changes nothing.
    live : bool
        Whether it is mended with the power on: a drive's preset is typed, a wire never is moved live.
    stood_in : bool
        Whether a temporary pair can stand in for it, so that it is mended once the pair is off.
    """

    severity: Severity
    without_effect: Severity
    live: bool
    stood_in: bool


_OPEN = FaultRow(Severity.ACT, Severity.NOTE, live=False, stood_in=True)
_MOVED = FaultRow(Severity.ACT, Severity.NOTE, live=False, stood_in=False)
_PRESET = FaultRow(Severity.ACT, Severity.ACT, live=True, stood_in=False)
_JOINED = FaultRow(Severity.ACT, Severity.ACT, live=False, stood_in=False)

FAULTS: dict[FaultKind, FaultRow] = complete(
    FaultKind,
    {
        FaultKind.NEVER_LANDED: _OPEN,
        FaultKind.HEAT_NEVER_LANDED: _OPEN,
        FaultKind.WRONG_TERMINAL: _MOVED,
        FaultKind.SWAPPED: _MOVED,
        FaultKind.COMMON_LIFTED: _MOVED,
        FaultKind.DRIVE_COMMON_BROKEN: _MOVED,
        FaultKind.EXTRA_WIRE: _MOVED,
        FaultKind.PRESET_NOT_ASSIGNED: _PRESET,
        FaultKind.PRESET_WRONG: _PRESET,
        FaultKind.SUPPLY_SHORTED: _JOINED,
        FaultKind.SUPPLIES_TIED: _JOINED,
        FaultKind.DRY_CONTACT_FED: _JOINED,
        FaultKind.SAFETY_BRIDGED: FaultRow(Severity.STOP, Severity.STOP, live=False, stood_in=False),
        FaultKind.CONTACT_BRIDGED: _JOINED,
        FaultKind.WRONG_SUPPLY: _JOINED,
    },
)
