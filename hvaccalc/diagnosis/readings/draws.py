"""From a job to draws: its readings as columns, its rating as a calibrated coil.

The only module that turns the job file's tables into what equipment and diagnosis compute with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, cast

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings import instruments
from hvaccalc.ensemble import Z95, Ensemble
from hvaccalc.equipment.coil import cooling_coil
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Condition
from hvaccalc.physics import moist_air
from hvaccalc.physics.moist_air import STANDARD_PRESSURE
from hvaccalc.physics.refrigerant import NAMES, Refrigerant, refrigerant
from hvaccalc.practice.air import BAROMETER_SD, UNREAD_OUTDOOR, UNREAD_RETURN_DRY_BULB, UNREAD_RETURN_HUMIDITY
from hvaccalc.practice.plates import (
    FILM_EXPONENT,
    FIN_EFFICIENCY,
    LOCAL_AIRFLOW,
    RATED_CAPACITY_SD,
    RATED_FAN_POWER,
    RATED_RETURN_DRY_BULB,
    RATED_RETURN_WET_BULB,
    RATED_SENSIBLE_RATIO,
    RATED_SUCTION_SATURATION,
    TYPED_FAN_POWER_SD,
    TYPED_SENSIBLE_SD,
    TYPED_SUCTION_SD,
)

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, order=True)
class Where:
    """A place in the job: visit and condition counted from 1, circuit by name; 0 and empty for none."""

    visit: int = 0
    condition: int = 0
    circuit: str = ""

    @property
    def path(self) -> str:
        """``visit/condition/circuit``, ``-`` where there is none."""
        return "/".join(str(part or "-") for part in (self.visit, self.condition, self.circuit))

    def at(self, circuit: str) -> Where:
        """The same condition, one circuit."""
        return Where(self.visit, self.condition, circuit)

    @property
    def air(self) -> Where:
        """The same condition, its air."""
        return Where(self.visit, self.condition)


@dataclass(frozen=True, slots=True)
class Datum:
    """Draws of a number with where it comes from.

    Attributes
    ----------
    draws : ndarray, shape (N + 1,)
        SI, row 0 central.
    basis : str
        measured, nameplate, computed, rule of thumb or assumed.
    note : str
        How it was come by, for a reader.
    """

    draws: Array
    basis: str
    note: str = ""


class Draws:
    """One job's ensemble and everything that reads straight from the file.

    Parameters
    ----------
    job : Job
    size : int
        Number of draws.
    """

    def __init__(self, job: Job, size: int = 512) -> None:
        self.job = job
        self.ensemble = Ensemble(job.job.seed, size)
        self.excluded: frozenset[tuple[Where, str]] = frozenset()
        self.doubted: frozenset[tuple[Where, str]] = frozenset()
        self._columns: dict[tuple[Where, str], Array] = {}
        self._once: dict[str, object] = {}

    def once(self, name: str, make: Callable[[], Made]) -> Made:
        """What does not hang on which readings are left out, made when first asked for."""
        if name not in self._once:
            self._once[name] = make()
        return cast(Made, self._once[name])

    def few(self, size: int) -> Draws:
        """The same job with few draws, for what each draw has to be calibrated for; made once."""
        return self.once(f"few/{size}", lambda: Draws(self.job, size)).without(self.excluded, self.doubted)

    def without(
        self,
        excluded: frozenset[tuple[Where, str]],
        doubted: frozenset[tuple[Where, str]] = frozenset(),
    ) -> Draws:
        """The same draws with readings left out of inference, and some that may be mistyped."""
        other = Draws(self.job, self.ensemble.size)
        other.ensemble = self.ensemble
        other._columns = self._columns
        other._once = self._once
        other.excluded, other.doubted = excluded, doubted
        return other

    def conditions(self) -> Iterator[tuple[Where, Condition]]:
        """Every condition with its place, in the file's order."""
        for v, visit in enumerate(self.job.visit, 1):
            for c, condition in enumerate(visit.condition, 1):
                yield Where(v, c), condition

    def condition(self, where: Where) -> Condition:
        """Condition of a place."""
        return self.job.visit[where.visit - 1].condition[where.condition - 1]

    def reading(self, where: Where, key: str) -> Reading | None:
        """A reading as typed, or None where it is absent or left out of inference."""
        if (where, key) in self.excluded:
            return None
        condition = self.condition(where)
        if not where.circuit:
            return getattr(condition.air, key)
        table = condition.circuit.get(where.circuit)
        return None if table is None else getattr(table, key)

    def quantity(self, where: Where, key: str) -> units.Quantity | None:
        """Value of a reading, or None."""
        reading = self.reading(where, key)
        return None if reading is None else reading.quantity

    def column(self, where: Where, key: str) -> Array | None:
        """Draws of the true value behind a reading [SI; pressures absolute], or None; read-only."""
        reading = self.reading(where, key)
        if reading is None or not instruments.takes(key):
            return None
        if (where, key) not in self._columns:
            values = self._drawn(where, key, reading)
            values.flags.writeable = False
            self._columns[where, key] = values
        return self._columns[where, key]

    def _drawn(self, where: Where, key: str, reading: Reading) -> Array:
        place = f"{where.path}/{key}"
        measured_at = self.condition(where).air.supply_measured_at or "unit"
        values = instruments.true_values(
            self.ensemble, place, key, reading.quantity, self.instrument(reading), measured_at
        )
        return values + self.barometer(where).draws if reading.quantity.gauge else values

    def instrument(self, reading: Reading) -> instruments.Instrument | None:
        """The instrument that a reading names."""
        if reading.instrument is None:
            return None
        known = self.job.instruments[reading.instrument]
        return instruments.Instrument(reading.instrument, known.kind, known.accuracy, known.repeatability)

    def barometer(self, where: Where) -> Datum:
        """Barometer of a condition [Pa]: read there, else the standard atmosphere at the site."""
        reading = self.condition(where).air.barometer if where.condition else None
        if reading is not None:
            here = Where(where.visit, where.condition)
            values = instruments.true_values(
                self.ensemble,
                f"{here.path}/barometer",
                "barometer",
                reading.quantity,
                self.instrument(reading),
            )
            return Datum(values, "measured", "read with the condition")
        elevation = self.job.job.elevation
        if elevation is None:
            return Datum(np.full(self.ensemble.size + 1, np.nan), "assumed", "no elevation, no barometer")
        level = float(moist_air.pressure_at_elevation(elevation.value))
        weather = self.ensemble.normal(f"weather/{where.visit}/{where.condition}", 0.0, BAROMETER_SD)
        return Datum(level + weather, "computed", "standard atmosphere at the site's elevation, with weather")

    def refrigerant(self, circuit: str) -> Refrigerant | None:
        """Properties of a circuit's refrigerant; None where the package carries none."""
        name = self.job.circuit[circuit].refrigerant
        return refrigerant(name) if name in NAMES else None

    def saturation_error(self, name: str) -> Array:
        """Error of the property model itself [K], shared by all readings of one refrigerant."""
        return self.ensemble.normal(f"saturation/{name}", 0.0, refrigerant(name).saturation_band / Z95)

    @cached_property
    def rating(self) -> cooling_coil.Rating:
        """The rating as draws, gross of fan heat."""
        unit = self.job.unit
        net = _typed(self.ensemble, "rated_capacity", unit.rated_capacity, RATED_CAPACITY_SD)
        ratio = self.rated_sensible_ratio.draws
        fan = self.rated_fan_power.draws
        pressure = STANDARD_PRESSURE
        dry_bulb, wet_bulb = self.rated_return
        ones = np.ones_like(net)
        humidity = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, pressure)
        return cooling_coil.Rating(
            total=net + fan,
            sensible_ratio=np.minimum((net * ratio + fan) / (net + fan), 0.99),
            dry_air_flow=unit.rated_airflow.value * units.STANDARD_AIR_DENSITY * ones,
            dry_bulb=dry_bulb * ones,
            humidity_ratio=humidity * ones,
            pressure=pressure * ones,
            suction_saturation=self.rated_suction_saturation.draws,
        )

    @property
    def rated_return(self) -> tuple[float, float]:
        """Dry and wet bulb of the return air at the rating [K]."""
        dry_bulb, wet_bulb = self.job.unit.rated_return_dry_bulb, self.job.unit.rated_return_wet_bulb
        return (
            RATED_RETURN_DRY_BULB if dry_bulb is None else dry_bulb.value,
            RATED_RETURN_WET_BULB if wet_bulb is None else wet_bulb.value,
        )

    @cached_property
    def rated_sensible_ratio(self) -> Datum:
        """Net sensible heat ratio at the rating."""
        typed = self.job.unit.rated_sensible_heat_ratio
        if typed is None:
            draws = self.ensemble.normal("rated_sensible_heat_ratio", *RATED_SENSIBLE_RATIO)
            return Datum(np.clip(draws, 0.4, 0.98), "assumed", "not typed")
        sd = TYPED_SENSIBLE_SD if typed.plus_minus is None else typed.plus_minus / Z95
        draws = self.ensemble.normal("rated_sensible_heat_ratio", typed.value, sd)
        return Datum(np.clip(draws, 0.4, 1.0), "nameplate", "typed")

    @cached_property
    def rated_fan_power(self) -> Datum:
        """Electrical fan power at the rated airflow [W]; all of it becomes heat in the air."""
        fan = self.job.unit.fan
        if fan.input_power is not None:
            return Datum(
                _typed(self.ensemble, "input_power", fan.input_power, TYPED_FAN_POWER_SD),
                "nameplate",
                "typed",
            )
        mean, sd = RATED_FAN_POWER
        flow = units.to(self.job.unit.rated_airflow.value, "cfm")
        draws = np.maximum(self.ensemble.normal("input_power", mean, sd), 0.1) * flow
        return Datum(draws, "assumed", "fan power for each airflow of two measured units")

    @cached_property
    def rated_suction_saturation(self) -> Datum:
        """Suction saturation at the rating [K]."""
        typed = self.job.unit.rated_suction_saturation
        if typed is None:
            draws = self.ensemble.normal("rated_suction_saturation", *RATED_SUCTION_SATURATION)
            return Datum(draws, "assumed", "assumed")
        sd = TYPED_SUCTION_SD if typed.plus_minus is None else typed.plus_minus / Z95
        draws = self.ensemble.normal("rated_suction_saturation", typed.value, sd)
        return Datum(draws, "nameplate", "typed")

    @cached_property
    def coil(self) -> cooling_coil.Coil:
        """The coil calibrated on every draw of the rating; rows without a solution carry a reason."""
        return cooling_coil.calibrate(
            self.rating, fin_efficiency=self.fin_efficiency, film_exponent=self.film_exponent
        )

    @cached_property
    def fin_efficiency(self) -> Array:
        """Efficiency of the fins at the rating."""
        return self.ensemble.uniform("fin_efficiency", *FIN_EFFICIENCY)

    @cached_property
    def film_exponent(self) -> Array:
        """Exponent of the air film against airflow."""
        return self.ensemble.uniform("film_exponent", *FILM_EXPONENT)

    @cached_property
    def local_airflow(self) -> Array:
        """Airflow at the coldest part of the coil over the mean."""
        return self.ensemble.uniform("local_airflow", *LOCAL_AIRFLOW)

    def stage(self, circuit: str) -> int:
        """Stage of a circuit; counted in the file's order where it is not typed."""
        typed = self.job.circuit[circuit].stage
        return typed if typed is not None else list(self.job.circuit).index(circuit) + 1

    def capacity_shares(self) -> dict[str, float]:
        """Share of the capacity of each circuit, summing to 1; equal where none is typed."""
        typed = {
            name: None if c.capacity_share is None else c.capacity_share.value
            for name, c in self.job.circuit.items()
        }
        stated = sum(s for s in typed.values() if s is not None)
        open_count = sum(s is None for s in typed.values())
        rest = max(1.0 - stated, 0.0) / open_count if open_count else 0.0
        shares = {name: rest if s is None else s for name, s in typed.items()}
        whole = sum(shares.values())
        return {name: s / whole for name, s in shares.items()}


