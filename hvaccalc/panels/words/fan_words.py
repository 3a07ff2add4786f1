"""The fan panel's result in words: airflow, the wanted speed, the list before it, its price."""

from __future__ import annotations

from hvaccalc import units
from hvaccalc.ensemble import Band, band
from hvaccalc.findings.air import bands_off
from hvaccalc.findings.fan import FanService, service_findings
from hvaccalc.panels.look import card, cards, text
from hvaccalc.service.fan.fan_study import FanStudy
from hvaccalc.words.said import Reader, banded
from hvaccalc.words.speak import teller


def numbers(study: FanStudy) -> dict[str, tuple[Band, str]]:
    """Airflow as read, and airflow and power at the wanted speed."""
    at = f"at {100 * study.wanted:.0f} % speed"
    return {
        "Airflow as read": (study.flow, "airflow"),
        f"Airflow {at}": (study.wanted_flow, "airflow"),
        f"Fan power {at}": (study.wanted_power, "power"),
    }


def methods(study: FanStudy, display: str) -> list[tuple[str, bool]]:
    """A line for each method, and whether it has a say in the airflow."""
    if study.airflow is None:
        return [("The fan stands still: no airflow.", True)]
    left_out = {off.name for off in study.airflow.disagreeing}
    told = []
    for method in study.airflow.methods:
        line = (
            f"{method.name.replace('_', ' ')}: {banded(band(method.flow), 'airflow', display)}, {method.note}"
        )
        if method.name in left_out:
            far = bands_off(band(method.flow), float(study.airflow.flow[0]))
            line += f"; left out, {far} its own band off the others"
        idle = method in study.airflow.idle
        if idle:
            line += "; no say beside the others"
        told.append((line, not idle and method.name not in left_out))
    lost = ((f"{one.name.replace('_', ' ')} not taken: {one.why}", False) for one in study.airflow.unused)
    return [*told, *lost]


def checks(study: FanStudy, display: str) -> list[tuple[str, str, str]]:
    """Name, state and sentence of each check."""
    to = teller(Reader.FILE, display)
    made = study.checks.checks if study.checks is not None else ()
    return [(to.tell(one.name), one.state.value, to.tell(one.why)) for one in made]


def heading(study: FanStudy) -> str:
    """What the list is about."""
    if study.checks is None:
        return "The fan's speed was not read: nothing can be said of another one."
    present = f"{100 * study.present:.0f}"
    if study.checks.raises:
        return f"Before the speed is raised from {present} to {100 * study.wanted:.0f} % of full speed"
    return f"What {100 * study.wanted:.0f} % of full speed asks (read: {present} %)"


def price(study: FanStudy) -> list[str]:
    """What full speed costs, and the rule."""
    found = service_findings(study.draws, FanService(study.penalty, study.rule))
    missing = ", ".join(study.price_lacks)
    lacking = [f"For the price of full speed the job lacks: {missing}."] if missing else []
    return [*(finding.statement for finding in found), *lacking]


def lines(study: FanStudy, display: str) -> list[str]:
    """The result in lines of plain text."""
    return [
        *(f"{name}: {banded(value, kind, display)}" for name, (value, kind) in numbers(study).items()),
        *(line for line, _ in methods(study, display)),
        heading(study),
        *(f"{state}: {name}: {said}" for name, state, said in checks(study, display)),
        *price(study),
        *(flag.text for flag in study.flags),
    ]


def html(study: FanStudy, display: str) -> str:
    """Numbers side by side, the list as a table, the price in sentences."""
    shown = [
        card(name, units.value_text(value.value, kind, display), _ends(value, kind, display))
        for name, (value, kind) in numbers(study).items()
    ]
    rows = "".join(
        f'<tr><td><b>{text(state)}</b></td><td style="text-align:left">{text(name)}</td>'
        f'<td style="text-align:left">{text(said)}</td></tr>'
        for name, state, said in checks(study, display)
    )
    head = "".join(f"<th>{word}</th>" for word in ("result", "check", "because, or read next"))
    table = f'<table class="hvac-note"><caption>{text(heading(study))}</caption><tr>{head}</tr>{rows}</table>'
    flags = [flag.text for flag in study.flags]
    said = "".join(f"<p>{text(line)}</p>" for line in [*price(study), *flags])
    unused = "".join(f"<p>{text(line)}</p>" for line, counts in methods(study, display) if not counts)
    return (
        cards(shown)
        + (table if rows else f"<p>{text(heading(study))}</p>")
        + (f'<div class="hvac-say" role="status">{unused}{said}</div>')
    )


def _ends(value: Band, kind: str, display: str) -> str:
    if not value.known:
        return ""
    low, high = (units.number_text(end, kind, display) for end in (value.low, value.high))
    return f"95 %: {low} to {high}"
