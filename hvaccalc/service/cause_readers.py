"""What one visit or one condition says of a cause: that it is there, that it is not, or nothing.

One reader a cause. A reader looks at typed results and signs alone, never at a note.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from hvaccalc.call import Call
from hvaccalc.diagnosis.air.fan_check_rows import Check, CheckName, CheckState
from hvaccalc.diagnosis.air.mixed_air import Outdoors
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict, VerdictRow
from hvaccalc.diagnosis.circuits.standing_pressure import Rest
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.diagnosis.readings.compressors import RunState
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.readings.signs import FULL_PAN, LOW_PAN
from hvaccalc.job.causes import Cause
from hvaccalc.practice.air import ENOUGH_AIR
from hvaccalc.practice.visits import STANDS
from hvaccalc.rows import complete
from hvaccalc.service.diagnosed import Diagnosed


class Says(Enum):
    """What a place says of a cause."""

    RIGHT = "right"
    WRONG = "wrong"
    NOTHING = "nothing"


@dataclass(frozen=True)
class Seen:
    """One place of the job, as a reader sees it.

    Attributes
    ----------
    of : Diagnosed
    where : Where
        A condition, or a visit as a whole; with the circuit for a circuit's cause.
    """

    of: Diagnosed
    where: Where

    @property
    def result(self) -> ConditionResult | None:
        """Result of the condition; None for a visit as a whole."""
        return self.of.visits.result(self.where)

    def saw(self, key: str, *words: str) -> bool:
        """Whether a sign shows one of the words here."""
        sign = getattr(self.of.visits.signs(self.where), key)
        return sign is not None and bool(set(sign.values) & set(words))

    @property
    def off(self) -> bool:
        """Whether the unit was off here."""
        return bool(self.where.condition) and self.of.draws.condition(self.where).calls == ()

    @property
    def wet(self) -> bool:
        """Whether water was seen where it does not belong; the coil's own face is wet whenever it cools."""
        places = set(self.of.visits.signs(self.where).wet) - {"coil face"}
        return bool(places) or self.saw("pan_water", *FULL_PAN)

    @property
    def dry(self) -> bool:
        """Whether all was dry when somebody looked, after a run with every stage, long enough to tell."""
        if self.result is None or not self.of.visits.full_call(self.result):
            return False
        ran = self.of.draws.condition(self.where).running_for
        return ran is not None and ran.value >= STANDS and self.of.visits.signs(self.where).dry

    def check(self, name: CheckName) -> Check | None:
        """A check of the fan at the speed that it has; None where it would be raised first."""
        speed = self.result.speed if self.result is not None else None
        if speed is None or speed.raises:
            return None
        return next((check for check in speed.checks if check.name is name), None)


def _says(wrong: bool, right: bool) -> Says:
    return Says.WRONG if wrong else Says.RIGHT if right else Says.NOTHING


def _follows(here: Seen) -> bool:
    """Whether the fan's speed was read with every stage on, and was right."""
    result = here.result
    if result is None or result.staging is not None or not here.of.visits.full_call(result):
        return False
    if result.wheel is not None and result.wheel.text.wrong:
        return False
    ratio = result.airflow.speed_ratio if result.airflow is not None else None
    return ratio is not None and ratio.basis == "measured"


def _fan_stuck_low(here: Seen) -> Says:
    staging = here.result.staging if here.result is not None else None
    low = staging is not None and not staging.text.without_fan
    # A fixed belt stays at one speed by design.
    stays = here.saw("fan_on_second_stage", "stays") and here.of.job.unit.fan.drive != "belt, fixed"
    return _says(low or stays, _follows(here))


def _cooling_without_fan(here: Seen) -> Says:
    staging = here.result.staging if here.result is not None else None
    return _says(staging is not None and staging.text.without_fan, _follows(here))


def _low_airflow(here: Seen) -> Says:
    result = here.result
    loaded = here.saw("filters", "loaded") or here.saw("coil_face", "dirty", "bent")
    if result is None:
        return _says(loaded, False)
    loaded = loaded or here.of.draws.condition(here.where).filters_clean == "no"
    flow = result.airflow
    enough = flow is not None and flow.measured and bool(flow.rated_share[0] >= ENOUGH_AIR)
    return _says(loaded or result.short_of_air, enough and here.of.visits.full_call(result))


