"""Calls and wiring in the memo: what each call does, the circuit drawn, a jumper judged, and its tag."""

from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.calls.call_wiring import CallWiring
from hvaccalc.diagnosis.calls.measures import ReadCall
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.ensemble import band
from hvaccalc.equipment.wiring.temporary_measure import Measure
from hvaccalc.findings.wiring import fault_named, fault_sentence, read_words, told, unread_words
from hvaccalc.job.visit_tables import Visit, Work
from hvaccalc.pictures.wiring_drawing import picture
from hvaccalc.report import plain
from hvaccalc.report.blocks import Block, Figure, Heading, Item, Items, Paragraph, Table, Tag
from hvaccalc.report.found import Found
from hvaccalc.report.sections.today import heating_steps
from hvaccalc.service.may_run.fan_and_coil import first_stage_safe
from hvaccalc.words.said import date_text, joined

NEVER = "Never move this over a safety (pressure, freezestat, float, smoke, limit). If in doubt, take it off."

REMOVAL = (
    "Switch off, lock out, prove dead; take the jumper off both terminals; land every conductor that was "
    "moved back where the drawing shows it; prove each call again; hand the tag in."
)


def calls_and_wiring(found: Found) -> list[Block]:
    """Every call side by side and the circuit as found; for the file."""
    calls = found.analysis.calls
    if calls is None or found.plain:
        return []
    blocks: list[Block] = [Heading("Calls and wiring"), _table(calls)]
    blocks += [Items(tuple(_told(found, calls)))] if _told(found, calls) else []
    if (drawn := _figure(calls)) is not None:
        blocks.append(drawn)
    return blocks


def _table(calls: CallWiring) -> Table:
    header = ["Call", "As designed", "As found"]
    states = [calls.designed, calls.found]
    if calls.measure is not None:
        header.append("With the temporary pair")
        states.append(calls.now)
    rows = [(call, *(told(circuit, call) for circuit in states)) for call in calls.calls]
    return Table(tuple(header), tuple(rows), "What each call energises")


def _told(found: Found, calls: CallWiring) -> list[Item]:
    items = [Item(fault_sentence(fault), "Fault.") for fault in calls.faults if not fault.for_measure]
    items += [Item(f.statement, "Back-feed.") for f in found.of("staging.backfeed")]
    items += [
        Item(f"{f.statement} ({found.place(Where(f.visit or 0, f.condition or 0))})", "Voltages.")
        for f in found.of("staging.ladder")
    ]
    return items


def troubled_call(calls: CallWiring) -> Call:
    """The call that shows most: a back-feed's, else an invalid one, else a changed one, else the highest."""
    for feed in calls.back_feeds:
        return feed.calls[0]
    for one in calls.combinations:
        return one.call
    for stop in calls.unreached:
        return stop.call
    cooling = [call for call in calls.calls if call.mode is Mode.COOL]
    return (cooling or list(calls.calls) or [Call.NONE])[-1]


def _figure(calls: CallWiring) -> Figure | None:
    drawn = picture(calls, troubled_call(calls))
    if drawn is None:
        return None
    caption = (
        "Rows are the conductors of the design, columns the devices; contacts stand at the left with the "
        "calls that close them, loads and fan inputs at the right. What a line means stands below it."
    )
    if calls.measure is not None:
        pairs = " and ".join(calls.measure.pairs)
        caption += f" Drawn as found with the temporary jumper landed: {pairs}."
    return Figure(lambda: drawn.svg, drawn.title, drawn.description, caption)


# --- the jumper -------------------------------------------------------------------------------------------


def jumper(found: Found) -> list[Block]:
    """The temporary pairs: the safer choice, the verdict, what comes first, how long, the tag."""
    calls = found.analysis.calls
    if calls is None or calls.measure is None:
        return []
    measure = calls.measure
    if found.plain:
        # A measure that was recorded stands with the work already, and with its end.
        told = measure.refused or measure.out_of_service or _recorded(found)[1] is None
        return [Paragraph(_plain(found, measure), "A temporary wire.")] if told else []
    finding = next(iter(found.of("staging.measure")))
    blocks: list[Block] = [Heading("The jumper, judged", 3), Paragraph(_safer(found), "Safer first:")]
    blocks.append(Paragraph(finding.statement))
    blocks.append(Items(tuple(_first(calls, measure)), ordered=True))
    if measure.refused:
        return blocks
    blocks.append(Paragraph(_how_long(found), "How long."))
    return [*blocks, _tag(found, calls, measure)]


def _safer(found: Found) -> str:
    text = "lock the second stage out at the thermostat (or take its cooling call off) until the repair"
    alone, off = first_stage_safe(found.analysis), heating_steps(found)
    if alone is not None:
        return (
            f"{text}; the first stage alone at the low fan was read to keep the coil above freezing "
            f"({found.place(alone.where)}).{off}"
        )
    return (
        f"{text}, once a reading of the first stage alone at the low fan shows that it keeps the coil above "
        f"freezing; none shows it yet.{off}"
    )


