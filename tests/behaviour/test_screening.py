"""Readings that cannot be true together: flagged, kept, left out of inference; and what is evidence instead.

Saturations by the printed R-410A card, from memory: 118 psig 40 °F, 317 psig 100 °F; 133 psig 46 °F.
"""

import json

import pytest
from typer.testing import CliRunner

from hvaccalc import cli, units
from tests.behaviour.jobs import HUMID, SOUND, analysed, found, one, write_job

CHARGE_1 = {("circuit.subcooling", "1"), ("circuit.charge", "1")}
SUPERHEAT_1 = {("circuit.superheat", "1")}

# changes, code of the flag, findings that may no longer stand as a value or a verdict
CONTRADICTIONS = {
    "return wet bulb above dry bulb": (
        {"air.return_dry_bulb": "63 degF", "air.return_wet_bulb": "75 degF"},
        "wet_above_dry",
        {("air.return.humidity_ratio", None), ("capacity.total", None), ("capacity.sensible", None)},
    ),
    "supply probes swapped": (
        {"air.supply_dry_bulb": "53 degF", "air.supply_wet_bulb": "57 degF"}
        | {"air.return_wet_bulb": "63 degF"},
        "wet_above_dry",
        {("air.supply.humidity_ratio", None), ("capacity.total", None)},
    ),
    "return dew point above dry bulb": (
        {"air.return_dew_point": "82 degF"},
        "wet_above_dry",
        {("air.return.humidity_ratio", None)},
    ),
    "supply warmer than return": (
        HUMID | {"air.supply_dry_bulb": "80 degF", "air.supply_wet_bulb": "66 degF"},
        "supply_above_return",
        {("capacity.sensible", None), ("capacity.total", None), ("air.supply.humidity_ratio", None)},
    ),
    # Dry air, 75 °F: 0.24 (75 - 46) = 7.0 Btu/lb evaporate 0.0066 lb/lb, which saturate it at 46 °F (ASHRAE).
    "wet bulb below that of dry air": (
        {"air.return_wet_bulb": "36 degF"},
        "wet_below_dry_air",
        {("capacity.total", None), ("condensate.rate", None)},
    ),
    "supply more humid than return": (
        {
            "air.return_wet_bulb": "54 degF",
            "air.supply_wet_bulb": "54.5 degF",
        },
        "supply_more_humid",
        {("capacity.total", None), ("condensate.rate", None)},
    ),
    "suction above liquid pressure": (
        {"1.suction_pressure": "317 psig", "1.liquid_pressure": "118 psig"},
        "suction_above_head",
        CHARGE_1 | SUPERHEAT_1,
    ),
    "suction above discharge pressure": (
        {"1.discharge_pressure": "60 psig"},
        "suction_above_head",
        SUPERHEAT_1,
    ),
    "dead suction channel": (
        {"1.suction_pressure": "-20 psig"},
        "dead_channel",
        SUPERHEAT_1 | {("circuit.suction_saturation", "1"), ("coil.suction_saturation", "1")},
    ),
    "dead liquid channel": (
        {"1.liquid_pressure": "-14.9 psig"},
        "dead_channel",
        CHARGE_1 | {("circuit.liquid_saturation", "1")},
    ),
    "no pressure ratio while current proves running": (
        {"1.suction_pressure": "200 psig", "1.liquid_pressure": "201 psig"},
        "no_ratio_while_running",
        CHARGE_1 | SUPERHEAT_1,
    ),
    "liquid 9 °F above its bubble temperature": (
        {"1.liquid_temperature": "109 degF"},
        "liquid_above_bubble",
        CHARGE_1,
    ),
    "suction and liquid clamps swapped": (
        {"1.suction_temperature": "88 degF", "1.liquid_temperature": "50 degF"},
        "clamps_swapped",
        CHARGE_1 | SUPERHEAT_1,
    ),
    "the same at half a degree of superheat": (
        {"1.suction_temperature": "88 degF", "1.liquid_temperature": "41 degF"},
        "clamps_swapped",
        CHARGE_1 | SUPERHEAT_1,
    ),
    "suction gas far below its saturation": (
        {"1.suction_temperature": "30 degF"},
        "below_saturation",
        SUPERHEAT_1,
    ),
    "air moved by a fan that stands still": (
        {"air.fan_frequency": "0 Hz"},
        "air_without_fan",
        {("airflow.reading", None)},
    ),
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_flagged_kept_and_left_out(tmp_path, name):
    changes, code, gone = CONTRADICTIONS[name]
    analysis = analysed(tmp_path, changes)
    flags = [flag for flag in analysis.screening.flags if flag.code == code]
    assert len(flags) == 1
    assert one(analysis, "reading.contradiction").text == code
    assert any(n.code == f"contradiction.{code}" and "Left out" in n.text for n in analysis.notices)
    for key, circuit in gone:
        for finding in found(analysis, key, circuit):
            assert finding.value is None
            assert finding.text in (None, "cannot tell")
    # Circuit 2 was read soundly in each of these jobs.
    assert one(analysis, "circuit.subcooling", "2").value is not None
    # Each of two readings is quoted as it was typed.
    for key, value in changes.items():
        if len(flags[0].keys) == 2 and key.partition(".")[2] in flags[0].keys:
            assert value in flags[0].text, flags[0].text
    # What was typed is still in the job.
    for key in set(flags[0].keys):
        table = analysis.job.visit[0].condition[0]
        where = table.circuit["1"] if flags[0].where.circuit else table.air
        assert getattr(where, key, None) is not None or key not in changes


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_a_contradiction_is_no_refusal(tmp_path, name):
    result = CliRunner().invoke(
        cli.app, ["findings", str(write_job(tmp_path, CONTRADICTIONS[name][0])), "--json"]
    )
    assert result.exit_code == 0
    printed = json.loads(result.stdout)
    assert any(n["code"].startswith("contradiction.") for n in printed["notices"])


@pytest.mark.parametrize(
    "changes",
    [
        HUMID,
        # 0.5 °F over: within ± 1.0 of each psychrometer reading.
        {"air.return_dry_bulb": "63 degF", "air.return_wet_bulb": "63.5 degF"},
        # A dry coil: dew points some tenths apart are the instruments'.
        {"air.return_dew_point": "45 degF", "air.supply_dew_point": "45.4 degF"},
        {"air.supply_dry_bulb": "75.5 degF"},
        {"1.suction_pressure": "200 psig", "1.liquid_pressure": "199 psig", "1.compressor_current": None},
        {"1.liquid_temperature": "104 degF"},
        {"1.suction_temperature": "39 degF"},
        {"1.suction_temperature": "38 degF"},
    ],
)
def test_within_the_combined_band_no_rule_names_it(tmp_path, changes):
    """Supply air as warm as the return beside two circuits that run is left to the neighbours."""
    flags = analysed(tmp_path, changes).screening.flags
    assert [flag for flag in flags if not flag.code.startswith("mistyped")] == []


PSIA_AS_PSIG = {
    # True 62 psig (R-22, 35.6 °F), gas at 38 °F; the absolute 76.7 psia typed as 76.7 psig is 45.3 °F.
    "circuit.1.refrigerant": "R-22",
    "1.suction_pressure": "76.7 psig",
    "1.suction_temperature": "38 degF",
    "1.liquid_pressure": None,
    "1.liquid_temperature": None,
}


def test_psia_typed_as_psig_is_named(tmp_path):
    """R-22 card, from memory: 61.5 psig 35 °F, 76 psig 45 °F."""
    analysis = analysed(tmp_path, PSIA_AS_PSIG)
    contradiction = one(analysis, "reading.contradiction")
    assert contradiction.text == "below_saturation"
    assert "psia typed as psig" in contradiction.statement
    assert not found(analysis, "circuit.superheat", "1")
    assert analysed(tmp_path, PSIA_AS_PSIG | {"1.suction_pressure": "76.7 psia"}).screening.flags == ()


# ------------------------------------------------------------------ evidence, kept and used


@pytest.mark.parametrize("liquid", ["101 degF", "104.5 degF"])
def test_liquid_up_to_five_degrees_above_its_bubble_temperature_is_no_subcooling(tmp_path, liquid):
    analysis = analysed(tmp_path, {"1.liquid_temperature": liquid})
    subcooling = one(analysis, "circuit.subcooling", "1")
    assert subcooling.severity == "act"
    assert "No subcooling" in subcooling.statement
    assert one(analysis, "circuit.charge", "1").text == "low"


def test_supply_warmer_than_return_is_evidence_where_nothing_proves_the_compressor(tmp_path):
    unproved = {"air.supply_dry_bulb": "80 degF"}
    unproved |= {key: None for key in SOUND if key.startswith(("1.", "2."))}
    analysis = analysed(tmp_path, unproved)
    assert analysis.screening.flags == ()
    assert one(analysis, "capacity.sensible").value < 0.0


def test_pressure_ratio_of_one_is_evidence_where_nothing_proves_the_compressor(tmp_path):
    unproved = {
        "1.suction_pressure": "200 psig",
        "1.liquid_pressure": "200 psig",
        "1.compressor_current": None,
    }
    analysis = analysed(tmp_path, unproved)
    assert analysis.screening.flags == ()
    assert one(analysis, "circuit.suction_saturation", "1").value is not None
    charge = one(analysis, "circuit.charge", "1")
    assert charge.text == "cannot tell"
    assert "read the compressor's current" in charge.statement
    assert "No pressure difference" in charge.statement
    assert "loodback" not in charge.statement


def test_a_standing_circuit_has_saturations_but_no_superheat_and_no_subcooling(tmp_path):
    """Off, pressures level at 70 °F saturation, pipes at any temperature: nothing contradicts."""
    off = {
        "condition.calls": [],
        "condition.compressors_running": [],
        "1.suction_pressure": "200 psig",
        "1.liquid_pressure": "201 psig",
        "1.compressor_current": None,
    }
    analysis = analysed(tmp_path, off)
    assert [flag for flag in analysis.screening.flags if flag.where.circuit == "1"] == []
    assert one(analysis, "circuit.suction_saturation", "1").value == pytest.approx(294.3, abs=1.0)
    for key in ("circuit.subcooling", "circuit.superheat", "circuit.charge"):
        assert not found(analysis, key, "1")


@pytest.mark.parametrize(
    "heat",
    [
        {"condition.calls": ["heat 1"], "unit.kind": "heat pump"},
        {"condition.calls": ["cool 1", "heat 1"]},
        {"air.electric_heat": "10 kW"},
        {"condition.calls": None, "unit.kind": "heat pump"},
    ],
)
def test_supply_warmer_than_return_is_no_contradiction_with_heat_on(tmp_path, heat):
    assert analysed(tmp_path, {"air.supply_dry_bulb": "95 degF"} | heat).screening.flags == ()


@pytest.mark.parametrize(
    ("temperature", "said"),
    [
        # Superheat 2 °F with a clamp of ± 1.8 °F and a gauge of ± 1 °F: the band reaches zero.
        ("41.5 degF", "Floodback not excluded"),
        ("39 degF", "Floodback: no superheat"),
        ("38 degF", "Floodback: no superheat"),
    ],
)
def test_floodback_is_evidence_to_act_on(tmp_path, temperature, said):
    analysis = analysed(tmp_path, {"1.suction_temperature": temperature})
    assert analysis.screening.flags == ()
    superheat = one(analysis, "circuit.superheat", "1")
    assert superheat.severity == "act"
    assert said in superheat.statement
    assert "discharge superheat" in superheat.statement


@pytest.mark.parametrize(
    ("discharge", "said", "severity"),
    [
        # R-410A at 365 psig: 110 °F by the card. 40, 10 and 23 °F of discharge superheat.
        ("150 degF", "does not confirm floodback", "watch"),
        ("120 degF", "confirms it", "stop"),
        ("133 degF", "lies at that limit", "act"),
    ],
)
def test_floodback_is_held_against_the_discharge_superheat_that_was_read(tmp_path, discharge, said, severity):
    read = {
        "1.suction_temperature": "38 degF",
        "1.discharge_pressure": "365 psig",
        "1.discharge_temperature": discharge,
    }
    analysis = analysed(tmp_path, read)
    assert one(analysis, "circuit.discharge_superheat", "1").value == pytest.approx(
        (units.parse(discharge, "temperature").value - units.degF(110.0)), abs=0.5
    )
    superheat = one(analysis, "circuit.superheat", "1")
    assert (said in superheat.statement, superheat.severity) == (True, severity)
    assert "loodback" not in one(analysis, "circuit.charge", "1").statement


def test_plain_superheat_is_no_floodback(tmp_path):
    superheat = one(analysed(tmp_path), "circuit.superheat", "1")
    assert superheat.severity == "note"
    assert "loodback" not in superheat.statement


def test_an_all_but_empty_circuit_is_told_as_such(tmp_path):
    """60 psig on the liquid line is 8 °F on the card: at 88 °F it holds gas alone."""
    analysis = analysed(tmp_path, {"1.suction_pressure": "5 psig", "1.liquid_pressure": "60 psig"})
    statements = " ".join(f.statement for f in found(analysis, "reading.contradiction", "1"))
    assert "all but empty" in statements


# ------------------------------------------------------------------ unusual, kept, used, with a notice


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"air.airflow": "3900 cfm", "air.fan_frequency": None}, "unusual.airflow"),
        ({"air.airflow": "10500 cfm", "air.fan_frequency": None}, "unusual.airflow"),
        ({"1.liquid_temperature": "72 degF"}, "unusual.subcooling"),
        ({"1.suction_temperature": "82 degF"}, "unusual.superheat"),
        ({"air.return_dry_bulb": "58 degF", "air.supply_dry_bulb": "45 degF"}, "unusual.return"),
        ({"air.return_dry_bulb": "94 degF"}, "unusual.return"),
    ],
)
def test_unusual_readings_are_used_with_a_notice(tmp_path, changes, code):
    analysis = analysed(tmp_path, changes)
    assert code in {n.code for n in analysis.notices}
    assert analysis.screening.excluded == frozenset()
    usual = {n.code for n in analysed(tmp_path).notices}
    assert not {c for c in usual if c.startswith("unusual")}


