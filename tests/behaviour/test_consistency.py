"""A memo cannot contradict itself: the rules of `tests.consistency` over jobs, and each rule broken once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hvaccalc.analysis import LEAST_DRAWS, Analysis
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import Evidence
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.job.causes import Cause, CauseAt, Way
from hvaccalc.job.load import job_from_text
from hvaccalc.reason import Reason
from hvaccalc.service.may_run.concern import Action, Do
from hvaccalc.service.put_right import Ending, PutRight
from hvaccalc.service.repair.repair_rows import Part, Repair, RepairNeeded
from hvaccalc.service.repair.repairs import QuoteLine
from hvaccalc.service.today import Decision
from tests import consistency
from tests.behaviour.job_texts import FULL_JOB
from tests.behaviour.jobs import HUMID, demo_text, job_text
from tests.behaviour.test_memo_visits import DEMOS, analysed
from tests.compare.two_visits import two_visit_job
from tests.consistency import contradictions, copies
from tests.studies import fuzz
from tests.studies.consistency import broken, drawn


@pytest.mark.parametrize("name", DEMOS)
def test_no_demo_contradicts_itself(name: str) -> None:
    assert contradictions(analysed(name)) + copies(analysed(name)) == []


@pytest.mark.parametrize("number", range(6))
def test_a_sample_of_the_study(number: int) -> None:
    """The study of 2,000 draws more of the same."""
    assert broken(drawn(1, number)) == []


def hall(**instead: object) -> Analysis:
    """The library hall with some results put in the place of its own."""
    analysis = Analysis(job_from_text(demo_text("library_hall")), LEAST_DRAWS)
    analysis.__dict__.update(instead)
    return analysis


def low() -> Analysis:
    """A fan that stays low, and a work that says that it was put right."""
    return Analysis(job_from_text(two_visit_job("two_visits-fan-temporary-wrong")), LEAST_DRAWS)


def rules(analysis: Analysis) -> set[str]:
    return {found.partition(":")[0] for found in contradictions(analysis)}


LEAKS = RepairNeeded(Repair.FIND_LEAK, CauseAt(Cause.LOW_CHARGE, "1"), "1")


def with_called(analysis: Analysis, *more: RepairNeeded) -> Analysis:
    analysis.__dict__["repairs"] = replace(analysis.repairs, called=(*analysis.repairs.called, *more))
    return analysis


def with_step(analysis: Analysis, do: Do, circuit: str | None = None) -> Analysis:
    step = Action(Reason(do), circuit)
    analysis.__dict__["today"] = tuple(replace(one, do=(*one.do, step)) for one in analysis.today)
    return analysis


def test_a_repair_beside_nothing_out_of_order_is_found() -> None:
    assert "in_order_beside_an_action" in rules(with_called(hall(findings=()), LEAKS))


def test_a_repair_of_a_cause_that_reads_right_is_found() -> None:
    analysis = with_called(hall(), LEAKS)
    end = PutRight(Cause.LOW_CHARGE, "1", analysis.conditions[0].where, Ending.READ_RIGHT, 1)
    analysis.__dict__["put_right"] = (*analysis.put_right, end)
    assert "in_order_beside_an_action" in rules(analysis)


def test_a_drain_that_is_opened_though_ruled_out_is_found() -> None:
    drain = RepairNeeded(Repair.OPEN_DRAIN, CauseAt(Cause.DRAIN), way=Way.PAN_OVERFLOW)
    drain = replace(drain, values={"no_drain_work": ""})
    analysis = with_called(hall(), drain)
    assert analysis.water is not None
    way = replace(analysis.water.weighed[Way.PAN_OVERFLOW], text=Ability.CANNOT)
    weighed = analysis.water.weighed | {Way.PAN_OVERFLOW: way}
    analysis.__dict__["water"] = replace(analysis.water, weighed=weighed)
    assert "met_beside_its_repair" in rules(analysis)


def test_a_cause_put_right_that_still_holds_back_is_found() -> None:
    analysis = with_step(hall(), Do.TRAP)
    end = PutRight(Cause.TRAP, None, analysis.conditions[0].where, Ending.READ_RIGHT, 1)
    analysis.__dict__["put_right"] = (*analysis.put_right, end)
    assert "put_right_and_locked_out" in rules(analysis)


def test_a_quote_without_its_repair_is_found() -> None:
    assert "quoted_without_a_repair" in rules(hall(quote=(QuoteLine(LEAKS, Part.TRAP, None, "1"),)))


def test_a_repair_without_its_proof_is_found() -> None:
    assert "without_proof_or_caution" in rules(hall(proof=()))


def test_an_amount_beside_cannot_tell_is_found() -> None:
    analysis = with_step(with_step(hall(), Do.LOW, "1"), Do.CANNOT_TELL, "1")
    assert "amount_beside_cannot_tell" in rules(analysis)


def test_two_causes_that_exclude_each_other_are_found() -> None:
    high = RepairNeeded(Repair.WEIGH_OUT, CauseAt(Cause.OVERCHARGE, "1"), "1")
    assert "excluded_by_another_line" in rules(with_called(hall(), LEAKS, high))


def test_a_way_that_stands_out_and_cannot_be_is_found() -> None:
    analysis = hall()
    assert analysis.water is not None
    way = next(iter(analysis.water.ruled_out))
    analysis.__dict__["water"] = replace(analysis.water, dominant=Way(way))
    assert "excluded_by_another_line" in rules(analysis)


def test_an_open_cause_without_repair_and_question_is_found() -> None:
    end = PutRight(Cause.MILD_WEATHER_COOLING, None, hall().conditions[0].where, Ending.STANDS, None)
    assert "answered_by_nothing" in rules(hall(put_right=(end,)))


def test_ice_that_fits_at_an_unlikely_chance_is_found() -> None:
    analysis = Analysis(job_from_text(demo_text("heat_pump_school")), LEAST_DRAWS)
    assert analysis.water is not None
    melt = replace(analysis.water.weighed[Way.MELT], text=Ability.CAN)
    weighed = analysis.water.weighed | {Way.MELT: melt}
    analysis.__dict__["water"] = replace(analysis.water, weighed=weighed)
    assert "excluded_by_another_line" in rules(analysis)


def test_a_weak_compressor_beside_liquid_is_found() -> None:
    analysis = hall()
    result = analysis.conditions[0]
    charge = result.charges["1"]
    wet = replace(charge, pumping=replace(charge.pumping, text=Pumps.WEAK), evidence=(Evidence.FLOODBACK,))
    conditions = (replace(result, charges=result.charges | {"1": wet}), *analysis.conditions[1:])
    analysis.__dict__["conditions"] = conditions
    assert list(consistency.weak_beside_liquid(analysis))


def test_a_day_weaker_than_its_findings_is_found() -> None:
    analysis = low()
    weaker = {"weaker_than_findings", "weaker_than_the_job"}
    assert not rules(analysis) & weaker
    analysis.__dict__["today"] = tuple(
        replace(one, decision=Decision.RUN, why=(), do=()) for one in analysis.today
    )
    assert rules(analysis) >= weaker


def test_a_decision_that_one_reader_is_not_told_is_found() -> None:
    analysis = low()
    analysis.__dict__["today"] = tuple(replace(one, do=()) for one in analysis.today)
    assert "told_to_one_reader" in rules(analysis)


def test_a_number_beyond_its_band_is_found() -> None:
    analysis = hall()
    numbers = tuple(replace(f, value=2.0, low=0.0, high=1.0) for f in analysis.findings[:1])
    analysis.__dict__["findings"] = numbers
    assert "beyond_its_band" in rules(analysis)


@pytest.mark.parametrize("text", ["about nan °F", "at None", "low; ; high", "a circuit ()", "read , then"])
def test_a_gap_in_a_sentence_is_found(text: str) -> None:
    assert consistency.GAPS.search(text)


@pytest.mark.parametrize("text", ["None stands out.", "visit 2 (the first), 0.5 in", "9.5 to 10, then 3; no"])
def test_a_whole_sentence_is_none(text: str) -> None:
    assert not consistency.GAPS.search(text)


def test_the_memo_of_every_key_is_drawn_for_both_readers() -> None:
    """A duct's area and a damper's position are typed and no instrument takes them: they have no band."""
    assert copies(Analysis(job_from_text(FULL_JOB), LEAST_DRAWS)) == []


def test_a_loose_bulb_on_no_circuit_has_its_proof() -> None:
    text = job_text(HUMID, extra='[[visit]]\ndate = 2026-06-25\n[visit.signs]\nsensing_bulb = "loose"\n')
    assert not broken(text)


@pytest.mark.parametrize("number", range(0, 30, 3))
def test_a_sample_of_jobs_taken_apart(number: int) -> None:
    """The study of 10,000 draws more of the same; a warning counts as a traceback here."""
    assert fuzz.verdict(fuzz.drawn(1, number), with_memo=number % 9 == 0) in fuzz.GOOD


def test_a_charge_that_nothing_gives_is_quoted_by_weight() -> None:
    """A target that leaves the condenser no room for its liquid: no number is written that is none."""
    leak = '[circuit.1.leak]\nat = "liquid line"\n'
    analysis = Analysis(
        job_from_text(job_text({"circuit.1.target_subcooling": "55 degF"}, extra=leak)), LEAST_DRAWS
    )
    gas = [line for line in analysis.quote if line.part is Part.REFRIGERANT]
    assert [line.quantity for line in gas] == [None]
    assert contradictions(analysis) + copies(analysis) == []


def test_air_above_boiling_is_drawn(caplog: pytest.LogCaptureFixture) -> None:
    """Behind a heater: return air so hot is refused."""
    hot = {"air.supply_dry_bulb": "240 degF", "air.supply_wet_bulb": None, "air.supply_dew_point": "52 degF"}
    heats = {"condition.calls": ["heat 1"], "condition.compressors_running": []}
    analysis = Analysis(job_from_text(job_text(HUMID | hot | heats)), LEAST_DRAWS)
    assert analysis.conditions[0].air.supply_air is not None
    copies(analysis)
    assert not caplog.records
