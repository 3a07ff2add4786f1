"""The states and constants of one circuit's balance: what `circuit_balance` passes around."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np

from hvaccalc.equipment.circuit import condenser
from hvaccalc.equipment.circuit.compressor import CompressorMap
from hvaccalc.equipment.circuit.refrigerant_curves import Curves, SaturatedCondenser


@dataclass(frozen=True)
class Constants:
    """What a calibrated circuit is, and what is wrong with it; arrays (circuits, N).

    Attributes
    ----------
    displacement : ndarray
        Volume swept [m3/s]; with a map, the factor on its flow.
    efficiency, peak_ratio, volumetric_slope, shell_loss : ndarray
        Of the compressor.
    suction_loss : ndarray
        Saturation temperature lost in the suction line at rating [K].
    gas_conductance : ndarray
        Air to superheating gas if the whole circuit's fins superheated [W/K].
    gas_heat : ndarray
        Volume drawn times heat capacity of the gas [J m3/(kg K s)]; times a density, a capacity rate.
    gap : ndarray
        Air that meets the superheated zone over dew, as a share of return air over dew; 1 but behind another
        circuit's rows.
    superheat_set : ndarray
        [K]
    valve_area : ndarray
        K^2 / rated flow^2 [m3/(kg Pa)]: times density and drop, the square of flow over the rated one.
    least_opening : ndarray
        Square of the flow below which the device cannot close, over that of `valve_area`.
    liquid_resistance : ndarray
        Pressure lost = this * flow^2 / density, restriction included [Pa/((kg/s)^2/(kg/m3))].
    air_capacity, air_ntu, air, fouling : ndarray
        Condenser: capacity rate of the air [W/K], transfer units, air and conductance over the rated ones.
    condenser_volume, line_volume, evaporator_volume, rest, charge : ndarray
        Volumes per rated charge [m3/kg], share that never moves, charge over the rated one.
    held_condensing, highest_condensing, lowest_suction : ndarray
        Dew temperatures: held by head-pressure control, of the high- and of the low-pressure limit [K].
    rated_flow, rated_heat : ndarray
        Scales [kg/s], [W].
    """

    displacement: np.ndarray
    efficiency: np.ndarray
    peak_ratio: np.ndarray
    volumetric_slope: np.ndarray
    shell_loss: np.ndarray
    suction_loss: np.ndarray
    gas_conductance: np.ndarray
    gas_heat: np.ndarray
    gap: np.ndarray
    superheat_set: np.ndarray
    valve_area: np.ndarray
    least_opening: np.ndarray
    liquid_resistance: np.ndarray
    air_capacity: np.ndarray
    air_ntu: np.ndarray
    air: np.ndarray
    fouling: np.ndarray
    condenser_volume: np.ndarray
    line_volume: np.ndarray
    evaporator_volume: np.ndarray
    rest: np.ndarray
    charge: np.ndarray
    held_condensing: np.ndarray
    highest_condensing: np.ndarray
    lowest_suction: np.ndarray
    rated_flow: np.ndarray
    rated_heat: np.ndarray

    def take(self, circuits: list[int], rows: np.ndarray) -> Constants:
        """Some circuits in some rows."""
        return Constants(*(getattr(self, f.name)[circuits][:, rows] for f in fields(self)))


@dataclass(frozen=True)
class Kind:
    """What does not change from row to row: refrigerant, kind of device, map; one entry a circuit."""

    curves: tuple[Curves, ...]
    orifice: tuple[bool, ...]
    maps: tuple[CompressorMap | None, ...]

    def take(self, circuits: list[int]) -> Kind:
        """Some circuits."""
        return Kind(
            tuple(self.curves[i] for i in circuits),
            tuple(self.orifice[i] for i in circuits),
            tuple(self.maps[i] for i in circuits),
        )


class Suction(NamedTuple):
    """States that depend on Te and s alone."""

    superheat: np.ndarray
    wetness: np.ndarray
    pressure: np.ndarray
    inlet_log_pressure: np.ndarray
    inlet_pressure: np.ndarray
    inlet_dew: np.ndarray
    density: np.ndarray
    enthalpy: np.ndarray
    dry_enthalpy: np.ndarray
    entropy: np.ndarray
    gas_heat: np.ndarray
    vapour_density: np.ndarray
    liquid_density: np.ndarray
    liquid_enthalpy: np.ndarray
    latent_heat: np.ndarray
    superheated: np.ndarray
    slip: np.ndarray


class Condensing(NamedTuple):
    """States that depend on t alone."""

    temperature: np.ndarray
    root: np.ndarray
    saturated: SaturatedCondenser
    liquid_heat_capacity: np.ndarray
    air: condenser.AirSide
    pressure: np.ndarray
    slip: np.ndarray


class Balance(NamedTuple):
    """Outcome of a circuit at a trial state; all (..., circuits, N)."""

    heat: np.ndarray
    superheating: np.ndarray
    condenser_residual: np.ndarray
    valve_residual: np.ndarray
    charge_residual: np.ndarray
    flow: np.ndarray
    power: np.ndarray
    discharge_temperature: np.ndarray
    liquid_temperature: np.ndarray


class Linearised(NamedTuple):
    """A circuit's `Balance` at a state and its slopes against the four unknowns, (4, circuits, N) each."""

    base: Balance
    suction: Suction
    slopes: tuple[np.ndarray, ...]
