"""Coil temperature and freezing of a measured condition: two criteria apart, nothing invented.

Signs from the physics: at the same suction more air and more humidity warm the metal. Sizes from the
printed R-410A card, from memory: 101 psig is 32 °F, 118 psig 40 °F, 78 psig 20 °F.
"""

import pytest

from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.diagnosis.water.water_case import Freezing
from hvaccalc.job.causes import Way
from tests.behaviour.jobs import HUMID, SOUND, WIDE_AIRFLOW, analysed, found, one

FREEZING = 273.15
FIN, SUCTION = "freeze.probability.fin", "freeze.probability.suction"
COLDEST = "coil.coldest_surface"

COLD = HUMID | {
    f"{name}.{key}": value
    for name in ("1", "2")
    for key, value in (("suction_pressure", "95 psig"), ("suction_temperature", "40 degF"))
}
COOL_RETURN = {"air.return_dry_bulb": "70 degF", "air.return_wet_bulb": "58 degF"}
FIRST_STAGE = HUMID | {"condition.calls": ["cool 1"], "condition.compressors_running": ["1"]}
FIRST_STAGE |= {key: None for key in SOUND if key.startswith("2.")}
STANDING_FAN = {"air.airflow": None, "air.fan_frequency": "0 Hz"}


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    return analysed(tmp_path_factory.mktemp("sound"), HUMID)


@pytest.fixture(scope="module")
def cold(tmp_path_factory):
    return analysed(tmp_path_factory.mktemp("cold"), COLD | COOL_RETURN)


def test_both_criteria_stand_side_by_side(sound, cold):
    for analysis in (sound, cold):
        for key in (FIN, SUCTION):
            chance = one(analysis, key)
            assert chance.unit == "1"
            assert 0.0 <= chance.low <= chance.value <= chance.high <= 1.0
    assert one(sound, SUCTION).value < 0.01
    assert one(cold, SUCTION).value > 0.95  # 29 °F outdoors, at most 2 °F more at the coil


def test_the_coldest_metal_lies_between_suction_and_air(sound):
    """The tube wall is warmer than the refrigerant inside it and colder than the return air."""
    coldest = one(sound, COLDEST)
    suction = min(f.value for f in found(sound, "coil.suction_saturation"))
    assert suction < coldest.value < 297.0
    assert coldest.low <= coldest.value <= coldest.high


def test_suction_at_the_outdoor_unit_is_brought_to_the_coil(sound, tmp_path):
    """1 to 2 °F of saturation lower at the outdoor unit (common practice)."""
    outdoors, at_coil = (
        one(sound, "circuit.suction_saturation", "1"),
        one(sound, "coil.suction_saturation", "1"),
    )
    assert (at_coil.value - outdoors.value) * 1.8 == pytest.approx(1.5, abs=0.1)
    there = analysed(tmp_path, HUMID | {"1.suction_measured_at": "coil"})
    values = [one(there, key, "1").value for key in ("circuit.suction_saturation", "coil.suction_saturation")]
    assert values[0] == values[1]


def test_suction_unread_is_not_invented(tmp_path):
    unread = HUMID | {"1.suction_pressure": None, "2.suction_pressure": None}
    analysis = analysed(tmp_path, unread)
    for key in (FIN, SUCTION):
        chance = one(analysis, key)
        assert (chance.value, chance.text) == (None, "cannot tell")
        assert "read suction pressure of circuit 1, suction pressure of circuit 2" in chance.statement
    assert not found(analysis, COLDEST)
    assert not found(analysis, "coil.suction_saturation")


def test_one_circuit_unread_is_named(tmp_path):
    analysis = analysed(tmp_path, HUMID | {"2.suction_pressure": None})
    for key in (FIN, SUCTION):
        statement = one(analysis, key).statement
        assert one(analysis, key).text == "cannot tell"
        assert "suction pressure of circuit 2" in statement
        assert "suction pressure of circuit 1" not in statement
    assert "Circuit 1 alone: 0 %" in one(analysis, SUCTION).statement
    assert not found(analysis, COLDEST)


def test_return_humidity_unread_stops_the_metal_not_the_suction(tmp_path):
    analysis = analysed(tmp_path)
    assert one(analysis, FIN).text == "cannot tell"
    assert "read return humidity" in one(analysis, FIN).statement
    assert one(analysis, SUCTION).value is not None
    assert not found(analysis, COLDEST)


