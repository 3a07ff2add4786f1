"""The ways of the water, and which of them can bring what was seen."""
