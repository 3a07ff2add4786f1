"""Findings of the freeze forecast: thresholds, full speed, kinds of day, water without ice."""

from collections.abc import Iterator

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.forecast import Forecast, Threshold
from hvaccalc.diagnosis.unit.what_if import Answer, Ready
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.air import WEATHER
from hvaccalc.words.said import banded

BEHIND = "one chamber unit stands behind it and no measured two-circuit unit at low air."
LIMITS = f"By the coupled model of the unit, calibrated on its rating: {BEHIND}"

NO_UNIT = "of what the rating may be makes no unit that runs and was left out"

UNKNOWN_CIRCUITING = (
    "How the circuits lie in the coil is not known: the band spans interlaced, face split and row split."
)


def day_text(day: str, display: str, humid: bool = True) -> str:
    """A kind of day of the forecast in the units shown, where asked with its humidity."""
    warm, relative, outdoor = WEATHER[day]
    shown, outside = (units.limit_text(value, "temperature", display) for value in (warm, outdoor))
    return f"{shown} return{f' at {100 * relative:.0f} %' if humid else ''}, {outside} outdoors"


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


def standing(found: Forecast, display: str, numbers: bool = False) -> str:
    """How this unit stands beside a sound one of its rating, as a clause; empty where they agree.

    Parameters
    ----------
    found : Forecast
    display : str
    numbers : bool
        Whether the temperatures are told too.
    """
    if not found.apart:
        return ""
    worst = max(found.held or found.apart, key=lambda one: (one.freezing, abs(one.deviation)))
    what = "coldest metal" if not worst.circuit else f"suction saturation (circuit {worst.circuit})"
    shown = ""
    if numbers:
        read, sound = (units.value_text(b.value, "temperature", display) for b in (worst.read, worst.sound))
        shown = f", {what} {read} where a sound one has {sound}"
    if not found.held:
        return f"this one does not run like such a unit: its {what} stands above it{shown}"
    cold = (
        f"has its {what} below freezing at this airflow already"
        if worst.freezing
        else f"has a colder {what} at this airflow"
    )
    low = "its metal" if not worst.circuit else "its suction"
    why = f"something else than airflow holds {low} down"
    if not found.airflow_measured:
        why = f"less air than was taken (it was not measured), or {why}"
    return f"this one {cold}{shown}: {why}"


def _threshold(writer: Writer, found: Forecast, criterion: str, threshold: Threshold, what: str) -> None:
    measured = found.effective > 0.0
    shown = threshold.after if measured else threshold.before
    before = banded(threshold.before, "airflow", writer.display)
    sentence = f"In this weather {what} reaches freezing at an airflow of {{}} (5 to 95 %)"
    if found.apart:
        sentence = (
            f"A sound unit of this rating would bring {what} to freezing in this weather at an airflow of "
            f"{{}} (5 to 95 %); {standing(found, writer.display, numbers=criterion == 'suction')}"
        )
    if measured:
        sentence += f"; by the rating alone {before}: {_narrowed(threshold)}"
    if criterion == "fin" and found.metal.known and not found.apart:
        here = found.metal
        told = banded(here, "temperature", writer.display)
        sentence += f"; at the airflow found the model has it at {told}: for that day the readings count"
    # Its limits are said once: both thresholds come from the same unit.
    sentence += f". {LIMITS}" if criterion == "fin" else ". By the same model, calibrated on its rating."
    inputs = [finding_id("airflow.reconciled", found.where), *_read(found)]
    if len(found.circuitings) > 2:
        sentence += f" {UNKNOWN_CIRCUITING}"
        inputs.append(finding_id("assumed.circuiting", Where()))
    if threshold.never > 0.02:
        sentence += (
            f" {100 * threshold.never:.0f} % of the possible units do not freeze at any airflow tried."
        )
    writer.number(
        f"freeze.threshold_airflow.{criterion}",
        found.where,
        shown,
        "airflow",
        sentence,
        basis="computed",
        sources=("coupled_unit",),
        severity=found.severity,
        inputs=tuple(inputs),
        left_out=NO_UNIT,
    )