def _charge(here: Seen) -> VerdictRow:
    """What the circuit's verdict means; that of "cannot tell" where there is none."""
    judged = here.result.charges.get(here.where.circuit) if here.result is not None else None
    return (judged.verdict if judged is not None else ChargeVerdict.CANNOT_TELL).row


def _looks(here: Seen) -> Cause | None:
    """What the circuit looks like beside the other; None where it does not stand out."""
    beside = here.result.contrast if here.result is not None else None
    return beside.text.cause if beside is not None and beside.suspect == here.where.circuit else None


def _by_charge(cause: Cause) -> Callable[[Seen], Says]:
    def read(here: Seen) -> Says:
        verdict = _charge(here)
        right = cause in verdict.right
        if cause is Cause.OVERCHARGE and _gas_inside(here):
            return _says(False, right)
        return _says(verdict.cause is cause or (not right and _looks(here) is cause), right)

    return read


OF_THE_CHARGE = (Cause.LOW_CHARGE, Cause.OVERCHARGE, Cause.RESTRICTION)
"""Causes that a verdict on the charge reads; of two verdicts of one visit the one timed later counts."""


def _restriction(here: Seen) -> Says:
    result = here.result
    state = result.circuits.get(here.where.circuit) if result is not None else None
    drier = state.drier_restricted if state is not None else None
    # Subcooling as charted excludes no restriction; nothing beside the other circuit, or a free drier, does.
    alone = result is None or result.contrast is None
    fed = _looks(here) is Cause.OVERFEEDING_VALVE
    right = drier is False or fed or _alike(here) or (alone and Cause.RESTRICTION in _charge(here).right)
    return _says(bool(drier) or _looks(here) is Cause.RESTRICTION, right)


def _alike(here: Seen) -> bool:
    """Whether the circuits, side by side, do not stand apart."""
    beside = here.result.contrast if here.result is not None else None
    return beside is not None and beside.text is Suspicion.NONE


def _overfeeding_valve(here: Seen) -> Says:
    # One that looks restricted has more superheat than the other: no valve that feeds too much.
    return _says(_looks(here) is Cause.OVERFEEDING_VALVE, _alike(here) or _looks(here) is Cause.RESTRICTION)


def _condenser_air(here: Seen) -> Says:
    result, name = here.result, here.where.circuit
    if result is None or name not in result.circuits:
        return Says.NOTHING
    state = result.circuits[name]
    high = name in result.condenses_high
    # A head that gas inside explains accuses no condenser.
    dirty = high and not _gas_inside(here)
    return _says(dirty or state.fans_stand is not None, state.over_outdoor is not None and not high)


def _gas_inside(here: Seen) -> bool:
    """Whether the circuit's standing pressure, on any day, is above what its refrigerant can give."""
    stands = here.of.charge_evidence.standing.items()
    return any(one.text is Rest.ABOVE for where, one in stands if where.circuit == here.where.circuit)


def _weak_compressor(here: Seen) -> Says:
    judged = here.result.charges.get(here.where.circuit) if here.result is not None else None
    if judged is None:
        return Says.NOTHING
    return _says(judged.pumping.weak, judged.pumping.text is Pumps.YES)


def _non_condensables(here: Seen) -> Says:
    standing = here.of.charge_evidence.standing.get(here.where)
    text = standing.text if standing is not None else None
    return _says(text is Rest.ABOVE, text is Rest.AGREES)


def _belt(here: Seen) -> Says:
    checks = [here.check(name) for name in (CheckName.BELT, CheckName.BELT_WRAP, CheckName.FULL_SPEED)]
    known = [check for check in checks if check is not None and not check.open]
    wheel = here.result.wheel if here.result is not None else None
    wrong = any(check.fails for check in known) or (wheel is not None and wheel.text.wrong)
    right = (wheel is not None and wheel.text.right) or here.saw("belt", "tight")
    return _says(wrong or here.saw("belt", "loose", "worn"), right or bool(known))


