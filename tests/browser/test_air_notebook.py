"""The air notebook in a real browser, as a reader on a small screen uses it."""

import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.lab import Watched, chromium, lab, opened, run_all

NOTEBOOK = "01_air_and_condensate.ipynb"
PICTURE = ".widget-html svg[role=img]"
IN_CI = os.environ.get("CI") == "true"

pytestmark = pytest.mark.skipif(
    chromium() is None and not IN_CI, reason="no Chromium on this machine; CI installs one"
)


@pytest.fixture(scope="module")
def watched() -> Iterator[Watched]:
    """The notebook, run, its first panel in view."""
    assert chromium() is not None, "no Chromium; .ci/run installs it"
    with lab() as server, opened(server, NOTEBOOK) as seen:
        stored = seen.page.locator(".jp-OutputArea-output img").first
        stored.scroll_into_view_if_needed()
        seen.stored_alt = stored.get_attribute("alt") or ""
        run_all(seen.page)
        yield seen


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


def test_stored_picture_is_seen_before_anything_runs(watched: Watched) -> None:
    """The notebook is not trusted yet: an inline SVG would have been thrown away."""
    assert "Return air 70.2 °F" in watched.stored_alt


@pytest.mark.parametrize(("slider", "says"), [(0, "set to 4,350 cfm"), (1, "set to 56 %")])
def test_arrow_key_moves_the_picture(page: Page, slider: int, says: str) -> None:
    before = picture(page)
    sliders(page).nth(slider).focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_text(says)).to_be_attached()
    assert picture(page) != before


def test_picture_has_its_words(page: Page) -> None:
    shown = page.locator(PICTURE).first
    title, words = (shown.locator(part).text_content() or "" for part in ("title", "desc"))
    assert shown.get_attribute("aria-labelledby") == "air-1-1-title air-1-1-desc"
    assert title and "Supply air 41.1 °F" in words


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


def test_every_box_has_a_label(page: Page) -> None:
    labels = page.eval_on_selector_all(
        ".widget-text input, .widget-dropdown select", "nodes => nodes.map(n => n.labels[0]?.textContent)"
    )
    assert "Return wet bulb" in labels
    assert all(labels)


def test_whole_panel_fits_the_width_of_a_small_screen(page: Page) -> None:
    box = page.locator(PICTURE).first.bounding_box()
    assert box is not None and box["width"] > 380 and box["x"] + box["width"] <= 1024
    wider = page.locator(".jp-OutputArea-output").evaluate_all(
        "all => all.filter(n => n.scrollWidth > n.clientWidth + 1).length"
    )
    assert wider == 0


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
