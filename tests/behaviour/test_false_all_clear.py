"""Sites on which an all-clear would mislead: what is seen, or stands still, or cannot be, comes first.

Thresholds are common practice, no source, but for condensing above outdoor air: 17 to 24 °F on sound units,
and 41 °F with a blocked condenser were measured (NISTIR 7350, 2006; ORNL test building).
Saturations by the printed R-410A card, from memory: 118 psig 40 °F, 317 psig 100 °F, 418 psig 120 °F.
"""

import pytest

from tests.behaviour.jobs import HUMID, analysed, analysis_of, blocks_of, found, job_text, one

VISIT_2 = "\n[[visit]]\ndate = 2026-09-18\n"


def work(**entries: str) -> str:
    rows = "\n".join(f"{key} = {value}" for key, value in entries.items())
    return f'\n[[visit.work]]\nkind = "temporary measure"\n{rows}\n'


def texts(analysis, audience: str = "file") -> str:
    return " ".join(str(block) for block in blocks_of(analysis, audience))


def test_a_called_compressor_that_stands(tmp_path):
    analysis = analysed(tmp_path, {"2.compressor_current": "0.1 A", "2.liquid_pressure": "130 psig"})
    finding = one(analysis, "circuit.compressor")
    assert (finding.circuit, finding.severity) == ("2", "act")
    assert "never bridge" in finding.statement
    assert "Nothing out of order" not in texts(analysis)
    assert "holds its compressor off" in texts(analysis)


def test_a_standing_compressor_that_nobody_called(tmp_path):
    changes = {"condition.calls": ["cool 1"], "2.compressor_current": "0 A", "2.liquid_pressure": "130 psig"}
    assert not found(analysed(tmp_path, changes), "circuit.compressor")


def test_heat_of_a_cooling_unit_calls_no_compressor(tmp_path):
    changes = {"condition.calls": ["heat 1"], "1.compressor_current": "0 A", "2.compressor_current": "0 A"}
    assert not found(analysed(tmp_path, changes), "circuit.compressor")


@pytest.mark.parametrize("changes", [{"signs.frost_on": "coil face", "condition.coil_thawed": None}])
def test_ice_that_was_seen_outranks_what_is_computed(tmp_path, changes):
    analysis = analysed(tmp_path, HUMID | changes)
    assert one(analysis, "coil.ice_seen").severity == "act"
    assert not found(analysis, "coil.coldest_surface")
    assert one(analysis, "freeze.probability.fin").text == "cannot tell"
    told = texts(analysis) + texts(analysis, "customer")
    assert "Freezing was unlikely" not in told and "Nothing out of order" not in told


def test_loaded_filters_widen_the_fan_law(tmp_path):
    base = {"air.airflow": None}
    clean = one(analysed(tmp_path, base), "airflow.fan_law")
    loaded = one(analysed(tmp_path, base | {"condition.filters_clean": "no"}), "airflow.fan_law")
    assert loaded.low < 0.75 * clean.low and "filters not clean" in loaded.statement
    assert loaded.high <= clean.high * 1.01


def test_air_missing_at_full_speed(tmp_path):
    analysis = analysed(tmp_path, {"air.airflow": "4000 cfm"})
    assert one(analysis, "airflow.short").severity == "act"
    assert "holds it back" in one(analysis, "airflow.short").statement
    assert not found(analysed(tmp_path, {}), "airflow.short")
    low = {"air.airflow": "4400 cfm", "air.fan_frequency": "36 Hz"}
    assert not found(analysed(tmp_path, low), "airflow.short")


def test_low_side_in_a_vacuum(tmp_path):
    analysis = analysed(tmp_path, {"1.suction_pressure": "-3 psig"})
    flag = one(analysis, "reading.contradiction")
    assert (flag.text, flag.severity) == ("vacuum", "stop")
    assert one(analysis, "circuit.charge", "1").text == "cannot tell"
    assert one(analysis, "circuit.charge", "2").text == "as charted"


def test_a_contradiction_blocks_the_verdict_of_its_circuit(tmp_path):
    analysis = analysed(tmp_path, {"1.suction_temperature": "20 degF"})
    charge = one(analysis, "circuit.charge", "1")
    assert charge.text == "cannot tell" and "refrigerant on the label" in charge.statement


def test_high_head_asks_for_the_condenser_before_refrigerant_is_taken_out(tmp_path):
    hot = {"1.liquid_pressure": "418 psig", "1.liquid_temperature": "108 degF"}
    analysis = analysed(tmp_path, hot | {"air.outdoor_dry_bulb": "85 degF"})
    finding = one(analysis, "circuit.condensing_over_outdoor", "1")
    assert finding.severity == "watch" and "before refrigerant is taken out" in finding.statement
    assert finding.value == pytest.approx(35.0 * 5 / 9, abs=0.6)
    assert one(analysis, "circuit.condensing_over_outdoor", "2").severity == "note"


