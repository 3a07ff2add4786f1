"""A reading that does not belong to its neighbours is named, with what they expect and what would explain it.

Pressures against temperatures follow the printed R-410A card, from memory: 118 psig 40 °F, 130 psig 45 °F.
"""

import pytest

from tests.behaviour.jobs import SOUND, analysis_of, blocks_of, found, job_text, one
from tests.compare.generated_jobs import FAULTS, Case, entries


def doubted(changes: dict) -> tuple:
    """Flags of readings that do not belong, of the sound job with changes."""
    flags = analysis_of(job_text(changes)).screening.flags
    return tuple(flag for flag in flags if flag.code.startswith("mistyped"))


@pytest.mark.parametrize(
    ("changes", "key", "meant"),
    [
        # 118 psia are 103 psig, 33 °F on the card: 7 °F below the other circuit in the same air.
        ({"2.suction_pressure": "118 psia"}, "suction_pressure", "118 psig would fit"),
        ({"air.supply_dry_bulb": "5 degF"}, "supply_dry_bulb", "would fit: two digits exchanged"),
        ({"air.outdoor_dry_bulb": "29 degF"}, "outdoor_dry_bulb", "29 degC would fit"),
    ],
)
def test_what_would_explain_a_reading_is_asked(changes, key, meant):
    (flag,) = doubted(changes)
    assert (flag.keys, flag.left_out) == ((key,), True)
    assert next(iter(changes.values())) in flag.text
    assert meant in flag.text
    assert "Read again before acting on it." in flag.text


def test_what_the_neighbours_expect_stands_in_the_unit_typed():
    """118 psig are 132.7 psia at sea level."""
    (flag,) = doubted({"2.suction_pressure": "118 psia"})
    low, high = flag.text.split("psia (")[1].split(")")[0].split(" to ")
    assert float(low) < 132.7 < float(high)
    assert float(high) - float(low) < 20.0


def test_no_verdict_rests_on_a_reading_that_is_left_out():
    """As typed it would be a restriction of circuit 2, sold with a drier."""
    analysis = analysis_of(job_text({"2.suction_pressure": "118 psia"}))
    assert one(analysis, "circuit.contrast").text == "cannot tell"
    assert one(analysis, "circuit.charge", "2").text == "cannot tell"
    assert one(analysis, "circuit.charge", "1").text == "as charted"
    assert any("suction pressure of circuit 2" in n.text.lower() for n in analysis.notices)


def test_a_reading_taken_on_the_other_circuit_is_asked_for_on_both():
    """In a row split the circuits differ by nature: exchanged suction pressures look like a restriction."""
    job = SOUND | entries(Case("low_airflow", "row split", "R-410A", outdoor=72.0, seed=47))
    assert not doubted(job)
    exchanged = {
        "1.suction_pressure": job["2.suction_pressure"],
        "2.suction_pressure": job["1.suction_pressure"],
    }
    flags = doubted(job | exchanged)
    assert {flag.where.circuit for flag in flags} == {"1", "2"}
    assert all("each read on the other circuit?" in flag.text for flag in flags)


def test_a_reading_that_no_slip_explains_is_used_and_asked_for_again():
    analysis = analysis_of(job_text({"air.supply_dry_bulb": "71 degF"}))
    (flag,) = analysis.screening.flags
    assert not flag.left_out
    assert not analysis.screening.excluded
    assert "Left out" not in one(analysis, "reading.contradiction").statement
    customer = " ".join(map(str, blocks_of(analysis, "customer")))
    assert "One reading does not fit those taken beside it and has to be taken again." in customer


@pytest.mark.parametrize("fault", FAULTS)
def test_no_fault_is_talked_away(fault):
    assert not doubted(SOUND | entries(Case(fault, seed=3)))


@pytest.mark.parametrize(
    "changes",
    [
        {"condition.steady": "no"},
        {"condition.running_for": "5 min"},
        {"condition.coil_thawed": "no"},
        {"unit.kind": "heat pump", "condition.calls": None},
        {"air.outdoor_dry_bulb": None},
    ],
)
def test_where_no_model_has_a_say_nothing_is_doubted(changes):
    assert not doubted({"2.suction_pressure": "118 psia"} | changes)


def test_airflow_is_asked_for_again_and_never_talked_away():
    """Half the air with the readings of full air: the air, not the probes, and low air stays said."""
    analysis = analysis_of(job_text({"air.airflow": "4560 cfm", "air.fan_frequency": None}))
    assert [(flag.keys, flag.left_out) for flag in analysis.screening.flags] == [(("airflow",), False)]
    assert found(analysis, "airflow.reading")[0].value is not None
