"""What was reported, what was found, why it happened, and what stays open."""

from collections.abc import Sequence

from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.unit.heating_head import HeadVerdict
from hvaccalc.diagnosis.water.mechanism import Ability
from hvaccalc.findings import Finding
from hvaccalc.job.causes import CAUSES_OF_WAYS, FOUND, Way
from hvaccalc.job.schema import Job
from hvaccalc.practice.air import ABOVE_DESIGN_SPEED
from hvaccalc.report import endings, figures, plain
from hvaccalc.report.blocks import Block, Figure, Heading, Item, Items, Paragraph
from hvaccalc.report.found import Found, grouped, signs_seen, where_of
from hvaccalc.report.sections import water as water_section
from hvaccalc.report.sections.forecast import at_which_airflow
from hvaccalc.service.next_readings import MOST_WAYS
from hvaccalc.service.put_right import PutRight
from hvaccalc.service.question_rows import About, Question
from hvaccalc.words.questions import about, how, open_and_how
from hvaccalc.words.said import capital, joined, terminals
from hvaccalc.words.water import WAYS

NOT_KNOWN_BY_NAME = "It has to be watched while the unit cools and after."
LOOK_NEXT = "Not ruled out; look next, the likeliest way first:"


def questions(found: Found) -> list[Item]:
    """Open questions; for the file the ways of the water are a checklist, for the customer one sentence."""
    asked = found.analysis.questions
    ways = [one for one in asked if one.about is About.WAY]
    heads = [one for one in asked if one.about is About.WATER]
    items: list[Item] = []
    for one in asked:
        if one.about is About.WAY:
            if one is ways[0]:
                items += _plainly(found, heads, ways) if found.plain else _checklist(found, heads, ways)
        elif not (ways and one.about is About.WATER) and (words := _told(found, one)):
            items.append(Item(words, about(one, found.teller)))
    return items


def _told(found: Found, one: Question) -> str:
    return open_and_how(one, found.analysis.water, found.teller)


def _head(found: Found, heads: Sequence[Question], then: str) -> Item:
    """The water's own line, with what comes next of it."""
    return Item(" ".join([*(_told(found, one) for one in heads), then]), found.teller.tell(About.WATER))


def _checklist(found: Found, heads: Sequence[Question], ways: Sequence[Question]) -> list[Item]:
    """The likeliest ways, each with its look; the rest in one line."""
    to = found.teller
    first, rest = ways[:MOST_WAYS], ways[MOST_WAYS:]
    told = [
        Item(how(one, found.analysis.water, to), f"{number}. {capital(to.tell(one.way))}.")
        for number, one in enumerate(first, 1)
        if one.way is not None
    ]
    names = to.slot(tuple(one.way for one in rest if one.way is not None))
    others = [Item(f"{capital(names)}.", "Not ruled out either.")] if rest else []
    return [_head(found, heads, LOOK_NEXT), *told, *others]


def _plainly(found: Found, heads: Sequence[Question], ways: Sequence[Question]) -> list[Item]:
    words = [WAYS[one.way] for one in ways if one.way is not None]
    told = [f"{one.title.customer} ({one.usual.look.customer})" for one in words if one.title.customer]
    left = len(told) - MOST_WAYS
    more = f" and {left} other way{'s' if left > 1 else ''}" if left > 0 else ""
    if not told:
        return [_head(found, heads, NOT_KNOWN_BY_NAME)]
    return [_head(found, heads, f"Not ruled out yet: {'; '.join(told[:MOST_WAYS])}{more}.")]


WHEN = {
    "mild days": "on mild days",
    "hot days": "on hot days",
    "humid days": "on humid days",
    "rain": "when it rains",
    "unknown": "not known when",
}


def reported(found: Found) -> list[Block]:
    """What the customer said and when the water comes."""
    job = found.job.job
    blocks: list[Block] = [Heading("What was reported")]
    if job.reported:
        blocks.append(Paragraph(job.reported, quoted=True))
    told = []
    if job.water_seen is not None:
        told.append(f"Water seen: {job.water_seen.text}.")
    if job.water_when:
        told.append(f"It comes: {joined([WHEN.get(word, word) for word in job.water_when])}.")
    if told:
        blocks.append(Paragraph(" ".join(told)))
    if len(blocks) == 1:
        blocks.append(Paragraph("Nothing was written down. Ask: how much water, where, and when it comes."))
    return blocks


