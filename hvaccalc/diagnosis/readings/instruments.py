"""What an instrument makes of a true value, and what a reading says of the true value.

One error model serves both ways: a *calibration* error shared by every reading taken with one
instrument, a *repeatability* error of each reading by itself, and for supply air a *place* error
(the probe does not stand in the mean of the stream). Half widths are 95 %, from ``data/instruments.toml``
unless the job says otherwise: ``accuracy`` and ``repeatability`` of a named instrument, and ``±`` on
a reading, which is that reading's own repeatability, place included.
"""

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.ensemble import Z95, Ensemble
from hvaccalc.job.accuracy import Accuracy, read_accuracy
from hvaccalc.practice.air import SUPPLY_PLACE
from hvaccalc.resources import data_path
from hvaccalc.units import Quantity

_BY_ENDING = (
    ("_wet_bulb", "psychrometer"),
    ("_dew_point", "dew point probe"),
    ("_relative_humidity", "humidity probe"),
    ("_dry_bulb", "air thermometer"),
    ("barometer", "barometer"),
    ("airflow", "traverse"),
    ("traverse", "traverse"),
    ("_pressure_drop", "manometer"),
    ("external_static", "manometer"),
    ("fan_frequency", "drive display"),
    ("fan_speed", "tachometer"),
    ("_current", "clamp ammeter"),
    ("_voltage", "voltmeter"),
    ("_power", "power meter"),
    ("electric_heat", "power meter"),
    ("condensate_rate", "bucket and watch"),
    ("refrigerant_mass_flow", "refrigerant flow meter"),
    ("_pressure", "refrigerant gauge, digital"),
    ("_temperature", "pipe clamp thermometer"),
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
    kind : str or None
        A row of ``data/instruments.toml``, as typed.
    accuracy, repeatability : Accuracy or None
        Half widths as typed.
    """

    name: str
    kind: str | None = None
    accuracy: Accuracy | None = None
    repeatability: Accuracy | None = None


@dataclass(frozen=True, slots=True)
class Spread:
    """Accuracy of one kind of instrument; the high side where it differs."""

    calibration: Accuracy
    repeatability: Accuracy
    high_side: tuple[Accuracy, Accuracy] | None = None


@lru_cache(maxsize=1)
def default_accuracies() -> dict[str, Spread]:
    """Rows of ``data/instruments.toml`` by kind of instrument."""
    table = tomllib.loads(data_path("instruments.toml").read_text(encoding="utf-8"))
    rows = {}
    for kind, row in table.items():
        read = {key: read_accuracy(text) for key, text in row.items()}
        high = None
        if "high_side_calibration" in read:
            high = (read["high_side_calibration"], read["high_side_repeatability"])
        rows[kind] = Spread(read["calibration"], read["repeatability"], high)
    return rows


def default_kind(key: str) -> str:
    """Kind of instrument that usually takes the reading of a key."""
    return next(kind for ending, kind in _BY_ENDING if key.endswith(ending))


def known_kind(typed: str | None) -> str | None:
    """Row of ``data/instruments.toml`` that a typed kind means; None where none does."""
    if typed is None:
        return None
    folded = typed.strip().lower()
    rows = default_accuracies()
    if folded in rows:
        return folded
    starts = [kind for kind in rows if kind.startswith(folded) or folded.startswith(kind)]
    near = difflib.get_close_matches(folded, rows, n=1, cutoff=0.75)
    return starts[0] if starts else near[0] if near else None


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
    kind = known_kind(instrument.kind if instrument else None) or default_kind(key)
    row = default_accuracies()[kind]
    calibration, repeatability = row.calibration, row.repeatability
    if row.high_side is not None and key in _HIGH_SIDE:
        calibration, repeatability = row.high_side
    stated = instrument.repeatability if instrument else None
    if instrument and instrument.accuracy:
        calibration = instrument.accuracy
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
    kind = _kind_of(planned)
    number = units.to(value, planned.unit, kind, barometer)
    return units.parse(f"{float(number):.10g} {planned.unit}", kind)


def _kind_of(planned: Planned) -> str:
    kinds = {
        "psychrometer": "temperature",
        "air thermometer": "temperature",
        "dew point probe": "temperature",
        "pipe clamp thermometer": "temperature",
        "humidity probe": "fraction",
        "refrigerant gauge, digital": "pressure",
        "refrigerant gauge, analog": "pressure",
        "barometer": "absolute_pressure",
        "manometer": "air_pressure",
        "drive display": "frequency",
        "tachometer": "speed",
        "clamp ammeter": "current",
        "voltmeter": "voltage",
        "power meter": "power",
        "bucket and watch": "water_flow",
        "refrigerant flow meter": "mass_flow",
    }
    return kinds.get(default_kind(planned.key), "airflow")
