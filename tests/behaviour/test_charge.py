"""Charge in job files: method by metering device, rules, lines, standing pressure, columns, faults that fit.

Saturations by the printed R-410A card, from memory: 118 psig 40 °F, 201 psig 70 °F, 235 psig 80 °F,
317 psig 100 °F. Limits beside each test are common practice, no source, unless named.
"""

import pytest

from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.confusion import Fit
from hvaccalc.job.checks.notices import ALL_USED
from hvaccalc.job.load import load_job
from hvaccalc.report import memo
from tests.behaviour.jobs import HUMID, SOUND, WIDE_AIRFLOW, accurate, analysed, found, one, write_job

ORIFICE = {"circuit.1.metering": "fixed orifice", "circuit.1.target_subcooling": None}
LINES = {
    "circuit.1.lines.liquid_size": "5/8 in",
    "circuit.1.lines.liquid_length": "50 ft",
    "circuit.1.lines.suction_size": "1-3/8 in",
    "circuit.1.lines.suction_length": "50 ft",
    "circuit.1.lines.rise": "20 ft",
}


def fahrenheit(kelvin: float) -> float:
    return kelvin * 1.8


def charge(tmp_path, changes: dict, circuit: str = "1"):
    return one(analysed(tmp_path, changes), "circuit.charge", circuit)


# ------------------------------------------------------------------ methods
def test_an_orifice_without_target_takes_the_printed_table(tmp_path):
    """85 °F outdoors, 66 °F wet bulb: 15 °F of superheat in 38VTA040, table 4."""
    right = ORIFICE | {"air.return_wet_bulb": "66 degF", "1.suction_temperature": "55 degF"}
    finding = charge(tmp_path, right)
    assert finding.text == "as charted" and "printed table" in finding.statement
    assert "superheat_table" in finding.sources
    low = charge(tmp_path, right | {"1.suction_temperature": "68 degF"})
    assert low.text == "low"


def test_a_dash_of_the_table_is_an_answer_about_the_air(tmp_path):
    """85/60: the rule says 7.5 °F, the table prints a dash and wins."""
    finding = charge(tmp_path, ORIFICE | {"air.return_wet_bulb": "60 degF"})
    assert finding.text == "cannot tell"
    for words in ("do not charge", "warm the indoor air", "weigh", "7.5 °F", "the table wins"):
        assert words in finding.statement


def test_a_reading_at_the_tables_edge_is_inside_and_says_what_was_taken_at_it(tmp_path):
    """At 55 °F outdoors and 50 °F wet bulb the table prints 9 °F; half of what may be read lies beyond it."""
    edge = {
        "air.return_wet_bulb": "10 degC",
        "air.outdoor_dry_bulb": "55 degF",
        "air.return_dry_bulb": "70 degF",
    }
    finding = charge(tmp_path, ORIFICE | edge)
    assert "nterpolated in the printed superheat table" in finding.statement
    assert "of the possible readings lie beyond the table and were taken at its edge" in finding.statement
    within = {"air.return_wet_bulb": "60 degF", "air.outdoor_dry_bulb": "70 degF"}
    inside = charge(tmp_path, ORIFICE | edge | within)
    assert "taken at its edge" not in inside.statement


def test_a_typed_target_beats_the_table(tmp_path):
    changes = ORIFICE | {"circuit.1.target_superheat": "10 degF", "air.return_wet_bulb": "60 degF"}
    assert charge(tmp_path, changes).text == "as charted"


def test_an_orifice_without_wet_bulb_asks_for_it(tmp_path):
    assert "read the return air's wet bulb" in charge(tmp_path, ORIFICE).statement or (
        "the return air's wet bulb" in charge(tmp_path, ORIFICE).statement
    )


def test_little_superheat_alone_is_no_overcharge(tmp_path):
    """A worn compressor or a condenser short of air lowers it too; liquid backed up speaks for charge."""
    flooded = ORIFICE | {"circuit.1.target_superheat": "18 degF"}
    scarce = charge(tmp_path, flooded | {"1.liquid_temperature": "92 degF"})
    assert scarce.text == "cannot tell" and "worn compressor" in scarce.statement
    assert charge(tmp_path, flooded | {"1.liquid_temperature": "78 degF"}).text == "high"


