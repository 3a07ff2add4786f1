"""Water that reached the pan and leaves it another way: rim, trap, crack or pump."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.readings.water_seen import COOLING, STOPPING
from hvaccalc.diagnosis.water.drain_check import FAILS, OK, capacity, trap_check, trap_state
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
from hvaccalc.diagnosis.water.mechanisms_coil import melting
from hvaccalc.diagnosis.water.pan_filling import fill_minutes, pan_depth
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.equipment.drain import trap as trap_law

HOLDS_BACK = {"free": (1.0, 1.0), "slow": (0.01, 0.4), "blocked": (0.0, 0.02)}
"""Share of the clean line's capacity that is left; rule of thumb."""

LIFTS_DROPS = 9.2
"""Air that lifts every drop [m/s]: the fall speed of the largest (Gunn and Kinzer, 1949)."""

PASSED = "the pan stayed dry while the filters got wet: the water never reached the pan"
HOLDS = "the trap is high enough for the suction, which holds no water in the pan"
READ_TRAP = (
    "read the suction at the pan with all panels on, measure the trap's heights, look for water in it while "
    "the fan runs"
)
DRY = "the pan was dry while it ran"
FILM = "the pan held a film while it ran, so it did not stand full then"
STILL = "without suction or pressure at the pan nothing holds its water back or blows through the drain"

LEAST_SEEN = 0.5
"""Chance below which the clean line's law would clear a drain that was seen slow or blocked."""


def _pan_excludes(case: WaterCase) -> str:
    """Why water did not leave by the pan; empty where it may have."""
    if case.seen.passed_the_pan:
        return PASSED
    return DRY if case.seen.pan_dry else ""


def _not_shown(case: WaterCase, one: Mechanism) -> Mechanism:
    """A way that needs a full pan, where only a film was seen in it: neither at work nor excluded."""
    if one.ruled_out or not (case.seen.pan_low and not case.seen.pan_dry):
        return one
    chance = UNKNOWN if one.chance >= LEAST_SEEN else one.chance
    return replace(one, chance=chance, confirmed="", settle=f"{FILM}: {one.settle}")


def _settled(case: WaterCase) -> str:
    """A later test with the fan at full speed that found the pan draining; empty without."""
    test = case.seen.settled
    return f"as left the pan drained with {test.how} (visit {test.visit})" if test is not None else ""


def _how_tried(case: WaterCase) -> str:
    """How the drain was tried as found, in words."""
    tests = [test for test in case.seen.tests if test.visit in case.seen.visits]
    return " and ".join(dict.fromkeys(f"with {test.how} (visit {test.visit})" for test in tests))


