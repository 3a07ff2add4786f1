"""How many single mutations, drawn over the whole package, do the tests notice? At least nine of ten."""

from dataclasses import asdict

from tests.mutants import tried
from tests.mutations import drawn

COUNT = 80
LEAST_SHARE = 0.9
REASONS: dict[str, str] = {}
"""Why a mutant may live, by its name: nobody sees what it changes, or a slower check does, named here."""


def run(seed: int, count: int = COUNT) -> dict:
    """The mutants drawn, the share killed, and each survivor with its reason."""
    outcomes = list(tried(drawn(seed, count)))
    return {
        "drawn": count,
        "killed": sum(dead for _, dead in outcomes),
        "least share": LEAST_SHARE,
        "survivors": {one.name: REASONS.get(one.name, "no reason yet") for one, dead in outcomes if not dead},
        "mutants": [asdict(one) | {"killed": dead} for one, dead in outcomes],
    }
