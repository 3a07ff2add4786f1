"""Panel: which way the water can come, and what fan speed, slopes and suction change of it."""

from __future__ import annotations

import ipywidgets as widgets
import numpy as np

from hvaccalc import units
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.water.budget import WaterBudget, weigh
from hvaccalc.diagnosis.water.water_case import WaterCase, changed
from hvaccalc.job.schema import Job
from hvaccalc.panels.base import Panel
from hvaccalc.panels.job_slider import Setting
from hvaccalc.panels.look import image
from hvaccalc.panels.words import water_words
from hvaccalc.pictures import trap_drawing, water_bars
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

MOVE = "Move the slider to ask what if."
NO_SPEED = "Fan speed or airflow is not known: no other speed can be asked about."
NO_DRAIN_SLOPE = f"The drain's slope was not typed: half to twice the code's least is assumed. {MOVE}"
NO_COIL_SLOPE = f"The coil's slope was not typed; 0 is upright. {MOVE}"

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
    nothing = NOTHING

    def __init__(self, job: Job) -> None:
        self.job = job
        found = analyse(job).water
        self.case: WaterCase | None = found.case if found is not None else None
        self.read = found
        self.settings = self._settings()
        self.speed, self.drain_slope, self.coil_slope, self.suction = (one.slider for one in self.settings)
        self.back = widgets.Button(description="Back to the readings", layout={"width": "auto"})
        super().__init__([], [*self.settings, self.back])
        # Beside its sliders the picture would be too small to read on a small screen.
        self.picture.layout.flex, self.picture.layout.max_width = "1 1 100%", "62em"
        self.speed.disabled = self.case is None or self.case.speed is None or self.case.flow is None
        for control in (self.speed, self.drain_slope, self.coil_slope, self.suction, self.back):
            control.disabled = control.disabled or self.case is None
        for one in self.settings:
            one.slider.observe(lambda _: self.refresh(), "value")
        self.back.on_click(lambda _: self._reset())

    @classmethod
    def from_job(cls, job: Job) -> WaterPanel:
        """Panel filled with what a job says of its water."""
        return cls(job)

    def _settings(self) -> tuple[Setting, ...]:
        """The sliders, each where the unit as found has it."""
        case, (unit, *ends, step) = self.case, SUCTION[self.job.display]
        shown = "in w.c." if unit == "inH2O" else unit
        speed, slope, coil, suction = 100.0, 1.0, 0.0, 0.0
        if case is not None:
            speed = 100.0 * float(case.speed[0]) if case.speed is not None else speed
            slope = 100.0 * float(case.drain_slope[0])
            coil = float(np.degrees(np.arctan(case.coil_slope))) if np.isfinite(case.coil_slope) else coil
            if case.suction is not None:
                suction = float(units.to(case.suction.draws[0], unit, "air_pressure"))
        untold = self._untold()
        return (
            Setting("Fan, % of full", SPEEDS, 1.0, speed, unknown=untold["speed"]),
            Setting("Drain slope, %", DRAIN_SLOPES, 0.1, slope, ".1f", untold["drain"]),
            Setting("Coil slope, °", COIL_SLOPES, 1.0, coil, unknown=untold["coil"]),
            Setting(f"Suction, {shown}", (ends[0], ends[1]), step, suction, ".1f", untold["suction"]),
        )

    def _untold(self) -> dict[str, str]:
        """What the job does not say of each slider; empty where it says it."""
        case = self.case
        if case is None:
            return dict.fromkeys(("speed", "drain", "coil", "suction"), "")
        moves = case.speed is not None and case.flow is not None
        pressure = "pressure" if case.blow_through else "suction"
        return {
            "speed": "" if moves else NO_SPEED,
            "drain": "" if self.job.unit.drain.slope is not None else NO_DRAIN_SLOPE,
            "coil": "" if np.isfinite(case.coil_slope) else NO_COIL_SLOPE,
            "suction": "" if case.suction is not None else f"The {pressure} at the pan is not known. {MOVE}",
        }

    def _reset(self) -> None:
        for one in self.settings:
            one.back()
        self.refresh()

    def solve(self) -> WaterBudget | None:
        """The budget with the sliders as they stand; a slider that was not moved changes nothing."""
        if self.case is None:
            return None
        moved = [one.moved for one in self.settings]
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

    def draw(self) -> str:
        """The bars as SVG."""
        return water_bars.picture(self.result, self.job.display, "panel-water").svg

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return water_words.lines(self.result, self.job.display) if self.result is not None else [NOTHING]

    def tell_html(self) -> str:
        """What stands out, what each way can bring, drain and trap with the trap's picture."""
        drawn = trap_drawing.picture(self.result.trap, self.job.display, "panel-trap")
        below = image(drawn.svg) if drawn is not None else ""
        return water_words.html(self.result, self.job.display) + below
