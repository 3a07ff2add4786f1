"""The unit as a rating and its constants, its conditions and faults, and the states that come out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from numpy.typing import ArrayLike

from hvaccalc.arrays import Array, Indices, Mask
from hvaccalc.equipment.circuit.balance_terms import RATED_SPLIT, Constants, Kind
from hvaccalc.equipment.circuit.circuit_balance import RESERVE
from hvaccalc.equipment.circuit.compressor import SHELL_LOSS, CompressorMap
from hvaccalc.equipment.circuit.condenser import EFFECTIVENESS
from hvaccalc.equipment.coil import cooling_coil as coils
from hvaccalc.equipment.coil.coil_state import NO_AIRFLOW, NOT_IN_RANGE, SUPERSATURATED
from hvaccalc.equipment.coil.coil_state import REASONS as COIL_REASONS

NOT_CALIBRATED, NOT_CONVERGED, HIGH_PRESSURE, LOW_PRESSURE, LIQUID_FULL, DRY_COIL, FLOODED = range(11, 18)
REASONS = {
    0: "",
    NO_AIRFLOW: COIL_REASONS[NO_AIRFLOW],
    NOT_IN_RANGE: "an input is missing or outside the range of the unit's model",
    SUPERSATURATED: COIL_REASONS[SUPERSATURATED],
    NOT_CALIBRATED: "no unit has this rating",
    NOT_CONVERGED: "the balance of the unit was not found",
    HIGH_PRESSURE: "the condensing pressure reaches its upper limit: the unit would trip on high pressure",
    LOW_PRESSURE: "the suction pressure reaches its lower limit: the unit would trip on low pressure",
    LIQUID_FULL: "the condenser is full of liquid",
    DRY_COIL: "nearly the whole coil is superheated: almost no refrigerant gets in",
    FLOODED: "half of the refrigerant leaves the coil as liquid",
}
BRANCHES = {
    0: "",
    1: "one of several possible states: the one reached from low head",
    2: "an unstable state: the unit would drift away from it",
}
"""Overcharge with a starved valve allows more than one balance; this says which was found."""


@dataclass(frozen=True)
class Circuit:
    """One refrigerant circuit at the rating; numbers, or arrays of shape (D,) for draws.

    Attributes
    ----------
    refrigerant : str
        One of `physics.refrigerant.NAMES`.
    capacity_share : array_like
        Of the unit's capacity and of the coil; those of all circuits sum to 1.
    metering : str, or array of str of shape (D,)
        One of `circuit_balance.KINDS`; one for each draw where nobody knows it.
    condensing_saturation : array_like or None
        Dew at the condenser's inlet at rating [K]; None: 12.5 K over outdoors (common practice).
    subcooling : array_like
        At the condenser's outlet at rating [K].
    valve_reserve : array_like
        Largest flow of a valve over its rated flow; an orifice has none.
    condenser_effectiveness : array_like
        Of the condensing zone's air at rating 0-1.
    suction_line_loss : array_like
        Saturation temperature lost between coil and compressor at rating [K].
    liquid_line_loss : array_like
        Pressure lost between condenser and device at rating [Pa].
    charge_split : dict
        Shares of the rated charge; see `balance_terms.RATED_SPLIT`.
    compressor_map : CompressorMap or None
        None: default curves.
    rated_power : array_like or None
        Compressor's electrical power at rating [W]; None: from the efficiency curve or the map.
    shell_loss : array_like
        Share of that power leaving through the shell.
    held_condensing : array_like or None
        Condensing dew temperature held by head-pressure control [K].
    highest_condensing, lowest_suction : array_like or None
        Dew temperatures of the pressure limits [K]; None: 6 K below critical or 339 K, whichever is lower;
        233 K.
    """

    refrigerant: str = "R-410A"
    capacity_share: ArrayLike = 0.5
    metering: str | Array = "TXV"
    condensing_saturation: ArrayLike | None = None
    subcooling: ArrayLike = 12.0 / 1.8
    valve_reserve: ArrayLike = RESERVE
    condenser_effectiveness: ArrayLike = EFFECTIVENESS
    suction_line_loss: ArrayLike = 0.6
    liquid_line_loss: ArrayLike = 70e3
    charge_split: dict[str, float] = field(default_factory=lambda: dict(RATED_SPLIT))
    compressor_map: CompressorMap | None = None
    rated_power: ArrayLike | None = None
    shell_loss: ArrayLike = SHELL_LOSS
    held_condensing: ArrayLike | None = None
    highest_condensing: ArrayLike | None = None
    lowest_suction: ArrayLike | None = None


@dataclass(frozen=True)
class UnitRating:
    """The whole unit at its rated point; numbers, or arrays of shape (D,) for draws.

    Attributes
    ----------
    net_capacity : array_like
        Total, the fan's heat taken off [W].
    sensible_ratio : array_like
        Sensible part of the net capacity.
    dry_air_flow, fan_power : array_like
        [kg/s dry air], [W]; all of the power becomes heat in the air.
    dry_bulb, humidity_ratio, pressure : array_like
        Return air [K], [kg/kg dry air], total [Pa].
    outdoor_dry_bulb : array_like
        [K]
    suction_saturation, superheat : array_like
        Dew at the coil's exit [K], and above it [K]; of all circuits.
    circuits : tuple of Circuit
    circuiting : str, or array of str of shape (D,)
        One of `coil.CIRCUITINGS`; one for each draw where it is not known.
    air_path : str
        "draw through" or "blow through": where the fan's heat goes in.
    fin_efficiency, film_exponent : array_like
        As for `coil.calibrate`.
    """

    net_capacity: ArrayLike
    sensible_ratio: ArrayLike
    dry_air_flow: ArrayLike
    fan_power: ArrayLike
    dry_bulb: ArrayLike
    humidity_ratio: ArrayLike
    pressure: ArrayLike
    outdoor_dry_bulb: ArrayLike
    suction_saturation: ArrayLike
    circuits: tuple[Circuit, ...]
    superheat: ArrayLike = 10.0 / 1.8
    circuiting: str | Array = "interlaced"
    air_path: str = "draw through"
    fin_efficiency: ArrayLike = 0.83
    film_exponent: ArrayLike = 0.6


@dataclass(frozen=True)
class Conditions:
    """Where the unit runs; numbers or arrays that broadcast, with each other and with draws (D,).

    Attributes
    ----------
    return_dry_bulb, return_humidity_ratio, barometer : array_like
        [K], [kg/kg dry air], [Pa].
    outdoor_dry_bulb : array_like
        Air entering the condensers [K].
    dry_air_flow : array_like
        Over the coil [kg/s dry air].
    fan_power : array_like or None
        [W]; None: the rated power per flow.
    running : array_like of bool, shape (circuits, ...) or (circuits,)
        Which compressors run; None: all.
    """

    return_dry_bulb: ArrayLike
    return_humidity_ratio: ArrayLike
    barometer: ArrayLike
    outdoor_dry_bulb: ArrayLike
    dry_air_flow: ArrayLike
    fan_power: ArrayLike | None = None
    running: ArrayLike | None = None


@dataclass(frozen=True)
class Faults:
    """What is wrong; numbers, or arrays of shape (circuits,) or (circuits, ...). 1 or 0 is sound.

    Attributes
    ----------
    charge : array_like
        Over the rated charge.
    condenser_air, condenser_fouling : array_like
        Airflow, and conductance of the condenser, over the rated ones.
    restriction : array_like
        Pressure lost in the liquid line at rated flow beyond the rated loss, over the rated difference
        between condenser and evaporator pressure.
    valve_capacity : array_like
        Largest flow of the device over the sound one: below 1 a starved valve.
    valve_overfeed : array_like
        Opening below which the device cannot close, as a flow over the rated one at rated pressures: near 1
        or above it a valve that overfeeds.
    compressor_wear : array_like
        Gas pumped over that of a sound compressor.
    """

    charge: ArrayLike = 1.0
    condenser_air: ArrayLike = 1.0
    condenser_fouling: ArrayLike = 1.0
    restriction: ArrayLike = 0.0
    valve_capacity: ArrayLike = 1.0
    valve_overfeed: ArrayLike = 0.0
    compressor_wear: ArrayLike = 1.0


@dataclass(frozen=True)
class UnitStates:
    """Solved states; arrays of the common shape of conditions and draws, circuits along a first axis more.

    Attributes
    ----------
    suction_saturation, condensing_saturation : ndarray, (circuits, ...)
        Dew at the coil's exit, and at the condenser's inlet [K].
    superheat, subcooling : ndarray, (circuits, ...)
        At the coil's exit, and at the condenser's outlet [K]; 0 where wet.
    exit_quality, coil_exit_quality : ndarray, (circuits, ...)
        Vapour by mass in what leaves the condenser, and the coil (1 where superheated).
    refrigerant_mass_flow, compressor_power, discharge_temperature : ndarray, (circuits, ...)
        [kg/s], [W], at the condenser's inlet [K].
    liquid_temperature : ndarray, (circuits, ...)
        At the condenser's outlet [K].
    supply_dry_bulb, supply_humidity_ratio : ndarray
        After the fan [K], [kg/kg dry air].
    total_capacity, sensible_capacity : ndarray
        Of the air between return and supply: net of the fan's heat, condensate's enthalpy taken off [W].
    condensate_rate : ndarray
        [kg/s]
    coldest_surface, coldest_root : ndarray
        Mean fin surface and fin root of the coldest segment [K].
    circuit_root : ndarray, (circuits, ...)
        Coldest root of each circuit [K].
    converged, reason, branch : ndarray
        Keys of `REASONS` and `BRANCHES`. Every other field is NaN where the reason is not 0.
    energy_residual : ndarray
        (air side + fan - condensate - refrigerant) / refrigerant.
    """

    suction_saturation: Array
    condensing_saturation: Array
    superheat: Array
    subcooling: Array
    exit_quality: Array
    coil_exit_quality: Array
    refrigerant_mass_flow: Array
    compressor_power: Array
    discharge_temperature: Array
    liquid_temperature: Array
    circuit_root: Array
    supply_dry_bulb: Array
    supply_humidity_ratio: Array
    total_capacity: Array
    sensible_capacity: Array
    condensate_rate: Array
    coldest_surface: Array
    coldest_root: Array
    energy_residual: Array
    converged: Mask
    reason: Indices
    branch: Indices


CIRCUIT_FIELDS = (
    "suction_saturation",
    "condensing_saturation",
    "superheat",
    "subcooling",
    "exit_quality",
    "coil_exit_quality",
    "refrigerant_mass_flow",
    "compressor_power",
    "discharge_temperature",
    "liquid_temperature",
    "circuit_root",
)
AIR_FIELDS = (
    "supply_dry_bulb",
    "supply_humidity_ratio",
    "total_capacity",
    "sensible_capacity",
    "condensate_rate",
    "coldest_surface",
    "coldest_root",
    "energy_residual",
)


# Inside film of superheating gas over that of boiling, as a resistance; 2-6 moves starved superheats by 2.5
# °F.
GAS_FILM_RESISTANCE = 4.0


@dataclass(frozen=True)
class UnitConstants:
    """A calibrated unit without faults; arrays (D,), by circuit (circuits, D).

    Attributes
    ----------
    kind : Kind
    circuits : Constants
        At rated airflow.
    coil : Coil
        The whole coil: what `coil.solve` would have without superheat.
    part, reserve : ndarray, shape (circuits, D)
        Shares of the coil; largest over rated flow of the device.
    restriction : ndarray, shape (circuits, D)
        `liquid_resistance` that loses the rated difference of condenser and evaporator pressure.
    start : ndarray, shape (4, circuits, D)
        Solved state at the rating.
    circuiting : ndarray of str
        One of `coil.CIRCUITINGS` for each draw, (D,).
    air_path : str
    reference : dict
        Return air, outdoor air and fan power per airflow at the rating.
    reason : ndarray
        0, or why there is none (`coil.REASONS`).
    """

    kind: Kind
    circuits: Constants
    coil: coils.Coil
    part: Array
    reserve: Array
    restriction: Array
    start: Array
    circuiting: Array
    air_path: str
    reference: dict[str, Array]
    reason: Indices

    def take(self, draws: Indices) -> UnitConstants:
        """Some draws, in any order and number."""
        everyone = list(range(len(self.kind.curves)))
        return replace(
            self,
            circuits=self.circuits.take(everyone, draws),
            coil=replace(self.coil, **{n: getattr(self.coil, n)[draws] for n in vars(self.coil)}),
            part=self.part[:, draws],
            reserve=self.reserve[:, draws],
            restriction=self.restriction[:, draws],
            start=self.start[..., draws],
            circuiting=self.circuiting[draws],
            reference={name: value[draws] for name, value in self.reference.items()},
            reason=self.reason[draws],
        )


def gas_conductance(coil: coils.Coil, flow: Array, capacity: Array) -> Array:
    """Air to superheating gas if all fins superheated [W/K], at an airflow [kg/s] and its capacity [W/K]."""
    ntu = coil.ntu * (flow / coil.rated_dry_air_flow) ** (coil.film_exponent - 1.0)
    inside = coil.resistance - coil.fin_resistance
    return 1.0 / (1.0 / (ntu * capacity) + coil.fin_resistance + GAS_FILM_RESISTANCE * inside)
