"""The job's wiring table as netlists: as designed, as found, and with the temporary pairs."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from hvaccalc.call import CALLS, Call
from hvaccalc.equipment.wiring import usual_wiring as usual_meaning
from hvaccalc.equipment.wiring.netlist import (
    Circuit,
    Contact,
    Ends,
    FanInput,
    Load,
    Netlist,
    Safety,
    Speed,
    Supply,
    device_of,
)
from hvaccalc.equipment.wiring.usual_wiring import Usual
from hvaccalc.job import unit_tables
from hvaccalc.job.schema import Job
from hvaccalc.job.unit_tables import Fan
from hvaccalc.units import Quantity

CUMULATIVE = {
    Call.FAN: (Call.FAN, Call.COOL_1, Call.COOL_2),
    Call.COOL_1: (Call.COOL_1, Call.COOL_2),
    Call.HEAT_1: (Call.HEAT_1, Call.HEAT_2),
}
"""Calls in which a switch of a call is closed too: a thermostat keeps the lower stage and the fan on."""

COMPRESSOR_WORDS = ("compressor", "contactor", "condensing")
HEAT_WORDS = ("heat", "gas valve", "burner", "boiler", "furnace", "hot water")
OTHER_WORDS = ("fan", "blower", "speed", "crankcase", "damper", "economizer")


def netlists(job: Job) -> tuple[Netlist, Netlist, Netlist]:
    """Wiring as designed, as found, and as found with the temporary pairs."""
    table = job.wiring
    usual = _usual(job)
    supplies = tuple(
        Supply(row.between[0], row.between[1], row.voltage.value if row.voltage else 24.0)
        for row in table.supply
    ) or usual_meaning.supplies(usual)
    designed = Netlist(
        wires=usual.designed,
        supplies=supplies,
        loads=_loads(table, usual),
        contacts=_contacts(table, usual),
        safeties=tuple(
            Safety(row.name or f"safety {n}", row.between) for n, row in enumerate(table.safety, 1)
        ),
        dry_contacts=table.dry_contact or (),
        ties=usual_meaning.ties(usual, supplies),
    )
    as_designed, as_found = _inputs(job, usual, designed)
    wires = table.found if table.found is not None else usual.designed
    found = replace(designed, wires=wires, inputs=as_found)
    return replace(designed, inputs=as_designed), found, found.with_wires(table.temporary or ())


def _usual(job: Job) -> Usual:
    table = job.wiring
    listed = table.terminals or ()
    read = [
        end
        for visit in job.visit
        for condition in visit.condition
        for row in condition.voltage
        for end in (row.from_, row.to)
        if end
    ]
    lists = (table.designed, table.found, table.temporary)
    named = [
        *(end for pairs in lists for pair in pairs or () for end in pair),
        *(end for pair in _betweens(table) for end in pair),
        *(row.input for row in table.fan_speed if row.input),
        *(table.dry_contact or ()),
        *(end for end in read if usual_meaning.is_rail(end)),
    ]
    designed = table.designed if table.designed is not None else usual_meaning.same_letters(listed)
    low, full = _speeds(job, any(usual_meaning.letter(t) == "Y2" for t in listed))
    terminals = tuple(dict.fromkeys([*listed, *named]))
    return Usual(terminals, designed, job.unit.kind == "heat pump", low, full)


def _betweens(table: unit_tables.Wiring) -> list[Ends]:
    """Pairs that rows of the table stand between."""
    return [
        *(row.between for row in table.supply),
        *(row.between for row in table.load),
        *(row.between for row in table.switch),
        *(row.between for row in table.safety),
    ]


def _speeds(job: Job, two_stage: bool) -> tuple[Speed, Speed]:
    """Low and full speed of the unit's fan; equal where it has one."""
    fan = job.unit.fan
    full = Speed(1.0, fan.full_speed.text) if fan.full_speed else Speed(1.0, "full", in_a_word=True)
    if fan.drive == "belt, fixed" or (fan.drive is None and not two_stage and fan.low_speed is None):
        return (Speed(1.0, "on", in_a_word=True),) * 2
    if fan.low_speed is None:
        return Speed(0.6, "low", in_a_word=True), full
    share = _share(fan.low_speed, fan, ())
    return Speed(share if share is not None and share < 1.0 else 0.6, fan.low_speed.text), full


def _share(speed: Quantity, fan: Fan, others: tuple[Quantity, ...]) -> float | None:
    """Speed over full speed; None where nothing of the same unit tells full speed."""
    if speed.unit == "%" and (fan.full_speed is None or fan.full_speed.unit != "%"):
        return speed.value
    if fan.full_speed is not None and fan.full_speed.unit == speed.unit:
        return speed.value / fan.full_speed.value
    highest = max((o.value for o in others if o.unit == speed.unit), default=None)
    return speed.value / highest if highest else None


