"""Every notebook in a real browser: it runs, answers the keyboard, fits the screen, says its pictures."""

import os
from collections.abc import Iterator

import pytest

from tests.browser.lab import TABLET, Lab, Watched, chromium, lab, opened, run_all
from tests.discovery import ROOT

PICTURE = ".widget-html svg[role=img]"
CONTROLS = ".noUi-handle, .widget-dropdown select"
NOTEBOOKS = sorted(path.name for path in (ROOT / "notebooks").glob("*.ipynb"))
WIDTHS = (768, 1440, 1024)
"""A tablet upright, a bench's screen, and last the tablet on its side, at which the other tests look [px]."""
IN_CI = os.environ.get("CI") == "true"

pytestmark = pytest.mark.skipif(
    chromium() is None and not IN_CI, reason="no Chromium on this machine; CI installs one"
)


@pytest.fixture(scope="module")
def server() -> Iterator[Lab]:
    assert chromium() is not None, "no Chromium; .ci/run installs it"
    with lab() as running:
        yield running


@pytest.fixture(scope="module", params=NOTEBOOKS)
def watched(server: Lab, request: pytest.FixtureRequest) -> Iterator[Watched]:
    """One notebook, run to its end."""
    with opened(server, request.param) as seen:
        run_all(seen.page, CONTROLS)
        seen.page.locator(PICTURE).first.wait_for(state="attached", timeout=60_000)
        # Each cell that runs takes the focus.
        seen.page.wait_for_function(
            "() => ![...document.querySelectorAll('.jp-InputPrompt')].some(n => n.textContent.includes('*'))",
            timeout=60_000,
        )
        seen.page.get_by_text("| Idle").wait_for(timeout=60_000)
        seen.page.wait_for_timeout(1_000)
        yield seen


SHOWN = "() => [...document.querySelectorAll('.widget-html')].map(n => n.innerHTML).join()"


def test_a_key_at_a_control_changes_what_is_shown(watched: Watched) -> None:
    """The first slider, or else the first list, to its other end; JupyterLab keeps bare arrows for itself."""
    before = watched.page.evaluate(SHOWN)
    sliders = watched.page.locator(".noUi-handle")
    control = (sliders if sliders.count() else watched.page.locator(CONTROLS)).first
    control.scroll_into_view_if_needed()
    control.focus()
    away = "ArrowRight" if sliders.count() else control.evaluate("n => n.selectedIndex ? 'Home' : 'End'")
    watched.page.keyboard.press(away)
    watched.page.wait_for_function(f"before => ({SHOWN})() !== before", arg=before, timeout=20_000)
    assert watched.errors == []


def test_every_picture_says_itself(watched: Watched) -> None:
    shown = watched.page.locator(PICTURE)
    for words in shown.evaluate_all("all => all.map(n => n.querySelector('desc')?.textContent ?? '')"):
        assert len(words) > 40
    assert shown.count() >= 1


BEYOND = """() => [...document.querySelectorAll('.jp-OutputArea-output')].flatMap(output => {
    const edge = output.getBoundingClientRect().right + 1;
    return [...output.querySelectorAll('div, p, table, svg, img, button, input, select')]
        .filter(n => n.getBoundingClientRect().right > edge).map(n => n.outerHTML.slice(0, 90));
})"""
"""What ends beyond the right edge of its output; a box that scrolls would hide it."""


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_screen(watched: Watched, width: int) -> None:
    watched.page.set_viewport_size({"width": width, "height": TABLET["height"]})
    watched.page.wait_for_function("width => document.body.clientWidth === width", arg=width)
    watched.page.wait_for_timeout(300)
    wider = watched.page.evaluate(BEYOND)
    assert wider == []


def test_no_cell_ended_in_an_error(watched: Watched) -> None:
    assert watched.page.locator("[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert "Traceback" not in (watched.page.locator(".jp-Notebook").text_content() or "")
