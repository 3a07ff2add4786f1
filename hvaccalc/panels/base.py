"""What every panel shares: unit text boxes, a caution box, a picture, and a form that needs no kernel."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, get_args

import ipywidgets as widgets
import traitlets

from hvaccalc import units
from hvaccalc.errors import InputError
from hvaccalc.job.fields import Reading, Refused, Table, Value
from hvaccalc.job.visit_tables import Air
from hvaccalc.panels import limits
from hvaccalc.panels.look import STYLE, cautioned, image, refused, text
from hvaccalc.report.blocks import Caution
from hvaccalc.units import Quantity

LABEL = "9em"
"""Width of every label, so that the boxes of a column stand in line."""


def typed(kind: str) -> Callable[[str], Quantity]:
    """Reader of text with a unit of one kind."""
    return lambda typed_text: units.parse(typed_text, kind)


def typed_air(key: str) -> Callable[[str], Quantity]:
    """Reader of an air reading: kinds and units of that key of the job file, within what it can be."""
    read = typed_key(Air, key)
    if key not in limits.AIR:
        return read
    return limits.within(read, next(_values(Air, key)).kinds[0], limits.AIR[key])


def _values(table: type[Table], key: str) -> Iterator[Value]:
    """What a key of a table takes."""
    for one in get_args(table.model_fields[key].annotation):
        yield from (note for note in getattr(one, "__metadata__", ()) if isinstance(note, Value))


def typed_key(table: type[Table], key: str) -> Callable[[str], Quantity]:
    """Reader of a value or reading: kinds, units and limits of that key of a table of the job file."""
    read = next(_values(table, key)).read

    def quantity(typed_text: str) -> Quantity:
        try:
            given = read(typed_text)
        except Refused as refusal:
            raise refusal.error from None
        assert not isinstance(given, str)
        return given.quantity if isinstance(given, Reading) else given

    return quantity


class UnitField(widgets.VBox):
    """A text box for one value with its unit; what is wrong with it stands right below it.

    Parameters
    ----------
    label : str
        Shown before the box.
    read : callable
        Text to `Quantity`; raises `InputError`.
    typed_text : str
        First text.
    optional : bool
        Whether the box may stay empty; its quantity is then None.
    hint : str
        Shown in the empty box.

    Attributes
    ----------
    quantity : Quantity or None
        Last value that could be read.
    error : str
        What is wrong with the text now, empty where nothing is.
    """

    quantity = traitlets.Any(None, allow_none=True)
    error = traitlets.Unicode("")

    def __init__(
        self,
        label: str,
        read: Callable[[str], Quantity],
        typed_text: str = "",
        optional: bool = False,
        hint: str = "",
    ) -> None:
        self.read = read
        self.optional = optional
        self.box = widgets.Text(
            value=typed_text,
            description=label,
            placeholder=hint,
            continuous_update=False,
            style={"description_width": LABEL},
            layout={"width": "auto"},
        )
        self.message = widgets.HTML(layout={"margin": "0 2px", "display": "none"})
        super().__init__([self.box, self.message])
        self.box.observe(lambda _: self.take(), "value")
        self.take()

    def take(self) -> None:
        """Read the text again; the last good quantity is kept where it cannot be read."""
        typed_text = self.box.value.strip()
        try:
            quantity = None if self.optional and not typed_text else self.read(typed_text)
        except InputError as error:
            told = InputError(error.message, allowed=error.allowed)
            self.message.value = refused(f"{self.box.description}: {told}")
            self.message.layout.display = None
            self.error = str(told)
            return
        self.message.value = ""
        self.message.layout.display = "none"
        with self.hold_trait_notifications():
            self.error = ""
            self.quantity = quantity


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
        return f'{STYLE}<p class="hvac-title">{text(self.title)}</p>'

    def refresh(self) -> None:
        """Solve and show again; where a box cannot be read the last good picture stays, greyed."""
        wrong = [field.box.description for field in self.fields if field.error]
        if not wrong:
            self.set_trait("result", self.solve())
        self.show(wrong)

    def show(self, wrong: Sequence[str] = ()) -> None:
        """Draw and tell the result; the picture is on its way before the words are made."""
        if self.result is None:
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
        return "".join(f"<p>{text(line)}</p>" for line in self.tell())

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
