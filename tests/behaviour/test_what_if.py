"""What the calibrated unit would do: the command, the same from Python, what it refuses and how it is told.

Expected numbers come from psychrolib (ASHRAE Handbook Fundamentals 2017, chapter 1), CoolProp 7 (R-410A),
and from what no unit can do otherwise: more outdoor heat means more head, less air a colder coil.
"""

import json
from pathlib import Path

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from hvaccalc import analyse, cli, load_job, units
from hvaccalc.diagnosis.unit.what_if import MOST_AT_ONCE, MOST_ROWS_AT_ONCE, ready
from hvaccalc.diagnosis.unit.what_if_typed import read_change
from hvaccalc.errors import InputError, MissingReading
from hvaccalc.resources import data_path
from tests.behaviour import jobs
from tests.behaviour.jobs import HUMID, write_job
from tests.behaviour.test_commands import in_process

DEMO = data_path("jobs", "library_hall.toml")
LABELS = ("as found, both stages", "first stage alone", "drive put right, both stages")
BARE = "as found both stages"
AIR = {
    "supply_dry_bulb",
    "supply_dew_point",
    "total_capacity",
    "sensible_capacity",
    "condensate_rate",
    "coldest_fin",
}
CIRCUIT = {
    "suction_saturation",
    "condensing_saturation",
    "superheat",
    "subcooling",
    "refrigerant_mass_flow",
    "compressor_power",
}
AS_FOUND = {
    "return_dry_bulb": "70 degF",
    "return_relative_humidity": "55 %",
    "outdoor_dry_bulb": "66 degF",
    "fan_frequency": "36 Hz",
    "calls": "cool 1;cool 2",
}
ROWS = (
    AS_FOUND,
    AS_FOUND | {"fan_frequency": "60 Hz"},
    AS_FOUND | {"outdoor_dry_bulb": "100 degF"},
    AS_FOUND | {"return_relative_humidity": "70 %"},
    AS_FOUND | {"calls": "cool 1"},
    AS_FOUND | {"outdoor_dry_bulb": "200 degF"},
    {"airflow": "0 cfm"},
    {"airflow": "7000 cfm", "return_dry_bulb": "75 degF", "return_relative_humidity": "50 %"},
)
FOUND, FULL, HOT, HUMIDER, FIRST_STAGE, TOO_HOT, NO_AIR, TYPED_FLOW = range(len(ROWS))


@pytest.fixture(scope="module")
def job(tmp_path_factory) -> Path:
    """The demonstration; labels lose their comma, which separates labels on the command line."""
    text = Path(DEMO).read_text(encoding="utf-8")
    path = tmp_path_factory.mktemp("job") / "hall.toml"
    path.write_text(text.replace(f'"{LABELS[0]}"', f'"{BARE}"'), encoding="utf-8")
    return path


def csv_text(rows) -> str:
    keys = list(dict.fromkeys(key for row in rows for key in row))
    return "\n".join([",".join(keys), *(",".join(row.get(key, "") for key in keys) for row in rows)]) + "\n"


def told(*arguments: object) -> dict:
    """What the command prints as JSON; 3 where a row was refused."""
    result = in_process("what-if", *arguments, "--json")
    printed = json.loads(result.out)
    assert result.code == (0 if all(state["converged"] for state in printed["states"]) else 3), result.err
    return printed


@pytest.fixture(scope="module")
def demo():
    return jobs.demo()


