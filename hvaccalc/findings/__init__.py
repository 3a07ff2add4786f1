"""Typed results into findings: full sentences with a value, its band, its basis and its sources."""

from collections.abc import Iterable, Mapping, Sequence

from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.screening import Flag
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.unit.confusion import ChargeEvidence
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.diagnosis.unit.heating_head import HeatingHead
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.findings.air import air, airflow, duct, duty, outdoor_air
from hvaccalc.findings.assumed import assumed
from hvaccalc.findings.fan import FanService, fan, motor, wheel
from hvaccalc.findings.finding import Finding, Writer, finding_id
from hvaccalc.findings.forecast import forecast
from hvaccalc.findings.refrigerant.charge import charge, charges
from hvaccalc.findings.refrigerant.circuits import circuits, contrast, contrast_models, heating_heads
from hvaccalc.findings.refrigerant.inventory import inventory
from hvaccalc.findings.running import (
    condensing,
    freeze,
    ice,
    idle,
    pumping,
    recorded_work,
    seen_wrong,
    short_of_air,
    staging,
    uncalled,
)
from hvaccalc.findings.water import water
from hvaccalc.findings.wiring import wiring
from hvaccalc.service.refrigerant.inventory import CircuitInventory

__all__ = ["Finding", "finding_id", "findings"]


def findings(
    draws: Draws,
    flags: Iterable[Flag],
    results: Sequence[ConditionResult],
    calls: CallWiring | None = None,
    fan_service: FanService | None = None,
    outlook: Forecast | None = None,
    contrasts: Sequence[ContrastModel] = (),
    heating: Sequence[HeatingHead] = (),
    on_board: Mapping[str, CircuitInventory] | None = None,
    evidence: ChargeEvidence | None = None,
    budget: WaterBudget | None = None,
) -> tuple[Finding, ...]:
    """All findings of a job.

    Parameters
    ----------
    draws : Draws
    flags : iterable of Flag
        Contradicting readings.
    results : sequence of ConditionResult
    calls : CallWiring or None
        The wiring at every call.
    fan_service : FanService or None
        Energy and rule of the fan's staging.
    outlook : Forecast or None
        The freeze forecast.
    contrasts : sequence of ContrastModel
        Contrasts of circuits beside what a fault would make.
    heating : sequence of HeatingHead
        Heating conditions of a heat pump.
    on_board : mapping of str to CircuitInventory, or None
        Refrigerant of each circuit.
    evidence : ChargeEvidence or None
        What speaks beside the charge verdicts.
    budget : WaterBudget or None
        The water budget.
    """
    writer = Writer(draws)
    assumed(writer)
    recorded_work(writer)
    seen_wrong(writer)
    for flag in flags:
        writer.verdict(
            "reading.contradiction",
            flag.where,
            flag.code,
            f"{flag.text}{' Left out of inference.' if flag.left_out else ''}",
            basis="measured",
            severity=flag.severity,
        )
    wiring(writer, calls, results)
    for result in results:
        for part in (air, outdoor_air, duct, airflow, wheel, motor, duty, circuits, charges, contrast):
            part(writer, result)
        freeze(writer, result)
        for part in (idle, uncalled, pumping, ice, short_of_air, condensing):
            part(writer, result)
        staging(writer, result, calls)
    charge(writer, results, evidence)
    fan(writer, results, fan_service)
    forecast(writer, outlook)
    inventory(writer, on_board)
    contrast_models(writer, contrasts)
    heating_heads(writer, heating)
    water(writer, budget)
    return tuple(writer.found)
