"""One job a family of faults: exactly its repairs are called for and quoted, and both copies say them.

Which repair a fault calls for: common practice, no source.
"""

from __future__ import annotations

import pytest

from hvaccalc.report.blocks import Items
from hvaccalc.report.found import Found
from hvaccalc.report.sections.permanent_repair import permanent
from hvaccalc.service.repair.repair_rows import Part
from hvaccalc.words import repairs as words
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller
from tests.behaviour.jobs import HUMID
from tests.behaviour.test_repairs import DOES_NOT_PUMP, FULL, LOADED, SHORT, WET, job
from tests.consistency import contradictions

Changes = tuple[tuple[str, object], ...]

LABEL: Changes = (("circuit.2.nameplate_charge", "34 lb"), *HUMID.items())
HIGH_HEAD: Changes = (("2.liquid_pressure", "420 psig"), ("2.liquid_temperature", "108 degF"))
RESTRICTED: Changes = (
    *(("2.suction_pressure", "100 psig"), ("2.suction_temperature", "62 degF")),
    *(("2.liquid_temperature", "82 degF"), ("2.drier_in_temperature", "88 degF")),
    ("2.drier_out_temperature", "76 degF"),
)
LOOSE: Changes = (("2.suction_temperature", "42 degF"), ("signs.sensing_bulb", "loose"))
SLOW: Changes = (
    *(("unit.fan.full_speed", "60 Hz"), ("unit.fan.low_speed", "36 Hz")),
    *(("air.fan_frequency", "36 Hz"), ("air.airflow", "4800 cfm")),
)
MILD: Changes = (
    ("air.outdoor_dry_bulb", "50 degF"),
    *((f"{name}.suction_pressure", "110 psig") for name in "12"),
    *((f"{name}.suction_temperature", "59 degF") for name in "12"),
    *((f"{name}.liquid_pressure", "211 psig") for name in "12"),
    *((f"{name}.liquid_temperature", "58 degF") for name in "12"),
)
"""A sound unit on a cool morning: a low head, a valve that starves a little, liquid enough."""
AT_REST = """
[[visit.condition]]
calls = []
[visit.condition.air]
return_dry_bulb = "75 degF"
outdoor_dry_bulb = "85 degF"
[visit.condition.circuit.2]
suction_pressure = "300 psig"
liquid_pressure = "300 psig"
"""
"""In 85 °F R-410A stands at 255 psig at most."""

LEAK = {Part.LEAK_SEARCH, Part.RECOVERY, Part.REFRIGERANT, Part.FILTER_DRIER, Part.PRESSURE_AND_VACUUM}
GUARD = "find_guard"

FAMILIES: dict[str, tuple[Changes, str, set[str], set[Part]]] = {
    "sound": ((), "", set(), set()),
    "short of charge": (SHORT, "", {"find_leak low_charge:2"}, LEAK),
    "overcharge": (FULL, "", {"weigh_out overcharge:2"}, {Part.WEIGHING_OUT}),
    "restricted drier": (RESTRICTED, "", {"replace_drier restriction:2"}, {Part.DRIER_CHANGE}),
    "loose bulb": (LOOSE, "", {"seat_bulb overfeeding_valve:2"}, set()),
    "loose bulb, valve not named": ((("signs.sensing_bulb", "uninsulated"),), "", {"seat_bulb"}, set()),
    "both driers": (
        tuple((key.replace("2.", f"{name}."), value) for name in "12" for key, value in RESTRICTED),
        "",
        {"replace_drier restriction:1", "replace_drier restriction:2"},
        {Part.DRIER_CHANGE},
    ),
    "air in a circuit": (
        (("2.liquid_pressure", "400 psig"), ("2.liquid_temperature", "92 degF")),
        AT_REST,
        {"prove_gas non_condensables:2"},
        set(),
    ),
    "mild morning": (MILD, "", set(), set()),
    "dirty condenser": (HIGH_HEAD, "", {"clean_condenser condenser_air:2"}, {Part.CONDENSER_CLEANING}),
    "dead condenser fan": (
        (*HIGH_HEAD, ("2.condenser_fans_running", "1 of 2")),
        "",
        {"condenser_fan condenser_air:2"},
        {Part.CONDENSER_FAN},
    ),
    "worn compressor": (DOES_NOT_PUMP, "", {"try_compressor weak_compressor:2"}, set()),
    "fan that stays low": (SLOW, "", {"fan_to_speed fan_stuck_low"}, {Part.CONTROL_WIRING}),
    "loaded filters": (LOADED, "", {"free_the_air low_airflow"}, {Part.CLEANING}),
    "drain that meets the code": ((*WET, ("unit.drain.size", "1 in")), "", {GUARD}, set()),
    "blocked drain": (
        (("signs.drain_flow", "blocked"),),
        "",
        {GUARD, "open_drain drain"},
        {Part.DRAIN_CLEARED},
    ),
    "no trap": ((*WET, ("signs.trap", "none")), "", {GUARD, "rebuild_trap trap"}, {Part.TRAP}),
    "sweating duct": (
        (("signs.water_on", "duct"), ("signs.sweating_on", "duct")),
        "",
        {GUARD, "insulate sweating"},
        {Part.INSULATION},
    ),
    "condensate pump": ((("signs.pump", "stopped"),), "", {GUARD, "pump pump"}, {Part.CONDENSATE_PUMP}),
}


@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_gets_its_own_repairs_and_no_others(family: str) -> None:
    changes, extra, repairs, parts = FAMILIES[family]
    analysis = job(*LABEL, *changes, extra=extra)
    needed = analysis.repairs.called
    assert {f"{one.repair.value} {one.cause or ''}".strip() for one in needed} == repairs
    assert {line.part for line in analysis.quote} == parts
    # What stands open is repaired, what is repaired is shown again.
    assert {str(end.at) for end in analysis.put_right if end.open} == {
        str(one.cause) for one in needed if one.cause is not None
    }
    assert {one.needed.repair for one in analysis.proof} == {one.repair for one in needed}
    for reader in Reader:
        blocks = permanent(Found(analysis, plain=reader is Reader.CUSTOMER))
        items = [item for block in blocks if isinstance(block, Items) for item in block.items]
        told = teller(reader, analysis.job.display)
        assert [item.text for item in items[: len(needed)]] == [words.whole(told, one) for one in needed]
        more = "".join(item.lead + item.text for item in items[len(needed) :])
        assert ("lb" in more) == (Part.REFRIGERANT in parts)
        assert "leak" in more or Part.LEAK_SEARCH not in parts


@pytest.mark.parametrize(
    "family", ["both driers", "dead condenser fan", "blocked drain", "loose bulb, valve not named"]
)
def test_what_is_seen_of_a_circuit_is_a_finding_and_a_step_of_today(family: str) -> None:
    changes, extra, _, _ = FAMILIES[family]
    assert contradictions(job(*LABEL, *changes, extra=extra)) == []