def _read(found: Forecast) -> list[str]:
    """Findings of what stands apart from a sound unit."""
    return [
        finding_id("coil.suction_saturation", found.where.at(one.circuit))
        if one.circuit
        else finding_id("coil.coldest_surface", found.where)
        for one in found.apart
    ]


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
    sentence = "With the fan at full speed in the same weather the coldest metal would stand at {}."
    if found.apart:
        sentence = (
            "With the fan at full speed in the same weather the coldest metal of a sound unit of this rating "
            f"would stand at {{}}; {standing(found, writer.display)}."
        )
    writer.number(
        "forecast.coldest_surface_full_speed",
        found.where,
        found.full_speed_metal,
        "temperature",
        sentence,
        sources=("coupled_unit",),
        severity=found.severity,
        left_out=NO_UNIT,
    )


def _day(writer: Writer, found: Forecast, day: str, chance: Band) -> None:
    if not chance.known:
        return
    when = f"On a {day} ({day_text(day, writer.display)})"
    sentence = (
        f"{when}, with all stages on at the airflow found here, the coldest metal, where the air is slowest, "
        "lies below freezing with a probability of {}."
    )
    if found.apart:
        sentence = (
            f"{when}, with all stages on at the airflow found here, a sound unit of this rating would have "
            f"its coldest metal below freezing with a probability of {{}}; {standing(found, writer.display)}."
        )
    writer.number(
        f"freeze.forecast.{day.replace(' ', '_')}",
        found.where,
        chance,
        "probability",
        sentence,
        sources=("coupled_unit",),
        severity=found.day_severity(day),
        inputs=tuple(_read(found)),
        left_out=NO_UNIT,
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


def state(answer: Answer) -> dict[str, object]:
    """Plain data of one row, as ``hvaccalc what-if --json`` prints it among its ``states``."""

    def plain(value: Band) -> dict[str, float | None]:
        numbers = {"value": value.value, "low": value.low, "high": value.high}
        return {name: float(n) if np.isfinite(n) else None for name, n in numbers.items()}

    return {
        "row": answer.row,
        "converged": answer.converged,
        "reason": answer.reason,
        "branch": answer.branch,
        "air": {name: plain(value) for name, value in answer.air.items()},
        "circuit": {
            name: {key: plain(value) for key, value in rows.items()} for name, rows in answer.circuit.items()
        },
    }


OUTCOMES = {
    "supply_dry_bulb": "temperature",
    "supply_dew_point": "temperature",
    "total_capacity": "heat",
    "sensible_capacity": "heat",
    "condensate_rate": "water_flow",
    "coldest_fin": "temperature",
    "suction_saturation": "temperature",
    "condensing_saturation": "temperature",
    "superheat": "temperature_difference",
    "subcooling": "temperature_difference",
    "refrigerant_mass_flow": "mass_flow",
    "compressor_power": "power",
}
"""Kinds of what comes out."""


def head(told: Ready) -> Iterator[str]:
    """What the answers rest on, for a reader."""
    on = "; ".join(f"visit {w.visit}, condition {w.condition}" for w in told.unit.on) or "its rating alone"
    where, running = told.base.where, told.running
    circuits = f"circuit{'' if len(running) == 1 else 's'} {' and '.join(running)} running"
    yield (
        f"Changes start from: {told.base.label} (visit {where.visit}, condition {where.condition}; "
        f"{circuits if running else 'no circuit running'})."
    )
    yield f"Unit calibrated on: {on}."
    if len(np.unique(told.unit.unit.constants.circuiting)) > 2:
        yield UNKNOWN_CIRCUITING


def lines(one: Answer, display: str) -> Iterator[str]:
    """One row's answer for a reader."""
    yield ""
    yield f"Row {one.row}" + (f": {one.branch}" if one.branch else "")
    if not one.converged:
        yield f"  refused: {one.reason}"
        return
    if (iced := one.ices) is not False:
        does = "ices" if iced else "may ice"
        yield f"  ice: the coil {does}; the numbers hold until ice holds the air back"
    for title, bands in [("air", one.air), *((f"circuit {n}", rows) for n, rows in one.circuit.items())]:
        for key, value in bands.items():
            if value.known:
                shown = banded(value, OUTCOMES[key], display)
                yield f"  {title:<10} {key.replace('_', ' '):<24} {shown}"
