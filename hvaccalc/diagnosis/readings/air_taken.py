"""Outdoor air of a condition as read, and what stands for air that was not read: one central value each."""

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.practice.air import UNREAD_OUTDOOR, UNREAD_RETURN_DRY_BULB, UNREAD_RETURN_HUMIDITY


def outdoor(draws: Draws, where: Where) -> Array | None:
    """Outdoor dry bulb of the condition of a place [K], shape (N + 1,); None where it was not read."""
    return draws.column(where.air, "outdoor_dry_bulb")


def usual_return_dry_bulb(draws: Draws, where: Where) -> Array:
    """Return air of a place [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return dry bulb/{where.air.path}", *UNREAD_RETURN_DRY_BULB)


def usual_return_humidity(draws: Draws, where: Where) -> Array:
    """Humidity ratio of return air of a place [kg/kg], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return humidity/{where.air.path}", *UNREAD_RETURN_HUMIDITY)


def usual_outdoor(draws: Draws, where: Where) -> Array:
    """Outdoor air of a place in cooling weather [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual outdoor air/{where.air.path}", *UNREAD_OUTDOOR)
