"""Findings of the freeze forecast: thresholds, full speed, kinds of day, water without ice."""

from __future__ import annotations

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.build import Where
from hvaccalc.diagnosis.forecast import Forecast, Threshold
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id

BEHIND = "one chamber unit stands behind it and no measured two-circuit unit at low air."
LIMITS = f"By the coupled model of the unit, calibrated on its rating: {BEHIND}"

UNKNOWN_CIRCUITING = (
    "How the circuits lie in the coil is not known: the band spans interlaced, face split and row split."
)


def forecast(writer: Writer, found: Forecast | None) -> None:
    """All findings of the forecast, at the condition it starts from."""
    if found is None:
        return
    for criterion, threshold, what in (
        ("fin", found.fin, "the coldest metal of the coil"),
        ("suction", found.suction, "the suction saturation"),
    ):
        _threshold(writer, found, criterion, threshold, what)
    _full_speed(writer, found)
    for day, chance in found.weather.items():
        _day(writer, found, day, chance)
    _water(writer, found)


def _threshold(writer: Writer, found: Forecast, criterion: str, threshold: Threshold, what: str) -> None:
    measured = found.effective > 0.0
    shown = threshold.after if measured else threshold.before
    before = _shown(writer, threshold.before)
    sentence = f"In this weather {what} reaches freezing at an airflow of {{}} (5 to 95 %)"
    if measured:
        sentence += f"; by the rating alone {before}: {_narrowed(threshold)}"
    # Its limits are said once: both thresholds come from the same unit.
    sentence += f". {LIMITS}" if criterion == "fin" else ". By the same model, calibrated on its rating."
    inputs = [finding_id("airflow.reconciled", found.where)]
    if len(found.circuitings) > 2:
        sentence += f" {UNKNOWN_CIRCUITING}"
        inputs.append(finding_id("assumed.circuiting", Where()))
    if threshold.never > 0.02:
        sentence += f" {100 * threshold.never:.0f} % of the draws do not freeze at any airflow tried."
    writer.number(
        f"freeze.threshold_airflow.{criterion}",
        found.where,
        shown,
        "airflow",
        sentence,
        basis="computed",
        sources=("coupled_unit",),
        inputs=tuple(inputs),
        left_out="of the draws have no such unit",
    )


def _shown(writer: Writer, value: Band) -> str:
    return units.band_text(value.value, value.low, value.high, "airflow", writer.display)


def _narrowed(threshold: Threshold) -> str:
    """How much the measured state narrowed the band, told honestly."""
    widths = [band.high - band.low for band in (threshold.before, threshold.after)]
    if not np.all(np.isfinite(widths)) or widths[0] <= 0.0:
        return "the measured state says no more"
    less = 100.0 * (1.0 - widths[1] / widths[0])
    if less < 8.0:
        return "the suction read here hardly narrows it"
    return f"the suction read here narrows it by {less:.0f} %"


def _full_speed(writer: Writer, found: Forecast) -> None:
    if found.full_speed_metal is None or not found.full_speed_metal.known:
        return
    writer.number(
        "forecast.coldest_surface_full_speed",
        found.where,
        found.full_speed_metal,
        "temperature",
        "With the fan at full speed in the same weather the coldest metal would stand at {}.",
        sources=("coupled_unit",),
        left_out="of the draws have no such unit",
    )


def _day(writer: Writer, found: Forecast, day: str, chance: Band) -> None:
    if not chance.known:
        return
    what = {
        "mild morning": "On a mild morning (66 °F return at 50 %, 60 °F outdoors)",
        "hot afternoon": "On a hot afternoon (75 °F return at 50 %, 95 °F outdoors)",
    }
    if writer.display == "si":
        what = {
            "mild morning": "On a mild morning (18.9 °C return at 50 %, 15.6 °C outdoors)",
            "hot afternoon": "On a hot afternoon (23.9 °C return at 50 %, 35 °C outdoors)",
        }
    writer.number(
        f"freeze.forecast.{day.replace(' ', '_')}",
        found.where,
        chance,
        "probability",
        f"{what[day]}, with all stages on at the airflow found here, the coldest metal lies below freezing "
        "with a probability of {}.",
        sources=("coupled_unit",),
        severity="watch" if chance.value >= 0.5 else "note",
        left_out="of the draws have no such unit",
    )


def _water(writer: Writer, found: Forecast) -> None:
    """Dripping without ice stays on the table."""
    now, full = found.grams_per_kilogram
    if not (np.isfinite(now) and np.isfinite(full)) or full <= 0.0:
        return
    writer.verdict(
        "forecast.condensate_per_air",
        found.where,
        f"{now / full:.1f} times",
        f"Without any ice, each {'kilogram' if writer.display == 'si' else 'pound'} of air gives off "
        f"{now / full:.1f} times the water at this airflow that it gives at full speed: a colder coil drips "
        "more for its air.",
        sources=("coupled_unit",),
    )