def _loads(table: unit_tables.Wiring, usual: Usual) -> tuple[Load, ...]:
    rows = tuple(_load(row, n) for n, row in enumerate(table.load, 1))
    kinds = {load.kind for load in rows}
    usually = usual_meaning.loads(usual, [k for k in ("compressor", "heat", "valve") if k not in kinds])
    return (*usually, *rows)


def _load(row: unit_tables.Load, number: int) -> Load:
    meaning = usual_meaning.letter(row.between[0])
    name = row.name or {"Y": f"compressor {meaning[1:]}", "W": f"heat {meaning[1:]}"}.get(
        meaning[:1], f"load {number} at {row.between[0]}"
    )
    kind, digits = _kind(name.lower(), meaning), [c for c in name if c.isdigit()]
    stage = int(digits[0]) if digits else int(meaning[1:]) if meaning in ("Y1", "Y2", "Y3") else 1
    return Load(name, row.between, kind, stage if kind == "compressor" else 0)


def _kind(name: str, meaning: str) -> str:
    """Kind of a load by its name, else by the letter it hangs on."""
    if "reversing" in name or meaning in ("O", "B"):
        return "valve"
    if any(word in name for word in OTHER_WORDS):
        return "other"
    if any(word in name for word in COMPRESSOR_WORDS):
        return "compressor"
    return "heat" if any(word in name for word in HEAT_WORDS) else "other"


def _contacts(table: unit_tables.Wiring, usual: Usual) -> tuple[Contact, ...]:
    """The usual contacts, save where a row of the table says what closes a terminal."""
    rows = []
    for row in table.switch:
        calls = set() if row.call is None else set(CUMULATIVE.get(row.call, (row.call,)))
        if row.call is Call.FAN and usual.heat_pump:
            calls |= {Call.HEAT_1, Call.HEAT_2, Call.DEFROST}
        rows.append(Contact(row.between, frozenset(calls), row.closed_by or ""))
    own = {end for row in rows for end in row.ends if not usual_meaning.is_rail(end)}
    return (*(c for c in usual_meaning.contacts(usual) if c.ends[1] not in own), *rows)


def _inputs(job: Job, usual: Usual, designed: Netlist) -> tuple[tuple[FanInput, ...], tuple[FanInput, ...]]:
    """Fan inputs with the speeds they were meant to give, and with those they give."""
    rows = [row for row in job.wiring.fan_speed if row.input]
    usually = (
        usual_meaning.drive_inputs(usual, lambda terminal: _reaching(designed, usual, terminal))
        if usual.drives
        else usual_meaning.fan_inputs(usual)
    )
    if not rows:
        return usually, usually
    speeds = tuple(v for row in rows for v in (row.designed, row.found) if isinstance(v, Quantity))
    untyped = {fan.terminal: fan for fan in usually if fan.assumed}
    as_designed, as_found = [], []
    for row in rows:
        common = usual.common_of(device_of(row.input or ""))
        wanted = _speed(row.designed, job, speeds)
        there = None if row.found == "not assigned" else _speed(row.found, job, speeds) or wanted
        fan = FanInput(row.input or "", common, wanted or there)
        if fan.speed is None:
            fan = untyped.get(fan.terminal, fan)
            there = None if row.found == "not assigned" else fan.speed
        as_designed.append(fan)
        as_found.append(replace(fan, speed=there))
    left_out = _left_out(untyped.values(), [fan.terminal for fan in as_designed], designed, usual, job)
    return (*as_designed, *left_out), (*as_found, *left_out)


def _left_out(
    usually: Iterable[FanInput], typed: Sequence[str], designed: Netlist, usual: Usual, job: Job
) -> list[FanInput]:
    """Inputs of a drive that a call reaches by design and that no row gives a speed."""
    no_input = {*typed, *(job.wiring.dry_contact or ())}
    return [
        fan
        for fan in usually
        if fan.terminal not in no_input
        and not usual_meaning.letter(fan.terminal).startswith(usual_meaning.ENABLING)
        and _reaching(designed, usual, fan.terminal)
    ]


def _reaching(designed: Netlist, usual: Usual, terminal: str) -> list[str]:
    circuit = Circuit(designed)
    common = usual.common_of(device_of(terminal))
    return [call for call in CALLS if circuit.live(circuit.nets(call), terminal, common)]


def _speed(typed: Quantity | str | None, job: Job, others: tuple[Quantity, ...]) -> Speed | None:
    if not isinstance(typed, Quantity):
        return None
    share = _share(typed, job.unit.fan, others)
    return Speed(1.0 if share is None else share, typed.text)
