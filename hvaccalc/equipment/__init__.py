"""Forward models of the parts of the unit, built from the laws in ``physics``; they know no readings."""
