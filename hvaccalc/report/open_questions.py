"""What cannot be told yet, and the reading that would settle it; the same question is asked once."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.water.budget import WaterBudget
from hvaccalc.diagnosis.water.pan_filling import PanFilling
from hvaccalc.diagnosis.water.verdicts import Left
from hvaccalc.findings.water import look, unexplained
from hvaccalc.job.causes import Way
from hvaccalc.report import water_again
from hvaccalc.report.found import Found
from hvaccalc.report.question import Question
from hvaccalc.words.said import Teller, capital
from hvaccalc.words.water import WAYS

FIRST_READINGS = (
    "return and supply air, dry bulb and wet bulb",
    "the fan's frequency or speed with no call, with each stage alone, and with all stages",
    "suction and liquid pressure, suction and liquid temperature of each circuit, with all stages on",
    "outdoor temperature, compressor currents, how long it had been running",
    "coil face, filters, pan and drain: looked at before, during and after a run; thawed or iced",
)


def questions(found: Found) -> list[Question]:
    """Open questions, those about the water first."""
    if not found.analysis.conditions:
        return [
            Question("Everything.", "Nothing was read yet.", "Read first: " + "; ".join(FIRST_READINGS) + ".")
        ]
    asked = [
        *_water(found),
        *_speed(found),
        *_freezing(found),
        *_charge(found),
        *_airflow(found),
        *_contradictions(found),
    ]
    return asked


def _water(found: Found) -> list[Question]:
    """What the water budget leaves open."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return [
            Question(
                "The water.",
                "Neither amount nor time nor place of the water was noted, so nothing is matched with it.",
                "Note when the water comes, how much in how long, where it is seen and what was running.",
            )
        ]
    left = unexplained(budget, found.teller)
    asked = [
        *water_again.questions(found),
        *(Question("To be asked.", found.teller.tell(one), "") for one in budget.trap.asked),
    ]
    if budget.filling is not None and budget.filling.late:
        asked.append(Question("The time.", _late(budget.filling), "" if found.plain else LATE_NEXT))
    settled = not left and (budget.dominant is not None or budget.all_at_work)
    if settled and not budget.open:
        return asked
    why = f"Not explained: {left}." if left else "More than one way can bring it; none stands out."
    if settled:
        why = ""
    if found.plain:
        return [*asked, _water_plainly(why, budget.open)]
    return [*asked, *_checklist(budget, why, found.teller)]


MOST_WAYS = 3
"""Ways that are named with the look that settles them, the likeliest first."""

NOT_RULED_OUT = "Not ruled out; look next, the likeliest way first:"
AMOUNT_NEXT = (
    "Catch the drain's water for an hour while the water comes, with the humidity of both airs read; what "
    "the air loses and the drain does not bring went elsewhere. Note what is caught below in that hour."
)
LATE_NEXT = "Start with an empty pan, note the minutes until it runs over, and measure its area and depth."


def _late(filling: PanFilling) -> str:
    """A pan that was full sooner than it fills."""
    value = filling.minutes
    return (
        f"The pan was seen full after {filling.full_after:.0f} min of cooling; from empty it takes "
        f"{value.value:.0f} min ({value.low:.0f} to {value.high:.0f}) to fill: it was not empty at the "
        "start, or holds less, or more water came."
    )


def _checklist(budget: WaterBudget, why: str, to: Teller) -> list[Question]:
    """The likeliest ways, each with its look; the rest in one line."""
    first, rest = budget.open[:MOST_WAYS], budget.open[MOST_WAYS:]
    asked = [Question("The water.", why, NOT_RULED_OUT if first else "")]
    for number, way in enumerate(first, 1):
        settles = _sentence(look(budget.weighed[way].mechanism, to))
        asked.append(Question(f"{number}. {capital(to.tell(way))}.", "", settles))
    if any(left.code is Left.AMOUNT for left in budget.unexplained):
        asked.append(Question("The amount.", "", AMOUNT_NEXT))
    if rest:
        asked.append(Question("Not ruled out either.", f"{capital(to.slot(rest))}.", ""))
    return asked


def _water_plainly(why: str, open_ways: Sequence[Way]) -> Question:
    words = [WAYS[way] for way in open_ways]
    told = [f"{one.title.customer} ({one.usual.look.customer})" for one in words if one.title.customer]
    more = f" and {len(told) - MOST_WAYS} other ways" if len(told) > MOST_WAYS else ""
    ways = f"Not ruled out yet: {'; '.join(told[:MOST_WAYS])}{more}." if told else ""
    look = "It has to be watched while the unit cools and after." if why and not told else ""
    return Question("The water.", f"{why} {ways}".strip(), look)


