"""The charge panel's result in words: circuits side by side, gates and what each blocks, faults that fit."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.gates import Gate, GateState
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.trials.charge_study import ChargeStudy
from hvaccalc.ensemble import band
from hvaccalc.findings.refrigerant.charge import statement
from hvaccalc.panels.look import card, cards, text
from hvaccalc.words.charge import LOOKS
from hvaccalc.words.said import banded

MARKS = {GateState.MET: "✓", GateState.UNMET: "✗", GateState.UNKNOWN: "?"}


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


def blocks(gate: Gate) -> str:
    """What a gate does to the verdict."""
    if gate.shut:
        unmet = gate.state is GateState.UNMET
        return "no verdict until it is met" if unmet else f"no verdict; {gate.settle or 'read it'}"
    return f"verdict only {gate.proviso}" if gate.proviso else "lets the verdict through"


def verdict(charge: CircuitCharge) -> str:
    """Verdict, why, and what would settle it."""
    word = charge.word
    provisos = f", {', '.join(charge.provisos)}" if charge.provisos else ""
    settle = f" Next: {charge.settle}." if charge.settle else ""
    return f"{word}{provisos}; {charge.reason}.{settle}"


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
    if not found.suspect:
        return f"Side by side: {found.text}, {found.reason}."
    provisos = f" Not known: {', '.join(found.provisos)}." if found.provisos else ""
    return (
        f"Side by side: circuit {found.suspect} stands out against circuit {found.against}, {found.reason}. "
        f"{LOOKS[found.text].file}{_no_verdict(study, found.suspect)}{provisos}"
    )


def _no_verdict(study: ChargeStudy, suspect: str) -> str:
    """A look beside the other circuit is no verdict where the gates give none."""
    charge = study.charges[suspect]
    return (
        f" No verdict on its charge: {charge.reason}." if charge.verdict is ChargeVerdict.CANNOT_TELL else ""
    )


def lines(study: ChargeStudy) -> list[str]:
    """The result in lines of plain text."""
    display = study.draws.job.display
    told = []
    for name, charge in study.charges.items():
        told.append(f"Circuit {name}, charge: {verdict(charge)}")
        told += [f"  {what}: {_difference(column, display)}" for what, column in numbers(charge).items()]
        told += [f"  gate {g.state}: {g.name} ({g.why}): {blocks(g)}" for g in charge.gates]
        told.append(f"  faults that fit: {statement(study.faults[name])}")
    if not told:
        told = ["No circuit runs in this condition."]
    together = side_by_side(study)
    return [*told, *([together] if together else []), rules(study), *(flag.text for flag in study.flags)]


def html(study: ChargeStudy) -> str:
    """Numbers side by side, verdicts, the gates as a table, the faults that fit."""
    display = study.draws.job.display
    shown = "".join(
        cards(
            [
                card(f"Circuit {name}, {what}", *_split(_difference(column, display)))
                for what, column in numbers(charge).items()
            ]
        )
        for name, charge in study.charges.items()
    )
    said = [f"Circuit {name}: {verdict(charge)}" for name, charge in study.charges.items()]
    said += [f"Circuit {name}, faults that fit: {statement(fits)}" for name, fits in study.faults.items()]
    said += [side_by_side(study), rules(study), *(flag.text for flag in study.flags)]
    paragraphs = "".join(f"<p>{text(line)}</p>" for line in said if line)
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
        cells = "".join(_cell(gates[name]) for gates in by_circuit.values())
        rows.append(f'<tr><td style="text-align:left">{text(name)}</td>{cells}</tr>')
    head = "".join(f"<th>circuit {text(name)}</th>" for name in by_circuit)
    caption = "Gates before a verdict, and what each does to it"
    return (
        f'<table class="hvac-note"><caption>{caption}</caption><tr><th>gate</th>{head}</tr>'
        f"{''.join(rows)}</table>"
    )


def _cell(gate: Gate) -> str:
    said = f"<b>{MARKS[gate.state]} {gate.state}</b>: {text(gate.why)}"
    effect = "" if blocks(gate) == "lets the verdict through" else f"; <i>{text(blocks(gate))}</i>"
    return f'<td style="text-align:left">{said}{effect}</td>'
