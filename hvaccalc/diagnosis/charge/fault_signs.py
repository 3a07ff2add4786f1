"""Signs that faults leave in the residuals of a circuit, and which faults explain a pattern of signs.

A sign is +1 or -1 where a residual (measured less what a sound unit would show) lies beyond its band, 0 where
it does not: a small fault hides there, so that a 0 contradicts nothing.

Sources: fixed orifice, the rules of Rossi and Braun as Li and Braun tabulate them (Fault Detection and
Diagnostics for Rooftop Air Conditioners, table 1-1). Valves: superheat stays neutral until the valve is wide
open (ASHRAE RP-1173), overcharge as measured on two valve units (NIST campaign of 7,375 chamber rows); the
rest common practice, no source.
"""

from collections.abc import Mapping
from enum import StrEnum

READINGS = ("suction saturation", "superheat", "condensing saturation", "subcooling", "air drop")
"""What is compared: saturation at the coil's exit, superheat, condensing saturation, subcooling, and how much
the air cools."""


class CircuitFault(StrEnum):
    """A fault that the readings of a circuit may show, named as its cause where it is one."""

    LOW_AIRFLOW = "low airflow"
    LOW_CHARGE = "short of charge"
    RESTRICTION = "restriction"
    STARVED_VALVE = "starved valve"
    OVERCHARGE = "overcharge"
    CONDENSER_AIR = "short-aired condenser"
    NON_CONDENSABLES = "non-condensables"
    HEAD_CONTROL = "head-pressure control at work"
    OVERFEEDING_VALVE = "overfeeding valve"
    WEAK_COMPRESSOR = "worn compressor"


ANY = "-0+"

# Signs that each fault may leave, in the order of READINGS; one without 0 is what the fault is known by: a
# residual that leans the other way speaks against it.
ORIFICE = {
    CircuitFault.LOW_AIRFLOW: ("-", "-0", "-0", "-0", "+0"),
    CircuitFault.LOW_CHARGE: ("-0", "+0", "-0", "-", "-0"),
    CircuitFault.RESTRICTION: ("-0", "+0", "-0", "+0", "-0"),
    CircuitFault.OVERCHARGE: ("+0", "-0", "+0", "+", ANY),
    CircuitFault.CONDENSER_AIR: ("+0", "-0", "+", ANY, "-0"),
    CircuitFault.NON_CONDENSABLES: ("+0", "-0", "+", "+0", "-0"),
    CircuitFault.HEAD_CONTROL: ("+0", ANY, "+", ANY, ANY),
    CircuitFault.WEAK_COMPRESSOR: ("+", "-0", "-0", "-0", "-0"),
}
VALVE = {
    # Two valve units differed in superheat and subcooling under low air: neither sign tells.
    CircuitFault.LOW_AIRFLOW: ("-", ANY, "-0", ANY, "+0"),
    CircuitFault.LOW_CHARGE: ("-0", "+0", "-0", "-", "-0"),
    CircuitFault.RESTRICTION: ("-0", "+0", ANY, "+0", "-0"),
    CircuitFault.STARVED_VALVE: ("-0", "+0", ANY, "+0", "-0"),
    CircuitFault.OVERCHARGE: ("+0", "-0", "+0", "+", ANY),
    CircuitFault.CONDENSER_AIR: ("+0", ANY, "+", ANY, "-0"),
    CircuitFault.NON_CONDENSABLES: ("+0", ANY, "+", "+0", "-0"),
    CircuitFault.HEAD_CONTROL: ("+0", ANY, "+", ANY, ANY),
    CircuitFault.OVERFEEDING_VALVE: ("+0", "-", ANY, "-0", ANY),
    CircuitFault.WEAK_COMPRESSOR: ("+", "-0", "-0", "-0", "-0"),
}

