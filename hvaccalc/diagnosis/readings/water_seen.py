"""What was seen of the water.

How much, when, where, and the state of pan, drain, trap and the rest. What a visit saw beats
the unit's table; both are kept, so that both can be shown. Signs of a visit on which a repair was noted, and
of later ones, are left out where water was seen before it: the budget explains the water as it was found.
What later visits saw is kept apart: a test of the drain that settles it as left, and water that came again.
"""

from dataclasses import dataclass
from enum import StrEnum, auto

from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.diagnosis.readings.signs import FULL_PAN, HELD_BACK, LOW_PAN
from hvaccalc.job.schema import Job
from hvaccalc.job.visit_tables import Signs
from hvaccalc.reason import Reason
from hvaccalc.units import Quantity

PLACES = ("coil face", "filters", "pan rim", "cabinet floor", "duct", "pipe", "above the unit")
OUTSIDE = ("coil face", "ceiling below", "grille")
"""Places that tell no way: the coil's face is wet whenever it cools, and any water gets below."""
COOLING, STOPPING, OFF = "while cooling", "after shut-down", "with cooling off"
PHASES = (COOLING, STOPPING, OFF)
WEATHER = ("mild days", "hot days", "humid days", "rain")
WHEN = {COOLING, STOPPING, "always", *WEATHER}
REPAIRS = ("repaired", "cleaned")
GATHERED = ("water_on", "pan_water", "sweating_on", "timing", "frost_on", "filters", "coil_face")
"""Signs of which several may be true together; of the others the latest visit's word counts."""
WRONG = {
    "trap": {"none", "dry"},
    "drain_air": {"drawn in", "blown out"},
    "drain_flow": HELD_BACK,
    "pour_test": {"backs up"},
    "pump": {"stopped"},
    "hot_water_coil": {"wet"},
}
"""Words of a sign that show something wrong, of which a temporary measure can make a right one."""
WET = {
    **WRONG,
    "pan_water": FULL_PAN,
    "filters": {"wet"},
    "sweating_on": {"cabinet", "duct", "suction line", "pan"},
    "water_with_cooling_off": {"yes"},
}
"""Words of a sign that show water, or that it does not run off, without amount, time or place."""


class Tried(StrEnum):
    """How a drain was tried."""

    FAN_AT_FULL_SPEED = auto()
    FAN = auto()
    FAN_NOT_NOTED = auto()
    WITH_DOOR = auto()


class WetAgain(StrEnum):
    """What shows on a later visit that water does not run off."""

    PAN = auto()
    DRAIN = auto()
    POURED_BACKS_UP = auto()
    AIR_DRAWN_IN = auto()
    TRAP_DRY = auto()
    NO_TRAP = auto()


class ToldBy(StrEnum):
    """What says that something was seen."""

    VISIT = auto()
    UNIT_TABLE = auto()
    JOB_TABLE = auto()


