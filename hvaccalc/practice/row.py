"""A number of practice: read from text with its unit, as anybody would type it."""

from enum import StrEnum
from typing import NamedTuple

from hvaccalc import units


class Basis(StrEnum):
    """What a number rests on."""

    PRACTICE = "common practice"
    MEMORY = "from memory"
    MEASURED = "measured units"
    PUBLISHED = "published"


PRACTICE, MEMORY, MEASURED, PUBLISHED = Basis


def number(text: str, kind: str, basis: Basis, source: str = "") -> float:
    """A number [SI]; the words below its name say what it decides, and the page prints them.

    Parameters
    ----------
    text : str
        Value and unit; a number that has no unit of the table is typed with its unit in words.
    kind : str
        Of the unit table; empty where the unit is none of its own, and the number is taken as it stands.
    basis : Basis
    source : str
        Where it is from; asked for by `Basis.MEASURED` and `Basis.PUBLISHED`.

    Raises
    ------
    ValueError
        Where a source is asked for and lacks.

    Examples
    --------
    >>> number("3 degF", "temperature_difference", PUBLISHED, "a standard")
    1.6666666666666667
    >>> number("0.41 W/cfm", "", MEMORY)
    0.41
    """
    if basis in (MEASURED, PUBLISHED) and not source:
        raise ValueError(f"{text}: for {basis} say where it is from")
    if not kind:
        return float(text.split()[0].replace(",", ""))
    quantity = units.parse(text, kind)
    return float(quantity.value)


def span(low: str, high: str, kind: str, basis: Basis, source: str = "") -> tuple[float, float]:
    """Ends of a range [SI]; parameters as `number` has them, ValueError where low is above high."""
    ends = number(low, kind, basis, source), number(high, kind, basis, source)
    if ends[0] > ends[1]:
        raise ValueError(f"{low} to {high}: no range")
    return ends


def spread(mean: str, sd: str, kind: str, basis: Basis, source: str = "") -> tuple[float, float]:
    """Mean and standard deviation [SI]; a spread of a temperature is a difference of temperatures."""
    width = "temperature_difference" if kind == "temperature" else kind
    return number(mean, kind, basis, source), number(sd, width, basis, source)


def factor(likely: str, either_way: str, kind: str, basis: Basis, source: str = "") -> tuple[float, float]:
    """Likely value [SI] and the factor either way that holds 95 %."""
    return number(likely, kind, basis, source), float(either_way)


class Limits(NamedTuple):
    """What a typed value can be, and what it usually is [SI]."""

    lowest: float
    low: float
    high: float
    highest: float


def limits(ends: str, kind: str, basis: Basis) -> Limits:
    """Four ends with one unit: outside the outer two a value cannot be, outside the inner two it is unusual.

    Raises
    ------
    ValueError
        Where the four are out of order.

    Examples
    --------
    >>> limits("1 10 90 400 Hz", "frequency", PRACTICE).high
    90.0
    """
    *numbers, unit = f"{ends} ".split(" ", 4)
    read = Limits(*(number(f"{one} {unit}".strip(), kind, basis) for one in numbers))
    if list(read) != sorted(read):
        raise ValueError(f"{ends}: out of order")
    return read
