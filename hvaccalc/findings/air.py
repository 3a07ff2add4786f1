"""Findings on the air side: barometer, states, airflow, capacity, condensate."""

from enum import StrEnum

from hvaccalc.diagnosis.air.air_states import AirStream
from hvaccalc.diagnosis.air.airflow import Airflow, speed_ratio
from hvaccalc.diagnosis.air.reconcile import Method
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.statements import OFF_THE_AIRFLOW
from hvaccalc.words.air import DUCT_SURFACE, OUTDOORS, share_values

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


def outdoor_air(writer: Writer, result: ConditionResult) -> None:
    """Outdoor air in the mixed air by either way, and what it says."""
    found, where = result.outdoors, result.where
    if found is None:
        return
    by = {"air.outdoor_fraction": found.by_dry_bulb, "air.outdoor_fraction_by_humidity": found.by_humidity}
    for (key, value), way in zip(by.items(), ("dry bulbs", "humidity ratios"), strict=True):
        if value.known:
            sentence = f"Outdoor air {{}} of the mixed air, by {way}."
            writer.number(key, where, value, "fraction", sentence, sources=("ashrae_moist_air",))
    known = found.by_dry_bulb.known or found.by_humidity.known
    if found.severity.notable or not known:
        writer.verdict(
            "air.outdoor_air" if known else "air.outdoor_fraction",
            where,
            found.text,
            writer.to.fill(OUTDOORS[found.text], share_values(found)),
            sources=("ashrae_moist_air",),
            severity=found.severity,
            inputs=tuple(finding_id(key, where) for key, value in by.items() if value.known),
        )


def duct(writer: Writer, result: ConditionResult) -> None:
    """A duct's surface against the dew point round it, where both were read."""
    found, where = result.duct, result.where
    if found is not None and found.margin.known:
        statement = writer.to.fill(DUCT_SURFACE[found.text], {"margin": found.margin})
        kind, sources = "temperature_difference", ("ashrae_moist_air",)
        severity = found.severity
        key = "air.duct_surface_over_dew_point"
        writer.amount(key, where, statement, found.margin, kind, sources=sources, severity=severity)


class Told(StrEnum):
    """What is said of an airflow that is no number."""

    NO_AIRFLOW = "no airflow"
    NOT_DETERMINED = "not determined"


def airflow(writer: Writer, result: ConditionResult) -> None:
    flow, where = result.airflow, result.where
    if flow is None:
        seen = speed_ratio(writer.draws, where) is not None
        still = "The fan stands still" if seen else "Nothing calls, so the fan was taken to stand still"
        basis = "measured" if seen else "assumed"
        writer.verdict("airflow.reconciled", where, Told.NO_AIRFLOW, f"{still}: no airflow.", basis=basis)
        return
    for method in flow.methods:
        others = " and ".join(name.replace("_", " ") for name in flow.used)
        beside = f" Beside {others} it has no say." if method in flow.idle else ""
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
    if flow.undetermined:
        writer.verdict(
            "airflow.reconciled",
            where,
            Told.NOT_DETERMINED,
            f"Airflow not determined: {flow.undetermined}. What needs it takes {flow.note}.",
            basis="assumed",
            severity=flow.severity,
        )
        return
    sentence = f"Airflow {{}} at the return state, {flow.note}.{_left_out(flow)}"
    sentence += "".join(_beside(flow, method) for method in flow.idle)
    writer.number(
        "airflow.reconciled",
        where,
        flow.flow,
        "airflow",
        sentence,
        basis=flow.basis,
        severity=flow.severity,
        inputs=tuple(finding_id(f"airflow.{m.name}", where) for m in flow.methods),
    )


def _left_out(flow: Airflow) -> str:
    """The methods at odds, each by how far in its printed band."""
    told = ""
    by_name = {method.name: method for method in flow.methods}
    for off in flow.disagreeing:
        others = " and ".join(name.replace("_", " ") for name in off.against)
        far = bands_off(band(by_name[off.name].flow), float(flow.flow[0]))
        told += (
            f" The method {off.name.replace('_', ' ')} differs from {others} by {far} its own band to that "
            "side; it was left out: one of them is wrong, or loaded filters explain it."
        )
    return told


def bands_off(own: Band, other: float) -> str:
    """How far a value lies off, in the part of its printed band that points that way."""
    half = own.value - own.low if other < own.value else own.high - own.value
    times = abs(own.value - other) / half if half > 0.0 else float("inf")
    return f"{times:.0f} times" if times >= 10.0 else f"{times:.1f} times"


def _beside(flow: Airflow, method: Method) -> str:
    """What a way that rests on the rating alone says beside the others."""
    name = method.name.replace("_", " ")
    off = float(method.flow[0] / flow.flow[0]) - 1.0
    if not abs(off) >= OFF_THE_AIRFLOW:
        return ""
    side = "above" if off > 0.0 else "below"
    said = f" The method {name}, which has no say beside them, lies {100 * abs(off):.0f} % {side}, "
    if not flow.beyond(method):
        return f"{said}within its own band."
    return f"{said}beyond its own band: one of them is off, or the compressors do not pump as rated."


_TOO_MUCH = " More than the unit can give: check the humidity and airflow readings."


_TAKEN_DRY = (
    " The supply was read moister than the return, within the readings' band, and a cooling coil gives no "
    "water to the air: it is dry, and the sensible capacity counts."
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
    sources = ("ashrae_moist_air",)
    inputs = (finding_id("airflow.reconciled", where),)
    heated = " Below zero: the air is heated." if band(duty.sensible, duty.possible).high < 0.0 else ""
    writer.number(
        "capacity.sensible",
        where,
        duty.sensible,
        "heat",
        f"Sensible capacity {{}} (supply read {place}).{heated}",
        duty.possible,
        inputs=inputs,
        basis=basis,
        sources=sources,
    )
    if duty.total is None or duty.condensate is None:
        return
    humid = tuple(finding_id(f"air.{name}.humidity_ratio", where) for name in ("return", "supply"))
    writer.number(
        "capacity.total",
        where,
        duty.total,
        "heat",
        f"Total capacity {{}} (supply read {place}).{_TOO_MUCH if result.too_much else ''}"
        f"{_TAKEN_DRY if duty.taken_dry else ''}",
        duty.possible,
        inputs=inputs + humid,
        severity=result.duty_severity,
        basis=basis,
        sources=sources,
    )
    sentence = "Condensate {} by the drop in humidity."
    if duty.dry:
        sentence = "The coil is dry within the readings' band: condensate {}."
    writer.number(
        "condensate.rate",
        where,
        duty.condensate,
        "water_flow",
        sentence,
        duty.possible,
        inputs=inputs + humid,
        basis=basis,
        sources=sources,
    )
