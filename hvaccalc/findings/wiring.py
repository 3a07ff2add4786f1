"""Findings on the call wiring: what each call does, what is wrong, what readings and measures say."""

from collections.abc import Sequence

from hvaccalc.call import Call, highest
from hvaccalc.diagnosis.calls.call_wiring import CallWiring, Ladder
from hvaccalc.diagnosis.calls.measures import ReadCall
from hvaccalc.diagnosis.condition import ConditionResult
from hvaccalc.diagnosis.readings.draws import Draws, Where
from hvaccalc.equipment.wiring.netlist import Answer, Circuit, FanInput
from hvaccalc.equipment.wiring.temporary_measure import Measure, call_name
from hvaccalc.equipment.wiring.wiring_faults import Fault
from hvaccalc.findings.finding import Writer, finding_id
from hvaccalc.practice.air import FULL_SPEED
from hvaccalc.severity import worst
from hvaccalc.words.said import Reader, Teller, capital
from hvaccalc.words.speak import teller

LOCK_OUT = "lock the second stage out at the thermostat (or take its cooling call off) until the repair"


def untyped_told(result: CallWiring, call: str) -> list[str]:
    """A sentence for each fan input that is on by a call and whose speed nobody typed."""
    on = {*result.designed.answer(call).inputs, *result.now.answer(call).inputs}
    return [
        f"No speed typed for {fan.terminal}: {fan.speed.text} is assumed; type it, or read what the drive "
        "gives there."
        for fan in result.designed.netlist.inputs
        if fan.assumed and fan.terminal in on and fan.speed is not None
    ]


def winning_told(result: CallWiring, call: str) -> list[str]:
    """Which of several fan inputs on at once sets the speed, as things stand."""
    on = inputs_on(result.now, call)
    if len({fan.speed.share for fan in on if fan.speed is not None}) < 2:
        return []
    winner, *others = on
    assert winner.speed is not None
    told = " and ".join(f"{o.terminal} ({o.speed.text})" for o in others if o.speed is not None)
    return [
        f"{winner.terminal} ({winner.speed.text}) sets the fan's speed over {told}: the higher one is taken "
        "(common practice, no source); read the drive's frequency."
    ]


def inputs_on(circuit: Circuit, call: str) -> Sequence[FanInput]:
    """Fan inputs on by a call that have a speed, the fastest first."""
    on = circuit.answer(call).inputs
    given = [fan for fan in circuit.netlist.inputs if fan.terminal in on and fan.speed is not None]
    return sorted(given, key=lambda fan: -(fan.speed.share if fan.speed is not None else 0.0))


def safer_told(result: CallWiring) -> list[str]:
    """The choice that asks for no jumper, to be read before one is landed; empty with a single stage."""
    if not any(load.stage > 1 for load in result.designed.netlist.loads):
        return []
    told = (
        f"Safer first, without a jumper: {LOCK_OUT}, once the first stage alone at the low fan was read to "
        "keep the coil above freezing."
    )
    if result.heat_pump:
        told += (
            " That protects cooling alone: keep the heat pump's heating off while its calls run the fan slow."
        )
    return [told]


JOB = Where()
SOURCES = ("controls", "terminal_letters")


WIRING = "staging."
"""Before the key of every finding on calls, wiring and what follows them."""


def call_key(call: str) -> str:
    """Key of the finding on a call.

    Examples
    --------
    >>> call_key("cool 1")
    'staging.cool_1'
    """
    return f"{WIRING}{call.replace(' ', '_')}"


def wiring(writer: Writer, result: CallWiring | None, conditions: Sequence[ConditionResult]) -> None:
    """Everything on the wiring of a job."""
    if result is None:
        return
    for call in result.calls:
        _call(writer, result, call)
    _faults(writer, result, conditions)
    _back_feed(writer, result)
    if result.measure is not None:
        _measure(writer, result, result.measure)
    for where, ladder in result.ladders.items():
        _ladder(writer, where, ladder)


def told(circuit: Circuit, call: str) -> str:
    """What a call does, in words; coils of relays are left out."""
    loads = circuit.works(call)
    named = " and ".join([", ".join(loads[:-1]), loads[-1]] if len(loads) > 1 else loads)
    if not loads and circuit.answer(call).speed is None:
        return "nothing runs"
    return f"{named or 'nothing'} on, fan {fan_words(circuit.answer(call))}"


