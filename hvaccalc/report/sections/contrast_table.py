"""The contrast of two circuits beside what the coupled unit makes of each fault: table of the file copy."""

from __future__ import annotations

from hvaccalc.diagnosis.unit.contrast_model import ContrastModel
from hvaccalc.findings.refrigerant.contrast_model import FAULT_NAMES, difference
from hvaccalc.report.blocks import Block, Paragraph, Table
from hvaccalc.report.found import Found, where_of


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

    def cells(differences) -> tuple[str, ...]:
        return tuple(difference(differences.get(name), found.display) for name in names)

    rows = [("read", *cells(model.measured), ""), ("sound unit", *cells(model.sound), "")]
    rows += [
        (
            f"circuit {e.circuit}: {FAULT_NAMES[e.fault]}",
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
