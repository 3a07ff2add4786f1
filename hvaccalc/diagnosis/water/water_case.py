"""What the water budget computes with: the condition as found, brought to numbers by draws."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum, auto

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.air_states import space_dew_point
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import (
    Datum,
    Draws,
    Where,
    usual_return_dry_bulb,
    usual_return_humidity,
)
from hvaccalc.diagnosis.readings.water_seen import WaterSeen, water_seen
from hvaccalc.diagnosis.unit.forecast import Forecast
from hvaccalc.ensemble import Z95, Ensemble
from hvaccalc.equipment.coil import coil_water
from hvaccalc.equipment.drain.trap import suction_at_speed
from hvaccalc.job.schema import Job
from hvaccalc.physics import moist_air
from hvaccalc.physics.moist_air import STANDARD_PRESSURE
from hvaccalc.physics.water_vapour import FREEZING_POINT
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.practice.statements import HARDLY
from hvaccalc.practice.water import (
    CONDENSATE_EXPONENT,
    COOLING_HOURS,
    DRAIN_SLOPE,
    MINIMUM_SLOPE,
    RETURN_DUCT_SUCTION,
    STARTS,
    SUPPLY_EXPONENT,
    TYPED_SUCTION_LEAST,
    TYPED_SUCTION_SHARE,
    WARMER_ROOM,
    WEATHER_FACTOR,
    WETTER_ROOM,
)
from hvaccalc.reason import Reason


class Asked(StrEnum):
    """What cannot be taken as typed and has to be asked."""

    PAN_SHOULD_BLOW_OUT = auto()
    PAN_SHOULD_DRAW_IN = auto()
    PAN_DRAWS_IN_BY_DEFAULT = auto()
    AIR_AT_THE_DRAIN = auto()
    AIR_AT_THE_DRAIN_BY_DEFAULT = auto()


def pan_suction(
    draws: Draws, result: ConditionResult | None, seen: WaterSeen
) -> tuple[Datum | None, tuple[Reason, ...]]:
    """Pressure at the pan away from the room's, >= 0 in the sense of the unit's air path [Pa].

    Returns
    -------
    suction : Datum or None
        Below the room's on a unit that draws through, above it on one that blows through; None where it is
        not known or its sign contradicts the air path.
    asked : tuple of Reason
        Questions, each naming its key.
    """
    unit = draws.job.unit
    typed, blows = unit.drain.pan_suction, unit.air_path == "blow through"
    asked = _air_at_the_drain(seen, unit.air_path)
    if typed is not None:
        value = -typed.value if blows else typed.value
        if value < 0.0:
            return None, (*asked, _sign(typed, unit.air_path))
        sd = (
            max(TYPED_SUCTION_SHARE * value, TYPED_SUCTION_LEAST) / Z95
            if typed.plus_minus is None
            else typed.plus_minus / Z95
        )
        drawn = np.maximum(draws.ensemble.normal("water/pan suction", value, sd), 0.0)
        return (None if asked else Datum(drawn, "measured", "as typed")), asked
    if result is None or blows:
        return None, asked
    parts = [draws.column(result.where, key) for key in ("coil_pressure_drop", "filter_pressure_drop")]
    if any(part is None for part in parts):
        return None, asked
    duct = draws.ensemble.uniform("water/return duct", *RETURN_DUCT_SUCTION)
    drawn = np.maximum(sum(part for part in parts if part is not None) + duct, 0.0)
    return (
        None if asked else Datum(drawn, "computed", "coil and filter drop as read, return duct assumed")
    ), (asked)


def _sign(typed: units.Quantity, path: str | None) -> Reason:
    if path == "blow through":
        return Reason(Asked.PAN_SHOULD_BLOW_OUT, {"suction": typed.text})
    return Reason(
        Asked.PAN_SHOULD_DRAW_IN if path else Asked.PAN_DRAWS_IN_BY_DEFAULT, {"suction": typed.text}
    )


def _air_at_the_drain(seen: WaterSeen, path: str | None) -> tuple[Reason, ...]:
    """Air at the drain that goes the other way than the air path says."""
    wrong = "drawn in" if path == "blow through" else "blown out"
    if not seen.has("drain_air", wrong):
        return ()
    if path is None:
        return (Reason(Asked.AIR_AT_THE_DRAIN_BY_DEFAULT, {"air": wrong}),)
    return (Reason(Asked.AIR_AT_THE_DRAIN, {"air": wrong, "path": path}),)


@dataclass(frozen=True, slots=True)
class Freezing:
    """How likely the coil freezes.

    Attributes
    ----------
    found : float
        Largest probability over the conditions as found; NaN where none can tell.
    mild : float
        By the forecast on a mild morning; NaN without.
    full_speed : float
        With the fan at full speed in the same weather; NaN without.
    """

    found: float
    mild: float
    full_speed: float

    @property
    def chance(self) -> float:
        """As read, by the forecast where nothing was; NaN where nothing tells, or where readings that hardly
        leave ice stand against the forecast of another day: that keeps ice open and never makes it likely."""
        if np.isnan(self.found):
            return self.mild
        return float("nan") if self.found < HARDLY <= self.mild else self.found

    @property
    def another_day(self) -> float:
        """On a mild morning, where the forecast has more ice than was read; NaN where it has not."""
        return self.mild if self.mild >= HARDLY and self.mild > self.found else float("nan")


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Air round the unit, where its outside may sweat; basis assumed where nobody read it."""

    dry_bulb: Array
    humidity_ratio: Array
    basis: str


