"""What a reader should know of how the job was taken: unusual values, contradictions, gaps."""

from __future__ import annotations

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.circuits.line_set import oddities
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.fan_screening import traverse_note
from hvaccalc.diagnosis.contradictions.screening import Screening
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.limit_text import limit, limits
from hvaccalc.job.schema import Notice
from hvaccalc.physics.refrigerant import NAMES, Refrigerant
from hvaccalc.practice.air import AIRFLOW_PER_TON, USUAL_RETURN
from hvaccalc.practice.circuits import REMARKABLE_SUBCOOLING


def notices(draws: Draws, screening: Screening, results: Iterable[ConditionResult]) -> tuple[Notice, ...]:
    """Notices that need physics; those of the file itself come with the job."""
    found = [_flagged(flag.code, flag.where, flag.keys, flag.text) for flag in screening.flags]
    for name, circuit in draws.job.circuit.items():
        fluid = draws.refrigerant(name)
        if fluid is not None and fluid.glide:
            found.append(Notice("refrigerant_glide", f"circuit.{name}", _glide(fluid, draws.job.display)))
        if fluid is None:
            text = (
                f"{circuit.refrigerant} is not carried (carried: {', '.join(NAMES)}); circuit "
                f"{name} is left out."
            )
            found.append(Notice("refrigerant_not_carried", f"circuit.{name}", text))
        for key, why in oddities(circuit.lines).items():
            where = f"circuit.{name}.lines.{key}"
            typed = getattr(circuit.lines, key).text
            found.append(Notice("unusual.line", where, f'"{typed}": {why}; not taken.'))
    for result in results:
        found += _unusual(draws, result)
    return tuple(found)


def _glide(fluid: Refrigerant, display: str) -> str:
    """Which edge a glide blend's readings are held against, and how far apart the edges lie."""
    ice = float(units.degC(0.0))
    apart = float(fluid.dew_temperature(fluid.bubble_pressure(ice)) - ice)
    shown = units.value_text(apart, "temperature_difference", display)
    at = units.value_text(ice, "temperature", display)
    return (
        f"{fluid.name} is a blend with glide, dew {shown} above bubble at {at}: liquid readings are held "
        f"against bubble, suction and discharge readings against dew."
    )


def place(where: Where) -> str:
    """A place in words: ``visit 1, condition 2, circuit 1``."""
    parts = (("visit", where.visit), ("condition", where.condition), ("circuit", where.circuit))
    return ", ".join(f"{word} {part}" for word, part in parts if part) or "job"


def _flagged(code: str, where: Where, keys: tuple[str, ...], text: str) -> Notice:
    return Notice(f"contradiction.{code}", place(where), f"{text} Left out of inference: {', '.join(keys)}.")


def _unusual(draws: Draws, result: ConditionResult) -> list[Notice]:
    display, where = draws.job.display, result.where
    found = []
    if result.airflow is not None and result.airflow.basis != "assumed":
        tons = units.to(draws.job.unit.rated_capacity.value, "ton", "heat")
        per_ton = float(units.to(result.airflow.flow[0], "cfm", "airflow") / tons)
        if not AIRFLOW_PER_TON[0] <= per_ton <= AIRFLOW_PER_TON[1]:
            text = _airflow_per_capacity(per_ton, display)
            found.append(Notice("unusual.airflow", place(where), text))
    for method in result.airflow.unused if result.airflow is not None else ():
        text = f"Airflow by {method.name.replace('_', ' ')} was not taken: {method.why}."
        found.append(Notice("airflow.not_taken", place(where), text))
    if traverse_text := traverse_note(draws, where):
        found.append(Notice("traverse.points", place(where), traverse_text))
    back = result.air.return_air
    if back is not None and not USUAL_RETURN[0] <= back.dry_bulb[0] <= USUAL_RETURN[1]:
        shown = units.value_text(back.dry_bulb[0], "temperature", display)
        usual = limits(*USUAL_RETURN, "temperature", display)
        text = f"Return air at {shown} is outside the usual {usual}."
        found.append(Notice("unusual.return", place(where), text))
    for state in result.circuits.values():
        stands = compressors.stands(draws, state.where)
        if not stands and state.subcooling is not None and state.subcooling.draws[0] > REMARKABLE_SUBCOOLING:
            shown = units.value_text(state.subcooling.draws[0], "temperature_difference", display)
            usual = limit(REMARKABLE_SUBCOOLING, "temperature_difference", display)
            text = f"Subcooling of {shown} is above {usual}: overcharge, restriction, or a wrong reading."
            found.append(Notice("unusual.subcooling", place(state.where), text))
        if state.chart_note and state.chart_offset is None and draws.job.circuit[state.where.circuit].chart:
            found.append(
                Notice(
                    "chart_not_used",
                    place(state.where),
                    f"The unit's chart was not used: {state.chart_note}.",
                )
            )
        elif state.chart_offset is not None and len(draws.job.circuit[state.where.circuit].chart or ()) == 1:
            found.append(
                Notice("chart_of_one_point", place(state.where), f"{state.chart_note.capitalize()}.")
            )
    return found


def _airflow_per_capacity(per_ton: float, display: str) -> str:
    low, high = AIRFLOW_PER_TON
    if display == "us":
        return (
            f"Airflow of {per_ton:.0f} cfm for each rated ton is outside the usual {low:.0f} to {high:.0f}."
        )
    factor = 1000.0 * units.cfm(1.0) / units.si(1.0, "ton", "heat") * 1000.0
    return (
        f"Airflow of {factor * per_ton:.0f} L/s for each rated kW is outside the usual "
        f"{factor * low:.0f} to {factor * high:.0f}."
    )
