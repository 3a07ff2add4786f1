"""What may be done today, as the service decides it: each way of running, then every step once."""

from hvaccalc.report.blocks import Block, Caution, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.service.may_run.concern import Action, Do
from hvaccalc.service.today import Decision
from hvaccalc.words.today import lead_of, running_name

CAPTION = "Ways of running, and whether the unit may run so today"


def today(found: Found) -> list[Block]:
    """What is safe to do before the repair; without a heading for the customer."""
    items = _steps(found)
    if found.plain:
        items = [*_off(found), *items]
        return [Paragraph("", "What may be done today:"), Items(tuple(items))] if items else []
    blocks: list[Block] = [Heading("What may be done today"), _table(found)]
    if not items:
        return [*blocks, Paragraph("The readings ask for no step today.")]
    return [*blocks, Items(tuple(items))]


def alarm(found: Found) -> list[Block]:
    """What comes before everything else in either copy: gas that may burn, indoors."""
    steps = {step for one in found.analysis.today for step in one.do if step.what.code is Do.GAS}
    items = tuple(Item(found.teller.tell(step.what), lead_of(step, found.teller)) for step in steps)
    return [Caution("Stop: flammable refrigerant", items)] if items else []


def _table(found: Found) -> Table:
    rows = []
    for one in found.analysis.today:
        why = "; ".join(text for reason in one.why if (text := found.teller.tell(reason)))
        rows.append((running_name(one.running, found.teller), found.teller.tell(one.decision), why or "-"))
    return Table(("way of running", "today", "why"), tuple(rows), CAPTION)


def _off(found: Found) -> list[Item]:
    """Ways of running that are not plainly free, the customer's own words first."""
    items = []
    for decision, lead in ((Decision.STOP, "Off today:"), (Decision.RUN_REDUCED, "Reduced today:")):
        names = [
            running_name(one.running, found.teller)
            for one in found.analysis.today
            if one.decision is decision
        ]
        if names:
            items.append(Item(f"{'; '.join(names)}.", lead))
    return items


def _steps(found: Found) -> list[Item]:
    """Every step once; circuits that ask for the same share a line."""
    grouped: dict[str, list[Action]] = {}
    order = tuple(Do)
    steps = dict.fromkeys(step for one in found.analysis.today for step in one.do)
    for step in sorted(steps, key=lambda step: order.index(Do(step.what.code))):
        if text := found.teller.tell(step.what):
            grouped.setdefault(text, []).append(step)
    return [
        Item(text, lead_of(those[0], found.teller, [one.circuit for one in those if one.circuit is not None]))
        for text, those in grouped.items()
    ]


def heating_steps(found: Found) -> str:
    """What a heat pump needs beside a stage that is locked out, with a space before it; empty elsewhere."""
    codes = (Do.HEATING_OFF, Do.HEATING_UNREAD)
    steps = dict.fromkeys(step.what for one in found.analysis.today for step in one.do)
    told = [found.teller.tell(step) for step in steps if step.code in codes]
    return "".join(f" {text[:1].upper()}{text[1:]}" for text in told)