@dataclass(frozen=True, slots=True)
class WaterCase:
    """The unit as found, by draws of shape (N + 1,).

    Attributes
    ----------
    ensemble : Ensemble
    job : Job
    seen : WaterSeen
    result : ConditionResult or None
        The condition it stands on.
    made : Datum
        Condensate that the coil makes while it cools [kg/s].
    drained : ndarray or None
        Condensate caught at the drain's outlet in the same condition [kg/s].
    rated_latent : ndarray
        [W].
    cooling_share : ndarray
        Share of a day in which it cools.
    starts : ndarray
        A day.
    flow : ndarray or None
        [m³/s] at the return state.
    speed : ndarray or None
        Fan speed over full speed.
    suction : Datum or None
        At the pan, below the room's (blow through: above it), >= 0 [Pa].
    asked : tuple of Reason
        What cannot be taken as typed and has to be asked, each with its key.
    dry_bulb, humidity_ratio, barometer : ndarray
        Of the return air [K], [kg/kg], [Pa].
    supply : ndarray or None
        Dry bulb of the air that leaves [K].
    duct : ndarray or None
        Coldest surface of a duct as read [K]; None unread, and at another fan speed.
    suction_line : ndarray or None
        Temperature of the suction line [K].
    room : Surroundings
    freezing : Freezing
    drain_slope : ndarray
        Fall over run.
    coil_slope : float
        Tangent from the vertical; NaN where not typed.
    what_if : bool
        Whether fan speed, slopes or suction are other than found, so that signs need not hold.
    """

    ensemble: Ensemble
    job: Job
    seen: WaterSeen
    result: ConditionResult | None
    made: Datum
    drained: Array | None
    rated_latent: Array
    cooling_share: Array
    starts: Array
    flow: Array | None
    speed: Array | None
    suction: Datum | None
    asked: tuple[Reason, ...]
    dry_bulb: Array
    humidity_ratio: Array
    barometer: Array
    supply: Array | None
    suction_line: Array | None
    duct: Array | None
    room: Surroundings
    freezing: Freezing
    drain_slope: Array
    coil_slope: float
    what_if: bool = False

    @property
    def blow_through(self) -> bool:
        """Whether the fan blows through the coil; draw through where nothing was typed."""
        return self.job.unit.air_path == "blow through"

    @property
    def face_velocity(self) -> Array | None:
        """Mean over the coil's face [m/s]; None where face or airflow is not known."""
        area = self.job.unit.coil.face_area
        return None if area is None or self.flow is None else self.flow / area.value

    @property
    def low_fan(self) -> bool:
        """Whether the fan turned below its full speed."""
        return self.speed is not None and bool(self.speed[0] < FULL_SPEED)

    def uniform(self, name: str, low: float, high: float) -> Array:
        """A named unknown of the budget."""
        return self.ensemble.uniform(f"water/{name}", low, high)

    def banded(self, name: str, band: tuple[float, float, float]) -> Array:
        """A named unknown of which centre and ends are known."""
        central, low, high = band
        return self.ensemble.uniform(f"water/{name}", low, high, central=central)


