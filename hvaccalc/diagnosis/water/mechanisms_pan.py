"""Water that reached the pan and leaves it another way: rim, trap, crack or pump."""

from dataclasses import replace
from enum import StrEnum, auto

import numpy as np

from hvaccalc.arrays import Array, Mask
from hvaccalc.diagnosis.readings.water_seen import COOLING, STOPPING
from hvaccalc.diagnosis.water.drain_check import capacity, trap_check, trap_state
from hvaccalc.diagnosis.water.mechanism import (
    UNKNOWN,
    Event,
    Grade,
    Mechanism,
    Met,
    conditional,
    share_of,
    water_made,
)
from hvaccalc.diagnosis.water.mechanisms_coil import melting
from hvaccalc.diagnosis.water.pan_filling import fill_minutes, pan_depth
from hvaccalc.diagnosis.water.water_case import WaterCase, at_full_speed
from hvaccalc.equipment.drain import trap as trap_law
from hvaccalc.job.causes import Way
from hvaccalc.practice.statements import HARDLY, LIKELY
from hvaccalc.practice.water import (
    BLOWN_TRAP_SHARE,
    DRAIN_LEFT,
    LIFTS_DROPS,
    PAN_LEAK_SHARE,
    PUMP_SHARE,
    SEEN_CHANCE,
    TRAP_SHARE,
)
from hvaccalc.reason import Reason


class PanReason(StrEnum):
    """Why water leaves the pan another way than by its drain, or cannot."""

    PASSED_THE_PAN = auto()
    PAN_DRY = auto()
    FILM = auto()
    DRAINED_AS_LEFT = auto()
    TRIED = auto()
    AS_NOTED = auto()
    LINE_CARRIES = auto()
    DRAIN_NOTED = auto()
    DRAIN_NOT_TRIED = auto()
    RUNS_FREE = auto()
    DRAIN_HOLDS_BACK = auto()
    RAN_FREE_YET_STOOD = auto()
    RAN_FREE_TELLS_NOTHING = auto()
    NO_SUCTION = auto()
    HIGH_ENOUGH = auto()
    DRAINED_AT_FULL_SPEED = auto()
    AT_FAULT = auto()
    NO_TRAP = auto()
    TRAP_DRY = auto()
    AIR_DRAWN_IN = auto()
    WATER_STANDS = auto()
    MORE_THAN_IT_HOLDS = auto()
    WEAK = auto()
    SEEN_STANDING = auto()
    SUCTION_HOLDS = auto()
    LACKS_HEIGHT = auto()
    SEAL_SHORT = auto()
    HEIGHT_AND_DEPTH_NOT_KNOWN = auto()
    TRAP_NOT_LOOKED_AT = auto()
    LOADS_RAISE_SUCTION = auto()
    SUCTION_NOT_KNOWN = auto()
    OPEN_DRAIN = auto()
    SUCTION_AGAINST = auto()
    TOO_LITTLE_SUCTION = auto()
    TRAP_STATE_NOT_KNOWN = auto()
    TRAP_HEIGHT_NOT_TYPED = auto()
    SEALED_TRAP = auto()
    PRESSURE_NOT_KNOWN = auto()
    BLOWS_THROUGH_OPEN_DRAIN = auto()
    PRESSURE_ON_SEAL = auto()
    SEAL_HOLDS = auto()
    BLOWN_OUT = auto()
    SEAL_OR_HEIGHT_SHORT = auto()
    ANY_SHARE = auto()
    NOT_LEVEL = auto()
    NO_PUMP = auto()
    PUMP_STANDS_STILL = auto()
    PUMP_RUNS = auto()
    TANK_FULL = auto()


def _pan_excludes(case: WaterCase) -> Reason | None:
    """Why water did not leave by the pan; None where it may have."""
    if case.seen.passed_the_pan:
        return Reason(PanReason.PASSED_THE_PAN)
    return Reason(PanReason.PAN_DRY) if case.seen.pan_dry else None


def _not_shown(case: WaterCase, one: Mechanism) -> Mechanism:
    """A way that needs a full pan, where only a film was seen in it: neither at work nor excluded."""
    if one.ruled_out or not (case.seen.pan_low and not case.seen.pan_dry):
        return one
    chance = UNKNOWN if one.chance >= LIKELY else one.chance
    return replace(one, chance=chance, confirmed=None, doubts=(Reason(PanReason.FILM), *one.doubts))


