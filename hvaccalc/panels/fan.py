"""Panel: how much air moves, by which evidence, and what another fan speed would mean."""

from __future__ import annotations

import numpy as np

from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.trials.air_balance import retyped
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.panels import limits
from hvaccalc.panels.air import condition_of, place, retaken
from hvaccalc.panels.base import Panel
from hvaccalc.panels.unit_field import UnitField, part, slider, typed_air
from hvaccalc.panels.words import fan_words
from hvaccalc.pictures import fan_chart
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.service.fan.fan_study import FanStudy, at_speed, fan_study

READINGS = {
    "airflow": ("Airflow", "7400 cfm"),
    "coil_pressure_drop": ("Coil drop", "0.30 inH2O"),
    "filter_pressure_drop": ("Filter drop", "0.15 inH2O"),
    "external_static": ("External static", "1.1 inH2O"),
    "fan_current": ("Motor current", "8.6 A"),
}
"""Readings with a box of their own: label and hint."""

SPEEDS = (20.0, 140.0)
"""Ends of the slider, percent of full speed."""

CAUTION = Caution(
    "Before anybody changes a fan's speed",
    (
        Item(
            "Lock out and prove dead before a hand goes to belt, sheave or wheel; it may turn by draught.",
            "Fan.",
        ),
        Item(
            "A drive holds its charge for minutes after it is switched off; its currents are read by one who "
            "may work on live panels.",
            "Drive.",
        ),
        Item(
            "Go through the list first, then raise in steps and read the motor's current at each.", "Motor."
        ),
    ),
)


class FanPanel(Panel):
    """Airflow by every way, fan and system curve, and a slider for the speed.

    Parameters
    ----------
    job : Job
    visit, condition : int
        Counted from 1.
    """

    title = "Airflow and fan speed"
    caution = CAUTION

    def __init__(self, job: Job, visit: int = 1, condition: int = 1) -> None:
        self.job, self.where = job, Where(visit, condition)
        self.known = condition_of(job, visit, condition)
        self.place = place(self.where, self.known)
        self.boxes = {key: self._box(key, *words) for key, words in READINGS.items()}
        self.speed = slider("Fan speed, %", SPEEDS, 100.0)
        self.read: FanStudy | None = None
        controls = [
            part("The readings, each with its unit"),
            *self.boxes.values(),
            part("What if: the fan at this share of full speed"),
            self.speed,
        ]
        super().__init__(list(self.boxes.values()), controls)
        self.speed.observe(self._vary, "value")

    @classmethod
    def from_job(cls, job: Job, visit: int = 1, condition: int = 1) -> FanPanel:
        """Panel filled with the readings of one condition of a job."""
        return cls(job, visit, condition)

    def _box(self, key: str, label: str, hint: str) -> UnitField:
        reading: Reading | None = getattr(self.known.air, key)
        shown = reading.quantity.text if reading is not None else ""
        read = limits.airflow(typed_air(key), self.job) if key == "airflow" else typed_air(key)
        return UnitField(label, read, shown, optional=True, hint=hint)

    def solve(self) -> FanStudy:
        """The fan with the boxes as they stand; the slider goes to the speed that the list is about."""
        air = {key: retaken(getattr(self.known.air, key), box.quantity) for key, box in self.boxes.items()}
        job = retyped(self.job, self.where, air, self.job.job.elevation)
        self.read = fan_study(job, self.where)
        self._start = float(np.clip(round(100.0 * self.read.wanted), *SPEEDS))
        self.speed.value = self._start
        return self.read

    def _vary(self, change: object = None) -> None:
        if self.read is None or any(field.error for field in self.fields):
            return
        wanted = self.read.wanted if self.speed.value == self._start else self.speed.value / 100.0
        self.set_trait("result", at_speed(self.read, wanted))
        self.show()

    def draw(self) -> str:
        """The result as SVG."""
        name = f"fan-{self.where.visit}-{self.where.condition}"
        return fan_chart.picture(self.result, self.job.display, name)

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return fan_words.lines(self.result, self.job.display)

    def tell_html(self) -> str:
        """Numbers, the list, the price."""
        return fan_words.html(self.result, self.job.display)
