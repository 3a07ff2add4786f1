"""What may be done today: stop, thaw, hold back, or leave alone, until the permanent repair."""

from __future__ import annotations

from hvaccalc.diagnosis.airflow import FULL
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found, where_of

_CHARGE = {
    "low": (
        "weigh in no more than brings it to the label, only to bridge the days to the repair, and write the "
        "amount down. Topping up alone is no repair, and the leak comes first where the law asks for it.",
        "if it has to cool until the repair, only what is missing is weighed in and written down.",
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
        items = [*_stops(found), *_thaw(found), *_fan(found), *_charges(found)]
        return [Paragraph("", "What may be done today:"), Items(tuple(items))] if items else []
    blocks: list[Block] = [Heading("What may be done today")]
    if not found.analysis.conditions:
        return [*blocks, Paragraph("Nothing was read yet: read first.")]
    items = [*_stops(found), *_thaw(found), *_fan(found), *_charges(found)]
    if not items:
        return [*blocks, Paragraph("The readings ask for no step today.")]
    return [*blocks, Items(tuple(items))]


def _stops(found: Found) -> list[Item]:
    told = dict.fromkeys(
        plain.sentence(f, found) if found.plain else f.statement
        for f in found.analysis.findings
        if f.severity == "stop" and f.key != "staging.fault"
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
    if worst is None or worst.staging is None or found.put_right is not None:
        return []
    if worst.staging.text.endswith("without fan"):
        mode = worst.staging.text.split()[0]
        return [Item(f"Leave the {mode} off until the fan runs.", "Fan.")]
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
    return [Item(text, "Until the fan is repaired:")]


def first_stage_safe(found: Found) -> ConditionResult | None:
    """A condition with part of the cooling at the low fan in which freezing is unlikely."""
    for result in found.analysis.conditions:
        ratio = result.airflow.speed_ratio if result.airflow else None
        low = ratio is not None and ratio.draws[0] < FULL
        if low and not found.full_call(result) and found.warm(result.where):
            return result
    return None


def _charges(found: Found) -> list[Item]:
    """One line for each circuit whose charge is off or open; circuits alike share it."""
    grouped: dict[str, list[str]] = {}
    for name in found.job.circuit:
        charge = found.charge(name)
        if charge is not None and charge.text in _CHARGE:
            grouped.setdefault(_CHARGE[charge.text][found.plain], []).append(name)
    return [
        Item(text, f"{'Circuit' if len(names) == 1 else 'Circuits'} {' and '.join(names)}:")
        for text, names in grouped.items()
    ]
