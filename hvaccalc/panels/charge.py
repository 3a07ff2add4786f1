"""Panel: the charge of each circuit of one condition, side by side, its gates, and the faults that fit."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.trials.charge_study import (
    ChargeStudy,
    charge_study,
    normal_unit,
    retyped,
    rules_to_choose,
)
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import CircuitReadings
from hvaccalc.panels.air import condition_of, place, retaken
from hvaccalc.panels.base import Panel
from hvaccalc.panels.unit_field import UnitField, choice, part, typed_key
from hvaccalc.panels.words import charge_words
from hvaccalc.pictures import charge_chart
from hvaccalc.report.blocks import Caution, Item

READINGS = {
    "suction_pressure": ("Suction pressure", "118 psig"),
    "suction_temperature": ("Suction line", "50 degF"),
    "liquid_pressure": ("Liquid pressure", "317 psig"),
    "liquid_temperature": ("Liquid line", "88 degF"),
}
"""Readings with a box of their own in each circuit: label and hint."""

CAUTION = Caution(
    "Before gauges go on",
    (
        Item(
            "Licensed handling, gloves and goggles; liquid freezes skin. Recover, never vent.", "Refrigerant."
        ),
        Item("No verdict is a licence to add or take out: find the leak or the fault first.", "Charge."),
        Item(
            "Where suction stands below freezing read promptly, then stop; never bridge a pressure switch "
            "to keep it running.",
            "Running.",
        ),
    ),
)


class ChargePanel(Panel):
    """Each circuit's reading against its target, its gates, and the faults that fit.

    Parameters
    ----------
    job : Job
    visit, condition : int
        Counted from 1.
    """

    title = "Charge by circuit"
    caution = CAUTION

    def __init__(self, job: Job, visit: int = 1, condition: int = 1) -> None:
        self.job, self.where = job, Where(visit, condition)
        self.known = condition_of(job, visit, condition)
        self.place = place(self.where, self.known)
        self.normal = normal_unit(job, self.where)
        self.boxes = {
            (name, key): self._box(name, key, *said)
            for name in self.known.circuit
            for key, said in READINGS.items()
        }
        rule, editions, roles = rules_to_choose(job)
        self.edition = choice("Rules", editions, rule.edition.name)
        self.role = choice("Role", roles, rule.role)
        controls: list[widgets.Widget] = []
        for name in self.known.circuit:
            controls.append(part(f"Circuit {name}"))
            controls += [box for (circuit, _), box in self.boxes.items() if circuit == name]
        controls += [part("Judged by"), self.edition, self.role]
        super().__init__(list(self.boxes.values()), controls)
        for one in (self.edition, self.role):
            one.observe(lambda _: self.refresh(), "value")

    @classmethod
    def from_job(cls, job: Job, visit: int = 1, condition: int = 1) -> ChargePanel:
        """Panel filled with the readings of one condition of a job."""
        return cls(job, visit, condition)

    def _box(self, name: str, key: str, label: str, hint: str) -> UnitField:
        reading: Reading | None = getattr(self.known.circuit[name], key)
        shown = reading.quantity.text if reading is not None else ""
        return UnitField(label, typed_key(CircuitReadings, key), shown, optional=True, hint=hint)

    def solve(self) -> ChargeStudy:
        """The circuits with the boxes as they stand."""
        readings = {
            (name, key): retaken(getattr(self.known.circuit[name], key), box.quantity)
            for (name, key), box in self.boxes.items()
        }
        job = retyped(self.job, self.where, readings)
        chosen = {"charge_edition": self.edition.value, "role": self.role.value}
        job = job.model_copy(update={"rules": job.rules.model_copy(update=chosen)})
        return charge_study(job, self.where, self.normal)

    def show(self, wrong: Sequence[str] = ()) -> None:
        """Draw and tell; below a pressure typed without gauge or absolute stands how it was taken."""
        for (_, key), box in self.boxes.items():
            if box.error or not key.endswith("_pressure"):
                continue
            said = self._taken(box) if box.quantity is not None and box.quantity.notice else ""
            box.say(said)
        super().show(wrong)

    def _taken(self, box: UnitField) -> str:
        barometer = self.result.barometer
        gauge = units.to(float(box.quantity.absolute(barometer)), "psig", "pressure", barometer)
        if box.quantity.gauge:
            return f"taken as gauge: {gauge:,.0f} psig; write psia for an absolute pressure."
        unit = box.quantity.unit
        return f"taken as absolute: {gauge:,.0f} psig; write {unit}g for a gauge."

    def draw(self) -> str:
        """The result as SVG."""
        return charge_chart.picture(self.result, f"charge-{self.where.visit}-{self.where.condition}")

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return charge_words.lines(self.result)

    def tell_html(self) -> str:
        """Numbers, verdicts, gates, faults."""
        return charge_words.html(self.result)
