"""Charge added for each length of field line, as makers print it, else as the tube full of liquid.

Tables stand in ``data/line_adders.toml``. For one and the same 3/8 in. line of R-410A they print 0.60 to 0.69
oz/ft where the valve stands indoors and 0.32 where it stands outdoors: the place of the valve is an input.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hvaccalc import units
from hvaccalc.equipment.circuit import refrigerant_lines
from hvaccalc.resources import data_path

INDOORS, OUTDOORS = "indoors", "outdoors"
OUNCE_PER_FOOT = float(units.si(1.0, "oz", "mass") / units.si(1.0, "ft", "length"))
"""[kg/m]."""


@dataclass(frozen=True, slots=True)
class AdderTable:
    """One maker's adders.

    Attributes
    ----------
    source : str
    refrigerants : tuple of str
    valve : str
        indoors or outdoors.
    adders : dict of float to float
        Outside diameter [m] to charge for each length [kg/m].
    included : float or None
        Length of line that the factory charge covers [m].
    """

    source: str
    refrigerants: tuple[str, ...]
    valve: str
    adders: dict[float, float]
    included: float | None


@dataclass(frozen=True, slots=True)
class Adder:
    """What a metre of one line adds.

    Attributes
    ----------
    low, likely, high : float
        Over the makers that print it [kg/m]; NaN where nobody does.
    sources : tuple of str
    """

    low: float
    likely: float
    high: float
    sources: tuple[str, ...]


@lru_cache(maxsize=1)
def tables() -> tuple[AdderTable, ...]:
    """Every table of the data file."""
    rows = tomllib.loads(data_path("line_adders.toml").read_text("utf-8"))["table"]
    return tuple(
        AdderTable(
            row["source"],
            tuple(row["refrigerants"]),
            row["valve"],
            {_inches(size): ounces * OUNCE_PER_FOOT for size, ounces in row["ounces"].items()},
            units.parse(row["included"], "length").value if "included" in row else None,
        )
        for row in rows
    )


def _inches(size: str) -> float:
    return units.parse(f"{size} in", "length").value


def printed_adder(refrigerant: str, outside_diameter: float, valve: str = INDOORS) -> Adder:
    """What makers print for a line of one size.

    Parameters
    ----------
    refrigerant : str
        As ASHRAE 34 calls it.
    outside_diameter : float
        [m].
    valve : str
        Where the metering device stands.

    Examples
    --------
    >>> found = printed_adder("R-410A", 0.375 * 0.0254, "outdoors")
    >>> round(found.likely / OUNCE_PER_FOOT, 2)
    0.32
    """
    found = [
        (adder, table.source)
        for table in tables()
        if refrigerant in table.refrigerants and table.valve == valve
        for size, adder in table.adders.items()
        if abs(size - outside_diameter) <= refrigerant_lines.SLACK
    ]
    if not found:
        return Adder(np.nan, np.nan, np.nan, ())
    values = sorted(adder for adder, _ in found)
    return Adder(values[0], float(np.median(values)), values[-1], tuple(source for _, source in found))


def added_charge(adder, length, included):
    """Charge that a field line asks for beyond the factory's; negative: to be taken out.

    Parameters
    ----------
    adder : array_like
        [kg/m].
    length, included : array_like
        Of the line, > 0, and of what the factory charge covers, >= 0 [m].

    Returns
    -------
    ndarray
        [kg]; NaN where there is no line.

    Examples
    --------
    75 ft of 1/2 in. at 1.2 oz/ft, 15 ft of 0.6 oz/ft (as 7.5 ft of this line) included: 81 oz to add:

    >>> feet, ounce = 0.3048, 0.45359237 / 16
    >>> round(float(added_charge(1.2 * OUNCE_PER_FOOT, 75 * feet, 7.5 * feet)) / ounce, 1)
    81.0
    """
    length, included = np.asarray(length, dtype=float), np.asarray(included, dtype=float)
    sound = (length > 0.0) & (included >= 0.0)
    return np.where(sound, np.asarray(adder) * (length - included), np.nan)


def full_of_liquid(outside_diameter, density):
    """What a metre of line holds when full of liquid [kg/m].

    Parameters
    ----------
    outside_diameter : array_like
        [m].
    density : array_like
        Of the liquid [kg/m3].

    Examples
    --------
    5/8 in. of R-410A at 77 °F, 66.1 lb/ft3, in oz/ft:

    >>> round(float(full_of_liquid(0.625 * 0.0254, 1058.8)) / OUNCE_PER_FOOT, 2)
    1.78
    """
    return refrigerant_lines.section(outside_diameter) * np.asarray(density, dtype=float)
