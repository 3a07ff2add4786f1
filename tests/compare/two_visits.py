"""Job files of two visits: what was said of a repair, and what was read after it.

The fan stays low with the second stage on the first visit. The work then says that it mends that, or says
so in a note alone, or that it does not, or was a temporary measure; later the fan reads right, wrong, or
nothing was read.
"""

from __future__ import annotations

from hvaccalc.diagnosis.unit.readings_of_state import Level
from tests.behaviour.jobs import job_text
from tests.compare.generated_jobs import Case, entries

WORKS = {
    "mends": 'kind = "repaired"\nmends = ["fan_stuck_low"]\nnote = "Drive input 2 assigned to 60 Hz."',
    "note_only": 'kind = "repaired"\nnote = "Drive input 2 assigned to 60 Hz, the fan was seen to rise."',
    "negated_note": 'kind = "cleaned"\nnote = "Drive not touched, new one ordered. Fan bay swept."',
    "temporary": 'kind = "temporary measure"\nnote = "Jumper to drive input 2."\nexpires = 2026-07-31',
}
READ_LATER = {"right": 1.0, "wrong": 0.6, "none": None}
"""Speed of the fan on the second visit, over full speed."""


def two_visit_jobs() -> dict[str, str]:
    """TOML of the twelve by name."""
    return {
        f"two_visits-{work}-{read}": job_text(
            entries(Case("sound", speed=0.6, level=Level.FULL)), extra=_after(WORKS[work], READ_LATER[read])
        )
        for work in WORKS
        for read in READ_LATER
    }


def _after(work: str, speed: float | None) -> str:
    """The work of the first visit, and the second visit."""
    text = f"[[visit.work]]\n{work}\n[[visit]]\ndate = 2026-06-25\n"
    if speed is None:
        return text
    later = job_text(entries(Case("sound", speed=speed, level=Level.FULL, seed=2)))
    _, _, condition = later.partition("[[visit.condition]]")
    return f"{text}[[visit.condition]]{condition.replace('as found', 'return visit')}"
