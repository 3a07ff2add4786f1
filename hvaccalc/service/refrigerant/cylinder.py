"""Which recovery cylinder to bring, how far it may be filled; how much refrigerant to carry and to quote.

Two figures for one cylinder. The guideline fills to 80 % of the water capacity times the specific gravity at
77 °F. The cautious rule takes the liquid's density at 130 °F instead, about a fifth less of R-410A. The law
sets a cap: a filling density for the refrigerants that it lists, and for all no cylinder full of liquid at
131 °F. Advice uses the cautious figure and shows the guideline as the ceiling.

Sources: AHRI Guideline K-2004; 49 CFR 173.304(b), 173.304a(a)(2), 173.301(a)(8); trade training on recovery
tanks.
"""

import math
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import Band, band
from hvaccalc.physics.moist_air import STANDARD_PRESSURE
from hvaccalc.physics.refrigerant import Refrigerant
from hvaccalc.practice.refrigerant import (
    CAUTIOUS_TEMPERATURE,
    GUIDELINE_TEMPERATURE,
    HOOK_UPS,
    HOSE_BORE,
    HOSE_LENGTH,
    LEGAL_TEMPERATURE,
    MACHINE,
    MOST_ALIKE,
    SERVICE_SHARE,
)
from hvaccalc.resources import data_path

POUND_PER_CUBIC_FOOT = 0.45359237 / 0.3048**3


