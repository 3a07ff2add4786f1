"""Water from the coil itself: condensate, melting ice, drops blown off, drops that fall off."""

from enum import StrEnum, auto

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.readings.water_seen import COOLING, STOPPING
from hvaccalc.diagnosis.water.mechanism import (
    UNKNOWN,
    Event,
    Grade,
    Mechanism,
    conditional,
    share_of,
    water_made,
)
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.equipment.coil import coil_water
from hvaccalc.job.causes import Way
from hvaccalc.physics.droplet_retention import (
    CONTACT_ANGLES,
    DROP_DENSITY,
    GRAVITY,
    SURFACE_TENSION,
    cap_shape,
    retention_force,
)
from hvaccalc.physics.droplets import FACE_VELOCITY_RULES, carried_distance
from hvaccalc.practice.statements import LIKELY
from hvaccalc.practice.water import (
    BRIDGES,
    CARRY_SLOPE,
    DRIP_SHARE,
    FALL_TIME,
    FALLING_SHARE,
    FREE_SECTION,
    ICE_PER_TON,
    LOCAL_VELOCITY,
    MELT_CONTACT,
    MELTS,
    MOST_CARRIED,
)
from hvaccalc.reason import Reason


class CoilReason(StrEnum):
    """Why water off the coil can come, or cannot."""

    MADE_READ = auto()
    MADE_RATED = auto()
    COIL_DRY = auto()
    MELTS = auto()
    ABOVE_FREEZING = auto()
    ICE_SEEN = auto()
    BLOWN_OFF = auto()
    FACE_NOT_KNOWN = auto()
    FACE_VELOCITY = auto()
    SHARE_BY_DRAIN = auto()
    SHARE_BY_RULE = auto()
    AIR_TOO_SLOW = auto()
    BLOWN_INTO_DUCT = auto()
    DUCT_WET_AIR_FAST = auto()
    LOST_AT_THE_DRAIN = auto()
    DRIPS = auto()
    EDGE_OUTSIDE = auto()
    EDGE_INSIDE = auto()
    SLOPE_NOT_TYPED = auto()
    UPRIGHT = auto()
    SLANTED = auto()
    RUNS_DOWN = auto()
    FALLS_INTO_PAN = auto()
    EDGE_OVER_PAN = auto()
    UPRIGHT_OVER_PAN = auto()
    SLANTED_OVER_PAN = auto()
    HELD_THEN_FALLS = auto()


CARRY_LIMIT = (FACE_VELOCITY_RULES["design limit"], FACE_VELOCITY_RULES["trouble"])


def condensate(case: WaterCase) -> Mechanism:
    """What the coil makes anyhow; it leaves by the drain."""
    made = water_made(case)
    dry, read = case.result is not None and case.result.duty.dry, case.made.basis == "measured"
    return Mechanism(
        way=Way.CONDENSATE,
        rate=made,
        per_day=made * case.cooling_share,
        chance=0.0 if dry else 1.0,
        grade=Grade.PHYSICS if read else Grade.RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, _first_drip(case), np.inf), (Event.STOP, 0.0, 20.0)),
        places=frozenset({"pipe"}),
        how=Reason(CoilReason.MADE_READ if read else CoilReason.MADE_RATED),
        ruled_out=Reason(CoilReason.COIL_DRY) if dry else None,
        looked=read,
    )


def _first_drip(case: WaterCase) -> float:
    """Minutes from a start with a dry coil until it drips (median)."""
    held = coil_water.retained_water(case.rated_latent, case.banded("wetting", coil_water.WETTING_TIME))
    time = coil_water.first_drip_time(held, water_made(case)) / 60.0
    rows = time[1:][np.isfinite(time[1:])]
    return float(np.median(rows)) if rows.size else np.inf


def melting(case: WaterCase) -> Array:
    """Water that moving air frees from ice [kg/s]; half the rated air where none was read."""
    ones = np.ones(case.ensemble.size + 1)
    flow = case.flow if case.flow is not None else 0.5 * case.job.unit.rated_airflow.value * ones
    air = (flow, case.dry_bulb, case.humidity_ratio, case.barometer)
    bound = coil_water.melt_rate_bound(*air) + np.maximum(coil_water.condensed_on_ice_bound(*air), 0.0)
    return bound * case.uniform("melt contact", *MELT_CONTACT)


