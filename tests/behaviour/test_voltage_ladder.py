"""Voltage ladder: simulated readings locate the broken segment, or say which two remain.

A meter's reading is made here from the fault itself, worked out on paper: full voltage where the hot
side still reaches, none behind the break, within ± 5 %. Common practice, no source.
"""

import numpy as np
import pytest

from hvaccalc.equipment.wiring.voltage_ladder import predicted
from tests import nodal
from tests.behaviour.jobs import one
from tests.standard_wirings import STANDARD, analysed, presets

SPLIT = STANDARD["two stages, gas heat"]
DRIVE = STANDARD["drive with two inputs"]
RELAY = STANDARD["fan relay"]
ERRORS = np.random.default_rng(11).uniform(0.95, 1.05, 5000)
SCATTER = iter(ERRORS)


def volts(hot: bool) -> str:
    """A reading within ± 5 % of 25 V, or a stray half volt."""
    return f"{25.0 * next(SCATTER) if hot else 0.5 * next(SCATTER):.1f} V"


def visit(calls, *readings, frequency=None) -> str:
    """A condition with readings: ``(from, to, text)`` or ``(input, status)``."""
    called = ", ".join(f'"{call}"' for call in calls)
    lines = ["[[visit]]", "[[visit.condition]]", f"calls = [{called}]"]
    if frequency:
        lines += ["[visit.condition.air]", f'fan_frequency = "{frequency}"']
    for reading in readings:
        lines.append("[[visit.condition.voltage]]")
        if len(reading) == 3:
            lines += [f'from = "{reading[0]}"', f'to = "{reading[1]}"', f'value = "{reading[2]}"']
        else:
            lines += [f'input = "{reading[0]}"', f'input_status = "{reading[1]}"']
    return "\n".join(lines) + "\n"


def located(wiring, calls, *readings, frequency=None, **how):
    """What the ladder says of one condition."""
    analysis = analysed(wiring, visit=visit(calls, *readings, frequency=frequency), **how)
    (ladder,) = analysis.calls.ladders.values()
    return ladder.located, one(analysis, "staging.ladder")


BOTH = ("cool 1", "cool 2")
LADDER = (
    ("thermostat.Y2", "thermostat.C"),
    ("handler.Y2", "handler.C"),
    ("drive.input_2", "drive.C"),
)
WHERE = {
    0: "contact thermostat.R to thermostat.Y2 stays open",
    1: "wire thermostat.Y2 to handler.Y2",
    2: "wire handler.Y2 to drive.input_2",
}


@pytest.mark.parametrize("first_dead", WHERE)
def test_break_on_the_second_stage_ladder(first_dead):
    """Full above the break, none below: the break lies between the two."""
    readings = [(a, b, volts(n < first_dead)) for n, (a, b) in enumerate(LADDER)]
    # The first stage's terminal and the drive's other input clear the supply and the drive's common.
    clear = [("thermostat.Y1", "thermostat.C", volts(True)), ("drive.input_1", "on")]
    result, finding = located(DRIVE, BOTH, *readings, *clear)
    assert result.segments == (WHERE[first_dead],)
    assert WHERE[first_dead] in finding.statement
    assert finding.severity == "act"


@pytest.mark.parametrize("seed", range(5))
def test_two_that_cannot_be_told_apart_and_the_reading_that_would(seed):
    """No reading at the handler's terminal: the wire before it or the wire behind it."""
    rng = np.random.default_rng(seed)
    full = f"{24 * rng.uniform(0.95, 1.05):.1f} V"
    result, finding = located(
        DRIVE,
        BOTH,
        ("thermostat.Y2", "thermostat.C", full),
        ("drive.input_2", "off"),
        ("drive.input_1", "on"),
    )
    assert set(result.segments) == {WHERE[1], WHERE[2]}
    assert "voltage at handler.Y2" in result.next
    assert result.next in finding.statement


def test_dead_input_with_nothing_else_read_may_be_its_common_too():
    readings = [(a, b, volts(n < 2)) for n, (a, b) in enumerate(LADDER)]
    result, _ = located(DRIVE, BOTH, *readings)
    assert set(result.segments) == {WHERE[2], "wire handler.C to drive.C"}
    # Full where the drive still has its common, nothing where it has lost it.
    assert result.next == "voltage at handler.Y2 against drive.C with cool 2 on"


