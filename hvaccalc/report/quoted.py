"""What has to be quoted, in plain words for the customer: the repairs of the memo with their amounts."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc import units
from hvaccalc.ensemble import Band
from hvaccalc.report.blocks import Block, Item, Items, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.report.refrigerant_section import opened_circuits
from hvaccalc.service.refrigerant.inventory import TONNAGE

WORKS = {
    "Drain line.": "A drain line of the size named above.",
    "Overflow protection.": "Protection against an overflow of the pan.",
}
"""Lead of a repair's line, and how it is named in a quote."""


def to_be_quoted(found: Found, repairs: Sequence[Item]) -> list[Block]:
    """The list for the customer; empty for the file, which tells amounts circuit by circuit."""
    if not found.plain:
        return []
    items = [Item(text) for text in (*_works(repairs), *_circuits(found))]
    return [Paragraph("", "To be quoted:"), Items(tuple(items))] if items else []


def _works(repairs: Sequence[Item]) -> list[str]:
    """Works besides the refrigerant that a line of the repair asks for, where it is not done yet."""
    done = "noted as repaired"
    return [WORKS[item.lead] for item in repairs if item.lead in WORKS and done not in item.text.lower()]


def _circuits(found: Found) -> list[str]:
    told = []
    for name in opened_circuits(found):
        charge = found.charge(name)
        leak = found.job.circuit[name].leak
        where = f" at the {leak.at}" if leak.at and leak.at != "unknown" else ""
        high = charge is not None and charge.text == "high"
        if high:
            told.append(f"Circuit {name}: taking out what is too much refrigerant, weighed.")
            continue
        first = f"repair of its leak{where}" if leak.given else "search for its leak and repair of it"
        told.append(
            f"Circuit {name}: {first}; recovery of the refrigerant inside; {_gas(found, name)}; a new "
            "filter-drier, as the circuit is opened; a pressure test and proof that a vacuum holds."
        )
    return told


def _gas(found: Found, name: str) -> str:
    circuit = found.analysis.inventory[name]
    if circuit.gas is None:
        return "refrigerant by weight, as the label asks for"
    quote = circuit.gas.quote
    text = f"about {_whole(quote, found)} of {circuit.refrigerant} refrigerant if all of it has to be new"
    if circuit.method == TONNAGE:
        text += ", a guess until the label is read"
    if circuit.gas.missing is not None:
        text += f", about {_whole(circuit.gas.missing, found)} if what is recovered is clean and goes back"
    return text


def _whole(mass: Band, found: Found) -> str:
    unit = units.display_unit("mass", found.display)[0]
    value, low, high = (float(units.to(end, unit, "mass")) for end in (mass.value, mass.low, mass.high))
    return f"{value:.0f} {unit} ({low:.0f} to {high:.0f})"