@pytest.fixture(scope="module")
def file(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("rows") / "rows.csv"
    path.write_text(csv_text(ROWS), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def printed(job, file) -> dict:
    return told(job, "--rows", file, "--calibrate-on", BARE)


def value(printed: dict, row: int, name: str, circuit: str | None = None) -> float:
    state = printed["states"][row]
    return (state["circuit"][circuit] if circuit else state["air"])[name]["value"]


def test_shape_of_the_json(printed) -> None:
    assert printed.keys() == {"format", "states"}
    assert printed["format"] == 1
    assert [state["row"] for state in printed["states"]] == list(range(1, len(ROWS) + 1))
    for state in printed["states"]:
        assert state.keys() == {"row", "converged", "reason", "branch", "air", "circuit"}
        assert state["air"].keys() == AIR
        assert state["circuit"].keys() == {"1", "2"}
        assert all(bands.keys() == CIRCUIT for bands in state["circuit"].values())
        for band in [*state["air"].values(), *(b for c in state["circuit"].values() for b in c.values())]:
            assert band.keys() == {"value", "low", "high"}
            if band["value"] is not None:
                assert band["low"] <= band["value"] <= band["high"]


@pytest.mark.parametrize(("row", "said"), [(TOO_HOT, "outside the range"), (NO_AIR, "no airflow")])
def test_a_row_that_no_unit_can_run_is_refused_by_name_in_its_own_row(printed, row: int, said: str) -> None:
    state = printed["states"][row]
    assert state["converged"] is False
    assert said in state["reason"]
    numbers = [
        b[n] for bands in (state["air"], *state["circuit"].values()) for b in bands.values() for n in b
    ]
    assert numbers and set(numbers) == {None}
    others = [s for i, s in enumerate(printed["states"]) if i not in (TOO_HOT, NO_AIR)]
    assert all(s["converged"] and s["reason"] == "" for s in others)


def test_a_circuit_that_does_not_run_has_no_numbers(printed) -> None:
    second = printed["states"][FIRST_STAGE]["circuit"]["2"]
    assert all(band["value"] is None for band in second.values())
    assert value(printed, FIRST_STAGE, "compressor_power", "1") > 1000.0


def test_the_air_side_balances_by_psychrolib(printed) -> None:
    """7000 cfm of return air at 75 °F and 50 %, 640 ft: water and heat by differences of states.

    The supply is after the fan and the capacity net of its heat, so the two enthalpies tell the capacity
    and the water that leaves; what the condensate carries away is below 1 % of it.
    """
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure = psychrolib.GetStandardAtmPressure(640 * 0.3048)
    dry = (75 - 32) / 1.8
    entering = psychrolib.GetHumRatioFromRelHum(dry, 0.5, pressure)
    mass = 7000 * 0.3048**3 / 60 / psychrolib.GetMoistAirVolume(dry, entering, pressure)
    supply = value(printed, TYPED_FLOW, "supply_dry_bulb") - 273.15
    dew = value(printed, TYPED_FLOW, "supply_dew_point") - 273.15
    leaving = psychrolib.GetHumRatioFromTDewPoint(dew, pressure)
    water = mass * (entering - leaving)
    enthalpy = psychrolib.GetMoistAirEnthalpy
    heat = mass * (enthalpy(dry, entering) - enthalpy(supply, leaving))
    assert value(printed, TYPED_FLOW, "condensate_rate") == pytest.approx(water, rel=0.02)
    assert value(printed, TYPED_FLOW, "total_capacity") == pytest.approx(heat, rel=0.015)
    sensible = mass * (1006 + 1860 * entering) * (dry - supply)
    assert value(printed, TYPED_FLOW, "sensible_capacity") == pytest.approx(sensible, rel=0.02)


def test_less_air_means_a_colder_coil(printed) -> None:
    """36 of 60 Hz moves 60 % of the air: colder metal, colder supply, less heat; more water for its air."""
    for name in ("supply_dry_bulb", "coldest_fin"):
        assert value(printed, FOUND, name) < value(printed, FULL, name) - 2.0
    assert value(printed, FOUND, "total_capacity") < value(printed, FULL, "total_capacity")
    per_air = [value(printed, row, "condensate_rate") / share for row, share in ((FOUND, 0.6), (FULL, 1.0))]
    assert per_air[0] > 1.1 * per_air[1]
    for circuit in "12":
        low, full = (value(printed, row, "suction_saturation", circuit) for row in (FOUND, FULL))
        assert low < full - 1.0


def test_a_hot_day_means_more_head_more_power_less_heat(printed) -> None:
    """34 °F more outdoors: a condenser follows its air, so the head rises by 20 to 45 °F."""
    for circuit in "12":
        rise = value(printed, HOT, "condensing_saturation", circuit)
        rise -= value(printed, FOUND, "condensing_saturation", circuit)
        assert 20 / 1.8 < rise < 45 / 1.8
        power = value(printed, HOT, "compressor_power", circuit)
        assert power > 1.15 * value(printed, FOUND, "compressor_power", circuit)
    assert value(printed, HOT, "total_capacity") < value(printed, FOUND, "total_capacity")
    assert value(printed, HOT, "coldest_fin") > value(printed, FOUND, "coldest_fin")


def test_a_wetter_return_does_not_lower_the_metal(printed) -> None:
    assert value(printed, HUMIDER, "coldest_fin") >= value(printed, FOUND, "coldest_fin")
    assert value(printed, HUMIDER, "condensate_rate") > 1.1 * value(printed, FOUND, "condensate_rate")


def test_one_stage_on_the_same_air_is_warmer(printed) -> None:
    assert value(printed, FIRST_STAGE, "coldest_fin") > value(printed, FOUND, "coldest_fin") + 1.0


@pytest.mark.parametrize(("circuit", "gauge"), [("1", 93.2), ("2", 91.1)])
def test_changing_nothing_gives_back_what_was_read(demo, circuit: str, gauge: float) -> None:
    """Suction read at the outdoor unit: dew of R-410A by CoolProp, 0 to 3 °F more at the coil's exit."""
    told = demo.what_if(calibrate_on=[LABELS[0]])
    (state,) = told.answers
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure = psychrolib.GetStandardAtmPressure(640 * 0.3048) + gauge * 6894.757
    dew = PropsSI("T", "P", pressure, "Q", 1, "R410A")
    given = state.circuit[circuit]["suction_saturation"]
    assert dew < given.value < dew + 3 / 1.8
    read = next(
        f
        for f in demo.findings
        if (f.key, f.visit, f.condition, f.circuit) == ("coil.suction_saturation", 1, 1, circuit)
    )
    assert read.low <= given.value <= read.high


def test_labels_name_what_the_unit_is_calibrated_on(demo) -> None:
    one = demo.what_if(calibrate_on=[LABELS[2]])
    assert [(w.visit, w.condition) for w in one.unit.on] == [(2, 1)]
    assert one.base.label == LABELS[2]
    every = demo.what_if()
    assert [(w.visit, w.condition) for w in every.unit.on] == [(1, 1), (1, 2), (2, 1)]
    rating = demo.what_if(calibrate_on=[])
    assert rating.unit.on == ()
    wide, narrow = (t.answers[0].circuit["1"]["suction_saturation"] for t in (rating, every))
    assert narrow.high - narrow.low < wide.high - wide.low


def test_python_and_the_command_say_the_same(demo, printed) -> None:
    states = demo.what_if([ROWS[FOUND]], calibrate_on=[LABELS[0]]).answers
    for name in AIR:
        assert states[0].air[name].value == pytest.approx(value(printed, FOUND, name), rel=1e-5)


def test_a_setting_is_a_row_of_one_and_repeats_to_the_byte(job) -> None:
    settings = [f'--set={key}="{text}"' for key, text in AS_FOUND.items() if key != "calls"]
    typed = [job, *settings, "--calls", AS_FOUND["calls"], "--calibrate-on", BARE]
    first, second = (in_process("what-if", *typed, "--json") for _ in range(2))
    assert first.code == 0 and first.out == second.out
    assert len(json.loads(first.out)["states"]) == 1
    assert "calibrating" in first.err


def test_alone_and_in_a_file_the_same_state(job, printed) -> None:
    settings = [f'--set={key}="{text}"' for key, text in AS_FOUND.items() if key != "calls"]
    alone = told(job, *settings, "--calls", AS_FOUND["calls"], "--calibrate-on", BARE)
    for name in ("supply_dry_bulb", "coldest_fin"):
        assert value(alone, 0, name) == pytest.approx(value(printed, FOUND, name), abs=1e-3)


def test_a_dirty_condenser_raises_the_head_of_its_circuit_alone(job, printed) -> None:
    with_fault = told(
        job, "--rows", _one(AS_FOUND), "--calibrate-on", BARE, "--fault", "condenser_air:1=50 %"
    )
    rise = {
        c: value(with_fault, 0, "condensing_saturation", c)
        - value(printed, FOUND, "condensing_saturation", c)
        for c in "12"
    }
    assert rise["1"] > 5 / 1.8
    assert abs(rise["2"]) < 0.5 / 1.8
    power = value(with_fault, 0, "compressor_power", "1")
    assert power > value(printed, FOUND, "compressor_power", "1")


@pytest.fixture(autouse=True)
def _folder(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)


def _one(row: dict) -> Path:
    path = Path("one.csv")
    path.write_text(csv_text([row]), encoding="utf-8")
    return path


def test_a_leak_takes_the_subcooling_of_its_circuit(demo) -> None:
    """A quarter of the charge gone: the condenser's liquid goes first, whatever the valve does."""
    sound, leaking = (
        demo.what_if([AS_FOUND], faults, [LABELS[0]]).answers[0].circuit
        for faults in ((), ('low_charge:1="25 %"',))
    )
    assert leaking["1"]["subcooling"].value < sound["1"]["subcooling"].value - 2 / 1.8
    assert leaking["2"]["subcooling"].value == pytest.approx(sound["2"]["subcooling"].value, abs=0.5 / 1.8)


BAD = [
    (['--set=outdoor_dry_bulb="95 psig"'], ("outdoor_dry_bulb", "temperature")),
    (['--set=outdoor_dry_bulb="95"'], ("outdoor_dry_bulb", "bare number")),
    (["--set=ceiling=1"], ("ceiling", "return_dry_bulb", "calls")),
    (["--set=airflow"], ("--set", "without a value")),
    (["--set=return_wet_bulb=60 degF", "--set=return_dew_point=50 degF"], ("humidity is said twice",)),
    (["--calls", "heat"], ("calls", '"heat"', "cool 1")),
    (["--fault", "gremlins:1=20 %"], ("--fault", "low_charge")),
    (["--fault", "low_charge:9=20 %"], ("--fault", "one of 1, 2")),
    (["--fault", "low_charge:1=95 %"], ("--fault", "90 %")),
    (["--calibrate-on", "nowhere"], ("--calibrate-on", '"nowhere"', LABELS[0])),
    (["--rows", "missing.csv"], ("missing.csv",)),
    (["--set=fan_power=1e9 kW"], ("fan_power", "30 % of the rated capacity")),
    (["--set=fan_power=-3 kW"], ("fan_power", "-3 kW")),
    (["--set=fan_frequency=600 Hz"], ("fan_frequency", "150 % of the fan's full speed")),
    (["--set=fan_speed=1000 %"], ("fan_speed", "150 %")),
    (["--set=airflow=1e9 cfm"], ("airflow", "200 % of the rated airflow")),
    (["--set=return_relative_humidity=150 %"], ("return_relative_humidity", "0 to 100 %")),
    (["--set=barometer=300 inHg"], ("barometer", "34.0 inHg")),
]


@pytest.mark.parametrize(("arguments", "said"), BAD, ids=[" ".join(a) for a, _ in BAD])
def test_bad_input_ends_with_2_and_says_where(arguments, said) -> None:
    result = in_process("what-if", DEMO, *arguments)
    assert result.code == 2
    assert result.out == ""
    assert all(word in result.err for word in said), result.err
    assert "Traceback" not in result.err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("outdoor_dry_bulb\n60 degF\n70 psig\n", ("rows.csv", "3", "outdoor_dry_bulb")),
        ("outdoor_dry_bulb,airflow\n60 degF\n", ("rows.csv", "2", "another length")),
        ("ceiling\n1\n", ("rows.csv", "ceiling")),
        ("calls\ncool 1;heat\n", ("rows.csv", "calls", '"heat"')),
        ("", ("rows.csv", "empty")),
        ("airflow,airflow\n1 cfm,2 cfm\n", ("rows.csv", "1", "stands twice", "airflow")),
        ("airflow\n" + 200_000 * "9" + "\n", ("rows.csv", "2", "not readable as csv", "131,072")),
        (b"airflow\n7000 cfm\xe9\n", ("rows.csv", "not UTF-8", "0xe9")),
        ("airflow\n7000 cfm\n".encode("utf-16"), ("rows.csv", "not UTF-8")),
    ],
)
def test_a_bad_row_is_named_by_file_line_and_key(text: str | bytes, said) -> None:
    Path("rows.csv").write_bytes(text.encode() if isinstance(text, str) else text)
    result = in_process("what-if", DEMO, "--rows", "rows.csv", "--json")
    assert result.code == 2 and result.out == ""
    assert all(word in result.err for word in said), result.err