def test_a_fixed_orifice_is_judged_by_superheat_alone(tmp_path):
    changes = {"circuit.1.metering": "fixed orifice", "1.suction_temperature": "68 degF"}
    charge = one(analysed(tmp_path, changes), "circuit.charge", "1")
    assert charge.text == "cannot tell" and "target superheat" in charge.statement
    judged = changes | {"circuit.1.target_superheat": "12 degF"}
    assert one(analysed(tmp_path, judged), "circuit.charge", "1").text == "low"


@pytest.mark.parametrize("typed", ["R410A", "r-410a", "R 410A"])
def test_spellings_of_a_refrigerant(tmp_path, typed):
    analysis = analysed(tmp_path, {"circuit.1.refrigerant": typed})
    assert one(analysis, "circuit.charge", "1").text == "as charted"


def test_more_capacity_than_the_unit_can_give(tmp_path):
    air = {
        "air.return_dry_bulb": "80 degF",
        "air.return_wet_bulb": "78 degF",
        "air.supply_dry_bulb": "56 degF",
        "air.supply_wet_bulb": "55 degF",
    }
    finding = one(analysed(tmp_path, air), "capacity.total")
    assert finding.severity == "watch" and "More than the unit can give" in finding.statement


@pytest.mark.parametrize(
    "entries, key, severity",
    [
        (
            {"note": '"jumper across freezestat so it runs"', "expires": "2026-06-30"},
            "work.bridged_safety",
            "stop",
        ),
        (
            {"note": '"bypassed the low pressure switch"', "expires": "2026-06-30"},
            "work.bridged_safety",
            "stop",
        ),
        ({"note": '"stage 2 locked out"', "expires": "2026-06-30"}, "work.overdue", "act"),
        ({"note": '"stage 2 locked out"'}, "work.no_end", "watch"),
    ],
)
def test_measures_that_must_not_stand(tmp_path, entries, key, severity):
    analysis = analysed(tmp_path, {}, extra=work(**entries) + VISIT_2)
    finding = one(analysis, key)
    assert (finding.severity, finding.visit) == (severity, 1)
    assert finding.statement.split(". ", 1)[1] in texts(analysis)


@pytest.mark.parametrize(
    "entries",
    [
        {"note": '"stage 2 locked out"', "expires": "2026-10-01"},
        {"note": '"jumper across freezestat"', "expires": "2026-06-30", "removed": "2026-06-20"},
        {"note": '"freezestat checked, trips at 36 degF"', "expires": "2026-10-01"},
    ],
)
def test_measures_in_order(tmp_path, entries):
    analysis = analysed(tmp_path, {}, extra=work(**entries) + VISIT_2)
    assert not [f for f in analysis.findings if f.key.startswith("work.")]


def test_memo_of_return_air_alone(tmp_path):
    only = dict.fromkeys(("air.supply_dry_bulb", "air.outdoor_dry_bulb"))
    assert texts(analysed(tmp_path, only | {"air.return_wet_bulb": "63 degF"}))


FAN_NOT_READ = {"air.fan_frequency": None}
DRAIN_SHORT = HUMID | {"air.condensate_rate": "0.1 gal/h", "air.supply_wet_bulb": "52 degF"}


@pytest.mark.parametrize(
    "changes, told",
    [
        (DRAIN_SHORT, ("does not reach the drain", "does not come out of its drain")),
        ({"signs.pump": "stopped"}, ("the condensate pump", "the condensate pump")),
        (
            {"air.airflow": "4560 cfm", "air.fan_frequency": None},
            ("57 % of the rated air", "57 % of the air"),
        ),
        ({"signs.hot_water_coil": "wet"}, ("the heating coil", "the heating coil")),
        ({"signs.water_with_cooling_off": "yes"}, ("with the cooling off", "with the cooling off")),
        ({"signs.water_on": "ceiling"}, ("ceiling below", "ceiling below")),
        ({"signs.pan_water": "standing", "signs.drain_flow": "free"}, ("in the pan", "in the drain pan")),
    ],
)
def test_in_order_is_earned(changes, told):
    """Nothing is "in order" beside what was typed against it, in either copy; the JSON says it too."""
    analysis = analysis_of(job_text(changes))
    for audience, words in zip(("file", "customer"), told, strict=True):
        assert "Nothing out of order" not in texts(analysis, audience)
        assert words in texts(analysis, audience)
    assert analysis.as_dict()["not_in_order"]


def test_a_sound_unit_is_in_order():
    sound = analysis_of(job_text())
    assert not sound.contraries and "Nothing out of order" in texts(sound)