def _typed(ensemble: Ensemble, name: str, quantity: units.Quantity, relative_sd: float) -> Array:
    """Draws of a typed rating: its own ± where typed, else a share of itself."""
    if quantity.low is not None and quantity.high is not None:
        return ensemble.uniform(name, quantity.low, quantity.high)
    spread = quantity.value * relative_sd if quantity.plus_minus is None else quantity.plus_minus / Z95
    return ensemble.normal(name, quantity.value, spread)


def outdoor_read(draws: Draws, where: Where) -> Array | None:
    """Outdoor dry bulb of the condition of a place [K], shape (N + 1,); None where it was not read."""
    return draws.column(where.air, "outdoor_dry_bulb")


def usual_return_dry_bulb(draws: Draws, where: Where) -> Array:
    """Return air of a place [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return dry bulb/{where.air.path}", *UNREAD_RETURN_DRY_BULB)


def usual_return_humidity(draws: Draws, where: Where) -> Array:
    """Humidity ratio of return air of a place [kg/kg], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual return humidity/{where.air.path}", *UNREAD_RETURN_HUMIDITY)


def usual_outdoor(draws: Draws, where: Where) -> Array:
    """Outdoor air of a place in cooling weather [K], shape (N + 1,)."""
    return draws.ensemble.uniform(f"usual outdoor air/{where.air.path}", *UNREAD_OUTDOOR)
