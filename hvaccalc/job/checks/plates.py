"""Values of plate, data sheet and charging chart against what they can be, usually are, and their neighbours.

A unit's charging chart that cannot be: the one place where the job file asks a law of physics.

A chart is exact and never left out of inference as a reading is, so a slip of the pen in it would judge every
charge: it is refused with the line that it stands in.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.errors import InputError, OutOfRange
from hvaccalc.job.checks.cross_checks import key_without_names, values_of
from hvaccalc.job.checks.refusals import Placed
from hvaccalc.job.fields import Reading, shown
from hvaccalc.job.schema import Job, Notice
from hvaccalc.job.text.key_lines import Location, key_text
from hvaccalc.job.unit_tables import ChartPoint, Circuit
from hvaccalc.physics.moist_air import STANDARD_PRESSURE, pressure_at_elevation
from hvaccalc.physics.refrigerant import NAMES, refrigerant
from hvaccalc.practice.circuits import CHART_OFF_LINE
from hvaccalc.practice.plates import (
    FAN_EFFICIENCY,
    MOTOR_LOADING,
    PER_1000_CFM,
    PER_TON,
    PER_TON_OF_CIRCUIT,
    PLATE,
    READ,
    SHARES,
    SHARES_OFF,
    SPEED,
    WHEEL_RIM,
)
from hvaccalc.practice.row import Limits
from hvaccalc.units import Quantity

TON = float(units.si(1.0, "ton", "heat"))
THOUSAND_CFM = float(units.si(1000.0, "cfm", "airflow"))
ATMOSPHERE = 101325.0
_AS_TYPED = {"Hz": "frequency", "rpm": "speed", "%": "fraction"}
"""Kind in which the limits of a fan's speed are shown, by the unit typed."""

Values = dict[str, list[tuple[Location, Quantity]]]
"""Typed values by key, without the names of circuits."""


def typed_values(job: Job) -> Values:
    """Every value of the file that carries a unit and is no reading."""
    found: Values = {}
    for location, value in values_of(job):
        if isinstance(value, Quantity) and "visit" not in location:
            found.setdefault(key_without_names(location), []).append((location, value))
    return found


def impossible(job: Job) -> Iterator[Placed]:
    """Refusals of values that no split system has, and of readings that nothing on one can show."""
    for location, quantity, ends, kind in _limited(job):
        if not (ends.lowest <= _low(quantity) and _high(quantity) <= ends.highest):
            allowed = _limits(ends.lowest, ends.highest, kind, "us")
            yield location, OutOfRange("no unit has that", found=shown(quantity.text), allowed=allowed)
    for location, quantity, (low, high), kind in _readings(job):
        if not (low <= _low(quantity) and _high(quantity) <= high):
            allowed = _limits(low, high, kind, "us")
            yield location, OutOfRange("no such reading can be", found=shown(quantity.text), allowed=allowed)


READABLE = {
    f"visit.{key}" if key.startswith("work.") else f"visit.condition.{key}": ends
    for keys, ends in READ.items()
    for key in keys.split()
}


def _readings(job: Job) -> Iterator[tuple[Location, Quantity, tuple[float, float], str]]:
    for location, value in values_of(job):
        key = key_without_names(location)
        quantity = value.quantity if isinstance(value, Reading) else value
        if not isinstance(quantity, Quantity):
            continue
        if quantity.kind == "fan_speed" and isinstance(value, Reading):
            yield location, quantity, (0.0, SPEED[quantity.unit].highest), _AS_TYPED[quantity.unit]
        elif key in READABLE:
            yield location, quantity, READABLE[key], quantity.kind


def unusual_plates(job: Job) -> Iterator[Notice]:
    """Notices on values that are unusual by themselves, then on those that do not go together."""
    alone = set()
    for location, quantity, ends, kind in _limited(job):
        if not (ends.low <= _low(quantity) and _high(quantity) <= ends.high):
            alone.add(location)
            usual = _limits(ends.low, ends.high, kind, job.display)
            text = f"{quantity.text} is unusual (usually {usual}); used as typed."
            yield Notice("unusual.plate", key_text(location), text)
    yield from _neighbours(job, alone)


def _limited(job: Job) -> Iterator[tuple[Location, Quantity, Limits, str]]:
    for key, places in typed_values(job).items():
        for location, quantity in places:
            if key in PLATE:
                yield location, quantity, PLATE[key], quantity.kind
            elif quantity.kind == "fan_speed":
                yield location, quantity, SPEED[quantity.unit], _AS_TYPED[quantity.unit]


def _low(quantity: Quantity) -> float:
    return _above(quantity, quantity.value if quantity.low is None else quantity.low)


