"""Findings on the refrigerant circuits: saturations, differences, contrast; a heat pump's head."""

import re
from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.contrast import Contrast, Suspicion
from hvaccalc.diagnosis.charge.verdicts import OF_THE_SUPERHEAT, Evidence
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.rated_unit import ORIFICE
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel, Explained, Explains, Explanation
from hvaccalc.diagnosis.unit.heating_head import HeadVerdict, HeatingHead
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.job.schema import Job
from hvaccalc.physics.refrigerant import refrigerant
from hvaccalc.practice.circuits import LOW_DISCHARGE_SUPERHEAT
from hvaccalc.practice.statements import EDGE_OF_BAND, NARROW_BAND, THERMOMETER_STEP
from hvaccalc.severity import Severity
from hvaccalc.words.charge import DISCHARGE_AT_LIMIT, EVIDENCE, LOOKS, MODELLED_FAULTS
from hvaccalc.words.said import banded


def circuits(writer: Writer, result: ConditionResult) -> None:
    for name, state in result.circuits.items():
        where, label = state.where, f"Circuit {name}: "
        rows: tuple[tuple[str, Array | None, str], ...] = (
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
        stands = compressors.stands(writer.draws, where)
        guessed = state.subcooling is not None and state.subcooling.basis == "assumed"
        for key, column, sentence in rows:
            if column is not None and not (stands and key == "circuit.condensing_saturation"):
                writer.number(
                    key,
                    where,
                    column,
                    "temperature",
                    f"{label}{sentence}.",
                    basis="assumed" if key == "circuit.liquid_saturation" and guessed else "computed",
                    sources=("reference_equations",),
                )
        if not stands:
            _differences(writer, state, label, result.charges.get(name))


def _estimated(state: CircuitState) -> str:
    return f", {state.subcooling.note}" if state.subcooling is not None and state.subcooling.note else ""


def _differences(writer: Writer, state: CircuitState, label: str, charge: CircuitCharge | None) -> None:
    where = state.where
    told = charge.evidence if charge is not None else ()
    of = {"subcooling": (Evidence.NO_SUBCOOLING,), "superheat": OF_THE_SUPERHEAT}
    severities = (
        {"subcooling": charge.subcooling_severity, "superheat": charge.superheat_severity}
        if charge is not None
        else {}
    )
    for key, datum in (("subcooling", state.subcooling), ("superheat", state.superheat)):
        if datum is None:
            continue
        read_as = "liquid_saturation" if key == "subcooling" else "suction_saturation"
        shown = key in state.shown
        note = f", {datum.note}" if datum.note else ""
        if key == "subcooling" and writer.draws.job.circuit[where.circuit].metering == ORIFICE:
            note += ", which is no measure of the charge of a fixed orifice"
        against = _AGAINST[key] if refrigerant(state.refrigerant).glide else ""
        against = " as the manifold showed it" if shown else against
        evidence = [e for e in told if e in of[key]]
        sentences = "".join(f" {_told(writer, state, e)}" for e in evidence)
        writer.number(
            f"circuit.{key}",
            where,
            datum.draws,
            "temperature_difference",
            f"{label}{key} {{}}{against}{note}.{sentences}",
            basis="assumed" if datum.basis == "assumed" else "measured" if shown else "computed",
            sources=() if shown else ("reference_equations",),
            severity=severities.get(key, Severity.NOTE),
            inputs=() if shown else (finding_id(f"circuit.{read_as}", where),),
        )
    if state.discharge_superheat is not None:
        writer.number(
            "circuit.discharge_superheat",
            where,
            state.discharge_superheat,
            "temperature_difference",
            f"{label}discharge superheat {{}}.",
            basis="computed",
            sources=("reference_equations",),
            inputs=(finding_id("circuit.condensing_saturation", where),),
        )
    if state.drier_drop is not None:
        restricted = " It is restricted: the liquid boils in it." if state.drier_restricted else ""
        writer.number(
            "circuit.drier_drop",
            where,
            state.drier_drop,
            "temperature_difference",
            f"{label}the filter-drier cools the liquid by {{}}.{restricted}",
            severity=state.drier_severity,
        )
    if state.chart_offset is not None:
        writer.number(
            "circuit.chart_offset",
            where,
            state.chart_offset,
            "temperature_difference",
            f"{label}offset from the unit's chart {{}} (liquid temperature less the chart's "
            f"at that pressure; "
            f"above zero means short of charge), {state.chart_note}.",
            sources=("nameplate", "reference_equations"),
        )


_AGAINST = {"subcooling": " below bubble", "superheat": " above dew"}
"""Said of blends with glide, where the other edge would be degrees away."""


def _apart(writer: Writer, name: str, column: Array, found: Contrast) -> str:
    """One difference as read, the same number as beside the model, with what is to be expected of it."""
    expected = found.expected.get(name, 0.0)
    read = band(column + expected)
    if not read.known:
        return f"{name} not known"
    turn = 1.0 if read.value >= 0.0 else -1.0
    low, high = sorted((turn * read.low, turn * read.high))
    text = units.band_text(turn * read.value, low, high, "temperature_difference", writer.display)
    words = f"{text} {'more' if turn > 0 else 'less'} {name}"
    if abs(expected) < THERMOMETER_STEP:
        return words
    more = "more" if expected > 0 else "less"
    return f"{words} ({writer.kelvin(abs(expected))} {more} is to be expected by their targets)"


def contrast(writer: Writer, result: ConditionResult) -> None:
    found = result.contrast
    if found is None:
        return
    where, why = result.where.at(found.suspect), writer.to.tell(found.reason)
    if not found.suspect:
        statement = f"Between the circuits: {found.text}, {why}."
    else:
        told = [_apart(writer, name, column, found) for name, column in found.differences]
        statement = (
            f"Circuit {found.suspect} stands out against circuit {found.against}, which shares its air and "
            f"weather: {', '.join(told)}. Beyond the band: {why}. {LOOKS[found.text].file}"
        )
        if found.text is Suspicion.LOW_CHARGE_OR_RESTRICTION:
            statement += " Subcooling of both circuits tells which of the two."
        if found.text is Suspicion.RESTRICTION and result.circuits[found.suspect].drier_restricted is None:
            statement += (
                " A starved valve looks the same; a temperature drop across the drier tells them apart."
            )
    if found.text is Suspicion.OVERCHARGE and topped_up(writer.draws.job):
        statement += " A top-up was reported, which goes with it."
    if found.provisos:
        statement += f" Not known: {', '.join(found.provisos)}."
    inputs = tuple(finding_id("circuit.charge", result.where.at(name)) for name in result.charges)
    writer.verdict(
        "circuit.contrast",
        where,
        found.text,
        statement,
        sources=("residual_signs",),
        severity=found.severity,
        inputs=inputs,
    )


def topped_up(job: Job) -> bool:
    """Whether refrigerant was added before, as reported or noted as work."""
    noted = any(work.kind == "added refrigerant" for visit in job.visit for work in visit.work)
    return (
        noted
        or re.search(r"topp\w* (it |them )?up|top-up", job.job.reported or "", re.IGNORECASE) is not None
    )


def _told(writer: Writer, state: CircuitState, evidence: Evidence) -> str:
    """What speaks beside a number, in display units."""
    low = units.limits_text(*LOW_DISCHARGE_SUPERHEAT, "temperature_difference", writer.display)
    shown = ""
    if state.discharge_superheat is not None and (read := band(state.discharge_superheat)).known:
        ends = (read.value, read.low, read.high)
        shown = units.band_text(*ends, "temperature_difference", writer.display)
    unsettled = shown and evidence in (Evidence.FLOODBACK, Evidence.FLOODBACK_NOT_EXCLUDED)
    text = EVIDENCE[evidence].file + (DISCHARGE_AT_LIMIT.file if unsettled else "")
    return text.format(low_superheat=low, discharge=shown)


def contrast_models(writer: Writer, models: Iterable[ContrastModel]) -> None:
    """Every modelled contrast: a verdict for each fault and circuit, then one for the pair."""
    for model in models:
        for one in model.explanations:
            _fault(writer, model, one)
        writer.verdict(
            "circuit.contrast_explained",
            model.where.at(model.suspect),
            model.verdict,
            _summary(writer, model),
            sources=("coupled_unit",),
            inputs=(finding_id("circuit.contrast", model.where.at(model.suspect)),),
        )


def difference(value: Band | None, display: str) -> str:
    """A difference of temperatures with its band; a dash where there is none."""
    if value is None or not value.known:
        return "-"
    if value.high - value.low < NARROW_BAND:
        return units.value_text(value.value + 0.0, "temperature_difference", display)
    return banded(value, "temperature_difference", display)


def _fault(writer: Writer, model: ContrastModel, one: Explanation) -> None:
    if one.differences:
        told = f"{MODELLED_FAULTS[one.fault]} would make {_modelled(writer, one.differences)}; {one.verdict}"
        against = f" (against {' and '.join(one.against)})" if one.against else ""
    else:
        told, against = f"{MODELLED_FAULTS[one.fault]} could not be solved at any size", ""
    writer.verdict(
        f"circuit.contrast_by.{one.fault.name.lower()}",
        model.where.at(one.circuit),
        one.verdict,
        f"In circuit {one.circuit} {told}{against}. Circuit {model.suspect} less circuit {model.other}, at "
        "the size that comes nearest to the readings.",
        sources=("coupled_unit",),
    )


def _modelled(writer: Writer, differences: dict[str, Band]) -> str:
    return ", ".join(f"{name} {difference(value, writer.display)}" for name, value in differences.items())


def _summary(writer: Writer, model: ContrastModel) -> str:
    if model.reason:
        return f"What a fault would set between the circuits was not modelled: {model.reason}."
    head = (
        f"By the coupled model at this condition, both circuits as rated (circuit {model.suspect} less "
        f"{model.other}; read: {_modelled(writer, model.measured)}): "
    )
    return head + " ".join([*_explaining(writer, model), *_failing(model), *_by_sign(model)])


def _explaining(writer: Writer, model: ContrastModel) -> list[str]:
    if not model.explaining:
        if model.verdict is Explained.CANNOT_TELL:
            return ["the readings are too few or too close to tell the faults apart."]
        return [
            "none of the usual faults alone explains it in size. That does not clear the fault whose signs "
            "the circuit shows: beside published tests the model makes too little of a low charge."
        ]
    sentences = []
    for one in model.explaining:
        sentence = f"{MODELLED_FAULTS[one.fault]} in circuit {one.circuit} explains it"
        sentence += f" ({_modelled(writer, one.differences)})"
        read = model.subcooling.get(one.circuit)
        if one.own_subcooling.known and read is not None:
            own = writer.kelvin(one.own_subcooling.value)
            sentence += (
                f" and would put that circuit's own subcooling at {own}, where {writer.kelvin(read.value)} "
            )
            sentence += "was read"
        sentences.append(sentence + ".")
    return [sentences[0], *(f"So far as the difference goes, {s}" for s in sentences[1:])]


def _by_sign(model: ContrastModel) -> list[str]:
    """A restriction that the model would have back up less liquid than was read."""
    return [
        f"A restriction in circuit {e.circuit} is not cleared by that: more subcooling is its sign, and the "
        "model, which keeps the liquid line full down to the metering device, makes too little of one at the "
        "line's beginning."
        for e in model.explanations
        if e.verdict is Explains.NOT_IN_SIZE
    ]


def _failing(model: ContrastModel) -> list[str]:
    """What does not explain it in the circuit that stands out."""
    failing = [
        MODELLED_FAULTS[e.fault]
        for e in model.explanations
        if e.circuit == model.suspect and e.verdict is Explains.NO
    ]
    if not failing:
        return []
    return [f"In circuit {model.suspect}, {', '.join(failing)}: {'does' if len(failing) == 1 else 'do'} not."]


SIMPLE = (
    "By the simple heating balance of the unit rated in cooling (superheat and subcooling given, no frost, "
    "no measured heating state behind it)"
)


def heating_heads(writer: Writer, found: Iterable[HeatingHead]) -> None:
    """Head, condensing and supply of every heating condition, and what a high head means there."""
    for one in found:
        _numbers(writer, one)
        _verdict(writer, one)


def _numbers(writer: Writer, one: HeatingHead) -> None:
    inputs = (finding_id("airflow.reconciled", one.where),)
    for key, value, sentence in (
        ("condensing_saturation", one.condensing, f"{SIMPLE} the heating unit condenses at {{}}."),
        ("supply_dry_bulb", one.supply, "By the same balance its supply air leaves at {}."),
        ("condensing_full_speed", one.full_condensing, "With the fan at full speed it would condense at {}."),
        ("supply_full_speed", one.full_supply, "With the fan at full speed the supply would leave at {}."),
    ):
        if value is not None and value.known:
            writer.number(
                f"heating.{key}", one.where, value, "temperature", sentence,
                sources=("coupled_unit",), inputs=inputs, left_out="of the draws have no such unit",
            )  # fmt: skip


def _verdict(writer: Writer, one: HeatingHead) -> None:
    raised = one.verdict is HeadVerdict.LOW_FAN
    if one.head.known:
        told = f"{SIMPLE}, the head stands at {_gauge(writer, one.head, one)}"
        told += f" and the supply at {banded(one.supply, 'temperature', writer.display)}"
    else:
        told = f"{SIMPLE}, no head below the critical point carries the heat away: it would trip"
    if one.read_supply is not None and one.read_supply.known:
        told += f" ({banded(one.read_supply, 'temperature', writer.display)} read{_edge(one)})"
    if one.full_head is not None and one.full_supply is not None and one.full_head.known:
        told += (
            f"; at full fan speed, with the same charge, at {_gauge(writer, one.full_head, one)} and "
            f"{banded(one.full_supply, 'temperature', writer.display)}"
        )
    told += "."
    if one.read_head is not None and one.read_head.known:
        told += f" Read: {_gauge(writer, one.read_head, one)}."
    if raised:
        told += f" {_raised(writer, one)}"
    writer.verdict(
        "heating.high_head",
        one.where,
        one.verdict,
        told,
        sources=("coupled_unit", *(("high_pressure_cut_outs",) if raised and one.cut_out else ())),
        inputs=(finding_id("heating.condensing_saturation", one.where),),
    )


def _edge(one: HeatingHead) -> str:
    """Where a supply that was read lies in the balance's band, if not well inside."""
    read, band = one.read_supply, one.supply
    if read is None or not band.known or not band.high > band.low:
        return ""
    share = (read.value - band.low) / (band.high - band.low)
    if EDGE_OF_BAND <= share <= 1.0 - EDGE_OF_BAND:
        return ""
    side = "low" if share < 0.5 else "high"
    place = f"at the {side} edge of that band" if 0.0 <= share <= 1.0 else f"{side}er than that band"
    speaks = (
        "more air or less heat, so a lower head," if side == "low" else "less air or more heat, so more head,"
    )
    return f", {place}: it speaks for {speaks} than the balance's middle"


def _raised(writer: Writer, one: HeatingHead) -> str:
    """What a head raised by the low fan means: a likely part of a trip, and no proof of overcharge."""
    read = one.read_head is not None and one.read_head.known
    parts = ["The low fan raises the head so: a likely contributor to a trip on high pressure."]
    if one.cut_out is not None:
        unit, (low, high) = _above_barometer(writer, one, one.cut_out)
        parts.append(f"Cut-outs of this refrigerant usually open at {low:.0f} to {high:.0f} {unit}.")
        if one.trips == "no":
            head = "The head that was read" if read else "By this balance the head"
            parts.append(f"{head} stays below that, so the low fan by itself does not explain a trip.")
    wanted = "the cut-out's setting" if read else "the head while it heats and the cut-out's setting"
    parts.append(
        f"Read {wanted}. A high head with a low fan is the fan's first and no proof of overcharge: take no "
        "refrigerant out, never bridge or raise the high-pressure cut-out, bring the fan to full speed and "
        "read again."
    )
    return " ".join(parts)


def _gauge(writer: Writer, value: Band, one: HeatingHead) -> str:
    """A pressure above the barometer."""
    unit, (low, middle, high) = _above_barometer(writer, one, value.low_to_high)
    return f"{middle:.0f} {unit} ({low:.0f} to {high:.0f})"


def _above_barometer(writer: Writer, one: HeatingHead, pressures: Iterable[float]) -> tuple[str, list[float]]:
    """Unit in words, and gauge pressures in it."""
    name, words = ("psig", "psig") if writer.display == "us" else ("kPag", "kPa gauge")
    return words, [float(units.to(pressure, name, "pressure", one.barometer)) for pressure in pressures]
