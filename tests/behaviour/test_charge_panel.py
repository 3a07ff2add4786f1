"""The charge panel without a kernel: it shows what `analyse` says, follows its boxes, rule and role.

Numbers in the tests come from the job's readings by the printed R-410A card, from memory, or from the chart
points that the job carries.
"""

import re

import pytest

from hvaccalc.analysis import analyse
from hvaccalc.errors import InputError
from hvaccalc.job.load import load_job
from hvaccalc.panels import ChargePanel
from hvaccalc.resources import data_path
from tests.behaviour.jobs import SOUND, write_job


@pytest.fixture(scope="module")
def job():
    return load_job(data_path("jobs", "library_hall.toml"))


@pytest.fixture
def panel(job):
    return ChargePanel.from_job(job, 2, 1)


def test_it_says_what_the_analysis_says(job):
    analysis = analyse(job)
    for visit, condition in ((1, 1), (2, 1)):
        result = ChargePanel.from_job(job, visit, condition).result
        (same,) = [r for r in analysis.conditions if (r.where.visit, r.where.condition) == (visit, condition)]
        assert {n: c.verdict for n, c in result.charges.items()} == {
            n: c.verdict for n, c in same.charges.items()
        }
        for name, fits in result.faults.items():
            whole = analysis.charge_evidence.confusion[same.where.at(name)]
            assert (fits.text, fits.signs, fits.faults) == (whole.text, whole.signs, whole.faults)


def test_low_air_blocks_and_the_circuits_still_compare(job):
    told = "\n".join(ChargePanel.from_job(job, 1, 1).tell())
    assert told.count("charge: cannot tell") == 2
    assert "gate unmet: full airflow" in told and "no verdict until it is met" in told
    assert "circuit 2 stands out against circuit 1" in told


def test_a_typed_liquid_temperature_moves_the_verdict(panel):
    """94.4 °F is on the chart at 357 psig; 80 °F there is 15 °F beyond it."""
    assert panel.result.charges["1"].verdict == "as charted"
    panel.boxes["1", "liquid_temperature"].box.value = "80 degF"
    assert panel.result.charges["1"].verdict == "high"
    panel.boxes["1", "liquid_temperature"].box.value = ""
    assert panel.result.charges["1"].verdict == "cannot tell"


def test_rule_and_role_move_the_tolerance(panel):
    """Title 24: 3 °F for an installer, 4 (2008) and 6 °F (2013) for a verifier."""
    widths = {}
    for edition in panel.edition.options:
        for role in panel.role.options:
            panel.edition.value, panel.role.value = edition, role
            widths[edition, role] = round(panel.result.charges["1"].held.tolerance * 1.8, 6)
    assert widths == {
        ("Title 24 2008", "installer"): 3.0,
        ("Title 24 2008", "verifier"): 4.0,
        ("Title 24 2013", "installer"): 3.0,
        ("Title 24 2013", "verifier"): 6.0,
    }


def test_a_wrong_box_keeps_the_last_picture(panel):
    before = panel.result
    panel.boxes["2", "suction_pressure"].box.value = "118 furlongs"
    assert panel.result is before and "hvac-stale" in panel.picture.value


def test_the_picture_shows_points_bands_and_both_circuits(panel):
    svg = panel.draw()
    assert svg.count("<rect") == 8 and svg.count("<circle") == 2 and svg.count("<polygon") == 2
    assert "Circuit 1: as charted" in svg and "Circuit 2: low" in svg
    assert re.search(r"<desc[^>]*>[^<]*subcooling less target -9\.", svg)
    assert "nan" not in svg


def test_the_gates_stand_as_a_table(job):
    table = ChargePanel.from_job(job, 1, 1).tell_html()
    assert table.count("✗ unmet") == 2 and "circuit 1</th>" in table and "circuit 2</th>" in table


def test_without_a_kernel_words_and_picture_stay(panel):
    bundle = panel._repr_mimebundle_()
    assert "Charge by circuit" in bundle["text/plain"] and "<img" in bundle["text/html"]
    assert "never vent" in bundle["text/html"]


