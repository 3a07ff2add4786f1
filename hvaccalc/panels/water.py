"""Panel: which way the water can come, and what fan speed, slopes and suction change of it."""

from __future__ import annotations

import ipywidgets as widgets
import numpy as np

from hvaccalc import units
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.water import WaterBudget, weigh
from hvaccalc.diagnosis.water_case import WaterCase, changed
from hvaccalc.job.schema import Job
from hvaccalc.panels import water_words
from hvaccalc.panels.base import LABEL, Panel
from hvaccalc.panels.look import image
from hvaccalc.report import trap_picture, water_picture
from hvaccalc.report.blocks import Caution, Item

CAUTION = Caution(
    "Before anybody opens a wet unit",
    (
        Item("Lock out and prove dead; water and live parts lie close together here.", "Electricity."),
        Item(
            "Keep clear of the wheel while suction is read; put every panel back before the reading counts.",
            "Fan.",
        ),
        Item("Bridge no float switch to keep a wet unit running.", "Float switch."),
    ),
)

NOTHING = (
    "Nothing in this job speaks of water: note how much, when and where, and look at pan, trap and drain."
)

SPEEDS, DRAIN_SLOPES, COIL_SLOPES = (30.0, 140.0), (0.0, 5.0), (0.0, 60.0)
SUCTION = {"us": ("inH2O", 0.0, 4.0, 0.1), "si": ("Pa", 0.0, 1000.0, 10.0)}


class WaterPanel(Panel):
    """The water budget with sliders; untouched it says what the findings say.

    Parameters
    ----------
    job : Job
    """

    title = "Where does the water come from?"
    caution = CAUTION

    def __init__(self, job: Job) -> None:
        self.job = job
        found = analyse(job).water
        self.case: WaterCase | None = found.case if found is not None else None
        self.read = found
        unit, low, high, step = SUCTION[job.display]
        speed, drain, coil, suction = self._starts(unit)
        self.speed = _slider("Fan, % of full", *SPEEDS, 1.0, speed)
        self.drain_slope = _slider("Drain slope, %", *DRAIN_SLOPES, 0.1, drain, ".1f")
        self.coil_slope = _slider("Coil slope, °", *COIL_SLOPES, 1.0, coil)
        shown = "in w.c." if unit == "inH2O" else unit
        self.suction = _slider(f"Suction, {shown}", low, high, step, suction, ".1f")
        controls = [self.speed, self.drain_slope, self.coil_slope, self.suction]
        self._start = [control.value for control in controls]
        super().__init__([], controls)
        self.speed.disabled = self.case is None or self.case.speed is None or self.case.flow is None
        for control in controls:
            control.disabled = control.disabled or self.case is None
            control.observe(lambda _: self.refresh(), "value")

    @classmethod
    def from_job(cls, job: Job) -> WaterPanel:
        """Panel filled with what a job says of its water."""
        return cls(job)

    def _starts(self, unit: str) -> tuple[float, float, float, float]:
        """Where the sliders stand for the unit as found."""
        case = self.case
        if case is None:
            return 100.0, 1.0, 0.0, 0.0
        speed = 100.0 * case.speed[0] if case.speed is not None else 100.0
        coil = np.degrees(np.arctan(case.coil_slope)) if np.isfinite(case.coil_slope) else 0.0
        suction = 0.0
        if case.suction is not None:
            suction = float(units.to(case.suction.draws[0], unit, "air_pressure"))
        return float(speed), 100.0 * float(case.drain_slope[0]), float(coil), suction

    def solve(self) -> WaterBudget | None:
        """The budget with the sliders as they stand; a slider left where it started changes nothing."""
        if self.case is None:
            return None
        controls = (self.speed, self.drain_slope, self.coil_slope, self.suction)
        moved = [c.value != start for c, start in zip(controls, self._start, strict=True)]
        if not any(moved):
            return self.read
        unit = SUCTION[self.job.display][0]
        suction = float(units.si(self.suction.value, unit, "air_pressure"))
        case = changed(
            self.case,
            drain_slope=self.drain_slope.value / 100.0 if moved[1] else None,
            coil_slope=float(np.tan(np.radians(self.coil_slope.value))) if moved[2] else None,
            suction=suction if moved[3] else None,
        )
        return weigh(changed(case, speed=self.speed.value / 100.0) if moved[0] else case)

    def show(self, wrong=()) -> None:
        """Draw and tell; without a word of water only say so."""
        if self.result is None:
            self.words.value = f"<p>{NOTHING}</p>"
            return
        super().show(wrong)

    def draw(self) -> str:
        """The bars as SVG."""
        return water_picture.picture(self.result, self.job.display, "panel-water").svg

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return water_words.lines(self.result, self.job.display) if self.result is not None else [NOTHING]

    def tell_html(self) -> str:
        """What stands out, what each way can bring, drain and trap with the trap's picture."""
        if self.result is None:
            return f"<p>{NOTHING}</p>"
        drawn = trap_picture.picture(self.result.trap, self.job.display, "panel-trap")
        below = image(drawn.svg) if drawn is not None else ""
        return water_words.html(self.result, self.job.display) + below


def _slider(
    label: str, low: float, high: float, step: float, value: float, shown: str = ".0f"
) -> widgets.FloatSlider:
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
