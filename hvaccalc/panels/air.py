"""Panel: the air of one condition, and the water and heat that the readings say the coil takes from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import ipywidgets as widgets
import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.trials.air_balance import AirBalance, air_balance, retyped, varied
from hvaccalc.ensemble import Band, band
from hvaccalc.errors import InputError, OutOfRange
from hvaccalc.job.fields import Reading
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Air, Condition
from hvaccalc.panels import unit_field
from hvaccalc.panels.base import Panel
from hvaccalc.panels.look import card, cards
from hvaccalc.panels.unit_field import LABEL, UnitField, choice, part, typed, typed_air
from hvaccalc.pictures import air_chart
from hvaccalc.report.blocks import Caution, Item
from hvaccalc.units import Quantity
from hvaccalc.words.said import banded, escaped, joined

BASES = {"rule of thumb": "a rule of thumb"}
"""Words for a basis where its name alone does not read in a sentence."""


def flow_read(balance: AirBalance) -> float:
    """Airflow at the return state [m3/s]; NaN where none is known."""
    return band(balance.airflow.flow).value if balance.airflow else float("nan")


def humidity_read(balance: AirBalance) -> float:
    """Relative humidity of the return air, 0-1; NaN where it is not known."""
    air = balance.states.return_air
    return band(air.relative_humidity, air.possible).value if air is not None else float("nan")


def numbers(now: AirBalance) -> dict[str, tuple[Band, str]]:
    """Condensate, total and sensible capacity, each with its band and kind."""
    return {
        "Condensate": (now.condensate, "water_flow"),
        "Total capacity": (now.total, "heat"),
        "Sensible capacity": (now.sensible, "heat"),
    }


def slider_words(now: AirBalance, display: str) -> tuple[str, str]:
    """What stands at the two sliders."""
    flow = units.value_text(flow_read(now), "airflow", display)
    humidity = units.value_text(humidity_read(now), "fraction", display)
    if "airflow" in now.varied:
        said = f"set to {flow}"
    elif now.airflow is None:
        said = "not known: the fan stands still, or nothing tells"
    else:
        said = f"{flow}, {now.airflow.note}"
    set_here = "return_relative_humidity" in now.varied
    return said, f"set to {humidity}" if set_here else f"{humidity}, as read"


def sentences(now: AirBalance, display: str) -> list[str]:
    """What the readings mean, then what contradicts."""
    told = [_verdict(now, display)]
    if now.airflow is not None and "airflow" not in now.varied:
        told.append(f"The airflow is {BASES.get(now.airflow.basis, now.airflow.basis)}: {now.airflow.note}.")
    if now.varied:
        told.append(
            "This is arithmetic with the supply air held as read, no forecast: in the unit the supply air "
            "would change too."
        )
    return [*told, *(flag.text for flag in now.flags)]


def _verdict(now: AirBalance, display: str) -> str:
    shown = {name: banded(value, kind, display) for name, (value, kind) in numbers(now).items()}
    if now.supply_wetter:
        return _wetter(now, display)
    if now.duty.missing:
        return _incomplete(now, shown["Sensible capacity"])
    if now.no_air:
        return (
            f"The readings of the {joined(now.no_air)} air are no state of air: more water than "
            "saturated air holds, or less than none. Its dry bulb or its humidity is wrong."
        )
    at = f"With {units.value_text(flow_read(now), 'airflow', display)} and return air at "
    at += units.value_text(humidity_read(now), "fraction", display)
    place = "after the fan, so net of its heat" if now.states.after_fan else "before the fan's heat"
    if now.heated:
        return f"{at}, the supply air is warmer than the return air: the air is heated, not cooled."
    if now.duty.dry:
        return f"{at}, no water leaves the air beyond the readings' error: the coil is dry. " + (
            f"It takes {shown['Sensible capacity']} of heat ({place})."
        )
    return (
        f"{at}, air that leaves as read has lost {shown['Condensate']} of water, and "
        f"{shown['Total capacity']} of heat ({place})."
    )


def _incomplete(now: AirBalance, sensible: str) -> str:
    """What is still to be read, or was read and contradicts."""
    missing = joined(now.duty.missing)
    told = f"Nothing to reckon the water with yet: type {missing}."
    if now.flags:
        told = f"The readings contradict each other, see below; what they leave unknown: {missing}."
    return told + (f" Sensible capacity is {sensible}." if now.duty.sensible is not None else "")


def _wetter(now: AirBalance, display: str) -> str:
    """Why these states cannot stand on the two sides of a cooling coil."""
    entering, leaving = now.states.return_air, now.states.supply_air
    assert entering is not None and leaving is not None
    held = [
        units.value_text(band(air.humidity_ratio, air.possible).value, "humidity_ratio", display)
        for air in (leaving, entering)
    ]
    return (
        f"This cannot be: the supply air holds {held[0]} of water, the return air only {held[1]}. A cooling "
        "coil takes water out of air and adds none. Either a humidity is wrong, or water gets into the air "
        "on the way: a wet duct, carry-over, a humidifier, outdoor air behind the return probe."
    )


def lines(now: AirBalance, display: str) -> list[str]:
    """Numbers with their 95 % bands, then the sentences."""
    shown = [f"{name}: {banded(value, kind, display)}" for name, (value, kind) in numbers(now).items()]
    return [*shown, *sentences(now, display)]


def html(now: AirBalance, display: str) -> str:
    """Numbers side by side, then the sentences."""
    shown = []
    for name, (value, kind) in numbers(now).items():
        number, _, ends = banded(value, kind, display).partition(" (")
        shown.append(card(name, number, f"95 %: {ends.rstrip(')')}" if ends else ""))
    said = "".join(f"<p>{escaped(sentence)}</p>" for sentence in sentences(now, display))
    return f'{cards(shown)}<div class="hvac-say" role="status">{said}</div>'


HUMIDITIES = {"wet bulb": "wet_bulb", "dew point": "dew_point", "relative humidity": "relative_humidity"}
HINTS = {"wet bulb": "60 degF", "dew point": "53 degF", "relative humidity": "55 %"}

AIRFLOW_STEP = {"us": 50.0, "si": 0.02}
AIRFLOW_SHARES = (0.3, 1.3)
"""Ends of the airflow slider over the rated airflow."""

LOWEST_HUMIDITY = 10
HIGHEST_HUMIDITY = round(100 * air_chart.HIGHEST_HUMIDITY)

CAUTION = Caution(
    "Before taking these readings",
    (
        Item("Measure through probe holes; keep hands, cords and sleeves away from fan and belt.", "Fan."),
        Item(
            "Behind the covers is line voltage, also with the fan off: lock out and prove dead.",
            "Electricity.",
        ),
        Item("Foot the ladder, and nobody alone at height.", "Access."),
    ),
)


class AirPanel(Panel):
    """Return and supply air, airflow and barometer in; condensate and capacity with their bands out.

    The boxes hold readings, typed as in the job file. The two sliders ask what the same supply air would
    mean at another airflow or another return humidity; `result` is the `AirBalance` of what is shown.

    Parameters
    ----------
    job : Job
    visit, condition : int
        Counted from 1.
    """

    title = "Air states, condensate and capacity"
    caution = CAUTION

    def __init__(self, job: Job, visit: int = 1, condition: int = 1) -> None:
        self.job, self.where = job, Where(visit, condition)
        self.known = condition_of(job, visit, condition)
        self.place, air = place(self.where, self.known), self.known.air
        self.streams = {name: Stream(name, air) for name in ("return", "supply")}
        self.airflow = _field("airflow", "Airflow", air, hint="from fan speed")
        self.airflow.read = unit_field.airflow(self.airflow.read, job)
        barometer = air.barometer.quantity if air.barometer else job.job.elevation
        site_text = barometer.text if barometer is not None else ""
        self.site = UnitField(
            "Elevation", _elevation_or_barometer, site_text, hint="640 ft, or barometer 29.2 inHg"
        )
        self.flow_slider = _slider("Airflow")
        self.humidity_slider = _slider("Return humidity")
        self.flow_shown, self.humidity_shown = widgets.HTML(), widgets.HTML()
        self.back = widgets.Button(description="Back to the readings", layout={"width": "auto"})
        fields = [*(f for s in self.streams.values() for f in s.fields), self.airflow, self.site]
        self.read: AirBalance | None = None
        super().__init__(fields, self._controls())
        for stream in self.streams.values():
            stream.given_as.observe(lambda _: self.refresh(), "value")
        for slider in (self.flow_slider, self.humidity_slider):
            slider.observe(self._vary, "value")
        self.back.on_click(lambda _: self._reset_sliders())

    @classmethod
    def from_job(cls, job: Job, visit: int = 1, condition: int = 1) -> AirPanel:
        """Panel filled with the readings of one condition of a job."""
        return cls(job, visit, condition)

    def _controls(self) -> list[widgets.Widget]:
        return [
            part("The readings, each with its unit"),
            *(w for stream in self.streams.values() for w in stream.widgets),
            self.airflow,
            self.site,
            part("What if: the same supply air, but"),
            self.flow_slider,
            self.flow_shown,
            self.humidity_slider,
            self.humidity_shown,
            self.back,
        ]

    def solve(self) -> AirBalance:
        """Balance of the boxes as they stand; the sliders go back to what was read."""
        air: dict[str, Reading | None] = {}
        for stream in self.streams.values():
            air |= stream.readings(self.known.air)
        air["airflow"] = retaken(self.known.air.airflow, self.airflow.quantity)
        site = self.site.quantity
        is_barometer = site is not None and site.kind == "absolute_pressure"
        air["barometer"] = retaken(self.known.air.barometer, site if is_barometer else None)
        elevation = self.job.job.elevation if is_barometer else site
        self.read = air_balance(retyped(self.job, self.where, air, elevation), self.where)
        self.chart = air_chart.chart(self.read, self.job.display)
        self._reset_sliders()
        return self.read

    def _reset_sliders(self) -> None:
        assert self.read is not None
        flow, humidity = flow_read(self.read), humidity_read(self.read)
        rated = float(units.to(self.job.unit.rated_airflow.value, *self._flow_unit))
        step = AIRFLOW_STEP[self.job.display]
        shown = float(units.to(flow, *self._flow_unit))
        lowest, highest = (step * round(rated * share / step) for share in AIRFLOW_SHARES)
        _set(self.flow_slider, shown, min(lowest, shown), max(highest, shown), step)
        _set(self.humidity_slider, 100.0 * humidity, LOWEST_HUMIDITY, HIGHEST_HUMIDITY, 1.0)
        self._flow_start, self._humidity_start = self.flow_slider.value, self.humidity_slider.value

    @property
    def _flow_unit(self) -> tuple[str, str]:
        return units.display_unit("airflow", self.job.display)[0], "airflow"

    def _vary(self, change: object = None) -> None:
        """Show the balance at the sliders; where a slider stands at its reading, the reading counts."""
        if self.read is None or any(field.error for field in self.fields):
            return
        flow = humidity = None
        if self.flow_slider.value != self._flow_start:
            flow = float(units.si(self.flow_slider.value, *self._flow_unit))
        if self.humidity_slider.value != self._humidity_start:
            humidity = self.humidity_slider.value / 100.0
        self.set_trait("result", varied(self.read, flow, humidity))
        self.show()

    def show(self, wrong: Sequence[str] = ()) -> None:
        """Draw and tell the result, and put the slider's values beside the sliders."""
        super().show(wrong)
        flow, humidity = slider_words(self.result, self.job.display)
        self.flow_shown.value = f'<p class="hvac-note hvac-beside">{escaped(flow)}</p>'
        self.humidity_shown.value = f'<p class="hvac-note hvac-beside">{escaped(humidity)}</p>'

    def draw(self) -> str:
        """The result as SVG."""
        if self.chart is None or self.read is None:
            return ""
        name = f"air-{self.where.visit}-{self.where.condition}"
        return air_chart.picture(self.chart, self.read, self.result, name)

    def tell(self) -> list[str]:
        """The result in lines of plain text."""
        return lines(self.result, self.job.display)

    def tell_html(self) -> str:
        """The numbers side by side, then the sentence."""
        return html(self.result, self.job.display)


