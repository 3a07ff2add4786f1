"""The water panel without a kernel: slide, read the result."""

import re

import pytest

from hvaccalc import load_job
from hvaccalc.job.load import job_from_text
from hvaccalc.panels import FanPanel, WaterPanel
from hvaccalc.pictures import trap_drawing, water_bars
from hvaccalc.resources import data_path
from tests.behaviour.jobs import SOUND, job_text, why
from tests.behaviour.test_water import BASE

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


def test_what_the_job_says_can_be_moved(hall):
    moved = (hall.speed, hall.drain_slope, hall.coil_slope, hall.suction, hall.back)
    assert not any(control.disabled for control in moved)


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


def test_what_the_job_does_not_say_shows_no_number_until_it_is_moved(jobs):
    """Library hall: nobody read the suction; zero is a value and not what is not known."""
    panel = WaterPanel.from_job(jobs["library_hall"])
    suction = panel.settings[3]
    assert not panel.suction.readout and "suction at the pan is not known" in suction.note.value
    assert panel.coil_slope.readout and not panel.result.trap.suction.known
    panel.suction.value = 0.5
    assert panel.suction.readout and not suction.note.value
    panel.suction.value = 0.0
    assert panel.result.trap.suction.value == 0.0
    panel.back.click()
    assert panel.result is panel.read and not panel.suction.readout


def test_a_coil_set_upright_is_not_one_of_unknown_slope():
    """Upright over its pan it drips into it; untouched, nobody knows."""
    panel = WaterPanel.from_job(job_from_text(job_text(base=BASE)))
    assert not panel.coil_slope.readout and panel.result.weighed["coil_drip"].text == "cannot tell"
    panel.coil_slope.value = 1.0
    assert "1° off upright" in why(panel.result.weighed["coil_drip"])
    panel.coil_slope.value = 0.0
    assert "stands upright" in why(panel.result.weighed["coil_drip"])


def test_without_suction_no_air_is_drawn(club):
    assert "air rushes in" in trap_drawing.picture(club.result.trap, "us").svg
    club.suction.value = 0.0
    drawn = trap_drawing.picture(club.result.trap, "us")
    assert "air rushes in" not in drawn.svg and "as found" not in drawn.svg
    assert "With these settings" in drawn.description
    assert "Stands out: trap" not in club.tell()[0]


def test_letters_of_the_pictures_are_large_enough(club):
    """11 px or more where the picture is 700 px wide, as in a page of 1024; contrast 4.5 to 1 (WCAG 2.2)."""
    for drawn in (
        water_bars.picture(club.result, "us"),
        trap_drawing.picture(club.result.trap, "us"),
    ):
        width = float(re.search(r'viewBox="0 0 (\d+)', drawn.svg)[1])
        sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', drawn.svg)]
        assert min(sizes) * 700.0 / width >= 11.0
        colours = set(re.findall(r'<text[^>]* fill="#(\w{6})"', drawn.svg))
        assert min(1.05 / (luminance(colour) + 0.05) for colour in colours) >= 4.5


def luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2 of six hexadecimal digits."""
    parts = [int(colour[n : n + 2], 16) / 255.0 for n in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_no_sentence_ends_twice(club, jobs):
    """The unit "in w.c." ends in a full stop of its own."""
    fan = FanPanel.from_job(jobs["library_hall"])
    for said in (club.draw(), club.tell_html(), fan.draw(), *club.tell()):
        assert "w.c.." not in said


def test_cards_name_ways_by_their_titles(hall):
    hall.back.click()
    assert "Can make it <b>melting ice, drip off the coil without ice</b>" in hall.tell_html()