def test_a_row_of_what_the_unit_cannot_be_is_refused_beside_the_others() -> None:
    Path("rows.csv").write_text("airflow\n5000 cfm\n1e9 cfm\n", encoding="utf-8")
    result = in_process("what-if", DEMO, "--rows", "rows.csv", "--calibrate-on", "", "--json")
    sound, absurd = json.loads(result.out)["states"]
    assert result.code == 3 and "1 row refused" in result.err
    assert sound["converged"] and not absurd["converged"]
    assert "airflow: more than this unit can be" in absurd["reason"]


@pytest.mark.parametrize(
    ("percent", "ices"),
    [("20 %", True), ("100 %", False)],
)
def test_a_fan_so_slow_that_the_coil_ices_says_so(percent: str, ices: bool) -> None:
    """A fifth of the speed is 80 cfm a ton: half of what keeps metal above freezing (practice, no source)."""
    settings = ["--set=return_dry_bulb=75 degF", "--set=return_relative_humidity=50 %"]
    result = in_process("what-if", DEMO, f"--set=fan_speed={percent}", *settings, "--calibrate-on", "")
    assert result.code == 0
    assert ("ice: the coil ices" in result.out) is ices


@pytest.mark.parametrize("changes", [{"airflow": "7000 cfm"}, 7, "7000 cfm", [7], [{"airflow": 7000}]])
def test_python_refuses_what_is_no_list_of_changes(demo, changes) -> None:
    with pytest.raises(InputError) as refusal:
        demo.what_if(changes)
    assert refusal.value.found and refusal.value.allowed


