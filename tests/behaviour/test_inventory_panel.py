"""The refrigerant panel without a kernel: type, slide, read the result."""

import re

import pytest

from hvaccalc import analyse, load_job, units
from hvaccalc.ensemble import band
from hvaccalc.errors import InputError
from hvaccalc.panels import InventoryPanel
from hvaccalc.resources import data_path

POUND = 0.45359237


@pytest.fixture(scope="module")
def job():
    return load_job(data_path("jobs", "library_hall.toml"))


@pytest.fixture
def panel(job) -> InventoryPanel:
    return InventoryPanel.from_job(job, "2")


def test_untouched_it_says_what_the_findings_say(panel, job):
    """The same draws: not a digit apart."""
    findings = {f.key: f for f in analyse(job).findings if f.circuit == "2"}
    charge = findings["inventory.charge"]
    shown = band(panel.result.circuits["2"].full.draws)
    assert (shown.value, shown.low, shown.high) == (charge.value, charge.low, charge.high)
    told = panel.tell()
    for key in ("charge", "on_board", "pumpdown", "cylinder", "gas"):
        assert findings[f"inventory.{key}"].statement in told


def test_a_typed_condenser_answers_the_pump_down(panel):
    """34 lb need 0.66 ft3 at 85 °F: 0.8 holds them, at 84 °F as last read."""
    assert panel.result.circuits["2"].pump_down.text == "unknown"
    panel.boxes["volume"].box.value = "0.8 ft3"
    assert panel.result.circuits["2"].pump_down.text == "fits"
    assert panel.result.circuits["2"].pump_down.advised


def test_the_slider_warms_the_condenser(panel):
    """0.70 ft3: 36.6 lb at 85 °F (64.7 lb/ft3), 31.2 at 125 °F (55.8)."""
    panel.boxes["volume"].box.value = "0.70 ft3"
    texts = []
    for degrees in (50.0, 125.0):
        panel.ambient.value = degrees
        assert panel.result.ambient == pytest.approx(float(units.degF(degrees)))
        texts.append(panel.result.circuits["2"].pump_down.text)
    assert texts == ["fits", "does not fit"]
    assert band(panel.result.circuits["2"].pump_down.room.draws).value / POUND == pytest.approx(31.2, abs=0.5)


def test_a_typed_line_comes_on_top_of_the_label(panel):
    """100 ft of 5/8 in., 25 ft included, 1.6 oz/ft: 7.5 lb more."""
    panel.boxes["liquid_size"].box.value = "5/8 in"
    panel.boxes["liquid_length"].box.value = "100 ft"
    circuit = panel.result.circuits["2"]
    assert circuit.method == "label and line"
    assert band(circuit.full.draws).value / POUND == pytest.approx(41.5, abs=0.05)


def test_without_a_label_it_is_like_the_other_circuit(panel):
    panel.boxes["nameplate_charge"].box.value = ""
    assert panel.result.circuits["2"].method == "other circuit"
    assert panel.result.circuits["1"].method == "label"


@pytest.mark.parametrize("typed", ["9 in", "0.8", "34 psig"])
def test_what_cannot_be_read_keeps_the_last_picture(panel, typed):
    before = panel.result
    panel.boxes["nameplate_charge"].box.value = typed
    assert panel.result is before
    assert "hvac-stale" in panel.picture.value and panel.boxes["nameplate_charge"].error


def test_picture_and_words_repeat(panel, job):
    again = InventoryPanel.from_job(job, "2")
    assert panel.draw() == again.draw() and panel.tell() == again.tell()


def test_the_picture_is_told_in_words(panel):
    said = re.search("<desc[^>]*>(.*?)</desc>", panel.draw())[1]
    assert "circuit 2, R-410A: whole charge 34.0 lb (32.7 to 35.3)" in said
    assert "2 x 50-lb cylinder" in said and "pump-down of circuit 2 at 84.0 °F: unknown" in said


def test_a_saved_notebook_keeps_numbers_and_cautions(panel):
    bundle = panel._repr_mimebundle_()
    assert "34.0 lb (32.7 to 35.3)" in bundle["text/plain"]
    for caution in ("recover, never vent", "above atmospheric", "bypassed cut-out", "bursts its relief"):
        assert caution in bundle["text/html"]


def test_metric(job):
    metric = InventoryPanel.from_job(job.model_copy(update={"display": "si"}), "2")
    assert metric.ambient.description == "Outdoors, °C" and metric.ambient.value == 29.0
    assert "15.42 kg" in "\n".join(metric.tell())


def test_no_such_circuit(job):
    with pytest.raises(InputError, match="no such circuit"):
        InventoryPanel.from_job(job, "3")


@pytest.mark.parametrize(
    ("key", "typed"), [("volume", "100 ft3"), ("receiver_volume", "999 ft3"), ("volume", "20 ft3")]
)
def test_a_volume_that_no_unit_has_never_promises_a_pump_down(panel, key, typed):
    """5 tons a circuit: 100 ft3 of R-410A, 66 lb/ft3, would hold 5,000 lb; nothing is promised, and it is
    said below the box."""
    panel.boxes["volume"].box.value = "0.8 ft3"
    assert panel.result.circuits["2"].pump_down.text == "fits"
    panel.boxes[key].box.value = typed
    answer = panel.result.circuits["2"].pump_down
    assert answer.text == "unknown" and answer.room is None and not answer.advised
    assert f"circuit.2.condenser.{key}" in answer.missing
    assert "any unit" in panel.boxes[key].message.value
    panel.boxes[key].box.value = "0.8 ft3" if key == "volume" else ""
    assert panel.result.circuits["2"].pump_down.text == "fits" and not panel.boxes[key].message.value


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("liquid_length", "100000 ft", "longer than any split system"),
        ("liquid_length", "0 ft", "a line has a length"),
        ("liquid_size", "9 in", "no copper tube of 9 in is made"),
        ("nameplate_charge", "1 lb", "unusual"),
    ],
)
def test_what_no_unit_has_is_said_below_its_box(panel, key, typed, said):
    assert not panel.boxes[key].message.value
    panel.boxes[key].box.value = typed
    assert said in panel.boxes[key].message.value
    assert panel.boxes[key].message.layout.display is None


def test_a_line_longer_than_any_adds_nothing_to_the_label(panel):
    """100,000 ft of 5/8 in would hold 10,000 lb: not taken, and the label's 34 lb stand."""
    panel.boxes["liquid_size"].box.value = "5/8 in"
    panel.boxes["liquid_length"].box.value = "100000 ft"
    assert band(panel.result.circuits["2"].full.draws).value / POUND == pytest.approx(34.0, abs=0.5)
