"""The memo on refrigerant: what is on board, whether a pump-down fits."""

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import band
from hvaccalc.report import figures
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.pump_down import Fits
from hvaccalc.service.repair.repairs import opened
from hvaccalc.words.charge import CAUTIONS
from hvaccalc.words.repairs import METHODS
from hvaccalc.words.said import banded

_SHORT = ("label", "full charge")
"""Methods that the table tells in full."""


def on_board(found: Found) -> list[Block]:
    """Refrigerant on board; for the customer a sentence on each circuit that has to be opened."""
    if found.plain:
        return [Paragraph(text) for text in _plainly(found)]
    circuits = list(found.analysis.inventory.values())
    if not any(circuit.full is not None for circuit in circuits):
        return []
    blocks: list[Block] = [
        Heading("Refrigerant on board", 3),
        Table(
            (
                "Circuit",
                "Should hold",
                "Held when last read",
                "Pump-down",
                "Recovery cylinders",
                "New gas, where a repair opens it",
            ),
            tuple(_row(found, circuit) for circuit in circuits),
            "Charge of each circuit with 95 % bands; cylinders were it emptied; gas low / likely / high",
        ),
    ]
    if told := _told(found, circuits):
        blocks.append(Items(tuple(told)))
    if any(circuit.pump_down.text is Fits.YES for circuit in circuits):
        blocks.append(Items(tuple(Item(text, "Pump-down.") for text in CAUTIONS)))
    if (picture := figures.inventory(found)) is not None:
        blocks.append(picture)
    return blocks


def _row(found: Found, circuit: CircuitInventory) -> tuple[str, ...]:
    charge, held = (
        banded(band(mass.draws if mass else None), "mass", found.display)
        for mass in (circuit.full, circuit.on_board and circuit.on_board.charge)
    )
    cylinder = found.at("inventory.cylinder", Where(circuit=circuit.name))
    quote = "–"
    if circuit.gas is not None and circuit.name in opened(found.analysis.repairs.called):
        unit = units.display_unit("mass", found.display)[0]
        ends = (units.number_text(end, "mass", found.display) for end in circuit.gas.quote.low_to_high)
        quote = f"{' / '.join(ends)} {unit}"
    return (
        f"{circuit.name} ({circuit.refrigerant})",
        f"{charge}, {METHODS[circuit.method]}" if circuit.full is not None else charge,
        held,
        circuit.pump_down.text,
        cylinder.text or "–" if cylinder is not None else "–",
        quote,
    )


def _told(found: Found, circuits: list[CircuitInventory]) -> list[Item]:
    """Everything on the circuits that have to be opened; of the others what the table cannot hold."""
    emptied = opened(found.analysis.repairs.called)
    items = []
    for circuit in circuits:
        keys = ["inventory.charge"] if circuit.notes or circuit.method not in _SHORT else []
        if circuit.name in emptied:
            parts = ("charge", "on_board", "pumpdown", "cylinder", "gas")
            keys = [f"inventory.{part}" for part in parts]
        findings = (found.at(key, Where(circuit=circuit.name)) for key in keys)
        items += [Item(finding.statement) for finding in findings if finding is not None]
    return items


def _plainly(found: Found) -> list[str]:
    """At most one sentence for each circuit that has to be opened."""
    told = []
    for name in opened(found.analysis.repairs.called)[:2]:
        circuit = found.analysis.inventory[name]
        if circuit.full is None or circuit.gas is None:
            continue
        whole = _whole(band(circuit.full.draws).value, found)
        text = f"Cooling circuit {name} holds about {whole} of refrigerant when it is full"
        if circuit.on_board is not None and band(circuit.on_board.short).low > 0.0:
            read = circuit.on_board
            lacking = band(read.short * circuit.full.draws).value
            text += f"; by the readings about {_whole(lacking, found)} of it is missing"
        told.append(f"{text}.")
    return told


def _whole(value: float, found: Found) -> str:
    name = units.display_unit("mass", found.display)[0]
    return f"{float(units.to(value, name, 'mass')):.0f} {name}"
