"""Each further way to an airflow, by hand arithmetic, and what is said where it cannot be taken.

Exponents of pressure drops are the middle of the stated bands, from memory: coil 1.75, filters 1.5.
"""

import re

import numpy as np
import pytest

from hvaccalc import analyse
from hvaccalc import units as u
from hvaccalc.job.load import job_from_text
from hvaccalc.resources import data_path
from tests.behaviour.jobs import HUMID, WIDE_AIRFLOW, analysed, found, one
from tests.measured_sets import analysis as measured
from tests.measured_sets import outcome

KNOWN = {
    "airflow": "6000 cfm",
    "coil_pressure_drop": "0.20 inH2O",
    "filter_pressure_drop": "0.10 inH2O",
    "fan_speed": "45 Hz",
}
AT_KNOWN = {"unit.fan.known": [KNOWN]}
BARE = WIDE_AIRFLOW | AT_KNOWN | HUMID
CURVE = [
    {"airflow": "6000 cfm", "static": "1.6 inH2O"},
    {"airflow": "8000 cfm", "static": "1.2 inH2O"},
    {"airflow": "10000 cfm", "static": "0.4 inH2O"},
]


def cfm(value: float) -> float:
    return float(u.to(value, "cfm", "airflow"))


def codes(analysis) -> list[str]:
    return [notice.code for notice in analysis.notices]


def test_coil_drop_is_scaled_from_the_known_point(tmp_path):
    """Twice the drop: 2^(1/1.75) = 1.486 times the air."""
    method = one(analysed(tmp_path, BARE | {"air.coil_pressure_drop": "0.40 inH2O"}), "airflow.coil_drop")
    assert cfm(method.value) == pytest.approx(6000 * 2 ** (1 / 1.75), rel=1e-3)
    assert method.basis == "computed"
    assert method.low < method.value < method.high


def test_filter_drop_is_scaled_from_the_known_point(tmp_path):
    """Half the drop: 0.5^(1/1.5) = 0.630."""
    method = one(analysed(tmp_path, BARE | {"air.filter_pressure_drop": "0.05 inH2O"}), "airflow.filter_drop")
    assert cfm(method.value) == pytest.approx(6000 * 0.5 ** (1 / 1.5), rel=1e-3)


def test_the_nearest_known_point_counts(tmp_path):
    """0.40 inH2O lies nearer to 0.42 at 9000 cfm than to 0.20 at 6000."""
    points = [KNOWN, {"airflow": "9000 cfm", "coil_pressure_drop": "0.42 inH2O"}]
    changes = BARE | {"unit.fan.known": points, "air.coil_pressure_drop": "0.40 inH2O"}
    method = one(analysed(tmp_path, changes), "airflow.coil_drop")
    assert cfm(method.value) == pytest.approx(9000 * (0.40 / 0.42) ** (1 / 1.75), rel=1e-3)


def test_fan_law_from_the_known_point(tmp_path):
    """6000 cfm at 45 Hz are 8000 at 60 Hz; the rated airflow plays no part."""
    law = one(analysed(tmp_path, BARE | {"air.fan_frequency": "60 Hz"}), "airflow.fan_law")
    assert cfm(law.value) == pytest.approx(8000, rel=1e-3)
    assert law.basis == "computed"


def test_fan_curve_with_speed_and_static(tmp_path):
    """At 45 Hz statics are 0.5625 and flows 0.75 of those at 60 Hz.

    0.50625 inH2O read; a tenth of system effect makes 0.5625, at full speed 1.0: half way from 8000 to 10,000
    is 0.8, a quarter is 1.0: 8500 cfm, times 0.75.
    """
    changes = WIDE_AIRFLOW | {
        "unit.fan.curve": CURVE,
        "air.fan_frequency": "45 Hz",
        "air.external_static": "0.50625 inH2O",
    }
    method = one(analysed(tmp_path, changes), "airflow.fan_curve")
    assert cfm(method.value) == pytest.approx(8500 * 0.75, rel=5e-3)
    assert method.basis == "computed"


def test_points_of_a_curve_at_other_speeds_are_the_same_curve(tmp_path):
    """Half of them printed at 900 rpm, half at 450: flow halves, static quarters (fan laws)."""
    slow = {"airflow": "5000 cfm", "static": "0.1 inH2O", "speed": "450 rpm"}
    curve = [*({**p, "speed": "900 rpm"} for p in CURVE[:2]), slow]
    changes = WIDE_AIRFLOW | {
        "unit.fan.full_speed": "900 rpm",
        "unit.fan.curve": curve,
        "air.fan_speed": "675 rpm",
        "air.external_static": "0.50625 inH2O",
    }
    method = one(analysed(tmp_path, changes), "airflow.fan_curve")
    assert cfm(method.value) == pytest.approx(8500 * 0.75, rel=5e-3)


