"""Water from the coil itself: condensate, melting ice, drops blown off, drops that fall off."""

from __future__ import annotations

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.water_seen import COOLING, STOPPING
from hvaccalc.diagnosis.water.mechanism import (
    PHYSICS,
    RULE,
    SCREENING,
    UNKNOWN,
    Mechanism,
    conditional,
    share_of,
    water_made,
)
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.equipment.coil import coil_water
from hvaccalc.physics.droplet_retention import (
    CONTACT_ANGLES,
    DROP_DENSITY,
    GRAVITY,
    SURFACE_TENSION,
    cap_shape,
    retention_force,
)
from hvaccalc.physics.droplets import FACE_VELOCITY_RULES, carried_distance

MELT_CONTACT = (0.06, 0.30)
"""Share of the air's heat that reaches the ice; with it 0.2 to 1.0 gal/min melt in 4,000 cfm; common
practice."""

ICE_PER_TON = (0.03, 1.3)
"""Ice that falls after one run, by rated ton [kg]: a film on the coldest tubes up to a coil that trips, two
sketches of which held 19 and 26 kg on 20 tons. Rule of thumb, even in the logarithm."""

MELTS = (1.0, 4.0)
"""Melts a day; common practice, no source."""

LOCAL_VELOCITY = (1.0, 1.2)
"""Fastest air over the mean of the face; common practice."""

CARRY_LIMIT = (FACE_VELOCITY_RULES["design limit"], FACE_VELOCITY_RULES["trouble"])
CARRY_SLOPE = (0.2, 0.6)
"""Share of the condensate blown off for each m/s above the limit: rule of thumb, no source."""

MOST_CARRIED, LEAST_BLOWN = 0.8, 0.5
DRIP_SHARE = (0.02, 0.5)
"""Share of the condensate that falls short of the pan once drops leave a slanted coil: rule of thumb."""

BRIDGES = (1.0, 2.5)
"""Largest water body that hangs on a finned face over the largest drop on one upright fin: fins are bridged,
two or three drops join. Rule of thumb."""

FREE_SECTION = (0.55, 0.65)
"""Air between fins and tubes over the coil's face; common practice."""

FALLING_SHARE = (0.2, 0.6)
"""Share of the retained water that falls when the air stops; the rest stays and dries."""

FALL_TIME = (120.0, 900.0)
"""Over which it falls [s]; common practice."""


def condensate(case: WaterCase) -> Mechanism:
    """What the coil makes anyhow; it leaves by the drain."""
    made = water_made(case)
    dry = case.result is not None and case.result.duty.dry
    return Mechanism(
        name="condensate",
        rate=made,
        per_day=made * case.cooling_share,
        chance=0.0 if dry else 1.0,
        grade=PHYSICS if case.made.basis == "measured" else RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=(("start", _first_drip(case), np.inf), ("stop", 0.0, 20.0)),
        weather="more in humid air, none in dry",
        places=frozenset({"pipe"}),
        how=f"from {case.made.note}",
        cannot="by itself it runs off through pan and drain: it wets nothing but the drain's outlet",
        ruled_out="the coil was dry" if dry else "",
        settle="" if case.made.basis == "measured" else "read return and supply air with their humidity",
    )


def _first_drip(case: WaterCase) -> float:
    """Minutes from a start with a dry coil until it drips (median)."""
    held = coil_water.retained_water(case.rated_latent, case.banded("wetting", coil_water.WETTING_TIME))
    time = coil_water.first_drip_time(held, water_made(case)) / 60.0
    rows = time[1:][np.isfinite(time[1:])]
    return float(np.median(rows)) if rows.size else np.inf


def melting(case: WaterCase) -> np.ndarray:
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
    gone = "" if not chance < 0.02 else "the coil stays above freezing in every condition found and forecast"
    return Mechanism(
        name="melt",
        rate=rate,
        per_day=ice * case.uniform("melts", *MELTS) / 86400.0,
        chance=chance,
        grade=SCREENING,
        phases=frozenset({COOLING, STOPPING} if multi else {STOPPING}),
        minutes=(("stop", 2.0, 60.0), *((("stage off", 2.0, 60.0),) if multi else ())),
        weather="mild days, little air, all stages on",
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how="heat that the air brings to ice, with part of its contact; ice of one run by rule of thumb",
        cannot="without ice there is none; it does not come before the coil warms up",
        ruled_out=gone,
        confirmed="ice was seen on the coil" if case.seen.ice else "",
        settle="look at the coil at the end of a long run with all stages on, and while it thaws",
        at_full_speed=frozen.full_speed,
    )


def carry_over(case: WaterCase) -> Mechanism:
    """Drops blown off the coil by fast air."""
    made, face = water_made(case), case.face_velocity
    limit = case.uniform("carry limit", *CARRY_LIMIT)
    if face is None:
        excess, chance = case.uniform("carry excess", 0.0, 1.0), UNKNOWN
        told = "the coil's face or the airflow is not known"
    else:
        excess = face * case.uniform("local velocity", *LOCAL_VELOCITY) - limit
        chance = share_of(excess > 0.0)
        reach = carried_distance([1e-3, 2e-3], float(face[0]), 0.3)
        told = (
            f"face velocity {_shown(case, face[0], 'velocity')}; a drop of 1 to 2 mm falling 0.3 m "
            f"({_shown(case, 0.3, 'length')}) lands {_shown(case, reach[1], 'length')} to "
            f"{_shown(case, reach[0], 'length')} behind the coil"
        )
    share = np.clip(case.uniform("carry slope", *CARRY_SLOPE) * excess, 0.0, MOST_CARRIED)
    blown = made * share
    if case.drained is not None and case.made.basis == "measured":
        blown = np.maximum(made - case.drained, 0.0)
        told += "; the amount is what the coil makes less what the drain brings"
    else:
        told += "; the share blown off by rule of thumb above 500 to 600 ft/min (2.5 to 3.0 m/s)"
    rate = conditional(blown, (excess > 0.0) & (blown > 0.0))
    slow = chance < 0.02
    confirmed = _blown_into_duct(case, chance)
    return Mechanism(
        name="carry_over",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=RULE,
        phases=frozenset({COOLING}),
        minutes=(("start", _first_drip(case), np.inf),),
        weather="humid days, full air",
        places=frozenset({"duct", "cabinet floor"}),
        how=told,
        cannot="it needs fast air over a wet coil and lands behind it, never on the filters before it",
        ruled_out="the air is too slow to blow drops off the coil" if slow else "",
        confirmed=confirmed,
        settle="measure the coil's face and the airflow; catch the water at the drain and compare with what "
        "the air loses",
    )