def test_rows_and_settings_exclude_each_other(file) -> None:
    result = in_process("what-if", DEMO, "--rows", file, "--set=airflow=4000 cfm")
    assert result.code == 2 and "--rows" in result.err


def test_a_condition_with_too_few_readings_is_not_calibrated_on(tmp_path) -> None:
    changes = HUMID | {"1.suction_pressure": None, "condition.label": "no gauge"}
    analysis = analyse(load_job(write_job(tmp_path, changes)))
    with pytest.raises(InputError, match="without enough readings") as refusal:
        analysis.what_if(calibrate_on=["no gauge"])
    assert "suction and liquid" in refusal.value.allowed
    assert analysis.what_if().unit.on == ()


def test_a_job_with_no_condition_to_start_from_says_what_is_missing(tmp_path) -> None:
    analysis = analyse(load_job(write_job(tmp_path)))
    with pytest.raises(MissingReading, match="start from"):
        analysis.what_if()


def test_a_refrigerant_that_is_not_known_is_named(tmp_path) -> None:
    changes = HUMID | {"circuit.2.refrigerant": "unknown"}
    analysis = analyse(load_job(write_job(tmp_path, changes)))
    with pytest.raises(InputError, match="no properties") as refusal:
        analysis.what_if()
    assert refusal.value.found == "unknown"


