"""What was done, and how long a temporary measure may stay."""

from hvaccalc.job.visit_tables import Work
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.units import Quantity
from hvaccalc.words.said import date_text, joined


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
    if not visits:
        blocks.append(Paragraph("No visit has been made yet."))
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
