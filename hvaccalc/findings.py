"""Typed results into findings: full sentences with a value, its band, its basis and its sources."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air import AirStream
from hvaccalc.diagnosis.build import RATED_RETURN, Draws, Where
from hvaccalc.diagnosis.charge import CircuitCharge
from hvaccalc.diagnosis.circuit import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.screening import Flag
from hvaccalc.ensemble import Band, band, share

SEVERITIES = ("note", "watch", "act", "stop")
MASKED_WORTH_SAYING = 0.01

SI_UNIT = {
    "temperature": "K",
    "temperature_difference": "K",
    "absolute_pressure": "Pa",
    "humidity_ratio": "kg/kg",
    "airflow": "m3/s",
    "heat": "W",
    "water_flow": "kg/s",
    "fraction": "1",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One statement about the job.

    Attributes
    ----------
    id : str
        ``key/visit/condition/circuit``, ``-`` where there is none.
    key : str
    visit, condition : int or None
        From 1.
    circuit : str or None
    statement : str
        A full sentence in display units.
    value, low, high : float or None
        SI, central value and 95 % band.
    unit : str or None
        SI unit of the value.
    text : str or None
        For verdicts.
    basis : str
        measured, nameplate, computed, rule of thumb or assumed.
    sources : tuple of str
        Ids of `hvaccalc.sources`.
    severity : str
        note, watch, act or stop.
    inputs : tuple of str
        Ids of the findings it rests on.
    """

    id: str
    key: str
    visit: int | None
    condition: int | None
    circuit: str | None
    statement: str
    value: float | None
    low: float | None
    high: float | None
    unit: str | None
    text: str | None
    basis: str
    sources: tuple[str, ...]
    severity: str
    inputs: tuple[str, ...]

    def as_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        return {k: list(v) if isinstance(v, tuple) else v for k, v in asdict(self).items()}


def finding_id(key: str, where: Where) -> str:
    """``key/visit/condition/circuit``."""
    return f"{key}/{where.path}"


class _Writer:
    """Collects the findings of one job in its display units."""

    def __init__(self, draws: Draws) -> None:
        self.draws = draws
        self.display = draws.job.display
        self.found: list[Finding] = []

    def number(
        self,
        key: str,
        where: Where,
        draws,
        kind: str,
        sentence: str,
        *,
        mask=None,
        basis="computed",
        sources=(),
        severity="note",
        inputs=(),
    ) -> Band:
        """A finding with a band; `sentence` holds ``{}`` where the number goes."""
        result = draws if isinstance(draws, Band) else band(draws, mask)
        if result.known:
            shown = units.band_text(result.value, result.low, result.high, kind, self.display)
            statement = sentence.format(shown)
            if result.masked > MASKED_WORTH_SAYING:
                statement += (
                    f" {100 * result.masked:.0f} % of the draws contradict physics and were left out."
                )
        else:
            statement = sentence.format("cannot tell")
        self._add(
            key,
            where,
            statement,
            result if result.known else None,
            SI_UNIT[kind],
            None,
            basis,
            sources,
            severity,
            inputs,
        )
        return result

    def verdict(
        self,
        key: str,
        where: Where,
        text: str,
        statement: str,
        *,
        basis="computed",
        sources=(),
        severity="note",
        inputs=(),
    ) -> None:
        """A finding in words."""
        self._add(key, where, statement, None, None, text, basis, sources, severity, inputs)

    def _add(self, key, where, statement, value, unit, text, basis, sources, severity, inputs) -> None:
        numbers = (None, None, None) if value is None else (value.value, value.low, value.high)
        self.found.append(
            Finding(
                finding_id(key, where),
                key,
                where.visit,
                where.condition,
                where.circuit,
                statement,
                *numbers,
                unit,
                text,
                basis,
                tuple(sources),
                severity,
                tuple(inputs),
            )
        )

    def kelvin(self, value: float) -> str:
        """A temperature difference in words."""
        return units.value_text(value, "temperature_difference", self.display)


def findings(draws: Draws, flags: Iterable[Flag], results: Iterable[ConditionResult]) -> tuple[Finding, ...]:
    """All findings of a job.

    Parameters
    ----------
    draws : Draws
    flags : iterable of Flag
        Contradicting readings.
    results : iterable of ConditionResult
    """
    writer = _Writer(draws)
    _assumed(writer)
    for flag in flags:
        writer.verdict(
            "reading.contradiction",
            flag.where,
            flag.code,
            f"{flag.text} Left out of inference.",
            basis="measured",
            severity="watch",
        )
    for result in results:
        for part in (_air, _airflow, _duty, _circuits, _charges, _contrast, _freeze, _staging):
            part(writer, result)
    return tuple(writer.found)