def _blown_into_duct(case: WaterCase, chance: float) -> str:
    """What shows drops on their way: a wet duct, with air beyond all rules or water missing at the drain."""
    if "duct" not in case.seen.places or chance < LEAST_BLOWN:
        return ""
    face, told = case.face_velocity, []
    if face is not None and face[0] > FACE_VELOCITY_RULES["trouble"]:
        told.append(f"the duct is wet and the air crosses the coil at {_shown(case, face[0], 'velocity')}")
    lost = _lost(case)
    return "; ".join([*told, lost] if lost else told)


def _lost(case: WaterCase) -> str:
    """Water that the coil makes and the drain does not bring; empty where the readings do not show it."""
    if case.drained is None or case.made.basis != "measured":
        return ""
    missing = case.made.draws - case.drained
    rows = missing[1:][np.isfinite(missing[1:])]
    if rows.size < 20 or np.percentile(rows, 5.0) <= 0.0:
        return ""
    shown = _shown(case, float(missing[0]), "water_flow")
    return f"{shown} of what the coil makes does not come out of the drain"


def coil_drip(case: WaterCase) -> Mechanism:
    """Drops that fall off a slanted coil, short of the pan, without any ice."""
    acts, told = _drops_leave(case, case.face_velocity)
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
        name="coil_drip",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=SCREENING if acts is not None else RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=(("start", _first_drip(case), np.inf), ("stop", 0.0, 20.0)),
        weather="humid air, little air: more water for each pound of it and less shear",
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how=f"{told}; the share that misses the pan by rule of thumb",
        cannot="it needs a wet coil and does not reach the duct behind the fan",
        ruled_out=f"{_kept(case)}, drops run down into it" if held else "",
        settle="look below the coil's slanted face with a light, after half an hour of cooling; measure how "
        "far its low edge stands inside the pan",
        at_full_speed=full,
    )


def _drops_leave(case: WaterCase, face: np.ndarray | None) -> tuple[np.ndarray | None, str]:
    """Whether drops leave the slanted face before the pan; None where neither slope nor low edge is known.

    Weight across the face less the air's drag against retention, of the largest water body that hangs there.
    """
    size, edge = case.ensemble.size + 1, case.job.unit.coil.low_edge_over_pan
    if edge is not None and edge.value < 0.0:
        return np.ones(size, bool), f"the coil's low edge stands {edge.text.lstrip('-')} outside the pan"
    if not np.isfinite(case.coil_slope):
        return (
            (np.zeros(size, bool), "the low edge stands inside the pan")
            if edge
            else (None, "slope not typed")
        )
    if case.coil_slope == 0.0:
        return np.zeros(size, bool), "the coil stands upright"
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
    shown = f"{np.degrees(angle):.0f}°"
    return net > 0.0, f"weight across a face slanted by {shown} against the air's push and what the fins hold"


def _kept(case: WaterCase) -> str:
    """Why drops of this coil end in its pan."""
    if not np.isfinite(case.coil_slope):
        return "the coil's low edge stands inside its pan"
    degrees = np.degrees(np.arctan(case.coil_slope))
    stands = "upright" if case.coil_slope == 0.0 else f"{degrees:.0f}° off upright"
    return f"the coil stands {stands} over its pan"


def shut_down_drain(case: WaterCase) -> Mechanism:
    """Water that the coil holds while air moves and lets go when it stops."""
    retained = coil_water.retained_water(case.rated_latent, case.banded("wetting", coil_water.WETTING_TIME))
    falls = retained * case.uniform("falling share", *FALLING_SHARE)
    outside, told = _drops_leave(case, np.zeros(case.ensemble.size + 1))
    chance = UNKNOWN if outside is None else share_of(outside)
    held = outside is not None and chance < 0.02
    rate = falls / case.uniform("fall time", *FALL_TIME)
    return Mechanism(
        name="shut_down_drain",
        rate=rate,
        per_day=falls * case.starts / 86400.0,
        chance=chance,
        grade=SCREENING,
        phases=frozenset({STOPPING}),
        minutes=(("stop", 0.0, 15.0),),
        weather="any with a wet coil; more after humid days",
        places=frozenset({"filters", "pan rim", "cabinet floor"}),
        how=f"water that a wet coil holds (to a factor of two), part of which falls; {told}",
        cannot="it comes only when the air stops, for minutes, and no more than the coil holds",
        ruled_out=f"{_kept(case)}, what it lets go falls into it" if held else "",
        settle="watch the coil for a quarter of an hour after the fan stops",
    )


def _shown(case: WaterCase, value: float, kind: str) -> str:
    return units.value_text(float(value), kind, case.job.display)
