"""The permanent repair: what is called for, what to bring and quote; and how the return visit proves it."""

from hvaccalc import units
from hvaccalc.findings.refrigerant.inventory import gauge_text
from hvaccalc.report import endings, plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.service.refrigerant.inventory import CircuitInventory
from hvaccalc.service.repair.proof import Weather
from hvaccalc.service.repair.repair_rows import RepairNeeded
from hvaccalc.service.repair.repairs import QuoteLine, opened
from hvaccalc.words import proof as proving
from hvaccalc.words import repairs as words
from hvaccalc.words.said import date_text, joined


def permanent(found: Found) -> list[Block]:
    """The repairs that the diagnosis calls for."""
    repairs = found.analysis.repairs
    items = [Item(words.whole(found.teller, one), _lead(found, one)) for one in repairs.called]
    items += _waiting(found)
    if not found.plain:
        items += [one for name in opened(repairs.called) for one in _bring(found, name)]
        items += _quoted(found)
        items += [
            Item(f"{_lead(found, one)} {words.scope(found.teller, one)}", "Advice.")
            for one in repairs.advised
        ]
    blocks: list[Block] = [Heading("Permanent repair")]
    if items:
        blocks.append(Items(tuple(items)))
    else:
        blocks.append(Paragraph("The findings do not call for a repair yet; the open questions come first."))
    if found.plain and (quoted := _quoted(found)):
        blocks += [Paragraph("", "To be quoted:"), Items(tuple(Item(one.text) for one in quoted))]
    return [*blocks, Paragraph("Prices are not part of this memo; scope and exclusions are to be agreed.")]


def _lead(found: Found, one: RepairNeeded) -> str:
    return words.lead(found.teller, one)


def _waiting(found: Found) -> list[Item]:
    """Repairs that wait for their proof alone; those of one work share a line."""
    by_text: dict[str, list[str]] = {}
    for one in found.analysis.repairs.proof_due:
        by_text.setdefault(_proof_due(found, one), []).append(_lead(found, one))
    return [Item(text, " ".join(leads)) for text, leads in by_text.items()]


def _proof_due(found: Found, one: RepairNeeded) -> str:
    """A cause that was put right, and that its proof is due; it is repaired again once it comes back."""
    assert one.cause is not None
    end = endings.of_cause(found, one.cause.cause, one.cause.circuit)
    return end.noted if end is not None else ""


def _quoted(found: Found) -> list[Item]:
    """What has to be quoted, one line a repair."""
    by_repair: dict[int, list[QuoteLine]] = {}
    for line in found.analysis.quote:
        by_repair.setdefault(id(line.needed), []).append(line)
    items = []
    for lines in by_repair.values():
        parts = "; ".join(proving.part(found.teller, line) for line in lines)
        circuit = lines[0].needed.circuit
        lead = f"Circuit {circuit}: " if found.plain and circuit else ""
        text = f"{lead}{parts}." if lead else f"{parts[0].upper()}{parts[1:]}."
        items.append(Item(text, f"Quote for circuit {circuit}." if circuit else "Quote."))
    return items


def _bring(found: Found, name: str) -> list[Item]:
    """What to load for a circuit that has to be emptied; for the file alone."""
    circuit: CircuitInventory = found.analysis.inventory[name]
    choice, gas = circuit.cylinder, circuit.gas
    if choice is None or gas is None:
        return []

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
    return [Item(f"{joined(things)}.", f"Bring for circuit {name}.")]


def return_visit(found: Found) -> list[Block]:
    """What the return visit has to show."""
    visit = found.analysis.return_visit
    told = proving.of_ways(found.teller, visit, _film_day(found))
    if visit.weather is not Weather.NOTHING:
        told += proving.steps(found.teller, visit, plain.freezing(found))
    return [
        Heading("How the return visit will prove it"),
        Paragraph(found.teller.fill(proving.EASY[visit.weather], {})),
        Items(tuple(Item(text) for text in told), ordered=True),
    ]


def _film_day(found: Found) -> str:
    """Day of the visit that saw a film at most."""
    film = found.analysis.return_visit.run.film
    if film is None:
        return ""
    day = found.job.visit[film[0] - 1].date
    return date_text(day) if day else f"visit {film[0]}"
