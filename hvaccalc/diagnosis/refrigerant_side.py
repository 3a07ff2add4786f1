"""Heat that a circuit's refrigerant takes up, from its flow: read, or by the compressor's own map."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.build import Draws, Where
from hvaccalc.diagnosis.circuit import LIQUID_SHARE_OF_DISCHARGE
from hvaccalc.equipment.compressor import CompressorMap, corrected
from hvaccalc.job.circuit_tables import CompressorMap as TypedMap
from hvaccalc.physics.refrigerant import Refrigerant
from hvaccalc.units import si

MAP_SPREAD = 0.025
"""Spread (sd) of a compressor's flow about its published map: ± 5 % (95 %), from memory of AHRI 540."""

_FLOW_UNITS = {"degF lb/h W": (True, si(1.0, "lb/h")), "degC g/s W": (False, 1e-3)}


def compressor_map(typed: TypedMap) -> CompressorMap:
    """A map as typed in a job."""
    fahrenheit, flow = _FLOW_UNITS[typed.units]
    superheat = 20.0 / 1.8 if typed.superheat is None else typed.superheat.value
    return CompressorMap(tuple(typed.mass_flow), tuple(typed.power), fahrenheit, float(flow), 1.0, superheat)


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
    """Refrigerant flow [kg/s]: read, else by the compressor's map and the suction gas; None without."""
    read = draws.column(where, "refrigerant_mass_flow")
    typed = draws.job.circuit[where.circuit].compressor_map
    if read is not None or typed is None:
        return read
    discharge = draws.column(where, "discharge_pressure")
    if discharge is None:
        share = draws.ensemble.uniform(f"liquid share/{where.path}", *LIQUID_SHARE_OF_DISCHARGE)
        discharge = head / share
    chart, dew = compressor_map(typed), fluid.dew_temperature(suction)
    flow, power = chart.at(dew, fluid.dew_temperature(discharge))
    density = fluid.vapour(suction, gas).density / fluid.vapour(suction, dew + chart.superheat).density
    spread = draws.ensemble.normal(f"compressor map/{where.circuit}", 1.0, MAP_SPREAD)
    return corrected(flow, power, density, np.ones_like(density))[0] * spread


def tells_flow(draws: Draws, where: Where) -> bool:
    """Whether a circuit's flow was read or its compressor's map typed."""
    read = draws.reading(where, "refrigerant_mass_flow") is not None
    return read or draws.job.circuit[where.circuit].compressor_map is not None
