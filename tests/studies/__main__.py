"""``python -m tests.studies [NAME …] [--seed N]`` runs studies and stores each result as JSON."""

import argparse
import json
from pathlib import Path

from tests.discovery import ROOT, offering

RESULTS = ROOT / "docs" / "studies"


def store(name: str, seed: int, result: dict, directory: Path = RESULTS) -> Path:
    """Write one result with what is needed to repeat it."""
    record = {
        "study": name,
        "seed": seed,
        "command": f"python -m tests.studies {name} --seed {seed}",
        "result": result,
    }
    directory.mkdir(parents=True, exist_ok=True)
    path = directory / f"{name}.json"
    path.write_text(json.dumps(record, indent=2, allow_nan=False) + "\n", "utf-8")
    return path


def main() -> None:
    """Run the named studies, or all."""
    studies = dict(offering(__package__, "run"))
    parser = argparse.ArgumentParser(prog="python -m tests.studies")
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(studies) or "none yet")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    if unknown := sorted(set(chosen.names) - set(studies)):
        parser.error(f"no study named {', '.join(unknown)}; there are {', '.join(studies) or 'none yet'}")
    for name, run in studies.items():
        if not chosen.names or name in chosen.names:
            print(store(name, chosen.seed, run(chosen.seed)).relative_to(ROOT), flush=True)


if __name__ == "__main__":
    main()