def water_case(draws: Draws, results: Sequence[ConditionResult], outlook: Forecast | None) -> WaterCase:
    """The case of a job; `results` and `outlook` as the analysis has them."""
    seen = water_seen(draws)
    found = [r for r in results if r.where.visit in seen.visits]
    result = _chosen(found)
    job, ensemble = draws.job, draws.ensemble
    flow = result.airflow if result is not None else None
    speed = flow.speed_ratio.draws if flow is not None and flow.speed_ratio is not None else None
    suction, asked = pan_suction(draws, result, seen)
    dry_bulb, humidity, barometer = _return_air(draws, result)
    slope = job.unit.drain.slope
    return WaterCase(
        ensemble=ensemble,
        job=job,
        seen=seen,
        result=result,
        made=_made(draws, result),
        drained=draws.column(result.where, "condensate_rate") if result is not None else None,
        rated_latent=_latent(draws),
        cooling_share=ensemble.uniform("water/cooling hours", *COOLING_HOURS) / 24.0,
        starts=ensemble.uniform("water/starts", *STARTS),
        flow=flow.flow if flow is not None else None,
        speed=speed,
        suction=suction,
        asked=asked,
        dry_bulb=dry_bulb,
        humidity_ratio=humidity,
        barometer=barometer,
        supply=_filled(result.air.supply_air.dry_bulb) if result and result.air.supply_air else None,
        suction_line=_suction_line(draws, result),
        duct=_duct(draws, found),
        room=_room(draws, found, dry_bulb, humidity, barometer),
        freezing=_freezing(found, outlook),
        drain_slope=_drain_slope(ensemble, slope.value if slope is not None else None),
        coil_slope=job.unit.coil.slope.value if job.unit.coil.slope is not None else float("nan"),
    )


def changed(
    case: WaterCase,
    speed: float | None = None,
    drain_slope: float | None = None,
    coil_slope: float | None = None,
    suction: float | None = None,
) -> WaterCase:
    """The same unit with another fan speed (over full), slopes (tangents) or pan suction [Pa].

    Suction is taken at the speed asked about. Freezing is not forecast anew: its chance holds for the speed
    as found, that of full speed where it counts as full.
    """
    if speed is not None and case.speed is not None and case.flow is not None:
        case = _at_speed(case, speed)
    if drain_slope is not None:
        case = replace(case, drain_slope=np.full(case.ensemble.size + 1, drain_slope))
    if coil_slope is not None:
        case = replace(case, coil_slope=coil_slope)
    if suction is not None:
        case = replace(case, suction=Datum(np.full(case.ensemble.size + 1, suction), "computed", "as asked"))
    asked = any(given is not None for given in (speed, drain_slope, coil_slope, suction))
    return replace(case, what_if=case.what_if or asked)


def _at_speed(case: WaterCase, speed: float) -> WaterCase:
    assert case.speed is not None and case.flow is not None
    ratio = speed / case.speed
    if np.allclose(ratio[0], 1.0, atol=1e-3):
        return case
    supply = case.supply
    if supply is not None:
        supply = case.dry_bulb - (case.dry_bulb - supply) * ratio**-SUPPLY_EXPONENT
    suction = case.suction
    if suction is not None:
        suction = replace(suction, draws=suction_at_speed(suction.draws, ratio))
    freezing = case.freezing
    if speed >= FULL_SPEED:
        freezing = replace(freezing, found=freezing.full_speed, mild=freezing.full_speed)
    return replace(
        case,
        speed=np.full_like(case.speed, speed),
        flow=case.flow * ratio,
        made=replace(case.made, draws=case.made.draws * ratio**CONDENSATE_EXPONENT),
        drained=None,
        supply=supply,
        duct=None,
        suction=suction,
        freezing=freezing,
    )


def at_full_speed(case: WaterCase) -> WaterCase:
    """The same unit with its fan at full speed."""
    return changed(case, speed=1.0)


def _chosen(found: Sequence[ConditionResult]) -> ConditionResult | None:
    """The condition with the most cooling, of those the one nearest to freezing and with most readings."""

    def weight(result: ConditionResult) -> tuple[int, float, bool]:
        running = len(result.freeze.running) if result.freeze is not None else 0
        chance = result.freeze.fin.value if result.freeze is not None and result.freeze.fin.known else -1.0
        return running, chance, result.duty.condensate is not None

    return max(found, key=weight, default=None)


