"""Labels and numbers as a picture or a page can hold them: one line, printable, without needless decimals."""

from __future__ import annotations

import math
import re

from hvaccalc import units
from hvaccalc.ensemble import Band

_NOT_PRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")

_ROUND = {"temperature": (0, 1), "temperature_difference": (0, 1), "airflow": (-2, 1), "heat": (0, 0)}
"""Decimals shown to the customer, us and si."""


def printable(text: str) -> str:
    """Text without the characters that no page can hold; each leaves a mark.

    Examples
    --------
    >>> printable("a\\x00b") == "a\\ufffdb"
    True
    """
    return _NOT_PRINTABLE.sub("\ufffd", text)


def cut(label: str, longest: int = 68) -> str:
    """A label on one line.

    Examples
    --------
    >>> cut("both stages,\\nfan forced", 14)
    'both stages,…'
    """
    flat = " ".join(printable(label).split())
    return flat if len(flat) <= longest else flat[: longest - 1].rstrip() + "…"


def banded(value: Band, kind: str, display: str) -> str:
    """A number with its band, or "not known"."""
    return units.band_text(value.value, value.low, value.high, kind, display)


def rounded(value: Band, kind: str, display: str) -> str:
    """A value and its range without needless decimals."""
    ends = (value.value, value.low, value.high)
    if not all(math.isfinite(end) for end in ends):
        return "not known"
    name = units.display_unit(kind, display)[0]
    decimals = _ROUND[kind][display == "si"]
    shown = [_rounded(float(units.to(end, name, kind)), decimals) for end in ends]
    text = f"about {shown[0]} {units.DISPLAY_NAMES.get(name, name)}"
    return text if shown[1] == shown[2] else f"{text} ({shown[1]} to {shown[2]})"


def _rounded(value: float, decimals: int) -> str:
    rounded = round(value, decimals) + 0.0
    return f"{rounded:,.{max(decimals, 0)}f}"
