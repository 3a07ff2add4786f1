"""Does any job file end in a traceback or a warning? Job files taken apart: each is answered or refused.

From the demonstrations and jobs of two visits keys and tables are dropped, visits turned round or doubled,
values made odd within their kind, tables taken from another job. An hour on one core: each verdict is kept in
``build/`` as it falls, and a study that was stopped goes on there; delete the file to begin anew.
"""

from __future__ import annotations

import json
import re
import signal
import time
import tomllib
import traceback
import warnings
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from datetime import date, timedelta
from functools import cache
from types import FrameType
from typing import Any

import numpy as np

from hvaccalc.analysis import LEAST_DRAWS, Analysis
from hvaccalc.errors import InputError
from hvaccalc.job.load import job_from_text
from hvaccalc.report import html, memo
from tests.behaviour.job_texts import FULL_JOB, SMALL_JOB
from tests.compare.two_visits import names, two_visit_job
from tests.discovery import ROOT

COUNT = 10_000
LIMIT = 60.0
"""Longest that one job may take [s of the processor]."""
MEMO_OF_EACH = 3
"""Every so many jobs the two memos are drawn as well."""
FALLEN = ROOT / "build" / "fuzz.jsonl"
MOST_KEPT = 40
"""Tracebacks kept in the stored result."""

GOOD = ("refused", "answered", "memo drawn")

Table = dict[str, Any]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
FACTORS = (0.0, -1.0, 0.01, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, 1000.0)


class TooLongError(Exception):
    """A job took longer than the limit."""


@cache
def bases() -> tuple[Table, ...]:
    """Whole jobs to take apart."""
    demos = sorted(p for p in (ROOT / "data" / "jobs").glob("*.toml") if not p.name.endswith(".truth.toml"))
    texts = [p.read_text("utf-8") for p in demos]
    texts += [FULL_JOB, SMALL_JOB, *(two_visit_job(name) for name in names()[::5])]
    return tuple(tomllib.loads(text) for text in texts)


def drawn(seed: int, number: int) -> str:
    """TOML of one job by its number, the same whatever was drawn before it."""
    rng = np.random.default_rng((seed, number))
    job = deepcopy(_one(rng, bases()))
    for change in rng.choice(np.array(CHANGES, object), int(rng.integers(1, 5))):
        change(rng, job)
    return "".join(f"{key} = {literal(value)}\n" for key, value in job.items())


def literal(value: object) -> str:
    """A value as TOML on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {literal(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(literal, value)) + "]"
    if isinstance(value, str | bool):
        return json.dumps(value, ensure_ascii=False)
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


def _one(rng: np.random.Generator, of: Any) -> Any:
    return of[int(rng.integers(len(of)))]


def _tables(value: object) -> Iterator[Table]:
    """Every table of a job, the job itself among them."""
    if isinstance(value, dict):
        yield value
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    for one in inner:
        yield from _tables(one)


def _drop_keys(rng: np.random.Generator, job: Table) -> None:
    share = _one(rng, (0.03, 0.2, 0.6))
    for table in list(_tables(job)):
        for key in [k for k, v in table.items() if not isinstance(v, dict) and rng.random() < share]:
            if key not in NEEDED:
                del table[key]


NEEDED = ("format", "title", "refrigerant", "value", "kind", "visit", "rated_capacity", "rated_airflow")
"""Kept when keys are dropped at random: without them nearly every file is refused alike."""


def _drop_table(rng: np.random.Generator, job: Table) -> None:
    table = _one(rng, list(_tables(job)))
    inner = [key for key, value in table.items() if isinstance(value, dict | list)]
    if inner:
        del table[_one(rng, inner)]


def _turn_round(rng: np.random.Generator, job: Table) -> None:
    visits = job.get("visit", [])
    for those in (visits, *(visit.get("condition", []) for visit in visits)):
        order = rng.permutation(len(those))
        those[:] = [those[i] for i in order]


def _twice(rng: np.random.Generator, job: Table) -> None:
    visits = job.get("visit", [])
    if visits:
        those = _one(rng, [visits, *(visit.get("condition", []) for visit in visits)])
        those.extend(deepcopy(those[:1]))


def _odd(rng: np.random.Generator, job: Table) -> None:
    for _ in range(int(rng.integers(1, 6))):
        table = _one(rng, list(_tables(job)))
        if table:
            key = _one(rng, list(table))
            table[key] = _oddly(rng, table[key])


def _oddly(rng: np.random.Generator, value: Any) -> Any:
    """Another value of the same kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return type(value)(value * _one(rng, FACTORS))
    if isinstance(value, date):
        return value + timedelta(days=int(rng.integers(-400, 400)))
    if isinstance(value, list):
        return [one for one in value if rng.random() < 0.5] or value[:1] * 2
    if isinstance(value, str) and (found := NUMBER.search(value)) is not None:
        other = f"{float(found[0]) * _one(rng, FACTORS):g}"
        return f"{value[: found.start()]}{other}{value[found.end() :]}"
    return value


