"""The water panel's result in words: what stands out, each way, drain and trap."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.diagnosis.drain_check import NOT_TOLD, TrapCheck
from hvaccalc.diagnosis.water import CAN, CANNOT_TELL, WaterBudget
from hvaccalc.findings.water import amount_text, day_text
from hvaccalc.panels.look import card, cards, text


def headline(budget: WaterBudget) -> str:
    """What the budget says, in one sentence."""
    if not budget.matched:
        return "Neither amount nor time nor place of the water was noted: nothing to match."
    if budget.dominant is not None:
        one = budget.weighed[budget.dominant]
        nothing = "Nothing in the unit can make this water. " if budget.nothing_in_the_unit else ""
        return f"{nothing}Stands out: {one.mechanism.title} ({one.why})."
    able = [budget.weighed[name].mechanism.title for name in budget.those(CAN)]
    if not able:
        return "No way is shown to bring this water."
    return f"Can make it: {', '.join(able)}; none stands out."


def ways(budget: WaterBudget, display: str) -> list[tuple[str, str, str, str]]:
    """Title, verdict, amount and reason of each way."""
    rows = []
    for one in budget.weighed.values():
        mechanism = one.mechanism
        amount = amount_text(budget, one, display)
        low = f"; comes with {one.explained_by}" if one.explained_by else ""
        rows.append((mechanism.title, one.text, amount, f"{one.why}{low}"))
    return rows


def together(budget: WaterBudget, display: str) -> str:
    """The sum of those that can, and what is left."""
    told = []
    if budget.those(CAN) and budget.together.known:
        value = budget.together
        shown = (
            day_text(value, display)
            if budget.seen.daily or budget.seen.amount is None
            else units.band_text(value.value, value.low, value.high, "water_flow", display)
        )
        told.append(f"Together those that can make it bring {shown}.")
    if budget.unexplained:
        told.append(f"Not explained: {'; '.join(budget.unexplained)}.")
    return " ".join(told)


def drain_and_trap(budget: WaterBudget, display: str) -> list[str]:
    """Drain and trap in two sentences, and what has to be asked."""

    def shown(value: float, kind: str) -> str:
        return units.value_text(value, kind, display) if value == value else "not known"

    drain, trap = budget.drain, budget.trap
    half, full = (shown(value.value, "water_flow") for value in (drain.half, drain.full))
    code, design = (shown(size, "length") for size in (drain.code_size, drain.hydraulic_size))
    told = [
        f"Drain: carries {half} half full, {full} full; code {drain.code} (least {code}), hydraulic design "
        f"{drain.hydraulic} (least {design})."
    ]
    verdict = "not to be told yet" if trap.verdict == NOT_TOLD else trap.verdict
    told.append(
        f"Trap: needs {shown(trap.required_height.value, 'length')} of height and "
        f"{shown(trap.required_seal.value, 'length')} of seal at full fan speed; has "
        f"{shown(trap.height, 'length')} of height ({trap.height_met}) and {shown(trap.seal, 'length')} of "
        f"seal ({trap.seal_met}), {_state(trap)}: {verdict}. Water standing in "
        f"the pan as found: {shown(trap.standing.value, 'length')}."
    )
    return [*told, *trap.asked]


def _state(trap: TrapCheck) -> str:
    if trap.state == "present":
        return "water seen in it" if trap.water_seen else "present, water in it not seen"
    return trap.state or "state not noted"


def settle(budget: WaterBudget) -> list[str]:
    """What would decide among the ways that cannot be told."""
    those = [budget.weighed[name].mechanism for name in budget.those(CANNOT_TELL)]
    return [f"To settle {one.title}: {one.settle}." for one in those if one.settle]


def lines(budget: WaterBudget, display: str) -> list[str]:
    """The result in lines of plain text."""
    return [
        headline(budget),
        *(f"{title}: {verdict}: {amount}; {why}." for title, verdict, amount, why in ways(budget, display)),
        *([said] if (said := together(budget, display)) else []),
        *drain_and_trap(budget, display),
        *settle(budget),
    ]


def html(budget: WaterBudget, display: str) -> str:
    """The same with cards and a table."""
    amount = budget.seen.amount.text if budget.seen.amount is not None else "not noted"
    need = budget.trap.required_height
    shown = [
        card(
            "Seen",
            amount,
            ", ".join(sorted(budget.seen.phases | budget.seen.places)) or "when, where: not noted",
        ),
        card("Can make it", ", ".join(budget.those(CAN)).replace("_", " ") or "none shown", ""),
        card(
            "Trap needs",
            units.value_text(need.value, "length", display) if need.known else "not known",
            "of height, at full fan speed",
        ),
    ]
    rows = "".join(
        f'<tr><td><b>{text(verdict)}</b></td><td style="text-align:left">{text(title)}</td>'
        f'<td style="text-align:left">{text(amount)}</td><td style="text-align:left">{text(why)}</td></tr>'
        for title, verdict, amount, why in ways(budget, display)
    )
    head = "".join(f"<th>{word}</th>" for word in ("verdict", "way", "can bring", "because, or look next"))
    said = [headline(budget), together(budget, display), *drain_and_trap(budget, display)]
    told = "".join(f"<p>{text(line)}</p>" for line in said if line)
    return (
        cards(shown)
        + f'<div class="hvac-say" role="status">{told}</div>'
        + f'<table class="hvac-note"><tr>{head}</tr>{rows}</table>'
    )