def test_much_subcooling_with_much_superheat_is_held_back_not_too_much(tmp_path):
    held = {"1.liquid_temperature": "78 degF", "1.suction_temperature": "70 degF"}
    finding = charge(tmp_path, held)
    assert finding.text == "cannot tell" and "starved valve" in finding.statement


def test_an_unknown_metering_device_is_asked_for(tmp_path):
    both = {"circuit.1.metering": "unknown", "circuit.1.target_superheat": "10 degF"}
    finding = charge(tmp_path, both)
    assert finding.text == "cannot tell" and "sensing bulb" in finding.statement
    alone = charge(tmp_path, {"circuit.1.metering": "unknown"})
    assert alone.text == "as charted" and "if a valve meters" in alone.statement


def test_common_practice_is_told_and_gives_no_verdict(tmp_path):
    finding = charge(tmp_path, {"circuit.1.target_subcooling": None})
    assert finding.text == "cannot tell"
    assert "within the 10 to 15 °F of common practice (no source" in finding.statement


def test_below_the_outdoor_range_the_charge_is_weighed(tmp_path):
    finding = charge(tmp_path, {"air.outdoor_dry_bulb": "50 degF", "rules.charge_edition": "Title 24 2008"})
    assert finding.text == "cannot tell"
    assert "weigh the charge in (Title 24 2008" in finding.statement


# ------------------------------------------------------------------ rules
@pytest.mark.parametrize(
    ("edition", "role", "verdict"),
    [
        ("Title 24 2008", "installer", "low"),
        ("Title 24 2008", "verifier", "low"),
        ("Title 24 2013", "verifier", "as charted"),
        (None, None, "low"),
    ],
)
def test_the_tolerance_is_that_of_edition_and_role(tmp_path, edition, role, verdict):
    """Subcooling 5.5 °F short: beyond 3 and 4 °F, within 6 (memory)."""
    keys = ("1.liquid_pressure", "1.liquid_temperature")
    base = SOUND | {"1.liquid_pressure": "318 psig", "1.liquid_temperature": "93.4 degF"}
    changes = accurate(*keys, base=base) | {"rules.charge_edition": edition, "rules.role": role}
    assert charge(tmp_path, changes).text == verdict


def test_the_rule_is_named_and_what_was_chosen_for_the_reader(tmp_path):
    default = one(analysed(tmp_path, {}), "circuit.charge_rule")
    assert default.basis == "assumed" and "the newest was taken, Title 24 2013" in default.statement
    assert "installer's tolerances" in default.statement
    told = {"rules.charge_edition": "title 24 2008", "rules.role": "verifier"}
    chosen = one(analysed(tmp_path, told), "circuit.charge_rule")
    assert chosen.text == "Title 24 2008, verifier" and chosen.basis == "nameplate"
    assert "subcooling ± 4.0 °F (from memory)" in chosen.statement
    unknown = one(analysed(tmp_path, {"rules.charge_edition": "Title 24 2009"}), "circuit.charge_rule")
    assert "not carried" in unknown.statement


@pytest.mark.parametrize("key", ["rules.charge_edition", "rules.role", "circuit.lines.liquid_size"])
def test_what_counts_is_registered(key):
    assert key in ALL_USED


# ------------------------------------------------------------------ lines
def test_lines_bring_the_readings_to_coil_and_device(tmp_path):
    """By hand for 10 tons of R-410A: 0.18 kg/s, 5/8 in. line 2 psi of friction, 20 ft of rise 9 psi (0.44 a
    foot), which is about 2 °F of the 12 °F of subcooling."""
    analysis = analysed(tmp_path, LINES)
    margin = one(analysis, "circuit.flash_margin", "1")
    assert 8.5 < fahrenheit(margin.value) < 11.0 and margin.severity == "note"
    drop = one(analysis, "circuit.suction_line_drop", "1")
    assert 0.2 < fahrenheit(drop.value) < 1.0
    state = analysis.conditions[0].circuits["1"]
    shift = state.coil_suction_saturation - state.suction_saturation
    assert fahrenheit(shift[0]) == pytest.approx(fahrenheit(drop.value), abs=0.01)
    assert not found(analysis, "circuit.flash_margin", "2")


