"""Fourteen wiring faults, each named with its place; common practice, no source.

What each fault does was worked out on paper from the terminal tables, not taken from the program.
"""

import re

import pytest

from hvaccalc.errors import InputError
from hvaccalc.job.load import job_from_text
from tests.behaviour.jobs import found as of_key
from tests.behaviour.jobs import one, told
from tests.standard_wirings import RAILS, STANDARD, Wiring, analysed, job_text, level, presets

SPLIT = STANDARD["two stages, gas heat"]
DRIVE = STANDARD["drive with two inputs"]
PUMP = STANDARD["heat pump with O, two stages"]
TWO_SUPPLIES = STANDARD["split supply"]
RELAY = STANDARD["fan relay"]

Y2_WIRE = ("thermostat.Y2", "handler.Y2")
OUTDOOR_Y2 = ("handler.Y2", "outdoor.Y2")
JUMPER = ("handler.G", "handler.Y2")

CONTROL = (("handler.Y1", "float.in"), ("float.out", "outdoor.Y1"))
GUARDED = Wiring(
    (*[p for p in SPLIT.pairs if p != ("handler.Y1", "outdoor.Y1")], *CONTROL),
    SPLIT.loads,
    SPLIT.fan,
    SPLIT.letters,
    extra='[[wiring.safety]]\nname = "float switch"\nbetween = ["float.in", "float.out"]\n',
)


def but(wiring, *gone, plus=()):
    """Pairs of a design, some of them gone, others landed."""
    assert set(gone) <= set(wiring.pairs)
    return [p for p in wiring.pairs if p not in gone] + list(plus)


FAULTS = {
    "wire never landed": (SPLIT, {"found": but(SPLIT, Y2_WIRE)}, "thermostat.Y2 to handler.Y2"),
    "wire on the wrong terminal": (
        SPLIT,
        {"found": but(SPLIT, ("thermostat.G", "handler.G"), plus=[("thermostat.G", "handler.Y1")])},
        "thermostat.G to handler.Y1 instead of thermostat.G to handler.G",
    ),
    "common lifted": (SPLIT, {"found": but(SPLIT, RAILS[2])}, "handler.C to outdoor.C"),
    "wires swapped": (
        SPLIT,
        {
            "found": but(
                SPLIT,
                ("handler.Y1", "outdoor.Y1"),
                OUTDOOR_Y2,
                plus=[("handler.Y1", "outdoor.Y2"), ("outdoor.Y1", "handler.Y2")],
            )
        },
        "handler.Y1 to outdoor.Y2 and outdoor.Y1 to handler.Y2",
    ),
    "heat wire never landed": (
        PUMP,
        {"found": but(PUMP, ("outdoor.W1", "handler.W1"))},
        "outdoor.W1 to handler.W1",
    ),
    "supply shorted": (
        SPLIT,
        {"found": but(SPLIT, plus=[("handler.R", "handler.C")])},
        "handler.R to handler.C",
    ),
    "supplies tied": (
        TWO_SUPPLIES,
        {"found": but(TWO_SUPPLIES, plus=[("thermostat.Rh", "thermostat.Rc")])},
        "thermostat.Rh to thermostat.Rc",
    ),
    "preset not assigned": (
        DRIVE,
        {"replaced": presets(drive__input_1="36 Hz", drive__input_2="60 Hz|not assigned")},
        "drive.input_2, meant for 60 Hz",
    ),
    "preset wrong": (
        DRIVE,
        {"replaced": presets(drive__input_1="36 Hz", drive__input_2="60 Hz|45 Hz")},
        "drive.input_2, 45 Hz instead of 60 Hz",
    ),
    "safety bridged": (
        GUARDED,
        {"found": but(GUARDED, plus=[("float.in", "float.out")])},
        "float switch, float.in to float.out",
    ),
    "common of the drive broken": (
        DRIVE,
        {"found": but(DRIVE, ("handler.C", "drive.C"))},
        "handler.C to drive.C",
    ),
    "dry contact fed": (
        DRIVE,
        {
            "found": but(DRIVE, plus=[("handler.Y2", "drive.enable")]),
            "dry": ["drive.enable"],
            "terminals": ["drive.enable"],
        },
        "drive.enable",
    ),
    "contact welded or bridged": (
        RELAY,
        {"found": but(RELAY, plus=[("relay.com", "relay.no")])},
        "relay.com to relay.no",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_named_with_its_place(name):
    wiring, how, place = FAULTS[name]
    analysis = analysed(wiring, **how)
    assert [(fault.kind, fault.place) for fault in analysis.calls.faults] == [(name, place)]
    finding = one(analysis, "staging.fault")
    assert name in finding.text
    assert place in finding.statement
    assert finding.severity in ("act", "stop")


def test_swapped_wires_are_found_from_whichever_end_they_were_typed():
    wiring, how, place = FAULTS["wires swapped"]
    turned = Wiring(
        tuple(p[::-1] if p == OUTDOOR_Y2 else p for p in wiring.pairs),
        wiring.loads,
        wiring.fan,
        wiring.letters,
    )
    (fault,) = analysed(turned, **how).calls.faults
    assert (fault.kind, set(fault.place.split(" and "))) == ("wires swapped", set(place.split(" and ")))


@pytest.mark.parametrize("name", STANDARD)
def test_no_fault_is_named_on_a_standard_wiring_found_as_designed(name):
    wiring = STANDARD[name]
    turned = [pair[::-1] for pair in reversed(wiring.pairs)]
    for pairs in (None, wiring.pairs, turned):
        analysis = analysed(wiring, found=pairs)
        assert not analysis.calls.faults
        assert not of_key(analysis, "staging.fault")


@pytest.mark.parametrize(
    ("name", "effect"),
    [
        ("wire never landed", "at cool 2: compressor 2 stays off, fan 36 Hz instead of 60 Hz"),
        ("wire on the wrong terminal", "at fan: compressor 1 comes on"),
        (
            "common lifted",
            "at cool 1: compressor 1 stays off; at cool 2: compressor 1 stays off, compressor 2",
        ),
        ("heat wire never landed", "at defrost: heat 1 stays off"),
        ("preset wrong", "at cool 2: fan 45 Hz instead of 60 Hz"),
        ("common of the drive broken", "at fan, cool 1: fan off instead of 36 Hz"),
        ("safety bridged", "no longer stop"),
    ],
)
def test_effect(name, effect):
    wiring, how, _ = FAULTS[name]
    (fault,) = analysed(wiring, **how).calls.faults
    assert effect in told(fault.effect)


def test_worst_things_are_a_stop():
    for name in ("common of the drive broken", "safety bridged"):
        wiring, how, _ = FAULTS[name]
        assert one(analysed(wiring, **how), "staging.fault").severity == "stop"


def test_jumper_with_the_outdoor_conductor_landed_is_a_back_feed():
    """The fourteenth fault, first half: the fan call starts the second compressor."""
    analysis = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER])
    fed = one(analysis, "staging.backfeed")
    assert fed.severity == "act"
    assert fed.text == "compressor 2 on fan, cool 1"
    for terminal in ("thermostat.G", "handler.G", "handler.Y2", "outdoor.Y2"):
        assert terminal in fed.statement