def _read(one: ReadCall) -> str:
    """A call as read with the pair landed, and when."""
    return f"{read_words(one)} ({date_text(one.day)})"


def _first(calls: CallWiring, measure: Measure) -> list[Item]:
    """What has to be done before a jumper is landed, in order; nothing makes a bridged safety right."""
    if measure.bridges_safety:
        return [Item("Do not land it: find out why the safety acts, and leave it to act.", "Never.")]
    if measure.refused and not measure.lifted:
        return [Item("Do not land it: no conductor that could be moved makes it right.", "Never.")]
    done = {one.call for one in calls.read}
    items = [
        Item("Switch off, lock out, prove dead; wait for the drive's capacitors. Control side only.", "Off.")
    ]
    if measure.lifted:
        items.append(
            Item(
                f"{', '.join(measure.lifted)}: move this conductor off the jumped terminal, either spliced "
                "straight to the thermostat's second-stage wire and isolated from the jumper (that wire "
                'comes off the terminal too), or lifted and capped with "second stage out of service" '
                "written on the tag and said to the customer.",
                "Outdoor conductor.",
            )
        )
    if measure.refused:
        items.append(
            Item("Judge the jumper again with the conductor moved: as it stands it is refused.", "Then.")
        )
        return items
    items += [
        Item(
            f"At {p.call_name}: {joined(p.loads) or 'no compressor'}, nothing else; fan {p.speed}.", "Prove."
        )
        for p in measure.proofs
        if p.call not in done
    ]
    items += [Item(f"{_read(one)}.", "Read.") for one in calls.read]
    items.append(
        Item(
            "Before it is left so: motor current under its plate; the trap seen to hold at that speed, "
            "for the suction at the pan grows with the square of the speed (2.8 times from 36 to 60 Hz).",
            "Fan.",
        )
    )
    return items


def _how_long(found: Found) -> str:
    _, work = _recorded(found)
    until = (
        f"until {date_text(work.expires)}"
        if work is not None and work.expires
        else "until a date still to be agreed"
    )
    text = f"The unit may run with it under the conditions above and {until}; then the repair or off."
    week = _week(found)
    return text + (f" Full speed at every call costs {week} a week more than staged." if week else "")


def _week(found: Found) -> str:
    """Money a week with its band; empty where the job has no prices."""
    energy = found.analysis.fan_energy
    if energy is None or energy.week is None:
        return ""
    cost = band(energy.week)
    return f"{cost.value:.0f} ({cost.low:.0f} to {cost.high:.0f}) {energy.currency}" if cost.known else ""


def _plain(found: Found, measure: Measure) -> str:
    if measure.refused:
        return plain.refused(found)
    _, work = _recorded(found)
    until = (
        f"It comes out by {date_text(work.expires)}."
        if work is not None and work.expires
        else "It needs an end date."
    )
    lost = " The second stage of cooling is out of service meanwhile." if measure.out_of_service else ""
    return f"A tagged temporary wire keeps the fan at full speed.{lost} {until}"


def _recorded(found: Found) -> tuple[Visit | None, Work | None]:
    """The latest temporary measure that is still in."""
    for visit in reversed(found.job.visit):
        for work in reversed(visit.work):
            if work.kind == "temporary measure" and not work.removed:
                return visit, work
    return None, None


def _tag(found: Found, calls: CallWiring, measure: Measure) -> Tag:
    visit, work = _recorded(found)
    standing = [fault_named(f) for f in calls.faults if f.for_measure and f.place not in measure.lifted]
    rest = next((p for p in measure.proofs if p.call == "none" and p.speed != "off"), None)
    hazards = [
        "fan at full speed whenever the fan is called" if rest is None else "fan runs with no call at all",
        *(f"{name} out of service" for name in measure.out_of_service),
        *(work.hazards or () if work is not None else ()),
    ]
    proved = "; ".join(_read(one) for one in calls.read)
    unread = unread_words(calls)
    rows = (
        ("Unit", " - ".join(part for part in (found.job.unit.name, found.job.job.site) if part)),
        ("What", " and ".join(f"jumper {pair}" for pair in measure.pairs)),
        ("Why", "; ".join(standing) or (work.note if work is not None and work.note else "")),
        ("Conductors moved", ", ".join(measure.lifted) or "none"),
        ("Landed on", date_text(visit.date) if visit is not None and visit.date else ""),
        ("By", (visit.by if visit is not None else "") or ""),
        ("Out by", date_text(work.expires) if work is not None and work.expires else ""),
        ("Hazards", "; ".join(dict.fromkeys(hazards))),
        ("Proved", proved or "no call read with it yet"),
        *((("To be read", f"expected: {unread}"),) if unread else ()),
        (
            "How to remove",
            f"{REMOVAL} Before the repair: the second stage locked out as well.{heating_steps(found)}",
        ),
    )
    return Tag("TEMPORARY - control jumper", rows, NEVER)
