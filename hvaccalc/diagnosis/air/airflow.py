"""How much air moves: every method by itself, then reconciled; and whether the fan followed the calls."""

from dataclasses import dataclass

import numpy as np

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import AirStates
from hvaccalc.diagnosis.air.airflow_methods import Unused, fan_law_from_rating, held_back, methods
from hvaccalc.diagnosis.air.fan_data import full_rotation
from hvaccalc.diagnosis.air.reconcile import Disagreement, Method, reconcile
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.draws import (
    Datum,
    Draws,
    Where,
    usual_return_dry_bulb,
    usual_return_humidity,
)
from hvaccalc.ensemble import band, beyond
from hvaccalc.equipment.wiring.wiring_calls import Mismatch
from hvaccalc.physics import moist_air
from hvaccalc.practice.air import FULL_SPEED, STANDS_STILL, UNREAD_SPEED
from hvaccalc.practice.statements import OFF_THE_AIRFLOW
from hvaccalc.severity import Severity

BASES = ("measured", "computed", "rule of thumb")
"""From the best."""


@dataclass(frozen=True, slots=True)
class Airflow:
    """Airflow of one condition.

    Attributes
    ----------
    methods : tuple of Method
    flow : ndarray
        Reconciled, at the return state [m3/s].
    dry_air_flow : ndarray
        The same as dry air [kg/s].
    basis : str
        measured, computed, rule of thumb or assumed.
    note : str
        What it rests on.
    disagreeing : tuple of Disagreement
        Methods left out with their disagreement in their own sigmas.
    speed_ratio : Datum or None
        Fan speed over full speed.
    rated_share : ndarray
        Volume flow over the rated one: a fan moves the same volume at any density.
    used : tuple of str
        Methods behind the reconciled flow.
    unused : tuple of Unused
        Methods whose readings are there but that give nothing.
    undetermined : str
        Why nothing tells the airflow though the fan's speed is known; empty elsewhere.
    """

    methods: tuple[Method, ...]
    flow: Array
    dry_air_flow: Array
    basis: str
    note: str
    disagreeing: tuple[Disagreement, ...]
    speed_ratio: Datum | None
    rated_share: Array
    used: tuple[str, ...] = ()
    unused: tuple[Unused, ...] = ()
    undetermined: str = ""

    @property
    def idle(self) -> tuple[Method, ...]:
        """Methods that agree with the others and yet have no say beside them."""
        known = {*self.used, *(off.name for off in self.disagreeing)}
        return tuple(m for m in self.methods if m.name not in known) if self.used else ()

    def beyond(self, method: Method) -> bool:
        """Whether the reconciled flow lies outside the band of a method that has no say beside it."""
        off = float(method.flow[0] / self.flow[0]) - 1.0
        own = band(method.flow)
        inside = own.known and own.low <= self.flow[0] <= own.high
        return bool(abs(off) >= OFF_THE_AIRFLOW) and not inside

    @property
    def severity(self) -> Severity:
        """Not determined, supposed, or with methods that cannot all be right: watched."""
        odd = self.disagreeing or any(self.beyond(method) for method in self.idle)
        open_ = self.undetermined or odd or self.basis == "assumed"
        return Severity.WATCH if open_ else Severity.NOTE

    @property
    def measured(self) -> bool:
        """Whether a method other than the fan law, and more than a rule of thumb, stands behind it."""
        return any(_sound(method) for method in self.methods if method.name in self.used)


def airflow(draws: Draws, states: AirStates) -> Airflow | None:
    """Airflow of one condition; None where the fan stands still, as it does in a unit that is off."""
    where = states.where
    ratio = speed_ratio(draws, where)
    if ratio is not None and ratio.draws[0] <= 0.0:
        return None
    condition = draws.condition(where)
    read = draws.reading(where, "airflow") is not None or condition.air.traverse is not None
    if condition.calls == () and not read and (ratio is None or ratio.basis != "measured"):
        return None
    volume = return_volume(draws, states)
    given, unused = methods(draws, states, ratio, volume)
    undetermined = ""
    if given:
        flow, used, disagreeing = _weighed(given)
        basis = min((m.basis for m in given if m.name in used), key=BASES.index)
        note = "from " + " and ".join(name.replace("_", " ") for name in used)
    elif ratio is not None and any(one.name == "fan_law" for one in unused):
        held = held_back(draws, states, ratio, volume)
        flow, basis, used, disagreeing, note = held.flow, "assumed", (), (), held.note
        undetermined = next(one.why for one in unused if one.name == "fan_law")
    else:
        guess = Datum(draws.ensemble.uniform(f"speed/{where.path}", *UNREAD_SPEED), "assumed")
        flow, basis, used, disagreeing = fan_law_from_rating(draws, guess).flow, "assumed", (), ()
        note = "neither airflow nor fan speed read: anything from half to full speed"
    share = flow / draws.job.unit.rated_airflow.value
    return Airflow(
        tuple(given),
        flow,
        flow / volume,
        basis,
        note,
        disagreeing,
        ratio,
        share,
        used,
        tuple(unused),
        undetermined,
    )


