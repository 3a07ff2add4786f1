"""What an instrument makes of a true value, and what a reading says of the true value.

One error model serves both ways: a *calibration* error shared by every reading taken with one
instrument, a *repeatability* error of each reading by itself, and for supply air a *place* error
(the probe does not stand in the mean of the stream). Half widths are 95 %, from ``data/instruments.toml``
unless the job says otherwise: ``accuracy`` and ``repeatability`` of a named instrument, and ``±`` on
a reading, which is that reading's own repeatability, place included.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.ensemble import Z95, Ensemble
from hvaccalc.job.accuracy import READS, Accuracy, InstrumentKind, fits, read_accuracy
from hvaccalc.practice.air import SUPPLY_PLACE
from hvaccalc.resources import data_path
from hvaccalc.rows import complete
from hvaccalc.units import Quantity

_BY_ENDING = (
    ("_wet_bulb", InstrumentKind.PSYCHROMETER),
    ("_dew_point", InstrumentKind.DEW_POINT_PROBE),
    ("_relative_humidity", InstrumentKind.HUMIDITY_PROBE),
    ("_dry_bulb", InstrumentKind.AIR_THERMOMETER),
    ("barometer", InstrumentKind.BAROMETER),
    ("airflow", InstrumentKind.TRAVERSE),
    ("traverse", InstrumentKind.TRAVERSE),
    ("_pressure_drop", InstrumentKind.MANOMETER),
    ("external_static", InstrumentKind.MANOMETER),
    ("fan_frequency", InstrumentKind.DRIVE_DISPLAY),
    ("fan_speed", InstrumentKind.TACHOMETER),
    ("_current", InstrumentKind.CLAMP_AMMETER),
    ("_voltage", InstrumentKind.VOLTMETER),
    ("_power", InstrumentKind.POWER_METER),
    ("electric_heat", InstrumentKind.POWER_METER),
    ("condensate_rate", InstrumentKind.BUCKET),
    ("refrigerant_mass_flow", InstrumentKind.FLOW_METER),
    ("_pressure", InstrumentKind.GAUGE_DIGITAL),
    ("_temperature", InstrumentKind.PIPE_CLAMP),
    # What a digital manifold shows: the clamp's error outweighs the gauge's in a saturation.
    ("superheat", InstrumentKind.PIPE_CLAMP),
    ("subcooling", InstrumentKind.PIPE_CLAMP),
)
"""Instrument taken for a reading that names none, by the ending of its key."""

_HIGH_SIDE = ("liquid_pressure", "discharge_pressure")


@dataclass(frozen=True, slots=True)
class Widths:
    """95 % half widths of one reading [SI of the reading]."""

    calibration: float
    repeatability: float
    place: float = 0.0


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument as a job states it; None where it says nothing.

    Attributes
    ----------
    name : str
        Readings that share the name share its calibration error.
    kind : InstrumentKind or None
    accuracy, repeatability : Accuracy or None
        Half widths as typed.
    """

    name: str
    kind: InstrumentKind | None = None
    accuracy: Accuracy | None = None
    repeatability: Accuracy | None = None

    def reads_as_own(self, kind: str) -> bool:
        """Whether its accuracy is stated for readings of a kind of quantity."""
        return self.kind is None or kind in READS[self.kind].own

    def stated(self, kind: str) -> tuple[Accuracy | None, Accuracy | None]:
        """Accuracy and repeatability as typed, where they are for readings of a kind of quantity."""
        accuracy, repeatability = (
            width if width is not None and self.reads_as_own(kind) and fits(width, kind) else None
            for width in (self.accuracy, self.repeatability)
        )
        return accuracy, repeatability


@dataclass(frozen=True, slots=True)
class Spread:
    """Accuracy of one kind of instrument; the high side where it differs."""

    calibration: Accuracy
    repeatability: Accuracy
    high_side: tuple[Accuracy, Accuracy] | None = None


@lru_cache(maxsize=1)
def default_accuracies() -> dict[InstrumentKind, Spread]:
    """Rows of ``data/instruments.toml`` by kind of instrument."""
    table = tomllib.loads(data_path("instruments.toml").read_text(encoding="utf-8"))
    rows = {}
    for kind, row in table.items():
        read = {key: read_accuracy(text) for key, text in row.items()}
        high = None
        if "high_side_calibration" in read:
            high = (read["high_side_calibration"], read["high_side_repeatability"])
        rows[InstrumentKind(kind)] = Spread(read["calibration"], read["repeatability"], high)
    return complete(InstrumentKind, rows)


def takes(key: str) -> bool:
    """Whether an instrument takes the reading of a key: a duct's area or a damper's position it does not."""
    return any(key.endswith(ending) for ending, _ in _BY_ENDING)


def default_kind(key: str) -> InstrumentKind:
    """Kind of instrument that usually takes the reading of a key."""
    return next(kind for ending, kind in _BY_ENDING if key.endswith(ending))


