"""What was found: the findings that matter, the most severe first, and what became of each.

Each row of what stands elsewhere is a choice; a finding that is new to the memo needs no row: it is shown to
both readers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.findings import Finding
from hvaccalc.job.causes import CAUSES_OF_WAYS, Way
from hvaccalc.job.checks.notices import ABSOLUTE
from hvaccalc.report import endings, plain
from hvaccalc.report.blocks import Block, Heading, Item, Items, Paragraph
from hvaccalc.report.found import RANGES, Found, has_range, where_of
from hvaccalc.severity import Severity
from hvaccalc.words.charge import NO_TARGET, NOT_SETTLED
from hvaccalc.words.endings import AT_FIRST, PROOF_DUE
from hvaccalc.words.said import NOT_SAID, Said, date_text, joined


class Section(StrEnum):
    """Part of the memo in which a finding stands."""

    FOUND = "what we found"
    QUESTIONS = "what to read next"
    CHARGE = "refrigerant"
    WATER = "where the water comes from"
    FAN = "the fan and its air"
    WIRING = "calls and wiring"
    FORECAST = "at which airflow"
    REPAIR = "permanent repair"
    NOT_TOLD = "not told"


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Findings of a key, all that begin with it where it ends in a full stop, that stand in another part."""

    key: str
    file: Section
    customer: Section
    verdict: str | None = None

    def holds(self, finding: Finding) -> bool:
        """Whether the row speaks of a finding."""
        same = finding.key.startswith(self.key) if self.key.endswith(".") else finding.key == self.key
        return same and self.verdict in (None, finding.text)


CANNOT_TELL = "cannot tell"

