"""Checks before the fan's speed goes up, and the motor's current that one of them rests on."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum, auto

from hvaccalc.arrays import Array
from hvaccalc.diagnosis.air.airflow import speed_ratio
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.ensemble import NOT_KNOWN, Band, band
from hvaccalc.practice.air import FULL_SPEED, SAME_SPEED
from hvaccalc.reason import Reason
from hvaccalc.severity import Severity


class CheckName(StrEnum):
    """What is looked at before the speed goes up."""

    MOTOR_CURRENT = "motor current"
    SERVICE_FACTOR = "service factor"
    BELT = "belt and sheaves"
    BELT_WRAP = "belt wrap"
    TIP_SPEED = "tip speed"
    COIL_FACE = "coil face velocity"
    FILTER_FACE = "filter face velocity"
    TRAP = "trap against pan suction"
    STATIC = "external static"
    FULL_SPEED = "full speed"
    LEAST_SPEED = "least speed"
    HEATER = "least air over an electric heater"
    NOISE = "noise"


class CheckState(StrEnum):
    """Whether a check is passed."""

    PASS = "pass"
    FAIL = "fail"
    NOT_YET = "not known"
    NOTE = "note"


class Checked(StrEnum):
    """What a check says."""

    CANNOT_BE_WORKED_OUT = auto()
    WITHIN = auto()
    ABOVE = auto()
    TOO_CLOSE = auto()
    AT_PRESENT_SPEED = auto()
    AT_NEW_SPEED = auto()
    AT_A_SPEED = auto()
    MOTOR_CURRENT = auto()
    BELT_SPEED = auto()
    TIP_SPEED = auto()
    EXTERNAL_STATIC = auto()
    THE_PLATE = auto()
    PLATE_TIMES_FACTOR = auto()
    V_BELTS = auto()
    NO_QUESTION = auto()
    RATED = auto()
    LACKS_PLATE = auto()
    LACKS_CURRENT = auto()
    FOLLOWS_FROM_BOTH = auto()
    FOLLOWS_FROM_CURRENT = auto()
    FOLLOWS_FROM_THAT = auto()
    TWO_SPEEDS = auto()
    READ_ELSEWHERE = auto()
    READ_ON_ANOTHER_VISIT = auto()
    DOES_NOT_FIT = auto()
    NO_SERVICE_FACTOR = auto()
    READ_SHEAVES = auto()
    READ_WHEEL_SPEED = auto()
    WHEEL_TURNS = auto()
    WHEEL_OFF = auto()
    READ_SHEAVES_IF_ANY = auto()
    SHEAVES_TOUCH = auto()
    WRAP = auto()
    READ_WHEEL = auto()
    MEASURE_FACE = auto()
    FACE_WITHIN = auto()
    FACE_NEAR = auto()
    FACE_UNCERTAIN = auto()
    FACE_BETWEEN = auto()
    FACE_ABOVE = auto()
    FACE_BEYOND = auto()
    BLOWS_OFF = auto()
    SUCTION = auto()
    PRESSURE = auto()
    TRIED = auto()
    READ_PAN = auto()
    TYPED_NOT_NEGATIVE = auto()
    TYPED_NOT_POSITIVE = auto()
    OPEN_HOLDS = auto()
    OPEN_BLOWS = auto()
    TRAP_ENOUGH = auto()
    TRAP_NOT_ENOUGH = auto()
    TRAP_NOT_MEASURED = auto()
    HAS_HEIGHT = auto()
    NO_HEIGHT = auto()
    HAS_SEAL = auto()
    NO_SEAL = auto()
    READ_RATED_STATIC = auto()
    READ_STATIC = auto()
    LOUDER = auto()
    READ_HEATER = auto()
    READ_HEATER_IF_ANY = auto()
    HEATER_ABOVE = auto()
    HEATER_BELOW = auto()
    HEATER_TOO_CLOSE = auto()
    ABOVE_FULL = auto()
    BELOW_LEAST = auto()


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at before the speed goes up.

    Attributes
    ----------
    name : CheckName
    state : CheckState
        A note where there is nothing to pass.
    why : Reason
        The number and its limit, or what to read.
    value : Band
        At the new speed [SI of `kind`], not known where a reading lacks.
    limit : float or None
        [SI of `kind`].
    kind : str
        Kind of quantity, empty where there is no number.
    fitted : bool
        Whether the job says in any way that the part is there at all.
    """

    name: CheckName
    state: CheckState
    why: Reason
    value: Band = NOT_KNOWN
    limit: float | None = None
    kind: str = ""
    fitted: bool = True

    @property
    def severity(self) -> Severity:
        """A check that fails calls for action before the speed goes up."""
        return Severity.ACT if self.fails else Severity.NOTE

    @property
    def fails(self) -> bool:
        """Whether it is not passed."""
        return self.state is CheckState.FAIL

    @property
    def open(self) -> bool:
        """Whether a reading lacks to say so."""
        return self.state is CheckState.NOT_YET


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
    def state(self) -> CheckState:
        """fail where one fails, else not known where one is, else pass."""
        states = {check.state for check in self.checks}
        return (
            CheckState.FAIL
            if CheckState.FAIL in states
            else CheckState.NOT_YET
            if CheckState.NOT_YET in states
            else CheckState.PASS
        )

    @property
    def raises(self) -> bool:
        """Whether the speed goes up at all."""
        return self.wanted > self.present * 1.005


