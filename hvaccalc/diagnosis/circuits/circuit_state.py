"""A circuit in one condition as its readings have it, what its lines do, and the heat that it takes up."""

from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import rated_unit
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where
from hvaccalc.diagnosis.readings.saturation import Saturated, discharge_or_assumed, saturations
from hvaccalc.ensemble import OUTSIDE
from hvaccalc.equipment.circuit.compressor import corrected, volumetric_efficiency
from hvaccalc.job.visit_tables import FansRunning
from hvaccalc.practice.circuits import DRIER_DROP, MAP_SPREAD, SIZED_SPREAD
from hvaccalc.practice.statements import SURE
from hvaccalc.severity import Severity


@dataclass(frozen=True, slots=True)
class LineEffects:
    """What the lines do between outdoor unit and coil; columns of shape (N + 1,), None where not known.

    Attributes
    ----------
    suction_drop : ndarray or None
        Saturation temperature lost from coil to outdoor unit [K].
    suction_gain : ndarray or None
        Warming of the gas on the same way [K].
    superheat_at_coil : ndarray or None
        [K]
    liquid_friction, liquid_lift : ndarray or None
        Pressure lost on the way to the device [Pa]; a fall makes the lift negative.
    flash_margin : ndarray or None
        Subcooling left at the metering device [K]; below zero vapour enters it.
    subcooling_outdoors : ndarray or None
        Subcooling at the outdoor unit of a reading taken at the device [K].
    """

    suction_drop: Array | None = None
    suction_gain: Array | None = None
    superheat_at_coil: Array | None = None
    liquid_friction: Array | None = None
    liquid_lift: Array | None = None
    flash_margin: Array | None = None
    subcooling_outdoors: Array | None = None

    @property
    def flashing(self) -> float:
        """Share of the draws in which vapour enters the metering device, 0-1."""
        if self.flash_margin is None:
            return 0.0
        rows = self.flash_margin[1:][np.isfinite(self.flash_margin[1:])]
        return float(np.mean(rows < 0.0)) if rows.size else 0.0

    @property
    def flash_severity(self) -> Severity:
        """Flash gas that is not excluded is watched."""
        return Severity.WATCH if self.flashing > OUTSIDE / 2.0 else Severity.NOTE


@dataclass(frozen=True, slots=True)
class CircuitState:
    """One circuit in one condition; columns of shape (N + 1,), None where not read.

    Attributes
    ----------
    suction_saturation : ndarray or None
        Dew temperature at the place of the suction reading [K].
    coil_suction_saturation : ndarray or None
        The same brought to the coil's exit [K].
    liquid_saturation : ndarray or None
        Bubble temperature at the liquid reading [K].
    condensing_saturation : ndarray or None
        Dew at the discharge reading, else bubble at the liquid one [K].
    over_outdoor : ndarray or None
        Condensing saturation above the outdoor air of a running circuit [K].
    subcooling, superheat : Datum or None
        [K].
    shown : tuple of str
        Which of the two is what a digital manifold showed, for its pair of readings was not typed.
    discharge_superheat : ndarray or None
        Discharge temperature above the dew at the discharge pressure [K].
    chart_offset : ndarray or None
        Liquid temperature above the unit's chart at that pressure [K]; positive = short of charge.
    chart_note : str
        How the chart was used, or why not.
    lines : LineEffects or None
        What the line set does between outdoor unit and coil; None where nothing is known of it.
    drier_drop : ndarray or None
        How much the drier of a running circuit cools the liquid [K].
    fans_stand : FansRunning or None
        Its condenser fans by count, where some stand that no head control switches.
    """

    where: Where
    refrigerant: str
    suction_saturation: Array | None
    coil_suction_saturation: Array | None
    liquid_saturation: Array | None
    condensing_saturation: Array | None
    condensing_from: str
    over_outdoor: Array | None
    subcooling: Datum | None
    superheat: Datum | None
    chart_offset: Array | None
    chart_note: str
    liquid_measured_at: str
    suction_measured_at: str
    discharge_superheat: Array | None = None
    lines: LineEffects | None = None
    drier_drop: Array | None = None
    fans_stand: FansRunning | None = None
    shown: tuple[str, ...] = ()

    @property
    def fans_severity(self) -> Severity:
        """A condenser fan that stands is mended."""
        return Severity.ACT if self.fans_stand is not None else Severity.NOTE

    @property
    def drier_restricted(self) -> bool | None:
        """Whether its drier holds the liquid back; None where that was not read."""
        return None if self.drier_drop is None else bool(np.mean(self.drier_drop[1:] > DRIER_DROP) >= SURE)

    @property
    def drier_severity(self) -> Severity:
        """A drier that holds the liquid back is replaced."""
        return Severity.ACT if self.drier_restricted else Severity.NOTE


def heat(draws: Draws, where: Where) -> Array | None:
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


def mass_flow(draws: Draws, where: Where, suction: Saturated, gas: Array) -> Array | None:
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
    chart = rated_unit.compressor_map(typed)
    flow, power = chart.at(suction.dew, discharge.dew)
    density = density / suction.vapour(suction.dew + chart.superheat).density
    spread = draws.ensemble.normal(f"compressor map/{where.circuit}", 1.0, MAP_SPREAD)
    return corrected(flow, power, density, np.ones_like(density))[0] * spread


def _sized_flow(draws: Draws, where: Where, density: Array, ratio: Array) -> Array | None:
    swept = rated_unit.swept_flow(draws, where.circuit)
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
