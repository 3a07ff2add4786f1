"""The memo on the fan: airflow by every way, before its speed is raised, the price of full speed."""

from __future__ import annotations

from hvaccalc.diagnosis.build import Where
from hvaccalc.diagnosis.speed_check import FAIL, NOT_YET, SpeedCheck, to_show
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found

ENERGY = (
    *(
        "energy.full_speed_penalty_power",
        "energy.full_speed_penalty_energy",
        "energy.full_speed_penalty_cost",
    ),
    *("energy.full_speed_penalty_week", "energy.re_evaporated_water"),
)


def fan(found: Found) -> list[Block]:
    """What there is to say of the fan; nothing where nothing is known of it."""
    parts = [*_ways(found), *_before(found), *_price(found)]
    return [Heading("The fan and its air", 3), *parts] if parts else []


def _ways(found: Found) -> list[Block]:
    """Airflow by each method, for the file, where there are several to compare."""
    results = [r for r in found.analysis.conditions if r.airflow is not None and len(r.airflow.methods) > 1]
    if found.plain or not results:
        return []
    rows = []
    for result in results:
        assert result.airflow is not None
        left_out = {d.name for d in result.airflow.disagreeing}
        for method in result.airflow.methods:
            finding = found.known(f"airflow.{method.name}", result.where)
            if finding is not None:
                words = method.name.replace("_", " ")
                note = " Left out: it disagrees with the others." if method.name in left_out else ""
                rows.append((words, finding.statement + note, found.place(result.where)))
        both = found.known("airflow.reconciled", result.where)
        if both is not None:
            rows.append(("reconciled", both.statement, found.place(result.where)))
    return [Table(("Method", "Airflow", "In"), tuple(rows), "Airflow, each way by itself and together")]


def _before(found: Found) -> list[Block]:
    checks = _shown(found)
    if checks is None:
        return []
    if found.plain:
        return _before_plainly(checks)
    summary = found.at("fan.speed_check", checks.where)
    rows = tuple((check.name, check.state, check.text) for check in checks.checks)
    title = "Before the fan's speed is raised" if checks.raises else "What the fan's present speed asks"
    lead = [Paragraph(f"{summary.statement} ({found.place(checks.where)})")] if summary is not None else []
    return [*lead, Table(("Check", "Result", "Because, or read next"), rows, title)]


def _before_plainly(checks: SpeedCheck) -> list[Block]:
    wrong = [check.name for check in checks.checks if check.state == FAIL]
    open_ones = sum(check.state == NOT_YET for check in checks.checks)
    when = "Before the fan is sped up" if checks.raises else "At the fan's present speed"
    told = []
    if wrong:
        told.append(f"{when}, this has to be put right: {', '.join(wrong)}.")
    if open_ones and checks.raises:
        told.append(
            f"{when}, {open_ones} more points have to be checked on site (motor, belt, drain and so on)."
        )
    return [Paragraph(" ".join(told))] if told else []


def _shown(found: Found) -> SpeedCheck | None:
    """The list that the findings tell."""
    checks = to_show(result.speed for result in found.analysis.conditions)
    return checks if checks is not None and found.at("fan.speed_check", checks.where) is not None else None


def _price(found: Found) -> list[Block]:
    keys = ("energy.full_speed_penalty_cost",) if found.plain else ENERGY
    told = [finding for key in keys if (finding := found.at(key, Where())) is not None]
    rule = found.at("fan.staging_rule", Where())
    if found.plain:
        told_plain = [Paragraph(finding.statement) for finding in told]
        if rule is not None and rule.severity != "note":
            told_plain.append(Paragraph("The energy code seems to demand a fan that slows down; check it."))
        return list(told_plain)
    items = [Item(finding.statement) for finding in told]
    if rule is not None and told:
        items.append(Item(rule.statement, "Code."))
    return [Items(tuple(items))] if items else []
