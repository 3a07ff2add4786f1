"""Findings on the air side: barometer, states, airflow, capacity, condensate."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.air import AirStream
from hvaccalc.diagnosis.airflow import speed_ratio
from hvaccalc.diagnosis.build import Where
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.ensemble import band
from hvaccalc.findings.finding import Writer, finding_id

SOURCES = {
    "traverse": ("traverse",),
    "fan_law": ("fan_laws",),
    "coil_drop": ("pressure_drop_scaling",),
    "filter_drop": ("pressure_drop_scaling",),
    "fan_curve": ("fan_curve",),
    "enthalpy": ("chamber_closure",),
    "heat_rise": ("ashrae_moist_air",),
}
"""Sources of the airflow methods."""


def air(writer: Writer, result: ConditionResult) -> None:
    where, air = result.where, result.air
    barometer = air.barometer
    writer.number(
        "site.barometer",
        where,
        barometer.draws,
        "absolute_pressure",
        f"Barometer {{}}: {barometer.note}.",
        basis=barometer.basis,
        sources=("ashrae_moist_air",),
    )
    for name, stream in (("return", air.return_air), ("supply", air.supply_air)):
        if stream is not None and stream.humid:
            _stream(writer, where, name, stream)


def _stream(writer: Writer, where: Where, name: str, stream: AirStream) -> None:
    shown = {"humidity_ratio": "humidity_ratio", "dew_point": "temperature", "wet_bulb": "temperature"}
    inputs = (finding_id("site.barometer", where),)
    for field, kind in shown.items():
        if name == "supply" and field == "wet_bulb":
            continue
        writer.number(
            f"air.{name}.{field}",
            where,
            getattr(stream, field),
            kind,
            f"{name.capitalize()} air {field.replace('_', ' ')} {{}}.",
            mask=stream.possible,
            basis="measured" if stream.humidity_from.endswith(field) else "computed",
            sources=("ashrae_moist_air",),
            inputs=inputs,
        )


def airflow(writer: Writer, result: ConditionResult) -> None:
    flow, where = result.airflow, result.where
    if flow is None:
        seen = speed_ratio(writer.draws, where) is not None
        still = "The fan stands still" if seen else "Nothing calls, so the fan was taken to stand still"
        basis = "measured" if seen else "assumed"
        writer.verdict("airflow.reconciled", where, "no airflow", f"{still}: no airflow.", basis=basis)
        return
    left_out = {off.name for off in flow.disagreeing}
    for method in flow.methods:
        idle = flow.used and method.name not in flow.used and method.name not in left_out
        beside = " Beside a measured airflow it has no say." if idle else ""
        source = SOURCES.get(method.name, ())
        if method.name == "fan_law" and method.basis == "rule of thumb":
            source = ("full_speed_airflow", *source)
        writer.number(
            f"airflow.{method.name}",
            where,
            method.flow,
            "airflow",
            f"Airflow {{}}, {method.note}.{beside}",
            basis=method.basis,
            sources=source,
        )
    sentence = f"Airflow {{}} at the return state, {flow.note}."
    for off in flow.disagreeing:
        others = " and ".join(name.replace("_", " ") for name in off.against)
        sentence += (
            f" The method {off.name.replace('_', ' ')} differs from {others} by {_times(off.sigmas)} its own "
            "uncertainty; it was left out: one of them is wrong, or loaded filters explain it."
        )
    writer.number(
        "airflow.reconciled",
        where,
        flow.flow,
        "airflow",
        sentence,
        basis=flow.basis,
        severity="watch" if flow.disagreeing or flow.basis == "assumed" else "note",
        inputs=tuple(finding_id(f"airflow.{m.name}", where) for m in flow.methods),
    )


def _times(sigmas: float) -> str:
    return f"{sigmas:.0f} times" if sigmas >= 10.0 else f"{sigmas:.1f} times"


MOST_OF_RATED = 1.3
"""Capacity over the rated one that no weather gives; common practice, no source."""

_TOO_MUCH = " More than the unit can give: check the humidity and airflow readings."


_TAKEN_DRY = (
    " Taken as the sensible capacity at least: the supply was read moister than the return, within the readings' "
    "band, and a cooling coil gives no water to the air."
)


def duty(writer: Writer, result: ConditionResult) -> None:
    duty, where = result.duty, result.where
    if duty.sensible is None:
        return
    place = (
        "after the fan, so net of its heat" if result.air.after_fan else "at the coil, before the fan's heat"
    )
    basis = result.airflow.basis if result.airflow else "computed"
    basis = "computed" if basis == "measured" else basis
    common = {"mask": duty.possible, "basis": basis, "sources": ("ashrae_moist_air",)}
    inputs = (finding_id("airflow.reconciled", where),)
    heated = " Below zero: the air is heated." if band(duty.sensible, duty.possible).high < 0.0 else ""
    writer.number(
        "capacity.sensible",
        where,
        duty.sensible,
        "heat",
        f"Sensible capacity {{}} (supply read {place}).{heated}",
        inputs=inputs,
        **common,
    )
    if duty.total is None or duty.condensate is None:
        return
    humid = tuple(finding_id(f"air.{name}.humidity_ratio", where) for name in ("return", "supply"))
    rated = writer.draws.job.unit.rated_capacity.value
    rows = duty.total[1:][duty.possible[1:] & np.isfinite(duty.total[1:])]
    too_much = rows.size > 0 and np.mean(rows > MOST_OF_RATED * rated) >= 0.9
    writer.number(
        "capacity.total",
        where,
        duty.total,
        "heat",
        f"Total capacity {{}} (supply read {place}).{_TOO_MUCH if too_much else ''}"
        f"{_TAKEN_DRY if duty.taken_dry else ''}",
        inputs=inputs + humid,
        severity="watch" if too_much else "note",
        **common,
    )
    sentence = "Condensate {} by the drop in humidity."
    if duty.dry:
        sentence = "The coil is dry within the readings' band: condensate {}."
    writer.number(
        "condensate.rate", where, duty.condensate, "water_flow", sentence, inputs=inputs + humid, **common
    )
