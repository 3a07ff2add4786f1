"""Findings of the water budget: each mechanism, the one that stands out, drain and trap."""

from hvaccalc import units
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.diagnosis.water.budget import WaterBudget, Weighed
from hvaccalc.diagnosis.water.drain_check import TrapCheck
from hvaccalc.diagnosis.water.mechanism import Ability, Grade, Mechanism, Met, Standing
from hvaccalc.diagnosis.water.ways import WAYS
from hvaccalc.ensemble import Band
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.job.causes import Way
from hvaccalc.words.said import Reader, Teller, banded, capital, two_digits, water_day, water_text
from hvaccalc.words.speak import teller
from hvaccalc.words.water import ENOUGH, LOW_FAN
from hvaccalc.words.water import WAYS as way_words

JOB = Where()

GRADED = {Grade.PHYSICS: "computed", Grade.SCREENING: "computed", Grade.RULE: "rule of thumb"}
"""Basis of a finding by the grade of its amount."""


def water(writer: Writer, budget: WaterBudget | None) -> None:
    """All findings of the budget; they belong to the job, not to one condition."""
    if budget is None:
        return
    for one in budget.weighed.values():
        _mechanism(writer, budget, one)
    if budget.matched:
        _outcome(writer, budget)
    _overruled(writer, budget)
    _balance(writer, budget)
    _filling(writer, budget)
    _drain(writer, budget)
    _trap(writer, budget)
    writer.verdict(
        "drain.overflow_guard",
        JOB,
        budget.guard,
        f"Protection against a pan that runs over: {budget.guard.value}.",
        basis="measured",
        sources=("overflow_guard",),
        severity=budget.guard_severity,
    )


def _teller(writer: Writer) -> Teller:
    return teller(Reader.FILE, writer.display)


def _mechanism(writer: Writer, budget: WaterBudget, one: Weighed) -> None:
    writer.number(
        f"water.{one.way}",
        JOB,
        one.mechanism.band,
        "water_flow",
        sentence(one, _teller(writer)),
        basis=GRADED[one.mechanism.grade],
        sources=WAYS[one.way].sources,
        severity=budget.severity(one.way),
    )


def because(one: Weighed, to: Teller) -> str:
    """What decided about a way; where a look is to decide, the look, or what a later visit saw of it."""
    why, mechanism = to.tell(one.why), one.mechanism
    if not one.to_settle:
        return why
    after = look(mechanism, to) if mechanism.settled is None else to.tell(mechanism.settled)
    return "; ".join(part for part in (why, after) if part)


def look(one: Mechanism, to: Teller) -> str:
    """What to read or look at to decide about a way; empty where that was done."""
    if one.looked:
        return ""
    words = way_words[one.way].case(one.under_pressure).look.to(to.reader)
    return ": ".join([*(to.tell(doubt) for doubt in one.doubts), words])


def unexplained(budget: WaterBudget, to: Teller) -> str:
    """What no way that can make the water explains, as clauses; empty where nothing is left."""
    return to.slot(budget.unexplained, "clauses")


def sentence(one: Weighed, to: Teller) -> str:
    """One mechanism in a sentence, ``{}`` where its rate goes."""
    parts = [f"{capital(to.tell(one.way))}: {one.said.value} ({because(one, to)})."]
    if one.text is Ability.CAN:
        parts.append(f"{water_day(one.mechanism.day_band, to.display)} on such a day{_margin(one)}.")
    if one.explained_by is not None:
        parts.append(f"It comes with {LOW_FAN} and would hardly be there at full speed.")
    return " ".join(parts).replace("{", "(").replace("}", ")") + " Rate while it acts: {} (5 to 95 %)."


def _margin(one: Weighed) -> str:
    if not one.margin == one.margin:
        return ""
    return f", {two_digits(one.margin)} times what was seen"


def amount_text(budget: WaterBudget, one: Weighed, display: str) -> str:
    """What one way can bring, in the measure in which the water was told, and its ratio to what was seen."""
    mechanism, value = one.mechanism, one.mechanism.band
    if value.known and value.high <= 0.0:
        return "nothing"
    by_day = budget.seen.by_day
    amount = water_text(mechanism.day_band if by_day else value, by_day, display)
    if one.margin == one.margin and one.margin > 0.0:
        amount += f", {two_digits(one.margin)} times what was seen"
    return amount


