"""Water that does not come off the coil: sweating surfaces, a hot-water coil, and whatever lies outside."""

from enum import StrEnum, auto

import numpy as np
from numpy.typing import ArrayLike

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.readings.water_seen import COOLING, OFF, STOPPING
from hvaccalc.diagnosis.water.mechanism import UNKNOWN, Event, Grade, Mechanism, conditional, share_of
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.job.causes import Way
from hvaccalc.physics import surface_condensation as sweat
from hvaccalc.practice.statements import HARDLY, LIKELY
from hvaccalc.practice.water import (
    CABINET_AREA,
    CABINET_LINING,
    DUCT_AREA,
    DUCT_INSULATION,
    GAPS,
    LINE_DIAMETER,
    LINE_INSULATION,
    PIPE_LEAK,
    SEEN_CHANCE,
    SPACE_LINE_LENGTH,
    UNREAD_SUPPLY_DROP,
    WET_METAL,
)
from hvaccalc.reason import Reason


class AroundReason(StrEnum):
    """Why water that does not come off the coil can come, or cannot."""

    SWEATS = auto()
    SWEATS_BARE = auto()
    AIR_READ = auto()
    AIR_NOT_READ = auto()
    NOTHING_COLD = auto()
    SWEATING_SEEN = auto()
    LEAKS = auto()
    HEATING_COIL_DRY = auto()
    NO_HEATING_COIL = auto()
    HEATING_COIL_WET = auto()
    STOPS_WITH_COOLING = auto()
    SEEN_ABOVE = auto()
    SEEN_ABOVE_WHILE_OFF = auto()
    WITH_RAIN_ALONE = auto()


PLACE_OF = {"cabinet": "cabinet floor", "duct": "duct", "suction line": "pipe", "pan": "cabinet floor"}


def sweating(case: WaterCase) -> Mechanism:
    """Room air that condenses on the outside of cabinet, duct, suction line and pan."""
    seen = case.seen.words("sweating_on")
    rates = surface_rates(case)
    total = sum(rates.values(), np.zeros(case.ensemble.size + 1)) if rates else None
    read = case.room.basis == "measured"
    chance = UNKNOWN if total is None or not read else share_of(total > 0.0)
    if total is None or not read or (seen and share_of(total > 0.0) < LIKELY):
        bare = _bare(case) if read else _any_air(case)
        rate = conditional(bare, bare > 0.0)
        bared = bool(seen)
    else:
        rate, bared = conditional(total, total > 0.0), False
    surfaces = seen or tuple(name for name, one in rates.items() if read and share_of(one > 0.0) > HARDLY)
    cold = Reason(AroundReason.NOTHING_COLD) if chance < 0.02 and not seen else None
    if seen:
        chance = 1.0
    air = Reason(AroundReason.AIR_READ if read else AroundReason.AIR_NOT_READ)
    full = UNKNOWN
    if total is not None and read and case.low_fan and not seen:
        faster = surface_rates(at_full_speed(case))
        full = share_of(sum(faster.values(), np.zeros_like(total)) > 0.0)
    return Mechanism(
        way=Way.SWEATING,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=Grade.SCREENING,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, 10.0, np.inf), (Event.STOP, 0.0, 60.0)),
        places=frozenset(PLACE_OF[name] for name in surfaces) or frozenset(PLACE_OF.values()),
        how=Reason(AroundReason.SWEATS_BARE if bared else AroundReason.SWEATS, {"air": air}),
        ruled_out=cold,
        confirmed=Reason(AroundReason.SWEATING_SEEN, {"places": seen}) if seen else None,
        at_full_speed=full,
    )


def surface_rates(case: WaterCase) -> dict[str, Array]:
    """Water on each surface whose inside temperature is known [kg/s]; to a factor of two at best."""
    job, tons = case.job.unit.cabinet, _tons(case)
    rates: dict[str, Array] = {}
    if case.supply is not None:
        lining = job.insulation.value if job.insulation else case.uniform("lining", *CABINET_LINING)
        area = job.area.value if job.area else tons * case.uniform("cabinet area", *CABINET_AREA)
        conductivity = case.banded("lining k", sweat.CONDUCTIVITY_BANDS["cabinet lining"])
        rates["cabinet"] = _sweats(case, case.supply, sweat.layer_resistance(lining, conductivity)) * area
    duct_area = job.duct_area.value if job.duct_area else tons * case.uniform("duct area", *DUCT_AREA)
    if case.duct is not None:
        film = float(sweat.still_air_film("side"))
        rates["duct"] = (
            sweat.sweat_rate(case.duct, case.room.humidity_ratio, case.barometer, film) * duct_area
        )
    elif case.supply is not None:
        wrap = job.duct_insulation.value if job.duct_insulation else case.uniform("duct R", *DUCT_INSULATION)
        rates["duct"] = _sweats(case, case.supply, wrap) * duct_area
    if case.suction_line is not None:
        typed = job.suction_line_insulation
        thickness = typed.value if typed else case.uniform("line insulation", *LINE_INSULATION)
        conductivity = case.banded("line k", sweat.CONDUCTIVITY_BANDS["closed-cell elastomer"])
        resistance = sweat.cylinder_resistance(LINE_DIAMETER, thickness, conductivity)
        around = (
            np.pi * (LINE_DIAMETER + 2.0 * np.asarray(thickness)) * case.uniform("line", *SPACE_LINE_LENGTH)
        )
        rates["suction line"] = _sweats(case, case.suction_line, resistance) * around
    return rates


