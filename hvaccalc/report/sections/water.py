"""The memo on the water: which way can bring it, the drain and the trap."""

from collections.abc import Iterable

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.water.budget import WaterBudget, Weighed
from hvaccalc.diagnosis.water.drain_check import DrainCheck, TrapCheck
from hvaccalc.diagnosis.water.mechanism import Ability, Event, Met
from hvaccalc.findings.water import amount_text, because
from hvaccalc.job.causes import Way
from hvaccalc.pictures import trap_drawing, water_bars
from hvaccalc.report import endings
from hvaccalc.report.blocks import Block, Figure, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found, where_of
from hvaccalc.words.said import Teller, capital, joined, water_text
from hvaccalc.words.water import AGAINST, LOW_FAN, NOT_THE_WHOLE_STORY, WAYS


def ruled_out_plainly(budget: WaterBudget) -> list[str]:
    """Sentences on the ways that are ruled out, and on those that could only add to it."""
    if not budget.matched:
        return []
    told = []
    leads = {against: said.customer for against, said in AGAINST.items()}
    for lead_of, ways in ((leads, budget.ruled_out), (NOT_THE_WHOLE_STORY, budget.beside)):
        for against, lead in lead_of.items():
            names = [WAYS[way].title.customer for way in ways if budget.weighed[way].against is against]
            if names := [name for name in names if name]:
                told.append(f"{lead}: {joined(names)}.")
    return told


JOB = Where()
GRADES = (
    "Grades: physics follows from laws and readings; screening is right to about a factor of two; a rule of "
    "thumb has no proof behind its number."
)


def water(found: Found) -> list[Block]:
    """The section; where no water was noted, the drain and the trap alone."""
    budget = found.analysis.water
    if budget is None:
        return []
    if not budget.matched:
        return _drain_alone(found, budget)
    blocks: list[Block] = [Heading("Where the water comes from")]
    if found.plain:
        return [*blocks, *_plainly(found, budget)]
    blocks += [Paragraph(text, lead) for lead, text in _told(found, budget)]
    blocks.append(_bars(found, budget))
    blocks.append(_table(budget, found.teller))
    blocks.append(Paragraph(GRADES))
    return [*blocks, *_drain_and_trap(found, budget)]


def _bars(found: Found, budget: WaterBudget) -> Figure:
    drawn = water_bars.picture(budget, found.display)
    caption = (
        "Bars: what each way can bring, 5 to 95 % of the draws, on a logarithmic scale; blue: as seen. "
        "Right: when it runs and where it would be seen."
        if not found.plain
        else "Bars: what each way can bring, nine times in ten; each step to the right is ten times as much. "
        "Blue: as seen. Right: when it runs and where it would be seen."
    )
    return Figure(lambda: drawn.svg, drawn.title, drawn.description, caption)