def test_sound_ladder():
    readings = [(a, b, volts(True)) for a, b in LADDER]
    result, finding = located(DRIVE, BOTH, *readings, ("drive.input_2", "on"), frequency="60 Hz")
    assert result.sound and not result.segments
    assert finding.severity == "note"


def test_preset_is_located_by_the_drives_status_and_frequency():
    """The input is on and the drive stays at its low speed: nothing is broken but the preset."""
    readings = [(a, b, volts(True)) for a, b in LADDER]
    result, finding = located(DRIVE, BOTH, *readings, ("drive.input_2", "on"), frequency="36 Hz")
    assert result.segments == ("preset of drive.input_2",)
    assert "preset of drive.input_2" in finding.text


def test_preset_known_from_the_table_agrees():
    how = {"replaced": presets(drive__input_1="36 Hz", drive__input_2="60 Hz|not assigned")}
    readings = [(a, b, volts(True)) for a, b in LADDER]
    result, _ = located(DRIVE, BOTH, *readings, ("drive.input_2", "on"), frequency="36 Hz", **how)
    assert result.sound


def test_lifted_common_of_the_outdoor_unit():
    """Contactor dead across its own terminals, alive against the handler's common."""
    result, _ = located(
        SPLIT,
        BOTH,
        ("outdoor.Y1", "outdoor.C", volts(False)),
        ("outdoor.Y1", "handler.C", volts(True)),
        ("outdoor.Y2", "outdoor.C", volts(False)),
    )
    assert result.segments == ("wire handler.C to outdoor.C",)


def test_broken_common_at_the_drive():
    result, _ = located(
        DRIVE,
        BOTH,
        ("drive.input_2", "handler.C", volts(True)),
        ("drive.input_2", "drive.C", volts(False)),
        ("drive.input_1", "off"),
        frequency="0 Hz",
    )
    assert result.segments == ("wire handler.C to drive.C",)


def test_dead_supply_or_its_wire():
    """Nothing at the thermostat: the transformer, or the wire to it; one reading at the handler tells."""
    result, finding = located(SPLIT, BOTH, ("thermostat.R", "handler.C", volts(False)))
    assert set(result.segments) == {
        "supply handler.R to handler.C is dead",
        "wire handler.R to thermostat.R",
    }
    assert "handler.R" in result.next
    result, _ = located(
        SPLIT, BOTH, ("thermostat.R", "handler.C", volts(False)), ("handler.R", "handler.C", volts(True))
    )
    assert result.segments == ("wire handler.R to thermostat.R",)


def test_welded_relay_is_located_by_the_drives_status_with_no_call():
    result, _ = located(
        RELAY,
        (),
        ("drive.run", "on"),
        ("thermostat.G", "handler.C", volts(False)),
        frequency="60 Hz",
    )
    assert result.segments == ("contact relay.com to relay.no stays closed (welded)",)


def test_missing_heat_wire():
    result, _ = located(
        SPLIT,
        ("heat 1",),
        ("thermostat.W1", "thermostat.C", volts(True)),
        ("handler.W1", "handler.C", volts(False)),
    )
    assert result.segments == ("wire thermostat.W1 to handler.W1",)


@pytest.mark.parametrize("ghost", ["11 V", "15.5 V", "19 V"])
def test_ghost_voltage_is_no_call(ghost):
    """10 to 20 V on an open input of a drive: the wire is broken, and the ghost is said."""
    result, finding = located(
        DRIVE,
        BOTH,
        ("handler.Y2", "handler.C", volts(True)),
        ("drive.input_2", "drive.C", ghost),
        ("drive.input_1", "on"),
    )
    assert result.segments == ("wire handler.Y2 to drive.input_2",)
    assert "ghost" in finding.statement
    assert f"{float(ghost[:-2]):.1f} V" in finding.statement