def _outdoor_air(here: Seen) -> Says:
    outdoors = here.result.outdoors if here.result is not None else None
    much = outdoors is not None and outdoors.text is Outdoors.MUCH
    usual = outdoors is not None and outdoors.text is Outdoors.USUAL
    return _says(much or here.saw("outdoor_damper", "stuck"), usual or here.saw("outdoor_damper", "closed"))


def _carry_over(here: Seen) -> Says:
    check = here.check(CheckName.COIL_FACE)
    state = check.state if check is not None else ""
    return _says(state is CheckState.FAIL, state is CheckState.PASS or here.dry)


def _back_feed(here: Seen) -> Says:
    draws, calls = here.of.draws, None
    if here.where.condition:
        calls = draws.condition(here.where).calls
    if calls is None:
        return Says.NOTHING
    states = [compressors.compressor(draws, here.where.at(name)).state for name in here.of.job.circuit]
    stopped = Call.FAN in calls and all(state is RunState.NO for state in states)
    called = compressors.called_stage(draws, here.where) > 0
    return _says(bool(compressors.uncalled(draws, here.where)), stopped and not called)


def _drain(here: Seen) -> Says:
    bad = here.saw("drain_flow", "slow", "blocked") or here.saw("pour_test", "backs up")
    under_suction = here.saw("tested_with_fan", "full") and not here.saw("tested_with_door", "open")
    good = here.saw("drain_flow", "free") or here.saw("pour_test", "drains")
    return _says(bad, good and under_suction)


def _trap(here: Seen) -> Says:
    blows = here.of.job.unit.air_path == "blow through"
    air = here.saw("drain_air", "blown out" if blows else "drawn in")
    bad = here.saw("trap", "dry", "none") or air
    runs = not here.off and here.result is not None
    return _says(bad, runs and here.saw("trap", "sealed") and here.saw("pan_water", *LOW_PAN))


def _pan(here: Seen) -> Says:
    """A crack or a tilt is shown by no sign yet; that nothing got past the pan is."""
    return _says(False, here.dry)


def _by_sign(key: str, wrong: tuple[str, ...], right: tuple[str, ...] = ()) -> Callable[[Seen], Says]:
    """What one sign alone shows of a cause."""
    return lambda here: _says(here.saw(key, *wrong), here.saw(key, *right))


def _no_reading(here: Seen) -> Says:
    """No reading or sign of the job file speaks of this cause by itself yet."""
    return Says.NOTHING


READERS: dict[Cause, Callable[[Seen], Says]] = complete(
    Cause,
    {
        Cause.FAN_STUCK_LOW: _fan_stuck_low,
        Cause.LOW_AIRFLOW: _low_airflow,
        Cause.OUTDOOR_AIR: _outdoor_air,
        Cause.LOW_CHARGE: _by_charge(Cause.LOW_CHARGE),
        Cause.OVERCHARGE: _by_charge(Cause.OVERCHARGE),
        Cause.RESTRICTION: _restriction,
        Cause.OVERFEEDING_VALVE: _overfeeding_valve,
        Cause.CONDENSER_AIR: _condenser_air,
        Cause.WEAK_COMPRESSOR: _weak_compressor,
        Cause.NON_CONDENSABLES: _non_condensables,
        Cause.BELT: _belt,
        Cause.REVERSED_ROTATION: _by_sign("fan_rotation", ("reversed",), ("right",)),
        Cause.MILD_WEATHER_COOLING: _no_reading,
        Cause.COOLING_WITHOUT_FAN: _cooling_without_fan,
        Cause.DRAIN: _drain,
        Cause.TRAP: _trap,
        Cause.PAN: _pan,
        Cause.CARRY_OVER: _carry_over,
        Cause.SWEATING: _by_sign("sweating_on", ("cabinet", "duct", "suction line", "pan")),
        Cause.PUMP: _by_sign("pump", ("stopped",), ("runs",)),
        Cause.HOT_WATER_COIL: _by_sign("hot_water_coil", ("wet",), ("dry",)),
        Cause.BACK_FEED: _back_feed,
        Cause.OUTSIDE_WATER: _by_sign("water_on", ("above the unit",)),
        Cause.NOTHING: _no_reading,
    },
)
