"""From a job to its results: each part computed lazily and once.

Pure: the same job gives the same results from any thread; no clock, no global state.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from hvaccalc.diagnosis.air.fan_check_rows import SpeedCheck, to_show
from hvaccalc.diagnosis.calls.call_wiring import CallWiring, call_wiring
from hvaccalc.diagnosis.condition import ConditionResult, diagnose, notices
from hvaccalc.diagnosis.contradictions.mistyped import mistyped
from hvaccalc.diagnosis.contradictions.screening import Screening, screen
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.unit.confusion import ChargeEvidence, charge_evidence
from hvaccalc.diagnosis.unit.contrast_model import ContrastModel, contrast_models
from hvaccalc.diagnosis.unit.forecast import Forecast, forecast
from hvaccalc.diagnosis.unit.freeze_map import AS_READ, FreezeMap, freeze_map
from hvaccalc.diagnosis.unit.heating_head import HeatingHead, heating_heads
from hvaccalc.diagnosis.unit.what_if import DRAWS, WhatIf, what_if
from hvaccalc.diagnosis.unit.what_if_typed import read_change
from hvaccalc.diagnosis.water.budget import WaterBudget, water_budget
from hvaccalc.errors import MissingReading, OutOfRange, WrongKind
from hvaccalc.findings import Finding, findings
from hvaccalc.findings.fan import FanService
from hvaccalc.job.fields import shown
from hvaccalc.job.schema import Job, Notice
from hvaccalc.reason import Reason
from hvaccalc.service.diagnosed import decisive
from hvaccalc.service.fan.energy import FullSpeedPenalty, full_speed_penalty
from hvaccalc.service.fan.fan_staging_rule import StagingRule, staging_rule
from hvaccalc.service.in_order import contraries
from hvaccalc.service.next_readings import next_readings, questions
from hvaccalc.service.put_right import PutRight, put_right
from hvaccalc.service.question_rows import Question
from hvaccalc.service.refrigerant.inventory import CircuitInventory, inventory
from hvaccalc.service.repair.proof import Proof, ReturnVisit, proof, return_visit
from hvaccalc.service.repair.repairs import QuoteLine, Repairs, quote, repairs
from hvaccalc.service.today import Today, today
from hvaccalc.service.visits import Visits
from hvaccalc.words.proof import proof_dict, quote_dict, repair_dict
from hvaccalc.words.questions import as_dict as question_dict
from hvaccalc.words.questions import read_again
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller
from hvaccalc.words.today import as_dict as today_dict

FORMAT = 1

LEAST_DRAWS = 64


class Analysis:
    """Typed results of one job.

    Parameters
    ----------
    job : Job
    draws : int
        Number of draws behind every band.
    """

    def __init__(self, job: Job, draws: int = 512) -> None:
        self.job = job
        self._all = Draws(job, draws)

    @cached_property
    def screening(self) -> Screening:
        """Readings that contradict physics or each other, or do not belong to their neighbours."""
        found, tells = screen(self._all), teller(Reader.FILE, self.job.display)
        slips = mistyped(self._all.without(found.excluded))
        return found.with_mistyped((slip, read_again(slip, tells)) for slip in slips)

    @cached_property
    def draws(self) -> Draws:
        """The job's draws, with contradicting readings left out."""
        return self._all.without(self.screening.excluded, self.screening.doubted)

    @cached_property
    def conditions(self) -> tuple[ConditionResult, ...]:
        """Results of every condition, in the file's order."""
        return tuple(diagnose(self.draws, where) for where, _ in self.draws.conditions())

    @cached_property
    def visits(self) -> Visits:
        """The visits in the order in which they were made."""
        return Visits(self.draws, self.conditions)

    @cached_property
    def decisive(self) -> ConditionResult | None:
        """The condition that carries the explanation: the most severe; None without any."""
        return decisive(self)

    @cached_property
    def put_right(self) -> tuple[PutRight, ...]:
        """What became of each cause that was found or mended."""
        return put_right(self)

    @cached_property
    def contraries(self) -> tuple[Reason, ...]:
        """What is not in order, whether or not a finding calls for action on it."""
        return contraries(self)

    @cached_property
    def today(self) -> tuple[Today, ...]:
        """What may be done today, for each way of running."""
        return today(self, self.put_right)

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What is open, the water first."""
        return questions(self, self.put_right, self.today)

    @property
    def next(self) -> tuple[Question, ...]:
        """What to read next: open questions that a reading settles which can be taken now."""
        return next_readings(self.questions)

    @cached_property
    def repairs(self) -> Repairs:
        """The lasting work that is called for, done and to be proved, or advised."""
        return repairs(self)

    @cached_property
    def quote(self) -> tuple[QuoteLine, ...]:
        """What has to be quoted for the repairs that are called for."""
        return quote(self.repairs.called, self.inventory)

    @cached_property
    def proof(self) -> tuple[Proof, ...]:
        """What the return visit has to show of every repair, called for or done."""
        return proof(self, self.repairs)

    @cached_property
    def return_visit(self) -> ReturnVisit:
        """How the return visit goes."""
        return return_visit(self)

    @cached_property
    def charge_evidence(self) -> ChargeEvidence:
        """What speaks beside the charge verdicts, and which faults fit each circuit."""
        return charge_evidence(self.draws, self.conditions)

    @cached_property
    def fan_to_raise(self) -> SpeedCheck | None:
        """The checks before a fan's speed is raised that matter most; None where there are none to show."""
        return to_show(result.speed for result in self.conditions)

    @cached_property
    def calls(self) -> CallWiring | None:
        """Who is energised by which call; None where the job lists no terminals."""
        return call_wiring(self.draws)

    @cached_property
    def fan_energy(self) -> FullSpeedPenalty | None:
        """Full fan speed at all times against staged; None where no low speed is known."""
        return full_speed_penalty(self.draws)

    @cached_property
    def fan_rule(self) -> StagingRule:
        """Whether an energy code demands a staged fan of this unit."""
        power = self.fan_energy.power if self.fan_energy else None
        return staging_rule(self.draws, power, self.conditions)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, condition by condition."""
        return findings(
            self.draws,
            self.screening.flags,
            self.conditions,
            self.calls,
            FanService(self.fan_energy, self.fan_rule),
            self.forecast,
            self.contrasts,
            heating=self.heating,
            on_board=self.inventory,
            evidence=self.charge_evidence,
            budget=self.water,
        )

    @cached_property
    def forecast(self) -> Forecast | None:
        """At which airflow and in which weather the coil freezes; None where no unit can be solved."""
        return forecast(self.draws, self.conditions)

    @cached_property
    def water(self) -> WaterBudget | None:
        """Which way the water gets out; None where the job says nothing of any water."""
        return water_budget(self.draws, self.conditions, self.forecast)

    @cached_property
    def heating(self) -> tuple[HeatingHead, ...]:
        """Head and supply of a heat pump that heats, at its airflow and at full fan speed."""
        return heating_heads(self.draws, self.conditions)

    @cached_property
    def contrasts(self) -> tuple[ContrastModel, ...]:
        """What each fault would set between circuits that differ, beside the readings."""
        return contrast_models(self.draws, self.conditions)

    @cached_property
    def inventory(self) -> dict[str, CircuitInventory]:
        """Refrigerant on board of each circuit, its pump-down, cylinder and gas to quote."""
        return inventory(self.draws, self.conditions)

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """How the file was taken, what is unusual, what is not used yet, which readings contradict."""
        return (*self.job.notices, *notices(self.draws, self.screening, self.conditions))

    def few(self, draws: int = DRAWS) -> Analysis:
        """The same job, screened alike, with few draws: for what each draw has to be calibrated for."""
        few = Analysis(self.job, draws)
        few.screening = self.screening
        return few

    def freeze_map(self, where: Where, weather: str = AS_READ) -> FreezeMap | None:
        """Coldest metal over fan speed and outdoor air, from one condition; None without a unit.

        Every point is solved for each draw: ask it of `few`.

        Parameters
        ----------
        where : Where
            A condition.
        weather : str
            One of `FreezeMap.days`.

        Raises
        ------
        MissingReading
            No such condition.
        """
        start = self.visits.result(where)
        if start is None:
            raise MissingReading(
                "no such condition in this job", shown(where.path), "visit and condition, from 1"
            )
        return freeze_map(self.draws, start, weather)

    def what_if(
        self,
        changes: Sequence[Mapping[str, str]] = ({},),
        faults: Sequence[str] = (),
        calibrate_on: Sequence[str] | None = None,
    ) -> WhatIf:
        """What this unit would do at changed conditions.

        Parameters
        ----------
        changes : sequence of mappings
            Text by key, such as ``{"fan_frequency": "60 Hz", "calls": "cool 1;cool 2"}``.
        faults : sequence of str
            Such as ``'low_charge:1="20 %"'``.
        calibrate_on : sequence of str, optional
            Labels of conditions; None: all with enough readings.

        Raises
        ------
        InputError
            What cannot be read, or no condition to start from.
        """
        if isinstance(changes, (str, Mapping)) or not isinstance(changes, Iterable):
            allowed = 'a list of changes, such as [{"fan_frequency": "60 Hz"}]'
            raise WrongKind("not a list of changes", shown(changes), allowed)
        read = [read_change(change) for change in changes]
        few = self.few()
        return what_if(few.draws, few.conditions, read, faults, calibrate_on)

    def as_dict(self) -> dict[str, object]:
        """Plain data, the form that ``hvaccalc findings --json`` prints.

        ``causes`` is empty until the package ranks causes. ``today`` holds what is decided, run, run
        reduced or stop; where nothing was read the rest stands in ``not_decided``, with what to leave alone.
        """
        tells = teller(Reader.FILE, self.job.display)
        return {
            "format": FORMAT,
            "job": self.job.job.title,
            "findings": [finding.as_dict() for finding in self.findings],
            "causes": [],
            "next": [question_dict(one, self.water, tells) for one in self.next],
            "today": [today_dict(one, tells) for one in self.today if one.decided],
            "not_decided": [today_dict(one, tells) for one in self.today if not one.decided],
            "repairs": [repair_dict(one, self.job.display) for one in self.repairs.called],
            "quote": [quote_dict(line) for line in self.quote],
            "proof": [proof_dict(one) for one in self.proof],
            "put_right": [end.as_dict() for end in self.put_right],
            "not_in_order": [tells.tell(one) for one in self.contraries],
            "notices": [{"code": n.code, "where": n.where, "text": n.text} for n in self.notices],
        }


def analyse(job: Job, draws: int = 512) -> Analysis:
    """Analyse a job.

    Parameters
    ----------
    job : Job
        From `hvaccalc.load_job`.
    draws : int
        Number of draws behind every band, at least 64: the ends of a 95 % band are each a fortieth of them.

    Returns
    -------
    Analysis
        Parts are computed when first asked for.

    Raises
    ------
    OutOfRange
        With fewer draws.
    """
    if draws < LEAST_DRAWS:
        raise OutOfRange(f"{draws} draws", allowed=f"{LEAST_DRAWS} or more")
    return Analysis(job, draws)
