"""A memo that cannot contradict itself: what must hold between the typed results of one analysis.

Each rule yields what breaks it, in a line that names the place. Rules read typed results, never sentences;
`copies` renders both memos for what only they can break.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass

import numpy as np

from hvaccalc.analysis import Analysis
from hvaccalc.call import Call, Mode
from hvaccalc.diagnosis.air.fan_check_rows import CheckState
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.diagnosis.charge.pumping import Pumps
from hvaccalc.diagnosis.charge.verdicts import CONFIRMED, ChargeVerdict, Evidence
from hvaccalc.diagnosis.water.mechanism import Ability, Met
from hvaccalc.findings import Finding
from hvaccalc.job.causes import OF_A_CIRCUIT, Cause, CauseAt, Way
from hvaccalc.practice.statements import LIKELY
from hvaccalc.report import memo
from hvaccalc.report.sections.what_was_found import Section, section_of
from hvaccalc.service.may_run.concern import Do
from hvaccalc.service.may_run.running import running_of
from hvaccalc.service.put_right import CAUSES_OF_CHECKS, ended, ice_read_right
from hvaccalc.service.repair.repair_rows import Opens, Part, Repair, Who
from hvaccalc.service.today import Decision, Today
from hvaccalc.severity import Severity
from hvaccalc.words.repairs import WORDS, scope
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller

# --- in order beside an action ----------------------------------------------------------------------------

GUARDS = (Repair.FIT_GUARD, Repair.FIND_GUARD, Repair.TRY_FLOAT_SWITCH)
"""Called for by the damage that water could do, not by anything out of order."""

UNSETTLED = (ChargeVerdict.CANNOT_TELL, ChargeVerdict.AS_CHARTED)
OF_THE_CHARGE = (
    *(Repair.FIND_LEAK, Repair.FIND_LEAK_OR_RESTRICTION),
    *(Repair.WEIGH_OUT, Repair.CONFIRM_OVERCHARGE),
)


def in_order_beside_an_action(analysis: Analysis) -> Iterator[str]:
    """Nothing is in order, right or alike beside an action on the same thing."""
    notable = any(finding.severity.notable for finding in analysis.findings)
    called = [one for one in analysis.repairs.called if one.repair not in GUARDS]
    if not notable and analysis.conditions:
        yield from (f"nothing notable was found beside {one.repair}" for one in called)
        yield from (
            f"nothing notable was found beside {one.decision} in {one.running}"
            for one in analysis.today
            if one.decision is not Decision.RUN
        )
    for one in analysis.repairs.called:
        end = ended(analysis.put_right, one.cause.cause, one.cause.circuit) if one.cause else None
        # A leak that was found is mended, whatever the charge reads.
        if end is not None and not end.open and one.repair is not Repair.MEND_LEAK:
            yield f"{one.repair} is called for, its cause {end.at} is {end.ending}"
        if one.circuit is not None and one.repair in OF_THE_CHARGE:
            counts = analysis.visits.charge(one.circuit)
            if counts is not None and counts.told is ChargeVerdict.AS_CHARTED:
                yield f"circuit {one.circuit} is as charted beside {one.repair}"
    for result in analysis.conditions:
        if result.contrast is not None and result.contrast.text is Suspicion.NONE:
            told = {charge.told for charge in result.charges.values()}
            if {ChargeVerdict.LOW, ChargeVerdict.HIGH} <= told:
                yield f"no circuit stands out at {result.where.path}, one is low and one is high"
        for check in result.speed.checks if result.speed is not None else ():
            if check.state is CheckState.PASS and check.limit is not None and check.value.known:
                cause = CAUSES_OF_CHECKS.get(check.name)
                end = ended(analysis.put_right, cause) if cause is not None else None
                if end is not None and end.open and end.again == result.where:
                    yield f"{check.name} passes where {cause} came back"


def met_beside_its_repair(analysis: Analysis) -> Iterator[str]:
    """A drain or trap that is met as a size is not under repair for its size."""
    budget = analysis.water
    for one in analysis.repairs.called if budget is not None else ():
        assert budget is not None
        if one.repair is Repair.LARGER_DRAIN and Met.NOT_MET not in (
            budget.drain.code,
            budget.drain.hydraulic,
        ):
            yield "a larger drain is called for, the line is met by code and hydraulics"
        end = ended(analysis.put_right, Cause.DRAIN)
        # A drain that was seen to hold back is opened, whichever way this water took.
        seen = end is not None and end.open
        overflow = budget.weighed[Way.PAN_OVERFLOW].text
        if one.repair is Repair.OPEN_DRAIN and overflow is Ability.CANNOT and not seen:
            yield "a drain is opened that is ruled out"


# --- put right and still locked out -----------------------------------------------------------------------

HELD_BY: dict[Do, Cause] = {
    Do.FAN_STANDS: Cause.COOLING_WITHOUT_FAN,
    Do.KEEP_MEASURE: Cause.FAN_STUCK_LOW,
    Do.LOCK_OUT: Cause.FAN_STUCK_LOW,
    Do.LOCK_OUT_UNREAD: Cause.FAN_STUCK_LOW,
    Do.HEATING_OFF: Cause.FAN_STUCK_LOW,
    Do.LEAK_OFF: Cause.LOW_CHARGE,
    Do.LEAK_MAY_RUN: Cause.LOW_CHARGE,
    Do.LOW: Cause.LOW_CHARGE,
    Do.HIGH: Cause.OVERCHARGE,
    Do.STANDING_PRESSURE: Cause.NON_CONDENSABLES,
    Do.TRAP: Cause.TRAP,
    Do.MEASURE_TRAP: Cause.TRAP,
}
"""Steps of today that only their cause asks for."""


def put_right_and_locked_out(analysis: Analysis) -> Iterator[str]:
    """Nothing is put right and still held back for it."""
    for one in analysis.today:
        for step in one.do:
            cause = HELD_BY.get(Do(step.what.code))
            end = ended(analysis.put_right, cause, step.circuit) if cause is not None else None
            # A wiring table that still shows the fault locks out by itself.
            wired = analysis.calls is not None and cause in (Cause.FAN_STUCK_LOW, Cause.COOLING_WITHOUT_FAN)
            if end is not None and not end.open and not wired:
                yield f"{end.at} is {end.ending}, and today still says: {step.what.code}"


# --- quote, repair, proof, caution ------------------------------------------------------------------------


def quoted_without_a_repair(analysis: Analysis) -> Iterator[str]:
    """Nothing is quoted that no repair names; refrigerant only where a circuit is emptied."""
    for line in analysis.quote:
        if not any(line.needed is one for one in analysis.repairs.called):
            yield f"{line.part} is quoted for {line.repair}, which is not called for"
        if line.part not in line.needed.row.parts:
            yield f"{line.part} is quoted for {line.repair}, whose row does not name it"
        if line.part is Part.REFRIGERANT:
            if line.needed.row.opens is not Opens.EMPTIED or line.needed.circuit is None:
                yield f"refrigerant is quoted for {line.repair}, which empties no circuit"
            if line.quantity is not None and not line.quantity.low <= line.quantity.value <= (
                line.quantity.high
            ):
                yield f"the refrigerant of circuit {line.needed.circuit} lies outside its own band"


def without_proof_or_caution(analysis: Analysis) -> Iterator[str]:
    """No repair stands without its proof; none that can hurt without its caution."""
    proved = {id(one.needed) for one in analysis.proof}
    for one in (*analysis.repairs.called, *analysis.repairs.proof_due):
        if id(one) not in proved:
            yield f"{one.repair} has no proof"
    for one in analysis.repairs.called:
        hurts = one.row.opens is not Opens.NOTHING or one.row.who is Who.LICENSED
        if hurts and not WORDS[one.repair].caution.file:
            yield f"{one.repair} has no caution"
        for reader in Reader:
            if not scope(teller(reader, analysis.job.display), one):
                yield f"{one.repair} has no scope for the {reader}"


# --- cannot tell ------------------------------------------------------------------------------------------

QUANTITIES = {Do.LOW, Do.HIGH}
KEEPS = {Do.CANNOT_TELL, Do.CONTRAST}
"""Steps that say that nothing is added or taken out."""


def amount_beside_cannot_tell(analysis: Analysis) -> Iterator[str]:
    """No quantity to add or take out today beside "cannot tell" or "add nothing"."""
    for name in analysis.job.circuit:
        steps = {Do(s.what.code) for one in analysis.today for s in one.do if s.circuit == name}
        if steps & QUANTITIES and steps & KEEPS:
            yield f"circuit {name}: {steps & QUANTITIES} beside {steps & KEEPS}"
        counts = analysis.visits.charge(name)
        if steps & QUANTITIES and (counts is None or counts.told in UNSETTLED):
            yield f"circuit {name}: {steps & QUANTITIES} beside a charge that nothing tells"
        beside = [r.contrast for r in analysis.conditions if r.contrast is not None]
        stands_out = any(one.suspect == name for one in beside)
        for one in analysis.repairs.called:
            told = counts is not None and counts.told not in UNSETTLED
            if one.circuit == name and one.repair in OF_THE_CHARGE and not told and not stands_out:
                end = ended(analysis.put_right, Cause.LOW_CHARGE, name)
                if end is None or not end.open:
                    yield f"circuit {name}: {one.repair} beside a charge that nothing tells"


# --- excluded by another line -----------------------------------------------------------------------------


def answered_by_nothing(analysis: Analysis) -> Iterator[str]:
    """Every cause that is open has its repair, or a question that settles it; never neither."""
    called = {
        (one.cause.cause, one.cause.circuit) for one in analysis.repairs.called if one.cause is not None
    }
    for end in analysis.put_right:
        if not end.open or (end.cause, end.circuit) in called:
            continue
        asked = (end.circuit is not None and end.circuit in one.circuits for one in analysis.questions)
        # What a valve feeds too much may be the bulb of a valve that nobody named.
        bulb = end.cause is Cause.OVERFEEDING_VALVE and any(
            one.repair is Repair.SEAT_BULB for one in analysis.repairs.called
        )
        # A circuit that is emptied for its leak is weighed in anew.
        weighed = end.cause is Cause.OVERCHARGE and any(
            one.circuit == end.circuit and one.row.opens is Opens.EMPTIED for one in analysis.repairs.called
        )
        if not (bulb or weighed or any(asked)):
            yield f"{end.at} is open, and neither repaired nor asked about"


EXCLUSIVE = (
    (Cause.LOW_CHARGE, Cause.OVERCHARGE),
    (Cause.RESTRICTION, Cause.OVERFEEDING_VALVE),
)
"""Causes that one circuit cannot have at one time."""


def excluded_by_another_line(analysis: Analysis) -> Iterator[str]:
    """No cause is said, repaired or quoted that another line excludes."""
    called = {one.cause for one in analysis.repairs.called if one.cause is not None}
    for name in analysis.job.circuit:
        for two in EXCLUSIVE:
            if {CauseAt(cause, name) for cause in two} <= called:
                yield f"circuit {name}: {two[0]} and {two[1]} are both to be repaired"
            ends = (ended(analysis.put_right, cause, name) for cause in two)
            # A leak that the circuit's table knows says nothing of how much is on board.
            if all(end is not None and end.open and end.found.visit for end in ends):
                yield f"circuit {name}: {two[0]} and {two[1]} both stand"
    for where, fits in analysis.charge_evidence.confusion.items():
        out = {str(one.values["fault"]) for one in fits.ruled_out}
        if out & set(fits.faults):
            yield f"{where.path}: {out & set(fits.faults)} fit and are ruled out"
        counts = analysis.visits.charge(where.circuit)
        latest = counts is not None and counts.state.where == where
        leak = analysis.job.circuit[where.circuit].leak.given
        if latest and CircuitFault.LOW_CHARGE in out and not leak:
            yield from (
                f"{where.path}: {one.repair} beside a shortage that is ruled out"
                for one in analysis.repairs.called
                if one.circuit == where.circuit and one.repair in OF_THE_CHARGE[:2]
            )
    yield from _water_excluded(analysis)


def _water_excluded(analysis: Analysis) -> Iterator[str]:
    budget = analysis.water
    if budget is None:
        return
    if budget.dominant is not None and budget.weighed[budget.dominant].text is not Ability.CAN:
        yield f"{budget.dominant} stands out and {budget.weighed[budget.dominant].text}"
    for way, one in budget.weighed.items():
        if one.text is Ability.CAN and one.mechanism.ruled_out is not None:
            yield f"{way} can make it and is ruled out"
    for needed in analysis.repairs.called:
        if needed.way in budget.ruled_out:
            yield f"{needed.repair} is called for by {needed.way}, which is ruled out"
    melt = budget.weighed[Way.MELT]
    chances = [r.freeze.fin.value for r in analysis.conditions if r.freeze is not None and r.freeze.fin.known]
    iced = any(r.freeze is not None and r.freeze.ice_seen for r in analysis.conditions)
    unlikely = bool(chances) and max(chances) < LIKELY and not iced
    if melt.text is Ability.CAN and melt.mechanism.confirmed is None and unlikely:
        yield f"ice can make the water at a chance of freezing of {max(chances):.3f} at most"


def weak_beside_liquid(analysis: Analysis) -> Iterator[str]:
    """No compressor is called weak by pressures that the liquid in it sets."""
    for result in analysis.conditions:
        for name, charge in result.charges.items():
            liquid = {Evidence.FLOODBACK, *CONFIRMED} & set(charge.evidence)
            if liquid and charge.pumping.text is Pumps.WEAK:
                yield f"circuit {name}: a weak compressor beside {', '.join(liquid)}"


# --- today ------------------------------------------------------------------------------------------------


def closed(analysis: Analysis, finding: Finding) -> bool:
    """Whether what the finding speaks of was put right."""
    about = finding.about
    if finding.key.startswith("water.") and finding.key.removeprefix("water.") in set(Way):
        about = Way(finding.key.removeprefix("water."))
    if isinstance(about, Way):
        about = about.cause or about
    if about is Way.MELT:
        visit = finding.visit or (analysis.water.seen.visits[-1] if analysis.water is not None else 0)
        return ice_read_right(analysis, visit) is not None
    if not isinstance(about, Cause):
        return False
    end = ended(analysis.put_right, about, finding.circuit if about in OF_A_CIRCUIT else None)
    return end is not None and not end.open


def applies(analysis: Analysis, finding: Finding) -> list[Today]:
    """Ways of running that a finding applies to: its calls as read last; for the whole job all cooling."""
    if not finding.condition or finding.visit is None:
        return (
            [one for one in analysis.today if one.running.mode is Mode.COOL] if finding.visit is None else []
        )
    calls = analysis.job.visit[finding.visit - 1].condition[finding.condition - 1].calls
    if calls is None or not _last_so(analysis, finding, calls):
        return []
    return [one for one in analysis.today if one.running == running_of(calls)]


def _last_so(analysis: Analysis, finding: Finding, calls: tuple[Call, ...]) -> bool:
    alike = [
        r.where
        for r in analysis.visits.by_time
        if (there := analysis.draws.condition(r.where).calls) is not None
        and running_of(there) == running_of(calls)
    ]
    return (alike[-1].visit, alike[-1].condition) == (finding.visit, finding.condition)


def weaker_than_findings(analysis: Analysis) -> Iterator[str]:
    """No way of running is decided weaker than the most severe finding that applies to it."""
    for finding in _severe(analysis):
        if finding.visit is None and not finding.key.startswith(("water.", "trap.", "drain.")):
            continue
        for one in applies(analysis, finding):
            if finding.severity is Severity.STOP and one.decision is not Decision.STOP:
                yield f"{one.running}: {one.decision} beside {finding.id}"
            if one.decision is Decision.RUN and not one.do:
                yield f"{one.running} runs with nothing to do beside {finding.id}"
    for one in analysis.today:
        if one.decision is not Decision.RUN and not (one.why and one.do):
            yield f"{one.running}: {one.decision} without a reason or a step"


def weaker_than_the_job(analysis: Analysis) -> Iterator[str]:
    """The whole of today against the most severe finding that stands: a stop stops some way of running."""
    last = max((r.where.visit for r in analysis.conditions), key=analysis.visits.turn, default=0)
    open_ones = [
        finding
        for finding in _severe(analysis)
        if finding.visit is None or analysis.visits.turn(finding.visit) >= analysis.visits.turn(last)
    ]
    worst = max(open_ones, key=lambda finding: finding.severity.rank, default=None)
    if worst is not None and not any(one.do for one in analysis.today):
        yield f"nothing is to be done today beside {worst.id}"
    stops = any(one.decision is Decision.STOP for one in analysis.today)
    if worst is not None and worst.severity is Severity.STOP and not stops:
        yield f"nothing stops today beside {worst.id}"


def _severe(analysis: Analysis) -> Iterator[Finding]:
    """Findings that call for action, of what was not put right."""
    for finding in analysis.findings:
        if finding.severity.rank >= Severity.ACT.rank and not closed(analysis, finding):
            yield finding


# --- both readers, and numbers ----------------------------------------------------------------------------


def told_to_one_reader(analysis: Analysis) -> Iterator[str]:
    """Customer and file say the same things: a stop, a decision and its reasons reach both."""
    for finding in analysis.findings:
        shown = {section_of(finding, plain) for plain in (False, True)}
        if finding.severity is Severity.STOP and Section.NOT_TOLD in shown:
            yield f"{finding.id} stops, and one reader is not told"
    for one in analysis.today:
        if one.decision is Decision.RUN:
            continue
        for reader in Reader:
            to = teller(reader, analysis.job.display)
            if not any(to.tell(step.what) for step in one.do):
                yield f"{one.running}: {one.decision}, and the {reader} is not told what to do"


def beyond_its_band(analysis: Analysis) -> Iterator[str]:
    """No number of a finding is none, and none lies outside its own band."""
    for finding in analysis.findings:
        numbers = (finding.value, finding.low, finding.high)
        if any(number is not None and not np.isfinite(number) for number in numbers):
            yield f"{finding.id} is no number"
        elif finding.value is not None and finding.low is not None and finding.high is not None:
            slack = 1e-9 * max(abs(finding.value), 1.0)
            if not finding.low - slack <= finding.value <= finding.high + slack:
                yield f"{finding.id}: {finding.value} outside {finding.low} to {finding.high}"


RULES: tuple[Callable[[Analysis], Iterator[str]], ...] = (
    in_order_beside_an_action,
    met_beside_its_repair,
    put_right_and_locked_out,
    quoted_without_a_repair,
    without_proof_or_caution,
    amount_beside_cannot_tell,
    answered_by_nothing,
    excluded_by_another_line,
    weak_beside_liquid,
    weaker_than_findings,
    weaker_than_the_job,
    told_to_one_reader,
    beyond_its_band,
)


def contradictions(analysis: Analysis) -> list[str]:
    """Everything in which an analysis contradicts itself, rule by rule; empty where it does not."""
    return [f"{rule.__name__}: {found}" for rule in RULES for found in rule(analysis)]


GAPS = re.compile(
    r"\bnan\b|(?<=[a-z,:] )None\b|\binf\b|\(\)|\(\s|\s[,;.](?:\s|$)|[;,]\s*[;.]|\{\w+[:}]|<\w+\.\w+: "
)
"""Words that no memo holds: what is no number, and clauses that are empty."""


def copies(analysis: Analysis) -> list[str]:
    """What the two memos break: a number that is none, an empty clause, a caution that one of them lacks."""
    texts = {audience: _texts(analysis, audience) for audience in memo.AUDIENCES}
    return [
        f"{audience}: {gap[0]!r} in {text!r}"
        for audience, those in texts.items()
        for text in those
        if (gap := GAPS.search(text)) is not None
    ]


def _texts(analysis: Analysis, audience: str) -> list[str]:
    """Every text of a memo, drawings left out."""
    return [text for block in memo.blocks(analysis, audience) for text in _held(block)]


def _held(part: object) -> Iterator[str]:
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from _held(one)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _held(getattr(part, field.name))
