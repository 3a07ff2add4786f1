"""Checks of the fan's speed in plain words."""

from __future__ import annotations

from hvaccalc.diagnosis.air.fan_check import Check, CheckName
from hvaccalc.findings import Finding
from hvaccalc.reason import Amount, Value
from hvaccalc.report.found import Found
from hvaccalc.words.fan import CHECKS
from hvaccalc.words.said import NOT_SAID


def names(found: Found, checks: list[Check]) -> list[str]:
    """Checks by their names; for the customer the motor's current once."""
    seen = {check.name for check in checks}
    twice = found.plain and CheckName.MOTOR_CURRENT in seen
    those = [c.name for c in checks if not (twice and c.name is CheckName.SERVICE_FACTOR)]
    return [found.teller.tell(name) for name in those]


def check(finding: Finding, found: Found) -> str:
    """One check that failed."""
    name = CheckName(finding.key.removeprefix("fan.check.").replace("_", " "))
    result = found.result(finding)
    checks = result.speed.checks if result is not None and result.speed is not None else ()
    one = next((c for c in checks if c.name is name), None)
    words = CHECKS[name].out_of_limits
    if one is None or words is NOT_SAID or not one.value.known:
        return f"Out of its limits at the fan's speed: {found.teller.tell(name)}."
    limit: Value = Amount(one.limit, one.kind) if one.limit is not None else ""
    return _water(found.teller.fill(words, {"value": Amount(one.value, one.kind), "limit": limit}))


def _water(number: str) -> str:
    """Inches of a water column without their abbreviation."""
    return number.replace("in w.c.", "inches of water")
