"""Typed results into findings: full sentences with a value, its band, its basis and its sources."""

from __future__ import annotations

from collections.abc import Iterable

from hvaccalc.diagnosis.build import Draws
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.screening import Flag
from hvaccalc.findings.air import air, airflow, duty
from hvaccalc.findings.assumed import assumed
from hvaccalc.findings.circuits import charges, circuits, contrast
from hvaccalc.findings.coil import freeze, staging
from hvaccalc.findings.finding import SEVERITIES, Finding, Writer, finding_id

__all__ = ["SEVERITIES", "Finding", "finding_id", "findings"]


def findings(draws: Draws, flags: Iterable[Flag], results: Iterable[ConditionResult]) -> tuple[Finding, ...]:
    """All findings of a job.

    Parameters
    ----------
    draws : Draws
    flags : iterable of Flag
        Contradicting readings.
    results : iterable of ConditionResult
    """
    writer = Writer(draws)
    assumed(writer)
    for flag in flags:
        writer.verdict(
            "reading.contradiction",
            flag.where,
            flag.code,
            f"{flag.text} Left out of inference.",
            basis="measured",
            severity="watch",
        )
    for result in results:
        for part in (air, airflow, duty, circuits, charges, contrast, freeze, staging):
            part(writer, result)
    return tuple(writer.found)
