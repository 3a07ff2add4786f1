"""Findings on what runs and on the coil: idle compressors, staging, missing air, condensing, ice, frost."""

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.call import highest
from hvaccalc.diagnosis.air.freeze import FreezeRisk
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.calls.measures import doubts
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.compressors import Against
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.readings.signs import may_hold_air, sightings
from hvaccalc.ensemble import Band, share
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.findings.finding import IMPOSSIBLE, Writer, finding_id
from hvaccalc.findings.wiring import JOB, fault_sentence
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.statements import HARDLY
from hvaccalc.words.charge import FEED_OFF, PLATE, PUMPS, STOP_UNCALLED
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller
from hvaccalc.words.water import SEEN


def recorded_work(writer: Writer) -> None:
    """Recorded measures that must not stand."""
    to = teller(Reader.FILE, writer.display)
    for doubt in doubts(writer.draws.job):
        writer.verdict(
            f"work.{doubt.text.name.lower()}",
            Where(doubt.visit),
            doubt.text,
            f"Work noted on visit {doubt.visit}. {to.tell(doubt.text)}",
            basis="measured",
            severity=doubt.text.severity,
        )


def seen_wrong(writer: Writer) -> None:
    """What was seen wrong, whatever the readings say."""
    for one in sightings(writer.draws):
        writer.verdict(
            f"signs.{one.seen.value.replace(': ', '.').replace(' ', '_')}",
            one.where,
            one.seen,
            SEEN[one.seen].file,
            basis="measured",
            severity=one.severity,
        )


def idle(writer: Writer, result: ConditionResult) -> None:
    """Compressors that are called and stand."""
    for name, proof in result.idle.items():
        writer.verdict(
            "circuit.compressor",
            result.where.at(name),
            Against.IDLE,
            f"Circuit {name} is called and its compressor stands ({proof.how}): find out which control or "
            "protection holds it off, and never bridge one.",
            basis="measured",
            sources=("controls",),
            severity=result.idle_severity,
        )


def uncalled(writer: Writer, result: ConditionResult) -> None:
    """Compressors that run without a call."""
    for name, proof in result.uncalled.items():
        words = FEED_OFF if result.fan_at_full else STOP_UNCALLED
        writer.verdict(
            "circuit.compressor",
            result.where.at(name),
            Against.UNCALLED,
            words.file.format(circuit=name, how=proof.how),
            basis="measured",
            sources=("controls",),
            severity=result.uncalled_severity,
        )


def pumping(writer: Writer, result: ConditionResult) -> None:
    """Whether each compressor pumps, where that can be told."""
    for name, charge in result.charges.items():
        found, to = charge.pumping, writer.to
        gate = found.gate
        if found.text is Pumps.CANNOT_TELL and found.plate_share is None:
            continue
        settle = to.tell(gate.settle) if gate.settle is not None else ""
        words = PUMPS[found.text].file.format(why=to.tell(gate.why), next=settle)
        share = PLATE.file.format(share=100.0 * found.plate_share) if found.plate_share is not None else ""
        writer.verdict(
            "circuit.pumping",
            charge.state.where,
            found.text,
            f"Circuit {name}: the compressor {words}.{share}",
            sources=("residual_signs",),
            severity=found.severity,
            inputs=writer.ids_at(charge.state.where),
        )


def ice(writer: Writer, result: ConditionResult) -> None:
    """Ice that was seen outranks what is computed."""
    risk = result.freeze
    if risk is not None and risk.ice_seen:
        seen = " and ".join(risk.ice_seen)
        writer.verdict(
            "coil.ice_seen",
            result.where,
            seen,
            f"Ice was seen on {seen}: the coil froze. Readings on an iced coil are not used for its "
            "temperature; thaw it with the fan, then read again.",
            basis="measured",
            severity=risk.ice_severity,
        )


def short_of_air(writer: Writer, result: ConditionResult) -> None:
    """Air that is missing though the fan turns at full speed."""
    flow = result.airflow
    if flow is None or not result.short_of_air:
        return
    writer.verdict(
        "airflow.short",
        result.where,
        "air missing at full speed",
        f"The fan shows full speed and {100 * flow.rated_share[0]:.0f} % of the rated air was measured: "
        f"something holds it back ({', '.join(may_hold_air(writer.draws, result.where))}).",
        sources=("full_speed_airflow",),
        severity=result.air_severity,
        inputs=(finding_id("airflow.reconciled", result.where),),
    )


def condensing(writer: Writer, result: ConditionResult) -> None:
    """Condenser fans that stand, and condensing saturation above the outdoor air."""
    for name, state in result.circuits.items():
        if (fans := state.fans_stand) is not None:
            count = f"{fans.running} of {fans.of}" if fans.of else f"{fans.running}"
            writer.verdict(
                "circuit.condenser_fans",
                state.where,
                f"{count} running",
                f"Circuit {name}: of its condenser fans {count} ran. That raises the head by itself: the fan "
                "comes before a dirty coil and before the charge.",
                basis="measured",
                severity=state.fans_severity,
            )
        over = state.over_outdoor
        if over is None:
            continue
        sentence = f"Circuit {name}: condensing {{}} above the outdoor air."
        if name in result.condenses_high and state.fans_stand is not None:
            sentence += " High, as with a fan that stands: the fan first, then read it again."
        elif name in result.condenses_high:
            sentence += (
                " High: a dirty or short-aired condenser, non-condensables or too much charge. Look at the "
                "condenser and compare the standing pressure with ambient before refrigerant is taken out."
            )
        writer.number(
            "circuit.condensing_over_outdoor",
            state.where,
            over,
            "temperature_difference",
            sentence,
            sources=("condenser_over_outdoor",),
            severity=result.condensing_severity(name),
            inputs=(finding_id("circuit.condensing_saturation", state.where),),
        )


