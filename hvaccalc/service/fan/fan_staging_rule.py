"""Whether an energy code demands a staged fan of this unit, and whether full speed at all times breaks it.

Editions stand in ``data/fan_staging_rules.toml``. The answer may be "unclear", with what would settle it; it
never replaces a look at the code that the place has adopted.
"""

import datetime
import difflib
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, auto
from functools import lru_cache
from typing import Any

from hvaccalc import units
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.compressors import stage_in_use
from hvaccalc.diagnosis.readings.draws import Draws
from hvaccalc.ensemble import Band
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.reason import Reason
from hvaccalc.resources import data_path
from hvaccalc.service.fan.energy import FanPower
from hvaccalc.severity import Severity


class Staged(StrEnum):
    """Whether a staged fan is asked for."""

    REQUIRED = "required"
    NOT_REQUIRED = "not required"
    UNCLEAR = "unclear"


class Design(StrEnum):
    """Whether the unit's lowest fan stage keeps to the rule."""

    MET = "met"
    BROKEN = "broken"
    NOT_KNOWN = "not known"


class RuleWhy(StrEnum):
    """How a rule and its edition were come by."""

    BELOW_EVERY = auto()
    DATE_UNKNOWN = auto()
    BEFORE_EDITION = auto()
    BELOW = auto()
    NOT_BELOW = auto()
    NO_CODE_NAMED = auto()
    CODE_NOT_CARRIED = auto()
    WHEN_INSTALLED = auto()
    NEAREST = auto()
    CARRIED = auto()


class RuleOpen(StrEnum):
    """What would settle what is open of a rule."""

    DATE = "when the unit was installed or its permit issued"
    EDITION = "which edition the place had adopted at that date"
    LOW_SPEED = "the fan's low speed and how it is reached"
    BOTH_POWERS = "the fan's power read at both speeds"


