"""Panel: at which fan speed and in which weather the coil freezes, by the coupled unit."""

from __future__ import annotations

import ipywidgets as widgets
import numpy as np

from hvaccalc import units
from hvaccalc.analysis import analyse
from hvaccalc.diagnosis.unit.freeze_map import FreezeAnswer, FreezeMap
from hvaccalc.findings.forecast import BEHIND, standing
from hvaccalc.job.schema import Job
from hvaccalc.panels.base import Panel
from hvaccalc.panels.unit_field import LABEL, choice, slider
from hvaccalc.pictures import freeze_chart
from hvaccalc.pictures.canvas import degrees, temperature
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.words.said import banded, chance

CAUTION = Caution(
    "Before anybody works on a frozen coil",
    (
        Item("Thaw with the fan alone; nothing is chipped or scraped off fins.", "Ice."),
        Item("A coil under ice can send liquid back to its compressor: stop cooling first.", "Compressor."),
        Item("Lock out and prove dead before a hand goes near fan or belt.", "Fan."),
    ),
)

NOTHING = (
    "No forecast: a thawed condition with return air, its humidity, outdoor air and airflow is needed, and "
    "refrigerants that are known."
)


NO_SUCTION = "no suction reading was there to narrow it."

NO_SUCH_UNIT = "no unit of this rating shows what was read, so the reading cannot narrow it."

UNEVEN = (
    "The metal, here and on the map, is that of the part of the coil with the least air (up to a fifth less "
    "than its share), at the airflow of the whole unit; the suction saturation answers to all the air."
)

BESIDE_READINGS = (
    "The map is the unit's model, fitted to these readings where they allow it; the findings take the "
    "coldest metal of the day from the readings themselves, and weigh many possible units for other days. "
    "The two may differ within their bands: for the day of the readings the findings count."
)


class FreezePanel(Panel):
    """Map of the coldest metal, with sliders for fan and outdoor air, the stages and the return air.

    Each return air is solved once, when it is first chosen; a slider only reads between the points.

    Parameters
    ----------
    job : Job
    """

    title = "Does this coil freeze?"
    caution = CAUTION
    nothing = NOTHING

    def __init__(self, job: Job) -> None:
        analysis = analyse(job)
        self.job, self.forecast = job, analysis.forecast
        self._few = analysis.few()
        self._maps: dict[str, FreezeMap | None] = {}
        first = self._map(FreezeMap.days[0])
        most = max(analysis.draws.stage(name) for name in job.circuit)
        speeds = 100 * FreezeMap.speeds[[0, -1]]
        self.speed = slider("Fan, %", speeds, 100 * first.speed if first else 100.0)
        ends = np.round(temperature(FreezeMap.outdoors[[0, -1]], job.display))
        here = temperature(first.outdoor, job.display) if first else float(ends.mean())
        self.outdoor = slider(f"Outdoors, {degrees(job.display)}", ends, float(here))
        self.stages = widgets.ToggleButtons(
            options=[(f"{n} of {most}", n) for n in range(1, most + 1)],
            value=first.stage if first else most,
            description="Stages on",
            style={"description_width": LABEL, "button_width": "5em"},
        )
        self.weather = choice("Return air", FreezeMap.days, FreezeMap.days[0])
        self._read = (self.speed.value, self.outdoor.value, self.stages.value)
        self.back = widgets.Button(description="Back to the readings", layout={"width": "auto"})
        controls = [self.speed, self.outdoor, self.stages, self.weather]
        super().__init__([], [*controls, self.back])
        for control in (*controls, self.back):
            control.disabled = first is None
        for control in (self.speed, self.outdoor, self.stages):
            control.observe(lambda _: self.refresh(), "value")
        self.weather.observe(lambda _: self._day(), "value")
        self.back.on_click(lambda _: self._reset())

    @classmethod
    def from_job(cls, job: Job) -> FreezePanel:
        """Panel that starts from the condition of a job that is nearest to freezing."""
        return cls(job)

    def _day(self) -> None:
        """A kind of day is its return air and its outdoor air."""
        told = self._map(self.weather.value)
        if told is not None:
            outdoor = round(float(temperature(told.day_outdoor, self.job.display)))
            self.outdoor.value = float(np.clip(outdoor, self.outdoor.min, self.outdoor.max))
        self.refresh()

    def _reset(self) -> None:
        self.weather.value = FreezeMap.days[0]
        self.speed.value, self.outdoor.value, self.stages.value = self._read

    def _map(self, weather: str) -> FreezeMap | None:
        if self.forecast is None:
            return None
        if weather not in self._maps:
            self._maps[weather] = self._few.freeze_map(self.forecast.where, weather)
        return self._maps[weather]

    def _asked(self) -> tuple[int, float, float]:
        unit = units.display_unit("temperature", self.job.display)[0]
        outdoor = float(units.si(self.outdoor.value, unit, "temperature"))
        return self.stages.value, self.speed.value / 100.0, outdoor

    def solve(self) -> FreezeAnswer | None:
        """The map read where the controls stand."""
        told = self._map(self.weather.value)
        return told.answer(*self._asked()) if told is not None else None

    def draw(self) -> str:
        """The result as SVG."""
        told = self._map(self.weather.value)
        return freeze_chart.picture(told, *self._asked(), self.job.display, "freeze") if told else ""

    def tell(self) -> list[str]:
        """The result, what would change it, and what one measured state added."""
        told, result, display = self._map(self.weather.value), self.result, self.job.display
        if told is None or result is None:
            return [NOTHING]
        said = [f"Coldest metal: {banded(result.metal, 'temperature', display)}."]
        if np.isfinite(result.probability):
            said[0] += f" Chance that it lies below freezing: {chance(result.probability)}."
        said.append(self._change(told, result))
        on = " and on the readings of this condition" if told.calibrated else ""
        limits = f"By the coupled model of the unit, calibrated on its rating{on}: {BEHIND}"
        return [*said, *self._narrowed(), BESIDE_READINGS, limits]

    def _change(self, told: FreezeMap, result: FreezeAnswer) -> str:
        """What would carry it over the line."""
        _, speed, _ = self._asked()
        if not np.isfinite(result.threshold):
            side = "below" if result.frozen else "above"
            return f"At every fan speed on this map the metal stays {side} freezing."
        flow = units.value_text(result.threshold * told.airflow, "airflow", self.job.display)
        said = f"The line is crossed at {100 * result.threshold:.0f} %, about {flow}"
        said += (
            ": with less air the coil freezes."
            if speed >= result.threshold
            else ": more air than that keeps it warmer."
        )
        if np.isfinite(result.one_stage_less):
            said += f" With a stage less the chance would be {chance(result.one_stage_less)}."
        return said

    def _narrowed(self) -> list[str]:
        """Threshold airflow before and after the measured state."""
        found, display = self.forecast, self.job.display
        assert found is not None
        told = []
        if found.apart:
            clause = standing(found, display, numbers=True)
            told.append(f"{clause[0].upper()}{clause[1:]}. The two airflows that follow are a sound unit's.")
        for name, one in (("metal", found.fin), ("suction saturation", found.suction)):
            before = banded(one.before, "airflow", display)
            line = f"Airflow at which the {name} freezes in the weather as read (5 to 95 %): {before}"
            after = banded(one.after, "airflow", display)
            with_it = f"{after} with the suction as read." if found.effective else NO_SUCTION
            if found.apart:
                with_it = NO_SUCH_UNIT
            told.append(f"{line} by the rating alone; {with_it}")
        told.append(UNEVEN)
        return told