NO_COIL = "of the possible ratings fit no coil and were left out"


def freeze(writer: Writer, result: ConditionResult) -> None:
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
        sentence = (
            f"Coldest metal of the coil {{}} (tube wall of circuit {risk.coldest_circuit}, at the "
            f"slowest air)."
        )
        writer.number(
            "coil.coldest_surface",
            where,
            risk.coldest,
            "temperature",
            sentence,
            left_out=NO_COIL,
            basis=basis,
            sources=("coil_march",),
            inputs=(*suction, finding_id("airflow.reconciled", where)),
        )
    coldest = () if risk.coldest is None else (finding_id("coil.coldest_surface", where),)
    _probability(
        writer, result, risk, "fin", "the coldest metal of the coil", risk.fin, basis, (*coldest, *suction)
    )
    _probability(
        writer,
        result,
        risk,
        "suction",
        "the suction saturation",
        risk.suction_probability,
        "computed",
        suction,
    )


def _probability(
    writer: Writer,
    result: ConditionResult,
    risk: FreezeRisk,
    criterion: str,
    what: str,
    chance: Band,
    basis: str,
    inputs: tuple[str, ...],
) -> None:
    where = result.where
    key = f"freeze.probability.{criterion}"
    severity = risk.fin_severity if criterion == "fin" else risk.suction_severity
    if not chance.known:
        lacking = risk.missing if criterion == "fin" else risk.suction_missing
        reason = f"read {', '.join(lacking)}" if lacking else risk.reason
        alone = _alone(risk.suction) if criterion == "suction" else ""
        writer.verdict(
            key,
            where,
            "cannot tell",
            f"Whether {what} lies below freezing: cannot tell; {reason}.{alone}",
            severity=severity,
            inputs=inputs,
        )
        return
    unknown = " The rated suction saturation is not known." if basis == "assumed" else ""
    air = result.air.entering
    wet = " and below the dew point of the air" if air is not None and air.humid else ""
    dry = ""
    if criterion == "fin" and risk.metal.value - chance.value > HARDLY:
        dry = f" Metal below freezing, with frost or without: {100 * risk.metal.value:.0f} %."
    free = " No frost was seen after this run, which lowers it." if risk.seen_free else ""
    writer.number(
        key,
        where,
        chance,
        "probability",
        f"Probability that {what} lies below freezing{wet} in this condition: {{}}, from "
        f"{writer.draws.ensemble.size} draws.{dry}{free}{unknown}",
        left_out=NO_COIL if criterion == "fin" else IMPOSSIBLE,
        basis=basis,
        sources=("coil_march",) if criterion == "fin" else ("reference_equations",),
        severity=severity,
        inputs=inputs,
    )


def _alone(suction: dict[str, Array]) -> str:
    told = [
        f" Circuit {name} alone: {100 * share(column < FREEZING_POINT, np.isfinite(column)).value:.0f} %."
        for name, column in suction.items()
    ]
    return "".join(told)


def staging(writer: Writer, result: ConditionResult, calls: CallWiring | None = None) -> None:
    """The fan as read against the calls, and whether the wiring explains it."""
    fault = result.staging
    if fault is None:
        return
    ratio = result.airflow.speed_ratio if result.airflow else None
    percent = f" ({100 * ratio.draws[0]:.0f} % of full speed)" if ratio else ""
    if fault.text is Mismatch.HEATING_WITHOUT_FAN:
        statement = (
            f"The heat pump heats and the fan shows {fault.found}: heating without fan. Stop the "
            "compressors: their heat goes nowhere and the head pressure climbs."
        )
    elif fault.text is Mismatch.COOLING_WITHOUT_FAN:
        statement = (
            f"Cooling is on and the fan shows {fault.found}: cooling without fan. Stop the "
            "compressors before "
            "the coil ices up or liquid returns."
        )
    elif fault.text is Mismatch.FAN_LOW_WHILE_HEATING:
        statement = (
            f"The heat pump heats and the fan shows {fault.found}{percent} where {fault.expected} belongs: "
            "fan low while heating. That raises the head: a likely contributor to a trip on high pressure. "
            "Read the head and the cut-out's setting; a high head with a low fan is no proof of overcharge."
        )
    else:
        statement = (
            f"Stage {fault.stage} is on and the fan shows {fault.found}{percent} where {fault.expected} "
            "belongs: fan low with the second stage."
        )
    explained = _explanation(writer, result, calls)
    writer.verdict(
        "staging.fault",
        result.where,
        fault.text,
        statement + (f" The wiring explains it: {explained}" if explained else ""),
        basis="measured",
        sources=("controls",),
        severity=fault.severity,
        inputs=_wiring_ids(writer) if explained else (),
    )


def _wiring_ids(writer: Writer) -> tuple[str, ...]:
    """What the wiring says of itself: its fault, or the measure that stands in for it."""
    wanted = [finding_id(f"staging.{key}", JOB) for key in ("fault", "measure")]
    return tuple(one for one in writer.ids_at(JOB) if one in wanted)


def _explanation(writer: Writer, result: ConditionResult, calls: CallWiring | None) -> str:
    """Faults of the wiring that give the same fault at the same call; empty where none does."""
    called = highest(writer.draws.condition(result.where).calls or ())
    if calls is None or result.staging is None:
        return ""
    given = {(one.name, one.call) for one in calls.found_combinations}
    if (result.staging.text, called) not in given:
        return ""
    return " ".join(fault_sentence(fault) for fault in calls.faults if called in fault.calls)
