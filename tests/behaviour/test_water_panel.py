"""The water panel without a kernel: slide, read the result."""

import re

import pytest

from hvaccalc import load_job
from hvaccalc.job.load import job_from_text
from hvaccalc.panels import WaterPanel
from hvaccalc.resources import data_path
from tests.behaviour.jobs import SOUND, job_text

INCH = 0.0254


@pytest.fixture(scope="module")
def jobs():
    return {name: load_job(data_path("jobs", f"{name}.toml")) for name in ("library_hall", "swim_club")}


@pytest.fixture(scope="module")
def hall(jobs) -> WaterPanel:
    return WaterPanel.from_job(jobs["library_hall"])


@pytest.fixture
def club(jobs) -> WaterPanel:
    return WaterPanel.from_job(jobs["swim_club"])


def test_untouched_it_says_what_the_budget_says(club):
    """The same object: not a digit apart."""
    assert club.result is club.read and club.result.dominant == "trap"
    assert "Stands out: trap" in club.tell()[0]


def test_full_speed_takes_the_ice_away(hall):
    assert hall.result.weighed["melt"].text == "can make it"
    hall.speed.value = 100.0
    assert hall.result.weighed["melt"].text == "cannot"
    hall.speed.value = 60.0
    assert hall.result.weighed["melt"].text == "can make it"


def test_the_coil_slider_ends_the_drip(hall):
    hall.coil_slope.value = 0.0
    assert hall.result.weighed["coil_drip"].text == "cannot"
    hall.coil_slope.value = 25.0


def test_the_drain_slider_follows_the_square_root(hall):
    """Manning: four times the fall, twice the flow."""
    flows = []
    for slope in (0.5, 2.0):
        hall.drain_slope.value = slope
        flows.append(hall.result.drain.full.value)
    assert flows[1] / flows[0] == pytest.approx(2.0, rel=1e-6)


def test_the_suction_slider_sets_what_the_trap_needs(club):
    """Belt drive at full speed: 3 in of suction ask for 4 in of height (902 of 900 rpm as read)."""
    club.suction.value = 3.0
    assert club.result.trap.required_now.value / INCH == pytest.approx(4.0, abs=0.01)
    assert club.result.trap.standing.value / INCH == pytest.approx(3.0, abs=0.01)


def test_speed_and_suction_go_together(club):
    """Suction of 2 in at the speed as found is 0.5 in at half of it."""
    club.suction.value = 2.0
    club.speed.value = 50.0
    assert club.result.trap.suction.value / 249.09 == pytest.approx(0.5, abs=0.01)


def test_pictures_and_words_repeat_and_stand_in_the_saved_notebook(club, jobs):
    again = WaterPanel.from_job(jobs["swim_club"])
    assert club.draw() == again.draw() and club.tell() == again.tell()
    bundle = club._repr_mimebundle_()
    assert "can make it" in bundle["text/plain"] and "hvac-caution" in bundle["text/html"]
    said = re.search("<desc[^>]*>(.*?)</desc>", club.draw())[1]
    assert "Seen: 8 to 30 gal/day." in said
    assert "The trap to scale" in club.words.value


def test_metric(jobs):
    panel = WaterPanel.from_job(jobs["swim_club"].model_copy(update={"display": "si"}))
    assert "L/day" in panel.draw() and "Pa" in panel.suction.description
    assert panel.suction.value == pytest.approx(520.0, abs=5.0)


def test_no_word_of_water():
    panel = WaterPanel.from_job(job_from_text(job_text(base=SOUND)))
    assert panel.result is None and "Nothing in this job speaks of water" in panel.words.value
    assert panel.speed.disabled and panel.tell() == [panel.tell()[0]]
