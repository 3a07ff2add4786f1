"""Diagnoses run again with other readings, for a panel."""
