"""Findings on what runs and what was seen: idle compressors, ice, missing air, high condensing."""

from hvaccalc.diagnosis.calls.measures import doubts
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller


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


def idle(writer: Writer, result: ConditionResult) -> None:
    """Compressors that are called and stand."""
    for name, proof in result.idle.items():
        writer.verdict(
            "circuit.compressor",
            result.where.at(name),
            "called, not running",
            f"Circuit {name} is called and its compressor stands ({proof.how}): find out which control or "
            "protection holds it off, and never bridge one.",
            basis="measured",
            sources=("controls",),
            severity=result.idle_severity,
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
        "filters, coil face, belt, dampers or duct hold it back.",
        sources=("full_speed_airflow",),
        severity=result.air_severity,
        inputs=(finding_id("airflow.reconciled", result.where),),
    )


def condensing(writer: Writer, result: ConditionResult) -> None:
    """Condensing saturation above the outdoor air."""
    for name, state in result.circuits.items():
        over = state.over_outdoor
        if over is None:
            continue
        sentence = f"Circuit {name}: condensing {{}} above the outdoor air."
        if name in result.condenses_high:
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
