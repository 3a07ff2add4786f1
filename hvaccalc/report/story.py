"""What was reported, what was found, why it happened, and what stays open."""

from __future__ import annotations

from collections.abc import Sequence

from hvaccalc.diagnosis.build import Where
from hvaccalc.findings import Finding
from hvaccalc.job.schema import Job
from hvaccalc.report import charge_section, figures, plain, water_section
from hvaccalc.report.blocks import Block, Figure, Heading, Item, Items, Paragraph
from hvaccalc.report.forecast_section import at_which_airflow
from hvaccalc.report.found import Found, severity_rank, where_of
from hvaccalc.report.open_questions import questions
from hvaccalc.report.words import date_text, joined, signs_seen

LEADS = {"stop": "Stop.", "act": "Act.", "watch": "Watch.", "note": "Note."}
PLAIN_LEADS = {"stop": "Stop now.", "act": "Needs action.", "watch": "Not settled.", "note": ""}

WHEN = {
    "mild days": "on mild days",
    "humid days": "on humid days",
    "rain": "when it rains",
    "unknown": "not known when",
}

NOTHING_READ = "No readings were taken yet, so nothing has been found."
MOST_FOUND_FOR_THE_CUSTOMER = 5


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


def _metal(group: Sequence[Finding]) -> Finding:
    """Of two chances of freezing in one place, the metal's: one is enough for the customer."""
    first = group[0]
    same = [f for f in group if f.key == "freeze.probability.fin" and where_of(f) == where_of(first)]
    return same[0] if first.key == "freeze.probability.suction" and same else first


def what_was_found(found: Found) -> list[Block]:
    """The findings that matter, the most severe first, each told once."""
    blocks: list[Block] = [Heading("What we found")]
    if not found.analysis.conditions:
        return [*blocks, Paragraph(NOTHING_READ)]
    groups = _groups(found)
    if not groups:
        return [*blocks, Paragraph("Nothing out of order in the readings that were taken.")]
    leads = PLAIN_LEADS if found.plain else LEADS
    shown = groups[:MOST_FOUND_FOR_THE_CUSTOMER] if found.plain else groups
    items = [Item(_told(found, group), leads[group[0].severity]) for group in shown]
    blocks.append(Items(tuple(items)))
    if found.put_right is not None:
        day = found.job.visit[found.put_right.where.visit - 1].date
        blocks.append(Paragraph(f"The fan has been put right since: {_risen(found)}", _on(day)))
    if found.plain:
        blocks.append(Paragraph("Ranges in brackets show how far the readings could be off."))
    return blocks


def _risen(found: Found) -> str:
    right = found.put_right
    assert right is not None
    ratio = right.airflow.speed_ratio if right.airflow else None
    share = f" at {100 * ratio.draws[0]:.0f} % of its full speed" if ratio else ""
    probability = found.freezing(right.where)
    text = f"with the same calls it was read{share} ({found.place(right.where)})."
    if probability is None:
        return text + " Whether the coil stays above freezing has not been shown yet."
    return f"{text} {plain.ice(probability, found) if found.plain else probability.statement}"


def _on(day) -> str:
    return f"Visit of {date_text(day)}." if day else "A later visit."


def _groups(found: Found) -> list[list[Finding]]:
    """Findings that matter, gathered by what they say of what; the one to quote stands first."""
    groups: dict[tuple[str, str | None, str | None], list[Finding]] = {}
    for finding in found.analysis.findings:
        if _has_a_place(finding, found) and severity_rank(finding) > 0 and _matters(finding, found):
            groups.setdefault(_sameness(finding, found), []).append(finding)
    for group in groups.values():
        group.sort(key=lambda f: (-severity_rank(f), not _decisive(f, found), -(f.visit or 0)))
    return sorted(groups.values(), key=lambda g: (-severity_rank(g[0]), ORDER.get(_subject(g[0]), 9)))


