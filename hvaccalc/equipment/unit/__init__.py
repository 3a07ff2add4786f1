"""Coil, circuits and outdoor air in balance."""