def to_show(checks: Iterable[SpeedCheck | None]) -> SpeedCheck | None:
    """The checks that matter most: those of the slowest fan, else of a fan that fails one at its speed."""
    known = [check for check in checks if check is not None]
    slow = [check for check in known if check.raises]
    failing = [check for check in known if check.state == CheckState.FAIL]
    return min(slow, key=lambda c: c.present) if slow else failing[0] if failing else None


class MotorReason(StrEnum):
    """What a current says of the fan motor."""

    NOT_THE_MOTORS = auto()
    NOT_THE_MOTORS_YET = auto()
    AT_THE_LINE_SIDE = auto()
    PLACE_NOT_NOTED = auto()
    READ_AT = auto()
    BELOW_THE_PLATE = auto()
    ABOVE_THE_PLATE = auto()
    NEAR_THE_PLATE = auto()


OF_THE_MOTOR = ("drive display", "drive output")
"""Places at which a drive shows the motor's own current; its line side carries another."""


@dataclass(frozen=True, slots=True)
class MotorReading:
    """A fan motor's current as read in one condition.

    Attributes
    ----------
    where : Where
    current, ratio : ndarray, shape (N + 1,)
        [A], fan speed over full speed.
    at : str or None
        drive display, drive output or line; None where not noted.
    text : str
        Current and speed as typed, such as "5.3 A at 60.0 Hz".
    near : bool
        Whether it was read at the speed asked about.
    """

    where: Where
    current: Array
    ratio: Array
    at: str | None
    text: str
    near: bool


def motor_readings(
    draws: Draws, where: Where, wanted: float
) -> tuple[MotorReading | None, MotorReading | None]:
    """The current read in a condition itself, and the highest that was read elsewhere at a speed.

    Parameters
    ----------
    where : Where
        Condition asked about.
    wanted : float
        Speed over full speed.
    """
    those = [one for place, _ in draws.conditions() if (one := _read(draws, place, wanted)) is not None]
    near = [one for one in those if one.near and one.where != where]
    own = next((one for one in those if one.where == where), None)
    return own, max(near, key=lambda one: one.current[0], default=None)


def _read(draws: Draws, where: Where, wanted: float) -> MotorReading | None:
    current, ratio = draws.column(where, "fan_current"), speed_ratio(draws, where)
    if current is None or ratio is None or not current[0] > 0.0 or not ratio.draws[0] > 0.0:
        return None
    typed = draws.quantity(where, "fan_current")
    speed = draws.quantity(where, "fan_frequency") or draws.quantity(where, "fan_speed")
    text = typed.text if typed is not None else ""
    text += f" at {speed.text}" if speed is not None else ""
    near = ratio.basis == "measured" and abs(float(ratio.draws[0]) - wanted) <= SAME_SPEED
    at = draws.condition(where).air.fan_current_at
    return MotorReading(where, current, ratio.draws, at, text, near)


