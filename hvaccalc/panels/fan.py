"""Panel: how much air moves, by which evidence, and what another fan speed would mean."""

from __future__ import annotations

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.trials.air_balance import retyped
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.air import bands_off
from hvaccalc.findings.fan import FanService, service_findings
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.panels import unit_field
from hvaccalc.panels.air import condition_of, place, retaken
from hvaccalc.panels.base import Panel
from hvaccalc.panels.look import card, cards
from hvaccalc.panels.unit_field import UnitField, part, slider, typed_air
from hvaccalc.pictures import fan_chart
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.service.fan.fan_study import FanStudy, at_speed, fan_study
from hvaccalc.words.air import OUTDOORS, share_values
from hvaccalc.words.said import Reader, banded, escaped
from hvaccalc.words.speak import teller


def numbers(study: FanStudy) -> dict[str, tuple[Band, str]]:
    """Airflow as read, and airflow and power at the wanted speed."""
    at = f"at {100 * study.wanted:.0f} % speed"
    return {
        "Airflow as read": (study.flow, "airflow"),
        f"Airflow {at}": (study.wanted_flow, "airflow"),
        f"Fan power {at}": (study.wanted_power, "power"),
    }


def methods(study: FanStudy, display: str) -> list[tuple[str, bool]]:
    """A line for each method, and whether it has a say in the airflow."""
    if study.airflow is None:
        return [("The fan stands still: no airflow.", True)]
    left_out = {off.name for off in study.airflow.disagreeing}
    told = []
    for method in study.airflow.methods:
        line = (
            f"{method.name.replace('_', ' ')}: {banded(band(method.flow), 'airflow', display)}, {method.note}"
        )
        if method.name in left_out:
            far = bands_off(band(method.flow), float(study.airflow.flow[0]))
            line += f"; left out, {far} its own band off the others"
        idle = method in study.airflow.idle
        if idle:
            line += "; no say beside the others"
        told.append((line, not idle and method.name not in left_out))
    lost = ((f"{one.name.replace('_', ' ')} not taken: {one.why}", False) for one in study.airflow.unused)
    return [*told, *lost]


def outdoors(study: FanStudy, display: str) -> list[str]:
    """The outdoor fraction, or why it cannot be told; nothing where it was not read."""
    found = study.outdoors
    if found is None:
        return []
    return [teller(Reader.FILE, display).fill(OUTDOORS[found.text], share_values(found))]


def checks(study: FanStudy, display: str) -> list[tuple[str, str, str]]:
    """Name, state and sentence of each check."""
    to = teller(Reader.FILE, display)
    made = study.checks.checks if study.checks is not None else ()
    return [(to.tell(one.name), one.state.value, to.tell(one.why)) for one in made]


def heading(study: FanStudy) -> str:
    """What the list is about."""
    if study.checks is None:
        return "The fan's speed was not read: nothing can be said of another one."
    present = f"{100 * study.present:.0f}"
    if study.checks.raises:
        return f"Before the speed is raised from {present} to {100 * study.wanted:.0f} % of full speed"
    return f"What {100 * study.wanted:.0f} % of full speed asks (read: {present} %)"


def price(study: FanStudy) -> list[str]:
    """What full speed costs, and the rule."""
    found = service_findings(study.draws, FanService(study.penalty, study.rule))
    missing = ", ".join(study.price_lacks)
    lacking = [f"For the price of full speed the job lacks: {missing}."] if missing else []
    return [*(finding.statement for finding in found), *lacking]


def lines(study: FanStudy, display: str) -> list[str]:
    """The result in lines of plain text."""
    return [
        *(f"{name}: {banded(value, kind, display)}" for name, (value, kind) in numbers(study).items()),
        *(line for line, _ in methods(study, display)),
        *outdoors(study, display),
        heading(study),
        *(f"{state}: {name}: {said}" for name, state, said in checks(study, display)),
        *price(study),
        *(flag.text for flag in study.flags),
    ]


def html(study: FanStudy, display: str) -> str:
    """Numbers side by side, the list as a table, the price in sentences."""
    shown = [
        card(name, units.value_text(value.value, kind, display), _ends(value, kind, display))
        for name, (value, kind) in numbers(study).items()
    ]
    rows = "".join(
        f'<tr><td><b>{escaped(state)}</b></td><td style="text-align:left">{escaped(name)}</td>'
        f'<td style="text-align:left">{escaped(said)}</td></tr>'
        for name, state, said in checks(study, display)
    )
    head = "".join(f"<th>{word}</th>" for word in ("result", "check", "because, or read next"))
    table = (
        f'<table class="hvac-note"><caption>{escaped(heading(study))}</caption><tr>{head}</tr>{rows}</table>'
    )
    flags = [flag.text for flag in study.flags]
    said = "".join(f"<p>{escaped(line)}</p>" for line in [*outdoors(study, display), *price(study), *flags])
    unused = "".join(f"<p>{escaped(line)}</p>" for line, counts in methods(study, display) if not counts)
    return (
        cards(shown)
        + (table if rows else f"<p>{escaped(heading(study))}</p>")
        + (f'<div class="hvac-say" role="status">{unused}{said}</div>')
    )


def _ends(value: Band, kind: str, display: str) -> str:
    if not value.known:
        return ""
    low, high = (units.number_text(end, kind, display) for end in (value.low, value.high))
    return f"95 %: {low} to {high}"


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
        read = unit_field.airflow(typed_air(key), self.job) if key == "airflow" else typed_air(key)
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
        return lines(self.result, self.job.display)

    def tell_html(self) -> str:
        """Numbers, the list, the price."""
        return html(self.result, self.job.display)
