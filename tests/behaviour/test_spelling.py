"""No rule, caution or page depends on how a word was typed.

Designations and safety groups of refrigerants: ANSI/ASHRAE 34, from memory.
"""

import pytest

from hvaccalc.diagnosis.calls.measures import reads_as_bridged
from hvaccalc.job.checks.cross_checks import values_of
from hvaccalc.job.load import job_from_text
from tests.behaviour.jobs import SOUND, analysis_of, blocks_of, job_text, one

DROPPED = [key for key in SOUND if key.startswith(("1.", "2.", "air.", "condition."))]


def of(refrigerant: str, **changes: object) -> str:
    """A job without a reading whose circuits hold one refrigerant."""
    both = {f"circuit.{name}.refrigerant": refrigerant for name in "12"}
    return job_text(dict.fromkeys(DROPPED) | both | changes)


@pytest.mark.parametrize(
    "typed, name",
    [
        *((typed, "R-454B") for typed in ("R454B", "R 454B", "r-454b", "R_454B", "454B")),
        *(("R22", "R-22"), ("R 22", "R-22"), ("R-134A", "R-134a"), ("r1234YF", "R-1234yf")),
    ],
)
def test_one_form_of_a_refrigerant(typed, name):
    job = job_from_text(of(typed))
    assert job.circuit["1"].refrigerant == name
    taken = [notice for notice in job.notices if notice.code == "word_taken"]
    assert f'"{typed}" was taken as "{name}"' in taken[0].text and taken[0].where == "circuit.1.refrigerant"


@pytest.mark.parametrize("audience", ["file", "customer"])
@pytest.mark.parametrize(
    "typed, burns", [("R32", "Mildly"), ("R454B", "Mildly"), ("r 454c", "Mildly"), ("R290", "Highly")]
)
def test_a_flammable_refrigerant_is_said_to_both_readers(audience, typed, burns):
    told = str(blocks_of(analysis_of(of(typed)), audience))
    assert f"{burns} flammable refrigerant." in told
    assert "leaking indoors" in told and "basement" in told and "no flame" in told


@pytest.mark.parametrize("audience", ["file", "customer"])
def test_no_caution_of_flames_where_nothing_burns(audience):
    assert "flammable" not in str(blocks_of(analysis_of(of("R410A")), audience))


def test_both_circuits_of_one_refrigerant_read_alike():
    mixed = job_text({"circuit.1.refrigerant": "r 410a"})
    for circuit in "12":
        assert one(analysis_of(mixed), "circuit.charge", circuit).text == "as charted"


def test_terminals_mean_the_same_however_they_are_written():
    tables = """
[wiring]
terminals = [%s]
"""
    usual = ["thermostat.Y1", "thermostat.G", "handler.Y1", "handler.G", "outdoor.Y1"]
    written = ["Tstat.y1", "TSTAT.g", "AHU.Y1", "Air-Handler.G", "Outdoor.y1"]
    texts = [of("R-410A") + tables % ", ".join(f'"{name}"' for name in names) for names in (usual, written)]
    assert job_from_text(texts[1]).wiring == job_from_text(texts[0]).wiring


@pytest.mark.parametrize("note", ["LP sw jumped", "Low press. switch by-passed", "bi-passed the freeze stat"])
def test_a_bridged_safety_is_read_in_any_spelling(note):
    assert reads_as_bridged(note)


WRITTEN = [
    ("circuit.1.metering", "Piston", "fixed orifice"),
    ("circuit.1.metering", "orifice", "fixed orifice"),
    ("circuit.1.metering", "cap tube", "fixed orifice"),
    ("unit.fan.drive", "belt", "belt, fixed"),
    ("unit.fan.drive", "VFD", "variable frequency"),
    ("unit.fan.drive", "two-speed", "two speed motor"),
    ("condition.calls", ["Y1", "y2", "G"], ["cool 1", "cool 2", "fan"]),
    ("condition.calls", "W1", "heat 1"),
    ("job.water_when", ["always on", "hot days"], ["always", "hot days"]),
    ("signs.filters", "dirty", "loaded"),
    ("signs.timing", ["hot days", "always on"], ["hot days", "always"]),
    ("signs.water_on", ["ceiling", "diffuser"], ["ceiling below", "grille"]),
    ("air.supply_measured_at", "diffuser", "grille"),
]


@pytest.mark.parametrize("key, typed, meant", WRITTEN)
def test_a_word_people_write_is_the_key_s_own(key, typed, meant):
    written, plain = (job_from_text(job_text({key: words})) for words in (typed, meant))
    assert written.model_dump() == plain.model_dump()
    told = {notice.text for notice in written.notices} - {notice.text for notice in plain.notices}
    pairs = zip(typed, meant, strict=True) if isinstance(typed, list) else [(typed, meant)]
    assert all(word == own or f'"{word}" was taken as "{own}"' in told for word, own in pairs)


def test_a_dirty_coil_stays_dirty():
    """A word stands for another only where it is not the key's own."""
    signs = job_from_text(job_text({"signs.coil_face": "dirty"})).visit[0].condition[0].signs
    assert signs.coil_face.values == ("dirty",)


def test_water_seen_below_tells_no_way_and_is_not_lost():
    seen, none = (analysis_of(job_text({"signs.water_on": place})) for place in ("ceiling", None))
    assert none.water is None and seen.water is not None and not seen.water.seen.places


VALUES = [
    ("circuit.1.nameplate_charge", "7,5 kg", "7.5 kg"),
    ("unit.drain.size", "DN 32", "1-1/4 in"),
    ("unit.cabinet.insulation", "none", "0 in"),
    ("unit.cabinet.duct_insulation", "none", "R-0"),
    ("circuit.1.lines.liquid_length", "85'", "85 ft"),
    ("job.elevation", "850'", "850 ft"),
    ("condition.running_for", "20 minutes", "20 min"),
    ("air.outdoor_dry_bulb", "84,5 ± 0,5 degF", "84.5 ± 0.5 degF"),
]


@pytest.mark.parametrize("key, typed, meant", VALUES)
def test_a_value_people_write(key, typed, meant):
    """Sizes of pipe: ISO 6708 beside ASME B36.10M, from memory."""
    pair = [job_from_text(job_text({key: value})) for value in (typed, meant)]
    values = [dict(values_of(job)) for job in pair]
    assert values[0].keys() == values[1].keys()
    differ = [place for place, value in values[0].items() if value != values[1][place]]
    (place,) = differ
    written, plain = (getattr(each[place], "quantity", each[place]) for each in values)
    assert (written.value, written.plus_minus) == (plain.value, plain.plus_minus) and written.text == typed
