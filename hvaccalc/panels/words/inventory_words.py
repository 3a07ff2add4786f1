"""The refrigerant panel's result in words: charge, pump-down, cylinder, gas, cautions."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.refrigerant.inventory import inventory_findings
from hvaccalc.panels.look import card, cards, text
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.inventory_study import InventoryStudy


def numbers(circuit: CircuitInventory) -> dict[str, Band]:
    """Masses of one circuit that stand side by side [kg]."""
    shown = {}
    if circuit.full is not None:
        shown[f"Circuit {circuit.name} should hold"] = band(circuit.full.draws)
    if circuit.on_board is not None:
        shown["Held when last read"] = band(circuit.on_board.charge.draws)
    if circuit.pump_down.room is not None:
        shown["Condenser holds at this ambient"] = band(circuit.pump_down.room.draws)
    if circuit.gas is not None:
        shown["To quote, hoses included"] = circuit.gas.quote
    return shown


def lines(study: InventoryStudy, name: str, display: str) -> list[str]:
    """The result in lines of plain text: the other circuits' charge, then all on this one."""
    others = [c for c in study.circuits.values() if c.name != name]
    told = [f.statement for f in inventory_findings(study.draws, others) if f.key == "inventory.charge"]
    told += [f.statement for f in inventory_findings(study.draws, [study.circuits[name]])]
    at = units.value_text(study.ambient, "temperature", display)
    return [f"Outdoor air for the pump-down: {at}", *told]


def html(study: InventoryStudy, name: str, display: str) -> str:
    """Numbers side by side, then sentences."""
    shown = [
        card(title, units.value_text(value.value, "mass", display), _ends(value, display))
        for title, value in numbers(study.circuits[name]).items()
    ]
    said = "".join(f"<p>{text(line)}</p>" for line in lines(study, name, display))
    return cards(shown) + f'<div class="hvac-say" role="status">{said}</div>'


def _ends(value: Band, display: str) -> str:
    low, high = (units.number_text(end, "mass", display) for end in (value.low, value.high))
    return f"95 %: {low} to {high}"