def fan_words(answer: Answer) -> str:
    """Fan speed in words and as typed."""
    if answer.speed is None:
        return "off"
    if answer.speed.in_a_word:
        return answer.speed.text
    return f"{'full' if answer.speed.share >= FULL_SPEED else 'low'} ({answer.speed.text})"


def _call(writer: Writer, result: CallWiring, call: Call) -> None:
    designed, found, now = (told(c, call) for c in (result.designed, result.found, result.now))
    shown = call.capitalize()
    if designed == now and not result.measure:
        statement = f"{shown}: {now}, as designed."
    else:
        statement = f"{shown}: as designed {designed}; as found {found}"
        statement += f"; with the temporary pair {now}." if result.measure else "."
    statement += "".join(
        f" {sentence}" for sentence in (*ends_told(result, call), *untyped_told(result, call))
    )
    wrong = result.combination(call)
    if wrong is not None:
        statement += f" That is {wrong.name}."
    writer.verdict(call_key(call), JOB, now, statement, sources=SOURCES, severity=result.severity(call))


def ends_told(result: CallWiring, call: str) -> list[str]:
    """Where the way of a call ends, once for each place; the short circuit, where a supply has one."""
    if shorted := result.now.answer(call).shorted:
        return [
            f"The control transformer is short-circuited: {supply.hot} meets {supply.common}; nothing works "
            "from it."
            for supply in shorted
        ]
    places: dict[tuple[str, str], list[str]] = {}
    for stop in result.unreached:
        if stop.call == call:
            places.setdefault((stop.last, stop.next), []).append(stop.load)
    return [
        f"The way to {' and '.join(loads)} ends at {last}: it does not reach {beyond}."
        for (last, beyond), loads in places.items()
    ]


def standing(result: CallWiring) -> list[Fault]:
    """Faults that no temporary measure accounts for."""
    if result.measure is None or result.measure.refused:
        return list(result.faults)
    return [fault for fault in result.faults if not fault.for_measure]


def _faults(writer: Writer, result: CallWiring, conditions: Sequence[ConditionResult]) -> None:
    faults = standing(result)
    names = dict.fromkeys([*(c.name for c in result.combinations), *(f.kind for f in faults)])
    if not names:
        return
    severities = [*(f.severity for f in faults), *(c.name.severity for c in result.combinations)]
    sentences = [fault_sentence(fault) for fault in faults]
    if not faults:
        calls = ", ".join(f"{c.name} at {c.call}" for c in result.combinations)
        origin = "with the temporary pair" if result.measure else "already as designed"
        sentences = [f"The wiring gives {calls}, {origin}."]
    writer.verdict(
        "staging.fault",
        JOB,
        "; ".join(names),
        " ".join(sentences + _read_otherwise(writer.draws, result, conditions)),
        sources=SOURCES,
        severity=worst(severities),
        inputs=[finding_id(call_key(c.call), JOB) for c in result.combinations if c.call in result.calls],
    )


def fault_sentence(fault: Fault) -> str:
    """A fault with its place and effect."""
    to = _teller()
    effect = f": {to.tell(fault.effect)}" if fault.effect is not None else ""
    return f"{capital(to.tell(fault.kind))} ({fault.place}){effect}."


def fault_named(fault: Fault) -> str:
    """A fault by its name and place."""
    return f"{_teller().tell(fault.kind)} ({fault.place})"


def _teller() -> Teller:
    # Terminals, calls and loads carry no unit.
    return teller(Reader.FILE, "us")


def _read_otherwise(draws: Draws, result: CallWiring, conditions: Sequence[ConditionResult]) -> list[str]:
    """Conditions in which the fan was read faster than the wiring as it stands can make it."""
    told = []
    for condition in conditions:
        calls = draws.condition(condition.where).calls
        ratio = condition.airflow.speed_ratio if condition.airflow else None
        call = highest(calls or ())
        if not calls or ratio is None or ratio.basis != "measured" or result.combination(call) is None:
            continue
        if ratio.draws[0] > result.now.answer(call).share + 0.03:
            told.append(
                f"In visit {condition.where.visit}, condition {condition.where.condition} the "
                "fan was read at "
                f"{100 * ratio.draws[0]:.0f} % of full speed at {call}: put right by then, or the table is "
                "not as it was."
            )
    return told


