"""Before anybody raises the fan's speed: what the new speed asks of motor, belt, wheel, coil, drain and duct.

Readings of one condition are brought to the new speed by the fan laws. A check that lacks a reading says
which; none of them passes by default.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from hvaccalc import units
from hvaccalc.diagnosis.air.airflow import Airflow, speed_ratio
from hvaccalc.diagnosis.air.fan_data import full_rotation
from hvaccalc.diagnosis.air.motor_current import OF_THE_MOTOR, motor_reading, on_a_drive, told
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.diagnosis.readings.water_seen import drain_tests
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.equipment.drain import trap
from hvaccalc.equipment.fan import fan_drive, fan_laws
from hvaccalc.practice.air import BELT_SPEED, BELT_WRAP, FACE_VELOCITY, SAME_SPEED, TIP_SPEED

PASS, FAIL, NOT_YET = "pass", "fail", "not known"


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at before the speed goes up.

    Attributes
    ----------
    name : str
    state : str
        pass, fail or not known; note where there is nothing to pass.
    text : str
        One sentence with the number and its limit, or what to read.
    value : Band
        At the new speed [SI of `kind`], not known where a reading lacks.
    limit : float or None
        [SI of `kind`].
    kind : str
        Kind of quantity, empty where there is no number.
    fitted : bool
        Whether the job says in any way that the part is there at all.
    """

    name: str
    state: str
    text: str
    value: Band = NOT_KNOWN
    limit: float | None = None
    kind: str = ""
    fitted: bool = True


@dataclass(frozen=True, slots=True)
class SpeedCheck:
    """All checks of one condition for one new speed.

    Attributes
    ----------
    where : Where
    present, wanted : float
        Speed over full speed, as read and as asked for.
    checks : tuple of Check
    """

    where: Where
    present: float
    wanted: float
    checks: tuple[Check, ...]

    @property
    def state(self) -> str:
        """fail where one fails, else not known where one is, else pass."""
        states = {check.state for check in self.checks}
        return FAIL if FAIL in states else NOT_YET if NOT_YET in states else PASS

    @property
    def raises(self) -> bool:
        """Whether the speed goes up at all."""
        return self.wanted > self.present * 1.005


@dataclass(frozen=True, slots=True)
class _Case:
    draws: Draws
    where: Where
    flow: Airflow
    ratio: np.ndarray
    wanted: float

    def column(self, key: str) -> np.ndarray | None:
        return self.draws.column(self.where, key)

    @property
    def when(self) -> str:
        """Words for the speed asked about."""
        if abs(self.ratio[0] - 1.0) <= 0.005:
            return "at the present speed"
        return "at the new speed" if self.ratio[0] > 1.0 else f"at {100.0 * self.wanted:.0f} % of full speed"

    def shown(self, value: float, kind: str) -> str:
        return units.value_text(value, kind, self.draws.job.display)

    def below(self, name: str, what: str, draws: np.ndarray, top: float, kind: str, of: str) -> Check:
        """Pass where the whole band lies below the limit, fail where the value lies above it."""
        value = band(draws)
        if not value.known:
            return Check(name, NOT_YET, f"{what} cannot be worked out from the readings.", kind=kind)
        number = units.band_text(value.value, value.low, value.high, kind, self.draws.job.display)
        number = self.shown(value.value, kind) if value.low == value.high else number
        state = PASS if value.high <= top else FAIL if value.value > top else NOT_YET
        verdict = {
            PASS: "within",
            FAIL: "above",
            NOT_YET: "too close to tell from",
        }[state]
        text = f"{what} {number}: {verdict} {of} ({self.shown(top, kind)})."
        return Check(name, state, text, value, top, kind)


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
    plate, read = unit.motor_full_load_current, motor_reading(case.draws, case.where, case.wanted)
    belt = unit.drive == "belt, fixed"
    name = "motor current"
    if plate is None or read is None:
        lacking = "the motor's full-load current (plate)" if plate is None else "the fan motor's current"
        return [
            Check(name, NOT_YET, f"Read {lacking}."),
            Check("service factor", NOT_YET, "Follows from the motor's current and its plate."),
        ]
    if not belt and unit.drive != "two speed motor" and read.at not in OF_THE_MOTOR:
        text = on_a_drive(read, plate.value, case.draws.job.display)
        return [
            Check(name, NOT_YET, text),
            Check("service factor", NOT_YET, "Follows from the motor's current."),
        ]
    ratio = case.wanted / read.ratio
    if unit.drive == "two speed motor" and ratio[0] > 1.0 + SAME_SPEED:
        text = "A two-speed motor has a plate current for each speed: read the current at the higher one."
        return [Check(name, NOT_YET, text), Check("service factor", NOT_YET, "Follows from that reading.")]
    share = case.draws.ensemble.uniform("magnetising share", *fan_drive.MAGNETISING_SHARE)
    # Volts follow hertz on a drive: torque is power over speed. At line frequency it is power alone.
    torque = ratio ** (3.0 if belt else 2.0)
    current = fan_drive.motor_current_at_load(read.current, torque, plate.value, share)
    first = case.below(name, f"Motor current {case.when}", current, plate.value, "current", "the plate")
    if read.where != case.where:
        first = replace(first, text=f"{first.text} Read: {read.text}{told(read)}.")
    factor = unit.service_factor
    if factor is None:
        text = "The motor's service factor is not typed; without it the plate's current is the limit."
        return [first, Check("service factor", PASS if first.state == PASS else NOT_YET, text)]
    top = plate.value * factor.value
    of = f"plate times service factor {factor.value:g}"
    return [
        first,
        case.below("service factor", f"Motor current {case.when}", current, top, "current", of),
    ]


