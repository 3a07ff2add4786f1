"""Pressure of a circuit that stands, against the air around it: non-condensables, an empty circuit, a wrong
refrigerant.

A circuit at rest with liquid in it stands at the saturation of its coldest part that holds liquid: at the
outdoor air, or at the indoor air where that is colder. Air in it adds its own pressure on top.
"""

from dataclasses import dataclass
from enum import StrEnum, auto

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import compressors, saturation
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Draws, Where, outdoor_read
from hvaccalc.diagnosis.readings.saturation import Saturated
from hvaccalc.physics.refrigerant import NAMES
from hvaccalc.practice.circuits import METAL_SD
from hvaccalc.practice.statements import SURE
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class Rest(StrEnum):
    """Pressure of a circuit at rest against what its refrigerant can have in the air around it."""

    AGREES = "agrees with ambient"
    ABOVE = "above ambient"
    BELOW = "below ambient"
    CANNOT_TELL = "cannot tell"


class RestWhy(StrEnum):
    """What a circuit at rest shows, or what is not known of it; each with what to do next."""

    NOT_EQUALISED = auto()
    OUTDOORS_NOT_READ = auto()
    NOT_LONG_ENOUGH = auto()
    ABOVE = auto()
    BELOW = auto()
    AGREES = auto()
    INDOORS_NOT_READ = auto()


@dataclass(frozen=True, slots=True)
class Standing:
    """A standing circuit against its surroundings.

    Attributes
    ----------
    where : Where
    text : Rest
    excess : ndarray or None
        Saturation at the standing pressure above the outdoor air [K], (N + 1,).
    reason : Reason
    fits : tuple of str
        Other refrigerants carried that would stand at this pressure in this air.
    """

    where: Where
    text: Rest
    excess: Array | None
    reason: Reason
    fits: tuple[str, ...] = ()

    @property
    def off(self) -> bool:
        """Whether it stands where its refrigerant cannot, or cannot with liquid left."""
        return self.text in (Rest.ABOVE, Rest.BELOW)

    @property
    def severity(self) -> Severity:
        """A pressure that is off calls for action."""
        return Severity.ACT if self.off else Severity.NOTE


def standing(draws: Draws, where: Where) -> Standing | None:
    """Standing pressure of one circuit; None where it runs, or no pressure was read."""
    condition = draws.condition(where)
    off = condition.calls == () or condition.compressors_running == ()
    read = saturation.standing_saturation(draws, where)
    if read is None or not off or compressors.compressor(draws, where).state is not RunState.NO:
        return None
    gauges = len(list(saturation.pressures(draws, where).read()))
    if compressors.pressures_apart(draws, where) or (gauges > 1 and not compressors.level(draws, where)):
        return Standing(where, Rest.CANNOT_TELL, None, Reason(RestWhy.NOT_EQUALISED))
    outdoor = outdoor_read(draws, where)
    if outdoor is None:
        return Standing(where, Rest.CANNOT_TELL, None, Reason(RestWhy.OUTDOORS_NOT_READ))
    if condition.steady == "no":
        return Standing(where, Rest.CANNOT_TELL, None, Reason(RestWhy.NOT_LONG_ENOUGH))
    return _against(draws, where, read, outdoor, _indoor(draws, where.air))


def stands_above(draws: Draws, where: Where) -> bool:
    """Whether a circuit stood above its refrigerant's pressure in any condition of the same visit."""
    places = (
        here.at(where.circuit)
        for here, condition in draws.conditions()
        if here.visit == where.visit and where.circuit in condition.circuit
    )
    stands = (standing(draws, place) for place in places)
    return any(one is not None and one.text is Rest.ABOVE for one in stands)


def _indoor(draws: Draws, here: Where) -> Array | None:
    space = draws.column(here, "space_dry_bulb")
    return draws.column(here, "return_dry_bulb") if space is None else space


def _against(draws: Draws, where: Where, read: Saturated, outdoor: Array, indoor: Array | None) -> Standing:
    above, below, excess = _differences(draws, where, read, outdoor, indoor)
    fits = tuple(
        name
        for name in NAMES
        if name != read.fluid.name
        and _fits(draws, where, saturation.of_refrigerant(draws, name, read.pressure), outdoor, indoor)
    )
    if above >= SURE:
        return Standing(where, Rest.ABOVE, excess, Reason(RestWhy.ABOVE), fits)
    indoors = "" if indoor is not None else Reason(RestWhy.INDOORS_NOT_READ)
    if below >= SURE:
        return Standing(where, Rest.BELOW, excess, Reason(RestWhy.BELOW, {"indoors": indoors}), fits)
    return Standing(where, Rest.AGREES, excess, Reason(RestWhy.AGREES, {"indoors": indoors}))


def _differences(
    draws: Draws, where: Where, read: Saturated, outdoor: Array, indoor: Array | None
) -> tuple[float, float, Array]:
    """Share of the draws above the warmest air, below the coldest, and the excess over outdoors [K]."""
    share = draws.ensemble.uniform(f"standing quality/{where.path}")
    metal = draws.ensemble.normal(f"metal/{where.path}", 0.0, METAL_SD)
    stands = read.bubble + share * (read.dew - read.bubble) + metal
    warm = outdoor if indoor is None else np.maximum(outdoor, indoor)
    cold = outdoor if indoor is None else np.minimum(outdoor, indoor)
    # Another fluid's tables may end before this pressure: that counts as not fitting, neither way.
    rows = np.isfinite(stands[1:])
    if not rows.any():
        return 1.0, 1.0, stands - outdoor
    above = float(np.mean((stands - warm)[1:][rows] > 0.0))
    below = float(np.mean((stands - cold)[1:][rows] < 0.0))
    return above, below, stands - outdoor


def _fits(draws: Draws, where: Where, read: Saturated, outdoor: Array, indoor: Array | None) -> bool:
    above, below, _ = _differences(draws, where, read, outdoor, indoor)
    return above < SURE and below < SURE
