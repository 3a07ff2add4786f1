"""Whether the unit may run: its ways of running, and what speaks against each."""
