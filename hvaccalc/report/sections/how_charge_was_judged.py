"""The memo on charge: method and rule of each verdict, corrections for the lines, which faults fit."""

from hvaccalc import units
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.confusion import Confusion, Fit
from hvaccalc.ensemble import band
from hvaccalc.findings import Finding
from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.words.said import Teller, banded

_NOTES = (
    *("circuit.lines", "circuit.suction_line_drop", "circuit.flash_margin", "circuit.standing_pressure"),
    *("circuit.other_column", "airflow.temperature_split"),
)
_LEADS = {
    "circuit.lines": "Lines.",
    "circuit.suction_line_drop": "Suction line.",
    "circuit.flash_margin": "Liquid line.",
    "circuit.standing_pressure": "Standing.",
    "circuit.other_column": "Read otherwise.",
    "airflow.temperature_split": "Air.",
}


def how_charge_was_judged(found: Found) -> list[Block]:
    """What there is to say beside the verdicts; for the customer one sentence, and only where it matters."""
    if found.plain:
        return _plainly(found)
    rule = found.at("circuit.charge_rule", Where())
    if rule is None:
        return []
    blocks: list[Block] = [Heading("How the charge was judged", 3), Paragraph(rule.statement)]
    if rows := _methods(found):
        against = ("Circuit", "Held against", "Read", "Wanted", "In")
        blocks.append(Table(against, rows, "Indicator of the charge and its target, with 95 % bands"))
    if items := _notes(found):
        blocks.append(Items(tuple(items)))
    if fit := _faults(found):
        header = ("Circuit", "Stands out", "Faults that fit", "Known or ruled out", "Told apart by", "In")
        blocks.append(Table(header, fit, "Faults that leave the pattern read, at the readings' uncertainty"))
    return blocks


def _plainly(found: Found) -> list[Block]:
    stands = [f for f in found.of("circuit.standing_pressure") if f.text == Rest.ABOVE]
    return [Paragraph(plain.sentence(finding, found)) for finding in stands[:1]]


def _methods(found: Found) -> tuple[tuple[str, ...], ...]:
    rows: dict[tuple[str, ...], list[Where]] = {}
    for result in found.analysis.conditions:
        for name, judged in result.charges.items():
            if judged.held.deviation is None:
                continue
            rows.setdefault((name, *_method(found, judged)), []).append(result.where)
    return tuple((*row, found.places(places)) for row, places in rows.items())


def _method(found: Found, judged: CircuitCharge) -> tuple[str, str, str]:
    held, display = judged.held, found.display
    assert held.name is not None and held.difference is not None
    read, wanted = f"{held.method} not told", "–"
    if held.wanted is not None:
        shown = banded(band(held.difference + held.wanted), "temperature_difference", display)
        read = f"{held.method} {shown}"
        middle = band(held.wanted + 0.0 * held.difference).value
        wanted = units.value_text(middle, "temperature_difference", display)
        wanted += f" ± {units.value_text(held.tolerance, 'temperature_difference', display)}"
    return found.teller.tell(held.note or held.name), read, wanted


def _notes(found: Found) -> list[Item]:
    items = []
    for key in _NOTES:
        told: dict[str, list[Where]] = {}
        for finding in _worst(found, key) if key in _WORST else found.of(key):
            told.setdefault(finding.statement, []).append(where_of(finding))
        for statement, places in told.items():
            read = [place for place in places if place.condition]
            place = f" ({found.places(read)})" if read else ""
            items.append(Item(f"{statement}{place}", _LEADS[key]))
    return items


_WORST = {"circuit.suction_line_drop": max, "circuit.flash_margin": min}
"""One line serves all conditions: the one is told in which it costs most."""


def _worst(found: Found, key: str) -> list[Finding]:
    by_circuit: dict[str | None, list[Finding]] = {}
    for finding in found.of(key):
        if finding.value is not None:
            by_circuit.setdefault(finding.circuit, []).append(finding)
    return [_WORST[key](those, key=lambda f: f.value or 0.0) for those in by_circuit.values()]


def _faults(found: Found) -> tuple[tuple[str, ...], ...]:
    rows: dict[tuple[str, ...], list[Where]] = {}
    for where, fits in found.analysis.charge_evidence.confusion.items():
        if fits.text != Fit.CANNOT_TELL:
            rows.setdefault(_fault(fits, found.teller), []).append(where)
    return tuple(
        (*row, found.places(Where(place.visit, place.condition) for place in places))
        for row, places in rows.items()
    )


def _fault(fits: Confusion, to: Teller) -> tuple[str, ...]:
    words = {1: "high", -1: "low"}
    signs = ", ".join(f"{reading} {words[sign]}" for reading, sign in fits.signs.items() if sign)
    shown: dict[str, str] = {
        Fit.AMBIGUOUS: "ambiguous: " + ", ".join(fits.faults),
        Fit.NOTHING: "none needed",
    }
    faults = shown.get(fits.text, fits.text)
    known = "; ".join((*map(to.tell, fits.seen), *(f"not {to.tell(out)}" for out in fits.ruled_out)))
    return (
        fits.where.circuit,
        signs or "nothing beyond the band",
        faults,
        known or "–",
        "; ".join(fits.next) or "–",
    )
