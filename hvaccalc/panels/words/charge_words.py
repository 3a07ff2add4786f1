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
from hvaccalc.words.said import Reader, Teller, banded
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
    return f"{charge.word}{provisos}; {to.tell(charge.reason)}.{settle}"


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
        cells = "".join(_cell(gates[name], _to(study)) for gates in by_circuit.values())
        rows.append(f'<tr><td style="text-align:left">{text(name)}</td>{cells}</tr>')
    head = "".join(f"<th>circuit {text(name)}</th>" for name in by_circuit)
    caption = "Gates before a verdict, and what each does to it"
    return (
        f'<table class="hvac-note"><caption>{caption}</caption><tr><th>gate</th>{head}</tr>'
        f"{''.join(rows)}</table>"
    )


def _cell(gate: Gate, to: Teller) -> str:
    said = f"<b>{MARKS[gate.state]} {gate.state}</b>: {text(to.tell(gate.why))}"
    effect = f"; <i>{text(blocks(gate, to))}</i>" if gate.shut or gate.proviso else ""
    return f'<td style="text-align:left">{said}{effect}</td>'
