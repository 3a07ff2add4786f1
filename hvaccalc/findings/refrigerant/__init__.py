"""Findings on the circuits: states, charge, contrast, refrigerant on board."""