def _high(quantity: Quantity) -> float:
    return _above(quantity, quantity.value if quantity.high is None else quantity.high)


def _above(quantity: Quantity, value: float) -> float:
    """A pressure as a gauge at sea level shows it, as the limits are."""
    return value - ATMOSPHERE if quantity.kind == "pressure" and not quantity.gauge else value


def _limits(low: float, high: float, kind: str, display: str) -> str:
    if kind == "ratio":
        return f"{low:g} to {high:g}"
    # The limits of a pressure are above the atmosphere: a difference.
    return units.limits_text(low, high, "pressure_difference" if kind == "pressure" else kind, display)


def _named(location: Location) -> str:
    return " ".join(str(part) for part in location if part != "unit" and isinstance(part, str)).replace(
        "_", " "
    )


@dataclass(frozen=True, slots=True)
class _Beside:
    """A value, what it usually is beside another one [SI], and that one."""

    location: Location
    quantity: Quantity
    low: float
    high: float
    base: Location
    base_text: str

    @property
    def goes(self) -> bool:
        return self.low <= self.quantity.value <= self.high

    def text(self, display: str) -> str:
        """The value with what it usually is."""
        usual = _limits(self.low, self.high, self.quantity.kind, display)
        return f"{self.quantity.text} (unusual: usually {usual})"


def _neighbours(job: Job, alone: set[Location]) -> Iterator[Notice]:
    """One notice for each value that others do not go with; those that are unusual alone have theirs."""
    against: dict[Location, list[_Beside]] = {}
    for one in _beside(job):
        if not one.goes and one.location not in alone and one.base not in alone:
            against.setdefault(one.base, []).append(one)
    for base, those in against.items():
        if len(those) == 1:
            text = f"{those[0].text(job.display)}, beside a {those[0].base_text}; used as typed."
        else:
            told = ", ".join(f"{_named(one.location)} {one.text(job.display)}" for one in those)
            text = (
                f"A {those[0].base_text} does not go with {told}: look which is typed wrong; used as typed."
            )
        where = ", ".join(key_text(place) for place in (base, *(one.location for one in those)))
        yield Notice("unusual.plate", where, text)
    shares = [circuit.capacity_share for circuit in job.circuit.values()]
    whole = sum(share.value for share in shares if share is not None)
    if None not in shares and abs(whole - 1.0) > SHARES_OFF:
        where = ", ".join(f"circuit.{name}.capacity_share" for name in job.circuit)
        yield Notice("unusual.plate", where, f"The shares of the circuits add up to {whole:g}, not to 1.")


def _beside(job: Job) -> Iterator[_Beside]:
    values = typed_values(job)
    capacity, airflow = job.unit.rated_capacity, job.unit.rated_airflow
    for table, base, unit in ((PER_TON, capacity, TON), (PER_1000_CFM, airflow, THOUSAND_CFM)):
        key = "rated_capacity" if base is capacity else "rated_airflow"
        for location, quantity, (low, high) in _of(values, table):
            by = base.value / unit
            yield _Beside(
                location, quantity, low * by, high * by, ("unit", key), f"{_named((key,))} of {base.text}"
            )
    for location, quantity, (low, high) in _of(values, PER_TON_OF_CIRCUIT):
        tons = capacity.value * share_of(job, str(location[1])) / TON
        text = f"rated capacity of {capacity.text}"
        yield _Beside(location, quantity, low * tons, high * tons, ("unit", "rated_capacity"), text)
    for keys, (low, high) in SHARES.items():
        part, _, whole = keys.partition(" / ")
        for location, quantity in values.get(part, ()):
            for place, beside in values.get(whole, ()):
                same = "circuit" not in (place[0], location[0]) or place[:2] == location[:2]
                same = same or place[0] != location[0]
                if same and (quantity.kind != "fan_speed" or quantity.unit == beside.unit):
                    text = f"{_named(place)} of {beside.text}"
                    ends = low * beside.value, high * beside.value
                    yield _Beside(location, quantity, *ends, place, text)
    yield from _fan(job)


def _of(
    values: Values, table: dict[str, tuple[float, float]]
) -> Iterator[tuple[Location, Quantity, tuple[float, float]]]:
    for key, ends in table.items():
        for location, quantity in values.get(key, ()):
            yield location, quantity, ends


def share_of(job: Job, name: str) -> float:
    """A circuit's share of the capacity: typed, else an equal one."""
    typed = job.circuit[name].capacity_share
    return 1.0 / len(job.circuit) if typed is None else typed.value