Statement = tuple[tuple[str, ...], tuple[Reason, ...]]
"""Words of a sign, and what says them."""


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing that was seen, and what else is said of it.

    Attributes
    ----------
    words : tuple of str
        As counted.
    source : tuple of Reason
    beside : tuple of Statement
        Overruled.
    """

    words: tuple[str, ...]
    source: tuple[Reason, ...]
    beside: tuple[Statement, ...] = ()

    @property
    def disagrees(self) -> bool:
        """Whether what it overrules says something else."""
        # A trap seen with water in it does not contradict a table that says it is there.
        known = set(self.words) | ({"present"} if "sealed" in self.words else set())
        return any(set(words) != set(self.words) and not set(words) <= known for words, _ in self.beside)


@dataclass(frozen=True, slots=True)
class DrainTest:
    """One drain or pour test.

    Attributes
    ----------
    visit : int
    fan, door : tuple of str
        State during the test; empty where nobody noted it.
    runs_off : bool
        Whether it drained: neither slow nor blocked nor backing up.
    """

    visit: int
    fan: tuple[str, ...]
    door: tuple[str, ...]
    runs_off: bool

    @property
    def tells(self) -> bool:
        """Whether it tells of the trap under suction: fan at full speed, door not open."""
        return "full" in self.fan and "open" not in self.door

    @property
    def how(self) -> Reason:
        """How it was made."""
        fan = Reason(Tried.FAN, {"state": " or ".join(self.fan)})
        if "full" in self.fan or not self.fan:
            fan = Reason(Tried.FAN_AT_FULL_SPEED if self.fan else Tried.FAN_NOT_NOTED)
        return Reason(Tried.WITH_DOOR, {"fan": fan, "door": " or ".join(self.door)}) if self.door else fan


@dataclass(frozen=True, slots=True)
class Fresh:
    """Water of a visit after those as found.

    Attributes
    ----------
    visit : int
    places : tuple of str
        Wet places, the coil's own face left out.
    shows : tuple of Reason
        Whatever else shows that water does not run off.
    """

    visit: int
    places: tuple[str, ...]
    shows: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class WaterSeen:
    """The evidence.

    Attributes
    ----------
    amount : Quantity or None
        Water seen; an average over the day where typed by the day [kg/s].
    sights : dict of str to Sight
        By the sign's key.
    visits : tuple of int
        Visits that count as found.
    trap_tested : bool
        A drain or pour test with the fan at full speed and the door not open: it tells of the trap too.
    drain_tested : bool
        Any drain or pour test.
    tests : tuple of DrainTest
        Every drain and pour test of every visit.
    fresh : tuple of Fresh
        Water on visits after those as found.
    """

    amount: Quantity | None
    sights: dict[str, Sight]
    visits: tuple[int, ...]
    trap_tested: bool
    drain_tested: bool
    tests: tuple[DrainTest, ...] = ()
    fresh: tuple[Fresh, ...] = ()

    @property
    def settled(self) -> DrainTest | None:
        """The latest test after those as found that tells of the trap; None where it was not made."""
        later = [test for test in self.tests if test.visit not in self.visits and test.tells]
        return later[-1] if later and later[-1].runs_off else None

    def words(self, key: str) -> tuple[str, ...]:
        """What was seen under a key; empty where nothing was."""
        return self.sights[key].words if key in self.sights else ()

    def has(self, key: str, *words: str) -> bool:
        """Whether one of the words was seen."""
        return bool(set(words) & set(self.words(key)))

    @property
    def daily(self) -> bool:
        """Whether the amount is told by the day, so that pauses count."""
        return self.amount is not None and ("day" in self.amount.unit or self.amount.unit == "gpd")

    @property
    def by_day(self) -> bool:
        """Whether ways are told by the day: so where the amount was, and where none was seen."""
        return self.amount is None or self.daily

    @property
    def places(self) -> frozenset[str]:
        """Where water was seen that tells of its way."""
        seen = set(self.words("water_on")) - set(OUTSIDE)
        return frozenset(seen | ({"filters"} if self.has("filters", "wet") else set()))

    @property
    def phases(self) -> frozenset[str]:
        """In which phases water came; empty where nothing was said of it."""
        told = {phase for phase in (COOLING, STOPPING) if self.has("timing", phase)}
        if self.has("timing", "always") or self.has("water_with_cooling_off", "yes"):
            told.add(OFF)
        return frozenset(told)

    @property
    def weather(self) -> frozenset[str]:
        """Weather named with the water."""
        return frozenset(self.words("timing")) & frozenset(WEATHER)

    @property
    def only_rain(self) -> bool:
        """Rain is all that was said of when it comes."""
        return set(self.words("timing")) == {"rain"}

    @property
    def wrong(self) -> dict[str, tuple[str, ...]]:
        """Words that show water by themselves, or that it does not run off, by the sign's key."""
        told = {key: [word for word in self.words(key) if word in words] for key, words in WET.items()}
        return {key: tuple(words) for key, words in told.items() if words}

    @property
    def stops_with_cooling(self) -> bool:
        """Seen not to come with cooling off."""
        return self.has("water_with_cooling_off", "no")

    @property
    def pan_low(self) -> bool:
        """Pan dry or with a film at most while the unit ran."""
        return self.has("pan_water", *LOW_PAN) and not self.has("pan_water", *FULL_PAN)

    @property
    def pan_full(self) -> bool:
        """Water standing in the pan, or more."""
        return self.has("pan_water", *FULL_PAN)

    @property
    def pan_dry(self) -> bool:
        """Pan dry while the unit ran; a film is water that reached it."""
        return self.pan_low and not self.has("pan_water", "film")

    @property
    def passed_the_pan(self) -> bool:
        """Dry pan, wet filters: the water never reached the pan."""
        return self.pan_dry and "filters" in self.places

    @property
    def ice(self) -> bool:
        """Ice seen on the coil."""
        return self.has("frost_on", "tubes", "coil face")