class Stream:
    """Controls of one stream of air: dry bulb, how its humidity is given, the humidity."""

    def __init__(self, name: str, air: Air) -> None:
        self.name = name
        title = name.capitalize()
        given = next((w for w, k in HUMIDITIES.items() if getattr(air, f"{name}_{k}")), "wet bulb")
        self.dry_bulb = _field(f"{name}_dry_bulb", f"{title} dry bulb", air, hint="75 degF")
        self.given_as = choice(f"{title} humidity", list(HUMIDITIES), given)
        self.humidity = _field(f"{name}_{HUMIDITIES[given]}", f"{title} {given}", air, hint=HINTS[given])
        known = {way: getattr(air, f"{name}_{key}") for way, key in HUMIDITIES.items()}
        self.typed = {way: reading.quantity.text for way, reading in known.items() if reading}
        self.given_as.observe(self._give_as, "value")

    @property
    def fields(self) -> tuple[UnitField, ...]:
        """Its text boxes."""
        return self.dry_bulb, self.humidity

    @property
    def widgets(self) -> tuple[widgets.Widget, ...]:
        """All its controls, in the order of the keyboard."""
        return self.dry_bulb, self.given_as, self.humidity

    @property
    def key(self) -> str:
        """Key of the job file that the humidity goes by."""
        return f"{self.name}_{HUMIDITIES[self.given_as.value]}"

    def _give_as(self, change: Mapping[str, str]) -> None:
        """Another way of giving the humidity: the box holds what was last typed that way, or nothing."""
        self.typed[change["old"]] = self.humidity.box.value
        self.humidity.read = typed_air(self.key)
        self.humidity.box.description = f"{self.name.capitalize()} {self.given_as.value}"
        self.humidity.box.placeholder = HINTS[self.given_as.value]
        self.humidity.box.value = self.typed.get(self.given_as.value, "")
        self.humidity.take()

    def readings(self, known: Air) -> dict[str, Reading | None]:
        """Its readings by key of the job file; other ways of giving the humidity are taken out."""
        names = [f"{self.name}_{key}" for key in HUMIDITIES.values()]
        taken: dict[str, Reading | None] = dict.fromkeys(names)
        dry = f"{self.name}_dry_bulb"
        taken[dry] = retaken(getattr(known, dry), self.dry_bulb.quantity)
        taken[self.key] = retaken(getattr(known, self.key), self.humidity.quantity)
        return taken


