"""Controls of the panels: text boxes for a value with its unit, read as the job file is; sliders, choices.

A box takes readings that air, fan or site can have: common practice, no source. A job file may hold more,
with a notice or a finding; on a screen a slip of the finger would move a picture.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import get_args

import ipywidgets as widgets
import numpy as np
import traitlets

from hvaccalc import units
from hvaccalc.errors import InputError, OutOfRange
from hvaccalc.job.fields import Reading, Refused, Table, Value
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Air
from hvaccalc.panels.look import refused
from hvaccalc.units import Quantity
from hvaccalc.words.said import escaped

AIR = {
    "return_dry_bulb": ("-20 degF", "130 degF"),
    "supply_dry_bulb": ("-20 degF", "200 degF"),
    "outdoor_dry_bulb": ("-60 degF", "140 degF"),
    "barometer": ("15 inHg", "32 inHg"),
    "external_static": ("0.01 inH2O", "10 inH2O"),
    "coil_pressure_drop": ("0.005 inH2O", "5 inH2O"),
    "filter_pressure_drop": ("0.005 inH2O", "5 inH2O"),
    "fan_current": ("0.05 A", "1000 A"),
    "airflow": ("1 cfm", "200,000 cfm"),
}
"""Least and most of air readings, by their keys."""

ELEVATION = ("-1500 ft", "16,500 ft")
"""From below the sea to the highest towns."""

MOST_AIR = 3.0
"""Airflow over the rated one that no fan of the unit moves."""


def within(read: Callable[[str], Quantity], kind: str, ends: tuple[str, str]) -> Callable[[str], Quantity]:
    """A reader that refuses what lies outside its ends, and says which they are."""
    low, high = (units.parse(end.replace(",", ""), kind).value for end in ends)

    def quantity(typed_text: str) -> Quantity:
        given = read(typed_text)
        if not low <= given.value <= high:
            raise OutOfRange(f"{given.text} lies outside what can be", allowed=" to ".join(ends))
        return given

    return quantity


def airflow(read: Callable[[str], Quantity], job: Job) -> Callable[[str], Quantity]:
    """A reader of an airflow that a fan of the job's unit may move."""
    most = units.value_text(MOST_AIR * job.unit.rated_airflow.value, "airflow", job.display)
    return within(read, "airflow", (AIR["airflow"][0], most))


LABEL = "9em"
"""Width of every label, so that the boxes of a column stand in line."""


def part(words: str) -> widgets.HTML:
    """The heading of a few controls."""
    return widgets.HTML(f'<p class="hvac-part">{escaped(words)}</p>')


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
    if key not in AIR:
        return read
    return within(read, next(_values(Air, key)).kinds[0], AIR[key])


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


class Setting(widgets.VBox):
    """One slider with a line below it.

    Parameters
    ----------
    label : str
    ends : tuple of float
    step : float
    start : float
        Where it stands first.
    shown : str
        Format of its number.
    unknown : str
        What the job does not say, told until the slider is moved; empty where it says it.

    Attributes
    ----------
    moved : bool
        Whether it counts: a known one away from its start, an unknown one once it was touched.
    """

    def __init__(
        self,
        label: str,
        ends: tuple[float, float],
        step: float,
        start: float,
        shown: str = ".0f",
        unknown: str = "",
    ) -> None:
        self.slider = slider(label, ends, start, step, shown)
        self.unknown, self.moved, self._start = unknown, False, self.slider.value
        self.note = widgets.HTML(layout={"margin": "0 2px"})
        self._tell()
        super().__init__([self.slider, self.note])
        self.slider.observe(lambda _: self._take(), "value")

    def back(self) -> None:
        """To where it stood first, as if nobody had touched it."""
        self.slider.value = self._start
        self.moved = False
        self._tell()

    def _take(self) -> None:
        self.moved = bool(self.unknown) or self.slider.value != self._start
        self._tell()

    def _tell(self) -> None:
        waits = bool(self.unknown) and not self.moved
        self.slider.readout = not waits
        self.note.value = f'<p class="hvac-note hvac-beside">{escaped(self.unknown)}</p>' if waits else ""
        self.note.layout.display = None if waits else "none"
