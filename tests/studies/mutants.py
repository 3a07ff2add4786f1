"""How many single mutations, drawn over the whole package, do the tests notice? At least nine of ten.

Hours on one core: each verdict is kept in ``build/`` as it falls, and a study that was stopped goes on there
where the code under the mutant is the same; delete the file to begin anew.
"""

import hashlib
import json
from dataclasses import asdict

from tests.discovery import ROOT
from tests.mutants import tried
from tests.mutations import Mutant, drawn, mutated

COUNT = 80
LIMIT = 120.0
"""Longest that the tests of one mutant run [s of the processor]."""
LEAST_SHARE = 0.9
FALLEN = ROOT / "build" / "mutants.jsonl"
EQUIVALENT = {
    "hvaccalc/equipment/unit/unit_start.py 0 → 1": "the first row goes the slower way to the same end",
}
"""What nobody can notice but by a clock, with its reason: neither killed nor a survivor."""
REASONS = {
    "hvaccalc/equipment/circuit/refrigerant_curves.py 4 → 5": "a finer fit: powers move by 0.03 % at most",
}
"""Why another mutant may live, by what it does."""


def _key(mutant: Mutant) -> str:
    """A mutation of a module as it stands."""
    text = (ROOT / mutant.file).read_text("utf-8")
    return hashlib.sha256(mutated(text, mutant).encode()).hexdigest()


def run(seed: int, count: int = COUNT) -> dict:
    """The mutants drawn, the share killed, and each survivor with its reason."""
    FALLEN.parent.mkdir(exist_ok=True)
    kept = dict(map(json.loads, FALLEN.read_text("utf-8").splitlines())) if FALLEN.exists() else {}
    those = drawn(seed, count)
    with FALLEN.open("a", encoding="utf-8") as verdicts:
        for mutant, red in tried([one for one in those if _key(one) not in kept], LIMIT):
            kept[_key(mutant)] = red
            print(f"{'killed  ' if red else 'SURVIVED'} {mutant.kind}: {mutant.name}; {red}", flush=True)
            print(json.dumps([_key(mutant), red]), file=verdicts, flush=True)
    by = {one: kept[_key(one)] for one in those}
    alive = [one for one in those if by[one] is None]
    equivalent = {one.name: EQUIVALENT[one.does] for one in alive if one.does in EQUIVALENT}
    killed = count - len(alive)
    return {
        "drawn": count,
        "killed": killed,
        "equivalent": equivalent,
        "share killed of those that can be": round(killed / (count - len(equivalent)), 3),
        "least share": LEAST_SHARE,
        "limit of one mutant [s]": LIMIT,
        "survivors": {
            one.name: REASONS.get(one.does, "no reason yet") for one in alive if one.name not in equivalent
        },
        "mutants": [asdict(one) | {"killed by": by[one]} for one in those],
    }