def test_a_long_thin_riser_flashes(tmp_path):
    """Half-inch line of 150 ft with 80 ft of rise: 35 psi of lift alone is 8 °F."""
    high = LINES | {
        "circuit.1.lines.liquid_size": "1/2 in",
        "circuit.1.lines.liquid_length": "150 ft",
        "circuit.1.lines.suction_length": "150 ft",
        "circuit.1.lines.rise": "80 ft",
    }
    finding = one(analysed(tmp_path, high), "circuit.flash_margin", "1")
    assert (
        finding.value < 0.0
        and finding.severity == "watch"
        and "Vapour enters the device" in finding.statement
    )
    falling = high | {"circuit.1.lines.rise": "-80 ft", "circuit.1.lines.liquid_size": "5/8 in"}
    assert one(analysed(tmp_path, falling), "circuit.flash_margin", "1").value > 12.0 / 1.8


def test_liquid_read_at_the_device_is_brought_back_outdoors(tmp_path):
    """2 °F less at the device: the same charge. Without the line's size it is stated as a condition."""
    at_device = {"1.liquid_measured_at": "metering device", "1.liquid_pressure": "306 psig"}
    known = charge(tmp_path, LINES | at_device)
    assert known.text == "as charted" and "reckoned from its size" in known.statement
    unsized = charge(tmp_path, {"1.liquid_measured_at": "metering device"})
    assert unsized.text == "as charted" and "if the liquid line loses little" in unsized.statement


NONSENSE = {
    "liquid_size": ("9 in", "no copper tube of 9 in"),
    "suction_size": ("9 in", "no copper tube of 9 in"),
    "liquid_length": ("0 ft", "a line has a length"),
    "suction_length": ("2000 ft", "longer than any split system"),
    "rise": ("3000 ft", "no building"),
}


@pytest.mark.parametrize("key", NONSENSE)
def test_nonsense_of_a_line_is_named_and_left_out(tmp_path, key):
    typed, words = NONSENSE[key]
    analysis = analysed(tmp_path, LINES | {f"circuit.1.lines.{key}": typed})
    told = [f.statement for f in found(analysis, "circuit.lines", "1")]
    assert any(words in statement and f"lines.{key}" in statement for statement in told)
    gone = "circuit.suction_line_drop" if key.startswith("suction") else "circuit.flash_margin"
    assert not found(analysis, gone, "1")
    assert one(analysis, "circuit.charge", "1").text == "as charted"


@pytest.mark.parametrize(("rise", "named"), [("-3000 ft", True), ("-20 ft", False), ("60 ft", True)])
def test_a_rise_belongs_to_its_line(tmp_path, rise, named):
    """Too deep for a building, a usual fall, and more than the line's own 50 ft."""
    assert bool(found(analysed(tmp_path, LINES | {"circuit.1.lines.rise": rise}), "circuit.lines")) is named


def test_sizes_the_wrong_way_round_are_named(tmp_path):
    wrong = LINES | {"circuit.1.lines.liquid_size": "1-3/8 in", "circuit.1.lines.suction_size": "5/8 in"}
    assert len(found(analysed(tmp_path, wrong), "circuit.lines", "1")) == 2


# ------------------------------------------------------------------ standing pressure
OFF = {
    "condition.calls": [],
    "condition.running_for": None,
    "condition.compressors_running": [],
    "1.compressor_current": None,
    "2.compressor_current": None,
    "1.suction_temperature": None,
    "1.liquid_temperature": None,
    "air.outdoor_dry_bulb": "80 degF",
    "air.return_dry_bulb": "80 degF",
    "air.supply_dry_bulb": None,
}


