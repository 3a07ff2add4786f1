"""What stands for air that was not read: one central value each, whoever asks."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.air import UNREAD_OUTDOOR, UNREAD_RETURN_DRY_BULB, UNREAD_RETURN_HUMIDITY


def return_dry_bulb(draws: Draws, where: Where) -> np.ndarray:
    """Return air of a place [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return dry bulb/{where.air.path}", *UNREAD_RETURN_DRY_BULB)


def return_humidity(draws: Draws, where: Where) -> np.ndarray:
    """Humidity ratio of return air of a place [kg/kg], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return humidity/{where.air.path}", *UNREAD_RETURN_HUMIDITY)


def outdoor(draws: Draws, where: Where) -> np.ndarray:
    """Outdoor air of a place in cooling weather [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual outdoor air/{where.air.path}", *UNREAD_OUTDOOR)
