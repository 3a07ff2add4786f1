"""How the numbers came about, what was assumed, what the memo cannot know, and the sources; for the file."""

from collections.abc import Sequence

from hvaccalc import __version__, units
from hvaccalc.report.blocks import Block, Heading, Item, Items, KeyValues, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.second_opinion import SHARED, Comparison, Opinion
from hvaccalc.second_opinion.questions import LIMITS, Limit
from hvaccalc.sources import cite
from hvaccalc.words.said import joined

SMALLEST = 0.001
"""Differences below this, in what is shown, are told as below it: they are rounding."""

ALONE = "The numbers stand on this program's own equations."
CHECKS = (
    "This checks arithmetic: a wrong coefficient, a slip in an equation or in a unit would show. It checks "
    "no reading, no instrument, no band and no diagnosis."
)
SUBJECT = {"psychrolib": "moist air", "CoolProp": "refrigerants"}


def agreement(found: Found, opinion: Opinion | None) -> list[Block]:
    """The second opinion, or why there is none."""
    head = Heading("Second opinion", 3)
    if opinion is None:
        return [head, Paragraph(f"No second opinion was asked for. {ALONE}")]
    if opinion.failure:
        return [head, Paragraph(f"No second opinion was available: {opinion.failure}. {ALONE}")]
    told: list[Block] = [_said(opinion), _table(found, opinion)] if opinion.compared else []
    return [head, *_missing(opinion), *told, *_named(found, opinion)]


def _missing(opinion: Opinion) -> list[Block]:
    return [
        Paragraph(f"No second opinion on {SUBJECT[name]} was available: {name} could not be loaded ({why}).")
        for name, why in opinion.missing.items()
    ]


def _said(opinion: Opinion) -> Paragraph:
    libraries = joined([f"{name} {release}" for name, release in opinion.versions.items()])
    number = len(opinion.compared)
    return Paragraph(
        f"{libraries} recomputed {number} of the moist-air and refrigerant numbers of this memo from the "
        f"same readings, at their central values. {CHECKS} Both sides share, so it does not check: "
        f"{'; '.join(SHARED)}."
    )


def _table(found: Found, opinion: Opinion) -> Table:
    by_kind = {kind: [c for c in opinion.compared if c.kind == kind] for kind in LIMITS}
    rows = tuple(
        _row(found, LIMITS[kind], comparisons) for kind, comparisons in by_kind.items() if comparisons
    )
    header = ("Kind of number", "Compared", "Largest difference", "Usual, at most")
    return Table(header, rows, "This program's numbers and the libraries'.")


def _row(found: Found, limit: Limit, comparisons: Sequence[Comparison]) -> tuple[str, ...]:
    largest = max(comparisons, key=lambda c: c.difference)
    usual = max(c.limit for c in comparisons)
    told = limit.label[0].upper() + limit.label[1:]
    return (
        told,
        str(len(comparisons)),
        difference_text(largest.difference, limit.measure, found.display),
        difference_text(usual, limit.measure, found.display),
    )


def difference_text(difference: float, measure: str, display: str) -> str:
    """A difference in words: kelvin in display units, anything else in percent."""
    if measure == "K":
        unit = units.display_unit("temperature_difference", display)[0]
        shown = float(units.to(difference, unit, "temperature_difference"))
        name = units.DISPLAY_NAMES.get(unit, unit)
    else:
        shown, name = 100.0 * difference, "%"
    if shown < SMALLEST:
        return f"below {SMALLEST} {name}"
    return f"{shown:.3f}".rstrip("0").rstrip(".") + f" {name}"


def _named(found: Found, opinion: Opinion) -> list[Block]:
    """Numbers that are further apart than usual, and those without an answer."""
    blocks: list[Block] = []
    apart = [c for c in opinion.compared if not c.usual]
    if apart:
        blocks += [Paragraph("Further apart than usual:"), Items(tuple(_apart(found, c) for c in apart))]
    elif opinion.compared:
        blocks.append(Paragraph("No number is further apart than usual."))
    if opinion.unanswered:
        told = tuple(
            Item(f"{found.place(where_of(f))}: {f.statement} {why[:1].upper()}{why[1:]}.")
            for f, why in opinion.unanswered
        )
        blocks += [Paragraph("Not compared:"), Items(told)]
    return blocks


def _apart(found: Found, comparison: Comparison) -> Item:
    finding, limit = comparison.finding, LIMITS[comparison.kind]
    apart = difference_text(comparison.difference, limit.measure, found.display)
    why = f"; {comparison.known}" if comparison.known else "; no reason is known: take it for an error"
    return Item(f"{found.place(where_of(finding))}: {finding.statement} {apart} apart{why}.")


LIMITS_OF_THE_METHOD = (
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
        Items(tuple(Item(text) for text in LIMITS_OF_THE_METHOD)),
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
