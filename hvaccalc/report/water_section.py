"""The memo on the water: which way can bring it, the drain and the trap."""

from __future__ import annotations

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.water.budget import CAN, CANNOT, CANNOT_TELL, NOT_ALONE, WaterBudget, Weighed
from hvaccalc.diagnosis.water.drain_check import FAILS, OK, DrainCheck, TrapCheck
from hvaccalc.findings.water import amount_text
from hvaccalc.job.causes import Way
from hvaccalc.report import endings, trap_picture, water_picture
from hvaccalc.report.blocks import Block, Figure, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.report.water_words import ruled_out_plainly
from hvaccalc.words.said import joined, water_day
from hvaccalc.words.water import WAYS

JOB = Where()
GRADES = (
    "Grades: physics follows from laws and readings; screening is right to about a factor of two; a rule of "
    "thumb has no proof behind its number."
)


def water(found: Found) -> list[Block]:
    """The section; nothing where the job says nothing of any water."""
    budget = found.analysis.water
    if budget is None:
        return []
    blocks: list[Block] = [Heading("Where the water comes from")]
    if found.plain:
        return [*blocks, *_plainly(found, budget)]
    blocks += [Paragraph(text, lead) for lead, text in _told(found, budget)]
    blocks.append(_bars(found, budget))
    blocks.append(_table(budget, found.display))
    blocks.append(Paragraph(GRADES))
    return [*blocks, *_drain_and_trap(found, budget)]


def _bars(found: Found, budget: WaterBudget) -> Figure:
    drawn = water_picture.picture(budget, found.display)
    caption = (
        "Bars: what each way can bring, 5 to 95 % of the draws, on a logarithmic scale; blue: as seen. "
        "Right: when it runs and where it would be seen."
        if not found.plain
        else "Bars: what each way can bring, nine times in ten; each step to the right is ten times as much. "
        "Blue: as seen. Right: when it runs and where it would be seen."
    )
    return Figure(drawn.svg, drawn.title, drawn.description, caption)


def shown(found: Found) -> list[Figure]:
    """The customer's picture of the water: the trap where it is at fault, else what each way can bring."""
    budget = found.analysis.water
    if budget is None:
        return []
    dominant = found.at("water.dominant", JOB)
    trap = None
    if dominant is not None and dominant.text == "trap" and budget.trap is not None:
        trap = trap_picture.picture(budget.trap, found.display)
    if trap is not None:
        return [Figure(trap.svg, trap.title, trap.description, "The drain's trap, to scale.")]
    return [_bars(found, budget)]


def _told(found: Found, budget: WaterBudget) -> list[tuple[str, str]]:
    """Seen, what stands out, the sum, what is left."""
    told = [("Seen.", _seen(budget))]
    for lead, key in (
        ("Stands out.", "water.dominant"),
        ("Sum.", "water.together"),
        ("Left.", "water.unexplained"),
        ("Visit and table.", "water.overruled"),
    ):
        finding = found.at(key, JOB)
        if finding is not None:
            told.append((lead, finding.statement))
        elif key == "water.dominant" and budget.matched:
            lead = "Fit together." if both_at_work(budget) else "None stands out."
            told.append((lead, _none_stands_out(budget)))
    return [*told, *_measured(found)]


def _measured(found: Found) -> list[tuple[str, str]]:
    """The drain's balance wherever it was read, and the pan's filling."""
    balances = [f"{f.statement} ({found.place(where_of(f))})" for f in found.of("water.drain_balance")]
    filling = found.at("pan.filling", JOB)
    return [
        *(("Air and drain.", text) for text in balances),
        *([("Filling.", filling.statement)] if filling is not None else []),
    ]


def _none_stands_out(budget: WaterBudget) -> str:
    able = [budget.weighed[name].mechanism for name in budget.those(CAN)]
    if not able:
        return (
            "Nothing that was read or seen shows one of these ways at work; what would decide stands below."
        )
    names = joined([one.title for one in able])
    if both_at_work(budget):
        return f"{names[0].upper()}{names[1:]} were each seen at work and together reach all that was seen."
    if len(able) == 1:
        return f"{names[0].upper()}{names[1:]} can make it, but others are not ruled out."
    return f"{names[0].upper()}{names[1:]} can each bring it or a part of it; none is shown to be alone."


def both_at_work(budget: WaterBudget) -> bool:
    """Whether several ways were each seen at work and nothing is left unexplained."""
    able = [budget.weighed[name].mechanism for name in budget.those(CAN)]
    return len(able) > 1 and all(one.confirmed for one in able) and not budget.unexplained