def test_readings_that_no_single_break_explains():
    """Dead above and alive below."""
    result, finding = located(
        DRIVE,
        BOTH,
        ("thermostat.Y2", "handler.C", volts(False)),
        ("drive.input_2", "drive.C", volts(True)),
    )
    assert not result.sound and not result.segments
    assert "No single break" in finding.statement


def test_found_wiring_that_already_tells_the_break_agrees_with_the_readings():
    found = [p for p in DRIVE.pairs if p != ("thermostat.Y2", "handler.Y2")]
    readings = [(a, b, volts(n < 1)) for n, (a, b) in enumerate(LADDER)]
    result, finding = located(DRIVE, BOTH, *readings, found=found)
    assert result.sound
    assert finding.text == "as found"


def test_a_terminal_that_the_table_does_not_know_is_left_out_and_said():
    _, finding = located(
        DRIVE, BOTH, ("attic.Y2", "attic.C", "24 V"), ("handler.Y2", "handler.C", volts(True))
    )
    assert "attic.Y2" in finding.statement


# --- every single break, its readings from nodal analysis -------------------------------------------------

SUPPLY = ("handler.R", "handler.C")
HUNG = {
    "split": {
        "coils": [
            *((f"outdoor.Y{n}", "outdoor.C") for n in (1, 2)),
            *((f"handler.W{n}", "handler.C") for n in (1, 2)),
        ],
        "inputs": [(f"handler.{letter}", "handler.C") for letter in ("G", "Y1", "Y2")],
    },
    "drive": {
        "coils": [(f"outdoor.Y{n}", "outdoor.C") for n in (1, 2)],
        "inputs": [(f"drive.input_{n}", "drive.C") for n in (1, 2)],
    },
}
UNITS = {"split": SPLIT, "drive": DRIVE}
CASES = [
    (unit, calls, wire)
    for unit, calls in (("split", BOTH), ("split", ("heat 1", "heat 2")), ("drive", BOTH))
    for wire in UNITS[unit].pairs
]


def simulated(unit, calls, broken=None):
    """Readings of every terminal against the handler's common and against its own, without error [V]."""
    wiring = UNITS[unit]
    letters = wiring.letters[calls[-1]].split()
    closed = [("thermostat.R", f"thermostat.{letter}") for letter in letters]
    wires = [pair for pair in wiring.pairs if pair != broken]
    ends = [(t, "handler.C") for t in wiring.terminals if t != "handler.C"]
    ends += [
        (t, f"{device}.C")
        for device in ("thermostat", "outdoor", "drive")
        for t in wiring.terminals
        if t.startswith(f"{device}.") and f"{device}.C" in wiring.terminals and not t.endswith(".C")
    ]
    return {
        pair: nodal.reading(pair, wires=wires, closed=closed, supply=SUPPLY, **HUNG[unit]) for pair in ends
    }


@pytest.mark.parametrize(("unit", "calls", "broken"), CASES)
def test_every_single_break_is_located_or_one_of_two(unit, calls, broken):
    """Readings ± 5 % along the whole ladder; a break that moves no voltage in these calls stays unseen."""
    sound, volts_now = simulated(unit, calls), simulated(unit, calls, broken)
    readings = [(a, b, f"{v * next(SCATTER):.1f} V") for (a, b), v in volts_now.items()]
    result, _ = located(UNITS[unit], calls, *readings)
    if all(abs(sound[pair] - volts_now[pair]) < 2.0 for pair in sound):
        assert result.sound
    else:
        assert f"wire {broken[0]} to {broken[1]}" in result.segments
        assert len(result.segments) <= 2
        assert len(result.segments) == 1 or result.next


@pytest.mark.parametrize(
    ("unit", "calls"), [("split", BOTH), ("drive", BOTH), ("split", ("heat 1", "heat 2"))]
)
def test_expected_voltages_are_those_of_nodal_analysis(unit, calls):
    """A sound circuit: within 0.5 V, the drop of the transformer and the wires under their load.

    An input that no call feeds hangs free: the package promises no more than that it is not full.
    """
    circuit = analysed(UNITS[unit]).calls.designed
    for pair, shown in simulated(unit, calls).items():
        expected = predicted(circuit, calls[-1], pair)
        assert shown < 20.0 if expected is None else expected == pytest.approx(shown, abs=0.5), pair
