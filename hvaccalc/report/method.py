"""How the numbers came about, what was assumed, what the memo cannot know, and the sources; for the file."""

from __future__ import annotations

from hvaccalc import __version__
from hvaccalc.report.agreement import agreement
from hvaccalc.report.blocks import Block, Heading, Item, Items, KeyValues, Paragraph
from hvaccalc.report.found import Found
from hvaccalc.second_opinion import Opinion
from hvaccalc.sources import cite

LIMITS = (
    "The coil's temperatures come from a model calibrated on the unit's rating; the model itself is not "
    "certain beyond its bands.",
    "A probability of freezing tells how likely the metal lies below freezing in that condition, not how "
    "much ice grows.",
    "Not calculated in this release: causes ranked against each other, leak rate, prices.",
    "What lies in each part of a circuit is reckoned from volumes that are mostly guessed; the label, and in "
    "the end the scale, tell the whole.",
    "Readings that contradict each other were kept as typed, marked, and left out; nothing was corrected.",
)


def method(found: Found, opinion: Opinion | None = None) -> list[Block]:
    """Method, second opinion, assumptions, limits, sources."""
    return [
        Heading("Method, assumptions, limits, sources"),
        *_method(found),
        *agreement(found, opinion),
        *_assumed(found),
        Heading("Limits", 3),
        Items(tuple(Item(text) for text in LIMITS)),
        *_notices(found),
        *_sources(found),
    ]


def _method(found: Found) -> list[Block]:
    job = found.job
    size = found.analysis.draws.ensemble.size
    text = (
        f"Every unknown is drawn {size} times from its spread (instrument, placement, assumed rating) and "
        "carried through the same equations; a band holds the middle 95 % of the draws. Readings taken "
        "with one instrument share its calibration error. A verdict on charge is given only behind its "
        "gates, and only where nine draws in ten agree."
    )
    rows = [("Program", f"hvaccalc {__version__}"), ("Draws", f"{size}, seed {job.job.seed}")]
    if job.path is not None:
        rows.append(("Job file", job.path.name))
    if job.digest:
        rows.append(("sha256", job.digest))
    return [Paragraph(text), KeyValues(tuple(rows))]


def _assumed(found: Found) -> list[Block]:
    told = list(dict.fromkeys(f.statement for f in found.analysis.findings if f.key.startswith("assumed.")))
    if not told:
        return []
    return [Heading("Assumed, because the job does not say", 3), Items(tuple(Item(text) for text in told))]


def _notices(found: Found) -> list[Block]:
    grouped: dict[str, list[str]] = {}
    for notice in found.analysis.notices:
        grouped.setdefault(_sentence(notice.text), []).append(notice.where)
    if not grouped:
        return []
    items = tuple(Item(f"{text} ({', '.join(dict.fromkeys(places))})") for text, places in grouped.items())
    return [Heading("How the file was taken", 3), Items(items)]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _sources(found: Found) -> list[Block]:
    ids = sorted(
        {source for finding in found.analysis.findings for source in finding.sources}
        | {"instrument_defaults"}
    )
    return [Heading("Sources", 3), Items(tuple(Item(cite(source) + ".") for source in ids))]
