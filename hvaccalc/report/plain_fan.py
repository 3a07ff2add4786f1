"""Checks of the fan's speed in plain words."""

from __future__ import annotations

from collections.abc import Callable

from hvaccalc import units
from hvaccalc.diagnosis.air.speed_check import Check
from hvaccalc.findings import Finding
from hvaccalc.report.found import Found

NAMES = {
    "motor current": "motor current",
    "service factor": "motor reserve",
    "belt and sheaves": "belt and pulleys",
    "belt wrap": "grip of the belt",
    "tip speed": "speed of the fan wheel",
    "coil face velocity": "air speed through the coil",
    "filter face velocity": "air speed through the filters",
    "trap against pan suction": "the drain's water trap",
    "external static": "resistance of the ducts",
    "least air over an electric heater": "air over an electric heater",
    "full speed": "full speed of the fan",
    "least speed": "least speed of the drive",
    "noise": "noise",
}


def names(checks: list[Check]) -> list[str]:
    """Checks by their plain names; the motor's current once."""
    told = {check.name for check in checks}
    return [NAMES[c.name] for c in checks if not (c.name == "service factor" and "motor current" in told)]


def check(finding: Finding, found: Found) -> str:
    """One check that failed."""
    name = finding.key.removeprefix("fan.check.").replace("_", " ")
    result = found.result(finding)
    checks = result.speed.checks if result is not None and result.speed is not None else ()
    one = next((c for c in checks if c.name == name), None)
    speak = _SPEAK.get(name)
    if one is None or speak is None or not one.value.known:
        return f"Out of its limits at the fan's speed: {NAMES.get(name, name)}."
    value = one.value
    number = units.band_text(value.value, value.low, value.high, one.kind, found.display)
    limit = units.value_text(one.limit, one.kind, found.display) if one.limit is not None else ""
    return speak(_water(number), _water(limit))


def _water(number: str) -> str:
    """Inches of a water column without their abbreviation."""
    return number.replace("in w.c.", "inches of water")


_SPEAK: dict[str, Callable[[str, str], str]] = {
    "motor current": lambda n, top: f"The fan's motor draws {n}, more than its plate allows ({top}).",
    "service factor": lambda n, top: f"The fan's motor draws {n}, more than its reserve allows ({top}).",
    "coil face velocity": lambda n, top: (
        f"The air crosses the cooling coil at {n}, so fast that it may carry drops of water along; {top} is "
        "the common limit."
    ),
    "trap against pan suction": lambda n, _: (
        f"The fan pulls at the drain pan with {n}: too much for the drain's water trap."
    ),
    "external static": lambda n, top: (
        f"The ducts resist the air with {n}, more than the unit is rated for ({top})."
    ),
}