def _settled(case: WaterCase) -> Reason | None:
    """A later test with the fan at full speed that found the pan draining; None without."""
    test = case.seen.settled
    if test is None:
        return None
    return Reason(PanReason.DRAINED_AS_LEFT, {"how": test.how, "visit": test.visit})


def _tried(case: WaterCase) -> tuple[Reason, ...]:
    """How the drain was tried as found."""
    tests = [test for test in case.seen.tests if test.visit in case.seen.visits]
    each = (Reason(PanReason.TRIED, {"how": test.how, "visit": test.visit}) for test in tests)
    return tuple(dict.fromkeys(each)) or (Reason(PanReason.AS_NOTED),)


def pan_overflow(case: WaterCase) -> Mechanism:
    """More water than the drain takes."""
    seen, made = case.seen, water_made(case)
    flows = seen.words("drain_flow")
    backs_up = seen.has("pour_test", "backs up") and not seen.trap_tested
    state = "blocked" if backs_up and "free" not in flows else next(iter(flows), "")
    if not state and seen.has("pour_test", "drains"):
        state = "free"
    left = case.uniform("drain left", *DRAIN_LEFT.get(state, (0.0, 1.0)))
    takes = capacity(case, 1.0) * left
    # A drain fit for condensate may still be overrun by a melt.
    over, burst = made - takes, melting(case) - takes
    thaws = case.freezing.chance if np.isfinite(case.freezing.chance) else 0.0
    chance = UNKNOWN if not state else max(share_of(over > 0.0), thaws * share_of(burst > 0.0))
    full = seen.pan_full
    most = np.maximum(over, burst) if thaws >= HARDLY else over
    rate = conditional(np.maximum(most, 0.0), most > 0.0)
    if not state:
        rate = made * case.uniform("overflow share", 0.0, 1.0)
    if state in ("slow", "blocked") and chance < LIKELY:
        # A line that was seen to hold water back is not what Manning's clean one carries.
        chance, rate = UNKNOWN, made * case.uniform("overflow share", 0.0, 1.0)
    noted = Reason(PanReason.DRAIN_NOTED, {"state": state}) if state else Reason(PanReason.DRAIN_NOT_TRIED)
    free = state == "free"
    doubts: tuple[Reason, ...] = ()
    if free and (full or not seen.trap_tested):
        # The same drain may stand still under the suction of the running fan.
        free = False
        if chance < HARDLY:
            chance, rate = UNKNOWN, made * case.uniform("overflow share", 0.0, 1.0)
        doubts = (
            Reason(
                PanReason.RAN_FREE_YET_STOOD if seen.trap_tested else PanReason.RAN_FREE_TELLS_NOTHING,
                {"tests": _tried(case)},
            ),
        )
    holds_back = state in ("slow", "blocked") and full
    one = Mechanism(
        way=Way.PAN_OVERFLOW,
        rate=rate,
        # A thaw overruns the drain for minutes; over a day no more than the condensate comes.
        per_day=np.fmin(rate, made) * case.cooling_share,
        chance=chance,
        grade=Grade.SCREENING,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, _median(fill_minutes(case, rate)), np.inf), (Event.STOP, 0.0, 30.0)),
        places=frozenset({"pan rim", "cabinet floor"}),
        how=Reason(PanReason.LINE_CARRIES, {"noted": noted}),
        ruled_out=_pan_excludes(case) or (Reason(PanReason.RUNS_FREE) if free and chance < 0.02 else None),
        confirmed=Reason(PanReason.DRAIN_HOLDS_BACK, {"state": state}) if holds_back else None,
        doubts=doubts,
        settled=_settled(case),
    )
    return _not_shown(case, one)


def _median(minutes: Array) -> float:
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
    ruled_out = one.ruled_out or Reason(PanReason.NO_SUCTION)
    return replace(one, rate=none, per_day=none, chance=0.0, confirmed=None, ruled_out=ruled_out)


