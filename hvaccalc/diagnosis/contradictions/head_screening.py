"""A running condenser that would stand below the outdoor air it gives its heat to: a probe or a gauge."""

from __future__ import annotations

from hvaccalc.diagnosis.readings import compressors, outdoor_air
from hvaccalc.diagnosis.readings.compressors import Running
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import saturations
from hvaccalc.ensemble import beyond
from hvaccalc.practice.circuits import MOST_SUPERHEAT


def below_outdoors(draws: Draws, where: Where) -> dict[str, tuple[str, float]]:
    """Running circuits that condense below the outdoor air beyond the band of both readings.

    Returns
    -------
    dict
        Key of the reading and how far below [K], by circuit.
    """
    outdoor = outdoor_air.read(draws, where)
    if outdoor is None or compressors.heating(draws, where):
        return {}
    found = {}
    for name in draws.condition(where).circuit:
        read = saturations(draws, where.at(name))
        if read.outlet is None or not runs_full(draws, where.at(name)):
            continue
        below = outdoor - read.outlet.dew
        if beyond(below):
            key = "liquid_pressure" if read.discharge is None else "discharge_pressure"
            found[name] = (key, float(below[0]))
    return found


def runs_full(draws: Draws, here: Where) -> bool:
    """Proved to run, and not so starved that nothing would condense."""
    if compressors.compressor(draws, here).state is not Running.YES:
        return False
    suction, gas = saturations(draws, here).suction, draws.column(here, "suction_temperature")
    if suction is None or gas is None:
        return True
    return bool(gas[0] - suction.dew[0] < MOST_SUPERHEAT)


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