def pan_overflow(case: WaterCase) -> Mechanism:
    """More water than the drain takes."""
    seen, made = case.seen, water_made(case)
    flows = seen.words("drain_flow")
    backs_up = seen.has("pour_test", "backs up") and not seen.trap_tested
    state = "blocked" if backs_up and "free" not in flows else next(iter(flows), "")
    if not state and seen.has("pour_test", "drains"):
        state = "free"
    left = case.uniform("drain left", *HOLDS_BACK.get(state, (0.0, 1.0)))
    takes = capacity(case, 1.0) * left
    # A drain fit for condensate may still be overrun by a melt.
    over, burst = made - takes, melting(case) - takes
    thaws = case.freezing.chance if np.isfinite(case.freezing.chance) else 0.0
    chance = UNKNOWN if not state else max(share_of(over > 0.0), thaws * share_of(burst > 0.0))
    full = seen.pan_full
    most = np.maximum(over, burst) if thaws >= 0.05 else over
    rate = conditional(np.maximum(most, 0.0), most > 0.0)
    if not state:
        rate = made * case.uniform("overflow share", 0.0, 1.0)
    if state in ("slow", "blocked") and chance < LEAST_SEEN:
        # A line that was seen to hold water back is not what Manning's clean one carries.
        chance, rate = UNKNOWN, made * case.uniform("overflow share", 0.0, 1.0)
    told = f"drain noted as {state}" if state else "the drain was not tried"
    free = "the drain runs free and carries more than the coil makes" if state == "free" else ""
    settle = "pour a known amount into the pan with the fan at full speed and the door closed"
    if free and (full or not seen.trap_tested):
        # The same drain may stand still under the suction of the running fan.
        free = ""
        if chance < 0.05:
            chance, rate = UNKNOWN, made * case.uniform("overflow share", 0.0, 1.0)
        tells = "yet water stood in the pan" if seen.trap_tested else "which says nothing here"
        settle = f"it ran free {_how_tried(case)}, {tells}: {settle}"
    one = Mechanism(
        name="pan_overflow",
        rate=rate,
        # A thaw overruns the drain for minutes; over a day no more than the condensate comes.
        per_day=np.fmin(rate, made) * case.cooling_share,
        chance=chance,
        grade=SCREENING,
        phases=frozenset({COOLING, STOPPING}),
        minutes=(("start", _median(fill_minutes(case, rate)), np.inf), ("stop", 0.0, 30.0)),
        weather="humid days: the more condensate the sooner",
        places=frozenset({"pan rim", "cabinet floor"}),
        how=f"condensate less what the line carries by Manning's equation; {told}",
        cannot="it runs over only from a full pan, and never onto filters or into the duct",
        ruled_out=_pan_excludes(case) or (free if chance < 0.02 else ""),
        confirmed=f"the drain is {state} and water stands in the pan"
        if state in ("slow", "blocked") and full
        else "",
        settle=settle,
        settled=_settled(case),
    )
    return _not_shown(case, one)


def _median(minutes: np.ndarray) -> float:
    """Median of the draws that are finite; infinite where none is."""
    rows = minutes[1:][np.isfinite(minutes[1:])]
    return float(np.median(rows)) if rows.size else np.inf


def trap(case: WaterCase) -> Mechanism:
    """A trap that is missing, dry or too short for the suction: the pan cannot drain while the fan runs."""
    one = _blown_out(case) if case.blow_through else _not_shown(case, _held_back(case))
    if not (case.what_if and case.suction is not None and case.suction.draws[0] <= 0.0):
        return one
    # Signs were seen under the suction as found: they confirm nothing of a pan without any.
    none = np.zeros_like(one.rate)
    return replace(one, rate=none, per_day=none, chance=0.0, confirmed="", ruled_out=one.ruled_out or STILL)


def _held_back(case: WaterCase) -> Mechanism:
    state, made = trap_state(case), water_made(case)
    acts, told = _stands(case, state)
    chance = UNKNOWN if acts is None else share_of(acts)
    full = UNKNOWN
    if acts is not None and case.low_fan:
        faster, _ = _stands(at_full_speed(case), state)
        full = UNKNOWN if faster is None else share_of(faster)
    seen = case.seen
    drawn = seen.has("drain_air", "drawn in")
    excludes = _pan_excludes(case)
    if (
        not excludes
        and seen.trap_tested
        and (seen.has("drain_flow", "free") or seen.has("pour_test", "drains"))
    ):
        excludes = "the pan drained with the fan at full speed and the door closed"
    weak = _weak(case, state)
    if not excludes and chance < 0.05:
        chance, excludes = (UNKNOWN, "") if weak else (chance, HOLDS if chance < 0.02 else "")
    # What was seen confirms what acts under the suction as found, and not under a weaker one.
    weaker = case.what_if and acts is not None and share_of(acts) < 0.05
    bad = state in ("none", "dry") and (seen.pan_full or drawn) and not weaker
    short = state == "present" and seen.pan_full and (chance >= 0.5 or _held_full(case, state))
    confirmed = ""
    if bad:
        missing = "there is no trap" if state == "none" else "the trap is dry"
        confirmed = f"{missing} and {'air is drawn in there' if drawn else 'water stands in the pan'}"
    elif short:
        confirmed = "the suction is more than the trap holds and water stands in the pan"
    rate = made * case.uniform("trap share", 0.3, 1.0)
    return Mechanism(
        name="trap",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance if not bad else max(0.5, chance if np.isfinite(chance) else 0.5),
        grade=PHYSICS if acts is not None else SCREENING,
        phases=frozenset({COOLING, STOPPING}),
        # Held back, all of the water stays in the pan until it is full; the share is what then runs over.
        minutes=(("start", _median(fill_minutes(case, made)), np.inf), ("stop", 0.0, 5.0)),
        weather="any while it cools; worse with loaded filters, ice or a faster fan",
        places=frozenset({"pan rim", "cabinet floor", "duct"}),
        how=told,
        cannot="it needs a running fan: with the fan off the same drain runs free, so a test says nothing",
        ruled_out=excludes,
        confirmed=confirmed,
        settle=f"{weak}: {READ_TRAP}" if weak else READ_TRAP,
        at_full_speed=full,
        settled=_settled(case),
    )