def _has_a_place(finding: Finding, found: Found) -> bool:
    """Findings of a visit, and those of the wiring that no reading's finding tells already."""
    if finding.visit is not None:
        return True
    told = any(finding.id in other.inputs for other in found.of("staging.fault"))
    return finding.key in (*WIRING, *WATER) and not told


STANDING = "circuit.standing_pressure"
"""Told to the customer in a sentence of its own."""

WIRING = ("staging.fault", "staging.backfeed", "staging.measure")

WATER = ("water.dominant",)

ORDER = {
    "water.dominant": 0,
    "staging.backfeed": 0,
    "staging.measure": 0,
    "staging.fault": 0,
    "circuit.compressor": 1,
    "coil.ice_seen": 2,
    "freeze.probability": 3,
    "airflow.short": 4,
    "circuit.charge": 5,
    "circuit.contrast": 6,
}


def _subject(finding: Finding) -> str:
    return "freeze.probability" if finding.key.startswith("freeze.probability") else finding.key


def _sameness(finding: Finding, found: Found) -> tuple[str, str | None, str | None]:
    """Findings alike in this are told once: verdicts by their words, contradictions by their sentence."""
    if finding.key == "reading.contradiction":
        return finding.key, None, None if found.plain else finding.statement
    return _subject(finding), finding.circuit, finding.text


def _matters(finding: Finding, found: Found) -> bool:
    """What cannot be told stands with the open questions, unless it warns of something."""
    if finding.key == "staging.ladder":
        return not found.plain
    if finding.key in charge_section.TOLD_HERE or (found.plain and finding.key == STANDING):
        return False
    if finding.key == "circuit.charge" and finding.text == "cannot tell":
        judged = found.judged(finding)
        return judged is not None and any(e.startswith("floodback") for e in judged.evidence)
    if finding.key == "circuit.charge":
        counts = found.charge(finding.circuit or "")
        return counts is not None and counts.text == finding.text
    if finding.key == "circuit.contrast" and found.plain:
        counts = found.charge(finding.circuit or "")
        return finding.text != "cannot tell" and (counts is None or counts.text not in ("low", "high"))
    if finding.key.startswith(("freeze.forecast", "freeze.threshold_airflow", "forecast.")):
        # Told to the customer in one sentence of its own.
        return not found.plain
    if finding.key == "airflow.reconciled":
        told = found.plain and found.at("airflow.short", where_of(finding)) is not None
        return finding.basis != "assumed" and not told
    return finding.text != "cannot tell"


def _decisive(finding: Finding, found: Found) -> bool:
    return found.decisive is not None and found.decisive.where == where_of(finding)


def _told(found: Found, group: Sequence[Finding]) -> str:
    """One statement, and where else it holds."""
    first = group[0]
    if found.plain:
        return plain.sentence(_metal(group), found)
    text = first.statement
    both = [f for f in group[1:] if f.key != first.key and where_of(f) == where_of(first)]
    text = " ".join([text, *(f.statement for f in both)])
    places = list(dict.fromkeys(where_of(f) for f in group))
    if not places[0].visit:
        return text
    more = f"; also: {found.places(places[1:])}" if len(places) > 1 else ""
    return f"{text} ({found.place(places[0])}{more})"