def on_a_drive(reading: MotorReading, plate: float) -> Reason:
    """What a current tells that was not read behind a drive: its number beside the plate, and why no more."""
    line = reading.at == "line"
    place = Reason(MotorReason.AT_THE_LINE_SIDE if line else MotorReason.PLACE_NOT_NOTED)
    if not reading.near:
        return Reason(MotorReason.NOT_THE_MOTORS, {"reading": read_at(reading), "place": place})
    beside = _beside(reading, plate)
    return Reason(
        MotorReason.NOT_THE_MOTORS_YET, {"reading": read_at(reading), "beside": beside, "place": place}
    )


class Load(StrEnum):
    """A fan motor's current as read beside its plate."""

    WITHIN = "within the plate"
    NEAR = "too close to the plate to tell"
    ABOVE_PLATE = "above the plate, within its service factor"
    OVERLOADED = "above what the plate allows"

    @property
    def above(self) -> bool:
        """Whether it lies above the plate."""
        return self in (Load.ABOVE_PLATE, Load.OVERLOADED)


@dataclass(frozen=True, slots=True)
class MotorLoad:
    """A fan motor at the speed at which it runs.

    Attributes
    ----------
    text : Load
    current : Band
        As read [A]; on a drive's line side the motor itself draws more as a rule.
    plate, limit : float
        Full-load current, and the same times the service factor where one is typed [A].
    ratio : float or None
        Fan speed over full speed; None where nothing tells.
    can_slow : bool
        Whether a drive runs it at full speed, so that it can be slowed at once.
    """

    where: Where
    text: Load
    current: Band
    plate: float
    limit: float
    ratio: float | None
    can_slow: bool

    @property
    def severity(self) -> Severity:
        """Above plate times service factor the motor stops, or is slowed where that can be done at once."""
        if self.text is Load.OVERLOADED:
            return Severity.ACT if self.can_slow else Severity.STOP
        return Severity.WATCH if self.text is Load.ABOVE_PLATE else Severity.NOTE


def motor_load(draws: Draws, where: Where) -> MotorLoad | None:
    """The fan's motor in one condition; None without a current and a plate that tell.

    Notes
    -----
    A current that was not read behind the drive excludes nothing, and convicts all the same: the line side
    carries less than the motor as a rule (common practice, no source).
    """
    fan, current = draws.job.unit.fan, draws.column(where, "fan_current")
    plate, speed = fan.motor_full_load_current, speed_ratio(draws, where)
    if plate is None or current is None or not current[0] > 0.0:
        return None
    read, limit = band(current), plate.value * (fan.service_factor.value if fan.service_factor else 1.0)
    over = read.value > limit
    text = Load.OVERLOADED if over else Load.ABOVE_PLATE if read.value > plate.value else Load.WITHIN
    if not text.above and not of_the_motor(draws, where):
        return None
    if text is Load.WITHIN and read.high > plate.value:
        text = Load.NEAR
    ratio = float(speed.draws[0]) if speed is not None else None
    can_slow = fan.drive == ON_A_DRIVE and (ratio is None or ratio >= FULL_SPEED)
    return MotorLoad(where, text, read, plate.value, limit, ratio, can_slow)


ON_A_DRIVE = "variable frequency"


def of_the_motor(draws: Draws, where: Where) -> bool:
    """Whether the fan's current in a condition is the motor's own: read behind the drive where one is."""
    direct = draws.job.unit.fan.drive in ("belt, fixed", "two speed motor")
    return direct or draws.condition(where).air.fan_current_at in OF_THE_MOTOR


def read_at(reading: MotorReading) -> Reason:
    """A reading as typed and where it stands."""
    return Reason(
        MotorReason.READ_AT,
        {"text": reading.text, "visit": reading.where.visit, "condition": reading.where.condition},
    )


def _beside(reading: MotorReading, plate: float) -> Reason:
    read = band(reading.current)
    if read.high <= plate:
        return Reason(MotorReason.BELOW_THE_PLATE, {"plate": plate})
    above = read.low > plate
    return Reason(MotorReason.ABOVE_THE_PLATE if above else MotorReason.NEAR_THE_PLATE, {"plate": plate})
