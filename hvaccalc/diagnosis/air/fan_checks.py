"""Before anybody raises the fan's speed: what the new speed asks of motor, belt, wheel, coil, drain and duct.

Readings of one condition are brought to the new speed by the fan laws. A check that lacks a reading says
which; none of them passes by default.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc import units
from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.airflow import Airflow, speed_ratio
from hvaccalc.diagnosis.air.fan_check_rows import (
    Check,
    Checked,
    CheckName,
    CheckState,
    MotorReading,
    SpeedCheck,
    motor_readings,
    of_the_motor,
    on_a_drive,
    read_at,
)
from hvaccalc.diagnosis.air.fan_data import Turns, full_rotation, wheel
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.water_seen import drain_tests
from hvaccalc.ensemble import Band, band, beyond
from hvaccalc.equipment.drain import trap
from hvaccalc.equipment.fan import fan_drive, fan_laws
from hvaccalc.practice.air import (
    BELT_SPEED,
    BELT_WRAP,
    FACE_VELOCITY,
    MAGNETISING_SHARE,
    SAME_CURRENT,
    SAME_SPEED,
    TIP_SPEED,
)
from hvaccalc.reason import Amount, Reason


@dataclass(frozen=True, slots=True)
class _Case:
    draws: Draws
    where: Where
    flow: Airflow
    ratio: Array
    wanted: float

    def column(self, key: str) -> Array | None:
        return self.draws.column(self.where, key)

    @property
    def when(self) -> Reason:
        """The speed asked about."""
        if abs(self.ratio[0] - 1.0) <= 0.005:
            return Reason(Checked.AT_PRESENT_SPEED)
        if self.ratio[0] > 1.0:
            return Reason(Checked.AT_NEW_SPEED)
        return Reason(Checked.AT_A_SPEED, {"share": self.wanted})

    def below(self, name: CheckName, what: Reason, draws: Array, top: float, kind: str, of: Reason) -> Check:
        """Pass where the whole band lies below the limit, fail where the value lies above it."""
        value = band(draws)
        if not value.known:
            return Check(
                name, CheckState.NOT_YET, Reason(Checked.CANNOT_BE_WORKED_OUT, {"what": what}), kind=kind
            )
        state = (
            CheckState.PASS
            if value.high <= top
            else CheckState.FAIL
            if value.value > top
            else CheckState.NOT_YET
        )
        within, above = state is CheckState.PASS, state is CheckState.FAIL
        why = Reason(
            Checked.WITHIN if within else Checked.ABOVE if above else Checked.TOO_CLOSE,
            {"what": what, "number": Amount(value, kind), "of": of, "top": Amount(top, kind)},
        )
        return Check(name, state, why, value, top, kind)


def speed_check(
    draws: Draws, where: Where, flow: Airflow | None, wanted: float | None = None
) -> SpeedCheck | None:
    """Checks for one condition; None where the fan's speed is not known or the fan stands.

    Parameters
    ----------
    flow : Airflow or None
        Of the condition.
    wanted : float, optional
        New speed over full speed, above zero; full speed where it is not given, the present one above it.
    """
    ratio = flow.speed_ratio if flow is not None else None
    if flow is None or ratio is None or ratio.draws[0] <= 0.0:
        return None
    wanted = max(1.0, float(ratio.draws[0])) if wanted is None else wanted
    if not wanted > 0.0:
        return None
    case = _Case(draws, where, flow, wanted / ratio.draws, wanted)
    checks = tuple(check for part in PARTS for check in part(case))
    return SpeedCheck(where, float(ratio.draws[0]), wanted, checks)


def _motor(case: _Case) -> list[Check]:
    unit = case.draws.job.unit.fan
    plate, (own, other) = unit.motor_full_load_current, motor_readings(case.draws, case.where, case.wanted)
    # What was read here at this speed counts before what was read elsewhere.
    read = own if own is not None and (own.near or other is None) else other
    if plate is None or read is None:
        return _no_current(
            Reason(Checked.LACKS_PLATE if plate is None else Checked.LACKS_CURRENT),
            Reason(Checked.FOLLOWS_FROM_BOTH),
        )
    factor = unit.service_factor
    if not of_the_motor(case.draws, read.where):
        why, value = on_a_drive(read, plate.value), band(read.current)
        if not value.value > plate.value:
            return _no_current(why, Reason(Checked.FOLLOWS_FROM_CURRENT))
        # The line side carries less than the motor as a rule: above the plate it is no pass.
        tops = ((CheckName.MOTOR_CURRENT, plate.value), (CheckName.SERVICE_FACTOR, plate.value * _of(factor)))
        return [_off_the_motor(name, why, value, top) for name, top in tops]
    if unit.drive == "two speed motor" and case.wanted / read.ratio[0] > 1.0 + SAME_SPEED:
        return _no_current(Reason(Checked.TWO_SPEEDS), Reason(Checked.FOLLOWS_FROM_THAT))
    current = _at_wanted(case, read, plate.value)
    what, name = Reason(Checked.MOTOR_CURRENT, {"when": case.when}), CheckName.MOTOR_CURRENT
    first = case.below(name, what, current, plate.value, "current", Reason(Checked.THE_PLATE))
    first = _resting_on(case, first, read, own, current, plate.value)
    if factor is None:
        state = CheckState.PASS if first.state is CheckState.PASS else CheckState.NOT_YET
        return [first, Check(CheckName.SERVICE_FACTOR, state, Reason(Checked.NO_SERVICE_FACTOR))]
    top, of = plate.value * factor.value, Reason(Checked.PLATE_TIMES_FACTOR, {"factor": factor.value})
    second = case.below(CheckName.SERVICE_FACTOR, what, current, top, "current", of)
    return [first, _resting_on(case, second, read, own, current, plate.value)]


def _of(factor: units.Quantity | None) -> float:
    return 1.0 if factor is None else factor.value


def _off_the_motor(name: CheckName, why: Reason, value: Band, top: float) -> Check:
    state = CheckState.FAIL if value.value > top else CheckState.NOT_YET
    return Check(name, state, why, value, top, "current")


def _at_wanted(case: _Case, read: MotorReading, plate: float) -> Array:
    """A motor's current brought to the speed asked about [A]."""
    share = case.draws.ensemble.uniform("magnetising share", *MAGNETISING_SHARE)
    # Volts follow hertz on a drive: torque is power over speed. At line frequency it is power alone.
    torque = (case.wanted / read.ratio) ** (3.0 if case.draws.job.unit.fan.drive == "belt, fixed" else 2.0)
    return fan_drive.motor_current_at_load(read.current, torque, plate, share)


