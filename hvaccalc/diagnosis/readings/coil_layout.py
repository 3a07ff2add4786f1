"""How the circuits lie in the coil, draw by draw: as typed, or spread over every kind where none was."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.equipment.coil.cooling_coil import CIRCUITINGS

ROW_SPLITS = ("row split", "row split, reversed")
"""Which circuit meets the entering air is not known of a row split: either is as likely."""


def kinds(draws: Draws) -> np.ndarray:
    """Circuiting of each draw, (N + 1,) of `coil.CIRCUITINGS`; row 0 the first of those that may be.

    With one circuit there is nothing to lie apart: interlaced.
    """
    return np.array(possible(draws))[draws.ensemble.choice(_name(draws), len(possible(draws)))]


def possible(draws: Draws) -> tuple[str, ...]:
    """Kinds that the coil may have."""
    word = draws.job.unit.circuiting or "unknown"
    if len(draws.job.circuit) < 2:
        return ("interlaced",)
    if word == "unknown":
        return CIRCUITINGS
    return ROW_SPLITS if word == "row split" else (word,)


def unknown(draws: Draws) -> bool:
    """Whether answers are spread over several kinds because none was typed."""
    return len(possible(draws)) == len(CIRCUITINGS)


def _name(draws: Draws) -> str:
    return "circuiting" if unknown(draws) else "circuiting order"
