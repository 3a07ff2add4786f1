"""Findings on the charge: verdicts, their rule, lines, standing pressure, columns, split, faults that fit."""

from collections.abc import Sequence

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.charge.charge_rules import charge_rule
from hvaccalc.diagnosis.charge.charge_target import Method, Yardstick
from hvaccalc.diagnosis.charge.charge_verdict import CircuitCharge
from hvaccalc.diagnosis.charge.temperature_split import SplitScreen
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict, Evidence
from hvaccalc.diagnosis.circuits.circuit_readings import ODD_LINE, oddities
from hvaccalc.diagnosis.circuits.circuit_state import CircuitState, LineEffects
from hvaccalc.diagnosis.circuits.standing_pressure import Standing
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.circuit_screening import ColumnCheck, Reading
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.confusion import ChargeEvidence, Confusion, Fit
from hvaccalc.ensemble import band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.statements import MOST
from hvaccalc.words.charge import BUBBLES_OF_A_SHORT_CHARGE, EVIDENCE, RESTS
from hvaccalc.words.charge_reasons import AFTER_REST
from hvaccalc.words.said import Teller, capital

SCOPE = (
    "It is written for dwellings and serves here as a yardstick; editions after 2013 are not held, and the "
    "unit's own label and chart come before it."
)
LEANING = "suction saturation leans low within its band, and nothing shows the airflow"


def charge(writer: Writer, results: Sequence[ConditionResult], evidence: ChargeEvidence | None) -> None:
    """All but the verdicts, which stand with their condition."""
    _odd_lines(writer)
    if any(result.charges for result in results):
        _rule(writer)
    for result in results:
        for name, state in result.circuits.items():
            if state.lines is not None:
                _lines(writer, name, state, state.lines)
    if evidence is None:
        return
    for stands in evidence.standing.values():
        _standing(writer, stands)
    for check in evidence.columns.values():
        _columns(writer, check)
    for screen in evidence.split.values():
        _split(writer, screen)
    for fits in evidence.confusion.values():
        _confusion(writer, fits)


_LEAK = "A leak is known, which goes with it."


def charges(writer: Writer, result: ConditionResult) -> None:
    for name, charge in result.charges.items():
        where = charge.state.where
        basis = charge.state.subcooling.basis if charge.state.subcooling else "computed"
        inputs = writer.ids_at(where)
        writer.verdict(
            "circuit.charge",
            where,
            charge.verdict,
            _charge_statement(writer, name, charge),
            basis="assumed" if basis == "assumed" else "computed",
            sources=(
                *charge.told.row.sources,
                *(("superheat_table",) if charge.held.name is Yardstick.TABLE else ()),
            ),
            severity=charge.severity,
            inputs=inputs,
        )


_TOLD_WITH_THE_VERDICT = (Evidence.NO_PRESSURE_DIFFERENCE, Evidence.SUCTION_BELOW_FREEZING)
_BUBBLES = (Evidence.BUBBLES, Evidence.BUBBLES_BESIDE_THE_VERDICT)


def _charge_statement(writer: Writer, name: str, charge: CircuitCharge) -> str:
    to, why = writer.to, writer.to.tell(charge.reason)
    if charge.verdict is ChargeVerdict.CANNOT_TELL:
        sentences = [f"Circuit {name}, charge: cannot tell; {why}."]
        sentences += [f"Next: {to.tell(charge.settle)}."] if charge.settle else []
    else:
        provisos = "".join(f", {to.tell(proviso)}" for proviso in charge.provisos)
        sentences = [f"Circuit {name}, charge: {charge.told}{provisos}; {why}."]
    # Floodback is told once, with the superheat.
    sentences += [f"{e.capitalize()}." for e in charge.evidence if e is Evidence.NO_SUBCOOLING]
    sentences += [EVIDENCE[e].file for e in _TOLD_WITH_THE_VERDICT if e in charge.evidence]
    leak = writer.draws.job.circuit[name].leak
    sentences += [_LEAK] if charge.told is ChargeVerdict.LOW and leak.given else []
    sentences += [_bubbles(charge, e) for e in charge.evidence if e in _BUBBLES]
    if charge.rule is not None and Evidence.SUPERHEAT_OUT_OF_RANGE in charge.evidence:
        valve = units.limits_text(*charge.rule.tolerances.valve, "temperature_difference", writer.display)
        sentences.append(EVIDENCE[Evidence.SUPERHEAT_OUT_OF_RANGE].file.format(valve=valve))
    if charge.held.method is Method.SUPERHEAT and charge.held.note and charge.verdict.row.settled:
        sentences.append(f"{capital(to.tell(charge.held.note))}.")
    if charge.verdict is ChargeVerdict.AS_CHARTED and leak.model_fields_set:
        sentences.append("This circuit has a known leak: not low yet, it will be.")
    return " ".join(sentences)