def _resting_on(
    case: _Case, check: Check, read: MotorReading, own: MotorReading | None, current: Array, plate: float
) -> Check:
    """A check that rests on a reading of another condition says so, and what of this one does not fit it."""
    if read is own:
        return check
    there = read.where.visit != case.where.visit
    why = Reason(
        Checked.READ_ON_ANOTHER_VISIT if there else Checked.READ_ELSEWHERE,
        {"said": check.why, "reading": read_at(read)},
    )
    if own is None or not of_the_motor(case.draws, own.where):
        return replace(check, why=why)
    scaled = _at_wanted(case, own, plate)
    more = beyond(scaled - (1.0 + SAME_CURRENT) * current)
    if not more and not beyond(current - (1.0 + SAME_CURRENT) * scaled):
        return replace(check, why=why)
    number = Amount(band(scaled), "current")
    why = Reason(Checked.DOES_NOT_FIT, {"said": why, "reading": read_at(own), "number": number})
    state = check.state
    if check.limit is not None and own.current[0] > check.limit:
        state = CheckState.FAIL
    elif more and state is CheckState.PASS:
        state = CheckState.NOT_YET
    return replace(check, state=state, why=why)


def _no_current(current: Reason, factor: Reason) -> list[Check]:
    return [
        Check(CheckName.MOTOR_CURRENT, CheckState.NOT_YET, current),
        Check(CheckName.SERVICE_FACTOR, CheckState.NOT_YET, factor),
    ]


def _belt(case: _Case) -> list[Check]:
    unit, name = case.draws.job.unit.fan, CheckName.BELT
    motor, driven = unit.motor_sheave, unit.fan_sheave
    rotation = full_rotation(case.draws.job)
    if motor is None or driven is None or rotation is None:
        # Only where the drive is said to be a belt is there surely one.
        belt = unit.drive == "belt, fixed" or motor is not None or driven is not None
        read = Reason(Checked.READ_SHEAVES if belt else Checked.READ_SHEAVES_IF_ANY)
        return [Check(name, CheckState.NOT_YET, read, fitted=belt)]
    speed = fan_drive.rim_speed(driven.value, np.full_like(case.ratio, case.wanted * rotation))
    what, of = Reason(Checked.BELT_SPEED), Reason(Checked.V_BELTS)
    checks = [_turning(case, case.below(name, what, speed, BELT_SPEED, "velocity", of))]
    if unit.belt_centre_distance is not None:
        name = CheckName.BELT_WRAP
        wrap = float(fan_drive.wrap_angle(unit.belt_centre_distance.value, motor.value, driven.value))
        if not np.isfinite(wrap):
            checks.append(Check(name, CheckState.FAIL, Reason(Checked.SHEAVES_TOUCH)))
        else:
            state = CheckState.PASS if wrap >= BELT_WRAP else CheckState.FAIL
            why = Reason(Checked.WRAP, {"degrees": float(np.degrees(wrap))})
            checks.append(Check(name, state, why))
    return checks