@dataclass(frozen=True, slots=True)
class Stage:
    """What the lowest fan stage may have of full speed and full power, 0-1."""

    speed: float
    power: float


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition: thresholds are (first day, capacity [W]) in order of time."""

    name: str
    title: str
    year: int
    standing: str
    thresholds: tuple[tuple[datetime.date, float], ...]
    staged: Stage
    modulating: Stage


@dataclass(frozen=True, slots=True)
class StagingRule:
    """Answer for one unit.

    Attributes
    ----------
    text : Staged
    edition : Edition
    why : Reason
    settle : tuple of RuleOpen
        What would settle what is open.
    design : Design
    found_full : str
        Label of a condition in which one of two stages ran with the fan at full speed; empty where none did.
    notice : Reason or None
        How the edition was chosen; None where the job names it.
    """

    text: Staged
    edition: Edition
    why: Reason
    settle: tuple[RuleOpen, ...]
    design: Design
    found_full: str
    notice: Reason | None

    @property
    def severity(self) -> Severity:
        """A rule that binds and is broken, by design or as found, is to be watched."""
        broken = self.design is Design.BROKEN or self.found_full
        return Severity.WATCH if self.text is Staged.REQUIRED and broken else Severity.NOTE


@lru_cache(maxsize=1)
def editions() -> dict[str, Edition]:
    """Editions of the data file by their word."""
    table = tomllib.loads(data_path("fan_staging_rules.toml").read_text("utf-8"))
    return {name: _edition(name, row) for name, row in table.items()}


def _edition(name: str, row: dict[str, Any]) -> Edition:
    return Edition(
        name=name,
        title=row["title"],
        year=row["year"],
        standing=row["standing"],
        thresholds=tuple((t["from"], units.parse(t["capacity"], "heat").value) for t in row["thresholds"]),
        staged=Stage(**row["staged"]),
        modulating=Stage(**row["modulating"]),
    )


def chosen(word: str | None, installed: datetime.date | None) -> tuple[Edition, Reason | None]:
    """The edition that a job names, else the newest in force when the unit was installed; and how chosen."""
    known = editions()
    folded = {name.casefold(): name for name in known}
    if word is not None and word.casefold() in folded:
        return known[folded[word.casefold()]], None
    there = [e for e in known.values() if installed is None or e.thresholds[0][0] <= installed]
    newest = max(there or known.values(), key=lambda edition: edition.year)
    at = "" if installed is None or not there else Reason(RuleWhy.WHEN_INSTALLED)
    if word is None:
        return newest, Reason(RuleWhy.NO_CODE_NAMED, {"at": at, "newest": newest.name})
    near = difflib.get_close_matches(word.casefold(), folded, 1)
    hint = Reason(RuleWhy.NEAREST, {"name": folded[near[0]]}) if near else None
    hint = hint or Reason(RuleWhy.CARRIED, {"names": tuple(known)})
    return newest, Reason(
        RuleWhy.CODE_NOT_CARRIED, {"word": word, "hint": hint, "at": at, "newest": newest.name}
    )


def staging_rule(
    draws: Draws, power: FanPower | None, results: Sequence[ConditionResult] = ()
) -> StagingRule:
    """Answer for a job's unit.

    Parameters
    ----------
    draws : Draws
    power : FanPower or None
        Speed and power at the lowest stage.
    results : sequence of ConditionResult
        As read.
    """
    job = draws.job
    installed = job.service.installed
    edition, notice = chosen(job.rules.energy_code, installed)
    text, why, settle = _required(edition, job.unit.rated_capacity.value, installed)
    design, lacking = _design(draws, edition, power)
    if text is not Staged.NOT_REQUIRED:
        settle += lacking
    return StagingRule(text, edition, why, settle, design, _always_full(draws, results), notice)


def _always_full(draws: Draws, results: Sequence[ConditionResult]) -> str:
    highest = max(draws.stage(name) for name in draws.job.circuit)
    for result in results:
        ratio = result.airflow.speed_ratio if result.airflow is not None else None
        stage = stage_in_use(draws, result.where)
        if ratio is None or ratio.basis != "measured" or not stage or stage >= highest:
            continue
        if ratio.draws[0] >= FULL_SPEED:
            return result.label
    return ""


def _required(
    edition: Edition, capacity: float, installed: datetime.date | None
) -> tuple[Staged, Reason, tuple[RuleOpen, ...]]:
    name = edition.name
    if capacity < min(top for _, top in edition.thresholds):
        return Staged.NOT_REQUIRED, Reason(RuleWhy.BELOW_EVERY, {"capacity": capacity, "edition": name}), ()
    if installed is None:
        why = Reason(RuleWhy.DATE_UNKNOWN, {"capacity": capacity, "edition": name})
        return Staged.UNCLEAR, why, (RuleOpen.DATE,)
    past = [(day, top) for day, top in edition.thresholds if day <= installed]
    if not past:
        why = Reason(RuleWhy.BEFORE_EDITION, {"installed": str(installed), "edition": name})
        return Staged.UNCLEAR, why, (RuleOpen.EDITION,)
    day, top = past[-1]
    below = capacity < top
    why = Reason(
        RuleWhy.BELOW if below else RuleWhy.NOT_BELOW,
        {"capacity": capacity, "limit": top, "edition": name, "day": str(day)},
    )
    return Staged.NOT_REQUIRED if below else Staged.REQUIRED, why, ()


def _design(draws: Draws, edition: Edition, power: FanPower | None) -> tuple[Design, tuple[RuleOpen, ...]]:
    """Whether the unit's lowest stage keeps to the limits for capacity staged by the space temperature."""
    if draws.job.unit.fan.drive == "belt, fixed":
        return Design.BROKEN, ()
    if power is None:
        return Design.NOT_KNOWN, (RuleOpen.LOW_SPEED,)
    share: Band = power.share
    if power.low_speed > edition.staged.speed + 1e-9 or share.low > edition.staged.power:
        return Design.BROKEN, ()
    if share.high > edition.staged.power:
        return Design.NOT_KNOWN, (RuleOpen.BOTH_POWERS,)
    return Design.MET, ()
