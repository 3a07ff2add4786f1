"""What does a typing error do? Jobs of a solved unit with one value mistyped, against the same job as it is.

Seven ways in equal shares (`WAYS`), each on a job of `tests.compare.generated_jobs`. The verdict is the
charge of each circuit, the contrast, the dominant way of the water and what may be done today. Silent is
a mistyped job that is read, and of which no notice of a contradiction or of something unusual that the
job as it is does not have names a mistyped key. It is hidden where every mistyped reading still lies within
the band that its rightly typed neighbours expect of it: no neighbour can tell then, whatever the verdict.

Beside them stand false notices: jobs of solved units, in other weather and with other errors of the
instruments, in which nothing is mistyped, and every condition of the demonstrations and measured sets. The
kit's model also solved the generated jobs: what it makes of them is the best case, of the measured the other.

An hour or two on one core: each outcome is kept in ``build/`` as it falls, and a study that was stopped goes
on there where the code is the same; delete the file to begin anew.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

import numpy as np

from hvaccalc.analysis import Analysis, analyse
from hvaccalc.diagnosis.charge.contrast import Suspicion
from hvaccalc.diagnosis.charge.verdicts import ChargeVerdict
from hvaccalc.diagnosis.contradictions.mistyped import Judge
from hvaccalc.diagnosis.contradictions.unit_pictures import neighbours
from hvaccalc.diagnosis.readings.draws import Where
from hvaccalc.errors import InputError, NotConverged
from hvaccalc.job.load import job_from_text, load_job
from hvaccalc.resources import data_path
from hvaccalc.units import parse
from tests.behaviour.jobs import SOUND, job_text
from tests.compare.generated_jobs import RETURN_AIR, Case, cases, entries
from tests.discovery import ROOT

JOBS = 2100
DRAWS = 256
CLEAN = 500
MOST_SILENT, MOST_DEFINITE, MOST_FALSE = 0.04, 0.005, 0.02
"""Largest share of jobs whose verdict changes in silence, and to another definite one; of false notices."""
FALLEN = ROOT / "build" / "mistyped.jsonl"
PLATES = (
    *("unit.rated_capacity", "unit.rated_airflow", "unit.rated_sensible_heat_ratio", "unit.fan.input_power"),
    *("unit.rated_return_dry_bulb", "unit.rated_suction_saturation", "unit.fan.full_speed"),
    *("circuit.1.target_subcooling", "circuit.2.target_subcooling", "circuit.1.nameplate_charge"),
)

Entries = dict[str, object]
Verdict = dict[str, str]


def _keys(job: Entries, *endings: str) -> list[str]:
    """Readings whose key ends so."""
    read = (key for key, value in job.items() if isinstance(value, str) and key.endswith(endings))
    return [key for key in read if key.split(".")[0] in ("air", "1", "2")]


def _number(value: object) -> tuple[str, str]:
    number, _, unit = str(value).partition(" ")
    return number, unit


def _pressure_unit(job: Entries, draw: np.random.Generator) -> Entries:
    key = draw.choice(_keys(job, "_pressure"))
    return {key: f"{_number(job[key])[0]} {draw.choice(['psia', 'kPag', 'kPaa'])}"}


def _digit(job: Entries, draw: np.random.Generator) -> Entries:
    """A digit dropped, or two exchanged, before the decimal point."""
    key = draw.choice(_keys(job, "_pressure", "_temperature", "_bulb", "airflow", "_current"))
    number, unit = _number(job[key])
    whole, point, part = number.partition(".")
    at = int(draw.integers(len(whole)))
    exchanged = whole[:at] + whole[at + 1 : at + 2] + whole[at : at + 1] + whole[at + 2 :]
    changed = whole[:at] + whole[at + 1 :] if draw.random() < 0.5 or exchanged == whole else exchanged
    return {key: f"{changed or '0'}{point}{part} {unit}"}


def _celsius(job: Entries, draw: np.random.Generator) -> Entries:
    key = draw.choice(_keys(job, "_temperature", "_bulb"))
    return {key: f"{_number(job[key])[0]} degC"}


def _exchanged(job: Entries, one: str, other: str) -> Entries:
    return {one: job[other], other: job[one]}


def _probes(job: Entries, draw: np.random.Generator) -> Entries:
    pairs = [(f"{n}.suction_temperature", f"{n}.liquid_temperature") for n in "12"]
    pairs += [(f"air.{side}_dry_bulb", f"air.{side}_wet_bulb") for side in ("return", "supply")]
    pairs += [("air.return_dry_bulb", "air.supply_dry_bulb")]
    there = [pair for pair in pairs if all(job.get(key) is not None for key in pair)]
    return _exchanged(job, *there[draw.integers(len(there))])


def _outdoor_and_return(job: Entries, draw: np.random.Generator) -> Entries:
    return _exchanged(job, "air.outdoor_dry_bulb", "air.return_dry_bulb")


def _between_circuits(job: Entries, draw: np.random.Generator) -> Entries:
    keys = [key[2:] for key in _keys(job, "_pressure", "_temperature") if key.startswith("1.")]
    key = draw.choice([key for key in keys if job.get(f"1.{key}") != job.get(f"2.{key}") is not None])
    return _exchanged(job, f"1.{key}", f"2.{key}")


def _tenfold(job: Entries, draw: np.random.Generator) -> Entries:
    key = draw.choice([key for key in PLATES if job.get(key) is not None])
    number, unit = _number(job[key])
    return {key: f"{float(number) * 10.0:g} {unit}" if unit else float(number) * 10.0}


WAYS: dict[str, Callable[[Entries, np.random.Generator], Entries]] = {
    "wrong unit of a pressure": _pressure_unit,
    "digit dropped or exchanged": _digit,
    "degrees C for F": _celsius,
    "probes exchanged": _probes,
    "outdoor and return exchanged": _outdoor_and_return,
    "one reading of the circuits exchanged": _between_circuits,
    "plate value times ten": _tenfold,
}


@cache
def typed(case: Case) -> Entries:
    """A job's entries, without a mistake."""
    return SOUND | entries(case)