def test_the_table_is_in_the_units_asked_for() -> None:
    shown = {}
    for display in ("us", "si"):
        result = in_process("what-if", DEMO, "--calibrate-on", "", "--display", display)
        assert result.code == 0, result.err
        shown[display] = result.out
    assert "°F" in shown["us"] and "kBtu/h" in shown["us"] and "its rating alone" in shown["us"]
    assert "°C" in shown["si"] and "°F" not in shown["si"] and "Btu" not in shown["si"]


def test_json_is_in_si(printed) -> None:
    """Orders of size: [K], [W], [kg/s] of a 20-ton unit (70 kW; 0.2 kg/s of refrigerant a circuit)."""
    assert 260 < value(printed, FULL, "supply_dry_bulb") < 295
    assert 40e3 < value(printed, FULL, "total_capacity") < 100e3
    assert 0.1 < value(printed, FULL, "refrigerant_mass_flow", "1") < 0.35
    assert 0 < value(printed, FULL, "superheat", "1") < 20
    assert float(units.to(value(printed, FULL, "coldest_fin"), "degF", "temperature")) > 30


def test_unknown_circuiting_is_said() -> None:
    """The same job without the word: row splits are among the draws."""
    text = Path(DEMO).read_text("utf-8").replace('circuiting = "interlaced"', 'circuiting = "unknown"')
    Path("unknown.toml").write_text(text, encoding="utf-8")
    typed = ["--calls", "cool 1;cool 2", "--calibrate-on", ""]
    plain, spread = (in_process("what-if", name, *typed) for name in (DEMO, "unknown.toml"))
    assert plain.code == spread.code == 0
    assert "spans interlaced, face split and row split" in " ".join(spread.out.split())
    assert "row split" not in plain.out


def _belt() -> Path:
    """The demonstration with a fixed belt drive, its frequencies left out."""
    lines = Path(DEMO).read_text("utf-8").splitlines()
    kept = [line for line in lines if not line.startswith(("fan_frequency", "full_speed", "low_speed"))]
    text = "\n".join(kept).replace('drive = "variable frequency"', 'drive = "belt, fixed"')
    Path("belt.toml").write_text(text + "\n", encoding="utf-8")
    return Path("belt.toml")


def test_changes_start_where_most_stages_run_and_say_so_first(demo) -> None:
    """On the first visit the first stage alone stands after both stages: changes start with both."""
    told = demo.what_if(calibrate_on=[LABELS[0], LABELS[1]])
    assert told.base.label == LABELS[0] and told.running == ("1", "2")
    result = in_process("what-if", DEMO, "--calibrate-on", f"{LABELS[0]},{LABELS[1]}")
    first = result.out.splitlines()[0]
    assert first.startswith(
        f"Changes start from: {LABELS[0]} (visit 1, condition 1; circuits 1 and 2 running)"
    )


