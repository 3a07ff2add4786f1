"""The memo on refrigerant: what is on board, whether a pump-down fits, what to bring and to quote."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.inventory import gauge_text
from hvaccalc.job.causes import Cause
from hvaccalc.report import figures
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.pump_down import FITS
from hvaccalc.words.pump_down import CAUTIONS
from hvaccalc.words.said import joined

_METHODS = {
    "label": "by its label",
    "full charge": "as noted when charged",
    "label and line": "label and field line",
    "volumes": "by volumes",
    "other circuit": "by the other circuit",
    "tonnage": "guessed from its capacity",
}


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
                "Quote, new gas",
            ),
            tuple(_row(found, circuit) for circuit in circuits),
            "Charge of each circuit with 95 % bands; cylinders and gas (low / likely / high) were it opened",
        ),
    ]
    if told := _told(found, circuits):
        blocks.append(Items(tuple(told)))
    if any(circuit.pump_down.text == FITS for circuit in circuits):
        blocks.append(Items(tuple(Item(text, "Pump-down.") for text in CAUTIONS)))
    if (picture := figures.inventory(found)) is not None:
        blocks.append(picture)
    return blocks


def _row(found: Found, circuit: CircuitInventory) -> tuple[str, ...]:
    charge = _mass(None if circuit.full is None else band(circuit.full.draws), found)
    held = _mass(None if circuit.on_board is None else band(circuit.on_board.charge.draws), found)
    cylinder = found.at("inventory.cylinder", Where(circuit=circuit.name))
    quote = "–"
    if circuit.gas is not None:
        ends = (circuit.gas.quote.low, circuit.gas.quote.value, circuit.gas.quote.high)
        unit = units.display_unit("mass", found.display)[0]
        quote = f"{' / '.join(units.number_text(end, 'mass', found.display) for end in ends)} {unit}"
        quote += "; read the label first" if circuit.method == "tonnage" else ""
    return (
        f"{circuit.name} ({circuit.refrigerant})",
        f"{charge}, {_METHODS[circuit.method]}" if circuit.full is not None else charge,
        held,
        circuit.pump_down.text,
        cylinder.text or "–" if cylinder is not None else "–",
        quote,
    )


def _mass(value: Band | None, found: Found) -> str:
    if value is None or not value.known:
        return "not known"
    return units.band_text(value.value, value.low, value.high, "mass", found.display)


def _told(found: Found, circuits: list[CircuitInventory]) -> list[Item]:
    """Everything on the circuits that have to be opened; of the others what the table cannot hold."""
    opened = opened_circuits(found)
    items = []
    for circuit in circuits:
        keys = ["inventory.charge"] if circuit.notes or circuit.method not in _SHORT else []
        if circuit.name in opened:
            parts = ("charge", "on_board", "pumpdown", "cylinder", "gas")
            keys = [f"inventory.{part}" for part in parts]
        findings = (found.at(key, Where(circuit=circuit.name)) for key in keys)
        items += [Item(finding.statement) for finding in findings if finding is not None]
    return items


def opened_circuits(found: Found) -> list[str]:
    """Circuits that the repair has to empty: a leak is known, or the charge is off."""
    names = []
    for name, circuit in found.job.circuit.items():
        charge = found.charge(name)
        verdict = ChargeVerdict(charge.text or "").row if charge is not None else None
        apart = found.contrast
        # Too much liquid at the coil is no leak: nothing is opened for it before its cause is read.
        suspect = apart is not None and apart.circuit == name and apart.about is not Cause.OVERFEEDING_VALVE
        # A verdict of its own outweighs what the circuit looked like beside the other.
        suspect = suspect and (verdict is None or not verdict.settled)
        if circuit.leak.given or suspect or (verdict is not None and verdict.weigh):
            names.append(name)
    return names


def bring(found: Found) -> list[Item]:
    """What to load for the circuits that have to be opened, and what to quote; for the file alone."""
    if found.plain:
        return []
    items = []
    for name in opened_circuits(found):
        circuit = found.analysis.inventory[name]
        if circuit.cylinder is not None and circuit.gas is not None:
            items += _load(found, circuit)
    return items


def _load(found: Found, circuit: CircuitInventory) -> list[Item]:
    choice, gas = circuit.cylinder, circuit.gas
    assert choice is not None and gas is not None

    def mass(value: float) -> str:
        return units.value_text(value, "mass", found.display)

    several = f"{choice.count} recovery cylinders" if choice.count > 1 else "1 recovery cylinder"
    rated = gauge_text(choice.service_pressure, found.display)
    things = [
        f"{several} ({choice.cylinder.name}, {rated}, filled to {mass(choice.fill.cautious)} each)",
        f"{mass(gas.carry)} of {circuit.refrigerant}",
        "a new filter-drier",
        "recovery machine, scale, gauges with low-loss hoses, nitrogen with regulator, vacuum pump and gauge",
    ]
    quote = (
        f"{circuit.refrigerant}, all new: {mass(gas.quote.low)} low, {mass(gas.quote.value)} likely, "
        f"{mass(gas.quote.high)} high; recovery and disposal of what is not put back; the filter-drier."
    )
    if gas.missing is not None:
        missing = units.band_text(gas.missing.value, gas.missing.low, gas.missing.high, "mass", found.display)
        quote += (
            f" Where what is recovered is clean and goes back into the same circuit: {missing} new instead."
        )
    return [
        Item(f"{joined(things)}.", f"Bring for circuit {circuit.name}."),
        Item(quote, f"Quote for circuit {circuit.name}."),
    ]


def _plainly(found: Found) -> list[str]:
    """At most one sentence for each circuit that has to be opened."""
    told = []
    for name in opened_circuits(found)[:2]:
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
