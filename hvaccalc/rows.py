"""One row for each member of an enum: a table with a gap is refused when it is imported."""

from collections.abc import Mapping
from enum import Enum
from typing import TypeVar

Key = TypeVar("Key", bound=Enum)
Row = TypeVar("Row")


def complete(keys: type[Key], rows: Mapping[Key, Row]) -> dict[Key, Row]:
    """Rows in the order of their enum.

    Parameters
    ----------
    keys : type of enum
        Each member needs a row.
    rows : mapping of member to row

    Returns
    -------
    dict

    Raises
    ------
    TypeError
        Where a member has no row, or a row belongs to no member; names them.

    Examples
    --------
    >>> Answer = Enum("Answer", ["YES", "NO"])
    >>> complete(Answer, {Answer.NO: 0.0})
    Traceback (most recent call last):
    TypeError: Answer: no row for YES
    """
    missing = [key.name for key in keys if key not in rows]
    # Members of two enums of text are equal where their texts are: the class decides.
    strange = [str(key) for key in rows if not isinstance(key, keys)]
    if missing:
        raise TypeError(f"{keys.__name__}: no row for {', '.join(missing)}")
    if strange:
        raise TypeError(f"{keys.__name__}: no such member: {', '.join(strange)}")
    return {key: rows[key] for key in keys}