LOOK_ALIKE = (CircuitFault.LOW_AIRFLOW, CircuitFault.RESTRICTION)
"""146 of 278 chamber tests with low air looked like a restricted liquid line to a classifier of residuals
(NIST campaign): neither goes from the list for its signs alone while the airflow is not proved."""

SEPARATES = (
    (
        (CircuitFault.LOW_AIRFLOW,),
        (CircuitFault.LOW_CHARGE, CircuitFault.RESTRICTION, CircuitFault.STARVED_VALVE),
        "the airflow (traverse), or the fan at full speed with filters and coil face seen clean",
    ),
    (
        (CircuitFault.LOW_CHARGE,),
        (CircuitFault.RESTRICTION, CircuitFault.STARVED_VALVE),
        "subcooling at the outdoor unit: low when short of charge, not low when something holds liquid back",
    ),
    (
        (CircuitFault.RESTRICTION,),
        (CircuitFault.STARVED_VALVE,),
        "temperature before and after the drier and along the liquid line: a restriction there cools the "
        "liquid, a starved valve does not",
    ),
    (
        (CircuitFault.OVERCHARGE, CircuitFault.LOW_CHARGE),
        (CircuitFault.CONDENSER_AIR,),
        "the condenser: its face, its fans by count, the air on and off it",
    ),
    (
        (CircuitFault.OVERCHARGE, CircuitFault.CONDENSER_AIR),
        (CircuitFault.NON_CONDENSABLES,),
        "the standing pressure, unit off and all metal at the air's warmth, against the outdoor dry bulb",
    ),
    (
        (CircuitFault.OVERCHARGE, CircuitFault.CONDENSER_AIR, CircuitFault.NON_CONDENSABLES),
        (CircuitFault.HEAD_CONTROL,),
        "which head-pressure control is fitted, and the readings again on a warm day",
    ),
    (
        (CircuitFault.LOW_CHARGE, CircuitFault.CONDENSER_AIR, CircuitFault.LOW_AIRFLOW),
        (CircuitFault.WEAK_COMPRESSOR,),
        "the compressor's current and discharge temperature",
    ),
    (
        (CircuitFault.LOW_CHARGE, CircuitFault.CONDENSER_AIR, CircuitFault.LOW_AIRFLOW),
        (CircuitFault.OVERFEEDING_VALVE,),
        "the sensing bulb's seat",
    ),
    (
        (CircuitFault.OVERFEEDING_VALVE,),
        (CircuitFault.WEAK_COMPRESSOR,),
        "superheat at the coil with the sensing bulb seen tight and insulated",
    ),
)
"""Groups of faults, and the reading that tells the first from the second."""


TABLES = {"fixed orifice": (ORIFICE,), "TXV": (VALVE,), "EEV": (VALVE,)}
"""Signs by fault for a metering device; where it is not known a fault may leave those of either."""


def consistent(
    signs: Mapping[str, int],
    metering: str | None,
    airflow_proved: bool = False,
    leans: Mapping[str, int] | None = None,
) -> tuple[CircuitFault, ...]:
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

    >>> tuple(map(str, consistent({"suction saturation": -1, "superheat": 0, "subcooling": 0}, "TXV")))
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
        found = [fault for fault in found if fault != CircuitFault.STARVED_VALVE]
    alike = set(LOOK_ALIKE) & set(found)
    # Liquid that is short speaks against a restriction, unless low air alone is left to accuse.
    if alike and not airflow_proved and "air drop" not in signs and (not liquid_short or len(found) == 1):
        found += [fault for fault in LOOK_ALIKE if fault not in found]
    return tuple(
        fault
        for fault in known
        if fault in found and not (airflow_proved and fault == CircuitFault.LOW_AIRFLOW)
    )


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


def separating(faults: tuple[CircuitFault, ...]) -> tuple[str, ...]:
    """Readings that tell the faults of a set apart, the most telling first."""
    there = set(faults)
    return tuple(reading for one, other, reading in SEPARATES if there & set(one) and there & set(other))