def _sound(method: Method) -> bool:
    return method.basis != "rule of thumb" and method.name != "fan_law"


def _weighed(given: list[Method]) -> tuple[Array, tuple[str, ...], tuple[Disagreement, ...]]:
    """Reconciled flow, the methods behind it, those at odds with it.

    Compressors sized by the rating tell the airflow only as long as they are sound. Beside a measurement that
    method has no say; where it is at odds with it, it is named, for then one of the two is not well.
    """
    beside = [m for m in given if m.name == "enthalpy" and not _sound(m)]
    if not beside or not any(_sound(m) for m in given):
        return reconcile(given)
    flow, used, disagreeing = reconcile([m for m in given if m not in beside])
    kept = [m for m in given if m.name in used]
    _, _, accused = reconcile([*kept, *beside])
    return flow, used, (*disagreeing, *(off for off in accused if off.name == "enthalpy"))


def return_volume(draws: Draws, states: AirStates) -> Array:
    """Volume of return air for each kilogram of dry air [m3/kg]; ordinary room air where not read."""
    air = states.return_air
    if air is not None and air.humid:
        return np.where(air.possible, air.specific_volume, np.nan)
    dry_bulb = air.dry_bulb if air is not None else usual_return_dry_bulb(draws, states.where)
    humidity = usual_return_humidity(draws, states.where)
    return moist_air.specific_volume(dry_bulb, humidity, states.barometer.draws)


def speed_ratio(draws: Draws, where: Where) -> Datum | None:
    """Fan speed over full speed; None where nothing tells."""
    fan = draws.job.unit.fan
    full = fan.full_speed
    frequency = draws.column(where, "fan_frequency")
    if frequency is not None:
        if full is not None and full.unit == "Hz":
            return Datum(frequency / full.value, "measured", "drive frequency")
        return Datum(frequency / 60.0, "measured", "drive frequency, full speed assumed 60 Hz")
    read, speed = draws.quantity(where, "fan_speed"), draws.column(where, "fan_speed")
    if read is not None and speed is not None:
        if full is not None and full.unit == read.unit:
            return Datum(speed / full.value, "measured", "fan speed")
        rotation = full_rotation(draws.job) if read.unit == "rpm" else None
        if rotation is not None:
            return Datum(speed / rotation, "measured", "fan speed")
        # Nothing is nothing in any unit.
        if read.unit == "%" or read.value == 0.0:
            return Datum(speed, "measured", "fan speed")
    if fan.drive == "belt, fixed":
        return Datum(np.ones(draws.ensemble.size + 1), "nameplate", "fixed belt drive")
    return None


@dataclass(frozen=True, slots=True)
class StagingFault:
    """The fan at another speed than the calls want.

    Attributes
    ----------
    text : Mismatch
    expected, found : str
        Speeds as typed.
    stage : int
        Highest stage called for or running.
    """

    where: Where
    text: Mismatch
    expected: str
    found: str
    stage: int

    @property
    def severity(self) -> Severity:
        """Without air the unit has to stop."""
        return self.text.severity


def staging_fault(draws: Draws, where: Where) -> StagingFault | None:
    """Fault of the fan's speed in one condition; None where it followed or nothing tells.

    Notes
    -----
    All stages on want full speed; with fewer stages any speed that turns may be by design. A heat pump
    wants full speed whenever its compressor heats (common practice, no source).
    """
    stage = compressors.stage_in_use(draws, where)
    ratio = speed_ratio(draws, where)
    if not stage or ratio is None or ratio.basis != "measured":
        return None
    read = draws.quantity(where, "fan_frequency") or draws.quantity(where, "fan_speed")
    found = read.text if read is not None else ""
    expected = _full_speed(draws, read.unit if read is not None else "")
    if ratio.draws[0] <= STANDS_STILL:
        heats = compressors.heating(draws, where)
        text = Mismatch.HEATING_WITHOUT_FAN if heats else Mismatch.COOLING_WITHOUT_FAN
        return StagingFault(where, text, expected, found, stage)
    if draws.job.unit.fan.drive == "belt, fixed":
        # No call sets the speed of a fixed belt: belt and sheaves do.
        return None
    low = beyond(FULL_SPEED - ratio.draws)
    if low and compressors.heats(draws, where):
        return StagingFault(where, Mismatch.FAN_LOW_WHILE_HEATING, expected, found, stage)
    highest = max(draws.stage(name) for name in draws.job.circuit)
    if stage >= highest and highest > 1 and low:
        return StagingFault(where, Mismatch.FAN_LOW_WITH_SECOND_STAGE, expected, found, stage)
    return None


def _full_speed(draws: Draws, unit: str) -> str:
    """Full speed in the unit of the reading."""
    full = draws.job.unit.fan.full_speed
    if full is not None and full.unit == unit:
        return full.text
    return {"Hz": "60 Hz (assumed)", "%": "100 %"}.get(unit, "full speed")
