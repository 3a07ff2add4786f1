"""Builder of job files: a sound two-circuit R-410A unit whose entries each test overrides or removes.

The readings of the sound job follow the printed R-410A pressure-temperature card (from memory, as every
gauge carries it: 118 psig 40 °F, 317 psig 100 °F): superheat 10 °F, subcooling 12 °F on both circuits.
Places are short: ``air.airflow`` and ``1.suction_pressure`` are readings of the one condition,
``condition.calls`` stands in the condition, ``signs.filters`` was seen in it; the rest is spelled as in
the file, ``unit.fan.full_speed``. A table may be extended with text of its own at the end.
"""

import json
from functools import cache, lru_cache
from pathlib import Path
from weakref import WeakKeyDictionary

from hvaccalc.analysis import Analysis, analyse
from hvaccalc.diagnosis.water.budget import Weighed
from hvaccalc.findings import Finding, findings
from hvaccalc.findings.water import because
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.reason import Reason
from hvaccalc.report import memo
from hvaccalc.report.blocks import Block
from hvaccalc.resources import data_path
from hvaccalc.words.said import Reader
from hvaccalc.words.speak import teller

MOST_KEPT = 32
"""Analyses of changed jobs kept at a time: a test for either reader asks for the same one."""

SOUND = {
    "job.title": "A sound unit",
    "job.elevation": "0 ft",
    "unit.rated_capacity": "240 kBtu/h",
    "unit.rated_airflow": "8000 cfm",
    "unit.rated_sensible_heat_ratio": 0.72,
    "unit.rated_return_dry_bulb": "80 degF",
    "unit.rated_return_wet_bulb": "67 degF",
    "unit.rated_suction_saturation": "45 degF",
    "unit.circuiting": "interlaced",
    "unit.fan.drive": "variable frequency",
    "unit.fan.full_speed": "60 Hz",
    "unit.fan.input_power": "3.2 kW",
    "unit.protection.head_control": "none",
    "condition.calls": ["cool 1", "cool 2"],
    "condition.running_for": "25 min",
    "condition.compressors_running": ["1", "2"],
    "condition.coil_thawed": "yes",
    "condition.filters_clean": "yes",
    "air.return_dry_bulb": "75 degF",
    "air.supply_dry_bulb": "55 degF",
    "air.outdoor_dry_bulb": "85 degF",
    "air.airflow": "7600 cfm",
    "air.fan_frequency": "60 Hz",
}
for _name, _stage in (("1", 1), ("2", 2)):
    SOUND |= {
        f"circuit.{_name}.refrigerant": "R-410A",
        f"circuit.{_name}.metering": "TXV",
        f"circuit.{_name}.stage": _stage,
        f"circuit.{_name}.target_subcooling": "12 degF",
        f"{_name}.suction_pressure": "118 psig",
        f"{_name}.suction_temperature": "50 degF",
        f"{_name}.liquid_pressure": "317 psig",
        f"{_name}.liquid_temperature": "88 degF",
        f"{_name}.compressor_current": "18 A",
        f"{_name}.condenser_fans_running": "2 of 2",
    }

HUMID = {"air.return_wet_bulb": "63 degF", "air.supply_wet_bulb": "53 degF"}
"""Humidity of both streams, left out of `SOUND`: without it the coil is not solved, which saves time."""

WIDE_AIRFLOW = {"air.airflow": None, "air.fan_frequency": None}
"""Nothing tells the airflow."""


def accurate(*keys: str, base: dict = SOUND) -> dict:
    """Overrides that take readings with instruments so good that their bands play no part."""
    table: dict[str, object] = {}
    kinds = {
        "pressure": ("refrigerant gauge, digital", "0.1 psi"),
        "temperature": ("pipe clamp thermometer", "0.1 degF"),
    }
    for key in keys:
        quantity = key.rsplit("_", 1)[-1]
        kind, width = kinds[quantity]
        name = f"exact_{quantity}"
        table[f"instruments.{name}"] = {"kind": kind, "accuracy": width, "repeatability": width}
        table[key] = {"value": base[key], "instrument": name}
    return table


