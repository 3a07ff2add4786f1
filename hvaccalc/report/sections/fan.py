"""The memo on the fan: airflow by every way, before its speed is raised, the price of full speed."""

from collections.abc import Iterator, Mapping, Sequence

from hvaccalc import units
from hvaccalc.diagnosis.air.fan_check_rows import Check, SpeedCheck
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.findings import Finding
from hvaccalc.job.causes import Cause
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.report import endings, plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph, Table
from hvaccalc.report.found import Found
from hvaccalc.words.endings import BEFORE_FASTER, FASTER_NOW, WAS_OUT
from hvaccalc.words.said import date_text, two_digits

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
    """Airflow by each method, for the file, where there are several to compare; then how each was come by."""
    results = [r for r in found.by_time if r.airflow is not None and len(r.airflow.methods) > 1]
    if found.plain or not results:
        return []
    ways = {m.name: m.name.replace("_", " ") for r in results if r.airflow for m in r.airflow.methods}
    rows = []
    for result in results:
        cells = [_airflow_by(found, result, name) for name in (*ways, "reconciled")]
        rows.append((found.place(result.where), *cells))
    caption = (
        f"Airflow [{units.display_unit('airflow', found.display)[0]}], each way by itself and together, "
    )
    caption += "with 95 % bands; † left out, as it disagrees; ‡ compared, but without a say"
    table = Table(("In", *ways.values(), "together"), tuple(rows), caption)
    return [table, Items(tuple(_how(found, results, ways)))]


def _airflow_by(found: Found, result: ConditionResult, name: str) -> str:
    """A cell: number and band alone."""
    finding = found.known(f"airflow.{name}", result.where)
    if finding is None:
        return "–"
    low, value, high = (
        units.number_text(each, "airflow", found.display) for each in finding.band.low_to_high
    )
    flow = result.airflow
    assert flow is not None
    mark = " †" if name in {off.name for off in flow.disagreeing} else ""
    if flow.used and name not in (*flow.used, "reconciled") and not mark:
        mark = " ‡"
    return f"{value} ({low} to {high}){mark}"


def _how(found: Found, results: Sequence[ConditionResult], ways: Mapping[str, str]) -> Iterator[Item]:
    """The ways in words, and what a comparison has to say for itself."""
    for name, words in ways.items():
        those = [m for r in results if r.airflow for m in r.airflow.methods if m.name == name]
        notes = dict.fromkeys(f"{m.note} ({m.basis})" for m in those)
        told = "; or ".join(notes)
        yield Item(f"{told[0].upper()}{told[1:]}.", f"{words[0].upper()}{words[1:]}.")
    for result in results:
        both = found.known("airflow.reconciled", result.where)
        if both is not None and both.severity.notable:
            yield Item(both.statement, f"{found.place(result.where)}.")


def _before(found: Found) -> list[Block]:
    checks = _shown(found)
    if checks is None:
        return []
    if found.plain:
        return _before_plainly(found, checks)
    summary = found.at("fan.speed_check", checks.where)
    to = found.teller
    rows = tuple((to.tell(one.name), one.state.value, to.tell(one.why)) for one in checks.checks)
    title = _faster(found) if checks.raises else "What the fan's speed asks, as found"
    if not checks.raises and (day := found.job.visit[checks.where.visit - 1].date) is not None:
        title += f" on {date_text(day)}"
    after = [Paragraph(text) for text in (*_right_since(found, checks), *_unproved(found, checks))]
    lead = [Paragraph(f"{summary.statement} ({found.place(checks.where)})")] if summary is not None else []
    return [*lead, Table(("Check", "Result", "Because, or read next"), rows, title), *after]


def _faster(found: Found) -> str:
    """Before the fan's speed is raised, or once a repair is said to have raised it."""
    repaired = endings.of_cause(found, Cause.FAN_STUCK_LOW) is not None
    return (FASTER_NOW if repaired else BEFORE_FASTER).to(found.reader)


def _before_plainly(found: Found, checks: SpeedCheck) -> list[Block]:
    wrong = [check for check in checks.checks if check.fails]
    open_ones = [check for check in checks.checks if check.open]
    lead = _faster(found)
    told = []
    if wrong and checks.raises:
        told.append(f"{lead}, this has to be put right: {', '.join(plain.names(found, wrong))}.")
    elif wrong:
        ends = {check.name: _closed(found, checks, check) for check in wrong}
        standing = [check for check in wrong if ends[check.name] is None]
        if standing:
            told.append(
                f"At the fan's speed this has to be put right: {', '.join(plain.names(found, standing))}."
            )
        told += _right_since(found, checks)
    if unproved := _unproved(found, checks):
        told += unproved
    elif open_ones and checks.raises:
        names = plain.names(found, [check for check in open_ones if check.fitted])
        points = f"still to be checked on site ({_points(len(names))}): {', '.join(names)}"
        told += [f"{lead}, {points}."] if names else []
    return [Paragraph(" ".join(told))] if told else []


def _closed(found: Found, checks: SpeedCheck, check: Check) -> endings.Closed | None:
    return endings.of_check(found, check.name, checks.where.visit)