def _bubbles(charge: CircuitCharge, evidence: Evidence) -> str:
    """Bubbles in the glass; beside a circuit that is short, what tells them from a restriction's."""
    low = evidence is Evidence.BUBBLES and charge.told is ChargeVerdict.LOW
    return BUBBLES_OF_A_SHORT_CHARGE.file if low else EVIDENCE[evidence].file


def _rule(writer: Writer) -> None:
    rule = charge_rule(writer.draws.job)
    tolerances = rule.tolerances
    shown = ", ".join(
        f"{method} ± {writer.kelvin(getattr(tolerances, method))}"
        f"{' (from memory)' if tolerances.standing[method] == 'memory' else ''}"
        for method in ("subcooling", "superheat", "split")
    )
    chosen = f" {rule.notice[0].upper()}{rule.notice[1:]}." if rule.notice else ""
    writer.verdict(
        "circuit.charge_rule",
        Where(),
        f"{rule.edition.name}, {rule.role}",
        f"Charge is judged by {rule.edition.title}, {rule.role}: {shown} about the target. Weighing in: "
        f"{rule.edition.weigh_in}. {SCOPE}{chosen}",
        basis="assumed" if rule.notice else "nameplate",
        sources=("title24_charge",),
    )


def _odd_lines(writer: Writer) -> None:
    for name, circuit in writer.draws.job.circuit.items():
        for key, why in oddities(circuit.lines).items():
            writer.verdict(
                "circuit.lines",
                Where(circuit=name),
                f"{key} not used",
                f"Circuit {name}, lines.{key}: {why}. That line is not reckoned with.",
                basis="nameplate",
                sources=("copper_tube", "line_limits"),
                severity=ODD_LINE,
            )


def _lines(writer: Writer, name: str, state: CircuitState, lines: LineEffects) -> None:
    where = state.where
    if lines.suction_drop is not None and lines.suction_gain is not None:
        gain = band(lines.suction_gain)
        told = f", and the gas warms by {writer.kelvin(gain.value)}" if gain.known else ""
        coil = band(lines.superheat_at_coil) if lines.superheat_at_coil is not None else None
        leaves = ""
        if coil is not None and coil.known:
            leaves = f"; superheat at the coil {writer.kelvin(coil.value)}"
        writer.number(
            "circuit.suction_line_drop",
            where,
            lines.suction_drop,
            "temperature_difference",
            f"Circuit {name}: the suction line costs {{}} of saturation{told}{leaves}.",
            sources=("line_friction", "copper_tube"),
        )
    if lines.flash_margin is not None:
        _flash(writer, name, state, lines)


def _flash(writer: Writer, name: str, state: CircuitState, lines: LineEffects) -> None:
    assert lines.flash_margin is not None
    parts = ""
    if lines.liquid_friction is not None and lines.liquid_lift is not None:
        lift = float(lines.liquid_lift[0])
        from_friction, from_lift = (
            _pressure(writer, part) for part in (float(lines.liquid_friction[0]), abs(lift))
        )
        column = "takes" if lift >= 0.0 else "gives back"
        parts = f" (the liquid line takes {from_friction} by friction, and its rise {column} {from_lift})"
    if lines.flashing >= MOST:
        said = " Vapour enters the device: it starves as if short of charge, with the charge as it is."
    elif lines.flash_severity.unsettled:
        said = " Flash gas is not excluded."
    else:
        said = ""
    writer.number(
        "circuit.flash_margin",
        state.where,
        lines.flash_margin,
        "temperature_difference",
        f"Circuit {name}: margin of the liquid at the metering device to its bubble point {{}}{parts}.{said}",
        sources=("line_friction", "copper_tube"),
        severity=lines.flash_severity,
        inputs=(finding_id("circuit.subcooling", state.where),),
    )


def _pressure(writer: Writer, value: float) -> str:
    return units.value_text(value, "pressure_difference", writer.display)


def _standing(writer: Writer, found: Standing) -> None:
    name = found.where.circuit
    if found.excess is not None:
        writer.number(
            "circuit.standing_excess",
            found.where,
            found.excess,
            "temperature_difference",
            f"Circuit {name}, standing: its pressure's saturation lies {{}} above the outdoor air.",
            sources=("reference_equations", "standing_pressure"),
        )
    others = ""
    if found.off and found.fits:
        others = f" At this pressure in this air would stand: {', '.join(found.fits)}."
    settle = writer.to.fill(AFTER_REST[found.reason.code], {})
    next_step = f" Next: {settle}." if settle else ""
    writer.verdict(
        "circuit.standing_pressure",
        found.where,
        found.text,
        f"Circuit {name}, standing pressure: {RESTS[found.text].file}; "
        f"{writer.to.tell(found.reason)}.{others}{next_step}",
        sources=("standing_pressure",),
        severity=found.severity,
    )


