"""The refrigerant: each circuit's charge and how it was judged, side by side, leaks; what is on board."""

from hvaccalc import units
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.confusion import Confusion, Fit
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel
from hvaccalc.diagnosis.unit.heating_head import HeadVerdict
from hvaccalc.ensemble import Band, band
from hvaccalc.findings import Finding
from hvaccalc.findings.refrigerant.circuits import difference
from hvaccalc.job.causes import Cause
from hvaccalc.report import endings, figures, plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.refrigerant.pump_down import Fits
from hvaccalc.service.repair.repairs import opened
from hvaccalc.words.charge import CAUTIONS, LOOKS, MODELLED_FAULTS
from hvaccalc.words.endings import CHARGE_BEFORE, LEAK_AGAIN, LEAK_REPAIRED
from hvaccalc.words.proof import METHODS
from hvaccalc.words.said import Teller, banded, date_text


def contrast_table(found: Found) -> list[Block]:
    """Table and sentence of the contrast that the memo tells; empty without a modelled one."""
    told = found.contrast
    if told is None or found.plain:
        return []
    model = next((m for m in found.analysis.contrasts if m.where == where_of(told)), None)
    finding = next((f for f in found.of("circuit.contrast_explained") if where_of(f) == where_of(told)), None)
    if model is None or finding is None:
        return []
    blocks: list[Block] = [Paragraph(finding.statement, "By the model.")]
    return [*blocks, _table(found, model)] if model.explanations else blocks


def _table(found: Found, model: ContrastModel) -> Table:
    names = tuple(model.measured)

    def cells(differences: dict[str, Band]) -> tuple[str, ...]:
        return tuple(difference(differences.get(name), found.display) for name in names)

    rows = [("read", *cells(model.measured), ""), ("sound unit", *cells(model.sound), "")]
    rows += [
        (
            f"circuit {e.circuit}: {MODELLED_FAULTS[e.fault]}",
            *cells(e.differences),
            e.verdict + (f": {', '.join(e.against)}" if e.against else ""),
        )
        for e in model.explanations
    ]
    return Table(
        ("", *names, "verdict"),
        tuple(rows),
        f"Circuit {model.suspect} less circuit {model.other} ({found.place(model.where)}): read, and as the "
        "unit would differ with one fault, at the size that comes nearest to the readings",
    )


NO_LEAK_RATE = "The leak rate was not calculated."


def refrigerant(found: Found) -> list[Block]:
    """Each circuit's charge, the circuits side by side, known leaks."""
    blocks: list[Block] = [Heading("Refrigerant")]
    if found.plain:
        blocks.append(Items(tuple(Item(_plain_circuit(found, name)) for name in found.job.circuit)))
    else:
        blocks += _verdicts(found)
    contrast = found.contrast
    if contrast is not None and not found.plain:
        blocks.append(Paragraph(f"{contrast.statement} ({found.place(where_of(contrast))})", "Side by side."))
    blocks += contrast_table(found)
    blocks += _heating(found)
    blocks += [Paragraph(text, lead) for lead, text in _leaks(found)]
    if any(_open_leak(found, name) for name in found.job.circuit):
        text = "Other leaks may appear once the one that is known is closed and the pressure is back. "
        blocks.append(Paragraph(text + NO_LEAK_RATE))
    elif any(work.kind == "added refrigerant" for visit in found.job.visit for work in visit.work):
        blocks.append(Paragraph(NO_LEAK_RATE))
    if not found.plain and (picture := figures.circuits(found)) is not None:
        blocks.append(picture)
    return blocks


def _heating(found: Found) -> list[Block]:
    """The head of a heat pump that heats, the one with the low fan first."""
    heads = sorted(found.of("heating.high_head"), key=lambda f: f.text != HeadVerdict.LOW_FAN)
    if not heads or found.plain:
        # The customer reads what a low fan does in heating with the reasons.
        return []
    text = f"{heads[0].statement} ({found.place(where_of(heads[0]))})"
    return [Paragraph(text, "Heating.")]


def _plain_circuit(found: Found, name: str) -> str:
    finding = found.charge(name)
    contrast = found.contrast
    if finding is not None and (before := endings.repaired_since(found, finding)) is not None:
        holds = plain.holds(finding, found)
        return CHARGE_BEFORE.customer.format(circuit=name, day=before.date, verdict=holds)
    text = (
        plain.charge(finding, found)
        if finding
        else found.left_out(name) or f"Cooling circuit {name} was not read with its compressor running."
    )
    if finding is not None and len({r.where.visit for r in found.analysis.conditions}) > 1:
        text = f"{text.rstrip('.')} ({found.place(where_of(finding))})."
    if (
        contrast is not None
        and contrast.circuit == name
        and finding is not None
        and finding.text == ChargeVerdict.CANNOT_TELL
    ):
        text += f" Beside the other circuit {LOOKS[Suspicion(contrast.text or '')].customer}."
    return text


def _verdicts(found: Found) -> list[Block]:
    """One row for each verdict of a circuit, conditions gathered."""
    grouped: dict[tuple[str, str, str, str], list[Where]] = {}
    for finding in found.of("circuit.charge"):
        judged = found.judged(finding)
        if judged is not None:
            to = found.teller.tell
            why = to(judged.reason)
            why += f" (holds {', '.join(map(to, judged.provisos))})" if judged.provisos else ""
            settle = to(judged.settle) if judged.settle else ""
            if (before := endings.repaired_since(found, finding)) is not None:
                settle = CHARGE_BEFORE.file.format(day=before.date)
            key = (finding.circuit or "", judged.told, why, settle)
            grouped.setdefault(key, []).append(where_of(finding))
    if not grouped:
        return [
            Paragraph(
                "No circuit was read with its compressor running: nothing can be said of the charge yet."
            )
        ]
    order = list(found.job.circuit)
    rows = tuple(
        (f"{name} ({found.job.circuit[name].refrigerant})", verdict, why, settle or "–", found.places(places))
        for (name, verdict, why, settle), places in sorted(
            grouped.items(), key=lambda row: (order.index(row[0][0]), row[0][1] == "cannot tell")
        )
    )
    return [
        Table(
            ("Circuit", "Charge", "Because", "Read next", "In"),
            rows,
            "Charge of each circuit, verdicts first",
        )
    ]


def _leaks(found: Found) -> list[tuple[str, str]]:
    told = []
    for name, circuit in found.job.circuit.items():
        leak = circuit.leak
        if not leak.given:
            continue
        at = f" at the {leak.at}" if leak.at and leak.at != "unknown" else ""
        how = f", found by {leak.found_by}" if leak.found_by else ""
        note = f" {leak.note.strip().rstrip('.')}." if leak.note else ""
        day = f" ({date_text(leak.date)})" if leak.date else ""
        told.append((_leak_lead(found, name), f"Circuit {name}{at}{how}{day}.{note}"))
    return told


def _leak_lead(found: Found, name: str) -> str:
    day = endings.leak_repaired(found, name)
    if day is None:
        return "Known leak."
    return (LEAK_AGAIN if _open_leak(found, name) else LEAK_REPAIRED).to(found.reader).format(day=day)


def _open_leak(found: Found, name: str) -> bool:
    """Whether a circuit's leak was not repaired, or its charge read low again after the repair."""
    leaks = found.job.circuit[name].leak.given
    return leaks and (
        endings.leak_repaired(found, name) is None or endings.of_cause(found, Cause.LOW_CHARGE, name) is None
    )


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
        return _standing_plainly(found)
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


def _standing_plainly(found: Found) -> list[Block]:
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
