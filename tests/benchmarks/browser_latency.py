"""From the key at a slider to the new picture, in a real browser, beside a slider that only echoes."""

import statistics
from collections.abc import Iterator

import nbformat
from nbformat.v4 import new_code_cell, new_notebook
from playwright.sync_api import Page

from tests.browser.lab import Lab, browser, chromium, lab, opened, run_all
from tests.regenerate.notebooks import METADATA

NOTEBOOK = "01_air_and_condensate.ipynb"
KEYS = 31
PAUSES = {"one key at a time": 250, "keys in haste": 30}
"""From a picture to the next key [ms]. In haste, a key waits until the kernel has told all of the last."""

TARGET = "target: median 50 ms at most"

ECHO = """import ipywidgets
slider, shown = ipywidgets.FloatSlider(max=1000), ipywidgets.HTML()
slider.observe(lambda change: setattr(shown, "value", f"<svg role='img'>{change.new}</svg>"), "value")
shown.value = "<svg role='img'></svg>"
ipywidgets.VBox([slider, shown])"""

WATCH = """([handle, picture]) => {
    window.latencies = [];
    let pressed = null;
    handle.addEventListener("keydown", () => { pressed = performance.now(); }, true);
    const content = picture.closest(".widget-html-content").parentElement;
    new MutationObserver(() => {
        if (pressed === null) return;
        const start = pressed;
        pressed = null;
        requestAnimationFrame(() => window.latencies.push(performance.now() - start));
    }).observe(content, {childList: true, subtree: true});
}"""


def latencies(page: Page, slider: int, pause: int) -> list[float]:
    """Times from a key to the first frame after its picture [ms]; the first key, a warm-up, left out."""
    handle = page.locator(".noUi-handle").nth(slider)
    handle.scroll_into_view_if_needed()
    picture = page.locator(".widget-html-content svg[role=img]").first
    page.evaluate(WATCH, [handle.element_handle(), picture.element_handle()])
    handle.focus()
    for count in range(1, KEYS + 1):
        page.keyboard.press("ArrowRight" if count % 2 else "ArrowLeft")
        page.wait_for_function("count => window.latencies.length >= count", arg=count)
        page.wait_for_timeout(pause)
    return page.evaluate("window.latencies")[1:]


def measured(server: Lab, notebook: str, slider: int, pause: int) -> list[float]:
    """Latencies of one slider of a notebook [ms]."""
    with browser() as context, opened(context, server.url(notebook)) as watched:
        run_all(watched.page)
        return latencies(watched.page, slider, pause)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Both sliders of the air panel, at two paces."""
    if chromium() is None:
        yield "slider key to new picture", "no Chromium", "", TARGET
        return
    with lab() as server:
        notebook = new_notebook(cells=[new_code_cell(ECHO)], metadata=METADATA)
        nbformat.write(notebook, server.folder / "echo.ipynb")
        for pace, pause in PAUSES.items():
            echo = statistics.median(measured(server, "echo.ipynb", 0, pause))
            for slider, name in enumerate(("airflow", "return humidity")):
                times = sorted(measured(server, NOTEBOOK, slider, pause))
                slow = times[int(0.95 * len(times))]
                note = f"{pace}; 95 % within {slow:.0f} ms; {TARGET}"
                yield (
                    f"{name} key to new picture",
                    f"{statistics.median(times):.0f} ms",
                    f"{echo:.0f} ms echo",
                    note,
                )