def _held(case: WaterCase, state: str | None) -> np.ndarray | None:
    """Water that a sealed trap of known height leaves in the pan [m]; None where that is not known."""
    typed = case.job.unit.drain.trap_height
    if case.suction is None or typed is None or state != "present":
        return None
    return trap_law.standing_water(case.suction.draws, typed.value, "present")


def _held_full(case: WaterCase, state: str | None) -> bool:
    """Whether the pan was seen full or running over and the suction holds water in it."""
    held = _held(case, state)
    return (
        held is not None and case.seen.has("pan_water", "full", "overflowing") and share_of(held > 0) >= 0.5
    )


def _weak(case: WaterCase, state: str | None) -> str:
    """What speaks against clearing the trap by its heights alone; empty where nothing does."""
    check, held = trap_check(case), _held(case, state)
    length = partial(units.value_text, kind="length", display=case.job.display)
    told = []
    if case.seen.pan_full and not (check.water_seen and check.verdict == OK):
        told.append("water was seen standing in the pan")
    if held is not None and share_of(held > 0.0) >= 0.02:
        told.append(f"the suction holds {length(float(np.maximum(held[0], 0.0)))} of water in the pan")
    if check.height_met == FAILS:
        told.append(f"the trap lacks {length(check.required_height.value - check.height)} of height")
    if check.seal_met == FAILS:
        told.append(f"its seal of {length(check.seal)} is short of {length(check.required_seal.value)}")
    if state in ("none", "dry"):
        told.append("there is no trap" if state == "none" else "the trap is dry")
    elif held is None and case.job.unit.pan.depth is None:
        told.append("neither the trap's height nor the pan's depth is known")
    if not told:
        return ""
    return "; ".join([*told, "loaded filters or ice raise the suction further"])


def _stands(case: WaterCase, state: str | None) -> tuple[np.ndarray | None, str]:
    """Whether the pan runs over or its water is thrown about; None where suction or trap is not known."""
    if case.suction is None:
        why = "the suction at the pan is not known"
        return None, why
    suction, depth = case.suction.draws, pan_depth(case)
    shown = _banded(case, suction)
    if state in ("none", "dry"):
        water = trap_law.standing_water(suction, 0.0, state)
        thrown = trap_law.air_jet_velocity(suction) > LIFTS_DROPS
        return (water >= depth) | thrown, (
            f"suction of {shown} over an open drain holds that much water in the pan and throws it about"
        )
    typed = case.job.unit.drain.trap_height
    if typed is None or state is None:
        # No trap holds less than nothing: where the pan is deeper than the suction it never runs over.
        if np.all(trap_law.head(suction) < 0.25 * depth):
            return np.zeros_like(suction, dtype=bool), "too little suction to fill any pan"
        why = "its state is not known" if state is None else "its height is not typed"
        return None, f"suction of {shown}; of the trap {why}"
    water = trap_law.standing_water(suction, typed.value, "present")
    return water >= depth, f"suction of {shown} against a sealed trap of {typed.text}"


