"""What has to be quoted: lines that follow from the repairs called for, and from nothing else."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from hvaccalc.ensemble import Band
from hvaccalc.job.causes import CauseAt
from hvaccalc.service.refrigerant.inventory import TONNAGE, CircuitInventory
from hvaccalc.service.repair.repair_rows import Opens, Part, Repair, RepairNeeded

PIECE, MASS = "1", "kg"
"""Units of a line: pieces, or refrigerant by weight."""


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line of a quote.

    Attributes
    ----------
    needed : RepairNeeded
        The repair that asks for it.
    part : Part
    quantity : Band or None
        How much of it in SI: low, likely and high; None where nothing tells how much.
    unit : str
        kg, or 1 for pieces.
    gas : str
        Name of the refrigerant; empty for another part.
    if_reused : Band or None
        Of refrigerant: what has to be new where what is recovered is clean and goes back [kg].
    a_guess : bool
        Whether the quantity is guessed from the unit's capacity until the label is read.
    """

    needed: RepairNeeded
    part: Part
    quantity: Band | None
    unit: str
    gas: str = ""
    if_reused: Band | None = None
    a_guess: bool = False

    @property
    def repair(self) -> Repair:
        """The repair that asks for it."""
        return self.needed.repair

    @property
    def cause(self) -> CauseAt | None:
        """The cause that the repair puts right."""
        return self.needed.cause


def quote(called: Sequence[RepairNeeded], on_board: Mapping[str, CircuitInventory]) -> tuple[QuoteLine, ...]:
    """The lines of a quote, repair by repair.

    Parameters
    ----------
    called : sequence of RepairNeeded
        Repairs that are called for.
    on_board : mapping of str to CircuitInventory
        Refrigerant of each circuit.
    """
    return tuple(line for needed in called for line in _lines(needed, on_board))


def opened(called: Sequence[RepairNeeded]) -> tuple[str, ...]:
    """Circuits that a repair has to empty, in the order of the repairs."""
    emptied = (one.circuit for one in called if one.row.opens is Opens.EMPTIED)
    return tuple(dict.fromkeys(name for name in emptied if name is not None))


def _lines(needed: RepairNeeded, on_board: Mapping[str, CircuitInventory]) -> Iterator[QuoteLine]:
    for part in needed.row.parts:
        if part is Part.REFRIGERANT:
            yield _refrigerant(needed, on_board[needed.circuit or ""])
        else:
            yield QuoteLine(needed, part, Band(1.0, 1.0, 1.0), PIECE)


def _refrigerant(needed: RepairNeeded, circuit: CircuitInventory) -> QuoteLine:
    gas = circuit.gas
    name, guess = circuit.refrigerant, circuit.method == TONNAGE
    if gas is None:
        return QuoteLine(needed, Part.REFRIGERANT, None, MASS, name)
    return QuoteLine(needed, Part.REFRIGERANT, gas.quote, MASS, name, gas.missing, guess)
