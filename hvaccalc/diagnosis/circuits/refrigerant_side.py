"""Heat that a circuit takes up, from its refrigerant flow: read, by the compressor's map, or by its size."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings import rated_circuit
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated, discharge_or_assumed, saturations
from hvaccalc.equipment.circuit.compressor import corrected, volumetric_efficiency
from hvaccalc.practice.circuits import MAP_SPREAD, SIZED_SPREAD


def heat(draws: Draws, where: Where) -> np.ndarray | None:
    """Heat that one circuit's refrigerant takes up [W]; None where a reading lacks, NaN where gas is wet."""
    gas, liquid = (draws.column(where, f"{side}_temperature") for side in ("suction", "liquid"))
    read = saturations(draws, where)
    suction, head = read.suction, read.head
    if suction is None or gas is None or liquid is None or head is None:
        return None
    flow = mass_flow(draws, where, suction, gas)
    if flow is None:
        return None
    vapour = np.where(gas > suction.dew, suction.vapour(gas).enthalpy, np.nan)
    # Above the bubble by the band of the readings: the liquid's enthalpy hangs on its temperature alone.
    return flow * (vapour - head.liquid(liquid).enthalpy)


def mass_flow(draws: Draws, where: Where, suction: Saturated, gas: np.ndarray) -> np.ndarray | None:
    """Refrigerant flow [kg/s]: read, else by the compressor's map, else by its size at the rating."""
    read = draws.column(where, "refrigerant_mass_flow")
    if read is not None:
        return read
    typed = draws.job.circuit[where.circuit].compressor_map
    discharge = discharge_or_assumed(draws, where)
    if discharge is None:
        return None
    density = suction.vapour(gas).density
    if typed is None:
        return _sized_flow(draws, where, density, discharge.pressure / suction.pressure)
    chart = rated_circuit.compressor_map(typed)
    flow, power = chart.at(suction.dew, discharge.dew)
    density = density / suction.vapour(suction.dew + chart.superheat).density
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