def why(found: Found) -> list[Block]:
    """The chain from the call to the ice as far as findings carry it; without ice, the causes by name."""
    blocks: list[Block] = [Heading("Why it happened")]
    if not (found.staged_wrong or found.freezes):
        blocks += _by_cause(found)
    else:
        assert found.decisive is not None
        blocks.append(
            Paragraph(f"In this order, as read in one condition ({found.place(found.decisive.where)}):")
        )
        blocks.append(Items(tuple(_links(found)), ordered=True))
        blocks += [Paragraph(text, "Not proved yet.") for text in _unproved(found)]
    lead = "Heating." if found.plain else "The trips while heating."
    blocks += [Paragraph(text, lead) for text in _trips(found)]
    return blocks + at_which_airflow(found) + _drawn(found)


def _by_cause(found: Found) -> list[Block]:
    """Causes that were found, the way of the water, and what stays unproved."""
    water = water_section.link(found)
    items = [*_causes(found), *_fast(found), *([water] if water is not None else [])]
    blocks: list[Block] = [Items(tuple(items))] if items else []
    if water is None and (found.water_noted or not items):
        blocks.append(Paragraph(f"{_not_proved(found, bool(items))} What to read next stands below."))
    return blocks


def _causes(found: Found) -> list[Item]:
    """What was found at fault, and what became of it; not what the way of the water says already."""
    budget = found.analysis.water
    able = budget.those(Ability.CAN) if budget is not None else ()
    told = {cause for way in able for cause in CAUSES_OF_WAYS[way]}
    items = []
    for end in found.analysis.put_right:
        if end.cause not in told and end.found.visit:
            closed = endings.of_cause(found, end.cause, end.circuit)
            done = f" {closed.done}" if closed is not None else ""
            lead = f"Circuit {end.circuit}." if end.circuit is not None else "The unit."
            what = FOUND[end.cause] if _shown(found, end) else f"not settled: {FOUND[end.cause]}"
            items.append(Item(f"{capital(what)} ({found.place(end.found)}).{done}", lead))
    return items


def _shown(found: Found, end: PutRight) -> bool:
    """Whether a finding or a sign shows a cause, and not only something to be watched."""
    those = [f for f in found.analysis.findings if f.about is end.cause and f.circuit == end.circuit]
    return not those or any(finding.severity.asks_for_work for finding in those)


def _not_proved(found: Found, causes: bool) -> str:
    if not found.analysis.visits.read:
        return "Not proved yet: there is nothing to reason from."
    if not found.water_noted:
        acts = any(finding.severity.asks_for_work for finding in found.analysis.findings)
        return ACTS if acts else "Nothing that was read explains yet what was reported."
    what = "How the water comes is not proved yet." if causes else "Not proved yet."
    fan = "" if causes else "a fan that fails to follow the calls, "
    return f"{what} No reading so far shows {fan}ice, or metal of the coil likely below freezing."


ACTS = "What was found above is put right first; whether it was all that is wrong is read after it."


def _fast(found: Found) -> list[Item]:
    """What makes the air too fast where it carries drops: the fan above its design speed, its sheaves."""
    budget = found.analysis.water
    if budget is None or budget.dominant is not Way.CARRY_OVER:
        return []
    worst = found.decisive
    ratio = worst.airflow.speed_ratio if worst is not None and worst.airflow is not None else None
    if worst is None or ratio is None or ratio.draws[0] <= ABOVE_DESIGN_SPEED:
        return []
    unit, air = found.job.unit.fan, found.analysis.draws.condition(worst.where).air
    read = air.fan_speed or air.fan_frequency
    text = f"The fan ran at {100 * ratio.draws[0]:.0f} % of its design speed"
    if read is not None and unit.full_speed is not None:
        text += f" ({grouped(read.quantity.text)} where {grouped(unit.full_speed.text)} belongs)"
    text += "."
    if unit.motor_sheave is not None and unit.fan_sheave is not None:
        wheels = "pulleys" if found.plain else "sheaves"
        sizes = f"{unit.motor_sheave.text} on the motor, {unit.fan_sheave.text} on the fan"
        text += f" Its {wheels} as found: {sizes}."
    return [Item(text, "The fan.")]