def _sweats(case: WaterCase, cold: Array, resistance: ArrayLike) -> Array:
    """Water on a square metre of side wall [kg/(m² s)]; solved only in the draws that sweat."""
    room, film = case.room, float(sweat.still_air_film("side"))
    air, water, pressure, inside, layer = np.broadcast_arrays(
        room.dry_bulb, room.humidity_ratio, case.barometer, cold, resistance
    )
    dry = sweat.surface_temperature(air, inside, layer, film)
    wet = sweat.sweat_rate(dry, water, pressure, film) > 0.0
    rate = np.zeros_like(dry)
    if wet.any():
        air, inside, water, pressure, layer = (part[wet] for part in (air, inside, water, pressure, layer))
        surface = sweat.wet_surface_temperature(air, inside, water, pressure, layer, film)
        rate[wet] = sweat.sweat_rate(surface, water, pressure, film)
    return rate


def _bare(case: WaterCase) -> Array:
    """Water on the share of cabinet and duct that gaps leave bare [kg/s]."""
    cold = (
        case.supply
        if case.supply is not None
        else case.room.dry_bulb - case.uniform("colder", *UNREAD_SUPPLY_DROP)
    )
    job, tons = case.job.unit.cabinet, _tons(case)
    area = job.area.value if job.area else tons * case.uniform("cabinet area", *CABINET_AREA)
    area = area + (job.duct_area.value if job.duct_area else tons * case.uniform("duct area", *DUCT_AREA))
    low, high = np.log(GAPS)
    share = np.exp(case.uniform("gaps", low, high))
    return _sweats(case, cold, np.full(case.ensemble.size + 1, 0.02)) * area * share


def _any_air(case: WaterCase) -> Array:
    """The same in air that nobody read [kg/s]: up to all of the surface, from barely to streaming wet."""
    area = _tons(case) * (case.uniform("cabinet area", *CABINET_AREA) + case.uniform("duct area", *DUCT_AREA))
    share = np.exp(case.uniform("gaps", np.log(GAPS[0]), 0.0))
    return area * share * np.exp(case.uniform("flux", *np.log(WET_METAL)))


def _tons(case: WaterCase) -> float:
    return float(units.to(case.job.unit.rated_capacity.value, "ton", "heat"))


def hot_water_coil(case: WaterCase) -> Mechanism:
    """A heating coil that leaks: at any time, cooling or not."""
    seen, rate = case.seen, _leak(case, "hot water")
    chance, ruled_out, confirmed = UNKNOWN, None, None
    if seen.has("hot_water_coil", "none", "dry"):
        dry = seen.has("hot_water_coil", "dry")
        chance = 0.0
        ruled_out = Reason(AroundReason.HEATING_COIL_DRY if dry else AroundReason.NO_HEATING_COIL)
        rate = np.zeros_like(rate) if seen.has("hot_water_coil", "none") else rate
    elif seen.has("hot_water_coil", "wet"):
        chance, confirmed = SEEN_CHANCE, Reason(AroundReason.HEATING_COIL_WET)
    return _any_time(
        case,
        Way.HOT_WATER_COIL,
        rate,
        chance,
        places=frozenset({"cabinet floor", "pipe", "duct", "pan rim"}),
        ruled_out=ruled_out,
        confirmed=confirmed,
    )


def outside(case: WaterCase) -> Mechanism:
    """Roof, pipes and drains of others."""
    seen, rate = case.seen, _leak(case, "outside")
    above, off = "above the unit" in seen.places, OFF in seen.phases
    chance, confirmed = UNKNOWN, None
    if above:
        chance = SEEN_CHANCE
        confirmed = Reason(AroundReason.SEEN_ABOVE_WHILE_OFF if off else AroundReason.SEEN_ABOVE)
    elif seen.only_rain:
        chance, confirmed = SEEN_CHANCE, Reason(AroundReason.WITH_RAIN_ALONE)
    return _any_time(
        case,
        Way.OUTSIDE,
        rate,
        chance,
        places=frozenset({"above the unit", "pipe", "duct", "cabinet floor", "pan rim", "filters"}),
        ruled_out=None,
        confirmed=confirmed,
    )


def _leak(case: WaterCase, name: str) -> Array:
    low, high = np.log(PIPE_LEAK)
    return np.exp(case.uniform(f"{name} leak", low, high))


def _any_time(
    case: WaterCase,
    way: Way,
    rate: Array,
    chance: float,
    *,
    places: frozenset[str],
    ruled_out: Reason | None,
    confirmed: Reason | None,
) -> Mechanism:
    if case.seen.stops_with_cooling and ruled_out is None:
        ruled_out = Reason(AroundReason.STOPS_WITH_COOLING)
    return Mechanism(
        way=way,
        rate=rate,
        per_day=rate,
        chance=chance,
        grade=Grade.RULE,
        phases=frozenset({COOLING, STOPPING, OFF}),
        minutes=((Event.ANY, 0.0, np.inf),),
        places=places,
        how=Reason(AroundReason.LEAKS),
        ruled_out=ruled_out,
        confirmed=confirmed if ruled_out is None else None,
    )
