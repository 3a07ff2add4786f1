"""Panel: how much refrigerant a circuit holds, whether it can be pumped down, which cylinder to bring."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hvaccalc import units
from hvaccalc.ensemble import Band, band
from hvaccalc.errors import InputError
from hvaccalc.findings.refrigerant.inventory import inventory_findings
from hvaccalc.job.fields import Table
from hvaccalc.job.schema import Job
from hvaccalc.job.unit_tables import Circuit, Condenser, Lines
from hvaccalc.panels.base import Panel
from hvaccalc.panels.look import card, cards
from hvaccalc.panels.unit_field import UnitField, part, slider, typed_key
from hvaccalc.pictures import pump_down_chart
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.inventory_study import InventoryStudy, at_ambient, inventory_study, retyped
from hvaccalc.words.charge import CAUTIONS
from hvaccalc.words.said import escaped


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
    said = "".join(f"<p>{escaped(line)}</p>" for line in lines(study, name, display))
    return cards(shown) + f'<div class="hvac-say" role="status">{said}</div>'


def _ends(value: Band, display: str) -> str:
    low, high = (units.number_text(end, "mass", display) for end in (value.low, value.high))
    return f"95 %: {low} to {high}"


BOXES = {
    "nameplate_charge": ("Label charge", "34 lb"),
    "liquid_size": ("Liquid line", "5/8 in"),
    "liquid_length": ("Line length", "60 ft"),
    "volume": ("Condenser", "0.8 ft3"),
    "receiver_volume": ("Receiver", "0.2 ft3"),
}
"""Data with a box of their own: label and hint."""

_CLASSES: dict[str, type[Table]] = {"": Circuit, "lines": Lines, "condenser": Condenser}

AMBIENTS = {"us": (40.0, 130.0), "si": (5.0, 54.0)}
"""Ends of the slider, °F and °C."""

CAUTION = Caution(
    "Before a circuit is emptied",
    (
        Item("Licensed handling, gloves and goggles; recover, never vent.", "Refrigerant."),
        *(Item(said, "Pump-down.") for said in CAUTIONS),
        Item(
            "Only a returnable one, tested within five years, rated for the refrigerant, on a scale from "
            "the first "
            "pound; never above its limit: a cylinder full of liquid bursts its relief in the sun.",
            "Cylinder.",
        ),
    ),
)


class InventoryPanel(Panel):
    """Charge by component, pump-down over the ambient, cylinder and gas of one circuit.

    Parameters
    ----------
    job : Job
    circuit : str
        Its name; the first one where it is empty.
    """

    title = "Refrigerant on board"
    caution = CAUTION

    def __init__(self, job: Job, circuit: str = "") -> None:
        self.circuit = circuit or next(iter(job.circuit))
        if self.circuit not in job.circuit:
            raise InputError("no such circuit", found=repr(circuit), allowed=", ".join(job.circuit))
        self.display = job.display
        self.read = inventory_study(job)
        self.boxes = {key: self._box(job.circuit[self.circuit], key, *told) for key, told in BOXES.items()}
        self._unit = units.display_unit("temperature", self.display)[0]
        low, high = AMBIENTS[self.display]
        self._first = round(float(np.clip(units.to(self.read.ambient, self._unit, "temperature"), low, high)))
        self.ambient = slider(f"Outdoors, {units.DISPLAY_NAMES[self._unit]}", (low, high), self._first)
        controls = [
            part(f"Circuit {self.circuit}, as far as it is known"),
            *self.boxes.values(),
            part("What if: pumped down at this outdoor air"),
            self.ambient,
        ]
        super().__init__(list(self.boxes.values()), controls)
        self.ambient.observe(self._vary, "value")

    @classmethod
    def from_job(cls, job: Job, circuit: str = "") -> InventoryPanel:
        """Panel filled with the data of one circuit of a job."""
        return cls(job, circuit)

    def _box(self, circuit: Circuit, key: str, label: str, hint: str) -> UnitField:
        part = InventoryStudy.tables[key]
        quantity = getattr(getattr(circuit, part) if part else circuit, key)
        shown = quantity.text if quantity is not None else ""
        return UnitField(label, typed_key(_CLASSES[part], key), shown, optional=True, hint=hint)

    def solve(self) -> InventoryStudy:
        """The circuits with the boxes as they stand, at the slider's ambient."""
        self.read = retyped(self.read, self.circuit, {key: box.quantity for key, box in self.boxes.items()})
        return self._at()

    def _at(self) -> InventoryStudy:
        if self.ambient.value == self._first:
            return self.read
        return at_ambient(self.read, float(units.si(self.ambient.value, self._unit, "temperature")))

    def _vary(self, change: object = None) -> None:
        if self.result is None or any(field.error for field in self.fields):
            return
        self.set_trait("result", self._at())
        self.show()

    def show(self, wrong: Sequence[str] = ()) -> None:
        """Draw and tell; what no unit has is said below its box."""
        said = self.result.unusual(self.circuit) if self.result else {}
        for key, box in self.boxes.items():
            if not box.error:
                place = ".".join(filter(None, ("circuit", self.circuit, InventoryStudy.tables[key], key)))
                box.say(said.get(place, ""))
        super().show(wrong)

    def draw(self) -> str:
        """The result as SVG."""
        page = f"inventory-{self.circuit}"
        return pump_down_chart.picture(self.result, self.circuit, self.display, page)

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return lines(self.result, self.circuit, self.display)

    def tell_html(self) -> str:
        """Numbers and sentences."""
        return html(self.result, self.circuit, self.display)
