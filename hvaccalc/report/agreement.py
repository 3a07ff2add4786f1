"""How far apart the memo's numbers and those of two property libraries are; for the file copy."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc import units
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.second_opinion import SHARED, Comparison, Opinion
from hvaccalc.second_opinion.limits import LIMITS, Limit
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
