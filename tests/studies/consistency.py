"""Does any analysis contradict itself? Jobs of units solved with known faults, in every mixture of the field.

Each job draws its fault, circuiting, refrigerant, instruments, weather and air, then what was seen, what the
wiring table says, what was done, what a second visit read. Hours on one core: each verdict is kept in
``build/`` as it falls, and a study that was stopped goes on there; delete the file to begin anew.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from typing import TypeVar

import numpy as np

from hvaccalc.analysis import LEAST_DRAWS, Analysis
from hvaccalc.diagnosis.unit.readings_of_state import Level
from hvaccalc.job.load import job_from_text
from tests.behaviour.jobs import job_text
from tests.compare.generated_jobs import (
    CIRCUITINGS,
    FAULTS,
    KITS,
    OUTDOORS,
    RETURN_AIR,
    Case,
    entries,
)
from tests.compare.two_visits import WORKS
from tests.consistency import contradictions, copies
from tests.discovery import ROOT

T = TypeVar("T")

COUNT = 2000
FALLEN = ROOT / "build" / "consistency.jsonl"

MENDS = {
    "sound": "trap",
    "low_charge": "low_charge:2",
    "overcharge": "overcharge:2",
    "restriction": "restriction:2",
    "condenser_air": "condenser_air:2",
    "weak_compressor": "weak_compressor:2",
    "overfeeding_valve": "overfeeding_valve:2",
    "low_airflow": "low_airflow",
}
"""What puts each fault right; of the sound unit a cause that nothing shows."""

SEEN: dict[str, tuple[object, ...]] = {
    "signs.water_on": (["cabinet floor"], ["filters"], ["above the unit"], ["duct"]),
    "signs.drain_flow": ("free", "slow", "blocked"),
    "signs.tested_with_fan": ("full", "off"),
    "signs.trap": ("sealed", "dry", "none"),
    "signs.pan_water": ("dry", "film", "full", "overflowing"),
    "signs.frost_on": ("none", "coil face", "suction line"),
    "signs.filters": ("clean", "loaded"),
    "signs.coil_face": ("clean", "dirty"),
    "signs.float_switch": ("none", "fitted"),
    "signs.fan_on_second_stage": ("rises", "stays"),
    "signs.drain_air": ("drawn in", "blown out", "none"),
    "signs.pump": ("runs", "stopped"),
    "signs.sweating_on": ("duct", "suction line"),
    "signs.sensing_bulb": ("tight", "loose"),
    "signs.oil_trace": ("none", "seen"),
    "signs.leak_detector": ("none", "alarm"),
    "signs.belt": ("tight", "loose"),
}
"""Each sign with the words drawn from."""

TYPED: dict[str, tuple[object, ...]] = {
    "unit.kind": ("cooling", "heat pump"),
    "unit.fan.drive": ("belt, fixed", "variable frequency", "two speed motor"),
    "unit.drain.pan_suction": ("0.3 inH2O", "1.5 inH2O"),
    "unit.drain.trap_height": ("1 in", "4 in"),
    "unit.drain.size": ("0.75 in", "1.25 in"),
    "circuit.1.metering": ("TXV", "fixed orifice", "EEV"),
    "circuit.2.metering": ("TXV", "fixed orifice", "EEV"),
    "circuit.2.target_subcooling": ("8 degF", "18 degF"),
    "circuit.1.nameplate_charge": ("9 lb", "14 lb"),
    "condition.calls": ([], ["fan"], ["cool 1"], ["cool 1", "cool 2"]),
    "condition.compressors_running": (["1"], ["1", "2"], []),
    "condition.coil_thawed": ("yes", "no", "unknown"),
    "condition.filters_clean": ("yes", "no"),
    "air.fan_current": ("6 A", "12 A"),
    "unit.fan.motor_full_load_current": ("10 A", "14 A"),
    "1.compressor_current": ("0 A", "18 A"),
    "2.suction_temperature": ("36 degF", "70 degF"),
    "2.condenser_fans_running": ("1 of 2", "2 of 2"),
}
"""Readings and plates that are typed otherwise than the model has them."""

LEAK = '[circuit.2.leak]\nat = "liquid line"\n'
WIRES = [
    *(["thermostat.G", "handler.G"], ["thermostat.Y1", "handler.Y1"], ["thermostat.Y2", "handler.Y2"]),
    *(["handler.Y1", "outdoor.Y1"], ["handler.Y2", "outdoor.Y2"], ["handler.G", "drive.input_1"]),
    ["handler.Y2", "drive.input_2"],
]
PRESETS = """
[[wiring.fan_speed]]
input = "drive.input_1"
designed = "36 Hz"
found = "36 Hz"
[[wiring.fan_speed]]
input = "drive.input_2"
designed = "60 Hz"
found = "60 Hz"
"""
WIRINGS: tuple[dict[str, object], ...] = (
    {},
    {"wiring.found": WIRES[:-1]},
    {"wiring.found": [*WIRES, ["handler.G", "outdoor.Y1"]]},
    {"wiring.found": WIRES[:-1], "wiring.temporary": [["handler.G", "drive.input_2"]]},
)
"""As designed, a wire missing, a feed without a call, a jumper."""


def drawn(seed: int, number: int) -> str:
    """TOML of one job by its number, the same whatever was drawn before it."""
    rng = np.random.default_rng((seed, number))

    def one(of: Sequence[T]) -> T:
        return of[int(rng.integers(len(of)))]

    def some(of: dict[str, tuple[object, ...]], share: float) -> dict[str, object]:
        return {key: one(words) for key, words in of.items() if rng.random() < share}

    refrigerant, level = one(KITS)
    case = Case(
        one(tuple(FAULTS)),
        one(CIRCUITINGS),
        refrigerant,
        one(tuple(Level)),
        one(OUTDOORS),
        one(RETURN_AIR),
        speed=one((1.0, 1.0, 0.6)),
        seed=int(rng.integers(1_000_000)),
    )
    found = entries(case) | some(SEEN, 0.15) | some(TYPED, 0.04)
    extra = ""
    if rng.random() < 0.1:
        extra += LEAK
    if rng.random() < 0.25:
        terminals = sorted({end for pair in WIRES for end in pair})
        found |= {"wiring.terminals": terminals, "wiring.designed": WIRES, **one(WIRINGS)}
        extra += PRESETS
    if rng.random() < 0.5:
        mends = one((MENDS[case.fault], "fan_stuck_low", "drain", "trap", "back_feed"))
        extra += f"[[visit.work]]\n{one(tuple(WORKS.values())).format(mends=mends)}\n"
    if rng.random() < 0.5:
        later = Case(
            one((case.fault, "sound")),
            case.circuiting,
            refrigerant,
            case.level,
            one(OUTDOORS),
            case.air,
            speed=one((1.0, case.speed)),
            seed=int(rng.integers(1_000_000)),
        )
        _, _, condition = job_text(entries(later) | some(SEEN, 0.15)).partition("[[visit.condition]]")
        extra += f"[[visit]]\ndate = 2026-06-25\n[[visit.condition]]{condition.replace('as found', 'later')}"
    return job_text(found, extra=extra)


def broken(text: str) -> list[str]:
    """Contradictions of one job, those of its two memos among them."""
    analysis = Analysis(job_from_text(text), LEAST_DRAWS)
    return contradictions(analysis) + copies(analysis)


def run(seed: int, count: int = COUNT) -> dict[str, object]:
    """How many jobs contradict themselves, by rule, with some of each."""
    FALLEN.parent.mkdir(exist_ok=True)
    lines = FALLEN.read_text("utf-8").splitlines() if FALLEN.exists() else []
    kept = {(s, n): found for s, n, found in map(json.loads, lines)}
    with FALLEN.open("a", encoding="utf-8") as verdicts:
        for number in range(count):
            if (seed, number) in kept:
                continue
            kept[seed, number] = broken(drawn(seed, number))
            print(json.dumps([seed, number, kept[seed, number]]), file=verdicts, flush=True)
            for found in kept[seed, number]:
                print(f"{number}: {found}", flush=True)
    those = {number: kept[seed, number] for number in range(count)}
    by_rule = Counter(rule for found in those.values() for rule in {one.partition(":")[0] for one in found})
    return {
        "jobs": count,
        "jobs that contradict themselves": sum(bool(found) for found in those.values()),
        "by rule": dict(sorted(by_rule.items())),
        "found": {str(number): found for number, found in those.items() if found},
    }
