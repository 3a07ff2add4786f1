"""Lines that a notebook prints, broken between words: an output area breaks long ones inside words."""

from __future__ import annotations

import textwrap

COLUMNS = 88
"""Letters on a line: fits a window of 1024 points beside the cell's number."""


def wrapped(told: str) -> str:
    """A sentence on lines of its own, the following ones indented.

    Examples
    --------
    >>> print(wrapped("act: " + "The fan is slow. " * 6))
    act: The fan is slow. The fan is slow. The fan is slow. The fan is slow. The fan is
      slow. The fan is slow.
    """
    return textwrap.fill(
        told, COLUMNS, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )
