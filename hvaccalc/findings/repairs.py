"""Repairs, their quote and their proof as plain data, the form of ``hvaccalc findings --json``."""

from hvaccalc.service.repair.proof import Proof
from hvaccalc.service.repair.repair_rows import RepairNeeded
from hvaccalc.service.repair.repairs import QuoteLine
from hvaccalc.words.repairs import whole
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller


def repair_dict(needed: RepairNeeded, display: str) -> dict[str, object]:
    """A repair that is called for, its scope in the words of the file."""
    return {
        "cause": None if needed.cause is None else str(needed.cause),
        "repair": needed.repair.value,
        "scope": whole(teller(Reader.FILE, display), needed),
        "who": needed.row.who.value,
        "today": needed.row.today,
    }


def quote_dict(line: QuoteLine) -> dict[str, object]:
    """A line of the quote; its money stands open, as the job's prices are not read against it."""
    amount = line.quantity
    return {
        "cause": None if line.cause is None else str(line.cause),
        "repair": line.repair.value,
        "item": line.part.value,
        "quantity": None if amount is None else list(amount.low_to_high),
        "unit": line.unit,
        "low": None,
        "likely": None,
        "high": None,
        "currency": None,
    }


def proof_dict(one: Proof) -> dict[str, object]:
    """One thing that the return visit has to show."""
    return {
        "cause": None if one.cause is None else str(one.cause),
        "calls": [call.value for call in one.calls],
        "quantity": one.quantity.value,
        "target": one.target,
        "low": one.low,
        "high": one.high,
        "unit": one.unit,
        "kind": one.kind or None,
    }