def test_a_point_outside_the_curve_is_said(tmp_path):
    changes = WIDE_AIRFLOW | {
        "unit.fan.curve": CURVE,
        "air.fan_frequency": "60 Hz",
        "air.external_static": "2.5 inH2O",
    }
    analysis = analysed(tmp_path, changes)
    assert not found(analysis, "airflow.fan_curve")
    told = [n.text for n in analysis.notices if n.code == "airflow.not_taken"]
    assert len(told) == 1 and "outside the typed curve" in told[0]


def test_traverse_is_the_mean_velocity_times_the_area(tmp_path):
    """12.5 ft² at a mean of 600 ft/min: 7500 cfm."""
    speeds = [f"{v} ft/min" for v in (500, 550, 600, 650, 700) * 5]
    changes = WIDE_AIRFLOW | {"air.traverse": {"velocities": speeds, "area": "12.5 ft2"}}
    analysis = analysed(tmp_path, changes)
    method = one(analysis, "airflow.traverse")
    assert cfm(method.value) == pytest.approx(7500, rel=1e-3)
    # ± 7 %, 2 % and the area's 2 % (95 %): 7.5 %.
    assert (method.high - method.low) / 2 / method.value == pytest.approx(0.075, rel=0.08)
    assert "traverse.points" not in codes(analysis)


def test_a_traverse_over_the_duct_area_of_the_condition(tmp_path):
    changes = WIDE_AIRFLOW | {"air.traverse": ["600 ft/min"] * 25, "air.duct_area": "12.5 ft2"}
    assert cfm(one(analysed(tmp_path, changes), "airflow.traverse").value) == pytest.approx(7500, rel=1e-3)


def test_a_traverse_without_its_area_is_said(tmp_path):
    analysis = analysed(tmp_path, WIDE_AIRFLOW | {"air.traverse": ["600 ft/min"] * 25})
    assert not found(analysis, "airflow.traverse")
    assert "airflow.not_taken" in codes(analysis)


def test_velocities_that_fit_no_traverse_are_said(tmp_path):
    changes = WIDE_AIRFLOW | {"air.traverse": {"velocities": ["600 ft/min"] * 23, "area": "12.5 ft2"}}
    assert "traverse.points" in codes(analysed(tmp_path, changes))


def test_a_plane_too_uneven_is_flagged_and_left_out(tmp_path):
    speeds = ["2000 ft/min"] * 10 + ["200 ft/min"] * 15
    analysis = analysed(tmp_path, WIDE_AIRFLOW | {"air.traverse": {"velocities": speeds, "area": "12.5 ft2"}})
    assert "contradiction.uneven_traverse" in codes(analysis)
    assert not found(analysis, "airflow.traverse")


HEATING = {
    "condition.calls": ["heat 1"],
    "condition.compressors_running": [],
    "air.return_dry_bulb": "70 degF",
    "air.supply_dry_bulb": "90 degF",
    "air.electric_heat": "50 kW",
    "air.fan_power": "3 kW",
    "1.compressor_current": "0 A",
    "2.compressor_current": "0 A",
    "1.suction_pressure": None,
    "1.liquid_pressure": None,
    "2.suction_pressure": None,
    "2.liquid_pressure": None,
}


@pytest.mark.parametrize(("place", "watts"), [("unit", 53e3), ("coil", 50e3)])
def test_known_heat_by_its_rise(tmp_path, place, watts):
    """cfm = Btu/h / (1.08 × rise), standard air; after the fan its 3 kW are in the rise too.

    70 °F return air is standard air but for its vapour: 2 % of the constant.
    """
    changes = WIDE_AIRFLOW | HEATING | {"air.supply_measured_at": place}
    method = one(analysed(tmp_path, changes), "airflow.heat_rise")
    assert cfm(method.value) == pytest.approx(watts * 3.412142 / (1.08 * 20.0), rel=0.02)
    assert method.basis == "measured"


