"""What may be done today: stop, thaw, hold back, or leave alone, until the permanent repair."""

from __future__ import annotations

from hvaccalc.diagnosis.calls import measures
from hvaccalc.diagnosis.charge.verdicts import Evidence
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings import compressors
from hvaccalc.findings import Finding
from hvaccalc.job.visit_tables import Work
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.report import plain, water_today
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found, where_of
from hvaccalc.report.words import date_text
from hvaccalc.service.slow_calls import cools_slow, heats_slow
from hvaccalc.severity import Severity
from hvaccalc.words.said import joined

_CHARGE = {
    "low": (
        "weigh in no more than brings it to the label, only to bridge the days to the repair, and write the "
        "amount down. Topping up alone is no repair, and the leak comes first where the law asks for it.",
        "if it has to cool until the repair, only what is missing is weighed in and written down.",
    ),
    "leak, off": (
        "it stays off until its leak is repaired: {why}. It is not topped up to run meanwhile.",
        "it stays off until its leak is repaired.",
    ),
    "leak, may run": (
        "it may run until its leak is repaired, which comes first, as it was read last ({why}): suction "
        "above freezing, no liquid back. Look at it often; off at once with frost, short cycling or a hot "
        "compressor. Top up only where the law allows it, once, weighed, no further than the label, and "
        "written down.",
        "it may run until its leak is repaired, which comes first; it is switched off at once if frost shows "
        "or it starts and stops often. Whether it may be topped up until then is for a licensed technician "
        "and local law.",
    ),
    "high": (
        "take nothing out before the condenser is seen clean and non-condensables are ruled out.",
        "nothing is taken out before the outdoor unit is checked.",
    ),
    "cannot tell": (
        "add nothing and take nothing out: its charge cannot be told from these readings.",
        "nothing is added or taken out yet: the amount cannot be judged from these readings.",
    ),
}
"""What a verdict allows today, for the file and for the customer; common practice, no source."""


def today(found: Found) -> list[Block]:
    """What is safe to do before the repair, the most pressing first; without a heading for the customer."""
    if found.plain:
        items = [*_stops(found), *water_today.items(found), *_fan_standing_first(found), *_charges(found)]
        return [Paragraph("", "What may be done today:"), Items(tuple(items))] if items else []
    blocks: list[Block] = [Heading("What may be done today")]
    if not found.analysis.conditions:
        return [*blocks, Paragraph("Nothing was read yet: read first.")]
    items = [*_stops(found), *water_today.items(found), *_fan_standing_first(found), *_charges(found)]
    if not items:
        return [*blocks, Paragraph("The readings ask for no step today.")]
    return [*blocks, Items(tuple(items))]


def _stops(found: Found) -> list[Item]:
    told = dict.fromkeys(
        plain.sentence(f, found) if found.plain else f.statement
        for f in found.analysis.findings
        if f.severity is Severity.STOP and f.key != "staging.fault"
    )
    return [Item(text, "Stop.") for text in told]


def _thaw(found: Found) -> list[Item]:
    iced = [where_of(finding) for finding in found.of("coil.ice_seen")]
    conditions = [result.where for result in found.analysis.conditions]
    thawed = [where for where in conditions if found.analysis.draws.condition(where).coil_thawed == "yes"]
    if not iced or any(where > max(iced) for where in thawed):
        return []
    text = (
        "Cooling off, fan on until the coil is thawed, and catch the water. Never chip or scrape; see to "
        "live parts below before it drips."
    )
    return [Item(text, "Ice.")]


def _fan(found: Found) -> list[Item]:
    """The first and safest measure while the fan does not follow."""
    worst = found.decisive
    if worst is None or worst.staging is None:
        return []
    if found.put_right is not None:
        return _heating_unproved(found, found.put_right.where.visit)
    if worst.staging.text.endswith("without fan"):
        mode = worst.staging.text.split()[0]
        return [Item(f"Leave the {mode} off until the fan runs.", "Fan.")]
    if (standing := _standing(found)) is not None:
        return [standing]
    if not cools_slow(found.analysis):
        return [Item(_only_heating(found), "Until the fan is repaired:")]
    alone = first_stage_safe(found)
    text = "lock the second stage out at the thermostat and leave the first stage on."
    if alone is None:
        text += (
            " Read the first stage alone before leaving it so: no reading yet shows that it keeps the "
            "coil above freezing."
        )
    else:
        chance = found.freezing(alone.where)
        assert chance is not None
        said = plain.ice(chance, found) if found.plain else chance.statement
        text += f" It was read so ({found.place(alone.where)}): {said[0].lower()}{said[1:]}"
    return [Item(text + heating_off(found), "Until the fan is repaired:")]


def _heating_unproved(found: Found, visit: int) -> list[Item]:
    """Cooling was read as put right; heating that runs the fan low by its wiring was not."""
    calls = found.analysis.calls
    if calls is None or not any(one.name == "fan low while heating" for one in calls.combinations):
        return []
    heats = [
        r
        for r in found.analysis.conditions
        if r.where.visit >= visit and compressors.heating(found.analysis.draws, r.where)
    ]
    if any(r.staging is None and r.airflow and r.airflow.speed_ratio for r in heats):
        return []
    text = (
        "the fan was read right in cooling alone, and by the wiring table heating runs it low. Keep the heat "
        "pump's heating off, and heat by another source, until the fan is read at full speed as it heats."
        if not found.plain
        else "the fan was read right in cooling alone. Keep the heat pump's heating off, and heat by another "
        "source, until the fan's speed is read in heating too."
    )
    return [Item(text, "Heating:")]