def _blown_out(case: WaterCase) -> Mechanism:
    """A pan under pressure: an open drain blows air and water out at its end."""
    state, made = trap_state(case), water_made(case)
    blown = case.seen.has("drain_air", "blown out")
    chance, told = UNKNOWN, "the pressure at the pan is not known"
    settle = "feel for air at the drain's end with the fan on; read the pressure at the pan"
    if state in ("none", "dry") or blown:
        chance, told = 0.9, "the fan blows through an open drain"
    elif state == "present" and case.suction is not None and case.job.unit.drain.trap_seal is not None:
        seal = case.job.unit.drain.trap_seal
        chance = share_of(trap_law.head(case.suction.draws) > seal.value)
        check = trap_check(case)
        if chance < 0.05 and check.verdict == FAILS:
            need = units.value_text(check.required_seal.value, "length", case.job.display)
            chance, settle = UNKNOWN, f"its seal of {seal.text} or its height is short of {need}: {settle}"
        told = f"pressure of {_banded(case, case.suction.draws)} against a seal of {seal.text}"
    rate = made * case.uniform("trap share", 0.05, 0.6)
    return Mechanism(
        name="trap",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=SCREENING,
        phases=frozenset({COOLING}),
        minutes=(("start", 0.0, np.inf),),
        weather="any while it cools",
        places=frozenset({"pipe", "pan rim"}),
        how=told,
        cannot="a pan under pressure is emptied by it, not filled: this trap cannot make the pan run over",
        ruled_out=_pan_excludes(case) or ("the seal holds the pressure" if chance < 0.02 else ""),
        confirmed="air and water are blown out of the drain" if blown else "",
        settle=settle,
    )


def pan_leak(case: WaterCase) -> Mechanism:
    """A cracked pan, or one that is not level."""
    made, level = water_made(case), case.job.unit.pan.level
    tilted = level == "no"
    rate = made * case.uniform("leak share", 0.01, 1.0)
    passed = PASSED if case.seen.passed_the_pan else ""
    return Mechanism(
        name="pan_leak",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=0.6 if tilted else UNKNOWN,
        grade=RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=(("start", 15.0, np.inf), ("stop", 0.0, 240.0)),
        weather="any while it cools",
        places=frozenset({"cabinet floor", "pan rim"} if tilted else {"cabinet floor"}),
        how="any share of the condensate, by rule of thumb",
        cannot="it loses no more than the pan receives, and wets nothing above the pan",
        ruled_out=passed,
        confirmed="the pan is not level" if tilted and not case.seen.pan_low else "",
        settle="dry the floor below, pour water into the pan with the unit off, and look for an hour",
    )


def pump(case: WaterCase) -> Mechanism:
    """A condensate pump that does not carry the water away."""
    seen = case.seen
    rate = water_made(case) * case.uniform("pump share", 0.3, 1.0)
    chance, ruled_out, confirmed = UNKNOWN, "", ""
    if seen.has("pump", "none"):
        chance, ruled_out, rate = 0.0, "the unit has no condensate pump", np.zeros_like(rate)
    elif seen.has("pump", "stopped"):
        chance, confirmed = 0.9, "the pump stands still"
    elif seen.has("pump", "runs") and not seen.pan_full:
        chance, ruled_out = 0.0, "the pump runs and the pan is not full"
    return Mechanism(
        name="pump",
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=(("start", 15.0, np.inf), ("stop", 0.0, 30.0)),
        weather="any while it cools",
        places=frozenset({"pan rim", "cabinet floor", "pipe"}),
        how="what the coil makes, once the pump's own tank is full",
        cannot="it loses no more than the coil makes",
        ruled_out=ruled_out or (PASSED if seen.passed_the_pan else ""),
        confirmed=confirmed,
        settle="see whether there is a pump; pour water into its tank until it starts",
    )


def _banded(case: WaterCase, pressure: np.ndarray) -> str:
    return units.value_text(float(pressure[0]), "air_pressure", case.job.display)