def _turning(case: _Case, check: Check) -> Check:
    """A belt passes where the wheel was read to turn as its sheaves ask."""
    found = wheel(case.draws, case.where)
    if found is None:
        open_ = CheckState.NOT_YET if check.state is CheckState.PASS else check.state
        return replace(check, state=open_, why=Reason(Checked.READ_WHEEL_SPEED, {"said": check.why}))
    asked, state = found.text is Turns.AS_ASKED, check.state
    if not asked:
        state = CheckState.FAIL if found.text.wrong or check.fails else CheckState.NOT_YET
    why = Reason(
        Checked.WHEEL_TURNS if asked else Checked.WHEEL_OFF,
        {"said": check.why, "turns": found.text, "slip": Amount(found.slip, "fraction")},
    )
    return replace(check, state=state, why=why)


def _tip(case: _Case) -> list[Check]:
    wheel, rotation = case.draws.job.unit.fan.wheel_diameter, full_rotation(case.draws.job)
    name = CheckName.TIP_SPEED
    if wheel is None or rotation is None:
        return [Check(name, CheckState.NOT_YET, Reason(Checked.READ_WHEEL))]
    speed = fan_drive.rim_speed(wheel.value, np.full_like(case.ratio, case.wanted * rotation))
    what, of = Reason(Checked.TIP_SPEED), Reason(Checked.NO_QUESTION)
    return [case.below(name, what, speed, TIP_SPEED, "velocity", of)]


def _faces(case: _Case) -> list[Check]:
    unit = case.draws.job.unit
    return [
        _face(case, CheckName.COIL_FACE, "coil", unit.coil.face_area),
        _face(case, CheckName.FILTER_FACE, "filter", unit.filter_area),
    ]


def _face(case: _Case, name: CheckName, part: str, area: units.Quantity | None) -> Check:
    if area is None:
        return Check(name, CheckState.NOT_YET, Reason(Checked.MEASURE_FACE, {"part": part}))
    value = band(case.flow.flow * case.ratio / area.value)
    rule, ceiling, trouble = FACE_VELOCITY
    within, fails = value.value <= rule, not value.value <= ceiling
    uncertain = within and value.high > ceiling
    sure = within and not uncertain
    state = CheckState.FAIL if fails else CheckState.PASS if sure else CheckState.NOT_YET
    why = Reason(
        Checked.FACE_UNCERTAIN
        if uncertain
        else Checked.FACE_NEAR
        if within and value.high > rule
        else Checked.FACE_WITHIN
        if within
        else Checked.FACE_BETWEEN
        if not fails
        else Checked.FACE_ABOVE
        if value.value <= trouble
        else Checked.FACE_BEYOND,
        {"part": part.capitalize(), "velocity": value, "rule": rule, "ceiling": ceiling, "trouble": trouble},
    )
    if fails and name is CheckName.COIL_FACE:
        why = Reason(Checked.BLOWS_OFF, {"said": why})
    return Check(name, state, why, value, rule, "velocity")


