"""Findings of what the coupled unit makes of a contrast: each fault beside the readings, and a sentence."""

from __future__ import annotations

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.unit.contrast_model import NOT_IN_SIZE, ContrastModel, Explanation
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.statements import NARROW_BAND
from hvaccalc.words.labels import banded

FAULT_NAMES = {
    "low_charge": "low charge",
    "restriction": "a restriction",
    "starved_valve": "a starved valve",
    "overfeeding_valve": "an overfeeding valve",
    "overcharge": "an overcharge",
}


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
        told = f"{FAULT_NAMES[one.fault]} would make {_told(writer, one.differences)}; {one.verdict}"
        against = f" (against {' and '.join(one.against)})" if one.against else ""
    else:
        told, against = f"{FAULT_NAMES[one.fault]} could not be solved at any size", ""
    writer.verdict(
        f"circuit.contrast_by.{one.fault}",
        model.where.at(one.circuit),
        one.verdict,
        f"In circuit {one.circuit} {told}{against}. Circuit {model.suspect} less circuit {model.other}, at "
        "the size that comes nearest to the readings.",
        sources=("coupled_unit",),
    )


def _told(writer: Writer, differences: dict[str, Band]) -> str:
    return ", ".join(f"{name} {difference(value, writer.display)}" for name, value in differences.items())


def _summary(writer: Writer, model: ContrastModel) -> str:
    if model.reason:
        return f"What a fault would set between the circuits was not modelled: {model.reason}."
    head = (
        f"By the coupled model at this condition, both circuits as rated (circuit {model.suspect} less "
        f"{model.other}; read: {_told(writer, model.measured)}): "
    )
    return head + " ".join([*_explaining(writer, model), *_failing(model), *_by_sign(model)])


def _explaining(writer: Writer, model: ContrastModel) -> list[str]:
    if not model.explaining:
        if model.verdict == "cannot tell":
            return ["the readings are too few or too close to tell the faults apart."]
        return [
            "none of the usual faults alone explains it in size. That does not clear the fault whose signs "
            "the circuit shows: beside published tests the model makes too little of a low charge."
        ]
    sentences = []
    for one in model.explaining:
        sentence = f"{FAULT_NAMES[one.fault]} in circuit {one.circuit} explains it"
        sentence += f" ({_told(writer, one.differences)})"
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
        if e.verdict == NOT_IN_SIZE
    ]


def _failing(model: ContrastModel) -> list[str]:
    """What does not explain it in the circuit that stands out."""
    failing = [
        FAULT_NAMES[e.fault]
        for e in model.explanations
        if e.circuit == model.suspect and e.verdict == "does not"
    ]
    if not failing:
        return []
    return [f"In circuit {model.suspect}, {', '.join(failing)}: {'does' if len(failing) == 1 else 'do'} not."]