def _back_feed(writer: Writer, result: CallWiring) -> None:
    feeds = result.back_feeds
    if not feeds:
        return
    parts = [
        f"{feed.load.capitalize()} is energised at "
        f"{', '.join(_no_call(c) for c in feed.calls)}, which should "
        f"not start it: {' - '.join(feed.path)}."
        for feed in feeds
    ]
    text = "; ".join(f"{feed.load} on {', '.join(_no_call(c) for c in feed.calls)}" for feed in feeds)
    writer.verdict(
        "staging.backfeed",
        JOB,
        text,
        " ".join(parts),
        sources=SOURCES,
        severity=worst(f.severity for f in feeds),
    )


def _no_call(call: str) -> str:
    return "no call at all" if call == "none" else call


def measure_sentence(result: CallWiring) -> str:
    """The judgement of the temporary pairs."""
    measure = result.measure
    assert measure is not None
    pairs = " and ".join(f"{a} to {b}" for a, b in measure.jumpers)
    if measure.refused:
        told = f"The jumper {pairs} is refused: {_teller().slot(measure.refused, 'clauses')}."
        lifted = "" if measure.bridges_safety else ", ".join(measure.lifted)
        return told + (f" What would have to be moved off first: {lifted}." if lifted else "")
    told = f"The jumper {pairs} may stay for a time, tagged and dated."
    if result.read:
        told += f" Read with it landed: {'; '.join(read_words(one) for one in result.read)}."
    if to_read := unread_words(result):
        told += f" Still to be read, with what is expected: {to_read}."
    resting = next((p for p in measure.proofs if p.call == "none"), None)
    if resting is not None and resting.speed != "off":
        told += f" With it the fan runs with no call at all ({resting.speed})."
    if measure.lifted:
        told += f" Moved off for it: {', '.join(measure.lifted)}."
    if measure.out_of_service:
        told += f" Out of service meanwhile: {', '.join(measure.out_of_service)}."
    stands_in = [f for f in result.faults if f.for_measure and f.effect and f.place not in measure.lifted]
    if stands_in:
        told += f" It stands in for: {'; '.join(map(fault_named, stands_in))}."
    return told


def read_words(one: ReadCall) -> str:
    """What was read at one call with the pair landed."""
    ran = f"compressor{'s' * (len(one.circuits) > 1)} {' and '.join(one.circuits)}"
    return f"{call_name(one.call)}: {ran if one.circuits else 'no compressor'} running, fan {one.speed}"


def unread_words(result: CallWiring) -> str:
    """Calls that nobody read with the pair landed, each with what is expected; empty without any."""
    proofs = result.measure.proofs if result.measure is not None else ()
    done = {one.call for one in result.read}
    return "; ".join(
        f"{call_name(p.call)}: {', '.join(p.loads) or 'no load'}, fan {p.speed}"
        for p in proofs
        if p.call not in done
    )


def _measure(writer: Writer, result: CallWiring, measure: Measure) -> None:
    writer.verdict(
        "staging.measure",
        JOB,
        measure.text,
        measure_sentence(result),
        sources=("control_jumpers",),
        severity=measure.severity,
    )


def _ladder(writer: Writer, where: Where, ladder: Ladder) -> None:
    located = ladder.located
    calls = ", ".join(dict.fromkeys(rung.call for rung in ladder.rungs))
    if located.sound:
        text = ladder.against
        statement = f"The voltages and inputs read with {calls} agree with the wiring {ladder.against}."
    elif located.segments:
        text = " or ".join(located.segments)
        only = "only" if len(located.segments) == 1 else f"{len(located.segments)} breaks"
        statement = (
            f"Of all single breaks in the wiring {ladder.against}, {only} "
            f"{'this explains' if only == 'only' else 'explain'} what was read with {calls}: {text}."
        )
        if located.next:
            statement += f" What would tell them apart: {located.next}."
    else:
        text = "no single break"
        statement = (
            f"No single break in the wiring explains what was read with {calls}: more than "
            "one is broken, or a "
            "terminal is not what the table says."
        )
    if located.ghosts:
        statement += (
            f" {'; '.join(located.ghosts)}: a voltage like this on an open high-impedance input is a ghost, "
            "not a call; load it or read it with a low-impedance meter."
        )
    if ladder.left_out:
        statement += f" Not used, because the table does not know the terminal: {', '.join(ladder.left_out)}."
    writer.verdict(
        "staging.ladder", where, text, statement, basis="measured", sources=SOURCES, severity=ladder.severity
    )
