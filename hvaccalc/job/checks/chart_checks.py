"""A unit's charging chart that cannot be: the one place where the job file asks a law of physics.

A chart is exact and never left out of inference as a reading is, so a slip of the pen in it would judge every
charge: it is refused with the line that it stands in.
"""

from collections.abc import Iterator

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.errors import InputError
from hvaccalc.job.checks.refusals import Placed
from hvaccalc.job.fields import shown
from hvaccalc.job.schema import Job
from hvaccalc.job.unit_tables import ChartPoint, Circuit
from hvaccalc.physics.moist_air import STANDARD_PRESSURE, pressure_at_elevation
from hvaccalc.physics.refrigerant import NAMES, refrigerant
from hvaccalc.practice.circuits import CHART_OFF_LINE


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
