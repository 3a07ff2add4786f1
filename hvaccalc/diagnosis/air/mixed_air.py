"""Outdoor air in the air that enters the coil: from dry bulbs, and apart from it from humidity ratios.

Both are the mixing of two streams, (return - mixed) / (return - outdoor), by mass of dry air (ASHRAE
Fundamentals, chapter Psychrometrics, adiabatic mixing). Where return and outdoors lie close together a small
error of a probe is a large one of the fraction: then it is said instead of a number.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStates, AirStream, stream
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import NOT_KNOWN, Band, band, beyond
from hvaccalc.practice.air import MUCH_OUTDOOR_AIR, WIDEST_FRACTION
from hvaccalc.severity import Severity


class Outdoors(StrEnum):
    """What the outdoor fraction says."""

    USUAL = "as usual"
    MUCH = "too much outdoor air"
    FREE_COOLING = "much outdoor air, no compressor runs"
    UNSURE = "too close to tell"
    CLOSE = "return and outdoors too close"
    OUTSIDE = "mixed air outside return and outdoors"
    DISAGREE = "dry bulbs and humidity disagree"


class By(StrEnum):
    """What a fraction was taken from."""

    DRY_BULBS = "dry bulbs"
    HUMIDITY = "humidity"


@dataclass(frozen=True, slots=True)
class OutdoorAir:
    """Outdoor air of one condition.

    Attributes
    ----------
    text : Outdoors
    by_dry_bulb, by_humidity : Band
        Fraction of outdoor air, 0-1; not known where its readings lack or lie too close.
    """

    where: Where
    text: Outdoors
    by_dry_bulb: Band
    by_humidity: Band

    @property
    def severity(self) -> Severity:
        """Too much outdoor air over a running coil calls for work; what cannot be is watched."""
        if self.text is Outdoors.MUCH:
            return Severity.ACT
        odd = self.text in (Outdoors.OUTSIDE, Outdoors.DISAGREE)
        return Severity.WATCH if odd else Severity.NOTE


def outdoor_air(draws: Draws, states: AirStates) -> OutdoorAir | None:
    """The outdoor air of a condition; None where return, mixed and outdoor dry bulb were not all read."""
    where, barometer = states.where, states.barometer.draws
    mixed, outdoors = (stream(draws, where, name, barometer) for name in ("mixed", "outdoor"))
    back = states.return_air
    if back is None or mixed is None or outdoors is None:
        return None
    dry = _fraction(back.dry_bulb, mixed.dry_bulb, outdoors.dry_bulb)
    wet = _by_humidity(back, mixed, outdoors)
    known = [one for one in (dry, wet) if one is not None and _narrow(one)]
    text = _told(known, _runs(draws, where))
    if not known:
        outside = any(one is not None and _impossible(one) for one in (dry, wet))
        text = Outdoors.OUTSIDE if outside else Outdoors.CLOSE
    return OutdoorAir(where, text, *(_shown(one) for one in (dry, wet)))


def _by_humidity(back: AirStream, mixed: AirStream, outdoors: AirStream) -> Array | None:
    if not (back.humid and mixed.humid and outdoors.humid):
        return None
    possible = back.possible & mixed.possible & outdoors.possible
    found = _fraction(back.humidity_ratio, mixed.humidity_ratio, outdoors.humidity_ratio)
    return np.where(possible, found, np.nan)


def _fraction(back: Array, mixed: Array, outdoors: Array) -> Array:
    with np.errstate(divide="ignore", invalid="ignore"):
        found = (back - mixed) / (back - outdoors)
    # Draws on the other side of nothing say that the two streams cannot be told apart.
    same_side = np.sign(back - outdoors) == np.sign((back - outdoors)[0])
    return np.where(same_side & np.isfinite(found), found, np.nan)


def _narrow(fraction: Array) -> bool:
    """Whether a fraction is sure enough to be a number, and one that can be."""
    value = band(fraction)
    sure = value.known and value.high - value.low <= WIDEST_FRACTION
    return sure and bool(np.mean(np.isfinite(fraction[1:])) > 0.99) and not _impossible(fraction)


def _impossible(fraction: Array) -> bool:
    """Whether the mixed air lies outside both streams, beyond the readings' band."""
    return beyond(-fraction) or beyond(fraction - 1.0)


def _shown(fraction: Array | None) -> Band:
    """A fraction of nothing at the least and of all at the most."""
    if fraction is None or not _narrow(fraction):
        return NOT_KNOWN
    return band(np.clip(fraction, 0.0, 1.0))


def _told(known: list[Array], runs: bool) -> Outdoors:
    if len(known) == 2 and (beyond(known[0] - known[1]) or beyond(known[1] - known[0])):
        return Outdoors.DISAGREE
    if any(beyond(one - MUCH_OUTDOOR_AIR) for one in known):
        return Outdoors.MUCH if runs else Outdoors.FREE_COOLING
    return Outdoors.UNSURE if any(band(one).high > MUCH_OUTDOOR_AIR for one in known) else Outdoors.USUAL


def _runs(draws: Draws, where: Where) -> bool:
    return any(compressors.runs(draws, where.at(name)) for name in draws.job.circuit)