def _belt(case: _Case) -> list[Check]:
    unit, name = case.draws.job.unit.fan, "belt and sheaves"
    motor, driven = unit.motor_sheave, unit.fan_sheave
    rotation = full_rotation(case.draws.job)
    if motor is None or driven is None or rotation is None:
        text = "Read both sheaves' pitch diameters and the motor's speed"
        # Only where the drive is said to be a belt is there surely one.
        belt = unit.drive == "belt, fixed" or motor is not None or driven is not None
        text += "." if belt else ", or see that there is no belt."
        return [Check(name, NOT_YET, text, fitted=belt)]
    speed = fan_drive.rim_speed(driven.value, np.full_like(case.ratio, case.wanted * rotation))
    checks = [case.below(name, "Belt speed", speed, BELT_SPEED, "velocity", "what V-belts stand")]
    if unit.belt_centre_distance is not None:
        wrap = float(fan_drive.wrap_angle(unit.belt_centre_distance.value, motor.value, driven.value))
        if not np.isfinite(wrap):
            text = "The sheaves would touch at the typed centre distance: one of the three is wrong."
            checks.append(Check("belt wrap", FAIL, text))
        else:
            state = PASS if wrap >= BELT_WRAP else FAIL
            text = f"The belt holds the smaller sheave over {np.degrees(wrap):.0f}°; 120° is the least."
            checks.append(Check("belt wrap", state, text))
    return checks


def _tip(case: _Case) -> list[Check]:
    wheel, rotation = case.draws.job.unit.fan.wheel_diameter, full_rotation(case.draws.job)
    name = "tip speed"
    if wheel is None or rotation is None:
        return [Check(name, NOT_YET, "Read the wheel's diameter and the fan's speed in rpm.")]
    speed = fan_drive.rim_speed(wheel.value, np.full_like(case.ratio, case.wanted * rotation))
    of = "what serves without asking the maker for the wheel's highest speed"
    return [case.below(name, "Tip speed", speed, TIP_SPEED, "velocity", of)]


def _faces(case: _Case) -> list[Check]:
    unit = case.draws.job.unit
    return [
        _face(case, "coil face velocity", unit.coil.face_area),
        _face(case, "filter face velocity", unit.filter_area),
    ]


def _face(case: _Case, name: str, area: units.Quantity | None) -> Check:
    part = name.split()[0]
    if area is None:
        return Check(name, NOT_YET, f"Measure the {part}'s face (width times height).")
    velocity = case.flow.flow * case.ratio / area.value
    value = band(velocity)
    rule, ceiling, trouble = FACE_VELOCITY
    shown = units.band_text(value.value, value.low, value.high, "velocity", case.draws.job.display)
    steps = (
        (rule, PASS, "within the rule of"),
        (ceiling, NOT_YET, "between the rules of one maker and another,"),
        (trouble, FAIL, "above both makers' rules,"),
    )
    state, words = next(
        ((s, w) for top, s, w in steps if value.value <= top), (FAIL, "beyond all three rules of")
    )
    if state == PASS and value.high > ceiling:
        state, words = NOT_YET, "too uncertain to tell from"
    elif state == PASS and value.high > rule:
        words = "near the limit, its band reaches across the first of"
    rules = "500 / 550 / 600 ft/min" if case.draws.job.display == "us" else "2.5 / 2.8 / 3.0 m/s"
    risk = " Water may be blown off the coil." if part == "coil" and state == FAIL else ""
    text = f"{part.capitalize()} face velocity {shown}: {words} {rules}.{risk}"
    return Check(name, state, text, value, rule, "velocity")