def _place(key: str) -> tuple[str, str]:
    """Header and key of an entry."""
    table, last = key.rsplit(".", 1) if "." in key else ("", key)
    head, _, rest = table.partition(".")
    if head == "condition" and not rest:
        return "[[visit.condition]]", last
    if table in ("air", "signs"):
        return f"[visit.condition.{table}]", last
    if head not in ("job", "unit", "circuit", "instruments", "wiring", "rules", "visit", ""):
        return f"[visit.condition.circuit.{table}]", last
    if head == "instruments":
        return "[instruments]", last
    return (f"[{table}]" if table else ""), last


def _literal(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_literal(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_literal(entry) for entry in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def job_text(
    changes: dict | None = None, *, base: dict = SOUND, extra: str = "", reverse: bool = False
) -> str:
    """TOML of a job; an entry changed to None is left out; `reverse` turns the order of keys round."""
    entries = {key: value for key, value in (base | (changes or {})).items() if value is not None}
    tables: dict[str, list[str]] = {}
    for key, value in sorted(entries.items(), reverse=True) if reverse else entries.items():
        header, name = _place(key)
        tables.setdefault(header, []).append(f"{name} = {_literal(value)}")
    early = sorted((h for h in tables if not h.startswith(("[visit", "[[visit"))), key=bool)
    of_visit = [h for h in tables if h == "[visit.signs]"]
    late = [h for h in tables if h.startswith("[visit.condition")]
    lines = ["format = 1"]
    for header in early:
        lines += [header] * bool(header) + tables[header]
    if "[[visit.condition]]" in tables or late or of_visit:
        lines += ["[[visit]]", "date = 2026-06-18"]
    for header in of_visit:
        lines += [header, *tables[header]]
    if "[[visit.condition]]" in tables or late:
        lines += ["[[visit.condition]]", *tables.get("[[visit.condition]]", [])]
    for header in late:
        lines += [header, *tables[header]]
    return "\n".join(lines) + "\n" + extra


def write_job(folder: Path, changes: dict | None = None, **how) -> Path:
    """Write a job file into a folder."""
    path = folder / "job.toml"
    path.write_text(job_text(changes, **how), encoding="utf-8")
    return path


def analysed(folder: Path, changes: dict | None = None, **how) -> Analysis:
    """Analysis of a job file written into a folder."""
    return analyse(load_job(write_job(folder, changes, **how)))


@lru_cache(maxsize=MOST_KEPT)
def analysis_of(text: str) -> Analysis:
    """Analysis of a job file, made once for all tests that ask for it: the same text gives the same."""
    return analyse(job_from_text(text))


@lru_cache(maxsize=MOST_KEPT)
def blocks_of(analysis: Analysis, audience: str) -> tuple[Block, ...]:
    """Blocks of a memo, drawn once for all tests that read it."""
    return memo.blocks(analysis, audience)


def demo_text(name: str) -> str:
    """Text of a demonstration's job file."""
    return data_path("jobs", f"{name}.toml").read_text("utf-8")


@cache
def demo(name: str = "library_hall") -> Analysis:
    """Analysis of a demonstration, made once for all tests."""
    return analyse(load_job(data_path("jobs", f"{name}.toml")))


_EARLY: WeakKeyDictionary[Analysis, tuple[Finding, ...]] = WeakKeyDictionary()


def found(analysis: Analysis, key: str, circuit: str | None = None) -> list[Finding]:
    """Findings of a key, of one circuit where it is named.

    Looked up first in what the conditions give by themselves; solving the unit takes ten times as long, and
    is done where the key is not among those.
    """
    if analysis not in _EARLY:
        _EARLY[analysis] = findings(
            analysis.draws, analysis.screening.flags, analysis.conditions, analysis.calls
        )
    early = [f for f in _EARLY[analysis] if f.key == key and circuit in (None, f.circuit)]
    return early or [f for f in analysis.findings if f.key == key and circuit in (None, f.circuit)]


def one(analysis: Analysis, key: str, circuit: str | None = None) -> Finding:
    """The only finding of a key."""
    of_key = found(analysis, key, circuit)
    assert len(of_key) == 1, f"{len(of_key)} findings of {key}"
    return of_key[0]


def told(reason: Reason) -> str:
    """A reason as the file reads it."""
    return teller(Reader.FILE, "us").tell(reason)


def why(one: Weighed) -> str:
    """What decided about a way of the water, as the file reads it."""
    return because(one, teller(Reader.FILE, "us"))