def melt(case: WaterCase) -> Mechanism:
    """Ice that melts: a burst limited by the heat that moving air brings to it."""
    tons = float(units.to(case.job.unit.rated_capacity.value, "ton", "heat"))
    low, high = np.log(ICE_PER_TON)
    ice = tons * np.exp(case.uniform("ice", low, high))
    rate = melting(case)
    frozen = case.freezing
    multi = len(case.job.circuit) > 1
    chance = 1.0 if case.seen.ice else frozen.chance
    return Mechanism(
        way=Way.MELT,
        rate=rate,
        per_day=ice * case.uniform("melts", *MELTS) / 86400.0,
        chance=chance,
        grade=Grade.SCREENING,
        phases=frozenset({COOLING, STOPPING} if multi else {STOPPING}),
        minutes=((Event.STOP, 2.0, 60.0), *(((Event.STAGE_OFF, 2.0, 60.0),) if multi else ())),
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how=Reason(CoilReason.MELTS),
        ruled_out=Reason(CoilReason.ABOVE_FREEZING) if chance < 0.02 else None,
        confirmed=Reason(CoilReason.ICE_SEEN) if case.seen.ice else None,
        at_full_speed=frozen.full_speed,
        another_day=frozen.another_day,
    )


def carry_over(case: WaterCase) -> Mechanism:
    """Drops blown off the coil by fast air."""
    made, face = water_made(case), case.face_velocity
    limit = case.uniform("carry limit", *CARRY_LIMIT)
    if face is None:
        excess, chance = case.uniform("carry excess", 0.0, 1.0), UNKNOWN
        air = Reason(CoilReason.FACE_NOT_KNOWN)
    else:
        excess = face * case.uniform("local velocity", *LOCAL_VELOCITY) - limit
        chance = share_of(excess > 0.0)
        reach = carried_distance([1e-3, 2e-3], float(face[0]), 0.3)
        air = Reason(
            CoilReason.FACE_VELOCITY,
            {"velocity": float(face[0]), "fall": 0.3, "near": float(reach[1]), "far": float(reach[0])},
        )
    share = np.clip(case.uniform("carry slope", *CARRY_SLOPE) * excess, 0.0, MOST_CARRIED)
    blown = made * share
    by_drain = case.drained is not None and case.made.basis == "measured"
    if case.drained is not None and by_drain:
        blown = np.maximum(made - case.drained, 0.0)
    by = Reason(CoilReason.SHARE_BY_DRAIN if by_drain else CoilReason.SHARE_BY_RULE)
    rate = conditional(blown, (excess > 0.0) & (blown > 0.0))
    return Mechanism(
        way=Way.CARRY_OVER,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=Grade.RULE,
        phases=frozenset({COOLING}),
        minutes=((Event.START, _first_drip(case), np.inf),),
        places=frozenset({"duct", "cabinet floor"}),
        how=Reason(CoilReason.BLOWN_OFF, {"air": air, "share": by}),
        ruled_out=Reason(CoilReason.AIR_TOO_SLOW) if chance < 0.02 else None,
        confirmed=_blown_into_duct(case, chance),
    )


def _blown_into_duct(case: WaterCase, chance: float) -> Reason | None:
    """What shows drops on their way: a wet duct, with air beyond all rules or water missing at the drain."""
    if "duct" not in case.seen.places or chance < LIKELY:
        return None
    face, shows = case.face_velocity, []
    if face is not None and face[0] > FACE_VELOCITY_RULES["trouble"]:
        shows.append(Reason(CoilReason.DUCT_WET_AIR_FAST, {"velocity": float(face[0])}))
    lost = _lost(case)
    shows += [lost] if lost is not None else []
    return Reason(CoilReason.BLOWN_INTO_DUCT, {"shows": tuple(shows)}) if shows else None


def _lost(case: WaterCase) -> Reason | None:
    """Water that the coil makes and the drain does not bring; None where the readings do not show it."""
    if case.drained is None or case.made.basis != "measured":
        return None
    missing = case.made.draws - case.drained
    rows = missing[1:][np.isfinite(missing[1:])]
    if rows.size < 20 or np.percentile(rows, 5.0) <= 0.0:
        return None
    return Reason(CoilReason.LOST_AT_THE_DRAIN, {"lost": float(missing[0])})


