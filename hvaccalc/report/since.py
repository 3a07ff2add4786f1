"""What a later visit made of a cause found earlier: read as right, or noted as repaired.

A repair counts for a cause only where its note speaks of it; a later visit that sees the cause again takes
the repair back. Either way the proof of the return visit is still due.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from hvaccalc.diagnosis.air.speed_check import PASS, Check
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.findings import Finding
from hvaccalc.job.signs import Signs
from hvaccalc.job.visit_tables import Work
from hvaccalc.report.found import Found, where_of
from hvaccalc.report.words import date_text

REPAIRED = ("repaired", "cleaned", "recovered refrigerant")
"""Kinds of work that put something right; a temporary measure does not."""

SPEAKS_OF = {
    "melt": r"filter|coil face|coil clean|fan|drive|duct",
    "pan_overflow": r"\bdrain",
    "trap": r"\btrap",
    "carry_over": r"sheave|pulley|belt|\bfan\b|fan speed",
    "coil_drip": r"\bpan\b|\blip\b",
    "sweating": r"insulat|wrap|lagging|sweat",
    "pan_leak": r"\bpan\b",
    "pump": r"\bpump",
    "hot_water_coil": r"heating coil|hot.water",
    "outside": r"\bpipe|\broof|gutter|outside",
    "shut_down_drain": r"\bpan\b|\blip\b",
    "fan": r"\bfan\b|drive|relay|preset",
    "air": r"filter|coil face|coil clean|duct|damper|belt|\bfan\b",
    "charge": r"charge|refrigerant|leak|weigh|drier|valve",
}
"""Words of a note that speak of a cause."""

CHECKS = {"trap_against_pan_suction": "trap", "coil_face_velocity": "carry_over"}
"""Checks of the fan's speed that a repair of another cause answers."""


@dataclass(frozen=True, slots=True)
class Since:
    """How a cause was put right after it was found.

    Attributes
    ----------
    visit : int
        Of the repair, or of the reading that shows it.
    date : str
        Of that visit, in words.
    read : ConditionResult or None
        Condition that reads it right; None where only the note says so.
    notes : tuple of str
        Of the repairs, empty where none speaks of it.
    """

    visit: int
    date: str
    read: ConditionResult | None
    notes: tuple[str, ...]

    @property
    def noted(self) -> str:
        """The repair as a line of the permanent repair."""
        return f"Noted as repaired on {self.date}: {' '.join(self.notes)} Proof still due."


def of_finding(found: Found, finding: Finding) -> Since | None:
    """What became of the cause that a finding tells; None while it stands."""
    key, place = finding.key, where_of(finding)
    if key == "water.dominant":
        return of_water(found, finding.text or "")
    if key.startswith("trap."):
        return of_water(found, "trap")
    if key.startswith("fan.check."):
        return of_check(found, key.removeprefix("fan.check."), place.visit)
    if key == "staging.fault" and (finding.visit is None or found.decisive_place == place):
        return _both(found, found.put_right, "fan", place.visit)
    if key.startswith("freeze.probability") or key == "coil.ice_seen":
        return _both(found, _warm_since(found, place.visit), "melt", place.visit, alone=False)
    if key == "airflow.short":
        return _both(found, found.air_right, "air", place.visit)
    if key == "circuit.charge":
        return _repair(found, "charge", place.visit, finding.circuit)
    if key == "circuit.contrast":
        right = _charted_since(found, finding)
        return _both(found, right, "charge", place.visit, finding.circuit)
    return None


def of_water(found: Found, way: str) -> Since | None:
    """What became of a way of the water; of ice by its readings too."""
    budget = found.analysis.water
    if budget is None or way not in SPEAKS_OF:
        return None
    last = found.turn(max(budget.seen.visits, key=found.turn))
    first = budget.seen.visits[0]
    right = _warm_since(found, max(budget.seen.visits, key=found.turn)) if way == "melt" else None
    since = _both(found, right, way, first, alone=way != "melt")
    again = since is not None and any(
        _seen_again(found, way, number)
        for number in found.visits
        if found.turn(number) > max(last, found.turn(since.visit))
    )
    return None if again else since


