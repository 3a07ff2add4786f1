"""What every panel shares: its controls, a picture, words and a caution, in a form that needs no kernel."""

from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets
import traitlets

from hvaccalc.panels.look import STYLE, cautioned, image, refused
from hvaccalc.panels.unit_field import UnitField
from hvaccalc.report.blocks import Caution
from hvaccalc.words.said import escaped


class Panel(widgets.VBox):
    """A panel: controls, one `result`, its picture and its words.

    A panel of its own says how to solve, draw and tell; see `AirPanel`. The value of the last cell line is
    enough to show it; beside the live view it gives its words and its picture as plain text and HTML, which
    a saved notebook keeps.

    Attributes
    ----------
    result : object
        Typed result of a lower layer; None until the controls could be read for the first time.
    """

    result = traitlets.Any(None, allow_none=True, read_only=True)
    title = ""
    place = ""
    nothing = ""
    """What stands in place of a result that the job does not allow."""

    caution: Caution | None = None

    def __init__(self, fields: Sequence[UnitField], controls: Sequence[widgets.Widget]) -> None:
        self.fields = tuple(fields)
        self.picture = widgets.HTML(layout={"flex": "1 1 29em", "min_width": "24em", "margin": "0"})
        self.words = widgets.HTML(layout={"margin": "0"})
        left = widgets.VBox(list(controls), layout={"flex": "0 1 26em", "min_width": "24em"})
        body = widgets.HBox(
            [left, self.picture], layout={"flex_flow": "row wrap", "align_items": "flex-start"}
        )
        head = widgets.HTML(self._head(), layout={"margin": "0"})
        foot = widgets.HTML(cautioned(self.caution) if self.caution else "", layout={"margin": "0"})
        super().__init__([head, body, self.words, foot])
        for field in self.fields:
            field.observe(lambda _: self.refresh(), ["quantity", "error"])
        self.refresh()

    def _head(self) -> str:
        place = f'<p class="hvac-note">{escaped(self.place)}</p>' if self.place else ""
        return f'{STYLE}<p class="hvac-title">{escaped(self.title)}</p>{place}'

    def refresh(self) -> None:
        """Solve and show again; where a box cannot be read the last good picture stays, greyed."""
        wrong = [field.box.description for field in self.fields if field.error]
        if not wrong:
            self.set_trait("result", self.solve())
        self.show(wrong)

    def show(self, wrong: Sequence[str] = ()) -> None:
        """Draw and tell the result; the picture is on its way before the words are made."""
        if self.result is None:
            self.words.value = f"<p>{escaped(self.nothing)}</p>" if self.nothing else ""
            return
        stale = ' class="hvac-stale"' if wrong else ""
        note = f"Not redrawn: {', '.join(wrong)} cannot be read. Shown are the last values that could be."
        self.picture.value = f"{refused(note) if wrong else ''}<div{stale}>{self.draw()}</div>"
        self.words.value = f"<div{stale}>{self.tell_html()}</div>"

    def solve(self) -> Any:
        """The result of the controls as they stand, from one function of a lower layer."""
        raise NotImplementedError

    def draw(self) -> str:
        """The result as SVG with title and description."""
        raise NotImplementedError

    def tell(self) -> list[str]:
        """The result in lines of plain text, numbers with their bands."""
        raise NotImplementedError

    def tell_html(self) -> str:
        """The result in HTML; a paragraph for each line unless a panel does better."""
        return "".join(f"<p>{escaped(line)}</p>" for line in self.tell())

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        bundle = dict(super()._repr_mimebundle_(**kwargs) or {})
        caution = cautioned(self.caution) if self.caution else ""
        if self.result is None:
            return bundle | {"text/plain": self.title, "text/html": self._head() + caution}
        svg = self.draw()
        bundle["text/plain"] = "\n".join([self.title, *self.tell()])
        # As an image: a page that does not trust the notebook throws inline SVG away, and leaves its words.
        bundle["text/html"] = "\n".join([self._head(), image(svg), self.tell_html(), caution])
        return bundle | ({"image/svg+xml": svg} if svg else {})
