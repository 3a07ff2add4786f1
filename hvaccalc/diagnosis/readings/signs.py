"""Signs as they were typed of a condition or its visit: ice, what holds the air back, what a word means."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.job.causes import Cause
from hvaccalc.rows import complete
from hvaccalc.severity import Severity


def sign(draws: Draws, where: Where, name: str) -> tuple[str, ...]:
    """What was seen, in the condition or else on the visit; empty where nothing was said."""
    for signs in (draws.condition(where).signs, draws.job.visit[where.visit - 1].signs):
        seen = getattr(signs, name, None)
        if seen is not None:
            return tuple(word for word in seen.values if word != "unknown")
    return ()


def ice(draws: Draws, where: Where) -> tuple[str, ...]:
    """Where ice was seen on the coil, in words; empty where none was."""
    frost = tuple(
        f"the {place}" for place in sign(draws, where, "frost_on") if place in ("tubes", "coil face")
    )
    said = draws.condition(where).coil_thawed
    thawed = said if said in ("yes", "no") else next(iter(sign(draws, where, "coil_thawed")), None)
    return frost or (("the coil",) if thawed == "no" else ())


def air_held_back(draws: Draws, where: Where) -> tuple[str, ...]:
    """What was seen to hold the air back, ice apart, in words."""
    found = []
    if draws.condition(where).filters_clean == "no" or set(sign(draws, where, "filters")) & {"loaded", "wet"}:
        found.append("filters not clean")
    face = [word for word in sign(draws, where, "coil_face") if word in ("dirty", "bent")]
    found += [f"coil face {word}" for word in face]
    return (*found, *wheel_seen_wrong(draws, where))


AIR_PARTS = ("filters", "coil face", "belt", "dampers", "duct")
"""What the air passes, or what moves it."""


def may_hold_air(draws: Draws, where: Where) -> tuple[str, ...]:
    """What may hold the air back: of what it passes, the parts that nobody saw in order."""
    right = {
        "filters": draws.condition(where).filters_clean == "yes" or "clean" in sign(draws, where, "filters"),
        "coil face": "clean" in sign(draws, where, "coil_face"),
        "belt": "tight" in sign(draws, where, "belt"),
    }
    return tuple(part for part in AIR_PARTS if not right.get(part))


def wheel_seen_wrong(draws: Draws, where: Where) -> tuple[str, ...]:
    """What was seen of belt and rotation that costs air whatever a speed says, in words."""
    found = [f"belt {word}" for word in sign(draws, where, "belt") if word in ("loose", "worn")]
    turns = "reversed" in sign(draws, where, "fan_rotation")
    return (*found, *(("fan wheel turning backwards",) if turns else ()))


def obstructions(draws: Draws, where: Where) -> tuple[str, ...]:
    """What was seen to hold the air back, in words."""
    return (*air_held_back(draws, where), *(f"ice on {place}" for place in ice(draws, where)))


LOW_PAN = {"dry", "film"}
FULL_PAN = {"standing", "full", "overflowing"}
HELD_BACK = {"slow", "blocked"}
LOOSE_BULB = {"loose", "uninsulated"}


class SeenWrong(StrEnum):
    """A sign that shows something wrong by itself, whatever the readings say: its key and its word."""

    DRAIN_SLOW = "drain_flow: slow"
    DRAIN_BLOCKED = "drain_flow: blocked"
    POUR_BACKS_UP = "pour_test: backs up"
    NO_TRAP = "trap: none"
    TRAP_DRY = "trap: dry"
    AIR_DRAWN_IN = "drain_air: drawn in"
    AIR_BLOWN_OUT = "drain_air: blown out"
    PUMP_STOPPED = "pump: stopped"
    HEATING_COIL_WET = "hot_water_coil: wet"
    CABINET_SWEATS = "sweating_on: cabinet"
    DUCT_SWEATS = "sweating_on: duct"
    SUCTION_LINE_SWEATS = "sweating_on: suction line"
    PAN_SWEATS = "sweating_on: pan"
    COIL_DIRTY = "coil_face: dirty"
    COIL_BENT = "coil_face: bent"
    FILTERS_LOADED = "filters: loaded"
    FAN_STAYS = "fan_on_second_stage: stays"
    BELT_LOOSE = "belt: loose"
    BELT_WORN = "belt: worn"
    DAMPER_STUCK = "outdoor_damper: stuck"
    BULB_LOOSE = "sensing_bulb: loose"
    BULB_BARE = "sensing_bulb: uninsulated"
    OIL = "oil_trace: seen"
    LEAK_ALARM = "leak_detector: alarm"

    @property
    def cause(self) -> Cause | None:
        """What it speaks for; None where that has a circuit, which a sign does not name."""
        return CAUSES_SEEN[self]


CAUSES_SEEN: dict[SeenWrong, Cause | None] = complete(
    SeenWrong,
    {
        **dict.fromkeys(
            (SeenWrong.DRAIN_SLOW, SeenWrong.DRAIN_BLOCKED, SeenWrong.POUR_BACKS_UP), Cause.DRAIN
        ),
        **dict.fromkeys((SeenWrong.NO_TRAP, SeenWrong.TRAP_DRY), Cause.TRAP),
        **dict.fromkeys((SeenWrong.AIR_DRAWN_IN, SeenWrong.AIR_BLOWN_OUT), Cause.TRAP),
        SeenWrong.PUMP_STOPPED: Cause.PUMP,
        SeenWrong.HEATING_COIL_WET: Cause.HOT_WATER_COIL,
        **dict.fromkeys((SeenWrong.CABINET_SWEATS, SeenWrong.DUCT_SWEATS), Cause.SWEATING),
        **dict.fromkeys((SeenWrong.SUCTION_LINE_SWEATS, SeenWrong.PAN_SWEATS), Cause.SWEATING),
        **dict.fromkeys((SeenWrong.COIL_DIRTY, SeenWrong.COIL_BENT), Cause.LOW_AIRFLOW),
        SeenWrong.FILTERS_LOADED: Cause.LOW_AIRFLOW,
        SeenWrong.FAN_STAYS: Cause.FAN_STUCK_LOW,
        **dict.fromkeys((SeenWrong.BELT_LOOSE, SeenWrong.BELT_WORN), Cause.BELT),
        SeenWrong.DAMPER_STUCK: Cause.OUTDOOR_AIR,
        **dict.fromkeys((SeenWrong.BULB_LOOSE, SeenWrong.BULB_BARE)),
        **dict.fromkeys((SeenWrong.OIL, SeenWrong.LEAK_ALARM)),
    },
)

OF_A_LEAK = (SeenWrong.OIL, SeenWrong.LEAK_ALARM)
"""Signs of refrigerant that got out, of no circuit by name."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """Something wrong that was seen on a visit, or in a condition."""

    where: Where
    seen: SeenWrong

    @property
    def severity(self) -> Severity:
        """What was seen wrong is watched: a reading says how bad it is."""
        return Severity.WATCH


def sightings(draws: Draws) -> tuple[Sighting, ...]:
    """Everything that was seen wrong, in the file's order; air on the fan's wrong side is asked about."""
    other_side = AIR_OF_NO_TRAP[draws.job.unit.air_path != "blow through"]
    return tuple(
        Sighting(where, seen)
        for seen in SeenWrong
        if seen is not other_side
        for where in _places(draws, seen)
    )


AIR_OF_NO_TRAP = {True: SeenWrong.AIR_BLOWN_OUT, False: SeenWrong.AIR_DRAWN_IN}
"""What does not go with a pan that the fan draws on, and with one that it blows on."""


def _places(draws: Draws, seen: SeenWrong) -> Iterator[Where]:
    key, _, word = seen.value.partition(": ")
    for number, visit in enumerate(draws.job.visit, 1):
        for place, signs in enumerate((visit.signs, *(one.signs for one in visit.condition))):
            shown = getattr(signs, key)
            if shown is not None and word in shown.values:
                yield Where(number, place)