def test_limits_are_told_in_display_units(tmp_path):
    changes = {"air.return_dry_bulb": "94 degF", "1.liquid_temperature": "72 degF", "air.airflow": "3900 cfm"}
    analysis = analysed(tmp_path, changes, extra="")
    metric = analysed(tmp_path, changes | {"display": "si"})
    told = [n.text for n in metric.notices if n.code.startswith("unusual")]
    assert len(told) == len([n for n in analysis.notices if n.code.startswith("unusual")]) == 3
    assert not any("°F" in text or "cfm" in text for text in told)
    assert any("outside the usual 27 to 67" in text for text in told)  # 200 and 500 cfm per ton in L/s per kW


def test_floodback_is_told_in_display_units(tmp_path):
    """20 to 25 °F of discharge superheat are 11 to 14 K."""
    superheat = one(
        analysed(tmp_path, {"1.suction_temperature": "39 degF", "display": "si"}), "circuit.superheat", "1"
    )
    assert "11.1 to 13.9 K" in superheat.statement
    assert "°F" not in superheat.statement


def test_impossible_draws_are_masked_and_their_share_is_printed(tmp_path):
    """Saturated supply air: half the draws put the wet bulb above the dry bulb."""
    wet = HUMID | {"air.supply_dry_bulb": "55 degF", "air.supply_wet_bulb": "55 degF"}
    analysis = analysed(tmp_path, wet)
    assert analysis.screening.flags == ()
    said = one(analysis, "air.supply.humidity_ratio").statement
    assert "% of the possible readings cannot be (wet bulb above dry bulb)" in said