@pytest.mark.parametrize(
    ("pressure", "text"),
    [("235 psig", "agrees with ambient"), ("275 psig", "above ambient"), ("150 psig", "below ambient")],
)
def test_standing_pressure_against_ambient(tmp_path, pressure, text):
    """R-410A stands at 235 psig in air of 80 °F; 40 psi more is air in it, far less is no liquid."""
    stands = OFF | {"1.suction_pressure": pressure, "1.liquid_pressure": pressure}
    finding = one(analysed(tmp_path, stands), "circuit.standing_pressure", "1")
    assert finding.text == text
    assert (finding.severity == "act") is (text != "agrees with ambient")


def test_a_standing_pressure_names_what_would_fit(tmp_path):
    """144 psig at 80 °F is R-22 on its card, not R-410A."""
    stands = OFF | {"1.suction_pressure": "144 psig", "1.liquid_pressure": "144 psig"}
    assert "R-22" in one(analysed(tmp_path, stands), "circuit.standing_pressure", "1").statement


def test_not_equalised_or_without_outdoor_air_it_cannot_tell(tmp_path):
    apart = OFF | {"1.suction_pressure": "200 psig", "1.liquid_pressure": "235 psig"}
    assert one(analysed(tmp_path, apart), "circuit.standing_pressure", "1").text == "cannot tell"
    unread = OFF | {"1.suction_pressure": "235 psig", "1.liquid_pressure": "235 psig"}
    unread["air.outdoor_dry_bulb"] = None
    assert one(analysed(tmp_path, unread), "circuit.standing_pressure", "1").text == "cannot tell"


# ------------------------------------------------------------------ other columns
def test_the_wrong_edge_of_a_blend_is_told(tmp_path):
    """R-407C at 230 psig: bubble 101, dew 110 °F (CoolProp 8): 8 to 9 °F of glide would join in."""
    blend = {
        "circuit.1.refrigerant": "R-407C",
        "1.suction_pressure": "65 psig",
        "1.liquid_pressure": "230 psig",
        "1.liquid_temperature": "90 degF",
    }
    analysis = analysed(tmp_path, blend)
    right = fahrenheit(one(analysis, "circuit.subcooling", "1").value)
    check = analysis.charge_evidence.columns[Where(1, 1, "1")]
    assert 7.0 < fahrenheit(check.wrong_edge.subcooling) - right < 10.0
    assert "wrong column" in one(analysis, "circuit.other_column", "1").statement
    assert not found(analysis, "circuit.other_column", "2")


def test_contradicting_readings_name_the_refrigerant_that_would_fit(tmp_path):
    """R-22 pressures of a sound circuit (68 and 210 psig: 40 and 105 °F) on a circuit labelled R-410A."""
    other = {
        "1.suction_pressure": "68 psig",
        "1.liquid_pressure": "210 psig",
        "1.liquid_temperature": "95 degF",
    }
    finding = one(analysed(tmp_path, other), "circuit.other_column", "1")
    assert finding.text == "another refrigerant" and "R-22 " in finding.statement
    assert "Prove what is in the circuit" in finding.statement


def test_swapped_hoses_are_told_with_what_they_would_mean(tmp_path):
    swapped = {"1.suction_pressure": "317 psig", "1.liquid_pressure": "118 psig"}
    finding = one(analysed(tmp_path, swapped), "circuit.other_column", "1")
    assert finding.text == "hoses"
    check = one_check(tmp_path, swapped)
    assert fahrenheit(check.superheat) == pytest.approx(10.0, abs=0.5)
    assert fahrenheit(check.subcooling) == pytest.approx(12.0, abs=0.5)


def one_check(tmp_path, changes: dict):
    return analysed(tmp_path, changes).charge_evidence.columns[Where(1, 1, "1")].swapped_hoses


# ------------------------------------------------------------------ faults that fit
COLD = {"1.suction_pressure": "88 psig", "1.suction_temperature": "36 degF"}


def fits(tmp_path, changes: dict, circuit: str = "1"):
    return one(analysed(tmp_path, HUMID | changes), "circuit.faults_that_fit", circuit)


def test_a_sound_circuit_accuses_nobody(tmp_path):
    assert fits(tmp_path, {}, "2").text == "nothing stands out"