@dataclass(frozen=True, slots=True)
class Rules:
    """What every cylinder's fill goes by."""

    water: float
    water_cautious: float
    fill: float
    service_pressures: tuple[float, ...]
    filling_density: dict[str, float]


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One size; water capacity and tare [kg]."""

    name: str
    water_capacity: float
    tare: float
    source: str


@dataclass(frozen=True, slots=True)
class Fill:
    """How much of one refrigerant a cylinder takes [kg].

    Attributes
    ----------
    guideline, cautious : float
    legal : float
        Cap by law.
    liquid_full : float
        Content at which the liquid fills it at 131 °F.
    """

    guideline: float
    cautious: float
    legal: float
    liquid_full: float


@dataclass(frozen=True, slots=True)
class CylinderChoice:
    """What to bring for an amount.

    Attributes
    ----------
    cylinder : Cylinder
    count : int
        For the likely amount.
    count_high : int
        For the high end of its band.
    fill : Fill
        Of one cylinder.
    amount, amount_high : float
        [kg].
    service_pressure : float
        Least class of the cylinder [Pa gauge]; NaN where no class suffices.
    flammable : bool
        A2L: cylinder, machine and thread of their own.
    """

    cylinder: Cylinder
    count: int
    count_high: int
    fill: Fill
    amount: float
    amount_high: float
    service_pressure: float
    flammable: bool


@dataclass(frozen=True, slots=True)
class Filled:
    """A cylinder on the scale.

    Attributes
    ----------
    content, room : float
        Held, and still to be taken by the cautious rule, never below 0 [kg]; NaN below its tare.
    liquid_share : float
        Volume filled by liquid at 131 °F, above 1: it would burst its relief.
    state : str
        room left, full, overfilled or not a weight of this cylinder.
    """

    content: float
    room: float
    liquid_share: float
    state: str


@lru_cache(maxsize=1)
def _file() -> dict[str, Any]:
    return tomllib.loads(data_path("cylinders.toml").read_text("utf-8"))


@lru_cache(maxsize=1)
def rules() -> Rules:
    """Rules of the data file, densities in kg/m3 and pressures in Pa gauge."""
    table = _file()
    psi = float(units.si(1.0, "psid", "pressure_difference"))
    return Rules(
        table["water"] * POUND_PER_CUBIC_FOOT,
        table["water_cautious"] * POUND_PER_CUBIC_FOOT,
        table["fill"],
        tuple(psi * pressure for pressure in table["service_pressures"]),
        dict(table["filling_density"]),
    )


@lru_cache(maxsize=1)
def cylinders() -> tuple[Cylinder, ...]:
    """Sizes of the data file, small to large."""
    return tuple(
        Cylinder(
            row["name"],
            units.parse(row["water_capacity"], "mass").value,
            units.parse(row["tare"], "mass").value,
            row["source"],
        )
        for row in _file()["cylinder"]
    )


def fill(fluid: Refrigerant, water_capacity: float) -> Fill:
    """How much a cylinder takes.

    Parameters
    ----------
    fluid : Refrigerant
    water_capacity : float
        Mass of water that fills it, > 0 [kg].

    Returns
    -------
    Fill
        NaN where the water capacity is not above zero.

    Examples
    --------
    A 50-lb cylinder of 47.7 lb water takes 40.4 lb of R-410A by the guideline, 33.2 lb by the cautious rule:

    >>> from hvaccalc.physics.refrigerant import refrigerant
    >>> pound = 0.45359237
    >>> found = fill(refrigerant("R-410A"), 47.7 * pound)
    >>> round(found.guideline / pound, 1), round(found.cautious / pound, 1)
    (40.4, 33.2)
    """
    water = water_capacity if water_capacity > 0.0 else math.nan
    limits = rules()
    at = (GUIDELINE_TEMPERATURE, CAUTIOUS_TEMPERATURE, LEGAL_TEMPERATURE)
    warm, hot, hottest = (float(fluid.saturated_liquid(t).density) for t in at)
    full = water * hottest / limits.water
    listed = limits.filling_density.get(fluid.name)
    return Fill(
        guideline=limits.fill * water * warm / limits.water,
        cautious=limits.fill * water * hot / limits.water_cautious,
        legal=full if listed is None else min(full, listed * water),
        liquid_full=full,
    )


def service_pressure(fluid: Refrigerant) -> float:
    """Least class of a cylinder for a refrigerant [Pa gauge]; NaN where none of the usual ones suffices."""
    hot = float(fluid.bubble_pressure(LEGAL_TEMPERATURE)) - STANDARD_PRESSURE
    return next((p for p in rules().service_pressures if SERVICE_SHARE * p >= hot), math.nan)


def choose(fluid: Refrigerant, amount: float, amount_high: float) -> CylinderChoice | None:
    """Size and count for an amount, by the cautious rule; None where the amount is not known.

    Parameters
    ----------
    fluid : Refrigerant
    amount, amount_high : float
        Likely, and high end of its band, > 0 [kg].

    Notes
    -----
    The smallest size of which no more than two are needed for the likely amount.
    """
    if not (np.isfinite(amount) and amount > 0.0):
        return None
    size = next((c for c in cylinders() if _count(fluid, c, amount) <= MOST_ALIKE), cylinders()[-1])
    if size.name == cylinders()[0].name and _count(fluid, size, amount) > 1:
        # One of the next size is lighter to handle than two of the smallest.
        size = cylinders()[1]
    return CylinderChoice(
        cylinder=size,
        count=_count(fluid, size, amount),
        count_high=_count(fluid, size, max(amount, amount_high)),
        fill=fill(fluid, size.water_capacity),
        amount=amount,
        amount_high=amount_high,
        service_pressure=service_pressure(fluid),
        flammable=fluid.safety_class == "A2L",
    )


def _count(fluid: Refrigerant, size: Cylinder, amount: float) -> int:
    return math.ceil(amount / fill(fluid, size.water_capacity).cautious - 1e-9)


def weighed(fluid: Refrigerant, gross: float, tare: float, water_capacity: float) -> Filled:
    """State of a cylinder by its weight.

    Parameters
    ----------
    fluid : Refrigerant
    gross, tare, water_capacity : float
        On the scale, and as stamped on the collar [kg].
    """
    content = gross - tare
    may = fill(fluid, water_capacity)
    if not (content >= 0.0 and math.isfinite(may.cautious)):
        return Filled(math.nan, math.nan, math.nan, "not a weight of this cylinder")
    state = (
        "overfilled"
        if content > min(may.guideline, may.legal)
        else "full"
        if content >= may.cautious
        else "room left"
    )
    return Filled(content, max(may.cautious - content, 0.0), content / may.liquid_full, state)


@dataclass(frozen=True, slots=True)
class Gas:
    """Refrigerant for a repair that empties the circuit [kg].

    Attributes
    ----------
    quote : Band
        Low, likely, high of what a full weigh-in takes, hoses included.
    carry : float
        To have on the truck: the high end.
    hoses : Band
        Lost with the hoses.
    purged : Band
        Brought back by purging machine and liquid hose into the cylinder.
    missing : Band or None
        What is lacking where all that is recovered is clean and goes back.
    """

    quote: Band
    carry: float
    hoses: Band
    purged: Band
    missing: Band | None


def hose_loss(draws: Draws, fluid: Refrigerant) -> Array:
    """What stays in hoses that are taken off full of liquid [kg]."""
    each = (
        np.pi
        / 4.0
        * HOSE_BORE**2
        * HOSE_LENGTH
        * float(fluid.saturated_liquid(GUIDELINE_TEMPERATURE).density)
    )
    return draws.ensemble.uniform("inventory/hose", *HOOK_UPS) * each


def gas(draws: Draws, fluid: Refrigerant, full: Array, on_board: Array | None) -> Gas:
    """What to carry and to quote for one circuit.

    Parameters
    ----------
    draws : Draws
    fluid : Refrigerant
    full, on_board : ndarray
        What the circuit should hold, and what it holds where that is known [kg].
    """
    lost = hose_loss(draws, fluid)
    quote = band(full + lost)
    machine = draws.ensemble.uniform("inventory/recovery machine", *MACHINE)
    return Gas(
        quote=quote,
        carry=quote.high,
        hoses=band(lost),
        purged=band(machine + lost / 2.0),
        missing=None if on_board is None else band(np.maximum(full - on_board, 0.0) + lost),
    )
