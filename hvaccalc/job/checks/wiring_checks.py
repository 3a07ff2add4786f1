"""What the wiring table cannot be: a pair or a load that ends nowhere, a switch that nothing closes."""

from __future__ import annotations

from collections.abc import Iterator

from hvaccalc.errors import InputError, MissingReading
from hvaccalc.job.checks.refusals import Placed
from hvaccalc.job.fields import nearest, shown
from hvaccalc.job.schema import Job
from hvaccalc.job.wiring_tables import Wiring

RAILS = ("R", "RH", "RC", "C", "COM")
"""Letters of a supply: usual meanings hold for them where a device is known, listed or not."""


def wiring_checks(job: Job) -> list[Placed]:
    """Refusals of the wiring table."""
    table = job.wiring
    if not table.given:
        return []
    known = known_terminals(table)
    return [*_pairs(table, known), *_rows(table, known), *_switches(table)]


def known_terminals(table: Wiring) -> frozenset[str]:
    """Terminals that the table introduces: listed, else of the design; inputs and dry contacts."""
    listed = table.terminals or tuple(end for pair in table.designed or () for end in pair)
    inputs = tuple(row.input for row in table.fan_speed if row.input)
    return frozenset((*listed, *inputs, *(table.dry_contact or ())))


def _is_known(terminal: str, known: frozenset[str]) -> bool:
    device, _, letter = terminal.partition(".")
    return terminal in known or (
        letter.upper() in RAILS and any(other.partition(".")[0] == device for other in known)
    )


def _unknown(terminal: str, known: frozenset[str], what: str) -> InputError:
    hint = nearest(terminal, known)
    message = what + (f"; {hint}" if hint else "")
    return InputError(
        message, found=shown(terminal), allowed="one of wiring.terminals; add it there if it is real"
    )


def _pairs(table: Wiring, known: frozenset[str]) -> Iterator[Placed]:
    for key in ("designed", "found", "temporary"):
        for n, pair in enumerate(getattr(table, key) or ()):
            for e, end in enumerate(pair):
                if not _is_known(end, known):
                    yield ("wiring", key, n, e), _unknown(end, known, "unknown terminal in a pair")
            if pair[0] == pair[1]:
                yield ("wiring", key, n), _itself(pair[0], "a pair")


def _itself(terminal: str, what: str) -> InputError:
    return InputError(
        f"{what} from a terminal to itself", found=shown(terminal), allowed="two different terminals"
    )


def _rows(table: Wiring, known: frozenset[str]) -> Iterator[Placed]:
    whats = {
        "supply": "a supply to nowhere",
        "load": "a load to nowhere",
        "switch": "a switch to nowhere",
        "safety": "a safety to nowhere",
    }
    for key, what in whats.items():
        for n, row in enumerate(getattr(table, key)):
            for e, end in enumerate(row.between):
                if not _is_known(end, known):
                    yield ("wiring", key, n, "between", e), _unknown(end, known, f"{what}: unknown terminal")
            if row.between[0] == row.between[1]:
                yield ("wiring", key, n, "between"), _itself(row.between[0], f"a {key}")


def _switches(table: Wiring) -> Iterator[Placed]:
    names = [row.name for row in table.load if row.name]
    for n, row in enumerate(table.switch):
        if row.call is None and row.closed_by is None:
            allowed = 'call, such as "cool 1", or closed_by with the name of a load'
            yield ("wiring", "switch", n), MissingReading("a switch without a call", "nothing", allowed)
        elif row.closed_by is not None and row.closed_by not in names:
            hint = nearest(row.closed_by, names)
            message = "no load of this name closes a switch" + (f"; {hint}" if hint else "")
            allowed = ", ".join(names) or "name it in [[wiring.load]]"
            yield ("wiring", "switch", n, "closed_by"), InputError(message, shown(row.closed_by), allowed)
