"""Drain line and trap."""