def _right_since(found: Found, checks: SpeedCheck) -> list[str]:
    """Checks that failed as found and were read right later; nothing while the speed still goes up."""
    if checks.raises:
        return []
    day = date_text(found.job.visit[checks.where.visit - 1].date)
    wrong = [check for check in checks.checks if check.fails]
    grouped: dict[str, list[Check]] = {}
    after: list[str] = []
    for check in wrong:
        end = _closed(found, checks, check)
        if end is not None:
            grouped.setdefault(end.done, []).append(check)
            after += _read_after(found, end, check)
    told = [] if found.plain else [f"Read after it: {text}" for text in dict.fromkeys(after)]
    return [
        WAS_OUT.to(found.reader).format(day=day, checks=", ".join(plain.names(found, those)), done=done)
        for done, those in grouped.items()
    ] + told


def _read_after(found: Found, end: endings.Closed, check: Check) -> list[str]:
    """The same check as the later visit reads it, number and band."""
    speed = end.read.speed if end.read is not None else None
    same = [one for one in (speed.checks if speed is not None else ()) if one.name is check.name]
    return [found.teller.tell(one.why) for one in same]


def _unproved(found: Found, checks: SpeedCheck) -> list[str]:
    """What nobody has read yet of a fan that was sped up since."""
    order = [result.where for result in found.by_time]
    later = found.by_time[order.index(checks.where) + 1 :]
    right = next((r for r in later if r.speed is not None and not r.speed.raises), None)
    if not checks.raises or right is None or right.speed is None:
        return []
    left = [check for check in right.speed.checks if check.open]
    wrong = [check for check in right.speed.checks if check.fails]
    if not left and not wrong:
        return []
    place = "" if found.plain else f" ({found.place(right.where)})"
    told = f"The fan has been sped up since{place}."
    if wrong:
        told += f" Out of its limits at full speed: {', '.join(plain.names(found, wrong))}."
    open_ones = plain.names(found, [check for check in left if check.fitted])
    if open_ones:
        told += f" Still unproved at full speed ({_points(len(open_ones))}): {', '.join(open_ones)}."
    perhaps = plain.names(found, [check for check in left if not check.fitted])
    if perhaps and not found.plain:
        told += f" Only where the unit has one, which nobody noted: {', '.join(perhaps)}."
    return [told]


def _points(count: int) -> str:
    return "1 check" if count == 1 else f"{count} checks"


def _shown(found: Found) -> SpeedCheck | None:
    """The list that the findings tell."""
    checks = found.analysis.fan_to_raise
    return checks if checks is not None and found.at("fan.speed_check", checks.where) is not None else None


def _price(found: Found) -> list[Block]:
    if found.plain:
        return [Paragraph(text) for text in _price_plainly(found)]
    told = [finding for key in ENERGY if (finding := found.at(key, Where())) is not None]
    rule = found.at("fan.staging_rule", Where())
    items = [Item(finding.statement) for finding in told]
    if rule is not None and told:
        items.append(Item(rule.statement, "Code."))
    return [Items(tuple(items))] if items else []


def _price_plainly(found: Found) -> list[str]:
    """A cost that the customer bears: of a measure that holds the fan at full speed, or of a fan left so."""
    week = found.at("energy.full_speed_penalty_week", Where())
    year = found.at("energy.full_speed_penalty_cost", Where())
    if week is not None and _held_at_full(found.analysis.calls, found):
        return [_cost(week, "While the temporary wire holds the fan at full speed, it", "week")]
    if year is not None and _left_at_full(found):
        return [_cost(year, "Full speed at all times", "year")]
    return []


def _held_at_full(calls: CallWiring | None, found: Found) -> bool:
    """Whether a temporary pair that still stands raises a call that should run low to full speed."""
    if calls is None or calls.measure is None or calls.measure.refused:
        return False
    works = [w for visit in found.job.visit for w in visit.work if w.kind == "temporary measure"]
    stands = any(work.removed is None for work in works) or not works
    raised = (
        designed.speed is not None
        and now.speed is not None
        and designed.speed.share < FULL_SPEED <= now.speed.share
        for designed, now in ((calls.designed.answer(c), calls.now.answer(c)) for c in calls.calls)
    )
    return stands and any(raised)


def _left_at_full(found: Found) -> bool:
    """Whether the last reading of a call that should run low had the fan at full speed."""
    low = [r for r in found.by_time if not found.full_call(r) and not found.analysis.visits.heats(r)]
    read = [r.airflow.speed_ratio for r in low if r.airflow is not None and r.airflow.speed_ratio is not None]
    return bool(read) and read[-1].basis == "measured" and bool(read[-1].draws[0] >= FULL_SPEED)


def _cost(finding: Finding, subject: str, span: str) -> str:
    """Money to two digits: what such an estimate deserves."""
    if not finding.band.known:
        return finding.statement
    low, middle, high = (two_digits(each) for each in finding.band.low_to_high)
    money = (finding.unit or "").partition("/")[0]
    return (
        f"{subject} costs about {middle} ({low} to {high}) {money} a {span} more than a fan that slows down."
    )