def _assumed(writer: _Writer) -> None:
    """Every default in use, so that nothing is taken silently."""
    unit, draws = writer.draws.job.unit, writer.draws
    job = Where()
    rated = draws.rated_suction_saturation
    if rated.basis == "assumed":
        writer.number(
            "assumed.rated_suction_saturation",
            job,
            rated.draws,
            "temperature",
            "Rated suction saturation is not known and was assumed: {}.",
            basis="assumed",
            sources=("rated_suction",),
        )
    if draws.rated_sensible_ratio.basis == "assumed":
        writer.number(
            "assumed.rated_sensible_heat_ratio",
            job,
            draws.rated_sensible_ratio.draws,
            "fraction",
            "The rated sensible heat ratio was assumed: {}.",
            basis="assumed",
            sources=("design_rating",),
        )
    if draws.rated_fan_power.basis == "assumed":
        writer.number(
            "assumed.fan_power",
            job,
            draws.rated_fan_power.draws,
            "heat",
            "Fan power at the rated airflow was assumed, 0.40 W/cfm as in two measured units: {}.",
            basis="assumed",
        )
    typed = unit.model_fields_set
    for key in ("rated_return_dry_bulb", "rated_return_wet_bulb"):
        if key not in typed:
            value = units.parse(RATED_RETURN[key.removeprefix("rated_return_")], "temperature").value
            writer.number(
                f"assumed.{key}",
                job,
                Band(value, value, value),
                "temperature",
                f"The {key.replace('_', ' ')} was assumed: {{}}.",
                basis="assumed",
                sources=("design_rating",),
            )
    if len(draws.job.circuit) > 1:
        _assumed_circuits(writer)


def _assumed_circuits(writer: _Writer) -> None:
    job = writer.draws.job
    if job.unit.circuiting in (None, "unknown"):
        writer.verdict(
            "assumed.circuiting",
            Where(),
            "unknown",
            "How the circuits lie in the coil is not known: every kind was taken as equally likely.",
            basis="assumed",
        )
    if any(circuit.capacity_share is None for circuit in job.circuit.values()):
        writer.verdict(
            "assumed.capacity_share",
            Where(),
            "equal",
            "The circuits were taken to share the capacity equally.",
            basis="assumed",
        )


def _air(writer: _Writer, result: ConditionResult) -> None:
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


def _stream(writer: _Writer, where: Where, name: str, stream: AirStream) -> None:
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
            basis="computed",
            sources=("ashrae_moist_air",),
            inputs=inputs,
        )


def _airflow(writer: _Writer, result: ConditionResult) -> None:
    flow, where = result.airflow, result.where
    if flow is None:
        writer.verdict(
            "airflow.reconciled", where, "no airflow", "The fan stands still: no airflow.", basis="measured"
        )
        return
    for method in flow.methods:
        source = ("full_speed_airflow", "fan_laws") if method.name == "fan_law" else ()
        writer.number(
            f"airflow.{method.name}",
            where,
            method.flow,
            "airflow",
            f"Airflow {{}}, {method.note}.",
            basis=method.basis,
            sources=source,
        )
    sentence = f"Airflow {{}} at the return state, {flow.note}."
    for name, sigmas in flow.disagreeing:
        sentence += f" The method {name.replace('_', ' ')} disagrees by {sigmas:.1f} of its own sigmas and was left for the reader."
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


def _duty(writer: _Writer, result: ConditionResult) -> None:
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
    writer.number(
        "capacity.sensible",
        where,
        duty.sensible,
        "heat",
        f"Sensible capacity {{}} (supply read {place}).",
        inputs=inputs,
        **common,
    )
    if duty.total is None or duty.condensate is None:
        return
    humid = tuple(finding_id(f"air.{name}.humidity_ratio", where) for name in ("return", "supply"))
    writer.number(
        "capacity.total",
        where,
        duty.total,
        "heat",
        f"Total capacity {{}} (supply read {place}).",
        inputs=inputs + humid,
        **common,
    )
    sentence = "Condensate {} by the drop in humidity."
    if duty.dry:
        sentence = "The coil is dry within the readings' band: condensate {}."
    writer.number(
        "condensate.rate", where, duty.condensate, "water_flow", sentence, inputs=inputs + humid, **common
    )


