"""What speaks against a way of running: what it asks for, why, and what to do about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, StrEnum
from functools import cached_property

from hvaccalc.call import Mode
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.job.causes import Cause, Way
from hvaccalc.reason import Reason
from hvaccalc.service.diagnosed import Diagnosed
from hvaccalc.service.may_run.running import Running, circuits_on, running_in, ways_of_running
from hvaccalc.service.put_right import Ending, PutRight, ended, ice_read_right


class Asks(Enum):
    """What a concern asks for, the least first; with one stage less there has to be one below.

    `PROOF`: repaired and not read since. One stage less until it is read, and this way for that reading
    alone. `TO_BE_READ`: nothing was read, so nobody can say that it may run. `CIRCUIT`: the circuit of its
    steps stays off; what else runs by design in this way may run.
    """

    STEPS = 0
    TO_BE_READ = 1
    SLOWER = 2
    PROOF = 3
    LESS = 4
    CIRCUIT = 5
    OFF = 6


class Why(StrEnum):
    """Why a way of running is not plainly free."""

    NOTHING_READ = "nothing read"
    GAS = "flammable gas indoors"
    BRIDGED_SAFETY = "bridged safety"
    VACUUM = "vacuum"
    WITHOUT_CALL = "compressor without a call"
    FED_WITHOUT_CALL = "fed without a call"
    FAN = "fan off its design"
    FAN_OPEN = "fan not put right"
    FAN_MENDED = "fan repaired, not read"
    REPAIRED = "repaired, not read"
    CIRCUIT_REPAIRED = "circuit repaired, not read"
    HEAT_UNREAD = "heating not read"
    WIRED = "combination by the wiring"
    TABLE = "wiring table behind the readings"
    NOT_REACHED = "call reaches less"
    FAULT = "fault of the wiring"
    BREAK = "break located"
    ICE = "ice"
    FREEZES = "coil below freezing"
    SHORT_OF_AIR = "short of air"
    MOTOR = "motor above its plate"
    WHEEL = "wheel not as its sheaves ask"
    OUTDOOR_AIR = "too much outdoor air"
    BACKWARDS = "wheel turns backwards"
    CHECK = "check fails"
    CHECK_FASTER = "check fails at full speed"
    FLOODBACK = "liquid comes back"
    FLOODBACK_OPEN = "liquid may come back"
    NO_SUBCOOLING = "no subcooling"
    LOW = "low"
    HIGH = "high"
    CANNOT_TELL = "cannot tell"
    COLD_SUCTION = "suction below freezing"
    CONTRAST = "circuit stands out"
    WEAK = "does not pump"
    DRIER = "drier restricted"
    CONDENSER_FANS = "condenser fan stands"
    OVERLOADED = "compressor above its plate"
    STANDING_PRESSURE = "standing pressure"
    IDLE = "called, not running"
    MEASURE = "temporary measure stands"
    REFUSED = "measure refused"
    OVERDUE = "measure overdue"
    PAN_FULL = "pan full"
    WATER = "water"
    OUTSIDE = "water from outside"
    NO_GUARD = "no guard"
    GUARD_FAILED = "guard failed"
    TRAP = "trap fails"


class MeasureName(StrEnum):
    """What a temporary measure is called."""

    JUMPER = "jumper"
    OTHER = "measure"


class Do(StrEnum):
    """What to do today, the most pressing first."""

    GAS = "leave and air"
    TAKE_BRIDGE_OUT = "take the bridge out"
    STOP_VACUUM = "stop: suction in a vacuum"
    REMOVE_FEED = "remove the feed"
    OFF_WITHOUT_CALL = "off: runs without a call"
    OFF_FOR_MOTOR = "off: motor overloaded"
    SLOW_FAN = "slow the fan"
    READ_FIRST = "read first"
    OUTSIDE = "stop the water above"
    PAN_FULL = "empty the pan"
    CATCH = "catch the water"
    KEEP_MEASURE = "keep the measure"
    MEASURE_HOLDS = "measure stands, cause stays"
    MEASURE_TRAP = "measure stands, trap stays"
    THAW = "thaw"
    FAN_STANDS = "off until the fan runs"
    TURN_ROUND = "turn the wheel round"
    BELT = "see to the belt"
    LOCK_OUT = "lock the second stage out"
    LOCK_OUT_UNREAD = "lock the second stage out, read the first"
    READ_FULL_COOLING = "read the fan in full cooling"
    SECOND_ALONE = "second stage out of use"
    HEATING_OFF = "heating off"
    HEATING_UNPROVED = "heating unproved"
    HEATING_UNREAD = "read before it heats"
    HEATING_WITH_MEASURE = "read heating with the measure"
    PROVE_FAN = "prove the fan"
    PROVE_COLD = "prove the coil warm"
    PROVE_DRY = "prove it dry"
    PROVE_CIRCUIT = "prove the circuit"
    CHECK_TABLE = "check the wiring table"
    KEEP_OFF_COLD = "off: coil freezes"
    LESS_COLD = "less: coil freezes"
    COLD_CIRCUIT = "off: cold circuit"
    WATCH_COLD = "watch a cold coil"
    AIR = "clear the air's way"
    OUTDOOR_AIR = "see to the outdoor damper"
    MOTOR_WARM = "motor above its plate"
    CHECK = "see to a check"
    NOT_FASTER = "not faster yet"
    FASTER_NOW = "faster since its repair"
    FOLLOW_CALL = "follow the call"
    MEND_WIRING = "mend the wiring"
    MEASURE_REFUSED = "measure off"
    MEASURE_OVERDUE = "measure out"
    FIND_HOLD = "find what holds it off"
    CONDENSER_FANS = "off: condenser fan stands"
    OVERLOADED = "off: compressor overloaded"
    CIRCUIT_OUT = "circuit out of use"
    FLOODBACK_OFF = "off: liquid comes back"
    FLOODBACK_CONFIRM = "confirm floodback"
    LEAK_OFF = "off: leak"
    LEAK_MAY_RUN = "leak, may run"
    LOW = "weigh in"
    HIGH = "take nothing out yet"
    CANNOT_TELL = "add and take nothing"
    CONTRAST = "nothing on a comparison"
    WEAK = "compressor first"
    DRIER = "drier first"
    STANDING_PRESSURE = "nothing on a standing pressure"
    NO_SUBCOOLING = "watch a circuit short of refrigerant"
    TRAP = "watch the pan"
    GUARD = "guard the pan"
    GUARD_FAILED = "switch does not stop it"


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do; `circuit` where it belongs to one."""

    what: Reason
    circuit: str | None = None


