"""``python -m tests.regenerate [NAME …]`` writes every generated file anew, or the named ones."""

import argparse

from tests.discovery import offering


def main() -> None:
    """Run the generators; the manifest comes last because it records what the others wrote."""
    generators = dict(offering(__package__, "regenerate"))
    generators["sources_manifest"] = generators.pop("sources_manifest")
    parser = argparse.ArgumentParser(prog="python -m tests.regenerate")
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(generators))
    names = parser.parse_args().names
    if unknown := sorted(set(names) - set(generators)):
        parser.error(f"no generator named {', '.join(unknown)}; there are {', '.join(generators)}")
    for name, regenerate in generators.items():
        if not names or name in names:
            print(name, flush=True)
            regenerate()


if __name__ == "__main__":
    main()
