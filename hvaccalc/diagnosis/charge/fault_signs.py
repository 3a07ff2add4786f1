"""Signs that faults leave in the residuals of a circuit, and which faults explain a pattern of signs.

A sign is +1 or -1 where a residual (measured less what a sound unit would show) lies beyond its band, 0 where
it does not: a small fault hides there, so that a 0 contradicts nothing.

Sources: fixed orifice, the rules of Rossi and Braun as Li and Braun tabulate them (Fault Detection and
Diagnostics for Rooftop Air Conditioners, table 1-1). Valves: superheat stays neutral until the valve is wide
open (ASHRAE RP-1173), overcharge as measured on two valve units (NIST campaign of 7,375 chamber rows); the
rest common practice, no source.
"""

from collections.abc import Mapping

READINGS = ("suction saturation", "superheat", "condensing saturation", "subcooling", "air drop")
"""What is compared: saturation at the coil's exit, superheat, condensing saturation, subcooling, and how much
the air cools."""

LOW_AIR, LOW_CHARGE, RESTRICTION, STARVED = "low airflow", "short of charge", "restriction", "starved valve"
OVERCHARGE, CONDENSER, AIR_INSIDE = "overcharge", "short-aired condenser", "non-condensables"
HEAD_CONTROL, OVERFEED, WORN = "head-pressure control at work", "overfeeding valve", "worn compressor"

ANY = "-0+"

# Signs that each fault may leave, in the order of READINGS; one without 0 is what the fault is known by: a
# residual that leans the other way speaks against it.
ORIFICE = {
    LOW_AIR: ("-", "-0", "-0", "-0", "+0"),
    LOW_CHARGE: ("-0", "+0", "-0", "-", "-0"),
    RESTRICTION: ("-0", "+0", "-0", "+0", "-0"),
    OVERCHARGE: ("+0", "-0", "+0", "+", ANY),
    CONDENSER: ("+0", "-0", "+", ANY, "-0"),
    AIR_INSIDE: ("+0", "-0", "+", "+0", "-0"),
    HEAD_CONTROL: ("+0", ANY, "+", ANY, ANY),
    WORN: ("+", "-0", "-0", "-0", "-0"),
}
VALVE = {
    # Two valve units differed in superheat and subcooling under low air: neither sign tells.
    LOW_AIR: ("-", ANY, "-0", ANY, "+0"),
    LOW_CHARGE: ("-0", "+0", "-0", "-", "-0"),
    RESTRICTION: ("-0", "+0", ANY, "+0", "-0"),
    STARVED: ("-0", "+0", ANY, "+0", "-0"),
    OVERCHARGE: ("+0", "-0", "+0", "+", ANY),
    CONDENSER: ("+0", ANY, "+", ANY, "-0"),
    AIR_INSIDE: ("+0", ANY, "+", "+0", "-0"),
    HEAD_CONTROL: ("+0", ANY, "+", ANY, ANY),
    OVERFEED: ("+0", "-", ANY, "-0", ANY),
    WORN: ("+", "-0", "-0", "-0", "-0"),
}

LOOK_ALIKE = (LOW_AIR, RESTRICTION)
"""146 of 278 chamber tests with low air looked like a restricted liquid line to a classifier of residuals
(NIST campaign): neither goes from the list for its signs alone while the airflow is not proved."""