def _outcome(writer: Writer, budget: WaterBudget) -> None:
    able, to = budget.those(Ability.CAN), _teller(writer)
    inputs = tuple(finding_id(f"water.{name}", JOB) for name in able)
    if budget.dominant is not None:
        one = budget.weighed[budget.dominant]
        nothing = "Nothing in the unit can make this water. " if budget.nothing_in_the_unit else ""
        writer.verdict(
            "water.dominant",
            JOB,
            budget.dominant,
            f"{nothing}{capital(to.tell(one.way))} stands out: {because(one, to)}.",
            severity=budget.severity(one.way),
            basis=GRADED[one.mechanism.grade],
            inputs=inputs,
        )
    if able and budget.together.known:
        seen = f" against {budget.seen.amount.text} seen" if budget.seen.amount is not None else ""
        shown = water_text(budget.together, budget.seen.by_day, writer.display)
        names = ", ".join(to.tell(way) for way in able)
        writer.amount(
            "water.together",
            JOB,
            f"Together those that can make it ({names}) bring {shown}, 5 to 95 %{seen}.",
            budget.together,
            "water_flow",
            inputs=inputs,
        )
    if left := unexplained(budget, to):
        writer.verdict(
            "water.unexplained",
            JOB,
            left,
            f"Not explained: {left}.",
            severity=budget.unexplained_severity,
            inputs=inputs,
        )


def _overruled(writer: Writer, budget: WaterBudget) -> None:
    """Where the visit says other than the table: both are told."""
    told, to = [], writer.to
    for key, sight in budget.seen.sights.items():
        if sight.disagrees:
            beside = "; ".join(f"{to.slot(source)}: {', '.join(words)}" for words, source in sight.beside)
            told.append(f"{key}: {', '.join(sight.words)} ({to.slot(sight.source)}) counts before {beside}")
    if told:
        writer.verdict(
            "water.overruled",
            JOB,
            ", ".join(key for key, sight in budget.seen.sights.items() if sight.disagrees),
            f"What is explained is the water as found, before any repair: {'. '.join(told)}.",
            basis="measured",
        )


def _balance(writer: Writer, budget: WaterBudget) -> None:
    """What the coil takes out of the air less what the drain brings, wherever both were read."""
    for one in budget.balances:
        if not one.missing.known:
            continue
        made, drained = (banded(part, "water_flow", writer.display) for part in (one.made, one.drained))
        verdict = (
            "part of what the coil makes does not reach the drain"
            if one.lost
            else "its band reaches past zero, so it shows neither a loss nor that there is none"
            if one.closed
            else "the drain brings more than the air loses: a reading is off, or water stood before"
        )
        writer.number(
            "water.drain_balance",
            one.where,
            one.missing,
            "water_flow",
            f"Off the air {made}, at the drain {drained}; the difference, water gone elsewhere, is {{}}: "
            f"{verdict}.",
            sources=("ashrae_moist_air",),
            inputs=(finding_id("condensate.rate", one.where),),
        )


def _filling(writer: Writer, budget: WaterBudget) -> None:
    """How long the pan takes to fill, where it was seen full."""
    filling = budget.filling
    if filling is None or not filling.typed or not filling.minutes.known:
        return
    if filling.full_after != filling.full_after:
        return
    value, seen = filling.minutes, f"{filling.full_after:.0f} min"
    text = (
        f"With nothing drained the condensate read fills the pan from empty in {value.value:.0f} min "
        f"({value.low:.0f} to {value.high:.0f}); it was seen full after a run of {seen}"
    )
    if filling.late:
        text += (
            ": it was not empty at that start, holds less than its typed area and depth say, or more water "
            "came than was read. Start with an empty pan and note the minutes until it runs over"
        )
    seconds = Band(60.0 * value.value, 60.0 * value.low, 60.0 * value.high)
    writer.amount("pan.filling", JOB, f"{text}.", seconds, "time")


