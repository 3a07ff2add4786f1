"""What a decision rests on: the results as `Analysis` holds them, and how severe each condition is."""

from collections.abc import Iterable, Iterator
from typing import Protocol

from hvaccalc.diagnosis.air.fan_check_rows import to_show
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.screening import Screening
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.signs import sightings
from hvaccalc.diagnosis.unit.confusion import ChargeEvidence, Fit
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.diagnosis.unit.heating_head import HeatingHead
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.job.schema import Job
from hvaccalc.service.visits import Visits
from hvaccalc.severity import Severity, worst


class Diagnosed(Protocol):
    """Results that every decision of `service` may ask for; each is computed when first asked for."""

    @property
    def job(self) -> Job: ...
    @property
    def draws(self) -> Draws: ...
    @property
    def screening(self) -> Screening: ...
    @property
    def conditions(self) -> tuple[ConditionResult, ...]: ...
    @property
    def visits(self) -> Visits: ...
    @property
    def decisive(self) -> ConditionResult | None: ...
    @property
    def calls(self) -> CallWiring | None: ...
    @property
    def charge_evidence(self) -> ChargeEvidence: ...
    @property
    def contrasts(self) -> tuple[ContrastModel, ...]: ...
    @property
    def forecast(self) -> Forecast | None: ...
    @property
    def heating(self) -> tuple[HeatingHead, ...]: ...
    @property
    def water(self) -> WaterBudget | None: ...


def severities(of: Diagnosed, result: ConditionResult) -> tuple[Severity, ...]:
    """Severity of each thing that was found in a condition, those of a note left out."""
    parts = (*result.severities, *_beside(of, result.where), *_forecast(of, result.where))
    return tuple(severity for severity in parts if severity is not Severity.NOTE)


def weight(of: Diagnosed, result: ConditionResult) -> tuple[int, bool, float, int]:
    """What orders conditions, the decisive one highest.

    Its worst severity, whether the fan was at another speed than the calls want, the chance of freezing
    (of the metal, else of the suction saturation; -1 where neither is known), and how many findings are as
    severe as the worst; of notes none counts.
    """
    found = severities(of, result)
    most = worst(found)
    chances = (result.freeze.fin, result.freeze.suction_probability) if result.freeze is not None else ()
    chance = next((one.value for one in chances if one.known), -1.0)
    return most.rank, result.staging is not None, chance, found.count(most)


def decisive(of: Diagnosed) -> ConditionResult | None:
    """The condition that carries the explanation: the most severe, the first of equals; None without any."""
    results = of.conditions
    return max(results, key=lambda result: (weight(of, result), -results.index(result)), default=None)


def ranked(of: Diagnosed, results: Iterable[ConditionResult]) -> list[ConditionResult]:
    """Conditions, the most severe first."""
    return sorted(results, key=lambda result: weight(of, result), reverse=True)


def _beside(of: Diagnosed, where: Where) -> Iterator[Severity]:
    """What was found across the readings of a condition: contradictions, other columns, wiring, speed."""
    evidence = of.charge_evidence
    yield from (flag.severity for flag in of.screening.flags if flag.where.air == where)
    yield from (one.severity for one in sightings(of.draws) if one.where == where)
    yield from (one.severity for place, one in evidence.standing.items() if place.air == where)
    yield from (one.severity for place, one in evidence.columns.items() if place.air == where)
    yield from (one.severity for place, one in evidence.split.items() if place == where)
    for place, fits in evidence.confusion.items():
        if place.air == where and fits.text != Fit.CANNOT_TELL:
            yield fits.severity
    if of.calls is not None and where in of.calls.ladders:
        yield of.calls.ladders[where].severity
    checks = to_show(result.speed for result in of.conditions)
    if checks is not None and checks.where == where and of.job.unit.fan.given:
        yield from (check.severity for check in checks.checks)


def _forecast(of: Diagnosed, where: Where) -> Iterator[Severity]:
    """The freeze forecast, at the condition it starts from."""
    outlook = of.forecast
    if outlook is None or outlook.where != where:
        return
    # Two criteria, each with its airflow.
    yield from (outlook.severity, outlook.severity)
    if outlook.full_speed_metal is not None and outlook.full_speed_metal.known:
        yield outlook.severity
    yield from (outlook.day_severity(day) for day, chance in outlook.weather.items() if chance.known)
