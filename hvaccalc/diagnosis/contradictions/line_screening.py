"""Pipes that no air around them explains: liquid far below the outdoor air, suction gas above all air."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.contradictions.head_screening import runs_full
from hvaccalc.diagnosis.readings import compressors, outdoor_air
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import beyond
from hvaccalc.practice.circuits import GAS_ABOVE_AIR, LIQUID_BELOW_AIR


def cold_liquid(draws: Draws, where: Where) -> dict[str, tuple[str, float]]:
    """Running circuits whose liquid line stands below the outdoor air by more than can be.

    A starved circuit is left alone: a line chilled behind a restriction is evidence there, no contradiction.

    Returns
    -------
    dict
        Key of the reading and how far below the air [K], by circuit.
    """
    outdoor = outdoor_air.read(draws, where)
    if outdoor is None or compressors.heating(draws, where):
        return {}
    read = {n: draws.column(where.at(n), "liquid_temperature") for n in draws.condition(where).circuit}
    return {
        name: ("liquid_temperature", float(outdoor[0] - liquid[0]))
        for name, liquid in read.items()
        if liquid is not None and _full(draws, where.at(name)) and beyond(outdoor - liquid - LIQUID_BELOW_AIR)
    }


def hot_gas(draws: Draws, where: Where) -> dict[str, float]:
    """Running circuits whose suction line stands above return and outdoor air by more than can be [K]."""
    outdoor, back = outdoor_air.read(draws, where), draws.column(where, "return_dry_bulb")
    if outdoor is None or back is None or compressors.heating(draws, where):
        return {}
    hottest = np.maximum(outdoor, back)
    read = {n: draws.column(where.at(n), "suction_temperature") for n in draws.condition(where).circuit}
    return {
        name: float(gas[0] - hottest[0])
        for name, gas in read.items()
        if gas is not None
        and compressors.runs(draws, where.at(name))
        and beyond(gas - hottest - GAS_ABOVE_AIR)
    }


def _full(draws: Draws, here: Where) -> bool:
    return draws.refrigerant(here.circuit) is not None and runs_full(draws, here)
