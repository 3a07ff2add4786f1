"""Every error that leaves the package.

::

    HvacCalcError
     ├─ InputError        something typed cannot be read or is not a value of its kind
     │   ├─ UnknownUnit       the unit is in no table
     │   ├─ WrongKind         the unit, or the value, belongs to another kind
     │   ├─ OutOfRange        of its kind, but impossible
     │   └─ MissingReading    a key that the job cannot do without
     ├─ NotConverged      a calculation found no state
     ├─ NoSecondOpinion   a property library is missing, or broke while asked
     └─ FileChanged       the file on disk is no longer the one that was read
"""

from __future__ import annotations

from dataclasses import dataclass


class HvacCalcError(Exception):
    """Base of all errors of this package."""


@dataclass(eq=False)
class InputError(HvacCalcError):
    """Bad input, told in full: where it stands, what was found, what is accepted.

    Parameters
    ----------
    message : str
        What is wrong, one sentence.
    found : str
        The value as typed.
    allowed : str
        What is accepted instead, and where the limit comes from.
    file, line, key : optional
        Where it stands; filled in by the job loader.
    others : tuple of InputError
        Further errors of the same file.
    """

    message: str
    found: str = ""
    allowed: str = ""
    file: str | None = None
    line: int | None = None
    key: str | None = None
    others: tuple[InputError, ...] = ()

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        text = f"{self.key}: {self.message}" if self.key else self.message
        if self.found:
            text += f"; found {self.found}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        return f"{place}: {text}" if place else text

    def _render_traceback_(self) -> list[str]:
        """What a notebook shows of it: the message, for no traceback reaches a user."""
        return [f"{type(self).__name__}: {self}"]


class UnknownUnit(InputError):
    """The unit is not in the closed table."""


class WrongKind(InputError):
    """The value or its unit belongs to another kind of quantity."""


class OutOfRange(InputError):
    """A value of the right kind that cannot be."""


class MissingReading(InputError):
    """A key that the job cannot do without."""


class NotConverged(HvacCalcError):
    """A calculation found no state."""


class NoSecondOpinion(HvacCalcError):
    """The property libraries gave no answer."""


class FileChanged(HvacCalcError):
    """The file changed on disk since it was read; nothing was written."""
