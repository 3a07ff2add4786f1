"""The fan's speed against the calls: all stages want full speed, cooling never without a fan."""

import pytest

from tests.behaviour.jobs import SOUND, analysed, found, one

BOTH = {"air.airflow": None}
FIRST = BOTH | {
    "condition.calls": ["cool 1"],
    "condition.compressors_running": ["1"],
    **{key: None for key in SOUND if key.startswith("2.")},
}


@pytest.mark.parametrize(
    ("changes", "text", "severity"),
    [
        ({"air.fan_frequency": "36 Hz"}, "fan low with second stage", "act"),
        ({"air.fan_frequency": None, "air.fan_speed": "60 %"}, "fan low with second stage", "act"),
        (
            {"air.fan_frequency": None, "air.fan_speed": "540 rpm", "unit.fan.full_speed": "900 rpm"},
            "fan low with second stage",
            "act",
        ),
        (
            {"air.fan_frequency": None, "air.fan_speed": "54 %", "unit.fan.full_speed": "90 %"},
            "fan low with second stage",
            "act",
        ),
        ({"air.fan_frequency": "36 Hz", "unit.fan.full_speed": None}, "fan low with second stage", "act"),
        ({"air.fan_frequency": "0 Hz"}, "cooling without fan", "stop"),
        ({"air.fan_frequency": None, "air.fan_speed": "0 rpm"}, "cooling without fan", "stop"),
    ],
)
def test_fault(tmp_path, changes, text, severity):
    fault = one(analysed(tmp_path, BOTH | changes), "staging.fault")
    assert (fault.text, fault.severity) == (text, severity)
    assert fault.basis == "measured"


def test_first_stage_without_fan_is_a_stop_too(tmp_path):
    fault = one(analysed(tmp_path, FIRST | {"air.fan_frequency": "0 Hz"}), "staging.fault")
    assert (fault.text, fault.severity) == ("cooling without fan", "stop")


@pytest.mark.parametrize(
    "changes",
    [
        FIRST | {"air.fan_frequency": "36 Hz"},
        BOTH,
        BOTH | {"air.fan_frequency": "59.9 Hz"},
        BOTH | {"air.fan_frequency": None},
        BOTH | {"air.fan_frequency": None, "air.fan_speed": "900 rpm", "unit.fan.full_speed": "900 rpm"},
        BOTH | {"air.fan_frequency": None, "air.fan_speed": "90 %", "unit.fan.full_speed": "90 %"},
        BOTH
        | {"air.fan_frequency": "36 Hz", "condition.calls": ["fan"], "condition.compressors_running": []},
        BOTH | {"air.fan_frequency": "0 Hz", "condition.calls": [], "condition.compressors_running": []},
    ],
)
def test_no_fault(tmp_path, changes):
    assert not found(analysed(tmp_path, changes), "staging.fault")


def test_a_heat_pump_that_heats_without_fan_is_told_as_heating(tmp_path):
    heat = {"unit.kind": "heat pump", "condition.calls": ["heat 1"], "air.fan_frequency": "0 Hz"}
    fault = one(analysed(tmp_path, BOTH | heat | {"air.supply_dry_bulb": None}), "staging.fault")
    assert (fault.text, fault.severity) == ("heating without fan", "stop")
    assert "Cooling is on" not in fault.statement


def test_hot_water_heat_at_a_low_fan_is_no_second_stage(tmp_path):
    """A cooling-only unit heats by water: a heating call runs no compressor."""
    heat = {
        "unit.kind": "cooling",
        "condition.calls": ["heat 1", "heat 2"],
        "condition.compressors_running": None,
        "air.fan_frequency": "36 Hz",
        "air.supply_dry_bulb": "95 degF",
        **{key: None for key in SOUND if key.startswith(("1.", "2."))},
    }
    analysis = analysed(tmp_path, BOTH | heat)
    assert not found(analysis, "staging.fault")
    assert not found(analysis, "freeze.probability.fin")


def test_without_calls_the_compressors_said_to_run_count(tmp_path):
    changes = BOTH | {"condition.calls": None, "air.fan_frequency": "36 Hz"}
    assert one(analysed(tmp_path, changes), "staging.fault").text == "fan low with second stage"


def test_the_statement_names_both_speeds_in_one_unit(tmp_path):
    percent = BOTH | {"air.fan_frequency": None, "air.fan_speed": "60 %", "unit.fan.full_speed": None}
    statement = one(analysed(tmp_path, percent), "staging.fault").statement
    assert "60 %" in statement
    assert "Hz" not in statement
    hertz = one(analysed(tmp_path, BOTH | {"air.fan_frequency": "36 Hz"}), "staging.fault").statement
    assert "36 Hz" in hertz
    assert "60 Hz" in hertz


def test_a_heat_pump_that_heats_at_a_low_fan(tmp_path):
    """Full speed whenever the compressor heats: common practice, no source."""
    for calls in (["heat 1"], ["heat 1", "heat 2"]):
        heat = {
            "unit.kind": "heat pump",
            "condition.calls": calls,
            "air.fan_frequency": "36 Hz",
            "air.supply_dry_bulb": None,
        }
        fault = one(analysed(tmp_path, BOTH | heat), "staging.fault")
        assert (fault.text, fault.severity) == ("fan low while heating", "act")
        assert "no proof of overcharge" in fault.statement
        full = heat | {"air.fan_frequency": "60 Hz"}
        assert not found(analysed(tmp_path, BOTH | full), "staging.fault")
    defrost = heat | {"condition.calls": ["defrost"]}
    assert not found(analysed(tmp_path, BOTH | defrost), "staging.fault")