def _made(draws: Draws, result: ConditionResult | None) -> Datum:
    if result is not None and result.duty.condensate is not None:
        made = _filled(np.where(result.duty.possible, result.duty.condensate, np.nan))
        return Datum(made, "measured", "drop in humidity over the coil, times the airflow")
    latent = _latent(draws)
    factor = draws.ensemble.uniform("water/weather", *WEATHER_FACTOR, central=1.0)
    made = _filled(latent) * factor / coil_water.CONDENSATION_HEAT
    return Datum(made, "assumed", "the rating's latent heat, for dry to very humid days")


def _latent(draws: Draws) -> Array:
    """Latent heat at the rating [W]."""
    rating = draws.rating
    return np.asarray(rating.total) * (1.0 - np.asarray(rating.sensible_ratio))


def _filled(draws: Array) -> Array:
    """Rows that contradict physics take the median of the others."""
    finite = np.isfinite(draws)
    return draws if finite.all() or not finite.any() else np.where(finite, draws, np.median(draws[finite]))


def _return_air(draws: Draws, result: ConditionResult | None) -> tuple[Array, Array, Array]:
    """Return air; ordinary room air where it was not read."""
    where = Where() if result is None else result.where
    dry_bulb, humidity = (
        usual_return_dry_bulb(draws, where),
        usual_return_humidity(draws, where),
    )
    if result is None:
        return dry_bulb, humidity, np.full(draws.ensemble.size + 1, STANDARD_PRESSURE)
    air = result.air.entering
    barometer = _filled(result.air.barometer.draws)
    if air is not None:
        dry_bulb = _filled(air.dry_bulb)
        if air.humid:
            humidity = _filled(np.where(air.possible, air.humidity_ratio, np.nan))
    return dry_bulb, humidity, barometer


def _room(
    draws: Draws, found: Sequence[ConditionResult], dry_bulb: Array, humidity: Array, barometer: Array
) -> Surroundings:
    """The most humid air read round the unit, else the return air with a wide spread."""
    read = []
    for result in found:
        air = draws.column(result.where, "space_dry_bulb")
        dew = space_dew_point(draws, result.where)
        if dew is not None:
            pressure = result.air.barometer.draws
            water = moist_air.saturation_humidity_ratio(dew, pressure)
            read.append(Surroundings(np.maximum(dry_bulb if air is None else air, dew), water, "measured"))
    if read:
        return max(read, key=lambda room: float(room.humidity_ratio[0]))
    warmer = draws.ensemble.uniform("water/warmer room", *WARMER_ROOM)
    wetter = draws.ensemble.uniform("water/wetter room", *WETTER_ROOM)
    return Surroundings(dry_bulb + warmer, humidity * wetter, "assumed")


def _suction_line(draws: Draws, result: ConditionResult | None) -> Array | None:
    """The coldest suction line read."""
    if result is None:
        return None
    names = draws.condition(result.where).circuit
    read = [draws.column(result.where.at(name), "suction_temperature") for name in names]
    return min((c for c in read if c is not None), key=lambda c: float(c[0]), default=None)


def _duct(draws: Draws, found: Sequence[ConditionResult]) -> Array | None:
    """The coldest surface of a duct that was read [K]."""
    read = [draws.column(result.where, "duct_surface_temperature") for result in found]
    return min((c for c in read if c is not None), key=lambda c: float(c[0]), default=None)


def _freezing(found: Sequence[ConditionResult], outlook: Forecast | None) -> Freezing:
    known = [r.freeze.fin.value for r in found if r.freeze is not None and r.freeze.fin.known]
    known += [1.0 for r in found if r.freeze is not None and r.freeze.ice_seen]
    mild = full = float("nan")
    # A unit that stands apart from its rating gets no comfort from what a sound one would do.
    if outlook is not None and not outlook.apart and outlook.where.visit in {r.where.visit for r in found}:
        mild = outlook.weather["mild morning"].value if "mild morning" in outlook.weather else mild
        metal = outlook.full_speed_metal
        if metal is not None and metal.known:
            full = 0.0 if metal.low > FREEZING_POINT else 1.0 if metal.high < FREEZING_POINT else 0.5
    return Freezing(max(known, default=float("nan")), mild, full)


def _drain_slope(ensemble: Ensemble, typed: float | None) -> Array:
    """As typed, else between half the code's least and twice it."""
    if typed is not None:
        return np.full(ensemble.size + 1, typed)
    return ensemble.uniform("water/drain slope", *DRAIN_SLOPE, central=MINIMUM_SLOPE)