def _trap(case: _Case) -> list[Check]:
    """Height and seal of the trap against what the pressure at the pan asks for: the rule of `trap`."""
    drain, name = case.draws.job.unit.drain, CheckName.TRAP
    blows = case.draws.job.unit.air_path == "blow through"
    what = Reason(Checked.PRESSURE if blows else Checked.SUCTION)
    if drain.pan_suction is None:
        last = next((test for test in reversed(drain_tests(case.draws.job)) if test.tells), None)
        # Tried at full speed it says nothing of a higher one.
        if last is not None and last.runs_off and case.wanted <= 1.005:
            tried = Reason(Checked.TRIED, {"how": last.how, "visit": last.visit})
            return [Check(name, CheckState.PASS, tried)]
        return [Check(name, CheckState.NOT_YET, Reason(Checked.READ_PAN, {"what": what}))]
    typed = -drain.pan_suction.value if blows else drain.pan_suction.value
    if typed < 0.0:
        sign = Reason(
            Checked.TYPED_NOT_NEGATIVE if blows else Checked.TYPED_NOT_POSITIVE,
            {"suction": drain.pan_suction.text},
        )
        return [Check(name, CheckState.NOT_YET, sign)]
    pressure = typed * (case.wanted / _speed_of_the_pan(case)) ** 2
    value = band(pressure)
    if drain.trap in ("none", "dry"):
        held = float(trap.head(pressure[0]))
        open_drain = Reason(Checked.OPEN_HOLDS, {"when": case.when, "held": held})
        if blows:
            open_drain = Reason(Checked.OPEN_BLOWS, {"when": case.when})
        return [Check(name, CheckState.FAIL, open_drain, value, 0.0, "air_pressure")]
    law = trap.required_height_blow_through if blows else trap.required_height
    need = law(pressure)
    height, seal = drain.trap_height, drain.trap_seal
    has = (
        Reason(Checked.NO_HEIGHT) if height is None else Reason(Checked.HAS_HEIGHT, {"size": height.value}),
        Reason(Checked.NO_SEAL) if seal is None else Reason(Checked.HAS_SEAL, {"size": seal.value}),
    )
    least = {"height": float(need.height[0]), "seal": float(need.seal[0])}
    sizes = ((height, least["height"]), (seal, least["seal"]))
    short = any(size is not None and size.value < asked for size, asked in sizes)
    known = height is not None and seal is not None
    state = CheckState.FAIL if short else CheckState.PASS if known else CheckState.NOT_YET
    why = Reason(
        Checked.TRAP_NOT_ENOUGH if short else Checked.TRAP_ENOUGH if known else Checked.TRAP_NOT_MEASURED,
        {
            "what": what,
            "when": case.when,
            "pressure": value.value,
            "height": least["height"],
            "seal": least["seal"],
            "has": has,
        },
    )
    return [Check(name, state, why, value, None, "air_pressure")]


def _speed_of_the_pan(case: _Case) -> Array:
    """Speed at which the pan's suction was read: that of the first condition with a fan that turns."""
    for where, _ in case.draws.conditions():
        ratio = speed_ratio(case.draws, where)
        if ratio is not None and ratio.draws[0] > 0.0:
            return ratio.draws
    return case.wanted / case.ratio


def _static(case: _Case) -> list[Check]:
    name, rated = CheckName.STATIC, case.draws.job.unit.fan.static_at_rating
    read = case.column("external_static")
    if rated is None or read is None:
        lacks = Reason(Checked.READ_RATED_STATIC if rated is None else Checked.READ_STATIC)
        return [Check(name, CheckState.NOT_YET, lacks)]
    what, of = Reason(Checked.EXTERNAL_STATIC, {"when": case.when}), Reason(Checked.RATED)
    return [case.below(name, what, read * case.ratio**2, rated.value, "air_pressure", of)]


def _noise(case: _Case) -> list[Check]:
    louder = 50.0 * np.log10(case.ratio[0])
    if louder < 0.5:
        return []
    return [Check(CheckName.NOISE, CheckState.NOTE, Reason(Checked.LOUDER, {"decibels": float(louder)}))]


def _heater(case: _Case) -> list[Check]:
    least, name = case.draws.job.unit.fan.minimum_heat_airflow, CheckName.HEATER
    if least is None:
        there = any(c.air.electric_heat is not None for _, c in case.draws.conditions())
        read = Reason(Checked.READ_HEATER if there else Checked.READ_HEATER_IF_ANY)
        return [Check(name, CheckState.NOT_YET, read, fitted=there)]
    value = band(fan_laws.flow_at_speed(case.flow.flow, case.ratio))
    above, below = value.low >= least.value, value.value < least.value
    state = CheckState.PASS if above else CheckState.FAIL if below else CheckState.NOT_YET
    why = Reason(
        Checked.HEATER_ABOVE if above else Checked.HEATER_BELOW if below else Checked.HEATER_TOO_CLOSE,
        {"when": case.when, "airflow": value, "least": least.text},
    )
    return [Check(name, state, why, value, least.value, "airflow")]


def _drive(case: _Case) -> list[Check]:
    """A drive's own limits where something is asked of it outside them."""
    unit, wanted = case.draws.job.unit.fan, case.wanted
    checks = []
    if wanted > 1.005 and unit.drive != "belt, fixed":
        why = Reason(Checked.ABOVE_FULL, {"share": wanted})
        checks.append(Check(CheckName.FULL_SPEED, CheckState.FAIL, why))
    least, full = unit.minimum_speed, unit.full_speed
    if least is not None and full is not None and least.unit in (full.unit, "%"):
        share = least.value if least.unit == "%" else least.value / full.value
        if wanted < share:
            why = Reason(Checked.BELOW_LEAST, {"least": least.text, "share": wanted})
            checks.append(Check(CheckName.LEAST_SPEED, CheckState.FAIL, why))
    return checks


PARTS: tuple[Callable[[_Case], list[Check]], ...] = (
    *(_motor, _belt, _tip, _faces, _trap, _static, _drive, _heater, _noise),
)
