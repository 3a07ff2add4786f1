"""Every default in use is a finding, and odd but valid jobs are answered in full sentences."""

import re

import pytest

from tests.behaviour.jobs import HUMID, SOUND, analysed, found, one


def without(*prefixes: str) -> dict:
    return {key: None for key in SOUND if key.startswith(prefixes)}


READINGS = without("air.", "1.", "2.", "condition.")
LEAST = {
    key: None
    for key in SOUND
    if key
    not in (
        "job.title",
        "job.elevation",
        "unit.rated_capacity",
        "unit.rated_airflow",
        "circuit.1.refrigerant",
    )
}


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        (LEAST, "rated_suction_saturation"),
        (LEAST, "rated_sensible_heat_ratio"),
        (LEAST, "fan_power"),
        (LEAST, "rated_return_dry_bulb"),
        (LEAST, "rated_return_wet_bulb"),
        ({}, "capacity_share"),
        ({"unit.circuiting": None}, "circuiting"),
        ({"unit.fan.full_speed": None}, "full_speed"),
        ({}, "supply_measured_at"),
        ({}, "suction_measured_at"),
    ],
)
def test_each_default_in_use_is_a_finding(tmp_path, changes, key):
    finding = one(analysed(tmp_path, changes), f"assumed.{key}")
    assert finding.basis == "assumed"
    assert (finding.visit, finding.condition, finding.circuit) == (None, None, None)


def test_nothing_is_assumed_where_everything_is_typed(tmp_path):
    typed = {
        "circuit.1.capacity_share": 0.5,
        "circuit.2.capacity_share": 0.5,
        "air.supply_measured_at": "unit",
        "1.suction_measured_at": "outdoor unit",
        "2.suction_measured_at": "coil",
    }
    analysis = analysed(tmp_path, typed)
    assert [f.key for f in analysis.findings if f.key.startswith("assumed.")] == []


def test_a_fixed_default_has_no_band_in_words(tmp_path):
    assert one(analysed(tmp_path, LEAST), "assumed.rated_return_dry_bulb").statement.endswith(": 80.0 °F.")


OFF = READINGS | {"condition.calls": [], "1.suction_pressure": "200 psig", "1.liquid_pressure": "201 psig"}
BY_WATER = {"condition.calls": ["heat 1"], "air.supply_dry_bulb": "95 degF"} | without(
    "1.", "2.", "condition.comp"
)
ODD = {
    "no visits": READINGS,
    "the least": LEAST,
    "a condition without readings": READINGS | {"condition.label": "nothing read"},
    "one circuit": without("2.", "circuit.2") | {"condition.compressors_running": ["1"]},
    "refrigerant not carried": HUMID
    | {"circuit.1.refrigerant": "R-1234yf", "circuit.2.refrigerant": "R-1234yf"},
    "8000 ft": HUMID | {"job.elevation": "8000 ft"},
    "below the sea": HUMID | {"job.elevation": "-1000 ft"},
    "only pressures": READINGS | {key: SOUND[key] for key in SOUND if key.endswith("_pressure")},
    "only temperatures": READINGS | {key: SOUND[key] for key in SOUND if key.endswith("_temperature")},
    "only air": HUMID | without("1.", "2.", "condition."),
    "hot water heat": BY_WATER,
    "heat pump": {"unit.kind": "heat pump", "condition.calls": ["heat 1"], "air.supply_dry_bulb": "95 degF"},
    "off": OFF,
    "fan only": HUMID | without("1.", "2.", "condition.comp") | {"condition.calls": ["fan"]},
    "second stage alone": without("1.")
    | {"condition.calls": ["cool 2"], "condition.compressors_running": ["2"]},
    "metric": HUMID
    | {
        "display": "si",
        "unit.rated_capacity": "70 kW",
        "unit.rated_airflow": "3.8 m3/s",
        "air.return_dry_bulb": "24 degC",
        "air.return_wet_bulb": "17 degC",
        "1.suction_pressure": "815 kPag",
        "1.liquid_pressure": "21.9 barg",
        "2.liquid_pressure": "2.29 MPaa",
        "circuit.1.target_subcooling": "6.7 K",
    },
    "ranges": {
        "air.return_dry_bulb": "74 to 76 degF",
        "air.airflow": "7000 to 8000 cfm",
        "air.fan_frequency": "58 to 60 Hz",
        "1.suction_pressure": "116 to 120 psig",
        "1.liquid_temperature": "87 to 89 degF",
    },
    "a barometer instead of an elevation": HUMID | {"job.elevation": None, "air.barometer": "29.3 inHg"},
}


@pytest.mark.parametrize("name", ODD)
def test_odd_but_valid_jobs_are_answered_in_sentences(tmp_path, name):
    analysis = analysed(tmp_path, ODD[name])
    for text in [f.statement for f in analysis.findings] + [n.text for n in analysis.notices]:
        assert text
        assert not re.search(r"\bnan\b|\binf\b|None|\{|\}|  |;\.|: \.|,\.|\.\.$", text), text
    for finding in analysis.findings:
        assert finding.statement[0].isupper()
        assert finding.statement.endswith(".")


def test_heated_air_is_told_as_such(tmp_path):
    statement = one(analysed(tmp_path, BY_WATER), "capacity.sensible").statement
    assert "the air is heated" in statement


def test_compressors_unknown_and_nothing_read_asks_for_suction(tmp_path):
    """Cold supply air without calls and without gauges: freezing cannot be told, and what to read is."""
    analysis = analysed(tmp_path, ODD["only air"])
    assert "suction pressure of circuit 1" in one(analysis, "freeze.probability.suction").statement
    assert not found(analysis, "coil.coldest_surface")