def coil_drip(case: WaterCase) -> Mechanism:
    """Drops that fall off a slanted coil, short of the pan, without any ice."""
    acts, leave = _drops_leave(case, case.face_velocity)
    chance = UNKNOWN if acts is None else share_of(acts)
    held = acts is not None and chance < 0.02
    rate = water_made(case) * case.uniform("drip share", *DRIP_SHARE)
    if acts is not None:
        rate = conditional(rate, acts)
    full = UNKNOWN
    if acts is not None and case.low_fan and case.face_velocity is not None:
        faster, _ = _drops_leave(case, at_full_speed(case).face_velocity)
        full = UNKNOWN if faster is None else share_of(faster)
    return Mechanism(
        way=Way.COIL_DRIP,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=Grade.SCREENING if acts is not None else Grade.RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, _first_drip(case), np.inf), (Event.STOP, 0.0, 20.0)),
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how=Reason(CoilReason.DRIPS, {"leave": leave}),
        ruled_out=Reason(CoilReason.RUNS_DOWN, {"kept": _kept(case)}) if held else None,
        at_full_speed=full,
    )


def _drops_leave(case: WaterCase, face: Array | None) -> tuple[Mask | None, Reason]:
    """Whether drops leave the slanted face before the pan; None where neither slope nor low edge is known.

    Weight across the face less the air's drag against retention, of the largest water body that hangs there.
    """
    size, edge = case.ensemble.size + 1, case.job.unit.coil.low_edge_over_pan
    if edge is not None and edge.value < 0.0:
        return np.ones(size, bool), Reason(CoilReason.EDGE_OUTSIDE, {"edge": edge.text.lstrip("-")})
    if not np.isfinite(case.coil_slope):
        if edge is None:
            return None, Reason(CoilReason.SLOPE_NOT_TYPED)
        return np.zeros(size, bool), Reason(CoilReason.EDGE_INSIDE)
    if case.coil_slope == 0.0:
        return np.zeros(size, bool), Reason(CoilReason.UPRIGHT)
    angle = np.arctan(case.coil_slope)
    coated = "coated" if case.job.unit.coil.fin_surface == "coated" else "plain"
    usual = CONTACT_ANGLES[coated]
    spread = np.radians(10.0)
    advancing = usual[0] + case.uniform("advancing", -spread, spread)
    receding = np.maximum(usual[1] + case.uniform("receding", -spread, spread), 0.0)
    area, volume = cap_shape(0.5 * (advancing + receding))
    weight = DROP_DENSITY * GRAVITY * volume
    held = retention_force(1.0, advancing, receding, SURFACE_TENSION)
    body = np.sqrt(held / weight) * case.uniform("bridges", *BRIDGES)
    velocity = 2.0 * np.ones(size) if face is None else face
    between = velocity / case.uniform("free section", *FREE_SECTION)
    drag = 0.5 * 1.2 * between**2 * area
    net = weight * np.sin(angle) * body**3 - drag * body**2 - held * body
    return net > 0.0, Reason(CoilReason.SLANTED, {"degrees": float(np.degrees(angle))})


def _kept(case: WaterCase) -> Reason:
    """Why drops of this coil end in its pan."""
    if not np.isfinite(case.coil_slope):
        return Reason(CoilReason.EDGE_OVER_PAN)
    if case.coil_slope == 0.0:
        return Reason(CoilReason.UPRIGHT_OVER_PAN)
    return Reason(CoilReason.SLANTED_OVER_PAN, {"degrees": float(np.degrees(np.arctan(case.coil_slope)))})


def shut_down_drain(case: WaterCase) -> Mechanism:
    """Water that the coil holds while air moves and lets go when it stops."""
    retained = coil_water.retained_water(case.rated_latent, case.banded("wetting", coil_water.WETTING_TIME))
    falls = retained * case.uniform("falling share", *FALLING_SHARE)
    outside, leave = _drops_leave(case, np.zeros(case.ensemble.size + 1))
    chance = UNKNOWN if outside is None else share_of(outside)
    held = outside is not None and chance < 0.02
    rate = falls / case.uniform("fall time", *FALL_TIME)
    return Mechanism(
        way=Way.SHUT_DOWN_DRAIN,
        rate=rate,
        per_day=falls * case.starts / 86400.0,
        chance=chance,
        grade=Grade.SCREENING,
        phases=frozenset({STOPPING}),
        minutes=((Event.STOP, 0.0, 15.0),),
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how=Reason(CoilReason.HELD_THEN_FALLS, {"leave": leave}),
        ruled_out=Reason(CoilReason.FALLS_INTO_PAN, {"kept": _kept(case)}) if held else None,
    )