def of_check(found: Found, name: str, visit: int) -> Since | None:
    """What became of a check that failed: a later visit passes it, or its cause was repaired."""
    later = [r for r in found.by_time if found.turn(r.where.visit) > found.turn(visit)]
    states = [(r, _check(r, name)) for r in later]
    known = [(r, check.state) for r, check in states if check is not None]
    if known and known[-1][1] == PASS:
        return _both(found, known[-1][0], CHECKS.get(name, "air"), visit)
    return of_water(found, CHECKS[name]) if CHECKS.get(name) == "trap" else None


def marks(since: Since) -> str:
    """The words that follow a cause put right."""
    return f" Put right since ({since.date})."


def _check(result: ConditionResult, name: str) -> Check | None:
    checks = result.speed.checks if result.speed is not None else ()
    return next((check for check in checks if check.name.replace(" ", "_") == name), None)


def _both(
    found: Found,
    right: ConditionResult | None,
    cause: str,
    visit: int,
    circuit: str | None = None,
    alone: bool = True,
) -> Since | None:
    """Reading and note together; with `alone` a note is enough."""
    repair = _repair(found, cause, visit, circuit)
    if right is not None:
        number = right.where.visit
        notes = repair.notes if repair is not None else ()
        return Since(number, date_text(found.job.visit[number - 1].date), right, notes)
    return repair if alone else None


def _repair(found: Found, cause: str, visit: int, circuit: str | None = None) -> Since | None:
    """The latest repair on or after a visit whose note speaks of a cause."""
    for number in reversed(found.visits):
        if found.turn(number) < found.turn(max(visit, 1)):
            break
        told = tuple(_sentence(work) for work in _works(found, number) if _speaks(work, cause, circuit))
        if told:
            return Since(number, date_text(found.job.visit[number - 1].date), None, told)
    return None


def _works(found: Found, number: int) -> Iterator[Work]:
    return (work for work in found.job.visit[number - 1].work if work.kind in REPAIRED and work.note)


def _speaks(work: Work, cause: str, circuit: str | None) -> bool:
    if circuit is not None and work.circuit not in (None, circuit):
        return False
    return re.search(SPEAKS_OF[cause], work.note or "", re.IGNORECASE) is not None


def _sentence(work: Work) -> str:
    return f"{(work.note or '').strip().rstrip('.')}."


def _warm_since(found: Found, visit: int) -> ConditionResult | None:
    """A later visit with every stage on and the coil above freezing, none after it below."""
    later = [r for r in found.by_time if found.turn(r.where.visit) > found.turn(visit)]
    if any(found.cold(r.where) for r in later):
        return None
    return next((r for r in later if found.full_call(r) and found.warm(r.where)), None)


def _charted_since(found: Found, finding: Finding) -> ConditionResult | None:
    charge = found.charge(finding.circuit or "")
    later = charge is not None and found.turn(charge.visit or 1) > found.turn(finding.visit or 1)
    return found.result(charge) if charge is not None and later and charge.text == "as charted" else None


def _seen_again(found: Found, way: str, number: int) -> bool:
    """Whether a visit saw water, or the way itself, after the repair."""
    visit = found.job.visit[number - 1]
    return any(_again(signs, way) for signs in (visit.signs, *(c.signs for c in visit.condition)))


def _again(signs: Signs, way: str) -> bool:
    def saw(key: str, *words: str) -> bool:
        sign = getattr(signs, key)
        seen = set(sign.values) - {"unknown", "none"} if sign is not None else set()
        return bool(seen & set(words) if words else seen)

    own = {
        "trap": saw("trap", "dry") or saw("drain_air", "drawn in") or saw("pan_water", "full", "over"),
        "sweating": saw("sweating_on"),
        "melt": saw("frost_on", "tubes", "coil face"),
    }
    return own.get(way, False) or saw("water_on")
