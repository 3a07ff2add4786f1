"""Limits of rules in the job's display units."""

from __future__ import annotations

from hvaccalc import units


def limit(value: float, kind: str, display: str) -> str:
    """A limit with its unit, without needless decimals.

    Examples
    --------
    >>> limit(units.degF(32.0), "temperature", "us"), limit(units.degF(32.0), "temperature", "si")
    ('32 °F', '0 °C')
    """
    return units.value_text(value, kind, display).replace(".0 ", " ")


def limits(low: float, high: float, kind: str, display: str, joined: str = "to") -> str:
    """Two limits with one unit.

    Examples
    --------
    >>> limits(units.degF(55.0), units.degF(115.0), "temperature", "us", "and")
    '55 and 115 °F'
    """
    return f"{limit(low, kind, display).rsplit(' ', 1)[0]} {joined} {limit(high, kind, display)}"
