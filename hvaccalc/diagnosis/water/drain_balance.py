"""Water off the air less water caught at the drain: what went elsewhere, with its band."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import Band, band


@dataclass(frozen=True, slots=True)
class DrainBalance:
    """The balance of one condition; bands hold 95 % [kg/s].

    Attributes
    ----------
    where : Where
    made : Band
        Off the air: its drop in humidity times the airflow.
    drained : Band
        Caught at the drain's outlet.
    missing : Band
        The one less the other.
    """

    where: Where
    made: Band
    drained: Band
    missing: Band

    @property
    def lost(self) -> bool:
        """Whether water went elsewhere: the band lies clear of nothing."""
        return self.missing.low > 0.0

    @property
    def closed(self) -> bool:
        """Whether the band holds nothing missing."""
        return self.missing.low <= 0.0 <= self.missing.high


def drain_balances(draws: Draws, results: Sequence[ConditionResult]) -> tuple[DrainBalance, ...]:
    """The balance of each condition in which the drain was caught and the humidity of both airs read."""
    found = []
    for result in results:
        drained, made = draws.column(result.where, "condensate_rate"), result.duty.condensate
        if drained is None or made is None:
            continue
        made = np.where(result.duty.possible, made, np.nan)
        parts = [band(one[np.isfinite(one)]) for one in (made, drained, made - drained)]
        found.append(DrainBalance(result.where, *parts))
    return tuple(found)