SEPARATES = (
    (
        (LOW_AIR,),
        (LOW_CHARGE, RESTRICTION, STARVED),
        "the airflow (traverse), or the fan at full speed with filters and coil face seen clean",
    ),
    (
        (LOW_CHARGE,),
        (RESTRICTION, STARVED),
        "subcooling at the outdoor unit: low when short of charge, not low when something holds liquid back",
    ),
    (
        (RESTRICTION,),
        (STARVED,),
        "temperature before and after the drier and along the liquid line: a restriction there cools the "
        "liquid, a starved valve does not",
    ),
    (
        (OVERCHARGE, LOW_CHARGE),
        (CONDENSER,),
        "the condenser: its face, its fans by count, the air on and off it",
    ),
    (
        (OVERCHARGE, CONDENSER),
        (AIR_INSIDE,),
        "the standing pressure, unit off and all metal at the air's warmth, against the outdoor dry bulb",
    ),
    (
        (OVERCHARGE, CONDENSER, AIR_INSIDE),
        (HEAD_CONTROL,),
        "which head-pressure control is fitted, and the readings again on a warm day",
    ),
    ((LOW_CHARGE, CONDENSER, LOW_AIR), (WORN,), "the compressor's current and discharge temperature"),
    ((LOW_CHARGE, CONDENSER, LOW_AIR), (OVERFEED,), "the sensing bulb's seat"),
    ((OVERFEED,), (WORN,), "superheat at the coil with the sensing bulb seen tight and insulated"),
)
"""Groups of faults, and the reading that tells the first from the second."""


TABLES = {"fixed orifice": (ORIFICE,), "TXV": (VALVE,), "EEV": (VALVE,)}
"""Signs by fault for a metering device; where it is not known a fault may leave those of either."""


def consistent(
    signs: Mapping[str, int],
    metering: str | None,
    airflow_proved: bool = False,
    leans: Mapping[str, int] | None = None,
) -> tuple[str, ...]:
    """Faults that leave every sign of a pattern; empty where no residual stands out.

    Parameters
    ----------
    signs : mapping
        -1, 0 or +1 by `READINGS`; what was not read is absent.
    metering : str or None
        As in the job.
    airflow_proved : bool
        Whether the airflow is known: then low air is none of them.
    leans : mapping, optional
        -1 or +1 where a residual leans to one side without being sure.

    Examples
    --------
    Low suction alone never means low charge:

    >>> consistent({"suction saturation": -1, "superheat": 0, "subcooling": 0}, "TXV")
    ('low airflow', 'short of charge', 'restriction', 'starved valve')
    """
    if not any(signs.values()):
        return ()
    tables = TABLES.get(metering or "", (VALVE, ORIFICE))
    known = dict.fromkeys(fault for table in tables for fault in table)
    found = [
        fault
        for fault in known
        if any(fault in table and _explains(table[fault], signs, leans or {}) for table in tables)
    ]
    liquid_short = signs.get("subcooling", 0) < 0
    if signs.get("subcooling", 0) > 0 and not _starves(signs, leans or {}):
        # The line before a starved valve stays full: what the condenser has gained, the coil has lost.
        found = [fault for fault in found if fault != STARVED]
    alike = set(LOOK_ALIKE) & set(found)
    # Liquid that is short speaks against a restriction, unless low air alone is left to accuse.
    if alike and not airflow_proved and "air drop" not in signs and (not liquid_short or len(found) == 1):
        found += [fault for fault in LOOK_ALIKE if fault not in found]
    return tuple(fault for fault in known if fault in found and not (airflow_proved and fault == LOW_AIR))


def _starves(signs: Mapping[str, int], leans: Mapping[str, int]) -> bool:
    """Whether the superheat stands or leans high, or was not read."""
    return "superheat" not in signs or (signs["superheat"] or leans.get("superheat", 0)) > 0


_WORDS = {-1: "-", 0: "0", 1: "+"}


def _explains(allowed: tuple[str, ...], signs: Mapping[str, int], leans: Mapping[str, int]) -> bool:
    for name, may in zip(READINGS, allowed, strict=True):
        sign = signs.get(name, 0)
        lean = sign or (leans.get(name, 0) if "0" not in may else 0)
        if lean and _WORDS[lean] not in may:
            return False
    return True


def separating(faults: tuple[str, ...]) -> tuple[str, ...]:
    """Readings that tell the faults of a set apart, the most telling first."""
    there = set(faults)
    return tuple(reading for one, other, reading in SEPARATES if there & set(one) and there & set(other))
