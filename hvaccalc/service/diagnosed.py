"""What a decision rests on: the results of a diagnosis, as `Analysis` holds them."""

from typing import Protocol

from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.contradictions.screening import Screening
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.unit.confusion import ChargeEvidence
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.diagnosis.unit.heating_head import HeatingHead
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.job.schema import Job
from hvaccalc.service.visits import Visits


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
