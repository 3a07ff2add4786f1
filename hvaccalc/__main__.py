"""``python -m hvaccalc``: the same as the command ``hvaccalc``."""

from hvaccalc.cli import main

if __name__ == "__main__":
    main()