@pytest.mark.parametrize(
    "landed", [[], [("thermostat.Y2", "outdoor.Y2")]], ids=["lifted and capped", "spliced to the thermostat"]
)
def test_jumper_with_the_outdoor_conductor_lifted_is_a_temporary_measure_and_no_more(landed):
    found = but(SPLIT, Y2_WIRE, OUTDOOR_Y2, plus=landed)
    analysis = analysed(SPLIT, found=found, temporary=[JUMPER])
    assert not of_key(analysis, "staging.backfeed")
    assert not of_key(analysis, "staging.fault")
    measure = one(analysis, "staging.measure")
    assert measure.text == "allowed with conditions"
    assert ("Out of service meanwhile: compressor 2" in measure.statement) == (not landed)


def test_fan_stays_low_in_the_second_cooling_stage_but_not_in_heating():
    """Common practice, no source: a two-stage split with a drive, the second-stage wire never landed."""
    circuit = analysed(SPLIT, found=but(SPLIT, Y2_WIRE)).calls.found
    fan = {call: level(circuit.answer(call)) for call in ("fan", "cool 1", "cool 2", "heat 1", "heat 2")}
    assert fan == {"fan": "low", "cool 1": "low", "cool 2": "low", "heat 1": "full", "heat 2": "full"}


def test_jumper_from_fan_to_second_stage_brings_full_speed_at_every_call():
    circuit = analysed(SPLIT, found=but(SPLIT, Y2_WIRE), temporary=[JUMPER]).calls.now
    assert {level(circuit.answer(c)) for c in ("fan", "cool 1", "cool 2", "heat 1", "heat 2")} == {"full"}


def test_the_same_missing_wire_is_seen_in_heating_on_a_heat_pump():
    """Y2 is the second stage of heating too; the first stage heats at full speed by the valve's letter."""
    analysis = analysed(PUMP, found=but(PUMP, Y2_WIRE))
    (fault,) = analysis.calls.faults
    assert fault.place == "thermostat.Y2 to handler.Y2"
    assert "heat 2: compressor 2 stays off" in told(fault.effect)
    lost = STANDARD["heat pump with B, two stages"]
    analysis = analysed(lost, found=but(lost, ("thermostat.B", "handler.B")))
    assert [c.name for c in analysis.calls.combinations] == ["fan low while heating"]
    assert "at heat 1: reversing valve stays off, fan 36 Hz instead of 60 Hz" in told(
        analysis.calls.faults[0].effect
    )


def test_where_the_way_of_a_call_ends():
    calls = analysed(SPLIT, found=but(SPLIT, Y2_WIRE)).calls
    assert {(s.call, s.load, s.last, s.next) for s in calls.unreached} == {
        ("cool 2", load, "thermostat.Y2", "handler.Y2") for load in ("compressor 2", "handler.Y2")
    }
    calls = analysed(SPLIT, found=but(SPLIT, RAILS[2])).calls
    assert {(s.last, s.next) for s in calls.unreached} == {("handler.C", "outdoor.C")}