def _circuits(writer: _Writer, result: ConditionResult) -> None:
    for name, state in result.circuits.items():
        where, label = state.where, f"Circuit {name}: "
        rows: tuple[tuple[str, np.ndarray | None, str], ...] = (
            (
                "circuit.suction_saturation",
                state.suction_saturation,
                f"suction saturation (dew) {{}} at the {state.suction_measured_at}",
            ),
            (
                "circuit.liquid_saturation",
                state.liquid_saturation,
                "liquid saturation (bubble) {}" + _estimated(state),
            ),
            (
                "circuit.condensing_saturation",
                state.condensing_saturation,
                f"condensing saturation {{}}, {state.condensing_from}",
            ),
        )
        for key, column, sentence in rows:
            if column is not None:
                writer.number(
                    key,
                    where,
                    column,
                    "temperature",
                    f"{label}{sentence}.",
                    basis="computed" if "taken as" not in sentence else "assumed",
                    sources=("reference_equations",),
                )
        _differences(writer, state, label)


def _estimated(state: CircuitState) -> str:
    return f", {state.subcooling.note}" if state.subcooling is not None and state.subcooling.note else ""


def _differences(writer: _Writer, state: CircuitState, label: str) -> None:
    where = state.where
    for key, datum in (("subcooling", state.subcooling), ("superheat", state.superheat)):
        if datum is None:
            continue
        saturation = "liquid_saturation" if key == "subcooling" else "suction_saturation"
        note = f", {datum.note}" if datum.note else ""
        writer.number(
            f"circuit.{key}",
            where,
            datum.draws,
            "temperature_difference",
            f"{label}{key} {{}}{note}.",
            basis="assumed" if datum.basis == "assumed" else "computed",
            sources=("reference_equations",),
            inputs=(finding_id(f"circuit.{saturation}", where),),
        )
    if state.chart_offset is not None:
        writer.number(
            "circuit.chart_offset",
            where,
            state.chart_offset,
            "temperature_difference",
            f"{label}the liquid is {{}} warmer than the unit's chart at its pressure (positive = short of charge); {state.chart_note}.",
            sources=("nameplate", "reference_equations"),
        )


_EVIDENCE = {
    "no subcooling": "no subcooling at the liquid reading: the sign of a short circuit",
    "floodback": "floodback: no superheat, liquid may reach the compressor; confirm by a discharge superheat below 20 to 25 °F or a cold, frosted compressor",
    "floodback not excluded": "floodback not excluded: the superheat's band reaches zero; confirm by discharge superheat or by feeling for a cold compressor",
    "suction below freezing": "suction below freezing: read promptly, then stop, or the coil ices up under the readings",
}


def _charges(writer: _Writer, result: ConditionResult) -> None:
    for name, charge in result.charges.items():
        where = charge.state.where
        basis = charge.state.subcooling.basis if charge.state.subcooling else "computed"
        severity = {"low": "act", "high": "act", "cannot tell": "watch"}.get(charge.verdict, "note")
        if any(e.startswith(("floodback", "suction")) for e in charge.evidence):
            severity = "act"
        inputs = tuple(
            f.id
            for f in writer.found
            if (f.visit, f.condition, f.circuit) == (where.visit, where.condition, name)
        )
        writer.verdict(
            "circuit.charge",
            where,
            charge.verdict,
            _charge_statement(writer, name, charge),
            basis="assumed" if basis == "assumed" else "computed",
            sources=("title24_charge",),
            severity=severity,
            inputs=inputs,
        )


def _charge_statement(writer: _Writer, name: str, charge: CircuitCharge) -> str:
    verdict = "low or restricted" if charge.verdict == "low" else charge.verdict
    parts = [f"Circuit {name}: charge {verdict}, {charge.reason}"]
    if charge.verdict == "cannot tell" and charge.settle:
        parts.append(f"next: {charge.settle}")
    parts += [_EVIDENCE[e] for e in charge.evidence]
    if charge.provisos:
        parts.append("holds " + ", ".join(charge.provisos))
    if charge.verdict == "as charted" and writer.draws.job.circuit[name].leak.model_fields_set:
        parts.append("this circuit has a known leak: not low yet, it will be")
    return "; ".join(parts) + "."