def water_seen(draws: Draws) -> WaterSeen:
    """Gather what the job says of the water."""
    job = draws.job
    visits = as_found(job)
    sights: dict[str, Sight] = {}
    for key in Signs.model_fields:
        seen = {v: words for v in visits if (words := _seen_on(job, v, key))}
        table = _table(job, key)
        if not seen and table is None:
            continue
        if key in GATHERED and seen:
            words = tuple(dict.fromkeys(word for words in seen.values() for word in words))
            first: Statement = (words, tuple(map(_visit, seen)))
            beside = [table] if table is not None else []
        else:
            ranked = [*_latest_first(job, key, seen), *([table] if table is not None else [])]
            first, beside = ranked[0], ranked[1:]
        sights[key] = Sight(*first, tuple(beside))
    every = drain_tests(job)
    tests = [test for test in every if test.visit in visits]
    later = (
        fresh for v in range(max(visits, default=0) + 1, len(job.visit) + 1) if (fresh := _fresh(job, v))
    )
    return WaterSeen(
        job.job.water_seen,
        sights,
        visits,
        any(test.tells for test in tests),
        bool(tests),
        every,
        tuple(later),
    )


def of_the_water(signs: Signs) -> bool:
    """Whether signs say anything of the water, or show that it does not run off."""
    looked = bool(signs.wet) or signs.pan_water is not None or signs.trap is not None
    seen = {key: set(sign.values) for key in Signs.model_fields if (sign := getattr(signs, key)) is not None}
    return looked or any(seen.get(key, set()) & words for key, words in {**WET, "timing": WHEN}.items())


def _latest_first(job: Job, key: str, seen: dict[int, tuple[str, ...]]) -> list[Statement]:
    """A sign by visits, the latest first; right under a temporary measure it stands behind what was wrong."""

    def behind(visit: int) -> bool:
        return key in WRONG and not set(seen[visit]) & WRONG[key] and _masked(job, visit)

    order = sorted(seen, key=lambda visit: (behind(visit), -visit))
    return [(seen[visit], (_visit(visit),)) for visit in order]


def _visit(number: int) -> Reason:
    return Reason(ToldBy.VISIT, {"visit": number})


def _masked(job: Job, visit: int) -> bool:
    """Whether a temporary measure of an earlier visit stands on this one, and something was wrong before."""
    day = job.visit[visit - 1].date
    held = any(
        work.kind == "temporary measure" and not (work.removed and day and work.removed <= day)
        for earlier in job.visit[: visit - 1]
        for work in earlier.work
    )
    return held and any(
        set(_seen_on(job, before, key)) & words for before in range(1, visit) for key, words in WRONG.items()
    )


def as_found(job: Job) -> tuple[int, ...]:
    """Visits before the first repair of the water; the first visit always counts.

    A repair before anybody saw the water is none of it: what comes after it is what has to be explained.
    """
    wet = [number for number in range(1, len(job.visit) + 1) if _wet(job, number)]
    for number, visit in enumerate(job.visit, 1):
        repaired = any(work.kind in REPAIRS for work in visit.work)
        if repaired and (not wet or wet[0] <= number):
            return tuple(range(1, max(1, number - 1, wet[0] if wet else 1) + 1))
    return tuple(range(1, len(job.visit) + 1))