def test_the_idle_circuit_needs_no_reading(tmp_path):
    analysis = analysed(tmp_path, FIRST_STAGE)
    assert one(analysis, COLDEST).value is not None
    assert [f.circuit for f in found(analysis, "coil.suction_saturation")] == ["1"]


def test_a_refrigerant_that_is_not_carried_is_told_as_the_reason(tmp_path):
    analysis = analysed(tmp_path, HUMID | {"circuit.2.refrigerant": "R-1234yf"})
    statement = one(analysis, FIN).statement
    assert one(analysis, FIN).text == "cannot tell"
    assert "read suction pressure" not in statement
    assert "R-1234yf" in statement


@pytest.mark.parametrize("known", ["interlaced", "face split"])
def test_unknown_circuiting_widens(tmp_path, known):
    """One stage alone: on a split face it works with half the air, interlaced with all of it."""
    kinds = {
        word: one(analysed(tmp_path, FIRST_STAGE | {"unit.circuiting": word}), COLDEST)
        for word in (known, "unknown", None)
    }
    assert kinds["unknown"].high - kinds["unknown"].low > kinds[known].high - kinds[known].low
    assert (kinds[None].low, kinds[None].high) == (kinds["unknown"].low, kinds["unknown"].high)


def test_a_split_face_is_colder_with_one_stage(tmp_path):
    split, interlaced = (
        one(analysed(tmp_path, FIRST_STAGE | {"unit.circuiting": word}), COLDEST).value
        for word in ("face split", "interlaced")
    )
    assert split < interlaced


def test_a_standing_fan_is_no_coil_temperature(tmp_path):
    analysis = analysed(tmp_path, HUMID | STANDING_FAN)
    assert one(analysis, FIN).text == "cannot tell"
    assert "fan stands still" in one(analysis, FIN).statement
    assert not found(analysis, COLDEST)
    assert one(analysis, SUCTION).value is not None


def test_a_standing_fan_is_the_reason_even_where_readings_lack(tmp_path):
    statement = one(analysed(tmp_path, STANDING_FAN), FIN).statement
    assert "fan stands still" in statement


def test_less_air_is_colder_and_likelier_to_freeze(tmp_path):
    """Same suction, less air: the metal follows the refrigerant."""
    chances, metal = [], []
    for flow in ("2800 cfm", "4500 cfm", "7600 cfm"):
        analysis = analysed(tmp_path, COLD | COOL_RETURN | {"air.fan_frequency": None, "air.airflow": flow})
        chances.append(one(analysis, FIN).value)
        metal.append(one(analysis, COLDEST).value)
    assert metal == sorted(metal)
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]


def test_lower_suction_is_colder_and_likelier_to_freeze(tmp_path, sound):
    chances, metal = [], []
    for pressure in ("85 psig", "100 psig"):
        both = {f"{name}.suction_pressure": pressure for name in ("1", "2")}
        analysis = analysed(tmp_path, COLD | COOL_RETURN | both | {"air.airflow": "5000 cfm"})
        chances.append((one(analysis, FIN).value, one(analysis, SUCTION).value))
        metal.append(one(analysis, COLDEST).value)
    assert metal[0] < metal[1] < one(sound, COLDEST).value
    assert chances[0][0] > chances[1][0]
    assert chances[0][1] > chances[1][1]


def test_a_wetter_return_does_not_cool_the_metal(tmp_path):
    """At the same suction more water to condense brings more heat to the fins."""
    alone = COLD | {"air.supply_wet_bulb": None}
    metal = [
        one(analysed(tmp_path, alone | {"air.return_wet_bulb": wet_bulb}), COLDEST).value
        for wet_bulb in ("58 degF", "63 degF", "68 degF")
    ]
    assert metal == sorted(metal)
    assert metal[0] < metal[-1]


def test_low_fan_on_a_warm_day_does_not_freeze_by_itself(tmp_path):
    """Both circuits at 40 °F suction: a slow fan alone makes no ice."""
    slow = HUMID | {"air.airflow": None, "air.fan_frequency": "36 Hz"}
    assert one(analysed(tmp_path, slow), FIN).value < 0.05