@cache
def _base(case: Case) -> tuple[Verdict, frozenset[str]]:
    """The verdict of a job without a mistake, and what it says by itself."""
    analysis = analyse(job_from_text(job_text(typed(case))), DRAWS)
    return verdict(analysis), frozenset(_said(analysis))


def verdict(analysis: Analysis) -> Verdict:
    """Charge, contrast, dominant water and today, by name."""
    found = {f"today {one.running}": str(one.decision) for one in analysis.today}
    for result in analysis.conditions:
        found |= {f"charge {name}": str(charge.verdict) for name, charge in result.charges.items()}
        if result.contrast is not None:
            found["contrast"] = f"{result.contrast.text} {result.contrast.suspect}".strip()
    found["water"] = str(analysis.water.dominant) if analysis.water is not None else "none"
    return found


UNDECIDED = (str(ChargeVerdict.CANNOT_TELL), str(Suspicion.CANNOT_TELL), str(None), "none")


def definite(before: Verdict, after: Verdict) -> bool:
    """Whether a charge, a contrast or the water is another one, and both are definite."""
    return any(
        before[key] != told and before[key] not in UNDECIDED and told not in UNDECIDED
        for key, told in after.items()
        if key in before and not key.startswith("today")
    )


def _said(analysis: Analysis) -> Iterator[str]:
    """What contradicts or is unusual, with its place."""
    for notice in analysis.notices:
        if notice.code.startswith(("contradiction", "unusual", "airflow")):
            yield f"{notice.code} {notice.where}: {notice.text}"


def outcome(case: Case, change: Entries) -> str:
    """One of: refused, told, same, another, another definite."""
    before, usual = _base(case)
    try:
        analysis = analyse(job_from_text(job_text(typed(case) | change)), DRAWS)
    except InputError:
        return "refused"
    words = [key.rpartition(".")[2] for key in change]
    spelled = [*words, *(word.replace("_", " ") for word in words)]
    if any(word in text.lower() for text in set(_said(analysis)) - usual for word in spelled):
        return "told"
    after = verdict(analysis)
    return "same" if after == before else "another definite" if definite(before, after) else "another"


def hidden(case: Case, change: Entries) -> bool:
    """Whether every mistyped reading lies within what its neighbours, rightly typed, expect of it."""
    analysis = analyse(job_from_text(job_text(typed(case))), DRAWS)
    here = Where(1, 1)
    beside = neighbours(analysis.draws, here, felt=0.0)
    if beside is None:
        return False
    judge = Judge(analysis.draws, here, beside)
    for key, text in change.items():
        table, _, name = key.rpartition(".")
        place = (here if table == "air" else here.at(table), name)
        if place not in judge.typed:
            return False
        right = judge.typed[place]
        read = parse(text, right.kind).absolute(beside.barometer) - beside.barometer * right.gauge
        expected = judge.expected(place)
        if not expected.low <= read <= expected.high:
            return False
    return True