def condition_of(job: Job, visit: int, condition: int) -> Condition:
    """One condition of a job, counted from 1; told in full where there is none."""
    try:
        if min(visit, condition) < 1:
            raise IndexError
        return job.visit[visit - 1].condition[condition - 1]
    except IndexError:
        known = [f"{v}/{c}" for v, one in enumerate(job.visit, 1) for c, _ in enumerate(one.condition, 1)]
        raise InputError(
            "no such condition in the job",
            found=f"visit {visit}, condition {condition}",
            allowed="visit/condition " + ", ".join(known) if known else "a job with a condition",
        ) from None


def place(where: Where, condition: Condition) -> str:
    """A condition by its visit and its label, or its number."""
    return f"visit {where.visit}, {condition.label or f'condition {where.condition}'}"


def retaken(known: Reading | None, quantity: Quantity | None) -> Reading | None:
    """The reading with another value, by the instrument that the job names for it."""
    return None if quantity is None else Reading(quantity, known.instrument if known else None)


def _field(key: str, label: str, air: Air, hint: str) -> UnitField:
    known: Reading | None = getattr(air, key)
    return UnitField(label, typed_air(key), known.quantity.text if known else "", optional=True, hint=hint)


def _elevation_or_barometer(typed_text: str) -> Quantity:
    try:
        return unit_field.within(typed("elevation"), "elevation", unit_field.ELEVATION)(typed_text)
    except InputError as not_a_length:
        if isinstance(not_a_length, OutOfRange):
            raise
        try:
            return typed_air("barometer")(typed_text)
        except InputError as error:
            error.allowed = f"{not_a_length.allowed}; or {error.allowed}"
            raise error from None


def _slider(label: str) -> widgets.FloatSlider:
    return widgets.FloatSlider(
        description=label, readout=False, style={"description_width": LABEL}, layout={"width": "auto"}
    )


def _set(slider: widgets.FloatSlider, value: float, low: float, high: float, step: float) -> None:
    """Put a slider at the step nearest to a value; one without a value to start from rests."""
    slider.disabled = not np.isfinite(value)
    if slider.disabled:
        return
    low, high = step * np.floor(low / step), step * np.ceil(high / step)
    # In one message: a browser that gets the ends first sends back a value of its own.
    with slider.hold_sync(), slider.hold_trait_notifications():
        slider.step = step
        slider.min, slider.max = low, high
        slider.value = float(np.clip(low + step * round((value - low) / step), low, high))