def _drain(writer: Writer, budget: WaterBudget) -> None:
    drain, melt = budget.drain, budget.weighed[Way.MELT]

    def length(value: float) -> str:
        return units.value_text(value, "length", writer.display)

    half = units.value_text(drain.half.value, "water_flow", writer.display)
    load = units.value_text(drain.load.value, "water_flow", writer.display)
    size = f"{length(drain.size)} {drain.material}" + ("" if drain.size_typed else " (size assumed)")
    slope = f"{100 * drain.slope:.1f} %" + ("" if drain.slope_typed else " (assumed)")
    text = (
        f"A clean drain of {size} falling {slope} carries {{}} just full by Manning's equation (the first "
        f"figure for a smooth bore), {half} half full; the coil makes {load}. For this unit the mechanical "
        f"code asks for at least {length(drain.code_size)} and 1 % of fall, a hydraulic design table for "
        f"{length(drain.hydraulic_size)}."
    )
    if melt.text is not Ability.CANNOT:
        burst = melt.mechanism.band
        shown = banded(burst, "water_flow", writer.display)
        text += f" Melting ice may bring {shown} at once."
    if drain.code is Met.NOT_MET:
        text += " Size or fall is below the code's least."
    writer.number(
        "drain.capacity",
        JOB,
        drain.full,
        "water_flow",
        text,
        sources=("manning", "drain_tables"),
        severity=drain.severity,
    )


def disagreement(budget: WaterBudget) -> str:
    """Clause where water was seen standing in the pan though the suction, as typed, holds none."""
    trap = budget.trap
    if not budget.seen.pan_full or trap.pan is not Standing.NONE:
        return ""
    if trap.what_if:
        return "; as found water was seen standing there"
    return (
        ", yet water was seen standing there: the drain holds it back, the trap is dry or clogged, "
        "or suction or trap height is other than typed"
    )


def _trap(writer: Writer, budget: WaterBudget) -> None:
    trap = budget.trap
    if trap.asked:
        writer.verdict(
            "trap.asked",
            JOB,
            "asked",
            " ".join(_teller(writer).tell(one) for one in trap.asked),
            basis="measured",
            severity=trap.asked_severity,
        )
    if trap.required_height.known:
        writer.number(
            "trap.required_height",
            JOB,
            trap.required_height,
            "length",
            _required(writer, trap),
            sources=("trap_rules",),
            severity=trap.severity,
        )
    if trap.standing.known:
        state = {"none": "without a trap", "dry": "with the trap dry"}.get(
            trap.state or "", "over a sealed trap" if trap.water_seen else "if the trap holds water"
        )
        then = units.value_text(trap.full_standing.value, "length", writer.display)
        writer.number(
            "trap.standing_water",
            JOB,
            trap.standing,
            "length",
            f"With the fan as found the suction holds {{}} of water above the pan's outlet {state}; "
            f"at full fan speed {then}{disagreement(budget)}.",
            sources=("trap_rules",),
            severity=trap.standing_severity,
        )


def _has(name: str, typed: float, met: Met, display: str) -> str:
    """A height of the trap as typed, and whether it is enough."""
    if typed != typed:
        return f"{name} not noted"
    return f"{name} {units.value_text(typed, 'length', display)} ({ENOUGH[met].file})"


def _required(writer: Writer, trap: TrapCheck) -> str:
    seal = units.value_text(trap.required_seal.value, "length", writer.display)
    now = units.value_text(trap.required_now.value, "length", writer.display)
    full = units.value_text(trap.full_suction.value, "air_pressure", writer.display)
    what = "pressure" if trap.blow_through else "suction"
    text = (
        f"At full fan speed the {what} at the pan is {full}: the trap needs {{}} of height and {seal} of "
        f"seal ({now} of height at the speed as found)"
    )
    there = {"none": "there is none", "dry": "it is dry", None: "its state was not noted"}.get(trap.state)
    if there is None:
        there = ", ".join(
            _has(*part, writer.display)
            for part in (("height", trap.height, trap.height_met), ("seal", trap.seal, trap.seal_met))
        )
        if trap.seal_kept is Met.NOT_MET:
            there += ", and its seal does not outlive a dry start at full speed"
        if not trap.water_seen:
            there += "; present, water in it not seen"
    more = "Ice raises it further" if trap.blow_through else "Loaded filters or ice raise it further"
    verdict = ENOUGH[trap.verdict].file
    return f"{text}; {there}: {verdict}. {more}."
