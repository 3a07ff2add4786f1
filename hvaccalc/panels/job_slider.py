"""A slider that stands where the job has it; what the job does not say shows no number until it is moved."""

from __future__ import annotations

import ipywidgets as widgets

from hvaccalc.panels.look import text
from hvaccalc.panels.unit_field import slider


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
        self.note.value = f'<p class="hvac-note hvac-beside">{text(self.unknown)}</p>' if waits else ""
        self.note.layout.display = None if waits else "none"
