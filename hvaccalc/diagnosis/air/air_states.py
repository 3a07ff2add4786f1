"""Air states of a condition and what the coil does to the air, by draws."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.readings.draws import Datum, Draws, Where, outdoor_read
from hvaccalc.ensemble import Band, band, beyond
from hvaccalc.physics import moist_air
from hvaccalc.practice.air import DRY_COIL
from hvaccalc.severity import Severity

_HUMIDITY_KEYS = ("wet_bulb", "dew_point", "relative_humidity")


@dataclass(frozen=True, slots=True)
class AirStream:
    """One stream of air, columns of shape (N + 1,); humidity columns NaN where only dry bulb was read.

    Attributes
    ----------
    dry_bulb, wet_bulb, dew_point : ndarray
        [K].
    humidity_ratio : ndarray
        [kg/kg dry air].
    relative_humidity : ndarray
        0-1.
    enthalpy, specific_volume : ndarray
        [J/kg dry air], [m3/kg dry air].
    possible : ndarray of bool
        Draws that do not contradict physics.
    humidity_from : str
        Key that the humidity was taken from, empty where none.
    """

    dry_bulb: Array
    wet_bulb: Array
    dew_point: Array
    humidity_ratio: Array
    relative_humidity: Array
    enthalpy: Array
    specific_volume: Array
    possible: Mask
    humidity_from: str = ""

    @property
    def humid(self) -> bool:
        """Whether the humidity is known."""
        return self.humidity_from != ""


@dataclass(frozen=True, slots=True)
class AirStates:
    """Air of one condition."""

    where: Where
    barometer: Datum
    return_air: AirStream | None
    supply_air: AirStream | None
    outdoor_dry_bulb: Array | None
    after_fan: bool
    mixed_air: AirStream | None = None

    @property
    def entering(self) -> AirStream | None:
        """The air that enters the coil: the mixed air where that was read, else the return."""
        return self.return_air if self.mixed_air is None else self.mixed_air

    @property
    def entering_name(self) -> str:
        """Name of the air that enters the coil."""
        return "return" if self.mixed_air is None else "mixed"


@dataclass(frozen=True, slots=True)
class CoilDuty:
    """What the air gives off between return and supply, as read; net of fan heat after the fan.

    Attributes
    ----------
    total, sensible : ndarray or None
        [W], shape (N + 1,); total None without both humidities. Total is net of the condensate's
        enthalpy at the supply dry bulb.
    condensate : ndarray or None
        [kg/s], not below zero.
    possible : ndarray of bool
        Draws that count.
    dry : bool
        No condensate beyond the readings' band.
    taken_dry : bool
        The supply read moister than the return, within the band. A cooling coil gives no water to the air,
        so the total, given as read, is too low: the sensible heat is all.
    missing : tuple of str
        Readings that would complete it.
    """

    total: Array | None
    sensible: Array | None
    condensate: Array | None
    possible: Mask
    dry: bool
    missing: tuple[str, ...]
    taken_dry: bool = False


def air_states(draws: Draws, where: Where) -> AirStates:
    """Return, supply and outdoor air of one condition."""
    barometer = draws.barometer(where)
    back, mixed, outdoors = (
        stream(draws, where, name, barometer.draws) for name in ("return", "mixed", "outdoor")
    )
    if back is not None and mixed is not None and outdoors is not None:
        if back.humid and outdoors.humid and not mixed.humid:
            mixed = _mixed(back, mixed.dry_bulb, outdoors, barometer.draws)
    return AirStates(
        where=where,
        barometer=barometer,
        return_air=back,
        supply_air=stream(draws, where, "supply", barometer.draws),
        outdoor_dry_bulb=outdoor_read(draws, where),
        after_fan=(draws.condition(where).air.supply_measured_at or "unit") != "coil",
        mixed_air=mixed,
    )


def _mixed(back: AirStream, dry_bulb: Array, outdoors: AirStream, barometer: Array) -> AirStream:
    """Mixed air of which the dry bulb alone was read: its water by the two streams that were mixed.

    Adiabatic mixing by mass of dry air (ASHRAE Fundamentals, chapter Psychrometrics).
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.clip((back.dry_bulb - dry_bulb) / (back.dry_bulb - outdoors.dry_bulb), 0.0, 1.0)
        ratio = back.humidity_ratio + share * (outdoors.humidity_ratio - back.humidity_ratio)
    return humid_stream(dry_bulb, "humidity_ratio", ratio, barometer, BY_MIXING)


BY_MIXING = "mixing"
"""Where the humidity of mixed air comes from that nobody read."""


def stream(draws: Draws, where: Where, name: str, barometer: Array) -> AirStream | None:
    """One stream from its dry bulb and the first humidity read; None without a dry bulb."""
    dry_bulb = draws.column(where, f"{name}_dry_bulb")
    if dry_bulb is None:
        return None
    air = draws.condition(where).air
    for key in _HUMIDITY_KEYS:
        full = f"{name}_{key}"
        if not hasattr(air, full):
            continue
        column = draws.column(where, full)
        if column is not None:
            return humid_stream(dry_bulb, key, column, barometer, full)
    unknown = np.full_like(dry_bulb, np.nan)
    return AirStream(
        dry_bulb, unknown, unknown, unknown, unknown, unknown, unknown, possible=np.isfinite(dry_bulb)
    )