@dataclass(frozen=True, slots=True)
class Concern:
    """What speaks against some ways of running.

    Attributes
    ----------
    ways : tuple of Running
    asks : Asks
    why : Reason
    do : tuple of Action
        Never empty.
    """

    ways: tuple[Running, ...]
    asks: Asks
    why: Reason
    do: tuple[Action, ...]


@dataclass(frozen=True)
class Case:
    """A diagnosis, what became of its causes, and the ways of running that the unit has."""

    of: Diagnosed
    ends: tuple[PutRight, ...]

    @cached_property
    def ways(self) -> tuple[Running, ...]:
        """Every way of running, the unit off left out."""
        return ways_of_running(self.of)

    def those(self, *modes: Mode) -> tuple[Running, ...]:
        """Ways of running of some modes."""
        return tuple(running for running in self.ways if running.mode in modes)

    @property
    def cooling(self) -> tuple[Running, ...]:
        """Ways of running that cool."""
        return self.those(Mode.COOL)

    @property
    def full_cooling(self) -> Running:
        """All cooling stages."""
        return self.cooling[-1]

    def with_circuit(self, name: str) -> tuple[Running, ...]:
        """Ways of running in which a circuit runs by design."""
        return tuple(running for running in self.ways if name in circuits_on(self.of, running))

    def read(self, running: Running) -> list[ConditionResult]:
        """Conditions read in a way of running, the latest first; unknown calls count as any cooling."""
        those = []
        for result in self.of.visits.by_time:
            here = running_in(self.of, result.where)
            if here == running or (here is None and running.mode is Mode.COOL):
                those.append(result)
        return those[::-1]

    def last(self, running: Running, says: Callable[[ConditionResult], bool]) -> ConditionResult | None:
        """The latest condition of a way of running that says something of a matter; None without."""
        return next((result for result in self.read(running) if says(result)), None)

    def running(self, where: Where) -> tuple[Running, ...]:
        """Ways of running that a reading of a condition speaks of: its own, or all that cool."""
        here = running_in(self.of, where)
        return self.cooling if here is None else (here,)

    def end(self, cause: Cause, circuit: str | None = None) -> PutRight | None:
        """What became of a cause; None where it was neither found nor mended."""
        return ended(self.ends, cause, circuit)

    def open(self, cause: Cause, circuit: str | None = None) -> bool:
        """Whether a cause was found and not put right."""
        end = self.end(cause, circuit)
        return end is not None and end.open

    def closed(self, cause: Cause, circuit: str | None = None) -> bool:
        """Whether a cause was put right."""
        end = self.end(cause, circuit)
        return end is not None and not end.open

    def mended(self, cause: Cause, circuit: str | None = None) -> bool:
        """Whether a cause was repaired and not read since."""
        end = self.end(cause, circuit)
        return end is not None and end.ending is Ending.MENDED

    def way_closed(self, way: Way) -> bool:
        """Whether what stands behind a way of the water was put right, ice by a reading alone."""
        if way.cause is not None:
            return self.closed(way.cause)
        budget = self.of.water
        if way is not Way.MELT or budget is None:
            return False
        last = max(budget.seen.visits, key=self.of.visits.turn, default=0)
        return ice_read_right(self.of, last) is not None