def _columns(writer: Writer, check: ColumnCheck) -> None:
    name, told = check.where.circuit, []
    if check.wrong_edge is not None:
        edge = check.wrong_edge
        parts = []
        if np.isfinite(edge.subcooling):
            parts.append(f"the dew column would show {_degrees(writer, edge.subcooling)} of subcooling")
        if np.isfinite(edge.superheat):
            parts.append(f"the bubble column {_degrees(writer, edge.superheat)} of superheat")
        told.append(f"A gauge read by the wrong column of this blend misleads: {', '.join(parts)}.")
    if check.swapped_hoses is not None:
        told.append(f"With the hoses exchanged there would be {_both(writer, check.swapped_hoses)}.")
    if check.other_refrigerants:
        those = "; ".join(f"{one.column} {_both(writer, one)}" for one in check.other_refrigerants)
        told.append(f"By another refrigerant's column the readings would make sense: {those}.")
    if check.other_refrigerants:
        told.append("Prove what is in the circuit (label, identifier) before anything is added.")
    writer.verdict(
        "circuit.other_column",
        check.where,
        "another refrigerant" if check.other_refrigerants else "hoses" if check.swapped_hoses else "edges",
        f"Circuit {name}: {' '.join(told)}",
        sources=("reference_equations",),
        severity=check.severity,
    )


def _both(writer: Writer, reading: Reading) -> str:
    parts = [
        f"{_degrees(writer, value)} of {word}"
        for word, value in (("superheat", reading.superheat), ("subcooling", reading.subcooling))
        if np.isfinite(value)
    ]
    return " and ".join(parts)


def _degrees(writer: Writer, value: float) -> str:
    return writer.kelvin(value)


def _split(writer: Writer, screen: SplitScreen) -> None:
    inputs: tuple[str, ...] = ()
    if screen.excess is not None:
        writer.number(
            "airflow.split_excess",
            screen.where,
            screen.excess,
            "temperature_difference",
            "Drop of the air's temperature less the target temperature split: {}.",
            sources=("temperature_split",),
            left_out="of what the readings allow lies beyond the table and was left out",
        )
        inputs = (finding_id("airflow.split_excess", screen.where),)
    to = writer.to
    settle = f" Next: {to.tell(screen.settle)}." if screen.settle else ""
    writer.verdict(
        "airflow.temperature_split",
        screen.where,
        screen.text,
        f"Temperature split, a screen of the airflow by a table from memory: {screen.text}; "
        f"{to.tell(screen.reason)}.{settle}",
        basis="rule of thumb",
        sources=("temperature_split",),
        severity=screen.severity,
        inputs=inputs,
    )


def _confusion(writer: Writer, fits: Confusion) -> None:
    if fits.text == Fit.CANNOT_TELL:
        return
    name = fits.where.circuit
    writer.verdict(
        "circuit.faults_that_fit",
        fits.where,
        fits.text,
        f"Circuit {name}, faults that fit: {statement(fits, writer.to)}",
        sources=("residual_signs", "coupled_unit"),
        severity=fits.severity,
    )


def statement(fits: Confusion, to: Teller) -> str:
    """The set in words: signs, what fits, what is seen or ruled out, what would tell them apart."""
    words = {1: "high", -1: "low"}
    signs = ", ".join(f"{reading} {words[sign]}" for reading, sign in fits.signs.items() if sign)
    parts = [_no_single_fault(fits, signs).get(fits.text, f"{fits.text}{f' ({signs})' if signs else ''}.")]
    if fits.alone:
        parts = [f"{to.tell(fits.alone)}; beside it {signs or 'nothing stands out'}."]
    if others := [to.tell(seen) for seen in fits.seen if seen != fits.alone]:
        parts.append(f"Known besides: {'; '.join(others)}.")
    if fits.ruled_out:
        parts.append(f"Ruled out: {'; '.join(map(to.tell, fits.ruled_out))}.")
    if fits.next and fits.text == Fit.AMBIGUOUS:
        parts.append(f"Told apart by: {'; '.join(fits.next)}.")
    return " ".join(parts)


def _no_single_fault(fits: Confusion, signs: str) -> dict[str, str]:
    """Words where no single fault is the answer."""
    return {
        Fit.NOTHING: "no residual stands out beyond its band.",
        Fit.NO_USUAL: f"{signs}: no usual fault alone leaves this pattern; two at once, or a reading is off.",
        Fit.AMBIGUOUS: f"ambiguous ({signs or LEANING}): {', '.join(fits.faults)}.",
    }