def humid_stream(dry_bulb: Array, key: str, column: Array, barometer: Array, name: str) -> AirStream:
    """One stream from draws of its dry bulb and of one humidity, by its key; `name` says where it is from."""
    state = moist_air.state(barometer, dry_bulb=dry_bulb, **{key: column})
    return AirStream(
        dry_bulb=dry_bulb,
        wet_bulb=state.wet_bulb,
        dew_point=state.dew_point,
        humidity_ratio=state.humidity_ratio,
        relative_humidity=state.relative_humidity,
        enthalpy=state.enthalpy,
        specific_volume=state.specific_volume,
        possible=np.isfinite(state.humidity_ratio),
        humidity_from=name,
    )


def coil_duty(states: AirStates, dry_air_flow: Array | None, cools: bool = False) -> CoilDuty:
    """Heat and water taken from the air.

    Parameters
    ----------
    states : AirStates
    dry_air_flow : ndarray or None
        [kg/s], shape (N + 1,).
    cools : bool
        Whether a compressor cools: a coil at rest may give its water back to the air.

    Notes
    -----
    Sensible: ASHRAE Fundamentals 2017 ch. 1 eq. 28 and 30 at the supply humidity; total: the enthalpy
    difference less the condensate's enthalpy at the supply dry bulb, as handbook examples take it.
    """
    entering, leaving, name_of = states.entering, states.supply_air, states.entering_name
    missing = tuple(
        name
        for name, there in (
            (f"{name_of} dry bulb", entering is not None),
            ("supply dry bulb", leaving is not None),
            (f"{name_of} humidity", entering is not None and entering.humid),
            ("supply humidity", leaving is not None and leaving.humid),
            ("airflow", dry_air_flow is not None),
        )
        if not there
    )
    if entering is None or leaving is None or dry_air_flow is None:
        size = states.barometer.draws.shape
        return CoilDuty(None, None, None, np.zeros(size, dtype=bool), False, missing)
    possible = entering.possible & leaving.possible
    known = leaving if leaving.humid else entering
    vapour = known.humidity_ratio if known.humid else np.zeros_like(known.dry_bulb)
    drop = entering.dry_bulb - leaving.dry_bulb
    sensible = dry_air_flow * moist_air.heat_capacity(vapour) * drop
    if not (entering.humid and leaving.humid):
        return CoilDuty(None, sensible, None, possible, False, missing)
    water = dry_air_flow * (entering.humidity_ratio - leaving.humidity_ratio)
    carried = water * moist_air.liquid_water_enthalpy(leaving.dry_bulb)
    total = dry_air_flow * (entering.enthalpy - leaving.enthalpy) - carried
    latent = np.where(possible, total - sensible, np.nan)
    dry = bool(latent[0] <= DRY_COIL * abs(sensible[0]) and not beyond(latent))
    taken_dry = cools and dry and bool(latent[0] < 0.0 < sensible[0])
    return CoilDuty(total, sensible, np.maximum(water, 0.0), possible, dry, missing, taken_dry)


class Surface(StrEnum):
    """Whether a surface sweats in the air round it."""

    SWEATS = "sweats"
    DRY = "dry"
    CLOSE = "cannot tell"


@dataclass(frozen=True, slots=True)
class DuctSurface:
    """A duct's surface as read against the dew point of the air round it, as read.

    Attributes
    ----------
    temperature : ndarray
        [K], (N + 1,).
    margin : Band
        Surface less dew point [K].
    """

    temperature: Array
    margin: Band

    @property
    def text(self) -> Surface:
        """Sweating or dry where the whole band says so."""
        if self.margin.high < 0.0:
            return Surface.SWEATS
        return Surface.DRY if self.margin.low > 0.0 else Surface.CLOSE

    @property
    def severity(self) -> Severity:
        """A surface that sweats is watched: it makes little water."""
        return Severity.WATCH if self.text is Surface.SWEATS else Severity.NOTE


def duct_surface(draws: Draws, where: Where) -> DuctSurface | None:
    """What was read of a duct's surface; None without it, or without the humidity round it."""
    surface, dew = draws.column(where, "duct_surface_temperature"), space_dew_point(draws, where)
    return None if surface is None or dew is None else DuctSurface(surface, band(surface - dew))


def space_dew_point(draws: Draws, where: Where) -> Array | None:
    """Dew point of the air round the unit [K], as read or from its relative humidity; None unread."""
    dew, air = draws.column(where, "space_dew_point"), draws.column(where, "space_dry_bulb")
    relative = draws.column(where, "space_relative_humidity")
    if dew is not None or air is None or relative is None:
        return dew
    pressure = draws.barometer(where).draws
    return np.asarray(moist_air.state(pressure, dry_bulb=air, relative_humidity=relative).dew_point)
