"""What can be said of a circuit's charge, and what each answer means: one row a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.job.causes import Cause
from hvaccalc.rows import complete
from hvaccalc.severity import Severity


class ChargeVerdict(StrEnum):
    """Charge of one circuit.

    Low or restricted is low where a restriction would read the same: `CircuitCharge.told` says it, `verdict`
    counts it as low.
    """

    LOW = "low"
    LOW_OR_RESTRICTED = "low or restricted"
    AS_CHARTED = "as charted"
    HIGH = "high"
    CANNOT_TELL = "cannot tell"

    @property
    def row(self) -> VerdictRow:
        """What it means to everything that decides."""
        return VERDICTS[self]


class Evidence(StrEnum):
    """What speaks beside a verdict."""

    NO_SUBCOOLING = "no subcooling"
    FLOODBACK = "floodback"
    FLOODBACK_NOT_EXCLUDED = "floodback not excluded"
    FLOODBACK_CONFIRMED = "floodback confirmed"
    FLOODBACK_SEEN = "floodback seen"
    FLOODBACK_NOT_CONFIRMED = "floodback not confirmed"
    SUCTION_BELOW_FREEZING = "suction below freezing"
    NO_PRESSURE_DIFFERENCE = "no pressure difference"
    SUPERHEAT_OUT_OF_RANGE = "superheat out of range"
    BUBBLES = "bubbles"
    BUBBLES_BESIDE_THE_VERDICT = "bubbles beside the verdict"


CONFIRMED = (Evidence.FLOODBACK_CONFIRMED, Evidence.FLOODBACK_SEEN)
"""Liquid that comes back, confirmed by the discharge superheat or by a frosted compressor."""

FLOODBACK = (*CONFIRMED, Evidence.FLOODBACK, Evidence.FLOODBACK_NOT_EXCLUDED)
"""Evidence that liquid may come back to the compressor."""

OF_THE_SUPERHEAT = (*FLOODBACK, Evidence.FLOODBACK_NOT_CONFIRMED)
"""Evidence that the superheat gives."""


@dataclass(frozen=True, slots=True)
class VerdictRow:
    """What a verdict means to everything that decides.

    Attributes
    ----------
    settled : bool
        Whether it says anything of the charge; the latest settled one counts.
    severity : Severity
    cause : Cause or None
        What it speaks for.
    right : tuple of Cause
        What it reads right.
    weigh : bool
        Whether refrigerant has to be recovered and weighed for it.
    sources : tuple of str
    """

    settled: bool
    severity: Severity
    cause: Cause | None
    right: tuple[Cause, ...]
    weigh: bool
    sources: tuple[str, ...]


_RULES = ("title24_charge",)

VERDICTS = complete(
    ChargeVerdict,
    {
        ChargeVerdict.LOW: VerdictRow(
            settled=True,
            severity=Severity.ACT,
            cause=Cause.LOW_CHARGE,
            right=(Cause.OVERCHARGE,),
            weigh=True,
            sources=_RULES,
        ),
        ChargeVerdict.LOW_OR_RESTRICTED: VerdictRow(
            settled=True,
            severity=Severity.ACT,
            cause=Cause.LOW_CHARGE,
            right=(Cause.OVERCHARGE,),
            weigh=True,
            sources=(*_RULES, "residual_signs"),
        ),
        ChargeVerdict.AS_CHARTED: VerdictRow(
            settled=True,
            severity=Severity.NOTE,
            cause=None,
            right=(Cause.LOW_CHARGE, Cause.OVERCHARGE, Cause.RESTRICTION),
            weigh=False,
            sources=_RULES,
        ),
        ChargeVerdict.HIGH: VerdictRow(
            settled=True,
            severity=Severity.ACT,
            cause=Cause.OVERCHARGE,
            right=(Cause.LOW_CHARGE,),
            weigh=True,
            sources=_RULES,
        ),
        ChargeVerdict.CANNOT_TELL: VerdictRow(
            settled=False, severity=Severity.WATCH, cause=None, right=(), weigh=False, sources=_RULES
        ),
    },
)