HOT = {"air.outdoor_dry_bulb": "120 degF"}


def test_a_running_condenser_cannot_stand_below_the_outdoor_air(tmp_path):
    """317 psig is 100 °F: 20 °F below 120 °F outdoors in both circuits, so that the probe is to blame."""
    analysis = analysed(tmp_path, HOT)
    (flag,) = analysis.screening.flags
    assert (flag.code, flag.keys, flag.where.circuit) == ("below_outdoors", ("outdoor_dry_bulb",), "")
    assert "heat does not flow that way" in flag.text


def test_one_circuit_alone_below_the_outdoor_air_has_its_gauge_to_blame(tmp_path):
    analysis = analysed(tmp_path, {"1.liquid_pressure": "190 psig", "1.liquid_temperature": "60 degF"})
    (flag,) = [f for f in analysis.screening.flags if f.code == "below_outdoors"]
    assert (flag.keys, flag.where.circuit) == (("liquid_pressure",), "1")
    assert one(analysis, "circuit.charge", "1").text == "cannot tell"


@pytest.mark.parametrize(
    "changes",
    [
        {"air.outdoor_dry_bulb": "99 degF"},
        HOT | {"unit.kind": "heat pump", "condition.calls": ["heat 1", "heat 2"]},
        HOT | {f"{n}.suction_temperature": "95 degF" for n in "12"},
    ],
    ids=["within the band", "heating", "all but empty"],
)
def test_what_can_be_is_not_called_a_contradiction(tmp_path, changes):
    codes = {flag.code for flag in analysed(tmp_path, changes).screening.flags}
    assert "below_outdoors" not in codes


