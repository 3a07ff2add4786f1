"""Outdoor air of a condition: as read, else what stands for it."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings.draws import Draws, Where


def read(draws: Draws, where: Where) -> np.ndarray | None:
    """Outdoor dry bulb of the condition of a place [K], shape (N + 1,); None where it was not read."""
    return draws.column(where.air, "outdoor_dry_bulb")