def _contrast(writer: _Writer, result: ConditionResult) -> None:
    found = result.contrast
    if found is None:
        return
    where = Where(result.where.visit, result.where.condition, found.suspect)
    if found.suspect is None:
        statement = f"Between the circuits: {found.text}, {found.reason}."
    else:
        told = [f"{name} {writer.kelvin(column[0])}" for name, column in found.differences]
        statement = (
            f"Circuit {found.suspect} stands out against circuit {found.against}, which shares its air and weather: "
            f"{found.reason} ({'; '.join(told)} apart). The pattern of: {found.text}."
        )
        if found.text == "restriction":
            statement += (
                " A starved valve looks the same; a temperature drop across the drier tells them apart."
            )
    if found.provisos:
        statement += f" Not known: {', '.join(found.provisos)}."
    inputs = tuple(finding_id("circuit.charge", result.where.at(name)) for name in result.charges)
    writer.verdict(
        "circuit.contrast",
        where,
        found.text,
        statement,
        sources=("residual_signs",),
        severity="act" if found.suspect else "note",
        inputs=inputs,
    )


def _freeze(writer: _Writer, result: ConditionResult) -> None:
    risk, where = result.freeze, result.where
    if risk is None:
        return
    for name, column in risk.suction.items():
        writer.number(
            "coil.suction_saturation",
            where.at(name),
            column,
            "temperature",
            f"Circuit {name}: suction saturation at the coil {{}}.",
            sources=("suction_line",),
            inputs=(finding_id("circuit.suction_saturation", where.at(name)),),
        )
    suction = tuple(finding_id("coil.suction_saturation", where.at(name)) for name in risk.suction)
    basis = "computed" if writer.draws.rated_suction_saturation.basis != "assumed" else "assumed"
    if risk.coldest is not None:
        sentence = f"Coldest metal of the coil {{}} (tube wall of circuit {risk.coldest_circuit}, at the slowest air)."
        if risk.refused > MASKED_WORTH_SAYING:
            sentence += f" {100 * risk.refused:.0f} % of the assumed ratings fit no coil and were left out."
        writer.number(
            "coil.coldest_surface",
            where,
            risk.coldest,
            "temperature",
            sentence,
            mask=np.isfinite(risk.coldest),
            basis=basis,
            sources=("coil_march",),
            inputs=(*suction, finding_id("airflow.reconciled", where)),
        )
    coldest = () if risk.coldest is None else (finding_id("coil.coldest_surface", where),)
    _probability(
        writer, result, "fin", "the coldest metal of the coil", risk.fin, basis, (*coldest, *suction)
    )
    _probability(
        writer, result, "suction", "the suction saturation", risk.suction_probability, "computed", suction
    )


def _probability(
    writer: _Writer,
    result: ConditionResult,
    criterion: str,
    what: str,
    chance: Band,
    basis: str,
    inputs: tuple[str, ...],
) -> None:
    risk, where = result.freeze, result.where
    key = f"freeze.probability.{criterion}"
    if risk is None or not chance.known:
        open_readings = [m for m in risk.missing if criterion == "fin" or "suction" in m] if risk else []
        reason = f"read {', '.join(open_readings)}" if open_readings else (risk.reason if risk else "")
        alone = _alone(risk.suction) if risk and criterion == "suction" and risk.suction else ""
        writer.verdict(
            key,
            where,
            "cannot tell",
            f"Whether {what} lies below freezing: cannot tell; {reason}.{alone}",
            severity="watch",
            inputs=inputs,
        )
        return
    severity = "act" if chance.value >= 0.5 else "watch" if chance.value >= 0.05 else "note"
    unknown = " The rated suction saturation is not known." if basis == "assumed" else ""
    writer.number(
        key,
        where,
        chance,
        "fraction",
        f"Probability that {what} lies below freezing in this condition: {{}}, the band of the sampling alone.{unknown}",
        basis=basis,
        sources=("coil_march",) if criterion == "fin" else ("reference_equations",),
        severity=severity,
        inputs=inputs,
    )


def _alone(suction: dict[str, np.ndarray]) -> str:
    told = [
        f" Circuit {name} alone: {100 * share(column < 273.15, np.isfinite(column)).value:.0f} %."
        for name, column in suction.items()
    ]
    return "".join(told)


def _staging(writer: _Writer, result: ConditionResult) -> None:
    fault = result.staging
    if fault is None:
        return
    ratio = result.airflow.speed_ratio if result.airflow else None
    percent = f" ({100 * ratio.draws[0]:.0f} % of full speed)" if ratio else ""
    if fault.text == "cooling without fan":
        statement = f"Cooling is on and the fan shows {fault.found}: cooling without fan. Stop the compressors before the coil ices up or liquid returns."
    else:
        statement = f"Stage {fault.stage} is on and the fan shows {fault.found}{percent} where {fault.expected} belongs: fan low with the second stage."
    severity = "stop" if fault.text == "cooling without fan" else "act"
    writer.verdict(
        "staging.fault",
        result.where,
        fault.text,
        statement,
        basis="measured",
        sources=("controls",),
        severity=severity,
    )