def _wet(job: Job, visit: int) -> bool:
    """Whether a visit saw water where it does not belong."""
    return bool(set(_seen_on(job, visit, "water_on")) - {"coil face"}) or bool(
        set(_seen_on(job, visit, "pan_water")) & FULL_PAN
    )


def _fresh(job: Job, visit: int) -> Fresh | None:
    """Water that a visit after a repair saw; None without."""
    places = tuple(place for place in _seen_on(job, visit, "water_on") if place != "coil face")
    shows = [
        *(Reason(WetAgain.PAN, {"state": w}) for w in _seen_on(job, visit, "pan_water") if w in FULL_PAN),
        *(Reason(WetAgain.DRAIN, {"state": w}) for w in _seen_on(job, visit, "drain_flow") if w in HELD_BACK),
        *(
            shown
            for key, word, shown in (
                ("pour_test", "backs up", Reason(WetAgain.POURED_BACKS_UP)),
                ("drain_air", "drawn in", Reason(WetAgain.AIR_DRAWN_IN)),
                ("trap", "dry", Reason(WetAgain.TRAP_DRY)),
                ("trap", "none", Reason(WetAgain.NO_TRAP)),
            )
            if word in _seen_on(job, visit, key)
        ),
    ]
    return Fresh(visit, places, tuple(shows)) if places or shows else None


def _tables(job: Job, visit: int) -> list[tuple[Signs, bool]]:
    """Signs of a visit and of its conditions, with whether the unit was off."""
    those = job.visit[visit - 1]
    return [(those.signs, False), *((c.signs, c.calls == ()) for c in those.condition)]


def _seen_on(job: Job, visit: int, key: str) -> tuple[str, ...]:
    """Words of one sign on one visit; a pan seen empty with the unit off tells nothing of it running."""
    words: list[str] = []
    for signs, off in _tables(job, visit):
        sign = getattr(signs, key)
        if key == "water_on":
            words += signs.wet
        elif sign is not None:
            words += [w for w in sign.values if w != "unknown" and not (off and w in LOW_PAN)]
    return tuple(dict.fromkeys(words))


def _table(job: Job, key: str) -> Statement | None:
    """What job and unit tables say of a sign."""
    if key == "timing" and job.job.water_when:
        words = tuple(word for word in job.job.water_when if word != "unknown")
        return (words, (Reason(ToldBy.JOB_TABLE),)) if words else None
    word = {
        "trap": job.unit.drain.trap,
        "float_switch": job.unit.protection.float_switch,
        "freezestat": job.unit.protection.freezestat,
    }.get(key)
    if word in (None, "unknown"):
        return None
    return (str(word),), (Reason(ToldBy.UNIT_TABLE),)


def drain_tests(job: Job) -> tuple[DrainTest, ...]:
    """Drain and pour tests of a job, in the order of its visits; one passed under a measure tells nothing."""
    every = (test for v in range(1, len(job.visit) + 1) for test in _tests(job, v))
    return tuple(test for test in every if not (test.runs_off and _masked(job, test.visit)))


def _tests(job: Job, visit: int) -> list[DrainTest]:
    """Each drain or pour test of a visit."""
    found = []
    for signs, _ in _tables(job, visit):
        said = [sign.values for sign in (signs.drain_flow, signs.pour_test) if sign is not None]
        if not said:
            continue
        fan, door = (
            tuple(word for word in sign.values if word != "unknown") if sign is not None else ()
            for sign in (signs.tested_with_fan, signs.tested_with_door)
        )
        words = {word for those in said for word in those}
        runs_off = bool(words & {"free", "drains"}) and not words & {"slow", "blocked", "backs up"}
        found.append(DrainTest(visit, fan, door, runs_off))
    return found
