"""Findings on the refrigerant circuits: saturations, charge, contrast."""

from __future__ import annotations

import re

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.charge.charge_target import TABLE
from hvaccalc.diagnosis.charge.charge_verdict import (
    FLOODBACK_CONFIRMED,
    FLOODBACK_NOT_CONFIRMED,
    CircuitCharge,
)
from hvaccalc.diagnosis.charge.contrast import Contrast
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.readings.limit_text import limits
from hvaccalc.ensemble import band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.job.schema import Job
from hvaccalc.physics.refrigerant import refrigerant
from hvaccalc.practice.charge import LOW_DISCHARGE_SUPERHEAT
from hvaccalc.practice.statements import THERMOMETER_STEP
from hvaccalc.severity import Severity


def circuits(writer: Writer, result: ConditionResult) -> None:
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
        stands = compressors.stands(writer.draws, where)
        for key, column, sentence in rows:
            if column is not None and not (stands and key == "circuit.condensing_saturation"):
                writer.number(
                    key,
                    where,
                    column,
                    "temperature",
                    f"{label}{sentence}.",
                    basis="computed" if "taken as" not in sentence else "assumed",
                    sources=("reference_equations",),
                )
        if not stands:
            _differences(writer, state, label, result.charges.get(name))


def _estimated(state: CircuitState) -> str:
    return f", {state.subcooling.note}" if state.subcooling is not None and state.subcooling.note else ""


