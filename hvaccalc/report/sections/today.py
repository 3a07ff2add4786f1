"""What was done, how long a temporary measure may stay; what may be done today, as the service decides it."""

from hvaccalc.job.visit_tables import Work
from hvaccalc.report.blocks import Block, Caution, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.service.may_run.concern import Action, Do
from hvaccalc.service.today import Decision
from hvaccalc.units import Quantity
from hvaccalc.words.questions import about, open_and_how
from hvaccalc.words.said import date_text, joined
from hvaccalc.words.steps import lead_of
from hvaccalc.words.today import running_name

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


def of_a_call(found: Found) -> list[Block]:
    """No visit yet: what to ask, what to load, what not to touch, what to read first."""
    told: dict[str, list[Item]] = {}
    for one in found.analysis.questions:
        if words := open_and_how(one, found.analysis.water, found.teller):
            told.setdefault(about(one, found.teller), []).append(Item(words))
    first, *rest = told.items()
    table = [] if found.plain else [_table(found)]
    return [
        Heading("Before the first visit"),
        Paragraph(
            "No visit has been made yet and nothing was read, so nothing is found and nothing is cleared."
        ),
        *_listed(*first),
        Paragraph("", "What may run, and what not to touch:"),
        *table,
        Items((*(_off(found) if found.plain else []), *_steps(found))),
        *(block for lead, items in rest for block in _listed(lead, items)),
    ]


def _listed(lead: str, items: list[Item]) -> list[Block]:
    return [Paragraph("", f"{lead.rstrip('.')}:"), Items(tuple(items))]


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
    """Every step once, the alarm's stands before everything; circuits that ask for the same share a line."""
    grouped: dict[str, list[Action]] = {}
    order = tuple(Do)
    steps = dict.fromkeys(step for one in found.analysis.today for step in one.do)
    for step in sorted(steps, key=lambda step: order.index(Do(step.what.code))):
        if step.what.code is not Do.GAS and (text := found.teller.tell(step.what)):
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


def done(found: Found) -> list[Block]:
    """Work of the last visit, and how long a temporary measure may stay."""
    visits = found.job.visit
    blocks: list[Block] = [Heading("What was done, and how long it may stay")]
    for number in reversed(found.visits):
        visit = visits[number - 1]
        items = tuple(Item(_work(found, work), _kind(work)) for work in visit.work)
        if number == found.visits[-1] and not items:
            blocks.append(Paragraph("Nothing was noted as done on the last visit."))
        if items:
            when = f"On {date_text(visit.date)}" if visit.date else f"On visit {number}"
            blocks += [Paragraph("", f"{when}:"), Items(items)]
    return blocks


def _kind(work: Work) -> str:
    return f"{(work.kind or 'work').capitalize()}."


def _work(found: Found, work: Work) -> str:
    parts = [f"Circuit {work.circuit}" if work.circuit else "", work.amount.text if work.amount else ""]
    told = [", ".join(p for p in parts if p)] if any(parts) else []
    told += [work.note.strip().rstrip(".")] if work.note else []
    if work.mends and not found.plain:
        # A lead sees the claim and the words of it side by side; nothing reads the note.
        mended = [f"{found.teller.tell(one.cause)} ({one})" for one in found.job.mended(work)]
        told += [] if work.note else ["No note says what was done"]
        told += [f"Said to mend: {joined(mended)}"]
    told += [f"Mind: {'; '.join(work.hazards)}"] if work.hazards else []
    told += [f"{name} {value.text}" for name, value in _test(work)]
    if work.removed:
        told.append(f"Removed on {date_text(work.removed)}")
    elif work.expires:
        told.append(f"Noted end: {date_text(work.expires)}, at the latest")
    text = ". ".join(told) + "." if told else ""
    return " ".join([text, *map(found.teller.tell, found.analysis.visits.doubts(work))]).strip()


def _test(work: Work) -> list[tuple[str, Quantity]]:
    names = {
        "start_pressure": "Pressure at the start", "start_temperature": "temperature at the start",
        "end_pressure": "pressure at the end", "end_temperature": "temperature at the end",
        "lasted": "lasted",
        "reached": "Vacuum reached", "after": "after", "waited": "then waited",
    }  # fmt: skip
    return [(words, value) for key, words in names.items() if (value := getattr(work, key)) is not None]