def test_a_fault_on_a_circuit_that_rests_is_refused_by_name() -> None:
    typed = ["--calibrate-on", LABELS[1], "--fault", "low_charge:2=20 %"]
    result = in_process("what-if", DEMO, *typed)
    assert result.code == 2 and result.out == ""
    assert 'circuit 2 does not run with these calls; add --calls "cool 1;cool 2"' in result.err
    assert in_process("what-if", DEMO, *typed, "--calls", "cool 1;cool 2").code == 0


def test_a_row_whose_faulted_circuit_rests_is_refused_in_its_place(demo) -> None:
    rows = [AS_FOUND, AS_FOUND | {"calls": "cool 1"}]
    both, alone = demo.what_if(rows, ['low_charge:2="20 %"'], [LABELS[0]]).answers
    assert both.converged and both.circuit["2"]["suction_saturation"].known
    assert not alone.converged and alone.reason.startswith("circuit 2 does not run with these calls")
    assert not any(band.known for band in alone.air.values())


def test_a_frequency_is_refused_where_the_drive_has_none() -> None:
    result = in_process("what-if", _belt(), "--set=fan_frequency=60 Hz")
    assert result.code == 2 and result.out == ""
    assert all(word in result.err for word in ("fan_frequency", 'its drive is "belt, fixed"', "airflow"))
    assert "calibrating" not in result.err


def test_without_bands_each_value_stands_alone(job, file, printed) -> None:
    bare = told(job, "--rows", file, "--calibrate-on", BARE, "--no-bands")
    for one, other in zip(bare["states"], printed["states"], strict=True):
        for group, with_bands in ((one["air"], other["air"]), (one["circuit"]["1"], other["circuit"]["1"])):
            for name, number in group.items():
                assert number["low"] is None and number["high"] is None
                same = pytest.approx(with_bands[name]["value"], rel=1e-6) if one["converged"] else None
                assert number["value"] == same, name
    text = in_process("what-if", DEMO, "--calibrate-on", "", "--no-bands").out
    assert "supply dry bulb" in text and " to " not in text.partition("Row 1")[2]


def test_no_more_rows_are_held_than_one_batch_solves(demo) -> None:
    few = demo.few()
    unit = ready(few.draws, few.conditions, calibrate_on=[])
    taken = []

    def rows():
        for number in range(100_000):
            taken.append(number)
            yield read_change({"fan_frequency": "50 Hz"})

    first = next(unit.answers(rows(), bands=False))
    assert first.row == 1 and len(taken) <= MOST_ROWS_AT_ONCE
    with_bands = unit.answers(rows())
    taken.clear()
    assert next(with_bands).converged and len(taken) <= MOST_AT_ONCE / 40


def test_what_takes_longer_than_a_second_says_how_far_it_is(monkeypatch, capsys) -> None:
    clock = iter(range(0, 1000, 2))
    monkeypatch.setattr("hvaccalc.cli.time.monotonic", lambda: float(next(clock)))
    assert list(cli._in_time(iter(range(100)), 100)) == list(range(100))
    told = capsys.readouterr().err.splitlines()
    assert told[0] == "1 of 100 rows after 2 s ..." and 3 < len(told) < 20


def test_a_row_of_thin_air_has_the_dew_point_of_its_own_barometer(demo) -> None:
    """The supply's water is the return's less the condensate; PsychroLib says what dew point that is."""
    few = demo.few()
    unit = ready(few.draws, few.conditions, calibrate_on=[])
    row = {"barometer": "24.9 inHg", "airflow": "6000 scfm", "return_dry_bulb": "75 degF"}
    (one,) = unit.answers([read_change(row | {"return_relative_humidity": "60 %"})], bands=False)
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure, flow = 24.9 * 3386.389, 6000.0 * 0.075 * 0.45359237 / 60.0
    entering = psychrolib.GetHumRatioFromRelHum((75.0 - 32.0) / 1.8, 0.60, pressure)
    left = entering - one.air["condensate_rate"].value / flow
    dew = psychrolib.GetTDewPointFromHumRatio(one.air["supply_dry_bulb"].value - 273.15, left, pressure)
    assert one.air["supply_dew_point"].value - 273.15 == pytest.approx(dew, abs=0.05)
