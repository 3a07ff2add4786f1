"""The states and constants of one circuit's balance, and its refrigerant by where it lies.

Refrigerant in condenser, liquid line, evaporator and the rest stands relative to the rated charge. Two-phase
parts hold liquid by Zivi's void fraction averaged over the quality they run through, with heat flux uniform
along them. The split at rating is an assumption (`RATED_SPLIT`): a first-principles model of a 3-ton split
unit with 7.6 m of liquid line has 63 % in the condenser, 18 % in the liquid line, 15 % in the evaporator, 3
% in the suction line; long lines or a receiver change it. The choice among void fractions alone changes an
inventory by large factors (Rice 1987): what follows from this is "low" or "high", never a weight.

Source: Zivi, Journal of Heat Transfer 86, 1964, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np

from hvaccalc.arrays import Array, Indices, Mask
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

    displacement: Array
    efficiency: Array
    peak_ratio: Array
    volumetric_slope: Array
    shell_loss: Array
    suction_loss: Array
    gas_conductance: Array
    gas_heat: Array
    gap: Array
    superheat_set: Array
    valve_area: Array
    least_opening: Array
    liquid_resistance: Array
    air_capacity: Array
    air_ntu: Array
    air: Array
    fouling: Array
    condenser_volume: Array
    line_volume: Array
    evaporator_volume: Array
    rest: Array
    charge: Array
    held_condensing: Array
    highest_condensing: Array
    lowest_suction: Array
    rated_flow: Array
    rated_heat: Array
    orifice: Mask

    def take(self, circuits: list[int], rows: Indices | Mask) -> Constants:
        """Some circuits in some rows."""
        return Constants(*(getattr(self, f.name)[circuits][:, rows] for f in fields(self)))


@dataclass(frozen=True)
class Kind:
    """What does not change from row to row: refrigerant, map; one entry a circuit."""

    curves: tuple[Curves, ...]
    maps: tuple[CompressorMap | None, ...]

    def take(self, circuits: list[int]) -> Kind:
        """Some circuits."""
        return Kind(
            tuple(self.curves[i] for i in circuits),
            tuple(self.maps[i] for i in circuits),
        )


class Suction(NamedTuple):
    """States that depend on Te and s alone."""

    superheat: Array
    wetness: Array
    pressure: Array
    inlet_log_pressure: Array
    inlet_pressure: Array
    inlet_dew: Array
    density: Array
    enthalpy: Array
    dry_enthalpy: Array
    entropy: Array
    gas_heat: Array
    vapour_density: Array
    liquid_density: Array
    liquid_enthalpy: Array
    latent_heat: Array
    superheated: Array
    slip: Array


class Condensing(NamedTuple):
    """States that depend on t alone."""

    temperature: Array
    root: Array
    saturated: SaturatedCondenser
    liquid_heat_capacity: Array
    air: condenser.AirSide
    pressure: Array
    slip: Array


class Balance(NamedTuple):
    """Outcome of a circuit at a trial state; all (..., circuits, N)."""

    heat: Array
    superheating: Array
    condenser_residual: Array
    valve_residual: Array
    charge_residual: Array
    flow: Array
    power: Array
    discharge_temperature: Array
    liquid_temperature: Array


class Linearised(NamedTuple):
    """A circuit's `Balance` at a state and its slopes against the four unknowns, (4, circuits, N) each."""

    base: Balance
    suction: Suction
    slopes: tuple[Array, ...]


RATED_SPLIT = {"condenser": 0.58, "liquid line": 0.20, "evaporator": 0.17}
"""Share of the rated charge; what is missing to 1 stays where it is (suction line, oil, shell)."""


def slip_factor(liquid: Array, vapour: Array) -> Array:
    """What Zivi's slip makes of the densities: (vapour / liquid)^(2/3)."""
    return (vapour / liquid) ** (2.0 / 3.0)


def mean_void_fraction(one_quality: Array, other_quality: Array, slip: Array) -> Array:
    """Share of a two-phase part's volume filled by vapour, averaged between two qualities.

    Parameters
    ----------
    one_quality, other_quality : ndarray
        Vapour by mass at either end, 0-1.
    slip : ndarray
        `slip_factor` of the two phases.

    Examples
    --------
    From gas to liquid with vapour a tenth as dense:

    >>> round(float(mean_void_fraction(1.0, 0.0, slip_factor(1000.0, 100.0))), 3)
    0.737
    """
    rest = 1.0 - slip
    span = one_quality - other_quality
    span = np.where(np.abs(span) < 1e-6, 1e-6, span)
    logs = np.log((slip + rest * (other_quality + span)) / (slip + rest * other_quality))
    return 1.0 / rest - slip * logs / (rest**2 * span)


def local_density(quality: Array, liquid: Array, vapour: Array, slip: Array) -> Array:
    """Density of a two-phase line with the same slip [kg/m3].

    Examples
    --------
    4 % vapour by mass, a tenth as dense, fills 16 % of a line:

    >>> round(float(local_density(0.04, 1000.0, 100.0, slip_factor(1000.0, 100.0))))
    854
    """
    void = quality / (quality + (1.0 - quality) * slip)
    return liquid + (vapour - liquid) * void


def two_phase_density(
    one_quality: Array, other_quality: Array, liquid: Array, vapour: Array, slip: Array
) -> Array:
    """Mean density of a part between two qualities [kg/m3]."""
    void = mean_void_fraction(one_quality, other_quality, slip)
    return liquid + (vapour - liquid) * void