def _trap(case: _Case) -> list[Check]:
    """Height and seal of the trap against what the pressure at the pan asks for: the rule of `trap`."""
    drain, name = case.draws.job.unit.drain, "trap against pan suction"
    blows = case.draws.job.unit.air_path == "blow through"
    what = "pressure" if blows else "suction"
    if drain.pan_suction is None:
        last = next((test for test in reversed(drain_tests(case.draws.job)) if test.tells), None)
        # Tried at full speed it says nothing of a higher one.
        if last is not None and last.runs_off and case.wanted <= 1.005:
            door = f" and the door {' or '.join(last.door)}" if last.door else ""
            text = (
                f"Tried: the pan drained with the fan at full speed{door} (visit {last.visit}), with the "
                "filters of that day."
            )
            return [Check(name, PASS, text)]
        text = f"Read the {what} at the pan with all panels on; it grows with the square of the speed."
        return [Check(name, NOT_YET, text)]
    typed = -drain.pan_suction.value if blows else drain.pan_suction.value
    if typed < 0.0:
        sign = "above the room it is negative" if blows else "below the room it is positive"
        text = f"The suction at the pan is typed as {drain.pan_suction.text}: {sign}."
        return [Check(name, NOT_YET, text)]
    pressure = typed * (case.wanted / _speed_of_the_pan(case)) ** 2
    value = band(pressure)
    if drain.trap in ("none", "dry"):
        shown = case.shown(float(trap.head(pressure[0])), "length")
        holds = f"holds {shown} of water in the pan" if not blows else "blows air out at the drain"
        text = f"Without water in a trap the pan's {what} {case.when} {holds}."
        return [Check(name, FAIL, text, value, 0.0, "air_pressure")]
    law = trap.required_height_blow_through if blows else trap.required_height
    need = law(pressure)
    parts = (
        ("height", drain.trap_height, float(need.height[0])),
        ("seal", drain.trap_seal, float(need.seal[0])),
    )
    asks = " and ".join(f"{case.shown(least, 'length')} of {word}" for word, _, least in parts)
    has = ", ".join(
        f"{word} {case.shown(size.value, 'length')}" if size is not None else f"{word} not measured"
        for word, size, _ in parts
    )
    short = any(size is not None and size.value < least for _, size, least in parts)
    state = FAIL if short else NOT_YET if any(size is None for _, size, _ in parts) else PASS
    verdict = {FAIL: "not enough", NOT_YET: "measure what is missing", PASS: "enough"}[state]
    told = f"{case.shown(value.value, 'air_pressure')}: the trap needs {asks} and has {has}: {verdict}."
    return [Check(name, state, f"Pan {what} {case.when} {told}", value, None, "air_pressure")]


def _speed_of_the_pan(case: _Case) -> np.ndarray:
    """Speed at which the pan's suction was read: that of the first condition with a fan that turns."""
    for where, _ in case.draws.conditions():
        ratio = speed_ratio(case.draws, where)
        if ratio is not None and ratio.draws[0] > 0.0:
            return ratio.draws
    return case.wanted / case.ratio


def _static(case: _Case) -> list[Check]:
    name, rated = "external static", case.draws.job.unit.fan.static_at_rating
    read = case.column("external_static")
    if rated is None or read is None:
        lacking = "the unit's rated external static" if rated is None else "the total external static"
        return [Check(name, NOT_YET, f"Read {lacking}.")]
    new = read * case.ratio**2
    return [case.below(name, f"External static {case.when}", new, rated.value, "air_pressure", "the rating")]


def _noise(case: _Case) -> list[Check]:
    louder = 50.0 * np.log10(case.ratio[0])
    if louder < 0.5:
        return []
    text = f"The fan will be about {louder:.0f} dB louder (50 times the logarithm of the speeds)."
    return [Check("noise", "note", text + " Tell the people below before it runs so.")]


def _heater(case: _Case) -> list[Check]:
    least, name = case.draws.job.unit.fan.minimum_heat_airflow, "least air over an electric heater"
    if least is None:
        there = any(c.air.electric_heat is not None for _, c in case.draws.conditions())
        text = "Read the heater's least airflow off its label"
        return [Check(name, NOT_YET, text + ("." if there else ", or see that there is none."), fitted=there)]
    value = band(fan_laws.flow_at_speed(case.flow.flow, case.ratio))
    shown = units.band_text(value.value, value.low, value.high, "airflow", case.draws.job.display)
    state = PASS if value.low >= least.value else FAIL if value.value < least.value else NOT_YET
    words = {PASS: "above", FAIL: "below", NOT_YET: "too close to tell from"}[state]
    text = f"Airflow {case.when} {shown}: {words} the heater's least ({least.text})."
    return [Check(name, state, text, value, least.value, "airflow")]


def _drive(case: _Case) -> list[Check]:
    """A drive's own limits where something is asked of it outside them."""
    unit, wanted = case.draws.job.unit.fan, case.wanted
    checks = []
    if wanted > 1.005 and unit.drive != "belt, fixed":
        text = f"{100 * wanted:.0f} % of full speed is asked for: above it neither drive nor motor is rated."
        checks.append(Check("full speed", FAIL, text))
    least, full = unit.minimum_speed, unit.full_speed
    if least is not None and full is not None and least.unit in (full.unit, "%"):
        share = least.value if least.unit == "%" else least.value / full.value
        if wanted < share:
            text = (
                f"The drive's least speed is {least.text}; {100 * wanted:.0f} % of full speed lies below it."
            )
            checks.append(Check("least speed", FAIL, text))
    return checks


PARTS: tuple[Callable[[_Case], list[Check]], ...] = (
    *(_motor, _belt, _tip, _faces, _trap, _static, _drive, _heater, _noise),
)


def to_show(checks: Iterable[SpeedCheck | None]) -> SpeedCheck | None:
    """The checks that matter most: those of the slowest fan, else of a fan that fails one at its speed."""
    known = [check for check in checks if check is not None]
    slow = [check for check in known if check.raises]
    failing = [check for check in known if check.state == FAIL]
    return min(slow, key=lambda c: c.present) if slow else failing[0] if failing else None
