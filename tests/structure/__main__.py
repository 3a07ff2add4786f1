"""``python -m tests.structure [TREE]`` prints how the house is built, as JSON.

`TREE` is a checkout of the package, this one unless named: two commits are measured by the same counters.
"""

import argparse
import json
import sys
from pathlib import Path

from tests.discovery import ROOT
from tests.structure import arrows, fetched, sentences, size


def main() -> None:
    """Measure a tree."""
    parser = argparse.ArgumentParser(prog="python -m tests.structure", description=__doc__)
    parser.add_argument("tree", nargs="?", type=Path, default=ROOT)
    tree = parser.parse_args().tree.resolve()
    # Before anything of the package is imported, so that what runs is what is counted.
    sys.path.insert(0, str(tree))
    found = {part.__name__.rpartition(".")[2]: part.rows(tree) for part in (size, arrows, sentences, fetched)}
    print(json.dumps(found, indent=1, default=list))


if __name__ == "__main__":
    main()