@pytest.mark.parametrize(
    "changes",
    [
        {key: None for key in SOUND if key.startswith(("1.", "2."))},
        {"circuit.1.target_subcooling": None, "circuit.2.target_subcooling": None},
        {"circuit.1.metering": "fixed orifice", "circuit.1.target_superheat": "10 degF"},
        {"condition.calls": [], "condition.compressors_running": []},
        {"1.suction_pressure": "317 psig", "1.liquid_pressure": "118 psig"},
    ],
    ids=["nothing read", "no target", "orifice", "off", "hoses swapped"],
)
def test_whatever_lacks_it_draws_and_tells(tmp_path, changes):
    panel = ChargePanel.from_job(load_job(write_job(tmp_path, changes)))
    assert panel.draw().startswith("<svg") and panel.tell() and panel.tell_html()


def test_metric_units(tmp_path):
    panel = ChargePanel.from_job(load_job(write_job(tmp_path, {"display": "si"})))
    assert "kPa" in panel.draw() and "°C" in panel.draw()
    assert "°F" not in panel.draw()


def test_a_condition_that_is_not_there_is_named(job):
    with pytest.raises(InputError, match="no such condition"):
        ChargePanel.from_job(job, 9, 1)


def test_liquid_far_below_the_outdoor_air_is_a_contradiction(panel):
    """Outdoors 84 °F: an air-cooled condenser gives no liquid of 40 °F; no verdict rests on it."""
    panel.boxes["1", "liquid_temperature"].box.value = "40 degF"
    assert panel.result.charges["1"].verdict == "cannot tell"
    assert panel.result.charges["2"].verdict != "cannot tell"
    assert "liquid_below_air" in {flag.code for flag in panel.result.flags}
    assert any("40 degF" in line and "outdoor air" in line for line in panel.tell())


def test_suction_gas_hotter_than_any_air_is_a_contradiction(panel):
    """Return and outdoor air stand below 90 °F: no suction line is 150 °F."""
    panel.boxes["1", "suction_temperature"].box.value = "150 degF"
    assert panel.result.charges["1"].verdict == "cannot tell"
    assert "gas_above_air" in {flag.code for flag in panel.result.flags}


def test_a_line_somewhat_colder_than_the_air_is_none(panel):
    """A subcooler or a cool room on the way may take the liquid a little below the air."""
    panel.boxes["1", "liquid_temperature"].box.value = "80 degF"
    panel.boxes["1", "suction_temperature"].box.value = "95 degF"
    codes = {flag.code for flag in panel.result.flags}
    assert not codes & {"liquid_below_air", "gas_above_air"}


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2463 kPa", "gauge or absolute?"),
        ("24.63 bar", "gauge or absolute?"),
        ("343 psi", "taken as gauge: 343 psig; write psia"),
        ("2463 kPag", ""),
        ("343 psig", ""),
    ],
)
def test_how_a_bare_pressure_was_taken_stands_below_its_box(panel, typed, said):
    """2463 kPa are 357.2 psia, less one atmosphere of 14.6 to 14.7 psi."""
    box = panel.boxes["1", "liquid_pressure"]
    box.box.value = typed
    assert (said in box.message.value) if said else not box.message.value


def test_a_look_beside_the_other_circuit_is_no_verdict_at_low_air(job):
    told = "\n".join(ChargePanel.from_job(job, 1, 1).tell())
    assert "It looks" in told and "No verdict on its charge" in told


def test_half_a_comparison_does_not_clear_the_circuits(job):
    """A pressure left out takes subcooling with it: superheat alone within its band tells nothing."""
    panel = ChargePanel.from_job(job, 1, 1)
    panel.boxes["2", "liquid_pressure"].box.value = "5000 psig"
    together = next(line for line in panel.tell() if line.startswith("Side by side"))
    assert "none stands out" not in together


def test_only_faults_of_the_list_are_told_apart(panel):
    """The sensing bulb tells of an overfeeding valve alone."""
    for fits in panel.result.faults.values():
        if not any("overfeed" in fault for fault in fits.faults):
            assert not any("bulb" in reading for reading in fits.next)