def _only_heating(found: Found) -> str:
    """The fan was read low at a heating call alone: that call stays off, and cooling is still to be read."""
    if found.plain:
        return (
            "keep the heat pump's heating off and heat by another source. Before it cools with both stages, "
            "the fan's speed has to be read with them."
        )
    return (
        "keep the heat pump's heating off, and heat by a source that does not need this fan at full speed. "
        "Read the fan with all cooling stages on before the second one is left on."
    )


def _fan_standing_first(found: Found) -> list[Item]:
    """Fan and ice; a measure that stands is said before either."""
    fan = _fan(found)
    return [*fan, *_thaw(found)] if _standing(found) is not None else [*_thaw(found), *fan]


def _standing(found: Found) -> Item | None:
    """A temporary measure that still stands and was read to work; None without."""
    latest = measures.last_date(found.job)
    worst = found.decisive
    for number in reversed(found.visits):
        for work in found.job.visit[number - 1].work:
            open_ended = work.expires is None or (latest is not None and latest > work.expires)
            if work.kind != "temporary measure" or work.removed or open_ended:
                continue
            works = [r for r in found.by_time if _works_since(found, r, number)]
            if worst is not None and works:
                place = found.place(works[-1].where)
                text = (
                    f"{_name(work)} stays until {date_text(work.expires)} at the latest; if it comes off or "
                    f"expires, lock {_second(found)} out.{heating_off(found)} It was read to work in cooling "
                    f"({place}){_heating_unread(found)}."
                )
                return Item(text, "Until the fan is repaired:")
    return None


def _name(work: Work) -> str:
    """A measure by what its note speaks of."""
    names = (("jumper", "The jumper"), ("lock", "The lock-out"))
    return next((name for word, name in names if word in (work.note or "").lower()), "The temporary measure")


def _second(found: Found) -> str:
    return "stage 2" if found.plain else "the second stage"


def _works_since(found: Found, result: ConditionResult, visit: int) -> bool:
    """Whether a condition of that visit or a later one ran every stage, the fan following, without frost."""
    here = found.turn(result.where.visit) >= found.turn(visit)
    return here and result.staging is None and found.full_call(result) and found.warm(result.where)


def first_stage_safe(found: Found) -> ConditionResult | None:
    """A condition with part of the cooling at the low fan in which freezing is unlikely."""
    for result in found.analysis.conditions:
        ratio = result.airflow.speed_ratio if result.airflow else None
        low = ratio is not None and ratio.draws[0] < FULL_SPEED
        if low and not found.full_call(result) and found.warm(result.where):
            return result
    return None


def heating_off(found: Found) -> str:
    """Locking a stage out protects cooling alone: what a heat pump needs beside it; empty elsewhere."""
    if found.job.unit.kind != "heat pump":
        return ""
    slow = heats_slow(found.analysis)
    if slow is None:
        return (
            " That protects cooling alone: read the fan's speed at a heating call before it heats."
            if not found.plain
            else " That protects cooling alone: before it heats, the fan's speed in heating has to be read."
        )
    if not slow:
        return ""
    if found.plain:
        return (
            " That protects cooling alone: heating runs the fan slow too. Keep the heat pump's heating off "
            "until the repair, and heat by another source."
        )
    return (
        " That protects cooling alone: heating calls run the fan slow too, so keep the heat pump's heating "
        "off until the repair, and heat by a source that does not need this fan at full speed."
    )


def _heating_unread(found: Found) -> str:
    """A measure that nobody saw at a heating call is not proved there."""
    calls = found.analysis.calls
    if (
        calls is None
        or not heats_slow(found.analysis)
        or any(one.call.startswith("heat") for one in calls.read)
    ):
        return ""
    return "; no heating call has been read with it yet: read the fan before it heats"


def _leaking(found: Found, charge: Finding) -> str:
    """Whether a leaking circuit may run until its repair: one answer for both copies."""
    judged = found.judged(charge)
    evidence = judged.evidence if judged is not None else ()
    against: list[str] = [e for e in evidence if e in _OFF]
    if not found.warm(where_of(charge)):
        against.append("nothing shows that it stays above freezing")
    answer = _CHARGE["leak, off" if against else "leak, may run"][found.plain]
    return answer.format(why=joined(against) if against else found.place(where_of(charge)))


_OFF = (
    Evidence.NO_SUBCOOLING,
    Evidence.SUCTION_BELOW_FREEZING,
    Evidence.FLOODBACK,
    Evidence.FLOODBACK_NOT_EXCLUDED,
    Evidence.FLOODBACK_CONFIRMED,
)
"""What forbids that a circuit short of charge runs on; common practice, no source."""


def _charges(found: Found) -> list[Item]:
    """One line for each circuit whose charge is off or open; circuits alike share it."""
    grouped: dict[str, list[str]] = {}
    for name in found.job.circuit:
        charge = found.charge(name)
        if charge is not None and charge.text in _CHARGE:
            leaks = charge.text == "low" and found.job.circuit[name].leak.given
            text = _leaking(found, charge) if leaks else _CHARGE[charge.text][found.plain]
            grouped.setdefault(text, []).append(name)
    return [
        Item(text, f"{'Circuit' if len(names) == 1 else 'Circuits'} {' and '.join(names)}:")
        for text, names in grouped.items()
    ]