def _seen(budget: WaterBudget) -> str:
    seen = budget.seen
    parts = []
    if seen.amount is not None:
        parts.append(seen.amount.text)
    for key, word in (("timing", "when"), ("water_on", "where"), ("pan_water", "pan"), ("trap", "trap")):
        if key in seen.sights:
            sight = seen.sights[key]
            parts.append(f"{word}: {joined(list(sight.words))} ({sight.source})")
    if seen.drain_tested and not seen.trap_tested:
        how = joined(list(dict.fromkeys(t.how for t in seen.tests if t.visit in seen.visits)))
        parts.append(f"the drain was tried with {how}, which says nothing of the trap")
    if seen.settled is not None:
        parts.append(f"as left it drained with {seen.settled.how} (visit {seen.settled.visit})")
    return "; ".join(parts) + "." if parts else "Nothing was noted of amount, time and place."


def _table(budget: WaterBudget, display: str) -> Table:
    order = {CAN: 0, CANNOT_TELL: 1, NOT_ALONE: 2, CANNOT: 3}
    rows = [
        _row(budget, one, display) for one in sorted(budget.weighed.values(), key=lambda w: order[w.said])
    ]
    return Table(
        (
            "Way",
            "Verdict",
            "Can bring",
            "Amount / time / place",
            "Runs; shows on",
            "Because; cannot",
            "Grade",
        ),
        tuple(rows),
        "The water budget, verdict by verdict",
    )


def _row(budget: WaterBudget, one: Weighed, display: str) -> tuple[str, ...]:
    mechanism = one.mechanism
    amount = amount_text(budget, one, display)
    runs = "; ".join(_minutes(*part) for part in mechanism.minutes)
    because = one.why + (f"; comes with {one.explained_by}" if one.explained_by else "")
    return (
        mechanism.title,
        one.said,
        amount,
        f"{one.amount} / {one.time} / {one.place}",
        f"{runs}; {mechanism.weather}. On: {joined(sorted(mechanism.places))}",
        f"{because}. Cannot: {mechanism.cannot}",
        mechanism.grade,
    )


def _minutes(event: str, start: float, end: float) -> str:
    """When it runs, in words."""
    if event == "any":
        return "at any time"
    what = {"start": "after a start", "stop": "after a stop", "stage off": "after a stage stops"}[event]
    if end == float("inf"):
        return f"from {_round(start)} min {what}" if start < 1e4 else f"never {what} here"
    return f"{_round(start)} to {_round(end)} min {what}"


def _round(minutes: float) -> str:
    return f"{float(f'{minutes:.2g}'):g}" if minutes > 0.0 else "0"


def _drain_and_trap(found: Found, budget: WaterBudget) -> list[Block]:
    blocks: list[Block] = [Heading("Drain and trap", 3)]
    rows = (*_drain_rows(budget.drain, found.display), *_trap_rows(budget.trap, found.display))
    blocks.append(Table(("Point", "As found", "Asked for", "Result"), rows, "Drain and trap, each value"))
    items = [
        Item(finding.statement, lead)
        for lead, key in (
            ("Drain.", "drain.capacity"),
            ("Trap.", "trap.required_height"),
            ("Standing water.", "trap.standing_water"),
            ("To be asked.", "trap.asked"),
        )
        if (finding := found.at(key, JOB)) is not None
    ]
    blocks.append(Items(tuple(items)))
    drawn = trap_picture.picture(budget.trap, found.display)
    if drawn is not None:
        caption = (
            "Heights to one scale, widths not. The blue bar is the suction as a column of water: it holds "
            "the water in the pan's leg so much above the overflow."
        )
        blocks.append(Figure(drawn.svg, drawn.title, drawn.description, caption))
    return blocks


def _drain_rows(drain: DrainCheck, display: str) -> Iterable[tuple[str, ...]]:
    def length(value: float) -> str:
        return units.value_text(value, "length", display)

    size = length(drain.size) if drain.size_typed else "not noted"
    yield (
        "drain size, legal minimum (mechanical code)",
        size,
        length(drain.code_size),
        _state(drain.size_typed, drain.size >= 0.99 * drain.code_size),
    )
    advised = "smaller than advised" if drain.hydraulic == FAILS else drain.hydraulic
    yield "drain size, design table at 1 % (advice)", size, length(drain.hydraulic_size), advised
    slope = f"{100 * drain.slope:.1f} %" if drain.slope_typed else "not noted"
    yield "fall of the drain", slope, "1 % (1/8 in/ft)", _state(drain.slope_typed, drain.slope >= 0.0099)
    carries = units.value_text(drain.half.value, "water_flow", display)
    load = units.value_text(drain.load.value, "water_flow", display)
    yield (
        "drain half full, clean",
        carries,
        f"{load} of condensate",
        OK if drain.half.low > drain.load.high else FAILS,
    )


