"""Controls of the panels: text boxes for a value with its unit, read as the job file is; sliders, choices."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import get_args

import ipywidgets as widgets
import numpy as np
import traitlets

from hvaccalc import units
from hvaccalc.errors import InputError
from hvaccalc.job.fields import Reading, Refused, Table, Value
from hvaccalc.job.visit_tables import Air
from hvaccalc.panels import limits
from hvaccalc.panels.look import refused, text
from hvaccalc.units import Quantity

LABEL = "9em"
"""Width of every label, so that the boxes of a column stand in line."""


def part(words: str) -> widgets.HTML:
    """The heading of a few controls."""
    return widgets.HTML(f'<p class="hvac-part">{text(words)}</p>')


def choice(label: str, options: Sequence[str], value: str) -> widgets.Dropdown:
    """One of a few."""
    style, layout = {"description_width": LABEL}, {"width": "auto"}
    return widgets.Dropdown(options=options, value=value, description=label, style=style, layout=layout)


def slider(
    label: str, ends: Iterable[float], value: float, step: float = 1.0, shown: str = ".0f"
) -> widgets.FloatSlider:
    """A number between two ends, on a step."""
    low, high = (float(end) for end in ends)
    return widgets.FloatSlider(
        description=label,
        min=low,
        max=high,
        step=step,
        value=float(np.clip(round(value / step) * step, low, high)),
        readout_format=shown,
        style={"description_width": LABEL},
        layout={"width": "auto"},
    )


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

    def say(self, words: str) -> None:
        """Put a remark right below the box; none where it is empty."""
        self.message.value = refused(words) if words else ""
        self.message.layout.display = None if words else "none"

    def take(self) -> None:
        """Read the text again; the last good quantity is kept where it cannot be read."""
        typed_text = self.box.value.strip()
        try:
            quantity = None if self.optional and not typed_text else self.read(typed_text)
        except InputError as error:
            told = InputError(error.message, allowed=error.allowed)
            self.say(f"{self.box.description}: {told}")
            self.error = str(told)
            return
        self.say("")
        with self.hold_trait_notifications():
            self.error = ""
            self.quantity = quantity