def _from_another(rng: np.random.Generator, job: Table) -> None:
    other = _one(rng, bases())
    key = _one(rng, [key for key, value in other.items() if isinstance(value, dict | list)])
    job[key] = deepcopy(other[key])


def _words_of_another(rng: np.random.Generator, job: Table) -> None:
    """Words as another job has them under the same key."""
    theirs: dict[str, list[Any]] = {}
    for table in _tables(list(bases())):
        for key, value in table.items():
            if not isinstance(value, dict) and key not in ("visit", "condition", "work"):
                theirs.setdefault(key, []).append(value)
    for table in list(_tables(job)):
        for key in [k for k in table if k in theirs and rng.random() < 0.1]:
            table[key] = deepcopy(_one(rng, theirs[key]))


CHANGES = (_drop_keys, _drop_table, _turn_round, _twice, _odd, _odd, _from_another, _words_of_another)


def _too_long(_signal: int, _frame: FrameType | None) -> None:
    raise TooLongError


def verdict(text: str, with_memo: bool) -> str:
    """What becomes of a job: refused, answered, memo drawn; else the end of its traceback, or too long."""
    signal.signal(signal.SIGVTALRM, _too_long)
    signal.setitimer(signal.ITIMER_VIRTUAL, LIMIT)
    try:
        try:
            job = job_from_text(text)
        except InputError:
            return "refused"
        analysis = Analysis(job, LEAST_DRAWS)
        json.dumps(analysis.as_dict(), allow_nan=False)
        if not with_memo:
            return "answered"
        for audience in memo.AUDIENCES:
            html.page(memo.blocks(analysis, audience), "memo")
    except TooLongError:
        return "too long"
    except Exception:  # noqa: BLE001 - whatever it is, it is what is looked for
        return "traceback " + " | ".join(traceback.format_exc().strip().splitlines()[-5:])
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)
    return "memo drawn"


def run(seed: int, count: int = COUNT) -> dict[str, object]:
    """How many jobs end in what, and the tracebacks."""
    FALLEN.parent.mkdir(exist_ok=True)
    lines = FALLEN.read_text("utf-8").splitlines() if FALLEN.exists() else []
    kept = {(s, n): (found, took) for s, n, found, took in map(json.loads, lines)}
    with FALLEN.open("a", encoding="utf-8") as verdicts:
        for number in range(count):
            if (seed, number) in kept:
                continue
            start = time.process_time()
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                found = verdict(drawn(seed, number), number % MEMO_OF_EACH == 0)
            kept[seed, number] = found, round(time.process_time() - start, 2)
            print(json.dumps([seed, number, *kept[seed, number]]), file=verdicts, flush=True)
    those = {number: kept[seed, number] for number in range(count)}
    ends = Counter(found.partition(" ")[0] for found, _ in those.values())
    bad = {str(n): found for n, (found, _) in those.items() if found not in GOOD}
    return {
        "jobs": count,
        "refused by name": ends["refused"],
        "answered": ends["answered"] + ends["memo"],
        "memo drawn for both readers": ends["memo"],
        "tracebacks": ends["traceback"],
        "over the limit": ends["too"],
        "limit [s of the processor]": LIMIT,
        "longest [s of the processor]": max(took for _, took in those.values()),
        "found": dict(list(bad.items())[:MOST_KEPT]),
    }
