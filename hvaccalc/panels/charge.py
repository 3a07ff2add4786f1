"""Panel: the charge of each circuit of one condition, side by side, its gates, and the faults that fit."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.gates import Gate, GateState
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.trials.charge_study import (
    ChargeStudy,
    charge_study,
    normal_unit,
    retyped,
    rules_to_choose,
)
from hvaccalc.ensemble import band
from hvaccalc.findings.refrigerant.charge import statement
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import CircuitReadings
from hvaccalc.panels.air import condition_of, place, retaken
from hvaccalc.panels.base import Panel
from hvaccalc.panels.look import card, cards
from hvaccalc.panels.unit_field import UnitField, choice, part, typed_key
from hvaccalc.pictures import charge_chart
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.words.charge import LOOKS
from hvaccalc.words.said import Reader, Teller, banded, escaped
from hvaccalc.words.speak import teller

MARKS = {GateState.MET: "✓", GateState.UNMET: "✗", GateState.UNKNOWN: "?"}


def _to(study: ChargeStudy) -> Teller:
    return teller(Reader.FILE, study.draws.job.display)


def _difference(column: Array | None, display: str) -> str:
    return banded(band(column), "temperature_difference", display)


def numbers(charge: CircuitCharge) -> dict[str, Array | None]:
    """Subcooling, superheat, and what the one that shows the charge has more than its target."""
    state = charge.state
    return {
        "subcooling": None if state.subcooling is None else state.subcooling.draws,
        "superheat": None if state.superheat is None else state.superheat.draws,
        f"{charge.held.method} less its target": charge.held.difference,
    }


def blocks(gate: Gate, to: Teller) -> str:
    """What a gate does to the verdict."""
    if gate.shut:
        unmet = gate.state is GateState.UNMET
        return (
            "no verdict until it is met"
            if unmet
            else f"no verdict; {to.tell(gate.settle) if gate.settle else 'read it'}"
        )
    return f"verdict only {to.tell(gate.proviso)}" if gate.proviso else "lets the verdict through"


def verdict(charge: CircuitCharge, to: Teller) -> str:
    """Verdict, why, and what would settle it."""
    provisos = "".join(f", {to.tell(proviso)}" for proviso in charge.provisos)
    settle = f" Next: {to.tell(charge.settle)}." if charge.settle else ""
    return f"{charge.told}{provisos}; {to.tell(charge.reason)}.{settle}"


def rules(study: ChargeStudy) -> str:
    """Edition and role by which charges are judged, and how far from a target passes."""
    rule, display = study.rule, study.draws.job.display
    given = rule.tolerances

    def within(kelvin: float) -> str:
        return units.value_text(kelvin, "temperature_difference", display)

    return (
        f"Rules: {rule.edition.title}, {rule.role}: {within(given.subcooling)} about a target "
        f"subcooling and {within(given.superheat)} about a target superheat pass. Below zero a subcooling is "
        "less than its target; the findings give the same as the liquid line's offset from the chart, with "
        "the other sign: too warm is too little subcooling."
    )


def side_by_side(study: ChargeStudy) -> str:
    """The circuits against each other in a sentence; empty where there is one."""
    found = study.contrast
    if found is None:
        return ""
    why = _to(study).tell(found.reason)
    if not found.suspect:
        return f"Side by side: {found.text}, {why}."
    provisos = f" Not known: {', '.join(found.provisos)}." if found.provisos else ""
    return (
        f"Side by side: circuit {found.suspect} stands out against circuit {found.against}, {why}. "
        f"{LOOKS[found.text].file}{_no_verdict(study, found.suspect)}{provisos}"
    )


def _no_verdict(study: ChargeStudy, suspect: str) -> str:
    """A look beside the other circuit is no verdict where the gates give none."""
    charge = study.charges[suspect]
    if charge.verdict is not ChargeVerdict.CANNOT_TELL:
        return ""
    return f" No verdict on its charge: {_to(study).tell(charge.reason)}."


def lines(study: ChargeStudy) -> list[str]:
    """The result in lines of plain text."""
    display, to = study.draws.job.display, _to(study)
    told = []
    for name, charge in study.charges.items():
        told.append(f"Circuit {name}, charge: {verdict(charge, to)}")
        told += [f"  {what}: {_difference(column, display)}" for what, column in numbers(charge).items()]
        told += [f"  gate {g.state}: {g.name} ({to.tell(g.why)}): {blocks(g, to)}" for g in charge.gates]
        told.append(f"  faults that fit: {statement(study.faults[name], to)}")
    if not told:
        told = ["No circuit runs in this condition."]
    together = side_by_side(study)
    return [*told, *([together] if together else []), rules(study), *(flag.text for flag in study.flags)]


def html(study: ChargeStudy) -> str:
    """Numbers side by side, verdicts, the gates as a table, the faults that fit."""
    display, to = study.draws.job.display, _to(study)
    shown = "".join(
        cards(
            [
                card(f"Circuit {name}, {what}", *_split(_difference(column, display)))
                for what, column in numbers(charge).items()
            ]
        )
        for name, charge in study.charges.items()
    )
    said = [f"Circuit {name}: {verdict(charge, to)}" for name, charge in study.charges.items()]
    said += [f"Circuit {name}, faults that fit: {statement(fits, to)}" for name, fits in study.faults.items()]
    said += [side_by_side(study), rules(study), *(flag.text for flag in study.flags)]
    paragraphs = "".join(f"<p>{escaped(line)}</p>" for line in said if line)
    return shown + f'<div class="hvac-say" role="status">{paragraphs}</div>' + _gates(study)


def _split(shown: str) -> tuple[str, str]:
    """A number and its band apart."""
    value, _, rest = shown.partition(" (")
    return value, f"95 %: {rest.rstrip(')')}" if rest else ""


def _gates(study: ChargeStudy) -> str:
    names = list(dict.fromkeys(gate.name for charge in study.charges.values() for gate in charge.gates))
    if not names:
        return ""
    by_circuit = {name: {g.name: g for g in charge.gates} for name, charge in study.charges.items()}
    rows = []
    for name in names:
        cells = "".join(_cell(gates[name], _to(study)) for gates in by_circuit.values())
        rows.append(f'<tr><td style="text-align:left">{escaped(name)}</td>{cells}</tr>')
    head = "".join(f"<th>circuit {escaped(name)}</th>" for name in by_circuit)
    caption = "Gates before a verdict, and what each does to it"
    return (
        f'<table class="hvac-note"><caption>{caption}</caption><tr><th>gate</th>{head}</tr>'
        f"{''.join(rows)}</table>"
    )


def _cell(gate: Gate, to: Teller) -> str:
    said = f"<b>{MARKS[gate.state]} {gate.state}</b>: {escaped(to.tell(gate.why))}"
    effect = f"; <i>{escaped(blocks(gate, to))}</i>" if gate.shut or gate.proviso else ""
    return f'<td style="text-align:left">{said}{effect}</td>'


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
            box.say(self._taken(box) if box.quantity is not None and box.quantity.notice else "")
        super().show(wrong)

    def _taken(self, box: UnitField) -> str:
        barometer = self.result.barometer
        gauge = units.to(float(box.quantity.absolute(barometer)), "psig", "pressure", barometer)
        return f"taken as gauge: {gauge:,.0f} psig; write psia for an absolute pressure."

    def draw(self) -> str:
        """The result as SVG."""
        return charge_chart.picture(self.result, f"charge-{self.where.visit}-{self.where.condition}")

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return lines(self.result)

    def tell_html(self) -> str:
        """Numbers, verdicts, gates, faults."""
        return html(self.result)