def _trips(found: Found) -> list[str]:
    """What a low fan does to a heat pump that heats; with what was reported of it."""
    here = next((one for one in found.analysis.heating if one.verdict is HeadVerdict.LOW_FAN), None)
    if here is None:
        return []
    head_read = here.read_head is not None and here.read_head.known
    if not found.plain:
        enough = (
            "by the balance enough by itself" if here.trips == "yes" else "not shown to be enough by itself"
        )
        wanted = "the cut-out's setting" if head_read else "the head while it heats and the cut-out's setting"
        return [
            f"The low fan in heating raises the head: a likely contributor, {enough}. Read {wanted}; the "
            f"numbers stand with the refrigerant ({found.place(here.where)})."
        ]
    wanted = (
        "The setting at which it trips still has"
        if head_read
        else "The pressure while it heats and the setting at which it trips still have"
    )
    return [
        "The low fan in heating is a likely contributor to a trip on high pressure: too little air carries "
        f"the heat away. {wanted} to be read. That is no reason to take refrigerant out."
    ]


def _drawn(found: Found) -> list[Block]:
    """One picture for the customer: the coil where it matters, else the way of the water."""
    if found.plain and not (found.staged_wrong or found.freezes):
        return list(water_section.shown(found))
    pictures: list[Figure | None] = [figures.coil(found)]
    if not found.plain:
        pictures.append(figures.air(found))
    return [picture for picture in pictures if picture is not None]


def _links(found: Found) -> list[Item]:
    result = found.decisive
    if result is None:
        return []
    where = result.where
    calls = found.analysis.draws.condition(where).calls
    links: list[Item] = []
    last = ""
    metal = found.known("freeze.probability.fin", where)

    def told_same(other: Finding) -> bool:
        return metal is None or metal.as_severe_as(other)

    if calls and not (found.plain and found.staged_wrong):
        links.append(Item(_called(calls, found), "The calls."))
    for lead, key in (
        ("The fan.", "staging.fault"),
        ("The fan.", "fan.rotation"),
        ("The belt.", "fan.wheel"),
        ("Outdoor air.", "air.outdoor_air"),
        ("The air.", "airflow.reconciled"),
        ("The coil.", "coil.coldest_surface"),
        ("Ice.", "coil.ice_seen"),
        ("Freezing.", "freeze.probability.fin"),
        ("Freezing.", "freeze.probability.suction"),
    ):
        finding = found.at(key, where)
        told = key in ("staging.fault", "fan.rotation", "fan.wheel", "air.outdoor_air", "coil.ice_seen")
        if finding is None or (finding.value is None and not (told and finding.severity.notable)):
            continue
        if lead == "Freezing." and last.startswith(("coil.ice", "freeze.")) and told_same(finding):
            continue
        if found.plain and key == "freeze.probability.suction" and metal is not None:
            continue
        seen_ice = found.ice_on(where.visit) if found.plain and lead == "Freezing." else None
        if seen_ice is not None:
            # What was seen needs no chance.
            links.append(Item(plain.sentence(seen_ice, found), "Ice."))
            last = seen_ice.key
            continue
        links.append(Item(plain.sentence(finding, found) if found.plain else finding.statement, lead))
        last = key
        if key == "airflow.reconciled" and (seen := found.analysis.visits.obstructions(where)):
            links.append(Item(f"Seen: {joined(seen)}.", "What holds the air back."))
        if key == "staging.fault":
            lead = "The drive, which sets the fan's speed." if found.plain else "The drive."
            links += [Item(text, lead) for text in _presets(found.job)]
            links += [Item(text, "The wiring.") for text in _wires(found)] if found.plain else []
    water = water_section.link(found)
    return links if water is None else [*links, water]


def _called(calls: Sequence[str], found: Found) -> str:
    if found.plain:
        return "Both stages of cooling were asked for." if len(calls) > 1 else "Cooling was asked for."
    return f"On: {joined(calls)}."


def _presets(job: Job) -> list[str]:
    """Inputs of the drive noted to give another speed than designed."""
    told = []
    for row in job.wiring.fan_speed:
        designed, seen = (v if isinstance(v, str) else v.text if v else "" for v in (row.designed, row.found))
        if designed and seen and seen not in (designed, "unknown"):
            device, _, terminal = (row.input or "drive.an input").replace("_", " ").partition(".")
            told.append(
                f"Noted on site: {terminal} of the {device} was meant to give {designed} and was found "
                f"{seen}."
            )
    return told


def _wires(found: Found) -> list[str]:
    """Faults of the wiring that explain the fan's speed as read, other than presets."""
    calls, worst = found.analysis.calls, found.decisive
    fault = found.at("staging.fault", worst.where) if worst is not None else None
    if calls is None or fault is None or not any(one.startswith("staging.") for one in fault.inputs):
        return []
    return [
        f"Noted on site: {found.teller.tell(one.kind)} ({terminals(one.place)})."
        for one in calls.faults
        if one.effect is not None and not one.live
    ]