def _held_back(case: WaterCase) -> Mechanism:
    state, made = trap_state(case), water_made(case)
    acts, how = _stands(case, state)
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
        excludes = Reason(PanReason.DRAINED_AT_FULL_SPEED)
    weak = _weak(case, state)
    if not excludes and chance < HARDLY:
        if weak is None and chance < 0.02:
            excludes = Reason(PanReason.HIGH_ENOUGH)
        chance = chance if weak is None else UNKNOWN
    # What was seen confirms what acts under the suction as found, and not under a weaker one.
    weaker = case.what_if and acts is not None and share_of(acts) < HARDLY
    bad = state in ("none", "dry") and (seen.pan_full or drawn) and not weaker
    short = state == "present" and seen.pan_full and (chance >= LIKELY or _held_full(case, state))
    confirmed = Reason(PanReason.MORE_THAN_IT_HOLDS) if short else None
    if bad:
        missing = Reason(PanReason.NO_TRAP if state == "none" else PanReason.TRAP_DRY)
        shows = Reason(PanReason.AIR_DRAWN_IN if drawn else PanReason.WATER_STANDS)
        confirmed = Reason(PanReason.AT_FAULT, {"missing": missing, "shows": shows})
    rate = made * case.uniform("trap share", *TRAP_SHARE)
    return Mechanism(
        way=Way.TRAP,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance if not bad else max(0.5, chance if np.isfinite(chance) else 0.5),
        grade=Grade.PHYSICS if acts is not None else Grade.SCREENING,
        phases=frozenset({COOLING, STOPPING}),
        # Held back, all of the water stays in the pan until it is full; the share is what then runs over.
        minutes=((Event.START, _median(fill_minutes(case, made)), np.inf), (Event.STOP, 0.0, 5.0)),
        places=frozenset({"pan rim", "cabinet floor", "duct"}),
        how=how,
        ruled_out=excludes,
        confirmed=confirmed,
        doubts=(weak,) if weak is not None else (),
        at_full_speed=full,
        settled=_settled(case),
    )


def _held(case: WaterCase, state: str | None) -> Array | None:
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


def _weak(case: WaterCase, state: str | None) -> Reason | None:
    """What speaks against clearing the trap by its heights alone; None where nothing does."""
    check, held = trap_check(case), _held(case, state)
    parts = []
    if case.seen.pan_full and not (check.water_seen and check.verdict is Met.MET):
        parts.append(Reason(PanReason.SEEN_STANDING))
    if held is not None and share_of(held > 0.0) >= 0.02:
        parts.append(Reason(PanReason.SUCTION_HOLDS, {"held": float(np.maximum(held[0], 0.0))}))
    if check.height_met is Met.NOT_MET:
        parts.append(Reason(PanReason.LACKS_HEIGHT, {"lack": check.required_height.value - check.height}))
    if check.seal_met is Met.NOT_MET:
        need = check.required_seal.value
        parts.append(Reason(PanReason.SEAL_SHORT, {"seal": check.seal, "need": need}))
    if state in ("none", "dry"):
        parts.append(Reason(PanReason.NO_TRAP if state == "none" else PanReason.TRAP_DRY))
    elif held is None and case.job.unit.pan.depth is None:
        if case.job.unit.drain.trap_height is None:
            parts.append(Reason(PanReason.HEIGHT_AND_DEPTH_NOT_KNOWN))
        elif case.suction is None:
            parts.append(Reason(PanReason.SUCTION_NOT_KNOWN))
        else:
            parts.append(Reason(PanReason.TRAP_NOT_LOOKED_AT))
    if not parts:
        return None
    return Reason(PanReason.WEAK, {"parts": (*parts, Reason(PanReason.LOADS_RAISE_SUCTION))})


def _stands(case: WaterCase, state: str | None) -> tuple[Mask | None, Reason]:
    """Whether the pan runs over or its water is thrown about; None where suction or trap is not known."""
    if case.suction is None:
        return None, Reason(PanReason.SUCTION_NOT_KNOWN)
    suction, depth, central = case.suction.draws, pan_depth(case), float(case.suction.draws[0])
    if state in ("none", "dry"):
        water = trap_law.standing_water(suction, 0.0, state)
        thrown = trap_law.air_jet_velocity(suction) > LIFTS_DROPS
        return (water >= depth) | thrown, Reason(PanReason.OPEN_DRAIN, {"suction": central})
    typed = case.job.unit.drain.trap_height
    if typed is None or state is None:
        # No trap holds less than nothing: where the pan is deeper than the suction it never runs over.
        if np.all(trap_law.head(suction) < 0.25 * depth):
            return np.zeros_like(suction, dtype=bool), Reason(PanReason.TOO_LITTLE_SUCTION)
        lacks = PanReason.TRAP_STATE_NOT_KNOWN if state is None else PanReason.TRAP_HEIGHT_NOT_TYPED
        return None, Reason(PanReason.SUCTION_AGAINST, {"suction": central, "lacks": lacks})
    water = trap_law.standing_water(suction, typed.value, "present")
    return water >= depth, Reason(PanReason.SEALED_TRAP, {"suction": central, "height": typed.text})


