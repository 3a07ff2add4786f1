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
REASONS: dict[str, str] = {}
"""Why a mutant may live, by what it does: nobody sees what it changes, or a slower check does, named here."""


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
        for mutant, by in tried([one for one in those if _key(one) not in kept], LIMIT):
            kept[_key(mutant)] = by
            print(f"{'killed  ' if by else 'SURVIVED'} {mutant.kind}: {mutant.name}; {by}", flush=True)
            print(json.dumps([_key(mutant), by]), file=verdicts, flush=True)
    killers = [kept[_key(one)] for one in those]
    return {
        "drawn": count,
        "killed": sum(by is not None for by in killers),
        "least share": LEAST_SHARE,
        "limit of one mutant [s]": LIMIT,
        "survivors": {
            one.name: REASONS.get(one.name, "no reason yet")
            for one, by in zip(those, killers, strict=True)
            if by is None
        },
        "mutants": [asdict(one) | {"killed by": by} for one, by in zip(those, killers, strict=True)],
    }
