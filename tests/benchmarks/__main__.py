"""``python -m tests.benchmarks [NAME …]`` measures and prints a table."""

import sys

from tests.discovery import offering

LAYOUT = "{:<44} {:>14} {:>14}  {}"


def main() -> None:
    """Print one line for each figure as soon as it is measured."""
    wanted = sys.argv[1:]
    print(LAYOUT.format("what", "measured", "baseline", "ratio or note"))
    for module, rows in offering(__package__, "rows"):
        if not wanted or module in wanted:
            for row in rows():
                print(LAYOUT.format(*row), flush=True)


if __name__ == "__main__":
    main()