def test_nothing_connected_is_not_as_designed():
    analysis = analysed(SPLIT, found=[])
    assert not analysis.calls.found.answer("cool 2").loads
    assert len(analysis.calls.faults) == len(SPLIT.pairs)


def test_second_stage_without_first():
    analysis = analysed(SPLIT, found=but(SPLIT, ("handler.Y1", "outdoor.Y1")))
    assert "second stage without first" in one(analysis, "staging.fault").text


def test_voltage_of_another_supply():
    """The outdoor unit's return led to the furnace's common: its contactor sees no circuit."""
    found = but(TWO_SUPPLIES, ("handler.C", "outdoor.C"), plus=[("furnace.C", "outdoor.C")])
    names = {fault.kind for fault in analysed(TWO_SUPPLIES, found=found).calls.faults}
    assert "wrong supply" in names


def test_the_reading_and_the_wiring_agree():
    visit = (
        '[[visit]]\n[[visit.condition]]\ncalls = ["cool 1", "cool 2"]\n'
        '[visit.condition.air]\nfan_frequency = "36 Hz"\n'
    )
    wiring, how, place = FAULTS["preset not assigned"]
    analysis = analysed(wiring, **how, visit=visit)
    by_table, by_reading = of_key(analysis, "staging.fault")
    assert by_table.id == "staging.fault/-/-/-"
    assert by_reading.id == "staging.fault/1/1/-"
    assert by_reading.text == "fan low with second stage"
    assert by_reading.inputs == (by_table.id,)
    assert place in by_reading.statement


def test_a_reading_that_contradicts_the_wiring_is_said():
    visit = (
        '[[visit]]\n[[visit.condition]]\ncalls = ["cool 1", "cool 2"]\n'
        '[visit.condition.air]\nfan_frequency = "60 Hz"\n'
    )
    wiring, how, _ = FAULTS["preset not assigned"]
    (by_table,) = of_key(analysed(wiring, **how, visit=visit), "staging.fault")
    assert "visit 1, condition 1 the fan was read at 100 %" in by_table.statement


# --- bad input --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("how", "key", "words"),
    [
        ({"found": [("thermostat.Y9", "handler.Y2")]}, "wiring.found[1][1]", "unknown terminal in a pair"),
        (
            {"temporary": [("handler.G", "handler.Y7")]},
            "wiring.temporary[1][2]",
            "unknown terminal in a pair",
        ),
        ({"found": [("handler.G", "handler.G")]}, "wiring.found[1]", "to itself"),
        (
            {"extra": '[[wiring.load]]\nname = "horn"\nbetween = ["attic.horn", "attic.C"]\n'},
            "wiring.load[1].between[1]",
            "a load to nowhere",
        ),
        (
            {"extra": '[[wiring.switch]]\nbetween = ["thermostat.R", "thermostat.G"]\n'},
            "wiring.switch[1]",
            "a switch without a call",
        ),
        (
            {"extra": '[[wiring.switch]]\nclosed_by = "horn"\nbetween = ["thermostat.R", "thermostat.G"]\n'},
            "wiring.switch[1].closed_by",
            "no load of this name",
        ),
    ],
)
def test_bad_input_is_named_with_its_line(how, key, words):
    text = job_text(SPLIT, **how)
    with pytest.raises(InputError) as caught:
        job_from_text(text)
    error = caught.value
    assert error.key == key
    assert words in error.message
    assert error.found and error.allowed
    table = re.match(r"wiring\.(\w+)", key)[1]
    line = text.splitlines()[error.line - 1]
    assert table in line or line.startswith(("between", "closed_by"))


# --- what follows ----------------------------------------------------------------------------------------


def test_a_shorted_supply_energises_nothing():
    """Its fuse is gone: no load and no fan at any call; the fault says so."""
    wiring, how, _ = FAULTS["supply shorted"]
    calls = analysed(wiring, **how).calls
    for call in ("none", "fan", "cool 2", "heat 2"):
        answer = calls.found.answer(call)
        assert not answer.loads and answer.speed is None and answer.shorted


def test_a_short_that_a_call_brings_leaves_the_other_calls_alone():
    """Y2's conductor pinched to the common: only the second stage blows the fuse."""
    calls = analysed(SPLIT, found=but(SPLIT, plus=[("handler.Y2", "handler.C")])).calls
    assert calls.found.answer("cool 1").loads == ("compressor 1",)
    assert not calls.found.answer("cool 2").loads
    assert "cool 2" in told(next(f.effect for f in calls.faults if f.kind == "supply shorted"))


def test_a_closed_safety_conducts():
    calls = analysed(GUARDED).calls
    assert not calls.faults
    assert set(calls.found.answer("cool 2").loads) == GUARDED.loads["cool 2"]


def test_a_wire_that_changes_a_call_without_a_name_of_its_own_is_an_extra_wire():
    (fault,) = analysed(SPLIT, found=but(SPLIT, plus=[("handler.G", "handler.Y2")])).calls.faults
    assert (fault.kind, fault.place) == ("extra wire", "handler.G to handler.Y2")
    assert "at fan, cool 1: compressor 2 comes on" in told(fault.effect)