def why(found: Found) -> list[Block]:
    """The chain from the call to the ice, as far as findings carry it."""
    blocks: list[Block] = [Heading("Why it happened")]
    links = _links(found)
    water = water_section.link(found)
    if not (found.staged_wrong or found.freezes) and water is not None:
        blocks.append(Items((water,)))
    elif not (found.staged_wrong or found.freezes):
        text = (
            "Not proved yet. The readings so far show neither a fan that fails to follow the calls nor ice, "
            "nor a coil or a refrigerant likely below freezing."
        )
        if not found.analysis.conditions:
            text = "Not proved yet: there is nothing to reason from."
        blocks.append(Paragraph(text + " What to read next stands below."))
    else:
        assert found.decisive is not None
        blocks.append(
            Paragraph(f"In this order, as read in one condition ({found.place(found.decisive.where)}):")
        )
        blocks.append(Items(tuple(links), ordered=True))
        blocks += [Paragraph(text, "Not proved yet.") for text in _unproved(found)]
    return blocks + at_which_airflow(found) + _drawn(found)


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
    metal = found.known("freeze.probability.fin", where)

    def told_same(other: Finding) -> bool:
        return metal is None or metal.severity == other.severity

    if calls and not (found.plain and found.staged_wrong):
        links.append(Item(_called(calls, found), "The calls."))
    for lead, key in (
        ("The fan.", "staging.fault"),
        ("The air.", "airflow.reconciled"),
        ("The coil.", "coil.coldest_surface"),
        ("Ice.", "coil.ice_seen"),
        ("Freezing.", "freeze.probability.fin"),
        ("Freezing.", "freeze.probability.suction"),
    ):
        finding = found.at(key, where)
        if finding is None or (finding.value is None and key not in ("staging.fault", "coil.ice_seen")):
            continue
        if lead == "Freezing." and links and links[-1].lead in ("Ice.", "Freezing.") and told_same(finding):
            continue
        if found.plain and key == "freeze.probability.suction" and metal is not None:
            continue
        links.append(Item(plain.sentence(finding, found) if found.plain else finding.statement, lead))
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
        f"Noted on site: {one.name} ({one.place.replace('.', ' ')})."
        for one in calls.faults
        if one.effect and not one.name.startswith("preset")
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
    if not text and found.analysis.water is None:
        text = (
            "Other causes (drain, trap, pan, water blown off the coil, sweating, a pipe or a leak elsewhere) "
            "were not weighed, as nothing was noted of the water: none of them is ruled out here."
        )
    if text:
        blocks.append(Paragraph(text))
    elif len(blocks) == 1:
        blocks.append(Paragraph("What was weighed beside it stands with the water above."))
    return blocks


def _stayed_warm(found: Found) -> list[Item]:
    """Conditions in which the coil stayed above freezing, in one item."""
    warm = [r.where for r in found.analysis.conditions if _is_warm(found, r.where)]
    return [Item(f"Freezing was unlikely in: {found.places(warm)}.", "Coil.")] if warm else []


def _is_warm(found: Found, where: Where) -> bool:
    return found.warm(where)


def _followed(found: Found) -> list[Item]:
    right = [
        r.where
        for r in found.analysis.conditions
        if r.staging is None
        and found.full_call(r)
        and r.airflow
        and r.airflow.speed_ratio
        and r.airflow.speed_ratio.basis == "measured"
    ]
    told = right and not (found.plain and found.staged_wrong)
    return [Item(f"The fan followed the calls in: {found.places(right)}.", "Fan.")] if told else []


def _charges_in_order(found: Found) -> list[Item]:
    items = []
    # The customer reads each circuit once, in the section on refrigerant.
    for name in () if found.plain else found.job.circuit:
        finding = found.charge(name)
        if finding is not None and finding.text == "as charted":
            text = f"{finding.statement} ({found.place(where_of(finding))})"
            items.append(Item(text, "Refrigerant."))
    alike = found.contrast
    if alike is not None and alike.text == "none stands out":
        items.append(Item(plain.contrast(alike, found) if found.plain else alike.statement, "Refrigerant."))
    return items


def unexplained(found: Found) -> list[Block]:
    """What stays open, each with the reading that would settle it."""
    asked = questions(found)
    blocks: list[Block] = [Heading("What this does not explain, and what to read next")]
    if not asked:
        return [*blocks, Paragraph("Nothing is left open by the readings; the return visit has to prove it.")]
    items = tuple(Item(f"{q.open} {q.next}".strip(), q.about) for q in asked)
    return [*blocks, Items(items[:3] if found.plain else items)]