@pytest.mark.parametrize(("current", "taken"), [("18 A", True), ("0 A", False)])
def test_a_cooling_coil_that_reads_as_if_it_moistened_the_air_is_dry(tmp_path, current, taken):
    """Return 75/57 °F and supply 55/48.5 °F: by the chart 41 and 43 gr/lb, within the probes' band. Water
    given to the air would need a coil at rest: with a compressor running the coil is dry."""
    read = HUMID | {"air.return_wet_bulb": "57 degF", "air.supply_wet_bulb": "48.6 degF"}
    read |= {f"{name}.compressor_current": current for name in ("1", "2")}
    analysis = analysed(tmp_path, read)
    assert analysis.screening.excluded == frozenset()
    total = one(analysis, "capacity.total")
    assert ("gives no water to the air" in total.statement) == taken
    assert "dry within the readings' band" in one(analysis, "condensate.rate").statement


@pytest.mark.parametrize("dry_bulb", ["100 degF", "110 degF"])
def test_supply_wetter_than_a_return_that_is_all_but_no_air_is_told(tmp_path, dry_bulb):
    """At 110 °F a wet bulb of 60 °F is that of air without any water (ASHRAE psychrometric chart: 60 °F wet
    bulb meets zero humidity at 109 °F): the central reading is no state, most of its band is."""
    read = {
        "air.return_dry_bulb": dry_bulb,
        "air.return_wet_bulb": "60 degF",
        "air.supply_wet_bulb": "53 degF",
    }
    read |= {f"{name}.compressor_current": "18 A" for name in ("1", "2")}
    codes = {flag.code for flag in analysed(tmp_path, HUMID | read).screening.flags}
    assert "supply_more_humid" in codes


