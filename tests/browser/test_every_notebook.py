"""Every notebook in a real browser: it runs, answers the keyboard, fits the screen, says its pictures.

And the first of them as a reader on a small screen uses it. Each is opened once for all its tests.
"""

import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.lab import TABLET, Lab, Watched, browser, chromium, lab, opened, run_all
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


@pytest.fixture(scope="module")
def context() -> Iterator[BrowserContext]:
    with browser() as running:
        yield running


SHOWN = "() => [...document.querySelectorAll('.widget-html')].map(n => n.innerHTML).join()"
SETTLED = f"""() => new Promise(done => {{
    const shown = {SHOWN};
    const look = was => setTimeout(() => shown() === was ? done() : look(shown()), 300);
    look(shown());
}})"""
"""Waits until nothing has changed for 300 ms."""


@pytest.fixture(scope="module", params=NOTEBOOKS)
def watched(server: Lab, context: BrowserContext, request: pytest.FixtureRequest) -> Iterator[Watched]:
    """One notebook, run to its end."""
    with opened(context, server.url(request.param)) as seen:
        stored = seen.page.locator(".jp-OutputArea-output img").first
        stored.scroll_into_view_if_needed()
        seen.stored_alt = stored.get_attribute("alt") or ""
        run_all(seen.page, CONTROLS)
        seen.page.locator(PICTURE).first.wait_for(state="attached", timeout=60_000)
        # Each cell that runs takes the focus.
        seen.page.wait_for_function(
            "() => ![...document.querySelectorAll('.jp-InputPrompt')].some(n => n.textContent.includes('*'))",
            timeout=60_000,
        )
        seen.page.get_by_text("| Idle").wait_for(timeout=60_000)
        seen.page.evaluate(SETTLED)
        yield seen


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


# --- the first notebook -----------------------------------------------------------------------------------

first = pytest.mark.parametrize("watched", NOTEBOOKS[:1], indirect=True)


@pytest.fixture
def page(watched: Watched) -> Iterator[Page]:
    """The page with the panel at its readings; no complaint of the browser may come of a test."""
    back(watched.page)
    yield watched.page
    assert watched.errors == []


def back(page: Page) -> None:
    button = page.get_by_role("button", name="Back to the readings").first
    button.scroll_into_view_if_needed()
    button.click()
    expect(page.get_by_text("55 %, as read")).to_be_attached()


def sliders(page: Page) -> Locator:
    return page.locator(".noUi-handle")


def picture(page: Page) -> str:
    return page.locator(PICTURE).first.evaluate("node => node.outerHTML")


@first
def test_stored_picture_is_seen_before_anything_runs(watched: Watched) -> None:
    """The notebook is not trusted yet: an inline SVG would have been thrown away."""
    assert "Return air 70.2 °F" in watched.stored_alt


@first
@pytest.mark.parametrize(("slider", "says"), [(0, "set to 4,350 cfm"), (1, "set to 56 %")])
def test_arrow_key_moves_the_picture(page: Page, slider: int, says: str) -> None:
    before = picture(page)
    sliders(page).nth(slider).focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_text(says)).to_be_attached()
    assert picture(page) != before


@first
def test_picture_has_its_words(page: Page) -> None:
    shown = page.locator(PICTURE).first
    title, words = (shown.locator(part).text_content() or "" for part in ("title", "desc"))
    assert shown.get_attribute("aria-labelledby") == "air-1-1-title air-1-1-desc"
    assert title and "Supply air 41.1 °F" in words


@first
def test_keyboard_reaches_every_control_in_order(page: Page) -> None:
    """From the first box: seven more boxes and lists, two sliders, the button, and on to the next panel."""
    page.locator(".widget-text input").first.focus()
    reached = []
    for _ in range(11):
        reached.append(
            page.evaluate(
                "() => document.activeElement.getAttribute('role') || document.activeElement.tagName"
            )
        )
        page.keyboard.press("Tab")
    boxes = ["INPUT", "SELECT", "INPUT"]
    assert reached == [*boxes, *boxes, "INPUT", "INPUT", "slider", "slider", "BUTTON"]


@first
def test_every_box_has_a_label(page: Page) -> None:
    labels = page.eval_on_selector_all(
        ".widget-text input, .widget-dropdown select", "nodes => nodes.map(n => n.labels[0]?.textContent)"
    )
    assert "Return wet bulb" in labels
    assert all(labels)


@first
def test_whole_panel_fits_the_width_of_a_small_screen(page: Page) -> None:
    box = page.locator(PICTURE).first.bounding_box()
    assert box is not None and box["width"] > 380 and box["x"] + box["width"] <= 1024
    wider = page.locator(".jp-OutputArea-output").evaluate_all(
        "all => all.filter(n => n.scrollWidth > n.clientWidth + 1).length"
    )
    assert wider == 0


@first
def test_what_cannot_be_read_is_said_below_its_box_and_the_picture_stays(page: Page) -> None:
    box = page.locator(".widget-text input").first
    box.fill("70.2 psig")
    box.press("Enter")
    alert = page.locator(".hvac-refused[role=alert]").first
    expect(alert).to_contain_text("Return dry bulb")
    expect(page.locator(".hvac-stale " + PICTURE.split()[-1])).to_be_attached()
    box.fill("70.2 degF")
    box.press("Enter")
    expect(page.locator(".hvac-stale")).to_have_count(0)