def shown(found: Found) -> list[Figure]:
    """The customer's picture of the water: the trap where it is at fault, else what each way can bring."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return []
    dominant = found.at("water.dominant", JOB)
    trap = None
    if dominant is not None and dominant.text == Way.TRAP and budget.trap is not None:
        trap = trap_drawing.picture(budget.trap, found.display)
    if trap is not None:
        return [Figure(lambda: trap.svg, trap.title, trap.description, "The drain's trap, to scale.")]
    return [_bars(found, budget)]


def _told(found: Found, budget: WaterBudget) -> list[tuple[str, str]]:
    """Seen, what stands out, the sum, what is left."""
    told = [("Seen.", _seen(budget, found.teller))]
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
            lead = "Fit together." if budget.all_at_work else "None stands out."
            told.append((lead, _none_stands_out(budget, found.teller)))
    return [*told, *_measured(found)]


def _measured(found: Found) -> list[tuple[str, str]]:
    """The drain's balance wherever it was read, and the pan's filling."""
    balances = [f"{f.statement} ({found.place(where_of(f))})" for f in found.of("water.drain_balance")]
    filling = found.at("pan.filling", JOB)
    return [
        *(("Air and drain.", text) for text in balances),
        *([("Filling.", filling.statement)] if filling is not None else []),
    ]


def _none_stands_out(budget: WaterBudget, to: Teller) -> str:
    able = budget.those(Ability.CAN)
    if not able:
        return (
            "Nothing that was read or seen shows one of these ways at work; what would decide stands below."
        )
    names = capital(to.slot(able))
    if budget.all_at_work:
        return f"{names} were each seen at work and together reach all that was seen."
    if len(able) == 1:
        return f"{names} can make it, but others are not ruled out."
    return f"{names} can each bring it or a part of it; none is shown to be alone."


def _seen(budget: WaterBudget, to: Teller) -> str:
    seen = budget.seen
    parts = []
    if seen.amount is not None:
        parts.append(seen.amount.text)
    for key, word in (("timing", "when"), ("water_on", "where"), ("pan_water", "pan"), ("trap", "trap")):
        if key in seen.sights:
            sight = seen.sights[key]
            parts.append(f"{word}: {joined(list(sight.words))} ({to.slot(sight.source)})")
    if seen.drain_tested and not seen.trap_tested:
        how = to.slot(tuple(dict.fromkeys(t.how for t in seen.tests if t.visit in seen.visits)))
        parts.append(f"the drain was tried with {how}, which says nothing of the trap")
    if seen.settled is not None:
        parts.append(f"as left it drained with {to.tell(seen.settled.how)} (visit {seen.settled.visit})")
    return "; ".join(parts) + "." if parts else "Nothing was noted of amount, time and place."


def _table(budget: WaterBudget, to: Teller) -> Table:
    order = list(Ability)
    rows = [
        _row(budget, one, to) for one in sorted(budget.weighed.values(), key=lambda w: order.index(w.said))
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


def _row(budget: WaterBudget, one: Weighed, to: Teller) -> tuple[str, ...]:
    mechanism, words = one.mechanism, WAYS[one.way].case(one.mechanism.under_pressure)
    amount = amount_text(budget, one, to.display)
    runs = "; ".join(_minutes(*part, to) for part in mechanism.minutes)
    why = because(one, to) + (f"; comes with {LOW_FAN}" if one.explained_by else "")
    return (
        to.tell(one.way),
        one.said.value,
        amount,
        f"{one.amount.value} / {one.time.value} / {one.place.value}",
        f"{runs}; {words.weather.to(to.reader)}. On: {joined(sorted(mechanism.places))}",
        f"{why}. Cannot: {words.cannot.to(to.reader)}",
        mechanism.grade.value,
    )


def _minutes(event: Event, start: float, end: float, to: Teller) -> str:
    """When it runs, in words."""
    what = to.tell(event)
    if event is Event.ANY:
        return what
    if end == float("inf"):
        return f"from {_round(start)} min {what}" if start < 1e4 else f"never {what} here"
    return f"{_round(start)} to {_round(end)} min {what}"


def _round(minutes: float) -> str:
    return f"{float(f'{minutes:.2g}'):g}" if minutes > 0.0 else "0"


def _drain_alone(found: Found, budget: WaterBudget) -> list[Block]:
    if not found.plain:
        return _drain_and_trap(found, budget, 2)
    told = _plainly(found, budget)
    return [Heading("The drain"), *told] if told else []


def _drain_and_trap(found: Found, budget: WaterBudget, level: int = 3) -> list[Block]:
    blocks: list[Block] = [Heading("Drain and trap", level)]
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
    drawn = trap_drawing.picture(budget.trap, found.display)
    if drawn is not None:
        caption = (
            "Heights to one scale, widths not. The blue bar is the suction as a column of water: it holds "
            "the water in the pan's leg so much above the overflow."
        )
        blocks.append(Figure(lambda: drawn.svg, drawn.title, drawn.description, caption))
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
    advised = "smaller than advised" if drain.hydraulic is Met.NOT_MET else drain.hydraulic.value
    yield "drain size, design table at 1 % (advice)", size, length(drain.hydraulic_size), advised
    slope = f"{100 * drain.slope:.1f} %" if drain.slope_typed else "not noted"
    yield "fall of the drain", slope, "1 % (1/8 in/ft)", _state(drain.slope_typed, drain.slope >= 0.0099)
    carries = units.value_text(drain.half.value, "water_flow", display)
    load = units.value_text(drain.load.value, "water_flow", display)
    yield (
        "drain half full, clean",
        carries,
        f"{load} of condensate",
        (Met.MET if drain.half.low > drain.load.high else Met.NOT_MET).value,
    )


def _trap_rows(trap: TrapCheck, display: str) -> Iterable[tuple[str, ...]]:
    def shown(value: float, kind: str) -> str:
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
        trap.height_met.value,
    )
    seal = trap.required_seal
    yield (
        "trap seal at full fan speed",
        shown(trap.seal, "length"),
        shown(seal.value, "length"),
        trap.seal_met.value,
    )


def _state(known: bool, met: bool) -> str:
    return (Met.NOT_KNOWN if not known else Met.MET if met else Met.NOT_MET).value


def _plainly(found: Found, budget: WaterBudget) -> list[Block]:
    """A few sentences for the customer."""
    told = []
    able = budget.those(Ability.CAN)
    if budget.matched and not able:
        told.append("Which way the water takes is not shown yet; the next visit has to look for it.")
    told += ruled_out_plainly(budget)
    if budget.trap.verdict is Met.NOT_MET and budget.trap.required_height.known:
        height, seal = (
            units.value_text(need.value, "length", found.display)
            for need in (budget.trap.required_height, budget.trap.required_seal)
        )
        rebuilt = endings.of_water(found, Way.TRAP)
        told.append(
            f"The drain's water trap is not enough for the fan: it needs {height} of height and {seal} of "
            "seal."
            if rebuilt is None
            else f"At first the drain's water trap was not enough for the fan: it needs {height} of height "
            f"and {seal} of seal. {rebuilt.done}"
        )
    return [Paragraph(" ".join(told))] if told else []


def link(found: Found) -> Item | None:
    """The last step of the chain, from the coil to the wet place; None where nothing is shown to bring it."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return None
    able = [budget.weighed[way] for way in budget.those(Ability.CAN)]
    if not able:
        return None
    if found.plain:
        names = joined([WAYS[one.way].plain for one in able])
        return Item(f"What fits the water seen: {names}.", "The water.")
    if budget.dominant is not None:
        one = budget.weighed[budget.dominant]
        return Item(_brings(one, budget, found.teller), "The water.")
    parts = [_brings(one, budget, found.teller) for one in able]
    return Item(f"{' '.join(parts)} {_none_stands_out(budget, found.teller)}", "The water.")


def _brings(one: Weighed, budget: WaterBudget, to: Teller) -> str:
    by_day, made = budget.seen.by_day, one.mechanism
    amount = water_text(made.day_band if by_day else made.band, by_day, to.display)
    seen = f" against {budget.seen.amount.text} seen" if budget.seen.amount is not None else ""
    low = f" It comes with {LOW_FAN}." if one.explained_by else ""
    return f"{capital(to.tell(one.way))} ({because(one, to)}): {amount}{seen}.{low}"


def weighed(found: Found) -> str:
    """One sentence on the ways that are ruled out; what stays open stands below. Empty without a budget."""
    budget = found.analysis.water
    if budget is None or not budget.matched:
        return ""
    told, to = [], found.teller
    for lead, names in (
        ("Ways of the water ruled out, each with its reason in the budget", budget.ruled_out),
        ("Not by itself, but not ruled out beside another", budget.beside),
    ):
        told += [f"{lead}: {to.slot(names)}."] if names else []
    for way in budget.those(Ability.CANNOT_TELL):
        if (settled := budget.weighed[way].mechanism.settled) is not None:
            told.append(f"Settled since: {to.tell(way)}, {to.tell(settled)}.")
    return " ".join(told)