SHOWN = {"1.superheat": "10 degF", "1.subcooling": "12 degF"}


def test_what_a_manifold_shows_stands_in_for_a_pair_that_was_not_typed(tmp_path):
    """The card's 118 and 317 psig with 50 and 88 °F are 10 °F of superheat and 12 °F of subcooling."""
    without = {f"1.{key}_temperature": None for key in ("suction", "liquid")}
    analysis = analysed(tmp_path, SHOWN | without)
    for key, degrees in (("superheat", 10.0), ("subcooling", 12.0)):
        finding = one(analysis, f"circuit.{key}", "1")
        assert finding.value == pytest.approx(degrees / 1.8) and finding.basis == "measured"
        assert "as the manifold showed it" in finding.statement
    assert (
        one(analysis, "circuit.charge", "1").text == one(analysed(tmp_path, {}), "circuit.charge", "1").text
    )


@pytest.mark.parametrize(("shown", "flagged"), [("10 degF", False), ("22 degF", True)])
def test_what_a_manifold_shows_is_compared_with_its_pair(tmp_path, shown, flagged):
    """10 °F by the pair: beyond the band of both, the manifold's own is left out and the pair stays."""
    analysis = analysed(tmp_path, {"1.superheat": shown})
    told = [n for n in analysis.notices if "shown_otherwise" in n.code]
    assert bool(told) is flagged
    if flagged:
        assert "superheat" in told[0].where + told[0].text and "22 degF" in told[0].text
    assert one(analysis, "circuit.superheat", "1").value == pytest.approx(10 / 1.8, abs=0.3)
