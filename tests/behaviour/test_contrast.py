"""Contrast of two circuits that share air, coil and weather.

Signs of the patterns: the table of residual signs of Li and Braun (as the package cites it) and, for an
overfeeding valve and an overcharge, common practice, no source. Readings by the printed R-410A card, from
memory: both circuits stand at 40 °F suction and 100 °F condensing, superheat 10 °F, subcooling 12 °F.
"""

import pytest

from hvaccalc.diagnosis.readings.draws import Where
from tests.behaviour.jobs import SOUND, analysed, found, one

SHORT = {"2.liquid_temperature": "96 degF", "2.suction_temperature": "60 degF"}
RESTRICTED = {"2.suction_temperature": "62 degF"}
RESTRICTED_BACKED_UP = {"2.suction_temperature": "62 degF", "2.liquid_temperature": "79 degF"}
OVERFED = {"2.suction_temperature": "42 degF", "1.suction_temperature": "52 degF"}
OVERCHARGED = {"2.liquid_temperature": "78 degF"}
LESS_SUBCOOLED = {"2.liquid_temperature": "97 degF"}


@pytest.mark.parametrize(
    ("changes", "suspect", "pattern"),
    [
        (SHORT, "2", "short of charge"),
        (RESTRICTED, "2", "restriction"),
        (RESTRICTED_BACKED_UP, "2", "restriction"),
        (OVERFED, "2", "overfeeding valve"),
        (OVERCHARGED, "2", "overcharged"),
        (LESS_SUBCOOLED, "2", "short of charge"),
        ({}, None, "none stands out"),
        ({"2.liquid_temperature": "89 degF", "2.suction_temperature": "51 degF"}, None, "none stands out"),
    ],
)
def test_each_pattern(tmp_path, changes, suspect, pattern):
    contrast = one(analysed(tmp_path, changes), "circuit.contrast")
    assert (contrast.circuit, contrast.text) == (suspect, pattern)
    assert contrast.severity == ("act" if suspect else "note")


def test_the_odd_circuit_is_found_on_either_side(tmp_path):
    changes = {key.replace("2.", "1."): value for key, value in SHORT.items()}
    contrast = one(analysed(tmp_path, changes), "circuit.contrast")
    assert (contrast.circuit, contrast.text) == ("1", "short of charge")


def test_a_restriction_asks_for_the_drop_across_the_drier(tmp_path):
    assert "across the drier" in one(analysed(tmp_path, RESTRICTED), "circuit.contrast").statement


@pytest.mark.parametrize(
    "unmet",
    [{"condition.running_for": "5 min"}, {"condition.coil_thawed": "no"}, {"signs.frost_on": "tubes"}],
)
def test_an_unmet_gate_of_its_own_silences_it(tmp_path, unmet):
    contrast = one(analysed(tmp_path, SHORT | unmet), "circuit.contrast")
    assert (contrast.circuit, contrast.text) == (None, "cannot tell")


@pytest.mark.parametrize(
    ("unknown", "said"),
    [
        ({"condition.running_for": None}, "steady for 15 minutes"),
        ({"condition.coil_thawed": None}, "coil thawed"),
    ],
)
def test_an_unknown_gate_is_stated_and_does_not_silence_it(tmp_path, unknown, said):
    contrast = one(analysed(tmp_path, SHORT | unknown), "circuit.contrast")
    assert contrast.circuit == "2"
    assert f"Not known: {said}" in contrast.statement


def test_gates_of_the_verdict_do_not_silence_it(tmp_path):
    """Full airflow, filters and outdoors are the same for both circuits."""
    away = {"air.fan_frequency": "36 Hz", "condition.filters_clean": "no", "air.outdoor_dry_bulb": "50 degF"}
    assert one(analysed(tmp_path, SHORT | away), "circuit.contrast").circuit == "2"


def test_different_targets_are_expected_to_differ(tmp_path):
    """Subcooling 12 and 4 °F against targets of 12 and 4: nothing stands out; of 12 and 12 it does."""
    four = {"2.liquid_temperature": "96 degF"}
    assert one(analysed(tmp_path, four), "circuit.contrast").circuit == "2"
    expected = one(analysed(tmp_path, four | {"circuit.2.target_subcooling": "4 degF"}), "circuit.contrast")
    assert expected.text == "none stands out"