ELSEWHERE = (
    Elsewhere("circuit.charge", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("circuit.contrast", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("circuit.standing_pressure", Section.QUESTIONS, Section.CHARGE, CANNOT_TELL),
    Elsewhere("freeze.probability.fin", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("freeze.probability.suction", Section.QUESTIONS, Section.QUESTIONS, CANNOT_TELL),
    Elsewhere("airflow.reconciled", Section.QUESTIONS, Section.QUESTIONS, "not determined"),
    Elsewhere("airflow.temperature_split", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.faults_that_fit", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.other_column", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.flash_margin", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.lines", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("circuit.charge_rule", Section.CHARGE, Section.NOT_TOLD),
    Elsewhere("drain.overflow_guard", Section.REPAIR, Section.REPAIR),
    Elsewhere("drain.capacity", Section.WATER, Section.NOT_TOLD),
    Elsewhere("fan.staging_rule", Section.FAN, Section.FAN),
    Elsewhere("fan.speed_check", Section.FAN, Section.FAN),
    Elsewhere("forecast.", Section.FORECAST, Section.FORECAST),
    Elsewhere("freeze.forecast.", Section.FORECAST, Section.FORECAST),
    Elsewhere("freeze.threshold_airflow.", Section.FORECAST, Section.FORECAST),
    Elsewhere("pan.filling", Section.WATER, Section.NOT_TOLD),
    Elsewhere("staging.backfeed", Section.FOUND, Section.FOUND),
    Elsewhere("staging.fault", Section.FOUND, Section.FOUND),
    Elsewhere("staging.measure", Section.FOUND, Section.FOUND),
    Elsewhere("staging.ladder", Section.FOUND, Section.NOT_TOLD),
    Elsewhere("staging.", Section.WIRING, Section.WIRING),
    Elsewhere("trap.", Section.WATER, Section.WATER),
    Elsewhere("water.dominant", Section.FOUND, Section.FOUND),
    Elsewhere("water.", Section.WATER, Section.WATER),
)
"""The first row that speaks of a finding holds."""


def section_of(finding: Finding, plain: bool) -> Section:
    """Part of the memo in which a severe finding stands, for the customer where `plain`."""
    row = next((row for row in ELSEWHERE if row.holds(finding)), None)
    if row is None:
        return Section.FOUND
    return row.customer if plain else row.file


LEADS = {Severity.STOP: "Stop.", Severity.ACT: "Act.", Severity.WATCH: "Watch.", Severity.NOTE: "Note."}
PLAIN_LEADS = {
    Severity.STOP: "Stop now.",
    Severity.ACT: "Needs action.",
    Severity.WATCH: "Not settled.",
    Severity.NOTE: "",
}

NOTHING_READ = "No readings were taken yet, so nothing has been found."
MOST_FOUND_FOR_THE_CUSTOMER = 5


def _metal(group: Sequence[Finding]) -> Finding:
    """Of two chances of freezing in one place, the metal's: one is enough for the customer."""
    first = group[0]
    same = [f for f in group if f.key == "freeze.probability.fin" and where_of(f) == where_of(first)]
    return same[0] if first.key == "freeze.probability.suction" and same else first


def what_was_found(found: Found) -> list[Block]:
    """The findings that matter; for the file what makes the unit of its pressures doubtful."""
    notices = [] if found.plain else [n for n in found.analysis.notices if n.code == ABSOLUTE]
    return [*_found(found), *(Paragraph(notice.text) for notice in notices)]


def _found(found: Found) -> list[Block]:
    """The findings that matter, the most severe first, each told once."""
    blocks: list[Block] = [Heading("What we found")]
    groups = _groups(found)
    if not groups and not found.analysis.visits.read:
        return [*blocks, Paragraph(NOTHING_READ)]
    if not groups:
        return [*blocks, *(Paragraph(text) for text in _nothing(found))]
    shown = groups[:MOST_FOUND_FOR_THE_CUSTOMER] if found.plain else groups
    ends = [endings.of_finding(found, group[0]) for group in shown]
    items = [_item(found, group, end) for group, end in zip(shown, ends, strict=True)]
    blocks.append(Items(tuple(items)))
    if all(group[0].key == "reading.contradiction" for group in shown):
        blocks += [Paragraph(text) for text in _contraries(found)]
    if found.plain and any(has_range(item.text) for item in items):
        blocks.append(Paragraph(RANGES))
    return blocks + _repaired(found, [end for end in ends if end is not None])


def _contraries(found: Found) -> list[str]:
    """What is not in order, though no finding calls for action on it."""
    told = (found.teller.tell(one) for one in found.analysis.contraries)
    return list(dict.fromkeys(text for text in told if text))


def _nothing(found: Found) -> list[str]:
    """Nothing to act on; what stands out without a verdict is named all the same."""
    odd: dict[str, list[Where]] = {}
    signs: dict[str, list[str]] = {}
    for where, fits in found.analysis.charge_evidence.confusion.items():
        told = [f"{reading} {'high' if sign > 0 else 'low'}" for reading, sign in fits.signs.items() if sign]
        if told:
            odd.setdefault(where.circuit, []).append(Where(where.visit, where.condition))
            signs.setdefault(where.circuit, []).extend(told)
    if contrary := _contraries(found):
        return contrary
    if not odd:
        left_out = [text for name in found.job.circuit if (text := found.left_out(name))]
        return left_out or ["Nothing out of order in the readings that were taken."]
    why = {name: _not_judged(found, name) for name in odd}
    if found.plain:
        told = ["Nothing that calls for action was read."]
        for said in (NO_TARGET, NOT_SETTLED):
            names = [name for name in odd if why[name] is said]
            told += [f"The refrigerant of circuit {joined(names)} {said.customer}"] if names else []
        return [" ".join(told)]
    return [
        "No reading calls for action by itself.",
        *(
            f"Circuit {name}: {joined(list(dict.fromkeys(signs[name])))} beside what the rating would show "
            f"({found.places(places)}).{why[name].file} The table of faults that fit stands with the "
            "refrigerant."
            for name, places in odd.items()
        ),
    ]


def _not_judged(found: Found, circuit: str) -> Said:
    """Why the charge of a circuit that stands out was not judged; nothing where it was."""
    counts = found.analysis.visits.charge(circuit)
    if counts is not None and counts.verdict.row.settled:
        return NOT_SAID
    return NO_TARGET if counts is None or counts.deviation is None else NOT_SETTLED


def _item(found: Found, group: Sequence[Finding], end: endings.Closed | None) -> Item:
    lead = (PLAIN_LEADS if found.plain else LEADS)[group[0].severity]
    if end is not None:
        # What is over calls for nothing now: the customer reads when it was found.
        text = f"{_told(found, group)} {end.done}"
        return Item(text, AT_FIRST.customer if found.plain else lead)
    back = endings.came_back(found, group[0])
    again = f" It came back after the repair: {found.place(back.again)}." if back and back.again else ""
    return Item(_told(found, group) + again, lead)


def _repaired(found: Found, ends: Sequence[endings.Closed]) -> list[Block]:
    """What was repaired or read right of the causes shown, day by day, in the words of the work's note."""
    shown: dict[str, list[str]] = {}
    if found.fan_read_right is not None:
        shown[date_text(found.job.visit[found.fan_read_right.where.visit - 1].date)] = [_risen(found)]
    for end in ends:
        notes = shown.setdefault(end.date, [])
        notes += [note for note in end.notes if note not in notes]
    return [
        Paragraph(" ".join([*notes, PROOF_DUE.to(found.reader)]), f"{day}." if day else "Later.")
        for day, notes in shown.items()
        if notes
    ]


def _risen(found: Found) -> str:
    right = found.fan_read_right
    assert right is not None
    ratio = right.airflow.speed_ratio if right.airflow else None
    share = f"at {100 * ratio.draws[0]:.0f} % of its full speed" if ratio else "right"
    probability = found.freezing(right.where)
    place = "" if found.plain else f" ({found.place(right.where)})"
    text = f"With the same calls the fan was read {share}{place}."
    if probability is None:
        return text + " Whether the coil stays above freezing has not been shown yet."
    return f"{text} {plain.ice(probability, found) if found.plain else probability.statement}"


def _groups(found: Found) -> list[list[Finding]]:
    """Findings that matter, gathered by what they say of what; the one to quote stands first."""
    groups: dict[tuple[str, str | None, str | None], list[Finding]] = {}
    for finding in found.analysis.findings:
        here = section_of(finding, found.plain) is Section.FOUND and not _said_already(finding, found)
        if finding.severity.notable and here:
            groups.setdefault(_sameness(finding, found), []).append(finding)
    for group in groups.values():
        group.sort(key=lambda f: (-f.severity.rank, not found.decided(f), _latest_first(f, found)))
    return sorted(groups.values(), key=lambda g: (-g[0].severity.rank, ORDER.get(_subject(g[0]), 9)))


def _latest_first(finding: Finding, found: Found) -> int:
    return -found.visits.index(finding.visit) if finding.visit else 0


ORDER = {
    "water.dominant": 0,
    "staging.backfeed": 0,
    "staging.measure": 0,
    "staging.fault": 0,
    "circuit.compressor": 1,
    "fan.rotation": 0,
    "fan.wheel": 0,
    "fan.motor_load": 1,
    "coil.ice_seen": 2,
    "airflow.short": 4,
    "circuit.superheat": 4,
    "circuit.standing_pressure": 4,
    "circuit.pumping": 5,
    "circuit.charge": 5,
    "circuit.contrast": 6,
    "freeze.probability": 7,
}


def _subject(finding: Finding) -> str:
    return "freeze.probability" if finding.key.startswith("freeze.probability") else finding.key


def _sameness(finding: Finding, found: Found) -> tuple[str, str | None, str | None]:
    """Findings alike in this are told once: verdicts by their words, contradictions by their sentence."""
    if finding.key == "reading.contradiction":
        return finding.key, None, None if found.plain else finding.statement
    return _subject(finding), finding.circuit, finding.text


def _said_already(finding: Finding, found: Found) -> bool:
    """Whether another finding under this heading says the same of the same thing."""
    where = where_of(finding)
    if finding.key in OF_THE_MOTOR and _overloaded_now(finding, found):
        return True
    if finding.key == "fan.check.belt_and_sheaves" and found.at("fan.wheel", where) is not None:
        return True
    if finding.key.startswith("signs."):
        return _told_by_more(finding, found)
    if finding.visit is None:
        # A reading's finding names the fault of the wiring that explains it.
        return any(finding.id in other.inputs for other in found.of("staging.fault"))
    if finding.key == "circuit.charge":
        counts = found.charge(finding.circuit or "")
        return counts is not None and counts.text != finding.text
    if finding.key == "circuit.contrast" and finding.text == Suspicion.WEAK_COMPRESSOR:
        return True
    if not found.plain:
        return False
    if finding.key == "circuit.condensing_over_outdoor":
        # A fan that stands explains it, and comes before the coil.
        fans = found.at("circuit.condenser_fans", where.at(finding.circuit or ""))
        return fans is not None
    if finding.key == "circuit.contrast":
        counts = found.charge(finding.circuit or "")
        return counts is not None and ChargeVerdict(counts.text or "").row.weigh
    if finding.about is Way.MELT and finding.key != "coil.ice_seen":
        # Ice that was seen needs no chance.
        return found.ice_on(finding.visit) is not None
    if finding.key == "fan.check.service_factor":
        current = found.at("fan.check.motor_current", where)
        return current is not None and current.as_severe_as(finding)
    return finding.key == "airflow.reconciled" and found.at("airflow.short", where) is not None


def _told_by_more(finding: Finding, found: Found) -> bool:
    """Whether the way of the water that stands out, or a reading, says more of what was seen."""
    budget = found.analysis.water
    if budget is not None and budget.dominant is not None:
        return finding.about in CAUSES_OF_WAYS[budget.dominant]
    others = (one for one in found.analysis.findings if one.severity.notable and one.about is finding.about)
    return finding.about is not None and any(not one.key.startswith("signs.") for one in others)


OF_THE_MOTOR = ("fan.check.motor_current", "fan.check.service_factor")


def _overloaded_now(finding: Finding, found: Found) -> bool:
    """Whether the motor's load says already what a check at the same speed says."""
    result, load = found.result(finding), found.at("fan.motor_load", where_of(finding))
    same_speed = result is not None and result.speed is not None and not result.speed.raises
    return same_speed and load is not None and load.severity.notable


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