def _located(found: Found) -> bool:
    """Whether voltages found the one broken segment."""
    calls = found.analysis.calls
    return calls is not None and any(len(one.located.segments) == 1 for one in calls.ladders.values())


def _unproved(found: Found) -> list[str]:
    """The steps of the chain that no finding carries."""
    told = []
    if found.staged_wrong and not (_presets(found.job) or _wires(found) or _located(found)):
        told.append(
            "Why the fan did not follow. Read next, with the second stage called: the control voltage at "
            "the thermostat, at the air handler's terminal and at the drive's input, and what the drive "
            "itself shows of that input."
            if not found.plain
            else "Why the fan did not follow. The control wiring and the fan's drive have to be checked "
            "step by step."
        )
    if found.freezes and water_section.link(found) is None:
        told.append(
            "How the water reaches the place where it was seen. Ice that melts after cooling stops would "
            "fit water that comes then, but nothing read so far shows that it does. "
            + (
                "Read next: coil face, filters, pan rim and drain at the end of a long run with all "
                "stages on, and again while it thaws."
                if not found.plain
                else "It has to be watched while the coil thaws."
            )
        )
    return told


def looked_at(found: Found) -> list[Block]:
    """What was checked and found in order, and what was seen."""
    items = [*_stayed_warm(found), *_followed(found), *_charges_in_order(found)]
    blocks: list[Block] = [Heading("What else we looked at")]
    if items:
        blocks.append(Items(tuple(items)))
    seen = signs_seen(found.job)
    if seen and not found.plain:
        blocks.append(Paragraph("Seen on site:"))
        blocks.append(Items(tuple(Item(text, lead) for lead, text in seen)))
    text = "" if found.plain else water_section.weighed(found)
    if text:
        blocks.append(Paragraph(text))
    elif len(blocks) == 1:
        where = "stands with the water above" if found.water_noted else "stands with what to read next"
        blocks.append(Paragraph(f"What was weighed beside it {where}."))
    return blocks


def _stayed_warm(found: Found) -> list[Item]:
    """Conditions in which the coil stayed above freezing, in one item."""
    warm = [r.where for r in found.analysis.conditions if found.warm(r.where)]
    return [Item(f"Freezing was unlikely in: {found.places(warm)}.", "Coil.")] if warm else []


def _followed(found: Found) -> list[Item]:
    right = [
        r.where
        for r in found.analysis.conditions
        if r.staging is None
        and not (r.backwards or (r.wheel is not None and r.wheel.text.wrong))
        and found.full_call(r)
        and r.airflow
        and r.airflow.speed_ratio
        and r.airflow.speed_ratio.basis == "measured"
    ]
    if found.plain and found.staged_wrong:
        return []
    fast = {where: share for where in right if (share := _share(found, where)) > ABOVE_DESIGN_SPEED}
    kept = [where for where in right if where not in fast]
    told = [f"The fan followed the calls in: {found.places(kept)}."] if kept else []
    told += [
        f"The fan ran whenever called, but at the wrong speed ({100 * share:.0f} % of its design speed), in: "
        f"{found.place(where)}."
        for where, share in fast.items()
    ]
    return [Item(text, "Fan.") for text in told]


def _share(found: Found, where: Where) -> float:
    """Fan speed over its design speed, as read."""
    result = next(r for r in found.analysis.conditions if r.where == where)
    assert result.airflow is not None and result.airflow.speed_ratio is not None
    return float(result.airflow.speed_ratio.draws[0])


def _charges_in_order(found: Found) -> list[Item]:
    items = []
    # The customer reads each circuit once, in the section on refrigerant.
    for name in () if found.plain else found.job.circuit:
        finding = found.charge(name)
        if finding is not None and finding.text == ChargeVerdict.AS_CHARTED:
            text = f"{finding.statement} ({found.place(where_of(finding))})"
            items.append(Item(text, "Refrigerant."))
    alike = found.contrast
    if alike is not None and alike.text == Suspicion.NONE:
        items.append(Item(plain.contrast(alike, found) if found.plain else alike.statement, "Refrigerant."))
    return items


def unexplained(found: Found) -> list[Block]:
    """What stays open, each with the reading that would settle it."""
    asked = questions(found)
    blocks: list[Block] = [Heading("What this does not explain, and what to read next")]
    if not asked:
        return [*blocks, Paragraph("Nothing is left open by the readings; the return visit has to prove it.")]
    return [*blocks, Items(tuple(asked[:3] if found.plain else asked))]