def test_different_charts_are_expected_to_differ(tmp_path):
    """Chart points at 317 psig (100 °F): 88 °F liquid is 12 °F subcooled, 96 °F is 4."""
    point = {"liquid_pressure": "317 psig"}
    charts = {
        "circuit.1.target_subcooling": None,
        "circuit.2.target_subcooling": None,
        "circuit.1.chart": [{"liquid_temperature": "88 degF"} | point],
        "circuit.2.chart": [{"liquid_temperature": "96 degF"} | point],
        "2.liquid_temperature": "96 degF",
    }
    assert one(analysed(tmp_path, charts), "circuit.contrast").text == "none stands out"


def test_different_superheat_targets_are_expected_to_differ(tmp_path):
    targets = {"circuit.1.target_superheat": "10 degF", "circuit.2.target_superheat": "22 degF"}
    assert one(analysed(tmp_path, RESTRICTED | targets), "circuit.contrast").text == "none stands out"


@pytest.mark.parametrize(
    ("circuiting", "compared"),
    [("interlaced", True), ("face split", True), ("row split", False), ("unknown", False), (None, False)],
)
def test_a_row_split_coil_leaves_suction_out(tmp_path, circuiting, compared):
    """The downstream circuit meets colder air and runs colder by nature."""
    contrast = analysed(tmp_path, SHORT | {"unit.circuiting": circuiting}).conditions[0].contrast
    names = {name for name, _ in contrast.differences}
    assert ("suction saturation" in names) is compared
    assert {"subcooling", "superheat"} <= names
    assert contrast.suspect == "2"


NO_CIRCUIT_2 = {key: None for key in SOUND if key.startswith(("2.", "circuit.2."))}


def test_one_circuit_has_no_contrast(tmp_path):
    alone = NO_CIRCUIT_2 | {"condition.compressors_running": ["1"]}
    assert not found(analysed(tmp_path, alone), "circuit.contrast")


@pytest.mark.parametrize(
    "stopped",
    [
        {
            "condition.calls": ["cool 1"],
            "condition.compressors_running": ["1"],
            "2.compressor_current": "0 A",
        },
        {key: None for key in SOUND if key.startswith("2.")},
    ],
)
def test_no_contrast_where_one_circuit_stands_or_was_not_read(tmp_path, stopped):
    assert not found(analysed(tmp_path, stopped), "circuit.contrast")


def test_nothing_to_compare(tmp_path):
    bare = {
        "1.liquid_temperature": None,
        "1.suction_temperature": None,
    }
    contrast = one(analysed(tmp_path, bare), "circuit.contrast")
    assert (contrast.circuit, contrast.text) == (None, "cannot tell")


def test_superheat_alone_does_not_tell_a_shortage_from_a_restriction(tmp_path):
    contrast = one(analysed(tmp_path, SHORT | {"1.liquid_temperature": None}), "circuit.contrast")
    assert (contrast.circuit, contrast.text) == ("2", "short of charge or restriction")
    assert "Subcooling of both circuits tells which" in contrast.statement


def test_low_suction_alone_is_no_shortage(tmp_path):
    """Suction 6 °F lower with the same superheat and subcooling: no suspect for a shortage."""
    low = {"2.suction_pressure": "105 psig", "2.suction_temperature": "44 degF"}
    assert one(analysed(tmp_path, low), "circuit.contrast").text != "short of charge"


def test_a_third_circuit_can_stand_out(tmp_path):
    third = {key.replace("2", "3", 1): value for key, value in SOUND.items() if key.startswith("2.")}
    third |= {
        key.replace("circuit.2", "circuit.3"): value
        for key, value in SOUND.items()
        if key.startswith("circuit.2.")
    }
    third |= {
        "circuit.3.stage": 3,
        "condition.compressors_running": ["1", "2", "3"],
        "3.liquid_temperature": "96 degF",
        "3.suction_temperature": "60 degF",
    }
    analysis = analysed(tmp_path, third)
    contrast = one(analysis, "circuit.contrast")
    assert (contrast.circuit, contrast.text) == ("3", "short of charge")
    assert analysis.conditions[0].where == Where(1, 1)
