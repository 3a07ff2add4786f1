"""Answers of a what-if for a reader: plain data, and lines in display units."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from hvaccalc.diagnosis.unit.what_if import Answer, WhatIf
from hvaccalc.ensemble import Band
from hvaccalc.findings.forecast import UNKNOWN_CIRCUITING
from hvaccalc.words.labels import banded


def as_dict(answers: Iterable[Answer]) -> dict[str, object]:
    """Plain data, the form that ``hvaccalc what-if --json`` prints."""

    def plain(value: Band) -> dict[str, float | None]:
        numbers = {"value": value.value, "low": value.low, "high": value.high}
        return {name: float(n) if np.isfinite(n) else None for name, n in numbers.items()}

    return {
        "format": 1,
        "states": [
            {
                "row": a.row,
                "converged": a.converged,
                "reason": a.reason,
                "branch": a.branch,
                "air": {name: plain(value) for name, value in a.air.items()},
                "circuit": {
                    name: {key: plain(value) for key, value in rows.items()}
                    for name, rows in a.circuit.items()
                },
            }
            for a in answers
        ],
    }


OUTCOMES = {
    "supply_dry_bulb": "temperature",
    "supply_dew_point": "temperature",
    "total_capacity": "heat",
    "sensible_capacity": "heat",
    "condensate_rate": "water_flow",
    "coldest_fin": "temperature",
    "suction_saturation": "temperature",
    "condensing_saturation": "temperature",
    "superheat": "temperature_difference",
    "subcooling": "temperature_difference",
    "refrigerant_mass_flow": "mass_flow",
    "compressor_power": "power",
}
"""Kinds of what comes out."""


def lines(told: WhatIf, display: str) -> Iterable[str]:
    """Answers for a reader, a block of lines for each row."""
    on = "; ".join(f"visit {w.visit}, condition {w.condition}" for w in told.unit.on) or "its rating alone"
    where = told.base.where
    circuits = f"circuit{'' if len(told.running) == 1 else 's'} {' and '.join(told.running)} running"
    yield (
        f"Changes start from: {told.base.label} (visit {where.visit}, condition {where.condition}; "
        f"{circuits if told.running else 'no circuit running'})."
    )
    yield f"Unit calibrated on: {on}."
    if len(np.unique(told.unit.unit.constants.circuiting)) > 2:
        yield UNKNOWN_CIRCUITING
    for one in told.answers:
        yield ""
        yield f"Row {one.row}" + (f": {one.branch}" if one.branch else "")
        if not one.converged:
            yield f"  refused: {one.reason}"
            continue
        for title, bands in [("air", one.air), *((f"circuit {n}", rows) for n, rows in one.circuit.items())]:
            for key, value in bands.items():
                if value.known:
                    shown = banded(value, OUTCOMES[key], display)
                    yield f"  {title:<10} {key.replace('_', ' '):<24} {shown}"