def width(typed: Accuracy, quantity: Quantity) -> float:
    """Half width of an accuracy for one reading [SI]; shares are of the reading, gauge where it is gauge."""
    offset = units.unit_of(quantity.unit, quantity.kind).offset
    fixed = typed.of_reading
    if quantity.kind == "fraction" and typed.added is None and typed.at_least is None:
        return fixed
    value = fixed * abs(quantity.value - offset)
    value += typed.added.value if typed.added is not None else 0.0
    return max(value, typed.at_least.value) if typed.at_least is not None else value


def widths(key: str, quantity: Quantity, instrument: Instrument | None, measured_at: str = "unit") -> Widths:
    """Error widths of one reading.

    Parameters
    ----------
    key : str
        The reading's key in the job file, such as ``supply_dry_bulb``.
    quantity : Quantity
        The reading.
    instrument : Instrument or None
        None where the reading names none.
    measured_at : str
        Where supply air was measured.
    """
    kind = instrument.kind if instrument and instrument.reads_as_own(quantity.kind) else None
    row = default_accuracies()[kind or default_kind(key)]
    calibration, repeatability = row.calibration, row.repeatability
    if row.high_side is not None and key in _HIGH_SIDE:
        calibration, repeatability = row.high_side
    accuracy, stated = instrument.stated(quantity.kind) if instrument else (None, None)
    calibration = accuracy or calibration
    own = quantity.plus_minus
    has_place = key in ("supply_dry_bulb", "supply_wet_bulb") and stated is None and own is None
    place = SUPPLY_PLACE[measured_at] if has_place else 0.0
    return Widths(
        width(calibration, quantity), width(stated or repeatability, quantity) if own is None else own, place
    )


def error_draws(ensemble: Ensemble, place: str, instrument: Instrument | None, spread: Widths) -> Array:
    """Error of one reading [SI], shape (N + 1,), row 0 zero.

    Parameters
    ----------
    place : str
        Where the reading stands in the job; names its own draws, and its calibration where no
        instrument is named (such readings are independent of the others).
    """
    shared = f"calibration/{instrument.name}" if instrument else f"calibration/{place}"
    error = spread.calibration / Z95 * ensemble.normal(shared)
    error += spread.repeatability / Z95 * ensemble.normal(f"repeatability/{place}")
    if spread.place:
        # Dry and wet bulb of one stream are read at one spot: they share its place error.
        error += spread.place / Z95 * ensemble.normal(f"place/{place.rpartition('/')[0]}/supply")
    return error


def true_values(
    ensemble: Ensemble,
    place: str,
    key: str,
    quantity: Quantity,
    instrument: Instrument | None = None,
    measured_at: str = "unit",
) -> Array:
    """Draws of the true value behind a reading [SI, gauge pressures still above the barometer].

    A typed range is taken as equally likely between its ends, with no instrument error on top.
    """
    if quantity.low is not None and quantity.high is not None:
        return ensemble.uniform(f"range/{place}", quantity.low, quantity.high)
    spread = widths(key, quantity, instrument, measured_at)
    return quantity.value + error_draws(ensemble, place, instrument, spread)


@dataclass(frozen=True, slots=True)
class Planned:
    """A reading to be taken of a true state: its key, the unit it is read in, with what and where."""

    key: str
    unit: str
    instrument: Instrument | None = None
    measured_at: str = "unit"


def read(
    truth: Mapping[str, float], plan: Mapping[str, Planned], generator: np.random.Generator, barometer: float
) -> dict[str, Quantity]:
    """What instruments would show of a true state.

    Parameters
    ----------
    truth : mapping
        True SI values (pressures absolute) by a name of the caller's.
    plan : mapping
        By the same names, how each is read.
    generator : numpy.random.Generator
        Source of the errors; one calibration error for each instrument in this call.
    barometer : float
        True barometer [Pa], which gauges read above.

    Returns
    -------
    dict of str to Quantity
        The readings, in the units planned.

    Notes
    -----
    An accuracy that is a share of the reading is taken of the true value; the difference is second
    order in the accuracy.
    """
    calibrations: dict[str, float] = {}
    places: dict[str, float] = {}
    shown: dict[str, Quantity] = {}
    for name, planned in plan.items():
        quantity = exact(truth[name], planned, barometer)
        spread = widths(planned.key, quantity, planned.instrument, planned.measured_at)
        shared = planned.instrument.name if planned.instrument else name
        calibration = calibrations.setdefault(shared, generator.standard_normal())
        stream = places.setdefault(name.rpartition("/")[0], generator.standard_normal())
        error = (
            spread.calibration * calibration
            + spread.repeatability * generator.standard_normal()
            + spread.place * stream
        ) / Z95
        shown[name] = exact(truth[name] + error, planned, barometer)
    return shown


def exact(value: float, planned: Planned, barometer: float) -> Quantity:
    """What a perfect instrument would show of a true value [SI; pressures absolute]."""
    kind = READS[default_kind(planned.key)].own[0]
    number = units.to(value, planned.unit, kind, barometer)
    return units.parse(f"{float(number):.10g} {planned.unit}", kind)
