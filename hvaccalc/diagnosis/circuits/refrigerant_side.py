"""Heat that a circuit takes up, from its refrigerant flow: read, by the compressor's map, or by its size."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.circuits.circuit_readings import LIQUID_SHARE_OF_DISCHARGE
from hvaccalc.diagnosis.readings import rated_circuit
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.circuit.compressor import corrected, volumetric_efficiency
from hvaccalc.physics.refrigerant import Refrigerant

MAP_SPREAD = 0.025
"""Spread (sd) of a compressor's flow about its published map: ± 5 % (95 %), from memory of AHRI 540."""

SIZED_SPREAD = 0.05
"""Spread (sd) of a sound compressor's flow about what its circuit's rating says: suction lines, curves of
volumetric efficiency (NISTIR 7350: 5 % over the tests of one compressor); the rating's own spread comes on
top. Common practice, no source."""


def heat(draws: Draws, where: Where) -> np.ndarray | None:
    """Heat that one circuit's refrigerant takes up [W]; None where a reading lacks, NaN where gas is wet."""
    fluid = draws.refrigerant(where.circuit)
    keys = ("suction_pressure", "suction_temperature", "liquid_temperature")
    suction, gas, liquid = (draws.column(where, key) for key in keys)
    head = head_pressure(draws, where)
    if fluid is None or suction is None or gas is None or liquid is None or head is None:
        return None
    flow = mass_flow(draws, where, fluid, suction, gas, head)
    if flow is None:
        return None
    dry = gas > fluid.dew_temperature(suction)
    vapour = np.where(dry, fluid.vapour(suction, gas).enthalpy, np.nan)
    # Above the bubble by the band of the readings: the liquid's enthalpy hangs on its temperature alone.
    cold = np.minimum(liquid, fluid.bubble_temperature(head))
    return flow * (vapour - fluid.liquid(head, cold).enthalpy)


def head_pressure(draws: Draws, where: Where) -> np.ndarray | None:
    """Liquid pressure where it was read, else discharge pressure [Pa]."""
    liquid = draws.column(where, "liquid_pressure")
    return draws.column(where, "discharge_pressure") if liquid is None else liquid


def mass_flow(
    draws: Draws, where: Where, fluid: Refrigerant, suction: np.ndarray, gas: np.ndarray, head: np.ndarray
) -> np.ndarray | None:
    """Refrigerant flow [kg/s]: read, else by the compressor's map, else by its size at the rating."""
    read = draws.column(where, "refrigerant_mass_flow")
    if read is not None:
        return read
    typed = draws.job.circuit[where.circuit].compressor_map
    discharge = draws.column(where, "discharge_pressure")
    if discharge is None:
        share = draws.ensemble.uniform(f"liquid share/{where.path}", *LIQUID_SHARE_OF_DISCHARGE)
        discharge = head / share
    if typed is None:
        return _sized_flow(draws, where, fluid.vapour(suction, gas).density, discharge / suction)
    chart, dew = rated_circuit.compressor_map(typed), fluid.dew_temperature(suction)
    flow, power = chart.at(dew, fluid.dew_temperature(discharge))
    density = fluid.vapour(suction, gas).density / fluid.vapour(suction, dew + chart.superheat).density
    spread = draws.ensemble.normal(f"compressor map/{where.circuit}", 1.0, MAP_SPREAD)
    return corrected(flow, power, density, np.ones_like(density))[0] * spread


def _sized_flow(draws: Draws, where: Where, density: np.ndarray, ratio: np.ndarray) -> np.ndarray | None:
    swept = rated_circuit.swept_flow(draws, where.circuit)
    if swept is None:
        return None
    # One draw for all circuits: what the curve gets wrong, it gets wrong for each.
    spread = draws.ensemble.normal("sized compressor", 1.0, SIZED_SPREAD)
    return swept * density * volumetric_efficiency(ratio) * spread


def flow_from(draws: Draws, where: Where) -> str:
    """Where a circuit's flow comes from: ``read``, ``map`` or ``rating``."""
    if draws.reading(where, "refrigerant_mass_flow") is not None:
        return "read"
    return "rating" if draws.job.circuit[where.circuit].compressor_map is None else "map"
