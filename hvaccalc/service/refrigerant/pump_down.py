"""Whether a circuit's charge may be pumped down into its condenser, and whether that would help.

The condenser and receiver may be filled to 80 % with liquid at the ambient. Where no volume is known the
answer is "unknown": bring a cylinder. A pump-down empties what lies between the liquid valve and the suction
valve; a leak anywhere else is not reached by it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, auto

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where, outdoor_read, usual_outdoor
from hvaccalc.ensemble import band
from hvaccalc.job.checks.notices import beyond
from hvaccalc.physics.refrigerant import Refrigerant
from hvaccalc.practice.refrigerant import PUMPDOWN_LIQUID
from hvaccalc.practice.statements import MOST
from hvaccalc.reason import Reason
from hvaccalc.service.refrigerant.inventory_draws import measured

AMBIENTS = units.degF(np.arange(40.0, 131.0, 1.0))
"""Ambients looked at for the hottest at which the charge fits [K]."""

DOWNSTREAM = (*("liquid line", "suction line", "equalizer line"), *("sight glass", "drier", "indoor coil"))
"""Places of a leak that a pump-down empties, where the liquid valve stands at the outdoor unit."""

MAYBE_BEFORE = ("sight glass", "drier")
"""Parts that some makers set before the liquid valve, inside the outdoor unit."""


class Fits(StrEnum):
    """Whether the charge goes into the condenser."""

    YES = "fits"
    NO = "does not fit"
    UNKNOWN = "unknown"


class Advice(StrEnum):
    """Whether a pump-down is the way to empty the part that leaks, and why."""

    DOWNSTREAM = auto()
    MAYBE_DOWNSTREAM = auto()
    TOO_MUCH = auto()
    OUTDOOR_COIL = auto()
    ROOM_NOT_KNOWN = auto()
    NO_LEAK_KNOWN = auto()


@dataclass(frozen=True, slots=True)
class PumpDown:
    """Answer for one circuit.

    Attributes
    ----------
    text : Fits
    room : Datum or None
        What condenser and receiver hold at the ambient [kg].
    ambient : Datum
        [K].
    asked : bool
        Whether the ambient is one that was asked about.
    hottest : float
        Ambient up to which the charge fits [K]; NaN where it never does or is not known, inf where the
        maker's capacity holds it at any.
    why : Reason
        Why it is advised or not, a code of `Advice`.
    missing : tuple of str
        Keys that would settle an unknown answer.
    cut_out : float
        Low-pressure cut-out that will end it early [Pa gauge]; NaN where none is known.
    """

    text: Fits
    room: Datum | None
    ambient: Datum
    asked: bool
    hottest: float
    why: Reason
    missing: tuple[str, ...]
    cut_out: float

    @property
    def advised(self) -> bool:
        """Whether it is the way to empty the part that leaks."""
        return self.why.code in (Advice.DOWNSTREAM, Advice.MAYBE_DOWNSTREAM)


def room(fluid: Refrigerant, volume: ArrayLike, ambient: ArrayLike) -> Array:
    """What a condenser holds when 80 % of it is liquid.

    Parameters
    ----------
    fluid : Refrigerant
    volume : array_like
        Of condenser and receiver, > 0 [m3].
    ambient : array_like
        [K].

    Returns
    -------
    ndarray
        [kg]; NaN without a volume.

    Examples
    --------
    Half a cubic foot of R-410A at 77 °F, 66.1 lb/ft3, holds 26.4 lb:

    >>> from hvaccalc.physics.refrigerant import refrigerant
    >>> held = room(refrigerant("R-410A"), 0.5 * 0.3048**3, 298.15)
    >>> round(float(held) / 0.45359237, 1)
    26.4
    """
    volume = np.asarray(volume, dtype=float)
    return PUMPDOWN_LIQUID * np.where(volume > 0.0, volume, np.nan) * fluid.saturated_liquid(ambient).density


def pump_down(
    draws: Draws,
    name: str,
    fluid: Refrigerant | None,
    charge: Array | None,
    results: Sequence[ConditionResult],
    ambient: float | None = None,
) -> PumpDown:
    """Judge one circuit.

    Parameters
    ----------
    draws : Draws
    name : str
        The circuit.
    fluid : Refrigerant or None
    charge : ndarray or None
        What it holds [kg].
    results : sequence of ConditionResult
        The last outdoor reading among them is the ambient.
    ambient : float, optional
        Another ambient to ask about [K].
    """
    air = _ambient(draws, results) if ambient is None else Datum(_column(draws, ambient), "assumed")
    held, missing = _held(draws, name, fluid, air.draws)
    text, hottest = Fits.UNKNOWN, np.nan
    if held is not None and charge is not None:
        text = _answer(held.draws, charge)
        hottest = _hottest(draws, name, fluid, charge)
    return PumpDown(
        text, held, air, ambient is not None, hottest, _advice(draws, name, text), missing, _cut_out(draws)
    )


def _column(draws: Draws, value: float) -> Array:
    return np.full(draws.ensemble.size + 1, value)


def _ambient(draws: Draws, results: Sequence[ConditionResult]) -> Datum:
    for result in reversed(results):
        column = outdoor_read(draws, result.where)
        if column is not None:
            return Datum(column, "measured", "as last read")
    air = usual_outdoor(draws, Where())
    return Datum(air, "assumed", "no outdoor air was read: that of cooling weather")


def _held(
    draws: Draws, name: str, fluid: Refrigerant | None, ambient: Array
) -> tuple[Datum | None, tuple[str, ...]]:
    """What the outdoor side holds [kg]; else the keys that are missing."""
    capacity = draws.job.circuit[name].condenser.pumpdown_capacity
    if beyond(draws.job, name):
        # A slip of the keyboard must promise nothing.
        return None, tuple(f"circuit.{name}.condenser.{key}" for key in beyond(draws.job, name))
    if capacity is not None:
        return Datum(measured(draws, f"{name}/pumpdown", capacity), "nameplate"), ()
    volume = _volume(draws, name)
    if volume is None or fluid is None:
        return None, (f"circuit.{name}.condenser.volume", f"circuit.{name}.condenser.pumpdown_capacity")
    return Datum(room(fluid, volume, ambient), "computed"), ()


def _volume(draws: Draws, name: str) -> Array | None:
    """Condenser and receiver [m3]; None where the condenser is not typed."""
    held = draws.job.circuit[name].condenser
    if held.volume is None:
        return None
    volume = measured(draws, f"{name}/condenser", held.volume)
    if held.receiver_volume is None:
        return volume
    return volume + measured(draws, f"{name}/receiver", held.receiver_volume)


@dataclass(frozen=True, slots=True)
class RoomOver:
    """Room with its band [kg] at each outdoor temperature [K]."""

    ambient: Array
    value: Array
    low: Array
    high: Array


def room_over(draws: Draws, name: str, fluid: Refrigerant | None) -> RoomOver | None:
    """What the outdoor side holds over the ambient; None where that is not known."""
    held, _ = _held(draws, name, fluid, AMBIENTS[0])
    if held is None or fluid is None:
        return None
    here = band(held.draws)
    share = _warming(draws, name, fluid)
    return RoomOver(AMBIENTS, here.value * share, here.low * share, here.high * share)


def _warming(draws: Draws, name: str, fluid: Refrigerant) -> Array:
    """Room at each ambient over that at the first."""
    if draws.job.circuit[name].condenser.pumpdown_capacity is not None:
        return np.ones(AMBIENTS.size)
    return room(fluid, 1.0, AMBIENTS) / room(fluid, 1.0, AMBIENTS[0])


def _hottest(draws: Draws, name: str, fluid: Refrigerant | None, charge: Array) -> float:
    """Ambient up to which the charge fits [K]; inf where it does not matter, NaN where it never fits."""
    held, _ = _held(draws, name, fluid, AMBIENTS[0])
    assert held is not None
    if draws.job.circuit[name].condenser.pumpdown_capacity is not None:
        return np.inf if _answer(held.draws, charge) is Fits.YES else np.nan
    assert fluid is not None
    warming = _warming(draws, name, fluid)
    fitting = [
        t for t, less in zip(AMBIENTS, warming, strict=True) if _answer(less * held.draws, charge) is Fits.YES
    ]
    return float(max(fitting, default=np.nan))


def _answer(held: Array, charge: Array) -> Fits:
    both = np.isfinite(held) & np.isfinite(charge)
    if not both[0]:
        return Fits.UNKNOWN
    share = np.mean((held >= charge)[1:][both[1:]])
    return Fits.YES if share >= MOST else Fits.NO if share <= 1.0 - MOST else Fits.UNKNOWN


def _advice(draws: Draws, name: str, text: Fits) -> Reason:
    at = draws.job.circuit[name].leak.at
    if text is Fits.NO:
        return Reason(Advice.TOO_MUCH)
    if at == "outdoor coil":
        return Reason(Advice.OUTDOOR_COIL)
    if text is not Fits.YES:
        return Reason(Advice.ROOM_NOT_KNOWN)
    if at is None or at == "unknown":
        return Reason(Advice.NO_LEAK_KNOWN)
    assert at in DOWNSTREAM
    return Reason(Advice.MAYBE_DOWNSTREAM if at in MAYBE_BEFORE else Advice.DOWNSTREAM, {"at": at})


def _cut_out(draws: Draws) -> float:
    switch = draws.job.unit.protection.low_pressure_cutout
    value = getattr(switch, "value", None)
    return float(value) if value is not None and getattr(switch, "gauge", False) else float("nan")