def _speed(found: Found) -> list[Question]:
    """Full calls in which nobody noted the fan's speed."""
    missing = [
        r for r in found.analysis.conditions
        if found.full_call(r) and (r.airflow is not None and (r.airflow.speed_ratio is None))
    ]  # fmt: skip
    if not missing or _one_speed(found):
        return []
    return [
        Question(
            "The fan.",
            f"Its speed was not read with all stages on{_in(found, missing)}.",
            f"Read {_how_fast(found)} with all stages called.",
        )
    ]


def _one_speed(found: Found) -> bool:
    """A unit of one stage for whose fan nothing names a drive or a speed: none has to follow the calls."""
    fan, draws = found.job.unit.fan, found.analysis.draws
    stages = {draws.stage(name) for name in found.job.circuit}
    said = fan.drive or fan.full_speed or fan.low_speed or found.job.wiring.fan_speed
    return max(stages, default=1) == 1 and not said


def _how_fast(found: Found) -> str:
    """What shows the fan's speed on this unit's drive."""
    drive = found.analysis.job.unit.fan.drive
    shows = "the drive's frequency"
    return (
        shows
        if drive == "variable frequency"
        else f"{shows} (or the fan's speed)"
        if drive is None
        else "the fan's speed"
    )


def _freezing(found: Found) -> list[Question]:
    unknown = [
        r
        for r in found.analysis.conditions
        if r.freeze is not None and not r.freeze.fin.known and not r.freeze.ice_seen
    ]
    if unknown and found.plain:
        lacking = f"Whether the cooling coil freezes cannot be told{_in(found, unknown)}."
        return [Question("The coil.", lacking, "More readings are needed.")]
    grouped: dict[str, list[ConditionResult]] = {}
    for result in unknown:
        if result.freeze is not None:
            lacking = ", ".join(result.freeze.missing)
            grouped.setdefault(lacking or f"({result.freeze.reason})", []).append(result)
    return [
        Question(
            "The coil.",
            f"Whether its coldest metal freezes cannot be told{_in(found, results)}.",
            f"Read {lacking}." if not lacking.startswith("(") else f"{lacking[1:-1].capitalize()}.",
        )
        for lacking, results in grouped.items()
    ]


def _charge(found: Found) -> list[Question]:
    """Circuits without a verdict, gathered by the reading that would give one."""
    grouped: dict[tuple[str, str], list[str]] = {}
    for name, circuit in found.job.circuit.items():
        finding = found.charge(name)
        if finding is None:
            if not any(name in r.circuits for r in found.analysis.conditions):
                why = f"no readings that can be used ({circuit.refrigerant})"
                grouped.setdefault((why, "read its pressures and line temperatures"), []).append(name)
            continue
        judged = found.judged(finding)
        if finding.text == "cannot tell" and judged is not None:
            grouped.setdefault((judged.reason, judged.settle), []).append(name)
    asked = []
    for (reason, settle), names in grouped.items():
        which = ("Circuit " if len(names) == 1 else "Circuits ") + " and ".join(names)
        why = "" if found.plain else f": {reason}"
        asked.append(Question(f"{which}.", f"The charge cannot be told yet{why}.", _sentence(settle)))
    return asked


def _airflow(found: Found) -> list[Question]:
    worst = found.decisive
    if worst is None or worst.airflow is None or worst.airflow.measured or found.plain:
        return []
    return [
        Question(
            "The airflow.",
            f"It was not measured ({found.place(worst.where)}): {worst.airflow.note}.",
            "Measure it by a traverse, or by a pressure drop with a known point.",
        )
    ]


def _contradictions(found: Found) -> list[Question]:
    count = len(list(found.of("reading.contradiction")))
    if not count:
        return []
    which = "One reading contradicts" if count == 1 else f"{count} sets of readings contradict"
    return [
        Question(
            "Readings.",
            f"{which} others; {'it was' if count == 1 else 'they were'} left out and marked in the tables.",
            "Check the instrument and read again.",
        )
    ]


def _in(found: Found, results: list[ConditionResult]) -> str:
    if len(results) == len(found.analysis.conditions) and len(results) > 2:
        return " in any condition"
    return f" ({found.places(r.where for r in results)})"


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}." if text else ""