def _blown_out(case: WaterCase) -> Mechanism:
    """A pan under pressure: an open drain blows air and water out at its end."""
    state, made = trap_state(case), water_made(case)
    blown = case.seen.has("drain_air", "blown out")
    chance, how = UNKNOWN, Reason(PanReason.PRESSURE_NOT_KNOWN)
    doubts: tuple[Reason, ...] = ()
    if state in ("none", "dry") or blown:
        chance, how = SEEN_CHANCE, Reason(PanReason.BLOWS_THROUGH_OPEN_DRAIN)
    elif state == "present" and case.suction is not None and case.job.unit.drain.trap_seal is not None:
        seal = case.job.unit.drain.trap_seal
        chance = share_of(trap_law.head(case.suction.draws) > seal.value)
        check = trap_check(case)
        if chance < HARDLY and check.verdict is Met.NOT_MET:
            need = check.required_seal.value
            doubts = (Reason(PanReason.SEAL_OR_HEIGHT_SHORT, {"seal": seal.text, "need": need}),)
            chance = UNKNOWN
        central = float(case.suction.draws[0])
        how = Reason(PanReason.PRESSURE_ON_SEAL, {"pressure": central, "seal": seal.text})
    rate = made * case.uniform("trap share", *BLOWN_TRAP_SHARE)
    return Mechanism(
        way=Way.TRAP,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=Grade.SCREENING,
        phases=frozenset({COOLING}),
        minutes=((Event.START, 0.0, np.inf),),
        places=frozenset({"pipe", "pan rim"}),
        how=how,
        ruled_out=_pan_excludes(case) or (Reason(PanReason.SEAL_HOLDS) if chance < 0.02 else None),
        confirmed=Reason(PanReason.BLOWN_OUT) if blown else None,
        doubts=doubts,
        under_pressure=True,
    )


def pan_leak(case: WaterCase) -> Mechanism:
    """A cracked pan, or one that is not level."""
    made, level = water_made(case), case.job.unit.pan.level
    tilted = level == "no"
    rate = made * case.uniform("leak share", *PAN_LEAK_SHARE)
    return Mechanism(
        way=Way.PAN_LEAK,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=0.6 if tilted else UNKNOWN,
        grade=Grade.RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, 15.0, np.inf), (Event.STOP, 0.0, 240.0)),
        places=frozenset({"cabinet floor", "pan rim"} if tilted else {"cabinet floor"}),
        how=Reason(PanReason.ANY_SHARE),
        ruled_out=_passed(case),
        confirmed=Reason(PanReason.NOT_LEVEL) if tilted and not case.seen.pan_low else None,
    )


def pump(case: WaterCase) -> Mechanism:
    """A condensate pump that does not carry the water away."""
    seen = case.seen
    rate = water_made(case) * case.uniform("pump share", *PUMP_SHARE)
    chance, ruled_out, confirmed = UNKNOWN, None, None
    if seen.has("pump", "none"):
        chance, ruled_out, rate = 0.0, Reason(PanReason.NO_PUMP), np.zeros_like(rate)
    elif seen.has("pump", "stopped"):
        chance, confirmed = SEEN_CHANCE, Reason(PanReason.PUMP_STANDS_STILL)
    elif seen.has("pump", "runs") and not seen.pan_full:
        chance, ruled_out = 0.0, Reason(PanReason.PUMP_RUNS)
    return Mechanism(
        way=Way.PUMP,
        rate=rate,
        per_day=rate * case.cooling_share,
        chance=chance,
        grade=Grade.RULE,
        phases=frozenset({COOLING, STOPPING}),
        minutes=((Event.START, 15.0, np.inf), (Event.STOP, 0.0, 30.0)),
        places=frozenset({"pan rim", "cabinet floor", "pipe"}),
        how=Reason(PanReason.TANK_FULL),
        ruled_out=ruled_out or _passed(case),
        confirmed=confirmed,
    )


def _passed(case: WaterCase) -> Reason | None:
    return Reason(PanReason.PASSED_THE_PAN) if case.seen.passed_the_pan else None