def test_a_known_heat_with_a_compressor_running_tells_nothing(tmp_path):
    changes = (
        WIDE_AIRFLOW | HEATING | {"1.compressor_current": "18 A", "condition.compressors_running": ["1"]}
    )
    analysis = analysed(tmp_path, changes)
    assert not found(analysis, "airflow.heat_rise")
    assert any("a compressor ran" in n.text for n in analysis.notices)


@pytest.mark.parametrize("label", outcome("chamber"))
def test_enthalpy_method_on_the_chamber_set(label):
    """NISTIR 7350, appendix D: nozzle against refrigerant side, within the 6 % to which its sides close."""
    (result,) = [r for r in measured("chamber").conditions if r.label == label]
    by = {method.name: method.flow[0] for method in result.airflow.methods}
    assert by["enthalpy"] == pytest.approx(by["reading"], rel=0.06)


def test_enthalpy_method_on_the_field_set_leaves_out_wet_suction():
    """Log of the Oak Ridge unit: with liquid in the suction line the refrigerant side tells no heat."""
    for result in measured("field").conditions:
        names = [method.name for method in result.airflow.methods]
        assert ("enthalpy" in names) == result.label.startswith("no fault")


@pytest.mark.parametrize(("name", "count"), [("chamber", 12), ("field", 5)])
def test_enthalpy_method_with_compressors_sized_by_the_rating(name, count):
    """NISTIR 7350 and the Oak Ridge unit without their flow meters: the airflow measured lies within 6 %.

    And within the method's own band, which the rating and the compressor's curve make 16 % or wider.
    """
    path = data_path("measured", f"{name}.toml")
    metered = path.read_text("utf-8")
    text = re.sub(r"^refrigerant_mass_flow.*\n", "", metered, flags=re.MULTILINE)
    assert text != metered
    told = 0
    for result in analyse(job_from_text(text, path)).conditions:
        by = {method.name: method for method in result.airflow.methods}
        if "enthalpy" in by:
            told += 1
            flow, measured_flow = by["enthalpy"].flow, by["reading"].flow[0]
            assert by["enthalpy"].basis == "rule of thumb"
            assert flow[0] == pytest.approx(measured_flow, rel=0.06)
            low, high = np.nanpercentile(flow[1:], [2.5, 97.5])
            assert low < measured_flow < high and high - low > 0.2 * measured_flow
    assert told == count


def test_sized_compressors_alone_do_not_open_the_airflow_gate(tmp_path):
    """A worn compressor would look like more air: it takes a reading of air to say that there is enough."""
    analysis = analysed(tmp_path, HUMID | {"air.airflow": None, "air.fan_frequency": None})
    result = analysis.conditions[0]
    assert "enthalpy" in result.airflow.used
    assert not result.airflow.measured


def test_beside_a_reading_sized_compressors_have_no_say_but_are_named_when_at_odds(tmp_path):
    """A worn compressor must not raise a measured airflow; 7600 cfm agrees here, 2500 cfm cannot."""
    agreeing, odd = (
        analysed(tmp_path, HUMID | {"air.airflow": flow, "air.fan_frequency": None}).conditions[0].airflow
        for flow in ("7600 cfm", "2500 cfm")
    )
    assert agreeing.used == odd.used == ("reading",)
    assert not agreeing.disagreeing
    assert [off.name for off in odd.disagreeing] == ["enthalpy"]
    assert cfm(odd.flow[0]) == pytest.approx(2500, rel=1e-6)


def test_enthalpy_method_wants_every_circuit_that_runs(tmp_path):
    changes = HUMID | {"1.refrigerant_mass_flow": "1500 lb/h", "2.suction_temperature": None}
    analysis = analysed(tmp_path, changes)
    assert not found(analysis, "airflow.enthalpy")
    assert any("circuit 2 are missing" in n.text for n in analysis.notices)


def test_a_drop_without_a_known_point_is_said(tmp_path):
    analysis = analysed(tmp_path, {"air.coil_pressure_drop": "0.3 inH2O"})
    assert not found(analysis, "airflow.coil_drop")
    assert any("no known point" in n.text for n in analysis.notices)


def test_loaded_filters_tell_no_airflow(tmp_path):
    """A filter's drop grows by its load too."""
    changes = BARE | {"air.filter_pressure_drop": "0.3 inH2O", "condition.filters_clean": "no"}
    analysis = analysed(tmp_path, changes)
    assert not found(analysis, "airflow.filter_drop")
    assert any("not as clean" in n.text for n in analysis.notices)