UNKNOWN_AIR = WIDE_AIRFLOW | {"air.supply_dry_bulb": None, "air.supply_wet_bulb": None}
APART = {"unit.circuiting": "face split"}


def test_low_suction_without_known_airflow_is_ambiguous(tmp_path):
    """A half of the face may be matted while the other is clean."""
    finding = fits(tmp_path, COLD | UNKNOWN_AIR | APART)
    assert finding.text == Fit.AMBIGUOUS
    assert "low airflow" in finding.statement and "restriction" in finding.statement
    assert "traverse" in finding.statement


def test_a_sound_neighbour_in_the_same_air_takes_low_air_off_the_list(tmp_path):
    """Interlaced: what lowers one circuit's suction by low air lowers the other's; common practice, no
    source."""
    statement = fits(tmp_path, COLD | UNKNOWN_AIR).statement
    assert "low airflow: circuit 2, in the same air, does not show it" in statement.partition("Ruled out")[2]


def test_two_cold_circuits_keep_low_air_on_the_list(tmp_path):
    both = COLD | {key.replace("1.", "2.", 1): value for key, value in COLD.items()}
    statement = fits(tmp_path, both | UNKNOWN_AIR).statement
    assert "low airflow" in statement.partition("Ruled out")[0]


def test_a_measured_airflow_takes_low_air_off_the_list(tmp_path):
    finding = fits(tmp_path, COLD)
    assert "Ruled out: low airflow" in finding.statement


@pytest.mark.slow
def test_bubbles_speak_against_too_much(tmp_path):
    high = {"1.liquid_temperature": "76 degF", "unit.protection.head_control": None}
    assert "overcharge" in fits(tmp_path, high).statement.partition("Ruled out")[0]
    bubbles = fits(tmp_path, high | {"1.sight_glass": "bubbles"}).statement
    assert "overcharge" not in bubbles.partition("Ruled out")[0]


def test_a_drier_that_cools_is_a_restriction(tmp_path):
    dropped = {"1.drier_in_temperature": "90 degF", "1.drier_out_temperature": "78 degF"}
    assert "restriction: the drier cools" in fits(tmp_path, dropped).statement


def test_nothing_read_of_superheat_and_subcooling_gives_no_list(tmp_path):
    bare = {key: None for key in SOUND if key.startswith("1.") and key.endswith("temperature")}
    assert not found(analysed(tmp_path, HUMID | bare), "circuit.faults_that_fit", "1")


# ------------------------------------------------------------------ temperature split
@pytest.mark.parametrize(
    ("supply", "text"),
    [("55.6 degF", "passes"), ("46 degF", "low airflow"), ("64 degF", "capacity likely low")],
)
def test_temperature_split_screens_the_airflow(tmp_path, supply, text):
    """75/63 °F: target 18.6 °F, from memory; 19.4, 29 and 11 °F."""
    changes = HUMID | {"air.supply_dry_bulb": supply, "air.supply_wet_bulb": None}
    finding = one(analysed(tmp_path, changes), "airflow.temperature_split")
    assert finding.text == text and "from memory" in finding.statement


def test_the_split_wants_every_stage(tmp_path):
    alone = HUMID | {"condition.calls": ["cool 1"], "condition.compressors_running": ["1"]}
    alone |= {key: None for key in SOUND if key.startswith("2.")}
    assert one(analysed(tmp_path, alone), "airflow.temperature_split").text == "cannot tell"


# ------------------------------------------------------------------ memo
@pytest.mark.slow
def test_the_file_copy_tells_method_rule_and_faults_and_the_customer_does_not(tmp_path):
    analysis = analysed(tmp_path, HUMID | LINES | {"2.liquid_temperature": "97 degF"})
    file, customer = (" ".join(str(b) for b in memo.blocks(analysis, who)) for who in ("file", "customer"))
    for words in ("Faults that fit", "Title 24 2013", "metering device"):
        assert words in file
        assert words not in customer


def test_the_job_with_lines_loads(tmp_path):
    assert load_job(write_job(tmp_path, LINES)).circuit["1"].lines.rise is not None