def _trap_rows(trap: TrapCheck, display: str) -> Iterable[tuple[str, ...]]:
    def shown(value, kind: str) -> str:
        return units.value_text(value, kind, display) if value == value else "not noted"

    unseen = trap.state == "present" and not trap.water_seen
    state = "present, water in it not seen" if unseen else "sealed" if trap.water_seen else trap.state
    yield (
        "trap",
        state or "not noted",
        "sealed",
        _state(trap.state is not None and not unseen, trap.state == "present"),
    )
    now, full = (shown(value.value, "air_pressure") for value in (trap.suction, trap.full_suction))
    word = "pressure" if trap.blow_through else "suction"
    yield f"{word} at the pan, at full fan speed", f"{now} as found", full, trap.basis
    need = trap.required_height
    yield (
        "trap height at full fan speed",
        shown(trap.height, "length"),
        shown(need.value, "length"),
        trap.height_met,
    )
    seal = trap.required_seal
    yield (
        "trap seal at full fan speed",
        shown(trap.seal, "length"),
        shown(seal.value, "length"),
        trap.seal_met,
    )


def _state(known: bool, met: bool) -> str:
    return "not known" if not known else OK if met else FAILS


def _plainly(found: Found, budget: WaterBudget) -> list[Block]:
    """A few sentences for the customer."""
    told = []
    able = budget.those(CAN)
    if budget.matched and not able:
        told.append("Which way the water takes is not shown yet; the next visit has to look for it.")
    told += ruled_out_plainly(budget)
    if budget.trap.verdict == FAILS and budget.trap.required_height.known:
        height, seal = (
            units.value_text(need.value, "length", found.display)
            for need in (budget.trap.required_height, budget.trap.required_seal)
        )
        rebuilt = endings.of_water(found, "trap")
        told.append(
            f"The drain's water trap is not enough for the fan: it needs {height} of height and {seal} of "
            "seal."
            if rebuilt is None
            else f"As found the drain's water trap was not enough for the fan: it needs {height} of height "
            f"and {seal} of seal. It has been rebuilt ({rebuilt.date})."
        )
    return [Paragraph(" ".join(told))] if told else []


def link(found: Found) -> Item | None:
    """The last step of the chain, from the coil to the wet place; None where nothing is shown to bring it."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return None
    able = [budget.weighed[name] for name in budget.those(CAN)]
    if not able:
        return None
    if found.plain:
        names = joined([WAYS[Way(one.mechanism.name)].plain for one in able])
        return Item(f"What fits the water seen: {names}.", "The water.")
    if budget.dominant is not None:
        one = budget.weighed[budget.dominant]
        return Item(_brings(one, budget, found.display), "The water.")
    parts = [_brings(one, budget, found.display) for one in able]
    return Item(f"{' '.join(parts)} {_none_stands_out(budget)}", "The water.")


def _brings(one: Weighed, budget: WaterBudget, display: str) -> str:
    title = f"{one.mechanism.title[0].upper()}{one.mechanism.title[1:]}"
    value = one.mechanism.band
    amount = (
        water_day(one.mechanism.day_band, display)
        if budget.seen.by_day
        else units.band_text(value.value, value.low, value.high, "water_flow", display)
    )
    seen = f" against {budget.seen.amount.text} seen" if budget.seen.amount is not None else ""
    low = f" It comes with {one.explained_by}." if one.explained_by else ""
    return f"{title} ({one.why}): {amount}{seen}.{low}"


def weighed(found: Found) -> str:
    """One sentence on the ways that are ruled out; what stays open stands below. Empty without a budget."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return ""
    told = []
    for lead, names in (
        ("Ways of the water ruled out, each with its reason in the budget", budget.ruled_out),
        ("Not by itself, but not ruled out beside another", budget.beside),
    ):
        titles = [budget.weighed[name].mechanism.title for name in names]
        told += [f"{lead}: {joined(titles)}."] if titles else []
    settled = [one.mechanism for name in budget.those(CANNOT_TELL) if (one := budget.weighed[name])]
    told += [f"Settled since: {one.title}, {one.settled}." for one in settled if one.settled]
    return " ".join(told)
