"""A running condenser that would stand below the outdoor air it gives its heat to: a probe or a gauge."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where

ALL_BUT_EMPTY = 35.0 * 5 / 9
"""Superheat beyond which a circuit may be so empty that its high side holds gas alone, at any pressure [K];
common practice, no source."""


def below_outdoors(draws: Draws, where: Where) -> dict[str, tuple[str, float]]:
    """Running circuits that condense below the outdoor air beyond the band of both readings.

    Returns
    -------
    dict
        Key of the reading and how far below [K], by circuit.
    """
    outdoor = draws.column(where, "outdoor_dry_bulb")
    if outdoor is None or compressors.heating(draws, where):
        return {}
    found = {}
    for name in draws.condition(where).circuit:
        here, fluid = where.at(name), draws.refrigerant(name)
        if fluid is None or not runs_full(draws, here, fluid):
            continue
        key = next(
            (k for k in ("discharge_pressure", "liquid_pressure") if draws.column(here, k) is not None), None
        )
        if key is None:
            continue
        head = draws.column(here, key)
        assert head is not None
        below = outdoor - fluid.dew_temperature(head)
        finite = below[1:][np.isfinite(below[1:])]
        if finite.size and np.mean(finite <= 0.0) < 0.025:
            found[name] = (key, float(below[0]))
    return found


def runs_full(draws: Draws, here: Where, fluid) -> bool:
    """Proved to run, and not so starved that nothing would condense."""
    if compressors.compressor(draws, here).state != "running":
        return False
    suction, gas = (draws.column(here, f"suction_{what}") for what in ("pressure", "temperature"))
    if suction is None or gas is None:
        return True
    return bool(gas[0] - fluid.dew_temperature(suction[0]) < ALL_BUT_EMPTY)


def blamed(
    draws: Draws, where: Where, below: dict[str, tuple[str, float]]
) -> list[tuple[Where, tuple[str, ...]]]:
    """Which readings are left out.

    The probe where every circuit says so, a circuit's gauge where the others do not. With one circuit nobody
    can tell which of the two is wrong, and both are left out.
    """
    read = [n for n in draws.condition(where).circuit if compressors.runs(draws, where.at(n))]
    gauges: list[tuple[Where, tuple[str, ...]]] = [
        (where.at(name), (key,)) for name, (key, _) in below.items()
    ]
    probe: list[tuple[Where, tuple[str, ...]]] = [(where, ("outdoor_dry_bulb",))]
    if len(below) > 1 and len(below) == len(read):
        return probe
    return gauges if len(read) > len(below) else [*probe, *gauges]
