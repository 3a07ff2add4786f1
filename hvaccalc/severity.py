"""How much something matters to the job."""

from collections.abc import Iterable
from enum import StrEnum


class Severity(StrEnum):
    """How severe a result is, the mildest first.

    Examples
    --------
    >>> Severity.NOTE.rank, Severity.STOP.rank
    (0, 3)
    """

    NOTE = "note"
    WATCH = "watch"
    ACT = "act"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """0 for a note, up to 3 for stop."""
        return tuple(Severity).index(self)

    @property
    def notable(self) -> bool:
        """Whether it is more than a note."""
        return self is not Severity.NOTE

    @property
    def unsettled(self) -> bool:
        """Whether it is to be watched, no work asked for yet."""
        return self is Severity.WATCH

    @property
    def stops(self) -> bool:
        """Whether something has to stay off."""
        return self is Severity.STOP

    @property
    def asks_for_work(self) -> bool:
        """Whether somebody has to act on it or stop."""
        return self in (Severity.ACT, Severity.STOP)


def worst(severities: Iterable[Severity]) -> Severity:
    """The most severe of several; a note where there are none.

    Examples
    --------
    >>> worst([Severity.WATCH, Severity.STOP, Severity.ACT]), worst([])
    (<Severity.STOP: 'stop'>, <Severity.NOTE: 'note'>)
    """
    return max(severities, key=lambda severity: severity.rank, default=Severity.NOTE)
