"""Signs as they were typed of a condition or its visit: ice, what holds the air back, what a word means."""

from hvaccalc.diagnosis.readings.draws import Draws, Where
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
BULB_SEVERITY = Severity.WATCH
"""How much a loose bulb matters by itself."""