def _differences(writer: Writer, state: CircuitState, label: str, charge: CircuitCharge | None) -> None:
    where = state.where
    told = [e for e in charge.evidence if e in _EVIDENCE] if charge is not None else []
    for key, datum in (("subcooling", state.subcooling), ("superheat", state.superheat)):
        if datum is None:
            continue
        saturation = "liquid_saturation" if key == "subcooling" else "suction_saturation"
        note = f", {datum.note}" if datum.note else ""
        against = _AGAINST[key] if refrigerant(state.refrigerant).glide else ""
        evidence = [e for e in told if e in _EVIDENCE_OF[key]]
        sentences = "".join(f" {_told(writer, state, e)}" for e in evidence)
        watched = FLOODBACK_NOT_CONFIRMED in evidence
        writer.number(
            f"circuit.{key}",
            where,
            datum.draws,
            "temperature_difference",
            f"{label}{key} {{}}{against}{note}.{sentences}",
            basis="assumed" if datum.basis == "assumed" else "computed",
            sources=("reference_equations",),
            severity=Severity.WATCH if watched else Severity.ACT if evidence else Severity.NOTE,
            inputs=(finding_id(f"circuit.{saturation}", where),),
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

_EVIDENCE = {
    "no subcooling": "No subcooling at the liquid reading: the sign of a short circuit.",
    "floodback": (
        "Floodback: no superheat, liquid may reach the compressor; confirm by a discharge superheat below "
        "{low_superheat} or a cold, frosted compressor."
    ),
    "floodback not excluded": (
        "Floodback not excluded: the band reaches zero; confirm by a discharge superheat below "
        "{low_superheat} or a cold, frosted compressor."
    ),
    FLOODBACK_CONFIRMED: (
        "Floodback: liquid comes back to the compressor; the discharge superheat of {discharge} lies below "
        "{low_superheat} and confirms it."
    ),
    FLOODBACK_NOT_CONFIRMED: (
        "Superheat is nil within its band; the discharge superheat of {discharge}, above {low_superheat}, "
        "does not confirm floodback."
    ),
}
_AT_LIMIT = " It was read as {discharge}, which lies at that limit: read it again."

_BUBBLES = {
    "bubbles": "The sight glass shows bubbles.",
    "bubbles beside the verdict": (
        "The sight glass shows bubbles all the same: flash gas on the line, a restriction before the glass, "
        "or a reading that is off."
    ),
}
_LEAK = "A leak is known, which goes with it."
_BUBBLES_LOW = (
    "The sight glass shows bubbles, which goes with it; a restriction before the glass makes bubbles too, "
    "but with liquid to spare at the condenser."
)

_OUT_OF_RANGE = (
    "The valve does not keep its superheat within {valve}: check its bulb and what arrives at its inlet."
)

_STANDING = "No pressure difference: the compressor stands, or does not pump."
_EVIDENCE_OF = {
    "subcooling": ("no subcooling",),
    "superheat": ("floodback", "floodback not excluded", FLOODBACK_CONFIRMED, FLOODBACK_NOT_CONFIRMED),
}
_FROZEN = "Suction below freezing: read promptly, then stop, or the coil ices up under the readings."


def charges(writer: Writer, result: ConditionResult) -> None:
    for name, charge in result.charges.items():
        where = charge.state.where
        basis = charge.state.subcooling.basis if charge.state.subcooling else "computed"
        severity = {"low": Severity.ACT, "high": Severity.ACT, "cannot tell": Severity.WATCH}.get(
            charge.verdict, Severity.NOTE
        )
        if "suction below freezing" in charge.evidence:
            severity = Severity.ACT
        inputs = writer.ids_at(where)
        writer.verdict(
            "circuit.charge",
            where,
            charge.verdict,
            _charge_statement(writer, name, charge),
            basis="assumed" if basis == "assumed" else "computed",
            sources=("title24_charge", *(("superheat_table",) if charge.target == TABLE else ())),
            severity=severity,
            inputs=inputs,
        )


def _charge_statement(writer: Writer, name: str, charge: CircuitCharge) -> str:
    if charge.verdict == "cannot tell":
        sentences = [f"Circuit {name}, charge: cannot tell; {charge.reason}."]
        sentences += [f"Next: {charge.settle}."] if charge.settle else []
    else:
        verdict = charge.word
        provisos = f", {', '.join(charge.provisos)}" if charge.provisos else ""
        sentences = [f"Circuit {name}, charge: {verdict}{provisos}; {charge.reason}."]
    # Floodback is told once, with the superheat.
    sentences += [f"{e.capitalize()}." for e in charge.evidence if e in _EVIDENCE_OF["subcooling"]]
    sentences += [_STANDING] if "no pressure difference" in charge.evidence else []
    sentences += [_FROZEN] if "suction below freezing" in charge.evidence else []
    sentences += [_LEAK] if charge.word == "low" and writer.draws.job.circuit[name].leak.given else []
    sentences += [_bubbles(charge, e) for e in charge.evidence if e in _BUBBLES]
    if charge.rule is not None and "superheat out of range" in charge.evidence:
        valve = limits(*charge.rule.tolerances.valve, "temperature_difference", writer.display)
        sentences.append(_OUT_OF_RANGE.format(valve=valve))
    if charge.held.method == "superheat" and charge.held.note and charge.verdict != "cannot tell":
        sentences.append(f"{charge.held.note[0].upper()}{charge.held.note[1:]}.")
    if charge.verdict == "as charted" and writer.draws.job.circuit[name].leak.model_fields_set:
        sentences.append("This circuit has a known leak: not low yet, it will be.")
    return " ".join(sentences)


def _bubbles(charge: CircuitCharge, evidence: str) -> str:
    """Bubbles in the glass; beside a circuit that is short, what tells them from a restriction's."""
    return _BUBBLES_LOW if evidence == "bubbles" and charge.word == "low" else _BUBBLES[evidence]


def _apart(writer: Writer, name: str, column: np.ndarray, found: Contrast) -> str:
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


LOOKS = {
    "short of charge": "It looks short of charge.",
    "short of charge or restriction": "It looks short of charge or restricted.",
    "restriction": "It looks restricted.",
    "overfeeding valve": "Its valve looks to overfeed.",
    "overfed": "It looks overfed: more refrigerant reaches its coil than boils off there.",
    "overcharged": "It looks overcharged.",
}


def contrast(writer: Writer, result: ConditionResult) -> None:
    found = result.contrast
    if found is None:
        return
    where = Where(result.where.visit, result.where.condition, found.suspect)
    if not found.suspect:
        statement = f"Between the circuits: {found.text}, {found.reason}."
    else:
        told = [_apart(writer, name, column, found) for name, column in found.differences]
        statement = (
            f"Circuit {found.suspect} stands out against circuit {found.against}, which shares its air and "
            f"weather: {', '.join(told)}. Beyond the band: {found.reason}. {LOOKS[found.text]}"
        )
        if found.text == "short of charge or restriction":
            statement += " Subcooling of both circuits tells which of the two."
        if found.text == "restriction":
            statement += (
                " A starved valve looks the same; a temperature drop across the drier tells them apart."
            )
    if found.text == "overcharged" and topped_up(writer.draws.job):
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
        severity=Severity.ACT if found.suspect else Severity.NOTE,
        inputs=inputs,
    )


def topped_up(job: Job) -> bool:
    """Whether refrigerant was added before, as reported or noted as work."""
    noted = any(work.kind == "added refrigerant" for visit in job.visit for work in visit.work)
    return (
        noted
        or re.search(r"topp\w* (it |them )?up|top-up", job.job.reported or "", re.IGNORECASE) is not None
    )


def _told(writer: Writer, state: CircuitState, evidence: str) -> str:
    """What speaks beside a number, in display units."""
    low = limits(*LOW_DISCHARGE_SUPERHEAT, "temperature_difference", writer.display)
    shown = ""
    if state.discharge_superheat is not None and (read := band(state.discharge_superheat)).known:
        ends = (read.value, read.low, read.high)
        shown = units.band_text(*ends, "temperature_difference", writer.display)
    unsettled = shown and evidence in ("floodback", "floodback not excluded")
    text = _EVIDENCE[evidence] + (_AT_LIMIT if unsettled else "")
    return text.format(low_superheat=low, discharge=shown)