def _fan(job: Job) -> Iterator[_Beside]:
    """Current beside power and voltage, static beside power and airflow, wheel beside speed."""
    fan = job.unit.fan
    power, current, static = fan.motor_power, fan.motor_full_load_current, fan.static_at_rating
    if power is not None and current is not None and fan.voltage is not None:
        phase = power.value / fan.voltage.value
        low, high = MOTOR_LOADING
        low /= 1.0 if fan.phases == 1 else math.sqrt(3.0)
        high /= math.sqrt(3.0) if fan.phases == 3 else 1.0
        place = ("unit", "fan", "motor_full_load_current")
        text = f"motor power of {power.text} at {fan.voltage.text}"
        yield _Beside(place, current, low * phase, high * phase, ("unit", "fan", "motor_power"), text)
    if static is not None and fan.input_power is not None:
        most = fan.input_power.value / job.unit.rated_airflow.value
        low, high = FAN_EFFICIENCY
        text = f"fan input power of {fan.input_power.text}"
        place = ("unit", "fan", "static_at_rating")
        yield _Beside(place, static, low * most, high * most, ("unit", "fan", "input_power"), text)
    if fan.wheel_diameter is not None and fan.full_speed is not None and fan.full_speed.unit == "rpm":
        around = math.pi * fan.full_speed.value
        low, high = WHEEL_RIM
        text = f"fan full speed of {fan.full_speed.text}"
        place = ("unit", "fan", "wheel_diameter")
        yield _Beside(
            place, fan.wheel_diameter, low / around, high / around, ("unit", "fan", "full_speed"), text
        )


def chart_checks(job: Job) -> Iterator[Placed]:
    """Refusals: liquid above its saturation, points that do not rise, a point off the line of the others."""
    elevation = job.job.elevation
    barometer = STANDARD_PRESSURE if elevation is None else float(pressure_at_elevation(elevation.value))
    for name, circuit in job.circuit.items():
        found = _refusal(circuit, barometer, job.display)
        if found is not None:
            number, error = found
            yield ("circuit", name, "chart", number, "liquid_temperature"), error


def _refusal(circuit: Circuit, barometer: float, display: str) -> tuple[int, InputError] | None:
    """The first point that cannot be, by its number, and why; None where the chart can be."""
    points = circuit.chart or ()
    pressure = np.array([float(point.liquid_pressure.absolute(barometer)) for point in points])
    temperature = np.array([point.liquid_temperature.value for point in points])
    if circuit.refrigerant in NAMES:
        fluid = refrigerant(circuit.refrigerant)
        bubble = np.asarray(fluid.bubble_temperature(pressure))
        above = np.flatnonzero(temperature > bubble + fluid.saturation_band)
        if above.size:
            number = int(above[0])
            most = units.value_text(float(bubble[number]), "temperature", display)
            return number, InputError(
                f"liquid above its saturation: {circuit.refrigerant} boils at {most} at that pressure",
                found=_told(points[number]),
                allowed=f"below {most}; temperature and pressure of one point, psig and not psia",
            )
    order = np.lexsort((temperature, pressure))
    p, t = pressure[order], temperature[order]
    falling = np.flatnonzero((np.diff(t) < 0.0) | ((np.diff(p) == 0.0) & (np.diff(t) > 0.0)))
    if falling.size:
        low, high = int(order[falling[0]]), int(order[falling[0] + 1])
        return high, InputError(
            f"the points do not rise together: {_told(points[low])} is another one",
            found=_told(points[high]),
            allowed="warmer liquid at a higher pressure",
        )
    off = _off_the_line(p, t)
    if off is None:
        return None
    number = int(order[off])
    return number, InputError(
        "far from the line of the chart's other points", found=_told(points[number]), allowed="read it again"
    )


def _told(point: ChartPoint) -> str:
    return shown(f"{point.liquid_temperature.text} at {point.liquid_pressure.text}")


def _off_the_line(pressure: Array, temperature: Array) -> int | None:
    """The point that lies far from where the others put it; None without, or with fewer than three.

    The odd one is that without which the others lie straightest, in temperature over the logarithm of the
    pressure; of three, whose line bends at the middle one whichever is wrong, the middle one stands for it.
    """
    if np.unique(pressure).size < 3:
        return None
    x = np.log(pressure)
    each = [(*_left_out(x, temperature, n), n) for n in range(pressure.size)]
    _, distance, number = each[1] if pressure.size == 3 else min(each)
    return number if distance > CHART_OFF_LINE else None


def _left_out(x: Array, y: Array, number: int) -> tuple[float, float]:
    """How far the other points lie from a straight line, and how far this one does [K]."""
    others = np.arange(x.size) != number
    line = np.polyfit(x[others], y[others], 1)
    apart = np.abs(y - np.polyval(line, x))
    return float(apart[others].max()), float(apart[number] - apart[others].max())