def clean(seed: int, jobs: int) -> Iterator[tuple[str, Case]]:
    """Jobs without a mistake: known cases in other weather and air, with other errors of the instruments."""
    draw, known = np.random.default_rng(seed), cases()
    while jobs:
        name = str(draw.choice(list(known)))
        outdoor, air = float(draw.uniform(68.0, 105.0)), RETURN_AIR[draw.integers(len(RETURN_AIR))]
        case = replace(known[name], outdoor=outdoor, air=air, seed=int(draw.integers(2**31)))
        try:
            typed(case)
        except NotConverged:
            continue
        jobs -= 1
        yield name, case


def doubted(analysis: Analysis) -> list[str]:
    """Sentences of readings that do not belong to their neighbours."""
    return [flag.text for flag in analysis.screening.flags if flag.code.startswith("mistyped")]


def false_notices(seed: int, jobs: int = CLEAN) -> dict[str, object]:
    """Share of jobs without a mistake in which a reading is doubted, and in which one is left out."""
    told, left_out = [], 0
    for name, case in clean(seed, jobs):
        screening = analyse(job_from_text(job_text(typed(case))), DRAWS).screening
        found = [flag for flag in screening.flags if flag.code.startswith("mistyped")]
        left_out += any(flag.left_out for flag in found)
        told += [{"job": name, "told": found[0].text}] if found else []
    read = {
        path.stem: analyse(load_job(path), DRAWS)
        for folder in ("jobs", "measured")
        for path in sorted(data_path(folder).glob("*.toml"))
        if not path.stem.endswith(".truth")
    }
    return {
        "jobs": jobs,
        "share told": round(len(told) / jobs, 4),
        "most": MOST_FALSE,
        "share left out": round(left_out / jobs, 4),
        "told": told,
        "conditions of demonstrations and measured sets": sum(
            1 for analysis in read.values() for _ in analysis.draws.conditions()
        ),
        "told of them": {name: said for name, one in read.items() if (said := doubted(one))},
    }


def drawn(seed: int, jobs: int) -> Iterator[tuple[str, str, Case, Entries]]:
    """Way, name of the job, its case and what is mistyped in it."""
    draw, known = np.random.default_rng(seed), cases()
    for number in range(jobs):
        way = list(WAYS)[number % len(WAYS)]
        name = str(draw.choice(list(known)))
        yield way, name, known[name], WAYS[way](typed(known[name]), draw)


def run(seed: int, jobs: int = JOBS) -> dict[str, object]:
    """Shares of the outcomes, by way and together, with the jobs whose verdict changed in silence."""
    FALLEN.parent.mkdir(exist_ok=True)
    kept = dict(map(json.loads, FALLEN.read_text("utf-8").splitlines())) if FALLEN.exists() else {}
    state = hashlib.sha256(b"".join(p.read_bytes() for p in sorted((ROOT / "hvaccalc").rglob("*.py"))))
    by: dict[str, Counter[str]] = {way: Counter() for way in WAYS}
    silent = []
    with FALLEN.open("a", encoding="utf-8") as fallen:
        for way, name, case, change in drawn(seed, jobs):
            key = json.dumps([state.hexdigest()[:12], name, change])
            if key not in kept:
                kept[key] = outcome(case, change)
                print(json.dumps([key, kept[key]]), file=fallen, flush=True)
            by[way][kept[key]] += 1
            if kept[key].startswith("another"):
                silent.append(
                    {
                        "way": way,
                        "job": name,
                        "typed": change,
                        "becomes": kept[key],
                        "hidden": hidden(case, change),
                    }
                )
    whole = sum(by.values(), Counter())
    open_ = [one for one in silent if not one["hidden"]]
    can_tell = jobs - len(silent) + len(open_)
    return {
        "jobs": jobs,
        "by way": {way: dict(sorted(found.items())) for way, found in by.items()},
        "together": dict(sorted(whole.items())),
        "share changed in silence": round(len(silent) / jobs, 4),
        "share of another definite verdict": round(whole["another definite"] / jobs, 4),
        "hidden by way": dict(Counter(one["way"] for one in silent if one["hidden"])),
        "where a neighbour can tell": {
            "jobs": can_tell,
            "share changed in silence": round(len(open_) / can_tell, 4),
            "most": MOST_SILENT,
            "share of another definite verdict": round(
                sum(one["becomes"] == "another definite" for one in open_) / can_tell, 4
            ),
            "most definite": MOST_DEFINITE,
        },
        "nothing mistyped": false_notices(seed),
        "changed in silence": silent,
    }