def test_a_wrong_manometer_reading_is_named(tmp_path):
    """Traverse and fan law say 8000 cfm; ten times the drop would be 22,000."""
    changes = AT_KNOWN | {"air.airflow": "8000 cfm", "air.coil_pressure_drop": "2.0 inH2O"}
    both = one(analysed(tmp_path, changes), "airflow.reconciled")
    assert "coil drop differs from" in both.statement and both.severity == "watch"
    assert cfm(both.value) == pytest.approx(8000, rel=0.02)


def test_methods_that_share_the_known_point_share_its_error(tmp_path):
    changes = BARE | {"air.coil_pressure_drop": "0.20 inH2O", "air.fan_frequency": "45 Hz"}
    flow = analysed(tmp_path, changes).conditions[0].airflow
    coil, law = (m.flow[1:] for m in flow.methods if m.name in ("coil_drop", "fan_law"))
    assert np.corrcoef(np.log(coil), np.log(law))[0, 1] > 0.3


def test_drops_against_a_known_point_open_the_airflow_gate(tmp_path):
    """0.33 inH2O against 0.20 at 6000 cfm: 7990 cfm, 100 % of the rated 8000; the chart may be used."""
    changes = AT_KNOWN | {"air.airflow": None, "air.coil_pressure_drop": "0.33 inH2O"}
    charge = one(analysed(tmp_path, changes), "circuit.charge", "1")
    assert charge.text == "as charted"


def test_clean_drops_meet_the_gate_with_their_condition(tmp_path):
    """Drops read and filters clean, no known point: met, if the coil's drop is that of a clean coil."""
    changes = {
        "air.airflow": None,
        "condition.coil_thawed": "yes",
        "air.coil_pressure_drop": "0.3 inH2O",
        "air.filter_pressure_drop": "0.1 inH2O",
    }
    charge = one(analysed(tmp_path, changes), "circuit.charge", "1")
    assert charge.text == "as charted"


MAP = {
    "units": "degF lb/h W",
    "mass_flow": [
        *(217.3163128, 5.094492028, -0.593170311, 4.38e-2, -2.14e-2),
        *(1.04e-2, 7.90e-5, -5.73e-5, 1.79e-4, -8.08e-5),
    ],
    "power": [
        *(-561.3615705, -15.62601841, 46.92506685, -0.217949552, 0.435062616),
        *(-0.442400826, 2.25e-4, 2.37e-3, -3.32e-3, 2.50e-3),
    ],
}
"""A nominal 3-ton R-410A compressor of an open heat-pump model (ACHP sample), in the order of AHRI 540."""


def test_enthalpy_method_by_the_compressors_map(tmp_path):
    """45/130 °F dew: 459.4 lb/h by the map, 9.21 kW at 20 °F superheat and 15 °F subcooling (CoolProp).

    So much heat, less 0.5 kW of fan, over an air drop of 31.45 - 23.42 Btu/lb (psychrolib) less the water's
    0.055: 29.72 kBtu/h over 60/13.85 · 7.975 Btu/h for each cfm: 860 cfm, to 1 %.
    """
    dew_45, dew_130 = "130.7 psig", "475.6 psig"
    changes = WIDE_AIRFLOW | {
        "unit.rated_capacity": "34 kBtu/h",
        "unit.rated_airflow": "1200 cfm",
        "circuit.1.compressor_map": MAP,
        "circuit.2.refrigerant": None,
        **{f"circuit.2.{key}": None for key in ("metering", "stage", "target_subcooling")},
        **{f"2.{key}": None for key in ("suction_pressure", "suction_temperature", "liquid_pressure")},
        **{
            f"2.{key}": None for key in ("liquid_temperature", "compressor_current", "condenser_fans_running")
        },
        "condition.compressors_running": ["1"],
        "condition.calls": ["cool 1"],
        "air.return_dry_bulb": "80 degF",
        "air.return_wet_bulb": "67 degF",
        "air.supply_dry_bulb": "57 degF",
        "air.supply_wet_bulb": "55.4 degF",
        "air.supply_measured_at": "unit",
        "air.fan_power": "500 W",
        "1.suction_pressure": dew_45,
        "1.suction_temperature": "65 degF",
        "1.discharge_pressure": dew_130,
        "1.liquid_pressure": dew_130,
        "1.liquid_temperature": "115 degF",
    }
    method = one(analysed(tmp_path, changes), "airflow.enthalpy")
    assert method.basis == "computed" and "compressor's map" in method.statement
    assert cfm(method.value) == pytest.approx(860, rel=0.01)