def test_an_assumed_rating_says_so_beside_the_probability(tmp_path, sound):
    analysis = analysed(tmp_path, HUMID | {"unit.rated_suction_saturation": None})
    assert "not known" in one(analysis, FIN).statement
    assert one(analysis, FIN).basis == "assumed"
    assert "not known" in one(analysis, "assumed.rated_suction_saturation").statement
    assert "not known" not in one(sound, FIN).statement
    assert not found(sound, "assumed.rated_suction_saturation")


def test_unknown_airflow_does_not_stop_the_answer_but_reaches_colder(tmp_path, sound):
    """Without the supply's humidity the refrigerant side tells no airflow either."""
    blind = HUMID | WIDE_AIRFLOW | {"air.supply_wet_bulb": None}
    assert one(analysed(tmp_path, blind), COLDEST).low < one(sound, COLDEST).low


@pytest.mark.parametrize("calls", [["heat 1"], ["heat 1", "heat 2"], ["defrost"]])
def test_nothing_is_said_of_freezing_in_heating(tmp_path, calls):
    analysis = analysed(tmp_path, HUMID | {"unit.kind": "heat pump", "condition.calls": calls})
    assert not found(analysis, FIN)
    assert not found(analysis, SUCTION)


def test_a_coil_that_stands_has_no_freezing(tmp_path):
    off = HUMID | {"condition.calls": [], "condition.compressors_running": []}
    off |= {f"{name}.compressor_current": None for name in ("1", "2")}
    off |= {f"{name}.liquid_pressure": "118 psig" for name in ("1", "2")}
    assert not found(analysed(tmp_path, off), FIN)


def test_the_colder_circuit_decides(tmp_path):
    """Circuit 2 alone near 29 °F, circuit 1 near 40 °F: the coil freezes where it is coldest."""
    one_cold = HUMID | {"2.suction_pressure": "92 psig", "2.suction_temperature": "40 degF"}
    analysis = analysed(tmp_path, one_cold)
    assert one(analysis, SUCTION).value > 0.95
    assert "circuit 2" in one(analysis, COLDEST).statement


def test_a_chance_says_how_many_draws_it_comes_from(tmp_path) -> None:
    told = one(analysed(tmp_path, HUMID), "freeze.probability.suction").statement
    assert "from 512 draws" in told and "sampling error" not in told


DRY = COLD | COOL_RETURN | {"air.return_wet_bulb": None, "air.return_dew_point": "10 degF"}
DRY |= {"air.supply_wet_bulb": None} | {f"{name}.suction_pressure": "75 psig" for name in "12"}


def test_cold_metal_in_dry_air_does_not_frost(tmp_path):
    """At 10 °F dew point metal of 29 °F is cold and dry: frost needs air whose dew point lies above it."""
    dry = analysed(tmp_path, DRY)
    metal = dry.conditions[0].freeze.metal
    assert metal.value > 0.9 and one(dry, FIN).value < 0.01 and one(dry, SUCTION).value < 0.01
    assert (
        f"Metal below freezing, with frost or without: {100 * metal.value:.0f} %" in one(dry, FIN).statement
    )
    assert one(dry, FIN).severity == "note"
    assert dry.water is None or Way.MELT not in dry.water.those(Ability.CAN)


def test_no_frost_seen_after_a_run_lowers_it(tmp_path):
    fraught = HUMID | {f"{name}.suction_pressure": "88 psig" for name in "12"} | COOL_RETURN
    seen = fraught | {"signs.frost_on": "none"}
    plain, free = analysed(tmp_path, fraught), analysed(tmp_path, seen)
    short = analysed(tmp_path, seen | {"condition.running_for": "5 min"})
    assert 0.05 < one(plain, FIN).value < 0.999
    assert one(free, FIN).value < one(plain, FIN).value == one(short, FIN).value
    assert "No frost was seen" in one(free, FIN).statement


@pytest.mark.parametrize(
    "found, mild, told",
    [(0.001, 0.9, None), (0.001, 0.01, 0.001), (0.8, 0.3, 0.8), (None, 0.3, 0.3), (0.3, 0.9, 0.3)],
)
def test_another_day_s_forecast_never_outranks_readings(found, mild, told):
    """It keeps ice open, and never makes it likelier than what was read."""
    chance = Freezing(float("nan") if found is None else found, mild, float("nan")).chance
    assert chance == told if told is not None else chance != chance
