"""What is open and what to read next: each question, what offers its reading, and what withholds it."""

from __future__ import annotations

import pytest

from hvaccalc import analyse
from hvaccalc.analysis import Analysis
from hvaccalc.job.load import job_from_text
from hvaccalc.service.question_rows import ROWS, About, Question, Reading, Take, Trip
from tests.behaviour.jobs import SOUND, job_text
from tests.behaviour.test_memo_visits import DEMOS, analysed

REPAIR = '\n[[visit]]\ndate = 2026-06-25\n[[visit.work]]\nkind = "repaired"\n'


def of(changes: dict | None = None, extra: str = "") -> Analysis:
    return analyse(job_from_text(job_text(changes, extra=extra)), 64)


def asked(analysis: Analysis, about: About) -> list[Question]:
    return [one for one in analysis.questions if one.about is about]


def test_a_fan_speed_that_nobody_read_is_asked_for_and_one_that_was_read_is_not() -> None:
    (fan,) = asked(of({"air.fan_frequency": None}), About.FAN)
    assert fan.reading is Reading.FAN_SPEED and fan.take is not None and fan.take.code is Take.DRIVE
    assert not asked(of(), About.FAN)


def test_the_label_is_read_where_no_target_is_known() -> None:
    no_target = {f"circuit.{name}.target_subcooling": None for name in "12"}
    (charge,) = asked(of(no_target), About.CHARGE)
    assert charge.reading is Reading.LABEL and charge.circuits == ("1", "2")
    assert not asked(of(), About.CHARGE)


def test_gauges_take_their_time_on_each_circuit() -> None:
    """The round: 20 minutes a circuit, common practice."""
    unread = {key: None for key in SOUND if key[:2] in ("1.", "2.")} | {"condition.compressors_running": None}
    (charge,) = asked(of(unread), About.CHARGE)
    assert charge.reading is Reading.GAUGES and charge.minutes == pytest.approx(40.0)


def test_nothing_is_read_on_an_iced_coil() -> None:
    iced = of({"condition.coil_thawed": "no"})
    assert asked(iced, About.CHARGE)
    assert all(
        one.take is not None and one.take.code is Take.NOT_TO_READ for one in asked(iced, About.CHARGE)
    )
    assert not any(ROWS[one.reading].runs for one in iced.next if one.reading is not None)
    thawed = of({"condition.coil_thawed": "unknown"})
    assert any(one.reading is Reading.COIL for one in thawed.next)


def test_nothing_that_needs_the_compressors_is_read_while_the_cooling_stays_off() -> None:
    stands = of({"air.fan_frequency": "0 Hz", "air.airflow": None})
    assert not any(ROWS[one.reading].runs for one in stands.next if one.reading is not None)


def test_a_repair_without_mends_is_asked_for_once() -> None:
    low = {"air.fan_frequency": "36 Hz"}
    (work,) = asked(of(low, REPAIR), About.WORK)
    assert work.take is not None and work.take.code is Take.SAY_MENDS
    assert not asked(of(low, REPAIR + 'mends = ["fan_stuck_low"]\n'), About.WORK)


def test_a_phone_call_is_told_what_to_ask_and_to_load() -> None:
    text = job_text()
    call = analyse(job_from_text(text[: text.index("[[visit]]")]), 64).as_dict()["next"]
    asked, loaded, read = (
        [one for one in call if one["trip"] == trip] for trip in ("phone", "van", "ground")
    )
    assert call == asked + loaded + read
    assert any("When does it come" in one["reading"] for one in asked)
    assert loaded[0]["reading"].startswith("Gauges") and read[0]["reading"].startswith("Read first:")


def test_water_from_above_is_looked_for_on_the_roof() -> None:
    (one,) = asked(analysed("library_hall"), About.WAY)
    assert one.reading is Reading.ABOVE and ROWS[Reading.ABOVE].trip is Trip.ROOF


@pytest.mark.parametrize("name", DEMOS)
def test_every_reading_of_the_demos_is_whole(name: str) -> None:
    told = analysed(name).as_dict()["next"]
    for one in told:
        assert list(one) == ["reading", "place", "trip", "minutes", "gain_bits", "why", "caution"]
        assert one["reading"] and one["place"] and one["trip"] and one["why"]
        assert one["minutes"] > 0 and one["gain_bits"] is None
    assert len({one["reading"] for one in told}) == len(told)
